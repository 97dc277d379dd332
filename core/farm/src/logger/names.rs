//! What the head of a column says: what it holds, in which unit, where along the pond.

use units::Zone;

use super::{FileClock, Holds};
use crate::observed::{Place, Spot};

/// What a head says of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    /// This, unit and all.
    Known(Holds),
    /// Water temperature without a unit.
    Temp,
    /// Something else that is measured, and not taken.
    Other,
    /// The head says nothing of it.
    Unknown,
}

/// Temperatures that are not the water's.
const NOT_WATER: [&str; 12] =
    ["air", "dew", "internal", "board", "battery", "ambient", "case", "wind", "heat", "outside", "device", "cpu"];

fn words(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// What a head says.
pub(super) fn named(name: &str) -> Named {
    if Spot::parse(name).is_some() {
        // The program's own form of readings: °C.
        return Named::Known(Holds::TempC);
    }
    let words = words(name);
    let has = |some: &[&str]| words.iter().any(|word| some.contains(&word.as_str()));
    let share = has(&["sat", "saturation", "percent", "pct"]) || name.contains('%');
    let begins = |start: &str| words.iter().any(|word| word.starts_with(start));
    if has(&["ph"]) {
        return Named::Known(Holds::Ph);
    }
    if has(&["do", "odo", "ldo", "o2", "oxygen", "dissolved"]) {
        return if share { Named::Other } else { Named::Known(Holds::Oxygen) };
    }
    if has(&["stage"]) || (has(&["below"]) && has(&["full"])) {
        return stage_unit(&words).map_or(Named::Other, Named::Known);
    }
    let unit = temp_unit(name, &words);
    let is_temp = begins("temp") || begins("wtemp") || begins("watertemp") || begins("thermo") || begins("tmp");
    if is_temp || (unit.is_some() && (begins("water") || words.len() == 1 || has(&["deep", "shallow", "middle"]))) {
        if has(&NOT_WATER) {
            return Named::Other;
        }
        return unit.map_or(Named::Temp, Named::Known);
    }
    let other = [
        "cond", "salin", "turb", "batt", "volt", "press", "record", "serial", "lux", "light", "humid", "depth", "orp",
        "rssi",
    ];
    if share
        || other.iter().any(|start| begins(start))
        || has(&["no", "rh", "id", "n", "index", "row"])
        || name.trim() == "#"
    {
        return Named::Other;
    }
    Named::Unknown
}

fn temp_unit(name: &str, words: &[String]) -> Option<Holds> {
    let small = name.to_lowercase();
    let ends = |unit: &str| {
        words.iter().any(|word| {
            let rest = word.strip_prefix("temperature").or_else(|| word.strip_prefix("temp"));
            word == unit || rest == Some(unit)
        })
    };
    let fahrenheit =
        ["f", "degf", "fahrenheit"].iter().any(|unit| ends(unit)) || small.contains("°f") || small.contains("ºf");
    let celsius = ["c", "degc", "celsius", "centigrade"].iter().any(|unit| ends(unit))
        || small.contains("°c")
        || small.contains("ºc");
    match (fahrenheit, celsius) {
        (true, false) => Some(Holds::TempF),
        (false, true) => Some(Holds::TempC),
        _ => None,
    }
}

fn stage_unit(words: &[String]) -> Option<Holds> {
    words.iter().find_map(|word| match word.as_str() {
        "m" | "metres" | "meters" => Some(Holds::StageM),
        "cm" => Some(Holds::StageCm),
        "in" | "inches" | "inch" => Some(Holds::StageIn),
        "ft" | "feet" => Some(Holds::StageFt),
        _ => None,
    })
}

/// Where along the pond a head says that it was measured, and how deep.
pub(super) fn where_of(name: &str) -> (Option<Place>, Option<f64>) {
    if let Some(spot) = Spot::parse(name) {
        return (Some(spot.place), Some(spot.depth_m));
    }
    let words = words(name);
    (Place::ALL.into_iter().find(|place| words.iter().any(|word| word == place.name())), None)
}

/// Whether a cell is a unit standing alone, as in a second line of heads.
pub(super) fn is_unit(cell: &str) -> bool {
    let bare: String = cell.to_lowercase().chars().filter(|c| c.is_alphanumeric() || *c == '/' || *c == '%').collect();
    ["c", "f", "degc", "degf", "celsius", "fahrenheit", "mg/l", "mgl", "ppm", "ph", "%", "m", "cm", "in", "ft", "v"]
        .contains(&bare.as_str())
}

/// The clock that a title or a head names: `GMT-05:00`, `UTC+2`, `UTC`.
pub(super) fn clock_in(text: &str) -> Option<FileClock> {
    let upper = text.to_uppercase();
    let at = upper.find("UTC").or_else(|| upper.find("GMT"))?;
    // A word that only holds these letters is none.
    if upper[..at].ends_with(|c: char| c.is_alphanumeric()) {
        return None;
    }
    let rest = upper[at + 3..].trim_start();
    let sign = rest.starts_with(['+', '-', '−']);
    let rest = rest.replace('−', "-");
    let end = rest
        .char_indices()
        .find(|&(at, c)| at > 0 && !(c.is_ascii_digit() || c == ':'))
        .map_or(rest.len(), |(at, _)| at);
    if !sign {
        return (!rest.starts_with(|c: char| c.is_alphanumeric())).then_some(FileClock::Utc);
    }
    let zone = Zone::parse(&rest[..end]).ok()?;
    Some(FileClock::Fixed(zone.offset_s(units::Instant(0))))
}
