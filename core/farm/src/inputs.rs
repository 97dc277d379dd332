//! The table of every input of a farm file: what is asked, how it is typed, what is allowed, what stands in when it is left out.
//!
//! The reader, the words of its errors and the manual's page `docs/farm-file.md` are all made from it. Ranges and defaults
//! are written as a person would type them and read by the same reader, so that they are shown as they are meant.

mod books;
mod line;
mod log;
mod market;
mod money;
mod one;
mod packs;
mod place;
mod pond;
mod work;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use units::measure::Kind;

pub(crate) use books::{ACCOUNTS, COSTS};
pub use one::{read_list, read_one, unusual};

/// One thing a person can write.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// Section and key, parted by a full stop; the top of the file has the section `farm`.
    pub key: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// How it is written.
    pub takes: Takes,
    /// Least and greatest value that is taken.
    pub range: Option<(&'static str, &'static str)>,
    /// Values outside this are taken and remarked on. Of prices, it is asked only where the farm reckons in US dollars.
    pub usual: Option<(&'static str, &'static str)>,
    /// What happens when it is left out.
    pub left_out: LeftOut,
    /// What stands in when a person writes `"not known"` where it is needed: the value, and how it was come by.
    pub guess: Option<(&'static str, &'static str)>,
    /// One paragraph for the manual.
    pub about: &'static str,
}

/// What a person writes for "I don't know": the value that the table holds for the input then stands in.
pub const NOT_KNOWN: &str = "not known";

/// How an input is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// Words.
    Text,
    /// Path of a file, from the folder of the farm's own file.
    Path,
    /// A three-letter currency.
    Currency,
    /// A time zone by name or offset.
    Zone,
    /// A number with its unit; a number alone has the unit named, if any.
    Quantity(Kind, Option<&'static str>),
    /// A number that has no unit.
    Number,
    /// Money per one of a kind.
    Price(Kind),
    /// An amount of money.
    Amount,
    /// A list of numbers.
    Counts,
    /// Money by weight or by the piece.
    PriceOfPrawns,
    /// A whole number.
    Whole,
    /// `true` or `false`.
    YesNo,
    /// A date.
    Date,
    /// A list of dates and of stretches `2020-09-12 to 2020-09-14`.
    Dates,
    /// A date and time of the farm's clock.
    Moment,
    /// A time of day.
    Clock,
    /// One of some words.
    Words(&'static [&'static str]),
    /// One of some words, or a share.
    WordsOrShare(&'static [&'static str]),
    /// A list of weekdays.
    Weekdays,
    /// A list of names of pumps.
    Pumps,
    /// Pieces per pound or kilogram: `12 to 16 per lb`, `under 12 per lb`, `over 16 per lb`.
    SizeClass,
    /// A list of pairs of depth and area.
    DepthsAndAreas,
    /// A section of its own.
    Section,
    /// A list of sections.
    Sections,
}

/// What happens when an input is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOut {
    /// It must be there.
    Needed,
    /// Nothing is assumed; this then follows.
    Then(&'static str),
    /// This value stands in and is listed among what was assumed; its source.
    Assume(&'static str, &'static str),
    /// As `Assume` where the farm reckons in US dollars; needed elsewhere.
    AssumeDollars(&'static str, &'static str),
}

impl Input {
    /// A row for another table than the farm file's: what is asked, how it is typed, the question, a line about it.
    pub const fn asked(key: &'static str, takes: Takes, question: &'static str, about: &'static str) -> Input {
        ask(key, takes, question, about)
    }
    /// The same, taken from the least to the greatest, as one would type them.
    pub const fn range(self, least: &'static str, greatest: &'static str) -> Input {
        Input { range: Some((least, greatest)), ..self }
    }
    /// The same, remarked on outside these.
    pub const fn usual(self, least: &'static str, greatest: &'static str) -> Input {
        Input { usual: Some((least, greatest)), ..self }
    }
    const fn guess(self, typed: &'static str, source: &'static str) -> Input {
        Input { guess: Some((typed, source)), ..self }
    }
    /// The same; when it is left out, this follows.
    pub const fn then(self, follows: &'static str) -> Input {
        Input { left_out: LeftOut::Then(follows), ..self }
    }
    /// The same; when it is left out, this stands in, from that source.
    pub const fn assume(self, typed: &'static str, source: &'static str) -> Input {
        Input { left_out: LeftOut::Assume(typed, source), ..self }
    }
    /// The same where the farm reckons in US dollars; elsewhere it must be told.
    pub const fn assume_dollars(self, typed: &'static str, source: &'static str) -> Input {
        Input { left_out: LeftOut::AssumeDollars(typed, source), ..self }
    }
    /// What stands in for it, and the source: the default, or the guess for what is not known.
    pub fn stand_in(&self) -> Option<(&'static str, &'static str)> {
        match self.left_out {
            LeftOut::Assume(typed, source) | LeftOut::AssumeDollars(typed, source) => Some((typed, source)),
            LeftOut::Needed | LeftOut::Then(_) => self.guess,
        }
    }
    /// The section it stands in.
    pub fn section(&self) -> &'static str {
        self.key.rsplit_once('.').map_or("farm", |(section, _)| section)
    }
    /// Its key within the section.
    pub fn name(&self) -> &'static str {
        self.key.rsplit_once('.').map_or(self.key, |(_, name)| name)
    }
}

const fn ask(key: &'static str, takes: Takes, question: &'static str, about: &'static str) -> Input {
    Input { key, question, takes, range: None, usual: None, left_out: LeftOut::Needed, guess: None, about }
}

const fn size(key: &'static str, kind: Kind, question: &'static str, about: &'static str) -> Input {
    ask(key, Takes::Quantity(kind, None), question, about)
}

const fn number(key: &'static str, question: &'static str, about: &'static str) -> Input {
    ask(key, Takes::Number, question, about)
}

/// Every input, in the order of the manual.
pub fn inputs() -> impl Iterator<Item = &'static Input> {
    [place::INPUTS, pond::INPUTS, work::INPUTS, line::INPUTS, money::INPUTS].into_iter().flatten()
}

/// Every field of a log entry. They stand apart from [`inputs`]: a farm file does not ask for them.
pub fn log_inputs() -> impl Iterator<Item = &'static Input> {
    [log::INPUTS, market::INPUTS, packs::INPUTS, books::INPUTS].into_iter().flatten()
}

/// The input with this key.
///
/// # Panics
/// When there is none: keys are written in this room only, and a test reads every one.
pub(crate) fn input(key: &str) -> &'static Input {
    inputs()
        .chain(log_inputs())
        .find(|input| input.key == key)
        .unwrap_or_else(|| panic!("{key} is not in the table of inputs"))
}

/// The inputs of one section.
pub fn inputs_of(section: &str) -> impl Iterator<Item = &'static Input> {
    // A farm of many ponds asks thousands of times a page.
    static BY_SECTION: LazyLock<BTreeMap<&str, Vec<&Input>>> = LazyLock::new(|| {
        let mut by_section = BTreeMap::<&str, Vec<&Input>>::new();
        inputs().for_each(|input| by_section.entry(input.section()).or_default().push(input));
        by_section
    });
    BY_SECTION.get(section).into_iter().flatten().copied()
}
