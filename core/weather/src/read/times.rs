//! Dates and clock times as files write them, and the moments they mean.

use units::{Day, Instant, Local, SECONDS_PER_HOUR, Zone};

/// Which comes first in dates like 7/6/2020.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DateOrder {
    MonthFirst,
    DayFirst,
}

/// A date and a clock time, with the offset written behind it if there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp {
    pub day: Day,
    pub second: i32,
    pub offset_s: Option<i32>,
}

/// A date: `2020-07-06`, `2020/7/6`, `20200706`, `6.7.2020`; `7/6/2020` only when the order is known.
pub(super) fn day(text: &str, order: Option<DateOrder>) -> Option<Day> {
    let text = text.trim();
    if text.len() == 8 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        return civil(&text[..4], &text[4..6], &text[6..]);
    }
    let (a, b, c, mark) = three(text)?;
    if a.len() == 4 {
        return civil(a, b, c);
    }
    if c.len() != 4 {
        return None;
    }
    match (mark, order) {
        ('.', _) | (_, Some(DateOrder::DayFirst)) => civil(c, b, a),
        (_, Some(DateOrder::MonthFirst)) => civil(c, a, b),
        (_, None) => None,
    }
}

fn three(text: &str) -> Option<(&str, &str, &str, char)> {
    let mark = ['-', '/', '.'].into_iter().find(|&mark| text.contains(mark))?;
    let mut parts = text.split(mark);
    let found = (parts.next()?, parts.next()?, parts.next()?, mark);
    parts.next().is_none().then_some(found)
}

fn civil(year: &str, month: &str, day: &str) -> Option<Day> {
    let digits = |text: &str| !text.is_empty() && text.len() <= 4 && text.bytes().all(|byte| byte.is_ascii_digit());
    if !(digits(year) && digits(month) && digits(day)) {
        return None;
    }
    Day::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

/// The order of a file's dates, when one of them has a number above 12; month first is never assumed.
pub(super) fn date_order(texts: impl Iterator<Item = impl AsRef<str>>) -> Option<DateOrder> {
    for text in texts {
        let date = text.as_ref().trim().split(['T', ' ']).next().unwrap_or("");
        if day(date, None).is_some() {
            return None;
        }
        let Some((a, b, c, mark)) = three(date) else { continue };
        if c.len() != 4 || mark == '.' {
            continue;
        }
        match (a.parse::<u8>(), b.parse::<u8>()) {
            (Ok(a), Ok(_)) if a > 12 => return Some(DateOrder::DayFirst),
            (Ok(_), Ok(b)) if b > 12 => return Some(DateOrder::MonthFirst),
            _ => {}
        }
    }
    None
}

/// A date with a clock time: `2020-07-06T06:00`, `2020-07-06 06`, `... 06:00-04:00`, `... 6:00 PM`, `24:00` at the day's end.
pub(super) fn stamp(text: &str, order: Option<DateOrder>) -> Option<Stamp> {
    let text = text.trim();
    let (date, clock) = text.split_once(['T', ' '])?;
    let (second, offset_s) = clock_second(clock.trim())?;
    Some(Stamp { day: day(date, order)?, second, offset_s })
}

fn clock_second(clock: &str) -> Option<(i32, Option<i32>)> {
    let (clock, offset_s) = split_offset(clock)?;
    let lower = clock.to_ascii_lowercase();
    let (clock, noon) = match (lower.strip_suffix("am"), lower.strip_suffix("pm")) {
        (Some(clock), _) => (clock.trim(), Some(0)),
        (_, Some(clock)) => (clock.trim(), Some(12)),
        _ => (clock.trim(), None),
    };
    let mut parts = clock.split(':');
    let two = |part: Option<&str>| match part {
        Some(part) if part.len() <= 2 && part.bytes().all(|byte| byte.is_ascii_digit()) => part.parse::<i32>().ok(),
        _ => None,
    };
    let mut hour = two(parts.next())?;
    let minute = if let Some(part) = parts.next() { two(Some(part))? } else { 0 };
    let second = if let Some(part) = parts.next() { two(part.split('.').next())? } else { 0 };
    if let Some(noon) = noon {
        if !(1..=12).contains(&hour) {
            return None;
        }
        hour = hour % 12 + noon;
    }
    let whole = hour * 3600 + minute * 60 + second;
    (parts.next().is_none() && minute < 60 && second < 60 && whole <= 86_400).then_some((whole, offset_s))
}

/// Splits `06:00-04:00` or `06Z`; an offset that is none makes the whole a failure.
fn split_offset(clock: &str) -> Option<(&str, Option<i32>)> {
    if let Some(clock) = clock.strip_suffix(['Z', 'z']) {
        return Some((clock, Some(0)));
    }
    let Some(at) = clock.rfind(['+', '-']) else { return Some((clock, None)) };
    let zone = Zone::parse(&clock[at..]).ok()?;
    Some((&clock[..at], Some(zone.offset_s(Instant(0)))))
}

/// What became of a stamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Placed {
    /// One moment.
    At(Instant),
    /// Shown twice by the clock; taken by the order of the file.
    OneOfTwo {
        /// The moment taken.
        at: Instant,
        /// Whether it is the later one.
        second: bool,
    },
    /// Never shown by the clock.
    Never,
}

/// Turns stamps into moments in file order.
pub(super) struct Clock {
    zone: Zone,
    last: Option<Instant>,
}

impl Clock {
    pub(super) fn new(zone: Zone) -> Clock {
        Clock { zone, last: None }
    }

    pub(super) fn place(&mut self, stamp: Stamp) -> Placed {
        let day = stamp.day.plus(stamp.second / 86_400);
        let second = stamp.second % 86_400;
        let face = i64::from(day.0) * 24 * SECONDS_PER_HOUR + i64::from(second);
        let placed = match stamp.offset_s {
            Some(offset_s) => Placed::At(Instant(face - i64::from(offset_s))),
            None => self.resolve(day, second),
        };
        if let Placed::At(at) | Placed::OneOfTwo { at, .. } = placed {
            self.last = Some(at);
        }
        placed
    }

    fn resolve(&self, day: Day, second: i32) -> Placed {
        let part = |value: i32| i8::try_from(value).unwrap_or(0);
        let clock = units::civil::time(part(second / 3600), part(second / 60 % 60), part(second % 60), 0);
        match self.zone.resolve(day.date().to_datetime(clock)) {
            Local::One(at) => Placed::At(at),
            Local::Skipped(_) => Placed::Never,
            Local::Twice(first, later) => {
                let second = self.last.is_some_and(|last| last >= first && last < later.plus_hours(1));
                Placed::OneOfTwo { at: if second { later } else { first }, second }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_in_the_forms_people_write() {
        let month_first = Some(DateOrder::MonthFirst);
        for (text, order, expected) in [
            ("2020-07-06", None, Some("2020-07-06")),
            ("2020/7/6", None, Some("2020-07-06")),
            ("20200706", None, Some("2020-07-06")),
            ("6.7.2020", None, Some("2020-07-06")),
            ("7/6/2020", month_first, Some("2020-07-06")),
            ("7/6/2020", Some(DateOrder::DayFirst), Some("2020-06-07")),
            ("7/6/2020", None, None),
            ("2020-02-30", None, None),
            ("7/6/20", month_first, None),
            ("soon", None, None),
            ("", None, None),
        ] {
            assert_eq!(day(text, order).map(|day| day.to_string()).as_deref(), expected, "{text}");
        }
        assert_eq!(date_order(["7/6/2020", "7/13/2020 05:00"].into_iter()), month_first);
        assert_eq!(date_order(["7/6/2020", "13/6/2020"].into_iter()), Some(DateOrder::DayFirst));
        assert_eq!(date_order(["7/6/2020", "6/7/2020"].into_iter()), None);
    }

    #[test]
    fn clock_times_in_the_forms_people_write() {
        for (text, second, offset_s) in [
            ("2020-07-06T06:00", 21_600, None),
            ("2020-07-06 06", 21_600, None),
            ("2020-07-06T06", 21_600, None),
            ("2020-07-06T06:00:30.5", 21_630, None),
            ("2020-07-06T24:00", 86_400, None),
            ("2020-07-06 6:00 PM", 64_800, None),
            ("2020-07-06 12:30 am", 1_800, None),
            ("2020-07-06T06:00Z", 21_600, Some(0)),
            ("2020-07-06T06:00-04:00", 21_600, Some(-14_400)),
            ("2020-07-06T06:00+0530", 21_600, Some(19_800)),
        ] {
            let got = stamp(text, None).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((got.second, got.offset_s), (second, offset_s), "{text}");
        }
        for text in
            ["2020-07-06", "2020-07-06T25:00", "2020-07-06T06:60", "2020-07-06 13:00 PM", "2020-07-06T06:00+99", "T"]
        {
            assert_eq!(stamp(text, None), None, "{text}");
        }
    }

    #[test]
    fn the_doubled_hour_goes_by_file_order() {
        let mut clock = Clock::new(Zone::parse("America/New_York").expect("in the table"));
        let mut at = |text: &str| clock.place(stamp(text, None).expect(text));
        let Placed::At(midnight) = at("2013-11-03T00:00") else { panic!("one moment") };
        for (text, hours, second) in [("2013-11-03T01:00", 1, false), ("2013-11-03T01:00", 2, true)] {
            assert_eq!(at(text), Placed::OneOfTwo { at: midnight.plus_hours(hours), second });
        }
        assert_eq!(at("2013-11-03T02:00"), Placed::At(midnight.plus_hours(3)));
        assert_eq!(at("2013-03-10T02:30"), Placed::Never);
    }
}
