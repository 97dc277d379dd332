//! The exchange with a phone, without the wire around it: a body in, an answer out. `openapi.json` beside this room describes both.
//!
//! The page at `/f/{farm}/sync` and the simulation (`sim`) call the same function.

use farm::facts::Fact;
use serde_json::{Value, json};
use store::{Exchange, Insert, Store, StoreError, fact_from_json, kept_to_json};

use crate::parts::entry::{is_work, moves_the_morning};
use crate::who::{May, Who};

/// Name of the exchange.
const SCHEMA: &str = "warmspell.sync";
/// The newest version of it; every earlier one is taken for ever.
const VERSION: u64 = 1;
/// Most entries in one body.
const MOST_FACTS: usize = 500;

/// What is answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Status of the answer.
    pub status: u16,
    /// Its body, JSON.
    pub body: String,
    /// Something new was recorded that the morning is reckoned from.
    pub is_new: bool,
}

/// Lays what a phone sent into the record; when this returns 200, every entry answered `made` is on the disk.
pub fn answer(store: &Store, farm: &str, who: &Who, body: &[u8], now_ms: i64) -> Answer {
    let mut sent = match read(farm, body) {
        Ok(sent) => sent,
        Err(field) => {
            let body = json!({ "schema": SCHEMA, "version": VERSION, "wrong": field }).to_string();
            return Answer { status: 400, body, is_new: false };
        }
    };
    match taken(store, who, &mut sent, now_ms) {
        Ok((answers, epoch)) => {
            // A harvest day's entries move no morning: four phones at work must not keep the desk reckoning.
            let is_new = sent.facts.iter().zip(&answers).any(|(fact, answer)| {
                matches!(answer, Some(Insert::Made { .. }))
                    && fact.as_ref().is_ok_and(|fact| moves_the_morning(&fact.kind))
            });
            let answers: Vec<Value> =
                sent.facts.iter().zip(&answers).map(|(fact, answer)| answered(fact, answer)).collect();
            let body = json!({
                "schema": SCHEMA, "version": VERSION, "epoch": epoch, "clock_ms": now_ms, "answers": answers,
            });
            Answer { status: 200, body: body.to_string(), is_new }
        }
        Err(error) => {
            let said = words::store::error(store.path(), &error);
            let body = json!({ "schema": SCHEMA, "version": VERSION, "said": said }).to_string();
            Answer { status: 503, body, is_new: false }
        }
    }
}

/// What became of each entry, `None` for one that was not taken, and the epoch under which that was.
fn taken(store: &Store, who: &Who, sent: &mut Sent, now_ms: i64) -> Result<(Vec<Option<Insert>>, String), StoreError> {
    if !who.is_here {
        bind(store, who, &mut sent.facts)?;
        sent.device.clone_from(&who.device);
    }
    let good: Vec<Fact> = sent.facts.iter().filter_map(|fact| fact.as_ref().ok().cloned()).collect();
    let exchange = Exchange { device: &sent.device, now_ms, device_ms: sent.clock_ms };
    let (made, epoch) = store.exchange(&good, exchange)?;
    let mut made = made.into_iter();
    Ok((sent.facts.iter().map(|fact| if fact.is_ok() { made.next().flatten() } else { None }).collect(), epoch))
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

/// Entries carry the person and the device of the phone's session, whatever they claim. One that the farm has already is compared
/// under the names it was kept with: it may have been sent before this phone was let in anew. What crew may not write is refused,
/// and stays on the phone.
fn bind(store: &Store, who: &Who, facts: &mut [Result<Fact, (Value, String)>]) -> Result<(), StoreError> {
    for one in facts {
        let Ok(fact) = one else { continue };
        let first = fact.corrects.as_deref().map(|id| store.fact(id)).transpose()?.flatten();
        let own = first.is_some_and(|first| first.fact.person == who.person);
        let may = match fact.kind.as_str() {
            "settle" => own,
            "photo" => true,
            kind => is_work(kind),
        };
        if who.may != May::All && !may {
            *one = Err((json!(fact.id), "kind".to_owned()));
            continue;
        }
        let mut bound = fact.clone();
        (bound.device, bound.person) = (who.device.clone(), who.person.clone());
        if let Some(kept) = store.fact(&fact.id)? {
            let as_kept = Fact { device: kept.fact.device.clone(), person: kept.fact.person.clone(), ..bound.clone() };
            bound = if as_kept == kept.fact { as_kept } else { bound };
        }
        *fact = bound;
    }
    Ok(())
}

fn answered(fact: &Result<Fact, (Value, String)>, answer: &Option<Insert>) -> Value {
    let id = match fact {
        Ok(fact) => &fact.id,
        Err((id, field)) => return json!({ "id": id, "answer": "refused", "wrong": field }),
    };
    match answer {
        Some(Insert::Made { seq }) => json!({ "id": id, "answer": "made", "seq": seq }),
        Some(Insert::AlreadyHad { seq }) => json!({ "id": id, "answer": "already_had", "seq": seq }),
        Some(Insert::Differs { kept }) => {
            json!({ "id": id, "answer": "differs", "seq": kept.seq, "kept": kept_to_json(kept) })
        }
        None => json!({ "id": id, "answer": "wants_bytes" }),
    }
}

#[cfg(test)]
mod tests;
