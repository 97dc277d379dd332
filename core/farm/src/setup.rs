//! A farm as it is being described, question by question: everything as typed, in any state of undress, and the farm file it
//! comes to.
//!
//! A draft is a flat list of answers by address: `place.latitude`, `pond.0.stocked.on`. It goes into a farm file and back
//! without loss, so the file that a page makes is the one that the command line takes, and the other way round.

mod file;
mod steps;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

pub use file::{Written, is_us_customary};
pub use steps::{Asked, STEPS, Step, asked, step};

use units::Day;

use crate::farm::Farm;
use crate::inputs::{Input, LeftOut, NOT_KNOWN, inputs_of};
use crate::ready::read_farm;
use crate::reasons::Reason;
use crate::typed::{FarmTyped, SectionTyped, ValueTyped};

/// Answers by address, as typed. An answer that was never given is not there.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Draft(BTreeMap<String, String>);

/// How an answer came to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// It was typed or picked.
    Typed,
    /// The person said that it is not known: the table's guess stands in.
    Guess,
    /// It was left out, and the table's default stands in.
    Default,
    /// It was left out, and nothing is assumed.
    LeftOut,
    /// It is needed and not there.
    Missing,
}

impl Draft {
    /// Reads a farm file into a draft.
    ///
    /// # Errors
    /// Everything the TOML reader stumbled over.
    pub fn read(text: &str) -> Result<Draft, Vec<Reason>> {
        let mut draft = Draft::default();
        flatten(&FarmTyped::read(text)?.top, "", &mut draft.0);
        Ok(draft)
    }

    /// An answer, without the space around it; empty when there is none.
    pub fn get(&self, at: &str) -> &str {
        self.0.get(at).map_or("", |text| text.trim())
    }

    /// Sets an answer; an empty one is taken out.
    pub fn set(&mut self, at: &str, text: &str) {
        if text.trim().is_empty() {
            self.0.remove(at);
        } else {
            self.0.insert(at.to_owned(), text.to_owned());
        }
    }

    /// Every answer, by address.
    pub fn answers(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(at, text)| (at.as_str(), text.as_str()))
    }

    /// The answers below an address, which ends with a point: they stand together, and a farm of many ponds has thousands.
    pub fn below<'d>(&'d self, prefix: &'d str) -> impl Iterator<Item = (&'d str, &'d str)> {
        let from = self.0.range::<str, _>((std::ops::Bound::Included(prefix), std::ops::Bound::Unbounded));
        from.map(|(at, text)| (at.as_str(), text.as_str())).take_while(move |(at, _)| at.starts_with(prefix))
    }

    /// Rows of a list of sections (`pond`, `crew.away`).
    pub fn rows(&self, list: &str) -> usize {
        let prefix = format!("{list}.");
        let place = |at: &str| at.strip_prefix(&prefix)?.split('.').next()?.parse::<usize>().ok();
        let places = self.below(&prefix).filter_map(|(at, _)| place(at));
        places.max().map_or(0, |last| last + 1)
    }

    /// Takes a row out; the later ones move up.
    pub fn remove_row(&mut self, list: &str, row: usize) {
        let prefix = format!("{list}.");
        let all = std::mem::take(&mut self.0);
        for (at, text) in all {
            let moved = at.strip_prefix(&prefix).and_then(|rest| {
                let (place, tail) = rest.split_once('.')?;
                Some((place.parse::<usize>().ok()?, tail.to_owned()))
            });
            match moved {
                Some((place, _)) if place == row => {}
                Some((place, tail)) if place > row => {
                    self.0.insert(format!("{prefix}{}.{tail}", place - 1), text);
                }
                _ => {
                    self.0.insert(at, text);
                }
            }
        }
    }

    /// How the answer at this address came to be.
    pub fn from(&self, at: &str) -> From {
        let text = self.get(at);
        let Some(input) = input_at(at) else { return From::Typed };
        match input.left_out {
            _ if !text.is_empty() && !text.eq_ignore_ascii_case(NOT_KNOWN) => From::Typed,
            _ if !text.is_empty() && input.guess.is_some() => From::Guess,
            LeftOut::Assume(..) => From::Default,
            LeftOut::AssumeDollars(..) if self.get("farm.currency") == "USD" => From::Default,
            LeftOut::Then(_) => From::LeftOut,
            LeftOut::Needed | LeftOut::AssumeDollars(..) => From::Missing,
        }
    }

    /// Lays in what was entered at the ponds since: what was stocked last, and what came out. What was written of the animals before
    /// is taken out of the answers; the record keeps it.
    pub fn lay_lots(&mut self, laid: &Farm) {
        let Ok(written) = read_farm(&self.file().text) else { return };
        for (row, card) in written.ponds.iter().enumerate() {
            let Some(now) = laid.ponds.iter().find(|pond| pond.id == card.id) else { continue };
            if now.stocking != card.stocking {
                self.set(&format!("pond.{row}.stocked.on"), &now.stocking.on.to_string());
                self.set(&format!("pond.{row}.stocked.count"), &now.stocking.count.round().to_string());
                self.set(&format!("pond.{row}.stocked.density"), "");
                self.set(&format!("pond.{row}.stocked.mean_weight"), &format!("{} g", now.stocking.mean_weight_g));
            }
            if now.stocking.on > card.stocking.on {
                for key in ["locked", "draining_since"] {
                    self.set(&format!("pond.{row}.{key}"), "");
                }
                for (list, key) in [("samples", "on"), ("readings", "at")] {
                    let list = format!("pond.{row}.{list}");
                    for at in (0..self.rows(&list)).rev() {
                        let day = self.get(&format!("{list}.{at}.{key}")).get(..10).and_then(Day::parse);
                        if day.is_some_and(|day| day < now.stocking.on) {
                            self.remove_row(&list, at);
                        }
                    }
                }
            }
            if now.harvested != card.harvested {
                let out = now.harvested.map(|day| day.to_string()).unwrap_or_default();
                self.set(&format!("pond.{row}.harvested"), &out);
            }
        }
        if laid.season.last_catch != written.season.last_catch {
            self.set("season.last_catch", &laid.season.last_catch.to_string());
        }
    }

    /// Says "not known" to every open question of a section for which the table holds a guess: what a person leaves empty on a
    /// page whose hint names the guess. Questions that another answer settles are left alone.
    pub fn guess_open(&mut self, section: &str, names: &[&str]) {
        for name in names {
            let at = format!("{section}.{name}");
            let has = |other: &str| !self.get(&format!("{section}.{other}")).is_empty();
            let settled = match *name {
                "density" => has("count"),
                "outlet_across" => self.get(&format!("{section}.outlet")) == "none",
                _ => false,
            };
            let needs = input_at(&at).is_some_and(|input| input.guess.is_some());
            if settled && self.get(&at) == NOT_KNOWN {
                self.set(&at, "");
            } else if needs && !settled && self.get(&at).is_empty() {
                self.set(&at, NOT_KNOWN);
            }
        }
    }
}

/// The input an address asks for; the top of the file is `farm.`.
pub fn input_at(at: &str) -> Option<&'static Input> {
    let (section, name) = at.rsplit_once('.')?;
    let section = section.rsplit('.').find(|part| part.parse::<usize>().is_err())?;
    inputs_of(section).find(|input| input.name() == name)
}

fn flatten(section: &SectionTyped, prefix: &str, into: &mut BTreeMap<String, String>) {
    for entry in &section.entries {
        let at = format!("{prefix}{}", entry.key);
        match &entry.value {
            ValueTyped::Section(inner) => flatten(inner, &format!("{at}."), into),
            ValueTyped::List(rows) if rows.iter().all(|(_, row)| matches!(row, ValueTyped::Section(_))) => {
                for (place, (_, row)) in rows.iter().enumerate() {
                    if let ValueTyped::Section(row) = row {
                        flatten(row, &format!("{at}.{place}."), into);
                    }
                }
            }
            value => {
                // The top of the file has the section `farm` in the table of inputs.
                let at = if prefix.is_empty() { format!("farm.{}", entry.key) } else { at };
                into.insert(at, file::as_typed(value));
            }
        }
    }
}
