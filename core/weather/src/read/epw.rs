//! EnergyPlus weather files: eight header lines, then one line for each hour of a (usually typical) year.

use std::collections::BTreeSet;

use units::{Day, Instant, SECONDS_PER_HOUR, Zone};

use super::assemble::{Row, assemble};
use super::table::{decode, number};
use crate::air::{HourlyRecord, PartHour, Place};
use crate::findings::{Done, Finding, Read, Refusal, What};
use crate::moist::{relative_humidity, saturation_bolton_1980};

/// A field of the data lines: name, place, least, most, the value from which it means missing.
type Slot = (&'static str, usize, f64, f64, f64);
const DRY: Slot = ("dry bulb", 6, -60.0, 57.0, 99.9);
const DEW: Slot = ("dew point", 7, -70.0, 38.0, 99.9);
const HUMIDITY: Slot = ("relative humidity", 8, 0.5, 110.0, 999.0);
const PRESSURE: Slot = ("pressure", 9, 50_000.0, 109_000.0, 999_999.0);
const SKY: Slot = ("horizontal infrared", 12, 80.0, 600.0, 9999.0);
const SUN: Slot = ("global horizontal radiation", 13, 0.0, 1450.0, 9999.0);
const WIND: Slot = ("wind speed", 21, 0.0, 75.0, 999.0);
const COVER: Slot = ("total sky cover", 22, 0.0, 10.0, 99.0);
const RAIN: Slot = ("liquid precipitation", 33, 0.0, 350.0, 999.0);

/// The year typical months are laid into: no leap year, as the form has none.
const TYPICAL_YEAR: i16 = 2001;

/// Reads an EnergyPlus weather file. Hours are labelled by their end, in the standard time its first line gives.
pub fn read_epw(bytes: &[u8]) -> Result<Read<HourlyRecord>, Refusal> {
    let mut findings = Vec::new();
    let text = decode(bytes, &mut findings);
    let place = location(text.lines().next().unwrap_or(""))?;
    let mut rows = Vec::new();
    let mut first_failed = None;
    let data = text.lines().enumerate().map(|(i, line)| (i + 1, line)).filter(|(_, line)| starts_with_year(line));
    let lines: Vec<(usize, Vec<&str>)> = data.map(|(i, line)| (i, line.split(',').map(str::trim).collect())).collect();
    let typical = is_typical(&lines);
    if typical {
        findings.push(Finding::line(lines[0].0, What::TypicalYear { year: TYPICAL_YEAR }, Done::Kept));
    }
    for (line, cells) in &lines {
        let Some(at) = moment(cells, typical, &place) else {
            let text = cells[..cells.len().min(5)].join(",");
            findings.push(Finding::cell(*line, "date", &text, What::NotATime, Done::Dropped));
            first_failed = first_failed.or(Some((*line, text)));
            continue;
        };
        if cells.len() <= COVER.1 {
            let what = What::CellCount { found: cells.len(), expected: 35 };
            findings.push(Finding::line(*line, what, Done::Kept));
        }
        let text = cells[..4].join(",");
        rows.push(Row { at, text, part: part(*line, cells, &mut findings) });
    }
    if rows.is_empty() {
        return Err(first_failed.map_or(Refusal::Empty, |(line, text)| Refusal::NoUsableLine { line, text }));
    }
    let grid_s = place.standard_offset_s();
    let mut record = assemble(rows, grid_s, "date", &mut findings)?;
    record.place = Some(place);
    Ok(Read { value: record, findings })
}

fn starts_with_year(line: &str) -> bool {
    line.len() > 5 && line.as_bytes()[..4].iter().all(u8::is_ascii_digit) && line.as_bytes()[4] == b','
}

/// `LOCATION,city,state,country,source,number,latitude,longitude,hours from UTC,elevation`.
fn location(line: &str) -> Result<Place, Refusal> {
    let cells: Vec<&str> = line.split(',').map(str::trim).collect();
    let get = |i: usize| cells.get(i).and_then(|cell| number(cell));
    if cells[0] != "LOCATION" {
        return Err(Refusal::NoHeader { line: 1 });
    }
    let (Some(latitude_deg), Some(longitude_deg), Some(hours), Some(elevation_m)) = (get(6), get(7), get(8), get(9))
    else {
        return Err(Refusal::NoHeader { line: 1 });
    };
    let whole = (latitude_deg.abs() <= 90.0 && longitude_deg.abs() <= 180.0 && hours.abs() <= 14.0)
        .then_some((hours * 60.0).round() as i32);
    let minutes = whole.ok_or(Refusal::NoHeader { line: 1 })?;
    let sign = if minutes < 0 { '-' } else { '+' };
    let text = format!("{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60);
    let zone = Zone::parse(&text).map_err(|_| Refusal::NoHeader { line: 1 })?;
    Ok(Place { latitude_deg, longitude_deg, elevation_m: elevation_m.clamp(-450.0, 9000.0), zone })
}

/// Months from several years, as typical years have them.
fn is_typical(lines: &[(usize, Vec<&str>)]) -> bool {
    let years: BTreeSet<&str> = lines.iter().map(|(_, cells)| cells[0]).collect();
    let back = lines.windows(2).any(|pair| pair[1].1[0] < pair[0].1[0]);
    years.len() > 2 || back
}

fn moment(cells: &[&str], typical: bool, place: &Place) -> Option<Instant> {
    let whole = |i: usize| cells.get(i)?.parse::<i16>().ok();
    let year = if typical { TYPICAL_YEAR } else { whole(0)? };
    let day = Day::new(year, i8::try_from(whole(1)?).ok()?, i8::try_from(whole(2)?).ok()?)?;
    let hour = i64::from(whole(3)?);
    let within = (1..=24).contains(&hour).then_some(place.day_start(day))?;
    // Label at the end: hour 1 covers midnight to one. The minute column (0 or 60, by who wrote the file) adds nothing.
    Some(Instant(within.0 + (hour - 1) * SECONDS_PER_HOUR))
}

fn part(line: usize, cells: &[&str], findings: &mut Vec<Finding>) -> PartHour {
    let mut get = |slot: Slot| value(line, cells, slot, findings);
    let (air, dew, humidity) = (get(DRY), get(DEW), get(HUMIDITY));
    let mut hour = PartHour {
        air_temp_c: air,
        wind_m_s: get(WIND),
        shortwave_w_m2: get(SUN),
        longwave_w_m2: get(SKY),
        cloud_fraction: get(COVER).map(|tenths| tenths / 10.0),
        pressure_hpa: get(PRESSURE).map(|pa| pa / 100.0),
        rain_mm: get(RAIN),
        line: u32::try_from(line).unwrap_or(u32::MAX),
        ..PartHour::default()
    };
    let by_share = || Some((humidity? / 100.0).min(1.0) * saturation_bolton_1980(air?));
    hour.vapour_pressure_hpa = match (dew, air) {
        (Some(dew_point_c), Some(air_temp_c)) => {
            let vapour = saturation_bolton_1980(dew_point_c);
            if relative_humidity(air_temp_c, vapour) > 1.07 {
                let what = What::DewAboveAir { dew_point_c, air_temp_c };
                findings.push(Finding::cell(line, DEW.0, cells[DEW.1], what, Done::Dropped));
                by_share()
            } else {
                Some(vapour.min(saturation_bolton_1980(air_temp_c)))
            }
        }
        (Some(dew_point_c), None) => Some(saturation_bolton_1980(dew_point_c)),
        (None, _) => by_share(),
    };
    hour
}

fn value(line: usize, cells: &[&str], slot: Slot, findings: &mut Vec<Finding>) -> Option<f64> {
    let (name, place, least, most, missing) = slot;
    let text = *cells.get(place)?;
    if text.is_empty() {
        return None;
    }
    let Some(value) = number(text) else {
        findings.push(Finding::cell(line, name, text, What::NotANumber, Done::Dropped));
        return None;
    };
    if value >= missing {
        return None; // the form's own word for missing; the hole is named as such
    }
    if !(least..=most).contains(&value) {
        findings.push(Finding::cell(line, name, text, What::OutOfBounds { value, least, most }, Done::Dropped));
        return None;
    }
    Some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "LOCATION,Made Up,ST,XXX,none,000000,36.10,-79.95,-5.0,273.0\nDESIGN CONDITIONS,0\n";

    fn line(year: i16, month: u8, day: u8, hour: u8, dry: &str) -> String {
        format!(
            "{year},{month},{day},{hour},60,?9,{dry},5.0,50,98000,0,0,9999,120,0,0,0,0,0,0,180,3.2,5,5,16,777,9,9,10,0.1,0,88,0.2,1.5,1\n"
        )
    }

    #[test]
    fn one_line_is_one_hour_labelled_by_its_end() {
        let text = format!("{HEAD}{}{}", line(1999, 7, 6, 1, "20.0"), line(1999, 7, 6, 2, "99.9"));
        let read = read_epw(text.as_bytes()).expect("a weather file");
        let record = read.value;
        // Midnight of UTC-5 on 1999-07-06.
        assert_eq!(record.start, Instant(931_237_200));
        let hour = record.hours[0];
        assert_eq!(hour.air_temp_c, Some(20.0));
        assert_eq!(hour.wind_m_s, Some(3.2));
        assert_eq!(hour.pressure_hpa, Some(980.0));
        assert_eq!(hour.cloud_fraction, Some(0.5));
        assert_eq!(hour.longwave_w_m2, None);
        assert_eq!(hour.rain_mm, Some(1.5));
        assert!((hour.vapour_pressure_hpa.expect("from dew point") - 8.72).abs() < 0.01);
        assert_eq!(record.hours[1].air_temp_c, None);
        assert_eq!(record.place.expect("in the first line").elevation_m, 273.0);
    }

    #[test]
    fn months_of_several_years_are_laid_into_one() {
        let text = format!("{HEAD}{}{}", line(1988, 1, 31, 24, "1.0"), line(1974, 2, 1, 1, "2.0"));
        let read = read_epw(text.as_bytes()).expect("a weather file");
        assert_eq!(read.value.hours.len(), 2);
        assert_eq!(read.findings[0].what, What::TypicalYear { year: 2001 });
    }

    #[test]
    fn absurd_values_are_named_and_bad_heads_refused() {
        let text = format!("{HEAD}{}", line(1999, 7, 6, 1, "77.0"));
        let read = read_epw(text.as_bytes()).expect("a weather file");
        assert!(matches!(read.findings[0].what, What::OutOfBounds { value: 77.0, .. }));
        assert_eq!(read.findings[0].line, 3);
        for head in ["LOCATION,a,b\n", "PLACE,a\n", "LOCATION,a,b,c,d,e,99,0,0,0\n"] {
            let text = format!("{head}{}", line(1999, 7, 6, 1, "1"));
            assert_eq!(read_epw(text.as_bytes()).expect_err(head), Refusal::NoHeader { line: 1 });
        }
        assert_eq!(read_epw(HEAD.as_bytes()).expect_err("no data"), Refusal::Empty);
    }
}
