//! One field of the set-up: its hint, its units, what is wrong with it. All of it comes from the table of inputs.

use farm::inputs::{Input, LeftOut, Takes, inputs};
use farm::reasons::{Reason, Wrong};
use farm::{Doubt, DoubtKind};
use units::measure::{Kind, read, write};

use crate::figures::Manner;

/// What stands under a field: what is meant, and what happens when it is left empty.
pub fn hint(input: &Input, dollars: bool, manner: Manner) -> String {
    let left = match (input.stand_in(), input.left_out) {
        (Some(_), LeftOut::AssumeDollars(..)) if !dollars => String::new(),
        (Some((value, source)), _) => format!(" Left empty: {} ({source}).", stand_in(input, value, manner)),
        (None, LeftOut::Then(follows)) => format!(" Left empty: {}.", plain(follows)),
        _ => String::new(),
    };
    format!("{}{left}", plain(input.about))
}

/// A stand-in as one reads it: the table's own words, or by two figures in the unit of a person who reckons in metres.
pub fn stand_in(input: &Input, value: &str, manner: Manner) -> String {
    match value {
        "true" => return "yes".to_owned(),
        "false" => return "no".to_owned(),
        _ => {}
    }
    let in_own = || {
        let Takes::Quantity(kind, _) = input.takes else { return None };
        let unit =
            value.trim_start_matches(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | ' '));
        if !["ft", "in", "lb", "lb/h", "gal", "F", "/ac"].contains(&unit) {
            return None;
        }
        let own =
            write(read(value, kind, None).ok()?, kind, &units(input, Manner::Metric, "").first()?.1.to_lowercase())?;
        let ends = own.find(|letter: char| !letter.is_ascii_digit() && !matches!(letter, '.' | '-'))?;
        let number: f64 = format!("{:.1e}", own[..ends].parse::<f64>().ok()?).parse().ok()?;
        Some(format!("{number}{}", &own[ends..]))
    };
    Some(manner).filter(|manner| *manner == Manner::Metric).and_then(|_| in_own()).unwrap_or_else(|| value.to_owned())
}

/// A paragraph of the table without the marks that only a file needs.
fn plain(text: &str) -> String {
    text.replace("`[[pump]]`", "the page on gear")
        .replace("`[crew]`", "hands")
        .replace("`[[price]]`", "prices")
        .replace(['`', '"', '[', ']'], "")
}

/// Name of a question where there is no room for it.
pub fn short(key: &str) -> String {
    let name = key.rsplit('.').next().unwrap_or(key).replace('_', " ");
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// A word of a choice, as it stands on its button.
pub fn word<'a>(key: &str, word: &'a str) -> &'a str {
    match (key, word) {
        ("pond.outlet", "none") => "by pump only",
        ("pond.outlet", "pipe") => "pipe with a gate",
        ("price.form" | "order.form" | "buyer.form", "whole") => "whole, chilled",
        ("price.form" | "order.form" | "buyer.form", "piece") => "by the piece",
        (_, "true") => "yes",
        (_, "false") => "no",
        (_, other) => other,
    }
}

/// Units a number may be typed in, as shown and as written; the person's own first. Empty where a number stands alone.
pub fn units(input: &Input, manner: Manner, currency: &str) -> Vec<(String, String)> {
    let us = manner == Manner::UsCustomary;
    let own = |pairs: &[&str]| -> Vec<(String, String)> {
        pairs.iter().map(|unit| ((*unit).to_owned(), (*unit).to_owned())).collect()
    };
    let money = |per: &str| (format!("{currency}/{per}"), format!("{currency}/{per}"));
    match input.takes {
        Takes::Quantity(kind, _) => match (kind, input.name(), us) {
            (Kind::Length, "secchi" | "silt" | "outlet_across" | "catch_depth", true) => own(&["in", "ft", "cm"]),
            (Kind::Length, "secchi" | "silt" | "outlet_across" | "catch_depth", false) => own(&["cm", "m", "in"]),
            (Kind::Length, "bank_closed_by_rain" | "outlet_drowned_by_rain", true) => own(&["in", "mm"]),
            (Kind::Length, "bank_closed_by_rain" | "outlet_drowned_by_rain", false) => own(&["mm", "in"]),
            (Kind::Length, _, true) => own(&["ft", "in", "m"]),
            (Kind::Length, _, false) => own(&["m", "cm", "ft"]),
            (Kind::Area, _, true) => own(&["ac", "m2", "ha"]),
            (Kind::Area, _, false) => own(&["m2", "ha", "ac"]),
            (Kind::Volume, _, true) => own(&["gal", "l", "m3"]),
            (Kind::Volume, _, false) => own(&["l", "m3", "gal"]),
            (Kind::Temperature, _, true) => vec![("°F".into(), "F".into()), ("°C".into(), "C".into())],
            (Kind::Temperature, _, false) => vec![("°C".into(), "C".into()), ("°F".into(), "F".into())],
            (Kind::Mass, "mean_weight", _) => own(&["g", "oz"]),
            (Kind::Mass, _, true) => own(&["lb", "kg"]),
            (Kind::Mass, _, false) => own(&["kg", "lb"]),
            (
                Kind::Duration,
                "notice" | "ice_notice" | "bank_closed_for" | "outlet_drowned_for" | "history_moved",
                _,
            ) => own(&["days", "h"]),
            (Kind::Duration, "basket_round" | "haul", _) => own(&["min", "h"]),
            (Kind::Duration, "carry" | "weigh" | "head", _) => own(&["s", "min"]),
            (Kind::Duration, "empties_in", _) => own(&["h", "days", "nights"]),
            (Kind::Duration, ..) => own(&["h", "days"]),
            (Kind::Flow, "rate", _) => own(&["m3/h", "gpm"]),
            (Kind::Flow, _, true) => own(&["gal/h", "l/h"]),
            (Kind::Flow, _, false) => own(&["l/h", "gal/h"]),
            (Kind::Density, _, true) => own(&["/ac", "/m2", "/ha"]),
            (Kind::Density, _, false) => own(&["/m2", "/ha", "/ac"]),
            (Kind::MassRate, _, true) => own(&["lb/h", "kg/h"]),
            (Kind::MassRate, _, false) => own(&["kg/h", "lb/h"]),
            (Kind::MassPerVolume, ..) => own(&["g/l"]),
            (Kind::Power, ..) => own(&["hp", "kW"]),
            (Kind::Share, ..) => own(&["%"]),
            _ => Vec::new(),
        },
        Takes::Price(Kind::Mass) | Takes::PriceOfPrawns if us => vec![money("lb"), money("kg")],
        Takes::Price(Kind::Mass) | Takes::PriceOfPrawns => vec![money("kg"), money("lb")],
        Takes::Price(Kind::Volume) if us => vec![money("gal"), money("l")],
        Takes::Price(Kind::Volume) => vec![money("l"), money("gal")],
        Takes::Price(Kind::Duration) if input.name() == "hand_hour" => vec![money("h")],
        Takes::Price(Kind::Duration) => vec![money("day")],
        Takes::Price(Kind::Energy) => vec![money("kWh")],
        _ => Vec::new(),
    }
}

/// What is wrong with an answer, to stand at its field.
pub fn slip(reason: &Reason) -> String {
    let input = inputs().find(|input| input.key == reason.key);
    let said = match &reason.what {
        Wrong::MissingEither { .. } if reason.key == "pond.area" => {
            "How long and how wide, in paces or measured, or else the water surface: one of them needs an answer."
                .to_owned()
        }
        Wrong::Missing | Wrong::MissingEither { .. } => match input {
            Some(input) if matches!(input.takes, Takes::Section | Takes::Sections) => {
                format!("{} Nothing is there yet.", input.question)
            }
            Some(input) => format!("{} This one needs an answer.", input.question),
            None => "This one needs an answer.".to_owned(),
        },
        Wrong::Twice { .. } => format!("\u{201c}{}\u{201d} stands twice. Each needs its own.", reason.typed),
        Wrong::SizesOverlap { .. } => {
            "This size overlaps another row of the same form. Each size has one price in each form.".to_owned()
        }
        Wrong::UnknownKey { .. } => {
            format!(
                "\u{201c}{}\u{201d} is no question known here (answer: {}). It came with the file that was opened.",
                short(&reason.key),
                reason.typed
            )
        }
        Wrong::UnknownPump { names } if names.is_empty() => {
            format!("No pump is named yet. Describe \u{201c}{}\u{201d} under Hands, ice and gear.", reason.typed)
        }
        what => crate::farm::wrong(what, reason, input).replace('"', "").replace(" Put it after a # as a remark.", ""),
    };
    let mut letters = said.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// What is odd about an answer, to stand at its field.
pub fn doubt(doubt: &Doubt) -> String {
    let said = crate::farm::doubt_said(doubt);
    let mut letters = said.chars();
    let said: String = letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect());
    match doubt.what {
        DoubtKind::Unusual { .. } => format!("{}: {said}.", short(doubt.key)),
        _ => format!("{said}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::measure;

    #[test]
    fn every_unit_offered_is_one_that_is_read() {
        for input in inputs() {
            for manner in [Manner::UsCustomary, Manner::Metric] {
                for (_, unit) in units(input, manner, "USD") {
                    let text = format!("5 {unit}");
                    let read = match input.takes {
                        Takes::Quantity(kind, bare) => measure::read(&text, kind, bare).is_ok(),
                        Takes::Price(per) => measure::read_price(&text, per).is_ok(),
                        Takes::PriceOfPrawns => measure::read_price(&text, Kind::Mass).is_ok(),
                        _ => false,
                    };
                    assert!(read, "{}: {text}", input.key);
                }
            }
        }
    }

    #[test]
    fn hints_carry_no_marks_of_the_file_and_name_what_stands_in() {
        for input in inputs().filter(|input| !matches!(input.takes, Takes::Section | Takes::Sections)) {
            let hint = hint(input, true, Manner::UsCustomary);
            assert!(!hint.contains(['`', '"', '[']), "{}: {hint}", input.key);
            if let Some((value, _)) = input.stand_in() {
                assert!(
                    hint.contains(&format!("Left empty: {}", stand_in(input, value, Manner::UsCustomary))),
                    "{}: {hint}",
                    input.key
                );
            }
        }
    }

    #[test]
    fn stand_ins_are_said_in_the_units_of_the_person() {
        let of = |key: &str| inputs().find(|input| input.key == key).expect("in the table");
        for (key, value, metric) in [
            ("pond.catch_depth", "16 in", "41 cm"),
            ("pond.silt", "0 ft", "0 cm"),
            ("farm.pace", "2.5 ft", "0.76 m"),
            ("choices.cold_mark", "60 F", "16 °C"),
            ("pond.secchi", "40 cm", "40 cm"),
            ("stocked.density", "16,000/ac", "4/m2"),
            ("crew.hours", "8 h", "8 h"),
            ("cold.ice_per_prawn", "1", "1"),
        ] {
            assert_eq!(stand_in(of(key), value, Manner::Metric), metric, "{key}");
            assert_eq!(stand_in(of(key), value, Manner::UsCustomary), value, "{key}");
        }
    }
}
