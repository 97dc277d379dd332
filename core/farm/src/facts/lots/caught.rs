//! What came out of the ponds, entered or weighed basket by basket, laid to its lot.

use std::collections::BTreeMap;

use units::Day;

use super::{ENTERED_D, Fact, Lot, Said, Taken};

/// The lot that a catch of a day is of: on the day of a new stocking what was there before, if anything was.
fn lot_of_catch(lots: &mut [Lot], day: Day) -> Option<&mut Lot> {
    let at = lots.iter().rposition(|lot| lot.stocking.on < day).or(lots.iter().position(|lot| lot.stocking.on == day));
    at.map(|at| &mut lots[at])
}

pub(super) fn caught(lots: &mut [Lot], fact: &Fact, day: Day) {
    let value = |name: &str| fact.values.get(name).copied();
    let Some(lot) = lot_of_catch(lots, day) else { return };
    if let Some(kg) = value("caught") {
        take(lot, Taken { on: day, live_kg: kg, by_baskets: false });
        lot.caught_kg = Some(lot.caught_kg.unwrap_or(0.0) + kg);
        match value("mean_weight") {
            Some(mean_g) if mean_g > 0.0 => {
                lot.caught_count = Some(lot.caught_count.unwrap_or(0.0) + kg * 1000.0 / mean_g);
            }
            _ => lot.is_counted_whole = false,
        }
    }
    if matches!(fact.text("empty"), Some("yes")) {
        (lot.out, lot.is_out_guessed) = (Some(day), false);
    }
}

/// Baskets are a pond's catch where nobody entered one: pond, day, kg, and whether it is empty.
pub(super) fn by_baskets<'a>(
    ponds: &mut BTreeMap<&'a str, Vec<Lot>>,
    said: &[(i64, Said<'_>)],
    baskets: &[(&'a str, Day, f64, bool)],
) {
    for &(pond, day, kg, is_empty) in baskets {
        let is_its = |fact: &Fact, on: Day| fact.pond() == Some(pond) && (0..=ENTERED_D).contains(&(on.0 - day.0));
        let entered: Vec<&Fact> = said
            .iter()
            .filter_map(|(_, one)| match one {
                Said::Fact(_, fact, on) if fact.kind == "catch" && is_its(fact, *on) => Some(*fact),
                _ => None,
            })
            .collect();
        let is_said = entered.iter().any(|fact| fact.values.contains_key("caught"));
        let Some(lot) = ponds.get_mut(pond).and_then(|lots| lot_of_catch(lots, day)) else { continue };
        take(lot, Taken { on: day, live_kg: if is_said { 0.0 } else { kg }, by_baskets: true });
        if !is_said {
            lot.caught_kg = Some(lot.caught_kg.unwrap_or(0.0) + kg);
            lot.is_counted_whole = false;
        }
        if is_empty && entered.is_empty() {
            (lot.out, lot.is_out_guessed) = (Some(day), false);
        }
    }
}

/// Puts a catch with what else came out that day.
fn take(lot: &mut Lot, of: Taken) {
    match lot.taken.iter_mut().find(|known| known.on == of.on) {
        Some(known) => {
            (known.live_kg, known.by_baskets) = (known.live_kg + of.live_kg, known.by_baskets || of.by_baskets)
        }
        None => {
            let at = lot.taken.partition_point(|known| known.on < of.on);
            lot.taken.insert(at, of);
        }
    }
}
