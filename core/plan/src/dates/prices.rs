//! Prices on what ponds share, so that the bound of the search knows of the sharing.
//!
//! Model     Lagrangian relaxation of every shared limit; multipliers by a deflected subgradient with Polyak's step.
//! Units     scores; a multiplier is the price of the whole of what a limit offers.
//! Range     any multipliers at or above zero give a true bound; good ones give a close one.
//! Source    Held, Wolfe & Crowder (1974), Math. Programming 6, 62-88; Camerini, Fratta & Maffioli (1975), Math. Programming
//!           Study 3, 26-34 (deflection).
//! Left out  re-pricing inside the tree.
//!
//! A schedule that keeps a limit uses at most what the limit offers, so its scores less the price of what it uses, plus the
//! price of all that is offered, are at least its scores. The multipliers are found in floating point and then rounded to
//! whole numbers; usage is rounded down and what is offered up; from there on the bound is exact whole-number arithmetic.

use std::borrow::Cow;

use units::Watch;

use crate::limits::on_day;

use super::choices::Choice;
use super::fit::Fit;
use super::score::Score;
use super::search::{BARRED, Found, LEAVE, Scores, better};

/// Scores less the price of what each job uses, and the price of all that is offered.
pub(super) struct Reduced<'s> {
    pub keys: Cow<'s, [Vec<Score>]>,
    pub base: Score,
}

impl<'s> Reduced<'s> {
    /// No prices.
    pub fn plain(scores: &Scores<'s>) -> Reduced<'s> {
        Reduced { keys: Cow::Borrowed(scores.of), base: 0 }
    }
}

const ROUNDS_MOST: usize = 400;
/// Amounts are counted in this many steps to the unit.
const STEPS: f64 = 1024.0;

/// Finds prices, bettering `best` on the way.
pub(super) fn reduce<'s>(scores: &Scores<'s>, best: &mut Found, fit: &mut Fit<'_>, watch: &Watch) -> Reduced<'s> {
    let tops: Vec<Score> = (0..scores.of.len())
        .map(|pond| scores.of[pond].iter().copied().max().unwrap_or(BARRED).max(scores.left[pond]))
        .collect();
    let kept = Kept::new(scores, &tops, best.total, fit);
    let shared = Shared::new(&kept, fit);
    let mut prices = shared.free();
    let mut best_prices = prices.clone();
    let mut best_bound = f64::INFINITY;
    let mut direction = shared.free();
    let (mut pace, mut idle) = (1.0, 0);
    for round in 0..ROUNDS_MOST {
        let step = shared.step(&kept, &prices, fit);
        if step.bound < best_bound {
            idle = if step.bound < best_bound - 1.0e-4 * best_bound.abs() { 0 } else { idle + 1 };
            best_bound = step.bound;
            best_prices.clone_from(&prices);
        } else {
            idle += 1;
        }
        if round % 8 == 0 {
            repair(scores, &step.picks, best, fit);
        }
        let target = (best.total - tops.iter().sum::<Score>()) as f64;
        if best_bound <= target || watch.asked_to_stop() {
            break;
        }
        if idle >= 12 {
            (pace, idle) = (0.6 * pace, 0);
            prices.clone_from(&best_prices);
            direction.iter_mut().for_each(|d| *d = 0.0);
            if pace < 0.003 {
                break;
            }
            continue;
        }
        let mut norm = 0.0;
        for ((d, over), price) in direction.iter_mut().zip(&step.over).zip(&prices) {
            *d = over + 0.6 * *d;
            if *price <= 0.0 && *d < 0.0 {
                *d = 0.0;
            }
            norm += *d * *d;
        }
        if norm <= 0.0 {
            break;
        }
        let length = pace * (step.bound - target) / norm;
        prices.iter_mut().zip(&direction).for_each(|(price, d)| *price = (*price + length * d).max(0.0));
    }
    shared.exact(&kept, &best_prices, scores, fit)
}

/// Makes a plan from picks that may not fit together, and keeps it if it is better.
fn repair(scores: &Scores<'_>, wanted: &[u32], best: &mut Found, fit: &mut Fit<'_>) {
    let choices = fit.choices;
    let mut picks = vec![LEAVE; wanted.len()];
    fit.clear();
    for (pond, &pick) in wanted.iter().enumerate().filter(|pick| *pick.1 != LEAVE) {
        let choice = &choices.of[pond][pick as usize];
        if fit.joins(pond, choice) {
            fit.place(pond, choice);
            picks[pond] = pick;
        }
    }
    let total = better(scores, &mut picks, fit);
    if total > best.total {
        best.total = total;
        best.picks = picks;
    }
}

/// A job that may still be part of something better.
struct Kept {
    /// By pond.
    of: Vec<Vec<One>>,
    /// By pond, the score of leaving it, below the pond's best.
    left: Vec<f64>,
}

struct One {
    index: u32,
    /// Score below the pond's best: near the best it is exact.
    below: f64,
}

impl Kept {
    fn new(scores: &Scores<'_>, tops: &[Score], in_hand: Score, fit: &mut Fit<'_>) -> Kept {
        let choices = fit.choices;
        let slack = tops.iter().sum::<Score>() - in_hand;
        fit.clear();
        let mut of = Vec::with_capacity(tops.len());
        for (pond, list) in scores.of.iter().enumerate() {
            let mut kept = Vec::new();
            for (index, &score) in list.iter().enumerate() {
                if tops[pond] - score <= slack && score > BARRED && fit.joins(pond, &choices.of[pond][index]) {
                    kept.push(One { index: index as u32, below: (score - tops[pond]) as f64 });
                }
            }
            of.push(kept);
        }
        let left = scores.left.iter().zip(tops).map(|(left, top)| (left - top) as f64).collect();
        Kept { of, left }
    }
}

/// What ponds share, as linear limits: usage in whole steps and how much is offered.
struct Shared {
    /// Offered, by limit; hours of gear come after all others.
    offered: Vec<i64>,
    /// By slot, where its uses begin.
    slot_from: Vec<u32>,
    /// Limit and steps used.
    uses: Vec<(u32, i64)>,
    /// By gear: where its hours begin among the limits.
    gear_from: Vec<usize>,
    first_hour: i32,
    hours: usize,
    /// Index of fuel, when limited.
    fuel: Option<usize>,
}

/// One evaluation of the bound.
struct Step {
    bound: f64,
    picks: Vec<u32>,
    /// Use of each limit above what is offered, as a share of what is offered.
    over: Vec<f64>,
}

fn floor_steps(amount: f64) -> i64 {
    (amount * STEPS).floor() as i64
}

fn ceil_steps(amount: f64) -> i64 {
    // One step more covers the part in a million that sums may be off on limits of this size.
    ((amount + 1.0e-6 * amount.abs().max(1.0)) * STEPS).ceil() as i64
}

impl Shared {
    fn new(kept: &Kept, fit: &mut Fit<'_>) -> Shared {
        let choices = fit.choices;
        let limits = choices.limits;
        let mut is_used = vec![false; choices.slots.len()];
        let (mut first_hour, mut last_hour) = (i32::MAX, i32::MIN);
        for (pond, list) in kept.of.iter().enumerate() {
            for one in list {
                let choice = &choices.of[pond][one.index as usize];
                choice.slots().for_each(|slot| is_used[slot] = true);
                (first_hour, last_hour) = (first_hour.min(choice.start_hour), last_hour.max(choice.end_hour));
            }
        }
        let mut table = LimitTable::default();
        for (slot, used) in is_used.iter().enumerate() {
            table.slot_from.push(table.uses.len() as u32);
            if *used {
                table.add_slot(slot, fit);
            }
        }
        table.slot_from.push(table.uses.len() as u32);
        let LimitTable { mut offered, slot_from, uses, .. } = table;
        let fuel = limits.fuel.map(|fuel| {
            offered.push(ceil_steps(fuel.in_store + fuel.per_day * limits.days as f64).max(1));
            offered.len() - 1
        });
        let hours = usize::try_from(i64::from(last_hour) - i64::from(first_hour)).unwrap_or(0);
        let mut gear_from = Vec::new();
        for gear in &limits.gear {
            gear_from.push(offered.len());
            let amount = if gear.amount.is_finite() { ceil_steps(gear.amount).max(1) } else { i64::MAX / 4 };
            offered.resize(offered.len() + hours, amount);
        }
        Shared { offered, slot_from, uses, gear_from, first_hour, hours, fuel }
    }

    fn free(&self) -> Vec<f64> {
        vec![0.0; self.offered.len()]
    }

    fn uses_of(&self, slot: usize) -> &[(u32, i64)] {
        &self.uses[self.slot_from[slot] as usize..self.slot_from[slot + 1] as usize]
    }

    fn span(&self, choice: &Choice) -> (usize, usize) {
        ((choice.start_hour - self.first_hour) as usize, (choice.end_hour - self.first_hour) as usize)
    }

    /// Sums of a gear's hourly prices up to each hour.
    fn running<T: Copy + std::ops::Add<Output = T>>(&self, gear: usize, zero: T, price: impl Fn(usize) -> T) -> Vec<T> {
        let mut running = Vec::with_capacity(self.hours + 1);
        let mut sum = zero;
        running.push(sum);
        for hour in 0..self.hours {
            sum = sum + price(self.gear_from[gear] + hour);
            running.push(sum);
        }
        running
    }

    fn fuel_steps(&self, pond: usize, choice: &Choice, fit: &Fit<'_>) -> i64 {
        let per_hour = fit.choices.ways[pond][usize::from(choice.way)].fuel_per_hour;
        floor_steps(per_hour * f64::from((choice.end_hour - choice.start_hour.max(0)).max(0)))
    }

    fn step(&self, kept: &Kept, prices: &[f64], fit: &Fit<'_>) -> Step {
        let choices = fit.choices;
        let each: Vec<f64> = prices.iter().zip(&self.offered).map(|(price, &offered)| price / offered as f64).collect();
        let slot_price: Vec<f64> = (0..self.slot_from.len() - 1)
            .map(|slot| self.uses_of(slot).iter().map(|&(limit, steps)| each[limit as usize] * steps as f64).sum())
            .collect();
        let running: Vec<Vec<f64>> =
            (0..self.gear_from.len()).map(|gear| self.running(gear, 0.0, |limit| each[limit])).collect();
        let mut step = Step { bound: prices.iter().sum(), picks: Vec::new(), over: vec![-1.0; prices.len()] };
        for (pond, list) in kept.of.iter().enumerate() {
            let mut best = (kept.left[pond], LEAVE);
            for one in list {
                let choice = &choices.of[pond][one.index as usize];
                let mut key = one.below - slot_price[choice.slots[0] as usize];
                key -= slot_price.get(choice.slots[1] as usize).copied().unwrap_or(0.0);
                if key <= best.0 {
                    continue;
                }
                let (from, to) = self.span(choice);
                for &(gear, amount) in &choices.ways[pond][usize::from(choice.way)].gear {
                    key -= (amount * STEPS).floor() * (running[gear][to] - running[gear][from]);
                }
                if let Some(fuel) = self.fuel {
                    key -= each[fuel] * self.fuel_steps(pond, choice, fit) as f64;
                }
                if key > best.0 {
                    best = (key, one.index);
                }
            }
            step.bound += best.0;
            step.picks.push(best.1);
            if best.1 != LEAVE {
                self.count_use(pond, &choices.of[pond][best.1 as usize], fit, &mut step.over);
            }
        }
        step
    }

    fn count_use(&self, pond: usize, choice: &Choice, fit: &Fit<'_>, over: &mut [f64]) {
        for slot in choice.slots() {
            for &(limit, steps) in self.uses_of(slot) {
                over[limit as usize] += steps as f64 / self.offered[limit as usize] as f64;
            }
        }
        let (from, to) = self.span(choice);
        for &(gear, amount) in &fit.choices.ways[pond][usize::from(choice.way)].gear {
            for limit in self.gear_from[gear] + from..self.gear_from[gear] + to {
                over[limit] += (amount * STEPS).floor() / self.offered[limit] as f64;
            }
        }
        if let Some(fuel) = self.fuel {
            over[fuel] += self.fuel_steps(pond, choice, fit) as f64 / self.offered[fuel] as f64;
        }
    }

    /// The prices in whole numbers, and every kept job's score less what it uses.
    fn exact<'s>(&self, kept: &Kept, prices: &[f64], scores: &Scores<'s>, fit: &Fit<'_>) -> Reduced<'s> {
        let choices = fit.choices;
        let each: Vec<Score> =
            prices.iter().zip(&self.offered).map(|(price, &offered)| (price / offered as f64) as Score).collect();
        let base = each.iter().zip(&self.offered).map(|(each, &offered)| each * Score::from(offered)).sum();
        let slot_price: Vec<Score> = (0..self.slot_from.len() - 1)
            .map(|slot| {
                self.uses_of(slot).iter().map(|&(limit, steps)| each[limit as usize] * Score::from(steps)).sum()
            })
            .collect();
        let running: Vec<Vec<Score>> =
            (0..self.gear_from.len()).map(|gear| self.running(gear, 0, |limit| each[limit])).collect();
        let mut keys: Vec<Vec<Score>> = scores.of.iter().map(|list| vec![BARRED; list.len()]).collect();
        for (pond, list) in kept.of.iter().enumerate() {
            for one in list {
                let choice = &choices.of[pond][one.index as usize];
                let mut key = scores.of[pond][one.index as usize];
                key -= choice.slots().map(|slot| slot_price[slot]).sum::<Score>();
                let (from, to) = self.span(choice);
                for &(gear, amount) in &choices.ways[pond][usize::from(choice.way)].gear {
                    key -= Score::from(floor_steps(amount)) * (running[gear][to] - running[gear][from]);
                }
                if let Some(fuel) = self.fuel {
                    key -= each[fuel] * Score::from(self.fuel_steps(pond, choice, fit));
                }
                keys[pond][one.index as usize] = key;
            }
        }
        Reduced { keys: Cow::Owned(keys), base }
    }
}

/// Kind of a linear limit and the day it begins; used to find its number.
type Name = (usize, usize, usize);

#[derive(Default)]
struct LimitTable {
    names: std::collections::BTreeMap<Name, u32>,
    offered: Vec<i64>,
    slot_from: Vec<u32>,
    uses: Vec<(u32, i64)>,
}

const LIGHT: usize = 0;
const CATCHES: usize = 1;
const AMOUNT: usize = 2;
const HALF: usize = 3;
const STORE: usize = 4;
const ORDER: usize = 5;

/// Lengths in days of the spans over which a store is held to what it can take in and pass on.
const SPANS: [usize; 4] = [1, 2, 4, 8];

impl LimitTable {
    fn add(&mut self, name: Name, steps: i64, offered: i64) {
        if steps <= 0 || offered <= 0 {
            return;
        }
        let limit = *self.names.entry(name).or_insert_with(|| {
            self.offered.push(offered);
            self.offered.len() as u32 - 1
        });
        self.uses.push((limit, steps));
    }

    fn add_slot(&mut self, slot: usize, fit: &mut Fit<'_>) {
        let choices = fit.choices;
        let limits = choices.limits;
        let catch = &choices.slots[slot];
        let day = catch.day;
        let light = on_day(&limits.daylight_hours, day, f64::INFINITY);
        if light.is_finite() {
            self.add((LIGHT, 0, day), floor_steps(catch.catch_hours), ceil_steps(light));
        }
        if let Some(most) = limits.catches_per_day {
            self.add((CATCHES, 0, day), 1, i64::from(most));
        }
        for (index, limit) in limits.day_limits.iter().enumerate() {
            let have = on_day(&limit.amount, day, f64::INFINITY);
            if have.is_finite() {
                let need = catch.share * fit.low_mean(index, catch) + catch.catch_share * limit.per_catch;
                self.add((AMOUNT, index, day), floor_steps(need), ceil_steps(have));
                // Of catches that each need more than half, a day takes one.
                if floor_steps(need) * 2 > ceil_steps(have) {
                    self.add((HALF, index, day), 1, 1);
                }
            }
        }
        let stores_from = limits.day_limits.len();
        for (index, store) in limits.stores.iter().enumerate() {
            let need = floor_steps(catch.share * fit.low_mean(stores_from + index, catch));
            for span in SPANS {
                for first in day.saturating_sub(span - 1)..=day {
                    let last = first + span - 1;
                    if last < limits.days {
                        let passed: f64 = (first..last).map(|day| on_day(&store.offtake_lb, day, 0.0)).sum();
                        let room = on_day(&store.room_lb, last, f64::INFINITY).max(store.at_start_lb);
                        if room.is_finite() {
                            self.add((STORE + 2 * index, span, first), need, ceil_steps(room + passed));
                        }
                    }
                }
            }
        }
        let orders_from = stores_from + limits.stores.len();
        for (index, order) in limits.orders.iter().enumerate() {
            if order.from_day <= day && day <= order.to_day && order.ceiling_lb.is_finite() {
                let need = catch.share * fit.low_mean(orders_from + index, catch);
                self.add((ORDER + 2 * index, 0, 0), floor_steps(need), ceil_steps(order.ceiling_lb));
            }
        }
    }
}
