//! `/f/{farm}/harvest`: the board of a harvest day: what is caught, where it is, how cold, how fast; `/record`: the cold as an inspector wants to
//! read it.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::PondCard;
use farm::facts::{
    ColdOf, DAY_KINDS, DayRecord, Kept, closed_before, harvest_day, watched_from, working_day, working_day_of,
};
use maud::{Markup, html};
use season::day::Rehearsal;
use store::{Asked, StoreError};
use units::{Day, Instant};
use words::page_harvest as say;

use super::stations::stations;
use super::{missing, sent, trace};
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::parts::misses::row;
use crate::prints;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

type Fields = Vec<(String, String)>;

/// Days after its catch on which a pond's puddles are still asked for, d.
const WALK_D: i32 = 2;
/// Seconds after which the board is fetched again, s.
const AGAIN_S: u32 = 30;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/harvest", get(show))
        .route("/f/{farm}/harvest/record", get(show_record))
        .route("/f/{farm}/harvest/record.pdf", get(show_record_pdf))
}

/// Ponds that came out yesterday or the day before and whose puddles nobody has walked a second time; and those of which something was
/// weighed that still count as full.
pub fn still_open(site: &Site, facts: &Served) -> Markup {
    let Some(record) = site.record() else { return html! {} };
    let now = entry::now(facts, record.now_ms()).0;
    let zone = &facts.farm.place.zone;
    let today = working_day_of(now, zone);
    let before = |days: i32| Instant(working_day(today.plus(-days), zone).1.0 - 1);
    let read = waiting(|| {
        (1..=WALK_D)
            .map(|days| Ok((before(days), known(record, facts, before(days))?)))
            .collect::<Result<Vec<_>, StoreError>>()
    });
    // The record's own pages say what ails it.
    let Ok(days) = read else { return html! {} };
    let mut open: Vec<Markup> = Vec::new();
    for card in &facts.farm.ponds {
        for (at, entries) in &days {
            let day = record_of(facts, entries, *at, Some(&card.id));
            if day.baskets.is_empty() {
                continue;
            }
            let (on, is_yesterday) = (working_day_of(*at, zone), working_day_of(*at, zone) == today.plus(-1));
            if !day.closed.iter().any(|closed| closed.second_walk_kg.is_some()) {
                let to = format!("/f/{}/harvest/close?pond={}", facts.id, card.id);
                open.push(html! { p { a href=(to) { (say::walk_again(&card.name, on, is_yesterday)) } } });
            }
            if card.harvested.is_none() {
                let to = catch_entry(facts, &day, &card.id, Some(on));
                open.push(html! { p.trouble { a href=(to) { (say::still_full(&card.name, day.came_out_kg(), on, facts.manner)) } } });
            }
            break;
        }
    }
    html! { @for one in open { (one) } }
}

/// The way to a catch's own entry, with what is known of it.
fn catch_entry(facts: &Served, day: &DayRecord, pond: &str, past: Option<Day>) -> String {
    let unit = words::page_log::units("caught", facts.manner).first().map_or("kg", |(_, unit)| unit);
    let kg = day.came_out_kg();
    let caught = if unit == "lb" { kg / 0.453_592_37 } else { kg };
    let when = past.map_or(String::new(), |day| format!("&when={day}T12:00"));
    format!("/f/{}/log/new?kind=catch&pond={pond}&caught={caught:.1}+{unit}&empty=yes{when}", facts.id)
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
    let expected = card.and_then(|card| {
        let outlook = latest.answer.as_ref()?;
        let place = facts.farm.ponds.iter().position(|one| one.id == card.id)?;
        let mass = outlook.ponds.iter().find(|one| one.index == place)?.mass_kg;
        Some((mass.low, mass.middle, mass.high))
    });
    let today = entry::now(&facts, record.now_ms()).0;
    let zone = &facts.farm.place.zone;
    let is_today = working_day_of(now, zone) == working_day_of(today, zone);
    let goes_on = is_today && !day.baskets.is_empty() && !day.closed.iter().any(|closed| closed.all_out);
    let at = card.and_then(|card| facts.farm.ponds.iter().position(|one| one.id == card.id)).filter(|_| goes_on);
    let rehearsal = at.and_then(|at| waiting(|| desk.rehearsal(at, working_day_of(now, zone))));
    let shown =
        Board { facts: &facts, is_today, day: &day, pond: card, now, expected, rehearsal: rehearsal.as_deref() };
    let body = board(&shown);
    // Other phones' baskets come while one looks at it.
    let frame = Frame { again_s: Some(AGAIN_S), ..Frame::of(&facts, say::TITLE, Here::Harvest) };
    sent(framed(&frame, html! { (body) (trace::sell_first(record, &facts, today)) }))
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
    /// The day as it was rehearsed, while it goes on.
    rehearsal: Option<&'a Rehearsal>,
}

fn board(of: &Board) -> Markup {
    let Board { facts, is_today, day, now, .. } = *of;
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let (pond, name) = (of.pond.map(|card| card.id.as_str()), of.pond.map(|card| card.name.as_str()));
    let again = of.rehearsal.and_then(|rehearsal| Some((rehearsal.again(day, now, zone)?, &rehearsal.sheet)));
    html! {
        article.one-pond.board {
            section.answer {
                h1 { (say::headline(day, name, manner)) }
                @if !is_today { p.reason { (say::of_day(working_day_of(now, zone))) } }
                div.why {
                    @if day.baskets.is_empty() { p { (say::NOTHING_SAYS) } }
                    @if let Some((again, sheet)) = &again {
                        @for (at, said) in say::again(again, sheet, manner).iter().enumerate() { p.reason[at == 0] { (said) } }
                    }
                    @if !day.baskets.is_empty() { @for said in say::pace(day, now, of.expected, again.is_some(), zone, manner) { p { (said) } } }
                    @if day.unsettled > 0 { p.trouble { a href=(format!("/f/{}/log", facts.id)) { (say::unsettled(day.unsettled)) } } }
                }
                (ponds(facts, pond, now, is_today))
            }
            (stations(facts, pond.unwrap_or_default(), ""))
            @if let Some(pond) = pond { p { a.mend href=(format!("/f/{}/day/{pond}", facts.id)) { (say::TO_SHEET) } } }
            (night_of(facts, day, pond, now))
            (part("h-where", say::WHERE, say::held(day, manner)))
            (marked("h-tubs", say::TUBS, say::tubs(day, of.rehearsal.map(|one| one.sheet.dwell_min), now, zone, manner)))
            (marked("h-cold", say::COLD, say::colds(day, now, manner).into_iter().map(|(name, value, within)| (name, value, !within)).collect()))
            (part("h-water", say::WATER, say::water(day, now, zone, manner)))
            (closing(facts, day, pond, (!is_today).then(|| working_day_of(now, zone))))
            @if !day.baskets.is_empty() {
                section.part aria-labelledby="h-last" {
                    h2 id="h-last" { (say::LAST) }
                    ul.log { @for basket in day.baskets.iter().rev().take(8) { li { (say::basket(basket, zone, manner)) } } }
                }
            }
            (onward(facts, now, pond, is_today))
            @if again.is_some() { details.working { summary { (words::page_day::HOW) } p { (say::AGAIN_HOW) } } }
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

/// Where the water of a pond that was let go should stand, and what must wake somebody.
fn night_of(facts: &Served, day: &DayRecord, pond: Option<&str>, now: Instant) -> Markup {
    let Some(card) = facts.farm.ponds.iter().find(|card| Some(card.id.as_str()) == pond) else { return html! {} };
    let Some(night) = season::night::night(&facts.farm, card, day, now) else { return html! {} };
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    html! {
        section.part aria-labelledby="h-night" {
            h2 id="h-night" { (say::NIGHT) }
            @if !night.alarms.is_empty() {
                div.trouble role="alert" { @for alarm in &night.alarms { p { (say::alarm(alarm, night.who_watches.as_deref(), zone, manner)) } } }
            }
            @for said in say::night(&night, now, zone, manner) { p { (said) } }
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

/// Whether the sums meet, and the way to the catch's own entry.
fn closing(facts: &Served, day: &DayRecord, pond: Option<&str>, past: Option<Day>) -> Markup {
    if day.baskets.is_empty() && day.closed.is_empty() {
        return html! {};
    }
    let (said, asks) = say::close(day, facts.manner);
    let zone = &facts.farm.place.zone;
    let ponds: Vec<(&str, &str)> = facts.farm.ponds.iter().map(|card| (card.id.as_str(), card.name.as_str())).collect();
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
            @if let Some(pond) = pond.filter(|_| !day.baskets.is_empty()) {
                p {
                    a.mend href=(catch_entry(facts, day, pond, past)) { (say::TO_CATCH) }
                }
            }
        }
    }
}

async fn show_record(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let now = moment(&facts, record, &asked);
    let entries = match waiting(|| named(record, &facts, now)) {
        Ok(entries) => entries,
        Err(error) => return sent(plain(say::RECORD, &words::store::error(record.store().path(), &error))),
    };
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let day = record_of(&facts, &entries, now, None);
    let body = html! {
        article.one-pond.of-sums {
            section.answer { h1 { (say::RECORD) ", " (facts.farm.name) } p { (say::of_day(working_day_of(now, zone))) } }
            @if day.colds.is_empty() { p { (say::RECORD_NONE) } } @else {
                div.wide tabindex="0" role="group" aria-label=(say::RECORD) {
                    table {
                        thead { tr { @for head in say::RECORD_HEADS { th scope="col" { (head) } } } }
                        tbody { @for cold in &day.colds { (row(&say::record_row(cold, zone, manner))) } }
                    }
                }
            }
            dl.rows { @for (_, of) in ColdOf::ALL { div { dt { (say::cold_of(of)) } dd { (say::limit(of, manner)) } } } }
            p.caution { (say::RECORD_SAYS) }
            p {
                a.mend href=(format!("/f/{}/harvest/record.pdf?day={}", facts.id, working_day_of(now, zone))) { (words::page_print::AS_PDF) } " "
                a.mend href=(format!("/f/{}/harvest", facts.id)) { (say::TO_BOARD) }
            }
        }
    };
    sent(framed(&Frame::of(&facts, say::RECORD, Here::Elsewhere), body))
}

async fn show_record_pdf(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Fields>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let now = moment(&facts, record, &asked);
    match waiting(|| named(record, &facts, now)) {
        Ok(entries) => {
            let zone = &facts.farm.place.zone;
            let (on, day) = (working_day_of(now, zone), record_of(&facts, &entries, now, None));
            let paper = prints::cold_record(&facts.farm.name, on, &day, zone, facts.manner);
            prints::sent(&paper, &format!("cold-{on}"))
        }
        Err(error) => sent(plain(say::RECORD, &words::store::error(record.store().path(), &error))),
    }
}

/// The day's entries with people's names.
fn named(record: &Record, facts: &Served, now: Instant) -> Result<Vec<Kept>, StoreError> {
    let mut entries = known(record, facts, now)?;
    record.with_names(&facts.id, &mut entries)?;
    Ok(entries)
}
