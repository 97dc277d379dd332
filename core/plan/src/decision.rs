//! The answer to "which pond, when": what a person is told, with how sure it is.
//!
//! Days and hours count from the first day of the tables: day 0 is this morning's day, hour 0 its midnight. Money is in the
//! unit of the worth table, as a bare number: it is a mean over members, never a booked amount.

use crate::schedule::{Job, Schedule};

/// A mean over members, its standard error, and the value nineteen members in twenty do better than.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    /// Mean over members.
    pub mean: f64,
    /// Standard error of the mean.
    pub standard_error: f64,
    /// Fifth percentile over members.
    pub p05: f64,
}

/// A first move that was weighed this morning.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What would be started before tomorrow morning; empty is "wait and watch".
    pub starts: Vec<Job>,
    /// Worth of the move followed by the rule, on members the rule was not fitted to.
    pub worth: Spread,
    /// The chosen move's worth less this one's, member by member: mean. Moves are ranked by the middle of their worth on
    /// fresh members and on the rule's own, so this is not quite the difference of the two `worth`s.
    pub behind: f64,
    /// Standard error of `behind`, from the paired differences.
    pub standard_error: f64,
    /// Sum over ponds of the exposure beyond the guard that it leaves at the least, in steps.
    pub exposure: u32,
    /// Another move leaves less exposure: the guard forbids this one.
    pub guarded: bool,
}

/// The move that came second.
#[derive(Debug, Clone, PartialEq)]
pub struct RunnerUp {
    /// What it would start today.
    pub starts: Vec<Job>,
    /// How much the chosen move is ahead; negative when yesterday's dates were kept in a toss-up.
    pub difference: f64,
    /// Standard error of the difference.
    pub standard_error: f64,
    /// The difference is smaller than its error: there is no clear winner.
    pub toss_up: bool,
}

/// What one pond's part of the plan says.
#[derive(Debug, Clone, PartialEq)]
pub struct PondPlan {
    /// Index of the pond.
    pub pond: usize,
    /// The planned harvest as things look this morning; `None` when no day is left on which it can be caught.
    pub planned: Option<Job>,
    /// The share of members in which the rule catches the pond on each day.
    pub catch_share: Vec<f64>,
    /// The chance, for each catch day, that cold will have taken the named share of the animals by then.
    pub loss_chance: Vec<f64>,
    /// The chance that dawn water falls below the cold mark before the planned catch while the pond is still full.
    pub mark_chance: f64,
    /// When one must decide, and the hours in hand.
    pub hours: PondHours,
}

/// How long one may still wait with one pond. Hours of the clock count from midnight of day 0.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PondHours {
    /// The last hour at which waiting is still free: deciding then, with a start in time and whoever needs warning warned,
    /// still catches the pond on its planned day.
    pub free_until_hour: Option<i32>,
    /// The last hour at which deciding still brings the pond out before the cold mark with the guard's chance; `None` when it
    /// is too late for that, or the water is already going down.
    pub still_out_hour: Option<i32>,
    /// Hours of lead and of catching that the pond still needs.
    pub lead_h: f64,
    /// See `lead_h`.
    pub catch_h: f64,
}

/// What the guard does to the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct GuardReport {
    /// The guard changed today's move or the planned dates.
    pub binds: bool,
    /// Mean worth given up for it (never below zero).
    pub cost: f64,
    /// Standard error of the cost.
    pub cost_standard_error: f64,
    /// Today's starts without the guard.
    pub today_without: Vec<Job>,
    /// The planned dates without the guard.
    pub plan_without: Schedule,
    /// Ponds for which no start can any longer keep the chance within the guard.
    pub beyond: Vec<usize>,
}

/// The smallest change of one signal that would change today's move.
#[derive(Debug, Clone, PartialEq)]
pub struct Flip {
    /// Index of the signal.
    pub signal: usize,
    /// What must be added to it.
    pub change: f64,
    /// What would then be started today.
    pub to: Vec<Job>,
}

/// What moved since yesterday's answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Planned dates that moved: pond, yesterday's catch day and today's, both in today's day numbers.
    pub moved: Vec<(usize, Option<i32>, Option<i32>)>,
    /// Yesterday's plan, valued with this morning's members, is this far behind this morning's.
    pub gain: f64,
    /// Standard error of the gain.
    pub standard_error: f64,
    /// Yesterday's dates were kept because the difference was smaller than its error.
    pub kept: bool,
    /// Signals of this morning less what yesterday's members expected (index, difference), greatest first in units of
    /// yesterday's spread.
    pub signals: Vec<(usize, f64)>,
}

/// This morning's answer for the whole farm.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// What to start before tomorrow morning; empty is "wait and watch".
    pub today: Vec<Job>,
    /// Every pond's plan, in the order of the tables.
    pub ponds: Vec<PondPlan>,
    /// The worth of the rule on members it was not fitted to.
    pub worth: Spread,
    /// What the rule seemed worth on its own members, less `worth`: the optimism that is not shown.
    pub optimism: f64,
    /// The worth of the best fixed dates: what is earned without watching the weather.
    pub fixed: Spread,
    /// The best fixed dates themselves.
    pub fixed_dates: Schedule,
    /// Whether those dates were proved the best there are.
    pub fixed_proved: bool,
    /// No dates fixed today bring more than those by more than this; `None` when the search could not tell whether another
    /// pond might come out besides ([`crate::Dates::beyond_coins`]).
    pub fixed_beyond: Option<f64>,
    /// No rule can be worth more than this, but for chance.
    pub ceiling: Spread,
    /// Every first move weighed, best first.
    pub candidates: Vec<Candidate>,
    /// The second move, unless there was only one.
    pub runner_up: Option<RunnerUp>,
    /// What the guard costs, and the plan without it.
    pub guard: GuardReport,
    /// What would change the answer, smallest first (in units of the signal's spread).
    pub flips: Vec<Flip>,
    /// What changed since yesterday, when yesterday's answer was given.
    pub changed: Option<Change>,
    /// Mean and sd of tomorrow's signals as this morning's members have them; kept for tomorrow's [`Change`].
    pub expected_signals: Vec<(f64, f64)>,
    /// Ponds that no start brings out within the limits any more.
    pub stranded: Vec<usize>,
    /// Positions that were valued, and how many ponds could be started on one morning: fewer than six when many ponds and
    /// limits would make too many positions.
    pub positions: (usize, usize),
}

impl Decision {
    /// The whole plan as a schedule.
    pub fn schedule(&self) -> Schedule {
        Schedule { jobs: self.ponds.iter().map(|pond| pond.planned).collect() }
    }
}
