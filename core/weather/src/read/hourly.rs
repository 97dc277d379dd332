//! Hourly tables: a header that names quantities with their units, one line for each hour.

use units::{Instant, Zone};

use super::assemble::{Row, assemble};
use super::columns::{Column, Field, cell, columns, find};
use super::table::{Table, decode, is_blank};
use super::times::{Clock, DateOrder, Placed, Stamp, date_order, day, stamp};
use crate::air::{HourlyRecord, PartHour, Place};
use crate::findings::{Done, Finding, Read, Refusal, What};
use crate::moist::saturation_bolton_1980;

/// Which end of the hour its label names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HourLabel {
    /// 06:00 covers 06:00 to 07:00.
    Start,
    /// 06:00 covers 05:00 to 06:00.
    End,
}

/// How to read the times of a file. What is `None` is taken from the file's own remarks or the name of its time column, and
/// else from UTC and the start of the hour, which is then a finding.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HourlyForm {
    /// Clock of times without an offset.
    pub zone: Option<Zone>,
    /// Which end of the hour is named.
    pub label: Option<HourLabel>,
}

/// What the air can do: quantity, least, most in our units.
fn bounds(field: Field) -> (f64, f64) {
    match field {
        // Coldest and hottest air measured at the ground are -89 and 57 °C; no farm stands in the first.
        Field::AirTemp | Field::Low | Field::High => (-60.0, 57.0),
        Field::DewPoint => (-70.0, 38.0),
        Field::Humidity => (0.005, 1.1),
        Field::VapourPressure => (0.01, 66.0),
        Field::Wind => (0.0, 75.0),
        Field::Shortwave => (-25.0, 1450.0),
        Field::Longwave => (80.0, 600.0),
        Field::Cloud | Field::RainChance => (0.0, 1.0),
        Field::Pressure => (500.0, 1090.0),
        Field::SeaLevelPressure => (870.0, 1090.0),
        Field::Rain => (0.0, 350.0),
        Field::Date | Field::Time | Field::Issued => (f64::NEG_INFINITY, f64::INFINITY),
    }
}

/// Reads one cell into our unit, naming what is wrong with it.
pub(super) struct Cells<'t, 'a> {
    pub table: &'t Table<'a>,
    /// Findings that only stand when the column is not empty throughout.
    blanks: Vec<(usize, Finding)>,
    /// Values seen and values out of bounds, by place of the column.
    seen: Vec<(usize, usize)>,
    /// Readings a little below zero sun, and the least.
    negative: (usize, f64, usize),
}

impl<'t, 'a> Cells<'t, 'a> {
    pub(super) fn new(table: &'t Table<'a>) -> Cells<'t, 'a> {
        Cells { table, blanks: Vec::new(), seen: vec![(0, 0); table.header.len()], negative: (0, 0.0, 0) }
    }

    pub(super) fn value(
        &mut self,
        line: usize,
        text: &str,
        column: Column,
        findings: &mut Vec<Finding>,
    ) -> Option<f64> {
        let name = self.table.header[column.place].as_ref();
        if is_blank(text) {
            self.blanks.push((column.place, Finding::cell(line, name, text, What::Blank, Done::Dropped)));
            return None;
        }
        self.seen[column.place].0 += 1;
        if column.field == Field::Rain && text.eq_ignore_ascii_case("t") {
            return Some(0.0); // a trace, as observers write it
        }
        let Some(theirs) = self.table.number(text) else {
            findings.push(Finding::cell(line, name, text, What::NotANumber, Done::Dropped));
            return None;
        };
        let ours = column.unit.to_ours(theirs);
        let (least, most) = bounds(column.field);
        if !(least..=most).contains(&ours) {
            self.seen[column.place].1 += 1;
            let (least, most) = (column.unit.to_theirs(least), column.unit.to_theirs(most));
            let what = What::OutOfBounds { value: theirs, least, most };
            findings.push(Finding::cell(line, name, text, what, Done::Dropped));
            return None;
        }
        if column.field == Field::Shortwave && ours < 0.0 {
            let (count, worst, first) = self.negative;
            self.negative = (count + 1, ours.min(worst), if count == 0 { line } else { first });
            return Some(0.0);
        }
        if column.field == Field::Humidity && ours > 1.0 {
            let done = Done::Held(column.unit.to_theirs(1.0));
            let (least, most) = (0.0, column.unit.to_theirs(1.0));
            findings.push(Finding::cell(line, name, text, What::OutOfBounds { value: theirs, least, most }, done));
            return Some(1.0);
        }
        Some(ours)
    }

    /// What can only be said at the end: empty columns, columns in another unit, sun a little below zero. Single blanks are told
    /// by those readers that do not tell holes.
    /// Refuses a column of which a quarter or more cannot be what its name says: the rest of it is not to be believed either.
    pub(super) fn in_unit(&self, columns: &[Column]) -> Result<(), Refusal> {
        let slip = columns.iter().find(|column| {
            let (seen, outside) = self.seen[column.place];
            outside >= 2 && outside * 4 >= seen
        });
        slip.map_or(Ok(()), |column| {
            let (of, outside) = self.seen[column.place];
            let name = self.table.header[column.place].to_string();
            Err(Refusal::OtherUnit { line: self.table.header_line, column: name, outside, of })
        })
    }

    pub(super) fn finish(self, columns: &[Column], tell_blanks: bool, findings: &mut Vec<Finding>) {
        let header_line = self.table.header_line;
        for column in columns.iter().filter(|c| !matches!(c.field, Field::Date | Field::Time | Field::Issued)) {
            let name = self.table.header[column.place].as_ref();
            let (seen, outside) = self.seen[column.place];
            if seen == 0 {
                findings.push(Finding::cell(header_line, name, name, What::EmptyColumn, Done::Dropped));
            } else if outside >= 10 && outside * 20 >= seen {
                let what = What::LooksLikeOtherUnit { values: outside };
                findings.push(Finding::cell(header_line, name, name, what, Done::Dropped));
            }
            if column.field == Field::Shortwave && self.negative.0 > 0 {
                let (values, least_w_m2, line) = self.negative;
                let what = What::SunBelowZero { values, least_w_m2 };
                findings.push(Finding::cell(line, name, "", what, Done::Held(0.0)));
            }
        }
        let seen = self.seen;
        let told = self.blanks.into_iter().filter(|(place, _)| tell_blanks && seen[*place].0 > 0);
        findings.extend(told.map(|(_, finding)| finding));
    }
}

/// The columns that give an hour.
struct Columns {
    time: Column,
    date: Option<Column>,
    values: Vec<Column>,
}

impl Columns {
    fn of(table: &Table<'_>, all: &[Column]) -> Result<Columns, Refusal> {
        let (time, date) = match (find(all, Field::Time), find(all, Field::Date)) {
            (Some(time), date) => (time, date),
            (None, Some(date)) => (date, None),
            (None, None) => return Err(Refusal::NoColumn { line: table.header_line, wanted: "time" }),
        };
        if find(all, Field::AirTemp).is_none() {
            return Err(Refusal::NoColumn { line: table.header_line, wanted: "air_temp_c" });
        }
        let is_value =
            |c: &&Column| !matches!(c.field, Field::Time | Field::Date | Field::Issued | Field::Low | Field::High);
        Ok(Columns { time, date, values: all.iter().filter(is_value).copied().collect() })
    }

    /// The time of a line as one text.
    fn time_text(&self, cells: &[std::borrow::Cow<'_, str>]) -> String {
        let time = cell(cells, self.time);
        match self.date {
            Some(date) => format!("{} {time}", cell(cells, date)),
            None => time.to_owned(),
        }
    }
}

/// The clock and label of a file: as given, else by its remarks or its time column, else UTC and start, which is said.
fn form_of(table: &Table<'_>, time: Column, form: &HourlyForm, findings: &mut Vec<Finding>) -> (Zone, HourLabel) {
    let name = table.header[time.place].to_lowercase();
    let mut not_said = |key: &str, done_text: &str| {
        let finding = Finding::cell(table.header_line, key, done_text, What::NotSaid, Done::Kept);
        findings.push(finding);
    };
    let zone = form
        .zone
        .clone()
        .or_else(|| table.remark("time_zone").and_then(|(_, text)| Zone::parse(text).ok()))
        .or_else(|| name.contains("utc").then(Zone::utc));
    let label = form.label.or_else(|| match table.remark("hour_label") {
        Some((_, "end")) => Some(HourLabel::End),
        Some((_, "start")) => Some(HourLabel::Start),
        _ if name.contains("hour_end") => Some(HourLabel::End),
        _ => None,
    });
    let zone = zone.unwrap_or_else(|| {
        not_said("time_zone", "UTC");
        Zone::utc()
    });
    let label = label.unwrap_or_else(|| {
        not_said("hour_label", "start");
        HourLabel::Start
    });
    (zone, label)
}

/// Where the remarks say the file was measured.
fn place_of(table: &Table<'_>, zone: &Zone) -> Option<Place> {
    let number = |key| table.remark(key).and_then(|(_, text)| table.number(text));
    let (latitude_deg, longitude_deg) = (number("latitude_deg")?, number("longitude_deg")?);
    let elevation_m = number("elevation_m")?;
    let on_earth =
        latitude_deg.abs() <= 90.0 && longitude_deg.abs() <= 180.0 && (-450.0..9000.0).contains(&elevation_m);
    on_earth.then(|| Place { latitude_deg, longitude_deg, elevation_m, zone: zone.clone() })
}

/// Reads an hourly table.
pub fn read_hourly(bytes: &[u8], form: &HourlyForm) -> Result<Read<HourlyRecord>, Refusal> {
    let mut findings = Vec::new();
    let text = decode(bytes, &mut findings);
    let table = Table::new(&text)?;
    let all = columns(&table, &mut findings)?;
    let columns = Columns::of(&table, &all)?;
    let (zone, label) = form_of(&table, columns.time, form, &mut findings);
    let order = date_order(table.lines.iter().map(|&(_, line)| columns.time_text(&table.cells(line))));
    let time_name = table.header[columns.time.place].clone().into_owned();
    let mut reader = Lines { clock: Clock::new(zone.clone()), order, label, time_name: &time_name };
    let mut cells_reader = Cells::new(&table);
    let mut rows = Vec::new();
    let mut first_failed = None;
    for &(line, text) in &table.lines {
        let cells = table.cells(text);
        findings.extend(table.count_cells(line, &cells));
        let time_text = columns.time_text(&cells);
        let Some(at) = reader.moment(line, &time_text, &mut findings) else {
            first_failed = first_failed.or(Some((line, time_text)));
            continue;
        };
        let mut part = PartHour { line: u32::try_from(line).unwrap_or(u32::MAX), ..PartHour::default() };
        let mut moisture = Moisture::default();
        for &column in &columns.values {
            let value = cells_reader.value(line, cell(&cells, column), column, &mut findings);
            put(&mut part, &mut moisture, column.field, value);
        }
        moisture.settle(&mut part, line, &mut findings);
        rows.push(Row { at, text: time_text, part });
    }
    if let (true, Some((line, text))) = (rows.is_empty(), first_failed) {
        return Err(Refusal::NoUsableLine { line, text: crate::findings::clipped(&text) });
    }
    cells_reader.finish(&columns.values, false, &mut findings);
    let grid_s = rows.first().map_or(0, |row| zone.offset_s(row.at));
    let mut record = assemble(rows, grid_s, &time_name, &mut findings)?;
    record.place = place_of(&table, &zone);
    Ok(Read { value: record, findings })
}

/// Turns the times of lines into moments inside the hours they describe.
struct Lines<'n> {
    clock: Clock,
    order: Option<DateOrder>,
    label: HourLabel,
    time_name: &'n str,
}

impl Lines<'_> {
    fn moment(&mut self, line: usize, text: &str, findings: &mut Vec<Finding>) -> Option<Instant> {
        // A bare date is its own midnight.
        let bare = || day(text, self.order).map(|day| Stamp { day, second: 0, offset_s: None });
        let mut name = |what, done| findings.push(Finding::cell(line, self.time_name, text, what, done));
        let Some(stamp) = stamp(text, self.order).or_else(bare) else {
            name(if is_blank(text) { What::Blank } else { What::NotATime }, Done::Dropped);
            return None;
        };
        let at = match self.clock.place(stamp) {
            Placed::At(at) => at,
            Placed::OneOfTwo { at, second } => {
                name(What::ClockShownTwice { second }, if second { Done::LaterUsed } else { Done::FirstUsed });
                at
            }
            Placed::Never => {
                name(What::ClockSkipped, Done::Dropped);
                return None;
            }
        };
        Some(match self.label {
            HourLabel::Start => at,
            // The hour that ends at the label: one second before it is inside.
            HourLabel::End => Instant(at.0 - 1),
        })
    }
}

/// Humidity as the line gives it; dew point goes before relative humidity, vapour pressure before both.
#[derive(Default)]
struct Moisture {
    dew_point_c: Option<f64>,
    relative: Option<f64>,
    vapour_pressure_hpa: Option<f64>,
}

/// Dew point may stand this far above the air by rounding, K.
const DEW_ABOVE_AIR_MAX_K: f64 = 1.0;

impl Moisture {
    fn settle(self, part: &mut PartHour, line: usize, findings: &mut Vec<Finding>) {
        let from_dew = self.dew_point_c.and_then(|dew_point_c| match part.air_temp_c {
            Some(air_temp_c) if dew_point_c > air_temp_c => {
                let held = dew_point_c <= air_temp_c + DEW_ABOVE_AIR_MAX_K;
                let done = if held { Done::Held(air_temp_c) } else { Done::Dropped };
                let what = What::DewAboveAir { dew_point_c, air_temp_c };
                findings.push(Finding::cell(line, "dew point", "", what, done));
                held.then(|| saturation_bolton_1980(air_temp_c))
            }
            _ => Some(saturation_bolton_1980(dew_point_c)),
        });
        let from_relative = || Some(self.relative? * saturation_bolton_1980(part.air_temp_c?));
        part.vapour_pressure_hpa = self.vapour_pressure_hpa.or(from_dew).or_else(from_relative);
    }
}

fn put(part: &mut PartHour, moisture: &mut Moisture, field: Field, value: Option<f64>) {
    match field {
        Field::AirTemp => part.air_temp_c = value,
        Field::DewPoint => moisture.dew_point_c = value,
        Field::Humidity => moisture.relative = value,
        Field::VapourPressure => moisture.vapour_pressure_hpa = value,
        Field::Wind => part.wind_m_s = value,
        Field::Shortwave => part.shortwave_w_m2 = value,
        Field::Longwave => part.longwave_w_m2 = value,
        Field::Cloud => part.cloud_fraction = value,
        Field::Pressure => part.pressure_hpa = value,
        Field::SeaLevelPressure => part.sea_level_pressure_hpa = value,
        Field::Rain => part.rain_mm = value,
        Field::RainChance => part.rain_chance = value,
        Field::Date | Field::Time | Field::Issued | Field::Low | Field::High => {}
    }
}
