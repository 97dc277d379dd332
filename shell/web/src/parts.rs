//! What several pages draw.

pub mod dawns;
pub mod entry;
pub mod frame;
pub mod ramp;
pub mod section;
pub mod worth;
