//! What a rule brings: every position of every morning, valued backward with each member's own luck.
//!
//! A member's luck is read only to tell what a choice brought, never to choose: choices come from the rule and the morning's
//! signals.

use super::board::{Board, Lattice};
use super::rule::{Rule, scores};
use super::signals::{Signals, morning_features};

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
            let nth = lattice.nth[opening as usize];
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
pub(super) fn apply_group(
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
            let nth = lattice.nth[opening as usize];
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
pub(super) fn first_moves(
    waiting: &Waiting,
    lattice: &Lattice,
    next: &[Vec<f64>],
    weights: &[Vec<f64>],
) -> Vec<FirstMove> {
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
