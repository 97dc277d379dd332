//! Readings of thermometers in the water: a CSV with a time column and columns named PLACE@DEPTH.
//!
//! Times are instants, or bare dates for daily means. Lines that begin with # are remarks. The same form is written by a run,
//! so that one run can be held against another.

mod time;

#[cfg(test)]
mod tests;

use units::{Day, Instant, Zone};

use crate::basin::{Fault, Wrong};
pub use time::{Clock, Written, parse_time};

/// Where along the slope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// At the drain end.
    Deep,
    /// Half way.
    Middle,
    /// At the shallow end.
    Shallow,
}

impl Place {
    /// All places, deepest first.
    pub const ALL: [Place; 3] = [Place::Deep, Place::Middle, Place::Shallow];

    /// As it is written in files.
    pub fn name(self) -> &'static str {
        match self {
            Place::Deep => "deep",
            Place::Middle => "middle",
            Place::Shallow => "shallow",
        }
    }
}

/// A place and a depth below the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Where along the slope.
    pub place: Place,
    /// Below the surface, m.
    pub depth_m: f64,
}

impl Spot {
    /// From `deep@0.25`, or with a unit `deep@10 in`; `None` when it is not of that form.
    pub fn parse(text: &str) -> Option<Spot> {
        let (place, depth) = text.trim().split_once('@')?;
        let place = Place::ALL.into_iter().find(|known| known.name().eq_ignore_ascii_case(place.trim()))?;
        let depth_m = crate::basin::depth_m(depth)?;
        (0.0..=200.0).contains(&depth_m).then_some(Spot { place, depth_m })
    }

    /// As a column is headed.
    pub fn name(&self) -> String {
        format!("{}@{}", self.place.name(), self.depth_m)
    }
}

/// What a row's time stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// A moment.
    At(Instant),
    /// The mean of a civil day of the basin's clock.
    MeanOf(Day),
}

/// One row of readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Line in the file, from 1.
    pub line: usize,
    /// When.
    pub when: When,
    /// Water temperature by column, C; `None` where nothing usable was written.
    pub temps_c: Vec<Option<f64>>,
}

/// Readings in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Observed {
    /// Columns.
    pub spots: Vec<Spot>,
    /// Rows, times rising.
    pub rows: Vec<Row>,
    /// What was odd and what was done.
    pub oddities: Vec<Oddity>,
}

/// Something odd that did not stop the reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Oddity {
    /// Line in the file, from 1.
    pub line: usize,
    /// Column as headed; empty for the time.
    pub column: String,
    /// As written.
    pub text: String,
    /// What.
    pub what: Odd,
}

/// What was odd, and so what was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// No number: left out.
    NotANumber,
    /// No water has that temperature: left out.
    Absurd,
    /// The autumn clock shows this time twice: the first was taken.
    ShownTwiceFirst,
    /// The autumn clock shows this time twice: the second was taken.
    ShownTwiceSecond,
    /// The spring clock skips this time: read as the clock before the change.
    Skipped,
}

/// Coldest and warmest a thermometer in water is believed, C.
pub const BELIEVED_C: (f64, f64) = (-1.0, 50.0);

/// Reads a file of readings. Clock times without an offset are in `zone`.
pub fn read(text: &str, zone: &Zone) -> Result<Observed, Vec<Fault>> {
    // Split here and not by a general reader: no cell of this form needs a comma within quotes, and the line numbers must
    // stand even where remarks and blank lines come between. A spreadsheet may put a byte-order mark in front.
    let mut lines = text
        .trim_start_matches('\u{feff}')
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'))
        .map(|(index, line)| (index + 1, cells(line)));
    let empty = || vec![Fault { line: 1, key: String::new(), what: Wrong::Empty }];
    let (header_line, header) = lines.next().ok_or_else(empty)?;
    let mut faults = Vec::new();
    let spots = read_header(header_line, &header, &mut faults);
    if !faults.is_empty() {
        // Under a wrong header every line would be wrong too, and say nothing new.
        return Err(faults);
    }
    let mut reading = Reading {
        zone,
        headers: header.iter().skip(1).map(|&name| name.to_owned()).collect(),
        clock: Clock::default(),
        before: None,
        observed: Observed { spots, ..Observed::default() },
        faults,
    };
    for (line, cells) in lines {
        reading.row(line, &cells);
    }
    if reading.observed.rows.is_empty() && reading.faults.is_empty() {
        return Err(empty());
    }
    if reading.faults.is_empty() { Ok(reading.observed) } else { Err(reading.faults) }
}

/// As written, cut at a length that still fits a sentence.
fn clipped(text: &str) -> String {
    if text.chars().count() <= 40 { text.to_owned() } else { text.chars().take(39).chain(['…']).collect() }
}

fn cells(line: &str) -> Vec<&str> {
    line.split(',').map(|cell| cell.trim().trim_matches('"').trim()).collect()
}

fn read_header(line: usize, header: &[&str], faults: &mut Vec<Fault>) -> Vec<Spot> {
    let mut refuse = |key: &str, what: Wrong| faults.push(Fault { line, key: key.to_owned(), what });
    if header[0] != "time" {
        refuse("time", Wrong::NotOneOf { found: clipped(header[0]), words: vec!["time"] });
    }
    if header.len() < 2 {
        refuse("", Wrong::TooFew { found: header.len(), needed: 2 });
    }
    let mut spots: Vec<Spot> = Vec::new();
    for &name in &header[1..] {
        let Some(spot) = Spot::parse(name) else {
            refuse(name, Wrong::NotASpot { found: clipped(name) });
            continue;
        };
        if let Some(first) = spots.iter().position(|known| *known == spot) {
            refuse(name, Wrong::Twice { first: first + 2 });
        }
        spots.push(spot);
    }
    spots
}

struct Reading<'z> {
    zone: &'z Zone,
    headers: Vec<String>,
    clock: Clock,
    before: Option<(When, String)>,
    observed: Observed,
    faults: Vec<Fault>,
}

impl Reading<'_> {
    fn row(&mut self, line: usize, record: &[&str]) {
        let time = record[0].to_owned();
        if record.len() != self.headers.len() + 1 {
            let what = Wrong::Columns { header: self.headers.len() + 1, line: record.len() };
            self.faults.push(Fault { line, key: String::new(), what });
            return;
        }
        let Some((when, odd)) = self.clock.read(&time, self.zone) else {
            self.faults.push(Fault { line, key: "time".into(), what: Wrong::NotATime { found: clipped(&time) } });
            return;
        };
        if let Some(what) = odd {
            self.observed.oddities.push(Oddity { line, column: String::new(), text: time.clone(), what });
        }
        match &self.before {
            Some((before, _)) if std::mem::discriminant(before) != std::mem::discriminant(&when) => {
                self.faults.push(Fault { line, key: "time".into(), what: Wrong::MixedTimes });
                return;
            }
            Some((before, written)) if *before >= when => {
                let what = Wrong::TimesNotRising { before: written.clone(), time };
                self.faults.push(Fault { line, key: "time".into(), what });
                return;
            }
            _ => self.before = Some((when, time)),
        }
        let temps_c = record.iter().skip(1).enumerate().map(|(column, cell)| self.cell(line, column, cell)).collect();
        self.observed.rows.push(Row { line, when, temps_c });
    }

    fn cell(&mut self, line: usize, column: usize, cell: &str) -> Option<f64> {
        if cell.is_empty() || ["na", "nan", "null", "-"].contains(&cell.to_lowercase().as_str()) {
            return None;
        }
        let number = cell.parse::<f64>().ok().filter(|value| value.is_finite());
        let odd = match number {
            None => Odd::NotANumber,
            Some(value) if value < BELIEVED_C.0 || value > BELIEVED_C.1 => Odd::Absurd,
            Some(value) => return Some(value),
        };
        let column = self.headers[column].clone();
        self.observed.oddities.push(Oddity { line, column, text: cell.to_owned(), what: odd });
        None
    }
}
