//! Instants in UTC, civil days, and the farm's time zone.
//!
//! Hour loops count hours; these types live at their rim. A local time that the autumn clock change makes twice, or the
//! spring one skips, is told apart here and never guessed silently.

use std::fmt;

use jiff::civil::{Date, DateTime};
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};

/// Seconds in an hour.
pub const SECONDS_PER_HOUR: i64 = 3600;

/// A moment: seconds since 1970-01-01T00:00Z.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Instant(pub i64);

impl Instant {
    /// From an ISO time with its offset (`2020-07-06T06:00-05:00`); `None` without one.
    pub fn parse(text: &str) -> Option<Instant> {
        text.parse::<jiff::Timestamp>().ok().map(|stamp| Instant(stamp.as_second()))
    }
    /// This moment and `hours` more.
    pub fn plus_hours(self, hours: i64) -> Instant {
        Instant(self.0 + hours * SECONDS_PER_HOUR)
    }
    /// Whole hours from `earlier` to this, rounded down.
    pub fn hours_since(self, earlier: Instant) -> i64 {
        (self.0 - earlier.0).div_euclid(SECONDS_PER_HOUR)
    }
}

/// A civil day: days since 1970-01-01.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Day(pub i32);

impl Day {
    /// From year, month (1 to 12) and day of the month; `None` when there is no such day or it lies outside years 1 to 9999.
    pub fn new(year: i16, month: i8, day: i8) -> Option<Day> {
        Date::new(year, month, day).ok().map(Day::from_date)
    }
    /// From an ISO date (`2020-07-06`).
    pub fn parse(text: &str) -> Option<Day> {
        text.trim().parse::<Date>().ok().map(Day::from_date)
    }
    /// From the civil date.
    pub fn from_date(date: Date) -> Day {
        let unix = Date::constant(1970, 1, 1);
        let span = date.duration_since(unix);
        Day(i32::try_from(span.as_hours() / 24).expect("a civil date is at most some millions of days from 1970"))
    }
    /// The civil date.
    pub fn date(self) -> Date {
        let unix = Date::constant(1970, 1, 1);
        unix.saturating_add(jiff::SignedDuration::from_hours(i64::from(self.0) * 24))
    }
    /// Year, month, day of the month.
    pub fn ymd(self) -> (i16, i8, i8) {
        let date = self.date();
        (date.year(), date.month(), date.day())
    }
    /// 1 on the first of January.
    pub fn day_of_year(self) -> i16 {
        self.date().day_of_year()
    }
    /// 0 on Monday, 6 on Sunday.
    pub fn weekday(self) -> u8 {
        (self.0 + 3).rem_euclid(7) as u8
    }
    /// This day and `days` more.
    pub fn plus(self, days: i32) -> Day {
        Day(self.0 + days)
    }
    /// The same month and day in another year; 29 February becomes 28 where it must.
    pub fn in_year(self, year: i16) -> Day {
        let (_, month, day) = self.ymd();
        Day::new(year, month, day).or_else(|| Day::new(year, month, day - 1)).unwrap_or(self)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.ymd();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

/// What a local clock time means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Local {
    /// One moment.
    One(Instant),
    /// Skipped by the spring clock change: the moment the clock would have shown it without the change.
    Skipped(Instant),
    /// Shown twice by the autumn clock change: first and second moment.
    Twice(Instant, Instant),
}

/// A time zone name or offset that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ZoneError {
    /// What was written.
    pub text: String,
}

/// A fixed offset or a named zone from the bundled IANA table.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone(TimeZone);

impl Zone {
    /// Coordinated universal time.
    pub fn utc() -> Zone {
        Zone(TimeZone::UTC)
    }

    /// From `UTC`, `Z`, an offset (`-05:00`, `+0530`, `-5`, `UTC-5`) or an IANA name (`America/New_York`).
    pub fn parse(text: &str) -> Result<Zone, ZoneError> {
        let bare = text.trim();
        if bare.eq_ignore_ascii_case("utc") || bare.eq_ignore_ascii_case("z") || bare.eq_ignore_ascii_case("gmt") {
            return Ok(Zone::utc());
        }
        let after_name = bare.strip_prefix("UTC").or_else(|| bare.strip_prefix("GMT")).unwrap_or(bare);
        if let Some(seconds) = offset_seconds(after_name) {
            return Offset::from_seconds(seconds)
                .map(|offset| Zone(offset.to_time_zone()))
                .map_err(|_| ZoneError { text: text.to_owned() });
        }
        TimeZone::get(bare).map(Zone).map_err(|_| ZoneError { text: text.to_owned() })
    }

    /// Seconds to add to UTC to get local time at this moment.
    pub fn offset_s(&self, at: Instant) -> i32 {
        self.0.to_offset(timestamp(at)).seconds()
    }

    /// Local civil date and time at this moment.
    pub fn local(&self, at: Instant) -> DateTime {
        self.0.to_datetime(timestamp(at))
    }

    /// Local civil day and seconds since local midnight by the clock's face.
    pub fn day_and_second(&self, at: Instant) -> (Day, i32) {
        let shifted = at.0 + i64::from(self.offset_s(at));
        let day = shifted.div_euclid(86_400);
        (Day(day as i32), shifted.rem_euclid(86_400) as i32)
    }

    /// What a local clock time means here.
    pub fn resolve(&self, local: DateTime) -> Local {
        let face = i64::from(Day::from_date(local.date()).0) * 86_400
            + i64::from(local.hour()) * 3600
            + i64::from(local.minute()) * 60
            + i64::from(local.second());
        let at = |offset: Offset| Instant(face - i64::from(offset.seconds()));
        match self.0.to_ambiguous_timestamp(local).offset() {
            AmbiguousOffset::Unambiguous { offset } => Local::One(at(offset)),
            AmbiguousOffset::Gap { before, .. } => Local::Skipped(at(before)),
            AmbiguousOffset::Fold { before, after } => Local::Twice(at(before), at(after)),
        }
    }

    /// The moment of a local clock time on a day; the first of two, the shifted one of none.
    pub fn instant(&self, day: Day, second: i32) -> Instant {
        let day = day.plus(second.div_euclid(86_400));
        let second = second.rem_euclid(86_400);
        let clock = civil_time(second);
        match self.resolve(day.date().to_datetime(clock)) {
            Local::One(at) | Local::Skipped(at) | Local::Twice(at, _) => at,
        }
    }

    /// `2020-07-06T06:00-05:00`. Where the clock of old stood off by odd seconds, clock and offset are both told to the minute,
    /// so that the stamp still names this very minute.
    pub fn stamp(&self, at: Instant) -> String {
        let offset = self.offset_s(at).div_euclid(60) * 60;
        let shifted = at.0 + i64::from(offset);
        let (day, second) = (Day(shifted.div_euclid(86_400) as i32), shifted.rem_euclid(86_400));
        let sign = if offset < 0 { '-' } else { '+' };
        let (hours, minutes) = (offset.abs() / 3600, offset.abs() / 60 % 60);
        format!("{day}T{:02}:{:02}{sign}{hours:02}:{minutes:02}", second / 3600, second / 60 % 60)
    }
}

fn civil_time(second: i32) -> jiff::civil::Time {
    let part = |value: i32| i8::try_from(value).expect("hours, minutes and seconds fit");
    jiff::civil::time(part(second / 3600), part(second / 60 % 60), part(second % 60), 0)
}

fn timestamp(at: Instant) -> jiff::Timestamp {
    jiff::Timestamp::from_second(at.0).unwrap_or(if at.0 < 0 { jiff::Timestamp::MIN } else { jiff::Timestamp::MAX })
}

/// Seconds of `+05:30`, `-0500`, `-5`; `None` when the text is no offset.
fn offset_seconds(text: &str) -> Option<i32> {
    let (sign, digits) = match text.as_bytes().first()? {
        b'+' => (1, &text[1..]),
        b'-' => (-1, &text[1..]),
        _ => return None,
    };
    let (hours, minutes) = match digits.split_once(':') {
        Some((hours, minutes)) => (hours, minutes),
        None if digits.len() == 4 && digits.is_ascii() => digits.split_at(2),
        None => (digits, "0"),
    };
    let (hours, minutes): (i32, i32) = (hours.parse().ok()?, minutes.parse().ok()?);
    ((0..=18).contains(&hours) && (0..60).contains(&minutes)).then(|| sign * (hours * 3600 + minutes * 60))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stamp_needs_its_offset() {
        assert_eq!(Instant::parse("1970-01-02T01:00+01:00"), Some(Instant(86_400)));
        assert_eq!(Instant::parse("1970-01-02T01:00"), None);
    }

    #[test]
    fn days_go_round() {
        for (text, number) in [("1970-01-01", 0), ("1969-12-31", -1), ("2000-02-29", 11016), ("1930-01-01", -14610)] {
            let day = Day::parse(text).expect("a date");
            assert_eq!(day.0, number);
            assert_eq!(day.to_string(), text);
        }
        assert_eq!(Day::parse("2024-09-02").expect("a date").weekday(), 0, "Labor Day is a Monday");
        assert_eq!(Day::parse("2021-02-29"), None);
    }

    #[test]
    fn clocks_that_change_are_told() {
        let zone = Zone::parse("America/New_York").expect("in the table");
        let at = |text: &str| zone.resolve(text.parse().expect("a civil time"));
        assert_eq!(at("2013-07-01T12:00"), Local::One(Instant(1_372_694_400)));
        assert!(matches!(at("2013-03-10T02:30"), Local::Skipped(_)));
        let Local::Twice(first, second) = at("2013-11-03T01:30") else { panic!("shown twice") };
        assert_eq!(second.0 - first.0, 3600);
        assert_eq!(zone.stamp(first), "2013-11-03T01:30-04:00");
        assert_eq!(zone.stamp(second), "2013-11-03T01:30-05:00");
    }

    #[test]
    fn a_stamp_from_before_whole_minute_clocks_comes_back() {
        // Found by fuzzing: the sun's clock of Berlin stood 53 min 28 s off, and the stamp lost the 28 s on one side only.
        let zone = Zone::parse("Europe/Berlin").expect("in the table");
        let at = Instant(-2_524_524_808);
        assert_eq!(zone.offset_s(at), 3208);
        assert_eq!(zone.stamp(at), "1889-12-31T23:59+00:53");
        assert_eq!(Instant::parse(&zone.stamp(at)), Some(Instant(at.0 - 32)), "the beginning of the minute");
    }

    #[test]
    fn offsets_in_the_forms_people_write() {
        for (text, seconds) in [("-05:00", -18_000), ("+0530", 19_800), ("UTC-5", -18_000), ("-3", -10_800), ("Z", 0)] {
            assert_eq!(Zone::parse(text).expect(text).offset_s(Instant(0)), seconds, "{text}");
        }
        // The last was found by fuzzing: so many hours that their seconds overflowed.
        for text in ["Nowhere/Land", "+99", "", "5", "+0é0", "-2147483647"] {
            assert!(Zone::parse(text).is_err(), "{text}");
        }
    }
}
