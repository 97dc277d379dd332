//! The units of a basin file's keys. Text with a unit ("6 ft 6 in", "62 F") is read by [`units::measure`].

use units::measure::{self, Kind, MeasureError};

/// The unit a key's number is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unit {
    Latitude,
    Longitude,
    Metre,
    SquareMetre,
    PerMetre,
    Celsius,
    CelsiusSpan,
    CubicMetrePerHour,
    MillimetrePerDay,
    Share,
    Ratio,
    RunPerRise,
}

impl Unit {
    /// The unit's key, as faults carry it.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Latitude | Unit::Longitude => "deg",
            Unit::Metre => "m",
            Unit::SquareMetre => "m2",
            Unit::PerMetre => "per m",
            Unit::Celsius => "C",
            Unit::CelsiusSpan => "C of difference",
            Unit::CubicMetrePerHour => "m3/h",
            Unit::MillimetrePerDay => "mm/d",
            Unit::Share => "0 to 1",
            Unit::Ratio => "times",
            Unit::RunPerRise => "run per rise",
        }
    }

    /// What it measures, when the shared reader knows it, and how its own unit is written there.
    fn kind(self) -> Option<(Kind, &'static str)> {
        match self {
            Unit::Latitude => Some((Kind::Latitude, "deg")),
            Unit::Longitude => Some((Kind::Longitude, "deg")),
            Unit::Metre => Some((Kind::Length, "m")),
            Unit::SquareMetre => Some((Kind::Area, "m2")),
            Unit::Celsius => Some((Kind::Temperature, "c")),
            Unit::CubicMetrePerHour => Some((Kind::Flow, "m3/h")),
            Unit::Share => Some((Kind::Share, "")),
            Unit::PerMetre | Unit::CelsiusSpan | Unit::MillimetrePerDay | Unit::Ratio | Unit::RunPerRise => None,
        }
    }
}

/// Text with its unit as a number in `unit`; a bare number counts as being in it already.
pub(crate) fn measured(text: &str, unit: Unit) -> Result<f64, MeasureError> {
    if let Some((kind, bare)) = unit.kind() {
        return measure::read(text, kind, Some(bare));
    }
    // Units of this file alone: a difference of temperature, a rate of light, a depth a day.
    let lower = text.trim().to_lowercase();
    let suffixes: &[(&str, f64)] = match unit {
        Unit::PerMetre => &[("per m", 1.0), ("/m", 1.0), ("per ft", 1.0 / 0.3048), ("/ft", 1.0 / 0.3048)],
        Unit::CelsiusSpan => &[("c", 1.0), ("k", 1.0), ("f", 5.0 / 9.0)],
        Unit::MillimetrePerDay => &[("mm/d", 1.0), ("mm/day", 1.0), ("in/d", 25.4), ("in/day", 25.4)],
        _ => &[],
    };
    let (number, factor) = suffixes
        .iter()
        .find_map(|&(suffix, factor)| Some((lower.strip_suffix(suffix)?.trim_end_matches(['°', ' ']), factor)))
        .unwrap_or((lower.as_str(), 1.0));
    measure::read(number, Kind::Count, None).map(|number| number * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, unit: Unit, wanted: Option<f64>) {
        let found = measured(text, unit).ok();
        let near = match (found, wanted) {
            (Some(found), Some(wanted)) => (found - wanted).abs() < 1e-9,
            (found, wanted) => found == wanted,
        };
        assert!(near, "{text}: {found:?}, wanted {wanted:?}");
    }

    #[test]
    fn units_of_the_shared_reader() {
        check("6 ft 6 in", Unit::Metre, Some(1.9812));
        check("6'6\"", Unit::Metre, Some(1.9812));
        check("190 cm", Unit::Metre, Some(1.9));
        check("1.9", Unit::Metre, Some(1.9));
        check("1.9 lb", Unit::Metre, None);
        check("", Unit::Metre, None);
        check("nan", Unit::Metre, None);
        check("68°F", Unit::Celsius, Some(20.0));
        check("0.45 ac", Unit::SquareMetre, Some(1_821.085_390_08));
        check("30 gpm", Unit::CubicMetrePerHour, Some(6.813_741_211_2));
        check("93.59 W", Unit::Longitude, Some(-93.59));
    }

    #[test]
    fn units_of_this_file_alone() {
        check("18 F", Unit::CelsiusSpan, Some(10.0));
        check("10", Unit::CelsiusSpan, Some(10.0));
        check("3 F 2 F", Unit::CelsiusSpan, None);
        check("0.25 in/day", Unit::MillimetrePerDay, Some(6.35));
        check("1.5 per m", Unit::PerMetre, Some(1.5));
        check("1.5 lb", Unit::PerMetre, None);
        check("half of it", Unit::Ratio, None);
    }
}
