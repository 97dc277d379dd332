//! Seasons and batches as rows of the record: told from the facts, and set anew whenever one of them changes.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use farm::facts::{FileSaid, Kept, Lot, Spell, current, lots, spells};
use farm::{Farm, read_farm};
use store::{Batch, Season, StoreError, sha256_hex};
use units::Day;

use crate::record::Record;
use crate::served::Served;

/// A batch that was never seen to come out is another one than a stocking this many days later, d.
const OTHER_LOT_D: i32 = 90;

/// What a farm's record tells of its seasons.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// The lots of animals, by pond and day.
    pub lots: Vec<Lot>,
    /// The seasons, the first begun first.
    pub spells: Vec<Spell>,
}

impl Told {
    /// The season that runs or ran last.
    pub fn running(&self) -> Option<&Spell> {
        self.spells.last()
    }
    /// The season a lot belongs to.
    pub fn season_of(&self, lot: &Lot) -> Option<&Spell> {
        season_on(&self.spells, lot.stocking.on)
    }
    /// The lots of a season.
    pub fn lots_of(&self, spell: &Spell) -> Vec<&Lot> {
        self.lots.iter().filter(|lot| self.season_of(lot).is_some_and(|of| of.id == spell.id)).collect()
    }
}

fn season_on(spells: &[Spell], day: Day) -> Option<&Spell> {
    spells.iter().rev().find(|spell| spell.starts <= day).or(spells.first())
}

/// What was told of each farm, with the number of the last fact that had a say in it and the day it was told for.
#[derive(Debug, Default)]
pub struct Remembered(Mutex<BTreeMap<String, (Upto, Arc<Told>)>>);

/// What is remembered goes up to here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Upto {
    /// The number of the last fact that says of itself what went in or came out.
    last: i64,
    /// The number of the last fact of all, up to which the baskets of harvest days were read.
    baskets: i64,
    /// The day.
    day: Day,
}

/// Reads it from the record: the farm's file in every version that was taken, and what was entered since. Remembered until one more
/// of these comes.
///
/// # Errors
/// When the record cannot be read.
pub fn told(record: &Record, written: &Served) -> Result<Arc<Told>, StoreError> {
    let (own, mut facts) = (record.own(&written.id)?, record.of_lots(&written.id)?);
    let last = own.iter().chain(&facts).map(|kept| kept.seq).max().unwrap_or(0);
    // What is dated ahead says nothing yet, as for the outlook.
    let today = if written.follows_clock { Served::today(&written.farm, record.now_ms()) } else { written.on };
    let tomorrow = written.farm.place.zone.instant(today.plus(1), 0);
    facts.retain(|kept| kept.fact.happened.at < tomorrow || kept.fact.kind == "season");
    let known = || record.told().0.lock().unwrap_or_else(PoisonError::into_inner);
    let held = known().get(&written.id).filter(|(upto, _)| (upto.last, upto.day) == (last, today)).cloned();
    // Thousands of baskets are read only when there is another one.
    if let Some((upto, told)) = held
        && !record.has_lot_days_after(&written.id, upto.baskets)?
    {
        return Ok(told);
    }
    let upto = Upto { last, baskets: record.store().last_seq()?, day: today };
    facts.extend(record.of_lot_days(&written.id, None)?.into_iter().filter(|kept| kept.fact.happened.at < tomorrow));
    facts.sort_by_key(|kept| kept.seq);
    let told = Arc::new(fold(&recorded_files(&own), &facts, written));
    known().insert(written.id.clone(), (upto, Arc::clone(&told)));
    Ok(told)
}

fn fold(files: &[(i64, Farm)], facts: &[Kept], written: &Served) -> Told {
    let mut said: Vec<FileSaid<'_>> = files.iter().map(|(seq, farm)| FileSaid { seq: *seq, farm }).collect();
    if said.is_empty() {
        said.push(FileSaid { seq: 0, farm: &written.farm });
    }
    let zone = &written.farm.place.zone;
    let lots = lots(&said, facts, zone);
    let spells = spells(&lots, facts, zone);
    Told { lots, spells }
}

/// The farm's file as it was taken each time, with the numbers; those that can no longer be read are passed over.
fn recorded_files(own: &[Kept]) -> Vec<(i64, Farm)> {
    let entries = current(own);
    let files = entries.iter().filter(|entry| entry.first.fact.kind == "farm").flat_map(|entry| entry.heads.iter());
    files
        .filter(|head| !head.fact.strikes())
        .filter_map(|head| Some((head.seq, read_farm(head.fact.typed.get("text")?).ok()?)))
        .collect()
}

/// Sets the rows to what the record tells, where they say anything else.
///
/// # Errors
/// When the record cannot be read, or the rows not be written.
pub fn keep_rows(record: &Record, written: &Served) -> Result<(), StoreError> {
    let told = told(record, written)?;
    let store = record.store();
    let farm = &written.id;
    let kept_seasons = store.seasons(farm)?;
    let mut kept_batches = Vec::new();
    for season in &kept_seasons {
        kept_batches.extend(store.batches(&season.id)?);
    }
    let mut seasons: Vec<Season> = told.spells.iter().map(|spell| season_row(farm, spell)).collect();
    let mut batches: Vec<Batch> = told.lots.iter().filter_map(|lot| batch_row(farm, lot, &told)).collect();
    // A file that was changed outside the program no longer tells of the animals before.
    let earlier = earlier(&told.lots, &kept_batches);
    for season in &kept_seasons {
        let last_out = earlier.iter().filter(|batch| batch.season == season.id).filter_map(|batch| batch.ends).max();
        if let Some(last_out) = last_out
            && !told.spells.iter().any(|spell| mark(farm, &spell.id) == season.id)
        {
            seasons.push(Season { ends: season.ends.or(Some(last_out)), ..season.clone() });
        }
    }
    batches.extend(earlier);
    seasons.sort_by(|a, b| (a.starts, &a.id).cmp(&(b.starts, &b.id)));
    let place: BTreeMap<&str, usize> =
        seasons.iter().enumerate().map(|(at, season)| (season.id.as_str(), at)).collect();
    let key =
        |batch: &Batch| (place.get(batch.season.as_str()).copied(), batch.pond.clone(), batch.starts, batch.id.clone());
    batches.sort_by_cached_key(key);
    if seasons != kept_seasons || batches != kept_batches {
        store.set_seasons(farm, &seasons, &batches)?;
    }
    Ok(())
}

/// Batches that stand in the record and lie wholly before all that is told of their pond.
fn earlier(told: &[Lot], kept: &[Batch]) -> Vec<Batch> {
    let first_of = |pond: &str| told.iter().filter(|lot| lot.pond == pond).map(|lot| lot.stocking.on).min();
    let before = |batch: &Batch| match (first_of(&batch.pond), batch.ends) {
        (None, _) => Some(batch.clone()),
        (Some(first), Some(ends)) => (ends <= first && batch.starts < first).then(|| batch.clone()),
        (Some(first), None) => {
            (first.0 - batch.starts.0 >= OTHER_LOT_D).then(|| Batch { ends: Some(first), ..batch.clone() })
        }
    };
    kept.iter().filter_map(before).collect()
}

/// Marks of facts are unique; what no fact began gets a mark made from what it is.
fn mark(farm: &str, id: &str) -> String {
    if farm::facts::is_id(id) { id.to_owned() } else { sha256_hex(format!("{farm}/{id}").as_bytes())[..32].to_owned() }
}

fn season_row(farm: &str, spell: &Spell) -> Season {
    let name = spell.name.clone().unwrap_or_else(|| words::page_seasons::unnamed(spell.starts));
    Season { id: mark(farm, &spell.id), farm: farm.to_owned(), name, starts: spell.starts, ends: spell.ends }
}

fn batch_row(farm: &str, lot: &Lot, told: &Told) -> Option<Batch> {
    let season = mark(farm, &told.season_of(lot)?.id);
    Some(Batch { id: mark(farm, &lot.id), season, pond: lot.pond.clone(), starts: lot.stocking.on, ends: lot.out })
}

/// Address key of a season: its mark in the record.
pub fn key(farm: &str, spell: &Spell) -> String {
    mark(farm, &spell.id)
}

#[cfg(test)]
mod tests;
