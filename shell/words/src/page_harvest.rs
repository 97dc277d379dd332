//! What the pages of the harvest day say: the board, the stations, the record of cold, the sums that must meet.

use farm::facts::{ColdOf, Place};

use crate::figures::{Manner, grouped};

mod again;
mod board;
mod closing;
mod night;
mod tanks;

pub use again::*;
pub use board::*;
pub use closing::*;
pub use night::*;
pub use tanks::*;

/// Name of the board.
pub const TITLE: &str = "Harvest day";
/// Nothing was written down yet.
pub const NOTHING: &str = "Nothing is weighed yet";
/// What to do first.
pub const NOTHING_SAYS: &str = "Open the scale on the phone at the scale, the water's edge on another. Every phone writes without signal; what it wrote comes here by itself once it has one.";
/// Ways to the stations.
pub const STATIONS: &str = "Stations";
/// The stations: address, name, kind of entry.
pub const EVERY_STATION: [(&str, &str, &str); 7] = [
    ("scale", "Scale", "basket"),
    ("edge", "Water's edge", "edge"),
    ("cold", "Ice, tubs, tanks", "cold"),
    ("table", "Table and store", "moved"),
    ("watch", "Night watch", "watch"),
    ("people", "Who is here", "people"),
    ("close", "Close the day", "closed"),
];
/// Head of where everything is.
pub const WHERE: &str = "Where it is";
/// Head of the cold.
pub const COLD: &str = "Cold, as read last";
/// Head of the water.
pub const WATER: &str = "Water and people";
/// Head of the last baskets.
pub const LAST: &str = "Last baskets";
/// None yet.
pub const LAST_NONE: &str = "None yet on this page.";
/// Which pond.
pub const WHICH: &str = "Ponds";
/// All ponds.
pub const ALL_PONDS: &str = "All ponds";
/// Way to the record.
pub const TO_RECORD: &str = "Record of cold, to print";
/// Way to the paper tally.
pub const TO_TALLY: &str = "Enter a paper tally";
/// Way to the rehearsed day.
pub const TO_SHEET: &str = "The day as it was rehearsed: who goes where, and when";
/// Way to the board of the day before.
pub const DAY_BEFORE: &str = "The day before";
/// Way to the catch's entry.
pub const TO_CATCH: &str = "Take it over as the pond's catch";
/// Way back.
pub const TO_BOARD: &str = "Harvest day: the board";
/// On the scale.
pub const WEIGHT: &str = "On the scale";
/// Key that takes a digit back.
pub const BACK_KEY: &str = "Take the last digit back";
/// Group of keys.
pub const KEYS: &str = "Keys";
/// Button of the scale.
pub const NEXT: &str = "Next basket";
/// Button of a station.
pub const KEEP: &str = "Keep";
/// Mends one of the last.
pub const MEND: &str = "Mend";
/// Strikes while one is mended.
pub const STRIKE: &str = "This basket does not count";
/// What is being mended.
pub const MENDING: &str = "Mending a basket: type its weight anew, then Next basket.";
/// A weight that is unusual: more than a basket should hold, or nothing.
pub fn odd_weight(most_kg: f64, manner: Manner) -> String {
    format!(
        "More than {} is much for one basket, and nothing is none. If it is right, press once more.",
        total(most_kg, manner).replace(".0 ", " ")
    )
}
/// Something else than a number.
pub const NO_WEIGHT: &str = "Digits alone, as the scale shows them: 18.5. The unit stands beside the box.";
/// A basket struck out.
pub const STRUCK: &str = "does not count";
/// Title of the record.
pub const RECORD: &str = "Record of cold";
/// Heads of the record.
pub const RECORD_HEADS: [&str; 7] = ["Time", "What", "Reading", "Limit", "Within", "What was done", "By"];
/// Nothing read.
pub const RECORD_NONE: &str = "Nothing was read on this day.";
/// What the record is.
pub const RECORD_SAYS: &str = "A record and a reminder, not a judgement: your inspector and a trained person decide which limits hold and how long it is kept (commonly a year for chilled, two for frozen).";
/// Head of the close.
pub const CLOSE: &str = "Do the sums meet?";
/// The day was not closed yet.
pub const NOT_CLOSED: &str = "Not closed yet: count everybody out of the water, then write it down at Close the day.";
/// Name of the tally page.
pub const TALLY: &str = "A paper tally";
/// Question of the tally.
pub const TALLY_ASK: &str = "Baskets, one on a line: weight, where it went, count if there is one";
/// Hint of the tally.
pub const TALLY_HINT: &str =
    "As 21.5 live, or 18.2 lb chill 240. Weights without a unit are in your own unit, without the basket.";
/// Question for the day's hour of a tally.
pub const TALLY_WHEN: &str = "About when was the first of them weighed?";
/// Button of the tally.
pub const TALLY_KEEP: &str = "Keep them all";
/// Nothing in it.
pub const TALLY_EMPTY: &str = "Nothing is written in it yet.";

/// Cautions of a station, short, where the danger is.
pub fn caution(station: &str) -> &'static str {
    match station {
        "scale" => "No more than 10 kg (22 lb) to a basket: the lowest are crushed. Lift with your legs.",
        "edge" => {
            "Mud holds fast and cold water tires: nobody alone, ropes at hand. Spines and claws prick: gloves; a wound that reddens wants a doctor the same day."
        }
        "cold" => {
            "Kill fast and without pain: a deep slurry with ice floating, small lots, covered at once. Probe the thickest: cold to the hand is not cold enough."
        }
        "table" => {
            "Never head a live animal. Knives: cut-proof glove, blade away from the hand. No lot, no sale. Crustaceans are an allergen: keep tools apart."
        }
        "people" => {
            "Every name in when they come and out when they go: who is missing is looked for in the water first. Young people and first days: no water, no knives, no pumps; ask your labour office."
        }
        "watch" => {
            "Pumps and generators stand outdoors on dry ground, cords out of the water, on a breaker that trips on leakage. Stop the pump before you reach for its strainer. Refuel cold."
        }
        _ => {
            "Count everybody out of the water by name before anyone leaves. No live animal is let out: local law forbids it in most places."
        }
    }
}

/// Where something can be, in the person's words.
pub fn place(place: Place) -> &'static str {
    match place {
        Place::Live => "Live tanks",
        Place::Chill => "Ice slurry",
        Place::Table => "Heading table",
        Place::Store => "Cold store",
        Place::Sold => "Sold or handed over",
        Place::Dead => "Thrown away",
        Place::Waste => "Heads and shells",
        Place::Own => "Own use",
    }
}

/// Word of an entry for a place.
pub fn place_word(word: &str) -> &str {
    match Place::parse(word) {
        Some(known) => place(known),
        None => word,
    }
}

/// What was looked at.
pub fn cold_of(of: ColdOf) -> &'static str {
    match of {
        ColdOf::Slurry => "Ice slurry",
        ColdOf::Core => "Middle of the thickest",
        ColdOf::Live => "Live tank",
        ColdOf::Store => "Cold store",
        ColdOf::Probe => "Probe in melting ice",
    }
}

/// Word of an entry for what was looked at.
pub fn cold_word(word: &str) -> &str {
    ColdOf::ALL.iter().find(|(known, _)| *known == word).map_or(word, |(_, of)| cold_of(*of))
}

/// Other words of the day's entries.
pub fn word(field: &str, word: &str) -> String {
    let said = match (field, word) {
        ("form_of", "whole") => "Whole",
        ("form_of", "tails") => "Tails",
        ("stranded", "none") => "None",
        ("stranded", "some") => "Some",
        ("stranded", "many") => "Many",
        ("screen", "clear") => "Clear",
        ("screen", "blocked") => "Blocked",
        ("screen", "cleared") => "Was blocked, cleared",
        ("opened", "opened") => "Let go",
        ("opened", "held") => "Held for the net",
        ("opened", "shut") => "Shut",
        ("pump", "runs") => "Runs",
        ("pump", "stopped") => "Stopped",
        ("pump", "none") => "No pump here",
        ("over", "bank") => "The bank",
        ("over", "screens") => "The screens",
        ("over", "both") => "Bank and screens",
        ("seen_leaving", "none") => "None",
        ("seen_leaving", "some") => "Some",
        ("seen_leaving", "many") => "Many",
        (_, "yes") => "Yes",
        (_, "no") => "No",
        (_, other) => other,
    };
    said.to_owned()
}

/// A weight to a tenth, as a scale shows it.
pub fn weight(kg: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.1} lb", kg / 0.453_592_37),
        Manner::Metric => format!("{kg:.1} kg"),
    }
}

/// A weight without decimals when it is large.
fn total(kg: f64, manner: Manner) -> String {
    let (value, unit) = match manner {
        Manner::UsCustomary => (kg / 0.453_592_37, "lb"),
        Manner::Metric => (kg, "kg"),
    };
    if value.abs() < 100.0 { format!("{value:.1} {unit}") } else { format!("{} {unit}", grouped(value.round())) }
}
