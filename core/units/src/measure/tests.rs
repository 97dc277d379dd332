use proptest::prelude::*;

use super::*;

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * other.abs().max(1.0)
}

/// Conversions by the definitions of foot (0.3048 m), pound (0.45359237 kg), US gallon (231 cubic inches) and acre.
const TYPED: &[(Kind, &str, f64)] = &[
    (Kind::Length, "3 ft 6 in", 1.0668),
    (Kind::Length, "3'6\"", 1.0668),
    (Kind::Length, "3' 6", 1.0668),
    (Kind::Length, "3ft6in", 1.0668),
    (Kind::Length, "3 ft. 6 in.", 1.0668),
    (Kind::Length, "3 feet and 6 inches", 1.0668),
    (Kind::Length, "3’ 6″", 1.0668),
    (Kind::Length, "3.5 ft", 1.0668),
    (Kind::Length, "3 1/2 ft", 1.0668),
    (Kind::Length, "3½ ft", 1.0668),
    (Kind::Length, "-2 ft 6 in", -0.762),
    (Kind::Length, "1.1 m", 1.1),
    (Kind::Length, "110 cm", 1.1),
    (Kind::Length, "4 in", 0.1016),
    (Kind::Length, "1 1/2 in", 0.0381),
    (Kind::Length, "a foot", 0.3048),
    (Kind::Length, ".5 m", 0.5),
    (Kind::Temperature, "64F", 17.777777777777779),
    (Kind::Temperature, "64 °F", 17.777777777777779),
    (Kind::Temperature, "60 deg F", 15.555555555555555),
    (Kind::Temperature, "18 °C", 18.0),
    (Kind::Temperature, "-4 C", -4.0),
    (Kind::Temperature, "−40F", -40.0),
    (Kind::Area, "0.45 ac", 1821.08539),
    (Kind::Area, "1,800 m2", 1800.0),
    (Kind::Area, "1800 m²", 1800.0),
    (Kind::Area, "0.4 ha", 4000.0),
    (Kind::Area, "20,000 sq ft", 1858.0608),
    (Kind::Mass, "12 lb", 5.44310844),
    (Kind::Mass, "2 lb 4 oz", 1.0205828325),
    (Kind::Mass, "5.4 kg", 5.4),
    (Kind::Mass, "38 g", 0.038),
    (Kind::Flow, "60 m3/h", 60.0),
    (Kind::Flow, "60 m³ per hour", 60.0),
    (Kind::Flow, "265 gpm", 60.18804736560),
    (Kind::Flow, "16 l/s", 57.6),
    (Kind::Flow, "265 gal/min", 60.18804736560),
    (Kind::Duration, "36 h", 36.0),
    (Kind::Duration, "2 nights", 36.0),
    (Kind::Duration, "two nights", 36.0),
    (Kind::Duration, "1 night", 12.0),
    (Kind::Duration, "1 day and a night", 24.0),
    (Kind::Duration, "a day and a night", 24.0),
    (Kind::Duration, "two days and a half", 60.0),
    (Kind::Duration, "2 1/2 days", 60.0),
    (Kind::Duration, "half a day", 12.0),
    (Kind::Duration, "2 days and a night", 60.0),
    (Kind::Duration, "1 h 30 min", 1.5),
    (Kind::Speed, "30 mph", 13.4112),
    (Kind::Speed, "5 m/s", 5.0),
    (Kind::Speed, "18 km/h", 5.0),
    (Kind::Speed, "10 kn", 5.144444444444444),
    (Kind::Density, "24000/ac", 5.930529155211969),
    (Kind::Density, "24,000 per acre", 5.930529155211969),
    (Kind::Density, "6 per m2", 6.0),
    (Kind::Density, "60000 juveniles/ha", 6.0),
    (Kind::Density, "60 thousand per ha", 6.0),
    (Kind::PiecesPerMass, "12 per lb", 26.455471462),
    (Kind::PiecesPerMass, "30/kg", 30.0),
    (Kind::MassRate, "25 lb per hand-hour", 11.33980925),
    (Kind::MassRate, "12 kg/h", 12.0),
    (Kind::MassRate, "400 lb a day", 7.5598728333333),
    (Kind::MassPerVolume, "50 g/l", 50.0),
    (Kind::MassPerArea, "1800 kg/ha", 0.18),
    (Kind::Volume, "1 acre-ft", 1_233.481_837_547_52),
    (Kind::Power, "2 hp", 1.4913997431645403),
    (Kind::Share, "50 %", 0.5),
    (Kind::Share, "half", 0.5),
    (Kind::Share, "1 in 10", 0.1),
    (Kind::Share, "8 of 10", 0.8),
    (Kind::Share, "1/4", 0.25),
    (Kind::Share, "0.8", 0.8),
    (Kind::Count, "24,000", 24_000.0),
    (Kind::Count, "12 prawns", 12.0),
    (Kind::Latitude, "34.7 N", 34.7),
    (Kind::Latitude, "34.7° south", -34.7),
    (Kind::Latitude, "N 34° 42'", 34.7),
    (Kind::Latitude, "34°42'00\"S", -34.7),
    (Kind::Longitude, "82.8 W", -82.8),
    (Kind::Longitude, "-82.8", -82.8),
    (Kind::Volume, "300 gal", 1.1356235352),
];

#[test]
fn what_people_type() {
    for &(kind, text, wanted) in TYPED {
        match read(text, kind, None) {
            Ok(value) => assert!(near(value, wanted), "{text}: {value}, not {wanted}"),
            Err(error) => panic!("{text}: {error:?}"),
        }
    }
    assert_eq!(read("3", Kind::Length, Some("m")), Ok(3.0), "a field may have its own unit");
    assert_eq!(read("64", Kind::Temperature, Some("f")), read("64 F", Kind::Temperature, None));
    assert_eq!(read("60", Kind::Flow, Some("m3/h")), Ok(60.0));
}

#[test]
fn what_cannot_be_read() {
    use MeasureError as E;
    let text = |text: &str| text.to_owned();
    let rows: Vec<(Kind, &str, MeasureError)> = vec![
        (Kind::Length, "", E::Empty),
        (Kind::Length, "  ", E::Empty),
        (Kind::Length, "3", E::NoUnit { kind: Kind::Length }),
        (Kind::Temperature, "64", E::NoUnit { kind: Kind::Temperature }),
        (Kind::Flow, "60 m3", E::NoUnit { kind: Kind::Flow }),
        (Kind::Length, "deep", E::NumberUnreadable { text: text("deep") }),
        (Kind::Length, "about 3 ft", E::NumberUnreadable { text: text("about 3 ft") }),
        (Kind::Length, "1,5 m", E::DecimalComma { text: text("1,5"), meant: text("1.5") }),
        (Kind::Area, "0,450 ha", E::DecimalComma { text: text("0,450"), meant: text("0.450") }),
        (Kind::Area, "1.800,5 m2", E::DecimalComma { text: text("1.800,5"), meant: text("1800.5") }),
        (Kind::Length, "1.2.3 m", E::NumberUnreadable { text: text("1.2.3 m") }),
        (Kind::Length, "3 furlongs", E::UnknownUnit { unit: text("furlongs"), kind: Kind::Length, nearest: None }),
        (
            Kind::Length,
            "3 meeters",
            E::UnknownUnit { unit: text("meeters"), kind: Kind::Length, nearest: Some("meters") },
        ),
        (Kind::Length, "3 lb", E::OtherKind { unit: text("lb"), is: Kind::Mass, wanted: Kind::Length }),
        (Kind::Length, "3 °C", E::OtherKind { unit: text("°c"), is: Kind::Temperature, wanted: Kind::Length }),
        (Kind::Area, "0.45 ft", E::OtherKind { unit: text("ft"), is: Kind::Length, wanted: Kind::Area }),
        (Kind::Density, "24000/lb", E::OtherKind { unit: text("lb"), is: Kind::Mass, wanted: Kind::Area }),
        (Kind::Length, "6 in 3 ft", E::OutOfOrder { unit: "ft" }),
        (Kind::Temperature, "64 F 3 F", E::OutOfOrder { unit: "°F" }),
        (Kind::Length, "3 ft or so", E::LeftOver { text: text("or so") }),
        (Kind::Count, "24000/ac", E::LeftOver { text: text("/ac") }),
        (Kind::Length, "9e300 m", E::UnknownUnit { unit: text("e300"), kind: Kind::Length, nearest: None }),
        (Kind::Length, "9999999999999999 m", E::TooLarge { text: text("9999999999999999 m") }),
        (Kind::Latitude, "-34 S", E::LeftOver { text: text("-34 s") }),
    ];
    for (kind, typed, wanted) in rows {
        assert_eq!(read(typed, kind, None), Err(wanted), "{typed}");
    }
}

#[test]
fn prices_as_written_on_a_board() {
    let pound = 0.453_592_37;
    type Row = (&'static str, Kind, f64, Option<&'static str>, Option<&'static str>);
    let rows: &[Row] = &[
        ("$12/lb", Kind::Mass, 12.0 / pound, None, Some("$")),
        ("$12 a pound", Kind::Mass, 12.0 / pound, None, Some("$")),
        ("12 USD/lb", Kind::Mass, 12.0 / pound, Some("USD"), None),
        ("BRL 60/kg", Kind::Mass, 60.0, Some("BRL"), None),
        ("R$ 60/kg", Kind::Mass, 60.0, Some("BRL"), None),
        ("9.50 €/kg", Kind::Mass, 9.5, Some("EUR"), None),
        ("12/kg", Kind::Mass, 12.0, None, None),
        ("$0.90 each", Kind::Count, 0.9, None, Some("$")),
        ("90 cents apiece", Kind::Count, 0.9, None, Some("cents")),
        ("$1.10/piece", Kind::Count, 1.1, None, Some("$")),
        ("$15/hour", Kind::Duration, 15.0, None, Some("$")),
        ("$80 a day", Kind::Duration, 80.0 / 24.0, None, Some("$")),
        ("$3.60/gal", Kind::Volume, 3.6 / 0.003_785_411_784, None, Some("$")),
        ("$0.15/kWh", Kind::Energy, 0.15, None, Some("$")),
    ];
    for &(text, per, amount, currency, sign) in rows {
        let price = read_price(text, per).unwrap_or_else(|error| panic!("{text}: {error:?}"));
        assert!(near(price.amount, amount), "{text}: {price:?}");
        assert_eq!((price.currency, price.sign), (currency, sign), "{text}");
    }
    for (text, per, wanted) in [
        ("$12", Kind::Mass, MeasureError::NoUnit { kind: Kind::Mass }),
        ("$12 USD/lb", Kind::Mass, MeasureError::Currency { text: "$12 USD/lb".into() }),
        ("$12/acre", Kind::Mass, MeasureError::OtherKind { unit: "acre".into(), is: Kind::Area, wanted: Kind::Mass }),
        ("free", Kind::Mass, MeasureError::NumberUnreadable { text: "free".into() }),
        ("$12,50/kg", Kind::Mass, MeasureError::DecimalComma { text: "12,50".into(), meant: "12.50".into() }),
    ] {
        assert_eq!(read_price(text, per), Err(wanted), "{text}");
    }
}

/// Every unit's names are found as themselves, and no name stands for two units of one kind.
#[test]
fn the_table_is_sound() {
    for kind in Kind::ALL {
        let mut seen: Vec<&str> = Vec::new();
        for unit in units_of(kind) {
            for &name in unit.names {
                assert!(!seen.contains(&name), "{name} stands twice under {kind:?}");
                assert_eq!(name, normal(name), "{name} is not in plain letters");
                let (found, rest) = table::take(name, kind).expect("its own name");
                assert_eq!((found, rest), (unit, ""), "{name}");
                seen.push(name);
            }
        }
    }
}

fn pairs() -> Vec<(Kind, String)> {
    let mut pairs: Vec<(Kind, String)> = Vec::new();
    for kind in Kind::ALL {
        pairs.extend(units_of(kind).map(|unit| (kind, unit.shown.to_owned())));
        if let Some((above, below, _)) = kind.fraction() {
            for top in units_of(above) {
                pairs.extend(units_of(below).map(|bottom| (kind, format!("{}/{}", top.shown, bottom.shown))));
            }
        }
    }
    pairs
}

/// Found by fuzzing: 36 h were written as three nights, which are 60.
#[test]
fn nights_are_written_as_they_are_read() {
    for (hours, written) in [(36.0, "2 night"), (12.0, "1 night"), (6.0, "0.5 night"), (48.0, "2.5 night")] {
        assert_eq!(write(hours, Kind::Duration, "night").as_deref(), Some(written));
        assert_eq!(read(written, Kind::Duration, None), Ok(hours));
    }
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,24}", kind in 0..Kind::ALL.len()) {
        let kind = Kind::ALL[kind];
        if let Ok(value) = read(&text, kind, Some("m")) {
            prop_assert!(value.is_finite());
        }
        let _ = read_price(&text, kind);
    }

    #[test]
    fn likely_text_is_read_or_refused(text in "[-0-9.,/ '\"°½a]{0,6} ?(ft|in|m|lb|f|°c|per|/|a|and|night|days|half|\\$|ac|n|w| ){0,4}[0-9.,]{0,3} ?(in|oz|h|ac)?", kind in 0..Kind::ALL.len()) {
        let kind = Kind::ALL[kind];
        if let Ok(value) = read(&text, kind, None) {
            prop_assert!(value.is_finite());
        }
        let _ = read_price(&text, kind);
    }

    #[test]
    fn what_is_written_is_read(value in -1e6f64..1e6, pair in 0..pairs().len()) {
        let (kind, unit) = &pairs()[pair];
        let text = write(value, *kind, unit).expect("a unit of the kind");
        let back = read(&text, *kind, None).map_err(|error| TestCaseError::fail(format!("{text}: {error:?}")))?;
        let slack = 1e-9 * value.abs() + 1e-7;
        prop_assert!((back - value).abs() <= slack, "{text}: {back}, not {value}");
    }

    #[test]
    fn feet_and_inches_agree_with_inches(feet in 0u32..50, inches in 0u32..12) {
        let mixed = read(&format!("{feet}' {inches}\""), Kind::Length, None);
        let plain = read(&format!("{} in", feet * 12 + inches), Kind::Length, None);
        prop_assert!((mixed.expect("read") - plain.expect("read")).abs() < 1e-12);
    }
}
