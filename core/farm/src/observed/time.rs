//! Clock times as they stand in files: with an offset, by the basin's clock, or a bare date.

use units::civil::DateTime;
use units::{Day, Instant, Local, Zone};

use super::{Odd, When};

/// A written time: a moment already, a time of the local clock, or a date.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Written {
    /// It carries its offset.
    At(Instant),
    /// By the local clock.
    Clock(DateTime),
    /// A bare date.
    On(Day),
}

/// Reads `2020-07-06`, `2020-07-06T06:00`, `2020-07-06 06:00:00`, either with `Z` or an offset behind; `None` otherwise.
pub fn parse_time(text: &str) -> Option<Written> {
    let text = text.trim();
    if text.len() <= 10 {
        return Day::parse(text).map(Written::On);
    }
    if !text.is_ascii() {
        return None;
    }
    let (date, clock) = text.split_at(10);
    let clock = clock.strip_prefix(['T', 't', ' '])?;
    let bare_end = clock.find(['Z', 'z', '+', '-']).unwrap_or(clock.len());
    let (clock, offset) = clock.split_at(bare_end);
    let clock = clock.trim();
    // The format's own reader takes more than clock times ("06"): ask for hours and minutes.
    if clock.len() < 5 || !clock.bytes().all(|byte| byte.is_ascii_digit() || byte == b':' || byte == b'.') {
        return None;
    }
    let time: DateTime = format!("{date}T{clock}").parse().ok()?;
    if offset.is_empty() {
        return Some(Written::Clock(time));
    }
    match Zone::parse(offset).ok()?.resolve(time) {
        Local::One(at) => Some(Written::At(at)),
        Local::Skipped(_) | Local::Twice(..) => None,
    }
}

/// Turns written times of one file into moments; a doubled autumn hour is told apart by the order of the lines.
#[derive(Debug, Clone, Default)]
pub struct Clock {
    last: Option<Instant>,
}

impl Clock {
    /// The moment or day of one line, and what was odd about it.
    pub fn read(&mut self, text: &str, zone: &Zone) -> Option<(When, Option<Odd>)> {
        let (at, odd) = match parse_time(text)? {
            Written::On(day) => return Some((When::MeanOf(day), None)),
            Written::At(at) => (at, None),
            Written::Clock(time) => match zone.resolve(time) {
                Local::One(at) => (at, None),
                Local::Skipped(at) => (at, Some(Odd::Skipped)),
                Local::Twice(first, second) => {
                    let passed = self.last.is_some_and(|last| last >= first);
                    if passed { (second, Some(Odd::ShownTwiceSecond)) } else { (first, Some(Odd::ShownTwiceFirst)) }
                }
            },
        };
        self.last = Some(at);
        Some((When::At(at), odd))
    }
}
