//! The set-up: a farm described page by page, each kept as it is typed, before anything of it is right. `/setup` begins a new
//! farm; `/f/{farm}/setup` looks all of it over. Nothing counts until the last step, which is a deliberate one.

mod checked;
pub mod drafts;
mod fields;
mod opening;
mod place;
mod review;
mod step;
mod weather;

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use farm::setup::{Draft, Step, step as page_named};

use self::checked::Checked;
pub use self::place::distance_km;
use self::step::Shown;
use super::farms::refused;
use super::{missing, onward, sent};
use crate::record::{Record, waiting};
use crate::site::Site;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/setup", get(new).post(take_new))
        .route("/setup/open", get(opening::show).post(opening::take))
        .route("/f/{farm}/setup", get(review::show))
        .route("/f/{farm}/setup/farm.toml", get(review::file))
        .route("/f/{farm}/setup/acceptance", post(review::accept))
        .route("/f/{farm}/setup/weather-file", post(weather::bring))
        .route("/f/{farm}/setup/weather-shipped", post(weather::take_shipped))
        .route("/f/{farm}/setup/ponds/{row}/removal", post(remove_pond))
        .route("/f/{farm}/setup/ponds/{row}", get(show_pond).post(take_pond))
        .route("/f/{farm}/setup/{step}", get(show).post(take))
}

type Fields = Vec<(String, String)>;

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str())
}

/// Where a page of the set-up stands.
pub fn address(farm: &str, step: &Step, row: Option<usize>) -> String {
    match (step.id, row) {
        ("pond", row) => format!("/f/{farm}/setup/ponds/{}", row.unwrap_or(0)),
        (id, _) => format!("/f/{farm}/setup/{id}"),
    }
}

/// The page after this one.
pub fn next(farm: &str, step: &Step, row: Option<usize>, draft: &Draft) -> String {
    if let Some(row) = row.filter(|row| row + 1 < draft.rows("pond")) {
        return address(farm, step, Some(row + 1));
    }
    let after = farm::setup::STEPS.iter().skip_while(|other| other.id != step.id).nth(1);
    after.map_or_else(|| format!("/f/{farm}/setup"), |step| address(farm, step, Some(0)))
}

async fn new(State(site): State<Arc<Site>>) -> Response {
    let Some(step) = page_named("place") else { return missing() };
    if site.record().is_none() {
        return sent(crate::parts::frame::plain(words::page::SETUP, words::page_setup::NOT_KEPT));
    }
    let mut shown = Shown::new(None, step, None, Draft::default());
    place::fill_in(&site, &mut shown.draft);
    sent(step::page(&site, &shown))
}

async fn take_new(State(site): State<Arc<Site>>, Form(fields): Form<Fields>) -> Response {
    let (Some(record), Some(step)) = (site.record(), page_named("place")) else { return missing() };
    let begun = waiting(|| drafts::begin(record, &site, field(&fields, "farm.name").trim()));
    match begun {
        Ok(farm) => taken(&site, &farm, step, None, fields),
        Err(error) => {
            let mut shown = Shown::new(None, step, None, Draft::default());
            fields::take(&mut shown.draft, step, None, &fields);
            shown.unkept = Some(words::store::error(record.store().path(), &error));
            (StatusCode::SERVICE_UNAVAILABLE, step::page(&site, &shown)).into_response()
        }
    }
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, step)): Path<(String, String)>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    match page_named(&step).filter(|step| step.id != "pond") {
        Some(step) => shown(&site, &farm, step, None, &asked),
        None => missing(),
    }
}

async fn show_pond(
    State(site): State<Arc<Site>>,
    Path((farm, row)): Path<(String, usize)>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    match page_named("pond") {
        Some(step) => shown(&site, &farm, step, Some(row), &asked),
        None => missing(),
    }
}

/// The draft of a farm, or the page to show instead.
fn opened<'a>(site: &'a Site, farm: &str) -> Result<(&'a Record, drafts::Open), Box<Response>> {
    let record = site.record().ok_or_else(|| Box::new(missing()))?;
    match waiting(|| drafts::open(record, site, farm)) {
        Ok(Some(open)) => Ok((record, open)),
        Ok(None) => Err(Box::new(missing())),
        Err(error) => Err(Box::new(refused(site, &error))),
    }
}

fn shown(
    site: &Site,
    farm: &str,
    step: &'static Step,
    row: Option<usize>,
    asked: &BTreeMap<String, String>,
) -> Response {
    let open = match opened(site, farm) {
        Ok((_, open)) => open,
        Err(response) => return *response,
    };
    if row.is_some_and(|row| row > open.draft.rows("pond")) {
        return missing();
    }
    let mut shown = Shown::new(Some(farm), step, row, open.draft);
    shown.add = asked.get("add").cloned().unwrap_or_default();
    let checked = Checked::of(&shown.draft);
    // What was never typed is not wrong yet.
    shown.slips = checked.slips(step, row).into_iter().filter(|(at, _)| !shown.draft.get(at).is_empty()).collect();
    if asked.contains_key("look") {
        shown.odd = checked.odd(step, row);
        shown.odd.extend(place::lies(site, step, &shown.draft, shown.manner()));
    }
    sent(step::page(site, &shown))
}

async fn take(
    State(site): State<Arc<Site>>,
    Path((farm, step)): Path<(String, String)>,
    Form(fields): Form<Fields>,
) -> Response {
    match page_named(&step).filter(|step| step.id != "pond") {
        Some(step) => taken(&site, &farm, step, None, fields),
        None => missing(),
    }
}

async fn take_pond(
    State(site): State<Arc<Site>>,
    Path((farm, row)): Path<(String, usize)>,
    Form(fields): Form<Fields>,
) -> Response {
    match page_named("pond") {
        Some(step) => taken(&site, &farm, step, Some(row), fields),
        None => missing(),
    }
}

/// Keeps what was typed, whatever it is worth; then says what is wrong with it, or goes on.
fn taken(site: &Site, farm: &str, step: &'static Step, row: Option<usize>, fields: Fields) -> Response {
    // A farm just begun has no draft yet.
    let (record, before) = match opened(site, farm) {
        Ok((record, open)) => (record, open.draft),
        Err(response) => match site.record().filter(|record| is_begun(record, farm)) {
            Some(record) => (record, Draft::default()),
            None => return *response,
        },
    };
    if row.is_some_and(|row| row > before.rows("pond")) {
        return missing();
    }
    let mut draft = before.clone();
    fields::take(&mut draft, step, row, &fields);
    let act = field(&fields, "do");
    let mut shown = Shown::new(Some(farm), step, row, draft);
    if step.id == "place" {
        place::take(site, &mut shown, &before, &fields);
    }
    if act.is_empty() {
        fields::guess_open(&mut shown.draft, step, row);
    }
    if let Some((list, place)) = act.strip_prefix("remove:").and_then(|rest| rest.rsplit_once('.')) {
        shown.draft.remove_row(list, place.parse().unwrap_or(usize::MAX));
    }
    if let Err(error) = waiting(|| kept(record, farm, &shown.draft)) {
        shown.unkept = Some(words::store::error(record.store().path(), &error));
        return (StatusCode::SERVICE_UNAVAILABLE, step::page(site, &shown)).into_response();
    }
    let here = address(farm, step, row);
    match act {
        "find" => return sent(step::page(site, &shown)),
        "draw" => return onward(&here),
        act if act.starts_with("remove:") || act.starts_with("town:") => return onward(&here),
        act => {
            if let Some(list) = act.strip_prefix("add:") {
                return onward(&format!("{here}?add={list}"));
            }
        }
    }
    let checked = Checked::of(&shown.draft);
    shown.slips = checked.slips(step, row);
    if !shown.slips.is_empty() {
        shown.odd = checked.odd(step, row);
        shown.odd.extend(place::lies(site, step, &shown.draft, shown.manner()));
        return (StatusCode::UNPROCESSABLE_ENTITY, step::page(site, &shown)).into_response();
    }
    // A place that was typed is looked at once: a slipped sign leads far away, and often to another farm's land.
    let moved = step.id == "place"
        && ["place.latitude", "place.longitude"].iter().any(|at| shown.draft.get(at) != before.get(at))
        && place::is_typed(site, &shown.draft);
    if (moved || !checked.odd(step, row).is_empty()) && shown.draft != before {
        return onward(&format!("{here}?look=1"));
    }
    if act == "pond" {
        return onward(&address(farm, step, Some(shown.draft.rows("pond"))));
    }
    onward(&next(farm, step, row, &shown.draft))
}

fn is_begun(record: &Record, farm: &str) -> bool {
    record.store().farms().is_ok_and(|farms| farms.iter().any(|row| row.id == farm))
}

fn kept(record: &Record, farm: &str, draft: &Draft) -> Result<(), store::StoreError> {
    drafts::keep_draft(record, farm, draft)
}

async fn remove_pond(State(site): State<Arc<Site>>, Path((farm, row)): Path<(String, usize)>) -> Response {
    let (record, mut open) = match opened(&site, &farm) {
        Ok(opened) => opened,
        Err(response) => return *response,
    };
    open.draft.remove_row("pond", row);
    match waiting(|| kept(record, &farm, &open.draft)) {
        Ok(()) => onward(&format!("/f/{farm}/setup")),
        Err(error) => refused(&site, &error),
    }
}
