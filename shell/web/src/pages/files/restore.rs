//! A backup, or a file with everything, back in: received, looked through, shown against what stands, and only then put in its
//! place. What stood before is kept beside it.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::Write;
use std::path::Path as Place;
use std::sync::Arc;

use axum::extract::{Form, Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::html;
use store::{Opening, Store, StoreError, is_archive};
use units::Watch;
use words::page_files as say;

use super::super::{missing, onward, sent};
use super::{body, in_frame, refused};
use crate::record::{Record, waiting};
use crate::sending::Passing;
use crate::served::Served;
use crate::site::Site;

/// Why a file was not received.
enum Trouble {
    None,
    TooLarge,
    NotWhole,
    /// The disk that it passes through cannot take it.
    Disk(StoreError),
}

/// Why it was not put in the record's place.
enum Held<'a> {
    /// Nobody tried.
    Not,
    /// It was not ticked that this is understood.
    Unticked,
    /// The disk did not take it.
    Failed(&'a str),
}

pub async fn receive(State(site): State<Arc<Site>>, Path(farm): Path<String>, mut multipart: Multipart) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let again = |status: StatusCode, said: &str| {
        (status, in_frame(&facts, say::TITLE, body(&site, &facts, Some(said)))).into_response()
    };
    let token = match waiting(|| record.store().new_id()) {
        Ok(token) => token,
        Err(error) => return refused(record, &error),
    };
    let came = Passing::new(&format!("{token}.came"));
    match to_disk(&mut multipart, came.path()).await {
        Ok(()) => {}
        Err(Trouble::None) => return again(StatusCode::UNPROCESSABLE_ENTITY, say::NO_FILE),
        Err(Trouble::TooLarge) => return again(StatusCode::PAYLOAD_TOO_LARGE, say::TOO_LARGE),
        Err(Trouble::Disk(error)) => return again(StatusCode::SERVICE_UNAVAILABLE, &on_its_way(&error)),
        Err(Trouble::NotWhole) => return again(StatusCode::UNPROCESSABLE_ENTITY, say::NOT_RECEIVED),
    }
    let candidate = Passing::new(&format!("{token}.db"));
    match waiting(|| ready(record, came.path(), candidate.path())) {
        Ok(()) => {
            record.candidates().lay(token.clone(), candidate);
            onward(&format!("/f/{farm}/files/candidates/{token}"))
        }
        Err(StoreError::NotAStore | StoreError::Missing) => again(StatusCode::UNPROCESSABLE_ENTITY, say::NEITHER),
        Err(error @ (StoreError::Full | StoreError::ReadOnly)) => {
            again(StatusCode::SERVICE_UNAVAILABLE, &on_its_way(&error))
        }
        Err(error) => {
            let name = Place::new(say::WOULD);
            again(StatusCode::UNPROCESSABLE_ENTITY, &words::store::error(name, &error))
        }
    }
}

/// The disk that a file passes through on its way in cannot take it; the record was not touched.
fn on_its_way(error: &StoreError) -> String {
    say::not_taken(&words::store::error(&std::env::temp_dir(), error))
}

async fn to_disk(multipart: &mut Multipart, to: &Place) -> Result<(), Trouble> {
    let wrong = |status: StatusCode| match status {
        StatusCode::PAYLOAD_TOO_LARGE => Trouble::TooLarge,
        _ => Trouble::NotWhole,
    };
    while let Some(mut field) = multipart.next_field().await.map_err(|error| wrong(error.status()))? {
        if field.name() != Some("file") {
            continue;
        }
        let unwritten = |error: std::io::Error| match error.kind() {
            std::io::ErrorKind::StorageFull => Trouble::Disk(StoreError::Full),
            std::io::ErrorKind::PermissionDenied | std::io::ErrorKind::ReadOnlyFilesystem => {
                Trouble::Disk(StoreError::ReadOnly)
            }
            _ => Trouble::NotWhole,
        };
        let mut file = File::create(to).map_err(unwritten)?;
        let mut size = 0;
        while let Some(piece) = field.chunk().await.map_err(|error| wrong(error.status()))? {
            size += piece.len();
            waiting(|| file.write_all(&piece)).map_err(unwritten)?;
        }
        return if size == 0 { Err(Trouble::None) } else { Ok(()) };
    }
    Err(Trouble::None)
}

/// Makes a whole, checked record of what came: a backup as it is, an archive read into a new one.
fn ready(record: &Record, came: &Place, candidate: &Place) -> Result<(), StoreError> {
    let store = if is_archive(came) {
        let store = Store::open(candidate, record.now_ms())?;
        store.import_json(came, &Watch::new())?;
        store
    } else {
        std::fs::copy(came, candidate).map_err(|error| match error.kind() {
            std::io::ErrorKind::StorageFull => StoreError::Full,
            _ => StoreError::Other(error.to_string()),
        })?;
        Store::open_with(candidate, record.now_ms(), Opening { make: false, ..Opening::default() })?
    };
    store.full_check()
}

/// What one record holds, in a line, and the marks of its entries.
fn told(store: &Store, facts: &Served) -> Result<(String, BTreeSet<String>), StoreError> {
    let farms = store.farms()?;
    let names: Vec<String> = farms.iter().map(|farm| farm.name.clone()).collect();
    let mut marks = BTreeSet::new();
    for farm in &farms {
        marks.extend(store.facts(&farm.id)?.into_iter().map(|kept| kept.fact.id));
    }
    let last_ms = store.last_received_ms()?;
    let line = say::holds(&names, marks.len() as i64, last_ms, &facts.farm.place.zone, facts.manner);
    Ok((line, marks))
}

pub async fn show(State(site): State<Arc<Site>>, Path((farm, token)): Path<(String, String)>) -> Response {
    page(&site, &farm, &token, &Held::Not)
}

fn page(site: &Site, farm: &str, token: &str, held: &Held) -> Response {
    let (Some(desk), Some(record)) = (site.desk(farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let Some(candidate) = record.candidates().find(token) else {
        let gone = in_frame(&facts, say::TITLE, body(site, &facts, Some(say::GONE)));
        return (StatusCode::GONE, gone).into_response();
    };
    let seen = waiting(|| {
        let opening = Opening { make: false, ..Opening::default() };
        let other = Store::open_with(candidate.path(), record.now_ms(), opening)?;
        let has_farm = other.farms()?.iter().any(|one| one.id == farm);
        Ok((told(record.store(), &facts)?, told(&other, &facts)?, has_farm))
    });
    let ((stands, here), (would, there), has_farm) = match seen {
        Ok(seen) => seen,
        Err(error) => return refused(record, &error),
    };
    let newer = here.difference(&there).count();
    let body = html! {
        @if let Held::Failed(said) = held { div.trouble role="alert" { p { (said) } p { (say::STANDS_AS_IT_WAS) } } }
        dl.rows {
            div { dt { (say::STANDS) } dd { (stands) } }
            div { dt { (say::WOULD) } dd { (would) } }
        }
        p { (say::replaced(newer)) }
        p.hint { (say::KEPT_ASIDE) }
        @if !has_farm { p.trouble role="alert" { (say::OTHER_FARM) } } @else {
            form method="post" action=(format!("/f/{farm}/files/candidates/{token}/replacement")) {
                @if matches!(held, Held::Unticked) { p.wrong role="alert" { (say::NOT_UNDERSTOOD) } }
                label.chip.alone { input type="checkbox" name="understood" value="yes"; span { (say::UNDERSTOOD) } }
                p.onward { button.main type="submit" { (say::REPLACE_NOW) } }
            }
        }
        p.onward { a href=(format!("/f/{farm}/files")) { (say::LEAVE) } }
    };
    let status = match held {
        Held::Not => StatusCode::OK,
        Held::Unticked => StatusCode::UNPROCESSABLE_ENTITY,
        Held::Failed(_) => StatusCode::SERVICE_UNAVAILABLE,
    };
    (status, in_frame(&facts, say::REPLACE, body)).into_response()
}

pub async fn replace(
    State(site): State<Arc<Site>>,
    Path((farm, token)): Path<(String, String)>,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    if !fields.iter().any(|(key, value)| key == "understood" && value == "yes") {
        return page(&site, &farm, &token, &Held::Unticked);
    }
    let facts = desk.facts();
    let Some(candidate) = record.candidates().take(&token) else { return page(&site, &farm, &token, &Held::Not) };
    let put = waiting(|| Store::restore(record.store().path(), candidate.path(), record.now_ms(), &Watch::new()));
    let restored = match put {
        Ok(restored) => restored,
        Err(error) => {
            record.candidates().lay_back(token.clone(), candidate);
            let said = words::store::error(record.store().path(), &error);
            return page(&site, &farm, &token, &Held::Failed(&said));
        }
    };
    let done = waiting(|| {
        // What came in was looked through before it was put in its place.
        record.note_look(&Ok(()));
        // Every farm that is shown reckons from what stands now.
        site.farms().iter().try_for_each(|farm| site.recorded(farm))
    });
    match done {
        Ok(()) => {
            let before =
                restored.before.as_deref().and_then(Place::file_name).map(|name| name.to_string_lossy().into_owned());
            let body = html! {
                p.said role="status" { (say::done(restored.facts, before.as_deref())) }
                p.onward { a.button.main href=(format!("/f/{farm}/log")) { (words::page_file::TO_LOG) } }
            };
            sent(in_frame(&facts, say::DONE, body))
        }
        Err(error) => refused(record, &error),
    }
}
