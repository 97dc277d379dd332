//! What no rule can exceed: a clairvoyant who pays for what he could not have known.
//!
//! Model     information relaxation. The clairvoyant chooses with the member's whole future before him, but each night he
//!           pays a share of that part of the next morning's value which the morning before did not foretell. The payment
//!           has mean zero for any rule that reads the signals, so no such rule is worth more than he is. The share is the
//!           one that pays best on the members of the regressions; at share 0 he is the plain clairvoyant.
//! Units     money as in the worth table.
//! Range     the joint problem on the lattice: all ponds and limits together, not pond by pond.
//! Source    Rogers (2002), Math. Finance 12, 271-286; Haugh & Kogan (2004), Oper. Res. 52, 258-270; Brown, Smith & Sun
//!           (2010), Oper. Res. 58, 785-801.
//!           Expectations are per unit of what a pond would bring if caught that day: what is dead by then is known by then.
//! Left out  nested draws: the expectations are regressions on the signals, fitted to the other half of the members. Where a
//!           straight line with hinges misses the true expectation, the bound is off by as much; toys with known answers say
//!           how far (docs/model/recourse.md).

use crate::recourse::{Lattice, Shape, Sums, Valued, Waiting, dot, morning_features};

/// Weight of the leash on the regressions' slopes, in members.
const LEASH: f64 = 4.0;

/// Shares of the payment that are tried.
const SHARES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// The ceiling in each member; its mean is the bound.
pub fn ceiling(waiting: &Waiting, lattice: &Lattice, valued: &Valued) -> Vec<f64> {
    let m = waiting.signals.members();
    let half = halves(waiting.fold);
    let mut bound = vec![0.0; m];
    for k in 0..2u32 {
        let weight: Vec<f64> = half.iter().map(|&h| if h == k { 0.0 } else { 1.0 }).collect();
        let side = Side { waiting, lattice, valued, weight, shape: &valued.rules[0].shape };
        let values = side.relaxed();
        let own_mean = |values: &Vec<f64>| dot(values, &side.weight);
        let values =
            values.iter().min_by(|a, b| own_mean(a).total_cmp(&own_mean(b))).expect("several shares were tried");
        (0..m).filter(|&member| half[member] == k).for_each(|member| bound[member] = values[member]);
    }
    bound
}

fn halves(fold: &[u32]) -> Vec<u32> {
    let alternate = fold.iter().all(|&f| f % 2 == fold[0] % 2);
    (0..fold.len()).map(|member| if alternate { member as u32 % 2 } else { fold[member] % 2 }).collect()
}

/// One half's regressions and the other half's bound.
struct Side<'a> {
    waiting: &'a Waiting<'a>,
    lattice: &'a Lattice,
    valued: &'a Valued,
    /// 1 for the members of the regressions.
    weight: Vec<f64>,
    shape: &'a Shape,
}

/// One question's regressors: a scale, and every feature times it.
struct Design {
    rows: Vec<f64>,
    products: Vec<f64>,
}

impl Side<'_> {
    fn members(&self) -> usize {
        self.weight.len()
    }

    /// What a pond is known to bring about now, brought to mean 1: the worth of its latest opening whose catch day is past.
    fn scale(&self, morning: usize, pond: usize) -> Vec<f64> {
        let openings = self.waiting.board.openings.iter().enumerate();
        let past = openings.filter(|(_, o)| o.pond == pond && o.catch_day <= morning).max_by_key(|(_, o)| o.catch_day);
        past.map_or_else(|| vec![1.0; self.members()], |(o, _)| self.waiting.worth_of(o as u32).to_vec())
    }

    fn design(&self, features: &[f64], mut scale: Vec<f64>) -> Design {
        let m = self.members();
        let mean = scale.iter().map(|s| s.abs()).sum::<f64>() / m as f64;
        // Where nothing is left of any member's crop the plain features do.
        scale.iter_mut().for_each(|s| *s = if mean > 0.0 { *s / mean } else { 1.0 });
        let mut rows = scale.clone();
        for x in features.chunks_exact(m) {
            rows.extend(x.iter().zip(&scale).map(|(x, s)| x * s));
        }
        let mut products = Vec::new();
        for a in rows.chunks_exact(m) {
            let weighted: Vec<f64> = a.iter().zip(&self.weight).map(|(x, w)| x * w).collect();
            let before = rows.chunks_exact(m).take_while(|b| b.as_ptr() <= a.as_ptr());
            products.extend(before.map(|b| dot(&weighted, b)));
        }
        Design { rows, products }
    }

    /// The expectation of a target in every member.
    fn expect(&self, design: &Design, target: &[f64]) -> Vec<f64> {
        let m = self.members();
        let weighted: Vec<f64> = target.iter().zip(&self.weight).map(|(y, w)| y * w).collect();
        let xy: Vec<f64> = design.rows.chunks_exact(m).map(|x| dot(x, &weighted)).collect();
        let slopes = Sums { p: xy.len(), xx: design.products.clone(), xy }.solve(LEASH, None);
        let mut expected = vec![0.0; m];
        for (slope, x) in slopes.iter().zip(design.rows.chunks_exact(m)) {
            expected.iter_mut().zip(x).for_each(|(e, x)| *e += slope * x);
        }
        expected
    }

    /// Backward over the mornings: the rule's own values, what signals make of them, and the relaxed values of each share.
    fn relaxed(&self) -> Vec<Vec<f64>> {
        let m = self.members();
        let ends = self.lattice.layers.last().map_or(0, |layer| layer.positions.len());
        let mut next_rule = vec![0.0; ends * m];
        let mut next_relaxed = vec![vec![0.0; ends * m]; SHARES.len()];
        let mut next_values: Vec<(u32, Vec<f64>)> = Vec::new();
        let mut features = Vec::new();
        for morning in (0..self.waiting.board.mornings).rev() {
            morning_features(self.shape, self.waiting.signals, morning, &mut features);
            let designs = self.designs(morning, &features);
            let payments = self.payments(&designs, &next_values);
            let layer = &self.lattice.layers[morning];
            let mut rule = vec![0.0; layer.positions.len() * m];
            let mut relaxed = vec![vec![0.0; layer.positions.len() * m]; SHARES.len()];
            for &p in &layer.order {
                self.rule_values(morning, p as usize, &next_rule, &mut rule);
                for ((share, relaxed), next) in SHARES.iter().zip(&mut relaxed).zip(&next_relaxed) {
                    self.relax(morning, p as usize, next, *share, &payments, relaxed);
                }
            }
            next_values = self.foretold(&designs, &rule);
            next_rule = rule;
            next_relaxed = relaxed;
        }
        let root = self.lattice.root as usize * m;
        next_relaxed.iter().map(|values| values[root..root + m].to_vec()).collect()
    }

    /// The clairvoyant's best at one position, after what he pays.
    fn relax(
        &self,
        morning: usize,
        p: usize,
        next: &[f64],
        share: f64,
        payments: &[(u32, Vec<f64>)],
        relaxed: &mut [f64],
    ) {
        let m = self.members();
        let position = &self.lattice.layers[morning].positions[p];
        let mut best = vec![f64::NEG_INFINITY; m];
        if let Some(pass) = position.pass {
            best.copy_from_slice(&next[pass as usize * m..(pass as usize + 1) * m]);
            if let Some((_, payment)) = payments.iter().find(|payment| payment.0 == position.full) {
                best.iter_mut().zip(payment).for_each(|(best, payment)| *best -= share * payment);
            }
        }
        for &(opening, to) in &position.moves {
            let after = &relaxed[to as usize * m..(to as usize + 1) * m];
            for ((best, worth), after) in best.iter_mut().zip(self.waiting.worth_of(opening)).zip(after) {
                *best = best.max(worth + after);
            }
        }
        // A position from which nothing leads on is worth nothing more.
        best.iter_mut().filter(|best| !best.is_finite()).for_each(|best| *best = 0.0);
        relaxed[p * m..(p + 1) * m].copy_from_slice(&best);
    }

    /// What the rules make of one position in every member.
    fn rule_values(&self, morning: usize, p: usize, next: &[f64], rule: &mut [f64]) {
        let m = self.members();
        let position = &self.lattice.layers[morning].positions[p];
        for member in 0..m {
            rule[p * m + member] = match self.valued.choices[morning][p * m + member] {
                0 => position.pass.map_or(0.0, |pass| next[pass as usize * m + member]),
                i => {
                    let (opening, to) = position.moves[i as usize - 1];
                    self.waiting.worth_of(opening)[member] + rule[to as usize * m + member]
                }
            };
        }
    }

    /// For each set of full ponds its regressors, with a position that stands for it.
    fn designs(&self, morning: usize, features: &[f64]) -> Vec<(u32, u32, Design)> {
        let scales: Vec<Vec<f64>> = (0..self.waiting.board.ponds).map(|pond| self.scale(morning, pond)).collect();
        let mut out: Vec<(u32, u32, Design)> = Vec::new();
        let layer = &self.lattice.layers[morning];
        for &p in &layer.order {
            let full = layer.positions[p as usize].full;
            if full == 0 || out.last().is_some_and(|last| last.0 == full) {
                continue;
            }
            let mut scale = vec![0.0; self.members()];
            for (_, own) in scales.iter().enumerate().filter(|(pond, _)| full >> pond & 1 == 1) {
                scale.iter_mut().zip(own).for_each(|(sum, own)| *sum += own);
            }
            out.push((full, p, self.design(features, scale)));
        }
        out
    }

    /// For each set of full ponds, tomorrow's value less what this morning's signals foretell of it.
    fn payments(&self, designs: &[(u32, u32, Design)], next: &[(u32, Vec<f64>)]) -> Vec<(u32, Vec<f64>)> {
        let mut out = Vec::new();
        for (full, _, design) in designs {
            let Some((_, value)) = next.iter().find(|next| next.0 == *full) else { continue };
            let expected = self.expect(design, value);
            out.push((*full, value.iter().zip(&expected).map(|(value, e)| value - e).collect()));
        }
        out
    }

    /// For each set of full ponds, what this morning's signals make of the rule's value.
    fn foretold(&self, designs: &[(u32, u32, Design)], rule: &[f64]) -> Vec<(u32, Vec<f64>)> {
        let m = self.members();
        let target = |p: u32| &rule[p as usize * m..(p as usize + 1) * m];
        designs.iter().map(|(full, p, design)| (*full, self.expect(design, target(*p)))).collect()
    }
}
