//! What no rule can exceed: a clairvoyant who pays for what he could not have known.
//!
//! Model     information relaxation. The clairvoyant chooses with the member's whole future before him, but (1) a start brings
//!           him only what its signals let one expect, and (2) each night he pays the part of the next morning's value that
//!           the evening's signals did not foretell. Both payments have mean zero for any rule that reads the signals, so
//!           no such rule is worth more than he is.
//! Units     money as in the worth table.
//! Range     the joint problem on the lattice: all ponds and limits together, not pond by pond.
//! Source    Rogers (2002), Math. Finance 12, 271-286; Haugh & Kogan (2004), Oper. Res. 52, 258-270; Brown, Smith & Sun
//!           (2010), Oper. Res. 58, 785-801.
//! Left out  nested draws: the expectations are regressions on the signals, fitted to the other half of the members. Where a
//!           straight line with hinges misses the true expectation, the bound is off by as much; toys with known answers say
//!           how far (docs/model/recourse.md).

use crate::recourse::{Lattice, Shape, Sums, Valued, Waiting, dot, morning_features};

/// What a day's neighbours weigh in the regressions, and the leash on their slopes.
const KEEP: f64 = 0.8;
const LEASH: f64 = 4.0;

/// The ceiling in each member; its mean is the bound.
pub fn ceiling(waiting: &Waiting, lattice: &Lattice, valued: &Valued) -> Vec<f64> {
    let m = waiting.signals.members();
    let half = halves(waiting.fold);
    let mut bound = vec![0.0; m];
    for k in 0..2u32 {
        let weight: Vec<f64> = half.iter().map(|&h| if h == k { 0.0 } else { 1.0 }).collect();
        let side = Side { waiting, lattice, valued, weight, shape: &valued.rules[0].shape };
        let values = side.relaxed();
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

/// One morning's features with their products over the weighted members.
struct Features {
    x: Vec<f64>,
    products: Vec<f64>,
}

impl Side<'_> {
    fn n_features(&self) -> usize {
        self.shape.features.len()
    }

    fn features(&self, morning: usize) -> Features {
        let m = self.weight.len();
        let mut x = Vec::new();
        morning_features(self.shape, self.waiting.signals, morning, &mut x);
        let mut products = vec![self.weight.iter().sum()];
        for a in 0..self.n_features() {
            let weighted: Vec<f64> = x[a * m..(a + 1) * m].iter().zip(&self.weight).map(|(x, w)| x * w).collect();
            products.push(weighted.iter().sum());
            products.extend((0..=a).map(|b| dot(&weighted, &x[b * m..(b + 1) * m])));
        }
        Features { x, products }
    }

    /// Adds a target's products to a running fit and returns its expectation in every member.
    fn expect(&self, features: &Features, target: &[f64], kept: &mut Option<Sums>) -> (Vec<f64>, Vec<f64>) {
        let m = self.weight.len();
        let weighted: Vec<f64> = target.iter().zip(&self.weight).map(|(y, w)| y * w).collect();
        let mut xy = vec![weighted.iter().sum()];
        xy.extend((0..self.n_features()).map(|a| dot(&features.x[a * m..(a + 1) * m], &weighted)));
        let own = Sums { p: self.n_features() + 1, xx: features.products.clone(), xy };
        let sums = own.joined(kept.as_ref(), KEEP);
        let slopes = sums.solve(LEASH, None);
        *kept = Some(sums);
        let mut expected = vec![slopes[0]; m];
        for a in 0..self.n_features() {
            let x = &features.x[a * m..(a + 1) * m];
            expected.iter_mut().zip(x).for_each(|(e, x)| *e += slopes[a + 1] * x);
        }
        (slopes, expected)
    }

    /// Backward over the mornings: the rule's own values, what signals make of them, and the relaxed values beside.
    fn relaxed(&self) -> Vec<f64> {
        let m = self.weight.len();
        let mornings = self.waiting.board.mornings;
        let ends = self.lattice.layers.last().map_or(0, |layer| layer.positions.len());
        let mut next_rule = vec![0.0; ends * m];
        let mut next_relaxed = vec![0.0; ends * m];
        // Slopes of the next morning's value by set of full ponds, and its features.
        let mut next_slopes: Vec<(u32, Vec<f64>)> = Vec::new();
        let mut next_features: Option<Features> = None;
        let mut kept_values: Vec<(u32, Option<Sums>)> = Vec::new();
        let mut kept_steps: Vec<Option<Sums>> = vec![None; self.n_features()];
        let mut kept_openings: Vec<(usize, Option<Sums>)> = Vec::new();
        for morning in (0..mornings).rev() {
            let features = self.features(morning);
            let surprise = match &next_features {
                Some(next) => self.surprises(&features, next, &mut kept_steps),
                None => Vec::new(),
            };
            let payments: Vec<(u32, Vec<f64>)> =
                next_slopes.iter().map(|(full, slopes)| (*full, self.payment(slopes, &surprise))).collect();
            let expected = self.opening_expectations(morning, &features, &mut kept_openings);
            let layer = &self.lattice.layers[morning];
            let mut rule = vec![0.0; layer.positions.len() * m];
            let mut relaxed = vec![f64::NEG_INFINITY; layer.positions.len() * m];
            for &p in &layer.order {
                let position = &layer.positions[p as usize];
                let at = p as usize * m;
                self.rule_values(morning, p as usize, &next_rule, &mut rule);
                let mut best = vec![f64::NEG_INFINITY; m];
                if let Some(pass) = position.pass {
                    let from = pass as usize * m;
                    best.copy_from_slice(&next_relaxed[from..from + m]);
                    if let Some((_, payment)) = payments.iter().find(|payment| payment.0 == position.full) {
                        best.iter_mut().zip(payment).for_each(|(best, payment)| *best -= payment);
                    }
                }
                for &(opening, to) in &position.moves {
                    let worth = &expected.iter().find(|known| known.0 == opening).expect("asked above").1;
                    let after = &relaxed[to as usize * m..(to as usize + 1) * m];
                    for ((best, worth), after) in best.iter_mut().zip(worth).zip(after) {
                        *best = best.max(worth + after);
                    }
                }
                // A position from which nothing leads on is worth nothing more.
                best.iter_mut().filter(|best| !best.is_finite()).for_each(|best| *best = 0.0);
                relaxed[at..at + m].copy_from_slice(&best);
            }
            next_slopes = self.value_slopes(morning, &features, &rule, &mut kept_values);
            next_features = Some(features);
            next_rule = rule;
            next_relaxed = relaxed;
        }
        let root = self.lattice.root as usize * m;
        next_relaxed[root..root + m].to_vec()
    }

    /// What the rules make of one position in every member.
    fn rule_values(&self, morning: usize, p: usize, next: &[f64], rule: &mut [f64]) {
        let m = self.weight.len();
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

    /// Next morning's features less what this morning's foretold of them.
    fn surprises(&self, now: &Features, next: &Features, kept: &mut [Option<Sums>]) -> Vec<f64> {
        let m = self.weight.len();
        let mut out = Vec::with_capacity(next.x.len());
        for (a, kept) in kept.iter_mut().enumerate() {
            let target = &next.x[a * m..(a + 1) * m];
            let (_, expected) = self.expect(now, target, kept);
            out.extend(target.iter().zip(&expected).map(|(x, e)| x - e));
        }
        out
    }

    fn payment(&self, slopes: &[f64], surprise: &[f64]) -> Vec<f64> {
        let m = self.weight.len();
        let mut payment = vec![0.0; m];
        for (slope, x) in slopes[1..].iter().zip(surprise.chunks_exact(m)) {
            payment.iter_mut().zip(x).for_each(|(sum, x)| *sum += slope * x);
        }
        payment
    }

    /// What this morning's signals let one expect of each opening.
    fn opening_expectations(
        &self,
        morning: usize,
        features: &Features,
        kept: &mut Vec<(usize, Option<Sums>)>,
    ) -> Vec<(u32, Vec<f64>)> {
        let mut seen = vec![0usize; self.waiting.board.ponds];
        let mut out = Vec::new();
        for (o, opening) in self.waiting.board.openings.iter().enumerate().filter(|(_, o)| o.morning == morning) {
            // Neighbouring days lend to the same pond's opening of the same rank.
            let key = opening.pond * 64 + seen[opening.pond];
            seen[opening.pond] += 1;
            let at = kept.iter().position(|known| known.0 == key).unwrap_or_else(|| {
                kept.push((key, None));
                kept.len() - 1
            });
            let (_, expected) = self.expect(features, self.waiting.worth_of(o as u32), &mut kept[at].1);
            out.push((o as u32, expected));
        }
        out
    }

    /// Slopes of the rule's value on this morning's features, for each set of full ponds.
    fn value_slopes(
        &self,
        morning: usize,
        features: &Features,
        rule: &[f64],
        kept: &mut Vec<(u32, Option<Sums>)>,
    ) -> Vec<(u32, Vec<f64>)> {
        let m = self.weight.len();
        let layer = &self.lattice.layers[morning];
        let mut out: Vec<(u32, Vec<f64>)> = Vec::new();
        for &p in &layer.order {
            let full = layer.positions[p as usize].full;
            if full == 0 || out.last().is_some_and(|last| last.0 == full) {
                continue;
            }
            let at = kept.iter().position(|known| known.0 == full).unwrap_or_else(|| {
                kept.push((full, None));
                kept.len() - 1
            });
            let target = &rule[p as usize * m..(p as usize + 1) * m];
            let (slopes, _) = self.expect(features, target, &mut kept[at].1);
            out.push((full, slopes));
        }
        out
    }
}
