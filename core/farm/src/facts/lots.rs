//! What went into each pond and came out of it: the lots of animals, and the seasons they belong to.
//!
//! A pure fold over what was recorded, in order of number: the farm's own file says what was stocked when it was taken; a stocking
//! and a catch entered at the pond say it from then on. Seasons begin when a person says so. Where nobody does, one begins with the
//! first stocking after every pond had been out for a while, never with a calendar year.

use std::collections::BTreeMap;

use units::{Day, Zone};

use super::harvest_day::caught_by_baskets;
use super::{Fact, Kept, current};
use crate::farm::Farm;
use crate::pond_card::{PastCrop, PondCard, Stocking, Taken};

mod caught;
mod from;

use caught::{by_baskets, caught};
pub use from::FromTank;
use from::{from_tank, named};

/// Kinds of fact that lots and seasons are made of.
pub const LOT_KINDS: [&str; 6] = ["stocked", "counted_out", "delivery", "catch", "season", "season_over"];
/// Kinds that say what a pond gave where nobody entered its catch: the baskets of its day, and its close.
pub const LOT_DAY_KINDS: [&str; 2] = ["basket", "closed"];
/// A catch entered so many days after the baskets were weighed is theirs, d.
const ENTERED_D: i32 = 3;
/// A file that names a stocking this many days after the one known, d, speaks of other animals; sooner, it mends the day.
const OTHER_LOT_D: i32 = 90;
/// Days with no animals in any pond after which a stocking begins a season of its own, d.
const IDLE_D: i32 = 90;
/// Thermometers are often in the water some days before the animals are: from this many days before stocking on, a pond's readings
/// are of its season, d.
pub const BEFORE_STOCKING_D: i32 = 7;

/// Counts out of tanks within so many days fill one pond, d.
const FILLED_D: i32 = 7;
/// One lot of animals in one pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// The fact that said it first, or the pond and the day for one that stands in the farm's file.
    pub id: String,
    /// The pond's short name.
    pub pond: String,
    /// What went in.
    pub stocking: Stocking,
    /// The day from which the pond was empty.
    pub out: Option<Day>,
    /// The day it came out was not said: the next stocking tells that it had.
    pub is_out_guessed: bool,
    /// What came out, day by day, in order of date.
    pub taken: Vec<Taken>,
    /// Live weight that came out as weighed, kg; `None` when nothing was weighed.
    pub caught_kg: Option<f64>,
    /// Animals that came out, by weight over mean weight of the catches that say both.
    pub caught_count: Option<f64>,
    /// Every weighed catch says a mean weight too: the count is of the whole catch.
    pub is_counted_whole: bool,
    /// The tanks it came from, in the order of what was entered.
    pub from: Vec<FromTank>,
    /// A person entered how many went in, in all: what was counted out of tanks does not change that.
    pub is_said: bool,
}

/// A season: a stretch of days with a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spell {
    /// The fact that began it, or its first day for one that nobody began.
    pub id: String,
    /// What the grower calls it; `None` for one that nobody began.
    pub name: Option<String>,
    /// First day.
    pub starts: Day,
    /// Last day, once it is over.
    pub ends: Option<Day>,
    /// Last day of catch it was begun with.
    pub last_catch: Option<Day>,
}

impl Spell {
    /// Whether a day lies in it.
    pub fn holds(&self, day: Day) -> bool {
        self.starts <= day && self.ends.is_none_or(|ends| day <= ends)
    }
}

/// What the farm's file said, and the number under which it was taken; 0 for a file that was never recorded.
#[derive(Debug, Clone, Copy)]
pub struct FileSaid<'a> {
    /// Its number.
    pub seq: i64,
    /// What it says.
    pub farm: &'a Farm,
}

enum Said<'a> {
    File(&'a Farm),
    /// The mark of the entry's first fact, the fact that holds, and its day.
    Fact(&'a str, &'a Fact, Day),
}

/// The lots of every pond, by pond and day. `files` and `facts` in any order.
pub fn lots(files: &[FileSaid<'_>], facts: &[Kept], zone: &Zone) -> Vec<Lot> {
    let entries = current(facts);
    let mut said: Vec<(i64, Said<'_>)> = files.iter().map(|file| (file.seq, Said::File(file.farm))).collect();
    for (entry, kept) in entries.iter().filter_map(|entry| Some((entry, entry.settled()?))) {
        let day = zone.day_and_second(kept.fact.happened.at).0;
        said.push((kept.seq, Said::Fact(&entry.first.fact.id, &kept.fact, day)));
    }
    said.sort_by_key(|(seq, _)| *seq);
    let mut ponds: BTreeMap<&str, Vec<Lot>> = BTreeMap::new();
    // The day by which the animals known so far had to be out.
    let mut due: Option<Day> = None;
    for (_, one) in &said {
        match one {
            Said::File(farm) => {
                farm.ponds.iter().for_each(|card| by_file(ponds.entry(&card.id).or_default(), card, due));
                due = Some(farm.season.last_catch);
            }
            Said::Fact(id, fact, day) if fact.kind == "stocked" => {
                let (Some(pond), Some(stocking)) = (fact.pond(), stocking(fact, *day)) else { continue };
                stocked(ponds.entry(pond).or_default(), id, (pond, stocking, true), due).extend(named(fact, *day));
            }
            Said::Fact(id, fact, day) if fact.kind == "counted_out" => {
                let (Some(pond), Some(from)) = (fact.pond(), from_tank(fact, *day)) else { continue };
                counted_in(ponds.entry(pond).or_default(), id, pond, from, due);
            }
            Said::Fact(..) => {}
        }
    }
    // Catches last: one that arrives before its stocking did still finds its lot.
    for (_, one) in &said {
        if let Said::Fact(_, fact, day) = one
            && fact.kind == "catch"
            && let Some(lots) = fact.pond().and_then(|pond| ponds.get_mut(pond))
        {
            caught(lots, fact, *day);
        }
    }
    by_baskets(&mut ponds, &said, &caught_by_baskets(&entries, zone));
    let mut lots: Vec<Lot> = ponds.into_values().flatten().collect();
    let deliveries = said.iter().filter_map(|(_, one)| match one {
        Said::Fact(_, fact, day) if fact.kind == "delivery" => Some((*day, fact.text("papers").map(str::to_owned))),
        _ => None,
    });
    from::trace(&mut lots, &deliveries.collect::<Vec<_>>());
    lots
}

fn stocking(fact: &Fact, on: Day) -> Option<Stocking> {
    let value = |name: &str| fact.values.get(name).copied();
    let count_either_way = value("either_way");
    Some(Stocking { on, count: value("stocked")?, mean_weight_g: value("mean_weight")?, count_either_way })
}

fn fresh(id: String, pond: &str, stocking: Stocking) -> Lot {
    Lot {
        id,
        pond: pond.to_owned(),
        stocking,
        out: None,
        is_out_guessed: false,
        taken: Vec::new(),
        caught_kg: None,
        caught_count: None,
        is_counted_whole: true,
        from: Vec::new(),
        is_said: false,
    }
}

fn by_file(lots: &mut Vec<Lot>, card: &PondCard, due: Option<Day>) {
    let (on, out) = (card.stocking.on, card.harvested);
    let id = format!("{}-{on}", card.id);
    let Some(last) = lots.last_mut() else {
        lots.push(Lot { out, ..fresh(id, &card.id, card.stocking.clone()) });
        return;
    };
    let known = last.stocking.on;
    // A file that still tells of an earlier lot says nothing of this one.
    if on < known && lots.iter().any(|lot| lot.stocking.on == on) {
        return;
    }
    let last = lots.last_mut().expect("looked at above");
    let is_another = on > known && last.out.map_or(on.0 - known.0 >= OTHER_LOT_D, |out| on >= out);
    if is_another {
        close(last, on, due);
        lots.push(Lot { out, ..fresh(id, &card.id, card.stocking.clone()) });
    } else {
        // What was counted out at the tanks is mended in the log, not by a file.
        if !last.from.iter().any(|from| from.counted.is_some()) || last.is_said {
            last.stocking = card.stocking.clone();
        }
        last.out = out.or(last.out.filter(|_| last.is_out_guessed));
    }
}

/// A stocking, said or counted; the list of tanks of the lot it is or becomes.
fn stocked<'a>(
    lots: &'a mut Vec<Lot>,
    id: &str,
    (pond, stocking, is_said): (&str, Stocking, bool),
    due: Option<Day>,
) -> &'a mut Vec<FromTank> {
    let on = stocking.on;
    let is_same = |lot: &Lot| lot.stocking.on == on || (!lot.is_said && !lot.from.is_empty() && is_near(lot, on));
    if let Some(at) = lots.iter().position(is_same) {
        let same = &mut lots[at];
        let on = same.stocking.on.min(on);
        (same.stocking, same.is_said) = (Stocking { on, ..stocking }, is_said);
        return &mut same.from;
    }
    let at = lots.partition_point(|lot| lot.stocking.on < on);
    lots.insert(at, Lot { is_said, ..fresh(id.to_owned(), pond, stocking) });
    if let Some(earlier) = at.checked_sub(1).and_then(|at| lots.get_mut(at)) {
        close(earlier, on, due);
    }
    if let Some(later) = lots.get(at + 1).map(|lot| lot.stocking.on) {
        close(&mut lots[at], later, due);
    }
    &mut lots[at].from
}

/// Whether a lot was filled about that day.
fn is_near(lot: &Lot, on: Day) -> bool {
    (lot.stocking.on.0 - on.0).abs() <= FILLED_D && lot.out.is_none_or(|out| out > on)
}

/// Animals counted out of a tank into a pond: part of the lot that is being stocked, or the first of a new one.
fn counted_in(lots: &mut Vec<Lot>, id: &str, pond: &str, from: FromTank, due: Option<Day>) {
    let Some((count, mean_weight_g, count_either_way)) = from.counted else { return };
    if let Some(lot) = lots.iter_mut().find(|lot| is_near(lot, from.on)) {
        lot.from.push(from);
        return lot.sum_up();
    }
    let stocking = Stocking { on: from.on, count, mean_weight_g, count_either_way };
    stocked(lots, id, (pond, stocking, false), due).push(from);
}

/// A lot that nobody said was out was so on the day others went in, or on the day it was due if that came before.
fn close(lot: &mut Lot, on: Day, due: Option<Day>) {
    if lot.out.is_none_or(|out| out > on) {
        let due = due.filter(|&due| lot.stocking.on < due && due < on);
        (lot.out, lot.is_out_guessed) = (due.or(Some(on)), true);
    }
}

/// The crops that came out and were weighed, by pond and day. One whose day out is only guessed teaches nothing.
pub fn weighed(lots: &[Lot]) -> Vec<PastCrop> {
    let crop = |lot: &Lot| {
        let out = lot.out.filter(|_| !lot.is_out_guessed)?;
        let caught_kg = lot.caught_kg.filter(|kg| *kg > 0.0)?;
        let caught_count = lot.caught_count.filter(|_| lot.is_counted_whole);
        Some(PastCrop { pond: lot.pond.clone(), stocking: lot.stocking.clone(), out, caught_kg, caught_count })
    };
    lots.iter().filter_map(crop).collect()
}

/// The seasons, the first begun first, from what was said of them and from the lots.
pub fn spells(lots: &[Lot], facts: &[Kept], zone: &Zone) -> Vec<Spell> {
    let entries = current(facts);
    let (mut spells, mut over): (Vec<Spell>, Vec<Day>) = (Vec::new(), Vec::new());
    for (entry, kept) in entries.iter().filter_map(|entry| Some((entry, entry.settled()?))) {
        let day = zone.day_and_second(kept.fact.happened.at).0;
        match kept.fact.kind.as_str() {
            "season" => spells.push(Spell {
                id: entry.first.fact.id.clone(),
                name: kept.fact.text("name").map(str::to_owned),
                starts: day,
                ends: None,
                last_catch: kept.fact.text("last_catch").and_then(Day::parse),
            }),
            "season_over" => over.push(day),
            _ => {}
        }
    }
    spells.extend(begun_by_stocking(lots, &spells, &over));
    // Of two begun on one day the one said later holds.
    spells.sort_by_key(|spell| spell.starts);
    spells.reverse();
    spells.dedup_by_key(|spell| spell.starts);
    spells.reverse();
    for at in 0..spells.len() {
        let next = spells.get(at + 1).map(|spell| spell.starts);
        let within = |day: &Day| *day >= spells[at].starts && next.is_none_or(|next| *day < next);
        let said = over.iter().copied().filter(within).max();
        let last_out = lots.iter().filter(|lot| within(&lot.stocking.on)).filter_map(|lot| lot.out).max();
        // One that nobody ended was over with its last catch, and by the next one's first day at the latest.
        spells[at].ends = said.or(next.map(|next| last_out.map_or(next.plus(-1), |out| out.min(next.plus(-1)))));
    }
    spells
}

/// Seasons that nobody began: a stocking in none of those that were, after all ponds had long been out.
fn begun_by_stocking(lots: &[Lot], said: &[Spell], over: &[Day]) -> Vec<Spell> {
    let mut by_day: Vec<&Lot> = lots.iter().collect();
    by_day.sort_by_key(|lot| lot.stocking.on);
    let mut begun: Vec<Spell> = Vec::new();
    // The day all animals so far were out; `None` while some are in the water.
    let mut idle_since: Option<Day> = None;
    for lot in by_day {
        let on = lot.stocking.on;
        let known = said.iter().chain(&begun).map(|spell| spell.starts).filter(|&starts| starts <= on).max();
        let is_over = known.is_some_and(|starts| over.iter().any(|&day| starts <= day && day < on));
        let long_idle =
            idle_since.is_some_and(|since| on.0 - since.0 >= IDLE_D && known.is_none_or(|starts| starts <= since));
        if known.is_none() || is_over || long_idle {
            begun.push(Spell { id: format!("from-{on}"), name: None, starts: on, ends: None, last_catch: None });
        }
        let before = lots.iter().filter(|other| other.stocking.on <= on);
        idle_since = before.map(|other| other.out).collect::<Option<Vec<Day>>>().and_then(|out| out.into_iter().max());
    }
    begun
}

/// Lays the lots that are in the ponds, or came out last, into the farm, and the last day of catch that the season was begun with. What was written of animals before them no longer counts for the pond.
pub fn lay_lots(farm: &mut Farm, file_seq: i64, facts: &[Kept]) {
    let is_of_lots = |kind: &str| LOT_KINDS.contains(&kind) || LOT_DAY_KINDS.contains(&kind);
    if !facts.iter().any(|kept| is_of_lots(&kept.fact.kind)) {
        return;
    }
    let zone = farm.place.zone.clone();
    let lots = lots(&[FileSaid { seq: file_seq, farm }], facts, &zone);
    for card in &mut farm.ponds {
        let Some(last) = lots.iter().filter(|lot| lot.pond == card.id).max_by_key(|lot| lot.stocking.on) else {
            continue;
        };
        let on = last.stocking.on;
        if on > card.stocking.on {
            card.samples.retain(|sample| sample.on >= on);
            card.readings.retain(|read| zone.day_and_second(read.at).0 >= on.plus(-BEFORE_STOCKING_D));
            card.locked = card.locked.filter(|&day| day > on);
            card.draining_since = card.draining_since.filter(|&at| zone.day_and_second(at).0 > on);
        }
        card.stocking = last.stocking.clone();
        card.harvested = last.out;
        // Weighed baskets of a day for which a person entered the catch say only that it was weighed.
        card.taken = last.taken.iter().copied().filter(|taken| taken.live_kg > 0.0).collect();
    }
    farm.crops = weighed(&lots);
    let running = spells(&lots, facts, &zone).into_iter().next_back();
    let begun = running.as_ref().and_then(|spell| facts.iter().find(|kept| kept.fact.id == spell.id));
    let is_newer = begun.is_some_and(|kept| kept.seq > file_seq);
    if let Some(last_catch) = running.and_then(|spell| spell.last_catch).filter(|_| is_newer)
        && (file_seq > 0 || last_catch > farm.season.last_catch)
    {
        farm.season.last_catch = last_catch;
    }
}

#[cfg(test)]
mod tests;
