//! Seasons and batches: rows of their own, never calendar years. A pond may hold two batches in a season.

use rusqlite::params;
use units::Day;

use crate::error::StoreError;
use crate::file::Store;

/// One season of a farm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Season {
    /// Its id.
    pub id: String,
    /// The farm.
    pub farm: String,
    /// What the grower calls it.
    pub name: String,
    /// First day.
    pub starts: Day,
    /// Last day, once it is over.
    pub ends: Option<Day>,
}

/// One lot of animals in one pond, from stocking to the day it came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Batch {
    /// Its id.
    pub id: String,
    /// Its season.
    pub season: String,
    /// The pond.
    pub pond: String,
    /// Day of stocking.
    pub starts: Day,
    /// Day it came out.
    pub ends: Option<Day>,
}

impl Store {
    /// Keeps a season; of one that is there already, name and days change.
    pub fn keep_season(&self, season: &Season) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute(
                "insert into season (id, farm, name, starts_day, ends_day) values (?1, ?2, ?3, ?4, ?5) on conflict (id) do
                 update set name = excluded.name, starts_day = excluded.starts_day, ends_day = excluded.ends_day",
                params![season.id, season.farm, season.name, season.starts.0, season.ends.map(|day| day.0)],
            )?;
            Ok(())
        })
    }

    /// Sets a farm's seasons and batches to these, in one step: they are told from the facts, and may be told anew.
    pub fn set_seasons(&self, farm: &str, seasons: &[Season], batches: &[Batch]) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute("delete from batch where season in (select id from season where farm = ?1)", [farm])?;
            work.execute("delete from season where farm = ?1", [farm])?;
            for season in seasons {
                work.execute(
                    "insert into season (id, farm, name, starts_day, ends_day) values (?1, ?2, ?3, ?4, ?5)",
                    params![season.id, farm, season.name, season.starts.0, season.ends.map(|day| day.0)],
                )?;
            }
            for batch in batches {
                work.execute(
                    "insert into batch (id, season, pond, starts_day, ends_day) values (?1, ?2, ?3, ?4, ?5)",
                    params![batch.id, batch.season, batch.pond, batch.starts.0, batch.ends.map(|day| day.0)],
                )?;
            }
            Ok(())
        })
    }

    /// A farm's seasons, the first begun first.
    pub fn seasons(&self, farm: &str) -> Result<Vec<Season>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select id, farm, name, starts_day, ends_day from season where farm = ?1 order by starts_day, id",
            )?;
            let rows = query.query_map([farm], |row| {
                Ok(Season {
                    id: row.get(0)?,
                    farm: row.get(1)?,
                    name: row.get(2)?,
                    starts: Day(row.get(3)?),
                    ends: row.get::<_, Option<i32>>(4)?.map(Day),
                })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Keeps a batch; of one that is there already, pond and days change.
    pub fn keep_batch(&self, batch: &Batch) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute(
                "insert into batch (id, season, pond, starts_day, ends_day) values (?1, ?2, ?3, ?4, ?5) on conflict (id) do
                 update set pond = excluded.pond, starts_day = excluded.starts_day, ends_day = excluded.ends_day",
                params![batch.id, batch.season, batch.pond, batch.starts.0, batch.ends.map(|day| day.0)],
            )?;
            Ok(())
        })
    }

    /// The batches of a season, by pond and day.
    pub fn batches(&self, season: &str) -> Result<Vec<Batch>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select id, season, pond, starts_day, ends_day from batch where season = ?1 order by pond, starts_day, id",
            )?;
            let rows = query.query_map([season], |row| {
                Ok(Batch {
                    id: row.get(0)?,
                    season: row.get(1)?,
                    pond: row.get(2)?,
                    starts: Day(row.get(3)?),
                    ends: row.get::<_, Option<i32>>(4)?.map(Day),
                })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}
