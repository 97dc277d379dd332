//! A draft looked through: what is wrong and what is odd, each at its field.

use farm::reasons::Wrong;
use farm::setup::{Draft, Step, Written, asked};
use farm::{Examined, FarmTyped};
use words::page_setup as say;

/// What was found.
pub struct Checked {
    /// The farm file the draft comes to.
    pub written: Written,
    /// What the reader says of it.
    pub examined: Examined,
}

impl Checked {
    /// Looks a draft through.
    pub fn of(draft: &Draft) -> Checked {
        let written = draft.file();
        let examined = match FarmTyped::read(&written.text) {
            Ok(typed) => typed.examined(),
            // A draft is always a well formed file; if ever not, its reasons are told like others.
            Err(reasons) => Examined { farm: None, reasons, doubts: Vec::new() },
        };
        Checked { written, examined }
    }

    /// Everything that is wrong, by address.
    pub fn all_slips(&self) -> Vec<(String, String)> {
        let mut slips: Vec<(String, String)> = Vec::new();
        for reason in &self.examined.reasons {
            let at = self.written.at(reason).unwrap_or_else(|| reason.key.clone());
            let at = match (at.as_str(), &reason.what) {
                ("farm.pond", _) => "pond.0.name".to_owned(),
                ("farm.price", _) => "price.0.price".to_owned(),
                // Paces stand on the page, the area behind them.
                (area, Wrong::MissingEither { .. }) if area.ends_with(".area") => area.replace(".area", ".paces_long"),
                _ => at,
            };
            slips.push((at, say::slip(reason)));
        }
        slips
    }

    /// What is wrong on one page.
    pub fn slips(&self, step: &Step, row: Option<usize>) -> Vec<(String, String)> {
        self.all_slips().into_iter().filter(|(at, _)| is_on(at, step, row)).collect()
    }

    /// Everything that is odd, by address.
    pub fn all_odd(&self) -> Vec<(String, String)> {
        let at = |line, key| self.written.address(line, key).unwrap_or_default();
        self.examined.doubts.iter().map(|doubt| (at(doubt.line, doubt.key), say::doubt(doubt))).collect()
    }

    /// What is odd on one page.
    pub fn odd(&self, step: &Step, row: Option<usize>) -> Vec<(String, String)> {
        self.all_odd().into_iter().filter(|(at, _)| is_on(at, step, row)).collect()
    }
}

fn is_on(at: &str, step: &Step, row: Option<usize>) -> bool {
    asked(at).is_some_and(|found| found.id == step.id) && row_of(at).is_none_or(|found| Some(found) == row)
}

/// Which pond an address belongs to.
pub fn row_of(at: &str) -> Option<usize> {
    at.strip_prefix("pond.")?.split('.').next()?.parse().ok()
}
