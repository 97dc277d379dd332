//! `/f/{farm}/log`: what was written down, newest first; what was mended, with what stood there before.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use farm::facts::{Entry, Fact, Kept, MONEY_KINDS, current};
use maud::{Markup, html};
use store::{Asked, Differing, StoreError};
use units::Instant;
use words::page_file as file;
use words::page_log as say;
use words::page_odd::odd;
use words::page_people::NOT_YOURS;
use words::page_photo as photo;

use super::{missing, onward, sent};
use crate::assets;
use crate::parts::entry::{KINDS, OF_TANKS, may_mend};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May, Who};

/// Entries on one page.
const PAGE: u32 = 200;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/log", get(show))
        .route("/f/{farm}/log/away", get(away))
        .route("/f/{farm}/log/differing/{n}/seen", post(seen))
        .route("/f/{farm}/log/{id}/settlement", post(settle))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let before = asked.iter().find(|(key, _)| key == "before").and_then(|(_, value)| value.parse().ok()).map(Instant);
    let body = match site.record() {
        None => html! { p.trouble { (say::NOT_KEPT) } },
        Some(record) => match waiting(|| entries(record, &facts, before)) {
            Ok(body) => body,
            Err(error) => html! { p.trouble { (words::store::error(record.store().path(), &error)) } },
        },
    };
    sent(in_frame(&facts, say::LOG, site.record().map_or(0, Record::now_ms), body))
}

/// Kept on the phone and shown there instead of any other page of the farm that cannot be fetched.
async fn away(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let body = html! {
        section.logbook {
            h1 { (say::AWAY) }
            p { (say::AWAY_HINT) }
            p.onward {
                a.button.main href=(format!("/f/{farm}/log/new")) { (say::NEW) } " "
                a.button href=(format!("/f/{farm}/log")) { (say::LOG) } " "
                a.button href="" { (say::AGAIN) }
            }
            (phone(&farm, None))
        }
    };
    sent(framed(&Frame { day: String::new(), is_sample: false, ..Frame::of(&facts, say::AWAY, Here::Elsewhere) }, body))
}

/// A page of the log within its frame, with the phone's own entries.
pub fn in_frame(facts: &Served, title: &str, made_ms: i64, body: Markup) -> Markup {
    let frame = Frame::of(facts, title, Here::Log);
    let said = say::made(Instant(made_ms.div_euclid(1000)), &facts.farm.place.zone, facts.manner);
    framed(&frame, html! { section.logbook { h1 { (title) } (body) (phone(&facts.id, Some((made_ms, said)))) } })
}

/// Where the phone shows what waits; every sentence of the script stands here. `made`: when a page that is worth keeping was made, and
/// how that is said.
pub fn phone(farm: &str, made: Option<(i64, String)>) -> Markup {
    let (made_ms, made) = made.unwrap_or_default();
    let who = who::now();
    let said = [
        ("none", say::OUTBOX_NONE),
        ("waits", say::OUTBOX_WAITS),
        ("shut", say::OUTBOX_SHUT),
        ("sending", say::SENDING),
        ("unsent", say::UNSENT),
    ];
    let ways = [("way-kept", say::WAY_KEPT), ("way-coming", say::WAY_COMING), ("way-none", say::WAY_NONE)];
    html! {
        section.outbox hidden data-outbox=(farm) data-made=(made_ms) data-person=(who.person)
            data-device=[(!who.is_here).then_some(&who.device)] data-style=(assets::style()) data-station=(assets::station()) data-till=(assets::till())
            aria-labelledby="outbox" {
            h2.small id="outbox" { (say::OUTBOX) }
            div role="status" { @for (key, text) in said { p hidden data-say=(key) { (text) } } }
            p.since hidden data-say="stay" role="status" { (words::page::STAY) }
            p.hint hidden data-say="age" { (made) }
            ul data-list {}
            button type="button" hidden data-send { (say::OUTBOX_SEND) }
            @for (key, text) in ways { p.hint hidden data-say=(key) { (text) } }
            p.hint hidden data-say="way-open" {
                (say::WAY_OPEN) " " a.mend href=(format!("/f/{farm}/certificate")) { (say::WAY_OPEN_MEND) }
            }
            @if !who.is_here && who.may != May::Nothing {
                p { a.mend href=(format!("/f/{farm}/enter")) { (words::page_people::writes_as(&who.name)) } }
            }
            template data-item {
                li {
                    span data-text {}
                    p.wrong hidden data-state="differs" { (say::PHONE_DIFFERS) }
                    p.wrong hidden data-state="refused" { (say::PHONE_REFUSED) }
                    button type="button" hidden data-away { (say::PHONE_SEEN) }
                }
            }
        }
        script type="module" src=(assets::script()) {}
    }
}

/// Links to a form for each kind of entry.
pub fn kinds(facts: &Served, pond: &str, here: &str) -> Markup {
    html! {
        nav.kinds aria-label=(say::KINDS) {
            ul {
                li { a href=(format!("/f/{}/harvest{}", facts.id, if pond.is_empty() { String::new() } else { format!("?pond={pond}") })) { (words::page_harvest::TITLE) } }
                @for kind in KINDS.into_iter().filter(|kind| !OF_TANKS.contains(kind) || !facts.farm.tanks.is_empty()) {
                    li {
                        a href=(format!("/f/{}/log/new?kind={kind}&pond={pond}", facts.id))
                            aria-current=[(kind == here).then_some("page")] { (say::kind(kind)) }
                    }
                }
                // Files are the owner's.
                @for (kind, to) in [("photo", "photo"), ("logger", "file")].into_iter().filter(|(kind, _)| *kind != "logger" || who::now().may == May::All) {
                    li {
                        a href=(format!("/f/{}/log/{to}?pond={pond}", facts.id))
                            aria-current=[(kind == here).then_some("page")] { (say::kind(kind)) }
                    }
                }
            }
        }
    }
}

fn entries(record: &Record, facts: &Served, before: Option<Instant>) -> Result<Markup, StoreError> {
    let asked = Asked { before, last: Some(PAGE), ..Asked::default() };
    let page = record.store().facts_where(&facts.id, asked)?;
    let earliest = page.iter().map(|kept| kept.fact.happened.at).min();
    let older = earliest.filter(|_| page.len() >= PAGE as usize);
    // A second is never cut in two: the next page begins before the earliest one shown here.
    let whole = if older.is_some() { Asked { before, from: older, ..Asked::default() } } else { asked };
    let mut all = record.store().facts_linked(&facts.id, whole)?;
    record.with_names(&facts.id, &mut all)?;
    let differing = record.store().differing(&facts.id)?;
    let mut entries = current(&all);
    // The set-up's pages show what is typed into them.
    entries.retain(|entry| entry.first.fact.kind != "setup");
    // The farm's money is the owner's.
    entries.retain(|entry| who::now().may == May::All || !MONEY_KINDS.contains(&entry.first.fact.kind.as_str()));
    // An entry stands where its mended time lies, and on that page alone.
    let stands = |entry: &Entry| entry.heads[0].fact.happened.at;
    entries.retain(|entry| {
        older.is_none_or(|from| stands(entry) >= from) && before.is_none_or(|before| stands(entry) < before)
    });
    entries.sort_by_key(|entry| std::cmp::Reverse((stands(entry), entry.first.seq)));
    Ok(html! {
        p.onward {
            a.button.main href=(format!("/f/{}/log/new", facts.id)) { (say::NEW) } " "
            @if who::now().may == May::All { a.button href=(format!("/f/{}/log/file", facts.id)) { (file::TITLE) } }
        }
        @if !differing.is_empty() && who::now().may == May::All {
            section.trouble {
                h2.small { (say::DIFFERS) }
                p { (say::DIFFERS_HINT) }
                @for pair in &differing { (two(facts, pair)) }
            }
        }
        @if entries.is_empty() { p { (say::EMPTY) } }
        ol.log { @for entry in &entries { li { (one(facts, entry)) } } }
        @if let Some(before) = older {
            p { a.button href=(format!("/f/{}/log?before={}", facts.id, before.0)) { (say::OLDER) } }
        }
    })
}

/// A fact's words.
pub fn line(facts: &Served, fact: &Fact) -> String {
    let name = |id: &str| facts.farm.ponds.iter().find(|pond| pond.id == id).map_or(id, |pond| &pond.name).to_owned();
    say::typed(&shown(fact), &name)
}

/// A fact as whoever asks may read it.
fn shown(fact: &Fact) -> Fact {
    if who::now().may == May::All { fact.clone() } else { say::without_money(fact) }
}

/// An entry with what stood there before.
pub fn one(facts: &Served, entry: &Entry) -> Markup {
    let zone = &facts.farm.place.zone;
    let mendable = may_mend(&entry.first.fact.kind);
    let past = entry
        .history
        .iter()
        .filter(|kept| kept.fact.kind != "settle" && !entry.heads.iter().any(|head| head.seq == kept.seq));
    let past: Vec<&&Kept> = past.collect();
    html! {
        p.what {
            b { (say::kind(&entry.first.fact.kind)) } " "
            time { (say::moment(entry.heads[0].fact.happened.at, zone, facts.manner)) }
        }
        @if entry.is_fork() { p.wrong { (say::FORK) } }
        @for head in &entry.heads {
            div.head {
                @if head.fact.strikes() { p { (say::STRUCK) } } @else { p.said { (line(facts, &head.fact)) } }
                @if let (Some(digest), false) = (head.fact.text("photo"), head.fact.strikes()) {
                    img.photo src=(format!("/f/{}/photos/{digest}", facts.id)) loading="lazy"
                        alt=(photo::alt(head.fact.text("note"), head.fact.pond()));
                }
                p.by { (say::by(&head.fact, zone, facts.manner)) }
                @if !head.fact.strikes() {
                    @for remark in say::remarks(&shown(&head.fact)) { p.wrong { (remark) } }
                    @for remark in odd(&shown(&head.fact), Instant(head.fact.typed_ms.div_euclid(1000))) { p.hint { (remark) } }
                }
                @if entry.is_fork() && !may_settle(&who::now(), &entry.first.fact) {
                } @else if entry.is_fork() {
                    form method="post" action=(format!("/f/{}/log/{}/settlement", facts.id, entry.first.fact.id)) {
                        input type="hidden" name="winner" value=(head.fact.id);
                        button type="submit" aria-label=(format!("{}: {}", say::HOLDS, line(facts, &head.fact))) { (say::HOLDS) }
                    }
                } @else if ["logger", "photo"].contains(&entry.first.fact.kind.as_str()) && !head.fact.strikes() {
                    (taken_back(facts, &head.fact.id, entry.first.fact.kind == "photo"))
                } @else if mendable {
                    p { a.mend href=(format!("/f/{}/log/{}/mend", facts.id, head.fact.id)) aria-label=(format!("{}: {}", say::MEND, line(facts, &head.fact))) { (say::MEND) } }
                }
            }
        }
        @if !past.is_empty() {
            div.before {
                p.small { (say::BEFORE) }
                @for kept in past { p { s { (line(facts, &kept.fact)) } } p.by { (say::by(&kept.fact, zone, facts.manner)) } }
            }
        }
    }
}

/// The way to take a photo out, or a whole logger's file: two steps, for it may be a season.
fn taken_back(facts: &Served, id: &str, is_photo: bool) -> Markup {
    let [what, hint, now] = match is_photo {
        true => [photo::STRIKE, photo::STRIKE_HINT, photo::STRIKE_NOW],
        false => [file::TAKE_BACK, file::TAKE_BACK_HINT, file::TAKE_BACK_NOW],
    };
    html! {
        details {
            summary { (what) }
            form method="post" action=(format!("/f/{}/log/{id}/taken-back", facts.id)) {
                p.hint { (hint) }
                button type="submit" { (now) }
            }
        }
    }
}

fn two(facts: &Served, pair: &Differing) -> Markup {
    html! {
        p { b { (say::DIFFERS_FIRST) } ": " (line(facts, &pair.kept.fact)) }
        p { b { (say::DIFFERS_SECOND) } ": " (line(facts, &pair.other)) }
        form method="post" action=(format!("/f/{}/log/differing/{}/seen", facts.id, pair.n)) {
            button type="submit" { (say::SEEN) }
        }
    }
}

async fn seen(State(site): State<Arc<Site>>, Path((farm, n)): Path<(String, i64)>) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let ours = |pairs: Vec<Differing>| pairs.iter().any(|pair| pair.n == n);
    let done = waiting(|| match record.store().differing(&farm).map(ours)? {
        true => record.store().differing_seen(n, record.now_ms()),
        false => Ok(()),
    });
    after(&farm, record, done)
}

async fn settle(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let winner = fields.into_iter().find(|(key, _)| key == "winner").map_or(String::new(), |(_, value)| value);
    let done = waiting(|| {
        let Some(first) = record.store().fact(&id)?.filter(|first| first.fact.farm == farm) else { return Ok(true) };
        let mut fact = record.begun(&facts, &record.store().new_id()?, "settle");
        // It stands beside what it settles, so that a page of the log holds both.
        fact.happened = first.fact.happened;
        fact.corrects = Some(id.clone());
        fact.typed.insert("winner".to_owned(), winner);
        if !may_settle(&who::now(), &first.fact) {
            return Ok(false);
        }
        record.keep(fact)?;
        site.recorded(&farm).map(|()| true)
    });
    match done {
        Ok(false) => (StatusCode::FORBIDDEN, crate::parts::frame::plain(say::LOG, NOT_YOURS)).into_response(),
        done => after(&farm, record, done.map(drop)),
    }
}

/// Crew choose between the mendings of their own entries.
fn may_settle(who: &Who, first: &Fact) -> bool {
    who.may == May::All || (who.may == May::Work && [&who.person, &who.name].contains(&&first.person))
}

fn after(farm: &str, record: &Record, done: Result<(), StoreError>) -> Response {
    match done {
        Ok(()) => onward(&format!("/f/{farm}/log")),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            (StatusCode::SERVICE_UNAVAILABLE, crate::parts::frame::plain(say::LOG, &said)).into_response()
        }
    }
}
