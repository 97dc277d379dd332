//! The public daily climatology of the world's stations (GHCN-Daily): monthly fixed-width lines (`.dly`), or one value a line
//! with commas (by station or by year). Temperatures in tenths of a degree, -9999 missing, a letter where a check failed.
//!
//! The form is that of the data set's own readme, from memory.

use std::collections::BTreeMap;

use units::Day;

use super::daily::{DayLine, Days};
use super::table::{Table, decode};
use crate::air::DailyRecord;
use crate::findings::{Done, Finding, Read, Refusal, What, clipped};

const MISSING: i32 = -9999;
const TENTHS_MIN: i32 = -600;
const TENTHS_MAX: i32 = 570;

/// Values as they come in, whatever the order of lines.
#[derive(Default)]
struct Gathered {
    station: Option<String>,
    days: BTreeMap<Day, DayLine>,
    findings: Vec<Finding>,
    /// Lines of other stations, counted by station.
    others: BTreeMap<String, usize>,
}

impl Gathered {
    /// Whether a line belongs to the station of the first; others are named once.
    fn is_ours(&mut self, line: usize, station: &str) -> bool {
        let ours = self.station.get_or_insert_with(|| station.to_owned());
        if ours == station {
            return true;
        }
        if !self.others.contains_key(station) {
            self.others.insert(station.to_owned(), line);
            self.findings.push(Finding::cell(line, "station", station, What::NotUsed, Done::Dropped));
        }
        false
    }

    fn take(&mut self, line: usize, day: Day, is_high: bool, text: &str, mark: &str) {
        if text.trim().parse() == Ok(MISSING) {
            return;
        }
        let name = if is_high { "TMAX" } else { "TMIN" };
        let side = usize::from(is_high);
        let of = self.days.entry(day).or_default();
        let first_line = of.lines[side];
        of.lines[side] = if first_line > 0 { first_line } else { line };
        let place = if is_high { &mut of.high_c } else { &mut of.low_c };
        let mut name_it = |what| self.findings.push(Finding::cell(line, name, text, what, Done::Dropped));
        let Ok(tenths) = text.trim().parse::<i32>() else {
            name_it(What::NotANumber);
            return;
        };
        if let Some(mark) = mark.trim().chars().next() {
            name_it(What::QualityMark(mark));
            return;
        }
        if !(TENTHS_MIN..=TENTHS_MAX).contains(&tenths) {
            let (value, least, most) = (f64::from(tenths), f64::from(TENTHS_MIN), f64::from(TENTHS_MAX));
            name_it(What::OutOfBounds { value, least, most });
            return;
        }
        if place.is_some() {
            name_it(What::Repeated { first_line });
        } else {
            *place = Some(f64::from(tenths) / 10.0);
        }
    }

    fn finish(self) -> Result<Read<DailyRecord>, Refusal> {
        Days(self.days).finish(["TMIN", "TMAX"], self.findings)
    }
}

/// Reads the fixed-width form: station (11), year (4), month (2), element (4), then 31 times value (5) and three marks.
pub fn read_ghcn_dly(bytes: &[u8]) -> Result<Read<DailyRecord>, Refusal> {
    let mut gathered = Gathered::default();
    let text = decode(bytes, &mut gathered.findings);
    for (i, text) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let line = i + 1;
        let part = |from: usize, to: usize| text.get(from..to.min(text.len())).unwrap_or("");
        let is_high = match part(17, 21) {
            "TMAX" => true,
            "TMIN" => false,
            _ => continue, // rain, snow and the rest
        };
        let (Ok(year), Ok(month)) = (part(11, 15).parse::<i16>(), part(15, 17).trim().parse::<i8>()) else {
            gathered.findings.push(Finding::cell(line, "year and month", part(11, 17), What::NotATime, Done::Dropped));
            continue;
        };
        if !gathered.is_ours(line, part(0, 11)) {
            continue;
        }
        for of_month in 1..=31_i8 {
            let from = 21 + 8 * (of_month as usize - 1);
            let value = part(from, from + 5);
            let Some(day) = Day::new(year, month, of_month) else { continue };
            if !value.trim().is_empty() {
                gathered.take(line, day, is_high, value, part(from + 6, from + 7));
            }
        }
    }
    gathered.finish()
}

/// Reads the form with commas: either `station,yyyymmdd,element,value,mark,quality,source,time` without a header, or a header
/// with STATION, DATE, TMAX, TMIN and their attributes.
pub fn read_ghcn_by_station(bytes: &[u8]) -> Result<Read<DailyRecord>, Refusal> {
    let mut gathered = Gathered::default();
    let text = decode(bytes, &mut gathered.findings);
    let table = Table::new(&text)?;
    let place = |name: &str| table.header.iter().position(|cell| cell.eq_ignore_ascii_case(name));
    match (place("DATE"), place("TMAX"), place("TMIN")) {
        (Some(date), Some(high), Some(low)) => wide(&table, [date, low, high], place("STATION"), &mut gathered),
        _ => long(&text, &table, &mut gathered),
    }
    gathered.finish()
}

fn wide(table: &Table<'_>, [date, low, high]: [usize; 3], station: Option<usize>, gathered: &mut Gathered) {
    for &(line, text) in &table.lines {
        let cells = table.cells(text);
        let cell = |i: usize| cells.get(i).map_or("", |cell| cell.as_ref());
        let Some(day) = super::times::day(cell(date), None) else {
            gathered.findings.push(Finding::cell(line, "DATE", cell(date), What::NotATime, Done::Dropped));
            continue;
        };
        if !gathered.is_ours(line, station.map_or("", cell)) {
            continue;
        }
        gathered.days.entry(day).or_insert(DayLine { lines: [line; 2], ..DayLine::default() });
        for (place, is_high) in [(low, false), (high, true)] {
            // Attributes "measurement,quality,source" stand in the column after the value.
            let attributes = table.header.get(place + 1).is_some_and(|name| name.ends_with("_ATTRIBUTES"));
            let quality = if attributes { cell(place + 1).split(',').nth(1).unwrap_or("") } else { "" };
            if !cell(place).is_empty() {
                gathered.take(line, day, is_high, cell(place), quality);
            }
        }
    }
}

fn long(text: &str, table: &Table<'_>, gathered: &mut Gathered) {
    for (i, text) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let line = i + 1;
        let cells = table.cells(text);
        let cell = |i: usize| cells.get(i).map_or("", |cell| cell.as_ref());
        let is_high = match cell(2) {
            "TMAX" => true,
            "TMIN" => false,
            _ => continue,
        };
        let Some(day) = super::times::day(cell(1), None) else {
            gathered.findings.push(Finding::cell(line, "date", &clipped(cell(1)), What::NotATime, Done::Dropped));
            continue;
        };
        if gathered.is_ours(line, cell(0)) {
            gathered.take(line, day, is_high, cell(3), cell(5));
        }
    }
}

/// Whether a text looks like the fixed-width form.
pub(super) fn looks_like_dly(first_line: &str) -> bool {
    let bytes = first_line.as_bytes();
    bytes.len() >= 29
        && bytes[..11].iter().all(|byte| byte.is_ascii_alphanumeric() || *byte == b'_' || *byte == b'-')
        && bytes[11..17].iter().all(u8::is_ascii_digit)
        && bytes[17..21].iter().all(|byte| byte.is_ascii_uppercase() || byte.is_ascii_digit())
}

/// Whether a text looks like the form with commas.
pub(super) fn looks_like_by_station(first_line: &str) -> bool {
    let cells: Vec<&str> = first_line.split(',').map(|cell| cell.trim().trim_matches('"')).collect();
    let has = |name: &str| cells.contains(&name);
    let wide = has("STATION") && has("DATE") && has("TMAX") && has("TMIN");
    let long = cells.len() >= 4
        && cells[0].len() == 11
        && cells[1].len() == 8
        && cells[1].bytes().all(|byte| byte.is_ascii_digit())
        && cells[2].len() == 4;
    wide || long
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A month of one element: values by day of the month, the rest missing.
    fn month(element: &str, values: &[(usize, &str)]) -> String {
        let mut line = format!("USX00000001202002{element}");
        for day in 1..=31 {
            let value = values.iter().find(|(of, _)| *of == day).map_or("-9999   ", |(_, value)| value);
            line += value;
        }
        line + "\n"
    }

    #[test]
    fn fixed_width_months() {
        let text = month("TMAX", &[(28, "  201  0"), (29, "  215 S0")])
            + &month("PRCP", &[(28, "   10  0")])
            + &month("TMIN", &[(28, "  -12  0"), (29, "   30  0")]);
        let read = read_ghcn_dly(text.as_bytes()).expect("a month");
        assert_eq!(read.value.first, Day::new(2020, 2, 28).expect("a date"));
        assert_eq!(read.value.low_c, [Some(-1.2), Some(3.0)]);
        assert_eq!(read.value.high_c, [Some(20.1), None]);
        assert_eq!(read.findings[0].what, What::QualityMark('S'));
        assert_eq!((read.findings[0].line, read.findings[0].done), (1, Done::LeftOpen));
    }

    #[test]
    fn one_value_a_line() {
        let text = "USX00000001,20200301,TMAX,201,,,0,0700\nUSX00000001,20200301,TMIN,55,,,0,0700\n\
                    USX00000002,20200301,TMIN,99,,,0,0700\nUSX00000001,20200302,TMAX,9990,,,0,\n\
                    USX00000001,20200302,TMIN,60,,,0,\nUSX00000001,20200302,SNOW,0,,,0,\n";
        let read = read_ghcn_by_station(text.as_bytes()).expect("values");
        assert_eq!(read.value.low_c, [Some(5.5), Some(6.0)]);
        assert_eq!(read.value.high_c, [Some(20.1), None]);
        assert!(read.findings.iter().any(|f| f.line == 3 && f.what == What::NotUsed));
        assert!(read.findings.iter().any(|f| f.line == 4 && matches!(f.what, What::OutOfBounds { value: 9990.0, .. })));
    }

    #[test]
    fn a_header_with_attributes() {
        let text = "\"STATION\",\"DATE\",\"LATITUDE\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n\
                    \"USX00000001\",\"2020-03-01\",\"34.7\",\"  201\",\",,0\",\"   55\",\",I,0\"\n\
                    \"USX00000001\",\"2020-03-02\",\"34.7\",\"  211\",\",,0\",\"   65\",\",,0\"\n";
        let read = read_ghcn_by_station(text.as_bytes()).expect("values");
        assert_eq!(read.value.high_c, [Some(20.1), Some(21.1)]);
        assert_eq!(read.value.low_c, [None, Some(6.5)]);
        assert_eq!(read.findings[0].what, What::QualityMark('I'));
    }
}
