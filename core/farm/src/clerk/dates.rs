//! Dates, stretches of days, moments, times of day, weekdays.

use units::civil::DateTime;
use units::{Day, Instant, Local, Zone};

use super::{Clerk, Desk, Field};
use crate::farm::Days;
use crate::means::StartOfWork;
use crate::reasons::{Shape, Wrong};
use crate::typed::ValueTyped;

const WEEKDAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

impl Clerk {
    /// A date.
    pub fn day(&mut self, desk: &Desk<'_>, key: &str) -> Option<Day> {
        let field = self.field(desk, key)?;
        let (ValueTyped::Text(text) | ValueTyped::Date(text) | ValueTyped::Number(text)) = field.value else {
            self.refuse_field(&field, Wrong::Shape { wants: Shape::Date });
            return None;
        };
        let day = plain_day(text);
        if day.is_none() {
            self.refuse_field(&field, Wrong::NotADate);
        }
        day
    }

    /// Days and stretches of days, from a list or one text.
    pub fn days(&mut self, desk: &Desk<'_>, key: &str) -> Vec<Days> {
        let Some(field) = self.field(desk, key) else { return Vec::new() };
        let one = [(field.line, field.value.clone())];
        let values = if let ValueTyped::List(values) = field.value { values.as_slice() } else { one.as_slice() };
        let mut days = Vec::new();
        for (line, value) in values {
            let row = Field { value, line: *line, of: field.of.clone(), input: field.input };
            let (ValueTyped::Text(text) | ValueTyped::Date(text)) = value else {
                self.refuse_field(&row, Wrong::Shape { wants: Shape::Date });
                continue;
            };
            let (from, to) = text.split_once(" to ").or_else(|| text.split_once("..")).unwrap_or((text, text));
            match (plain_day(from), plain_day(to)) {
                (Some(from), Some(to)) if from <= to => days.push(Days { from, to }),
                (Some(_), Some(_)) => self.refuse_field(&row, Wrong::EndsBeforeItBegins),
                _ => self.refuse_field(&row, Wrong::NotADate),
            }
        }
        days
    }

    /// A date and time, by the farm's clock unless it carries an offset.
    pub fn moment(&mut self, desk: &Desk<'_>, key: &str) -> Option<Instant> {
        let field = self.field(desk, key)?;
        let (ValueTyped::Text(text) | ValueTyped::Date(text)) = field.value else {
            self.refuse_field(&field, Wrong::Shape { wants: Shape::Date });
            return None;
        };
        // Without a zone the fault lies elsewhere and is noted there.
        let zone = self.zone.clone()?;
        match plain_moment(text, &zone) {
            Ok(at) => Some(at),
            Err(what) => {
                self.refuse_field(&field, what);
                None
            }
        }
    }

    /// A time of day in hours, or first light.
    pub fn clock(&mut self, desk: &Desk<'_>, key: &str) -> Option<StartOfWork> {
        let Some(field) = self.field(desk, key) else {
            return plain_clock(self.default_of(desk, key)?);
        };
        let text = match field.value {
            ValueTyped::Text(text) | ValueTyped::Date(text) => text,
            _ => {
                self.refuse_field(&field, Wrong::Shape { wants: Shape::Text });
                return None;
            }
        };
        let clock = plain_clock(text);
        if clock.is_none() {
            self.refuse_field(&field, Wrong::NotATime);
        }
        clock
    }

    /// A set of weekdays; `None` when the key was left out.
    pub fn weekdays(&mut self, desk: &Desk<'_>, key: &str) -> Option<[bool; 7]> {
        let field = self.field(desk, key)?;
        let one = [(field.line, field.value.clone())];
        let values = if let ValueTyped::List(values) = field.value { values.as_slice() } else { one.as_slice() };
        let mut set = [false; 7];
        for (line, value) in values {
            let named = match value {
                ValueTyped::Text(text) => weekday(text),
                _ => None,
            };
            match named {
                Some(weekday) => set[weekday] = true,
                None => {
                    let row = Field { value, line: *line, of: field.of.clone(), input: field.input };
                    self.refuse_field(&row, Wrong::NotAWeekday);
                }
            }
        }
        Some(set)
    }
}

fn plain_day(text: &str) -> Option<Day> {
    let text = text.trim();
    (text.len() == 10).then(|| Day::parse(text)).flatten()
}

fn plain_moment(text: &str, zone: &Zone) -> Result<Instant, Wrong> {
    let text = text.trim();
    if !text.contains(':') {
        return Err(Wrong::NotAMoment);
    }
    if let Some(at) = Instant::parse(text) {
        return Ok(at);
    }
    let local: DateTime = text.parse().map_err(|_| Wrong::NotAMoment)?;
    match zone.resolve(local) {
        Local::One(at) => Ok(at),
        Local::Skipped(_) => Err(Wrong::ClockChange { twice: false }),
        Local::Twice(..) => Err(Wrong::ClockChange { twice: true }),
    }
}

/// `first light`, `6:30`, `6:30 am`, `18:00`.
fn plain_clock(text: &str) -> Option<StartOfWork> {
    let text = text.trim().to_lowercase();
    if text == "first light" || text == "dawn" {
        return Some(StartOfWork::FirstLight);
    }
    let (digits, afternoon) = match text.strip_suffix("pm") {
        Some(digits) => (digits, true),
        None => (text.strip_suffix("am").unwrap_or(&text), false),
    };
    let marked = digits.len() != text.len();
    let mut parts = digits.trim().split(':');
    let hour: u32 = parts.next()?.parse().ok()?;
    let minute: u32 = parts.next()?.parse().ok()?;
    let second: u32 = parts.next().map_or(Some(0), |part| part.parse().ok())?;
    if parts.next().is_some() || minute > 59 || second > 59 || hour > if marked { 12 } else { 24 } {
        return None;
    }
    let hour = if marked { hour % 12 + if afternoon { 12 } else { 0 } } else { hour };
    let hours = f64::from(hour) + f64::from(minute) / 60.0 + f64::from(second) / 3600.0;
    (hours <= 24.0).then_some(StartOfWork::Clock(hours))
}

fn weekday(text: &str) -> Option<usize> {
    let text = text.trim().to_lowercase();
    let bare = text.strip_suffix('s').filter(|bare| bare.ends_with("day")).unwrap_or(&text);
    WEEKDAYS.iter().position(|&name| name == bare || (bare.len() >= 3 && name.starts_with(bare)))
}
