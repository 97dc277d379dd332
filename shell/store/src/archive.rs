//! Everything out in open forms, and in again: a folder of CSV tables to look at, one JSON file to come back from.
//!
//! The JSON holds one row to a line and is read as a stream, so that a large one needs no memory. Hashes of codes and tokens stay
//! in the store: an archive lets nobody in.

use std::fmt;
use std::fs::File;
use std::io::{BufReader, BufWriter, Read, Write};
use std::path::Path;

use rusqlite::types::{Value as Cell, ValueRef};
use rusqlite::{Connection, Transaction};
use serde::de::{DeserializeSeed, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value, json};
use units::Watch;

use crate::backup::{beside, on_disk};
use crate::error::StoreError;
use crate::facts::{Asked, put};
use crate::file::Store;
use crate::wire;

/// Name of the archive's form.
pub const ARCHIVE_SCHEMA: &str = "warmspell.archive";
/// Its version.
pub const ARCHIVE_VERSION: u32 = 1;

/// Tables of an archive and what orders their rows; each after those it points at.
pub(crate) const TABLES: [(&str, &str); 13] = [
    ("farm", "made_ms, id"),
    ("person", "made_ms, id"),
    ("device", "made_ms, id"),
    ("fact", "seq"),
    ("differing", "n"),
    ("logged", "farm, pond, quantity, place, depth_mm, at_s"),
    ("series_day", "farm, pond, quantity, place, depth_mm, day, fact_seq"),
    ("season", "farm, starts_day, id"),
    ("batch", "season, pond, starts_day, id"),
    ("blob", "digest"),
    ("answer", "n"),
    ("forecast", "farm, made_ms, pond, place, depth_mm, at_s, what, level"),
    ("exchange", "n"),
];

/// What an import did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Imported {
    /// Rows by table, in the archive's order.
    pub rows: Vec<(String, u64)>,
}

/// Whether a file begins like an archive.
pub fn is_archive(path: &Path) -> bool {
    let mut start = [0; 200];
    let read = File::open(path).and_then(|mut file| file.read(&mut start)).unwrap_or(0);
    String::from_utf8_lossy(&start[..read]).contains(ARCHIVE_SCHEMA)
}

impl Store {
    /// Writes everything into one JSON file; gives the number of rows.
    pub fn export_json(&self, to: &Path, watch: &Watch) -> Result<u64, StoreError> {
        if to.exists() {
            return Err(StoreError::InTheWay);
        }
        let part = beside(to, "part");
        let written = self.snapshot(|connection| {
            let failed = |error: std::io::Error| StoreError::of_file(&error, &part);
            let mut out = BufWriter::new(File::create(&part).map_err(failed)?);
            let epoch: String = connection.query_row("select epoch from store", [], |row| row.get(0))?;
            let mut rows = 0;
            write!(
                out,
                "{{\"schema\":\"{ARCHIVE_SCHEMA}\",\"version\":{ARCHIVE_VERSION},\"epoch\":\"{epoch}\",\"tables\":{{"
            )
            .map_err(failed)?;
            for (at, (table, order)) in TABLES.iter().enumerate() {
                write!(out, "{}\n\"{table}\":[", if at == 0 { "" } else { "," }).map_err(failed)?;
                let mut first = true;
                rows += each_row(connection, table, order, watch, |names, cells| {
                    let row: Map<String, Value> =
                        names.iter().cloned().zip(cells.iter().map(|cell| to_json(*cell))).collect();
                    let comma = if std::mem::take(&mut first) { "" } else { "," };
                    write!(out, "{comma}\n{}", Value::Object(row)).map_err(failed)
                })?;
                write!(out, "]").map_err(failed)?;
            }
            write!(out, "\n}}}}\n").and_then(|()| out.flush()).map_err(failed)?;
            Ok(rows)
        });
        finish(written, &part, to)
    }

    /// Reads an archive into this store, which must hold no farm yet: all of it or, when something is wrong or the watch is asked
    /// to stop, nothing.
    pub fn import_json(&self, from: &Path, watch: &Watch) -> Result<Imported, StoreError> {
        let file = File::open(from).map_err(|error| StoreError::of_file(&error, from))?;
        let mut failure = None;
        self.write(|work| {
            let farms: i64 = work.query_row("select count(*) from farm", [], |row| row.get(0))?;
            if farms > 0 {
                return Err(StoreError::InTheWay);
            }
            let mut imported = Imported::default();
            let mut take = |table: &str, row: Map<String, Value>| {
                if watch.asked_to_stop() {
                    return Err(StoreError::Stopped);
                }
                watch.advance(1);
                match imported.rows.iter_mut().find(|(name, _)| name == table) {
                    Some((_, count)) => *count += 1,
                    None => imported.rows.push((table.to_owned(), 1)),
                }
                take_row(work, table, &row)
            };
            let mut reader = serde_json::Deserializer::from_reader(BufReader::new(file));
            let seed = Whole { take: &mut take, failure: &mut failure };
            let read = seed.deserialize(&mut reader).and_then(|()| reader.end());
            match (failure.take(), read) {
                (Some(error), _) => Err(error),
                (None, Err(error)) => Err(StoreError::BadArchive(error.to_string())),
                (None, Ok(())) => Ok(imported),
            }
        })
    }

    /// A reading of the store as it stands at one moment.
    pub(crate) fn snapshot<T>(&self, ask: impl FnOnce(&Connection) -> Result<T, StoreError>) -> Result<T, StoreError> {
        self.read(|connection| {
            let moment = connection.unchecked_transaction()?;
            let answer = ask(&moment);
            moment.commit()?;
            answer
        })
    }

    /// The facts of a farm as JSON, one to a line: what two stores are compared by.
    pub fn facts_text(&self, farm: &str) -> Result<String, StoreError> {
        let facts = self.facts_where(farm, Asked::default())?;
        let lines: Vec<String> = facts.iter().map(|kept| wire::kept_to_json(kept).to_string()).collect();
        Ok(lines.join("\n"))
    }
}

pub(crate) fn finish(written: Result<u64, StoreError>, part: &Path, to: &Path) -> Result<u64, StoreError> {
    let kept = written.and_then(|rows| {
        on_disk(part)?;
        std::fs::rename(part, to).map_err(|error| StoreError::of_file(&error, to))?;
        Ok(rows)
    });
    if kept.is_err() {
        let _ = std::fs::remove_file(part);
    }
    kept
}

pub(crate) fn columns(connection: &Connection, table: &str) -> Result<Vec<String>, StoreError> {
    let query = connection.prepare(&format!("select * from {table} limit 0"))?;
    Ok(query.column_names().map(str::to_owned).collect())
}

pub(crate) fn each_row(
    connection: &Connection,
    table: &str,
    order: &str,
    watch: &Watch,
    mut take: impl FnMut(&[String], &[ValueRef<'_>]) -> Result<(), StoreError>,
) -> Result<u64, StoreError> {
    let names = columns(connection, table)?;
    let mut query = connection.prepare(&format!("select * from {table} order by {order}"))?;
    let mut rows = query.query([])?;
    let mut count = 0;
    while let Some(row) = rows.next()? {
        if watch.asked_to_stop() {
            return Err(StoreError::Stopped);
        }
        let cells: Vec<ValueRef<'_>> = (0..names.len()).map(|at| row.get_ref(at)).collect::<Result<_, _>>()?;
        take(&names, &cells)?;
        watch.advance(1);
        count += 1;
    }
    Ok(count)
}

fn to_json(cell: ValueRef<'_>) -> Value {
    match cell {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(number) => json!(number),
        ValueRef::Real(number) => json!(number),
        ValueRef::Text(text) => json!(String::from_utf8_lossy(text)),
        ValueRef::Blob(bytes) => json!({ "hex": crate::digest::hex(bytes) }),
    }
}

fn from_json(value: &Value) -> Option<Cell> {
    Some(match value {
        Value::Null => Cell::Null,
        Value::String(text) => Cell::Text(text.clone()),
        Value::Number(number) => number.as_i64().map(Cell::Integer).or_else(|| number.as_f64().map(Cell::Real))?,
        Value::Object(map) => {
            let digits = map.get("hex")?.as_str()?;
            let pair = |at: usize| u8::from_str_radix(digits.get(2 * at..2 * at + 2)?, 16).ok();
            Cell::Blob((0..digits.len() / 2).map(pair).collect::<Option<_>>()?)
        }
        _ => return None,
    })
}

fn take_row(work: &Transaction<'_>, table: &str, row: &Map<String, Value>) -> Result<(), StoreError> {
    if !TABLES.iter().any(|(known, _)| *known == table) {
        return Err(StoreError::BadArchive(format!("no table is called {table}")));
    }
    if table == "fact" {
        return take_fact(work, row);
    }
    let known = columns(work, table)?;
    if let Some(odd) = row.keys().find(|key| !known.contains(key)) {
        return Err(StoreError::BadArchive(format!("{table} has no column {odd}")));
    }
    let names: Vec<&str> = row.keys().map(String::as_str).collect();
    let marks = vec!["?"; names.len()].join(", ");
    let cells: Option<Vec<Cell>> = row.values().map(from_json).collect();
    let cells = cells.ok_or_else(|| StoreError::BadArchive(format!("a row of {table} cannot be read")))?;
    work.prepare_cached(&format!("insert into {table} ({}) values ({marks})", names.join(", ")))?
        .execute(rusqlite::params_from_iter(cells))?;
    Ok(())
}

/// A fact comes in by the door that all facts come in by: its numbers are read again and its chain is made anew, and must come
/// out as the archive says.
fn take_fact(work: &Transaction<'_>, row: &Map<String, Value>) -> Result<(), StoreError> {
    let bad = |what: &str| StoreError::BadArchive(format!("fact {}: {what}", row.get("seq").unwrap_or(&Value::Null)));
    let whole = |field: &str| row.get(field).and_then(Value::as_i64).ok_or_else(|| bad(field));
    let typed: Value = row
        .get("typed")
        .and_then(Value::as_str)
        .and_then(|text| serde_json::from_str(text).ok())
        .ok_or_else(|| bad("typed"))?;
    let mut body = row.clone();
    body.insert("typed".to_owned(), typed);
    body.insert("happened".to_owned(), json!({ "utc_s": whole("happened_s")?, "offset_s": whole("offset_s")? }));
    let fact = wire::fact_from_json(&Value::Object(body)).map_err(|error| bad(&error.field))?;
    let seq = put(work, &fact, Some(whole("seq")?), whole("received_ms")?, whole("clock_off_ms")?)?;
    let chain: Vec<u8> =
        work.prepare_cached("select chain from fact where seq = ?1")?.query_row([seq], |row| row.get(0))?;
    let told = row.get("chain").and_then(|chain| chain.get("hex")).and_then(Value::as_str);
    if told != Some(crate::digest::hex(&chain).as_str()) {
        return Err(bad("it is not what was first written"));
    }
    Ok(())
}

/// Reads the archive's outermost object; `take` gets each row as it comes.
struct Whole<'a, F> {
    take: &'a mut F,
    failure: &'a mut Option<StoreError>,
}

impl<'de, F: FnMut(&str, Map<String, Value>) -> Result<(), StoreError>> DeserializeSeed<'de> for Whole<'_, F> {
    type Value = ();
    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_map(self)
    }
}

impl<'de, F: FnMut(&str, Map<String, Value>) -> Result<(), StoreError>> Visitor<'de> for Whole<'_, F> {
    type Value = ();
    fn expecting(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("an archive")
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let (mut named, mut tables) = (false, false);
        while let Some(key) = map.next_key::<String>()? {
            match key.as_str() {
                "schema" => {
                    named = map.next_value::<String>()? == ARCHIVE_SCHEMA;
                }
                "version" => {
                    let version: u32 = map.next_value()?;
                    if version > ARCHIVE_VERSION {
                        *self.failure = Some(StoreError::Newer { file: version, program: ARCHIVE_VERSION });
                        return Err(A::Error::custom("a newer archive"));
                    }
                }
                "tables" if named => {
                    tables = true;
                    map.next_value_seed(Tables { take: self.take, failure: self.failure })?;
                }
                _ => {
                    map.next_value::<serde::de::IgnoredAny>()?;
                }
            }
        }
        if named && tables { Ok(()) } else { Err(A::Error::custom("this is no archive of ours")) }
    }
}

struct Tables<'a, F> {
    take: &'a mut F,
    failure: &'a mut Option<StoreError>,
}

impl<'de, F: FnMut(&str, Map<String, Value>) -> Result<(), StoreError>> DeserializeSeed<'de> for Tables<'_, F> {
    type Value = ();
    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_map(self)
    }
}

impl<'de, F: FnMut(&str, Map<String, Value>) -> Result<(), StoreError>> Visitor<'de> for Tables<'_, F> {
    type Value = ();
    fn expecting(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("tables")
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(table) = map.next_key::<String>()? {
            map.next_value_seed(Rows { table: &table, take: &mut *self.take, failure: &mut *self.failure })?;
        }
        Ok(())
    }
}

struct Rows<'a, F> {
    table: &'a str,
    take: &'a mut F,
    failure: &'a mut Option<StoreError>,
}

impl<'de, F: FnMut(&str, Map<String, Value>) -> Result<(), StoreError>> DeserializeSeed<'de> for Rows<'_, F> {
    type Value = ();
    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_seq(self)
    }
}

impl<'de, F: FnMut(&str, Map<String, Value>) -> Result<(), StoreError>> Visitor<'de> for Rows<'_, F> {
    type Value = ();
    fn expecting(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("rows")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut rows: A) -> Result<(), A::Error> {
        while let Some(row) = rows.next_element::<Map<String, Value>>()? {
            if let Err(error) = (self.take)(self.table, row) {
                *self.failure = Some(error);
                return Err(A::Error::custom("a row was refused"));
            }
        }
        Ok(())
    }
}
