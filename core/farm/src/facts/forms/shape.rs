//! What a form and a field of it are.

/// One version of the form of one kind of entry.
#[derive(Debug, Clone, Copy)]
pub struct Form {
    /// The kind of entry.
    pub kind: &'static str,
    /// Its version, from 1.
    pub version: u32,
    /// What it asks for.
    pub fields: &'static [Field],
    /// At least one of these must be there; empty when nothing is asked.
    pub any_of: &'static [&'static str],
}

/// One field of a form.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Its name in what was typed and in the values read.
    pub name: &'static str,
    /// Key in the table of inputs.
    pub input: &'static str,
    /// It must be there.
    pub needed: bool,
    /// Unit of the value read, as the end of a name (`c`, `mg_l`, `m`); empty for words and plain numbers.
    pub unit: &'static str,
    /// What the reader's unit is multiplied by to come to `unit`.
    pub unit_factor: f64,
}

pub(super) const fn field(name: &'static str, input: &'static str) -> Field {
    Field { name, input, needed: false, unit: "", unit_factor: 1.0 }
}

impl Field {
    pub(super) const fn must(self) -> Field {
        Field { needed: true, ..self }
    }
    pub(super) const fn in_unit(self, unit: &'static str, unit_factor: f64) -> Field {
        Field { unit, unit_factor, ..self }
    }
}

impl Form {
    pub(super) const fn version(self, version: u32) -> Form {
        Form { version, ..self }
    }
}

pub(super) const fn one(kind: &'static str, fields: &'static [Field]) -> Form {
    Form { kind, version: 1, fields, any_of: &[] }
}

pub(super) const POND: Field = field("pond", "log.pond").must();
pub(super) const POND_OR_FARM: Field = field("pond", "log.pond");
pub(super) const NOTE: Field = field("note", "log.note");
/// Any entry can be struck out by a correction that says so.
pub(super) const STRUCK: Field = field("struck", "log.struck");
/// Kilograms in a cubic metre are grams in a litre.
pub(super) const MG_L: f64 = 1000.0;
