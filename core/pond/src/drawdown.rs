//! Water going down by the clock: what lets it out, how long it takes, what stands where at which hour, and when to open what.
//!
//! Model     the parts: [`ways`](Way) let water out, a [`Reservoir`] says what is left and what is bare, [`run()`] integrates stage
//!           against the clock, [`backwards`] finds the hours of opening
//! Units     m above the lowest floor, m³, h
//! Range     ponds of a [`Shape`](crate::Shape); hours to a few weeks
//! Source    docs/model/drawdown.md
//! Left out  waves and set-up by wind; what a crew stirs

pub mod backwards;
mod course;
mod discharge;
mod reservoir;
mod run;
mod ways;

pub use course::{Course, Mark, Step, What};
pub use discharge::{ENTRANCE_LOSS, ORIFICE, orifice_m3_s, pipe_m3_s, standpipe_m3_s};
pub use reservoir::Reservoir;
pub use run::{LONGEST_H, Phase, Until, hours_down, run};
pub use ways::{OutletWater, Pump, Rate, SCREEN, SUCTION_M, Way, Works};

#[cfg(test)]
mod tests;
