//! Which limits bind the plan, and why a pond cannot come out.

use plan::{Ask, Limit, Limits, Schedule, Settings, Tables, best_fixed, binding, why_left};
use units::Watch;

/// Limits that bind, and ponds left with what stands in their way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bound {
    /// The limit, how many more ponds could come out without it, and what the plan would bring more, coins; dearest first.
    pub limits: Vec<(Limit, usize, f64)>,
    /// Place of the pond in the tables, and the limits its nearest way out breaks.
    pub left: Vec<(usize, Vec<Limit>)>,
}

/// Least gain for which a limit is worth naming, as a share of the plan's worth.
const WORTH_NAMING: f64 = 0.002;

/// The search for the best dates without one of the limits gets this part of a morning's looks.
const ASIDE: u64 = 16;

/// Asks which limits bind the best fixed dates; `guarded` are those found under the guard.
pub fn bound(tables: &Tables, limits: &Limits, guarded: &Schedule, settings: &Settings, watch: &Watch) -> Bound {
    let members: Vec<usize> = (0..tables.members()).collect();
    let looks_most = settings.looks_most;
    let ask = Ask { looks_most, start: Some(guarded), ..Ask::exact(&members, settings.risk_weight) };
    let Ok(dates) = best_fixed(tables, limits, &ask, watch) else { return Bound::default() };
    let least = WORTH_NAMING * dates.objective_coins.abs();
    let aside = Ask { looks_most: looks_most / ASIDE, start: Some(&dates.schedule), least_gain_coins: least, ..ask };
    let named = binding(tables, limits, &dates, &aside, watch).unwrap_or_default();
    let limits_that_bind = named
        .into_iter()
        .filter(|one| one.ponds_more > 0 || one.gain_coins > least)
        .map(|one| (one.limit, one.ponds_more, one.gain_coins))
        .collect();
    let left = dates
        .left
        .iter()
        .map(|&pond| {
            let nearest = why_left(pond, &dates, tables, limits, &ask, 1);
            let mut broken: Vec<Limit> =
                nearest.iter().flat_map(|reason| reason.broken.iter().map(|one| one.limit)).collect();
            broken.sort_unstable();
            broken.dedup();
            (pond, broken)
        })
        .collect();
    Bound { limits: limits_that_bind, left }
}
