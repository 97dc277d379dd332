//! `/f/{farm}/harvest`: the board of a harvest day: what is caught, where it is, how cold, how fast; `/record`: the cold as an inspector wants to
//! read it; `/tally`: a paper list typed in one go.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farm::facts::{
    ColdOf, DAY_KINDS, DayRecord, Happened, Kept, Place, harvest_day, is_id, watched_from, working_day, working_day_of,
};
use maud::{Markup, html};
use store::{Asked, StoreError, sha256_hex};
use units::{Day, Instant};
use words::page_harvest as say;

use super::stations::stations;
use super::{missing, onward, sent};
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::parts::misses::row;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

type Fields = Vec<(String, String)>;

/// Seconds after which the board is fetched again, s.
const AGAIN_S: u32 = 30;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/harvest", get(show))
        .route("/f/{farm}/harvest/record", get(show_record))
        .route("/f/{farm}/harvest/tally", get(show_tally).post(take_tally))
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
    let (from, before) = (Some(watched_from(day, zone)), Some(working_day(day, zone).1));
    let mut all = Vec::new();
    for kind in DAY_KINDS {
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
    let body = board(&facts, is_today, &day, (pond, card.map(|card| card.name.as_str())), now, expected);
    // Other phones' baskets come while one looks at it.
    let frame = Frame { again_s: Some(AGAIN_S), ..Frame::of(&facts, say::TITLE, Here::Harvest) };
    sent(framed(&frame, body))
}

/// A query that keeps pond and day.
fn kept_query(facts: &Served, now: Instant, pond: Option<&str>, is_today: bool) -> String {
    let day = (!is_today).then(|| format!("day={}", working_day_of(now, &facts.farm.place.zone)));
    let parts: Vec<String> = pond.map(|pond| format!("pond={pond}")).into_iter().chain(day).collect();
    if parts.is_empty() { String::new() } else { format!("?{}", parts.join("&")) }
}

fn board(
    facts: &Served,
    is_today: bool,
    day: &DayRecord,
    (pond, name): (Option<&str>, Option<&str>),
    now: Instant,
    expected: Option<(f64, f64, f64)>,
) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    html! {
        article.one-pond.board {
            section.answer {
                h1 { (say::headline(day, name, manner)) }
                @if !is_today { p.reason { (say::of_day(working_day_of(now, zone))) } }
                div.why {
                    @if day.baskets.is_empty() { p { (say::NOTHING_SAYS) } }
                    @else { @for said in say::pace(day, now, expected, zone, manner) { p { (said) } } }
                    @if day.unsettled > 0 { p.trouble { a href=(format!("/f/{}/log", facts.id)) { (say::unsettled(day.unsettled)) } } }
                }
                (ponds(facts, pond, now, is_today))
            }
            (stations(facts, pond.unwrap_or_default(), ""))
            @if let Some(pond) = pond { p { a.mend href=(format!("/f/{}/day/{pond}", facts.id)) { (say::TO_SHEET) } } }
            (night_of(facts, day, pond, now))
            (part("h-where", say::WHERE, say::held(day, manner)))
            (colds(day, now, manner))
            (part("h-water", say::WATER, say::water(day, now, zone, manner)))
            (closing(facts, day, pond))
            @if !day.baskets.is_empty() {
                section.part aria-labelledby="h-last" {
                    h2 id="h-last" { (say::LAST) }
                    ul.log { @for basket in day.baskets.iter().rev().take(8) { li { (say::basket(basket, zone, manner)) } } }
                }
            }
            p {
                a.mend href=(format!("/f/{}/harvest/record{}", facts.id, kept_query(facts, now, None, is_today))) { (say::TO_RECORD) } " "
                a.mend href=(format!("/f/{}/harvest/tally", facts.id)) { (say::TO_TALLY) } " "
                a.mend href=(format!("/f/{}/harvest?day={}", facts.id, working_day_of(now, zone).plus(-1))) { (say::DAY_BEFORE) } " "
                a.mend href=(format!("/f/{}/harvest/labels{}", facts.id, kept_query(facts, now, pond, is_today))) { (words::page_labels::TITLE) }
            }
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
                div.trouble role="alert" { @for alarm in &night.alarms { p { (say::alarm(alarm, zone, manner)) } } }
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

fn colds(day: &DayRecord, now: Instant, manner: words::figures::Manner) -> Markup {
    let rows = say::colds(day, now, manner);
    html! {
        @if !rows.is_empty() {
            section.part aria-labelledby="h-cold" {
                h2 id="h-cold" { (say::COLD) }
                dl.rows { @for (name, value, within) in rows { div { dt { (name) } dd.wrong[!within] { (value) } } } }
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
fn closing(facts: &Served, day: &DayRecord, pond: Option<&str>) -> Markup {
    if day.baskets.is_empty() && day.closed.is_empty() {
        return html! {};
    }
    let (said, asks) = say::close(day, facts.manner);
    let unit = words::page_log::units("caught", facts.manner).first().map_or("kg", |(_, unit)| unit);
    let caught = if unit == "lb" { day.caught_kg() / 0.453_592_37 } else { day.caught_kg() };
    html! {
        section.part aria-labelledby="h-close" {
            h2 id="h-close" { (say::CLOSE) }
            @for (at, line) in said.iter().enumerate() { p.wrong[asks && at == 0] { (line) } }
            @if let Some(line) = say::tail_yield(day) { p { (line) } }
            @for (line, wrong) in say::closed(day, &facts.farm.place.zone, facts.manner) { p.wrong[wrong] { (line) } }
            @if let Some(pond) = pond.filter(|_| !day.baskets.is_empty()) {
                p {
                    a.mend href=(format!("/f/{}/log/new?kind=catch&pond={pond}&caught={caught:.1}+{unit}&empty=yes", facts.id)) { (say::TO_CATCH) }
                }
            }
        }
    }
}

async fn show_record(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let now = moment(&facts, record, &asked);
    let read = waiting(|| {
        let mut entries = known(record, &facts, now)?;
        record.with_names(&facts.id, &mut entries)?;
        Ok::<_, StoreError>(entries)
    });
    let entries = match read {
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
            p { a.mend href=(format!("/f/{}/harvest", facts.id)) { (say::TO_BOARD) } }
        }
    };
    sent(framed(&Frame::of(&facts, say::RECORD, Here::Elsewhere), body))
}

async fn show_tally(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let when = entry::written(entry::now(&facts, record.now_ms()).0, &facts.farm.place.zone);
    let Ok(mark) = waiting(|| record.store().new_id()) else { return missing() };
    let begun = [("when", when), ("mark", mark), ("made_ms", record.now_ms().to_string())];
    let begun: Fields = begun.map(|(name, text)| (name.to_owned(), text)).into();
    sent(tally(&facts, &begun, &[]))
}

fn tally(facts: &Served, typed: &Fields, wrong: &[String]) -> Markup {
    let body = html! {
        section.logbook.station {
            h1 { (say::TALLY) }
            @if !wrong.is_empty() {
                div.trouble role="alert" { p { (words::page_log::LOOK_AGAIN) } ul { @for line in wrong { li { a href="#e-lines" { (line) } } } } }
            }
            form.entry method="post" action=(format!("/f/{}/harvest/tally", facts.id)) {
                input type="hidden" name="mark" value=(field(typed, "mark"));
                input type="hidden" name="made_ms" value=(field(typed, "made_ms"));
                fieldset.chips {
                    legend { (words::page_log::field("pond")) }
                    @for card in &facts.farm.ponds {
                        label.chip {
                            input type="radio" name="pond" value=(card.id) required checked[field(typed, "pond") == card.id || facts.farm.ponds.len() == 1];
                            span { (card.name) }
                        }
                    }
                }
                div.field {
                    label for="e-when" { (say::TALLY_WHEN) }
                    input #e-when type="datetime-local" name="when" value=(field(typed, "when"));
                }
                div.field {
                    label for="e-lines" { (say::TALLY_ASK) }
                    textarea #e-lines name="lines" rows="12" maxlength="20000" aria-describedby="h-lines" aria-invalid=[(!wrong.is_empty()).then_some("true")] { (field(typed, "lines")) }
                    p.hint id="h-lines" { (say::TALLY_HINT) }
                }
                button.main type="submit" { (say::TALLY_KEEP) }
            }
            p { a.mend href=(format!("/f/{}/harvest", facts.id)) { (say::TO_BOARD) } }
        }
    };
    framed(&Frame::of(facts, say::TALLY, Here::Elsewhere), body)
}

/// One line of a tally as the fields of a basket, or why it is none.
fn line(text: &str, pond: &str, unit: &str) -> Result<[(&'static str, String); 4], &'static str> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().position(|word| Place::parse(&word.to_lowercase()).is_some()).ok_or(say::TALLY_NO_PLACE)?;
    let weight = words[..at].join(" ");
    let bare = weight.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    let weight = if bare && !weight.is_empty() { format!("{weight} {unit}") } else { weight };
    let count = words.get(at + 1..).unwrap_or_default().join("");
    if !count.is_empty() && !count.bytes().all(|byte| byte.is_ascii_digit() || byte == b',') {
        return Err(say::TALLY_NO_COUNT);
    }
    Ok([("pond", pond.to_owned()), ("weight", weight), ("to", words[at].to_lowercase()), ("count", count)])
}

async fn take_tally(State(site): State<Arc<Site>>, Path(farm): Path<String>, Form(fields): Form<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let zone = &facts.farm.place.zone;
    let unit = words::page_log::units("weight", facts.manner).first().map_or("kg", |(_, unit)| unit);
    let pond = facts.farm.ponds.iter().find(|card| card.id == field(&fields, "pond")).map(|card| card.id.clone());
    let mut wrong = Vec::new();
    if pond.is_none() {
        wrong.push(words::page_log::NO_POND.to_owned());
    }
    let first = entry::moment(field(&fields, "when"), zone);
    if first.is_none() {
        wrong.push(words::page_log::WHEN_WRONG.to_owned());
    }
    let at = first.unwrap_or(entry::now(&facts, record.now_ms()).0);
    // One mark for each line of this form: sent twice it is kept once.
    let mark = field(&fields, "mark");
    if !is_id(mark) {
        return missing();
    }
    let made_ms = field(&fields, "made_ms").parse().unwrap_or(record.now_ms());
    let mut all = Vec::new();
    for (n, text) in field(&fields, "lines").lines().enumerate().filter(|(_, text)| !text.trim().is_empty()) {
        let id = sha256_hex(format!("{mark} {n}").as_bytes())[..32].to_owned();
        let told = match line(text, pond.as_deref().unwrap_or_default(), unit) {
            Ok(told) => told,
            Err(why) => {
                wrong.push(say::tally_wrong(n + 1, text.trim(), why));
                continue;
            }
        };
        let mut fact = record.begun(&facts, &id, "basket");
        fact.typed_ms = made_ms;
        // In the order of the paper: a second apart, since nobody wrote down when.
        let at = Instant(at.0 + all.len() as i64);
        fact.happened = Happened { at, offset_s: zone.offset_s(at) };
        fact.typed =
            told.into_iter().filter(|(_, text)| !text.is_empty()).map(|(key, text)| (key.to_owned(), text)).collect();
        match fact.read().slips.first() {
            Some(slip) => wrong.push(say::tally_wrong(n + 1, text.trim(), &words::store::slip(slip))),
            None => all.push(fact),
        }
    }
    if all.is_empty() && wrong.is_empty() {
        wrong.push(say::TALLY_EMPTY.to_owned());
    }
    if !wrong.is_empty() {
        return (StatusCode::UNPROCESSABLE_ENTITY, tally(&facts, &fields, &wrong)).into_response();
    }
    // All or none: a list half kept would be typed again.
    match waiting(|| record.keep_all(all)) {
        Ok(()) => onward(&format!("/f/{farm}/harvest?pond={}", pond.unwrap_or_default())),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            (StatusCode::SERVICE_UNAVAILABLE, tally(&facts, &fields, &[said])).into_response()
        }
    }
}
