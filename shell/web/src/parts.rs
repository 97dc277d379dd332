//! What several pages draw.

pub mod dawns;
pub mod entry;
pub mod frame;
pub mod logged;
pub mod ramp;
pub mod section;
pub mod worth;
