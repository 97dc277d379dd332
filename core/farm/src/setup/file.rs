//! A draft as a farm file, with the line of every answer, so that what is wrong finds its field.

use std::fmt::Write;

use super::{Draft, input_at};
use crate::inputs::{Input, Takes, inputs_of};
use crate::reasons::Reason;
use crate::typed::ValueTyped;

/// A farm file made from a draft.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Written {
    /// The file.
    pub text: String,
    /// Line of each answer and of each section's heading (whose address ends with a full stop).
    lines: Vec<(usize, String)>,
    line: usize,
}

/// Sections that stand in every file, so that what is missing is told by its own name.
const ALWAYS: [&str; 6] = ["place", "weather", "season", "crew", "cold", "selling"];

impl Draft {
    /// The farm file.
    pub fn file(&self) -> Written {
        let mut written = Written { line: 1, ..Written::default() };
        written.values(self, "farm", "farm.");
        for input in inputs_of("farm") {
            match input.takes {
                Takes::Section if ALWAYS.contains(&input.name()) || self.has_section(&format!("{}.", input.name())) => {
                    written.section(self, input.name(), &format!("[{}]", input.name()), &format!("{}.", input.name()));
                }
                Takes::Sections => written.rows(self, input.name(), input.name(), input.name()),
                _ => {}
            }
        }
        written
    }

    fn has_section(&self, prefix: &str) -> bool {
        self.below(prefix).next().is_some()
    }
}

impl Written {
    fn push(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
        self.line += 1;
    }

    fn section(&mut self, draft: &Draft, name: &'static str, heading: &str, prefix: &str) {
        self.push("");
        self.lines.push((self.line, prefix.to_owned()));
        self.push(heading);
        self.values(draft, name, prefix);
        let path = heading.trim_matches(['[', ']']).to_owned();
        for input in inputs_of(name) {
            let inner = format!("{prefix}{}.", input.name());
            match input.takes {
                Takes::Section if input.name() == "stocked" || draft.has_section(&inner) => {
                    self.section(draft, input.name(), &format!("[{path}.{}]", input.name()), &inner);
                }
                Takes::Sections => {
                    self.rows(draft, input.name(), &format!("{path}.{}", input.name()), inner.trim_end_matches('.'));
                }
                _ => {}
            }
        }
    }

    fn rows(&mut self, draft: &Draft, name: &'static str, path: &str, prefix: &str) {
        for row in 0..draft.rows(prefix) {
            self.section(draft, name, &format!("[[{path}]]"), &format!("{prefix}.{row}."));
        }
    }

    /// The values of a section: those of the table in its order, then whatever else was typed there.
    fn values(&mut self, draft: &Draft, name: &'static str, prefix: &str) {
        for input in inputs_of(name) {
            self.value(draft, &format!("{prefix}{}", input.name()), Some(input));
        }
        let own = |at: &&str| at.strip_prefix(prefix).is_some_and(|rest| !rest.contains('.')) && input_at(at).is_none();
        let others: Vec<String> = draft.below(prefix).map(|(at, _)| at).filter(own).map(str::to_owned).collect();
        for at in others {
            self.value(draft, &at, None);
        }
    }

    fn value(&mut self, draft: &Draft, at: &str, input: Option<&Input>) {
        let text = draft.get(at);
        let is_section = input.is_some_and(|input| matches!(input.takes, Takes::Section | Takes::Sections));
        if text.is_empty() || is_section {
            return;
        }
        let key = at.rsplit('.').next().unwrap_or(at);
        self.lines.push((self.line, at.to_owned()));
        let line = format!("{} = {}", key_in_file(key), value_in_file(text, input.map(|input| input.takes)));
        self.push(&line);
    }

    /// The address of the answer that a reason speaks of; of a whole section that is missing, its name.
    pub fn at(&self, reason: &Reason) -> Option<String> {
        self.address(reason.line, &reason.key)
    }

    /// The address of a key on a line.
    pub fn address(&self, line: usize, key: &str) -> Option<String> {
        let name = key.rsplit('.').next().unwrap_or(key);
        let here = || self.lines.iter().filter(|(at, _)| *at == line).map(|(_, address)| address);
        let value = here().find(|address| address.rsplit('.').next() == Some(name));
        let heading = here().find(|address| address.ends_with('.'));
        match (value, heading) {
            (Some(address), _) => Some(address.clone()),
            (None, Some(heading)) => Some(format!("{heading}{name}")),
            // A key that is missing at the top of the file.
            (None, None) => key.strip_prefix("farm.").map(|name| format!("farm.{name}")),
        }
    }
}

/// A key that TOML takes bare is written so.
fn key_in_file(key: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-');
    if !key.is_empty() && key.chars().all(bare) { key.to_owned() } else { quoted(key) }
}

fn value_in_file(text: &str, takes: Option<Takes>) -> String {
    let list = |rows: Vec<String>| format!("[{}]", rows.join(", "));
    match takes {
        Some(Takes::Pumps | Takes::Weekdays | Takes::Dates) => {
            list(text.split(',').map(str::trim).filter(|part| !part.is_empty()).map(quoted).collect())
        }
        Some(Takes::DepthsAndAreas) => list(
            text.split(';')
                .filter_map(|pair| pair.split_once(':'))
                .map(|(depth, area)| format!("[{}, {}]", quoted(depth.trim()), quoted(area.trim())))
                .collect(),
        ),
        Some(Takes::YesNo) if matches!(text, "true" | "false") => text.to_owned(),
        _ => quoted(text),
    }
}

/// Text in quotes, as TOML writes it on one line.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            control if control.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(control));
            }
            other => quoted.push(other),
        }
    }
    quoted.push('"');
    quoted
}

/// A value of a farm file as one would type it into a field.
pub(super) fn as_typed(value: &ValueTyped) -> String {
    match value {
        // TOML writes 24_000 and 1e3 too.
        ValueTyped::Number(number) => {
            let bare = number.replace('_', "");
            if bare.contains(['e', 'E']) { bare.parse::<f64>().map_or(bare, |number| number.to_string()) } else { bare }
        }
        ValueTyped::List(rows) if rows.iter().any(|(_, row)| matches!(row, ValueTyped::List(_))) => {
            let pair = |row: &ValueTyped| match row {
                ValueTyped::List(pair) => pair.iter().map(|(_, part)| as_typed(part)).collect::<Vec<_>>().join(": "),
                other => as_typed(other),
            };
            rows.iter().map(|(_, row)| pair(row)).collect::<Vec<_>>().join("; ")
        }
        ValueTyped::List(rows) => rows.iter().map(|(_, row)| as_typed(row)).collect::<Vec<_>>().join(", "),
        other => other.shown(),
    }
}

/// Whether a farm file is written in feet, pounds and degrees Fahrenheit: the person's own units.
pub fn is_us_customary(text: &str) -> bool {
    let Ok(draft) = Draft::read(text) else { return false };
    let ends = |units: &[&str]| {
        // A height that came with a town is in metres everywhere.
        let typed = |at: &str| {
            at != "place.elevation" && input_at(at).is_some_and(|input| matches!(input.takes, Takes::Quantity(..)))
        };
        let any = |text: &str| units.iter().any(|unit| text.trim_end().ends_with(unit));
        draft.answers().filter(|(at, text)| typed(at) && any(text)).count()
    };
    let (feet, metres) = (
        ends(&[" ft", " in", " ac", "/ac", " lb", " F", " gal"]),
        ends(&[" m", " cm", " m2", " ha", "/ha", " kg", " C"]),
    );
    feet > metres || (feet == metres && draft.get("farm.currency") == "USD")
}
