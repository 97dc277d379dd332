//! `/f/{farm}/log/done`: one tap says that work was done just now; what it entered stands on the morning page and can be taken back there.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use farm::Chore;
use farm::facts::{Fact, Happened, Kept, current};
use maud::{Markup, html};
use store::{Asked, StoreError};
use words::chores as say;
use words::figures::clock;

use super::{missing, onward};
use crate::parts::entry;
use crate::parts::frame::plain;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/log/done", post(done)).route("/f/{farm}/log/done/{id}/back", post(back))
}

/// Minutes within which a second tap on the same work is the same tap.
const SAME_TAP_S: i64 = 600;
/// Latest entries that are looked through for a tap.
const LATEST: u32 = 40;

type Fields = Vec<(String, String)>;

async fn done(State(site): State<Arc<Site>>, Path(farm): Path<String>, Form(fields): Form<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let field = |name: &str| fields.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str());
    let (word, pond) = (field("chore"), field("pond"));
    if Chore::parse(word).is_none() || !facts.farm.ponds.iter().any(|card| card.id == pond) {
        return missing();
    }
    let kept = waiting(|| keep(&site, record, &facts, (word, pond)));
    answered(record, &farm, kept)
}

/// Keeps the tap; one that was made a moment ago already stands.
fn keep(site: &Site, record: &Record, facts: &Served, (word, pond): (&str, &str)) -> Result<(), StoreError> {
    let (at, _) = entry::now(facts, record.now_ms());
    let is_same = |fact: &Fact| {
        let recent = (0..SAME_TAP_S).contains(&(at.0 - fact.happened.at.0));
        recent && fact.text("chore") == Some(word) && fact.pond() == Some(pond)
    };
    if latest(record, facts)?.iter().any(|kept| is_same(&kept.fact)) {
        return Ok(());
    }
    let mut fact = record.begun(facts, &record.store().new_id()?, "chore");
    fact.happened = Happened { at, offset_s: facts.farm.place.zone.offset_s(at) };
    fact.typed = [("pond", pond), ("chore", word)].map(|(key, text)| (key.to_owned(), text.to_owned())).into();
    record.keep(fact)?;
    // It is on the disk: that the desk could not be told takes nothing from that.
    let _told = site.recorded(&facts.id);
    Ok(())
}

async fn back(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let struck = waiting(|| {
        let Some(kept) = latest(record, &facts)?.into_iter().find(|kept| kept.fact.id == id) else { return Ok(()) };
        let mut fact = record.begun(&facts, &record.store().new_id()?, "chore");
        fact.happened = kept.fact.happened;
        fact.corrects = Some(id.clone());
        fact.typed = kept.fact.typed.clone();
        fact.typed.insert("struck".to_owned(), "yes".to_owned());
        record.keep(fact)?;
        let _told = site.recorded(&farm);
        Ok(())
    });
    answered(record, &farm, struck)
}

fn answered(record: &Record, farm: &str, kept: Result<(), StoreError>) -> Response {
    match kept {
        Ok(()) => onward(&format!("/f/{farm}/#due")),
        Err(error) => {
            let said = format!("{} {}", say::NOT_DONE, words::store::error(record.store().path(), &error));
            (StatusCode::SERVICE_UNAVAILABLE, plain(say::DUE, &said)).into_response()
        }
    }
}

/// The latest work entered that still counts.
fn latest(record: &Record, facts: &Served) -> Result<Vec<Kept>, StoreError> {
    let asked = Asked { kind: Some("chore"), last: Some(LATEST), ..Asked::default() };
    let all = record.store().facts_linked(&facts.id, asked)?;
    let entries = current(&all);
    Ok(entries.iter().filter_map(|entry| entry.settled()).cloned().collect())
}

/// What was entered by tap in the last hours, newest first, each with the way to take it back; crew take back their own.
pub fn just_done(site: &Site, facts: &Served) -> Markup {
    let Some(record) = site.record() else { return html! {} };
    let (now, _) = entry::now(facts, record.now_ms());
    let who = who::now();
    let own = |fact: &Fact| who.may == May::All || fact.person == who.person;
    let mut taps = waiting(|| latest(record, facts)).unwrap_or_default();
    taps.retain(|kept| (0..SHOWN_S).contains(&(now.0 - kept.fact.happened.at.0)));
    taps.sort_by_key(|kept| std::cmp::Reverse(kept.seq));
    let zone = &facts.farm.place.zone;
    let said = |fact: &Fact| {
        let pond = facts.farm.ponds.iter().find(|card| Some(card.id.as_str()) == fact.pond())?;
        let at = clock(zone.day_and_second(fact.happened.at).1, facts.manner);
        Some(say::just_done(Chore::parse(fact.text("chore")?)?, &pond.name, &at))
    };
    html! {
        @for kept in taps.iter().take(SHOWN) {
            @if let Some(said) = said(&kept.fact) {
                div.just-done role="status" {
                    p { (said) }
                    @if own(&kept.fact) {
                        form method="post" action=(format!("/f/{}/log/done/{}/back", facts.id, kept.fact.id)) {
                            button type="submit" aria-label=(format!("{} {}", said, say::TAKE_BACK)) { (say::TAKE_BACK) }
                        }
                    }
                }
            }
        }
    }
}

/// So long a tap stands on the morning page, s.
const SHOWN_S: i64 = 4 * 3600;
/// So many of them.
const SHOWN: usize = 5;
