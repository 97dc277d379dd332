//! From what was typed to numbers, with reasons where it cannot be.

use std::collections::BTreeMap;

use units::letters_apart;

use super::forms::{Field, Form, form};
use super::weighing::{WEIGHT_LISTS, read_weighing};
use crate::inputs::{Input, Takes, input, read_list, read_one, unusual};
use crate::reasons::Wrong;

/// What the fields of an entry come to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FactRead {
    /// The quantities that can be read, by field.
    pub values: BTreeMap<String, f64>,
    /// What is wrong, in the form's order.
    pub slips: Vec<Slip>,
    /// What was taken but looks unusual.
    pub unusual: Vec<Unusual>,
}

/// One thing that is wrong with an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// The field; `kind` or `form` when the entry as a whole is not known here.
    pub field: String,
    /// Key in the table of inputs; empty when there is none.
    pub input: &'static str,
    /// What was typed.
    pub typed: String,
    /// What is wrong.
    pub what: Wrong,
}

/// A value that was taken and lies outside what is usual.
#[derive(Debug, Clone, PartialEq)]
pub struct Unusual {
    /// The field.
    pub field: String,
    /// What was typed.
    pub typed: String,
    /// Usual smallest, as one would type it.
    pub from: &'static str,
    /// Usual largest.
    pub to: &'static str,
}

/// Reads the fields of an entry by the form they were typed into. An entry of a form not known here (typed on a newer phone)
/// gives no values and one slip: it is kept all the same.
pub fn read_typed(kind: &str, version: u32, typed: &BTreeMap<String, String>) -> FactRead {
    let mut read = FactRead::default();
    let Some(form) = form(kind, version) else {
        let known = super::FORMS.iter().any(|form| form.kind == kind);
        let (field, typed) = if known { ("form", version.to_string()) } else { ("kind", kind.to_owned()) };
        read.slips.push(Slip {
            field: field.to_owned(),
            input: "",
            typed,
            what: Wrong::UnknownKey { nearest: None, belongs: None },
        });
        return read;
    };
    // A correction that strikes an entry out need say nothing else.
    let struck = matches!(typed.get("struck").map(|text| text.trim()), Some("yes" | "true"));
    for field in form.fields {
        let text = typed.get(field.name).map_or("", |text| text.trim());
        match (text.is_empty(), field.needed && !struck) {
            (true, true) => read.slip(field, text, Wrong::Missing),
            (true, false) => {}
            (false, _) => read.field(field, text),
        }
    }
    if let Some(&first) = form.any_of.first() {
        let said = |name: &str| typed.get(name).is_some_and(|text| !text.trim().is_empty());
        if !struck && !form.any_of.iter().any(|name| said(name)) {
            read.slips.push(Slip {
                field: first.to_owned(),
                input: input_of(form, first),
                typed: String::new(),
                what: Wrong::Missing,
            });
        }
    }
    if kind == "sample" && version >= 2 && !struck {
        read.weighing(typed);
    }
    if kind == "counted_out" && !struck {
        super::counting::count_out(&mut read, typed);
    }
    if super::selling::LINE_KINDS.contains(&kind) && !struck {
        super::selling::line(&mut read, form, typed);
    }
    for (name, text) in typed.iter().filter(|(name, _)| !form.fields.iter().any(|field| field.name == *name)) {
        let near = form.fields.iter().map(|field| field.name).min_by_key(|known| letters_apart(name, known));
        let nearest = near.filter(|known| letters_apart(name, known) <= 2);
        let what = Wrong::UnknownKey { nearest, belongs: None };
        read.slips.push(Slip { field: name.clone(), input: "", typed: text.clone(), what });
    }
    read
}

/// What is usual for a mass in g, when it lies outside it.
fn unusual_mass(row: &'static Input, grams: f64) -> Option<(&'static str, &'static str)> {
    unusual(row, grams / 1000.0)
}

fn input_of(form: &Form, name: &str) -> &'static str {
    form.fields.iter().find(|field| field.name == name).map_or("", |field| field.input)
}

impl FactRead {
    /// A sample's mean, number and spread from weights and bucketfuls; a mean typed beside them gives way, and is questioned when it disagrees.
    fn weighing(&mut self, typed: &BTreeMap<String, String>) {
        let (weighing, slips) = read_weighing(typed);
        self.slips.extend(slips);
        let row = input("log.weight_each");
        let odd = weighing.each_g.iter().filter_map(|(list, g)| Some((list, g, unusual_mass(row, *g)?)));
        let odd = odd.map(|(list, g, (from, to))| Unusual {
            field: WEIGHT_LISTS[*list].to_owned(),
            typed: format!("{g:.1} g"),
            from,
            to,
        });
        self.unusual.extend(odd);
        let Some(mean_g) = weighing.mean_g() else {
            let said = |name: &str| self.values.contains_key(name);
            if said("mean_weight") && !said("counted") {
                self.slips.push(Slip {
                    field: "counted".to_owned(),
                    input: "log.counted",
                    typed: String::new(),
                    what: Wrong::Missing,
                });
            }
            return;
        };
        if let Some((from, to)) = unusual_mass(input("log.mean_weight"), mean_g).filter(|_| weighing.each_g.is_empty())
        {
            self.unusual.push(Unusual { field: "buckets".to_owned(), typed: format!("{mean_g:.1} g each"), from, to });
        }
        self.values.insert("mean_weight".to_owned(), mean_g);
        self.values.insert("counted".to_owned(), f64::from(weighing.counted()));
        if let Some(error) = weighing.error_fraction() {
            self.values.insert("error_fraction".to_owned(), error);
        }
        if let Some([_, orange, ..]) = weighing.forms() {
            self.values.insert("orange_claws".to_owned(), f64::from(orange));
            self.values.insert("others".to_owned(), f64::from(weighing.counted() - orange));
        }
    }

    pub(super) fn slip(&mut self, field: &Field, typed: &str, what: Wrong) {
        self.slips.push(Slip { field: field.name.to_owned(), input: field.input, typed: typed.to_owned(), what });
    }

    fn field(&mut self, field: &Field, text: &str) {
        let input = input(field.input);
        if input.takes == Takes::Counts {
            return match read_list(input, text) {
                Ok(_) => {}
                Err((_, what)) => self.slip(field, text, what),
            };
        }
        match super::selling::price_or_size(input, text) {
            Some(Ok(values)) => {
                self.values.extend(values.map(|(name, value)| (name.to_owned(), value)));
                return;
            }
            Some(Err(what)) => return self.slip(field, text, what),
            None => {}
        }
        let value = match read_one(input, text) {
            Ok(Some(value)) => value,
            Ok(None) => return,
            Err(what) => return self.slip(field, text, what),
        };
        if let Some((from, to)) = unusual(input, value) {
            self.unusual.push(Unusual { field: field.name.to_owned(), typed: text.to_owned(), from, to });
        }
        self.values.insert(field.name.to_owned(), value * field.unit_factor);
    }
}
