//! The season's record: one SQLite file. The only room that knows SQL.
//!
//! Facts are appended and never changed: the schema itself refuses. Everything written is on the disk before the answer is
//! given. The store has no clock: whoever calls says what the time is.

mod answers;
mod archive;
mod backup;
mod blobs;
mod csv_out;
mod digest;
mod error;
mod facts;
mod file;
mod linked;
mod logged;
mod packed;
mod people;
mod schema;
mod seasons;
mod tables;
mod wire;

#[cfg(test)]
mod tests;

pub use answers::{ForecastRow, KeptAnswer, Spoken};
pub use archive::{ARCHIVE_SCHEMA, ARCHIVE_VERSION, Imported, is_archive};
pub use backup::Restored;
pub use csv_out::csv_text;
pub use digest::sha256_hex;
pub use error::StoreError;
pub use facts::{Asked, Differing, Exchange, Insert};
pub use farm::logger::Quantity;
pub use file::{Opening, Store};
pub use logged::{ALWAYS, At, LoggedSpot, LoggedTaken, LoggerFile};
pub use people::{Attempts, Device, Paired, Pairing, Person, Role, Session};
pub use schema::{APPLICATION_ID, newest_version};
pub use seasons::{Batch, Season};
pub use tables::FarmRow;
pub use wire::{WireError, fact_from_json, fact_to_json, kept_to_json};
