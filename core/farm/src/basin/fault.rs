//! What can be wrong in a basin file or a file of readings: values only, the words are made in the shell.

use units::measure::MeasureError;

/// One thing wrong, with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Line in the file, from 1.
    pub line: usize,
    /// The key or column as written, with its place in a list (`by_date[2].level_m`); empty when the whole line is meant.
    pub key: String,
    /// What is wrong.
    pub what: Wrong,
}

/// The kinds of value a key may ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Plain text.
    Text,
    /// A number, or text with a unit.
    Number,
    /// A calendar date.
    Date,
    /// A list.
    List,
    /// A list of pairs of numbers.
    Pairs,
    /// A table of keys.
    Keys,
}

/// What is wrong with it.
#[derive(Debug, Clone, PartialEq)]
pub enum Wrong {
    /// The file is not well formed; the reader's own remark.
    Malformed {
        /// The remark of the TOML reader.
        remark: String,
    },
    /// No such key; perhaps another was meant.
    UnknownKey {
        /// The nearest known key, when one is near.
        nearest: Option<String>,
    },
    /// A key that is needed is not there.
    Missing,
    /// One of several keys is needed and none is there.
    MissingOneOf {
        /// The keys that would do.
        keys: Vec<&'static str>,
    },
    /// Two keys that say the same thing are both there.
    Both {
        /// The other key.
        other: &'static str,
    },
    /// A value of another kind.
    Kind {
        /// What was asked.
        asked: Asked,
        /// What stands there.
        found: String,
    },
    /// Text that is no number with a unit this key knows.
    NotMeasured {
        /// What stands there.
        found: String,
        /// The key's own unit.
        unit: &'static str,
        /// What the reader of quantities says.
        why: MeasureError,
    },
    /// A number outside what can be.
    Outside {
        /// What stands there, in the key's unit.
        value: f64,
        /// The least that is taken.
        least: f64,
        /// The most that is taken.
        greatest: f64,
        /// The key's unit.
        unit: &'static str,
    },
    /// A text that is not one of the words the key knows.
    NotOneOf {
        /// What stands there.
        found: String,
        /// The words it knows.
        words: Vec<&'static str>,
    },
    /// A time zone nobody knows.
    UnknownZone {
        /// What stands there.
        found: String,
    },
    /// Too few rows.
    TooFew {
        /// Rows found.
        found: usize,
        /// Rows needed.
        needed: usize,
    },
    /// A list that must rise does not.
    NotRising {
        /// The value before.
        before: f64,
        /// The value that does not lie above it.
        value: f64,
    },
    /// The first depth of a table must be the surface.
    NotFromSurface {
        /// The first depth, m.
        first_m: f64,
    },
    /// A pond cannot be wider further down.
    WiderBelow {
        /// Area above, m2.
        above_m2: f64,
        /// Area below, m2.
        below_m2: f64,
    },
    /// The deep end is shallower than the shallow end.
    ShallowDeeper {
        /// Depth at the shallow end, m.
        shallow_m: f64,
        /// Depth at the drain end, m.
        deep_m: f64,
    },
    /// Length times width is far from the area.
    AreaDisagrees {
        /// Area as given, m2.
        area_m2: f64,
        /// Length times width, m2.
        product_m2: f64,
    },
    /// The banks meet above the floor.
    BanksMeet {
        /// Width of the water at the top, m.
        width_m: f64,
        /// Width the two banks take at the deepest, m.
        banks_m: f64,
    },
    /// Dates of a list are not in order.
    DatesNotRising {
        /// The date before.
        before: String,
        /// This date.
        date: String,
    },
    /// A column of readings that is not PLACE@DEPTH.
    NotASpot {
        /// What stands there.
        found: String,
    },
    /// The same column twice.
    Twice {
        /// The line or column it stood first.
        first: usize,
    },
    /// A time that cannot be read.
    NotATime {
        /// What stands there.
        found: String,
    },
    /// A time that does not come after the one before.
    TimesNotRising {
        /// The time before, as written.
        before: String,
        /// This time, as written.
        time: String,
    },
    /// The header has another number of columns than the line.
    Columns {
        /// In the header.
        header: usize,
        /// On this line.
        line: usize,
    },
    /// A bare date among times, or a time among bare dates.
    MixedTimes,
    /// Nothing to read.
    Empty,
}
