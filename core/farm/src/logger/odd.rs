//! What was doubtful in a file, by line.

use std::collections::BTreeMap;

use super::Quantity;

/// Doubts that are kept with their line; the others are counted.
const KEPT: usize = 200;

/// One thing that was doubtful.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Line, from 1.
    pub line: usize,
    /// As written, cut to a length that still fits a sentence.
    pub text: String,
    /// What.
    pub odd: Odd,
}

/// What was odd, and so what was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Odd {
    /// No time can be read: the line is left out.
    NotATime,
    /// No number: left out.
    NotANumber,
    /// No water has this value: left out.
    NotBelieved(Quantity),
    /// Far from the readings before and after: taken.
    Spike(Quantity),
    /// The autumn clock shows this time twice: taken by the order of the lines.
    ShownTwice,
    /// The spring clock skips this time: read as the clock before the change.
    Skipped,
    /// Later than now: taken.
    Later,
    /// A clock that was never set: left out.
    NeverSet,
    /// The same moment again with the same value: left out.
    Repeated,
    /// The same moment again with another value: the first is taken.
    TwoValues,
    /// More cells than columns, perhaps by a decimal comma: left out.
    MoreCells,
}

impl Odd {
    /// Whether what stood there was taken all the same.
    pub fn is_taken(self) -> bool {
        matches!(self, Odd::Spike(_) | Odd::ShownTwice | Odd::Skipped | Odd::Later)
    }
}

/// All that was doubtful.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Doubts {
    /// The first of them, in order of line.
    pub first: Vec<Doubt>,
    /// How many of each kind.
    pub counts: BTreeMap<Odd, usize>,
}

impl Doubts {
    /// One more.
    pub fn add(&mut self, line: usize, text: &str, odd: Odd) {
        let count = self.counts.entry(odd).or_default();
        *count += 1;
        // A few of each kind are shown, so that one common kind does not hide the others.
        if *count <= 20 && self.first.len() < KEPT {
            self.first.push(Doubt { line, text: clipped(text), odd });
        }
    }
    /// All of them.
    pub fn count(&self) -> usize {
        self.counts.values().sum()
    }
    /// In order of line.
    pub fn sort(&mut self) {
        self.first.sort_by_key(|doubt| doubt.line);
    }
}

fn clipped(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() <= 40 { text.to_owned() } else { text.chars().take(39).chain(['…']).collect() }
}
