//! What stands on paper and on no page: titles, lines to fill in, the ways to what is printed.

use std::path::Path;

use units::Day;

use crate::figures::date_year;

/// Way to a document.
pub const AS_PDF: &str = "To print (PDF)";
/// It could not be made.
pub const NOT_MADE: &str =
    "This could not be made into a PDF. Print the page itself from the browser; nothing is lost.";
/// Below a record: who looked through it.
pub const SIGNED: &str = "Looked through by, on:";
/// Title of the empty tally.
pub const TALLY_TITLE: &str = "Tally of baskets";
/// Way to the empty tally.
pub const TALLY_BLANK: &str = "An empty tally to print (PDF)";
/// Top of the empty tally.
pub const TALLY_TOP: &str =
    "Pond ________________   Day ____________   Scale ____________   Sheet no. ____   Written by ________________";
/// Places of a tally.
pub const TALLY_PLACES: &str = "Where to: live = live tank, chill = ice slurry, dead = thrown away, own = own use. Struck through stays readable: write the right figure below.";
/// What to do with it afterwards.
pub const TALLY_AFTER: &str = "Afterwards type it in one go at Harvest day, Enter a paper tally: one basket on a line. Keep the sheet with the day's papers.";

/// Title of a day's sheet.
pub fn day_of(pond: &str, on: Day) -> String {
    format!("Harvest day of {pond}, {}", date_year(on))
}

/// Title of a sheet of labels.
pub fn labels_of(lot: &str) -> String {
    format!("Labels of lot {lot}")
}

/// Heads of the empty tally.
pub fn tally_heads(unit: &str) -> [String; 8] {
    [
        "No.".to_owned(),
        "Time".to_owned(),
        format!("On scale, {unit}"),
        format!("Basket, {unit}"),
        "Where to".to_owned(),
        "Tub".to_owned(),
        "Count".to_owned(),
        "By hand".to_owned(),
    ]
}

/// A document was written to a file.
pub fn written(path: &Path) -> String {
    format!("{} is written.\n", path.display())
}

/// It could not be.
pub fn not_written(path: &Path, why: &str) -> String {
    format!("{}: the PDF could not be written there: {why}. Name another place after --pdf.", path.display())
}
