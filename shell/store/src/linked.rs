//! Facts with what corrects them: whole entries, however far apart in time their facts lie.

use std::collections::{BTreeMap, BTreeSet};

use farm::facts::Kept;
use rusqlite::{Connection, params};

use crate::error::StoreError;
use crate::facts::{Asked, by_id, facts_in};
use crate::file::Store;

impl Store {
    /// The facts asked for, with all that correct them, are corrected by them, or settle between them, in order of number. A mended entry may lie
    /// on another day than the first one did, and beyond what was asked for.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn facts_linked(&self, farm: &str, asked: Asked<'_>) -> Result<Vec<Kept>, StoreError> {
        self.read(|connection| linked(connection, farm, asked))
    }
}

fn linked(connection: &Connection, farm: &str, asked: Asked<'_>) -> Result<Vec<Kept>, StoreError> {
    let mut facts = facts_in(connection, farm, asked)?;
    let links = links(connection, farm)?;
    let mut known: BTreeSet<String> = facts.iter().map(|kept| kept.fact.id.clone()).collect();
    let mut open: Vec<String> = known.iter().filter(|id| links.contains_key(*id)).cloned().collect();
    while let Some(id) = open.pop() {
        for other in links.get(&id).into_iter().flatten() {
            if known.insert(other.clone()) {
                // One that names a fact this store has not got stands alone until that one comes.
                facts.extend(by_id(connection, other)?.filter(|kept| kept.fact.farm == farm));
                open.push(other.clone());
            }
        }
    }
    facts.sort_by_key(|kept| kept.seq);
    Ok(facts)
}

/// Who corrects whom, both ways. Corrections are few beside what was entered.
fn links(connection: &Connection, farm: &str) -> Result<BTreeMap<String, Vec<String>>, StoreError> {
    let mut query =
        connection.prepare_cached("select id, corrects from fact where corrects is not null and farm = ?1")?;
    let mut links: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut rows = query.query(params![farm])?;
    while let Some(row) = rows.next()? {
        let (id, corrects): (String, String) = (row.get(0)?, row.get(1)?);
        links.entry(id.clone()).or_default().push(corrects.clone());
        links.entry(corrects).or_default().push(id);
    }
    Ok(links)
}
