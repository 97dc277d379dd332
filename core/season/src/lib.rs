//! The questions a person can ask, one function each.

pub mod grow;
pub mod water;
