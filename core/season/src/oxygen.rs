//! Oxygen tonight: where the coming dawn will stand, whether the night turns the water over, and what an aerator holds.

pub mod nights;
