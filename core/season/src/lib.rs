//! The questions a person can ask, one function each.
