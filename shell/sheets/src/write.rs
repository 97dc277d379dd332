//! Tables as a workbook.

use rust_xlsxwriter::{ExcelDateTime, Format, FormatAlign, Formula, Workbook, XlsxError};
use units::civil::DateTime;

/// Rows of a sheet, its head left out; more go on to a further sheet.
const ROWS_MOST: usize = 1_048_000;
/// Letters in a cell.
const LETTERS_MOST: usize = 32_000;

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// A text: never a formula, whatever it begins with.
    Text(String),
    /// A number in the unit of its head.
    Number(f64),
    /// A formula of this program's own making, and what it comes to; nothing that a person typed stands in one.
    Formula(String, f64),
    /// A day.
    Day(units::Day),
    /// A clock's face; which clock, the head says.
    Clock(DateTime),
}

/// One table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Name of the sheet.
    pub name: String,
    /// Heads, units included.
    pub heads: Vec<String>,
    /// Rows, each as long as the heads.
    pub rows: Vec<Vec<Cell>>,
}

/// A workbook of these tables.
///
/// # Errors
/// When a table cannot be written, in the words of the writer.
pub fn write(tables: &[Table]) -> Result<Vec<u8>, String> {
    filled(tables).map_err(|error| error.to_string())
}

fn filled(tables: &[Table]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let head = Format::new().set_bold().set_align(FormatAlign::Left);
    let day_only = Format::new().set_num_format("yyyy-mm-dd");
    let clock = Format::new().set_num_format("yyyy-mm-dd hh:mm:ss");
    for table in tables {
        let chunks: Vec<&[Vec<Cell>]> =
            if table.rows.is_empty() { vec![&[]] } else { table.rows.chunks(ROWS_MOST).collect() };
        for (n, rows) in chunks.into_iter().enumerate() {
            let name = if n == 0 { table.name.clone() } else { format!("{} {}", table.name, n + 1) };
            let sheet = book.add_worksheet().set_name(name)?.set_freeze_panes(1, 0)?;
            for (column, text) in (0u16..).zip(&table.heads) {
                sheet.write_string_with_format(0, column, text, &head)?;
                sheet.set_column_width(column, (text.chars().count() as f64 + 2.0).clamp(10.0, 30.0))?;
            }
            for (row, cells) in (1u32..).zip(rows) {
                for (column, cell) in (0u16..).zip(cells) {
                    match cell {
                        Cell::Empty => {}
                        // Only `write_string`: the writer's plain `write` would take a text that begins with = for a formula.
                        Cell::Text(text) => {
                            sheet.write_string(row, column, cut(text))?;
                        }
                        Cell::Number(number) => {
                            sheet.write_number(row, column, *number)?;
                        }
                        Cell::Formula(formula, comes_to) => {
                            let formula = Formula::new(formula).set_result(comes_to.to_string());
                            sheet.write_formula(row, column, formula)?;
                        }
                        Cell::Day(day) => {
                            let (year, month, of_month) = day.ymd();
                            let part = |value: i8| u8::try_from(value).unwrap_or(1);
                            match u16::try_from(year)
                                .ok()
                                .and_then(|year| ExcelDateTime::from_ymd(year, part(month), part(of_month)).ok())
                            {
                                Some(date) => sheet.write_datetime_with_format(row, column, date, &day_only)?,
                                None => sheet.write_string(row, column, day.to_string())?,
                            };
                        }
                        Cell::Clock(face) => {
                            match date(face) {
                                Some(date) => sheet.write_datetime_with_format(row, column, date, &clock)?,
                                None => sheet.write_string(row, column, face.to_string())?,
                            };
                        }
                    }
                }
            }
        }
    }
    book.save_to_buffer()
}

fn cut(text: &str) -> String {
    text.chars().take(LETTERS_MOST).collect()
}

/// Spreadsheets know the years from 1900.
fn date(face: &DateTime) -> Option<ExcelDateTime> {
    let part = |value: i8| u8::try_from(value).ok();
    let date =
        ExcelDateTime::from_ymd(u16::try_from(face.year()).ok()?, part(face.month())?, part(face.day())?).ok()?;
    date.and_hms(u16::try_from(face.hour()).ok()?, part(face.minute())?, f64::from(face.second())).ok()
}
