//! Every job that each pond could be given, were it alone on the farm.
//!
//! Only the latest allowed start of each way and taking is listed. An earlier start of the same job holds gear, burns fuel
//! and lets out water over a span that contains the later one's, and brings no more, so some best schedule has none.

use crate::limits::{Limits, Notice, NoticeKind, PondLimits, Way, on_day, within};
use crate::schedule::{Catch, Job, Take, catches_of, first_hour};
use crate::tables::PartRows;

use super::score;

/// One job of one pond, in the form the search reads.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Choice {
    pub way: u16,
    pub exposure: u16,
    pub start_hour: i32,
    pub end_hour: i32,
    /// Hour of its first work.
    pub first_hour: i32,
    /// What is caught: indices into [`Choices::slots`].
    pub slots: [u32; 2],
    /// Cost of the way, in money steps.
    pub cost_steps: f64,
    pub order: i64,
}

/// No second slot.
pub(crate) const NONE: u32 = u32::MAX;

impl Choice {
    /// One slot or two.
    pub fn slots(&self) -> impl Iterator<Item = usize> + Clone + use<> {
        let [first, second] = self.slots;
        std::iter::once(first as usize).chain((second != NONE).then_some(second as usize))
    }
}

/// What a way holds while it runs.
#[derive(Debug, Clone)]
pub(crate) struct WayUse {
    /// Gear index and amount, each gear once.
    pub gear: Vec<(usize, f64)>,
    pub fuel_per_hour: f64,
}

/// All jobs that stand by themselves under some limits. Made once, used for any worth.
#[derive(Debug, Clone)]
pub struct Choices<'a> {
    pub(crate) limits: &'a Limits,
    /// By pond.
    pub(crate) of: Vec<Vec<Choice>>,
    /// By pond and way.
    pub(crate) ways: Vec<Vec<WayUse>>,
    pub(crate) slots: Vec<Catch>,
    pub(crate) rows: usize,
    parts: Vec<Option<PartRows>>,
    /// The hours that matter for gear: from the earliest start still to be decided (or midnight of day 0) to the last end.
    first_hour: i32,
    last_hour: i32,
}

impl<'a> Choices<'a> {
    /// All jobs under `limits`; `parts` and `rows` as in the tables that will be used.
    pub fn new(limits: &'a Limits, parts: &[Option<PartRows>], rows: usize) -> Choices<'a> {
        let (of, ways, slots) = (Vec::new(), Vec::new(), Vec::new());
        let mut choices = Choices { limits, of, ways, slots, rows, parts: parts.to_vec(), first_hour: 0, last_hour: 0 };
        for pond in 0..limits.ponds.len() {
            choices.ways.push(limits.ponds[pond].ways.iter().map(way_use).collect());
            let list = choices.list(pond);
            for choice in &list {
                // What started before now and still runs is all held at once in the first of these hours.
                if limits.ponds[pond].started.is_none() {
                    choices.first_hour = choices.first_hour.min(choice.start_hour);
                }
                choices.last_hour = choices.last_hour.max(choice.end_hour);
            }
            choices.of.push(list);
        }
        choices
    }

    /// Number of hours that matter for gear.
    pub(crate) fn hours(&self) -> usize {
        (self.last_hour - self.first_hour) as usize
    }

    /// A job's span in a list by gear and hour.
    pub(crate) fn span(&self, gear: usize, choice: &Choice) -> std::ops::Range<usize> {
        let at = |hour: i32| gear * self.hours() + (hour - self.first_hour).max(0) as usize;
        at(choice.start_hour)..at(choice.end_hour)
    }

    /// How many jobs a pond has.
    pub fn count(&self, pond: usize) -> usize {
        self.of[pond].len()
    }

    /// All jobs of a pond, each allowed were the pond alone, but for a day's amounts, stores, orders, light and fuel.
    pub fn jobs(&self, pond: usize) -> impl Iterator<Item = Job> + '_ {
        (0..self.of[pond].len()).map(move |index| self.job(pond, index))
    }

    pub(crate) fn job(&self, pond: usize, index: usize) -> Job {
        let choice = &self.of[pond][index];
        let mut slots = choice.slots().map(|slot| self.slots[slot]);
        let first = slots.next().expect("a job catches something");
        let take = match slots.next() {
            None => Take::Whole { day: first.day },
            Some(second) if second.row != first.row => Take::LargeFirst { seine_day: first.day, day: second.day },
            Some(_) => Take::TwoDays { first_day: first.day, first_share: first.share },
        };
        let way = usize::from(choice.way);
        Job { pond, way, take, start_hour: choice.start_hour, end_hour: choice.end_hour }
    }

    fn list(&mut self, pond: usize) -> Vec<Choice> {
        let limits = self.limits;
        let its = &limits.ponds[pond];
        let days = limits.days;
        let open: Vec<bool> = (0..days).map(|day| catch_day_is_open(day, its, limits)).collect();
        let parts = self.parts[pond].map(|part| (part.large, part.rest));
        let mut slots = Slots::new(its, days);
        let mut list = Vec::new();
        for (rank, place, take) in takes(its, days, parts.is_some()) {
            let Some((first, second)) = catches_of(pond, take, limits, parts) else { continue };
            let is_open = open[first.day] && second.is_none_or(|second| open[second.day]);
            if !is_open || its.locked.is_some_and(|locked| locked.day != take.last_day()) {
                continue;
            }
            for (way_index, way) in its.ways.iter().enumerate() {
                let last = second.unwrap_or(first);
                let gear = &self.ways[pond][way_index].gear;
                let Some(job) = timed(pond, way_index, way, gear, take, &last, limits) else { continue };
                let first_slot = slots.of(first, place, &mut self.slots);
                let slots = [first_slot, second.map_or(NONE, |second| slots.of(second, place + 1, &mut self.slots))];
                list.push(Choice {
                    way: way_index as u16,
                    exposure: on_day(&its.exposure, take.first_low_day(), 0),
                    start_hour: job.start_hour,
                    end_hour: job.end_hour,
                    first_hour: first_hour(&job, limits),
                    slots,
                    cost_steps: score::to_steps(way.cost_coins),
                    order: score::order(limits.ponds.len(), pond, take.last_day(), 4 * rank + way_index.min(3)),
                });
            }
        }
        list
    }
}

/// Where the slots of one pond stand, by kind of catch and day, so that jobs with the same catch share one.
struct Slots {
    days: usize,
    index: Vec<u32>,
}

impl Slots {
    fn new(its: &PondLimits, days: usize) -> Slots {
        Slots { days, index: vec![NONE; (3 + 2 * its.first_day_shares.len()) * days] }
    }

    fn of(&mut self, catch: Catch, place: usize, all: &mut Vec<Catch>) -> u32 {
        let index = &mut self.index[place * self.days + catch.day];
        if *index == NONE {
            *index = all.len() as u32;
            all.push(catch);
        }
        *index
    }
}

/// Every taking of a pond with its rank (a whole day before two days before a seining) and the place of its catches' kinds.
fn takes(its: &PondLimits, days: usize, has_parts: bool) -> Vec<(usize, usize, Take)> {
    let mut takes: Vec<_> = (0..days).map(|day| (0, 0, Take::Whole { day })).collect();
    for (index, &first_share) in its.first_day_shares.iter().enumerate() {
        let place = 3 + 2 * index;
        takes.extend((0..days.saturating_sub(1)).map(|first_day| (1, place, Take::TwoDays { first_day, first_share })));
    }
    if let Some(seining) = its.seining.filter(|_| has_parts) {
        for day in 0..days {
            let gaps = seining.gap_days_least..=seining.gap_days_most.min(day);
            takes.extend(gaps.map(|gap| (2, 1, Take::LargeFirst { seine_day: day - gap, day })));
        }
    }
    takes
}

/// Whether a pond may be caught (or seined) on a day, were it alone.
fn catch_day_is_open(day: usize, its: &PondLimits, limits: &Limits) -> bool {
    let first_light = limits.first_light_hour(day);
    let too_soon = |notice: &Notice| notice.kind != NoticeKind::Gear && first_light < limits.now_hour + notice.hours;
    first_light >= limits.now_hour
        && on_day(&limits.workday, day, true)
        && !on_day(&its.closed, day, false)
        && within(limits.bank_chance_least, on_day(&its.bank_chance, day, 1.0))
        && (its.was_announced(day) || !limits.notices.iter().any(too_soon))
}

/// The job with its hours, when they are allowed.
fn timed(
    pond: usize,
    way_index: usize,
    way: &Way,
    gear: &[(usize, f64)],
    take: Take,
    last: &Catch,
    limits: &Limits,
) -> Option<Job> {
    let its = &limits.ponds[pond];
    let depth_by = limits.first_light_hour(take.first_low_day()) - way.lead_hours;
    let start_hour = match its.started {
        Some(started) if started.way != way_index || started.start_hour > depth_by => return None,
        Some(started) => started.start_hour,
        None => limits.latest_start(depth_by).filter(|&start| start >= limits.now_hour)?,
    };
    if its.locked.is_some_and(|locked| locked.way.is_some_and(|way| way != way_index)) {
        return None;
    }
    let end_hour = limits.first_light_hour(last.day) + last.catch_hours.ceil() as i32;
    if its.started.is_none() && !gear_is_there(gear, start_hour, end_hour, its.locked.is_some(), limits) {
        return None;
    }
    let flowing_from = start_hour.max(limits.now_hour).max(0) / 24;
    let flowing_to = (end_hour - 1).max(0) / 24;
    let is_free = |day: i32| within(limits.receiving_chance_least, on_day(&its.receiving_chance, day as usize, 1.0));
    let flows = its.receiving_chance.is_empty() || (flowing_from..=flowing_to).all(is_free);
    flows.then_some(Job { pond, way: way_index, take, start_hour, end_hour })
}

fn gear_is_there(gear: &[(usize, f64)], start_hour: i32, end_hour: i32, was_announced: bool, limits: &Limits) -> bool {
    gear.iter().all(|&(index, _)| {
        let Some(gear) = limits.gear.get(index) else { return false };
        let is_away = gear.away.iter().any(|&(from, to)| from < end_hour && start_hour < to);
        let short_notice = |notice: &Notice| {
            notice.kind == NoticeKind::Gear && notice.gear == Some(index) && start_hour < limits.now_hour + notice.hours
        };
        start_hour >= gear.from_hour && !is_away && (was_announced || !limits.notices.iter().any(short_notice))
    })
}

fn way_use(way: &Way) -> WayUse {
    let mut gear: Vec<(usize, f64)> = Vec::with_capacity(way.gear.len());
    for &(index, amount) in way.gear.iter().filter(|used| used.1 > 0.0) {
        match gear.iter_mut().find(|used| used.0 == index) {
            Some(used) => used.1 += amount,
            None => gear.push((index, amount)),
        }
    }
    WayUse { gear, fuel_per_hour: way.fuel_per_hour }
}
