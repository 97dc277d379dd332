//! Which pond is taken first, in words.

use season::day::{DaySheet, TakenFirst};

use crate::figures::{Manner, degrees, mass};

/// Above the ponds of one day.
pub const FIRST: &str = "Several ponds on this day: which first";
/// Heads of that table.
pub const FIRST_HEADS: [&str; 5] = ["Pond", "In it, likely", "The sure ones carry", "Coldest after", "Told to buyers"];

/// A row.
pub fn first_row(of: &TakenFirst, manner: Manner) -> [String; 5] {
    [
        of.pond.clone(),
        mass(of.kg, manner),
        mass(of.taken_kg, manner),
        if of.coldest_c.is_finite() { degrees(of.coldest_c, manner) } else { "not reckoned".to_owned() },
        if of.is_promised { "yes" } else { "no" }.to_owned(),
    ]
}

/// What it means.
pub fn first_says(sheet: &DaySheet, manner: Manner) -> Option<String> {
    let leading = sheet.first.first()?;
    let left: Vec<&TakenFirst> = sheet.first.iter().filter(|one| one.taken_kg < 0.97 * one.kg).collect();
    if left.is_empty() {
        return Some(format!("Those who surely come can carry all of it; begin with {}.", leading.pond));
    }
    let names: Vec<String> =
        left.iter().map(|one| format!("{} in {}", mass(one.kg - one.taken_kg, manner), one.pond)).collect();
    Some(format!(
        "Should only the sure ones come, take {} first and let nothing down that cannot be carried: {} stays for another day, in full water. \
         What lies below the cold mark goes first, then what buyers were told of; within a pond from the shallow edges inward.",
        leading.pond,
        names.join(" and ")
    ))
}
