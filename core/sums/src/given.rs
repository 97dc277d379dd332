//! From what was typed to the numbers of a sum, with reasons where it cannot be.

use std::collections::BTreeMap;

use farm::inputs::{Input, LeftOut, Takes, read_list, read_one, unusual};
use farm::reasons::Wrong;
use units::{Day, letters_apart};

use crate::table::{Sum, Worked};

/// What a sum was given.
#[derive(Debug, Clone, Default)]
pub struct Given {
    numbers: BTreeMap<&'static str, f64>,
    lists: BTreeMap<&'static str, Vec<f64>>,
    words: BTreeMap<&'static str, &'static str>,
    days: BTreeMap<&'static str, Day>,
    /// Inputs that were left out, and what stands in for them.
    pub assumed: Vec<(&'static Input, &'static str)>,
    /// Inputs outside what is usual, with both ends as one would type them.
    pub unusual: Vec<(&'static Input, &'static str, &'static str)>,
}

/// One thing that is wrong with what a sum was given.
#[derive(Debug, Clone)]
pub struct Slip {
    /// Its name, as typed.
    pub name: String,
    /// The row of the table; `None` when the sum does not ask for it.
    pub input: Option<&'static Input>,
    /// What was typed.
    pub typed: String,
    /// What is wrong.
    pub what: Wrong,
}

impl Given {
    /// A number that must be there or has a stand-in.
    pub fn get(&self, name: &str) -> f64 {
        self.numbers.get(name).copied().unwrap_or(f64::NAN)
    }

    /// A number that may be left out.
    pub fn maybe(&self, name: &str) -> Option<f64> {
        self.numbers.get(name).copied()
    }

    /// A day that may be left out.
    pub fn day(&self, name: &str) -> Option<Day> {
        self.days.get(name).copied()
    }

    /// A list.
    pub(crate) fn list(&self, name: &str) -> &[f64] {
        self.lists.get(name).map_or(&[], Vec::as_slice)
    }

    /// A word.
    pub(crate) fn word(&self, name: &str) -> &'static str {
        self.words.get(name).copied().unwrap_or("")
    }
}

impl Given {
    /// Reads what was typed for some questions, by name. Names without text count as left out.
    ///
    /// # Errors
    /// Everything that is wrong, in the order of the questions.
    pub fn read(inputs: &'static [Input], typed: &[(&str, &str)]) -> Result<Given, Vec<Slip>> {
        let mut given = Given::default();
        let mut slips = Vec::new();
        for input in inputs {
            let mut texts = typed.iter().filter(|(name, text)| *name == input.name() && !text.trim().is_empty());
            let text = texts.next().map_or("", |(_, text)| text.trim());
            let twice = texts.next().map(|(_, again)| (again.trim(), Wrong::Twice { first: 1 }));
            let wrong = twice.map(|(text, what)| (text.to_owned(), what)).or_else(|| given.take(input, text).err());
            if let Some((typed, what)) = wrong {
                slips.push(Slip { name: input.name().to_owned(), input: Some(input), typed, what });
            }
        }
        for (name, text) in typed.iter().filter(|(name, _)| inputs.iter().all(|input| input.name() != *name)) {
            let names = inputs.iter().map(|input| input.name());
            let nearest = names.min_by_key(|known| letters_apart(name, known)).filter(|n| letters_apart(name, n) <= 2);
            let what = Wrong::UnknownKey { nearest, belongs: None };
            slips.push(Slip { name: (*name).to_owned(), input: None, typed: (*text).to_owned(), what });
        }
        if slips.is_empty() { Ok(given) } else { Err(slips) }
    }
}

impl Sum {
    /// Reads what was typed for this sum: [`Given::read`].
    ///
    /// # Errors
    /// Everything that is wrong, in the order of the questions.
    pub fn read(&'static self, typed: &[(&str, &str)]) -> Result<Given, Vec<Slip>> {
        Given::read(self.inputs, typed)
    }

    /// Works it out.
    pub fn work(&self, given: &Given) -> Worked {
        (self.work)(given)
    }
}

impl Given {
    fn take(&mut self, input: &'static Input, text: &str) -> Result<(), (String, Wrong)> {
        let text = match (text, input.left_out) {
            ("", LeftOut::Assume(typed, _) | LeftOut::AssumeDollars(typed, _)) => {
                self.assumed.push((input, typed));
                typed
            }
            ("", LeftOut::Then(_)) => return Ok(()),
            ("", LeftOut::Needed) => return Err((String::new(), Wrong::Missing)),
            (text, _) => text,
        };
        let name = input.name();
        match input.takes {
            Takes::Counts => {
                self.lists.insert(name, read_list(input, text)?);
            }
            Takes::Words(words) => {
                read_one(input, text).map_err(|what| (text.to_owned(), what))?;
                let word = words.iter().find(|word| **word == text).copied();
                self.words.insert(name, word.unwrap_or(""));
            }
            Takes::Date => {
                read_one(input, text).map_err(|what| (text.to_owned(), what))?;
                self.days.extend(Day::parse(text).map(|day| (name, day)));
            }
            _ => {
                let value = read_one(input, text).map_err(|what| (text.to_owned(), what))?.unwrap_or(f64::NAN);
                self.unusual.extend(unusual(input, value).map(|(from, to)| (input, from, to)));
                self.numbers.insert(name, value);
            }
        }
        Ok(())
    }
}
