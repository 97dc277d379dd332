//! Which dates: worth, limits, rival plans under the same draws, certainty.

mod ceiling;
mod check;
mod dates;
mod decide;
mod decision;
mod guard;
mod hours;
mod limits;
pub mod recourse;
mod schedule;
mod spread;
mod tables;

pub use ceiling::ceiling;
pub use check::{Broken, check};
pub use dates::{
    Ask, Binding, Choices, Dates, DatesFault, LOOKS_MOST, Reason, Rivals, Scratch, best_calendar, best_fixed, binding,
    calendar_limits, fault, rivals, why_left,
};
pub use decide::{DecideFault, Learn, Settings, Yesterday, decide, fit_rule};
pub use decision::{Candidate, Change, Decision, Flip, GuardReport, PondHours, PondPlan, RunnerUp, Spread};
pub use guard::{guarded, mark_chance};
pub use limits::{
    DayKind, DayLimit, EXPOSURE_STEPS, Fuel, Gear, Limit, Limits, Locked, Notice, NoticeKind, Order, PondLimits,
    Seining, Started, Store, StoreKind, Way,
};
pub use recourse::{FitSettings, Rule, SignalKind, Signals};
pub use schedule::{Catch, FirstAct, Job, Schedule, Take};
pub use tables::{COINS_MOST, Grid, PartRows, STREAMS, Stream, Tables, TablesFault};
