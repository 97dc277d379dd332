//! Past autumns lived again: what each way of deciding would have made, with only what was knowable each morning.
//!
//! The world is fixed beforehand ([`farm::World`]): true weather of a past year; its wind, cloud and dew point one hidden draw;
//! forecasts as wrong as the world says; hidden wind over the ponds, growth, deaths and tolerance of cold. Every policy is bound by
//! the same lead times, notices and limits, and every policy's catch is looked up in the same table of what truly happened.

use farm::{Farm, World};
use rayon::prelude::*;
use units::Watch;

use crate::outlook::OutlookError;
use crate::past::FarmPast;

mod beliefs;
mod lived_true;
mod moved;
mod score;
mod settle;
mod standing;
mod truth;
mod year;

pub use score::{Calibration, Gap, PolicyResult, ReplayScores, Share, scores};

/// What is asked.
pub struct ReplayAsk<'a> {
    /// The farm; its dates are moved to each year.
    pub farm: &'a Farm,
    /// Its past.
    pub past: &'a FarmPast,
    /// The world.
    pub world: &'a World,
    /// First and last year.
    pub years: (i16, i16),
    /// Factor on the true forecast errors.
    pub error_factor: f64,
    /// Factor on the true timing errors.
    pub timing_factor: f64,
    /// Look every morning, also at plans whose first act is far off, and run every member whole with the kernel.
    pub without_shortcuts: bool,
}

/// The ways of deciding that are compared.
pub const POLICIES: [&str; 5] = ["calendar", "fixed_each_morning", "clairvoyant", "hidden_known", "ours"];
/// Places in [`POLICIES`].
pub const CALENDAR: usize = 0;
/// Fixed dates chosen anew each morning.
pub const FIXED: usize = 1;
/// Knows weather and hidden values.
pub const CLAIRVOYANT: usize = 2;
/// Knows the hidden values, not the weather.
pub const HIDDEN_KNOWN: usize = 3;
/// This program's advice, followed.
pub const OURS: usize = 4;

/// One season: a year with one draw of its hidden values.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// The year.
    pub year: i16,
    /// Which hidden draw.
    pub draw: usize,
    /// What each policy made, coins.
    pub worth: [f64; 5],
    /// Whether any pond lost a fifth or more to cold, by policy.
    pub lost: [bool; 5],
    /// Catch day of each pond, days from the first morning, by policy (calendar, fixed, clairvoyant, hidden known, ours).
    pub catch_days: Vec<[Option<usize>; 5]>,
    /// What the plan believed on the first morning, coins.
    pub believed: f64,
}

/// Everything replayed.
#[derive(Debug, Clone, PartialEq)]
pub struct Replay {
    /// Season by season.
    pub seasons: Vec<Season>,
    /// Chances told and what then happened.
    pub calibration: Vec<Calibration>,
    /// Years that could not be replayed for missing days.
    pub years_left_out: Vec<i16>,
    /// Whether it was stopped before the end.
    pub stopped: bool,
}

/// Lives the years again.
pub fn replay(ask: &ReplayAsk, watch: &Watch) -> Result<Replay, OutlookError> {
    let stage = truth::Stage::new(ask)?;
    let years: Vec<usize> = (0..stage.years.len()).filter(|&y| stage.replayed(ask, y)).collect();
    watch.expect(years.len() as u64);
    let done: Vec<Option<year::YearOut>> = years
        .par_iter()
        .map(|&y| {
            if watch.asked_to_stop() {
                return Ok(None);
            }
            let out = year::live_again(ask, &stage, y)?;
            watch.advance(1);
            Ok(Some(out))
        })
        .collect::<Result<_, OutlookError>>()?;
    let stopped = done.iter().any(Option::is_none);
    let mut seasons = Vec::new();
    let mut told = score::Told::default();
    for out in done.into_iter().flatten() {
        seasons.extend(out.seasons);
        told.join(&out.told);
    }
    let asked = ask.years.0..=ask.years.1;
    let years_left_out = asked.filter(|year| !stage.years.iter().any(|known| known.year == *year)).collect();
    Ok(Replay { seasons, calibration: told.table(), years_left_out, stopped })
}

#[cfg(test)]
mod tests;
