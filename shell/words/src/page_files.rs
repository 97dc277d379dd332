//! What the page of files says: everything out, and a backup back in.

use units::{Instant, Zone};

use crate::figures::{Manner, grouped};
use crate::page_log::moment;

/// Title, and the way there.
pub const TITLE: &str = "Files";
/// First sentence.
pub const HINT: &str =
    "Everything that was written down here is yours. Take it out as often as you like; nothing is changed by it.";
/// The workbook.
pub const BOOK: &str = "The season as a workbook (.xlsx)";
/// What is in it.
pub const BOOK_HINT: &str =
    "A sheet for each kind of entry, the loggers' hours, times by the farm's clock and UTC. The last twelve months.";
/// The archive.
pub const ARCHIVE: &str = "Everything in one file (.json)";
/// What it is for.
pub const ARCHIVE_HINT: &str =
    "An open form that any program reads, photos and logger files within. It can be brought in again below.";
/// The tables.
pub const TABLES: &str = "One table at a time (.csv)";
/// What is done to texts.
pub const TABLES_HINT: &str = "For any spreadsheet. A text that begins with = + - or @ gets an apostrophe before it, so that no spreadsheet takes it for a formula.";
/// The backup.
pub const BACKUP: &str = "A backup of the whole record";
/// What is done first.
pub const BACKUP_HINT: &str = "The record is looked through first, then copied as it stands at this moment. Keep the file on another disk or machine.";
/// The look through the file goes on.
pub const LOOKING: &str = "The file that holds the record is being looked through now.";
/// The way to it.
pub const BACKUP_NOW: &str = "Make a backup and save it";
/// Back in.
pub const RESTORE: &str = "Bring a backup back";
/// What it does.
pub const RESTORE_HINT: &str = "A backup, or the file with everything. It is looked through first, and you see what would be replaced before anything is.";
/// Its field.
pub const WHICH: &str = "Which file?";
/// Button.
pub const LOOK: &str = "Look through it";
/// No file.
pub const NO_FILE: &str = "Choose a backup first.";
/// Too large.
pub const TOO_LARGE: &str = "The file is larger than this page takes (2 GB). Use `warmspell restore`.";
/// Not whole.
pub const NOT_RECEIVED: &str = "The file did not arrive whole. Try once more.";
/// Neither form.
pub const NEITHER: &str = "This is neither a backup nor a file with everything. Nothing was changed.";
/// Title of the second step.
pub const REPLACE: &str = "Put this in the record's place?";
/// What stands.
pub const STANDS: &str = "The record now";
/// What would stand.
pub const WOULD: &str = "The file you chose";
/// The tick before it.
pub const UNDERSTOOD: &str = "I have read what is replaced";
/// Not ticked.
pub const NOT_UNDERSTOOD: &str = "Tick the line above the button first.";
/// Does it.
pub const REPLACE_NOW: &str = "Replace the record";
/// Leaves it.
pub const LEAVE: &str = "Leave the record as it is";
/// It is gone.
pub const GONE: &str =
    "This file was looked through too long ago and is no longer held. Choose it once more; the record is as it was.";
/// After it.
pub const DONE: &str = "The record was replaced";
/// Not this farm's.
pub const OTHER_FARM: &str = "This file holds no farm of this name. The page you stand on would have nothing to show.";

/// How much stands in a record, in a line.
pub fn holds(farms: &[String], facts: i64, last_ms: Option<i64>, zone: &Zone, manner: Manner) -> String {
    let farms = if farms.is_empty() { "no farm".to_owned() } else { farms.join(", ") };
    let entries = if facts == 1 { "1 entry".to_owned() } else { format!("{} entries", grouped(facts as f64)) };
    match last_ms {
        None => format!("{farms}: {entries}."),
        Some(ms) => {
            let when = moment(Instant(ms.div_euclid(1000)), zone, manner);
            // "p.m." ends the sentence by itself.
            format!("{farms}: {entries}, the last one on {}.", when.trim_end_matches('.'))
        }
    }
}

/// The last look found nothing.
pub fn whole(at: Instant, zone: &Zone, manner: Manner) -> String {
    format!("The file was last looked through on {}, from end to end. It is whole.", moment(at, zone, manner))
}

/// What would be lost from view.
pub fn replaced(newer: usize) -> String {
    match newer {
        0 => "Every entry of the record stands in this file too.".to_owned(),
        1 => "1 entry of the record does not stand in this file and would be gone from the pages.".to_owned(),
        n => format!(
            "{} entries of the record do not stand in this file and would be gone from the pages.",
            grouped(n as f64)
        ),
    }
}

/// What is kept all the same.
pub const KEPT_ASIDE: &str = "What stands now is kept in a file beside the record, and can be brought back the same way. Phones offer again what they entered in the last 30 days; nothing is doubled.";

/// It could not be put in the record's place.
pub const STANDS_AS_IT_WAS: &str = "Nothing was replaced: the record stands as it was. The file you brought is still here; once that is mended, press the button again.";

/// A file that could not even be received, with the reason.
pub fn not_taken(why: &str) -> String {
    format!("{why} The file you brought was not taken, and the record stands as it was.")
}

/// After it, in full.
pub fn done(facts: i64, before: Option<&str>) -> String {
    let entries =
        if facts == 1 { "1 entry stands".to_owned() } else { format!("{} entries stand", grouped(facts as f64)) };
    match before {
        Some(before) => format!("{entries} in it now. What stood before is kept as {before}, beside the record."),
        None => format!("{entries} in it now."),
    }
}

/// A table's name for people.
pub fn table(name: &str) -> &str {
    match name {
        "farm" => "Farms",
        "person" => "People",
        "device" => "Phones",
        "fact" => "Entries, word for word",
        "differing" => "Entries sent twice with different words",
        "logged" => "Logger readings of the first version",
        "series_day" => "Logger readings, packed by day",
        "season" => "Seasons",
        "batch" => "Batches",
        "blob" => "Photos and logger files",
        "answer" => "Answers kept",
        "forecast" => "Forecasts kept",
        "exchange" => "Exchanges with phones",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_replaced_is_said_in_full() {
        assert_eq!(replaced(0), "Every entry of the record stands in this file too.");
        assert!(replaced(1).starts_with("1 entry of") && replaced(1200).starts_with("1,200 entries"));
        assert_eq!(
            done(2, Some("a.db")),
            "2 entries stand in it now. What stood before is kept as a.db, beside the record."
        );
        assert_eq!(holds(&["Bend".to_owned()], 1, None, &Zone::utc(), Manner::Metric), "Bend: 1 entry.");
    }
}
