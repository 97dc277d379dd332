//! Stock handed to tables under a lot that leads nowhere: none named, one that no entry knows, or more than ever came into its tub.
//!
//! Model     none: bookkeeping by names
//! Units     kg
//! Range     the season's entries
//! Source    none: what a trace asks for ("no lot, no sale" is common practice)
//! Left out  how much of a tub was moved into another: of a tub that something was moved into no amount is judged

use std::collections::{BTreeMap, BTreeSet};

use farm::Farm;
use farm::facts::market::{Market, Pool};
use farm::facts::{Kept, Pack, current, lot_name, working_day_of};
use units::Day;

use super::{back, lot_names};
use crate::labels::lot;

/// What scales differ by over a day, as a share (our guess), and kg.
const SCALES: (f64, f64) = (0.03, 0.5);

/// What is odd about a lot that was handed out.
#[derive(Debug, Clone, PartialEq)]
pub enum OddLot {
    /// None was named, and how many times.
    Unnamed(usize),
    /// No basket, pack or move knows it.
    Unknown(String),
    /// More was handed out under it than came into its tub, kg: handed, came.
    TooMuch(String, f64, f64),
}

/// A handing with its odd lot.
#[derive(Debug, Clone, PartialEq)]
pub struct OddHanding {
    /// Mark of the entry that holds.
    pub head: String,
    /// The table.
    pub table: String,
    /// What is odd.
    pub odd: OddLot,
}

/// Handings under lots that lead nowhere, in order of their entries; of a table's without a lot, and of a lot of which too much was handed out, the last. `facts` are the
/// season's baskets, moves and catches.
pub fn odd_lots(farm: &Farm, facts: &[Kept], packs: &[Pack], market: &Market) -> Vec<OddHanding> {
    let zone = &farm.place.zone;
    let tubs = back::tubs(facts, zone);
    let mixed = back::mixed(facts, zone, &tubs);
    let mut known: BTreeSet<String> = tubs.iter().map(|tub| tub.lot.clone()).collect();
    known.extend(mixed.iter().flat_map(|one| [one.from.clone(), one.into.clone()]));
    known.extend(packs.iter().flat_map(|pack| pack.of_lots.iter().chain([&pack.lot]).cloned()));
    // A pond's day without a tub is a lot too, and where only its weight was entered nobody can know the tubs.
    let weighed: BTreeSet<(&str, Day)> = tubs.iter().map(|tub| (tub.pond.as_str(), tub.on)).collect();
    let nameless: BTreeSet<(&str, Day)> =
        tubs.iter().filter(|tub| tub.tub.is_empty()).map(|tub| (tub.pond.as_str(), tub.on)).collect();
    let entries = current(facts);
    let entered: BTreeSet<(&str, Day)> = entries
        .iter()
        .filter_map(|entry| entry.settled())
        .filter(|kept| kept.fact.kind == "catch")
        .filter_map(|kept| Some((kept.fact.pond()?, working_day_of(kept.fact.happened.at, zone))))
        .collect();
    let is_known = |name: &str| {
        let of_day = |pond: &str, on: Day, tub: &str| {
            let day = (pond, on);
            let is_day = tub.is_empty() && weighed.contains(&day);
            is_day || nameless.contains(&day) || (entered.contains(&day) && !weighed.contains(&day))
        };
        known.contains(name) || lot_names(farm, name).iter().any(|one| of_day(&one.pond, one.on, &one.tub))
    };
    let came_kg = |name: &str| -> Option<f64> {
        let own = tubs.iter().find(|tub| tub.lot == name && tub.lot != lot(&tub.pond, tub.on, ""))?;
        let is_plain = !mixed.iter().any(|one| one.into == name);
        is_plain.then(|| own.baskets.iter().map(|basket| basket.net_kg).sum())
    };
    let mut found = Vec::new();
    let mut out: BTreeMap<String, f64> = BTreeMap::new();
    for one in &market.handed {
        let name = one.lot.as_deref().map(lot_name).unwrap_or_default();
        let odd = |odd| OddHanding { head: one.entered.head.clone(), table: one.table.clone(), odd };
        let kg = one.weight_kg.filter(|_| one.good.sold_as.pool() != Pool::Tails).unwrap_or(0.0);
        let sum = out.entry(name.clone()).or_default();
        if one.back {
            *sum -= kg;
            continue;
        }
        *sum += kg;
        if name.is_empty() {
            let is_same = |before: &OddHanding| before.table == one.table && matches!(before.odd, OddLot::Unnamed(_));
            let times = found.iter().find(|before| is_same(before)).map_or(0, |before| match before.odd {
                OddLot::Unnamed(times) => times,
                OddLot::Unknown(_) | OddLot::TooMuch(..) => 0,
            });
            // The last of a table leads to the entry: the others stand in the log.
            found.retain(|before| !is_same(before));
            found.push(odd(OddLot::Unnamed(times + 1)));
        } else if !is_known(&name) {
            found.push(odd(OddLot::Unknown(name)));
        } else if let Some(came) = came_kg(&name)
            && *sum > came * (1.0 + SCALES.0) + SCALES.1
        {
            let sum = *sum;
            found.retain(|before: &OddHanding| !matches!(&before.odd, OddLot::TooMuch(lot, ..) if *lot == name));
            found.push(odd(OddLot::TooMuch(name, sum, came)));
        }
    }
    // Of which as much came back as was too much is no longer asked about.
    found.retain(|one| match &one.odd {
        OddLot::TooMuch(name, _, came) => out[name] > came * (1.0 + SCALES.0) + SCALES.1,
        OddLot::Unnamed(_) | OddLot::Unknown(_) => true,
    });
    found
}

#[cfg(test)]
mod tests;
