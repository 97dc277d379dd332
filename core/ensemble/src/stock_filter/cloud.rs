//! The particles of one pond, re-weighed sight by sight, drawn anew and moved.

use chance::{Purpose, Stream, inverse_normal};
use stock::seen::{CaughtBy, DIE_OFF, DIE_OFF_CHANCE};

use super::one::{Common, HELD, Look, Loss, One, Row};
use super::{Expected, FilterAsk, PARTICLES, Particle, Seen};

/// Luck of each particle; that of a pond stands at `OWN` + pond.
const OWN: Purpose = Purpose(0x5EA5_2000);
/// Draws of a pond as a whole.
const POND: Purpose = Purpose(0x5EA5_2100);

/// Drawn anew when fewer than this share of particles carry the weight.
const FEW: f64 = 0.5;
/// A sight is taken in by at most so many parts.
const PARTS_MOST: usize = 40;
/// Moves after each drawing anew: as many as come to so many looks at sights, at least one and at most so many.
const EFFORT: usize = 120;
const MOVES_MOST: usize = 4;
/// How much of its place a particle keeps when a move is tried.
const KEEPS: f64 = 0.3;
/// By how much the share that a die-off took is moved: deviation of its logarithm.
const DIE_OFF_MOVED: f64 = 0.3;

pub(super) struct Cloud<'a> {
    common: Common<'a>,
    ones: Vec<One>,
    log_weights: Vec<f64>,
    own: Vec<Stream>,
    pond: Stream,
    looks: Vec<Look>,
}

impl<'a> Cloud<'a> {
    pub(super) fn new(ask: &FilterAsk<'a>) -> Cloud<'a> {
        let own = (0..PARTICLES as u32).map(|id| Stream::new(ask.seed, id, Purpose(OWN.0 + ask.pond))).collect();
        let mut pond = Stream::new(ask.seed, ask.pond, POND);
        let common = Common::new(ask);
        let ones = even_normals(&mut pond).into_iter().map(|held| common.one(held, Vec::new())).collect();
        Cloud { common, ones, log_weights: vec![0.0; PARTICLES], own, pond, looks: Vec::new() }
    }

    /// What all particles have in common.
    pub(super) fn common(&self) -> &Common<'a> {
        &self.common
    }

    /// What a sample would be expected to weigh.
    pub(super) fn expected(&self, look: &Look, seen_g: f64, error_ln: f64, by: CaughtBy) -> Expected {
        let shares = shares(&self.log_weights);
        let logs: Vec<f64> = self.ones.iter().map(|one| self.common.caught_ln(one, look.day, by)).collect();
        let mean: f64 = logs.iter().zip(&shares).map(|(log, share)| log * share).sum();
        let square: f64 = logs.iter().zip(&shares).map(|(log, share)| (log - mean) * (log - mean) * share).sum();
        let half = 1.2816 * (square + error_ln * error_ln).sqrt();
        Expected { day: look.day, seen_g, expected_g: [mean, mean - half, mean + half].map(units::exp) }
    }

    /// Takes in a sight; a sharp one in parts, so that there are always particles enough to carry it.
    pub(super) fn take_in(&mut self, look: Look) {
        match look.what {
            Seen::Dead(seen) => self.try_die_offs(&look, seen),
            Seen::Overflow => self.lose(look.day),
            _ => {}
        }
        let mut done = 0.0;
        for _ in 0..PARTS_MOST {
            let chances: Vec<f64> = self.ones.iter().map(|one| self.common.log_chance(one, &look)).collect();
            let with = |part: f64| -> Vec<f64> {
                self.log_weights.iter().zip(&chances).map(|(weight, chance)| weight + part * chance).collect()
            };
            if carrying(&with(1.0 - done)) >= FEW {
                self.log_weights = with(1.0 - done);
                self.ones.iter_mut().zip(&chances).for_each(|(one, chance)| one.seen_log += chance);
                break;
            }
            let (mut low, mut high) = (0.0, 1.0 - done);
            for _ in 0..10 {
                let middle = 0.5 * (low + high);
                if carrying(&with(middle)) >= FEW { low = middle } else { high = middle }
            }
            self.log_weights = with(high);
            done += high;
            self.draw_anew(&look, done);
        }
        self.looks.push(look);
    }

    /// Where a count of the dead is far more than usual deaths leave, a die-off is tried in half of the particles, each weighed by how rare
    /// such a thing is; else in as many as it is likely in.
    fn try_die_offs(&mut self, look: &Look, seen: f64) {
        let shares = shares(&self.log_weights);
        let expected: f64 =
            self.ones.iter().zip(&shares).map(|(one, share)| self.common.dead_expected(one, look) * share).sum();
        let tried = if seen > 3.0 * expected + 10.0 { 0.5 } else { DIE_OFF_CHANCE };
        for ((one, luck), log_weight) in self.ones.iter_mut().zip(&mut self.own).zip(&mut self.log_weights) {
            let (happens, how_much) = (luck.uniform(), luck.uniform());
            if happens < tried {
                let lost_fraction = DIE_OFF.0 * units::pow(DIE_OFF.1 / DIE_OFF.0, how_much);
                one.die_offs.push(Loss { day: look.day, lost_fraction, leaves_dead: true });
                *log_weight += units::ln(DIE_OFF_CHANCE / tried);
            } else {
                *log_weight += units::ln((1.0 - DIE_OFF_CHANCE) / (1.0 - tried));
            }
        }
    }

    /// Water ran over bank or screen: nobody knows how many went with it, any factor between the least and the greatest is as likely.
    fn lose(&mut self, day: usize) {
        for (one, luck) in self.ones.iter_mut().zip(&mut self.own) {
            let lost_fraction = DIE_OFF.0 * units::pow(DIE_OFF.1 / DIE_OFF.0, luck.uniform());
            one.die_offs.push(Loss { day, lost_fraction, leaves_dead: false });
        }
    }

    /// Draws the particles anew by their weight and moves each, so that copies part and what was believed is still believed: `done` of the
    /// sight in hand is taken in.
    fn draw_anew(&mut self, look: &Look, done: f64) {
        let shares = shares(&self.log_weights);
        let normal = Normal::of(&self.ones, &shares);
        let start = self.pond.uniform();
        let (mut at, mut sum) = (0, shares[0]);
        let drawn = |place: usize| {
            while sum < (place as f64 + start) / PARTICLES as f64 && at + 1 < PARTICLES {
                at += 1;
                sum += shares[at];
            }
            self.ones[at].clone()
        };
        self.ones = (0..PARTICLES).map(drawn).collect();
        self.log_weights.fill(0.0);
        let (common, looks) = (&self.common, &self.looks);
        // What is believed of a pond, less the normal about which it is moved; `seen_log` holds all earlier sights.
        let believed = |one: &One, place: &Row| {
            let now = done * common.log_chance(one, look);
            one.seen_log + now + 0.5 * (square(place) - square(&one.held))
        };
        let moves = (EFFORT / (looks.len() + 1)).clamp(1, MOVES_MOST);
        for (one, luck) in self.ones.iter_mut().zip(&mut self.own) {
            for _ in 0..moves {
                let place = normal.place(&one.held);
                let moved = place.map(|z| KEEPS * z + (1.0 - KEEPS * KEEPS).sqrt() * luck.normal());
                let mut die_offs = one.die_offs.clone();
                die_offs.iter_mut().for_each(|one| one.lost_fraction *= units::exp(DIE_OFF_MOVED * luck.normal()));
                let chance = luck.uniform();
                if die_offs.iter().any(|loss| !(DIE_OFF.0..=DIE_OFF.1).contains(&loss.lost_fraction)) {
                    continue;
                }
                let mut other = common.one(normal.at(&moved), die_offs);
                other.seen_log = looks.iter().map(|look| common.log_chance(&other, look)).sum();
                // The move keeps the normal as it is (preconditioned Crank-Nicolson); what differs from it decides.
                if units::ln(chance) < believed(&other, &moved) - believed(one, &place) {
                    *one = other;
                }
            }
        }
    }

    /// The particles this morning, from the lightest animals to the heaviest.
    pub(super) fn end(&self) -> Vec<Particle> {
        let shares = shares(&self.log_weights);
        let each = self.ones.iter().zip(shares).map(|(one, share)| self.common.this_morning(one, share));
        let mut particles: Vec<Particle> = each.collect();
        particles.sort_by(|a, b| a.mean_weight_g.total_cmp(&b.mean_weight_g));
        particles
    }
}

fn square(row: &Row) -> f64 {
    row.iter().map(|z| z * z).sum()
}

/// Normal draws that fill each margin evenly (McKay and others 1979: one from each of a thousand slices, in shuffled order).
fn even_normals(luck: &mut Stream) -> Vec<Row> {
    let mut rows = vec![[0.0; HELD]; PARTICLES];
    let mut order: Vec<usize> = (0..PARTICLES).collect();
    for held in 0..HELD {
        for last in (1..PARTICLES).rev() {
            order.swap(last, (luck.uniform() * (last + 1) as f64) as usize);
        }
        for (row, slice) in rows.iter_mut().zip(&order) {
            row[held] = inverse_normal((*slice as f64 + luck.uniform()) / PARTICLES as f64);
        }
    }
    rows
}

/// Shares of belief from logarithms of weights.
fn shares(log_weights: &[f64]) -> Vec<f64> {
    let most = log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = log_weights.iter().map(|log| units::exp(log - most)).collect();
    let sum: f64 = raw.iter().sum();
    raw.iter().map(|share| share / sum).collect()
}

/// Share of the particles that carry the weight.
fn carrying(log_weights: &[f64]) -> f64 {
    let shares = shares(log_weights);
    1.0 / shares.iter().map(|share| share * share).sum::<f64>() / shares.len() as f64
}

/// The normal with the particles' weighted mean and covariance.
struct Normal {
    mean: Row,
    /// Lower triangular root of the covariance.
    root: [Row; HELD],
}

impl Normal {
    fn of(ones: &[One], shares: &[f64]) -> Normal {
        let mut mean = [0.0; HELD];
        for (one, share) in ones.iter().zip(shares) {
            for i in 0..HELD {
                mean[i] += share * one.held[i];
            }
        }
        let mut root = [[0.0; HELD]; HELD];
        for (one, share) in ones.iter().zip(shares) {
            for i in 0..HELD {
                for j in 0..=i {
                    root[i][j] += share * (one.held[i] - mean[i]) * (one.held[j] - mean[j]);
                }
            }
        }
        for j in 0..HELD {
            let pivot = root[j][j] - (0..j).map(|k| root[j][k] * root[j][k]).sum::<f64>();
            // Copies of a single particle would have no spread at all.
            root[j][j] = pivot.max(1e-8).sqrt();
            for i in j + 1..HELD {
                root[i][j] = (root[i][j] - (0..j).map(|k| root[i][k] * root[j][k]).sum::<f64>()) / root[j][j];
            }
        }
        Normal { mean, root }
    }

    /// The point that lies so many deviations off.
    fn at(&self, place: &Row) -> Row {
        std::array::from_fn(|i| self.mean[i] + (0..=i).map(|j| self.root[i][j] * place[j]).sum::<f64>())
    }

    /// How many deviations off a point lies.
    fn place(&self, held: &Row) -> Row {
        let mut place = [0.0; HELD];
        for i in 0..HELD {
            let others: f64 = (0..i).map(|j| self.root[i][j] * place[j]).sum();
            place[i] = (held[i] - self.mean[i] - others) / self.root[i][i];
        }
        place
    }
}
