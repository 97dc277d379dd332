//! The season's record as tables: one for each kind of entry, one for the ponds, one for the loggers' hours.

use std::collections::{BTreeMap, BTreeSet};

use farm::Farm;
use farm::facts::{Entry, Kept, current, newest_form};
use farm::logger::Quantity;
use store::{At, Store, StoreError};
use units::{Instant, Zone};
use words::page_book as say;

use crate::{Cell, Table};

/// What goes into the book.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// Short name of the farm.
    pub farm_id: &'a str,
    /// The farm.
    pub farm: &'a Farm,
    /// Entries and readings from this moment on.
    pub from: Instant,
    /// To before this one.
    pub before: Instant,
}

/// Kinds of entry that have a sheet, in order.
const KINDS: [&str; 31] = [
    "reading",
    "feed",
    "deaths",
    "predators",
    "aerator",
    "chore",
    "sample",
    "stocked",
    "catch",
    "season",
    "season_over",
    "basket",
    "moved",
    "cold",
    "edge",
    "watch",
    "closed",
    "people",
    "overflow",
    "order",
    "delivery",
    "tank",
    "counted_out",
    "weather_note",
    "note",
    "photo",
    "logger",
    "plan_accepted",
    "cost",
    "gear_bought",
    "budget",
];

/// The tables of a season.
///
/// # Errors
/// When the record cannot be read.
pub fn season_book(store: &Store, asked: Asked<'_>) -> Result<Vec<Table>, StoreError> {
    let facts = store.facts(asked.farm_id)?;
    let within = |at: Instant| asked.from <= at && at < asked.before;
    let mut by_kind: BTreeMap<&str, Vec<Entry<'_>>> = BTreeMap::new();
    for entry in current(&facts) {
        if within(entry.heads[0].fact.happened.at) {
            by_kind.entry(entry.first.fact.kind.as_str()).or_default().push(entry);
        }
    }
    let mut tables = vec![about(asked), ponds(asked.farm)];
    for kind in KINDS {
        if let Some(entries) = by_kind.get(kind) {
            tables.push(entries_of(kind, entries, asked));
        }
    }
    let hours = logged(store, asked)?;
    if !hours.rows.is_empty() {
        tables.push(hours);
    }
    Ok(tables)
}

fn about(asked: Asked<'_>) -> Table {
    let zone = &asked.farm.place.zone;
    let rows = [
        (say::BOOK_FARM, asked.farm.name.clone()),
        (say::BOOK_FROM, zone.stamp(asked.from)),
        (say::BOOK_BEFORE, zone.stamp(asked.before)),
        (say::BOOK_CLOCK, asked.farm.place.zone_name.clone()),
        (say::BOOK_NOTE, say::BOOK_NOTE_TEXT.to_owned()),
    ];
    let rows = rows.map(|(key, text)| vec![Cell::Text(key.to_owned()), Cell::Text(text)]);
    Table {
        name: say::BOOK_ABOUT.to_owned(),
        heads: say::BOOK_ABOUT_HEADS.map(str::to_owned).into(),
        rows: rows.into(),
    }
}

fn ponds(farm: &Farm) -> Table {
    let rows = farm.ponds.iter().map(|pond| {
        vec![
            Cell::Text(pond.id.clone()),
            Cell::Text(pond.name.clone()),
            Cell::Text(pond.stocking.on.to_string()),
            Cell::Number(pond.readings.len() as f64),
        ]
    });
    Table {
        name: say::BOOK_PONDS.to_owned(),
        heads: say::BOOK_POND_HEADS.map(str::to_owned).into(),
        rows: rows.collect(),
    }
}

/// One kind of entry: when by both clocks, where, each field as a number in the unit of its head or as words, and who.
fn entries_of(kind: &str, entries: &[Entry<'_>], asked: Asked<'_>) -> Table {
    let fields: Vec<(&str, &str)> = newest_form(kind).map_or(Vec::new(), |form| {
        let shown = form.fields.iter().filter(|field| !["pond", "struck", "photo", "digest"].contains(&field.name));
        shown.map(|field| (field.name, field.unit)).collect()
    });
    let mut heads: Vec<String> = say::BOOK_WHEN_HEADS.map(str::to_owned).into();
    heads.extend(fields.iter().map(|(name, unit)| say::book_head(name, unit)));
    heads.extend(say::BOOK_WHO_HEADS.map(str::to_owned));
    let name = |id: &str| asked.farm.ponds.iter().find(|pond| pond.id == id).map_or(id, |pond| &pond.name).to_owned();
    let mut rows = Vec::new();
    for entry in entries {
        for head in &entry.heads {
            let fact = &head.fact;
            let mut row = when(fact.happened.at, &asked.farm.place.zone);
            row.push(fact.pond().map_or(Cell::Empty, |pond| Cell::Text(name(pond))));
            row.extend(fields.iter().map(|(field, unit)| cell(head, field, unit)));
            row.extend([Cell::Text(fact.person.clone()), Cell::Text(say::book_standing(entry, head).to_owned())]);
            rows.push(row);
        }
    }
    Table { name: say::book_sheet(kind).to_owned(), heads, rows }
}

fn cell(kept: &Kept, field: &str, unit: &str) -> Cell {
    // A number whose head names no unit (pH) is a number all the same.
    match (kept.fact.values.get(field), kept.fact.text(field)) {
        (Some(&value), _) => Cell::Number((value * 1e6).round() / 1e6),
        (None, Some(text)) if unit.is_empty() => Cell::Text(text.to_owned()),
        _ => Cell::Empty,
    }
}

/// The farm's clock and UTC.
fn when(at: Instant, zone: &Zone) -> Vec<Cell> {
    vec![Cell::Clock(zone.local(at)), Cell::Clock(Zone::utc().local(at))]
}

/// The loggers' readings as means of hours.
fn logged(store: &Store, asked: Asked<'_>) -> Result<Table, StoreError> {
    let mut heads: Vec<String> = say::BOOK_WHEN_HEADS.map(str::to_owned).into();
    heads.extend(say::BOOK_SPOT_HEADS.map(str::to_owned));
    heads.extend(Quantity::ALL.map(say::book_logged));
    let mut rows = Vec::new();
    let spots = store.logged_spots(asked.farm_id)?;
    let places: BTreeSet<(&str, &str, u64)> =
        spots.iter().map(|spot| (spot.pond.as_str(), spot.place.as_str(), spot.depth_m.to_bits())).collect();
    for (pond, place, depth) in places {
        let depth_m = f64::from_bits(depth);
        let mut hours: BTreeMap<Instant, [Option<f64>; 4]> = BTreeMap::new();
        for (column, quantity) in Quantity::ALL.into_iter().enumerate() {
            let at = At { farm: asked.farm_id, pond, quantity, place, depth_m };
            for (hour, [mean, ..]) in store.logged(at, (asked.from, asked.before), 3600)? {
                hours.entry(hour).or_default()[column] = Some((mean * 1e4).round() / 1e4);
            }
        }
        let name = asked.farm.ponds.iter().find(|one| one.id == pond).map_or(pond, |one| &one.name);
        for (hour, values) in hours {
            let mut row = when(hour, &asked.farm.place.zone);
            row.extend([Cell::Text(name.to_owned()), Cell::Text(place.to_owned()), Cell::Number(depth_m)]);
            row.extend(values.map(|value| value.map_or(Cell::Empty, Cell::Number)));
            rows.push(row);
        }
    }
    Ok(Table { name: say::BOOK_LOGGED.to_owned(), heads, rows })
}
