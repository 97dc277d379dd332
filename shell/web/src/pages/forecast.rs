//! `/f/{farm}/forecast`: a new forecast, from a file or typed day by day. It is an entry; the morning is reckoned again with it.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use season::weather::{Done, Finding, What};
use store::Insert;
use units::Instant;
use words::page_forecast as say;

use super::{missing, onward, sent};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::{Record, forecast_in, waiting};
use crate::served::Served;
use crate::site::Site;

/// Largest forecast taken, bytes: a public service's gridpoint answer is under 1 MB.
const MOST: usize = 4 << 20;

/// Odd lines told one by one.
const MOST_ODD: usize = 12;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/forecast", get(show).post(take).layer(DefaultBodyLimit::max(MOST)))
}

/// What was brought: the id under which sending twice is safe, what was typed, what a file held.
#[derive(Default)]
struct Brought {
    id: String,
    typed: String,
    file: String,
    /// What is odd has been shown, and is to be taken as it is.
    seen: bool,
}

async fn brought(form: &mut Multipart) -> Result<Brought, StatusCode> {
    let mut brought = Brought::default();
    while let Some(part) = form.next_field().await.map_err(|error| error.status())? {
        let name = part.name().unwrap_or_default().to_owned();
        let bytes = part.bytes().await.map_err(|error| error.status())?;
        let text = String::from_utf8_lossy(&bytes).into_owned();
        match name.as_str() {
            "id" => brought.id = text,
            "text" => brought.typed = text,
            "file" => brought.file = text,
            "seen" => brought.seen = true,
            _ => {}
        }
    }
    Ok(brought)
}

/// Why a forecast was not taken.
enum Wrong {
    /// It cannot be used.
    Refused(String),
    /// Parts of it cannot: each line, and what would become of it.
    Odd(Vec<String>),
}

/// A forecast's whole text and how many lines were put before it: a file as it is; days typed bare get the lines that say when
/// they were given, and in which degrees.
fn whole(facts: &Served, brought: &Brought) -> (String, usize) {
    let typed = brought.typed.trim();
    let is_bare = typed.starts_with(|first: char| first.is_ascii_digit());
    match (brought.file.trim().is_empty(), is_bare) {
        (false, _) => (brought.file.clone(), 0),
        (true, false) => (brought.typed.clone(), 0),
        (true, true) => {
            let now = facts.past.place.day_start(facts.on).plus_hours(i64::from(facts.now_hour));
            let header = match facts.manner {
                words::figures::Manner::UsCustomary => "date,low_f,high_f",
                words::figures::Manner::Metric => "date,low_c,high_c",
            };
            (format!("issued,{}\n{header}\n{typed}\n", facts.farm.place.zone.stamp(now)), 2)
        }
    }
}

/// Whether a text is a forecast that this morning can use; `before` lines of it are not the person's own.
fn usable(facts: &Served, (text, before): (&str, usize), seen: bool) -> Result<(), Wrong> {
    if text.trim().is_empty() {
        return Err(Wrong::Refused(say::NOTHING.to_owned()));
    }
    let read = forecast_in(facts, text).map_err(|why| Wrong::Refused(say::refused(why.as_deref())))?;
    let (issued, _) = facts.past.place.standard_day(read.value.issued);
    if issued > facts.on {
        return Err(Wrong::Refused(words::trouble::forecast_too_new(issued, facts.on)));
    }
    match read.value.days.iter().map(|day| day.day).max() {
        Some(last) if last >= facts.on => {}
        last => return Err(Wrong::Refused(say::over(last, facts.on))),
    }
    let odd: Vec<String> = read
        .findings
        .into_iter()
        .filter(loses_something)
        .map(|mut finding| {
            finding.line = finding.line.saturating_sub(before);
            words::weather::sentence(&finding, &facts.farm.place.zone)
        })
        .collect();
    if odd.is_empty() || seen { Ok(()) } else { Err(Wrong::Odd(odd)) }
}

/// Whether what was odd costs a day or a value that the person meant.
fn loses_something(finding: &Finding) -> bool {
    let is_column = matches!(finding.what, What::UnknownColumn | What::EmptyColumn);
    !is_column && !matches!(finding.done, Done::Kept | Done::Sorted | Done::Averaged)
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let id = waiting(|| record.store().new_id()).unwrap_or_default();
    sent(page(&desk.facts(), &Brought { id, ..Brought::default() }, None))
}

async fn take(State(site): State<Arc<Site>>, Path(farm): Path<String>, mut form: Multipart) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let mut brought = match brought(&mut form).await {
        Ok(brought) => brought,
        Err(status) => {
            let wrong = Wrong::Refused(say::NOT_WHOLE.to_owned());
            return (status, page(&facts, &Brought::default(), Some(&wrong))).into_response();
        }
    };
    let (text, before) = whole(&facts, &brought);
    let taken = usable(&facts, (&text, before), brought.seen)
        .and_then(|()| waiting(|| kept(&site, record, &facts, &brought.id, text.clone())).map_err(Wrong::Refused));
    match taken {
        Ok(()) => onward(&format!("/f/{farm}/")),
        Err(wrong) => {
            // A browser does not keep the file that was chosen: its text stands in the field, where it can be mended.
            if !brought.file.trim().is_empty() {
                brought.typed = std::mem::take(&mut brought.file);
            }
            (StatusCode::UNPROCESSABLE_ENTITY, page(&facts, &brought, Some(&wrong))).into_response()
        }
    }
}

fn kept(site: &Site, record: &Record, facts: &Served, id: &str, text: String) -> Result<(), String> {
    let typed = BTreeMap::from([("text".to_owned(), text)]);
    let said = |error| words::store::error(record.store().path(), &error);
    match record.write(facts, id, "forecast", typed).map_err(said)? {
        Insert::Differs { .. } => Err(say::SENT_BEFORE.to_owned()),
        Insert::Made { .. } | Insert::AlreadyHad { .. } => site.recorded(&facts.id).map_err(said),
    }
}

fn page(facts: &Served, brought: &Brought, wrong: Option<&Wrong>) -> Markup {
    let standing = facts.forecast.as_ref().map(|forecast| {
        let last = forecast.days.iter().map(|day| day.day).max().unwrap_or(facts.on);
        say::standing(Instant(forecast.issued.0), last, &facts.farm.place.zone, facts.manner)
    });
    let body = html! {
        section.logbook {
            h1 { (say::TITLE) }
            p { (standing.as_deref().unwrap_or(say::NONE)) }
            @match wrong {
                Some(Wrong::Refused(said)) => { div.trouble role="alert" { a href="#e-text" { (said) } } }
                Some(Wrong::Odd(lines)) => {
                    div.trouble role="alert" {
                        a href="#e-text" { (say::odd(lines.len())) }
                        ul { @for line in lines.iter().take(MOST_ODD) { li { (line) } } }
                        @if lines.len() > MOST_ODD { p { (say::more_odd(lines.len() - MOST_ODD)) } }
                    }
                }
                None => {}
            }
            form.entry method="post" enctype="multipart/form-data" action=(format!("/f/{}/forecast", facts.id)) {
                input type="hidden" name="id" value=(brought.id);
                div.field {
                    label for="e-file" { (say::FILE) }
                    input #e-file type="file" name="file" aria-describedby="h-file";
                    p.hint #h-file { (say::FILE_HINT) }
                }
                div.field {
                    label for="e-text" { (say::TYPED) }
                    textarea #e-text name="text" rows="10" autocomplete="off" spellcheck="false" aria-describedby="h-text"
                        aria-invalid=[wrong.map(|_| "true")] { (brought.typed) }
                    p.hint #h-text { (say::typed_hint(facts.on, facts.manner)) }
                }
                button.main type="submit" { (say::TAKE) }
                @if matches!(wrong, Some(Wrong::Odd(_))) { button type="submit" name="seen" value="yes" { (say::TAKE_ALL_THE_SAME) } }
            }
        }
    };
    framed(&Frame::of(facts, say::TITLE, Here::Elsewhere), body)
}
