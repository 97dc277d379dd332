//! What the water asks for on the day, in sentences.

use season::day::DaySheet;
use season::harvest::HoldFor;

use super::{at, lasting};
use crate::figures::{Manner, degrees, mass, odds};

pub(super) fn said(sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let mut said = Vec::new();
    for hold in &sheet.holds {
        let why = match hold.why {
            HoldFor::Seining => "for the net",
            HoldFor::Dipping => "for dipping, before the last of it goes",
        };
        said.push(format!(
            "Hold the water at {} for {} {why}: with it less is lost. The hours here reckon with it.",
            at(sheet.on, hold.from_h, manner),
            lasting(hold.for_h)
        ));
    }
    if sheet.still_asks.is_some() {
        said.push("Even so a longer hold would help: the lead says when the water goes.".to_owned());
    }
    if sheet.slow_chance > 0.05 {
        said.push(format!(
            "Chance that the water is below the mark at which animals follow it: {}; more is then picked up by hand. Likely {} at first light.",
            odds(sheet.slow_chance),
            degrees(sheet.water_c.middle, manner)
        ));
    }
    let need_kg = sheet.ice.all_kg().max(sheet.ice_rule_kg);
    if need_kg > sheet.ice_have_kg {
        said.push(format!(
            "Ice: {} are needed and {} will be there. Order {} more.",
            mass(need_kg, manner),
            mass(sheet.ice_have_kg, manner),
            mass(need_kg - sheet.ice_have_kg, manner)
        ));
    }
    said
}
