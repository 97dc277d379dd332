//! What `season` hands over: money, losses and pounds for every pond, day and member.
//!
//! All tables have the shape `[row][day][member]`, members innermost. The first rows are the ponds, taken whole. A pond
//! that may be seined early for its large animals has two more rows, one for the large animals and one for the rest, named
//! in [`Tables::parts`]. Day 0 is the first day on which anything can be caught; member order is the same in every table.

/// A table by row, day and member.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid<T> {
    rows: usize,
    days: usize,
    members: usize,
    values: Vec<T>,
}

impl<T: Copy> Grid<T> {
    /// A table with the same value everywhere.
    pub fn filled(rows: usize, days: usize, members: usize, value: T) -> Grid<T> {
        Grid { rows, days, members, values: vec![value; rows * days * members] }
    }

    /// A table made cell by cell, in the order rows, days, members.
    pub fn from_fn(
        rows: usize,
        days: usize,
        members: usize,
        mut cell: impl FnMut(usize, usize, usize) -> T,
    ) -> Grid<T> {
        let mut values = Vec::with_capacity(rows * days * members);
        for row in 0..rows {
            for day in 0..days {
                for member in 0..members {
                    values.push(cell(row, day, member));
                }
            }
        }
        Grid { rows, days, members, values }
    }

    /// Number of rows: ponds first, then parts of ponds.
    pub fn rows(&self) -> usize {
        self.rows
    }
    /// Number of days.
    pub fn days(&self) -> usize {
        self.days
    }
    /// Number of members; 1 in a table that holds one summary for all of them.
    pub fn members(&self) -> usize {
        self.members
    }
    /// All members of one row on one day.
    pub fn of(&self, row: usize, day: usize) -> &[T] {
        let from = (row * self.days + day) * self.members;
        &self.values[from..from + self.members]
    }
    /// All members of one row on one day, to be written.
    pub fn of_mut(&mut self, row: usize, day: usize) -> &mut [T] {
        let from = (row * self.days + day) * self.members;
        &mut self.values[from..from + self.members]
    }
    /// One cell. A table of one member answers the same for every member.
    pub fn at(&self, row: usize, day: usize, member: usize) -> T {
        let member = if self.members == 1 { 0 } else { member };
        self.values[(row * self.days + day) * self.members + member]
    }
    /// Every value, rows outermost and members innermost.
    pub fn values(&self) -> &[T] {
        &self.values
    }
}

/// How an animal leaves the farm; an index into [`Tables::pounds_lb`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stream {
    /// Sold or held alive.
    Live,
    /// Chilled whole.
    Whole,
    /// Headed; pounds are those of the whole animals that go to heading.
    Tails,
}

/// Number of streams.
pub const STREAMS: usize = 3;

/// The rows of a pond that may be taken in parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartRows {
    /// Row of the large animals, by the day they are seined.
    pub large: usize,
    /// Row of what is then left, by the day the pond is emptied.
    pub rest: usize,
}

/// The three tables of worth and their company.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    /// Number of ponds; rows 0 to `ponds` - 1 are the ponds taken whole.
    pub ponds: usize,
    /// For each pond, its rows when the large animals may be seined first.
    pub parts: Vec<Option<PartRows>>,
    /// What the row brings if caught that day, net of its own cold loss, feed, air and hands; smallest coins.
    pub worth: Grid<f64>,
    /// Part of the worth lost to cold by that day (0 or more), already taken off `worth`; smallest coins.
    pub cold_loss: Grid<f64>,
    /// Share of the row's animals lost to cold by that day, 0 to 1.
    pub loss_fraction: Grid<f64>,
    /// Whether dawn bottom water fell below the cold mark on or before the day while the pond was full. Rows: ponds only.
    pub crossing: Grid<bool>,
    /// Pounds to handle if caught that day, by [`Stream`]. May hold one member: a summary that stands for all.
    pub pounds_lb: [Grid<f64>; STREAMS],
    /// Hours of hands beyond those the limits reckon by the pound, as when cold animals must be gathered from mud.
    pub extra_hand_hours: Option<Grid<f64>>,
}

impl Tables {
    /// Number of days.
    pub fn days(&self) -> usize {
        self.worth.days()
    }
    /// Number of members.
    pub fn members(&self) -> usize {
        self.worth.members()
    }
    /// Number of rows, ponds and parts.
    pub fn rows(&self) -> usize {
        self.worth.rows()
    }

    /// What is wrong with the shapes or values, if anything. `dates` takes only tables that pass.
    pub fn fault(&self) -> Option<TablesFault> {
        let (rows, days, members) = (self.rows(), self.days(), self.members());
        let f64s = [
            ("worth", &self.worth, true),
            ("cold_loss", &self.cold_loss, false),
            ("loss_fraction", &self.loss_fraction, false),
            ("pounds_lb live", &self.pounds_lb[0], false),
            ("pounds_lb whole", &self.pounds_lb[1], false),
            ("pounds_lb tails", &self.pounds_lb[2], false),
        ];
        let extra = self.extra_hand_hours.as_ref().map(|table| ("extra_hand_hours", table, false));
        for (name, table, may_be_negative) in f64s.into_iter().chain(extra) {
            let one_may_stand_for_all = !matches!(name, "worth" | "cold_loss" | "loss_fraction");
            let members_fit = table.members() == members || (one_may_stand_for_all && table.members() == 1);
            if table.rows() != rows || table.days() != days || !members_fit {
                return Some(TablesFault::Shape { table: name });
            }
            let bad = |&&value: &&f64| value.is_nan() || value.abs() > COINS_MOST || (!may_be_negative && value < 0.0);
            if let Some(&value) = table.values().iter().find(bad) {
                return Some(TablesFault::Value { table: name, value });
            }
        }
        let crossing = &self.crossing;
        if crossing.rows() != self.ponds || crossing.days() != days || crossing.members() != members {
            return Some(TablesFault::Shape { table: "crossing" });
        }
        let rows_fit = self.parts.iter().flatten().all(|part| part.large < rows && part.rest < rows);
        if self.parts.len() != self.ponds || self.ponds > rows || !rows_fit {
            return Some(TablesFault::Shape { table: "parts" });
        }
        None
    }
}

/// The largest value a cell may hold: well past any farm in any coin, and small enough that sums stay exact.
pub const COINS_MOST: f64 = 1.0e11;

/// Why tables cannot be used.
#[derive(Debug, Clone, PartialEq)]
pub enum TablesFault {
    /// A table's rows, days or members differ from those of `worth`.
    Shape {
        /// Name of the table.
        table: &'static str,
    },
    /// A value is not a number, is negative where it cannot be, or exceeds [`COINS_MOST`].
    Value {
        /// Name of the table.
        table: &'static str,
        /// The value.
        value: f64,
    },
}
