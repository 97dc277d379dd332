//! When each buyer comes: one slot after the other, so many to a slot, from the hour at which the sale day begins.

use farm::Farm;
use farm::facts::market::Reply;
use units::Day;

use super::{Buyer, Market, days};
use crate::answer::Outlook;

/// A buyer who comes for a catch.
#[derive(Debug, Clone, PartialEq)]
pub struct Comes {
    /// The buyer's place in the list asked about.
    pub buyer: usize,
    /// The day: the catch's, or the first on which they take it while it keeps.
    pub on: Day,
    /// The hour: agreed, or the next slot that is free.
    pub slot_h: f64,
    /// They were told this day and did not refuse it.
    pub is_told: bool,
    /// A day they were told before, on which nothing of theirs stands any more.
    pub moved_from: Option<Day>,
}

/// A day on which a catch is fetched.
#[derive(Debug, Clone, PartialEq)]
pub struct Fetched {
    /// The day of the catch.
    pub on: Day,
    /// A person has accepted the day: before that it is a window.
    pub is_locked: bool,
    /// Until which day it may still come out, should it not be this one.
    pub latest: Day,
    /// Ponds, by their places among the farm's.
    pub ponds: Vec<usize>,
    /// Who comes.
    pub buyers: Vec<Comes>,
}

/// Who comes when, for each planned catch. An order of this once is fetched at the catch that lies nearest to a day on which it is taken.
pub fn fetched(farm: &Farm, outlook: &Outlook, buyers: &[Buyer]) -> Vec<Fetched> {
    let market = Market::new(farm, buyers);
    let days = days(farm, outlook);
    // For each buyer, at each catch, the day on which they come.
    let comes: Vec<Vec<Option<Day>>> = buyers
        .iter()
        .map(|buyer| {
            let all = days.iter().map(|(on, ..)| market.taken_on(buyer, *on).filter(|_| buyer.amount > 0.0));
            let mut all: Vec<Option<Day>> = all.collect();
            if !buyer.is_standing {
                let waits = |at: &usize| all[*at].map(|day| day.0 - days[*at].0.0);
                let best = (0..all.len()).filter(|at| all[*at].is_some()).min_by_key(|at| (waits(at), *at));
                all = all.into_iter().enumerate().map(|(at, day)| day.filter(|_| Some(at) == best)).collect();
            }
            all
        })
        .collect();
    days.into_iter()
        .enumerate()
        .map(|(at, (on, ponds, is_locked))| {
            let of = |pond: &usize| outlook.ponds.iter().find(|shown| shown.index == *pond);
            let last = |pond: &usize| of(pond).and_then(|shown| shown.still_out_until).map(|(day, _)| day);
            let latest = ponds.iter().filter_map(last).min().map_or(on, |day| day.max(on));
            let latest = if is_locked { on } else { latest };
            let mut here: Vec<usize> = (0..buyers.len()).filter(|buyer| comes[*buyer][at].is_some()).collect();
            here.sort_by(|a, b| (buyers[*a].rank, &buyers[*a].name).cmp(&(buyers[*b].rank, &buyers[*b].name)));
            let found = slots(farm, buyers, &here, on).into_iter().map(|(buyer, slot_h)| {
                let (one, on) = (&buyers[buyer], comes[buyer][at].unwrap_or(on));
                let gone = |day: &&Day| **day >= outlook.on && !comes[buyer].contains(&Some(**day));
                let moved_from = one.told_days.iter().rev().find(gone).copied();
                Comes { buyer, on, slot_h, is_told: one.told_days.contains(&on), moved_from }
            });
            let found = found.collect();
            Fetched { on, is_locked, latest, ponds, buyers: found }
        })
        .collect()
}

/// Agreed hours stay; the others come in order of rank and name, a slot's buyers at a time.
pub(super) fn slots(farm: &Farm, buyers: &[Buyer], here: &[usize], on: Day) -> Vec<(usize, f64)> {
    let day = &farm.sale_day;
    let agreed = |at: usize| {
        buyers[at].told.filter(|(told, _, reply)| *told == on && *reply != Reply::No).and_then(|(_, slot_h, _)| slot_h)
    };
    let place = |hour: f64| ((hour - day.opens_h) / day.slot_h.max(1e-3) + 1e-6).floor().max(0.0) as usize;
    let mut full: Vec<u32> = Vec::new();
    let put = |full: &mut Vec<u32>, slot: usize| {
        if full.len() <= slot {
            full.resize(slot + 1, 0);
        }
        full[slot] += 1;
    };
    for hour in here.iter().filter_map(|at| agreed(*at)) {
        put(&mut full, place(hour));
    }
    let mut next = 0;
    let mut found = Vec::with_capacity(here.len());
    for &at in here {
        if let Some(hour) = agreed(at) {
            found.push((at, hour));
            continue;
        }
        while full.get(next).copied().unwrap_or(0) >= day.slot_buyers.max(1) {
            next += 1;
        }
        put(&mut full, next);
        found.push((at, day.opens_h + next as f64 * day.slot_h));
    }
    found
}
