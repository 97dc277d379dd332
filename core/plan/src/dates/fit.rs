//! Whether one more job fits beside those already placed: the search's quick form of the checker.
//!
//! Every limit only tightens as jobs are added, so a set that breaks one stays broken whatever is added: what does not fit
//! now never will, further down the same branch.

use crate::limits::{Limits, members_to_keep, on_day, within};
use crate::schedule::Catch;
use crate::tables::{STREAMS, Tables};

use super::choices::{Choice, Choices};

/// Where the amounts of one row on one day stand in [`Memory::amounts`], and their bounds over members.
#[derive(Debug, Clone, Copy, Default)]
struct Amounts {
    /// The round of [`Memory::round`] in which it was filled.
    round: u64,
    at: usize,
    count: usize,
    most: f64,
}

/// A kind of amount that limits ask for: pounds weighted by stream, with the extra hours or without.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measure {
    per_lb: [f64; STREAMS],
    takes_extra_hours: bool,
}

/// Amounts worked out so far; kept between searches for its memory alone.
#[derive(Debug, Clone, Default)]
pub(super) struct Memory {
    measures: Vec<Measure>,
    /// By day limit, store, order: index into `measures`.
    measure_of: Vec<usize>,
    cells: Vec<Amounts>,
    amounts: Vec<f64>,
    sums: Vec<f64>,
    round: u64,
}

/// The jobs placed so far.
pub(super) struct Fit<'a> {
    pub choices: &'a Choices<'a>,
    limits: &'a Limits,
    tables: &'a Tables,
    members: &'a [usize],
    memory: &'a mut Memory,
    /// Pond and job.
    placed: Vec<(usize, &'a Choice)>,
    /// Catches of the placed jobs.
    caught: Vec<&'a Catch>,
}

impl<'a> Fit<'a> {
    pub fn new(choices: &'a Choices<'a>, tables: &'a Tables, members: &'a [usize], memory: &'a mut Memory) -> Fit<'a> {
        let limits = choices.limits;
        memory.round += 1;
        memory.amounts.clear();
        memory.measures.clear();
        memory.measure_of.clear();
        let of_days = limits.day_limits.iter().map(|limit| (limit.per_lb, limit.takes_extra_hours));
        let of_stores = limits.stores.iter().map(|store| (store.per_lb, false));
        let of_orders = limits.orders.iter().map(|order| (order.per_lb, false));
        for (per_lb, takes_extra_hours) in of_days.chain(of_stores).chain(of_orders) {
            let measure = Measure { per_lb, takes_extra_hours };
            let known = memory.measures.iter().position(|other| *other == measure);
            memory.measure_of.push(known.unwrap_or(memory.measures.len()));
            if known.is_none() {
                memory.measures.push(measure);
            }
        }
        memory.cells.resize(memory.measures.len() * choices.rows * limits.days, Amounts::default());
        let ponds = limits.ponds.len();
        Fit {
            choices,
            limits,
            tables,
            members,
            memory,
            placed: Vec::with_capacity(ponds),
            caught: Vec::with_capacity(2 * ponds),
        }
    }

    /// Places a job.
    pub fn place(&mut self, pond: usize, choice: &'a Choice) {
        let choices = self.choices;
        self.placed.push((pond, choice));
        self.caught.extend(choice.slots().map(|slot| &choices.slots[slot]));
    }

    /// Takes back the job placed last.
    pub fn take_back(&mut self) {
        let (_, choice) = self.placed.pop().expect("a job was placed");
        let left = self.caught.len() - choice.slots().count();
        self.caught.truncate(left);
    }

    /// Takes back everything.
    pub fn clear(&mut self) {
        self.placed.clear();
        self.caught.clear();
    }

    /// Whether the job fits beside those placed.
    pub fn joins(&mut self, pond: usize, choice: &'a Choice) -> bool {
        if !self.gear_fits(pond, choice) {
            return false;
        }
        self.place(pond, choice);
        let fits = self.fuel_fits()
            && choice.slots().all(|slot| self.day_fits(self.choices.slots[slot].day))
            && self.orders_fit(choice)
            && self.stores_fit();
        self.take_back();
        fits
    }

    fn gear_fits(&self, pond: usize, choice: &Choice) -> bool {
        let its = &self.choices.ways[pond][usize::from(choice.way)].gear;
        its.iter().all(|&(gear, amount)| {
            let have = self.limits.gear[gear].amount;
            let used_at = |hour: i32| {
                let holds = |placed: &&(usize, &Choice)| placed.1.start_hour <= hour && hour < placed.1.end_hour;
                self.placed.iter().filter(holds).map(|&(other, job)| self.amount(other, job, gear)).sum::<f64>()
            };
            let starts = self.placed.iter().map(|placed| placed.1.start_hour);
            let mut hours = starts.filter(|&hour| choice.start_hour < hour && hour < choice.end_hour);
            within(amount + used_at(choice.start_hour), have) && hours.all(|hour| within(amount + used_at(hour), have))
        })
    }

    fn amount(&self, pond: usize, choice: &Choice, gear: usize) -> f64 {
        let gears = &self.choices.ways[pond][usize::from(choice.way)].gear;
        gears.iter().find(|used| used.0 == gear).map_or(0.0, |used| used.1)
    }

    fn fuel_fits(&self) -> bool {
        let Some(fuel) = self.limits.fuel else { return true };
        let burnt_by = |until: i32| -> f64 {
            let burnt = |&(pond, job): &(usize, &Choice)| {
                let hours = (until.min(job.end_hour) - job.start_hour.max(0)).max(0);
                f64::from(hours) * self.choices.ways[pond][usize::from(job.way)].fuel_per_hour
            };
            self.placed.iter().map(burnt).sum()
        };
        if within(burnt_by(i32::MAX), fuel.in_store + fuel.per_day) {
            return true;
        }
        (0..self.limits.days)
            .all(|day| within(burnt_by(24 * (day as i32 + 1)), fuel.in_store + fuel.per_day * (day as f64 + 1.0)))
    }

    fn day_fits(&mut self, day: usize) -> bool {
        let limits = self.limits;
        let today = || self.caught.iter().filter(|catch| catch.day == day);
        if limits.catches_per_day.is_some_and(|most| today().count() > most as usize) {
            return false;
        }
        if !limits.daylight_hours.is_empty() {
            let hours: f64 = today().map(|catch| catch.catch_hours).sum();
            if !within(hours, on_day(&limits.daylight_hours, day, f64::INFINITY)) {
                return false;
            }
        }
        (0..limits.day_limits.len()).all(|index| {
            let limit = &limits.day_limits[index];
            let fixed: f64 = self.caught.iter().filter(|c| c.day == day).map(|c| c.catch_share * limit.per_catch).sum();
            let have = on_day(&limit.amount, day, f64::INFINITY);
            self.sum_is_kept(index, day, day, fixed, have)
        })
    }

    fn orders_fit(&mut self, choice: &Choice) -> bool {
        let limits = self.limits;
        let offset = limits.day_limits.len() + limits.stores.len();
        limits.orders.iter().enumerate().all(|(index, order)| {
            let mut days = choice.slots().map(|slot| self.choices.slots[slot].day);
            !days.any(|day| order.from_day <= day && day <= order.to_day)
                || self.sum_is_kept(offset + index, order.from_day, order.to_day, 0.0, order.ceiling_lb)
        })
    }

    /// Whether enough members stay within `have`, summed over what is caught from one day to another.
    fn sum_is_kept(&mut self, limit: usize, from: usize, to: usize, fixed: f64, have: f64) -> bool {
        let measure = self.memory.measure_of[limit];
        let mut most = fixed;
        for index in 0..self.caught.len() {
            let catch = self.caught[index];
            if from <= catch.day && catch.day <= to {
                most += catch.share * self.amounts(measure, catch).most;
            }
        }
        if within(most, have) {
            return true;
        }
        let count = self.count();
        let mut sums = std::mem::take(&mut self.memory.sums);
        sums.clear();
        sums.resize(count, fixed);
        for index in 0..self.caught.len() {
            let catch = self.caught[index];
            if from <= catch.day && catch.day <= to {
                self.add_amounts(measure, catch, &mut sums);
            }
        }
        let kept = sums.iter().filter(|&&sum| within(sum, have)).count();
        self.memory.sums = sums;
        kept >= members_to_keep(self.limits.keep, count)
    }

    fn stores_fit(&mut self) -> bool {
        (0..self.limits.stores.len()).all(|index| self.store_fits(index))
    }

    fn store_fits(&mut self, index: usize) -> bool {
        let store = &self.limits.stores[index];
        let measure = self.memory.measure_of[self.limits.day_limits.len() + index];
        let first = self.caught.iter().map(|catch| catch.day).min().unwrap_or(0);
        let last = self.caught.iter().map(|catch| catch.day).max().unwrap_or(0);
        let mut untouched = store.at_start_lb;
        for day in 0..first {
            untouched = (untouched - on_day(&store.offtake_lb, day, 0.0)).max(0.0);
        }
        // First as if every member caught the most that any does, then, if that is too much, member by member.
        let members = self.count();
        for count in [1, members] {
            let mut stock = std::mem::take(&mut self.memory.sums);
            stock.clear();
            stock.resize(count, untouched);
            let fits = self.follow_store(index, measure, first, last, untouched, &mut stock, count == 1 && members > 1);
            self.memory.sums = stock;
            if fits || members == 1 {
                return fits;
            }
        }
        false
    }

    fn follow_store(
        &mut self,
        index: usize,
        measure: usize,
        first: usize,
        last: usize,
        mut untouched: f64,
        stock: &mut [f64],
        as_if_most: bool,
    ) -> bool {
        let store = &self.limits.stores[index];
        let to_keep = members_to_keep(self.limits.keep, stock.len());
        for day in first..self.limits.days {
            for position in 0..self.caught.len() {
                let catch = self.caught[position];
                if catch.day == day && as_if_most {
                    stock[0] += catch.share * self.amounts(measure, catch).most;
                } else if catch.day == day {
                    self.add_amounts(measure, catch, stock);
                }
            }
            let room = on_day(&store.room_lb, day, f64::INFINITY).max(untouched);
            if stock.iter().filter(|&&stock| within(stock, room)).count() < to_keep {
                return false;
            }
            let offtake = on_day(&store.offtake_lb, day, 0.0);
            stock.iter_mut().for_each(|stock| *stock = (*stock - offtake).max(0.0));
            untouched = (untouched - offtake).max(0.0);
            if day >= last && stock.iter().all(|&stock| stock <= untouched) {
                break;
            }
        }
        true
    }

    /// Members that are told apart: one when every amount is a summary.
    fn count(&self) -> usize {
        let told_apart = self.tables.pounds_lb.iter().any(|table| table.members() > 1)
            || self.tables.extra_hand_hours.as_ref().is_some_and(|table| table.members() > 1);
        if told_apart { self.members.len() } else { 1 }
    }

    fn add_amounts(&mut self, measure: usize, catch: &Catch, sums: &mut [f64]) {
        let cell = self.amounts(measure, catch);
        let amounts = &self.memory.amounts[cell.at..cell.at + cell.count];
        for (sum, amount) in sums.iter_mut().zip(amounts) {
            *sum += catch.share * amount;
        }
    }

    /// The amounts of a whole row on a day, by member; worked out when first asked for.
    fn amounts(&mut self, measure: usize, catch: &Catch) -> Amounts {
        let index = (measure * self.choices.rows + catch.row) * self.limits.days + catch.day;
        if self.memory.cells[index].round == self.memory.round {
            return self.memory.cells[index];
        }
        let count = self.count();
        let Measure { per_lb, takes_extra_hours } = self.memory.measures[measure];
        let at = self.memory.amounts.len();
        self.memory.amounts.resize(at + count, 0.0);
        let amounts = &mut self.memory.amounts[at..];
        let streams = self.tables.pounds_lb.iter().zip(per_lb);
        let extra = self.tables.extra_hand_hours.iter().filter(|_| takes_extra_hours).map(|table| (table, 1.0));
        for (table, per_lb) in streams.filter(|(_, per_lb)| *per_lb != 0.0).chain(extra) {
            for (amount, &member) in amounts.iter_mut().zip(self.members) {
                *amount += per_lb * table.at(catch.row, catch.day, member);
            }
        }
        let most = amounts.iter().copied().fold(0.0, f64::max);
        let cell = Amounts { round: self.memory.round, at, count, most };
        self.memory.cells[index] = cell;
        cell
    }

    /// The mean of the smallest amounts of a row on a day, over as many members as must keep a limit: over any members that
    /// keep it, the row's mean is at least this, so these means add up to no more than the limit.
    pub fn low_mean(&mut self, limit: usize, catch: &Catch) -> f64 {
        let measure = self.memory.measure_of[limit];
        let cell = self.amounts(measure, catch);
        let mut sums = std::mem::take(&mut self.memory.sums);
        sums.clear();
        sums.extend_from_slice(&self.memory.amounts[cell.at..cell.at + cell.count]);
        sums.sort_by(f64::total_cmp);
        let to_keep = members_to_keep(self.limits.keep, sums.len());
        let mean = sums[..to_keep].iter().sum::<f64>() / to_keep.max(1) as f64;
        self.memory.sums = sums;
        mean
    }
}
