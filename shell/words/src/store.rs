//! What can go wrong with the season's record, and what its commands say.

use std::path::Path;

use farm::facts::Slip;
use store::{Imported, Restored, StoreError};

/// Why the record could not do what was asked: what happened, what is safe, what to do.
pub fn error(path: &Path, error: &StoreError) -> String {
    let name = path.display();
    match error {
        StoreError::Full => format!(
            "{name}: the disk is full. All that was kept before is safe; what you did last was not kept. Free some room and try again."
        ),
        StoreError::ReadOnly => format!(
            "{name}: this machine lets the file be read but not written. Nothing was lost. Change its permission, or name another with --store."
        ),
        StoreError::Locked => format!(
            "{name}: another program holds the file. Nothing was lost. Close that program, or wait a moment and try again."
        ),
        StoreError::Missing => format!("{name}: there is no such file. Check its name and folder."),
        StoreError::NotAStore => format!("{name}: this is no record of warmspell's. It was left as it is."),
        StoreError::Newer { file, program } => format!(
            "{name}: a newer warmspell wrote this (form {file}; this program knows up to {program}). It was left as it is. Use the newer program."
        ),
        StoreError::Damaged(what) => format!(
            "{name}: the file is damaged ({what}). Leave it as it is, and bring the last backup back with `warmspell restore`."
        ),
        StoreError::InTheWay => {
            format!("{name}: something is there already, and it is not written over. Choose another name.")
        }
        StoreError::BadArchive(what) => {
            format!("{name}: the archive cannot be read ({what}). Nothing was taken from it.")
        }
        StoreError::BadRow(field) => format!("{name}: the entry's {field} cannot be kept as it is."),
        StoreError::Stopped => "Stopped. Nothing was changed.".to_owned(),
        StoreError::Other(what) => {
            format!("{name}: the file could not be used ({what}). All that was kept before is safe.")
        }
    }
}

/// After a backup.
pub fn backed_up(to: &Path, facts: i64) -> String {
    format!(
        "Backed up to {}: {}, looked through and whole.\nKeep it on another disk or machine than the record itself.\n",
        to.display(),
        entries(facts)
    )
}

/// After a restore.
pub fn restored(store: &Path, restored: &Restored) -> String {
    let before = restored
        .before
        .as_ref()
        .map_or(String::new(), |before| format!("What stood there before is kept in {}.\n", before.display()));
    format!(
        "Restored {}: {}.\n{before}Phones will offer again what they entered in the last 30 days; nothing is doubled.\n",
        store.display(),
        entries(restored.facts)
    )
}

/// After an export.
pub fn exported(to: &Path, rows: u64, is_archive: bool) -> String {
    let what = if is_archive {
        "everything in one file; `warmspell import` reads it"
    } else {
        "one table a file, for any spreadsheet. To move a farm, export to a name that ends in .json"
    };
    format!("Exported to {}: {rows} rows, {what}.\n", to.display())
}

/// After a workbook was written.
pub fn book_exported(to: &Path, rows: u64) -> String {
    format!(
        "Exported to {}: {rows} rows, a sheet for each kind of entry. To move a farm, export to a name that ends in .json.\n",
        to.display()
    )
}

/// After an import.
pub fn imported(store: &Path, imported: &Imported) -> String {
    let rows: Vec<String> = imported.rows.iter().map(|(table, rows)| format!("  {table} {rows}")).collect();
    format!("Imported into {}, rows by table:\n{}\n", store.display(), rows.join("\n"))
}

/// A record that already holds farms takes no archive.
pub fn import_in_the_way(store: &Path) -> String {
    format!(
        "{}: this record holds a farm already, and an archive is not mixed into it. Name a new file with --store.",
        store.display()
    )
}

/// Where the record lies when nobody says, and there is no such place.
pub fn no_home() -> &'static str {
    "This machine names no folder for your data. Say where the record lies with --store FILE."
}

/// What is wrong with one field of an entry, and how it is mended.
pub fn slip(slip: &Slip) -> String {
    crate::farm::log_slip(slip)
}

fn entries(facts: i64) -> String {
    if facts == 1 { "1 entry".to_owned() } else { format!("{facts} entries") }
}
