//! Backward through the mornings: fitting the rule, and what it brings on members it was not fitted to.
//!
//! Model     least-squares Monte Carlo on realised values, one regression of the *advantage* of a start over waiting.
//! Units     money as in the worth table; days.
//! Range     up to 6 ponds with every set; more by a window on the order of the best fixed dates.
//! Source    Longstaff & Schwartz (2001), Review of Financial Studies 14, 113-147; our additions in docs/model/recourse.md.
//! Left out  a second pass that refits with the weights of the first.
//!
//! The advantage is regressed, not the worth: what a member hides (growth, survival, its cold shift) is on both sides and
//! cancels, so far fewer members are needed.

use super::board::{Board, Lattice};
use super::ridge::{Sums, dot};
use super::rule::{Answer, Rule, scores};
use super::signals::{Shape, Signals, morning_features};

/// How the rule is fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct FitSettings {
    /// Number of folds; each member is valued by a rule fitted without its fold.
    pub folds: usize,
    /// The most that a day's neighbours one day later weigh in its fit, 0 to 1. They lend their members and blur the season;
    /// with many members of its own a day borrows less, see [`FitSettings::borrowed`].
    pub keep: f64,
    /// Weight of the leash on the slopes, in members.
    pub leash: f64,
}

impl Default for FitSettings {
    fn default() -> FitSettings {
        FitSettings { folds: 2, keep: 0.8, leash: 32.0 }
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

/// A board with its members' worths and signals.
#[derive(Debug, Clone, Copy)]
pub struct Waiting<'a> {
    /// The limits.
    pub board: &'a Board,
    /// Worth of each opening in each member, opening outermost.
    pub worth: &'a [f64],
    /// Signals by morning.
    pub signals: &'a Signals,
    /// The fold of each member; members that share what a rule could learn by heart belong in one fold.
    pub fold: &'a [u32],
    /// The guard on later mornings, when there are signals to keep it by.
    pub guard: Option<Watchful<'a>>,
}

/// The guard as it will be kept on later mornings: a pond must start when its signal says so.
#[derive(Debug, Clone, Copy)]
pub struct Watchful<'a> {
    /// For each pond the signal that holds the chance of the cold mark being crossed if it is not started that morning.
    pub signal: &'a [Option<usize>],
    /// The largest chance allowed.
    pub chance: f64,
}

/// What a start that the guard demands is put ahead by: more than any farm is worth.
const DEMANDED: f64 = 1e13;

impl Watchful<'_> {
    /// Puts the starts that the guard demands ahead of all others, the most pressing first.
    fn press(&self, signals: &Signals, morning: usize, pond: usize, scores: &mut [f64]) {
        let Some(kind) = self.signal.get(pond).copied().flatten() else { return };
        for (score, &chance) in scores.iter_mut().zip(signals.of(morning, kind)) {
            if chance > self.chance {
                *score = DEMANDED * (1.0 + chance);
            }
        }
    }
}

/// The choice of every member at every position: 0 waits, i > 0 takes move i - 1.
pub(crate) type Choices = Vec<Vec<u8>>;

/// A first move and what follows it.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstMove {
    /// Indices of the openings started today.
    pub openings: Vec<usize>,
    /// Worth of the move followed by the rule, for each member, by the rule that never saw it.
    pub worth: Vec<f64>,
    /// The same by the rules that were fitted to the member, their mean: too good by the optimism of fitting.
    pub own: Vec<f64>,
    /// Position on morning 1.
    pub(crate) then: u32,
}

/// What fitting gives.
#[derive(Debug, Clone)]
pub struct Valued {
    /// One rule for each fold.
    pub rules: Vec<Rule>,
    /// Every feasible first move.
    pub first: Vec<FirstMove>,
    pub(crate) choices: Choices,
}

impl Waiting<'_> {
    pub(crate) fn members(&self) -> usize {
        self.signals.members()
    }
    pub(crate) fn worth_of(&self, opening: u32) -> &[f64] {
        let m = self.members();
        &self.worth[opening as usize * m..(opening as usize + 1) * m]
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

/// Values every first move by a rule that none of these members had a part in.
pub fn value(waiting: &Waiting, lattice: &Lattice, rule: &Rule) -> Valued {
    let m = waiting.members();
    let ends = lattice.layers.last().map_or(0, |layer| layer.positions.len());
    let mut next = vec![0.0; ends * m];
    let mut choices = vec![Vec::new(); waiting.board.mornings];
    let mut first = Vec::new();
    let mut features = Vec::new();
    for morning in (0..waiting.board.mornings).rev() {
        morning_features(&rule.shape, waiting.signals, morning, &mut features);
        let mut here = vec![0.0; lattice.layers[morning].positions.len() * m];
        let mut chosen = vec![0u8; here.len()];
        apply(waiting, lattice, morning, rule, &features, &next, &mut here, &mut chosen);
        if morning == 0 {
            first = first_moves(waiting, lattice, std::slice::from_ref(&next), &[vec![0.0; m]]);
        }
        choices[morning] = chosen;
        next = here;
    }
    Valued { rules: vec![rule.clone()], first, choices }
}

/// What the rule would start on the first morning of one member, from its signals alone.
pub fn act(waiting: &Waiting, lattice: &Lattice, rule: &Rule, member: usize) -> Vec<usize> {
    let mut features = Vec::new();
    morning_features(&rule.shape, waiting.signals, 0, &mut features);
    let m = waiting.members();
    let mut started = Vec::new();
    let mut p = lattice.root;
    loop {
        let position = &lattice.layers[0].positions[p as usize];
        let mut best = (if position.pass.is_some() { 0.0 } else { f64::NEG_INFINITY }, None);
        for &(opening, to) in &position.moves {
            let what = &waiting.board.openings[opening as usize];
            let nth = nth_opening(&lattice.layers[0], &lattice.layers[0].order, waiting.board, opening);
            let score = rule.slopes(0, position.full, what.pond as u32, nth).map_or(0.0, |slopes| {
                let own = &rule.shape.of_pond[what.pond];
                slopes[0] + slopes[1..].iter().zip(own).map(|(slope, &f)| slope * features[f * m + member]).sum::<f64>()
            });
            if score > best.0 {
                best = (score, Some((opening, to)));
            }
        }
        let Some((opening, to)) = best.1 else { return started };
        started.push(opening as usize);
        p = to;
    }
}

fn training_weights(fold: &[u32], k: u32, folds: usize) -> Vec<f64> {
    fold.iter().map(|&f| if folds > 1 && f % folds as u32 == k { 0.0 } else { 1.0 }).collect()
}

struct Fitter<'a> {
    waiting: &'a Waiting<'a>,
    lattice: &'a Lattice,
    settings: &'a FitSettings,
    prior: Option<&'a Rule>,
    rules: Vec<Rule>,
    /// For each fold's rule, 1 for the members it is fitted to.
    weights: Vec<Vec<f64>>,
    /// For each fold's rule, the sums of the later morning by question, sorted.
    kept: Vec<Vec<((u32, u32, u32), Sums)>>,
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
        let later = std::mem::take(&mut self.kept[k]);
        let products: Vec<Vec<f64>> = (0..self.waiting.board.ponds).map(|pond| self.products(k, pond)).collect();
        let mut kept = Vec::new();
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
                let key = (full, what.pond as u32, nth_opening(layer, members_of_group, self.waiting.board, opening));
                let sums = self.sums(what.pond, &products[what.pond], &target);
                let before = later.binary_search_by_key(&key, |entry| entry.0).ok().map(|at| &later[at].1);
                let sums = sums.joined(before, self.settings.borrowed(self.weights[k].iter().sum()));
                let prior = self.prior.and_then(|rule| rule.slopes(morning, key.0, key.1, key.2));
                let slopes = sums.solve(self.settings.leash, prior);
                self.rules[k].mornings[morning].push(Answer { full: key.0, pond: key.1, nth: key.2, slopes });
                kept.push((key, sums));
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
        kept.sort_by_key(|entry| entry.0);
        self.kept[k] = kept;
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

/// The openings that can be asked about in positions with the same full ponds, each with the position that stands for all.
fn questions(layer: &super::board::Layer, group: &[u32]) -> Vec<(u32, u32)> {
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

/// Which of its pond's openings of this morning this one is, by catch day.
fn nth_opening(layer: &super::board::Layer, group: &[u32], board: &Board, opening: u32) -> u32 {
    let this = &board.openings[opening as usize];
    let mut earlier: Vec<usize> = Vec::new();
    for &p in group {
        for &(other, _) in &layer.positions[p as usize].moves {
            let other = &board.openings[other as usize];
            if other.pond == this.pond && other.catch_day < this.catch_day && !earlier.contains(&other.catch_day) {
                earlier.push(other.catch_day);
            }
        }
    }
    earlier.len() as u32
}

fn apply(
    waiting: &Waiting,
    lattice: &Lattice,
    morning: usize,
    rule: &Rule,
    features: &[f64],
    next: &[f64],
    here: &mut [f64],
    chosen: &mut [u8],
) {
    let layer = &lattice.layers[morning];
    let mut group = 0;
    while group < layer.order.len() {
        let full = layer.positions[layer.order[group] as usize].full;
        let mut end = group;
        while end < layer.order.len() && layer.positions[layer.order[end] as usize].full == full {
            end += 1;
        }
        apply_group(waiting, lattice, morning, rule, features, &layer.order[group..end], next, here, chosen);
        group = end;
    }
}

/// Lets the rule choose at every position with the same full ponds, and takes up what follows in each member.
fn apply_group(
    waiting: &Waiting,
    lattice: &Lattice,
    morning: usize,
    rule: &Rule,
    features: &[f64],
    group: &[u32],
    next: &[f64],
    here: &mut [f64],
    chosen: &mut [u8],
) {
    let m = waiting.members();
    let layer = &lattice.layers[morning];
    let full = layer.positions[group[0] as usize].full;
    let mut advantage: Vec<(u32, Vec<f64>)> = Vec::new();
    for &p in group {
        for &(opening, _) in &layer.positions[p as usize].moves {
            if advantage.iter().any(|known| known.0 == opening) {
                continue;
            }
            let what = &waiting.board.openings[opening as usize];
            let nth = nth_opening(layer, group, waiting.board, opening);
            let mut score = vec![0.0; m];
            if let Some(slopes) = rule.slopes(morning, full, what.pond as u32, nth) {
                scores(slopes, &rule.shape.of_pond[what.pond], features, m, &mut score);
            }
            if let Some(guard) = waiting.guard {
                guard.press(waiting.signals, morning, what.pond, &mut score);
            }
            advantage.push((opening, score));
        }
    }
    let mut best = vec![0.0; m];
    for &p in group {
        let position = &layer.positions[p as usize];
        let at = p as usize * m;
        let pick = &mut chosen[at..at + m];
        best.fill(if position.pass.is_some() { 0.0 } else { f64::NEG_INFINITY });
        for (i, &(opening, _)) in position.moves.iter().enumerate() {
            let score = &advantage.iter().find(|known| known.0 == opening).expect("gathered above").1;
            for member in 0..m {
                if score[member] > best[member] {
                    best[member] = score[member];
                    pick[member] = i as u8 + 1;
                }
            }
        }
        for member in 0..m {
            here[at + member] = match pick[member] {
                0 => position.pass.map_or(0.0, |pass| next[pass as usize * m + member]),
                i => {
                    let (opening, to) = position.moves[i as usize - 1];
                    waiting.worth_of(opening)[member] + here[to as usize * m + member]
                }
            };
        }
    }
}

/// Every set of starts that is possible on the first morning, with what the rules make of what follows.
fn first_moves(waiting: &Waiting, lattice: &Lattice, next: &[Vec<f64>], weights: &[Vec<f64>]) -> Vec<FirstMove> {
    let m = waiting.members();
    let mut moves: Vec<FirstMove> = Vec::new();
    let mut open: Vec<(u32, Vec<usize>)> = vec![(lattice.root, Vec::new())];
    while let Some((p, openings)) = open.pop() {
        let position = &lattice.layers[0].positions[p as usize];
        for &(opening, to) in &position.moves {
            let mut longer = openings.clone();
            longer.push(opening as usize);
            longer.sort_unstable();
            if !open.iter().any(|known| known.1 == longer) && !moves.iter().any(|known| known.openings == longer) {
                open.push((to, longer));
            }
        }
        let Some(then) = position.pass else { continue };
        let (mut worth, mut own, mut owners) = (vec![0.0; m], vec![0.0; m], vec![0.0; m]);
        for (k, weight) in weights.iter().enumerate() {
            for member in 0..m {
                let started: f64 = openings.iter().map(|&opening| waiting.worth_of(opening as u32)[member]).sum();
                let total = started + next[k][then as usize * m + member];
                if weights.len() == 1 || weight[member] == 0.0 {
                    worth[member] = total;
                }
                own[member] += weight[member] * total;
                owners[member] += weight[member];
            }
        }
        for member in 0..m {
            own[member] = if owners[member] > 0.0 { own[member] / owners[member] } else { worth[member] };
        }
        moves.push(FirstMove { openings, worth, own, then });
    }
    moves.sort_by(|a, b| (a.openings.len(), &a.openings).cmp(&(b.openings.len(), &b.openings)));
    moves
}

/// The openings each member takes when the first move is `first` and the rules go on from there.
pub fn follow(waiting: &Waiting, lattice: &Lattice, valued: &Valued, first: &FirstMove) -> Vec<Vec<usize>> {
    let m = waiting.members();
    let mut all = Vec::with_capacity(m);
    for member in 0..m {
        let mut taken = first.openings.clone();
        let mut p = first.then as usize;
        for (morning, layer) in lattice.layers.iter().enumerate().take(waiting.board.mornings).skip(1) {
            loop {
                let position = &layer.positions[p];
                match (valued.choices[morning][p * m + member], position.pass) {
                    (0, Some(pass)) => {
                        p = pass as usize;
                        break;
                    }
                    (0, None) => break,
                    (i, _) => {
                        let (opening, to) = position.moves[i as usize - 1];
                        taken.push(opening as usize);
                        p = to as usize;
                    }
                }
            }
        }
        all.push(taken);
    }
    all
}
