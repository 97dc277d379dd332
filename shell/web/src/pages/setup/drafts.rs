//! Drafts in the record: every page of the set-up is kept as it was typed, as one more fact.

use std::collections::BTreeMap;

use farm::facts::{Fact, Happened, Kept, farm_text, newest_form};
use farm::setup::Draft;
use store::{Asked, FarmRow, StoreError};
use units::{Instant, Zone};

use crate::record::Record;
use crate::served::Served;
use crate::shipped::SHIPPED;
use crate::site::Site;

/// A farm's draft as it stands.
pub struct Open {
    /// The answers.
    pub draft: Draft,
    /// The farm stands as described: nothing was changed since.
    pub is_settled: bool,
}

/// The draft of a farm: what was typed last; else its own file. `None` when no such farm is known.
///
/// # Errors
/// When the record cannot be read.
pub fn open(record: &Record, site: &Site, farm: &str) -> Result<Option<Open>, StoreError> {
    let own = record.own(farm)?;
    let typed = record.store().facts_where(farm, Asked { kind: Some("setup"), ..Asked::default() })?;
    let settled = own.iter().filter(|kept| kept.fact.kind == "farm").map(|kept| kept.seq).max();
    let last = typed.iter().max_by_key(|kept| kept.seq);
    if let Some(last) = last.filter(|last| Some(last.seq) > settled) {
        return Ok(Some(Open { draft: text_of(last), is_settled: false }));
    }
    if let Some(text) = farm_text(&own) {
        return Ok(Draft::read(text).ok().map(|draft| settled_in(site, farm, draft)));
    }
    let Some(desk) = site.desk(farm) else { return Ok(None) };
    Ok(from_file(&desk.facts()).map(|draft| settled_in(site, farm, draft)))
}

/// The farm as described, with what went into the ponds and came out of them since.
fn settled_in(site: &Site, farm: &str, mut draft: Draft) -> Open {
    if let Some(desk) = site.desk(farm) {
        draft.lay_lots(&desk.facts().farm);
    }
    Open { draft, is_settled: true }
}

fn text_of(kept: &Kept) -> Draft {
    // A draft is always written as a well formed file.
    kept.fact.typed.get("text").and_then(|text| Draft::read(text).ok()).unwrap_or_default()
}

/// The answers of a farm that was opened from a file.
fn from_file(facts: &Served) -> Option<Draft> {
    let mut draft = Draft::read(&facts.file).ok()?;
    if facts.is_sample && draft.get("weather.history") == "history.csv" {
        draft.set("weather.history", &format!("{SHIPPED}piedmont"));
    }
    Some(draft)
}

/// Farms that were begun and never finished: short name and name.
///
/// # Errors
/// When the record cannot be read.
pub fn begun(record: &Record, site: &Site) -> Result<Vec<(String, String)>, StoreError> {
    let mut begun = Vec::new();
    for row in record.store().farms()? {
        if site.desk(&row.id).is_some() {
            continue;
        }
        if let Some(open) = open(record, site, &row.id)? {
            begun.push((row.id, open.draft.get("farm.name").to_owned()));
        }
    }
    Ok(begun)
}

/// A new farm's short name, made from what it is called; its row in the record.
///
/// # Errors
/// When the record cannot be used.
pub fn begin(record: &Record, site: &Site, name: &str) -> Result<String, StoreError> {
    let known: Vec<String> = record.store().farms()?.into_iter().map(|row| row.id).collect();
    // Long names make short addresses.
    let first: String = Served::id_of(name).chars().take(40).collect();
    let taken = |id: &String| known.contains(id) || site.desk(id).is_some();
    let id = (1..)
        .map(|place| if place == 1 { first.clone() } else { format!("{first}-{place}") })
        .find(|id| !taken(id))
        .unwrap_or(first);
    keep_row(record, &id, name, false)?;
    Ok(id)
}

/// Keeps the farm's name in the record's list of farms.
///
/// # Errors
/// When the record cannot be used.
pub fn keep_row(record: &Record, id: &str, name: &str, is_sample: bool) -> Result<(), StoreError> {
    let row = FarmRow { id: id.to_owned(), name: name.to_owned(), made_ms: record.now_ms(), is_sample };
    record.store().keep_farm(&row)
}

/// Keeps a fact about the farm itself.
///
/// # Errors
/// When it could not be put on the disk.
pub fn keep(record: &Record, farm: &str, kind: &str, typed: BTreeMap<String, String>) -> Result<(), StoreError> {
    let now_ms = record.now_ms();
    let at = Instant(now_ms.div_euclid(1000));
    let fact = Fact {
        id: record.store().new_id()?,
        farm: farm.to_owned(),
        device: crate::who::now().device,
        person: crate::who::now().person,
        kind: kind.to_owned(),
        form: newest_form(kind).map_or(1, |form| form.version),
        // A farm that is being described has no clock of its own yet.
        happened: Happened { at, offset_s: Zone::utc().offset_s(at) },
        typed_ms: now_ms,
        corrects: None,
        typed,
        values: BTreeMap::new(),
    };
    record.keep(fact).map(|_| ())
}

/// Keeps the answers as they are typed.
///
/// # Errors
/// When they could not be put on the disk.
pub fn keep_draft(record: &Record, farm: &str, draft: &Draft) -> Result<(), StoreError> {
    keep(record, farm, "setup", BTreeMap::from([("text".to_owned(), draft.file().text)]))
}
