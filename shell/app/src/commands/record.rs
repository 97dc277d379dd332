//! `warmspell backup`, `restore`, `export` and `import`: the season's record, copied and brought back.

use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::{Value, json};
use store::{Opening, Store, StoreError};
use units::{Instant, Zone};
use words::store as say;

use super::Told;
use crate::waiting::with_progress;

/// Copies the season's record into one file, also while the program runs.
#[derive(Debug, Args)]
#[command(after_help = BACKUP)]
pub struct BackupArgs {
    /// The file to write; named by the moment and beside the record when left out
    #[arg(value_name = "FILE")]
    to: Option<PathBuf>,
    #[command(flatten)]
    common: Common,
}

/// Puts a backup in the record's place; what stood there is kept beside it.
#[derive(Debug, Args)]
#[command(after_help = RESTORE)]
pub struct RestoreArgs {
    /// The backup
    #[arg(value_name = "FILE")]
    from: PathBuf,
    #[command(flatten)]
    common: Common,
}

/// Takes everything out in open forms: a folder of CSV tables, one JSON archive, or a workbook of the season.
#[derive(Debug, Args)]
#[command(after_help = EXPORT)]
pub struct ExportArgs {
    /// A folder to make, or a file whose name ends in .json or .xlsx
    #[arg(value_name = "DIR|FILE.json|FILE.xlsx")]
    to: PathBuf,
    /// For a workbook: the farm's file, when the record holds several farms or none that describes itself
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    #[command(flatten)]
    common: Common,
}

/// Brings an archive in, to an identical farm.
#[derive(Debug, Args)]
#[command(after_help = IMPORT)]
pub struct ImportArgs {
    /// An archive that `warmspell export FILE.json` wrote
    #[arg(value_name = "FILE.json")]
    from: PathBuf,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Args)]
struct Common {
    /// The record; warmspell.db in your data folder when left out
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

const BACKUP: &str = "Examples:
  warmspell backup
  warmspell backup /media/stick/farm.db --store FARM.db

The whole record is looked through first. Nothing is written over.";
const RESTORE: &str = "Examples:
  warmspell restore farm.db
  warmspell restore farm.db --store FARM.db --json

A program that has the record open goes on with what was restored.";
const EXPORT: &str = "Examples:
  warmspell export tables
  warmspell export farm.json
  warmspell export season.xlsx

CSV tables open in any spreadsheet; the JSON archive can be brought in again. Neither lets anybody in: pairing codes and sessions stay behind.";
const IMPORT: &str = "Examples:
  warmspell import farm.json --store NEW.db

The record must hold no farm yet. All of the archive comes in, or nothing.";

const VERSION: u32 = 1;

/// Answers `warmspell backup`.
pub fn backup(args: &BackupArgs, now_ms: i64) -> Told {
    told(&args.common, |path| {
        let store = existing(path, now_ms)?;
        let to = args.to.clone().unwrap_or_else(|| path.with_file_name(format!("warmspell-{}.db", stamp(now_ms))));
        let facts = store.last_seq().map_err(|error| say::error(path, &error))?;
        // What is wrong is wrong with the record, but for a name that is taken.
        let blamed = |error: StoreError| say::error(if error == StoreError::InTheWay { &to } else { path }, &error);
        with_progress("backing up", |watch| store.back_up(&to, watch)).map_err(blamed)?;
        let fields = json!({ "file": shown(&to), "facts": facts });
        Ok((say::backed_up(&to, facts), "warmspell.backup", fields))
    })
}

/// Answers `warmspell restore`.
pub fn restore(args: &RestoreArgs, now_ms: i64) -> Told {
    told(&args.common, |path| {
        let restored = with_progress("restoring", |watch| Store::restore(path, &args.from, now_ms, watch));
        let restored = restored.map_err(|error| {
            // A full, locked or read-only place is the record's; all else is said of the backup.
            let places = [StoreError::Full, StoreError::Locked, StoreError::ReadOnly];
            say::error(if places.contains(&error) { path } else { &args.from }, &error)
        })?;
        let before = restored.before.as_deref().map(shown);
        let fields =
            json!({ "store": shown(path), "epoch": restored.epoch, "facts": restored.facts, "before": before });
        Ok((say::restored(path, &restored), "warmspell.restore", fields))
    })
}

/// Answers `warmspell export`.
pub fn export(args: &ExportArgs, now_ms: i64) -> Told {
    told(&args.common, |path| {
        let store = existing(path, now_ms)?;
        let to = &args.to;
        if to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx")) {
            let rows = super::logger::book(&store, to, args.farm.as_deref(), now_ms)?;
            let fields = json!({ "to": shown(to), "rows": rows, "archive": false });
            return Ok((say::book_exported(to, rows), "warmspell.export", fields));
        }
        let archive = to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json"));
        let rows = with_progress("exporting", |watch| {
            if archive { store.export_json(to, watch) } else { store.export_csv(to, watch) }
        });
        let rows = rows.map_err(|error| say::error(to, &error))?;
        let fields = json!({ "to": shown(to), "rows": rows, "archive": archive });
        Ok((say::exported(to, rows, archive), "warmspell.export", fields))
    })
}

/// Answers `warmspell import`.
pub fn import(args: &ImportArgs, now_ms: i64) -> Told {
    told(&args.common, |path| {
        std::fs::metadata(&args.from).map_err(|_| say::error(&args.from, &StoreError::Missing))?;
        let store = Store::open(path, now_ms).map_err(|error| say::error(path, &error))?;
        let imported = with_progress("importing", |watch| store.import_json(&args.from, watch));
        let imported = imported.map_err(|error| match error {
            StoreError::InTheWay => say::import_in_the_way(path),
            StoreError::Full | StoreError::Locked => say::error(path, &error),
            other => say::error(&args.from, &other),
        })?;
        let rows: serde_json::Map<String, Value> =
            imported.rows.iter().map(|(table, rows)| (table.clone(), json!(rows))).collect();
        let fields = json!({ "store": shown(path), "rows": rows });
        Ok((say::imported(path, &imported), "warmspell.import", fields))
    })
}

/// Finds the record, runs the command, and says the answer in the form asked for.
fn told(common: &Common, act: impl FnOnce(&Path) -> Result<(String, &'static str, Value), String>) -> Told {
    let path = common.store.clone().or_else(usual_place).ok_or_else(|| say::no_home().to_owned());
    match path.and_then(|path| act(&path)) {
        Err(why) => Told::could_not(why),
        Ok((text, _, _)) if !common.json => Told::answer(text, Vec::new()),
        Ok((_, schema, fields)) => {
            let mut lines = vec![format!("  \"schema\": {}", json!(schema)), format!("  \"version\": {VERSION}")];
            let fields = fields.as_object().into_iter().flatten();
            lines.extend(fields.map(|(key, value)| format!("  {}: {value}", json!(key))));
            Told::answer(format!("{{\n{}\n}}\n", lines.join(",\n")), Vec::new())
        }
    }
}

pub(super) fn existing(path: &Path, now_ms: i64) -> Result<Store, String> {
    let opening = Opening { make: false, ..Opening::default() };
    Store::open_with(path, now_ms, opening).map_err(|error| say::error(path, &error))
}

/// `warmspell.db` in the folder where this system keeps a user's data.
pub fn usual_place() -> Option<PathBuf> {
    let folder = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let data = if cfg!(windows) {
        folder("APPDATA")?
    } else if cfg!(target_os = "macos") {
        folder("HOME")?.join("Library/Application Support")
    } else {
        folder("XDG_DATA_HOME").or_else(|| folder("HOME").map(|home| home.join(".local/share")))?
    };
    Some(data.join("warmspell").join("warmspell.db"))
}

/// A moment as a part of a file's name, in UTC.
fn stamp(now_ms: i64) -> String {
    Zone::utc().stamp(Instant(now_ms.div_euclid(1000))).chars().filter(char::is_ascii_digit).take(12).collect()
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

#[cfg(test)]
mod tests;
