//! `/f/{farm}/ponds/{pond}`: one pond: where it stands, what comes, when its water must start down, what swims in it, what was written.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::PondCard;
use farm::facts::current;
use maud::{Markup, html};
use season::OutlookError;
use season::answer::{Outlook, PondOutlook};
use season::stocking_day::is_unstocked;
use store::{Asked, StoreError};
use words::figures::Manner;
use words::page_explain::Behind;
use words::page_log::{KINDS, kind as kind_name};
use words::page_morning as morning_say;
use words::page_pond as say;
use words::{chemistry, oxygen};

use super::morning::{before, waiting};
use super::{called, drain, log, missing, samples, sent, two_thermometers};
use crate::desk::Kept;
use crate::parts::entry::{KINDS as ENTRY_KINDS, OF_TANKS};
use crate::parts::explain::{explain, told};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::{course, dawns, in_pond, section, start};
use crate::record::{Record, waiting as on_disk};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Entries of the log shown here.
const ENTRIES: u32 = 12;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/ponds/{pond}", get(show))
}

async fn show(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let Some(card) = facts.farm.ponds.iter().find(|card| card.id == id) else { return missing() };
    let written = match site.record() {
        Some(record) => on_disk(|| entries(record, &facts, &id)),
        None => Ok(html! {}),
    };
    let written = written.unwrap_or_else(|error| {
        let path = site.record().map_or(std::path::Path::new(""), |record| record.store().path());
        html! { p.trouble { (words::store::error(path, &error)) } }
    });
    let Some(outlook) = &kept.answer else {
        let old = before(&site, &facts, &kept, &id, &card.name);
        return sent(old.unwrap_or_else(|| unanswered(&facts, card, &kept, &written)));
    };
    // The answer may still be of a farm whose ponds stood in another order: the name decides.
    let pond = outlook.ponds.iter().find(|pond| pond.name == card.name);
    let body = match pond {
        Some(pond) => body(&facts, outlook, pond, &kept, &two_thermometers::of_pond(&site, &facts, &id)),
        None => html! {
            section.answer {
                h1 { (say::out(outlook, &card.name)) }
                div.why {
                    (in_pond::came(outlook, &card.id, facts.manner))
                    (can_they(&facts, card))
                }
            }
        },
    };
    let frame = Frame {
        day: morning_say::mast_day(outlook, facts.manner),
        again_s: kept.working.then_some(4),
        ..Frame::of(&facts, &card.name, Here::Pond)
    };
    sent(framed(
        &frame,
        html! {
            article.one-pond {
                (body)
                (places(&facts, card, &written))
                (others(&facts, &id))
            }
        },
    ))
}

/// What stands within the frame, without its age and its log: kept for the next start.
pub fn drawn(facts: &Served, outlook: &Outlook, pond: &PondOutlook) -> Markup {
    html! { article.one-pond { (body(facts, outlook, pond, &Kept::default(), &html! {})) (others(facts, &facts.farm.ponds[pond.index].id)) } }
}

fn body(facts: &Served, outlook: &Outlook, pond: &PondOutlook, kept: &Kept, apart: &Markup) -> Markup {
    let manner = facts.manner;
    let behind = Behind { farm: &facts.farm, past: &facts.past, outlook, manner };
    let card = &facts.farm.ponds[pond.index];
    let zone = &facts.farm.place.zone;
    // What it brings is money, which crew are not shown: they read the risk.
    let may_all = who::now().may == May::All;
    let (waits, how) = match may_all {
        true => (morning_say::waiting_costs(outlook, pond), behind.worth(pond)),
        false => (morning_say::waiting_risks(pond), behind.loss(pond)),
    };
    html! {
        section.answer {
            h1 { (say::headline(outlook, pond, manner)) }
            div.why {
                (explain(&html! { b { (morning_say::HAND) } ": " (say::in_hand(pond)) }, &behind.hand(pond)))
                @if !waits.is_empty() { (told(&waits.join(" "), &how)) }
                @if let Some(said) = words::oxygen::low_dawn(pond, manner) { p.trouble { (said) } }
                @if let Some(said) = chemistry::danger(pond) { p.trouble { (said) } }
                @for sentence in morning_say::pond_warnings(outlook, &pond.name, manner) { p.trouble { (sentence) } }
                (apart)
                p.age {
                    (morning_say::age(outlook)) " "
                    @if let Some(made) = kept.made { (words::page::reckoned(made.elapsed(), kept.working)) }
                }
            }
            p.log { a.button.main href=(format!("/f/{}/log/new?pond={}", facts.id, card.id)) { (morning_say::LOG_READING) } }
            @if may_all {
                p.onward { a href=(format!("/f/{}/plan#{}", facts.id, card.id)) { (say::TO_PLAN) } }
            }
        }
        section.part aria-labelledby="h-water" {
            h2 id="h-water" { (say::WATER) }
            (section::section(pond, card, now(facts, outlook), manner))
            (water(&behind, pond, manner))
        }
        section.part aria-labelledby="h-start" {
            h2 id="h-start" { (say::START) }
            (start::start(outlook, pond, &card.id, manner))
            (told(&morning_say::dawns_say(pond, outlook.cold_mark_c, manner), &behind.dawns(pond)))
            (dawns::table(pond, manner))
            p.onward { a href=(drain::address(&facts.id, &card.id)) { (words::page_drain::SEE) } }
        }
        section.part aria-labelledby="h-season" {
            h2 id="h-season" { (say::SEASON) }
            (course::season(outlook, pond, card, zone, manner))
            p.onward { a href=(called::address(&facts.id, Some(&card.id))) { (words::page_scores::SEE) } }
        }
        section.part aria-labelledby="h-stock" {
            h2 id="h-stock" { (say::STOCK) }
            (in_pond::in_pond(&behind, pond, &samples::address(&facts.id, &card.id), manner))
            @if oxygen::minds_current(std::slice::from_ref(pond)) { p.care { (oxygen::CARE) } }
            p.onward { a href=(format!("/f/{}/seasons", facts.id)) { (words::page_seasons::SEE) } }
        }
    }
}

/// The pond while nothing can be answered of it: its log goes on.
fn unanswered(facts: &Served, card: &PondCard, kept: &Kept, written: &Markup) -> Markup {
    let Some(trouble) = kept.trouble.as_ref().filter(|_| !kept.working) else {
        return waiting(facts, kept, Here::Pond);
    };
    let said = match (trouble, card.harvested) {
        (OutlookError::NothingLeft, Some(day)) => say::came_out(&card.name, day),
        _ => words::trouble::outlook(trouble),
    };
    framed(
        &Frame::of(facts, &card.name, Here::Pond),
        html! {
            article.one-pond {
                section.answer {
                    h1 { (said) }
                    p { a href=(format!("/f/{}/seasons", facts.id)) { (words::page_seasons::SEE) } }
                    (can_they(facts, card))
                }
                (places(facts, card, written))
                (others(facts, &card.id))
            }
        },
    )
}

/// The way to the question whether an empty pond may be stocked.
fn can_they(facts: &Served, card: &PondCard) -> Markup {
    html! {
        @if is_unstocked(card, facts.on) {
            p.onward { a.mend href=(super::stocking::address(&facts.id, &card.id)) { (words::page_stocking::CAN_THEY) } }
        }
    }
}

fn now(facts: &Served, outlook: &Outlook) -> units::Instant {
    facts.past.place.day_start(outlook.on).plus_hours(i64::from(outlook.now_hour))
}

/// The water now: measured, then reckoned, which says so.
fn water(behind: &Behind, pond: &PondOutlook, manner: Manner) -> Markup {
    let (read, reckoned) = morning_say::water_now(pond, manner);
    html! {
        (explain(&html! { b { (read) } ", " i { (reckoned) } }, &behind.water(pond)))
        @if let Some(said) = say::ends(&pond.course, manner) { p { i { (said) } } }
        p.legend { (morning_say::MARKS) " " (morning_say::ALIKE) }
    }
}

/// One tap to the entry form, at the place where one stands.
fn places(facts: &Served, card: &PondCard, written: &Markup) -> Markup {
    let to = format!("/f/{}/log/new?pond={}", facts.id, card.id);
    html! {
        section.part.log-here aria-labelledby="h-log" {
            h2 id="h-log" { (say::LOG) }
            p { (say::READ_WHERE) }
            ul.places {
                @for (end, name) in say::PLACES { li { a.button href=(format!("{to}&end={end}")) { (name) } } }
            }
            nav.kinds aria-label=(KINDS) {
                ul {
                    @for kind in ENTRY_KINDS.into_iter().filter(|kind| *kind != "reading" && !OF_TANKS.contains(kind)) {
                        li { a href=(format!("{to}&kind={kind}")) { (kind_name(kind)) } }
                    }
                }
            }
            (written)
        }
    }
}

/// What was last written about the pond, each to be mended.
fn entries(record: &Record, facts: &Served, pond: &str) -> Result<Markup, StoreError> {
    let asked = Asked { pond: Some(pond), last: Some(ENTRIES), ..Asked::default() };
    let mut all = record.store().facts_linked(&facts.id, asked)?;
    record.with_names(&facts.id, &mut all)?;
    let mut entries = current(&all);
    entries.sort_by_key(|entry| std::cmp::Reverse((entry.first.fact.happened.at, entry.first.seq)));
    Ok(html! {
        div.logbook {
            @if entries.is_empty() { p { (say::NOTHING_LOGGED) } }
            ol.log { @for entry in &entries { li { (log::one(facts, entry)) } } }
            p.onward { a href=(format!("/f/{}/log", facts.id)) { (say::ALL_LOG) } }
        }
    })
}

/// Ways to the other ponds.
pub fn others(facts: &Served, here: &str) -> Markup {
    html! {
        nav.kinds.others aria-label=(say::PONDS) {
            ul {
                @for card in &facts.farm.ponds {
                    li {
                        a href=(format!("/f/{}/ponds/{}", facts.id, card.id)) aria-current=[(card.id == here).then_some("page")] { (card.name) }
                    }
                }
            }
        }
    }
}
