//! Whether one more job fits beside those already placed: the search's quick form of the checker.
//!
//! Every limit only tightens as jobs are added, so a set that breaks one stays broken whatever is added: what does not fit
//! now never will, further down the same branch.

use crate::limits::{Limits, members_to_keep, on_day, within};
use crate::schedule::Catch;
use crate::tables::{STREAMS, Tables};

use super::choices::{Choice, Choices};

/// What trying one job costs, in looks.
const JOB_LOOKS: u64 = 16;

/// Where the amounts of one row on one day stand in [`Memory::amounts`], and their bounds over members.
#[derive(Debug, Clone, Copy, Default)]
struct Amounts {
    /// The round of [`Memory::round`] in which it was filled.
    round: u64,
    at: usize,
    count: usize,
    most: f64,
    /// Mean of the smallest, once asked for.
    low_mean: Option<f64>,
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
    /// By gear and hour, what the placed jobs hold.
    held: Vec<f64>,
    /// By day, fuel burnt by its end.
    burnt: Vec<f64>,
    /// By day, hours of light used and catches made.
    light: Vec<f64>,
    count: Vec<u32>,
    /// By limit and day (for an order: its first day), the sum of the most that any member needs.
    most: Vec<f64>,
}

fn zeroed(list: &mut Vec<f64>, length: usize) {
    list.clear();
    list.resize(length, 0.0);
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
    /// What has been looked at so far, in jobs tried and members gone through: the search's effort, the same on every machine.
    pub looks: u64,
}

/// The first day on which a job burns fuel that counts.
fn first_day(choice: &Choice) -> usize {
    (choice.start_hour.max(0) / 24) as usize
}

/// Fuel a job has burnt by the end of a day, from the first hour of day 0 on.
fn burnt_by(day: usize, choice: &Choice, per_hour: f64) -> f64 {
    let until = choice.end_hour.min(24 * (day as i32 + 1));
    f64::from((until - choice.start_hour.max(0)).max(0)) * per_hour
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
        let days = limits.days;
        zeroed(&mut memory.held, limits.gear.len() * choices.hours());
        zeroed(&mut memory.burnt, if limits.fuel.is_some() { days } else { 0 });
        zeroed(&mut memory.light, days);
        zeroed(&mut memory.most, memory.measure_of.len() * days);
        memory.count.clear();
        memory.count.resize(days, 0);
        let ponds = limits.ponds.len();
        Fit {
            choices,
            limits,
            tables,
            members,
            memory,
            placed: Vec::with_capacity(ponds),
            caught: Vec::with_capacity(2 * ponds),
            looks: 0,
        }
    }

    /// Places a job.
    pub fn place(&mut self, pond: usize, choice: &'a Choice) {
        let choices = self.choices;
        self.placed.push((pond, choice));
        self.caught.extend(choice.slots().map(|slot| &choices.slots[slot]));
        self.count_spans(pond, choice, 1.0);
        self.count_amounts(choice, 1.0);
    }

    /// Takes back the job placed last.
    pub fn take_back(&mut self) {
        let (pond, choice) = self.placed.pop().expect("a job was placed");
        self.count_spans(pond, choice, -1.0);
        self.count_amounts(choice, -1.0);
        let left = self.caught.len() - choice.slots().count();
        self.caught.truncate(left);
    }

    /// Takes back everything.
    pub fn clear(&mut self) {
        while !self.placed.is_empty() {
            self.take_back();
        }
    }

    /// Adds a job's gear, fuel and light to the running sums, or takes them off. What adding and taking off may leave behind is
    /// far below the part in a million that limits let pass.
    fn count_spans(&mut self, pond: usize, choice: &Choice, sign: f64) {
        let way = &self.choices.ways[pond][usize::from(choice.way)];
        for &(gear, amount) in &way.gear {
            let span = self.choices.span(gear, choice);
            self.memory.held[span].iter_mut().for_each(|held| *held += sign * amount);
        }
        if !self.memory.burnt.is_empty() && way.fuel_per_hour > 0.0 {
            for day in first_day(choice)..self.limits.days {
                self.memory.burnt[day] += sign * burnt_by(day, choice, way.fuel_per_hour);
            }
        }
        for slot in choice.slots() {
            let catch = &self.choices.slots[slot];
            self.memory.light[catch.day] += sign * catch.catch_hours;
            self.memory.count[catch.day] = self.memory.count[catch.day].wrapping_add_signed(sign as i32);
        }
    }

    /// The same for pounds, hands, ice, stores and orders.
    fn count_amounts(&mut self, choice: &Choice, sign: f64) {
        for slot in choice.slots() {
            let catch = &self.choices.slots[slot];
            for limit in 0..self.memory.measure_of.len() {
                let most = sign * self.most(limit, catch);
                if let Some(cell) = self.most_cell(limit, catch.day) {
                    self.memory.most[cell] += most;
                }
            }
        }
    }

    /// The most that any member needs of a limit for a catch.
    fn most(&mut self, limit: usize, catch: &Catch) -> f64 {
        let per_catch = self.limits.day_limits.get(limit).map_or(0.0, |limit| limit.per_catch);
        let measure = self.memory.measure_of[limit];
        catch.share * self.amounts(measure, catch).most + catch.catch_share * per_catch
    }

    /// Where the running sum of a limit for a catch on a day is kept; none when the limit does not reach that day.
    fn most_cell(&self, limit: usize, day: usize) -> Option<usize> {
        let orders_from = self.limits.day_limits.len() + self.limits.stores.len();
        let day = match limit.checked_sub(orders_from).map(|order| &self.limits.orders[order]) {
            Some(order) if day < order.from_day || order.to_day < day => return None,
            Some(_) => 0,
            None => day,
        };
        Some(limit * self.limits.days + day)
    }

    /// Whether the job fits beside those placed.
    pub fn joins(&mut self, pond: usize, choice: &'a Choice) -> bool {
        self.looks += JOB_LOOKS;
        let way = &self.choices.ways[pond][usize::from(choice.way)];
        let gear_fits = way.gear.iter().all(|&(gear, amount)| {
            let have = self.limits.gear[gear].amount;
            self.memory.held[self.choices.span(gear, choice)].iter().all(|held| within(held + amount, have))
        });
        if !gear_fits || !self.fuel_fits(choice, way.fuel_per_hour) || !self.light_fits(choice) {
            return false;
        }
        let choices = self.choices;
        let caught_before = self.caught.len();
        self.caught.extend(choice.slots().map(|slot| &choices.slots[slot]));
        self.count_amounts(choice, 1.0);
        let fits = choice.slots().all(|slot| self.amounts_fit(choices.slots[slot].day))
            && self.orders_fit(choice)
            && (0..self.limits.stores.len()).all(|index| self.store_fits(index));
        self.count_amounts(choice, -1.0);
        self.caught.truncate(caught_before);
        fits
    }

    fn fuel_fits(&self, choice: &Choice, per_hour: f64) -> bool {
        let Some(fuel) = self.limits.fuel.filter(|_| per_hour > 0.0) else { return true };
        (first_day(choice)..self.limits.days).all(|day| {
            let burnt = self.memory.burnt[day] + burnt_by(day, choice, per_hour);
            within(burnt, fuel.in_store + fuel.per_day * (day as f64 + 1.0))
        })
    }

    fn light_fits(&self, choice: &Choice) -> bool {
        let limits = self.limits;
        let mut catches = choice.slots().map(|slot| &self.choices.slots[slot]);
        let both_on_one_day = choice.slots().map(|slot| self.choices.slots[slot].day).min()
            == choice.slots().map(|slot| self.choices.slots[slot].day).max();
        let hours: f64 = catches.clone().map(|catch| catch.catch_hours).sum();
        let count = catches.clone().count() as u32;
        catches.all(|catch| {
            let (hours, count) = if both_on_one_day { (hours, count) } else { (catch.catch_hours, 1) };
            let light = on_day(&limits.daylight_hours, catch.day, f64::INFINITY);
            within(self.memory.light[catch.day] + hours, light)
                && limits.catches_per_day.is_none_or(|most| self.memory.count[catch.day] + count <= most)
        })
    }

    fn amounts_fit(&mut self, day: usize) -> bool {
        let limits = self.limits;
        (0..limits.day_limits.len()).all(|index| {
            let have = on_day(&limits.day_limits[index].amount, day, f64::INFINITY);
            within(self.memory.most[index * limits.days + day], have) || self.sum_is_kept(index, day, day, have)
        })
    }

    fn orders_fit(&mut self, choice: &Choice) -> bool {
        let limits = self.limits;
        let offset = limits.day_limits.len() + limits.stores.len();
        limits.orders.iter().enumerate().all(|(index, order)| {
            let mut days = choice.slots().map(|slot| self.choices.slots[slot].day);
            !days.any(|day| order.from_day <= day && day <= order.to_day)
                || within(self.memory.most[(offset + index) * limits.days], order.ceiling_lb)
                || self.sum_is_kept(offset + index, order.from_day, order.to_day, order.ceiling_lb)
        })
    }

    /// Whether enough members stay within `have`, summed over what is caught from one day to another.
    fn sum_is_kept(&mut self, limit: usize, from: usize, to: usize, have: f64) -> bool {
        let count = self.count();
        if count == 1 {
            // The running sum was the sum.
            return false;
        }
        let measure = self.memory.measure_of[limit];
        let per_catch = self.limits.day_limits.get(limit).map_or(0.0, |limit| limit.per_catch);
        let mut sums = std::mem::take(&mut self.memory.sums);
        sums.clear();
        sums.resize(count, 0.0);
        for index in 0..self.caught.len() {
            let catch = self.caught[index];
            if from <= catch.day && catch.day <= to {
                self.add_amounts(measure, catch, &mut sums);
                sums.iter_mut().for_each(|sum| *sum += catch.catch_share * per_catch);
            }
        }
        let kept = sums.iter().filter(|&&sum| within(sum, have)).count();
        self.memory.sums = sums;
        kept >= members_to_keep(self.limits.keep, count)
    }

    fn store_fits(&mut self, index: usize) -> bool {
        let first = self.caught.iter().map(|catch| catch.day).min().unwrap_or(0);
        let last = self.caught.iter().map(|catch| catch.day).max().unwrap_or(0);
        let store = &self.limits.stores[index];
        let mut untouched = store.at_start_lb;
        for day in 0..first {
            untouched = (untouched - on_day(&store.offtake_lb, day, 0.0)).max(0.0);
        }
        if self.store_fits_the_most(index, first, last, untouched) {
            return true;
        }
        self.count() > 1 && self.store_fits_members(index, first, last, untouched)
    }

    /// As if every member caught the most that any does.
    fn store_fits_the_most(&self, index: usize, first: usize, last: usize, mut untouched: f64) -> bool {
        let store = &self.limits.stores[index];
        let arrivals =
            &self.memory.most[(self.limits.day_limits.len() + index) * self.limits.days..][..self.limits.days];
        let mut stock = untouched;
        for (day, arrival) in arrivals.iter().enumerate().skip(first) {
            stock += arrival;
            if !within(stock, on_day(&store.room_lb, day, f64::INFINITY).max(untouched)) {
                return false;
            }
            let offtake = on_day(&store.offtake_lb, day, 0.0);
            (stock, untouched) = ((stock - offtake).max(0.0), (untouched - offtake).max(0.0));
            if day >= last && stock <= untouched {
                break;
            }
        }
        true
    }

    fn store_fits_members(&mut self, index: usize, first: usize, last: usize, mut untouched: f64) -> bool {
        let store = &self.limits.stores[index];
        let measure = self.memory.measure_of[self.limits.day_limits.len() + index];
        let to_keep = members_to_keep(self.limits.keep, self.members.len());
        let mut stock = std::mem::take(&mut self.memory.sums);
        stock.clear();
        stock.resize(self.members.len(), untouched);
        let mut fits = true;
        for day in first..self.limits.days {
            for position in 0..self.caught.len() {
                let catch = self.caught[position];
                if catch.day == day {
                    self.add_amounts(measure, catch, &mut stock);
                }
            }
            let room = on_day(&store.room_lb, day, f64::INFINITY).max(untouched);
            fits = stock.iter().filter(|&&stock| within(stock, room)).count() >= to_keep;
            let offtake = on_day(&store.offtake_lb, day, 0.0);
            stock.iter_mut().for_each(|stock| *stock = (*stock - offtake).max(0.0));
            untouched = (untouched - offtake).max(0.0);
            if !fits || (day >= last && stock.iter().all(|&stock| stock <= untouched)) {
                break;
            }
        }
        self.memory.sums = stock;
        fits
    }

    /// Members that are told apart: one when every amount is a summary.
    fn count(&self) -> usize {
        let told_apart = self.tables.pounds_lb.iter().any(|table| table.members() > 1)
            || self.tables.extra_hand_hours.as_ref().is_some_and(|table| table.members() > 1);
        if told_apart { self.members.len() } else { 1 }
    }

    fn add_amounts(&mut self, measure: usize, catch: &Catch, sums: &mut [f64]) {
        let cell = self.amounts(measure, catch);
        self.looks += cell.count as u64;
        let amounts = &self.memory.amounts[cell.at..cell.at + cell.count];
        for (sum, amount) in sums.iter_mut().zip(amounts) {
            *sum += catch.share * amount;
        }
    }

    fn cell(&self, measure: usize, catch: &Catch) -> usize {
        (measure * self.choices.rows + catch.row) * self.limits.days + catch.day
    }

    /// The amounts of a whole row on a day, by member; worked out when first asked for.
    fn amounts(&mut self, measure: usize, catch: &Catch) -> Amounts {
        let index = self.cell(measure, catch);
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
        let cell = Amounts { round: self.memory.round, at, count, most, low_mean: None };
        self.memory.cells[index] = cell;
        cell
    }

    /// The mean of the smallest amounts of a row on a day, over as many members as must keep a limit: over any members that
    /// keep it, the row's mean is at least this, so these means add up to no more than the limit.
    pub fn low_mean(&mut self, limit: usize, catch: &Catch) -> f64 {
        let measure = self.memory.measure_of[limit];
        let cell = self.amounts(measure, catch);
        if let Some(mean) = cell.low_mean {
            return mean;
        }
        let mut sums = std::mem::take(&mut self.memory.sums);
        sums.clear();
        sums.extend_from_slice(&self.memory.amounts[cell.at..cell.at + cell.count]);
        let to_keep = members_to_keep(self.limits.keep, sums.len());
        if to_keep < sums.len() {
            sums.select_nth_unstable_by(to_keep, f64::total_cmp);
        }
        let mean = sums[..to_keep].iter().sum::<f64>() / to_keep.max(1) as f64;
        self.memory.sums = sums;
        let index = self.cell(measure, catch);
        self.memory.cells[index].low_mean = Some(mean);
        mean
    }
}
