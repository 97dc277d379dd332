//! What the page of a new forecast says.

use units::{Day, Instant, Zone};

use crate::figures::{Manner, clock, day};

/// Its title.
pub const TITLE: &str = "A new forecast";
/// There is none.
pub const NONE: &str = "There is no forecast in use: past years alone speak, and no front can be seen coming.";
/// The file's field.
pub const FILE: &str = "A file";
/// What may be in it.
pub const FILE_HINT: &str =
    "A table of days or hours, or what the public weather service sends for your place (saved where there is signal).";
/// The field for typing.
pub const TYPED: &str = "Or write it down, a line for each day";
/// Takes it.
pub const TAKE: &str = "Use this forecast";
/// Takes it with what is odd.
pub const TAKE_ALL_THE_SAME: &str = "Use the rest of it as it is";
/// Nothing came.
pub const NOTHING: &str = "Choose a file, or write at least one day.";
/// It did not come whole.
pub const NOT_WHOLE: &str = "The forecast did not arrive whole, or is larger than 4 MB. Try once more.";
/// The same mark was sent before with other words.
pub const SENT_BEFORE: &str = "This page was sent before with another forecast. Open it again and send it once more.";

/// How a day is written.
pub fn typed_hint(on: Day, manner: Manner) -> String {
    let (low, high, degrees) = match manner {
        Manner::UsCustomary => (58, 81, "Fahrenheit"),
        Manner::Metric => (14, 27, "Celsius"),
    };
    format!(
        "Date, the night's low, the day's high, in degrees {degrees}: {on}, {low}, {high}. The low is that of the night before."
    )
}

/// What is in use.
pub fn standing(issued: Instant, last: Day, zone: &Zone, manner: Manner) -> String {
    let (on, second) = zone.day_and_second(issued);
    format!(
        "In use: the forecast of {} at {}, which reaches to {}.",
        day(on),
        clock(second / 60 * 60, manner),
        day(last)
    )
}

/// It cannot be read; why, where that is known.
pub fn refused(why: Option<&str>) -> String {
    match why {
        Some(why) => format!("This could not be read as a forecast: {why}."),
        None => "This is weather of the past, not a forecast.".to_owned(),
    }
}

/// It ends before the morning it is for.
pub fn over(last: Option<Day>, on: Day) -> String {
    match last {
        Some(last) => {
            format!("This forecast ends on {}, before this morning ({}). Bring a newer one.", day(last), day(on))
        }
        None => "This forecast names no day.".to_owned(),
    }
}

/// Some of it cannot be used.
pub fn odd(lines: usize) -> String {
    match lines {
        1 => "One thing in this forecast cannot be used as it is:".to_owned(),
        n => format!("{n} things in this forecast cannot be used as they are:"),
    }
}

/// Not all of them are told.
pub fn more_odd(n: usize) -> String {
    format!("and {n} more.")
}
