//! A fact as JSON: one form on the wire, in the store's comparisons and in the archive.

use std::collections::BTreeMap;

use farm::facts::{Fact, Happened, Kept, is_id};
use serde_json::{Map, Value, json};
use units::Instant;

/// Why a body is no fact: the field that is missing or not what it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WireError {
    /// The field.
    pub field: String,
}

/// A fact for the wire.
pub fn fact_to_json(fact: &Fact) -> Value {
    json!({
        "id": fact.id, "farm": fact.farm, "device": fact.device, "person": fact.person,
        "kind": fact.kind, "form": fact.form,
        "happened": { "utc_s": fact.happened.at.0, "offset_s": fact.happened.offset_s },
        "typed_ms": fact.typed_ms, "corrects": fact.corrects, "typed": fact.typed, "values": fact.values,
    })
}

/// A fact with what the store added.
pub fn kept_to_json(kept: &Kept) -> Value {
    let mut value = fact_to_json(&kept.fact);
    if let Some(map) = value.as_object_mut() {
        map.insert("seq".to_owned(), json!(kept.seq));
        map.insert("received_ms".to_owned(), json!(kept.received_ms));
        map.insert("clock_off_ms".to_owned(), json!(kept.clock_off_ms));
    }
    value
}

/// Reads a fact from the wire. Its numbers are read again from what was typed: a device's own are never taken.
///
/// # Errors
/// Names the first field that cannot be used.
pub fn fact_from_json(value: &Value) -> Result<Fact, WireError> {
    let wrong = |field: &str| WireError { field: field.to_owned() };
    let body = value.as_object().ok_or_else(|| wrong("fact"))?;
    let text = |field: &str, most: usize| {
        let text = body.get(field).and_then(Value::as_str).filter(|text| !text.is_empty() && text.len() <= most);
        text.map(str::to_owned).ok_or_else(|| wrong(field))
    };
    let happened = body.get("happened").and_then(Value::as_object).ok_or_else(|| wrong("happened"))?;
    let corrects = match body.get("corrects") {
        None | Some(Value::Null) => None,
        Some(Value::String(id)) if is_id(id) => Some(id.clone()),
        Some(_) => return Err(wrong("corrects")),
    };
    let mut fact = Fact {
        id: text("id", 32)?,
        farm: text("farm", 64)?,
        device: text("device", 64)?,
        person: text("person", 64)?,
        kind: text("kind", 32)?,
        form: whole(body, "form")
            .and_then(|form| u32::try_from(form).ok())
            .filter(|&form| form > 0)
            .ok_or_else(|| wrong("form"))?,
        happened: Happened {
            at: Instant(whole(happened, "utc_s").ok_or_else(|| wrong("happened"))?),
            offset_s: whole(happened, "offset_s")
                .and_then(|offset| i32::try_from(offset).ok())
                .filter(|offset| offset.abs() <= 93_600)
                .ok_or_else(|| wrong("happened"))?,
        },
        typed_ms: whole(body, "typed_ms").ok_or_else(|| wrong("typed_ms"))?,
        corrects,
        typed: texts(body.get("typed")).ok_or_else(|| wrong("typed"))?,
        values: BTreeMap::new(),
    };
    if !is_id(&fact.id) {
        return Err(wrong("id"));
    }
    fact.read();
    Ok(fact)
}

fn whole(body: &Map<String, Value>, field: &str) -> Option<i64> {
    body.get(field)?.as_i64()
}

fn texts(value: Option<&Value>) -> Option<BTreeMap<String, String>> {
    value?.as_object()?.iter().map(|(key, value)| Some((key.clone(), value.as_str()?.to_owned()))).collect()
}

/// What makes two sendings of one id the same: everything a person said, not what is read from it.
pub(crate) fn content(fact: &Fact) -> String {
    // Written key by key: the order is then ours, whatever the JSON crate does with maps.
    let quoted = |text: &str| Value::from(text).to_string();
    let corrects = fact.corrects.as_deref().map_or("null".to_owned(), quoted);
    format!(
        "{{\"id\":{},\"farm\":{},\"device\":{},\"person\":{},\"kind\":{},\"form\":{},\"happened\":{{\"utc_s\":{},\"offset_s\":{}}},\"typed_ms\":{},\"corrects\":{corrects},\"typed\":{}}}",
        quoted(&fact.id),
        quoted(&fact.farm),
        quoted(&fact.device),
        quoted(&fact.person),
        quoted(&fact.kind),
        fact.form,
        fact.happened.at.0,
        fact.happened.offset_s,
        fact.typed_ms,
        typed_json(&fact.typed),
    )
}

/// What was typed, keys in order.
pub(crate) fn typed_json(typed: &BTreeMap<String, String>) -> String {
    let pairs: Vec<String> = typed
        .iter()
        .map(|(key, text)| format!("{}:{}", Value::from(key.as_str()), Value::from(text.as_str())))
        .collect();
    format!("{{{}}}", pairs.join(","))
}
