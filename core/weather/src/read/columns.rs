//! Names of columns, with their units, as stations and people write them.

use std::borrow::Cow;

use super::table::Table;
use crate::findings::{Done, Finding, Refusal, What};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Date,
    Time,
    Issued,
    Low,
    High,
    AirTemp,
    DewPoint,
    Humidity,
    VapourPressure,
    Wind,
    Shortwave,
    Longwave,
    Cloud,
    Pressure,
    SeaLevelPressure,
    Rain,
    RainChance,
}

/// From the header's unit to ours: `scale` times the value plus `shift`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    scale: f64,
    shift: f64,
}

impl Unit {
    pub(super) fn to_ours(self, value: f64) -> f64 {
        self.scale * value + self.shift
    }
    /// Back to the header's unit.
    pub(super) fn to_theirs(self, value: f64) -> f64 {
        (value - self.shift) / self.scale
    }
}

/// Stems of names; the unit follows after an underscore.
const STEMS: &[(&str, Field)] = &[
    ("date", Field::Date),
    ("day", Field::Date),
    ("time", Field::Time),
    ("date_time", Field::Time),
    ("datetime", Field::Time),
    ("timestamp", Field::Time),
    ("time_utc", Field::Time),
    ("time_local", Field::Time),
    ("time_hour_end", Field::Time),
    ("time_utc_hour_end", Field::Time),
    ("time_local_hour_end", Field::Time),
    ("issued", Field::Issued),
    ("tmin", Field::Low),
    ("low", Field::Low),
    ("min", Field::Low),
    ("min_temp", Field::Low),
    ("temp_min", Field::Low),
    ("air_temp_min", Field::Low),
    ("tmax", Field::High),
    ("high", Field::High),
    ("max", Field::High),
    ("max_temp", Field::High),
    ("temp_max", Field::High),
    ("air_temp_max", Field::High),
    ("air_temp", Field::AirTemp),
    ("air_temperature", Field::AirTemp),
    ("air", Field::AirTemp),
    ("temp", Field::AirTemp),
    ("temperature", Field::AirTemp),
    ("dew_point", Field::DewPoint),
    ("dewpoint", Field::DewPoint),
    ("dew", Field::DewPoint),
    ("relative_humidity", Field::Humidity),
    ("humidity", Field::Humidity),
    ("rh", Field::Humidity),
    ("vapour_pressure", Field::VapourPressure),
    ("vapor_pressure", Field::VapourPressure),
    ("wind_speed", Field::Wind),
    ("wind", Field::Wind),
    ("shortwave", Field::Shortwave),
    ("solar_radiation", Field::Shortwave),
    ("global_radiation", Field::Shortwave),
    ("sun", Field::Shortwave),
    ("solar", Field::Shortwave),
    ("sw", Field::Shortwave),
    ("ghi", Field::Shortwave),
    ("longwave", Field::Longwave),
    ("lw", Field::Longwave),
    ("cloud", Field::Cloud),
    ("sky_cover", Field::Cloud),
    ("tot_cloud", Field::Cloud),
    ("pressure", Field::Pressure),
    ("station_pressure", Field::Pressure),
    ("p", Field::Pressure),
    ("sea_level_pressure", Field::SeaLevelPressure),
    ("slp", Field::SeaLevelPressure),
    ("rain", Field::Rain),
    ("precip", Field::Rain),
    ("precipitation", Field::Rain),
    ("rain_chance", Field::RainChance),
];

const TEMPERATURES: &[(&str, f64, f64)] =
    &[("c", 1.0, 0.0), ("deg_c", 1.0, 0.0), ("degc", 1.0, 0.0), ("celsius", 1.0, 0.0)];
const FAHRENHEIT: &[&str] = &["f", "deg_f", "degf", "fahrenheit"];
const SHARES: &[(&str, f64, f64)] = &[
    ("fraction", 1.0, 0.0),
    ("pct", 0.01, 0.0),
    ("percent", 0.01, 0.0),
    ("tenths", 0.1, 0.0),
    ("eighths", 0.125, 0.0),
    ("oktas", 0.125, 0.0),
];
const SPEEDS: &[(&str, f64, f64)] = &[
    ("m_s", 1.0, 0.0),
    ("ms", 1.0, 0.0),
    ("mps", 1.0, 0.0),
    ("km_h", 1.0 / 3.6, 0.0),
    ("kmh", 1.0 / 3.6, 0.0),
    ("kph", 1.0 / 3.6, 0.0),
    ("mph", 0.447_04, 0.0),
    ("kt", 1852.0 / 3600.0, 0.0),
    ("knots", 1852.0 / 3600.0, 0.0),
    ("ft_s", 0.3048, 0.0),
];
const FLUXES: &[(&str, f64, f64)] = &[
    ("w_m2", 1.0, 0.0),
    ("wm2", 1.0, 0.0),
    ("wh_m2", 1.0, 0.0),
    ("kj_m2", 1.0 / 3.6, 0.0),
    ("mj_m2", 1000.0 / 3.6, 0.0),
    ("mj_m2_h", 1000.0 / 3.6, 0.0),
];
const PRESSURES: &[(&str, f64, f64)] = &[
    ("hpa", 1.0, 0.0),
    ("mb", 1.0, 0.0),
    ("mbar", 1.0, 0.0),
    ("kpa", 10.0, 0.0),
    ("pa", 0.01, 0.0),
    ("inhg", 33.863_886_666_7, 0.0),
    ("in_hg", 33.863_886_666_7, 0.0),
    ("mmhg", 1.333_223_874, 0.0),
];
const RAINS: &[(&str, f64, f64)] = &[
    ("mm", 1.0, 0.0),
    ("mm_h", 1.0, 0.0),
    ("mm_per_h", 1.0, 0.0),
    ("in", 25.4, 0.0),
    ("inches", 25.4, 0.0),
    ("cm", 10.0, 0.0),
    ("m_per_h", 1000.0, 0.0),
    ("m_d", 1000.0 / 24.0, 0.0),
    ("mday", 1000.0 / 24.0, 0.0),
];

fn unit(field: Field, name: &str) -> Option<Unit> {
    let table = match field {
        // Whatever follows "date" or "time" is a remark on the clock, read elsewhere.
        Field::Date | Field::Time | Field::Issued => return name.is_empty().then_some(Unit { scale: 1.0, shift: 0.0 }),
        Field::Low | Field::High | Field::AirTemp | Field::DewPoint => {
            if FAHRENHEIT.contains(&name) {
                return Some(Unit { scale: 5.0 / 9.0, shift: -160.0 / 9.0 });
            }
            if name == "k" {
                return Some(Unit { scale: 1.0, shift: -273.15 });
            }
            TEMPERATURES
        }
        Field::Humidity | Field::Cloud | Field::RainChance => SHARES,
        Field::VapourPressure | Field::Pressure | Field::SeaLevelPressure => PRESSURES,
        Field::Wind => SPEEDS,
        Field::Shortwave | Field::Longwave => FLUXES,
        Field::Rain => RAINS,
    };
    table.iter().find(|(unit, ..)| *unit == name).map(|&(_, scale, shift)| Unit { scale, shift })
}

/// What a name in a header says.
#[derive(Debug, PartialEq)]
pub(super) enum Known {
    Column(Field, Unit),
    UnitUnknown,
    Unknown,
}

pub(super) fn known(name: &str) -> Known {
    let plain = plain(name);
    let mut stem_fits = false;
    for &(stem, field) in STEMS {
        let Some(rest) = plain.strip_prefix(stem) else { continue };
        let rest = match rest.strip_prefix('_') {
            Some(rest) => rest,
            None if rest.is_empty() => rest,
            None => continue,
        };
        if let Some(unit) = unit(field, rest) {
            return Known::Column(field, unit);
        }
        stem_fits |= rest.is_empty();
    }
    if stem_fits { Known::UnitUnknown } else { Known::Unknown }
}

/// Small letters, underscores for all that parts words.
fn plain(name: &str) -> String {
    let mut plain = String::new();
    for letter in name.trim().to_lowercase().chars() {
        match letter {
            '%' => plain.push_str("_pct"),
            '²' => plain.push('2'),
            '°' => {}
            letter if letter.is_alphanumeric() => plain.push(letter),
            _ if plain.ends_with('_') || plain.is_empty() => {}
            _ => plain.push('_'),
        }
    }
    plain.trim_end_matches('_').replace("__", "_")
}

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub place: usize,
    pub field: Field,
    pub unit: Unit,
}

/// The columns of a header; those no reader knows become findings, two of one kind a refusal.
pub(super) fn columns(table: &Table<'_>, findings: &mut Vec<Finding>) -> Result<Vec<Column>, Refusal> {
    let mut columns: Vec<Column> = Vec::new();
    for (place, name) in table.header.iter().enumerate() {
        let what = match known(name) {
            Known::Column(field, unit) => {
                if let Some(first) = columns.iter().find(|column| column.field == field) {
                    let name = |at: usize| table.header[at].clone().into_owned();
                    let (first, second) = (name(first.place), name(place));
                    return Err(Refusal::TwoColumns { line: table.header_line, first, second });
                }
                columns.push(Column { place, field, unit });
                continue;
            }
            Known::UnitUnknown => What::UnknownUnit,
            Known::Unknown => What::UnknownColumn,
        };
        findings.push(Finding::cell(table.header_line, name, name, what, Done::Dropped));
    }
    Ok(columns)
}

/// The column of a kind.
pub(super) fn find(columns: &[Column], field: Field) -> Option<Column> {
    columns.iter().copied().find(|column| column.field == field)
}

/// The cell of a column on a line; empty when the line is short.
pub(super) fn cell<'c>(cells: &'c [Cow<'_, str>], column: Column) -> &'c str {
    cells.get(column.place).map_or("", |cell| cell.as_ref())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_units_as_people_write_them() {
        for (name, field, theirs, ours) in [
            ("air_temp_c", Field::AirTemp, 20.0, 20.0),
            ("Air temp (°F)", Field::AirTemp, 50.0, 10.0),
            ("tmin_f", Field::Low, -40.0, -40.0),
            ("high_c", Field::High, 1.0, 1.0),
            ("relative_humidity_pct", Field::Humidity, 55.0, 0.55),
            ("RH (%)", Field::Humidity, 55.0, 0.55),
            ("wind_speed_mph", Field::Wind, 10.0, 4.4704),
            ("wind_speed_km_h", Field::Wind, 36.0, 10.0),
            ("Wind speed [m/s]", Field::Wind, 3.0, 3.0),
            ("shortwave_w_m2", Field::Shortwave, 500.0, 500.0),
            ("Solar radiation (W/m²)", Field::Shortwave, 500.0, 500.0),
            ("rain_in", Field::Rain, 1.0, 25.4),
            ("pressure_hpa", Field::Pressure, 990.0, 990.0),
            ("sea_level_pressure_hpa", Field::SeaLevelPressure, 1013.0, 1013.0),
            ("cloud_fraction", Field::Cloud, 0.5, 0.5),
            ("tot_cloud_tenths", Field::Cloud, 5.0, 0.5),
            ("rain_chance_pct", Field::RainChance, 20.0, 0.2),
        ] {
            let Known::Column(got, unit) = known(name) else { panic!("{name}: {:?}", known(name)) };
            assert_eq!(got, field, "{name}");
            assert!((unit.to_ours(theirs) - ours).abs() < 1e-9, "{name}: {}", unit.to_ours(theirs));
            assert!((unit.to_theirs(ours) - theirs).abs() < 1e-9, "{name}");
        }
        for name in ["wind_direction_deg", "pond_wind_ms", "gust_ms", "", "weather", "°"] {
            assert_eq!(known(name), Known::Unknown, "{name}");
        }
        for name in ["temp", "wind", "temp_max"] {
            assert_eq!(known(name), Known::UnitUnknown, "{name}");
        }
    }
}
