//! What each column of a file seems to hold, and how that is known.

use std::borrow::Cow;

use super::names::{Named, clock_in, is_unit, named, where_of};
use super::table::{cells_of, is_blank, lines, number, separator};
use super::{Choices, Column, FileClock, Holds, How, Layout, NotALogger, Quantity, order, times};
use crate::observed::Place;

/// Lines looked at to know the columns.
const LOOKED_AT: usize = 400;
/// Title lines before the first value.
const TITLES_MOST: usize = 100;
/// Columns that are looked at.
pub(super) const COLUMNS_MOST: usize = 64;

type Cells<'t> = Vec<Cow<'t, str>>;

/// How a file is laid out, and what a person chose over it.
///
/// # Errors
/// When no line holds a time and a number.
pub fn layout(text: &str, choices: &Choices) -> Result<Layout, NotALogger> {
    let separator = separator(text);
    let some: Vec<(usize, Cells<'_>)> =
        lines(text).take(LOOKED_AT).map(|(line, text)| (line, cells_of(text, separator))).collect();
    if some.is_empty() {
        return Err(NotALogger::Empty);
    }
    let begun = |timed: fn(&str) -> bool| {
        let row = |cells: &Cells<'_>| {
            let times = cells.iter().filter(|cell| timed(cell)).count();
            times > 0
                && cells
                    .iter()
                    .any(|cell| number(cell, true).is_some_and(|(_, rest)| rest.len() < 12) && !is_time(cell))
        };
        some.iter().take(TITLES_MOST).position(|(_, cells)| row(cells))
    };
    let start = begun(is_time).or_else(|| begun(is_numbered_time)).ok_or(NotALogger::NoRow)?;
    let (header_line, heads) = heads(&some[..start]);
    // A closing remark of one cell is no row.
    let is_row = |cells: &&Cells<'_>| cells.iter().filter(|cell| !cell.is_empty()).count() > 1;
    let rows: Vec<&Cells<'_>> = some[start..].iter().map(|(_, cells)| cells).filter(is_row).collect();
    let width = width(&rows, heads.len());
    let heads: Vec<String> = (0..width).map(|at| heads.get(at).cloned().unwrap_or_default()).collect();
    let decimal_comma = decimal_comma(&rows, separator);
    let found = Found { heads: &heads, rows: &rows, decimal_comma };
    let mut columns = found.columns(&choices.columns);
    one_of_each(&mut columns);
    let mut layout = Layout {
        separator,
        decimal_comma,
        header_line,
        first_line: some[start].0,
        columns,
        order: None,
        clock: (FileClock::Farm, How::Guess),
    };
    layout.order = match choices.order {
        Some(order) if date_column(&layout).is_some() => Some((order, How::Chosen)),
        _ => order_of(text, &layout),
    };
    let titles = some[..start].iter().flat_map(|(_, cells)| cells.iter());
    if let Some(clock) = choices.clock {
        layout.clock = (clock, How::Chosen);
    } else if let Some(clock) = titles.filter_map(|cell| clock_in(cell)).next() {
        layout.clock = (clock, How::Header);
    }
    Ok(layout)
}

fn is_time(cell: &str) -> bool {
    times::stamp(cell).is_some() || times::stamp_turned(cell).is_some() || times::day(cell).is_some()
}

fn is_numbered_time(cell: &str) -> bool {
    cell.parse::<f64>().is_ok_and(|value| times::epoch(value).is_some() || times::serial(value).is_some())
}

/// The heads above the first row: the nearest line of several cells, with a line of units below it joined in.
fn heads(above: &[(usize, Cells<'_>)]) -> (Option<usize>, Vec<String>) {
    let filled = |cells: &Cells<'_>| cells.iter().filter(|cell| !cell.is_empty()).count();
    let Some(at) = above.iter().rposition(|(_, cells)| filled(cells) > 1) else { return (None, Vec::new()) };
    let (line, last) = &above[at];
    let units = last.iter().filter(|cell| is_unit(cell)).count();
    let own = |cells: &Cells<'_>| cells.iter().take(COLUMNS_MOST).map(|cell| cell.to_string()).collect::<Vec<_>>();
    let others = last.iter().filter(|cell| !cell.is_empty() && !is_unit(cell));
    if units > 0 && others.clone().all(|cell| named(cell) == Named::Unknown && cell.len() <= 12) && at > 0 {
        let (line, names) = &above[at - 1];
        if filled(names) > 1 {
            let unit = |at: usize| last.get(at).map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
            let joined = own(names).into_iter().enumerate();
            return (
                Some(*line),
                joined.map(|(at, name)| unit(at).map_or(name.clone(), |unit| format!("{name} ({unit})"))).collect(),
            );
        }
    }
    (Some(*line), own(last))
}

/// As many columns as most rows have, or as are headed.
fn width(rows: &[&Cells<'_>], headed: usize) -> usize {
    let mut counts: Vec<usize> = rows.iter().map(|cells| cells.len()).collect();
    counts.sort_unstable();
    let usual = counts.get(counts.len() / 2).copied().unwrap_or(0);
    usual.max(headed).min(COLUMNS_MOST)
}

/// Whether numbers are written with a comma for the point.
fn decimal_comma(rows: &[&Cells<'_>], separator: char) -> bool {
    let (mut commas, mut points) = (0usize, 0usize);
    for cell in rows.iter().flat_map(|cells| cells.iter()) {
        let digits = cell.trim_end_matches(|c: char| !c.is_ascii_digit());
        let part = |sign: char| {
            let (before, after) = digits.split_once(sign)?;
            let plain = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
            (plain(before.trim_start_matches(['-', '+'])) && plain(after)).then_some(after.len())
        };
        commas += usize::from(part(',').is_some_and(|after| separator != ',' || after != 3));
        points += usize::from(part('.').is_some());
    }
    commas > points
}

struct Found<'a, 't> {
    heads: &'a [String],
    rows: &'a [&'a Cells<'t>],
    decimal_comma: bool,
}

impl Found<'_, '_> {
    fn cells(&self, at: usize) -> impl Iterator<Item = &str> {
        self.rows.iter().filter_map(move |cells| cells.get(at)).map(|cell| cell.as_ref()).filter(|cell| !is_blank(cell))
    }
    /// Whether nearly all cells of a column pass.
    fn mostly(&self, at: usize, passes: impl Fn(&str) -> bool) -> bool {
        let (mut good, mut all) = (0, 0);
        for cell in self.cells(at) {
            (good, all) = (good + usize::from(passes(cell)), all + 1);
        }
        all > 0 && 10 * good >= 8 * all
    }
    fn numeric(&self, at: usize) -> bool {
        self.mostly(at, |cell| number(cell, self.decimal_comma).is_some_and(|(_, rest)| rest.len() < 12))
    }

    fn columns(&self, chosen: &std::collections::BTreeMap<usize, Holds>) -> Vec<Column> {
        let times = self.times();
        let mut columns: Vec<Column> = (0..self.heads.len())
            .map(|at| {
                let (holds, how) = match times.iter().find(|(place, ..)| *place == at) {
                    Some(&(_, holds, how)) => (holds, how),
                    None => self.value(at),
                };
                let (place, depth_m) = where_of(&self.heads[at]);
                Column { name: self.heads[at].clone(), holds, how, place, depth_m }
            })
            .collect();
        // Without a head that says so, the first numbers that could be water are taken for it.
        if !columns.iter().any(|column| column.holds.quantity().is_some()) {
            let unnamed = (0..columns.len()).find(|&at| {
                columns[at].holds == Holds::Nothing
                    && named(&self.heads[at]) == Named::Unknown
                    && self.numeric(at)
                    && !self.counts(at)
            });
            if let Some(at) = unnamed {
                let (holds, how) = self.temp(at);
                if how != How::Asked || !self.heads[at].is_empty() || self.heads.len() == 2 {
                    (columns[at].holds, columns[at].how) = (holds, how);
                }
            }
        }
        for (at, column) in columns.iter_mut().enumerate() {
            if let Some(&holds) = chosen.get(&at) {
                (column.holds, column.how) = (holds, How::Chosen);
            }
        }
        columns
    }

    /// The columns that hold the time: one with day and clock, or one of each, or one of numbers.
    fn times(&self) -> Vec<(usize, Holds, How)> {
        let all = || 0..self.heads.len();
        let stamp = |cell: &str| times::stamp(cell).is_some() || times::stamp_turned(cell).is_some();
        if let Some(at) = all().find(|&at| self.mostly(at, stamp)) {
            return vec![(at, Holds::Stamp, How::Cells)];
        }
        let date = all().find(|&at| self.mostly(at, |cell| times::day(cell).is_some()) && !self.is_value(at));
        if let Some(date) = date {
            let clock = all().find(|&at| at != date && self.mostly(at, |cell| times::clock(cell).is_some()));
            let clock = clock.map(|at| (at, Holds::Clock, How::Cells));
            return [(date, Holds::Date, How::Cells)].into_iter().chain(clock).collect();
        }
        let numbered = |holds: Holds, reads: fn(f64) -> bool| {
            let fits = |&at: &usize| {
                self.mostly(at, |cell| {
                    number(cell, self.decimal_comma).is_some_and(|(value, rest)| rest.is_empty() && reads(value))
                })
            };
            all().filter(|&at| !self.is_value(at)).find(fits).map(|at| {
                let small = self.heads[at].to_lowercase();
                let says = ["time", "date", "epoch", "unix", "stamp"].iter().any(|word| small.contains(word));
                (at, holds, if says { How::Header } else { How::Guess })
            })
        };
        numbered(Holds::Epoch, |value| times::epoch(value).is_some())
            .or_else(|| numbered(Holds::Serial, |value| times::serial(value).is_some()))
            .into_iter()
            .collect()
    }

    fn is_value(&self, at: usize) -> bool {
        !matches!(named(&self.heads[at]), Named::Unknown)
    }

    /// Whether a column only counts the rows.
    fn counts(&self, at: usize) -> bool {
        let values: Vec<f64> = self.cells(at).filter_map(|cell| cell.parse().ok()).collect();
        values.len() > 1 && values.windows(2).all(|pair| pair[1] - pair[0] == 1.0)
    }

    fn value(&self, at: usize) -> (Holds, How) {
        if !self.numeric(at) {
            return (Holds::Nothing, How::Cells);
        }
        match named(&self.heads[at]) {
            Named::Known(holds) => (holds, How::Header),
            Named::Temp => self.temp(at),
            Named::Other => (Holds::Nothing, How::Header),
            Named::Unknown => match self.unit_in_cells(at) {
                Some(holds) => (holds, How::Cells),
                None => (Holds::Nothing, How::Guess),
            },
        }
    }

    fn unit_in_cells(&self, at: usize) -> Option<Holds> {
        let unit = |cell: &str| number(cell, self.decimal_comma).and_then(|(_, rest)| unit_of(rest));
        let first = self.cells(at).find_map(unit)?;
        self.mostly(at, |cell| unit(cell) == Some(first)).then_some(first)
    }

    /// Fahrenheit or Celsius: by the cells, else by which of the two could be a pond.
    fn temp(&self, at: usize) -> (Holds, How) {
        if let Some(holds) = self.unit_in_cells(at).filter(|holds| holds.quantity() == Some(Quantity::Temperature)) {
            return (holds, How::Cells);
        }
        let mut values: Vec<f64> =
            self.cells(at).filter_map(|cell| number(cell, self.decimal_comma)).map(|(value, _)| value).collect();
        values.sort_by(f64::total_cmp);
        let Some(last) = values.len().checked_sub(1) else { return (Holds::TempC, How::Asked) };
        // A stray value at either end does not decide.
        let (low, high) = (values[last / 20], values[last - last / 20]);
        let (celsius, fahrenheit) = (low >= -1.0 && high <= 42.0, low >= 32.0 && high <= 107.0);
        match (celsius, fahrenheit) {
            (true, false) => (Holds::TempC, How::Guess),
            (false, true) => (Holds::TempF, How::Guess),
            _ => (Holds::TempC, How::Asked),
        }
    }
}

/// What the unit behind a number says.
pub(super) fn unit_of(rest: &str) -> Option<Holds> {
    let bare: String = rest.to_lowercase().chars().filter(|c| c.is_alphabetic() || *c == '/').collect();
    match bare.as_str() {
        "f" | "degf" | "fahrenheit" | "ºf" => Some(Holds::TempF),
        "c" | "degc" | "celsius" | "ºc" => Some(Holds::TempC),
        "mg/l" | "ppm" => Some(Holds::Oxygen),
        _ => None,
    }
}

/// Of two columns that hold the same at the same place, the first is taken; a person's choice before one that was found.
fn one_of_each(columns: &mut [Column]) {
    type Key = (Option<Quantity>, Option<Place>, Option<u64>);
    let key = |column: &Column| -> Key { (column.holds.quantity(), column.place, column.depth_m.map(f64::to_bits)) };
    for at in 0..columns.len() {
        if columns[at].holds.quantity().is_none() {
            continue;
        }
        let same = |other: &Column| key(other) == key(&columns[at]);
        let earlier = columns[..at]
            .iter()
            .any(|other| same(other) && (other.how == How::Chosen || columns[at].how != How::Chosen));
        let later = columns[at + 1..]
            .iter()
            .any(|other| same(other) && other.how == How::Chosen && columns[at].how != How::Chosen);
        if earlier || later {
            columns[at].holds = Holds::Nothing;
        }
    }
}

fn date_column(layout: &Layout) -> Option<usize> {
    layout.columns.iter().position(|column| matches!(column.holds, Holds::Stamp | Holds::Date))
}

fn order_of(text: &str, layout: &Layout) -> Option<(super::DateOrder, How)> {
    let at = date_column(layout)?;
    let is_stamp = layout.columns[at].holds == Holds::Stamp;
    let mut cells = Vec::new();
    let mut last = String::new();
    let days = lines(text).filter(|(line, _)| *line >= layout.first_line).filter_map(move |(_, text)| {
        super::table::split(text, layout.separator, &mut cells);
        let cell = cells.get(at)?;
        // Days repeat for hundreds of lines.
        let date = cell.get(..10).unwrap_or(cell);
        if is_stamp && date == last {
            return None;
        }
        date.clone_into(&mut last);
        if is_stamp {
            times::stamp(cell).or_else(|| times::stamp_turned(cell)).map(|stamp| stamp.day)
        } else {
            times::day(cell)
        }
    });
    order::find(days)
}
