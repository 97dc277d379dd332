//! Choices of a harvest day's entries.

use farm::facts::{Field, Place};
use maud::Markup;
use words::page_harvest as harvest;

use super::{Shown, chips};

/// The places that a field of a harvest day's entry may name.
pub fn places(field: &str) -> Vec<(&'static str, &'static str)> {
    let of: &[Place] = match field {
        "to" => &[Place::Chill, Place::Live, Place::Dead, Place::Own],
        "out_of" => &[Place::Chill, Place::Live, Place::Table, Place::Store],
        _ => {
            &[Place::Table, Place::Store, Place::Chill, Place::Live, Place::Sold, Place::Waste, Place::Dead, Place::Own]
        }
    };
    of.iter().map(|place| (place.word(), harvest::place(*place))).collect()
}

/// Chips for words that have names of their own.
pub fn worded(shown: &Shown, field: &Field, words: &[&'static str]) -> Markup {
    let named: Vec<(&str, String)> = words.iter().map(|word| (*word, harvest::word(field.name, word))).collect();
    chips(shown, field.name, named.iter().map(|(word, label)| (*word, label.as_str())).collect(), field.needed)
}
