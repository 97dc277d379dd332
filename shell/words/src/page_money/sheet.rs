//! Names and heads of the books' workbook.

use crate::figures::Manner;

/// Names of its sheets.
pub const SHEET_ABOUT: &str = "About";
/// Every entry of the year.
pub const SHEET_JOURNAL: &str = "Journal";
/// What each pond made.
pub const SHEET_MADE: &str = "Made";
/// The budget beside it.
pub const SHEET_BUDGET: &str = "Budget";
/// Cash.
pub const SHEET_CASH: &str = "Cash";
/// Break-evens.
pub const SHEET_EVEN: &str = "Pays from";
/// What moves it.
pub const SHEET_SWINGS: &str = "Swings";
/// Heads of the journal.
pub const SHEET_JOURNAL_HEADS: [&str; 8] = ["Entry", "Day", "What", "Words", "Account", "Pond", "Debit", "Credit"];
/// Heads of the cash.
pub const SHEET_CASH_HEADS: [&str; 5] = ["Month begins", "Next begins", "In", "Out", "Stands at"];
/// Heads of the break-evens.
pub const SHEET_EVEN_HEADS: [&str; 2] = ["What", "Value"];
/// Before an account, in the head of a pond's own.
pub const SHEET_OWN: &str = "own";
/// Of a pond's share of what is common.
pub const SHEET_SHARE: &str = "share of common";
/// First column of tables by account.
pub const SHEET_FOR: &str = "For";
/// Rows below the accounts, in order.
pub const SHEET_LEVELS: [&str; 6] =
    ["Operating cost", "Variable cost", "Total cost", "Over operating cost", "Over variable cost", "Net"];
/// Rows of the break-evens, in the person's units.
pub fn sheet_even_rows(manner: Manner) -> [String; 10] {
    let unit = if manner == Manner::UsCustomary { "lb" } else { "kg" };
    [
        format!("Weight sold, whole, {unit}"),
        "Sales of it".to_owned(),
        "Animals stocked".to_owned(),
        "Weight of one, g".to_owned(),
        format!("Weight caught, {unit}"),
        "Total cost".to_owned(),
        format!("Price had for 1 {unit}"),
        format!("Pays from, for 1 {unit}"),
        format!("Pays from, {unit}"),
        "Pays from, survival".to_owned(),
    ]
}
/// What the workbook is.
pub const SHEET_NOTE: &str = "Sums are formulas: change a figure of the journal and they follow. Shares of what is common are figures, since coins left over go to the largest fractions. Money is in units of the currency.";
/// Heads of the first sheet.
pub const SHEET_ABOUT_HEADS: [&str; 2] = ["What", "Is"];
/// Rows of the first sheet.
pub const SHEET_ABOUT_ROWS: [&str; 5] = ["Farm", "From", "To", "Currency", "Note"];
