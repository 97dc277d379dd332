//! Which dates: worth, limits, rival plans under the same draws, certainty.

mod check;
mod dates;
mod decision;
mod limits;
pub mod recourse;
mod schedule;
mod tables;

pub use check::{Broken, check};
pub use dates::{
    Ask, Binding, Choices, Dates, DatesFault, NODES_MOST, Reason, Rivals, Scratch, best_calendar, best_fixed, binding,
    calendar_limits, fault, rivals, why_left,
};
pub use decision::{Candidate, Change, Decision, Flip, GuardReport, PondHours, PondPlan, RunnerUp, Spread, Start};
pub use limits::{
    DayKind, DayLimit, EXPOSURE_STEPS, Fuel, Gear, Limit, Limits, Locked, Notice, NoticeKind, Order, PondLimits, Seining, Started,
    Store, StoreKind, Way,
};
pub use schedule::{Catch, FirstAct, Job, Schedule, Take};
pub use tables::{COINS_MOST, Grid, PartRows, STREAMS, Stream, Tables, TablesFault};
