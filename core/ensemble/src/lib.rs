//! Many members over a season: tiles, threads, summaries.
//!
//! A tile is sixteen members side by side. Tiles outside, hours next, ponds inside (they share one hour's air), lanes innermost.
//! There is no physics here: the hour is `pond::hour`, the day is `stock::DayTally`.

mod air;
mod daytable;
mod hours;
mod kept;
mod places;
mod run;
mod stock_filter;

pub use air::{AirSource, MembersAir, SeasonsAir};
pub use daytable::{DayTable, MemberDay};
pub use hours::{HourTable, TileHours};
pub use kept::{Followed, KeptWater, Splice, Spliced, WindLevels};
pub use places::{PlaceTable, places, places_from};
pub use run::{PondRun, Ran, Start, carry, run};
pub use stock_filter::{
    COUNT_LN_SD, Expected, FilterAsk, PARTICLES, Particle, Seen, Sight, StockEstimate, StockPriors, estimate_stock,
};
