//! What is promised and sold, what every pack is called, and the money behind it.
//!
//! Knows lots, buyers and coins; neither ponds nor pages.

pub mod allocate;
pub mod code128;
pub mod gs1;
pub mod journal;
pub mod ledger;
pub mod share;
mod simplex;
pub mod statement;
pub mod swing;
