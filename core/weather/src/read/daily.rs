//! Daily tables of lowest and highest air temperature, and what every daily form shares: a record in order, absurd values out,
//! short holes filled.
//!
//! Model     a hole of at most three days is filled with the usual value of that time of year plus the anomaly of its
//!           neighbours, straight between them.
//! Units     °C.
//! Range     records of 40 days or more know their season; shorter ones are filled by a straight line.
//! Source    common practice; its error is measured in docs/model/weather.md.
//! Left out  neighbouring stations.

use std::collections::BTreeMap;

use units::Day;

use super::assemble::stretches;
use super::columns::{Field, cell, columns, find};
use super::hourly::Cells;
use super::table::{Table, decode, is_blank};
use super::times::{date_order, day};
use crate::air::DailyRecord;
use crate::findings::{Done, Finding, Read, Refusal, What};
use crate::longwave::bridged;
use crate::season_curve::SeasonCurve;

/// Longest hole that is filled, days.
const FILL_DAYS_MAX: usize = 3;
/// Years a record may span.
const SPAN_DAYS_MAX: i32 = 400 * 366;
/// Deviations from the season at which a value is named, and at which it is not believed.
const NAMED_DEVIATIONS: f64 = 4.5;
const DROPPED_DEVIATIONS: f64 = 7.0;
const WAVES: usize = 3;

/// What one line says of one day.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct DayLine {
    /// Lines that speak of the low and of the high: one and the same in a table, two in some forms; 0 for none.
    pub lines: [usize; 2],
    pub low_c: Option<f64>,
    pub high_c: Option<f64>,
}

impl DayLine {
    /// The first line that speaks of the day; 0 for none.
    pub(super) fn line(&self) -> usize {
        self.lines.into_iter().filter(|&line| line > 0).min().unwrap_or(0)
    }
}

/// Reads a daily table with a date column and lows and highs.
pub fn read_daily(bytes: &[u8]) -> Result<Read<DailyRecord>, Refusal> {
    let mut findings = Vec::new();
    let text = decode(bytes, &mut findings);
    let table = Table::new(&text)?;
    let all = columns(&table, &mut findings)?;
    let need = |field, wanted| find(&all, field).ok_or(Refusal::NoColumn { line: table.header_line, wanted });
    let date = find(&all, Field::Date).map_or_else(|| need(Field::Time, "date"), Ok)?;
    let low = need(Field::Low, "low_c or low_f")?;
    let high = need(Field::High, "high_c or high_f")?;
    let not_used = all.iter().filter(|c| ![date.place, low.place, high.place].contains(&c.place));
    findings.extend(not_used.map(|column| {
        let name = table.header[column.place].as_ref();
        Finding::cell(table.header_line, name, name, What::NotUsed, Done::Dropped)
    }));
    let order = date_order(table.lines.iter().map(|&(_, line)| cell(&table.cells(line), date).to_owned()));
    let mut reader = Cells::new(&table);
    let mut days = Days::default();
    let mut first_failed = None;
    for &(line, text) in &table.lines {
        let cells = table.cells(text);
        findings.extend(table.count_cells(line, &cells));
        let date_text = cell(&cells, date);
        let name = table.header[date.place].as_ref();
        let Some(at) = day(date_text, order) else {
            let what = if is_blank(date_text) { What::Blank } else { What::NotATime };
            findings.push(Finding::cell(line, name, date_text, what, Done::Dropped));
            first_failed = first_failed.or(Some((line, date_text.to_owned())));
            continue;
        };
        let low_c = reader.value(line, cell(&cells, low), low, &mut findings);
        let high_c = reader.value(line, cell(&cells, high), high, &mut findings);
        days.add(at, DayLine { lines: [line; 2], low_c, high_c }, name, date_text, &mut findings);
    }
    if let (true, Some((line, text))) = (days.0.is_empty(), first_failed) {
        return Err(Refusal::NoUsableLine { line, text: crate::findings::clipped(&text) });
    }
    reader.in_unit(&[low, high])?;
    reader.finish(&[low, high], true, &mut findings);
    let mut read = days.finish([&table.header[low.place], &table.header[high.place]], findings)?;
    quote(&table, &mut read.findings);
    Ok(read)
}

/// Adds the text as written to findings about a cell that were made from values.
fn quote(table: &Table<'_>, findings: &mut [Finding]) {
    for finding in findings.iter_mut().filter(|finding| finding.text.is_empty() && !finding.column.is_empty()) {
        let place = table.header.iter().position(|name| *name == finding.column);
        let line = table.lines.binary_search_by_key(&finding.line, |(line, _)| *line);
        if let (Some(place), Ok(line)) = (place, line) {
            let cells = table.cells(table.lines[line].1);
            finding.text = cells.get(place).map_or(String::new(), |cell| crate::findings::clipped(cell));
        }
    }
}

/// Days in any order.
#[derive(Debug, Default)]
pub(super) struct Days(pub BTreeMap<Day, DayLine>);

impl Days {
    /// Takes a day; a second line for it is named and dropped, an earlier day than the last is named.
    pub(super) fn add(&mut self, at: Day, of: DayLine, column: &str, text: &str, findings: &mut Vec<Finding>) {
        if let Some(first) = self.0.get(&at) {
            let what = What::Repeated { first_line: first.line() };
            findings.push(Finding::cell(of.line(), column, text, what, Done::FirstUsed));
            return;
        }
        if self.0.last_key_value().is_some_and(|(last, _)| at < *last) {
            findings.push(Finding::cell(of.line(), column, text, What::OutOfOrder, Done::Sorted));
        }
        self.0.insert(at, of);
    }

    /// The record, with what cannot be believed taken out and short holes filled. `names` are those of the low and the high in
    /// the file.
    pub(super) fn finish(self, names: [&str; 2], mut findings: Vec<Finding>) -> Result<Read<DailyRecord>, Refusal> {
        let first = *self.0.first_key_value().ok_or(Refusal::Empty)?.0;
        let (last, last_line) = self.0.last_key_value().map(|(day, of)| (*day, of.line())).ok_or(Refusal::Empty)?;
        if last.0 - first.0 > SPAN_DAYS_MAX {
            return Err(Refusal::SpanTooLong { line: last_line, text: last.to_string() });
        }
        let n_days = (last.0 - first.0 + 1) as usize;
        let mut lines = vec![DayLine::default(); n_days];
        for (at, of) in self.0 {
            lines[(at.0 - first.0) as usize] = of;
        }
        name_low_above_high(&mut lines, names, &mut findings);
        let mut low = Side::new(first, &lines, |of| (of.lines[0], of.low_c));
        let mut high = Side::new(first, &lines, |of| (of.lines[1], of.high_c));
        low.drop_absurd(names[0], &mut findings);
        high.drop_absurd(names[1], &mut findings);
        name_missing_days(first, &lines, &mut findings);
        low.fill(names[0], &mut findings);
        high.fill(names[1], &mut findings);
        for (low, high) in low.values.iter_mut().zip(&high.values) {
            // A filled minimum may come out above a maximum that was read, or the other way round.
            if let (Some(low), Some(high)) = (low, high) {
                *low = low.min(*high);
            }
        }
        findings.sort_by_key(|finding| finding.line);
        Ok(Read { value: DailyRecord { first, low_c: low.values, high_c: high.values }, findings })
    }
}

fn name_low_above_high(lines: &mut [DayLine], names: [&str; 2], findings: &mut Vec<Finding>) {
    for of in lines {
        if let (Some(low_c), Some(high_c)) = (of.low_c, of.high_c)
            && low_c > high_c
        {
            // Nothing tells which of the two is wrong.
            for name in names {
                findings.push(Finding::cell(of.line(), name, "", What::LowAboveHigh { low_c, high_c }, Done::Dropped));
            }
            (of.low_c, of.high_c) = (None, None);
        }
    }
}

fn name_missing_days(first: Day, lines: &[DayLine], findings: &mut Vec<Finding>) {
    for (from, days) in stretches(lines.iter().map(|of| of.line() == 0)) {
        let done = if days <= FILL_DAYS_MAX { Done::Filled(None) } else { Done::LeftOpen };
        let what = What::MissingDays { from: first.plus(from as i32), days };
        findings.push(Finding::line(lines[from - 1].line(), what, done));
    }
}

/// The lows or the highs.
struct Side {
    /// Line of each day's value; 0 for none.
    lines: Vec<usize>,
    values: Vec<Option<f64>>,
    day_of_year: Vec<f64>,
    season: Option<SeasonCurve>,
}

impl Side {
    fn new(first: Day, days: &[DayLine], get: fn(&DayLine) -> (usize, Option<f64>)) -> Side {
        let (lines, values): (Vec<usize>, Vec<Option<f64>>) = days.iter().map(get).unzip();
        let day_of_year: Vec<f64> = (0..days.len()).map(|i| f64::from(first.plus(i as i32).day_of_year())).collect();
        let points: Vec<(f64, f64)> =
            day_of_year.iter().zip(&values).filter_map(|(day, value)| Some((*day, (*value)?))).collect();
        let season = SeasonCurve::fit(&points, WAVES);
        Side { lines, values, day_of_year, season }
    }

    fn drop_absurd(&mut self, column: &str, findings: &mut Vec<Finding>) {
        let Some(season) = &self.season else { return };
        for i in 0..self.values.len() {
            let Some(value_c) = self.values[i] else { continue };
            let day = self.day_of_year[i];
            let usual_c = season.at(day);
            let deviations = (value_c - usual_c) / season.spread(day).max(1.0);
            if deviations.abs() < NAMED_DEVIATIONS {
                continue;
            }
            let dropped = deviations.abs() >= DROPPED_DEVIATIONS;
            let done = if dropped { Done::Dropped } else { Done::Kept };
            let what = What::FarFromSeason { value_c, usual_c, deviations };
            findings.push(Finding::cell(self.lines[i], column, "", what, done));
            if dropped {
                self.values[i] = None;
            }
        }
    }

    fn fill(&mut self, column: &str, findings: &mut Vec<Finding>) {
        let usual = |day: f64| self.season.as_ref().map_or(0.0, |season| season.at(day));
        let anomalies: Vec<Option<f64>> =
            self.values.iter().zip(&self.day_of_year).map(|(value, &day)| Some((*value)? - usual(day))).collect();
        let Some(whole) = bridged(&anomalies) else { return };
        let n_days = self.values.len();
        let mut told = Told::new(findings);
        for (from, days) in stretches(anomalies.iter().map(Option::is_none)) {
            // A hole at either end has one neighbour only: left open, for it would repeat one day's weather.
            let filled = days <= FILL_DAYS_MAX && from > 0 && from + days < n_days;
            for i in from..from + days {
                let value = usual(self.day_of_year[i]) + whole[i];
                if filled {
                    self.values[i] = Some(value);
                }
                if self.lines[i] > 0 {
                    let done = if filled { Done::Filled(Some(value)) } else { Done::LeftOpen };
                    told.end_of(self.lines[i], column, done, findings);
                }
            }
        }
    }
}

/// Which findings already name a value that was not used, so that what became of it is told there.
struct Told(BTreeMap<usize, Vec<usize>>);

impl Told {
    fn new(findings: &[Finding]) -> Told {
        let mut by_line: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, finding) in findings.iter().enumerate().filter(|(_, finding)| finding.done == Done::Dropped) {
            by_line.entry(finding.line).or_default().push(i);
        }
        Told(by_line)
    }

    fn end_of(&mut self, line: usize, column: &str, done: Done, findings: &mut Vec<Finding>) {
        let known = self.0.get(&line).into_iter().flatten().copied().find(|&i| findings[i].column == column);
        match known {
            Some(i) => findings[i].done = done,
            None => findings.push(Finding::cell(line, column, "", What::NoValue, done)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Read<DailyRecord> {
        read_daily(text.as_bytes()).expect("a daily table")
    }

    #[test]
    fn every_kind_of_trouble_is_named_with_its_line() {
        let text = "# a remark\ndate,low_f,high_f,note\n2020-01-01,32,50\n2020-01-02,,52\n2020-01-03,60,40\n\
                    2020-01-05,30,50\n2020-01-04,31,51\n2020-01-05,1,2\n2020-13-01,1,2\n2020-01-06,x,50\n2020-01-12,33,999\n";
        let read = read(text);
        let found: Vec<(usize, Done)> = read.findings.iter().map(|f| (f.line, f.done)).collect();
        let at = |line: usize| read.findings.iter().filter(move |f| f.line == line).map(|f| f.what.clone());
        assert!(at(2).any(|w| w == What::UnknownColumn), "{found:?}");
        assert!(at(4).any(|w| w == What::Blank));
        assert!(at(5).any(|w| matches!(w, What::LowAboveHigh { .. })));
        assert!(at(7).any(|w| w == What::OutOfOrder));
        assert!(at(8).any(|w| w == What::Repeated { first_line: 6 }));
        assert!(at(9).any(|w| w == What::NotATime));
        assert!(at(10).any(|w| w == What::NotANumber));
        assert!(at(10).any(|w| matches!(w, What::MissingDays { days: 5, .. })));
        assert!(at(11).any(|w| matches!(w, What::OutOfBounds { value: 999.0, .. })));
        let record = read.value;
        assert_eq!(record.first.to_string(), "2020-01-01");
        assert_eq!(record.low_c[0], Some(0.0));
        let filled = record.low_c[1].expect("one day is filled");
        assert!(filled.abs() < 0.6, "{filled}");
        assert_eq!(record.low_c[7], None, "five days are not filled");
        assert_eq!(record.high_c[11], None, "nor is the end");
    }

    #[test]
    fn refusals_say_what_is_wanted() {
        for (text, expected) in [
            ("", Refusal::Empty),
            ("date,low_c,high_c\n", Refusal::Empty),
            ("date,high_c\n2020-01-01,5\n", Refusal::NoColumn { line: 1, wanted: "low_c or low_f" }),
            ("low_c,high_c\n1,5\n", Refusal::NoColumn { line: 1, wanted: "date" }),
            (
                "date,low_c,tmin_c,high_c\n2020-01-01,1,2,5\n",
                Refusal::TwoColumns { line: 1, first: "low_c".into(), second: "tmin_c".into() },
            ),
            ("date,low_c,high_c\nsoon,1,5\n", Refusal::NoUsableLine { line: 2, text: "soon".into() }),
        ] {
            assert_eq!(read_daily(text.as_bytes()).expect_err(text), expected);
        }
    }

    #[test]
    fn a_semicolon_table_with_decimal_commas() {
        let read = read("Date;Low (°C);High (°C)\n6.7.2020;12,5;30\n7.7.2020;13;31,5\n");
        assert_eq!(read.value.low_c, [Some(12.5), Some(13.0)]);
        assert_eq!(read.value.high_c[1], Some(31.5));
        assert_eq!(read.findings, []);
    }

    #[test]
    fn an_absurd_value_is_known_by_its_season() {
        let mut text = "date,low_c,high_c\n".to_owned();
        let first = Day::new(2019, 1, 1).expect("a date");
        for i in 0..730 {
            let swing = if i % 3 == 0 { 3.0 } else { -1.5 };
            let season = 15.0 - 10.0 * units::cos(f64::from(i) / 365.25 * std::f64::consts::TAU);
            let low = if i == 560 { -57.8 } else { season + swing };
            text += &format!("{},{low},{}\n", first.plus(i), season + swing + 12.0);
        }
        let read = read(&text);
        let [finding] = &read.findings[..] else { panic!("{:?}", read.findings) };
        assert_eq!((finding.line, finding.column.as_str()), (562, "low_c"));
        assert!(matches!(finding.what, What::FarFromSeason { value_c: -57.8, .. }));
        let low = read.value.low_c[560].expect("filled");
        assert_eq!(finding.done, Done::Filled(Some(low)));
        assert!((low - 24.0).abs() < 4.0, "{low}");
    }
}
