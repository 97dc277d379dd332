//! The farms of a store.

use rusqlite::params;

use crate::error::StoreError;
use crate::file::Store;

/// One farm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FarmRow {
    /// Short name, as in addresses.
    pub id: String,
    /// Name as its grower writes it.
    pub name: String,
    /// When it was made here, ms since 1970.
    pub made_ms: i64,
    /// The sample farm, which may be thrown away.
    pub is_sample: bool,
}

impl Store {
    /// Makes a farm, or gives it another name.
    pub fn keep_farm(&self, farm: &FarmRow) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute(
                "insert into farm (id, name, made_ms, is_sample) values (?1, ?2, ?3, ?4)
                 on conflict (id) do update set name = excluded.name, is_sample = excluded.is_sample",
                params![farm.id, farm.name, farm.made_ms, farm.is_sample],
            )?;
            Ok(())
        })
    }

    /// Every farm, in order of making.
    pub fn farms(&self) -> Result<Vec<FarmRow>, StoreError> {
        self.read(|connection| {
            let mut query =
                connection.prepare_cached("select id, name, made_ms, is_sample from farm order by made_ms, id")?;
            let rows = query.query_map([], |row| {
                Ok(FarmRow { id: row.get(0)?, name: row.get(1)?, made_ms: row.get(2)?, is_sample: row.get(3)? })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}
