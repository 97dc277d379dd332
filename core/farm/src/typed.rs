//! A farm file as typed: sections, keys and values with their lines, nothing judged yet.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::reasons::{Reason, Wrong};

/// A farm as typed: everything may be wrong, nothing is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmTyped {
    /// The top of the file.
    pub top: SectionTyped,
}

/// A section as typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SectionTyped {
    /// Line it begins on.
    pub line: usize,
    /// Its keys, in order of line.
    pub entries: Vec<EntryTyped>,
}

/// One key and its value as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryTyped {
    /// The key.
    pub key: String,
    /// Line of the key.
    pub line: usize,
    /// The value.
    pub value: ValueTyped,
}

/// A value as typed.
#[derive(Debug, Clone, PartialEq)]
pub enum ValueTyped {
    /// Text in quotes.
    Text(String),
    /// A number, as written.
    Number(String),
    /// `true` or `false`.
    YesNo(bool),
    /// A date, a time, or both, as written.
    Date(String),
    /// A list, each value with its line.
    List(Vec<(usize, ValueTyped)>),
    /// A section.
    Section(SectionTyped),
}

impl FarmTyped {
    /// Reads the text of a farm file (TOML).
    ///
    /// # Errors
    /// Everything the TOML reader stumbled over, in order of line.
    pub fn read(text: &str) -> Result<FarmTyped, Vec<Reason>> {
        // Some editors begin a file with an invisible mark.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let lines = Lines::of(text);
        let (table, errors) = DeTable::parse_recoverable(text);
        if errors.is_empty() {
            return Ok(FarmTyped { top: section(table.get_ref(), 1, &lines) });
        }
        let mut reasons: Vec<Reason> = errors
            .iter()
            .map(|error| Reason {
                line: error.span().map_or(1, |span| lines.line(span.start)),
                key: String::new(),
                of: None,
                typed: error.span().map_or(String::new(), |span| lines.text_at(text, span.start)),
                what: Wrong::NotWellFormed { remark: error.message().to_owned() },
            })
            .collect();
        // The reader tells of keys first and of values after.
        reasons.sort_by_key(|reason| reason.line);
        Err(reasons)
    }
}

impl SectionTyped {
    /// The entry with this key.
    pub fn get(&self, key: &str) -> Option<&EntryTyped> {
        self.entries.iter().find(|entry| entry.key == key)
    }
}

impl ValueTyped {
    /// The value as one line of text, for showing it back.
    pub fn shown(&self) -> String {
        match self {
            ValueTyped::Text(text) | ValueTyped::Number(text) | ValueTyped::Date(text) => text.clone(),
            ValueTyped::YesNo(yes) => yes.to_string(),
            ValueTyped::List(values) => {
                let shown: Vec<String> = values.iter().map(|(_, value)| value.shown()).collect();
                format!("[{}]", shown.join(", "))
            }
            ValueTyped::Section(section) => {
                let shown: Vec<String> =
                    section.entries.iter().map(|entry| format!("{} = {}", entry.key, entry.value.shown())).collect();
                format!("{{ {} }}", shown.join(", "))
            }
        }
    }
}

/// Where lines begin, so that a place is turned into its line quickly.
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Lines {
        Lines(text.bytes().enumerate().filter(|&(_, byte)| byte == b'\n').map(|(at, _)| at).collect())
    }
    fn line(&self, at: usize) -> usize {
        1 + self.0.partition_point(|&end| end < at)
    }
    fn text_at(&self, text: &str, at: usize) -> String {
        text.lines().nth(self.line(at) - 1).unwrap_or("").trim().to_owned()
    }
}

fn section(table: &DeTable<'_>, line: usize, lines: &Lines) -> SectionTyped {
    let mut entries: Vec<EntryTyped> = table
        .iter()
        .map(|(key, value)| {
            let line = lines.line(key.span().start);
            EntryTyped { key: key.get_ref().to_string(), line, value: typed(value, line, lines) }
        })
        .collect();
    entries.sort_by_key(|entry| entry.line);
    SectionTyped { line, entries }
}

fn typed(value: &Spanned<DeValue<'_>>, line: usize, lines: &Lines) -> ValueTyped {
    match value.get_ref() {
        DeValue::String(text) => ValueTyped::Text(text.to_string()),
        DeValue::Integer(number) => ValueTyped::Number(number.to_string()),
        DeValue::Float(number) => ValueTyped::Number(number.to_string()),
        DeValue::Boolean(yes) => ValueTyped::YesNo(*yes),
        DeValue::Datetime(date) => ValueTyped::Date(date.to_string()),
        DeValue::Array(values) => ValueTyped::List(
            values
                .iter()
                .map(|value| {
                    let line = lines.line(value.span().start);
                    (line, typed(value, line, lines))
                })
                .collect(),
        ),
        DeValue::Table(table) => ValueTyped::Section(section(table, line, lines)),
    }
}
