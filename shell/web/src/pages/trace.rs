//! `/f/{farm}/trace`: a lot both ways from what was scanned or typed; `/epcis.jsonld`: the same as events of an open standard; `/recall.pdf`: whom
//! to call, to print.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::Kept;
use maud::{Markup, html};
use season::freshness::Clock;
use season::trace::{TRACE_KINDS, Trace, TraceAsk, Traced, to_sell_first, trace};
use store::{Asked, StoreError};
use units::Instant;
use words::page_trace as say;

use super::{missing, sent};
use crate::events;
use crate::lots;
use crate::parts::blocks::wide;
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::prints::{self, escaped};
use crate::record::{Record, waiting};
use crate::sending::bytes_saved_as;
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

type Fields = Vec<(String, String)>;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/trace", get(show))
        .route("/f/{farm}/trace/epcis.jsonld", get(show_events))
        .route("/f/{farm}/trace/recall.pdf", get(show_recall))
}

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str())
}

/// Everything that a trace reads, people by their names.
fn known(record: &Record, facts: &Served) -> Result<Vec<Kept>, StoreError> {
    let mut all = Vec::new();
    for kind in TRACE_KINDS {
        all.extend(record.store().facts_linked(&facts.id, Asked { kind: Some(kind), ..Asked::default() })?);
    }
    all.sort_by_key(|kept| kept.seq);
    all.dedup_by_key(|kept| kept.seq);
    record.with_names(&facts.id, &mut all)?;
    Ok(all)
}

/// The lot in a text, both ways.
///
/// # Errors
/// When the record cannot be read.
pub fn traced(record: &Record, facts: &Served, text: &str) -> Result<Traced, StoreError> {
    let told = lots::told(record, facts)?;
    let entries = known(record, facts)?;
    Ok(trace(&TraceAsk { farm: &facts.farm, facts: &entries, stocked: &told.lots, text }))
}

/// The lot's way as events of an open standard, as text.
pub fn events(found: &Trace, facts: &Served, item: Option<&str>, now: Instant) -> String {
    events::document(found, &facts.farm, events::Names { farm: &facts.id, item }, now).to_string()
}

/// Now by the farm's pages: its own morning where its description names one.
pub fn now(facts: &Served, clock: Instant) -> Instant {
    entry::now(facts, 1000 * clock.0).0
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let text = field(&asked, "lot");
    let found = match waiting(|| traced(record, &facts, text)) {
        Ok(found) => found,
        Err(error) => return sent(plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    };
    let now = entry::now(&facts, record.now_ms()).0;
    let body = match &found {
        Traced::Found(found) => html! { (both_ways(&facts, found, now)) (form(&facts, text)) },
        Traced::Unknown { lot, near } => html! {
            section.answer {
                h1 { (say::unknown(lot)) }
                @if near.is_empty() { p.reason { (say::NONE_NEAR) } } @else {
                    h2.small { (say::NEAR) }
                    (ways(&facts, near))
                }
                p { a.mend href=(format!("/f/{}/trace", facts.id)) { (say::LOTS) } }
            }
            (form(&facts, text))
        },
        Traced::Nothing { lots } => html! {
            section.answer { h1 { (say::TITLE) } p { (say::LEAD) } }
            (form(&facts, text))
            (sell_first(record, &facts, now))
            section.part aria-labelledby="h-lots" {
                h2 id="h-lots" { (say::LOTS) }
                @if lots.is_empty() { p { (say::NO_LOTS) } } @else { (ways(&facts, lots)) }
                (adding(&facts, ""))
            }
        },
    };
    sent(framed(&Frame::of(&facts, say::TITLE, Here::Elsewhere), html! { article.one-pond.of-sums.trace { (body) } }))
}

/// Lots that should go first, for whoever sells or looks at the board. Nothing where the record cannot be read: the page says so itself.
pub fn sell_first(record: &Record, facts: &Served, now: Instant) -> Markup {
    // Packs and sales alone: the board is fetched again and again, and a record grows.
    let read = waiting(|| {
        let mut entries = Vec::new();
        for kind in ["pack", "asked", "sale", "settle"] {
            entries.extend(record.store().facts_linked(&facts.id, Asked { kind: Some(kind), ..Asked::default() })?);
            if entries.is_empty() {
                return Ok(Vec::new());
            }
        }
        entries.sort_by_key(|kept| kept.seq);
        entries.dedup_by_key(|kept| kept.seq);
        let ask = TraceAsk { farm: &facts.farm, facts: &entries, stocked: &[], text: "" };
        Ok::<_, StoreError>(to_sell_first(&ask, now))
    });
    let found = read.unwrap_or_default();
    html! {
        @if !found.is_empty() {
            section.part aria-labelledby="h-first" {
                h2 id="h-first" { (say::SELL_FIRST) }
                ul {
                    @for one in &found {
                        li { a href=(format!("/f/{}/trace?lot={}", facts.id, escaped(&one.lot))) { (say::sell_first(one, facts.manner)) } }
                    }
                }
            }
        }
    }
}

fn form(facts: &Served, text: &str) -> Markup {
    html! {
        form.entry method="get" action=(format!("/f/{}/trace", facts.id)) {
            div.field {
                label for="q-lot" { (say::ASK) }
                span.typed { input #q-lot type="text" name="lot" value=(text) autocomplete="off" maxlength="120" autocapitalize="characters" autofocus[text.is_empty()]; }
            }
            button.main type="submit" { (say::LOOK) }
        }
    }
}

fn ways(facts: &Served, lots: &[String]) -> Markup {
    html! {
        ul { @for lot in lots { li { a href=(format!("/f/{}/trace?lot={}", facts.id, escaped(lot))) { (lot) } } } }
    }
}

fn adding(facts: &Served, lot: &str) -> Markup {
    html! {
        p.onward {
            a.button href=(format!("/f/{}/log/new?kind=pack&lot={}", facts.id, escaped(lot))) { (say::ADD_PACKS) } " "
            a.button href=(format!("/f/{}/log/new?kind=treatment", facts.id)) { (say::ADD_TREATMENT) }
        }
    }
}

fn both_ways(facts: &Served, found: &Trace, now: Instant) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let is_owner = who::now().may == May::All;
    let clocks = found.clocks(zone, now);
    html! {
        section.answer {
            h1 { (say::headline(found, &facts.farm)) }
            div.why {
                @for said in say::reasons(found, &clocks, is_owner, zone, manner) { p.reason { (said) } }
                @for said in say::holding(found) { p { (said) } }
            }
        }
        (fresh(facts, found, &clocks))
        section.part aria-labelledby="h-back" {
            h2 id="h-back" { (say::BACK) }
            @for one in &found.sources {
                h3 { (say::source(one, &facts.farm)) }
                dl.rows { @for (name, value) in say::source_rows(one, &facts.farm, manner) { div { dt { (name) } dd { (value) } } } }
            }
        }
        section.part aria-labelledby="h-packs" {
            h2 id="h-packs" { (say::PACKS) }
            @if found.packs.is_empty() { p { (say::NO_PACKS) } } @else {
                (table(&say::PACK_HEADS, say::PACKS, found.packs.iter().map(|pack| say::pack_row(pack, manner))))
                p { (say::balance(found, manner)) }
            }
            (adding(facts, &found.lot))
        }
        @if is_owner { (forward(facts, found)) } @else { p.caution { (say::OWNERS) } }
    }
}

fn fresh(facts: &Served, found: &Trace, clocks: &[Clock]) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let Some(since) = found.since(zone) else { return html! {} };
    html! {
        section.part aria-labelledby="h-fresh" {
            h2 id="h-fresh" { (say::FRESH) }
            (table(&say::FRESH_HEADS, say::FRESH, clocks.iter().map(|clock| say::fresh_row(clock, zone, manner))))
            p.legend { (say::clock_from(since, zone, manner)) }
            p.caution { (say::FRESH_SAYS) }
        }
    }
}

fn forward(facts: &Served, found: &Trace) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let of_lot = format!("lot={}", escaped(&found.lot));
    html! {
        section.part aria-labelledby="h-calls" {
            h2 id="h-calls" { (say::CALLS) }
            @if found.calls.is_empty() { p { (say::NOBODY) } } @else {
                (table(&say::CALL_HEADS, say::CALLS, found.calls.iter().map(|call| say::call_row(call, zone, manner))))
            }
            @if !found.calls_perhaps.is_empty() {
                h3 { (say::CALLS_PERHAPS) }
                (table(&say::CALL_HEADS, say::CALLS_PERHAPS, found.calls_perhaps.iter().map(|call| say::call_row(call, zone, manner))))
            }
            p.onward { a.button.main href=(format!("/f/{}/trace/recall.pdf?{of_lot}", facts.id)) { (say::TO_RECALL) } }
            p.legend { (say::DRILL) }
        }
        @if !found.sold.is_empty() {
            section.part aria-labelledby="h-lines" {
                h2 id="h-lines" { (say::LINES) }
                (table(&say::LINE_HEADS, say::LINES, found.sold.iter().map(|line| say::line_row(line, zone, manner))))
            }
        }
        @if !found.handed.is_empty() {
            section.part aria-labelledby="h-handed" {
                h2 id="h-handed" { (say::HANDED) }
                (table(&say::HANDED_HEADS, say::HANDED, found.handed.iter().map(|one| say::handed_row(one, zone, manner))))
            }
        }
        form.entry.setup-form method="get" action=(format!("/f/{}/trace/epcis.jsonld", facts.id)) {
            input type="hidden" name="lot" value=(found.lot);
            div.field {
                label for="q-item" { (say::ITEM) }
                span.typed { input #q-item type="text" name="item" inputmode="numeric" autocomplete="off" maxlength="20" aria-describedby="h-item"; }
                p.hint id="h-item" { (say::EVENTS_SAY) }
            }
            button type="submit" { (say::TO_EVENTS) }
        }
    }
}

fn table<const N: usize>(heads: &[&str; N], name: &str, rows: impl Iterator<Item = [String; N]>) -> Markup {
    wide(name, heads, rows)
}

/// The lot that is asked for, or the page that says why not.
fn asked_for(site: &Site, farm: &str, asked: &Fields) -> Result<(Arc<Served>, Box<Trace>, Instant), Box<Response>> {
    let (Some(desk), Some(record)) = (site.desk(farm), site.record()) else { return Err(Box::new(missing())) };
    let facts = desk.facts();
    let now = entry::now(&facts, record.now_ms()).0;
    match waiting(|| traced(record, &facts, field(asked, "lot"))) {
        Ok(Traced::Found(found)) => Ok((facts, found, now)),
        Ok(_) => Err(Box::new(missing())),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            Err(Box::new(sent(plain(say::TITLE, &said))))
        }
    }
}

async fn show_events(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    if who::now().may != May::All {
        return missing();
    }
    match asked_for(&site, &farm, &asked) {
        Ok((facts, found, now)) => {
            let item = season::books::gs1::gtin(field(&asked, "item")).ok();
            let text = events(&found, &facts, item.as_deref(), now);
            bytes_saved_as(text.into_bytes(), &format!("{}.jsonld", found.lot), "application/ld+json")
        }
        Err(page) => *page,
    }
}

async fn show_recall(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    if who::now().may != May::All {
        return missing();
    }
    match asked_for(&site, &farm, &asked) {
        Ok((facts, found, now)) => {
            let paper = prints::recall(&facts.farm, &found, now, facts.manner);
            prints::sent(&paper, &format!("recall-{}", found.lot))
        }
        Err(page) => *page,
    }
}
