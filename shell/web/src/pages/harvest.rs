//! `/f/{farm}/harvest`: the board of a harvest day: what is caught, where it is, how cold, how fast; `/record`: the cold as an inspector wants to
//! read it.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::PondCard;
use farm::facts::{DAY_KINDS, DayRecord, Kept, closed_before, harvest_day, watched_from, working_day, working_day_of};
use maud::{Markup, html};
use season::day::Rehearsal;
use store::{Asked, StoreError};
use units::{Day, Instant};
use words::page_harvest as say;

use super::stations::stations;
use super::{missing, sent, trace};
use crate::keeping;
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

mod cold_record;
mod night_watch;
mod still_open;

use cold_record::{show_record, show_record_pdf};
use night_watch::night_of;
pub use night_watch::of_morning;
use still_open::catch_entry;
pub use still_open::still_open;

type Fields = Vec<(String, String)>;

/// Seconds after which the board is fetched again, s.
const AGAIN_S: u32 = 30;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/harvest", get(show))
        .route("/f/{farm}/harvest/record", get(show_record))
        .route("/f/{farm}/harvest/record.pdf", get(show_record_pdf))
}

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str())
}

/// The entries of the working day that a moment lies in, with the night before it.
///
/// # Errors
/// When the record cannot be read.
pub fn known(record: &Record, facts: &Served, now: Instant) -> Result<Vec<Kept>, StoreError> {
    let zone = &facts.farm.place.zone;
    let day = working_day_of(now, zone);
    let from = Some(watched_from(day, zone));
    let mut all = Vec::new();
    for kind in DAY_KINDS {
        // A pond's close is written on a day after as well; whose it is shows where the baskets are.
        let is_later = matches!(kind, "basket" | "closed");
        let before = Some(if is_later { closed_before(day, zone) } else { working_day(day, zone).1 });
        let asked = Asked { kind: Some(kind), from, before, ..Asked::default() };
        all.extend(record.store().facts_linked(&facts.id, asked)?);
    }
    all.sort_by_key(|kept| kept.seq);
    Ok(all)
}

/// The record of the working day that a moment lies in.
pub fn record_of(facts: &Served, entries: &[Kept], now: Instant, pond: Option<&str>) -> DayRecord {
    let zone = &facts.farm.place.zone;
    harvest_day(entries, zone, working_day_of(now, zone), pond)
}

/// The moment a page speaks of: now, or the end of another day that is asked for.
fn moment(facts: &Served, record: &Record, asked: &Fields) -> Instant {
    let now = entry::now(facts, record.now_ms()).0;
    let zone = &facts.farm.place.zone;
    match Day::parse(field(asked, "day")) {
        Some(day) if day != working_day_of(now, zone) => Instant(working_day(day, zone).1.0 - 1),
        _ => now,
    }
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let now = moment(&facts, record, &asked);
    let entries = match waiting(|| known(record, &facts, now)) {
        Ok(entries) => entries,
        Err(error) => return sent(plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    };
    let card = facts.farm.ponds.iter().find(|card| card.id == field(&asked, "pond"));
    let pond = card.map(|card| card.id.as_str());
    let day = record_of(&facts, &entries, now, pond);
    let latest = desk.latest();
    let zone = &facts.farm.place.zone;
    let expected = card.and_then(|card| {
        let place = facts.farm.ponds.iter().position(|one| one.id == card.id)?;
        let now_kg = latest.answer.as_ref().and_then(|outlook| outlook.ponds.iter().find(|one| one.index == place));
        // One that is out stands in no answer any more: what was thought of it before.
        let before = || waiting(|| keeping::mass_kg(record, &facts.id, working_day_of(now, zone), &card.name));
        now_kg.map(|pond| (pond.mass_kg.low, pond.mass_kg.middle, pond.mass_kg.high)).or_else(before)
    });
    let today = entry::now(&facts, record.now_ms()).0;
    let is_today = working_day_of(now, zone) == working_day_of(today, zone);
    let goes_on = is_today && !day.baskets.is_empty() && !day.closed.iter().any(|closed| closed.all_out);
    let at = card.and_then(|card| facts.farm.ponds.iter().position(|one| one.id == card.id)).filter(|_| goes_on);
    let rehearsal = at.and_then(|at| waiting(|| desk.rehearsal(at, working_day_of(now, zone))));
    let shown = Board {
        strange: strange(&asked, card.is_some()),
        facts: &facts,
        is_today,
        day: &day,
        pond: card,
        now,
        expected,
        rehearsal: rehearsal.as_deref(),
        wakes: if card.is_none() && is_today {
            night_watch::alarms(&facts, &entries, now)
        } else {
            html! {}
        },
    };
    let body = board(&shown);
    // Other phones' baskets come while one looks at it.
    let frame = Frame { again_s: Some(AGAIN_S), ..Frame::of(&facts, say::TITLE, Here::Harvest) };
    sent(framed(&frame, html! { (body) (trace::sell_first(record, &facts, today)) }))
}

/// What an address asks for and the board cannot show.
fn strange(asked: &Fields, has_pond: bool) -> Vec<String> {
    let (pond, day) = (field(asked, "pond"), field(asked, "day"));
    let pond = (!pond.is_empty() && !has_pond).then(|| say::no_such_pond(pond));
    let day = (!day.is_empty() && Day::parse(day).is_none()).then(|| say::no_such_day(day));
    pond.into_iter().chain(day).collect()
}

/// A query that keeps pond and day.
fn kept_query(facts: &Served, now: Instant, pond: Option<&str>, is_today: bool) -> String {
    let day = (!is_today).then(|| format!("day={}", working_day_of(now, &facts.farm.place.zone)));
    let parts: Vec<String> = pond.map(|pond| format!("pond={pond}")).into_iter().chain(day).collect();
    if parts.is_empty() { String::new() } else { format!("?{}", parts.join("&")) }
}

/// What the board is drawn from.
struct Board<'a> {
    facts: &'a Served,
    is_today: bool,
    day: &'a DayRecord,
    pond: Option<&'a PondCard>,
    now: Instant,
    /// What was thought to be in the pond, kg: low, middle, high.
    expected: Option<(f64, f64, f64)>,
    /// What was asked for and is not here.
    strange: Vec<String>,
    /// The day as it was rehearsed, while it goes on.
    rehearsal: Option<&'a Rehearsal>,
    /// What must wake somebody, where all ponds are shown.
    wakes: Markup,
}

fn board(of: &Board) -> Markup {
    let Board { facts, is_today, day, now, .. } = *of;
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let (pond, name) = (of.pond.map(|card| card.id.as_str()), of.pond.map(|card| card.name.as_str()));
    let again = of.rehearsal.and_then(|rehearsal| Some((rehearsal.again(day, now, zone)?, &rehearsal.sheet)));
    html! {
        article.one-pond.board {
            (of.wakes)
            section.answer {
                h1 { (say::headline(day, name, manner)) }
                @for said in &of.strange { p.trouble { (said) } }
                @if !is_today { p.reason { (say::of_day(working_day_of(now, zone))) } }
                div.why {
                    @if day.baskets.is_empty() { p { (say::NOTHING_SAYS) } }
                    @if let Some((again, sheet)) = &again {
                        @for (at, said) in say::again(again, sheet, manner).iter().enumerate() { p.reason[at == 0] { (said) } }
                    }
                    @if !day.baskets.is_empty() { @for said in say::pace(day, now, of.expected, again.is_some(), zone, manner) { p { (said) } } }
                    @for pond in strangers(facts, day) { p.trouble { a href=(format!("/f/{}/log", facts.id)) { (say::stranger(pond)) } } }
                    @if day.unsettled > 0 { p.trouble { a href=(format!("/f/{}/log", facts.id)) { (say::unsettled(day.unsettled)) } } }
                }
                (ponds(facts, pond, now, is_today))
            }
            (stations(facts, pond.unwrap_or_default(), ""))
            @if let Some(pond) = of.pond.filter(|card| card.harvested.is_none()) { p { a.mend href=(format!("/f/{}/day/{}", facts.id, pond.id)) { (say::TO_SHEET) } } }
            (night_of(facts, day, pond, now))
            (part("h-where", say::WHERE, say::held(day, manner)))
            (marked("h-tubs", say::TUBS, say::tubs(day, of.rehearsal.map(|one| one.sheet.dwell_min), now, zone, manner)))
            (marked("h-cold", say::COLD, say::colds(day, pond, now, manner).into_iter().map(|(name, value, within)| (name, value, !within)).collect()))
            (part("h-water", say::WATER, say::water(day, &all_ponds(facts, pond), now, zone, manner)))
            (closing(facts, day, pond, (!is_today).then(|| working_day_of(now, zone)), of.expected))
            @if !day.baskets.is_empty() {
                section.part aria-labelledby="h-last" {
                    h2 id="h-last" { (say::LAST) }
                    ul.log {
                        @for basket in day.baskets.iter().rev().take(8) {
                            li { (say::basket(basket, zone, manner)) " " a.mend href=(format!("/f/{}/log/{}/mend", facts.id, basket.written.head)) { (say::MEND) } }
                        }
                    }
                }
            }
            @if let Some((again, sheet)) = &again {
                section.part aria-labelledby="h-rests" {
                    h2 id="h-rests" { (say::RESTS_ON) }
                    @for said in say::rests_on(again, sheet, day, now, zone, manner) { p { (said) } }
                }
            }
            (onward(facts, now, pond, is_today))
        }
    }
}

fn onward(facts: &Served, now: Instant, pond: Option<&str>, is_today: bool) -> Markup {
    let zone = &facts.farm.place.zone;
    html! {
        p {
            a.mend href=(format!("/f/{}/harvest/record{}", facts.id, kept_query(facts, now, None, is_today))) { (say::TO_RECORD) } " "
            a.mend href=(format!("/f/{}/harvest/tally", facts.id)) { (say::TO_TALLY) } " "
            a.mend href=(format!("/f/{}/harvest?day={}", facts.id, working_day_of(now, zone).plus(-1))) { (say::DAY_BEFORE) } " "
            a.mend href=(format!("/f/{}/harvest/labels{}", facts.id, kept_query(facts, now, pond, is_today))) { (words::page_labels::TITLE) } " "
            a.mend href=(format!("/f/{}/trace", facts.id)) { (words::page_trace::TITLE) }
        }
    }
}

fn part(id: &str, head: &str, rows: Vec<(&'static str, String)>) -> Markup {
    html! {
        @if !rows.is_empty() {
            section.part aria-labelledby=(id) {
                h2 id=(id) { (head) }
                dl.rows { @for (name, value) in rows { div { dt { (name) } dd { (value) } } } }
            }
        }
    }
}

/// Rows of which some need somebody.
fn marked(id: &str, head: &str, rows: Vec<(String, String, bool)>) -> Markup {
    html! {
        @if !rows.is_empty() {
            section.part aria-labelledby=(id) {
                h2 id=(id) { (head) }
                dl.rows { @for (name, value, is_wrong) in rows { div { dt { (name) } dd.wrong[is_wrong] { (value) } } } }
            }
        }
    }
}

fn ponds(facts: &Served, here: Option<&str>, now: Instant, is_today: bool) -> Markup {
    let base = format!("/f/{}/harvest", facts.id);
    html! {
        @if facts.farm.ponds.len() > 1 {
            nav.kinds aria-label=(say::WHICH) {
                ul {
                    li { a href=(format!("{base}{}", kept_query(facts, now, None, is_today))) aria-current=[here.is_none().then_some("page")] { (say::ALL_PONDS) } }
                    @for card in &facts.farm.ponds {
                        li { a href=(format!("{base}{}", kept_query(facts, now, Some(&card.id), is_today))) aria-current=[(here == Some(card.id.as_str())).then_some("page")] { (card.name) } }
                    }
                }
            }
        }
    }
}

/// Ponds that baskets name and the farm does not have.
fn strangers<'a>(facts: &Served, day: &'a DayRecord) -> BTreeSet<&'a str> {
    let named = day.baskets.iter().filter_map(|basket| basket.written.pond.as_deref());
    named.filter(|pond| !facts.farm.ponds.iter().any(|card| card.id == **pond)).collect()
}

/// Every pond with its name, where no one pond is shown.
fn all_ponds<'a>(facts: &'a Served, pond: Option<&str>) -> Vec<(&'a str, &'a str)> {
    let all = facts.farm.ponds.iter().filter(|_| pond.is_none());
    all.map(|card| (card.id.as_str(), card.name.as_str())).collect()
}

/// Whether the sums meet, and the way to the catch's own entry.
fn closing(
    facts: &Served,
    day: &DayRecord,
    pond: Option<&str>,
    past: Option<Day>,
    expected: Option<(f64, f64, f64)>,
) -> Markup {
    if day.baskets.is_empty() && day.closed.is_empty() {
        return html! {};
    }
    let (said, asks) = say::close(day, facts.manner);
    let zone = &facts.farm.place.zone;
    let ponds = all_ponds(facts, None);
    let closed = match pond {
        Some(_) => say::closed(day, zone, facts.manner),
        None => say::closed_by_pond(day, &ponds, zone, facts.manner),
    };
    html! {
        section.part aria-labelledby="h-close" {
            h2 id="h-close" { (say::CLOSE) }
            @for (at, line) in said.iter().enumerate() { p.wrong[asks && at == 0] { (line) } }
            @if let Some(line) = say::tail_yield(day) { p { (line) } }
            @for (line, wrong) in closed { p.wrong[wrong] { (line) } }
            @if let Some(line) = say::too_few(day, expected.filter(|_| pond.is_some()), facts.manner) { p.wrong { (line) } }
            @if let Some(pond) = pond.filter(|_| !day.baskets.is_empty()) {
                p {
                    a.mend href=(catch_entry(facts, day, pond, past)) { (say::TO_CATCH) }
                }
            }
        }
    }
}
