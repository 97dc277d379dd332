//! What ponds share, as linear limits that every allowed schedule keeps: the matter that prices are put on.
//!
//! Usage is counted in whole steps, rounded down, and what is offered is rounded up, so that nothing allowed is shut out. Where
//! the true limit is not linear (a share of members, a stock carried over) a linear one that it implies stands for it.

use crate::limits::on_day;

use super::choices::{Choice, Choices};
use super::fit::Fit;
use super::search::LEAVE;

/// Amounts are counted in this many steps to the unit.
const STEPS: f64 = 1024.0;

/// A job that may still be part of something better.
#[derive(Debug, Clone, Copy)]
pub(super) struct One {
    /// Index of the job, or [`LEAVE`].
    pub pick: u32,
    /// Score below the pond's best: near the best it is exact.
    pub below: f64,
    /// Its span among the hours of [`Shared`].
    from: u32,
    to: u32,
    fuel: i64,
}

impl One {
    pub fn new(pick: u32, below: f64) -> One {
        One { pick, below, from: 0, to: 0, fuel: 0 }
    }
}

/// The linear limits of one search.
pub(super) struct Shared {
    /// Offered, by limit; hours of gear come after all others.
    pub offered: Vec<i64>,
    /// By slot, where its uses begin.
    slot_from: Vec<u32>,
    /// Limit and steps used.
    uses: Vec<(u32, i64)>,
    /// Hours at which some job starts: what is held is largest at one of them.
    hours: Vec<i32>,
    /// By gear: where its hours begin among the limits.
    gear_from: Vec<usize>,
    /// By pond and way: gear and steps held.
    held: Vec<Vec<Vec<(usize, i64)>>>,
    /// Index of fuel, when limited.
    fuel: Option<usize>,
}

/// Prices of one step of every limit, summed as jobs need them.
pub(super) struct Summed<T> {
    /// By slot; right for the slots of the jobs that were asked about last.
    slots: Vec<T>,
    /// By slot, the asking for which it was summed.
    summed_for: Vec<u32>,
    asking: u32,
    /// By gear, sums over its hours up to each.
    gear: Vec<Vec<T>>,
    fuel: T,
}

/// Numbers that prices are made of: floats while they are sought, whole numbers when they count.
pub(super) trait Price: Copy + Default + std::ops::Add<Output = Self> + std::ops::Sub<Output = Self> {
    fn times(self, steps: i64) -> Self;
}

impl Price for f64 {
    #[inline]
    fn times(self, steps: i64) -> f64 {
        self * steps as f64
    }
}

impl Price for i128 {
    #[inline]
    fn times(self, steps: i64) -> i128 {
        self * i128::from(steps)
    }
}

fn floor_steps(amount: f64) -> i64 {
    (amount * STEPS).floor() as i64
}

fn ceil_steps(amount: f64) -> i64 {
    if !amount.is_finite() {
        return i64::MAX / 4;
    }
    // The part in a million that sums may be off is let pass here too.
    ((amount + 1.0e-6 * amount.abs().max(1.0)) * STEPS).ceil() as i64
}

impl Shared {
    /// The limits that could stop jobs in `lists` from being done together; spans are written into the jobs.
    pub fn new(lists: &mut [Vec<One>], fit: &mut Fit<'_>) -> Shared {
        let choices = fit.choices;
        let limits = choices.limits;
        let mut is_used = vec![false; choices.slots.len()];
        let mut hours: Vec<i32> = Vec::new();
        for (pond, list) in lists.iter().enumerate() {
            for one in list.iter().filter(|one| one.pick != LEAVE) {
                let choice = &choices.of[pond][one.pick as usize];
                choice.slots().for_each(|slot| is_used[slot] = true);
                hours.push(choice.start_hour);
            }
        }
        hours.sort_unstable();
        hours.dedup();
        let LimitTable { mut offered, uses: by_slot, .. } = LimitTable::of_slots(&is_used, fit);
        let mut slot_from = vec![0];
        let mut uses = Vec::new();
        for of_slot in by_slot {
            uses.extend(of_slot);
            slot_from.push(uses.len() as u32);
        }
        let fuel = limits.fuel.filter(|fuel| fuel.in_store.is_finite() && fuel.per_day.is_finite()).map(|fuel| {
            offered.push(ceil_steps(fuel.in_store + fuel.per_day * limits.days as f64).max(1));
            offered.len() - 1
        });
        let mut gear_from = Vec::new();
        for gear in &limits.gear {
            gear_from.push(offered.len());
            offered.resize(offered.len() + hours.len(), ceil_steps(gear.amount).max(1));
        }
        let held_by = |gear: &(usize, f64)| (gear.0, floor_steps(gear.1));
        let held =
            choices.ways.iter().map(|ways| ways.iter().map(|way| way.gear.iter().map(held_by).collect()).collect());
        let shared = Shared { offered, slot_from, uses, hours, gear_from, held: held.collect(), fuel };
        for (pond, list) in lists.iter_mut().enumerate() {
            for one in list.iter_mut().filter(|one| one.pick != LEAVE) {
                let choice = &choices.of[pond][one.pick as usize];
                one.from = shared.hours.partition_point(|&hour| hour < choice.start_hour) as u32;
                one.to = shared.hours.partition_point(|&hour| hour < choice.end_hour) as u32;
                let per_hour = choices.ways[pond][usize::from(choice.way)].fuel_per_hour;
                one.fuel = floor_steps(per_hour * f64::from((choice.end_hour - choice.start_hour.max(0)).max(0)));
            }
        }
        shared
    }

    fn uses_of(&self, slot: usize) -> &[(u32, i64)] {
        &self.uses[self.slot_from[slot] as usize..self.slot_from[slot + 1] as usize]
    }

    /// Sums of the price of a step of each limit, as the jobs in `lists` need them. Deep in the tree few jobs are left, and
    /// only their slots are summed. Returns how many uses were looked at.
    pub fn sum<T: Price>(&self, each: &[T], lists: &[Vec<One>], choices: &Choices<'_>, summed: &mut Summed<T>) -> u64 {
        let count = self.slot_from.len() - 1;
        if summed.asking == u32::MAX || summed.slots.len() != count {
            (summed.slots, summed.summed_for, summed.asking) = (vec![T::default(); count], vec![0; count], 0);
        }
        summed.asking += 1;
        let mut looks = 0;
        for (list, of_pond) in lists.iter().zip(&choices.of) {
            for slot in list.iter().filter(|one| one.pick != LEAVE).flat_map(|one| of_pond[one.pick as usize].slots()) {
                if summed.summed_for[slot] != summed.asking {
                    summed.summed_for[slot] = summed.asking;
                    let uses = self.uses_of(slot);
                    looks += uses.len() as u64;
                    let price = |sum, &(limit, steps): &(u32, i64)| sum + each[limit as usize].times(steps);
                    summed.slots[slot] = uses.iter().fold(T::default(), price);
                }
            }
        }
        summed.gear.resize_with(self.gear_from.len(), Vec::new);
        for (running, &from) in summed.gear.iter_mut().zip(&self.gear_from) {
            running.clear();
            let mut sum = T::default();
            running.push(sum);
            for price in &each[from..from + self.hours.len()] {
                sum = sum + *price;
                running.push(sum);
            }
        }
        summed.fuel = self.fuel.map_or(T::default(), |fuel| each[fuel]);
        looks
    }

    /// What a job's use of everything shared costs.
    pub fn price<T: Price>(&self, pond: usize, one: &One, choice: &Choice, summed: &Summed<T>) -> T {
        let mut price = summed.slots[choice.slots[0] as usize];
        if let Some(second) = summed.slots.get(choice.slots[1] as usize) {
            price = price + *second;
        }
        for &(gear, steps) in &self.held[pond][usize::from(choice.way)] {
            price = price + (summed.gear[gear][one.to as usize] - summed.gear[gear][one.from as usize]).times(steps);
        }
        price + summed.fuel.times(one.fuel)
    }

    /// Adds a job's use, as a share of what is offered.
    pub fn count_use(&self, pond: usize, one: &One, choice: &Choice, over: &mut [f64]) {
        for slot in choice.slots() {
            for &(limit, steps) in self.uses_of(slot) {
                over[limit as usize] += steps as f64 / self.offered[limit as usize] as f64;
            }
        }
        for &(gear, steps) in &self.held[pond][usize::from(choice.way)] {
            for limit in self.gear_from[gear] + one.from as usize..self.gear_from[gear] + one.to as usize {
                over[limit] += steps as f64 / self.offered[limit] as f64;
            }
        }
        if let Some(fuel) = self.fuel {
            over[fuel] += one.fuel as f64 / self.offered[fuel] as f64;
        }
    }
}

impl<T: Price> Summed<T> {
    pub fn new() -> Summed<T> {
        Summed { slots: Vec::new(), summed_for: Vec::new(), asking: 0, gear: Vec::new(), fuel: T::default() }
    }
}

/// Kind of a linear limit and the day it begins; used to find its number.
type Name = (usize, usize, usize);

#[derive(Default)]
struct LimitTable {
    names: std::collections::BTreeMap<Name, u32>,
    offered: Vec<i64>,
    /// By slot: limit and steps used.
    uses: Vec<Vec<(u32, i64)>>,
}

const LIGHT: usize = 0;
const CATCHES: usize = 1;
const AMOUNT: usize = 2;
const STORE: usize = 4;
const ORDER: usize = 5;

/// Lengths in days of the spans over which a store is held to what it can take in and pass on, and the days from one span's
/// beginning to the next's.
const SPANS: [(usize, usize); 7] = [(1, 1), (2, 1), (4, 1), (8, 2), (16, 4), (32, 8), (64, 16)];

/// What a catch needs of each of its day's limits: light, catches, then the amounts.
struct Need {
    slot: usize,
    row: usize,
    steps: Vec<i64>,
}

impl LimitTable {
    fn of_slots(is_used: &[bool], fit: &mut Fit<'_>) -> LimitTable {
        let choices = fit.choices;
        let limits = choices.limits;
        let mut table = LimitTable { uses: vec![Vec::new(); is_used.len()], ..LimitTable::default() };
        let mut by_day: Vec<Vec<Need>> = (0..limits.days).map(|_| Vec::new()).collect();
        for slot in (0..is_used.len()).filter(|&slot| is_used[slot]) {
            let catch = &choices.slots[slot];
            let mut steps = vec![floor_steps(catch.catch_hours), floor_steps(1.0)];
            for (index, limit) in limits.day_limits.iter().enumerate() {
                let need = catch.share * fit.low_mean(index, catch) + catch.catch_share * limit.per_catch;
                steps.push(floor_steps(need));
            }
            by_day[catch.day].push(Need { slot, row: catch.row, steps });
            table.add_carried(slot, fit);
        }
        for (day, needs) in by_day.iter_mut().enumerate() {
            let most = limits.catches_per_day.map_or(f64::INFINITY, f64::from);
            let light = on_day(&limits.daylight_hours, day, f64::INFINITY);
            let amounts = limits.day_limits.iter().map(|limit| on_day(&limit.amount, day, f64::INFINITY));
            let have: Vec<i64> = [light, most].into_iter().chain(amounts).map(ceil_steps).collect();
            table.add_day(day, needs, &have);
        }
        table
    }

    fn add(&mut self, name: Name, slot: usize, steps: i64, offered: i64) {
        if steps <= 0 || offered <= 0 {
            return;
        }
        let limit = *self.names.entry(name).or_insert_with(|| {
            self.offered.push(offered);
            self.offered.len() as u32 - 1
        });
        self.uses[slot].push((limit, steps));
    }

    /// A day's limits as they are, and what they say about how many catches of a certain size a day can take.
    fn add_day(&mut self, day: usize, needs: &mut [Need], have: &[i64]) {
        for (limit, &offered) in have.iter().enumerate() {
            let binds = largest(needs, limit).iter().sum::<i64>() > offered;
            for need in needs.iter().filter(|_| binds) {
                let name = [LIGHT, CATCHES].get(limit).map_or((AMOUNT, limit, day), |&kind| (kind, 0, day));
                self.add(name, need.slot, need.steps[limit], offered);
            }
        }
        // Of the catches that need at least so much, only as many fit as fit of the smallest among them; a larger set of
        // catches with the same number says more.
        let mut said = 0;
        for limit in 0..have.len() {
            needs.sort_by_key(|need| std::cmp::Reverse((need.steps[limit], need.slot)));
            let mut last: Option<(usize, usize)> = None;
            for size in 1..=needs.len() + 1 {
                let rows = distinct_rows(&needs[..size.min(needs.len())]);
                let fits =
                    (0..have.len()).map(|other| how_many_fit(&needs[..size.min(needs.len())], other, have[other]));
                let now = (fits.min().unwrap_or(usize::MAX).min(rows), rows);
                // When one more catch raises the number, the set before it is as large as it gets.
                if let Some((fits, rows)) = last
                    && (now.0 > fits || size > needs.len())
                    && fits > 0
                    && fits < rows
                {
                    said += 1;
                    for at in 0..size - 1 {
                        self.add((COVER + said, day, 0), needs[at].slot, 1, fits as i64);
                    }
                }
                last = Some(now);
            }
        }
    }

    fn add_carried(&mut self, slot: usize, fit: &mut Fit<'_>) {
        let choices = fit.choices;
        let limits = choices.limits;
        let catch = &choices.slots[slot];
        let day = catch.day;
        let stores_from = limits.day_limits.len();
        for (index, store) in limits.stores.iter().enumerate() {
            let need = floor_steps(catch.share * fit.low_mean(stores_from + index, catch));
            for (span, apart) in SPANS {
                let earliest = day.saturating_sub(span - 1).div_ceil(apart) * apart;
                for first in (earliest..=day).step_by(apart) {
                    let last = (first + span - 1).min(limits.days - 1);
                    if span == 1 || last > first {
                        let passed: f64 = (first..last).map(|day| on_day(&store.offtake_lb, day, 0.0)).sum();
                        let room = on_day(&store.room_lb, last, f64::INFINITY).max(store.at_start_lb);
                        if room.is_finite() {
                            self.add((STORE + 2 * index, span, first), slot, need, ceil_steps(room + passed));
                        }
                    }
                }
            }
        }
        let orders_from = stores_from + limits.stores.len();
        for (index, order) in limits.orders.iter().enumerate() {
            if order.from_day <= day && day <= order.to_day && order.ceiling_lb.is_finite() {
                let need = catch.share * fit.low_mean(orders_from + index, catch);
                self.add((ORDER + 2 * index, 0, 0), slot, floor_steps(need), ceil_steps(order.ceiling_lb));
            }
        }
    }
}

/// Names of cover limits begin here, past all others.
const COVER: usize = 1 << 20;

fn distinct_rows(needs: &[Need]) -> usize {
    let mut rows: Vec<usize> = needs.iter().map(|need| need.row).collect();
    rows.sort_unstable();
    rows.dedup();
    rows.len()
}

/// The largest need of each row.
fn largest(needs: &[Need], limit: usize) -> Vec<i64> {
    per_row(needs, |need| -need.steps[limit]).into_iter().map(|need| -need).collect()
}

/// How many catches of different rows fit at most: the smallest of each row, smallest first.
fn how_many_fit(needs: &[Need], limit: usize, have: i64) -> usize {
    let mut smallest = per_row(needs, |need| need.steps[limit]);
    smallest.sort_unstable();
    let mut sum = 0;
    smallest
        .iter()
        .take_while(|&&need| {
            sum += need;
            sum <= have
        })
        .count()
}

/// The smallest value of each row.
fn per_row(needs: &[Need], value: impl Fn(&Need) -> i64) -> Vec<i64> {
    let mut rows: Vec<(usize, i64)> = needs.iter().map(|need| (need.row, value(need))).collect();
    rows.sort_unstable();
    rows.dedup_by_key(|row| row.0);
    rows.into_iter().map(|row| row.1).collect()
}
