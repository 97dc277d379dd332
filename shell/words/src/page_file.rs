//! What the pages say of a logger's file.

use farm::logger::{DateOrder, FileClock, Holds, How, NotALogger, Odd, Quantity, Question, Taken};
use store::LoggedTaken;
use units::{Instant, Zone};

use crate::figures::{Manner, degrees, grouped, span};
use crate::page_log::moment;

/// Title of the first page.
pub const TITLE: &str = "A logger's file";
/// What it takes.
pub const HINT: &str = "A table that a logger wrote (CSV, text or .xlsx): any order of columns, any common form of dates, Fahrenheit or Celsius. You see what is in it before anything is kept.";
/// The file's field.
pub const FILE: &str = "Which file?";
/// Where the logger hung.
pub const POND: &str = "In which pond did it hang?";
/// At which end.
pub const END: &str = "At which end?";
/// How deep.
pub const DEPTH: &str = "How far below the surface?";
/// Button.
pub const LOOK: &str = "Look into the file";
/// After a choice was changed.
pub const LOOK_AGAIN: &str = "Look again with these";
/// Title of the preview.
pub const PREVIEW: &str = "What stands in the file";
/// No file was chosen.
pub const NO_FILE: &str = "Choose a file first.";
/// The depth cannot be read.
pub const NO_DEPTH: &str = "Write the depth with its unit, as 18 in or 45 cm.";
/// The file is larger than is taken.
pub const TOO_LARGE: &str = "The file is larger than this page takes (200 MB). Bring it in with `warmspell log`.";
/// It could not be received.
pub const NOT_RECEIVED: &str = "The file did not arrive whole. Try once more.";
/// The server no longer has it.
pub const GONE: &str = "This file is no longer held here: it was looked at too long ago. Choose it once more; nothing was lost from the record.";
/// A workbook that cannot be read.
pub const NOT_A_WORKBOOK: &str = "This workbook cannot be read. Save the sheet as CSV and choose that.";
/// A workbook that unpacks to too much.
pub const BOOK_TOO_LARGE: &str =
    "This workbook unpacks to more than is read here. Save the sheet as CSV and choose that.";
/// Above the columns.
pub const COLUMNS: &str = "What each column holds";
/// Which sheet.
pub const SHEET: &str = "Which sheet?";
/// Order of day and month.
pub const ORDER: &str = "Day or month first?";
/// The file's clock.
pub const CLOCK: &str = "Which clock wrote the times?";
/// Above the raw lines.
pub const AS_WRITTEN: &str = "First and last lines, as written";
/// Above the readings.
pub const AS_READ: &str = "The same, as they are read";
/// Heads of that table.
pub const READ_HEADS: [&str; 3] = ["When", "Value", "What"];
/// Above doubts.
pub const DOUBTS: &str = "Looked at twice";
/// Which lines.
pub const DOUBT_LINES: &str = "The lines";
/// Heads of that table.
pub const DOUBT_HEADS: [&str; 3] = ["Line", "As written", "What was done"];
/// Where readings are missing.
pub const GAPS: &str = "Where readings are missing";
/// The second step.
pub const TAKE_HINT: &str = "They are kept all together or not at all, with the file itself. The whole file can be taken back later from the log.";
/// Cannot be taken yet.
pub const NOT_YET: &str = "Nothing can be taken before this is settled:";
/// Leaves it.
pub const LEAVE: &str = "Leave it and choose another file";
/// While it is being kept.
pub const WORKING: &str = "Keeping the readings";
/// The stop button.
pub const STOP: &str = "Stop";
/// What stopping does.
pub const STOP_HINT: &str = "If you stop now, nothing of this file is kept.";
/// After a stop.
pub const STOPPED: &str = "Stopped. Nothing of this file was kept.";
/// To the log.
pub const TO_LOG: &str = "To the log";
/// Another file.
pub const ANOTHER: &str = "Another file";
/// Takes a whole file back.
pub const TAKE_BACK: &str = "Take this whole file back";
/// What that does.
pub const TAKE_BACK_HINT: &str =
    "Its readings count no more; the entry and the file stay readable. Readings that another file brought too stay.";
/// Does it.
pub const TAKE_BACK_NOW: &str = "Yes, take it back";
/// Title of the chart's table.
pub const CHART_TABLE: &str = "The same in figures";
/// Heads of that table.
pub const CHART_HEADS: [&str; 4] = ["From", "Lowest", "Mean", "Highest"];

/// The question that stands open.
pub fn question(question: Question, column: &str) -> String {
    match question {
        Question::WhichTime => "No column was known as the time. Say below which one holds it.".to_owned(),
        Question::WhichValue => "No column was known as the water's. Say below which one holds what.".to_owned(),
        Question::DateOrder => {
            "The dates can be read in two ways, and the file does not say which. Say below whether day or month stands first.".to_owned()
        }
        Question::TempUnit(_) => {
            format!("{column} could be Fahrenheit or Celsius. Say below which it is.")
        }
    }
}

/// Why a file is no logger's.
pub fn not_a_logger(why: NotALogger) -> &'static str {
    match why {
        NotALogger::Empty => "There is nothing in this file.",
        NotALogger::NoRow => {
            "No line of this file holds both a time and a number. It wants one line for each reading, with its day and hour."
        }
    }
}

/// What a column holds, to choose from.
pub fn holds(holds: Holds) -> &'static str {
    match holds {
        Holds::Stamp => "Day and time",
        Holds::Date => "Day",
        Holds::Clock => "Time of day",
        Holds::Epoch => "Seconds since 1970",
        Holds::Serial => "Spreadsheet's day number",
        Holds::TempC => "Water, °C",
        Holds::TempF => "Water, °F",
        Holds::Oxygen => "Oxygen, mg/L",
        Holds::Ph => "pH",
        Holds::StageM => "Water below full, m",
        Holds::StageCm => "Water below full, cm",
        Holds::StageIn => "Water below full, in",
        Holds::StageFt => "Water below full, ft",
        Holds::Nothing => "Leave out",
    }
}

/// How it is known.
pub fn how(how: How, holds: Holds) -> &'static str {
    match how {
        _ if holds == Holds::Nothing && how != How::Chosen => "",
        How::Header => "its head says so",
        How::Cells => "its cells say so",
        How::Guess => "by its figures: please look",
        How::Chosen => "you chose it",
        How::Asked => "not known: please choose",
    }
}

/// A column without a head.
pub fn column(at: usize, name: &str) -> String {
    if name.is_empty() { format!("Column {}", at + 1) } else { name.to_owned() }
}

/// Order of day and month, to choose from.
pub fn order(order: DateOrder) -> &'static str {
    match order {
        DateOrder::MonthFirst => "Month first: 7/13/2020",
        DateOrder::DayFirst => "Day first: 13/7/2020",
    }
}

/// No choice yet.
pub const CHOOSE: &str = "Choose ...";

/// The file's clock, to choose from.
pub fn clock(clock: FileClock) -> String {
    match clock {
        FileClock::Farm => "The farm's own clock".to_owned(),
        FileClock::Winter => "Its winter clock, all year".to_owned(),
        FileClock::Utc => "UTC".to_owned(),
        FileClock::Fixed(s) => {
            format!(
                "UTC{}{:02}:{:02}, as the file says",
                if s < 0 { '-' } else { '+' },
                s.abs() / 3600,
                s.abs() / 60 % 60
            )
        }
    }
}

/// A quantity.
pub fn quantity(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Temperature => "Water",
        Quantity::Oxygen => "Oxygen",
        Quantity::Ph => "pH",
        Quantity::Stage => "Water below full",
    }
}

/// A value in a person's units, to the digit a logger gives.
pub fn value(quantity: Quantity, value: f64, manner: Manner) -> String {
    match (quantity, manner) {
        (Quantity::Temperature, Manner::UsCustomary) => format!("{:.1} °F", value * 1.8 + 32.0),
        (Quantity::Temperature, Manner::Metric) => format!("{value:.2} °C"),
        (Quantity::Oxygen, _) => format!("{value:.1} mg/L"),
        (Quantity::Ph, _) => format!("{value:.1}"),
        (Quantity::Stage, Manner::UsCustomary) => format!("{:.1} in", value / 0.0254),
        (Quantity::Stage, Manner::Metric) => format!("{:.0} cm", value * 100.0),
    }
}

/// The first sentence of the preview.
pub fn counted(name: &str, taken: &Taken, zone: &Zone, manner: Manner) -> String {
    let Some((first, last)) = taken.span() else { return format!("{name}: no reading could be taken.") };
    let step = match taken.step_s {
        0 => String::new(),
        s if s % 3600 == 0 => format!(", {} apart", span(s as f64 / 3600.0)),
        s if s % 60 == 0 => format!(", {} min apart", s / 60),
        s => format!(", {s} s apart"),
    };
    let when = |at: Instant| moment(at, zone, manner);
    let readings = many(taken.count(), "reading", "readings");
    format!("{name}: {readings}, from {} to {}{step}.", when(first), when(last))
}

/// The first sentence while something must still be said.
pub fn counted_open(name: &str, count: usize) -> String {
    format!("{name}: {}.", many(count, "reading", "readings"))
}

/// Where the logger hung.
pub fn hung(pond: &str, end: &str, depth: &str) -> String {
    format!("{pond}, {} end, {depth} down.", end.to_lowercase())
}

/// What of it the record has.
pub fn compared(compared: &LoggedTaken) -> String {
    let n = |count: u64| grouped(count as f64);
    let mut said = match (compared.made, compared.already_had) {
        (made, 0) => format!("All {} are new.", n(made)),
        (0, had) => format!("All {} stand in the record already.", n(had)),
        (made, had) => format!("{} are new; {} stand in the record already and are not doubled.", n(made), n(had)),
    };
    if compared.made == 0 && compared.already_had == 0 {
        said = String::new();
    }
    if compared.differs > 0 {
        let verb = if compared.differs == 1 { "moment has" } else { "moments have" };
        said.push_str(&format!(
            " {} {verb} another value in the record, brought by an earlier file: that one counts.",
            n(compared.differs)
        ));
    }
    said
}

/// What was odd and what was done, with how often.
pub fn odd(odd: Odd, count: usize) -> String {
    format!("{}: {}.", many(count, "line", "lines"), done(odd))
}

/// What was odd and what was done.
pub fn done(odd: Odd) -> String {
    match odd {
        Odd::NotATime => "no time can be read, left out".to_owned(),
        Odd::NotANumber => "no number, left out".to_owned(),
        Odd::NotBelieved(of) => format!("no pond has such a value ({}), left out", quantity(of)),
        Odd::Spike(of) => format!("far from the readings before and after ({}), taken", quantity(of)),
        Odd::ShownTwice => "the clock shows this hour twice in autumn, taken by the order of the lines".to_owned(),
        Odd::Skipped => {
            "the clock skips this hour in spring: does the logger's clock never change? Then choose the winter clock"
                .to_owned()
        }
        Odd::Later => "later than now, taken: look at the logger's clock".to_owned(),
        Odd::NeverSet => "from before 1990: the logger's clock was never set, left out".to_owned(),
        Odd::Repeated => "the same moment once more, taken once".to_owned(),
        Odd::TwoValues => "the same moment with another value, the first is taken".to_owned(),
        Odd::MoreCells => "more cells than columns, left out".to_owned(),
    }
}

/// Nothing was doubtful.
pub const NO_DOUBTS: &str = "Every line was read, and nothing in it looks odd.";

/// How many gaps there are.
pub fn gaps(count: usize) -> String {
    match count {
        0 => "No readings are missing in between.".to_owned(),
        _ => format!("Readings are missing at {}.", many(count, "place", "places")),
    }
}

/// One gap.
pub fn gap((from, to): (Instant, Instant), zone: &Zone, manner: Manner) -> String {
    let lasts = span((to.0 - from.0) as f64 / 3600.0);
    format!("{} to {}: {lasts}", moment(from, zone, manner), moment(to, zone, manner))
}

/// The second step's button.
pub fn take(count: u64) -> String {
    if count == 1 { "Take this reading".to_owned() } else { format!("Take these {} readings", grouped(count as f64)) }
}

/// How far the keeping is.
pub fn progress(done: u64, total: u64) -> String {
    format!("{} of {} readings", grouped(done as f64), grouped(total as f64))
}

/// After the keeping.
pub fn kept(name: &str, taken: &LoggedTaken) -> String {
    match taken.seq {
        None => format!("{name}: everything in it stands in the record already. Nothing was doubled."),
        Some(_) => format!("{name} is kept: {} new.", many(taken.made as usize, "reading is", "readings are")),
    }
}

/// The chart's name.
pub fn chart_title(of: Quantity) -> String {
    format!("{} in this file", quantity(of))
}

/// What the chart shows.
pub fn chart_says(of: Quantity, (low, mean, high): (f64, f64, f64), manner: Manner) -> String {
    let said = |v: f64| value(of, v, manner);
    format!(
        "Lowest {}, mean {}, highest {}. Each upright line runs from the lowest to the highest reading of its span.",
        said(low),
        said(mean),
        said(high)
    )
}

/// A label of the chart's scale.
pub fn scale(of: Quantity, v: f64, manner: Manner) -> String {
    if of == Quantity::Temperature { degrees(v, manner) } else { value(of, v, manner) }
}

pub(crate) fn many(count: usize, one: &str, several: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{} {several}", grouped(count as f64)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_file_brings_is_said_in_full() {
        for (made, already_had, differs, said) in [
            (8928, 0, 0, "All 8,928 are new."),
            (0, 12, 0, "All 12 stand in the record already."),
            (
                5,
                7,
                1,
                "5 are new; 7 stand in the record already and are not doubled. 1 moment has another value in the record, brought by an earlier file: that one counts.",
            ),
        ] {
            assert_eq!(compared(&LoggedTaken { seq: None, made, already_had, differs }), said);
        }
        assert_eq!(odd(Odd::Later, 1), "1 line: later than now, taken: look at the logger's clock.");
        assert_eq!(value(Quantity::Temperature, 18.0, Manner::UsCustomary), "64.4 °F");
    }
}
