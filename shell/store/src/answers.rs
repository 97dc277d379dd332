//! Answers that were given and forecasts that were made, kept so that they can be shown with their age and scored later.

use rusqlite::{Connection, OptionalExtension, Row, params};
use units::Instant;

use crate::error::StoreError;
use crate::file::Store;

/// An answer as it was given.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptAnswer {
    /// The farm.
    pub farm: String,
    /// Which question (`morning`, `plan`).
    pub question: String,
    /// When, ms since 1970.
    pub made_ms: i64,
    /// Seed of its draws.
    pub seed: u64,
    /// Version of the program.
    pub program: String,
    /// [`Store::facts_digest`] of the facts it rests on.
    pub facts_digest: String,
    /// The answer, as JSON.
    pub body: String,
}

/// What a forecast row says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spoken {
    /// The value that this share of futures stays below, 0 to 1.
    Quantile(f64),
    /// The chance of falling below this mark, °C, or at `stock` of losing this share of the animals or more; the row's value is the chance.
    Chance(f64),
}

/// One number of a forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct ForecastRow {
    /// When the forecast was made, ms since 1970.
    pub made_ms: i64,
    /// The pond.
    pub pond: String,
    /// Which end: `deep`, `middle` or `shallow`; `coldest` for the coldest column wherever it lies, `stock` for the animals.
    pub place: String,
    /// Depth below the surface, m, kept to the millimetre.
    pub depth_m: f64,
    /// The hour it speaks of.
    pub at: Instant,
    /// What it says.
    pub says: Spoken,
    /// The value, °C for a quantile, 0 to 1 for a chance.
    pub value: f64,
    /// Version of the program.
    pub program: String,
    /// Seed of its draws.
    pub seed: u64,
}

impl Store {
    /// Keeps an answer.
    pub fn keep_answer(&self, answer: &KeptAnswer) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute(
                "insert into answer (farm, question, made_ms, seed, program, facts_digest, body) values (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                // A seed is a whole number of 64 bits without sign, which no SQLite number holds.
                params![answer.farm, answer.question, answer.made_ms, answer.seed.to_string(), answer.program, answer.facts_digest, answer.body],
            )?;
            Ok(())
        })
    }

    /// Keeps an answer in place of all earlier ones to its question.
    pub fn replace_answer(&self, answer: &KeptAnswer) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute("delete from answer where farm = ?1 and question = ?2", [&answer.farm, &answer.question])?;
            work.execute(
                "insert into answer (farm, question, made_ms, seed, program, facts_digest, body) values (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![answer.farm, answer.question, answer.made_ms, answer.seed.to_string(), answer.program, answer.facts_digest, answer.body],
            )?;
            Ok(())
        })
    }

    /// The last answer to a question.
    pub fn last_answer(&self, farm: &str, question: &str) -> Result<Option<KeptAnswer>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select farm, question, made_ms, seed, program, facts_digest, body from answer
                 where farm = ?1 and question = ?2 order by made_ms desc, n desc limit 1",
            )?;
            let answer = |row: &Row<'_>| {
                Ok(KeptAnswer {
                    farm: row.get(0)?,
                    question: row.get(1)?,
                    made_ms: row.get(2)?,
                    seed: row.get::<_, String>(3)?.parse().unwrap_or_default(),
                    program: row.get(4)?,
                    facts_digest: row.get(5)?,
                    body: row.get(6)?,
                })
            };
            Ok(query.query_row([farm, question], answer).optional()?)
        })
    }

    /// Keeps the rows of a forecast, all of them or none. A row that is there already stays as it was.
    pub fn keep_forecast(&self, farm: &str, rows: &[ForecastRow]) -> Result<(), StoreError> {
        self.write(|work| put_rows(work, farm, rows))
    }

    /// Keeps the rows of a morning's forecast unless this program's version has kept one from `from_ms` to before `before_ms`: the
    /// first made in that time stands. True when they were kept now. One transaction, so that two askers do not both keep theirs.
    pub fn keep_forecast_once(
        &self,
        farm: &str,
        program: &str,
        from_ms: i64,
        before_ms: i64,
        rows: &[ForecastRow],
    ) -> Result<bool, StoreError> {
        self.write(|work| {
            let there: bool = work
                .prepare_cached(
                    "select exists (select 1 from forecast where farm = ?1 and program = ?2 and made_ms >= ?3 and made_ms < ?4)",
                )?
                .query_row(params![farm, program, from_ms, before_ms], |row| row.get(0))?;
            if !there {
                put_rows(work, farm, rows)?;
            }
            Ok(!there)
        })
    }

    /// Every row of a farm's forecasts made from `from_ms` to before `before_ms`, of one place or of all; by when it was made, pond, place,
    /// depth and hour.
    pub fn forecasts_made(
        &self,
        farm: &str,
        (from_ms, before_ms): (i64, i64),
        place: Option<&str>,
    ) -> Result<Vec<ForecastRow>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(&format!(
                "select {ROW} from forecast where farm = ?1 and made_ms >= ?2 and made_ms < ?3 and (?4 is null or place = ?4)
                 order by made_ms, pond, place, depth_mm, at_s, what, level"
            ))?;
            let rows = query.query_map(params![farm, from_ms, before_ms, place], forecast_row)?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// When the last of a farm's forecasts was made, ms since 1970.
    pub fn last_forecast_ms(&self, farm: &str) -> Result<Option<i64>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached("select max(made_ms) from forecast where farm = ?1")?;
            Ok(query.query_row([farm], |row| row.get(0))?)
        })
    }
}

/// Columns of a row, in the order in which [`forecast_row`] takes them.
const ROW: &str = "made_ms, pond, place, depth_mm, at_s, what, level, value, program, seed";

fn forecast_row(row: &Row<'_>) -> rusqlite::Result<ForecastRow> {
    let level: f64 = row.get(6)?;
    let is_chance = row.get_ref(5)?.as_str()? == "chance";
    Ok(ForecastRow {
        made_ms: row.get(0)?,
        pond: row.get(1)?,
        place: row.get(2)?,
        depth_m: row.get::<_, i64>(3)? as f64 / 1000.0,
        at: Instant(row.get(4)?),
        says: if is_chance { Spoken::Chance(level) } else { Spoken::Quantile(level) },
        value: row.get(7)?,
        program: row.get(8)?,
        seed: row.get_ref(9)?.as_str()?.parse().unwrap_or_default(),
    })
}

fn put_rows(work: &Connection, farm: &str, rows: &[ForecastRow]) -> Result<(), StoreError> {
    let mut insert = work.prepare_cached(
        "insert into forecast (farm, made_ms, pond, place, depth_mm, at_s, what, level, value, program, seed)
         values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11) on conflict do nothing",
    )?;
    for row in rows {
        let (what, level) = match row.says {
            Spoken::Quantile(level) => ("quantile", level),
            Spoken::Chance(mark_c) => ("chance", mark_c),
        };
        let depth_mm = millimetres(row.depth_m).ok_or(StoreError::BadRow("depth"))?;
        insert.execute(params![
            farm,
            row.made_ms,
            row.pond,
            row.place,
            depth_mm,
            row.at.0,
            what,
            level,
            row.value,
            row.program,
            row.seed.to_string()
        ])?;
    }
    Ok(())
}

/// Whole millimetres; `None` outside 0 to 100 m.
pub(crate) fn millimetres(depth_m: f64) -> Option<i64> {
    (0.0..=100.0).contains(&depth_m).then(|| (depth_m * 1000.0).round() as i64)
}
