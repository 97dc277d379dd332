//! Reads typed values by the table of inputs, keeping every reason, assumption and doubt.
//!
//! A quantity that cannot be read is handed on as not-a-number, so that one fault does not stop the search for others: no
//! comparison with it comes out true, and a farm is only made when no reason was found.

mod dates;
mod values;

pub(crate) use values::agrees;

use units::measure::{self, Kind};
use units::{Currency, Zone, letters_apart};

use crate::farm::{Assumed, Doubt, DoubtKind};
use crate::inputs::{Input, LeftOut, NOT_KNOWN, Takes, input, inputs, inputs_of};
use crate::reasons::{Reason, Shape, Wrong};
use crate::typed::{EntryTyped, SectionTyped, ValueTyped};

/// What was found while reading.
#[derive(Default)]
pub(crate) struct Clerk {
    pub reasons: Vec<Reason>,
    pub assumed: Vec<Assumed>,
    pub doubts: Vec<Doubt>,
    pub currency: Option<Currency>,
    pub zone: Option<Zone>,
}

/// A section under the clerk's eyes.
pub(crate) struct Desk<'a> {
    /// Its name in the table of inputs.
    pub name: &'static str,
    /// What was typed; `None` when the section is not there.
    typed: Option<&'a SectionTyped>,
    /// The pond, pump or row.
    pub of: Option<String>,
    /// Where to point when something is missing.
    pub line: usize,
    /// Already reported as missing as a whole.
    silent: bool,
}

/// A value to be read: typed, or standing in.
pub(crate) struct Field<'a> {
    pub input: &'static Input,
    pub value: &'a ValueTyped,
    pub line: usize,
    pub of: Option<String>,
}

impl<'a> Desk<'a> {
    /// The top of the file.
    pub fn top(typed: &'a SectionTyped) -> Desk<'a> {
        Desk { name: "farm", typed: Some(typed), of: None, line: 1, silent: false }
    }

    /// One row of a list of sections.
    pub fn row(name: &'static str, typed: &'a SectionTyped, of: String) -> Desk<'a> {
        Desk { name, typed: Some(typed), of: Some(of), line: typed.line, silent: false }
    }

    /// Whether a value was typed for this key.
    pub fn has(&self, key: &str) -> bool {
        self.entry(key).is_some_and(|entry| !is_not_known(&entry.value))
    }

    /// Whether this key was typed as not known.
    pub fn not_known(&self, key: &str) -> bool {
        self.entry(key).is_some_and(|entry| is_not_known(&entry.value))
    }

    fn entry(&self, key: &str) -> Option<&'a EntryTyped> {
        self.typed.and_then(|typed| typed.get(key))
    }

    /// The line of a key, or of the section when it was not typed.
    pub fn line_of(&self, key: &str) -> usize {
        self.typed.and_then(|typed| typed.get(key)).map_or(self.line, |entry| entry.line)
    }

    /// What was typed for a key.
    pub fn typed(&self, key: &str) -> String {
        self.typed.and_then(|typed| typed.get(key)).map_or(String::new(), |entry| entry.value.shown())
    }

    fn key(&self, key: &str) -> String {
        format!("{}.{key}", self.name)
    }
}

impl Clerk {
    /// Notes a reason against a key of a section.
    pub fn refuse(&mut self, desk: &Desk<'_>, key: &str, what: Wrong) {
        if !desk.silent {
            let (line, typed) = (desk.line_of(key), desk.typed(key));
            self.reasons.push(Reason { line, key: desk.key(key), of: desk.of.clone(), typed, what });
        }
    }

    /// Notes a reason against a value.
    pub fn refuse_field(&mut self, field: &Field<'_>, what: Wrong) {
        self.reasons.push(Reason {
            line: field.line,
            key: field.input.key.to_owned(),
            of: field.of.clone(),
            typed: field.value.shown(),
            what,
        });
    }

    /// Notes a doubt about a key of a section.
    pub fn doubt(&mut self, desk: &Desk<'_>, key: &str, what: DoubtKind) {
        let key_in_table = input(&desk.key(key)).key;
        let (line, typed) = (desk.line_of(key), desk.typed(key));
        self.doubts.push(Doubt { line, key: key_in_table, of: desk.of.clone(), typed, what });
    }

    /// Notes that a value stands in.
    pub fn assume(&mut self, desk: &Desk<'_>, key: &str, value: &str) {
        let key = input(&desk.key(key)).key;
        self.assumed.push(Assumed { key, of: desk.of.clone(), value: value.to_owned() });
    }

    /// Takes back a default that was noted for this key, since something better stands in; whether there was one.
    pub fn take_back(&mut self, key: &str) -> bool {
        let before = self.assumed.len();
        self.assumed.retain(|assumed| assumed.key != key);
        self.assumed.len() < before
    }

    /// Whether a value in its kind's unit is within the table's range of an input.
    pub fn within_table(&self, key: &str, value: f64) -> Result<(), Wrong> {
        let input = input(key);
        let (Some(range), Takes::Quantity(kind, _)) = (input.range, input.takes) else { return Ok(()) };
        let (least, greatest) = ends(range, kind);
        if least <= value && value <= greatest {
            Ok(())
        } else {
            Err(Wrong::Outside { least: range.0, greatest: range.1 })
        }
    }

    /// The value of a key: what was typed, or nothing after noting why. Defaults are read by [`Clerk::default_of`].
    pub fn field<'a>(&mut self, desk: &Desk<'a>, key: &str) -> Option<Field<'a>> {
        let input = input(&desk.key(key));
        if let Some(entry) = desk.entry(key).filter(|_| desk.has(key)) {
            return Some(Field { input, value: &entry.value, line: entry.line, of: desk.of.clone() });
        }
        if desk.not_known(key) && input.guess.is_some() {
            return None;
        }
        let needed = match input.left_out {
            LeftOut::Needed => true,
            LeftOut::AssumeDollars(..) => self.currency.is_some_and(|currency| currency.code() != "USD"),
            LeftOut::Then(_) | LeftOut::Assume(..) => false,
        };
        if needed {
            self.refuse(desk, key, Wrong::Missing);
        }
        None
    }

    /// The default of a key that was left out, noted as assumed.
    pub fn default_of(&mut self, desk: &Desk<'_>, key: &str) -> Option<&'static str> {
        if desk.has(key) || desk.silent {
            return None;
        }
        let typed = match input(&desk.key(key)).left_out {
            LeftOut::Assume(typed, _) => typed,
            LeftOut::AssumeDollars(typed, _) if self.currency.is_some_and(|c| c.code() == "USD") => typed,
            LeftOut::Needed | LeftOut::Then(_) if desk.not_known(key) => input(&desk.key(key)).guess?.0,
            _ => return None,
        };
        self.assume(desk, key, typed);
        Some(typed)
    }

    /// A section within a section. One that is needed and absent is reported once, and its keys are then passed over.
    pub fn section<'a>(&mut self, desk: &Desk<'a>, key: &'static str) -> Desk<'a> {
        let field = self.field(desk, key);
        let needed = input(&desk.key(key)).left_out == LeftOut::Needed;
        let (typed, line, silent) = match field {
            Some(Field { value: ValueTyped::Section(section), line, .. }) => (Some(section), line, false),
            Some(field) => {
                self.refuse_field(&field, Wrong::Shape { wants: Shape::Section });
                (None, field.line, true)
            }
            None => (None, desk.line, needed),
        };
        Desk { name: key, typed, of: desk.of.clone(), line, silent }
    }

    /// The rows of a list of sections. `of` names a row when it does not name itself.
    pub fn sections<'a>(&mut self, desk: &Desk<'a>, key: &'static str) -> Vec<Desk<'a>> {
        let Some(field) = self.field(desk, key) else { return Vec::new() };
        let ValueTyped::List(values) = field.value else {
            self.refuse_field(&field, Wrong::Shape { wants: Shape::Sections });
            return Vec::new();
        };
        let mut rows = Vec::new();
        for (place, (line, value)) in values.iter().enumerate() {
            let ValueTyped::Section(section) = value else {
                let field = Field { value, line: *line, ..self.field(desk, key).expect("read above") };
                self.refuse_field(&field, Wrong::Shape { wants: Shape::Sections });
                continue;
            };
            let name = match section.get("name").map(|entry| &entry.value) {
                Some(ValueTyped::Text(name)) if !name.trim().is_empty() => name.trim().to_owned(),
                _ => (place + 1).to_string(),
            };
            let of = desk.of.as_ref().map_or(name.clone(), |of| format!("{of}, {name}"));
            rows.push(Desk { line: *line, ..Desk::row(key, section, of) });
        }
        if rows.is_empty() && input(&desk.key(key)).left_out == LeftOut::Needed && values.is_empty() {
            self.refuse(desk, key, Wrong::Missing);
        }
        rows
    }

    /// Reports every key of a section that is not in the table.
    pub fn no_other_keys(&mut self, desk: &Desk<'_>) {
        for entry in desk.typed.map_or(&[][..], |typed| &typed.entries) {
            if inputs_of(desk.name).any(|input| input.name() == entry.key) {
                continue;
            }
            let belongs = inputs().find(|input| input.name() == entry.key).map(Input::section);
            self.reasons.push(Reason {
                line: entry.line,
                key: desk.key(&entry.key),
                of: desk.of.clone(),
                typed: entry.value.shown(),
                what: Wrong::UnknownKey { nearest: nearest_key(&entry.key, desk.name), belongs },
            });
        }
    }
}

fn is_not_known(value: &ValueTyped) -> bool {
    matches!(value, ValueTyped::Text(text) if text.trim().eq_ignore_ascii_case(NOT_KNOWN))
}

/// The key of a section most like what was typed, when it is like it at all.
fn nearest_key(typed: &str, section: &'static str) -> Option<&'static str> {
    let plain = typed.to_lowercase().replace(['-', ' '], "_");
    inputs_of(section)
        .map(|input| (letters_apart(&plain, input.name()), input.name()))
        .filter(|&(apart, name)| apart * 3 <= name.len().max(3))
        .min()
        .map(|(_, name)| name)
}

/// Both ends of a range in the kind's unit.
pub(crate) fn ends(range: (&'static str, &'static str), kind: Kind) -> (f64, f64) {
    let end = |text| measure::read(text, kind, None).expect("a test reads every range of the table");
    (end(range.0), end(range.1))
}
