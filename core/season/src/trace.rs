//! A lot both ways: back to tub, pond, stocking, postlarvae, feed and treatments; forward to every buyer.
//!
//! Model     a lot is pond, day of catch and tub; packs name their lot and, when mixed, its parents; sales name lots. Both ways are closures over
//!           what was entered. A recall must not miss a buyer: what may hold the lot is followed as well, and marked
//! Units     kg, animals, pieces
//! Range     any entries in any order
//! Source    one step up and one step down for every kilogram, as food law asks in many places (docs/model/trace.md)
//! Left out  what a buyer sold on

use std::collections::{BTreeMap, BTreeSet};

use farm::Farm;
use farm::facts::market::{Market, SoldAs, market};
use farm::facts::{Kept, Lot, Pack, Treatment, lot_name, packs, treatments, working_day};
use units::{Day, Instant, Zone};

use crate::freshness::{Clock, Fresh, Keeps, clock};

mod at_tables;
mod back;
mod forward;
mod name;
mod odd_lots;

#[cfg(test)]
mod tests;

pub use at_tables::{AtTable, at_tables};
pub use back::{Came, Caught, Fed, MovedOn, Source, Tubs};
pub use forward::{Call, Handing, SoldLine};
pub use name::{LotName, lot_names};
pub use odd_lots::{KnownLots, OddHanding, OddLot, handed_of_held_kg};

/// Kinds of fact that a trace is made of.
pub const TRACE_KINDS: [&str; 13] = [
    "pack",
    "treatment",
    "basket",
    "moved",
    "feed",
    "delivery",
    "order",
    "asked",
    "told",
    "handed",
    "sale",
    "paid",
    "settle",
];

/// Most lots that are named as near to one that is not known.
const NEAR_MOST: usize = 8;
/// Letters that a mistyped lot may be away.
const NEAR_LETTERS: usize = 4;

/// What a trace is made from.
#[derive(Clone, Copy)]
pub struct TraceAsk<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Entries of [`TRACE_KINDS`], in order of number.
    pub facts: &'a [Kept],
    /// The lots of animals in the ponds.
    pub stocked: &'a [Lot],
    /// What was scanned or typed.
    pub text: &'a str,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Traced {
    /// The lot.
    Found(Box<Trace>),
    /// No entry names it: what was looked for, and lots that are near.
    Unknown {
        /// As it was looked for.
        lot: String,
        /// Known lots that are near, the nearest first.
        near: Vec<String>,
    },
    /// Nothing was asked for: all lots, the latest first.
    Nothing {
        /// The lots.
        lots: Vec<String>,
    },
}

/// A lot both ways.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// The lot.
    pub lot: String,
    /// The lots it was mixed from; empty when it is of its own alone.
    pub parents: Vec<String>,
    /// Lots that surely hold some of it, itself first.
    pub within: Vec<String>,
    /// Lots that may hold some of it: sold by pond and day without a tub.
    pub perhaps: Vec<String>,
    /// Where it comes from: one for each pond and day.
    pub sources: Vec<Source>,
    /// Packs of these lots.
    pub packs: Vec<Pack>,
    /// What was moved into these lots, or into those they were mixed from, in order of time.
    pub moved: Vec<MovedOn>,
    /// Tables that were handed some.
    pub handed: Vec<Handing>,
    /// Lines sold, in order of time.
    pub sold: Vec<SoldLine>,
    /// Whom to call, those who have most first.
    pub calls: Vec<Call>,
    /// Lines without a buyer's name: how many, and kg of them that were weighed.
    pub unnamed: (usize, f64),
    /// Lines sold since the catch that name no lot at all: how many, and kg of them that were weighed. Some may be of it.
    pub lotless: (usize, f64),
    /// Whom those went to, who is not called anyway: they may have some of it.
    pub calls_perhaps: Vec<Call>,
    /// Entries of the sale that cannot be read or wait for a person: they may be of this lot.
    pub unread_count: usize,
}

/// All that the entries tell, read once.
pub(crate) struct Known {
    pub packs: Vec<Pack>,
    pub treatments: Vec<Treatment>,
    pub market: Market,
    pub tubs: Vec<Tubs>,
    /// Lots of which something was moved into another, with that other.
    pub mixed: Vec<MovedOn>,
}

impl Known {
    fn read(ask: &TraceAsk<'_>) -> Known {
        let zone = &ask.farm.place.zone;
        let tubs = back::tubs(ask.facts, zone);
        Known {
            mixed: back::mixed(ask.facts, zone, &tubs),
            packs: packs(ask.facts, zone),
            treatments: treatments(ask.facts, zone),
            market: market(ask.facts, &ask.farm.currency),
            tubs,
        }
    }
    fn mixing(&self) -> Mixing<'_> {
        Mixing { packs: &self.packs, tubs: &self.tubs, mixed: &self.mixed }
    }
    /// Every lot that an entry names.
    fn lots(&self) -> BTreeSet<String> {
        let packed = self.packs.iter().flat_map(|pack| pack.of_lots.iter().chain([&pack.lot]).cloned());
        let sold = self.market.sold.iter().filter_map(|line| line.lot.as_deref()).map(lot_name);
        let handed = self.market.handed.iter().filter_map(|one| one.lot.as_deref()).map(lot_name);
        let moved = self.mixed.iter().flat_map(|one| [one.from.clone(), one.into.clone()]);
        let caught = self.tubs.iter().map(|tub| tub.lot.clone()).chain(moved);
        packed.chain(sold).chain(handed).chain(caught).filter(|lot| !lot.is_empty()).collect()
    }
}

/// Every lot that an entry names, the latest day first.
pub fn all_lots(ask: &TraceAsk<'_>) -> Vec<String> {
    by_day(&Known::read(ask).lots())
}

fn by_day(lots: &BTreeSet<String>) -> Vec<String> {
    let mut all: Vec<String> = lots.iter().cloned().collect();
    all.sort_by_key(|lot| (std::cmp::Reverse(LotName::day_of(lot)), lot.clone()));
    all
}

/// How lots came to be of other lots.
struct Mixing<'a> {
    packs: &'a [Pack],
    tubs: &'a [Tubs],
    mixed: &'a [MovedOn],
}

/// The lot in what was scanned or typed, both ways.
pub fn trace(ask: &TraceAsk<'_>) -> Traced {
    let lot = lot_name(&books::gs1::lot_in(ask.text).unwrap_or_else(|| ask.text.to_owned()));
    let known = Known::read(ask);
    let lots = known.lots();
    if lot.is_empty() {
        return Traced::Nothing { lots: by_day(&lots) };
    }
    // A pond's whole day is a lot too, whatever its tubs are called.
    let holds_tubs = lots.iter().any(|other| is_of_day(other, &lot));
    if !lots.contains(&lot) && !holds_tubs {
        return Traced::Unknown { near: near(&lots, &lot), lot };
    }
    let parents = parents(&known.mixing(), &lot);
    let (within, perhaps) = forward::holding(&known, &lots, &lot);
    let of_mix: Vec<String> = if parents.is_empty() { vec![lot.clone()] } else { parents.clone() };
    let sources = back::sources(ask, &known, &of_mix);
    let is_in = |other: &str| within.iter().chain(&perhaps).any(|one| *one == lot_name(other));
    let since = sources.iter().map(|source| working_day(source.on, &ask.farm.place.zone).0).min();
    let of_packs = known.packs.iter().filter(|pack| is_in(&pack.lot)).cloned().collect();
    let is_moved = |one: &&MovedOn| is_in(&one.from) || is_in(&one.into) || of_mix.contains(&one.from);
    let moved = known.mixed.iter().filter(is_moved).cloned().collect();
    let surely = |other: &str| within.contains(&lot_name(other));
    let sold = forward::sold(&known.market, &is_in, &surely);
    let calls = forward::calls(&sold);
    let mut calls_perhaps = forward::calls(&forward::of_no_lot(&known.market, since));
    calls_perhaps.retain(|perhaps| !calls.iter().any(|call| forward::same_name(&call.buyer, &perhaps.buyer)));
    let nameless: Vec<&SoldLine> = sold.iter().filter(|line| line.buyer.is_none()).collect();
    let unnamed = (nameless.len(), nameless.iter().map(|line| line.kg()).sum());
    Traced::Found(Box::new(Trace {
        parents,
        sources,
        packs: of_packs,
        moved,
        handed: forward::handed(&known.market, &is_in),
        calls,
        unnamed,
        lotless: forward::lotless(&known.market, since),
        calls_perhaps,
        unread_count: known.market.unread.len(),
        sold,
        within,
        perhaps,
        lot,
    }))
}

/// A lot that is packed, not all sold, and past its best.
#[derive(Debug, Clone, PartialEq)]
pub struct SellFirst {
    /// The lot.
    pub lot: String,
    /// Its clock.
    pub clock: Clock,
    /// Packed less sold, kg.
    pub left_kg: f64,
}

/// Lots that should go first: packed with their weight, not all sold, no longer at their best; the oldest mark first.
pub fn to_sell_first(ask: &TraceAsk<'_>, now: Instant) -> Vec<SellFirst> {
    /// Less than a scale shows, kg.
    const NOTHING_KG: f64 = 0.05;
    let known = Known::read(ask);
    let mut lots: BTreeMap<(&str, Keeps), f64> = BTreeMap::new();
    for pack in &known.packs {
        let keeps = Keeps::of_pack(pack.form, pack.is_frozen);
        *lots.entry((&pack.lot, keeps)).or_default() += pack.net_kg.unwrap_or(0.0) * f64::from(pack.packs);
    }
    let sold_kg = |lot: &str| -> f64 {
        let is_it = |other: &str| lot_name(other) == lot;
        let lines = forward::sold(&known.market, &is_it, &is_it);
        lines.iter().map(|line| if line.is_back { -line.kg() } else { line.kg() }).sum()
    };
    let mut all: Vec<SellFirst> = lots
        .into_iter()
        .filter_map(|((lot, keeps), packed_kg)| {
            let on = at_tables::caught_on(&known.packs, lot)?;
            let one = clock(keeps, working_day(on, &ask.farm.place.zone).0, now);
            let left_kg = packed_kg - sold_kg(lot);
            (one.fresh > Fresh::Good && left_kg > NOTHING_KG).then(|| SellFirst {
                lot: lot.to_owned(),
                clock: one,
                left_kg,
            })
        })
        .collect();
    all.sort_by_key(|one| (one.clock.stops, one.lot.clone()));
    all
}

/// Whether a lot is a tub of a pond's day.
pub(crate) fn is_of_day(lot: &str, day: &str) -> bool {
    LotName::day_of(day).is_some() && lot.strip_prefix(day).is_some_and(|rest| rest.starts_with('-'))
}

/// The lots a lot was mixed from, through every mixing: by packs and by moves between tubs. One with baskets of its own beside what was moved
/// into it stands among them.
fn parents(known: &Mixing<'_>, lot: &str) -> Vec<String> {
    let (mut open, mut seen, mut found) = (vec![lot.to_owned()], BTreeSet::new(), BTreeSet::new());
    while let Some(one) = open.pop() {
        if !seen.insert(one.clone()) {
            continue;
        }
        let packed = known.packs.iter().filter(|pack| pack.lot == one).flat_map(|pack| pack.of_lots.clone());
        let of: Vec<String> = packed.filter(|parent| *parent != one).collect();
        let moved = known.mixed.iter().filter(|moved| moved.into == one).map(|moved| moved.from.clone());
        let moved: Vec<String> = moved.collect();
        let has_own = known.tubs.iter().any(|tubs| tubs.lot == one);
        let is_whole = of.is_empty() && moved.is_empty();
        if (is_whole && one != lot) || (has_own && !moved.is_empty()) {
            found.insert(one);
        }
        open.extend(of.into_iter().chain(moved));
    }
    found.into_iter().collect()
}

fn near(lots: &BTreeSet<String>, lot: &str) -> Vec<String> {
    let day = LotName::day_of(lot);
    let mut all: Vec<(usize, &String)> = lots
        .iter()
        .map(|other| (units::letters_apart(lot, other), other))
        .filter(|(apart, other)| *apart <= NEAR_LETTERS || (day.is_some() && LotName::day_of(other) == day))
        .collect();
    all.sort();
    all.into_iter().take(NEAR_MOST).map(|(_, lot)| lot.clone()).collect()
}

impl Trace {
    /// When the first of it left the water: the first basket, or the beginning of the working day where none was written down.
    pub fn since(&self, zone: &Zone) -> Option<Instant> {
        let of = |source: &Source| match &source.caught {
            Some(caught) => caught.span.0,
            None => working_day(source.on, zone).0,
        };
        self.sources.iter().map(of).min()
    }
    /// The clock of every form it was packed or sold as, the one that ends first in front.
    pub fn clocks(&self, zone: &Zone, now: Instant) -> Vec<Clock> {
        let Some(since) = self.since(zone) else { return Vec::new() };
        let packed = self.packs.iter().map(|pack| Keeps::of_pack(pack.form, pack.is_frozen));
        let packs: BTreeSet<Keeps> = packed.collect();
        let sold = self.sold.iter().map(|line| Keeps::of_sale(line.sold_as));
        // What was packed frozen is sold as tails or whole: the packs tell it better.
        let all: BTreeSet<Keeps> = if packs.is_empty() { sold.collect() } else { packs };
        let all = if all.is_empty() { BTreeSet::from([Keeps::Live, Keeps::Whole, Keeps::Tails]) } else { all };
        let mut clocks: Vec<Clock> = all.into_iter().map(|keeps| clock(keeps, since, now)).collect();
        clocks.sort_by_key(|clock| clock.stops);
        clocks
    }
    /// First day of catch of what is in it.
    pub fn caught(&self) -> Option<Day> {
        self.sources.iter().map(|source| source.on).min()
    }
    /// Net weight of its packs, kg, and whether every pack says its weight.
    pub fn packed_kg(&self) -> (f64, bool) {
        let weighed = |pack: &Pack| pack.net_kg.map(|kg| kg * f64::from(pack.packs));
        (self.packs.iter().filter_map(weighed).sum(), self.packs.iter().all(|pack| pack.net_kg.is_some()))
    }
    /// What was sold by weight less what came back, kg.
    pub fn sold_kg(&self) -> f64 {
        // A sum of nothing is nothing, without a sign.
        self.sold.iter().fold(0.0, |sum, line| if line.is_back { sum - line.kg() } else { sum + line.kg() })
    }
    /// Pieces sold that nobody weighed, less what came back.
    pub fn sold_pieces(&self) -> f64 {
        let pieces = self.sold.iter().filter(|line| line.sold_as.by_piece() && line.weight_kg.is_none());
        pieces.fold(0.0, |sum, line| if line.is_back { sum - line.amount } else { sum + line.amount })
    }
    /// Whether any of it was sold as this form.
    pub fn was_sold_as(&self, form: SoldAs) -> bool {
        self.sold.iter().any(|line| line.sold_as == form)
    }
}
