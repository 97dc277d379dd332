//! Fitting the rule, backward through the mornings.
//!
//! Model     least-squares Monte Carlo on realised values, one regression of the *advantage* of a start over waiting.
//! Units     money as in the worth table; days.
//! Range     up to 6 ponds with every set; more by a window on the order of the best fixed dates.
//! Source    Longstaff & Schwartz (2001), Review of Financial Studies 14, 113-147; our additions in docs/model/recourse.md.
//! Left out  a second pass that refits with the weights of the first.
//!
//! The advantage is regressed, not the worth: what a member hides (growth, survival, its cold shift) is on both sides and
//! cancels, so far fewer members are needed.

use super::board::{Board, Lattice, Layer, Opening};
use super::ridge::{Sums, dot};
use super::rule::{Answer, Rule};
use super::signals::{Shape, morning_features};
use super::value::{Valued, Waiting, apply_group, first_moves};

/// How the rule is fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct FitSettings {
    /// Number of folds; each member is valued by a rule fitted without its fold.
    pub folds: usize,
    /// The most that a day's neighbours one day later weigh in its fit, 0 to 1. They lend their members and blur the season;
    /// with many members of its own a day borrows less, see [`FitSettings::borrowed`].
    pub keep: f64,
    /// Weight of the leash on the slopes, in members. Four, by trial on the sample farm in September with 300 members: 1 as good, 16 and 32 hold back half of what
    /// watching brings, 0.5 gains nothing (docs/model/recourse.md).
    pub leash: f64,
}

impl Default for FitSettings {
    fn default() -> FitSettings {
        FitSettings { folds: 2, keep: 0.8, leash: 4.0 }
    }
}

/// Members with which a day needs nothing from its neighbours: set by trial on toys.
const MEMBERS_ENOUGH: f64 = 6000.0;

impl FitSettings {
    /// What neighbours weigh when `members` are fitted to.
    pub(crate) fn borrowed(&self, members: f64) -> f64 {
        (1.0 - members / MEMBERS_ENOUGH).clamp(0.0, self.keep)
    }
}

/// Fits `settings.folds` rules and values every first move by them.
pub fn fit(waiting: &Waiting, lattice: &Lattice, prior: Option<&Rule>, settings: &FitSettings) -> Valued {
    let shape = prior.map_or_else(|| Shape::new(waiting.signals, waiting.board.ponds), |rule| rule.shape.clone());
    let folds = settings.folds.max(1);
    let mornings = waiting.board.mornings;
    let mut fitter = Fitter {
        waiting,
        lattice,
        settings,
        prior,
        rules: vec![Rule::new(shape.clone(), mornings); folds],
        weights: (0..folds).map(|k| training_weights(waiting.fold, k as u32, folds)).collect(),
        kept: vec![Vec::new(); folds],
        gap: gaps(waiting.board),
        features: Vec::new(),
        shape,
    };
    let m = waiting.members();
    let ends = lattice.layers.last().map_or(0, |layer| layer.positions.len());
    let mut next: Vec<Vec<f64>> = vec![vec![0.0; ends * m]; folds];
    let mut choices = vec![Vec::new(); mornings];
    let mut first = Vec::new();
    for morning in (0..mornings).rev() {
        let here = fitter.morning(morning, &next, &mut choices[morning]);
        if morning == 0 {
            first = first_moves(waiting, lattice, &next, &fitter.weights);
        }
        next = here;
    }
    Valued { rules: fitter.rules, first, choices }
}

fn training_weights(fold: &[u32], k: u32, folds: usize) -> Vec<f64> {
    fold.iter().map(|&f| if folds > 1 && f % folds as u32 == k { 0.0 } else { 1.0 }).collect()
}

/// Full ponds, the pond asked about, which of its openings, and the days from its catch to the pond's next possible one:
/// before a closed Sunday waiting costs two days, so a Saturday learns from Saturdays.
type Question = (u32, u32, u32, u32);

struct Fitter<'a> {
    waiting: &'a Waiting<'a>,
    lattice: &'a Lattice,
    settings: &'a FitSettings,
    prior: Option<&'a Rule>,
    rules: Vec<Rule>,
    /// For each fold's rule, 1 for the members it is fitted to.
    weights: Vec<Vec<f64>>,
    /// For each fold's rule and question, the sums of later mornings and the first of those, sorted.
    kept: Vec<Vec<(Question, usize, Sums)>>,
    /// For each opening, the days to its pond's next catch day.
    gap: Vec<u32>,
    features: Vec<f64>,
    shape: Shape,
}

impl Fitter<'_> {
    /// Fits one morning and returns the values at its positions under each rule.
    fn morning(&mut self, morning: usize, next: &[Vec<f64>], chosen: &mut Vec<u8>) -> Vec<Vec<f64>> {
        let m = self.waiting.members();
        let n_positions = self.lattice.layers[morning].positions.len();
        morning_features(&self.shape, self.waiting.signals, morning, &mut self.features);
        *chosen = vec![0u8; n_positions * m];
        let mut all = Vec::with_capacity(self.rules.len());
        for k in 0..self.rules.len() {
            let mut here = vec![0.0; n_positions * m];
            let mut mine = vec![0u8; n_positions * m];
            self.fit_morning(k, morning, &next[k], &mut here, &mut mine);
            let fresh = |member: usize| self.rules.len() == 1 || self.weights[k][member] == 0.0;
            for (row, from) in chosen.chunks_exact_mut(m).zip(mine.chunks_exact(m)) {
                (0..m).filter(|&i| fresh(i)).for_each(|i| row[i] = from[i]);
            }
            all.push(here);
        }
        all
    }

    fn fit_morning(&mut self, k: usize, morning: usize, next: &[f64], here: &mut [f64], chosen: &mut [u8]) {
        let m = self.waiting.members();
        let layer = &self.lattice.layers[morning];
        let products: Vec<Vec<f64>> = (0..self.waiting.board.ponds).map(|pond| self.products(k, pond)).collect();
        let keep = self.settings.borrowed(self.weights[k].iter().sum());
        let mut target = vec![0.0; m];
        let mut group = 0;
        while group < layer.order.len() {
            let full = layer.positions[layer.order[group] as usize].full;
            let mut end = group;
            while end < layer.order.len() && layer.positions[layer.order[end] as usize].full == full {
                end += 1;
            }
            let members_of_group = &layer.order[group..end];
            for (opening, stands_for) in questions(layer, members_of_group) {
                let position = &layer.positions[stands_for as usize];
                let pass = position.pass.expect("a question is only asked where waiting is possible") as usize;
                let to = position.moves.iter().find(|mv| mv.0 == opening).expect("the move was found there").1 as usize;
                let worth = self.waiting.worth_of(opening);
                for i in 0..m {
                    target[i] = self.weights[k][i] * (worth[i] + here[to * m + i] - next[pass * m + i]);
                }
                let what = &self.waiting.board.openings[opening as usize];
                let key = (full, what.pond as u32, self.lattice.nth[opening as usize]);
                let sums = self.sums(what.pond, &products[what.pond], &target);
                let question = (key.0, key.1, key.2, self.gap[opening as usize]);
                let place = self.kept[k].binary_search_by_key(&question, |entry| entry.0);
                let before = place.ok().map(|at| &self.kept[k][at]);
                // As many days' fading as there are days between.
                let fade = before.map_or(0.0, |before| (morning..before.1).fold(1.0, |fade, _| fade * keep));
                let sums = sums.joined(before.map(|before| &before.2), fade);
                let prior = self.prior.and_then(|rule| rule.slopes(morning, key.0, key.1, key.2));
                let slopes = sums.solve(self.settings.leash, prior);
                self.rules[k].mornings[morning].push(Answer { full: key.0, pond: key.1, nth: key.2, slopes });
                match place {
                    Ok(at) => self.kept[k][at] = (question, morning, sums),
                    Err(at) => self.kept[k].insert(at, (question, morning, sums)),
                }
            }
            self.rules[k].mornings[morning].sort_by_key(|a| (a.full, a.pond, a.nth));
            apply_group(
                self.waiting,
                self.lattice,
                morning,
                &self.rules[k],
                &self.features,
                members_of_group,
                next,
                here,
                chosen,
            );
            group = end;
        }
    }

    /// Lower triangle of the products of one pond's features over the members in the fit.
    fn products(&self, k: usize, pond: usize) -> Vec<f64> {
        let m = self.waiting.members();
        let own = &self.shape.of_pond[pond];
        let weight = &self.weights[k];
        let row = |feature: usize| &self.features[feature * m..(feature + 1) * m];
        let mut out = vec![weight.iter().sum()];
        let mut weighted = vec![0.0; m];
        for (i, &a) in own.iter().enumerate() {
            weighted.iter_mut().zip(row(a)).zip(weight).for_each(|((w, x), weight)| *w = weight * x);
            out.push(weighted.iter().sum());
            out.extend(own[..=i].iter().map(|&b| dot(&weighted, row(b))));
        }
        out
    }

    fn sums(&self, pond: usize, products: &[f64], target: &[f64]) -> Sums {
        let m = target.len();
        let own = &self.shape.of_pond[pond];
        let mut xy = vec![target.iter().sum()];
        xy.extend(own.iter().map(|&feature| dot(&self.features[feature * m..(feature + 1) * m], target)));
        Sums { p: own.len() + 1, xx: products.to_vec(), xy }
    }
}

/// For each opening, the days from its catch day to the next on which its pond can be caught; 0 for the last.
fn gaps(board: &Board) -> Vec<u32> {
    let later = |this: &Opening| {
        let days = board.openings.iter().filter(|o| o.pond == this.pond && o.catch_day > this.catch_day);
        days.map(|o| o.catch_day - this.catch_day).min().unwrap_or(0) as u32
    };
    board.openings.iter().map(later).collect()
}

/// The openings that can be asked about in positions with the same full ponds, each with the position that stands for all.
fn questions(layer: &Layer, group: &[u32]) -> Vec<(u32, u32)> {
    let mut asked: Vec<(u32, u32)> = Vec::new();
    for &p in group {
        let position = &layer.positions[p as usize];
        if position.pass.is_none() {
            continue;
        }
        for &(opening, _) in &position.moves {
            if !asked.iter().any(|&(known, _)| known == opening) {
                asked.push((opening, p));
            }
        }
    }
    asked
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_before_closed_days_is_another_question() {
        let opening = |pond, catch_day| Opening { pond, morning: 0, start_hour: 0, catch_day, takes: Vec::new() };
        let openings = vec![opening(0, 3), opening(0, 4), opening(0, 7), opening(1, 4), opening(1, 5)];
        let board = Board {
            ponds: 2,
            mornings: 1,
            openings,
            room: Vec::new(),
            taken: Vec::new(),
            full: vec![0, 1],
            order: vec![0, 1],
            window: 6,
        };
        assert_eq!(gaps(&board), [1, 3, 0, 1, 0]);
    }
}
