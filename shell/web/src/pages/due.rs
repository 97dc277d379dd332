//! `/f/{farm}/due`: what falls due by the grower's own days; `/calendar.ics`: the same as a calendar.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farm::facts::{Due, Kept, Pack, dues, packs};
use maud::{Markup, html};
use store::{Asked, StoreError};
use units::Day;
use words::page_due as say;

use super::{missing, sent};
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/due", get(show)).route("/f/{farm}/due/calendar.ics", get(calendar))
}

fn of_kind(record: &Record, facts: &Served, kind: &str) -> Result<Vec<Kept>, StoreError> {
    record.store().facts_linked(&facts.id, Asked { kind: Some(kind), ..Asked::default() })
}

fn today(record: &Record, facts: &Served) -> Day {
    facts.farm.place.zone.day_and_second(entry::now(facts, record.now_ms()).0).0
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let read = waiting(|| {
        let all = dues(&of_kind(record, &facts, "due")?);
        Ok::<_, StoreError>((all, packs(&of_kind(record, &facts, "pack")?, &facts.farm.place.zone)))
    });
    match read {
        Ok((all, packs)) => {
            let body = body(&facts, &all, &packs, today(record, &facts));
            sent(framed(&Frame::of(&facts, say::TITLE, Here::Elsewhere), body))
        }
        Err(error) => sent(plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    }
}

fn body(facts: &Served, all: &[Due], packs: &[Pack], today: Day) -> Markup {
    let (open, over): (Vec<&Due>, Vec<&Due>) = all.iter().partition(|due| due.next().is_some());
    html! {
        article.one-pond.of-sums.due {
            section.answer {
                h1 { (say::headline(all, today)) }
                div.why { p { @if all.is_empty() { (say::NONE_SAYS) } @else { (say::LEAD) } } }
                p.onward {
                    a.button.main href=(format!("/f/{}/log/new?kind=due", facts.id)) { (say::ADD) } " "
                    @if !open.is_empty() { a.button href=(format!("/f/{}/due/calendar.ics", facts.id)) { (say::TO_CALENDAR) } }
                }
            }
            @if !open.is_empty() { (list(facts, &open, Some(today))) }
            @if !over.is_empty() { section.part aria-labelledby="h-over" { h2 id="h-over" { (say::OVER) } (list(facts, &over, None)) } }
            section.part aria-labelledby="h-records" {
                h2 id="h-records" { (say::RECORDS) }
                dl.rows { @for (name, value) in say::kept_until(packs) { div { dt { (name) } dd { (value) } } } }
                p.caution { (say::RECORDS_SAYS) }
            }
            section.part aria-labelledby="h-common" {
                h2 id="h-common" { (say::COMMON) }
                p { (say::COMMON_SAYS) }
                dl.rows {
                    @for (kind, about) in say::ASKED {
                        div {
                            dt { (words::page_trace::word("due_kind", kind)) }
                            dd {
                                (about) " "
                                @if !all.iter().any(|due| due.kind == kind) {
                                    a.mend href=(format!("/f/{}/log/new?kind=due&due_kind={}", facts.id, crate::prints::escaped(kind))) { (say::ADD) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn list(facts: &Served, all: &[&Due], today: Option<Day>) -> Markup {
    html! {
        dl.rows.dues {
            @for due in all {
                div {
                    dt { (say::name(due)) }
                    dd {
                        @if let Some((today, on)) = today.zip(due.next()) {
                            p.wrong[on < today] { b { (say::when(on, today)) } }
                        }
                        p { (say::about(due)) }
                        a.mend href=(format!("/f/{}/log/{}/mend", facts.id, due.head)) { (say::MEND) }
                    }
                }
            }
        }
    }
}

async fn calendar(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    match waiting(|| of_kind(record, &facts, "due")) {
        Ok(found) => {
            let made = entry::now(&facts, record.now_ms()).0;
            let text = words::page_day::due_calendar(&facts.farm.name, &dues(&found), made);
            ([(header::CONTENT_TYPE, "text/calendar; charset=utf-8")], text).into_response()
        }
        Err(error) => sent(plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    }
}

/// What is near, for the owner's morning; nothing for crew, and nothing where the record cannot be read (the page itself says so).
pub fn of_morning(site: &Site, facts: &Served) -> Markup {
    let Some(record) = site.record().filter(|_| who::now().may == May::All) else { return html! {} };
    let Ok(found) = waiting(|| of_kind(record, facts, "due")) else { return html! {} };
    let today = today(record, facts);
    let near: Vec<String> =
        dues(&found).iter().filter(|due| due.is_near(today)).filter_map(|due| say::near(due, today)).collect();
    html! {
        @if !near.is_empty() {
            div.due-near {
                h2.small { (say::MORNING) }
                ul.tasks { @for said in near { li { (said) } } }
                p { a href=(format!("/f/{}/due", facts.id)) { (say::TITLE) } }
            }
        }
    }
}
