//! A logger's file: any sensible order of columns, any sensible way to write a moment, Fahrenheit or Celsius.
//!
//! Two steps. [`layout`] says what each column seems to hold and how that is known; a person may choose otherwise, and is asked
//! where the file does not say. [`take`] then reads every line by that layout: what can be read is taken, what is doubtful is
//! named by its line, and nothing is guessed silently. Spreadsheets come here as text parted by tabs.

mod layout;
mod names;
mod odd;
mod order;
mod rows;
mod table;
mod times;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use units::Instant;

pub use layout::layout;
pub use odd::{Doubt, Doubts, Odd};
pub use rows::take;
pub use table::{Sheet, decode};

use crate::observed::{Place, Spot};
use crate::pond_card::{AlongPond, Reading};

/// What a logger measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Water temperature, °C.
    Temperature,
    /// Dissolved oxygen, mg/L.
    Oxygen,
    /// pH.
    Ph,
    /// Water below full, m.
    Stage,
}

impl Quantity {
    /// Each of them.
    pub const ALL: [Quantity; 4] = [Quantity::Temperature, Quantity::Oxygen, Quantity::Ph, Quantity::Stage];

    /// Its word in files.
    pub fn key(self) -> &'static str {
        match self {
            Quantity::Temperature => "temperature",
            Quantity::Oxygen => "oxygen",
            Quantity::Ph => "ph",
            Quantity::Stage => "stage",
        }
    }
    /// Least and greatest value that is believed.
    pub fn believed(self) -> (f64, f64) {
        match self {
            Quantity::Temperature => crate::observed::BELIEVED_C,
            Quantity::Oxygen => (0.0, 40.0),
            Quantity::Ph => (2.0, 13.0),
            Quantity::Stage => (-2.0, 8.0),
        }
    }
}

/// What a column holds, with its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holds {
    /// Day and clock time.
    Stamp,
    /// The day alone.
    Date,
    /// The clock time alone.
    Clock,
    /// Seconds (or thousandths of them) since 1970, UTC.
    Epoch,
    /// Days since the end of 1899, as spreadsheets count.
    Serial,
    /// Water, °C.
    TempC,
    /// Water, °F.
    TempF,
    /// Oxygen, mg/L.
    Oxygen,
    /// pH.
    Ph,
    /// Below full, m.
    StageM,
    /// Below full, cm.
    StageCm,
    /// Below full, in.
    StageIn,
    /// Below full, ft.
    StageFt,
    /// Nothing that is taken.
    Nothing,
}

impl Holds {
    /// Each of them, in the order in which they are offered.
    pub const ALL: [Holds; 14] = [
        Holds::Nothing,
        Holds::Stamp,
        Holds::Date,
        Holds::Clock,
        Holds::TempF,
        Holds::TempC,
        Holds::Oxygen,
        Holds::Ph,
        Holds::StageIn,
        Holds::StageFt,
        Holds::StageCm,
        Holds::StageM,
        Holds::Epoch,
        Holds::Serial,
    ];

    /// Its word in a form.
    pub fn key(self) -> &'static str {
        match self {
            Holds::Stamp => "stamp",
            Holds::Date => "date",
            Holds::Clock => "clock",
            Holds::Epoch => "epoch",
            Holds::Serial => "serial",
            Holds::TempC => "temp_c",
            Holds::TempF => "temp_f",
            Holds::Oxygen => "oxygen",
            Holds::Ph => "ph",
            Holds::StageM => "stage_m",
            Holds::StageCm => "stage_cm",
            Holds::StageIn => "stage_in",
            Holds::StageFt => "stage_ft",
            Holds::Nothing => "nothing",
        }
    }
    /// From its word.
    pub fn parse(key: &str) -> Option<Holds> {
        Holds::ALL.into_iter().find(|holds| holds.key() == key)
    }
    /// What is measured; `None` for times and what is left out.
    pub fn quantity(self) -> Option<Quantity> {
        match self {
            Holds::TempC | Holds::TempF => Some(Quantity::Temperature),
            Holds::Oxygen => Some(Quantity::Oxygen),
            Holds::Ph => Some(Quantity::Ph),
            Holds::StageM | Holds::StageCm | Holds::StageIn | Holds::StageFt => Some(Quantity::Stage),
            _ => None,
        }
    }
    /// A value of the column in the unit of its quantity.
    pub fn to_ours(self, value: f64) -> f64 {
        match self {
            Holds::TempF => (value - 32.0) / 1.8,
            Holds::StageCm => value * 0.01,
            Holds::StageIn => value * 0.0254,
            Holds::StageFt => value * 0.3048,
            _ => value,
        }
    }
}

/// How something about a file is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The header says so.
    Header,
    /// The cells themselves say so.
    Cells,
    /// The values fit nothing else; a person should look.
    Guess,
    /// A person chose it.
    Chosen,
    /// It cannot be known: a person must choose.
    Asked,
}

/// One column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// As headed; empty without a header.
    pub name: String,
    /// What it holds.
    pub holds: Holds,
    /// How that is known.
    pub how: How,
    /// Its own place along the pond, when the header names one (`deep`, `shallow@18 in`).
    pub place: Option<Place>,
    /// Its own depth below the surface, when the header names one.
    pub depth_m: Option<f64>,
}

/// Which of day and month stands first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// 7/13/2020.
    MonthFirst,
    /// 13/7/2020.
    DayFirst,
}

/// The clock that wrote the times of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileClock {
    /// The farm's own, summer time included.
    Farm,
    /// The farm's winter clock all year: many loggers never change.
    Winter,
    /// UTC.
    Utc,
    /// A fixed distance from UTC, s.
    Fixed(i32),
}

impl FileClock {
    /// Its word in a form.
    pub fn key(self) -> String {
        match self {
            FileClock::Farm => "farm".to_owned(),
            FileClock::Winter => "winter".to_owned(),
            FileClock::Utc => "utc".to_owned(),
            FileClock::Fixed(offset_s) => offset_s.to_string(),
        }
    }
    /// From its word.
    pub fn parse(key: &str) -> Option<FileClock> {
        match key {
            "farm" => Some(FileClock::Farm),
            "winter" => Some(FileClock::Winter),
            "utc" => Some(FileClock::Utc),
            other => other.parse().ok().filter(|&s: &i32| s.abs() <= 18 * 3600).map(FileClock::Fixed),
        }
    }
}

/// What a person chose over what was found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choices {
    /// By column, from 0.
    pub columns: BTreeMap<usize, Holds>,
    /// Order of day and month.
    pub order: Option<DateOrder>,
    /// The file's clock.
    pub clock: Option<FileClock>,
}

/// How a file is laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// What parts the cells.
    pub separator: char,
    /// Numbers are written with a comma.
    pub decimal_comma: bool,
    /// Line of the header, from 1.
    pub header_line: Option<usize>,
    /// First line with values, from 1.
    pub first_line: usize,
    /// The columns.
    pub columns: Vec<Column>,
    /// Day or month first, where that matters.
    pub order: Option<(DateOrder, How)>,
    /// The clock and how it is known.
    pub clock: (FileClock, How),
}

/// What a person must still say before a file can be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// No column holds the time.
    WhichTime,
    /// No column holds a value.
    WhichValue,
    /// Day or month first?
    DateOrder,
    /// Fahrenheit or Celsius, in this column?
    TempUnit(usize),
}

impl Layout {
    /// What must still be said.
    pub fn open(&self) -> Vec<Question> {
        let has = |wanted: &[Holds]| self.columns.iter().any(|column| wanted.contains(&column.holds));
        let mut open = Vec::new();
        if !has(&[Holds::Stamp, Holds::Date, Holds::Epoch, Holds::Serial]) {
            open.push(Question::WhichTime);
        }
        if !self.columns.iter().any(|column| column.holds.quantity().is_some()) {
            open.push(Question::WhichValue);
        }
        if matches!(self.order, Some((_, How::Asked))) {
            open.push(Question::DateOrder);
        }
        let asked =
            |column: &Column| column.how == How::Asked && column.holds.quantity() == Some(Quantity::Temperature);
        open.extend(self.columns.iter().enumerate().filter(|(_, c)| asked(c)).map(|(at, _)| Question::TempUnit(at)));
        open
    }
}

/// Why a file is none that this reader knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotALogger {
    /// Nothing in it.
    Empty,
    /// No line holds a time and a number.
    NoRow,
}

/// The readings of one quantity at one spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What.
    pub quantity: Quantity,
    /// Where.
    pub spot: Spot,
    /// Moments rising, values in the unit of the quantity, rounded to a ten-thousandth.
    pub rows: Vec<(Instant, f64)>,
}

/// What was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taken {
    /// By quantity and spot.
    pub series: Vec<Series>,
    /// Lines that gave at least one value.
    pub lines: usize,
    /// First and last such line's number, from 1.
    pub first_last_line: (usize, usize),
    /// What was doubtful.
    pub doubts: Doubts,
    /// Usual time from one reading to the next, s; 0 with fewer than two.
    pub step_s: i64,
    /// Where readings are missing for more than three steps: last before, first after. At most 50.
    pub gaps: Vec<(Instant, Instant)>,
    /// All such gaps.
    pub gap_count: usize,
}

impl Taken {
    /// All readings.
    pub fn count(&self) -> usize {
        self.series.iter().map(|series| series.rows.len()).sum()
    }
    /// First and last moment.
    pub fn span(&self) -> Option<(Instant, Instant)> {
        let first = self.series.iter().filter_map(|series| series.rows.first()).map(|row| row.0).min()?;
        let last = self.series.iter().filter_map(|series| series.rows.last()).map(|row| row.0).max()?;
        Some((first, last))
    }
}

/// One reading for each hour: the one nearest to the full hour, within half an hour of it. What the engine is given of a
/// logger: a season by fives of minutes says little more than its hours.
pub fn hourly(rows: &[(Instant, f64)], place: AlongPond, depth_m: f64) -> Vec<Reading> {
    let mut hours: Vec<(i64, i64, Reading)> = Vec::new();
    for &(at, temp_c) in rows {
        let hour = (at.0 + 1800).div_euclid(3600);
        let off_s = (at.0 - hour * 3600).abs();
        let reading = Reading { at, place, depth_m, temp_c };
        match hours.last_mut() {
            Some((same, best_s, kept)) if *same == hour => {
                if off_s < *best_s {
                    (*best_s, *kept) = (off_s, reading);
                }
            }
            _ => hours.push((hour, off_s, reading)),
        }
    }
    hours.into_iter().map(|(_, _, reading)| reading).collect()
}
