//! What else must be said of a morning, as values.

use units::Day;

/// Something a person should know about how this was made.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// A default stands in for something the farm file does not say.
    Assumed {
        /// Key of the input.
        key: String,
        /// Whose.
        of: Option<String>,
        /// The value taken.
        value: String,
    },
    /// Past years that could not be used, and how many.
    YearsLeftOut(usize),
    /// The record of this year ends before this morning; its last day. The days between were taken from past years' middle.
    SeasonNotSeen {
        /// Last day with a value.
        last: Day,
    },
    /// No forecast was given.
    NoForecast,
    /// The forecast is older than a day and a half.
    OldForecast {
        /// Its age, h.
        age_h: f64,
    },
    /// The forecast names a temperature that the place has hardly ever had on such a day: perhaps its unit or its place is wrong.
    ForecastFar {
        /// The day.
        day: Day,
        /// What it says, °C.
        said_c: f64,
        /// What is usual, °C.
        usual_c: f64,
    },
    /// A day's hands, ice and tanks are kept to in fewer futures than the grower asked for, or some day runs over: otherwise a pond
    /// would be left in the water, or be caught weeks later in the cold.
    Yielded {
        /// The share of futures in which they are kept to; `None` when some day runs over.
        kept: Option<f64>,
        /// The share asked for.
        asked: f64,
    },
    /// A reading carries a date after this morning: it was left aside.
    ReadingAhead {
        /// Pond's name.
        pond: String,
        /// Its date.
        on: Day,
    },
    /// Water ran over the bank or the screens: how many are left is less sure.
    Overflowed {
        /// Pond's name.
        pond: String,
        /// The day.
        on: Day,
    },
    /// This morning's reading lies far from the reckoned water.
    ReadingFar {
        /// Pond's name.
        pond: String,
        /// Reading less reckoned, K.
        off_c: f64,
    },
    /// No start keeps the pond ahead of the cold any more: the guard's chance is passed whatever is done.
    CannotBeSaved {
        /// Pond's name.
        pond: String,
    },
    /// Its water goes down while a pond before it holds some of the gear it is usually emptied with: what it is reckoned with.
    GoesDownBy {
        /// Pond's name.
        pond: String,
        /// Its drain is among it.
        has_drain: bool,
        /// The pumps that are left to it.
        pumps: Vec<String>,
    },
    /// The pond cannot come out beside the others within the limits named.
    Left {
        /// Pond's name.
        pond: String,
        /// What its nearest way out would break.
        by: Vec<plan::Limit>,
    },
}
