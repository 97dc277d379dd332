//! What changed since yesterday.

use crate::decision::{Change, Decision};
use crate::schedule::{Job, Schedule, Take};
use crate::spread::{mean, paired};

use super::Morning;

/// Yesterday's answer, or that of some days ago.
#[derive(Debug, Clone, Copy)]
pub struct Yesterday<'a> {
    /// The answer then, its days counted from its own day 0.
    pub decision: &'a Decision,
    /// Days from its day 0 to this morning's.
    pub days_since: i32,
}

impl Yesterday<'_> {
    /// For each pond, the opening of this morning that does what was planned; `None` where there is none.
    pub(super) fn openings(&self, jobs: &[Option<Job>]) -> Vec<Option<usize>> {
        let same = |planned: &Job| {
            jobs.iter().position(|job| {
                job.as_ref().is_some_and(|job| {
                    job.pond == planned.pond
                        && job.way == planned.way
                        && same_take(planned.take, job.take, self.days_since)
                })
            })
        };
        self.decision.ponds.iter().map(|pond| pond.planned.as_ref().and_then(same)).collect()
    }
}

/// For each pond of a schedule of this morning, its opening.
pub(super) fn openings_of(schedule: &Schedule, jobs: &[Option<Job>]) -> Vec<Option<usize>> {
    let place = |job: &Option<Job>| job.and_then(|job| jobs.iter().position(|known| *known == Some(job)));
    schedule.jobs.iter().map(place).collect()
}

fn same_take(before: Take, now: Take, days_since: i32) -> bool {
    let day = |then: usize, now: usize| then as i32 - days_since == now as i32;
    match (before, now) {
        (Take::Whole { day: a }, Take::Whole { day: b }) => day(a, b),
        (Take::TwoDays { first_day: a, first_share: share }, Take::TwoDays { first_day: b, first_share }) => {
            day(a, b) && share == first_share
        }
        (Take::LargeFirst { seine_day: a, day: last }, Take::LargeFirst { seine_day: b, day: now_last }) => {
            day(a, b) && day(last, now_last)
        }
        _ => false,
    }
}

impl Morning<'_> {
    /// Compares the plan now with yesterday's. `then` is yesterday's plan in today's days, where it can still be followed.
    pub(super) fn changed(&self, yesterday: &Yesterday, now: &Schedule, then: Option<&Schedule>, kept: bool) -> Change {
        let then_day = |job: Option<Job>| job.map(|job| job.take.last_day() as i32 - yesterday.days_since);
        let now_day = |job: Option<Job>| job.map(|job| job.take.last_day() as i32);
        let mut moved = Vec::new();
        for (pond, job) in now.jobs.iter().enumerate() {
            let before = then_day(yesterday.decision.ponds.get(pond).and_then(|pond| pond.planned));
            // A pond that is out already has not moved.
            let is_out = before.is_some_and(|day| day < 0) && job.is_none();
            if !is_out && before != now_day(*job) {
                moved.push((pond, before, now_day(*job)));
            }
        }
        let worth = |schedule: &Schedule| -> Vec<f64> {
            (0..self.tables.members()).map(|member| schedule.worth_of(self.tables, self.limits, member)).collect()
        };
        let (gain, standard_error) = then.map_or((0.0, 0.0), |then| paired(&worth(now), &worth(then)));
        Change { moved, gain, standard_error, kept, signals: self.surprises(yesterday) }
    }

    /// This morning's signals less what yesterday's members expected of them, greatest surprise first.
    fn surprises(&self, yesterday: &Yesterday) -> Vec<(usize, f64)> {
        if yesterday.days_since != 1 {
            return Vec::new();
        }
        let expected = yesterday.decision.expected_signals.iter().take(self.signals.kinds().len());
        let mut found: Vec<(usize, f64, f64)> = expected
            .enumerate()
            .map(|(kind, &(centre, sd))| {
                let difference = mean(self.signals.of(0, kind)) - centre;
                (kind, difference, difference.abs() / sd.max(1e-9))
            })
            .filter(|surprise| surprise.1 != 0.0)
            .collect();
        found.sort_by(|a, b| b.2.total_cmp(&a.2));
        found.into_iter().map(|(kind, difference, _)| (kind, difference)).collect()
    }
}
