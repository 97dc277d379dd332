//! Which pond is taken first on a day on which several come out and not all can be.

use harvest::Part;

use super::Stage;
use crate::answer::{Outlook, PondOutlook};

/// A pond of a day on which several come out.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenFirst {
    /// Its name.
    pub pond: String,
    /// Its place among the farm's ponds.
    pub index: usize,
    /// Likely in it, kg.
    pub kg: f64,
    /// Of that what those who surely come can bring onto ice, in this order, kg.
    pub taken_kg: f64,
    /// The coldest likely water of the three dawns after, °C.
    pub coldest_c: f64,
    /// Its buyers were told of this day.
    pub is_promised: bool,
}

/// The ponds that come out on this day, those first that cannot wait.
pub(super) fn of_day(stage: &Stage, outlook: &Outlook, can_carry_kg: f64) -> Vec<TakenFirst> {
    const AFTER_D: i32 = 3;
    let comes_out = |shown: &&PondOutlook| {
        let planned =
            shown.planned.filter(|planned| planned.catch_day == stage.on || planned.second_day == Some(stage.on));
        planned.is_some() || shown.index == stage.shown.index
    };
    let ponds: Vec<&PondOutlook> = outlook.ponds.iter().filter(comes_out).collect();
    if ponds.len() < 2 {
        return Vec::new();
    }
    let parts: Vec<Part> = ponds
        .iter()
        .map(|shown| {
            let after = shown.dawns.iter().filter(|dawn| (1..=AFTER_D).contains(&(dawn.day.0 - stage.on.0)));
            let announced = &stage.ask.farm.ponds[shown.index].announced;
            Part {
                kg: shown.mass_kg.middle,
                coldest_c: after.map(|dawn| dawn.coldest_c).fold(f64::INFINITY, f64::min),
                is_promised: announced.contains(&stage.on),
            }
        })
        .collect();
    harvest::takes_first(&parts, stage.ask.farm.choices.cold_mark_c, can_carry_kg)
        .into_iter()
        .map(|(at, taken_kg)| TakenFirst {
            pond: ponds[at].name.clone(),
            index: ponds[at].index,
            kg: parts[at].kg,
            taken_kg,
            coldest_c: parts[at].coldest_c,
            is_promised: parts[at].is_promised,
        })
        .collect()
}
