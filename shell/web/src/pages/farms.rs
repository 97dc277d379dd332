//! `/` and `/farms`: the farms of this machine, the way to one's own, and what was put away. `/` goes straight to the morning
//! when there is one farm only.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use store::StoreError;
use words::page_setup as say;

use super::setup::drafts;
use super::{missing, onward, sent};
use crate::parts::frame;
use crate::record::{Record, waiting};
use crate::site::Site;
use crate::who;

/// Their addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/", get(first)).route("/farms", get(show)).route("/f/{farm}/away", post(away))
}

async fn first(State(site): State<Arc<Site>>) -> Response {
    match site.farms().as_slice() {
        [only] => onward(&format!("/f/{only}/")),
        // The names of farms are no business of a phone that was not let in.
        _ if !who::now().is_here => sent(frame::plain(words::page_people::ENTER, words::page_people::WHICH_FARM)),
        _ => show(State(site)).await,
    }
}

async fn show(State(site): State<Arc<Site>>) -> Response {
    let begun = match site.record().map(|record| waiting(|| drafts::begun(record, &site))) {
        None => Vec::new(),
        Some(Ok(begun)) => begun,
        Some(Err(error)) => return refused(&site, &error),
    };
    let body = html! {
        section.logbook {
            h1 { (words::page::FARMS) }
            ul.farms { @for id in site.farms() { (farm(&site, &id, false)) } }
            @if !begun.is_empty() {
                h2.small { (say::UNFINISHED) }
                ul.farms {
                    @for (id, name) in &begun {
                        li { a href=(format!("/f/{id}/setup")) { @if name.is_empty() { (say::NO_NAME) } @else { (name) } } }
                    }
                }
            }
            @if site.record().is_some() {
                p.onward { a.button.main href="/setup" { (say::DESCRIBE) } }
                p.hint { (say::DESCRIBE_SAYS) }
                p.onward { a href="/setup/open" { (say::OPEN) } }
            } @else { p { (say::NOT_KEPT) } }
            @let away = site.farms_away();
            @if !away.is_empty() {
                h2.small { (say::AWAY) }
                ul.farms { @for id in &away { (farm(&site, id, true)) } }
            }
        }
    };
    sent(frame::bare(words::page::FARMS, body))
}

/// One farm, and the button that puts it away or back.
fn farm(site: &Site, id: &str, is_away: bool) -> Markup {
    let Some(desk) = site.desk(id) else { return html! {} };
    let facts = desk.facts();
    let (word, value) = if is_away { (say::PUT_BACK, "no") } else { (say::PUT_AWAY, "yes") };
    html! {
        li.farm {
            @if is_away { span.name { (facts.farm.name) } } @else { a href=(format!("/f/{id}/")) { (facts.farm.name) } }
            @if facts.is_sample { span.hint { (say::SAMPLE) } }
            @if site.record().is_some() {
                form method="post" action=(format!("/f/{id}/away")) {
                    input type="hidden" name="away" value=(value);
                    button type="submit" aria-label=(format!("{word}: {}", facts.farm.name)) { (word) }
                }
            }
        }
    }
}

async fn away(
    State(site): State<Arc<Site>>,
    Path(id): Path<String>,
    Form(fields): Form<BTreeMap<String, String>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&id), site.record()) else { return missing() };
    let is_away = fields.get("away").is_some_and(|away| away == "yes");
    let kept = waiting(|| {
        let typed = BTreeMap::from([("away".to_owned(), if is_away { "yes" } else { "no" }.to_owned())]);
        record.write(&desk.facts(), &record.store().new_id()?, "farm_away", typed)
    });
    match kept {
        Ok(_) => {
            site.put_away(&id, is_away);
            onward("/farms")
        }
        Err(error) => refused(&site, &error),
    }
}

/// The record could not be used.
pub fn refused(site: &Site, error: &StoreError) -> Response {
    let path = site.record().map(Record::store).map_or_else(Default::default, |store| store.path().to_owned());
    let said = words::store::error(&path, error);
    (StatusCode::SERVICE_UNAVAILABLE, frame::plain(words::page::SETUP, &said)).into_response()
}
