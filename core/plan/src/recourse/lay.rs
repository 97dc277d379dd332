//! From limits to a board: every job as an opening, every shared thing as a slot.
//!
//! Gear is counted at the hours at which some job could start with it, which is where a conflict begins. A day's amounts are
//! taken pond by pond at the level that the limits ask members to keep; for ponds that grow alike their sum is the level of
//! the sum. Stores and fuel are bounded over spans of days. The dates that are shown are checked against the limits in full.

use crate::dates::Choices;
use crate::limits::{Limits, NoticeKind, Store, members_to_keep, on_day};
use crate::schedule::{Job, Schedule, Take};
use crate::tables::{Grid, STREAMS, Tables};

use super::board::{Board, Lattice, Opening};

/// A board with the jobs behind its openings.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    pub board: Board,
    pub lattice: Lattice,
    /// The job of each opening; `None` where a pond that may stay is given up.
    pub jobs: Vec<Option<Job>>,
    /// Jobs that are no longer a choice: water already going down.
    pub given: Vec<Job>,
    /// Ponds of which no job is left.
    pub stranded: Vec<usize>,
}

/// Spans of days over which stores are bounded.
const STORE_SPAN_DAYS: usize = 7;

/// Lays the board; `fixed` settles running jobs, the order of many ponds, and which ponds are looked at in parts.
pub(crate) fn lay(
    tables: &Tables,
    limits: &Limits,
    choices: &Choices,
    fixed: &Schedule,
    mornings: usize,
    positions_most: usize,
) -> Laid {
    let mut laid = Openings { limits, mornings, openings: Vec::new(), jobs: Vec::new() };
    let mut given = Vec::new();
    let mut stranded = Vec::new();
    let mut full = Vec::new();
    for (pond, its) in limits.ponds.iter().enumerate() {
        let planned = fixed.jobs.get(pond).copied().flatten();
        if its.started.is_some() {
            // Running jobs are settled by the exact dates: where not all can end within the limits, those leave the fewest.
            match planned {
                Some(job) => given.push(job),
                None => stranded.push(pond),
            }
            continue;
        }
        match laid.pond(pond, choices, planned) {
            0 if its.left_coins.is_none() => stranded.push(pond),
            _ => full.push(pond),
        }
    }
    let Openings { openings, jobs, .. } = laid;
    let mut slots = Slots { tables, limits, room: Vec::new(), takes: vec![Vec::new(); openings.len() + given.len()] };
    let all: Vec<Option<Job>> = jobs.iter().copied().chain(given.iter().copied().map(Some)).collect();
    slots.fill(&all);
    slots.make_room_for(fixed, &all);
    let taken = slots.takes.split_off(openings.len()).into_iter().flatten().collect::<Vec<_>>();
    let mut order = full.clone();
    let first = |pond: &usize| fixed.jobs.get(*pond).copied().flatten().map_or(i32::MAX, |job| job.start_hour);
    order.sort_by_key(|pond| (first(pond), *pond));
    let mut board = Board {
        ponds: limits.ponds.len(),
        mornings,
        openings: openings.into_iter().zip(slots.takes).map(|(opening, takes)| Opening { takes, ..opening }).collect(),
        room: slots.room,
        taken: summed(taken),
        full,
        order,
        window: 6,
    };
    board.drop_idle_slots();
    let lattice = loop {
        if let Some(lattice) = board.lattice_within(positions_most) {
            break lattice;
        }
        if board.window == 1 {
            break board.lattice();
        }
        board.window -= 1;
    };
    Laid { board, lattice, jobs, given, stranded }
}

fn summed(mut takes: Vec<(u32, f64)>) -> Vec<(u32, f64)> {
    takes.sort_by_key(|take| take.0);
    takes.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    takes
}

struct Openings<'a> {
    limits: &'a Limits,
    mornings: usize,
    openings: Vec<Opening>,
    jobs: Vec<Option<Job>>,
}

impl Openings<'_> {
    /// Adds a pond's openings and returns how many jobs it has.
    fn pond(&mut self, pond: usize, choices: &Choices, planned: Option<Job>) -> usize {
        let before = self.jobs.len();
        let has_whole = choices.jobs(pond).any(|job| matches!(job.take, Take::Whole { .. }));
        for job in choices.jobs(pond).filter(|job| is_looked_at(job.take, planned, has_whole)) {
            let Some(morning) = self.morning(&job) else { continue };
            let catch_day = job.take.last_day();
            self.openings.push(Opening { pond, morning, start_hour: job.start_hour, catch_day, takes: Vec::new() });
            self.jobs.push(Some(job));
        }
        let count = self.jobs.len() - before;
        if self.limits.ponds[pond].left_coins.is_some() {
            let morning = self.mornings - 1;
            let start_hour = self.limits.now_hour + 24 * morning as i32;
            self.openings.push(Opening { pond, morning, start_hour, catch_day: self.limits.days, takes: Vec::new() });
            self.jobs.push(None);
        }
        count
    }

    /// The last morning on which a job can still be decided.
    fn morning(&self, job: &Job) -> Option<usize> {
        let morning = usize::try_from((decide_by_hour(self.limits, job) - self.limits.now_hour).div_euclid(24)).ok()?;
        (morning < self.mornings).then_some(morning)
    }
}

/// The last hour at which a job can still be decided: before its first work, and early enough for those who need warning.
pub(crate) fn decide_by_hour(limits: &Limits, job: &Job) -> i32 {
    let first = crate::schedule::first_hour(job, limits);
    if limits.ponds[job.pond].locked.is_some() {
        return first;
    }
    let uses =
        |gear: usize| job.way_in(limits).is_some_and(|way| way.gear.iter().any(|used| used.0 == gear && used.1 > 0.0));
    let was_announced = limits.ponds[job.pond].was_announced(first_catch_day(job.take));
    let asked = limits.notices.iter().filter_map(|notice| match notice.kind {
        NoticeKind::Gear => notice.gear.is_some_and(uses).then_some(job.start_hour - notice.hours),
        _ if was_announced => None,
        _ => Some(limits.first_light_hour(first_catch_day(job.take)) - notice.hours),
    });
    asked.fold(first, i32::min)
}

fn first_catch_day(take: Take) -> usize {
    match take {
        Take::Whole { day } => day,
        Take::TwoDays { first_day, .. } => first_day,
        Take::LargeFirst { seine_day, .. } => seine_day,
    }
}

/// Whole days always; parts only as the fixed plan has them, or when a whole day is never possible.
fn is_looked_at(take: Take, planned: Option<Job>, has_whole: bool) -> bool {
    match (take, planned.map(|job| job.take)) {
        (Take::Whole { .. }, _) => true,
        (Take::TwoDays { first_share, .. }, Some(Take::TwoDays { first_share: share, .. })) => first_share == share,
        (Take::LargeFirst { seine_day, day }, Some(Take::LargeFirst { seine_day: seine, day: last })) => {
            day - seine_day == last - seine
        }
        _ => !has_whole,
    }
}

struct Slots<'a> {
    tables: &'a Tables,
    limits: &'a Limits,
    room: Vec<f64>,
    takes: Vec<Vec<(u32, f64)>>,
}

impl Slots<'_> {
    fn fill(&mut self, jobs: &[Option<Job>]) {
        let limits = self.limits;
        let keep_level = |grid: &Grid<f64>, row: usize, day: usize| level(grid.of(row, day), limits.keep);
        if let Some(most) = limits.catches_per_day {
            self.by_day(jobs, &|_| f64::from(most), &|_, _, _, _, _| 1.0);
        }
        if !limits.daylight_hours.is_empty() {
            self.by_day(jobs, &|day| on_day(&limits.daylight_hours, day, f64::INFINITY), &|_, _, _, _, hours| hours);
        }
        for limit in limits.day_limits.iter().filter(|limit| !limit.amount.is_empty()) {
            let tables = self.tables;
            self.by_day(jobs, &|day| on_day(&limit.amount, day, f64::INFINITY), &|row, day, share, catches, _| {
                let mut amount = limit.per_catch * catches;
                for stream in (0..STREAMS).filter(|&stream| limit.per_lb[stream] != 0.0) {
                    amount += limit.per_lb[stream] * share * keep_level(&tables.pounds_lb[stream], row, day);
                }
                if let Some(extra) = tables.extra_hand_hours.as_ref().filter(|_| limit.takes_extra_hours) {
                    amount += share * keep_level(extra, row, day);
                }
                amount
            });
        }
        self.gear(jobs);
        self.fuel(jobs);
        for store in &limits.stores {
            self.store(jobs, store);
        }
        for order in &limits.orders {
            self.span(jobs, order.from_day, order.to_day, order.ceiling_lb, &order.per_lb);
        }
    }

    /// Amounts are reckoned a little too high by taking every pond's level; what the exact dates take is known to fit.
    fn make_room_for(&mut self, fixed: &Schedule, jobs: &[Option<Job>]) {
        let mut used = vec![0.0; self.room.len()];
        for (takes, job) in self.takes.iter().zip(jobs) {
            if job.is_none_or(|job| fixed.jobs[job.pond] != Some(job)) {
                continue;
            }
            takes.iter().for_each(|&(slot, amount)| used[slot as usize] += amount);
        }
        self.room.iter_mut().zip(&used).for_each(|(room, used)| *room = room.max(*used));
    }

    fn slot(&mut self, room: f64) -> u32 {
        self.room.push(room);
        self.room.len() as u32 - 1
    }

    /// One slot for each day; `amount` is asked by row, day, share, share in hours, and hours.
    fn by_day(
        &mut self,
        jobs: &[Option<Job>],
        room: &dyn Fn(usize) -> f64,
        amount: &dyn Fn(usize, usize, f64, f64, f64) -> f64,
    ) {
        let from = self.room.len() as u32;
        (0..self.limits.days).for_each(|day| {
            self.slot(room(day));
        });
        for (index, job) in jobs.iter().enumerate() {
            let Some((first, second)) = job.and_then(|job| job.catches(self.limits, self.tables)) else { continue };
            for catch in std::iter::once(first).chain(second) {
                let taken = amount(catch.row, catch.day, catch.share, catch.catch_share, catch.catch_hours);
                self.takes[index].push((from + catch.day as u32, taken));
            }
        }
    }

    fn gear(&mut self, jobs: &[Option<Job>]) {
        for gear in 0..self.limits.gear.len() {
            let uses = |job: &Job| {
                let way = job.way_in(self.limits)?;
                let amount: f64 = way.gear.iter().filter(|used| used.0 == gear).map(|used| used.1).sum();
                (amount > 0.0).then_some((job.start_hour, job.end_hour, amount))
            };
            let spans: Vec<_> = jobs.iter().map(|job| job.as_ref().and_then(uses)).collect();
            let mut hours: Vec<i32> = spans.iter().flatten().map(|span| span.0).collect();
            hours.sort_unstable();
            hours.dedup();
            let from = self.room.len() as u32;
            let amount = self.limits.gear[gear].amount;
            hours.iter().for_each(|_| {
                self.slot(amount);
            });
            for (index, span) in spans.iter().enumerate() {
                let Some((start, end, amount)) = span else { continue };
                let begins = hours.partition_point(|hour| hour < start);
                let ends = hours.partition_point(|hour| hour < end);
                self.takes[index].extend((begins..ends).map(|at| (from + at as u32, *amount)));
            }
        }
    }

    fn fuel(&mut self, jobs: &[Option<Job>]) {
        let Some(fuel) = self.limits.fuel else { return };
        let from = self.room.len() as u32;
        for day in 0..self.limits.days {
            self.slot(fuel.in_store + fuel.per_day * (day + 1) as f64);
        }
        for (index, job) in jobs.iter().enumerate() {
            let Some(job) = job else { continue };
            let per_hour = job.way_in(self.limits).map_or(0.0, |way| way.fuel_per_hour);
            if per_hour <= 0.0 {
                continue;
            }
            for day in (job.start_hour.max(0) / 24) as usize..self.limits.days {
                let until = job.end_hour.min(24 * (day as i32 + 1));
                let burnt = per_hour * f64::from((until - job.start_hour.max(self.limits.now_hour)).max(0));
                self.takes[index].push((from + day as u32, burnt));
            }
        }
    }

    fn store(&mut self, jobs: &[Option<Job>], store: &Store) {
        for last in 0..self.limits.days {
            let mut room = on_day(&store.room_lb, last, f64::INFINITY);
            for span in 0..STORE_SPAN_DAYS.min(last + 1) {
                let first = last - span;
                if span > 0 {
                    room += on_day(&store.offtake_lb, first, 0.0);
                }
                let held = if first == 0 { store.at_start_lb } else { 0.0 };
                self.span(jobs, first, last, (room - held).max(0.0), &store.per_lb);
            }
        }
    }

    fn span(&mut self, jobs: &[Option<Job>], first: usize, last: usize, room: f64, per_lb: &[f64; STREAMS]) {
        let slot = self.slot(room);
        for (index, job) in jobs.iter().enumerate() {
            let Some((a, b)) = job.and_then(|job| job.catches(self.limits, self.tables)) else { continue };
            let mut amount = 0.0;
            for catch in std::iter::once(a).chain(b).filter(|catch| (first..=last).contains(&catch.day)) {
                for stream in (0..STREAMS).filter(|&stream| per_lb[stream] != 0.0) {
                    let pounds = level(self.tables.pounds_lb[stream].of(catch.row, catch.day), self.limits.keep);
                    amount += per_lb[stream] * catch.share * pounds;
                }
            }
            if amount > 0.0 {
                self.takes[index].push((slot, amount));
            }
        }
    }
}

/// The amount within which the asked share of members stays.
fn level(members: &[f64], keep: f64) -> f64 {
    if members.len() == 1 {
        return members[0];
    }
    let mut sorted = members.to_vec();
    let at = members_to_keep(keep, sorted.len()).max(1) - 1;
    *sorted.select_nth_unstable_by(at, f64::total_cmp).1
}
