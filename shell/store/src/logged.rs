//! The rows of logger files. A file that is brought in is one fact (kind `logger`) and its rows, kept together or not at all.

use farm::facts::Fact;
use rusqlite::{OptionalExtension, params};
use units::{Instant, Watch};

use crate::answers::millimetres;
use crate::error::StoreError;
use crate::facts::{Exchange, Insert, insert_in};
use crate::file::Store;

/// What a logger measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Water temperature, °C.
    Temperature,
    /// Dissolved oxygen, mg/L.
    Oxygen,
    /// pH.
    Ph,
    /// Water below full, m.
    Stage,
}

impl Quantity {
    /// Its word in the file.
    pub fn key(self) -> &'static str {
        match self {
            Quantity::Temperature => "temperature",
            Quantity::Oxygen => "oxygen",
            Quantity::Ph => "ph",
            Quantity::Stage => "stage",
        }
    }
}

/// One row of a logger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoggedRow {
    /// When.
    pub at: Instant,
    /// The value, in the unit of its [`Quantity`].
    pub value: f64,
}

/// What became of a logger's rows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoggedTaken {
    /// Number of the fact.
    pub seq: i64,
    /// Rows that are new.
    pub made: u64,
    /// Rows that were there already.
    pub already_had: u64,
    /// Rows whose moment holds another value. The first stays; these are told and not taken.
    pub differs: Vec<LoggedRow>,
}

/// Rows after which the watch is looked at.
const LOOK_EVERY: usize = 1000;

impl Store {
    /// Brings in the rows of one logger at one place of the fact's pond, in one go: when the watch is asked to stop, neither the
    /// fact nor any row was kept.
    pub fn keep_logged(
        &self,
        fact: &Fact,
        exchange: Exchange<'_>,
        (quantity, place, depth_m): (Quantity, &str, f64),
        rows: &[LoggedRow],
        watch: &Watch,
    ) -> Result<LoggedTaken, StoreError> {
        let pond = fact.pond().ok_or(StoreError::BadRow("pond"))?;
        let depth_mm = millimetres(depth_m).ok_or(StoreError::BadRow("depth"))?;
        watch.expect(rows.len() as u64);
        self.write(|work| {
            let seq = match insert_in(work, std::slice::from_ref(fact), exchange, None)?.pop() {
                Some(Insert::Made { seq } | Insert::AlreadyHad { seq }) => seq,
                _ => return Err(StoreError::BadRow("id")),
            };
            let mut taken = LoggedTaken { seq, ..LoggedTaken::default() };
            let mut insert = work.prepare_cached(
                "insert into logged (farm, pond, place, depth_mm, quantity, at_s, value, fact_seq)
                 values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) on conflict do nothing",
            )?;
            let mut there = work.prepare_cached(
                "select value from logged where farm = ?1 and pond = ?2 and place = ?3 and depth_mm = ?4 and quantity = ?5 and at_s = ?6",
            )?;
            for some in rows.chunks(LOOK_EVERY) {
                if watch.asked_to_stop() {
                    return Err(StoreError::Stopped);
                }
                for row in some {
                    let new = insert
                        .execute(params![fact.farm, pond, place, depth_mm, quantity.key(), row.at.0, row.value, seq])?;
                    if new == 1 {
                        taken.made += 1;
                        continue;
                    }
                    let first: Option<f64> = there
                        .query_row(params![fact.farm, pond, place, depth_mm, quantity.key(), row.at.0], |row| row.get(0))
                        .optional()?;
                    if first == Some(row.value) {
                        taken.already_had += 1;
                    } else {
                        taken.differs.push(*row);
                    }
                }
                watch.advance(some.len() as u64);
            }
            Ok(taken)
        })
    }

    /// A logger's values in steps of `step_s` from one moment to before another: the mean, least and greatest of each step that
    /// has any, so that a chart of a season asks for no more points than it can show.
    pub fn logged(
        &self,
        farm: &str,
        pond: &str,
        (quantity, place, depth_m): (Quantity, &str, f64),
        (from, before): (Instant, Instant),
        step_s: i64,
    ) -> Result<Vec<(Instant, [f64; 3])>, StoreError> {
        let depth_mm = millimetres(depth_m).ok_or(StoreError::BadRow("depth"))?;
        let step_s = step_s.max(1);
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select (at_s - ?6) / ?8 as step, avg(value), min(value), max(value) from logged
                 where farm = ?1 and pond = ?2 and quantity = ?3 and place = ?4 and depth_mm = ?5 and at_s >= ?6 and at_s < ?7
                 group by step order by step",
            )?;
            let asked = params![farm, pond, quantity.key(), place, depth_mm, from.0, before.0, step_s];
            let rows = query.query_map(asked, |row| {
                let step: i64 = row.get(0)?;
                Ok((Instant(from.0 + step * step_s), [row.get(1)?, row.get(2)?, row.get(3)?]))
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}
