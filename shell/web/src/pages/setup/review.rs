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
use words::figures::Manner;
use words::page_setup as say;

use super::checked::{Checked, row_of};
use super::fields::{mark, sections};
use super::step::{in_frame, manner};
use super::{address, drafts, opened, place};
use crate::pages::farms::refused;
use crate::pages::{onward, sent};
use crate::record::{Record, waiting};
use crate::served::Served;
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
    // A farm that stands as it is has been opened with its past: reading that again would only make the page slow.
    let stands = open.is_settled && site.desk(farm).is_some();
    if let Some(ready) = checked.examined.farm.as_ref().filter(|_| !stands) {
        slips.extend(unusable(site, record, farm, &checked, ready).map(|said| ("weather.history".to_owned(), said)));
    }
    let seen = Seen {
        farm,
        draft,
        ready: checked.examined.farm.as_ref(),
        from_town: place::place_of(draft).is_some() && !place::is_typed(site, draft),
        filled_in: place::usual_end(site, draft),
    };
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
            @for step in STEPS { (of_step(&seen, step)) }
            @if let Some(ready) = &checked.examined.farm { (rest(ready, manner(&open.draft))) }
            @if slips.is_empty() { (acceptance(site, farm, open, checked.examined.farm.as_ref())) }
            p.onward { a href=(format!("/f/{farm}/setup/farm.toml")) { (say::DOWNLOAD) } }
            p.hint { (say::DOWNLOAD_SAYS) }
            @if site.desk(farm).is_some_and(|desk| desk.facts().is_sample) { p.onward { a.button href="/setup" { (say::DESCRIBE) } } }
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

/// What an answer is shown with.
struct Seen<'a> {
    farm: &'a str,
    draft: &'a Draft,
    ready: Option<&'a Farm>,
    /// The place was taken from a town.
    from_town: bool,
    /// The season's end as it was filled in.
    filled_in: Option<String>,
}

fn of_step(seen: &Seen, step: &'static Step) -> Markup {
    let draft = seen.draft;
    let rows = if step.id == "pond" { draft.rows("pond").max(1) } else { 1 };
    html! {
        @for row in 0..rows {
            @let title = if step.id == "pond" { say::pond(row + 1, draft.get(&format!("pond.{row}.name"))) } else { say::title(step.id).to_owned() };
            h2 { a href=(address(seen.farm, step, Some(row))) { (title) } }
            dl {
                @for asked in step.asked {
                    @for section in sections(draft, asked.section, Some(row), false) {
                        @for name in asked.first { (line(seen, &format!("{section}.{name}"), true)) }
                        @for name in asked.later { (line(seen, &format!("{section}.{name}"), false)) }
                    }
                }
            }
        }
    }
}

/// One answer and where it came from. What can wait is shown once it is answered.
fn line(seen: &Seen, at: &str, is_first: bool) -> Markup {
    let Some(input) = input_at(at) else { return html! {} };
    let (text, from) = (seen.draft.get(at), seen.draft.from(at));
    if text.is_empty() && (!is_first || from == From::LeftOut) {
        return html! {};
    }
    let is_shipped = text.starts_with(SHIPPED);
    let shown = match (from, input.stand_in()) {
        (From::Guess | From::Default, Some((value, _))) => say::word(input.key, value),
        _ if text == NOT_KNOWN => "",
        _ if is_shipped => say::SHIPPED_NAME,
        _ => say::word(input.key, text),
    };
    let told = at.starts_with("told.")
        || (at.ends_with(".empties_in") && from == From::Typed)
        || seen.ready.is_some_and(|ready| from != From::Typed && ready.told.iter().any(|told| told.key == input.key));
    let origin = match from {
        From::Typed if seen.from_town && at.starts_with("place.") => say::FROM_TOWN,
        From::Typed if at == "season.last_catch" && seen.filled_in.as_deref() == Some(text) => say::FILLED_IN,
        _ => say::origin(from, told, is_shipped),
    };
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
fn rest(ready: &Farm, manner: Manner) -> Markup {
    html! {
        details {
            summary { (say::REST) " (" (ready.assumed.len()) ")" }
            ul.rest { @for assumed in &ready.assumed { li { (words::farm::assumed(assumed, manner)) } } }
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
        let on = shipped.named(ready).unwrap_or_else(|| Served::today(ready, record.now_ms()));
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
