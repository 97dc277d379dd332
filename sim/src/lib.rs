//! Seasons of phones, lived by chance: lost requests, lost answers, late ones, the farm's program ended between any two writes,
//! clocks set wrong, the record put back to an older backup. At the end every entry is there once.
//!
//! The farm's end is the real record (`store`) on a real file and the real exchange (`web::exchange`); the phones run the very script
//! that the pages send them (`web::SENDER`), in a JavaScript engine, and whatever that script asks of its world is answered in an
//! order drawn from the seed. `docs/numerics/store.md` says what this can see and what it cannot.

mod cut;
mod fault;
pub mod judge;
mod market;
mod phone;
mod script;
mod season;
mod server;

pub use cut::{Bytes, End};
pub use fault::{FAULTS, Fault};
pub use market::{MarketDay, Slip, market_day};
pub use script::{Asked, Ended, Script};
pub use season::{Broken, Lived, live};
