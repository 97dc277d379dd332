//! The questions a person can ask, one function each.
//!
//! This room joins the farm's facts to the engine, and is the only one that knows both. What it returns are plain values; the
//! shell says and draws them.

pub mod answer;
mod binding;
pub mod chemistry;
pub mod chores;
pub mod course;
pub mod crops;
pub mod day;
pub mod day_close;
pub mod drain;
mod drawn;
mod feeding;
pub mod filling;
mod foresee;
pub mod freshness;
pub mod grow;
mod hidden;
pub mod in_pond;
pub mod labels;
pub mod learn;
mod limits;
mod lived;
pub mod night;
pub mod orders;
mod outlook;
pub mod oxygen;
mod past;
mod ponds;
pub mod promised;
pub mod replay;
mod report;
mod response;
pub mod sampling;
pub mod scores;
mod standing;
pub mod stocking_day;
mod tables;
mod taken;
pub mod tanks;
mod taught;
mod thin;
pub mod trace;
pub mod water;
pub mod weather_report;
mod weigh;
pub mod winter;
mod works;
mod worth;
pub mod yearbook;
mod yielding;

pub use drawn::Drawn;
pub use outlook::{MorningAsk, OutlookError, answer as answer_from, draw, outlook};
pub use past::{FarmPast, PastError, SEASONS_LEAST, place_of};
pub use pond::ShapeError;
pub use ponds::PondModelError;
pub use report::LOSS_SHARE;
pub use {books, farm, harvest, nursery, plan, pond, sums, weather};
