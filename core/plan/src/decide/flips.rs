//! What would change the answer: the smallest change of one signal that makes another first move the best.
//!
//! The lead of the chosen move is known from the members; how it moves with a signal is read from the rule's slopes, all
//! other signals held. So it is an indication, not a valuation: the page says "about".

use crate::decision::Flip;
use crate::recourse::Valued;
use crate::spread::{mean, paired};

use super::{Morning, Weighed};

/// Steps, in sds of the signal, that are tried; beyond the last nothing is said.
const STEP_SD: f64 = 0.05;
const STEPS: usize = 60;

impl Morning<'_> {
    /// For each signal the smallest change that flips the move, smallest first in units of the signal's sd.
    pub(super) fn flips(&self, valued: &Valued, weighed: &[Weighed], chosen: usize, least: u32) -> Vec<Flip> {
        let mut found: Vec<(f64, Flip)> = Vec::new();
        for kind in 0..self.signals.kinds().len() {
            let (now, sd) = (mean(self.signals.of(0, kind)), self.signal_sd(kind));
            if sd <= 0.0 {
                continue;
            }
            let changes = (1..=STEPS).flat_map(|step| [-(step as f64) * STEP_SD * sd, step as f64 * STEP_SD * sd]);
            let flip = changes.into_iter().find_map(|change| {
                let to = self.better_after(valued, weighed, chosen, least, kind, now, change)?;
                Some((change.abs() / sd, Flip { signal: kind, change, to: self.jobs_of(&weighed[to].first.openings) }))
            });
            found.extend(flip);
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, flip)| flip).collect()
    }

    /// The move that would be best if a signal were changed, when it is not the chosen one.
    fn better_after(
        &self,
        valued: &Valued,
        weighed: &[Weighed],
        chosen: usize,
        least: u32,
        kind: usize,
        now: f64,
        change: f64,
    ) -> Option<usize> {
        let gain = |at: usize| self.gain(valued, &weighed[at], kind, now, change);
        let mine = gain(chosen);
        let ahead = |at: usize| gain(at) - mine - paired(&weighed[chosen].point, &weighed[at].point).0;
        let others = (0..weighed.len()).filter(|&at| at != chosen && weighed[at].exposure == least);
        let best = others.map(|at| (at, ahead(at))).max_by(|a, b| a.1.total_cmp(&b.1))?;
        (best.1 > 0.0).then_some(best.0)
    }

    /// What a change of one signal adds to the advantage of a move over waiting, by the mean of the rules.
    fn gain(&self, valued: &Valued, weighed: &Weighed, kind: usize, now: f64, change: f64) -> f64 {
        let mut full = self.laid.board.full.iter().fold(0u32, |mask, &pond| mask | 1 << pond);
        let mut sum = 0.0;
        for &opening in &weighed.first.openings {
            let pond = self.laid.board.openings[opening].pond;
            let nth = self.laid.lattice.nth[opening];
            for rule in &valued.rules {
                sum += rule.slope_change(full, pond, nth, kind, now, change) / valued.rules.len() as f64;
            }
            full &= !(1 << pond);
        }
        sum
    }

    /// Spread of a signal within the first days, when it is news.
    fn signal_sd(&self, kind: usize) -> f64 {
        let days = self.signals.days().min(8);
        let sds = (0..days).map(|day| {
            let values = self.signals.of(day, kind);
            let centre = mean(values);
            (values.iter().map(|v| (v - centre) * (v - centre)).sum::<f64>() / values.len() as f64).sqrt()
        });
        sds.fold(0.0, f64::max)
    }
}
