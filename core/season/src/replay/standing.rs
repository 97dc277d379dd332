//! Where a policy that watches stands in a season, and when it looks again.

use plan::{Job, Limits};

/// Where one policy stands in one season.
#[derive(Clone)]
pub struct Standing {
    /// The job of each pond that is decided; hours and days count from the first morning.
    pub jobs: Vec<Option<Job>>,
    /// Ponds whose catch is over.
    pub out: Vec<bool>,
    /// What its plan seemed worth on the first morning, coins.
    pub believed: f64,
    /// The morning on which it looks again.
    pub looks: usize,
}

/// A plan whose first act lies at least so many days ahead is looked at again only after [`QUIET_STEP`] mornings: a forecast
/// that brings an act forward by that much in so few days is rare. What it changes: docs/model/replay.md.
pub const QUIET_DAYS: i32 = 8;
/// Mornings until it is looked at again.
pub const QUIET_STEP: usize = 3;

impl Standing {
    /// Nothing decided yet.
    pub fn fresh(ponds: usize) -> Standing {
        Standing { jobs: vec![None; ponds], out: vec![false; ponds], believed: 0.0, looks: 0 }
    }

    /// Ponds whose catch is over are out.
    pub fn bring_out(&mut self, morning: usize) {
        for (job, out) in self.jobs.iter().zip(&mut self.out) {
            *out |= job.as_ref().is_some_and(|job| job.take.last_day() < morning);
        }
    }

    /// Whether it decides on a morning.
    pub fn looks_on(&self, morning: usize) -> bool {
        // Started jobs are not changed any more.
        let undecided = self.jobs.iter().zip(&self.out).any(|(job, &out)| job.is_none() && !out);
        undecided && self.looks <= morning
    }

    /// Takes up what was decided; what runs already goes on.
    pub fn follow(&mut self, started: Vec<(usize, Job)>, morning: usize) {
        for (p, job) in started {
            if self.jobs[p].is_none() && !self.out[p] {
                self.jobs[p] = Some(moved_on(job, p, morning));
            }
        }
    }
}

/// The hour of the first act of jobs that have not begun: their first work, or the last hour for giving notice of their first catch,
/// whichever is sooner.
pub fn first_act(limits: &Limits, jobs: &[Option<Job>]) -> Option<i32> {
    let notice_h = limits.notices.iter().map(|notice| notice.hours).max().unwrap_or(0);
    let of = |job: &Job| {
        let first_day = match job.take {
            plan::Take::LargeFirst { seine_day, .. } => seine_day,
            plan::Take::Whole { day } => day,
            plan::Take::TwoDays { first_day, .. } => first_day,
        };
        let catch_hour = limits.first_light_hour(first_day);
        let seined = matches!(job.take, plan::Take::LargeFirst { .. });
        (if seined { job.start_hour.min(catch_hour) } else { job.start_hour }).min(catch_hour - notice_h)
    };
    let begun = |job: &&Job| limits.ponds[job.pond].started.is_some();
    jobs.iter().flatten().filter(|job| !begun(job)).map(of).min()
}

/// A job of this morning's days, in days from the first morning.
fn moved_on(job: Job, pond: usize, morning: usize) -> Job {
    use plan::Take;
    let take = match job.take {
        Take::Whole { day } => Take::Whole { day: day + morning },
        Take::TwoDays { first_day, first_share } => Take::TwoDays { first_day: first_day + morning, first_share },
        Take::LargeFirst { seine_day, day } => Take::LargeFirst { seine_day: seine_day + morning, day: day + morning },
    };
    let by = 24 * morning as i32;
    Job { pond, take, start_hour: job.start_hour + by, end_hour: job.end_hour + by, ..job }
}
