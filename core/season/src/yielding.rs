//! Comfort yields before a pond is given up.
//!
//! A day's hands, ice and tanks are kept to in the share of futures that the grower asks for. Where that would leave a pond in the water,
//! they are kept to less often, step by step, and in the end a day runs over: late hands and bought ice cost less than a pond.

use plan::{Ask, Limits, Tables, best_fixed};
use units::Watch;

/// Shares of futures tried after the one asked for.
const STEPS: [f64; 2] = [0.65, 0.5];
/// By how much a plan that is kept to in fewer futures must be worth more than one that is kept to as asked.
const WORTH_YIELDING: f64 = 1.1;
/// By how much a plan that runs over must be worth more than one that does not. A pond too big for its day fits once the cold has
/// taken half of it: that is no plan.
const WORTH_RUNNING_OVER: f64 = 1.25;

/// Looks of a search that need only tell whether ponds are left and about what they bring: a dozen ponds would take minutes to prove.
const LOOKS_ENOUGH: u64 = 30_000_000;
/// More than any day takes, in pounds, hours or whatever a limit counts.
const ENDLESS: f64 = 1e9;

/// How far the limits of a day had to yield.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Yielded {
    /// They are kept to in this share of futures.
    KeptIn(f64),
    /// On some day they are not kept to at all.
    RunsOver,
}

/// Lets the limits yield as far as it brings more ponds out; `tables` makes the tables for a share of futures.
pub fn made_to_yield(
    limits: &mut Limits,
    found: &mut Tables,
    tables: &dyn Fn(f64) -> Tables,
    watch: &Watch,
) -> Option<Yielded> {
    let asked = limits.keep;
    let (mut fewest, mut coins) = best(found, limits, watch)?;
    let over = running_over(limits);
    let without = best(found, &over, watch)?;
    // With no end to a day there is no more to be had: nothing yields, and nothing more is tried.
    if without.0 >= fewest && without.1 <= WORTH_YIELDING * coins.max(1.0) {
        return None;
    }
    let mut yielded = None;
    for keep in STEPS.into_iter().filter(|&keep| keep < asked) {
        let (eased, with) = (Limits { keep, ..limits.clone() }, tables(keep));
        // A pond pushed into the cold weeks for want of hands is as good as left: it shows in what the whole brings.
        let better =
            |now: &(usize, f64)| now.0 < fewest || (now.0 == fewest && now.1 > WORTH_YIELDING * coins.max(1.0));
        if let Some((now, worth)) = best(&with, &eased, watch).filter(better) {
            (fewest, coins, *limits, *found, yielded) = (now, worth, eased, with, Some(Yielded::KeptIn(keep)));
        }
    }
    if without.0 < fewest || (without.0 == fewest && without.1 > WORTH_RUNNING_OVER * coins.max(1.0)) {
        (*limits, yielded) = (running_over(limits), Some(Yielded::RunsOver));
    }
    yielded
}

/// Ponds that the best dates leave in the water, and what they bring, coins.
fn best(tables: &Tables, limits: &Limits, watch: &Watch) -> Option<(usize, f64)> {
    let members: Vec<usize> = (0..tables.members()).collect();
    let ask = Ask { looks_most: LOOKS_ENOUGH, ..Ask::exact(&members, 0.0) };
    best_fixed(tables, limits, &ask, watch).ok().map(|dates| (dates.left.len(), dates.objective_coins))
}

/// The same limits with no end to what a day can take, on days that can take anything.
fn running_over(limits: &Limits) -> Limits {
    let endless = |amounts: &mut Vec<f64>| {
        amounts.iter_mut().filter(|amount| **amount > 0.0).for_each(|amount| *amount = ENDLESS);
    };
    let mut over = limits.clone();
    over.day_limits.iter_mut().for_each(|limit| endless(&mut limit.amount));
    over.stores.iter_mut().for_each(|store| endless(&mut store.room_lb));
    over
}
