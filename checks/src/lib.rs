//! Published and independent values, each with its source, and the short runners that use them.
//!
//! A check is a row of a file under `values/`. The file opens with what it holds, where that came from, how it was
//! obtained and how closely it must be met; a continued line begins with `#` and spaces. Plain CSV follows. A value our
//! own program printed is a regression row and says so in its `kind` column.

pub mod fronts;

use std::path::PathBuf;

/// A file of check values.
#[derive(Debug, Clone)]
pub struct Table {
    /// Name of the file.
    pub name: String,
    /// What the values are.
    pub what: String,
    /// Where they come from.
    pub source: String,
    /// How they were obtained.
    pub obtained: String,
    /// How closely they must be met, and why no closer.
    pub tolerance: String,
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row, with the names of its columns.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    table: &'a Table,
    number: usize,
}

/// Reads a file under `checks/values/`; a missing or faulty file ends the test with the reason.
pub fn read(name: &str) -> Table {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("values").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    parse(name, &text).unwrap_or_else(|fault| panic!("{fault}"))
}

/// Reads the text of a file of check values; the fault names file and line.
pub fn parse(name: &str, text: &str) -> Result<Table, String> {
    let mut parts = [const { String::new() }; HEADER.len()];
    let mut current = None;
    for (index, line) in text.lines().enumerate().take_while(|(_, line)| line.starts_with('#')) {
        let body = line[1..].trim();
        let begins = HEADER.iter().position(|key| line.strip_prefix("# ").is_some_and(|rest| first_word(rest) == *key));
        let into = begins.or(current).ok_or_else(|| format!("{name}:{}: a header line before `# what`", index + 1))?;
        let said = if begins.is_some() { body[HEADER[into].len()..].trim() } else { body };
        if !parts[into].is_empty() {
            parts[into].push(' ');
        }
        parts[into].push_str(said);
        current = Some(into);
    }
    if let Some(missing) = HEADER.iter().zip(&parts).find(|(_, part)| part.is_empty()) {
        return Err(format!("{name}: the header lacks `# {}`", missing.0));
    }
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let columns = reader.headers().map_err(|error| format!("{name}: {error}"))?.iter().map(str::to_owned).collect();
    let rows = reader
        .records()
        .map(|record| Ok(record.map_err(|error| format!("{name}: {error}"))?.iter().map(str::to_owned).collect()))
        .collect::<Result<Vec<Vec<String>>, String>>()?;
    if rows.is_empty() {
        return Err(format!("{name}: no rows"));
    }
    let [what, source, obtained, tolerance] = parts;
    Ok(Table { name: name.to_owned(), what, source, obtained, tolerance, columns, rows })
}

const HEADER: [&str; 4] = ["what", "source", "obtained", "tolerance"];

fn first_word(text: &str) -> &str {
    text.split_whitespace().next().unwrap_or("")
}

impl Table {
    /// The rows in file order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.rows.len()).map(|number| Row { table: self, number })
    }

    /// The first row whose `column` reads `text`.
    pub fn find(&self, column: &str, text: &str) -> Row<'_> {
        self.rows()
            .find(|row| row.text(column) == text)
            .unwrap_or_else(|| panic!("{}: no row with {column} = {text}", self.name))
    }
}

impl<'a> Row<'a> {
    /// The cell as written.
    pub fn text(&self, column: &str) -> &'a str {
        let place = self.table.columns.iter().position(|name| name == column);
        let place = place.unwrap_or_else(|| panic!("{}: no column {column}", self.table.name));
        self.table.rows[self.number][place].trim()
    }

    /// The cell as a number; `None` when it is blank.
    pub fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        let number = |_| panic!("{} row {}: {column} is no number: {text}", self.table.name, self.number + 1);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(number))
    }

    /// The cell as a number; a blank ends the test.
    pub fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{} row {}: {column} is blank", self.table.name, self.number + 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = "# what       a thing\n# source     a book,\n#            second edition\n# obtained   typed\n# tolerance  1e-3: digits given\nname,value\n\"one, two\",2.5\nthree,\n";

    #[test]
    fn a_header_may_run_over_lines() {
        let table = parse("made-up.csv", GOOD).expect("well formed");
        assert_eq!(table.source, "a book, second edition");
        assert_eq!(table.find("name", "one, two").number("value"), 2.5);
        assert_eq!(table.find("name", "three").maybe("value"), None);
    }

    #[test]
    fn a_header_without_a_part_is_refused() {
        for key in HEADER {
            let bad = GOOD.replace(&format!("# {key} "), "# remark ");
            let fault = parse("made-up.csv", &bad).expect_err("incomplete");
            assert!(fault.contains(key) || fault.contains("before `# what`"), "{fault}");
        }
        assert!(parse("made-up.csv", &GOOD[..GOOD.find("\"one").expect("a row")]).is_err(), "no rows");
    }

    #[test]
    fn every_file_of_values_reads() {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("values");
        let mut names: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder of values")
            .map(|entry| entry.expect("an entry").file_name().into_string().expect("plain names"))
            .collect();
        names.sort();
        for name in &names {
            assert!(read(name).rows().count() > 0, "{name}");
        }
        assert!(names.len() >= 13, "files went missing: {names:?}");
    }
}
