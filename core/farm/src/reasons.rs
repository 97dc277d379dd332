//! Why a farm file cannot be used: values only, the words are made in the shell.

use units::measure::MeasureError;

/// One thing that is wrong, with its place and what was typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Line of the file, from 1.
    pub line: usize,
    /// Key in the table of inputs (`pond.area`), or the section and key as typed when there is no such key.
    pub key: String,
    /// The pond, pump or row it belongs to.
    pub of: Option<String>,
    /// The value as typed; empty when there is none.
    pub typed: String,
    /// What is wrong.
    pub what: Wrong,
}

/// How a value should have been written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Text in quotes.
    Text,
    /// A number, or text with a unit.
    Number,
    /// `true` or `false`.
    YesNo,
    /// A date.
    Date,
    /// A list.
    List,
    /// A list of pairs.
    Pairs,
    /// A section, `[key]` or `{ ... }`.
    Section,
    /// Sections, `[[key]]` or `[{ ... }]`.
    Sections,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum Wrong {
    /// The file is not well formed; the reader's own remark.
    NotWellFormed {
        /// The remark of the TOML reader.
        remark: String,
    },
    /// No such key or section.
    UnknownKey {
        /// A key of this section that is written much like it.
        nearest: Option<&'static str>,
        /// Another section that has a key of this name.
        belongs: Option<&'static str>,
    },
    /// It must be there and is not.
    Missing,
    /// One of two must be there and neither is.
    MissingEither {
        /// The other.
        other: &'static str,
    },
    /// Two keys that say the same are both there.
    Both {
        /// The other.
        other: &'static str,
    },
    /// Written in the wrong shape.
    Shape {
        /// What was wanted.
        wants: Shape,
    },
    /// A quantity or price that cannot be read.
    Measure(MeasureError),
    /// Outside what can be; both ends as one would type them.
    Outside {
        /// Least that is taken.
        least: &'static str,
        /// Most that is taken.
        greatest: &'static str,
    },
    /// Below nothing.
    Negative,
    /// Not a whole number.
    NotWhole,
    /// Not a weight and how many it is of.
    NotWeightAndCount,
    /// Not a date of the form 2020-09-12.
    NotADate,
    /// A stretch of days that ends before it begins.
    EndsBeforeItBegins,
    /// A day that must lie so many days after another, and does not.
    TooSoonAfter {
        /// The fewest days.
        days: i32,
    },
    /// A day that lies more than so many days after another.
    TooLateAfter {
        /// The most days.
        days: i32,
    },
    /// Not a date and time of the form 2020-09-12T06:40.
    NotAMoment,
    /// A local time that the clock change leaves out, or shows twice.
    ClockChange {
        /// Shown twice, else left out.
        twice: bool,
    },
    /// Not a time of day.
    NotATime,
    /// Not one of the words that can stand here.
    NotOneOf {
        /// The words.
        words: &'static [&'static str],
        /// The one that is written much like it.
        nearest: Option<&'static str>,
    },
    /// Not a weekday.
    NotAWeekday,
    /// Not a size class.
    NotASize,
    /// A price by the piece for what is weighed, or by weight for what is counted.
    PriceOfOtherKind {
        /// The form is sold by the piece.
        by_piece: bool,
    },
    /// The bag or tub weighs as much as the scale shows, or more.
    TareNotLess,
    /// No pump of this name.
    UnknownPump {
        /// The names there are.
        names: Vec<String>,
    },
    /// A time zone nobody knows.
    UnknownZone,
    /// Not three capital letters.
    UnknownCurrency,
    /// Money of another currency than the farm's.
    OtherCurrency {
        /// The farm's.
        farm: String,
    },
    /// The name stands twice.
    Twice {
        /// The line where it stood first.
        first: usize,
    },
    /// The drain end is shallower than the shallow end.
    DeepNotDeeper,
    /// Not less than the depth at the drain.
    NotBelowDeepest,
    /// The banks meet above the floor.
    BanksMeet {
        /// Width of the water, m.
        across_m: f64,
        /// Width the two banks take down to the deepest, m.
        banks_m: f64,
    },
    /// The rows of a survey do not rise from height 0, or are fewer than two.
    NotRising,
    /// No outlet, no pump, no remembered time: the water cannot leave.
    NoWayToEmpty,
    /// Nobody works, on any day.
    NoHands,
    /// A pump hangs on a generator and there is none.
    NoGenerator,
    /// Comes before something it must follow.
    Before {
        /// What it must follow: key in the table of inputs.
        key: &'static str,
        /// That day, as a date.
        day: String,
    },
    /// Comes after something it must precede.
    After {
        /// What it must precede: key in the table of inputs.
        key: &'static str,
        /// That day, as a date.
        day: String,
    },
    /// Two size classes of one form overlap.
    SizesOverlap {
        /// The line of the other.
        other: usize,
    },
    /// It may be left out, but not beside this other key.
    NeededWith {
        /// The key that makes it needed.
        key: &'static str,
    },
    /// It says nothing without this other key.
    NothingWithout {
        /// The key that is missing.
        key: &'static str,
    },
    /// More than the description names.
    MoreThanThere {
        /// How many are named.
        count: usize,
    },
}
