//! Each morning's forecast kept as plain rows, and what was kept held against what came.
//!
//! Rows are kept by the desk once an answer stands, never by a page. What a page shows is counted anew from rows and readings, and
//! remembered until either changes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

use farm::facts::current;
use farm::{AlongPond, Farm};
use season::answer::{Band, Outlook};
use season::place_of;
use season::scores::{Called, Pair, Read, Scores, pairs, score};
use season::weather::sun;
use store::{Asked, At, ForecastRow, Quantity, Spoken, Store, StoreError};
use units::{Day, Instant};

use crate::record::Record;
use crate::served::Served;

const DAY_S: i64 = 86_400;
/// Version of the program under which rows are kept.
const PROGRAM: &str = env!("CARGO_PKG_VERSION");
/// Place of the water that most animals live in: the bottom of the columns that reach the drain.
const BOTTOM: &str = "deep";
/// Place of the coldest column's bottom, wherever it lies.
const COLDEST: &str = "coldest";
/// Place of what is said of the animals, not of water.
const STOCK: &str = "stock";
/// The band's numbers by the share of futures below them.
const LEVELS: [f64; 3] = [0.1, 0.5, 0.9];
/// Days of which a chance of loss is kept.
const LOSS_DAYS: i32 = 10;
/// Latest dawns told one by one.
const RECENT: usize = 10;
/// Answers remembered.
const REMEMBERED: usize = 16;

/// The rows of a morning, made at a moment: for each pond the coming dawns with their band and their chances, and by day of catch the
/// chance that cold has taken a fifth of the animals or more.
fn rows(farm: &Farm, outlook: &Outlook, made_ms: i64) -> Vec<ForecastRow> {
    let place = place_of(farm);
    let mut rows = Vec::new();
    for pond in &outlook.ponds {
        let card = &farm.ponds[pond.index];
        let mut row = |on: &str, depth_m: f64, day: Day, says: Spoken, value: f64| {
            rows.push(ForecastRow {
                made_ms,
                pond: card.id.clone(),
                place: on.to_owned(),
                depth_m,
                at: sun::dawn(day, &place),
                says,
                value,
                program: PROGRAM.to_owned(),
                seed: outlook.seed,
            });
        };
        let (deep_m, shallow_m) = (card.shape.deep_depth_m, card.shape.shallow_depth_m);
        for dawn in &pond.dawns {
            let band = [dawn.water_c.low, dawn.water_c.middle, dawn.water_c.high];
            LEVELS
                .into_iter()
                .zip(band)
                .for_each(|(level, c)| row(BOTTOM, deep_m, dawn.day, Spoken::Quantile(level), c));
            row(BOTTOM, deep_m, dawn.day, Spoken::Chance(outlook.cold_mark_c), dawn.mark_chance);
            row(BOTTOM, deep_m, dawn.day, Spoken::Chance(outlook.follow_mark_c), dawn.slow_chance);
            row(COLDEST, shallow_m, dawn.day, Spoken::Quantile(0.5), dawn.coldest_c);
        }
        for day in pond.days.iter().filter(|day| day.day.0 - outlook.on.0 <= LOSS_DAYS) {
            row(STOCK, 0.0, day.day, Spoken::Chance(season::LOSS_SHARE), day.loss_chance);
        }
    }
    rows
}

/// Keeps a morning's forecast: once for each day of the farm and version of the program, and once more when a weather forecast was
/// brought in that day. `begun_ms` is when the answer was begun; a morning of another day than the clock's counts as made at its own hour.
/// True when rows were written now.
///
/// # Errors
/// When the record cannot be read or written.
pub fn keep(record: &Record, facts: &Served, outlook: &Outlook, begun_ms: i64) -> Result<bool, StoreError> {
    let zone = &facts.farm.place.zone;
    let midnight = |day: Day| zone.instant(day, 0).0 * 1000;
    let today = midnight(outlook.on)..midnight(outlook.on.plus(1));
    let made_ms = match today.contains(&begun_ms) {
        true => begun_ms,
        false => zone.instant(outlook.on, outlook.now_hour * 3600).0 * 1000,
    };
    let news_ms = record.last(&facts.id, "forecast")?.map(|kept| kept.received_ms).filter(|at| today.contains(at));
    let from_ms = news_ms.unwrap_or(today.start).max(today.start);
    record.store().keep_forecast_once(&facts.id, PROGRAM, from_ms, today.end, &rows(&facts.farm, outlook, made_ms))
}

/// A stretch of mornings that is scored by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stretch {
    /// Its name in addresses and on the command line.
    pub key: String,
    /// What the grower calls it; `None` for the stretches that every farm has.
    pub name: Option<String>,
    /// First day; `None` from the beginning.
    pub from: Option<Day>,
    /// Last day; `None` to the end.
    pub to: Option<Day>,
}

/// Key of all mornings.
pub const ALL: &str = "all";
/// Key of the season that runs, where no season was recorded.
pub const THIS: &str = "this";

/// The stretches of a farm, the latest first and all mornings last: its recorded seasons, or what came since the first stocking.
/// Never calendar years: a season may run over New Year, or begin twice in one.
///
/// # Errors
/// When the record cannot be read.
pub fn stretches(store: &Store, farm_id: &str, farm: &Farm) -> Result<Vec<Stretch>, StoreError> {
    let mut found: Vec<Stretch> = store
        .seasons(farm_id)?
        .into_iter()
        .rev()
        .map(|season| Stretch { key: season.id, name: Some(season.name), from: Some(season.starts), to: season.ends })
        .collect();
    if found.is_empty() {
        let from = farm.ponds.iter().map(|pond| pond.stocking.on).min();
        found.push(Stretch { key: THIS.to_owned(), name: None, from, to: None });
    }
    found.push(Stretch { key: ALL.to_owned(), name: None, from: None, to: None });
    Ok(found)
}

/// What is asked: a stretch, and one pond or all.
#[derive(Debug, Clone, Copy)]
pub struct Wanted<'a> {
    /// Short name of the farm.
    pub farm_id: &'a str,
    /// The farm.
    pub farm: &'a Farm,
    /// The mornings.
    pub stretch: &'a Stretch,
    /// One pond by its id; `None` for all.
    pub pond: Option<&'a str>,
}

/// Scores with what they were counted from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scored {
    /// The scores.
    pub scores: Scores,
    /// Days whose morning is kept, scored or not, in order.
    pub mornings: Vec<Day>,
    /// Called dawns, read or not yet.
    pub called: usize,
    /// The latest dawns that were called a day ahead and read, with the pond's id; latest last.
    pub recent: Vec<(String, Pair)>,
    /// Every kept row with the reading that its dawn was held against, if there was one; for programs.
    pub rows: Vec<(ForecastRow, Option<f64>)>,
}

/// The dawns that were called, by pond.
type Calls = BTreeMap<String, Vec<Called>>;

impl Stretch {
    /// Its first moment, and the one after its last.
    fn span(&self, farm: &Farm) -> (Instant, Instant) {
        let zone = &farm.place.zone;
        let from = self.from.map_or(Instant(i64::MIN / 4000), |day| zone.instant(day, 0));
        let before = self.to.map_or(Instant(i64::MAX / 4000), |day| zone.instant(day.plus(1), 0));
        (from, before)
    }

    /// The same in ms.
    fn span_ms(&self, farm: &Farm) -> (i64, i64) {
        let (from, before) = self.span(farm);
        (from.0 * 1000, before.0 * 1000)
    }
}

/// Scores what is kept of a farm, with every row.
///
/// # Errors
/// When the record cannot be read.
pub fn scored(store: &Store, wanted: Wanted<'_>) -> Result<Scored, StoreError> {
    let mut rows = store.forecasts_made(wanted.farm_id, wanted.stretch.span_ms(wanted.farm), None)?;
    rows.retain(|row| wanted.pond.is_none_or(|pond| pond == row.pond));
    let calls = called(&rows, wanted.farm);
    let (mut found, all) = held(&calls, &readings(store, wanted)?, wanted.pond);
    let came: BTreeMap<(&str, i64), f64> =
        all.iter().map(|(pond, pair)| ((*pond, pair.called.at.0), pair.came_c)).collect();
    let came_of =
        |row: &ForecastRow| (row.place == BOTTOM).then(|| came.get(&(row.pond.as_str(), row.at.0)).copied())?;
    let held: Vec<Option<f64>> = rows.iter().map(came_of).collect();
    found.rows = rows.into_iter().zip(held).collect();
    Ok(found)
}

/// What was called against what was read, of one pond or all; and each pair with its pond.
fn held<'a>(
    calls: &'a Calls,
    read: &BTreeMap<String, Vec<Read>>,
    pond: Option<&str>,
) -> (Scored, Vec<(&'a str, Pair)>) {
    let mut all: Vec<(&str, Pair)> = Vec::new();
    let (mut mornings, mut count) = (BTreeSet::new(), 0);
    for (id, called) in calls.iter().filter(|(id, _)| pond.is_none_or(|pond| pond == **id)) {
        count += called.len();
        mornings.extend(called.iter().map(|called| called.on));
        let found = pairs(called, read.get(id).map_or(&[], Vec::as_slice));
        all.extend(found.into_iter().map(|pair| (id.as_str(), pair)));
    }
    let mut recent: Vec<(String, Pair)> = all
        .iter()
        .filter(|(_, pair)| pair.called.lead_days() == 1)
        .map(|(id, pair)| ((*id).to_owned(), *pair))
        .collect();
    recent.sort_by(|a, b| (a.1.called.dawn, &a.0).cmp(&(b.1.called.dawn, &b.0)));
    let recent = recent.split_off(recent.len().saturating_sub(RECENT));
    let scores = score(&all.iter().map(|(_, pair)| *pair).collect::<Vec<_>>());
    let found = Scored { scores, mornings: mornings.into_iter().collect(), called: count, recent, rows: Vec::new() };
    (found, all)
}

/// Temperatures that hold, by pond: those of the farm's file, typed entries, loggers.
fn readings(store: &Store, wanted: Wanted<'_>) -> Result<BTreeMap<String, Vec<Read>>, StoreError> {
    let (from, before) = wanted.stretch.span(wanted.farm);
    // A dawn may be called on a season's last morning and come after it.
    let (from, before) = (Instant(from.0 - DAY_S), Instant(before.0 + 12 * DAY_S));
    let mut read: BTreeMap<String, Vec<Read>> = BTreeMap::new();
    for card in &wanted.farm.ponds {
        let of_file = card.readings.iter().map(|reading| Read {
            at: reading.at,
            is_deep: reading.place == AlongPond::Deep,
            temp_c: reading.temp_c,
        });
        read.entry(card.id.clone()).or_default().extend(of_file);
    }
    let entries = Asked { kind: Some("reading"), from: Some(from), before: Some(before), ..Asked::default() };
    let facts = store.facts_linked(wanted.farm_id, entries)?;
    for kept in current(&facts).iter().filter_map(|entry| entry.settled()) {
        if let (Some(pond), Some(&temp_c)) = (kept.fact.pond(), kept.fact.values.get("temperature")) {
            let is_deep = kept.fact.end() == AlongPond::Deep;
            read.entry(pond.to_owned()).or_default().push(Read { at: kept.fact.happened.at, is_deep, temp_c });
        }
    }
    for spot in store.logged_spots(wanted.farm_id)? {
        if spot.quantity != Quantity::Temperature || wanted.pond.is_some_and(|pond| pond != spot.pond) {
            continue;
        }
        let (pond, place, depth_m) = (spot.pond.as_str(), spot.place.as_str(), spot.depth_m);
        let at = At { farm: wanted.farm_id, pond, quantity: spot.quantity, place, depth_m };
        let rows = store.readings(at, (from, before))?;
        let of_spot = rows.into_iter().map(|(at, temp_c)| Read { at, is_deep: place == BOTTOM, temp_c });
        read.entry(pond.to_owned()).or_default().extend(of_spot);
    }
    Ok(read)
}

/// The dawns that rows called, by pond. Of several sets of one day the last made counts: another version's, or one made after a newer
/// weather forecast came.
fn called(rows: &[ForecastRow], farm: &Farm) -> Calls {
    let place = place_of(farm);
    let day_of = |at: Instant| place.standard_day(at).0;
    type Sets<'a> = BTreeMap<(i64, &'a str), BTreeMap<i64, Called>>;
    let mut sets: BTreeMap<(&str, Day), Sets<'_>> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.place == BOTTOM) {
        let on = day_of(Instant(row.made_ms.div_euclid(1000)));
        let of_day = sets.entry((row.pond.as_str(), on)).or_default();
        let dawns = of_day.entry((row.made_ms, row.program.as_str())).or_default();
        let dawn = dawns.entry(row.at.0).or_insert_with(|| Called {
            on,
            dawn: day_of(row.at),
            at: row.at,
            water_c: Band { low: f64::NAN, middle: f64::NAN, high: f64::NAN },
            below: [None; 2],
        });
        match row.says {
            Spoken::Chance(mark_c) => {
                if let Some(free) = dawn.below.iter_mut().find(|below| below.is_none()) {
                    *free = Some((mark_c, row.value));
                }
            }
            Spoken::Quantile(level) if level < 0.3 => dawn.water_c.low = row.value,
            Spoken::Quantile(level) if level > 0.7 => dawn.water_c.high = row.value,
            Spoken::Quantile(_) => dawn.water_c.middle = row.value,
        }
    }
    let mut by_pond = Calls::new();
    for ((pond, _), mut of_day) in sets {
        let last = of_day.pop_last().map(|(_, dawns)| dawns).unwrap_or_default();
        let whole = |called: &Called| (called.water_c.low + called.water_c.middle + called.water_c.high).is_finite();
        by_pond.entry(pond.to_owned()).or_default().extend(last.into_values().filter(whole));
    }
    by_pond
}

/// What was counted before, by what it rests on: nothing that an answer depends on. Rows are many and never change, so the dawns they
/// called are remembered apart from what came of them.
#[derive(Default)]
pub struct Remembered {
    calls: Mutex<Vec<(String, Arc<Calls>)>>,
    scores: Mutex<Vec<(String, Arc<Scored>)>>,
}

/// What is remembered under a key, or made now.
fn remembered<T>(
    list: &Mutex<Vec<(String, Arc<T>)>>,
    key: String,
    make: impl FnOnce() -> Result<T, StoreError>,
) -> Result<Arc<T>, StoreError> {
    let open = || list.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, known)) = open().iter().find(|(known, _)| *known == key) {
        return Ok(Arc::clone(known));
    }
    // Not while it is locked: whoever asks for another one need not wait.
    let made = Arc::new(make()?);
    let mut all = open();
    if all.len() >= REMEMBERED {
        all.remove(0);
    }
    all.push((key, Arc::clone(&made)));
    Ok(made)
}

/// The scores of a farm that is served, counted when something changed; without its rows, which are for programs.
///
/// # Errors
/// When the record cannot be read.
pub fn of_farm(
    record: &Record,
    facts: &Served,
    stretch: &Stretch,
    pond: Option<&str>,
) -> Result<Arc<Scored>, StoreError> {
    let (store, farm, id) = (record.store(), &facts.farm, facts.id.as_str());
    let (digest, last_ms) = (store.facts_digest(id)?, store.last_forecast_ms(id)?.unwrap_or_default());
    let rests = format!("{id} {last_ms} {:?} {:?}", stretch.from, stretch.to);
    remembered(&record.remembered().scores, format!("{rests} {digest} {pond:?}"), || {
        let calls = remembered(&record.remembered().calls, rests, || {
            Ok(called(&store.forecasts_made(id, stretch.span_ms(farm), Some(BOTTOM))?, farm))
        })?;
        let read = readings(store, Wanted { farm_id: id, farm, stretch, pond })?;
        Ok(held(&calls, &read, pond).0)
    })
}

/// Counts ahead of whoever will ask; what cannot be read is told on the page.
pub fn ready(record: &Record, facts: &Served) {
    for stretch in stretches(record.store(), &facts.id, &facts.farm).unwrap_or_default() {
        let _ = of_farm(record, facts, &stretch, None);
    }
}

#[cfg(test)]
pub(crate) mod tests;
