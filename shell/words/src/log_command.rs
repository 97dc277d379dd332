//! What `warmspell log` says besides the pages' own words.

use farm::logger::{FileClock, Quantity, Question};

use crate::page_file::{clock, many, quantity};

/// The file's clock, in a sentence.
pub fn clock_says(of: FileClock) -> String {
    format!("Times are read by this clock: {}.", clock(of))
}

/// One series, in a line.
pub fn series(of: Quantity, end: &str, count: usize) -> String {
    format!("{}, {} end: {}", quantity(of), end.to_lowercase(), many(count, "reading", "readings"))
}

/// How to keep what was looked at.
pub const ADD_TAKE: &str = "Nothing is kept yet. Add --take to keep it.";
/// The record knows no farm to make a workbook of.
pub const NO_FARM: &str = "The record does not say which farm this is. Name its file with --farm FARM.toml.";

/// A pond that is not the farm's.
pub fn no_such_pond(typed: &str, ponds: &[&str]) -> String {
    format!("{typed} is no pond of this farm. Its ponds: {}.", ponds.join(", "))
}

/// An end that is none.
pub fn no_such_end(typed: &str) -> String {
    no_such_choice("--end", typed, "deep, middle, shallow")
}

/// A word that is none of those that can be chosen.
pub fn no_such_choice(flag: &str, typed: &str, choices: &str) -> String {
    format!("{flag} {typed} is not understood. Write it as one of: {choices}.")
}

/// A sheet that is not there.
pub fn no_such_sheet(asked: usize, there: usize) -> String {
    let there = if there == 1 { "one sheet".to_owned() } else { format!("{there} sheets") };
    format!("There is no sheet {asked}: the file has {there}.")
}

/// The question that stands open, with the flag that answers it.
pub fn question_by_command(asked: Question, at: usize, column: &str) -> String {
    match asked {
        Question::WhichTime => "No column was known as the time. Say which, as --column 1=stamp.".to_owned(),
        Question::WhichValue => "No column was known as the water's. Say which, as --column 2=temp_f.".to_owned(),
        Question::DateOrder => "The dates can be read in two ways. Add --first day or --first month.".to_owned(),
        Question::TempUnit(_) => {
            let n = at + 1;
            format!("{column} could be Fahrenheit or Celsius. Add --column {n}=temp_f or --column {n}=temp_c.")
        }
    }
}
