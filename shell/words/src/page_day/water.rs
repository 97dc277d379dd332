//! What the water asks for on the day, in sentences.

use season::day::DaySheet;
use season::harvest::HoldFor;

use super::{at, lasting};
use crate::figures::{Manner, degrees, mass, odds};

/// What was asked of pumps that are not there.
fn ways(sheet: &DaySheet) -> Option<String> {
    let ways = &sheet.ways_out;
    let asked = ways.asked_count.filter(|&asked| asked as usize > ways.there_count)?;
    let there = match ways.there_count {
        0 => "none is named for this pond".to_owned(),
        1 => "one is named for this pond, and runs".to_owned(),
        n => format!("{n} are named for this pond, and run"),
    };
    let asked = if asked == 1 { "One pump was".to_owned() } else { format!("{asked} pumps were") };
    Some(format!("{asked} asked for; {there}. A hired one is asked for as one more pump, by what it moves."))
}

/// How much longer the water is held than it would be, and what for.
fn held(sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let all_h = |why: HoldFor| sheet.holds.iter().filter(|hold| hold.why == why).map(|hold| hold.for_h).sum::<f64>();
    let (seining_h, dipping_h) = (all_h(HoldFor::Seining), all_h(HoldFor::Dipping));
    let mut said = Vec::new();
    if seining_h > 0.0 {
        let until_h = sheet.course.seine_h.1;
        said.push(match until_h < sheet.ends_h {
            true => format!(
                "The water is held for the net until {}, {} longer than usual: with it less is lost.",
                at(sheet.on, until_h, manner),
                lasting(seining_h)
            ),
            false => "The water is held for the net all day: let down, more of it would lie in the mud than these hands gather.".to_owned(),
        });
    }
    if let Some(hold) = sheet.holds.iter().find(|hold| hold.why == HoldFor::Dipping) {
        said.push(format!(
            "The last water is held for dipping from {}, for {}: with it less is lost.",
            at(sheet.on, hold.from_h, manner),
            lasting(dipping_h)
        ));
    }
    said
}

pub(super) fn said(sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let mut said = Vec::new();
    said.extend(ways(sheet));
    said.extend(held(sheet, manner));
    if sheet.still_asks.is_some() {
        said.push("Even so a longer hold would help: the lead says when the water goes.".to_owned());
    }
    if sheet.slow_chance > 0.05 {
        said.push(format!(
            "Chance that the water is below the mark at which animals follow it: {}; more is then picked up by hand. Likely {} at first light, {} \
             where the floor begins to fall bare.",
            odds(sheet.slow_chance),
            degrees(sheet.water_c.middle, manner),
            degrees(sheet.bare_c.middle, manner)
        ));
    }
    let need_kg = sheet.ice_need_kg();
    if need_kg > sheet.ice_have_kg {
        said.push(format!(
            "Ice: {} are needed and {} can be there: {} are missing. A second supplier, or less to come out.",
            mass(need_kg, manner),
            mass(sheet.ice_have_kg, manner),
            mass(need_kg - sheet.ice_have_kg, manner)
        ));
    }
    said
}
