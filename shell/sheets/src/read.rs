//! A workbook's sheets as text: cells parted by tabs, a line for each row.

use std::io::{Cursor, Read, copy, sink};

use calamine::{DataRef, ExcelDateTime, Reader, Xlsx, open_workbook_from_rs};
use farm::logger::Sheet;
use units::Day;

/// Most bytes that a workbook may unpack to.
const UNPACKED_MOST: u64 = 400 << 20;
/// Most parts in it.
const PARTS_MOST: usize = 2000;
/// Most bytes of text that are made of it.
const TEXT_MOST: usize = 200 << 20;
/// Sheets that are looked at.
const SHEETS_MOST: usize = 50;
/// Columns that are looked at.
const COLUMNS_MOST: u32 = 64;

/// Why a workbook is not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetError {
    /// It is no workbook, or it is damaged.
    NotAWorkbook,
    /// It unpacks to more than is read.
    TooLarge,
}

/// Whether bytes begin like a packed workbook.
pub fn is_workbook(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
}

/// The sheets of a workbook in order, empty ones left out.
///
/// # Errors
/// When it is none, or unpacks to too much.
pub fn read(bytes: &[u8]) -> Result<Vec<Sheet>, SheetError> {
    weigh(bytes)?;
    let mut book: Xlsx<_> = open_workbook_from_rs(Cursor::new(bytes)).map_err(|_| SheetError::NotAWorkbook)?;
    let names: Vec<String> = book.sheet_names().into_iter().take(SHEETS_MOST).collect();
    let mut left = TEXT_MOST;
    let mut sheets = Vec::new();
    for name in names {
        // A sheet of charts has no cells; the others are still read.
        let Ok(timed) = timed_columns(&mut book, &name) else { continue };
        let text = text(&mut book, &name, &timed, left)?;
        left -= text.len();
        if !text.trim().is_empty() {
            sheets.push(Sheet { name, text });
        }
    }
    if sheets.is_empty() { Err(SheetError::NotAWorkbook) } else { Ok(sheets) }
}

/// Unpacks every part into nothing and counts: the sizes that a packed file states are only claims.
fn weigh(bytes: &[u8]) -> Result<(), SheetError> {
    let mut pack = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| SheetError::NotAWorkbook)?;
    if pack.len() > PARTS_MOST {
        return Err(SheetError::TooLarge);
    }
    let mut left = UNPACKED_MOST;
    for at in 0..pack.len() {
        let part = pack.by_index(at).map_err(|_| SheetError::NotAWorkbook)?;
        let size = copy(&mut part.take(left + 1), &mut sink()).map_err(|_| SheetError::NotAWorkbook)?;
        left = left.checked_sub(size).ok_or(SheetError::TooLarge)?;
    }
    Ok(())
}

type Book<'b> = Xlsx<Cursor<&'b [u8]>>;

/// Columns whose dates carry a clock time: elsewhere midnight is no time but a day.
fn timed_columns(book: &mut Book<'_>, name: &str) -> Result<Vec<bool>, SheetError> {
    let mut timed = vec![false; COLUMNS_MOST as usize];
    let mut cells = book.worksheet_cells_reader(name).map_err(|_| SheetError::NotAWorkbook)?;
    while let Some(cell) = cells.next_cell().map_err(|_| SheetError::NotAWorkbook)? {
        let (_, column) = cell.get_position();
        if let (DataRef::DateTime(when), Some(timed)) = (cell.get_value(), timed.get_mut(column as usize)) {
            *timed |= moment(when).is_some_and(|(_, second)| second != 0);
        }
    }
    Ok(timed)
}

fn text(book: &mut Book<'_>, name: &str, timed: &[bool], most: usize) -> Result<String, SheetError> {
    let mut cells = book.worksheet_cells_reader(name).map_err(|_| SheetError::NotAWorkbook)?;
    let mut text = String::new();
    let (mut row, mut column) = (0, 0);
    while let Some(cell) = cells.next_cell().map_err(|_| SheetError::NotAWorkbook)? {
        let (at_row, at_column) = cell.get_position();
        if at_column >= COLUMNS_MOST || *cell.get_value() == DataRef::Empty || at_row < row {
            continue;
        }
        while row < at_row {
            text.push('\n');
            (row, column) = (row + 1, 0);
        }
        while column < at_column {
            text.push('\t');
            column += 1;
        }
        put(&mut text, cell.get_value(), timed.get(at_column as usize) == Some(&true));
        if text.len() > most {
            return Err(SheetError::TooLarge);
        }
    }
    Ok(text)
}

fn put(text: &mut String, value: &DataRef<'_>, timed: bool) {
    let plain = |text: &str| text.replace(['\t', '\n', '\r', '"'], " ");
    match value {
        DataRef::Int(number) => *text += &number.to_string(),
        DataRef::Float(number) => *text += &number.to_string(),
        DataRef::String(said) | DataRef::DateTimeIso(said) | DataRef::DurationIso(said) => *text += &plain(said),
        DataRef::SharedString(said) => *text += &plain(said),
        DataRef::Bool(said) => *text += if *said { "yes" } else { "no" },
        DataRef::DateTime(when) => match moment(when) {
            // A number below one is a clock time without a day.
            Some((_, second)) if when.as_f64() < 1.0 => *text += &clock(second),
            Some((day, second)) if timed => *text += &format!("{day} {}", clock(second)),
            Some((day, _)) => *text += &day.to_string(),
            None => *text += &when.as_f64().to_string(),
        },
        DataRef::Error(_) | DataRef::Empty => {}
    }
}

fn clock(second: i32) -> String {
    format!("{:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60)
}

/// Day and second of the day, rounded: the fraction of a day that stands for a minute falls a little beside it.
fn moment(when: &ExcelDateTime) -> Option<(Day, i32)> {
    if !(0.0..3_000_000.0).contains(&when.as_f64()) {
        return None;
    }
    let (year, month, day, hour, minute, second, milli) = when.to_ymd_hms_milli();
    let day =
        Day::new(i16::try_from(year).ok()?, i8::try_from(month).ok()?, i8::try_from(day).ok().filter(|&day| day > 0)?)?;
    let whole = i32::from(hour) * 3600 + i32::from(minute) * 60 + i32::from(second) + i32::from(milli >= 500);
    Some((day.plus(whole / 86_400), whole % 86_400))
}
