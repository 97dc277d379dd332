//! `/f/{farm}/setup`: all of the farm with where each figure came from, everything wrong at once, and the step that counts.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use farm::Farm;
use farm::inputs::NOT_KNOWN;
use farm::setup::{Draft, From, STEPS, Step, asked, input_at};
use maud::{Markup, html};
use words::page_setup as say;

use super::checked::{Checked, row_of};
use super::fields::{mark, sections};
use super::step::{in_frame, manner};
use super::{address, drafts, opened};
use crate::pages::farms::refused;
use crate::pages::{onward, sent};
use crate::record::{Record, waiting};
use crate::shipped::{NotOpened, SHIPPED};
use crate::site::Site;

/// The page.
pub async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    match opened(&site, &farm) {
        Ok((record, open)) => sent(page(&site, record, &farm, &open)),
        Err(response) => *response,
    }
}

/// The farm file.
pub async fn file(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    match opened(&site, &farm) {
        Ok((_, open)) => {
            let head = [
                (header::CONTENT_TYPE, "application/toml; charset=utf-8"),
                (header::CONTENT_DISPOSITION, "attachment; filename=\"farm.toml\""),
                (header::CACHE_CONTROL, "no-store"),
            ];
            (head, open.draft.file().text).into_response()
        }
        Err(response) => *response,
    }
}

/// The deliberate step: from now on the outlook rests on these figures.
pub async fn accept(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (record, open) = match opened(&site, &farm) {
        Ok(opened) => opened,
        Err(response) => return *response,
    };
    let checked = Checked::of(&open.draft);
    let Some(ready) = checked.examined.farm.clone() else {
        return (StatusCode::UNPROCESSABLE_ENTITY, page(&site, record, &farm, &open)).into_response();
    };
    if unusable(&site, record, &farm, &checked, &ready).is_some() {
        return (StatusCode::UNPROCESSABLE_ENTITY, page(&site, record, &farm, &open)).into_response();
    }
    let is_sample = site.desk(&farm).is_some_and(|desk| desk.facts().is_sample);
    let done: Result<(), NotOpened> = waiting(|| {
        drafts::keep_row(record, &farm, &ready.name, is_sample)?;
        let typed = BTreeMap::from([("text".to_owned(), checked.written.text.clone())]);
        drafts::keep(record, &farm, "farm", typed)?;
        site.described(&farm)
    });
    match done {
        Ok(()) => onward(&format!("/f/{farm}/")),
        Err(NotOpened::Store(error)) => refused(&site, &error),
        // It was tried just before; what goes wrong now is shown with the rest.
        Err(_) => (StatusCode::UNPROCESSABLE_ENTITY, page(&site, record, &farm, &open)).into_response(),
    }
}

/// Why a farm whose figures are all good can still not be opened: its past.
fn unusable(site: &Site, record: &Record, farm: &str, checked: &Checked, ready: &Farm) -> Option<String> {
    let shipped = site.shipped()?;
    let own = match waiting(|| record.own(farm)) {
        Ok(own) => own,
        Err(error) => return Some(words::store::error(record.store().path(), &error)),
    };
    match record.tried(farm, &checked.written.text, ready.clone(), &own, shipped) {
        Ok(_) => None,
        // The past of a farm opened from a file lies beside that file.
        Err(NotOpened::NoPast(_)) if site.desk(farm).is_some() => None,
        Err(NotOpened::NoPast(name)) => Some(say::no_past(&name)),
        Err(NotOpened::Weather(refusal)) => Some(words::weather::refusal(&refusal, &ready.place.zone)),
        Err(NotOpened::WrongForm(_)) => Some(say::WEATHER_NOT_DAYS.to_owned()),
        Err(NotOpened::Past(error)) => Some(words::trouble::past(&error)),
        Err(NotOpened::Store(error)) => Some(words::store::error(record.store().path(), &error)),
        Err(NotOpened::NotDescribed | NotOpened::Reasons(_)) => None,
    }
}

fn page(site: &Site, record: &Record, farm: &str, open: &drafts::Open) -> Markup {
    let draft = &open.draft;
    let checked = Checked::of(draft);
    let mut slips = checked.all_slips();
    if let Some(ready) = &checked.examined.farm {
        slips.extend(unusable(site, record, farm, &checked, ready).map(|said| ("weather.history".to_owned(), said)));
    }
    let body = html! {
        section.logbook.setup.review {
            p.small { (say::place_of(STEPS.len() + 1, STEPS.len() + 1)) }
            h1 { (say::REVIEW) }
            p.reason { (say::REVIEW_SAYS) }
            @if !slips.is_empty() {
                div.trouble role="alert" { p { (say::STILL_WRONG) } (links(farm, &slips)) }
            }
            @let odd = checked.all_odd();
            @if !odd.is_empty() { div.oddly { p { (say::STILL_ODD) } (links(farm, &odd)) } }
            @for step in STEPS { (of_step(farm, draft, step, checked.examined.farm.as_ref())) }
            @if let Some(ready) = &checked.examined.farm { (rest(ready)) }
            @if slips.is_empty() { (acceptance(site, farm, open, checked.examined.farm.as_ref())) }
            p.onward { a href=(format!("/f/{farm}/setup/farm.toml")) { (say::DOWNLOAD) } }
            p.hint { (say::DOWNLOAD_SAYS) }
            @if site.desk(farm).is_some() { p.onward { a href="/farms" { (say::ALL_FARMS) } } }
        }
    };
    in_frame(site, Some(farm), draft.get("farm.name"), say::REVIEW, body)
}

/// Each remark leads to its field.
fn links(farm: &str, all: &[(String, String)]) -> Markup {
    let to = |at: &str| match asked(at) {
        Some(step) => format!("{}#{}", address(farm, step, row_of(at)), mark(at)),
        None => format!("/f/{farm}/setup/farm.toml"),
    };
    html! {
        ul {
            @for (at, said) in all {
                @let pond = row_of(at).map(|row| say::pond(row + 1, ""));
                li { a href=(to(at)) { @if let Some(pond) = pond { (pond) ": " } (said) } }
            }
        }
    }
}

fn of_step(farm: &str, draft: &Draft, step: &'static Step, ready: Option<&Farm>) -> Markup {
    let rows = if step.id == "pond" { draft.rows("pond").max(1) } else { 1 };
    html! {
        @for row in 0..rows {
            @let title = if step.id == "pond" { say::pond(row + 1, draft.get(&format!("pond.{row}.name"))) } else { say::title(step.id).to_owned() };
            h2 { a href=(address(farm, step, Some(row))) { (title) } }
            dl {
                @for asked in step.asked {
                    @for section in sections(draft, asked.section, Some(row), false) {
                        @for name in asked.first { (line(draft, &format!("{section}.{name}"), true, ready)) }
                        @for name in asked.later { (line(draft, &format!("{section}.{name}"), false, ready)) }
                    }
                }
            }
        }
    }
}

/// One answer and where it came from. What can wait is shown once it is answered.
fn line(draft: &Draft, at: &str, is_first: bool, ready: Option<&Farm>) -> Markup {
    let Some(input) = input_at(at) else { return html! {} };
    let (text, from) = (draft.get(at), draft.from(at));
    if text.is_empty() && (!is_first || from == From::LeftOut) {
        return html! {};
    }
    let shown = match (from, input.stand_in()) {
        (From::Guess | From::Default, Some((value, _))) => say::word(input.key, value),
        _ if text == NOT_KNOWN => "",
        _ => say::word(input.key, text),
    };
    let told = at.starts_with("told.")
        || (at.ends_with(".empties_in") && from == From::Typed)
        || ready.is_some_and(|ready| from != From::Typed && ready.told.iter().any(|told| told.key == input.key));
    let origin = say::origin(from, told, text.starts_with(SHIPPED));
    let class = match from {
        _ if told => "told",
        From::Guess | From::Default => "ours",
        From::Missing => "missing",
        _ => "",
    };
    html! {
        div {
            dt { (input.question) }
            dd { (shown) }
            dd.from class=(class) { (origin) }
        }
    }
}

/// Figures nobody gave.
fn rest(ready: &Farm) -> Markup {
    html! {
        details {
            summary { (say::REST) " (" (ready.assumed.len()) ")" }
            ul.rest { @for assumed in &ready.assumed { li { (words::farm::assumed(assumed)) } } }
        }
    }
}

fn acceptance(site: &Site, farm: &str, open: &drafts::Open, ready: Option<&Farm>) -> Markup {
    let manner = manner(&open.draft);
    let told = ready.map(|ready| ready.told.as_slice()).unwrap_or_default();
    let lines = told.iter().map(|told| say::told_sets(told.key, told.value, manner)).filter(|line| !line.is_empty());
    let stands = open.is_settled && site.desk(farm).is_some();
    let waits = ready.zip(site.shipped().zip(site.record())).and_then(|(ready, (shipped, record))| {
        let today = shipped
            .on
            .unwrap_or_else(|| ready.place.zone.day_and_second(units::Instant(record.now_ms().div_euclid(1000))).0);
        let on = shipped.morning(ready, record.now_ms());
        (on > today).then_some(on)
    });
    html! {
        section.accept {
            @for line in lines { p.told { (line) } }
            @if stands {
                p { (say::STANDS) }
                p { a.button href=(format!("/f/{farm}/")) { (say::TO_FARM) } }
            } @else {
                @if let Some(on) = waits { p { (say::morning_is(on)) } }
                form method="post" action=(format!("/f/{farm}/setup/acceptance")) { button.main type="submit" { (say::ACCEPT) } }
                p.hint { (say::ACCEPT_SAYS) }
            }
        }
    }
}
