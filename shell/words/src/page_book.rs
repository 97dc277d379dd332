//! The words of the season's workbook: sheets, heads, what an entry's standing is.

use farm::facts::{Entry, Kept};
use farm::logger::Quantity;

/// First sheet of the workbook.
pub const BOOK_ABOUT: &str = "About";
/// Its heads.
pub const BOOK_ABOUT_HEADS: [&str; 2] = ["What", "Value"];
/// The farm.
pub const BOOK_FARM: &str = "Farm";
/// Begin.
pub const BOOK_FROM: &str = "From";
/// End.
pub const BOOK_BEFORE: &str = "To before";
/// Clock.
pub const BOOK_CLOCK: &str = "Farm's clock";
/// A note.
pub const BOOK_NOTE: &str = "Note";
/// Its text.
pub const BOOK_NOTE_TEXT: &str = "Numbers stand in the unit of their head. Entries mended twice stand twice, until one of the two is chosen. To bring a farm in again use the JSON archive or a backup: this book is for reading and reckoning.";
/// The ponds.
pub const BOOK_PONDS: &str = "Ponds";
/// Their heads.
pub const BOOK_POND_HEADS: [&str; 4] = ["Short name", "Name", "Stocked on", "Readings known"];
/// The loggers.
pub const BOOK_LOGGED: &str = "Logger hours";
/// When, by both clocks, and where.
pub const BOOK_WHEN_HEADS: [&str; 2] = ["Time (farm's clock)", "Time (UTC)"];
/// Where a logger hung.
pub const BOOK_SPOT_HEADS: [&str; 3] = ["Pond", "End", "Depth (m)"];
/// Who wrote it and whether it stands.
pub const BOOK_WHO_HEADS: [&str; 2] = ["Written by", "Standing"];

/// Name of the sheet of one kind of entry.
pub fn book_sheet(kind: &str) -> &'static str {
    match kind {
        "reading" => "Readings",
        "feed" => "Feed",
        "deaths" => "Deaths",
        "predators" => "Predators",
        "aerator" => "Aerators",
        "chore" => "Work done",
        "sample" => "Samples",
        "basket" => "Baskets",
        "moved" => "Moved on",
        "cold" => "Cold",
        "edge" => "Water's edge",
        "watch" => "Night watch",
        "closed" => "Days closed",
        "people" => "People counted",
        "overflow" => "Water ran over",
        "order" => "Orders",
        "delivery" => "Postlarvae",
        "tank" => "Tanks",
        "counted_out" => "Counted out",
        "stocked" => "Stockings",
        "catch" => "Catches",
        "season" => "Seasons begun",
        "season_over" => "Seasons over",
        "weather_note" => "Weather",
        "photo" => "Photos",
        "logger" => "Logger files",
        "plan_accepted" => "Plans accepted",
        "cost" => "Costs",
        "gear_bought" => "Bought to last",
        "budget" => "Budget",
        _ => "Notes",
    }
}

/// Head of a field, with its unit.
pub fn book_head(field: &str, unit: &str) -> String {
    let unit = match unit {
        "" => return crate::page_log::field(field).to_owned(),
        "c" => "°C",
        "mg_l" => "mg/L",
        "count" => return crate::page_log::field(field).to_owned(),
        other => other,
    };
    format!("{} ({unit})", crate::page_log::field(field))
}

/// Head of a logger's quantity, with its unit.
pub fn book_logged(of: Quantity) -> String {
    let unit = match of {
        Quantity::Temperature => " (°C)",
        Quantity::Oxygen => " (mg/L)",
        Quantity::Ph => "",
        Quantity::Stage => " (m)",
    };
    format!("{}{unit}, mean of the hour", crate::page_file::quantity(of))
}

/// Whether an entry counts.
pub fn book_standing(entry: &Entry<'_>, head: &Kept) -> &'static str {
    match (head.fact.strikes(), entry.is_fork(), entry.is_mended()) {
        (true, ..) => "struck out",
        (_, true, _) => "mended twice, not settled",
        (_, _, true) => "mended",
        _ => "as first written",
    }
}
