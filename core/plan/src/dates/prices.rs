//! Prices on what ponds share, so that the bound of the search knows of the sharing.
//!
//! Model     Lagrangian relaxation of every shared limit; multipliers by a deflected subgradient with Polyak's step.
//! Units     scores; a multiplier is the price of the whole of what a limit offers.
//! Range     any multipliers at or above zero give a true bound; good ones give a close one.
//! Source    Held, Wolfe & Crowder (1974), Math. Programming 6, 62-88; Camerini, Fratta & Maffioli (1975), Math. Programming
//!           Study 3, 26-34 (deflection). Both from memory.
//! Left out  prices on more than what a limit implies linearly.
//!
//! A schedule that keeps a limit uses at most what the limit offers, so its scores less the price of what it uses, plus the
//! price of all that is offered, are at least its scores. The multipliers are sought in floating point and then rounded to
//! whole numbers; from there on the bound is exact whole-number arithmetic.

use super::choices::Choices;
use super::score::Score;
use super::search::{LEAVE, Scores};
use super::shared::{One, Shared, Summed};

/// How far and how patiently to look.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    pub rounds: usize,
    /// Rounds without gain before the steps are shortened.
    pub patience: usize,
}

/// Prices being sought.
pub(super) struct Pricing<'s> {
    pub shared: &'s Shared,
    pub choices: &'s Choices<'s>,
    each: Vec<f64>,
    over: Vec<f64>,
    direction: Vec<f64>,
    trial: Vec<f64>,
    summed: Summed<f64>,
    exactly: Summed<Score>,
    /// Uses, limits and jobs looked at so far.
    pub looks: u64,
    /// The picks of the last evaluation.
    pub picks: Vec<u32>,
}

impl<'s> Pricing<'s> {
    pub fn new(shared: &'s Shared, choices: &'s Choices<'s>) -> Pricing<'s> {
        let free = vec![0.0; shared.offered.len()];
        Pricing {
            shared,
            choices,
            each: free.clone(),
            over: free.clone(),
            direction: free.clone(),
            trial: free,
            summed: Summed::new(),
            exactly: Summed::new(),
            looks: 0,
            picks: Vec::new(),
        }
    }

    /// Betters `prices` for these lists until the bound (below the sum of the ponds' bests) reaches `target` or the effort is
    /// spent; returns the bound.
    pub fn better(&mut self, prices: &mut Vec<f64>, lists: &[Vec<One>], target: f64, effort: Effort) -> f64 {
        let mut trial = std::mem::take(&mut self.trial);
        trial.clone_from(prices);
        self.direction.iter_mut().for_each(|d| *d = 0.0);
        let (mut best, mut pace, mut idle) = (f64::INFINITY, 1.0, 0);
        for _ in 0..effort.rounds {
            let bound = self.evaluate(&trial, lists);
            idle += 1;
            if bound < best {
                if bound < best - 1.0e-3 * (best - target).abs() {
                    idle = 0;
                }
                best = bound;
                prices.clone_from(&trial);
            }
            if best <= target || pace < 0.01 {
                break;
            }
            if idle >= effort.patience {
                (pace, idle) = (0.5 * pace, 0);
                trial.clone_from(prices);
                self.direction.iter_mut().for_each(|d| *d = 0.0);
                continue;
            }
            let mut norm = 0.0;
            for ((d, over), price) in self.direction.iter_mut().zip(&self.over).zip(&trial) {
                let next = over + 0.6 * *d;
                *d = if *price <= 0.0 && next < 0.0 { 0.0 } else { next };
                norm += *d * *d;
            }
            if norm <= 0.0 {
                break;
            }
            let length = pace * (bound - target) / norm;
            trial.iter_mut().zip(&self.direction).for_each(|(price, d)| *price = (*price + length * d).max(0.0));
        }
        self.trial = trial;
        best
    }

    fn evaluate(&mut self, prices: &[f64], lists: &[Vec<One>]) -> f64 {
        let mut bound = 0.0;
        for ((each, price), &offered) in self.each.iter_mut().zip(prices).zip(&self.shared.offered) {
            *each = price / offered as f64;
            bound += price;
        }
        self.looks += self.shared.sum(&self.each, lists, self.choices, &mut self.summed);
        self.looks += (prices.len() + lists.iter().map(Vec::len).sum::<usize>()) as u64;
        self.over.iter_mut().for_each(|over| *over = -1.0);
        self.picks.clear();
        for (pond, list) in lists.iter().enumerate() {
            let mut best = (f64::NEG_INFINITY, 0);
            for (place, one) in list.iter().enumerate() {
                let price = match one.pick {
                    LEAVE => 0.0,
                    pick => self.shared.price(pond, one, &self.choices.of[pond][pick as usize], &self.summed),
                };
                if one.below - price > best.0 {
                    best = (one.below - price, place);
                }
            }
            bound += best.0;
            let Some(one) = list.get(best.1) else { continue };
            self.picks.push(one.pick);
            if one.pick != LEAVE {
                self.shared.count_use(pond, one, &self.choices.of[pond][one.pick as usize], &mut self.over);
            }
        }
        bound
    }

    /// The prices in whole numbers: the price of everything offered, and each job's score less the price of what it uses.
    pub fn exact(
        &mut self,
        prices: &[f64],
        lists: &[Vec<One>],
        scores: &Scores<'_>,
        keys: &mut Vec<Vec<Score>>,
    ) -> Score {
        let offered = &self.shared.offered;
        let each: Vec<Score> =
            prices.iter().zip(offered).map(|(price, &offered)| (price / offered as f64) as Score).collect();
        let summed = &mut self.exactly;
        self.looks += self.shared.sum(&each, lists, self.choices, summed);
        keys.resize(lists.len(), Vec::new());
        for (pond, list) in lists.iter().enumerate() {
            keys[pond].clear();
            keys[pond].extend(list.iter().map(|one| match one.pick {
                LEAVE => scores.left[pond],
                pick => {
                    let choice = &self.choices.of[pond][pick as usize];
                    scores.of[pond][pick as usize] - self.shared.price(pond, one, choice, summed)
                }
            }));
        }
        each.iter().zip(offered).map(|(each, &offered)| each * Score::from(offered)).sum()
    }
}
