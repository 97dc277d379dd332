//! A lot's way as events of an open standard (GS1 EPCIS 2.0, JSON-LD): what came, what went into the pond, the catch, tubs, packs, where they lie,
//! what was sold and came back.
//!
//! Written from the standard and its vocabulary (CBV 2.0) as remembered, and held to its published JSON schema in `checks/peers/epcis`.
//! Names are the farm's own under `urn:x-warmspell:`; with an item's number from GS1 a pack's lot is named by its GS1 Digital Link.

use farm::Farm;
use farm::facts::{Pack, PackForm};
use season::trace::{MovedOn, SoldLine, Source, Trace};
use serde_json::{Map, Value, json};
use units::{Day, Instant, Zone};

use crate::prints::escaped;

/// Whose names are used.
#[derive(Clone, Copy)]
pub struct Names<'a> {
    /// Short name of the farm.
    pub farm: &'a str,
    /// The item's number in fourteen digits.
    pub item: Option<&'a str>,
}

impl Names<'_> {
    fn of(self, kind: &str, name: &str) -> String {
        format!("urn:x-warmspell:{}:{kind}:{}", self.farm, escaped(name))
    }
    /// A lot as it was caught.
    fn catch(self, lot: &str) -> String {
        self.of("catch", lot)
    }
    /// A lot as it is sold.
    fn pack(self, lot: &str) -> String {
        match self.item {
            Some(item) => format!("https://id.gs1.org/01/{item}/10/{}", escaped(lot)),
            None => self.of("pack", lot),
        }
    }
}

/// Seconds from a day's start to the hour that an event without one is given: noon.
const NOON_S: i64 = 12 * 3600;

struct Events<'a> {
    names: Names<'a>,
    zone: &'a Zone,
    all: Vec<(Instant, Value)>,
}

impl Events<'_> {
    fn noon(&self, day: Day) -> Instant {
        Instant(self.zone.instant(day, 0).0 + NOON_S)
    }
    /// Adds an event: when, of which type, its own id if it is one entry's, and its parts.
    fn add(&mut self, kind: &str, at: Instant, id: Option<&str>, parts: Value) {
        let mut event = Map::new();
        event.insert("type".to_owned(), json!(kind));
        if let Some(id) = id.filter(|id| id.len() == 32) {
            let (a, b, c, d, e) = (&id[..8], &id[8..12], &id[12..16], &id[16..20], &id[20..]);
            event.insert("eventID".to_owned(), json!(format!("urn:uuid:{a}-{b}-{c}-{d}-{e}")));
        }
        event.insert("eventTime".to_owned(), json!(stamp(at)));
        event.insert("eventTimeZoneOffset".to_owned(), json!(offset(self.zone.offset_s(at))));
        if let Value::Object(parts) = parts {
            event.extend(parts);
        }
        self.all.push((at, Value::Object(event)));
    }
}

/// The document.
pub fn document(trace: &Trace, farm: &Farm, names: Names, made: Instant) -> Value {
    let mut events = Events { names, zone: &farm.place.zone, all: Vec::new() };
    for source in &trace.sources {
        raised(&mut events, source);
        caught(&mut events, source);
    }
    trace.moved.iter().for_each(|one| moved(&mut events, one));
    trace.packs.iter().for_each(|pack| packed(&mut events, pack));
    for line in &trace.sold {
        // What was sold without a pack of its own is the catch itself.
        let is_packed = trace.packs.iter().any(|pack| pack.lot == line.lot);
        sold(&mut events, line, is_packed);
    }
    events.all.sort_by_key(|(at, _)| *at);
    json!({
        "@context": ["https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld"],
        "type": "EPCISDocument",
        "schemaVersion": "2.0",
        "creationDate": stamp(made),
        "epcisBody": { "eventList": events.all.into_iter().map(|(_, event)| event).collect::<Vec<_>>() },
    })
}

/// Postlarvae as they came, and the pond as they went in.
fn raised(events: &mut Events, source: &Source) {
    let names = events.names;
    let animals = |lot: &str, count: f64| json!({ "epcClass": names.of("animals", lot), "quantity": count });
    let mut inputs = Vec::new();
    for came in &source.came {
        let lot = format!("{}-postlarvae", came.on);
        let list = match came.count {
            Some(count) => vec![animals(&lot, count)],
            None => vec![json!({ "epcClass": names.of("animals", &lot) })],
        };
        inputs.extend(list.clone());
        let mut parts = json!({
            "action": "OBSERVE", "bizStep": "receiving", "disposition": "in_progress",
            "quantityList": list,
            "readPoint": { "id": names.of("place", "gate") },
        });
        if let Some(hatchery) = &came.hatchery {
            parts["sourceList"] = json!([{ "type": "owning_party", "source": names.of("party", hatchery) }]);
        }
        events.add("ObjectEvent", events.noon(came.on), None, parts);
    }
    let Some(stocked) = &source.stocked else { return };
    let on = stocked.stocking.on;
    let pond = format!("{}-{on}", source.pond);
    let parts = json!({
        "bizStep": "creating_class_instance", "disposition": "in_progress",
        "inputQuantityList": if inputs.is_empty() { vec![animals("not-told", stocked.stocking.count)] } else { inputs },
        "outputQuantityList": [animals(&pond, stocked.stocking.count)],
        "readPoint": { "id": names.of("place", &source.pond) },
        "bizLocation": { "id": names.of("place", &source.pond) },
    });
    events.add("TransformationEvent", events.noon(on), Some(&stocked.id), parts);
}

fn kg(class: String, weight_kg: f64) -> Value {
    // To the gram: a scale tells no more.
    json!({ "epcClass": class, "quantity": (1000.0 * weight_kg).round() / 1000.0, "uom": "KGM" })
}

/// The catch: animals, feed and treatments in, live weight out; and the tub that holds it.
fn caught(events: &mut Events, source: &Source) {
    let names = events.names;
    let mut inputs = Vec::new();
    if let Some(stocked) = &source.stocked {
        inputs.push(json!({ "epcClass": names.of("animals", &format!("{}-{}", source.pond, stocked.stocking.on)) }));
    }
    for fed in &source.feeds {
        let kind = if fed.kind.is_empty() { "not-told" } else { &fed.kind };
        inputs.push(kg(names.of("feed", kind), fed.weight_kg));
    }
    for treated in &source.treatments {
        let batch = treated.batch.as_deref().map_or(String::new(), |batch| format!("-{batch}"));
        inputs
            .push(json!({ "epcClass": names.of("treatment", &format!("{}{batch}-{}", treated.product, treated.on)) }));
    }
    let lot = names.catch(&source.lot);
    let (output, at) = match &source.caught {
        Some(caught) => (kg(lot, caught.weight_kg), caught.span.1),
        None => (json!({ "epcClass": lot }), events.noon(source.on)),
    };
    if inputs.is_empty() {
        inputs.push(json!({ "epcClass": names.of("animals", &source.pond) }));
    }
    let parts = json!({
        "bizStep": "creating_class_instance", "disposition": "in_progress",
        "inputQuantityList": inputs,
        "outputQuantityList": [output],
        "readPoint": { "id": names.of("place", &source.pond) },
        "ilmd": {
            "cbvmda:lotNumber": source.lot,
            "cbvmda:harvestStartDate": source.on.to_string(),
            "cbvmda:harvestEndDate": source.on.to_string(),
        },
    });
    events.add("TransformationEvent", at, None, parts);
    if !source.tub.is_empty() {
        let parts = json!({
            "action": "ADD", "bizStep": "packing", "disposition": "in_progress",
            "parentID": names.of("tub", &format!("{}-{}", source.on, source.tub)),
            "childQuantityList": [output],
            "readPoint": { "id": names.of("place", &source.pond) },
        });
        events.add("AggregationEvent", at, None, parts);
    }
}

/// Animals of one lot that became part of another, from tub to tub.
fn moved(events: &mut Events, one: &MovedOn) {
    let names = events.names;
    let parts = json!({
        "bizStep": "repackaging", "disposition": "in_progress",
        "inputQuantityList": [kg(names.catch(&one.from), one.weight_kg)],
        "outputQuantityList": [kg(names.catch(&one.into), one.weight_kg)],
        "readPoint": { "id": names.of("place", "tubs") },
        "ilmd": { "cbvmda:lotNumber": one.into },
    });
    events.add("TransformationEvent", one.at, None, parts);
}

/// Packs out of lots, and where they are kept.
fn packed(events: &mut Events, pack: &Pack) {
    let names = events.names;
    let of: Vec<Value> = match pack.of_lots.is_empty() {
        true => vec![json!({ "epcClass": names.catch(&pack.lot) })],
        false => pack.of_lots.iter().map(|lot| json!({ "epcClass": names.catch(lot) })).collect(),
    };
    let class = names.pack(&pack.lot);
    let output = match pack.net_kg {
        Some(net_kg) => kg(class, net_kg * f64::from(pack.packs)),
        None => json!({ "epcClass": class, "quantity": pack.packs }),
    };
    let mut ilmd = json!({ "cbvmda:lotNumber": pack.lot, "cbvmda:packagingDate": pack.packed.to_string() });
    if let Some(use_by) = pack.use_by {
        ilmd["cbvmda:itemExpirationDate"] = json!(use_by.to_string());
    }
    let what = match pack.form {
        PackForm::Whole => "whole",
        PackForm::Tails => "tails",
        PackForm::Live => "live",
    };
    ilmd["urn:x-warmspell:form"] = json!(if pack.is_frozen { format!("{what}, frozen") } else { what.to_owned() });
    let parts = json!({
        "bizStep": "packing", "disposition": "in_progress",
        "inputQuantityList": of,
        "outputQuantityList": [output],
        "readPoint": { "id": names.of("place", "packing") },
        "ilmd": ilmd,
    });
    events.add("TransformationEvent", pack.at, Some(&pack.id), parts);
    if let Some(place) = &pack.kept_at {
        let parts = json!({
            "action": "OBSERVE", "bizStep": "storing", "disposition": "sellable_not_accessible",
            "quantityList": [output],
            "readPoint": { "id": names.of("place", place) },
            "bizLocation": { "id": names.of("place", place) },
        });
        events.add("ObjectEvent", pack.at, None, parts);
    }
}

/// A line sold, or taken back.
fn sold(events: &mut Events, line: &SoldLine, is_packed: bool) {
    let names = events.names;
    let class = if is_packed { names.pack(&line.lot) } else { names.catch(&line.lot) };
    let amount = match line.sold_as.by_piece() {
        true => json!({ "epcClass": class, "quantity": line.amount }),
        false => kg(class, line.amount),
    };
    let (step, disposition) = match (line.is_back, line.order.is_some()) {
        (true, _) => ("accepting", "returned"),
        (false, true) => ("shipping", "in_transit"),
        (false, false) => ("retail_selling", "retail_sold"),
    };
    let mut parts = json!({
        "action": "OBSERVE", "bizStep": step, "disposition": disposition,
        "quantityList": [amount],
        "readPoint": { "id": names.of("place", &line.table) },
        "bizTransactionList": [{ "type": "inv", "bizTransaction": names.of("receipt", &line.receipt) }],
    });
    if let Some(buyer) = &line.buyer {
        let party = names.of("party", buyer);
        match line.is_back {
            true => parts["sourceList"] = json!([{ "type": "owning_party", "source": party }]),
            false => parts["destinationList"] = json!([{ "type": "owning_party", "destination": party }]),
        }
    }
    events.add("ObjectEvent", line.at, Some(&line.id), parts);
}

fn stamp(at: Instant) -> String {
    let (day, second) = Zone::utc().day_and_second(at);
    format!("{day}T{:02}:{:02}:{:02}Z", second / 3600, second / 60 % 60, second % 60)
}

fn offset(seconds: i32) -> String {
    let minutes = seconds.abs() / 60;
    format!("{}{:02}:{:02}", if seconds < 0 { '-' } else { '+' }, minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests;
