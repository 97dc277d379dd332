//! What several pages draw.

pub mod asked;
pub mod axes;
pub mod chores;
pub mod clock;
pub mod course;
pub mod dawns;
pub mod day_line;
pub mod entry;
pub mod explain;
pub mod falling;
pub mod frame;
pub mod in_pond;
pub mod logged;
pub mod misses;
pub mod money;
pub mod on_table;
pub mod places;
pub mod qr;
pub mod ramp;
pub mod reached;
pub mod section;
pub mod sketch;
pub mod start;
pub mod warm;
pub mod weighing;
pub mod worth;
