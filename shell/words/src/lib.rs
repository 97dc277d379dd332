//! Every sentence a person reads, by key.
//!
//! The core returns values and reasons; this room says them. The command line prints from it, and so will the page, so the two
//! cannot disagree.

pub mod basin;
pub mod farm;
pub mod figures;
pub mod grow;
pub mod morning;
pub mod replay;
pub mod trouble;
pub mod water;
pub mod weather;
