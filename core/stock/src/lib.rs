//! The animals: growth, survival, cold, sizes and feed.
//!
//! The water reaches the animals only through a few numbers a day ([`DayRow`], made hour by hour by [`DayTally`]). From
//! those, [`Crop`] gives weight, number and mass of any stocking under any set of unknowns in closed form. Nothing here
//! draws luck or knows a date.

pub mod cold;
mod crop;
mod daytable;
pub mod feed;
mod growth;
mod normal;
pub mod seen;
mod size_table;
pub mod sizes;
mod survival;

pub use cold::{ColdAlarm, GatherParams, Gathered};
pub use crop::{Crop, HIDDEN_DRAWS, Hidden, Standing, StockParams, Stocking};
pub use daytable::{ColdState, DayRow, DayTally, warmth_of};
pub use growth::{
    GROWTH_BEST_C, GROWTH_COLDEST_C, GROWTH_FACTOR_LN_SD, GROWTH_HOTTEST_C, Growth, GrowthParams, crowding_per_ha,
    warmth,
};
pub use normal::normal_below;
pub use size_table::SizeTable;
pub use sizes::{FORMS, Form, Grade, Mixture, SizeClass};
pub use survival::{HAZARD_LN_SD, SurvivalParams};
