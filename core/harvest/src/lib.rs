//! One day of harvest in minutes: from the water to the cold store, with hands, baskets, ice and live tanks.
//!
//! Knows a pond's falling water as a course of levels, animals as pounds and a mean weight, hands as what they may do. It knows
//! no farm's records, no weather and no money: `season` brings numbers and takes numbers.

pub mod balance;
pub mod chill;
mod day;
mod day_water;
mod draws;
mod falling_water;
mod hands;
mod hold;
pub mod ice;
mod learn;
mod line;
pub mod live;
mod moves;
mod rates;
mod task;
mod told;

pub use day::{Buyers, DWELL_FROM_C, Day, Future, Means, Standing};
pub use day_water::{DayWater, Strands};
pub use draws::{Draws, LINE};
pub use falling_water::FallingWater;
pub use hands::{AllowedBy, Hand, HandKind};
pub use hold::{Hold, HoldFor, hold};
pub use learn::{Heard, learn};
pub use line::{Line, Lived, MINUTES, Stopped, Waits};
pub use moves::{Carried, Moved, Part, Relaxed, Without, best_posts, carried, relaxed, takes_first, worth_h};
pub use rates::{BASKET_MOST_KG, CHILL_HARD_H, CHILL_WANTED_H, LIVE_MOST_H, Rate, Rates, Unit, default_rate};
pub use task::{Post, TASKS, Task};
pub use told::{Band, DayTold, WaitTold, live_all, tell};
