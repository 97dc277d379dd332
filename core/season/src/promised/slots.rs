//! When each buyer comes: one slot after the other, so many to a slot, from the hour at which the sale day begins.

use farm::Farm;
use units::Day;

use super::{Buyer, Ice, Market, days};
use crate::answer::Outlook;

/// One who fetches something of a catch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coming {
    /// The buyer's place in the list asked about.
    pub buyer: usize,
    /// The day on which they fetch it: that of the catch, or the first after it that they take while it keeps.
    pub on: Day,
    /// The hour: agreed, or the next slot that is free.
    pub slot_h: f64,
    /// They know of it.
    pub is_told: bool,
    /// The day they count upon, which gives nothing to them any more: the harvest has moved from it to this one.
    pub moved_from: Option<Day>,
}

/// A day on which a catch is fetched.
#[derive(Debug, Clone, PartialEq)]
pub struct Fetched {
    /// The day of the catch.
    pub on: Day,
    /// A person has accepted the day: before that it is a window.
    pub is_locked: bool,
    /// It is weighed and lies on ice: `on` is the day it was caught.
    pub is_weighed: bool,
    /// Until which day it may still come out, should it not be this one.
    pub latest: Day,
    /// Ponds, by their places among the farm's.
    pub ponds: Vec<usize>,
    /// Who comes, by rank and name.
    pub buyers: Vec<Coming>,
}

/// Who comes when: for each lot on ice, then for each planned catch.
pub fn fetched(farm: &Farm, outlook: &Outlook, ice: &Ice) -> Vec<Fetched> {
    let buyers = &ice.rest;
    let days = days(farm, outlook);
    let market = Market::new(farm, buyers).of_days(days.iter().map(|(on, ..)| *on));
    let mut taken = vec![false; buyers.len()];
    let on_ice = ice.lots.iter().map(|lot| lot.comes.clone());
    let planned = days.into_iter().map(|(on, ponds, is_locked)| {
        let of = |pond: &usize| outlook.ponds.iter().find(|shown| shown.index == *pond);
        let last = |pond: &usize| of(pond).and_then(|shown| shown.still_out_until).map(|(day, _)| day);
        let latest = ponds.iter().filter_map(last).min().map_or(on, |day| day.max(on));
        let latest = if is_locked { on } else { latest };
        let mut here: Vec<usize> = (0..buyers.len())
            .filter(|at| (buyers[*at].is_standing || !taken[*at]) && buyers[*at].amount > 0.0 && market.suits(*at, on))
            .collect();
        here.iter().for_each(|at| taken[*at] = true);
        here.sort_by(|a, b| (buyers[*a].rank, &buyers[*a].name).cmp(&(buyers[*b].rank, &buyers[*b].name)));
        let pick_up: Vec<Day> = here.iter().map(|at| market.pick_up(&buyers[*at], on).unwrap_or(on)).collect();
        let buyers = coming(farm, buyers, &here, &pick_up, is_locked);
        Fetched { on, is_locked, is_weighed: false, latest, ponds, buyers }
    });
    let mut all: Vec<Fetched> = on_ice.chain(planned).collect();
    moved(&mut all, buyers, outlook.on);
    all
}

/// Those of a catch with their pick-up hours, in the order given: `on` is the day of each.
pub(super) fn coming(farm: &Farm, buyers: &[Buyer], here: &[usize], on: &[Day], is_locked: bool) -> Vec<Coming> {
    let mut days = on.to_vec();
    days.sort_unstable();
    days.dedup();
    let hours: Vec<(usize, f64)> = days
        .iter()
        .flat_map(|day| {
            let of: Vec<usize> = here.iter().zip(on).filter(|(_, on)| *on == day).map(|(at, _)| *at).collect();
            slots(farm, buyers, &of, *day)
        })
        .collect();
    here.iter()
        .zip(on)
        .map(|(&at, &on)| Coming {
            buyer: at,
            on,
            slot_h: hours.iter().find(|(other, _)| *other == at).map_or(farm.sale_day.opens_h, |(_, hour)| *hour),
            is_told: buyers[at].knows(on, is_locked),
            moved_from: None,
        })
        .collect()
}

/// Marks who counts upon a day that gives them nothing any more: it has moved to the first of theirs they do not know. A day of another
/// pond that stands beside it is no move. Of a day that nobody accepted they know enough once they know of one.
pub(super) fn moved(all: &mut [Fetched], buyers: &[Buyer], today: Day) {
    for (at, buyer) in buyers.iter().enumerate() {
        let comes: Vec<Day> =
            all.iter().flat_map(|of| &of.buyers).filter(|one| one.buyer == at).map(|one| one.on).collect();
        let mut lost = buyer.counted_on().filter(|day| *day >= today && !comes.contains(day));
        for fetched in all.iter_mut() {
            let is_locked = fetched.is_locked;
            for one in fetched.buyers.iter_mut().filter(|one| one.buyer == at && !one.is_told) {
                match lost.next() {
                    Some(day) if is_locked => one.moved_from = Some(day),
                    Some(_) => one.is_told = true,
                    None => {}
                }
            }
        }
    }
}

/// Agreed hours stay; the others come in order of rank and name, a slot's buyers at a time.
pub(super) fn slots(farm: &Farm, buyers: &[Buyer], here: &[usize], on: Day) -> Vec<(usize, f64)> {
    let day = &farm.sale_day;
    let agreed = |at: usize| buyers[at].answer(on).filter(|_| !buyers[at].refused(on)).and_then(|(slot_h, _)| slot_h);
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
