//! Spreadsheets in and out: a workbook's sheets as text that the logger's reader takes, and the season's record as a workbook.
//!
//! A workbook is a packed file from outside: how much it unpacks to is counted before anything is read from it. What goes out
//! holds no formula but those of the books' own sums: a text is a text, whatever it begins with.

mod bundle;
mod money;
mod read;
mod season;
mod write;

#[cfg(test)]
mod tests;

pub use bundle::bundle;
pub use money::{MoneyAsk, money_book};
pub use read::{SheetError, is_workbook, read};
pub use season::{Asked, season_book};
pub use write::{Cell, Table, write};
