//! The readings of loggers. A file that is brought in is one fact (kind `logger`), the file itself and its readings, kept together
//! or not at all; striking the fact out takes all of its readings back.
//!
//! Each file's readings are kept whole, also those that another file had brought before: a logger that is emptied every week may
//! hold the whole season each time, and taking one file back must not take what the next one says too. Of two values for one
//! moment the one that came first counts.

use std::collections::BTreeSet;

use farm::facts::{Fact, current};
use farm::logger::{Quantity, Series};
use rusqlite::{Connection, params};
use units::{Instant, Watch};

use crate::answers::millimetres;
use crate::digest::sha256_hex;
use crate::error::StoreError;
use crate::facts::{Asked, Exchange, Insert, facts_in, insert_in};
use crate::file::Store;
use crate::packed;

/// What stands in the record already of what a file holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoggedTaken {
    /// Number of the fact; `None` when nothing was new and so nothing was kept.
    pub seq: Option<i64>,
    /// Readings that are new.
    pub made: u64,
    /// Readings that were there already.
    pub already_had: u64,
    /// Readings whose moment holds another value. The first counts.
    pub differs: u64,
}

/// The file that readings came from.
#[derive(Debug, Clone, Copy)]
pub struct LoggerFile<'a> {
    /// Its media type.
    pub media: &'a str,
    /// The bytes.
    pub bytes: &'a [u8],
}

/// A quantity at a spot of a pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At<'a> {
    /// Farm.
    pub farm: &'a str,
    /// Pond.
    pub pond: &'a str,
    /// What was measured.
    pub quantity: Quantity,
    /// Place along the pond: `deep`, `middle`, `shallow`.
    pub place: &'a str,
    /// Depth below the surface, m.
    pub depth_m: f64,
}

/// A logger's place with what it has given.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedSpot {
    /// Pond.
    pub pond: String,
    /// What was measured.
    pub quantity: Quantity,
    /// Place along the pond.
    pub place: String,
    /// Depth below the surface, m.
    pub depth_m: f64,
}

/// All moments.
pub const ALWAYS: (Instant, Instant) = (Instant(i64::MIN / 2), Instant(i64::MAX / 2));

impl Store {
    /// Brings in the readings of one file, in one go: when the watch is asked to stop, neither the fact nor the file nor any reading
    /// was kept. A file of which everything is there already is not kept again.
    ///
    /// # Errors
    /// When the record cannot be written, or the call was asked to stop.
    pub fn keep_series(
        &self,
        fact: &Fact,
        exchange: Exchange<'_>,
        file: LoggerFile<'_>,
        series: &[Series],
        watch: &Watch,
    ) -> Result<LoggedTaken, StoreError> {
        let pond = fact.pond().ok_or(StoreError::BadRow("pond"))?;
        watch.expect(series.iter().map(|one| one.rows.len() as u64).sum());
        self.write(|work| {
            let mut taken = compare(work, &fact.farm, pond, series, watch)?;
            if taken.made + taken.differs == 0 {
                return Ok(taken);
            }
            let seq = match insert_in(work, std::slice::from_ref(fact), exchange, None)?.pop() {
                Some(Insert::Made { seq }) => seq,
                // Sent twice, and taken back in between: what was taken back stays so.
                Some(Insert::AlreadyHad { .. }) => return Ok(LoggedTaken::default()),
                _ => return Err(StoreError::BadRow("id")),
            };
            work.execute(
                "insert into blob (digest, media, bytes, received_ms) values (?1, ?2, ?3, ?4) on conflict do nothing",
                params![sha256_hex(file.bytes), file.media, file.bytes, exchange.now_ms],
            )?;
            let mut insert = work.prepare_cached(
                "insert into series_day (farm, pond, quantity, place, depth_mm, day, fact_seq, count, packed)
                 values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?;
            for one in series {
                let depth_mm = millimetres(one.spot.depth_m).ok_or(StoreError::BadRow("depth"))?;
                for rows in one.rows.chunk_by(|a, b| packed::day_of(a.0) == packed::day_of(b.0)) {
                    if watch.asked_to_stop() {
                        return Err(StoreError::Stopped);
                    }
                    let day = packed::day_of(rows[0].0);
                    let (quantity, place) = (one.quantity.key(), one.spot.place.name());
                    let bytes = packed::pack(day, rows);
                    insert.execute(params![
                        fact.farm,
                        pond,
                        quantity,
                        place,
                        depth_mm,
                        day,
                        seq,
                        rows.len() as i64,
                        bytes
                    ])?;
                    watch.advance(rows.len() as u64);
                }
            }
            taken.seq = Some(seq);
            Ok(taken)
        })
    }

    /// How much of a file's readings the record holds already.
    ///
    /// # Errors
    /// When the record cannot be read, or the call was asked to stop.
    pub fn compare_series(
        &self,
        farm: &str,
        pond: &str,
        series: &[Series],
        watch: &Watch,
    ) -> Result<LoggedTaken, StoreError> {
        self.read(|connection| compare(connection, farm, pond, series, watch))
    }

    /// A logger's readings from one moment to before another; those taken back are left out.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn readings(&self, at: At<'_>, (from, before): (Instant, Instant)) -> Result<Vec<(Instant, f64)>, StoreError> {
        self.read(|connection| readings(connection, &live(connection, at.farm)?, at, (from, before)))
    }

    /// A logger's values in steps of `step_s` from one moment to before another: the mean, least and greatest of each step that
    /// has any, so that a chart of a season asks for no more points than it can show.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn logged(
        &self,
        at: At<'_>,
        (from, before): (Instant, Instant),
        step_s: i64,
    ) -> Result<Vec<(Instant, [f64; 3])>, StoreError> {
        let step_s = step_s.max(1);
        let rows = self.readings(at, (from, before))?;
        let step = |row: &(Instant, f64)| (row.0.0 - from.0).div_euclid(step_s);
        let mean = |some: &[(Instant, f64)]| {
            let values = || some.iter().map(|row| row.1);
            let mean = values().sum::<f64>() / some.len() as f64;
            [mean, values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max)]
        };
        let chunks = rows.chunk_by(|a, b| step(a) == step(b));
        Ok(chunks.map(|some| (Instant(from.0 + step(&some[0]) * step_s), mean(some))).collect())
    }

    /// Where loggers have measured what, in order.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn logged_spots(&self, farm: &str) -> Result<Vec<LoggedSpot>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select distinct pond, quantity, place, depth_mm from series_day where farm = ?1
                 union select distinct pond, quantity, place, depth_mm from logged where farm = ?1 order by 1, 2, 3, 4",
            )?;
            let rows = query.query_map([farm], |row| {
                let key: String = row.get(1)?;
                let quantity = Quantity::ALL.into_iter().find(|quantity| quantity.key() == key);
                Ok(LoggedSpot {
                    pond: row.get(0)?,
                    quantity: quantity.unwrap_or(Quantity::Temperature),
                    place: row.get(2)?,
                    depth_m: row.get::<_, i64>(3)? as f64 / 1000.0,
                })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}

/// Numbers of the logger files that stand: not struck out.
fn live(connection: &Connection, farm: &str) -> Result<BTreeSet<i64>, StoreError> {
    let mut mended = connection.prepare_cached(
        "select exists (select 1 from fact where farm = ?1 and kind = 'logger' and corrects is not null)",
    )?;
    if !mended.query_row([farm], |row| row.get::<_, bool>(0))? {
        // The usual case: nothing was taken back, and no fact need be read.
        let mut all = connection.prepare_cached("select seq from fact where farm = ?1 and kind = 'logger'")?;
        return Ok(all.query_map([farm], |row| row.get(0))?.collect::<Result<_, _>>()?);
    }
    let facts = facts_in(connection, farm, Asked { kind: Some("logger"), ..Asked::default() })?;
    Ok(current(&facts).iter().filter(|entry| !entry.is_struck()).map(|entry| entry.first.seq).collect())
}

fn readings(
    connection: &Connection,
    live: &BTreeSet<i64>,
    at: At<'_>,
    (from, before): (Instant, Instant),
) -> Result<Vec<(Instant, f64)>, StoreError> {
    let depth_mm = millimetres(at.depth_m).ok_or(StoreError::BadRow("depth"))?;
    let mut rows: Vec<(Instant, f64)> = Vec::new();
    let mut old = connection.prepare_cached(
        "select at_s, value, fact_seq from logged where farm = ?1 and pond = ?2 and quantity = ?3 and place = ?4 and depth_mm = ?5
         and at_s >= ?6 and at_s < ?7 order by at_s",
    )?;
    let key = params![at.farm, at.pond, at.quantity.key(), at.place, depth_mm, from.0, before.0];
    let mut found = old.query(key)?;
    while let Some(row) = found.next()? {
        if live.contains(&row.get::<_, i64>(2)?) {
            rows.push((Instant(row.get(0)?), row.get(1)?));
        }
    }
    let mut days = connection.prepare_cached(
        "select day, fact_seq, packed from series_day where farm = ?1 and pond = ?2 and quantity = ?3 and place = ?4 and depth_mm = ?5
         and day between ?6 and ?7 order by day, fact_seq",
    )?;
    let (first, last) = (packed::day_of(from), packed::day_of(before));
    let mut found = days.query(params![at.farm, at.pond, at.quantity.key(), at.place, depth_mm, first, last])?;
    let mut rising = rows.is_empty();
    while let Some(row) = found.next()? {
        if !live.contains(&row.get::<_, i64>(1)?) {
            continue;
        }
        let (day, bytes) = (row.get(0)?, row.get_ref(2)?);
        let bytes = bytes.as_blob().map_err(|_| StoreError::BadRow("packed"))?;
        let begun = rows.len();
        if !packed::unpack(day, bytes, &mut rows) {
            return Err(StoreError::Damaged("a day of a logger cannot be read".to_owned()));
        }
        rising &= begun == 0 || begun == rows.len() || rows[begun - 1].0 < rows[begun].0;
    }
    if !rising {
        // Stable, and files stand in the order in which they came: of one moment the first value stays first.
        rows.sort_by_key(|row| row.0);
        rows.dedup_by_key(|row| row.0);
    }
    rows.retain(|row| from <= row.0 && row.0 < before);
    Ok(rows)
}

fn compare(
    connection: &Connection,
    farm: &str,
    pond: &str,
    series: &[Series],
    watch: &Watch,
) -> Result<LoggedTaken, StoreError> {
    let live = live(connection, farm)?;
    let mut taken = LoggedTaken::default();
    for one in series {
        let (Some(first), Some(last)) = (one.rows.first(), one.rows.last()) else { continue };
        if watch.asked_to_stop() {
            return Err(StoreError::Stopped);
        }
        let at = At { farm, pond, quantity: one.quantity, place: one.spot.place.name(), depth_m: one.spot.depth_m };
        let there = readings(connection, &live, at, (first.0, Instant(last.0.0 + 1)))?;
        let mut there = there.into_iter().peekable();
        for row in &one.rows {
            while there.next_if(|old| old.0 < row.0).is_some() {}
            match there.next_if(|old| old.0 == row.0) {
                None => taken.made += 1,
                // Both are whole steps of a ten-thousandth.
                Some(old) if (old.1 - row.1).abs() < 5e-5 => taken.already_had += 1,
                Some(_) => taken.differs += 1,
            }
        }
    }
    Ok(taken)
}
