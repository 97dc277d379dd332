//! What a person records: one fact for each thing done, seen or agreed to, never changed afterwards.
//!
//! A fact keeps what was typed as it was typed; numbers are read from it here, by the form's own version, and may be read
//! again at any time. A correction is a fact of its own that names the one it corrects ([`current`] says what then holds).

mod apply;
mod counting;
mod current;
mod dues;
mod forms;
mod harvest_day;
mod invented;
mod lots;
pub mod market;
mod packs;
mod selling;
mod spent;
mod typed;
mod weighing;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use units::Instant;

pub use apply::{DEPTH_NOT_TOLD_M, apply, farm_said, farm_text};
pub use counting::{Counted, counted};
pub use current::{Entry, current};
pub use dues::{Again, Due, Loss, dues, losses, months_on};
pub use forms::{FORMS, Field, Form, form, newest_form};
pub use harvest_day::{
    Basket, Beyond, Closed, Cold, ColdOf, DAY_KINDS, DayRecord, Edge, LIVE_OXYGEN_LEAST_MG_L, LiveTank, Moved, People,
    Place, Tub, Watched, Written, closed_before, harvest_day, live_tanks, same_tub, tubs, watched_from, working_day,
    working_day_of,
};
pub use invented::written_as_lines;
pub use lots::{
    BEFORE_STOCKING_D, FileSaid, FromTank, LOT_DAY_KINDS, LOT_KINDS, Lot, Spell, lay_lots, lots, spells, weighed,
};
pub use packs::{Pack, PackForm, Treatment, lot_name, packs, treatments, waits};
pub use spent::{
    Budgeted, Gear, MONEY_ACCOUNTS, MONEY_COSTS, MONEY_KINDS, MoneyRecord, Paid, Spent, Unread, UnreadWhy, coins,
    money_record,
};
pub use typed::{FactRead, Slip, Unusual, read_typed};
pub use weighing::{BUCKETS, WEIGHT_LISTS, Weighing, read_weighing};

use crate::pond_card::AlongPond;

/// Something a person did, saw or agreed to.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// 32 small hexadecimal digits, made on the device.
    pub id: String,
    /// Short name of the farm.
    pub farm: String,
    /// The device it was typed on.
    pub device: String,
    /// The person who typed it.
    pub person: String,
    /// Which kind of entry: a key of [`FORMS`].
    pub kind: String,
    /// Version of the form it was typed into.
    pub form: u32,
    /// When it happened.
    pub happened: Happened,
    /// When it was typed by the device's own clock, ms since 1970.
    pub typed_ms: i64,
    /// The fact this one corrects; of a `settle`, the entry it settles.
    pub corrects: Option<String>,
    /// Each field as typed, unit included.
    pub typed: BTreeMap<String, String>,
    /// Each quantity of `typed` in the unit of [`Field::unit`]: always read here, never taken from a device.
    pub values: BTreeMap<String, f64>,
}

/// A moment and the local clock's distance from UTC then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Happened {
    /// The moment.
    pub at: Instant,
    /// Local time less UTC, s.
    pub offset_s: i32,
}

/// A fact as it lies in the store.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its number: 1, 2, 3 ... without a gap.
    pub seq: i64,
    /// When it arrived by the store's clock, ms since 1970.
    pub received_ms: i64,
    /// Device clock less the store's clock at that exchange, ms.
    pub clock_off_ms: i64,
    /// The fact.
    pub fact: Fact,
}

impl Fact {
    /// One field as typed, without the space around it; `None` when it is empty or not there.
    pub fn text(&self, field: &str) -> Option<&str> {
        self.typed.get(field).map(|text| text.trim()).filter(|text| !text.is_empty())
    }
    /// Short name of the pond it is about.
    pub fn pond(&self) -> Option<&str> {
        self.text("pond")
    }
    /// Where along the pond; the drain end when it does not say.
    pub fn end(&self) -> AlongPond {
        match self.text("end") {
            Some("shallow") => AlongPond::Shallow,
            Some("middle") => AlongPond::Middle,
            _ => AlongPond::Deep,
        }
    }
    /// Whether it strikes the entry out.
    pub fn strikes(&self) -> bool {
        matches!(self.text("struck"), Some("yes" | "true"))
    }
    /// Reads `typed` again into `values`; what was wrong with it.
    pub fn read(&mut self) -> FactRead {
        let read = read_typed(&self.kind, self.form, &self.typed);
        self.values.clone_from(&read.values);
        read
    }
}

/// Whether a text may be a fact's id.
pub fn is_id(text: &str) -> bool {
    text.len() == 32 && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}
