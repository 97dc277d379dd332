//! A harvest as a commitment: when the water starts down, which way, and on which days the pond is caught.

use crate::limits::{Limits, Way};
use crate::tables::Tables;

/// How a pond's animals are taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Take {
    /// All on one day.
    Whole {
        /// The day.
        day: usize,
    },
    /// On two days that follow each other.
    TwoDays {
        /// The first of them.
        first_day: usize,
        /// Share taken on it, strictly between 0 and 1.
        first_share: f64,
    },
    /// The large animals seined from the full pond, the rest when it is emptied.
    LargeFirst {
        /// Day of the seining.
        seine_day: usize,
        /// Day on which the pond is emptied.
        day: usize,
    },
}

impl Take {
    /// The day on which the pond is empty.
    pub fn last_day(self) -> usize {
        match self {
            Take::Whole { day } | Take::LargeFirst { day, .. } => day,
            Take::TwoDays { first_day, .. } => first_day + 1,
        }
    }
    /// The first day on which the pond stands at catch depth: its water was full until the start before it.
    pub fn first_low_day(self) -> usize {
        match self {
            Take::Whole { day } | Take::LargeFirst { day, .. } => day,
            Take::TwoDays { first_day, .. } => first_day,
        }
    }
}

/// One pond's harvest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Job {
    /// Index of the pond.
    pub pond: usize,
    /// Index into the pond's ways.
    pub way: usize,
    /// How it is taken.
    pub take: Take,
    /// Hour at which the drain opens or the pump starts.
    pub start_hour: i32,
    /// Hour at which the last basket is out and its gear is free, not included.
    pub end_hour: i32,
}

/// A share of a table row that is caught on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Catch {
    /// Row of the tables.
    pub row: usize,
    /// The day.
    pub day: usize,
    /// Share of the row, above 0 and at most 1.
    pub share: f64,
    /// Share of a catch it counts for in hours: 1 for a seining.
    pub catch_share: f64,
    /// Hours of daylight it takes.
    pub catch_hours: f64,
}

impl Job {
    /// What is caught and when: one catch or two. `None` when the pond has no such parts.
    pub fn catches(&self, limits: &Limits, tables: &Tables) -> Option<(Catch, Option<Catch>)> {
        let parts = tables.parts.get(self.pond).copied().flatten().map(|part| (part.large, part.rest));
        catches_of(self.pond, self.take, limits, parts)
    }

    /// The way its water goes down; `None` when the pond has no such way.
    pub fn way_in<'a>(&self, limits: &'a Limits) -> Option<&'a Way> {
        limits.ponds.get(self.pond)?.ways.get(self.way)
    }
}

/// What a pond taken so yields, with the rows (large, rest) of its parts.
pub(crate) fn catches_of(
    pond: usize,
    take: Take,
    limits: &Limits,
    parts: Option<(usize, usize)>,
) -> Option<(Catch, Option<Catch>)> {
    let its = limits.ponds.get(pond)?;
    let of =
        |row, day, share: f64, hours: f64| Catch { row, day, share, catch_share: share, catch_hours: share * hours };
    Some(match take {
        Take::Whole { day } => (of(pond, day, 1.0, its.catch_hours), None),
        Take::TwoDays { first_day, first_share } => (
            of(pond, first_day, first_share, its.catch_hours),
            Some(of(pond, first_day + 1, 1.0 - first_share, its.catch_hours)),
        ),
        Take::LargeFirst { seine_day, day } => {
            let (large, rest) = parts?;
            let seining = its.seining?;
            (of(large, seine_day, 1.0, seining.catch_hours), Some(of(rest, day, 1.0, its.catch_hours)))
        }
    })
}

/// Jobs for all ponds; `None` for a pond that is not taken.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Schedule {
    /// By pond.
    pub jobs: Vec<Option<Job>>,
}

impl Schedule {
    /// A schedule that takes nothing.
    pub fn empty(ponds: usize) -> Schedule {
        Schedule { jobs: vec![None; ponds] }
    }

    /// What is done first: the pond whose water goes down (or is seined) first, and the hour; the lower pond when two start
    /// together. Ponds already going down do not count: nothing is left to decide about their start.
    pub fn first_act(&self, limits: &Limits) -> Option<FirstAct> {
        let acts = self.jobs.iter().flatten().filter(|job| limits.ponds[job.pond].started.is_none());
        acts.map(|job| FirstAct { hour: first_hour(job, limits), pond: job.pond }).min()
    }

    /// What the schedule brings in one member, its cold loss already taken off; smallest coins.
    pub fn worth_of(&self, tables: &Tables, limits: &Limits, member: usize) -> f64 {
        self.total(tables, limits, |row, day| tables.worth.at(row, day, member), true)
    }

    /// What the cold takes in one member; smallest coins.
    pub fn cold_loss_of(&self, tables: &Tables, limits: &Limits, member: usize) -> f64 {
        self.total(tables, limits, |row, day| tables.cold_loss.at(row, day, member), false)
    }

    fn total(&self, tables: &Tables, limits: &Limits, cell: impl Fn(usize, usize) -> f64, coins: bool) -> f64 {
        let mut sum = 0.0;
        for (pond, job) in self.jobs.iter().enumerate() {
            let Some(job) = job else {
                sum += if coins { limits.ponds[pond].left_coins.unwrap_or(0.0) } else { 0.0 };
                continue;
            };
            if let Some((first, second)) = job.catches(limits, tables) {
                sum += first.share * cell(first.row, first.day);
                sum += second.map_or(0.0, |second| second.share * cell(second.row, second.day));
            }
            if coins {
                sum -= job.way_in(limits).map_or(0.0, |way| way.cost_coins);
            }
        }
        sum
    }
}

/// The first thing a schedule does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct FirstAct {
    /// The hour.
    pub hour: i32,
    /// The pond.
    pub pond: usize,
}

/// The hour at which a job's first work begins: its seining at first light, or its start.
pub(crate) fn first_hour(job: &Job, limits: &Limits) -> i32 {
    match job.take {
        Take::LargeFirst { seine_day, .. } => job.start_hour.min(limits.first_light_hour(seine_day)),
        Take::Whole { .. } | Take::TwoDays { .. } => job.start_hour,
    }
}
