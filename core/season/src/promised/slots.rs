//! When each buyer comes: one slot after the other, so many to a slot, from the hour at which the sale day begins.

use farm::Farm;
use farm::facts::market::Reply;
use units::Day;

use super::{Buyer, Market, days};
use crate::answer::Outlook;

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
    /// Buyers by their places in the list asked about, each with the hour: agreed, or the next slot that is free.
    pub buyers: Vec<(usize, f64)>,
}

/// Who comes when, for each planned catch.
pub fn fetched(farm: &Farm, outlook: &Outlook, buyers: &[Buyer]) -> Vec<Fetched> {
    let market = Market::new(farm, buyers);
    let mut taken = vec![false; buyers.len()];
    days(farm, outlook)
        .into_iter()
        .map(|(on, ponds, is_locked)| {
            let of = |pond: &usize| outlook.ponds.iter().find(|shown| shown.index == *pond);
            let last = |pond: &usize| of(pond).and_then(|shown| shown.still_out_until).map(|(day, _)| day);
            let latest = ponds.iter().filter_map(last).min().map_or(on, |day| day.max(on));
            let latest = if is_locked { on } else { latest };
            let mut here: Vec<usize> = (0..buyers.len())
                .filter(|at| {
                    (buyers[*at].is_standing || !taken[*at])
                        && buyers[*at].amount > 0.0
                        && market.suits(&buyers[*at], on)
                })
                .collect();
            here.iter().for_each(|at| taken[*at] = true);
            here.sort_by(|a, b| (buyers[*a].rank, &buyers[*a].name).cmp(&(buyers[*b].rank, &buyers[*b].name)));
            Fetched { on, is_locked, latest, ponds, buyers: slots(farm, buyers, &here, on) }
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
