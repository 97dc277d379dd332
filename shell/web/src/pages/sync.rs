//! `POST /f/{farm}/sync`: what a phone kept is laid into the record. `openapi.json` beside this room describes the exchange.

use std::sync::Arc;

use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Router, body::Bytes};
use farm::facts::Fact;
use serde_json::{Value, json};
use store::{Exchange, Insert, StoreError, fact_from_json, kept_to_json};

use super::missing;
use crate::parts::entry::KINDS;
use crate::record::{Record, waiting};
use crate::site::Site;
use crate::who::{self, May, Who};

/// Name of the exchange.
const SCHEMA: &str = "warmspell.sync";
/// The newest version of it; every earlier one is taken for ever.
const VERSION: u64 = 1;
/// Largest body, bytes.
const MOST: usize = 1 << 20;
/// Most entries in one body.
const MOST_FACTS: usize = 500;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sync", post(exchange).layer(DefaultBodyLimit::max(MOST))).route(
        "/openapi.json",
        get(|| async { json_of(StatusCode::OK, include_str!("../../openapi.json").to_owned()) }),
    )
}

fn json_of(status: StatusCode, body: String) -> Response {
    (status, [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")], body).into_response()
}

/// One body, read.
#[derive(Debug, PartialEq)]
struct Sent {
    device: String,
    clock_ms: Option<i64>,
    /// Each entry, or its id and the field that cannot be used.
    facts: Vec<Result<Fact, (Value, String)>>,
}

/// Why a body is not taken: the field that is not what it should be.
fn read(farm: &str, body: &[u8]) -> Result<Sent, &'static str> {
    let body: Value = serde_json::from_slice(body).map_err(|_| "body")?;
    if body.get("schema").and_then(Value::as_str) != Some(SCHEMA) {
        return Err("schema");
    }
    if !body.get("version").and_then(Value::as_u64).is_some_and(|version| (1..=VERSION).contains(&version)) {
        return Err("version");
    }
    let device = body.get("device").and_then(Value::as_str).filter(|name| (1..=64).contains(&name.len()));
    let facts = body.get("facts").and_then(Value::as_array).filter(|facts| facts.len() <= MOST_FACTS);
    let one = |value: &Value| {
        let named = |field: String| (value.get("id").cloned().unwrap_or(Value::Null), field);
        let fact = fact_from_json(value).map_err(|error| named(error.field))?;
        if fact.farm == farm { Ok(fact) } else { Err(named("farm".to_owned())) }
    };
    Ok(Sent {
        device: device.ok_or("device")?.to_owned(),
        clock_ms: body.get("clock_ms").and_then(Value::as_i64),
        facts: facts.ok_or("facts")?.iter().map(one).collect(),
    })
}

async fn exchange(State(site): State<Arc<Site>>, Path(farm): Path<String>, body: Bytes) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let sent = match read(&farm, &body) {
        Ok(sent) => sent,
        Err(field) => {
            let said = json!({ "schema": SCHEMA, "version": VERSION, "wrong": field });
            return json_of(StatusCode::BAD_REQUEST, said.to_string());
        }
    };
    let who = who::now();
    let mut sent = sent;
    if !who.is_here {
        match waiting(|| bind(record, &who, &mut sent.facts)) {
            Ok(()) => sent.device.clone_from(&who.device),
            Err(error) => return unwritten(record, &error),
        }
    }
    let good: Vec<Fact> = sent.facts.iter().filter_map(|fact| fact.as_ref().ok().cloned()).collect();
    let now_ms = record.now_ms();
    let kept = waiting(|| {
        let exchange = Exchange { device: &sent.device, now_ms, device_ms: sent.clock_ms };
        let answers = record.store().insert(&good, exchange)?;
        let epoch = record.store().epoch()?;
        // The entries are on the disk: that the desk could not be told must not make the phone send again for ever.
        if answers.iter().any(|answer| matches!(answer, Insert::Made { .. })) {
            let _told = site.recorded(&farm);
        }
        Ok((answers, epoch))
    });
    match kept {
        Ok((answers, epoch)) => {
            let mut answers = answers.iter().zip(&good).map(|(answer, fact)| answered(&fact.id, answer));
            let answers: Vec<Value> = sent
                .facts
                .iter()
                .filter_map(|fact| match fact {
                    Ok(_) => answers.next(),
                    Err((id, field)) => Some(json!({ "id": id, "answer": "refused", "wrong": field })),
                })
                .collect();
            let said = json!({
                "schema": SCHEMA, "version": VERSION, "epoch": epoch, "clock_ms": now_ms, "answers": answers,
            });
            json_of(StatusCode::OK, said.to_string())
        }
        Err(error) => unwritten(record, &error),
    }
}

fn unwritten(record: &Record, error: &StoreError) -> Response {
    let said = words::store::error(record.store().path(), error);
    let said = json!({ "schema": SCHEMA, "version": VERSION, "said": said });
    json_of(StatusCode::SERVICE_UNAVAILABLE, said.to_string())
}

/// Entries carry the person and the device of the phone's session, whatever they claim. One that the farm has already is compared
/// under the names it was kept with: it may have been sent before this phone was let in anew. What crew may not write is refused,
/// and stays on the phone.
fn bind(record: &Record, who: &Who, facts: &mut [Result<Fact, (Value, String)>]) -> Result<(), StoreError> {
    for one in facts {
        let Ok(fact) = one else { continue };
        let first = fact.corrects.as_deref().map(|id| record.store().fact(id)).transpose()?.flatten();
        let own = first.is_some_and(|first| first.fact.person == who.person);
        let may = match fact.kind.as_str() {
            "settle" => own,
            "photo" => true,
            kind => KINDS.contains(&kind),
        };
        if who.may != May::All && !may {
            *one = Err((json!(fact.id), "kind".to_owned()));
            continue;
        }
        let mut bound = fact.clone();
        (bound.device, bound.person) = (who.device.clone(), who.person.clone());
        if let Some(kept) = record.store().fact(&fact.id)? {
            let as_kept = Fact { device: kept.fact.device.clone(), person: kept.fact.person.clone(), ..bound.clone() };
            bound = if as_kept == kept.fact { as_kept } else { bound };
        }
        *fact = bound;
    }
    Ok(())
}

fn answered(id: &str, answer: &Insert) -> Value {
    match answer {
        Insert::Made { seq } => json!({ "id": id, "answer": "made", "seq": seq }),
        Insert::AlreadyHad { seq } => json!({ "id": id, "answer": "already_had", "seq": seq }),
        Insert::Differs { kept } => {
            json!({ "id": id, "answer": "differs", "seq": kept.seq, "kept": kept_to_json(kept) })
        }
    }
}

#[cfg(test)]
mod tests;
