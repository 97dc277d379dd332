//! Bytes to lines and cells.
//!
//! Own splitting instead of a general one: a stray quote may spoil its own line but never swallow those after it, and every
//! line keeps its number.

use std::borrow::Cow;

use crate::findings::{Done, Finding, Refusal, What};

/// The text of a file. UTF-8 with or without its mark, and the UTF-16 some spreadsheets save; other bytes become `\u{FFFD}` and
/// are named.
pub(super) fn decode<'a>(bytes: &'a [u8], findings: &mut Vec<Finding>) -> Cow<'a, str> {
    let wide = |rest: &[u8], unit: fn([u8; 2]) -> u16| {
        let units = rest.chunks_exact(2).map(|pair| unit([pair[0], pair[1]]));
        char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER)).collect::<String>()
    };
    let text = match bytes {
        [0xFF, 0xFE, rest @ ..] => Cow::Owned(wide(rest, u16::from_le_bytes)),
        [0xFE, 0xFF, rest @ ..] => Cow::Owned(wide(rest, u16::from_be_bytes)),
        [0xEF, 0xBB, 0xBF, rest @ ..] => String::from_utf8_lossy(rest),
        _ => String::from_utf8_lossy(bytes),
    };
    if text.contains(char::REPLACEMENT_CHARACTER) {
        let bad = text.lines().enumerate().filter(|(_, line)| line.contains(char::REPLACEMENT_CHARACTER));
        findings.extend(bad.map(|(i, line)| Finding::cell(i + 1, "", line, What::NotText, Done::Kept)));
    }
    text
}

/// A table with a header: lines that begin with # are remarks, empty lines are passed over.
pub(super) struct Table<'a> {
    /// Remark lines with their numbers, without the #.
    pub remarks: Vec<(usize, &'a str)>,
    /// Number of the header line.
    pub header_line: usize,
    /// The header's cells as written.
    pub header: Vec<Cow<'a, str>>,
    /// The lines below with their numbers.
    pub lines: Vec<(usize, &'a str)>,
    separator: char,
}

impl<'a> Table<'a> {
    pub(super) fn new(text: &'a str) -> Result<Table<'a>, Refusal> {
        let mut remarks = Vec::new();
        let mut lines = Vec::new();
        for (i, line) in text.lines().enumerate() {
            let line = line.trim_end_matches('\r');
            if let Some(remark) = line.trim_start().strip_prefix('#') {
                remarks.push((i + 1, remark.trim()));
            } else if !line.trim().is_empty() {
                lines.push((i + 1, line));
            }
        }
        let &(header_line, first) = lines.first().ok_or(Refusal::Empty)?;
        let separator = separator_of(first);
        let header = split(first, separator);
        lines.remove(0);
        if lines.is_empty() {
            return Err(Refusal::Empty);
        }
        Ok(Table { remarks, header_line, header, lines, separator })
    }

    /// The cells of a line.
    pub(super) fn cells(&self, line: &'a str) -> Vec<Cow<'a, str>> {
        split(line, self.separator)
    }

    /// A number as this table writes it: a decimal comma where the comma does not part the cells.
    pub(super) fn number(&self, text: &str) -> Option<f64> {
        if self.separator != ',' && text.contains(',') { number(&text.replace(',', ".")) } else { number(text) }
    }

    /// The value of a remark `key: value` or `key = value`.
    pub(super) fn remark(&self, key: &str) -> Option<(usize, &'a str)> {
        self.remarks.iter().find_map(|&(line, remark)| {
            let rest = remark.strip_prefix(key)?.trim_start();
            let value = rest.strip_prefix(':').or_else(|| rest.strip_prefix('='))?;
            Some((line, value.trim().trim_matches('"')))
        })
    }

    /// A finding when a line has another number of cells than the header. Empty cells at the end do not count.
    pub(super) fn count_cells(&self, line: usize, cells: &[Cow<'a, str>]) -> Option<Finding> {
        let filled = cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1);
        let what = What::CellCount { found: cells.len(), expected: self.header.len() };
        (cells.len() < self.header.len() || filled > self.header.len()).then(|| Finding::line(line, what, Done::Kept))
    }
}

/// A finite number; `inf` and `nan` are words here.
pub(super) fn number(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|value| value.is_finite())
}

/// What people write where there is no value.
pub(super) fn is_blank(text: &str) -> bool {
    let text = text.trim();
    text.is_empty()
        || text == "-"
        || text == "--"
        || ["na", "n/a", "nan", "null", "none", "missing", "m"].iter().any(|word| text.eq_ignore_ascii_case(word))
}

fn separator_of(header: &str) -> char {
    let count = |separator| header.matches(separator).count();
    [';', '\t'].into_iter().find(|&separator| count(separator) > count(',')).unwrap_or(',')
}

fn split(line: &str, separator: char) -> Vec<Cow<'_, str>> {
    if !line.contains('"') {
        return line.split(separator).map(|cell| Cow::Borrowed(cell.trim())).collect();
    }
    let mut cells = Vec::new();
    let mut cell = String::new();
    let mut quoted = false;
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                cell.push('"');
                letters.next();
            }
            '"' => quoted = !quoted,
            _ if letter == separator && !quoted => cells.push(Cow::Owned(std::mem::take(&mut cell).trim().to_owned())),
            _ => cell.push(letter),
        }
    }
    cells.push(Cow::Owned(cell.trim().to_owned()));
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_as_people_write_them() {
        for (line, separator, expected) in [
            ("a, b ,c", ',', vec!["a", "b", "c"]),
            ("\"a,b\",\"c \"\"d\"\"\"", ',', vec!["a,b", "c \"d\""]),
            ("\"open,b", ',', vec!["open,b"]),
            ("1;2,5;", ';', vec!["1", "2,5", ""]),
        ] {
            assert_eq!(split(line, separator), expected, "{line}");
        }
    }

    #[test]
    fn a_table_keeps_its_line_numbers() {
        let table = Table::new("# a: 5\n\ndate;low_c\r\n# b\n2020-01-01;-3,5\n").expect("a table");
        assert_eq!(table.header_line, 3);
        assert_eq!(table.lines, [(5, "2020-01-01;-3,5")]);
        assert_eq!(table.remark("a"), Some((1, "5")));
        assert_eq!(table.number("-3,5"), Some(-3.5));
        assert_eq!(table.number("inf"), None);
        assert!(matches!(Table::new("# only\n\n"), Err(Refusal::Empty)));
        assert!(matches!(Table::new("date,low_c\n"), Err(Refusal::Empty)));
    }

    #[test]
    fn the_encodings_of_spreadsheets() {
        let mut findings = Vec::new();
        let utf16: Vec<u8> = [0xFF, 0xFE].into_iter().chain("a,°".encode_utf16().flat_map(u16::to_le_bytes)).collect();
        assert_eq!(decode(&utf16, &mut findings), "a,°");
        assert_eq!(decode(b"\xEF\xBB\xBFa", &mut findings), "a");
        assert!(findings.is_empty());
        decode(b"a\nb\xB0c\n", &mut findings);
        assert_eq!(findings[0].line, 2);
        assert_eq!(findings[0].what, What::NotText);
    }
}
