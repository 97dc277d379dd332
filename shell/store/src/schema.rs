//! The shape of the file, as a list of steps. The version of a file is how many of them it has taken.

use rusqlite::{Connection, TransactionBehavior};

use crate::error::StoreError;

/// Marks our files among all SQLite files: "wspl".
pub const APPLICATION_ID: i32 = 0x7773_706c;

/// Each step once used stays as it is.
const STEPS: &[&str] = &[
    include_str!("schema_1.sql"),
    include_str!("schema_2.sql"),
    include_str!("schema_3.sql"),
    include_str!("schema_4.sql"),
    include_str!("schema_5.sql"),
];

/// The newest version this program knows.
pub fn newest_version() -> u32 {
    STEPS.len() as u32
}

/// The version of an open file; 0 for an empty one.
pub(crate) fn version(connection: &Connection) -> Result<u32, StoreError> {
    let version: u32 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let mark: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let tables: i64 = connection.query_row("select count(*) from sqlite_schema", [], |row| row.get(0))?;
    if mark != APPLICATION_ID && (version != 0 || tables != 0) {
        return Err(StoreError::NotAStore);
    }
    if version > newest_version() {
        return Err(StoreError::Newer { file: version, program: newest_version() });
    }
    Ok(version)
}

/// Brings a file to the newest version, wholly or not at all.
pub(crate) fn migrate(connection: &mut Connection, now_ms: i64) -> Result<(), StoreError> {
    if version(connection)? == newest_version() {
        return Ok(());
    }
    let work = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another program may have been quicker.
    let from = version(&work)?;
    for step in &STEPS[from as usize..] {
        work.execute_batch(step)?;
    }
    if from == 0 {
        work.pragma_update(None, "application_id", APPLICATION_ID)?;
        work.execute("insert into store (one, epoch, made_ms) values (1, lower(hex(randomblob(16))), ?1)", [now_ms])?;
    }
    work.pragma_update(None, "user_version", newest_version())?;
    Ok(work.commit()?)
}
