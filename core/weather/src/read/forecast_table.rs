//! Our own plain forecast table: a line `issued,2024-09-30T05:10-04:00`, a header, then one line for each day with the low of
//! the night that ends that morning and the day's high, and whatever else is known:
//!
//! ```text
//! issued,2024-09-30T05:10-04:00
//! date,low_c,high_c,dew_point_c,wind_speed_m_s,cloud_fraction,rain_chance_pct
//! 2024-09-30,12.0,26.1,11.5,2.0,0.3,10
//! ```
//!
//! A header with `time` and `air_temp_c` makes it a forecast of hours instead.

use std::collections::BTreeMap;

use units::{Day, Instant, Zone};

use super::columns::{Column, Field, cell, columns, find};
use super::hourly::{Cells, HourlyForm, read_hourly};
use super::table::{Table, decode, is_blank};
use super::times::{Clock, Placed, date_order, day, stamp};
use crate::findings::{Done, Finding, Read, Refusal, What, clipped};
use crate::issued::{ForecastDay, IssuedForecast, days_of};

/// Reads a plain forecast table; `zone` is the clock of times without an offset.
pub fn read_forecast_table(bytes: &[u8], zone: &Zone) -> Result<Read<IssuedForecast>, Refusal> {
    let mut findings = Vec::new();
    let text = decode(bytes, &mut findings);
    let (issued, rest) = split_issued(&text, zone)?;
    let table = Table::new(&rest)?;
    let all = columns(&table, &mut findings)?;
    if find(&all, Field::Time).is_some() && find(&all, Field::AirTemp).is_some() {
        let form = HourlyForm { zone: Some(zone.clone()), label: None };
        let read = read_hourly(rest.as_bytes(), &form)?;
        let days = days_of(Some(&read.value), &[], zone);
        let place = read.value.place.clone();
        let value = IssuedForecast { issued, hours: Some(read.value), extremes: Vec::new(), days, place };
        return Ok(Read { value, findings: read.findings });
    }
    let days = days_of_table(&table, &all, &mut findings)?;
    Ok(Read { value: IssuedForecast { issued, hours: None, extremes: Vec::new(), days, place: None }, findings })
}

/// Whether a first line is ours.
pub(super) fn looks_like_forecast(first_line: &str) -> bool {
    first_line.split([',', ';', '\t']).next().is_some_and(|cell| cell.trim().eq_ignore_ascii_case("issued"))
}

/// The moment of issue, and the text with its line made a remark so that all line numbers stay.
fn split_issued(text: &str, zone: &Zone) -> Result<(Instant, String), Refusal> {
    let mut issued = None;
    let mut rest = String::with_capacity(text.len() + 2);
    for (i, line) in text.lines().enumerate() {
        if issued.is_none() && looks_like_forecast(line) {
            let written = line.split([',', ';', '\t']).nth(1).unwrap_or("").trim().trim_matches('"');
            let refused = || Refusal::NoUsableLine { line: i + 1, text: clipped(line) };
            let placed = Clock::new(zone.clone()).place(stamp(written, None).ok_or_else(refused)?);
            issued = match placed {
                Placed::At(at) | Placed::OneOfTwo { at, .. } => Some(at),
                Placed::Never => return Err(refused()),
            };
            rest.push('#');
        }
        rest.push_str(line);
        rest.push('\n');
    }
    Ok((issued.ok_or(Refusal::NoKey("issued"))?, rest))
}

fn days_of_table(table: &Table<'_>, all: &[Column], findings: &mut Vec<Finding>) -> Result<Vec<ForecastDay>, Refusal> {
    let need = |field, wanted| find(all, field).ok_or(Refusal::NoColumn { line: table.header_line, wanted });
    let date = need(Field::Date, "date")?;
    let (low, high) = (need(Field::Low, "low_c or low_f")?, need(Field::High, "high_c or high_f")?);
    let values: Vec<Column> = all.iter().copied().filter(|c| c.place != date.place).collect();
    let order = date_order(table.lines.iter().map(|&(_, line)| cell(&table.cells(line), date).to_owned()));
    let name = table.header[date.place].as_ref();
    let mut reader = Cells::new(table);
    let mut days: BTreeMap<Day, (usize, ForecastDay)> = BTreeMap::new();
    for &(line, text) in &table.lines {
        let cells = table.cells(text);
        findings.extend(table.count_cells(line, &cells));
        let written = cell(&cells, date);
        let Some(at) = day(written, order) else {
            let what = if is_blank(written) { What::Blank } else { What::NotATime };
            findings.push(Finding::cell(line, name, written, what, Done::Dropped));
            continue;
        };
        if let Some((first_line, _)) = days.get(&at) {
            let what = What::Repeated { first_line: *first_line };
            findings.push(Finding::cell(line, name, written, what, Done::FirstUsed));
            continue;
        }
        if days.last_key_value().is_some_and(|(last, _)| at < *last) {
            findings.push(Finding::cell(line, name, written, What::OutOfOrder, Done::Sorted));
        }
        let mut said = ForecastDay::silent(at);
        for &column in &values {
            let value = reader.value(line, cell(&cells, column), column, findings);
            put(&mut said, column.field, value);
        }
        if let (Some(low_c), Some(high_c)) = (said.low_c, said.high_c)
            && low_c > high_c
        {
            // A night colder than the day is no rule: a front can bring a high below the low of the night before. Said, kept.
            findings.push(Finding::line(line, What::LowAboveHigh { low_c, high_c }, Done::Kept));
        }
        days.insert(at, (line, said));
    }
    reader.in_unit(&[low, high])?;
    reader.finish(&values, true, findings);
    findings.sort_by_key(|finding| finding.line);
    if days.is_empty() {
        let (line, text) = table.lines[0];
        return Err(Refusal::NoUsableLine { line, text: clipped(text) });
    }
    Ok(days.into_values().map(|(_, said)| said).collect())
}

fn put(said: &mut ForecastDay, field: Field, value: Option<f64>) {
    match field {
        Field::Low => said.low_c = value,
        Field::High => said.high_c = value,
        Field::DewPoint => said.dew_point_c = value,
        Field::Wind => said.wind_m_s = value,
        Field::Cloud => said.cloud_fraction = value,
        Field::RainChance => said.rain_chance = value,
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zone() -> Zone {
        Zone::parse("America/New_York").expect("in the table")
    }

    #[test]
    fn a_plain_table() {
        let text = "# made up\nissued,2024-09-30T05:10\ndate,low_f,high_f,cloud_fraction,luck\n\
                    2024-09-30,50,77,0.3,1\n2024-10-02,41,,0.9,1\n2024-10-01,41,68,2,1\n2024-10-01,1,2,0,1\nlater,1,2,0,1\n";
        let read = read_forecast_table(text.as_bytes(), &zone()).expect("a forecast");
        assert_eq!(zone().stamp(read.value.issued), "2024-09-30T05:10-04:00");
        let days = &read.value.days;
        assert_eq!(days.len(), 3);
        assert_eq!((days[0].low_c, days[0].high_c, days[0].cloud_fraction), (Some(10.0), Some(25.0), Some(0.3)));
        assert_eq!((days[1].high_c, days[1].cloud_fraction), (Some(20.0), None));
        assert_eq!(days[2].high_c, None);
        let lines: Vec<usize> = read.findings.iter().map(|finding| finding.line).collect();
        assert_eq!(lines, [3, 5, 6, 6, 7, 8]);
    }

    #[test]
    fn a_table_of_hours() {
        let text = "issued;2024-09-30T05:10-04:00\ntime;air_temp_c\n2024-09-30T05:00;12,5\n2024-09-30T06:00;13\n";
        let read = read_forecast_table(text.as_bytes(), &zone()).expect("a forecast");
        let hours = read.value.hours.expect("hours");
        assert_eq!(zone().stamp(hours.start), "2024-09-30T05:00-04:00");
        assert_eq!(hours.hours[0].air_temp_c, Some(12.5));
    }

    #[test]
    fn refusals() {
        for (text, expected) in [
            ("date,low_c,high_c\n2024-09-30,1,2\n", Refusal::NoKey("issued")),
            ("issued,soon\n", Refusal::NoUsableLine { line: 1, text: "issued,soon".into() }),
            (
                "issued,2024-09-30T05:10Z\ndate,low_c\n2024-09-30,1\n",
                Refusal::NoColumn { line: 2, wanted: "high_c or high_f" },
            ),
            (
                "issued,2024-09-30T05:10Z\ndate,low_c,high_c\n2024-09-30,50,82\n2024-10-01,48,77\n",
                Refusal::OtherUnit { line: 2, column: "high_c".to_owned(), outside: 2, of: 2 },
            ),
            (
                "issued,2024-09-30T05:10Z\ndate,low_c,high_c\nsoon,1,2\n",
                Refusal::NoUsableLine { line: 3, text: "soon,1,2".into() },
            ),
        ] {
            assert_eq!(read_forecast_table(text.as_bytes(), &zone()).expect_err(text), expected);
        }
    }
}
