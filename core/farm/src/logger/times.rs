//! Days and clock times as loggers and people write them.

use units::{Day, Instant, Zone};

use super::DateOrder;

/// A day as written, before it is known which of day and month stands first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Written {
    /// Sure.
    Day(Day),
    /// Two numbers of at most 31 and a year: either order may be meant.
    Either { first: i8, second: i8, year: i16 },
}

impl Written {
    /// The day, by an order.
    pub(super) fn by(self, order: DateOrder) -> Option<Day> {
        match self {
            Written::Day(day) => Some(day),
            Written::Either { first, second, year } => match order {
                DateOrder::MonthFirst => Day::new(year, first, second),
                DateOrder::DayFirst => Day::new(year, second, first),
            },
        }
    }
}

const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// A day: `2020-07-06`, `2020/7/6`, `20200706`, `7/6/2020`, `7/6/20`, `6.7.2020`, `6 Jul 2020`, `July 6, 2020`.
pub(super) fn day(text: &str) -> Option<Written> {
    let text = text.trim();
    if text.len() == 8 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        let whole = Day::new(text[..4].parse().ok()?, text[4..6].parse().ok()?, text[6..].parse().ok()?)?;
        return Some(Written::Day(whole));
    }
    let mut parts = [""; 3];
    let mut count = 0;
    for part in text.split(['-', '/', '.', ' ', ',']).filter(|part| !part.is_empty()) {
        *parts.get_mut(count)? = part;
        count += 1;
    }
    if count != 3 {
        return None;
    }
    if parts.iter().any(|part| part.starts_with(|c: char| c.is_ascii_alphabetic())) {
        return named(parts);
    }
    let digits = |text: &str| (text.len() <= 4 && text.bytes().all(|byte| byte.is_ascii_digit())).then_some(());
    parts.iter().try_for_each(|part| digits(part))?;
    let number = |text: &str| text.parse::<i16>().ok();
    let (a, b, c) = (number(parts[0])?, number(parts[1])?, number(parts[2])?);
    if parts[0].len() == 4 {
        return Day::new(a, b.try_into().ok()?, c.try_into().ok()?).map(Written::Day);
    }
    let year = full_year(parts[2], c)?;
    let (first, second) = (i8::try_from(a).ok()?, i8::try_from(b).ok()?);
    if text.contains('.') {
        // Parted by points the day stands first wherever such dates are written.
        return Day::new(year, second, first).map(Written::Day);
    }
    let written = Written::Either { first, second, year };
    (written.by(DateOrder::MonthFirst).is_some() || written.by(DateOrder::DayFirst).is_some()).then_some(written)
}

/// A year of four digits, or of two within a hundred years from 1970.
fn full_year(text: &str, year: i16) -> Option<i16> {
    match text.len() {
        4 => Some(year),
        2 => Some(if year < 70 { 2000 + year } else { 1900 + year }),
        _ => None,
    }
}

fn named(parts: [&str; 3]) -> Option<Written> {
    let month = |text: &str| {
        let small = text.get(..3)?.to_ascii_lowercase();
        let at = MONTHS.iter().position(|name| *name == small)?;
        i8::try_from(at + 1).ok()
    };
    let (month, day, year) = match (month(parts[0]), month(parts[1])) {
        (Some(first), _) => (first, parts[1], parts[2]),
        (_, Some(second)) => (second, parts[0], parts[2]),
        _ => return None,
    };
    let year = full_year(year, year.parse().ok()?)?;
    let day = day.trim_end_matches(|c: char| c.is_ascii_alphabetic()).parse().ok()?;
    Day::new(year, month, day).map(Written::Day)
}

/// A clock time: `06:00`, `6:00:30.5 PM`, `18:05`, `24:00`; seconds since midnight, and the offset written with it.
pub(super) fn clock(text: &str) -> Option<(i32, Option<i32>)> {
    let (text, offset_s) = offset(text.trim())?;
    let (text, noon) = half_day(text);
    let mut parts = text.split(':');
    let hour = two(parts.next()?)?;
    let minute = match (parts.next(), noon) {
        (Some(minute), _) => two(minute)?,
        (None, Some(_)) => 0,
        (None, None) => return None,
    };
    let second = match parts.next() {
        Some(second) => two(second.split(['.', ',']).next()?)?,
        None => 0,
    };
    let hour = match noon {
        Some(noon) if (1..=12).contains(&hour) => hour % 12 + noon,
        Some(_) => return None,
        None => hour,
    };
    let whole = hour * 3600 + minute * 60 + second;
    (parts.next().is_none() && minute < 60 && second < 60 && whole <= 86_400).then_some((whole, offset_s))
}

fn two(text: &str) -> Option<i32> {
    let fits = (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    fits.then(|| text.parse().ok()).flatten()
}

/// Splits `a.m.`, `AM`, `pm`, `p` from the end; 0 or 12 hours to add.
fn half_day(text: &str) -> (&str, Option<i32>) {
    let end = text.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '.');
    let bare: String = text[end.len()..].chars().filter(char::is_ascii_alphabetic).collect();
    match bare.to_ascii_lowercase().as_str() {
        "am" | "a" => (end.trim_end(), Some(0)),
        "pm" | "p" => (end.trim_end(), Some(12)),
        _ => (text, None),
    }
}

/// Splits `Z`, `-04:00`, `GMT-05:00` from the end; an offset that is none makes the whole a failure.
fn offset(text: &str) -> Option<(&str, Option<i32>)> {
    if let Some(clock) =
        text.strip_suffix(['Z', 'z']).or_else(|| text.strip_suffix("UTC")).or_else(|| text.strip_suffix("GMT"))
    {
        return Some((clock.trim_end(), Some(0)));
    }
    let Some(at) = text.rfind(['+', '-']) else { return Some((text, None)) };
    let zone = Zone::parse(&text[at..]).ok()?;
    let clock = text[..at].trim_end();
    let clock = clock.strip_suffix("UTC").or_else(|| clock.strip_suffix("GMT")).unwrap_or(clock);
    Some((clock.trim_end(), Some(zone.offset_s(Instant(0)))))
}

/// Day and clock time in one cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp {
    pub(super) day: Written,
    pub(super) second: i32,
    pub(super) offset_s: Option<i32>,
}

/// `2020-07-06T06:00`, `7/6/20 6:00 PM`, `6 Jul 2020, 06:00:00`, `20200706 0600`.
pub(super) fn stamp(text: &str) -> Option<Stamp> {
    let text = text.trim();
    if let Some((date, time)) = text.split_once(['T', 't'])
        && let (Some(day), Some((second, offset_s))) = (day(date), clock(time))
    {
        return Some(Stamp { day, second, offset_s });
    }
    // The clock begins with the word that holds the first colon.
    let colon = text.find(':')?;
    let start = text[..colon]
        .rfind([' ', ',', '_', '\u{a0}'])
        .map(|at| at + text[at..].chars().next().map_or(1, char::len_utf8))?;
    let day = day(text[..start].trim_matches([' ', ',', '_', '\u{a0}']))?;
    let (second, offset_s) = clock(&text[start..])?;
    Some(Stamp { day, second, offset_s })
}

/// A day with its clock time where spreadsheets put the time before the day: `06:00 7/6/2020`.
pub(super) fn stamp_turned(text: &str) -> Option<Stamp> {
    let (time, date) = text.trim().split_once(' ')?;
    let (second, offset_s) = clock(time)?;
    Some(Stamp { day: day(date)?, second, offset_s })
}

/// Seconds since 1970 from ten digits, or thousandths from thirteen; years 2001 to 2096.
pub(super) fn epoch(value: f64) -> Option<Instant> {
    let seconds = if value.abs() >= 1e11 { value / 1000.0 } else { value };
    (1e9..4e9).contains(&seconds).then(|| Instant(seconds.round() as i64))
}

/// A spreadsheet's day number with its part of a day, years 1982 to 2119; rounded to the second, for a part of a day written with
/// few digits falls a little beside it.
pub(super) fn serial(value: f64) -> Option<(Day, i32)> {
    if !(30_000.0..80_000.0).contains(&value) {
        return None;
    }
    let whole_s = (value * 86_400.0).round() as i64;
    // Day 25569 is 1970-01-01.
    let day = i32::try_from(whole_s.div_euclid(86_400)).ok()? - 25_569;
    Some((Day(day), whole_s.rem_euclid(86_400) as i32))
}
