//! Tables as CSV, for any spreadsheet. A text that a spreadsheet would take for a formula gets an apostrophe before it: these files
//! are for looking at, and it is the archive that comes in again.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;

use rusqlite::Connection;
use rusqlite::types::ValueRef;
use units::Watch;

use crate::archive::{TABLES, columns, each_row};
use crate::error::StoreError;
use crate::file::Store;

impl Store {
    /// Names of the tables that go out, in order.
    pub fn tables() -> impl Iterator<Item = &'static str> {
        TABLES.iter().map(|(table, _)| *table)
    }

    /// Writes one CSV file for each table into a folder, which is made; gives the number of rows.
    ///
    /// # Errors
    /// When the record cannot be read or the folder not be written.
    pub fn export_csv(&self, folder: &Path, watch: &Watch) -> Result<u64, StoreError> {
        std::fs::create_dir(folder).map_err(|error| StoreError::of_file(&error, folder))?;
        self.snapshot(|connection| {
            let mut rows = 0;
            for (table, order) in TABLES {
                let path = folder.join(format!("{table}.csv"));
                rows += write(connection, (table, order), &path, watch)?;
            }
            Ok(rows)
        })
    }

    /// Writes one table as CSV; gives the number of rows.
    ///
    /// # Errors
    /// When there is no such table, or the file cannot be written.
    pub fn export_table(&self, table: &str, to: &Path, watch: &Watch) -> Result<u64, StoreError> {
        let known = TABLES.into_iter().find(|(name, _)| *name == table).ok_or(StoreError::Missing)?;
        self.snapshot(|connection| write(connection, known, to, watch))
    }
}

fn write(connection: &Connection, (table, order): (&str, &str), to: &Path, watch: &Watch) -> Result<u64, StoreError> {
    let failed = |error: std::io::Error| StoreError::of_file(&error, to);
    let mut out = BufWriter::new(File::create(to).map_err(failed)?);
    writeln!(out, "{}", columns(connection, table)?.join(",")).map_err(failed)?;
    let rows = each_row(connection, table, order, watch, |_, cells| {
        let line: Vec<String> = cells.iter().map(|cell| to_csv(*cell)).collect();
        writeln!(out, "{}", line.join(",")).map_err(failed)
    })?;
    out.flush().map_err(failed)?;
    Ok(rows)
}

fn to_csv(cell: ValueRef<'_>) -> String {
    let text = match cell {
        ValueRef::Null => return String::new(),
        ValueRef::Integer(number) => return number.to_string(),
        ValueRef::Real(number) => return number.to_string(),
        ValueRef::Text(text) => String::from_utf8_lossy(text).into_owned(),
        ValueRef::Blob(bytes) => return crate::digest::hex(bytes),
    };
    csv_text(&text)
}

/// A text as a cell of CSV, never taken for a formula.
pub fn csv_text(text: &str) -> String {
    let text = if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() };
    // An empty text is told from nothing by its quotes.
    if text.is_empty() || text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_is_taken_for_a_formula() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("@a,b", "\"'@a,b\""),
            ("-2", "'-2"),
            ("plain", "plain"),
            ("", "\"\""),
            ("said \"so\"", "\"said \"\"so\"\"\""),
        ] {
            assert_eq!(to_csv(ValueRef::Text(text.as_bytes())), cell);
        }
        assert_eq!(to_csv(ValueRef::Real(-0.25)), "-0.25", "numbers stay as they are");
    }
}
