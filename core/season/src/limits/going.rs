//! Ponds whose water goes down already: the gear each is left with, and how soon it must be caught.
//!
//! Model     pumps stand at one pond at a time: of all ways to share them among the ponds that go down, the one that leaves none without a way and
//!           takes the fewest hours in all; a pond at catch depth is caught within a few days, or its water is let in again
//! Units     hours and days from this morning, as `plan::limits`
//! Range     any number of ponds; beyond so many tries the best found stands
//! Source    common practice: water that is down is not left standing (crowding, birds, cold in thin water)
//! Left out  which pump was in truth carried where: the entry that water was let go does not say it

use plan::{Gear, Limits, PondLimits};

use crate::drawn::Drawn;
use crate::outlook::MorningAsk;
use crate::standing::Standing;

/// Days that a pond may stand at catch depth before it is caught, d (common practice).
const STANDS_LOW_D: usize = 3;
/// Ways tried at the most.
const TRIES: usize = 20_000;

/// What stays without a way, and the hours of all others: less is better.
type Cost = (usize, i64);

struct Search<'a> {
    gear: &'a [Gear],
    all: &'a [PondLimits],
    ponds: &'a [usize],
    used: Vec<f64>,
    picks: Vec<Option<usize>>,
    best: Option<(Cost, Vec<Option<usize>>)>,
    tries: usize,
}

impl Search<'_> {
    fn go(&mut self, at: usize, cost: Cost) {
        self.tries += 1;
        if self.tries > TRIES || self.best.as_ref().is_some_and(|best| cost >= best.0) {
            return;
        }
        let Some(&pond) = self.ponds.get(at) else {
            self.best = Some((cost, self.picks.clone()));
            return;
        };
        let ways = &self.all[pond].ways;
        for (index, way) in ways.iter().enumerate() {
            let has = |&(gear, amount): &(usize, f64)| {
                self.gear.get(gear).is_some_and(|one| self.used[gear] + amount <= one.amount + 1e-9)
            };
            if !way.gear.iter().all(has) {
                continue;
            }
            way.gear.iter().for_each(|&(gear, amount)| self.used[gear] += amount);
            self.picks.push(Some(index));
            self.go(at + 1, (cost.0, cost.1 + i64::from(way.lead_hours)));
            self.picks.pop();
            way.gear.iter().for_each(|&(gear, amount)| self.used[gear] -= amount);
        }
        self.picks.push(None);
        self.go(at + 1, (cost.0 + 1, cost.1));
        self.picks.pop();
    }
}

/// For each pond that goes down its way beside the others; `None` for one that has none left.
fn ways_of(gear: &[Gear], all: &[PondLimits]) -> Vec<(usize, Option<usize>)> {
    let mut ponds: Vec<usize> = (0..all.len()).filter(|&pond| all[pond].started.is_some()).collect();
    // Who began first has the better of two that cost the same.
    ponds.sort_by_key(|&pond| all[pond].started.map(|started| started.start_hour));
    let mut search =
        Search { gear, all, ponds: &ponds, used: vec![0.0; gear.len()], picks: Vec::new(), best: None, tries: 0 };
    search.go(0, (0, 0));
    let picks = search.best.map(|best| best.1).unwrap_or_default();
    ponds.into_iter().zip(picks).collect()
}

/// Gives each pond that goes down a way it can have beside the others, and closes the days on which it would have stood low too long.
pub(super) fn settle(limits: &mut Limits) {
    for (pond, pick) in ways_of(&limits.gear, &limits.ponds) {
        if let (Some(started), Some(way)) = (limits.ponds[pond].started.as_mut(), pick) {
            started.way = way;
        }
        close_late(limits, pond);
    }
}

/// The pumps that a pond on its way down has beside the others that go down; `None` for one that does not, or has all it is emptied with as a rule.
pub(crate) fn pumps_left(ask: &MorningAsk, drawn: &Drawn, pond: usize) -> Option<Vec<usize>> {
    let farm = ask.farm;
    let of = |standing: &Standing| PondLimits {
        started: super::started(farm, &farm.ponds[standing.index], ask.on, ask.now_hour),
        ways: standing.model.ways.clone(),
        ..PondLimits::default()
    };
    let ponds: Vec<PondLimits> = drawn.ponds.iter().map(of).collect();
    let at = drawn.ponds.iter().position(|standing| standing.index == pond)?;
    ponds[at].started?;
    let (_, way) = ways_of(&super::gear(farm, ask.now_hour), &ponds).into_iter().find(|(one, _)| *one == at)?;
    let way = way.filter(|way| *way != 0)?;
    let gear = ponds[at].ways[way].gear.iter().map(|(gear, _)| *gear);
    Some(gear.filter(|gear| *gear < farm.gear.pumps.len()).collect())
}

fn close_late(limits: &mut Limits, pond: usize) {
    let its = &limits.ponds[pond];
    let Some(started) = its.started else { return };
    let lead_h = its.ways.get(started.way).map_or(0, |way| way.lead_hours);
    let ready = (started.start_hour + lead_h).max(limits.now_hour);
    let is_open = |day: &usize| {
        limits.first_light_hour(*day) >= ready
            && limits.workday.get(*day).copied().unwrap_or(true)
            && !its.closed.get(*day).copied().unwrap_or(false)
    };
    let Some(first) = (0..limits.days).find(is_open) else { return };
    // A day that the grower holds to stands; one that a plan told of does not: it was to be opened for it later.
    let last = its.locked.map_or(0, |locked| locked.day).max(first + STANDS_LOW_D);
    let days = limits.days;
    let closed = &mut limits.ponds[pond].closed;
    closed.resize(days.max(closed.len()), false);
    closed.iter_mut().skip(last + 1).for_each(|closed| *closed = true);
}

#[cfg(test)]
mod tests;
