//! Stock handed to tables under a lot that leads nowhere: none named, one that no entry knows, or more than ever came into its tub.
//!
//! Model     none: bookkeeping by names
//! Units     kg
//! Range     the season's entries
//! Source    none: what a trace asks for ("no lot, no sale" is common practice)
//! Left out  how much of a tub was moved into another: of a tub that something was moved into no amount is judged

use std::collections::{BTreeMap, BTreeSet};

use farm::Farm;
use farm::facts::market::{Market, Pool, SoldAs};
use farm::facts::{Basket, Kept, LiveTank, Pack, Place, current, lot_name, same_tub, working_day_of};
use units::{Day, Instant};

use super::{LotName, MovedOn, Tubs, back, lot_names};
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
    /// It was handed out alive, and its tank is held.
    Held(String),
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

/// Whether a lot lies in a live tank that is held.
fn is_of_held(farm: &Farm, tanks: &[LiveTank], lot: &str) -> bool {
    let held = || tanks.iter().filter(|tank| !tank.beyond.is_empty() && tank.name.is_some());
    let of = |one: LotName| held().any(|tank| !one.tub.is_empty() && same_tub(tank.name.as_deref(), Some(&one.tub)));
    lot_names(farm, lot).into_iter().any(of)
}

/// What was handed out alive of lots that lie in a held tank, less what came back, kg: it is held there and not once more.
pub fn handed_of_held_kg(farm: &Farm, market: &Market, tanks: &[LiveTank]) -> f64 {
    let of = market.handed.iter().filter(|one| {
        one.good.sold_as == SoldAs::Live
            && one.lot.as_deref().is_some_and(|lot| is_of_held(farm, tanks, &lot_name(lot)))
    });
    let signed = of.map(|one| one.weight_kg.unwrap_or(0.0) * if one.back { -1.0 } else { 1.0 });
    signed.sum::<f64>().max(0.0)
}

/// Whether a basket went where it can be sold from: what was thrown away or taken home vouches for no tub.
fn is_for_sale(basket: &Basket) -> bool {
    matches!(basket.to, Place::Live | Place::Chill | Place::Table | Place::Store)
}

/// What baskets, moves, packs and catches know of lots, read once.
pub struct KnownLots<'a> {
    farm: &'a Farm,
    tubs: Vec<Tubs>,
    mixed: Vec<MovedOn>,
    names: BTreeSet<String>,
    /// Ponds' days whose weight alone was entered: nobody can know their tubs.
    entered: BTreeSet<(String, Day)>,
}

impl<'a> KnownLots<'a> {
    /// From the season's baskets, moves and catches, in any order, and its packs.
    pub fn of(farm: &'a Farm, facts: &[Kept], packs: &[Pack]) -> KnownLots<'a> {
        let zone = &farm.place.zone;
        let tubs = back::tubs(facts, zone);
        let mixed = back::mixed(facts, zone, &tubs);
        let mut names: BTreeSet<String> = tubs.iter().map(|tub| tub.lot.clone()).collect();
        names.extend(mixed.iter().flat_map(|one| [one.from.clone(), one.into.clone()]));
        names.extend(packs.iter().flat_map(|pack| pack.of_lots.iter().chain([&pack.lot]).cloned()));
        let entries = current(facts);
        let catches = entries.iter().filter_map(|entry| entry.settled()).filter(|kept| kept.fact.kind == "catch");
        let day = |kept: &Kept| Some((kept.fact.pond()?.to_owned(), working_day_of(kept.fact.happened.at, zone)));
        let entered = catches.filter_map(day).collect();
        KnownLots { farm, tubs, mixed, names, entered }
    }

    /// Whether anything knows a lot. A pond's day without a tub is one too; where a basket that can be sold from names no tub, any tub passes.
    fn knows(&self, name: &str) -> bool {
        let of_day = |one: &LotName| {
            let mut here = self.tubs.iter().filter(|tub| tub.pond == one.pond && tub.on == one.on).peekable();
            if here.peek().is_none() {
                return self.entered.contains(&(one.pond.clone(), one.on));
            }
            one.tub.is_empty() || here.any(|tub| tub.tub.is_empty() && tub.baskets.iter().any(is_for_sale))
        };
        self.names.contains(name) || lot_names(self.farm, name).iter().any(of_day)
    }

    /// What came into a tub, kg; `None` of a whole day, and of a tub that something was moved into.
    fn came_kg(&self, name: &str) -> Option<f64> {
        let own = self.tubs.iter().find(|tub| tub.lot == name && tub.lot != lot(&tub.pond, tub.on, ""))?;
        let is_plain = !self.mixed.iter().any(|one| one.into == name);
        is_plain.then(|| own.baskets.iter().map(|basket| basket.net_kg).sum())
    }

    /// Handings under lots that lead nowhere, in order of their entries; of a table's without a lot, and of a lot of which too much was handed out, the
    /// last. `tanks` are the live tanks: some are held.
    pub fn odd(&self, market: &Market, tanks: &[LiveTank]) -> Vec<OddHanding> {
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
                let is_same =
                    |before: &OddHanding| before.table == one.table && matches!(before.odd, OddLot::Unnamed(_));
                let times = found.iter().find(|before| is_same(before)).map_or(0, |before| match before.odd {
                    OddLot::Unnamed(times) => times,
                    _ => 0,
                });
                // The last of a table leads to the entry: the others stand in the log.
                found.retain(|before| !is_same(before));
                found.push(odd(OddLot::Unnamed(times + 1)));
            } else if !self.knows(&name) {
                found.push(odd(OddLot::Unknown(name)));
            } else if one.good.sold_as == SoldAs::Live && is_of_held(self.farm, tanks, &name) {
                found.retain(|before: &OddHanding| before.odd != OddLot::Held(name.clone()));
                found.push(odd(OddLot::Held(name)));
            } else if let Some(came) = self.came_kg(&name)
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
            OddLot::Held(name) => out[name] > SCALES.1,
            OddLot::Unnamed(_) | OddLot::Unknown(_) => true,
        });
        found
    }

    /// When the first basket of each lot was weighed: of tubs, and of a pond's day without them. A tub that something was moved into is left out: what
    /// came from elsewhere may be older.
    pub fn first_baskets(&self) -> BTreeMap<String, Instant> {
        let mut first: BTreeMap<String, Instant> = BTreeMap::new();
        for tub in self.tubs.iter().filter(|tub| !self.mixed.iter().any(|one| one.into == tub.lot)) {
            for basket in tub.baskets.iter().filter(|basket| is_for_sale(basket)) {
                for name in [tub.lot.clone(), lot(&tub.pond, tub.on, "")] {
                    let at = first.entry(name).or_insert(basket.written.at);
                    *at = (*at).min(basket.written.at);
                }
            }
        }
        first
    }
}

#[cfg(test)]
mod tests;
