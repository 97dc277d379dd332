//! Which dates: worth, limits, rival plans under the same draws, certainty.

mod decision;

pub use decision::{Candidate, Change, Decision, Flip, GuardReport, PondHours, PondPlan, RunnerUp, Spread, Start};
