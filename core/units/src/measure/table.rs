//! The names of units and their sizes.

use super::Kind;

/// A unit: value in the kind's own unit = number x `factor` + `offset`.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// What it measures.
    pub kind: Kind,
    /// How it is written.
    pub shown: &'static str,
    /// How it may be typed, in small letters.
    pub names: &'static [&'static str],
    /// Size in the kind's own unit.
    pub factor: f64,
    /// Zero point in the kind's own unit.
    pub offset: f64,
}

const fn unit(kind: Kind, factor: f64, names: &'static [&'static str]) -> Unit {
    Unit { kind, shown: names[0], names, factor, offset: 0.0 }
}

const fn shown(shown: &'static str, unit: Unit) -> Unit {
    Unit { shown, ..unit }
}

const FOOT_M: f64 = 0.3048;
const POUND_KG: f64 = 0.453_592_37;
const GALLON_M3: f64 = 0.003_785_411_784;

/// Exact by definition of foot, pound, US gallon and horsepower (US national standards body, special publication 811).
static UNITS: &[Unit] = &[
    unit(Kind::Length, 1.0, &["m", "metres", "metre", "meters", "meter"]),
    unit(Kind::Length, 0.01, &["cm", "centimetres", "centimeters"]),
    unit(Kind::Length, 0.001, &["mm", "millimetres", "millimeters"]),
    unit(Kind::Length, 1000.0, &["km"]),
    unit(Kind::Length, FOOT_M, &["ft", "feet", "foot", "'"]),
    unit(Kind::Length, FOOT_M / 12.0, &["in", "inches", "inch", "\"", "''"]),
    unit(Kind::Length, FOOT_M * 3.0, &["yd", "yards", "yard"]),
    unit(Kind::Length, 1609.344, &["mi", "miles", "mile"]),
    unit(Kind::Area, 1.0, &["m2", "sq m", "square metres", "square meters", "sqm"]),
    unit(Kind::Area, 10_000.0, &["ha", "hectares", "hectare"]),
    unit(Kind::Area, 4_046.856_422_4, &["ac", "acres", "acre"]),
    unit(Kind::Area, FOOT_M * FOOT_M, &["ft2", "sq ft", "square feet", "sqft"]),
    unit(Kind::Volume, 1.0, &["m3", "cubic metres", "cubic meters", "cu m"]),
    shown("L", unit(Kind::Volume, 0.001, &["l", "litres", "litre", "liters", "liter"])),
    unit(Kind::Volume, 0.000_001, &["ml", "millilitres", "milliliters"]),
    unit(Kind::Volume, GALLON_M3, &["gal", "gallons", "gallon", "us gal"]),
    unit(Kind::Volume, FOOT_M * FOOT_M * FOOT_M, &["ft3", "cu ft", "cubic feet"]),
    unit(
        Kind::Volume,
        4_046.856_422_4 * FOOT_M,
        &["acre-ft", "acre-feet", "acre-foot", "ac-ft", "acre ft", "acre feet"],
    ),
    shown("°C", unit(Kind::Temperature, 1.0, &["c", "°c", "° c", "degc", "deg c", "degrees c", "celsius"])),
    Unit {
        kind: Kind::Temperature,
        shown: "°F",
        names: &["f", "°f", "° f", "degf", "deg f", "degrees f", "fahrenheit"],
        factor: 5.0 / 9.0,
        offset: -160.0 / 9.0,
    },
    unit(Kind::Mass, 1.0, &["kg", "kilograms", "kilogram", "kilos", "kilo"]),
    unit(Kind::Mass, 0.001, &["g", "grams", "gram"]),
    unit(Kind::Mass, 1e-6, &["mg", "milligrams", "milligram"]),
    unit(Kind::Mass, 1000.0, &["t", "tonnes", "tonne"]),
    unit(Kind::Mass, POUND_KG, &["lb", "lbs", "pounds", "pound"]),
    unit(Kind::Mass, POUND_KG / 16.0, &["oz", "ounces", "ounce"]),
    unit(
        Kind::Duration,
        1.0,
        &["h", "hours", "hour", "hrs", "hr", "hand-hours", "hand-hour", "hand hours", "hand hour"],
    ),
    unit(Kind::Duration, 1.0 / 60.0, &["min", "minutes", "minute"]),
    unit(Kind::Duration, 1.0 / 3600.0, &["s", "seconds", "second", "sec"]),
    unit(Kind::Duration, 168.0, &["week", "weeks"]),
    unit(Kind::Duration, 24.0, &["day", "days", "d"]),
    unit(Kind::Duration, 12.0, &["night", "nights"]),
    unit(Kind::Speed, 1.0, &["m/s"]),
    unit(Kind::Speed, 0.447_04, &["mph"]),
    unit(Kind::Speed, 1.0 / 3.6, &["km/h", "kph"]),
    unit(Kind::Speed, 1852.0 / 3600.0, &["kn", "knots", "knot", "kt"]),
    unit(Kind::Flow, 1.0, &["m3/h"]),
    unit(Kind::Flow, GALLON_M3 * 60.0, &["gpm"]),
    unit(Kind::Flow, GALLON_M3, &["gph"]),
    unit(Kind::Flow, FOOT_M * FOOT_M * FOOT_M * 3600.0, &["cfs"]),
    unit(Kind::Flow, FOOT_M * FOOT_M * FOOT_M * 60.0, &["cfm"]),
    unit(Kind::Count, 1.0, &["animals", "prawns", "prawn", "juveniles", "pieces", "piece", "tails", "count", "head"]),
    unit(Kind::Count, 1000.0, &["thousand", "k"]),
    shown("kW", unit(Kind::Power, 1.0, &["kw"])),
    shown("W", unit(Kind::Power, 0.001, &["w"])),
    unit(Kind::Power, 0.745_699_871_582_270_2, &["hp"]),
    shown("kWh", unit(Kind::Energy, 1.0, &["kwh"])),
    unit(Kind::Share, 0.01, &["%", "percent", "per cent"]),
    unit(Kind::Latitude, 1.0, &["°", "deg", "degrees"]),
    unit(Kind::Latitude, 1.0 / 60.0, &["'", "min"]),
    unit(Kind::Latitude, 1.0 / 3600.0, &["\"", "sec"]),
    unit(Kind::Longitude, 1.0, &["°", "deg", "degrees"]),
    unit(Kind::Longitude, 1.0 / 60.0, &["'", "min"]),
    unit(Kind::Longitude, 1.0 / 3600.0, &["\"", "sec"]),
];

static PIECES: Unit = unit(Kind::Count, 1.0, &[""]);

/// The units of one kind, for showing.
pub fn units_of(kind: Kind) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |unit| unit.kind == kind)
}

/// The unit of this kind with this very name.
pub(super) fn find(name: &str, kind: Kind) -> Option<&'static Unit> {
    units_of(kind).find(|unit| unit.shown == name || unit.names.contains(&name))
}

/// As [`find`]; a count needs no unit.
pub(super) fn find_or_pieces(name: &str, kind: Kind) -> Option<&'static Unit> {
    if name.is_empty() && kind == Kind::Count { Some(&PIECES) } else { find(name, kind) }
}

/// The longest name of a unit of this kind at the start of the text, and what follows it.
pub(super) fn take(text: &str, kind: Kind) -> Option<(&'static Unit, &str)> {
    let mut found: Option<(&'static Unit, &str)> = None;
    for unit in units_of(kind) {
        for name in unit.names {
            let Some(rest) = text.strip_prefix(name) else { continue };
            let whole = !name.ends_with(char::is_alphabetic) || !rest.starts_with(char::is_alphabetic);
            if whole && found.is_none_or(|(_, shortest)| rest.len() < shortest.len()) {
                found = Some((unit, rest));
            }
        }
    }
    // A full stop after an abbreviation ("3 ft.") belongs to it.
    found.map(|(unit, rest)| (unit, rest.strip_prefix('.').unwrap_or(rest).trim_start()))
}

/// A unit of any kind that the text begins with, and what it measures. The longest name wins, the first kind of two.
pub(super) fn find_any(text: &str) -> Option<(&str, Kind)> {
    let mut found: Option<(&str, Kind)> = None;
    for kind in Kind::ALL {
        if let Some((_, rest)) = take(text, kind) {
            let name = text[..text.len() - rest.len()].trim_end();
            if found.is_none_or(|(longest, _)| name.len() > longest.len()) {
                found = Some((name, kind));
            }
        }
    }
    found
}

/// A unit of this kind that is at most two letters away from what was typed, and shares its first.
pub(super) fn nearest(typed: &str, kind: Kind) -> Option<&'static str> {
    if typed.chars().count() < 2 {
        return None;
    }
    units_of(kind)
        .flat_map(|unit| unit.names.iter().copied())
        .filter(|name| name.len() > 1 && name.chars().next() == typed.chars().next())
        .map(|name| (crate::letters_apart(name, typed), name))
        .filter(|&(apart, name)| apart <= 2 && apart < name.len())
        .min()
        .map(|(_, name)| name)
}
