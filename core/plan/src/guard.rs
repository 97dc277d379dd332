//! The guard above the optimum: no pond is left full into more than a small chance of the cold mark.
//!
//! Model     a pond's *exposure* on a catch day is the chance that dawn water has fallen below the mark by then with the pond
//!           full, beyond what is allowed, or beyond what its earliest possible day already has when that is more. Plans are
//!           compared by the sum of exposures before money.
//! Units     chances 0 to 1; exposure in [`EXPOSURE_STEPS`] steps.
//! Range     any tables.
//! Source    the mark and the chance are the grower's; common practice for the mark (15.6 C) stands in the design notes.
//! Left out  the error of a chance estimated from few members: one member of 64 counts 1.6 %.

use crate::dates::Choices;
use crate::limits::{EXPOSURE_STEPS, Limits};
use crate::recourse::Laid;
use crate::schedule::Take;
use crate::tables::Tables;

/// The chance that dawn water has fallen below the mark by each day with the pond full.
pub fn mark_chance(tables: &Tables, pond: usize) -> Vec<f64> {
    let share = |crossed: &[bool]| crossed.iter().filter(|&&crossed| crossed).count() as f64 / crossed.len() as f64;
    (0..tables.days()).map(|day| share(tables.crossing.of(pond, day))).collect()
}

/// The limits with every pond's exposure set from the tables; and the ponds that no start can keep within the guard.
pub fn guarded(tables: &Tables, limits: &Limits, choices: &Choices, chance: f64) -> (Limits, Vec<usize>) {
    let mut guarded = limits.clone();
    let mut beyond = Vec::new();
    for pond in 0..tables.ponds {
        let by_day = mark_chance(tables, pond);
        let earliest = choices.jobs(pond).map(|job| low_day(job.take)).min();
        let least = earliest.map_or(0.0, |day| by_day[day]);
        if least > chance {
            beyond.push(pond);
        }
        let allowed = chance.max(least);
        let steps = |&chance: &f64| ((chance - allowed).max(0.0) * f64::from(EXPOSURE_STEPS) + 1e-9).ceil() as u16;
        guarded.ponds[pond].exposure =
            by_day.iter().map(|chance| if *chance > allowed { steps(chance) } else { 0 }).collect();
    }
    (guarded, beyond)
}

/// The day from which a job's pond no longer stands full.
fn low_day(take: Take) -> usize {
    take.first_low_day()
}

/// Exposure of every opening of a board, in steps.
pub(crate) fn of_openings(laid: &Laid, limits: &Limits) -> Vec<u32> {
    let exposure = |job: &crate::schedule::Job| {
        let list = &limits.ponds[job.pond].exposure;
        list.get(low_day(job.take)).or(list.last()).map_or(0, |&steps| u32::from(steps))
    };
    laid.jobs.iter().map(|job| job.as_ref().map_or(0, exposure)).collect()
}

/// The least sum of exposures with which the ponds still full can come out, for each position of morning 1.
pub(crate) fn least_after_today(laid: &Laid, exposure: &[u32]) -> Vec<u32> {
    let layers = &laid.lattice.layers;
    let mut next = vec![0u32; layers.last().map_or(0, |layer| layer.positions.len())];
    for layer in layers.iter().skip(1).rev().skip(1) {
        let mut here = vec![0u32; layer.positions.len()];
        for &p in &layer.order {
            let position = &layer.positions[p as usize];
            let waiting = position.pass.map_or(u32::MAX, |pass| next[pass as usize]);
            let moved = position.moves.iter().map(|&(o, to)| exposure[o as usize].saturating_add(here[to as usize]));
            here[p as usize] = moved.fold(waiting, u32::min);
        }
        next = here;
    }
    next
}
