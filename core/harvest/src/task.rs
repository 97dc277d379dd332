//! What hands do on a harvest day, and where.

/// How many kinds of work there are.
pub const TASKS: usize = 16;

/// A kind of work. Among tasks of one place the one farther down the line goes first: what is under way is finished before more is begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[repr(u8)]
pub enum Task {
    /// Pulling the seine; several hands at once.
    Seine,
    /// Picking up what lies stranded, from the edges inward.
    Gather,
    /// Dipping the last water or the basin with nets.
    Dip,
    /// Filling baskets out of the gathered seine.
    Bag,
    /// Carrying filled baskets to the bank.
    Carry,
    /// The first rinse.
    Rinse,
    /// Sorting strong, weak, soft, dead.
    Sort,
    /// Weighing and tagging.
    Weigh,
    /// Into a live tank.
    Live,
    /// Into a slurry tub.
    Load,
    /// Out of the tub, when cold to the core.
    Unload,
    /// Heading.
    Head,
    /// Washing tails.
    Wash,
    /// Grading, packing, labelling.
    Pack,
    /// Into the cold store.
    Store,
    /// The last walk over the floor.
    Walk,
}

use Task::*;

impl Task {
    /// All, in the order of the line.
    pub const ALL: [Task; TASKS] =
        [Seine, Gather, Dip, Bag, Carry, Rinse, Sort, Weigh, Live, Load, Unload, Head, Wash, Pack, Store, Walk];

    pub(crate) const fn bit(self) -> u32 {
        1 << self as u32
    }

    /// Where it is done.
    pub fn post(self) -> Post {
        match self {
            Seine | Gather | Dip | Bag | Carry | Walk => Post::Water,
            Rinse | Sort | Weigh | Live | Load | Unload => Post::Bank,
            Head | Wash | Pack | Store => Post::Table,
        }
    }
}

/// A place of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[repr(u8)]
pub enum Post {
    /// In the water and on the floor.
    Water,
    /// On the bank: rinse, sorting, scale, tubs, live tanks.
    Bank,
    /// At the heading and packing table.
    Table,
}

impl Post {
    /// All, from the water on.
    pub const ALL: [Post; 3] = [Post::Water, Post::Bank, Post::Table];

    pub(crate) const fn tasks(self) -> u32 {
        match self {
            Post::Water => Seine.bit() | Gather.bit() | Dip.bit() | Bag.bit() | Carry.bit() | Walk.bit(),
            Post::Bank => Rinse.bit() | Sort.bit() | Weigh.bit() | Live.bit() | Load.bit() | Unload.bit(),
            Post::Table => Head.bit() | Wash.bit() | Pack.bit() | Store.bit(),
        }
    }
}
