//! Quantities that could not be read, and examples of ones that can.

use farm::inputs::{Input, Takes};
use units::measure::{Kind, MeasureError};

/// Why a quantity could not be read, and how to write it.
pub fn wrong(error: &MeasureError, typed: &str, input: Option<&Input>) -> String {
    let such = such_as(input);
    match error {
        MeasureError::Empty => format!("nothing stands here. {such}"),
        MeasureError::NumberUnreadable { text } => format!("“{text}” has no number that can be read. {such}"),
        MeasureError::DecimalComma { text, meant } => {
            format!("the comma in “{text}” parts no thousands. Write {meant} if that is meant.")
        }
        MeasureError::TooLarge { text } => format!("“{text}” is beyond all use."),
        MeasureError::NoUnit { .. } => format!("“{typed}” has no unit. {such}"),
        MeasureError::UnknownUnit { unit, nearest, .. } => {
            let near = nearest.map_or(String::new(), |unit| format!(" Did you mean {unit}?"));
            format!("“{unit}” is no unit known here.{near} {such}")
        }
        MeasureError::OtherKind { unit, is, wanted } => {
            format!("“{unit}” measures {}, and {} is wanted. {such}", noun(*is), noun(*wanted))
        }
        MeasureError::LeftOver { text } => {
            format!("“{text}” is left over and means nothing here. Put it after a # as a remark.")
        }
        MeasureError::OutOfOrder { unit } => format!("the larger unit comes first: {unit} before the other."),
        MeasureError::Currency { text } => format!("two currencies stand in “{text}”. Keep one."),
    }
}

fn such_as(input: Option<&Input>) -> String {
    match input.map(|input| input.takes) {
        Some(Takes::Quantity(kind, _)) => format!("Write it as {}.", examples(kind)),
        Some(Takes::Price(per)) => format!("Write it as {}.", price_examples(per)),
        Some(Takes::PriceOfPrawns) => "Write it as \"$12/lb\", or \"$0.90 each\" by the piece.".to_owned(),
        Some(Takes::Number) => "Write a plain number.".to_owned(),
        Some(Takes::Whole) => "Write a whole number.".to_owned(),
        _ => "Write a value, or take the line out.".to_owned(),
    }
}

/// What a kind measures, after "measures".
fn noun(kind: Kind) -> &'static str {
    match kind {
        Kind::Length => "a length",
        Kind::Area => "an area",
        Kind::Volume => "a volume",
        Kind::Temperature => "a temperature",
        Kind::Mass => "a weight",
        Kind::Duration => "a time",
        Kind::Speed => "a speed",
        Kind::Flow => "a flow",
        Kind::Count => "a count",
        Kind::Density => "a number to the area",
        Kind::PiecesPerMass => "a count to the pound",
        Kind::MassRate => "a weight for each hour",
        Kind::MassPerVolume => "a weight in a volume",
        Kind::MassPerArea => "a weight to the area",
        Kind::Power => "power",
        Kind::Energy => "energy",
        Kind::Share => "a share",
        Kind::Latitude => "a latitude",
        Kind::Longitude => "a longitude",
    }
}

/// As [`noun`], to begin a sentence.
pub fn wanted(kind: Kind) -> String {
    let noun = noun(kind);
    let mut letters = noun.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// Ways of writing a quantity; every one of them can be read.
pub fn examples(kind: Kind) -> String {
    let listed: Vec<String> = samples(kind).iter().map(|sample| format!("\"{sample}\"")).collect();
    match listed.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => listed.concat(),
    }
}

/// The examples themselves.
pub(super) fn samples(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Length => &["3 ft 6 in", "42 in", "1.1 m"],
        Kind::Area => &["0.45 ac", "1800 m2", "0.18 ha"],
        Kind::Volume => &["300 gal", "1.1 m3", "1100 l"],
        Kind::Temperature => &["60 F", "15.6 C"],
        Kind::Mass => &["12 lb", "5.4 kg", "38 g"],
        Kind::Duration => &["36 h", "two nights", "a day and a night", "2 days"],
        Kind::Speed => &["10 mph", "4 m/s"],
        Kind::Flow => &["60 m3/h", "265 gpm"],
        Kind::Count => &["24000", "12"],
        Kind::Density => &["24,000/ac", "6 per m2", "60,000/ha"],
        Kind::PiecesPerMass => &["12 per lb", "30 per kg"],
        Kind::MassRate => &["25 lb/h", "12 kg per hand-hour"],
        Kind::MassPerVolume => &["50 g/l", "0.5 mg/l"],
        Kind::MassPerArea => &["1,500 lb/ac", "1,700 kg/ha"],
        Kind::Power => &["2 hp", "1.5 kW"],
        Kind::Energy => &["3 kWh"],
        Kind::Share => &["50 %", "1 in 10", "0.5"],
        Kind::Latitude => &["34.7 N", "34° 42' N"],
        Kind::Longitude => &["82.8 W", "-82.8"],
    }
}

/// For one of what a price is asked.
pub fn per(kind: Kind) -> &'static str {
    match kind {
        Kind::Mass => "by weight",
        Kind::Volume => "by volume",
        Kind::Duration => "by time",
        Kind::Energy => "by the kilowatt-hour",
        _ => "by the piece",
    }
}

/// Ways of writing a price.
pub fn price_examples(kind: Kind) -> &'static str {
    match kind {
        Kind::Mass => "\"$0.40/lb\" or \"4.20 BRL/kg\"",
        Kind::Volume => "\"$3.60/gal\" or \"6 BRL/l\"",
        Kind::Duration => "\"$15/h\" or \"$45/day\"",
        Kind::Energy => "\"$0.15/kWh\"",
        _ => "\"$0.90 each\"",
    }
}
