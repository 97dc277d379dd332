//! `/f/{farm}/files`: everything out in open forms, a backup, and the way back.

use std::path::Path as Place;
use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use store::{Store, StoreError};
use units::{Instant, Watch};
use words::page_files as say;

use super::{missing, sent};
use crate::looked;
use crate::parts::frame::{self, Frame, Here};
use crate::record::{Record, waiting};
use crate::sending::{Passing, bytes_saved_as, saved_as};
use crate::served::Served;
use crate::site::Site;

mod restore;

/// Largest backup taken by this page, bytes.
pub const BACKUP_MOST: usize = 2 << 30;

const JSON: &str = "application/json";
const DB: &str = "application/vnd.sqlite3";
const CSV: &str = "text/csv; charset=utf-8";
const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
/// Span of the workbook, s.
const YEAR_S: i64 = 366 * 86_400;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/files", get(show))
        .route("/f/{farm}/files/season.xlsx", get(book))
        .route("/f/{farm}/files/everything.json", get(everything))
        .route("/f/{farm}/files/backup.db", get(backup))
        .route("/f/{farm}/files/tables/{table}", get(table))
        .route("/f/{farm}/files/candidates", post(restore::receive).layer(DefaultBodyLimit::max(BACKUP_MOST)))
        .route("/f/{farm}/files/candidates/{token}", get(restore::show))
        .route("/f/{farm}/files/candidates/{token}/replacement", post(restore::replace))
}

/// A page of files within its frame.
fn in_frame(facts: &Served, title: &str, body: Markup) -> Markup {
    let frame = Frame::of(facts, title, Here::Files);
    frame::page(&frame, html! { section.logbook.files { h1 { (title) } (body) } })
}

fn refused(record: &Record, error: &StoreError) -> Response {
    let said = words::store::error(record.store().path(), error);
    (StatusCode::SERVICE_UNAVAILABLE, frame::plain(say::TITLE, &said)).into_response()
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    if site.record().is_none() {
        return sent(in_frame(&facts, say::TITLE, html! { p.trouble { (words::page_log::NOT_KEPT) } }));
    }
    sent(in_frame(&facts, say::TITLE, body(&site, &facts, None)))
}

fn body(site: &Site, facts: &Served, wrong: Option<&str>) -> Markup {
    let way = |to: &str, label: &str, hint: &str| {
        html! {
            li {
                p { a.mend href=(format!("/f/{}/files/{to}", facts.id)) download { (label) } }
                p.hint { (hint) }
            }
        }
    };
    html! {
        @if let Some(said) = wrong { div.trouble role="alert" { p { a href="#e-file" { (said) } } } }
        p { (say::HINT) }
        ul.plain.out {
            (way("season.xlsx", say::BOOK, say::BOOK_HINT))
            (way("everything.json", say::ARCHIVE, say::ARCHIVE_HINT))
            li {
                details {
                    summary { (say::TABLES) }
                    p.hint { (say::TABLES_HINT) }
                    ul.plain {
                        @for table in Store::tables() {
                            li { a.mend href=(format!("/f/{}/files/tables/{table}.csv", facts.id)) download { (say::table(table)) } }
                        }
                    }
                }
            }
        }
        p.onward {
            a.mend href=(format!("/f/{}/trace", facts.id)) { (words::page_trace::TITLE) } " "
            a.mend href=(format!("/f/{}/due", facts.id)) { (words::page_due::TITLE) } " "
            a.mend href=(format!("/f/{}/losses", facts.id)) { (words::page_losses::TITLE) }
        }
        h2.small { (say::BACKUP) }
        p.hint { (say::BACKUP_HINT) }
        @if let Some(said) = site.record().and_then(|record| looked::said(record, facts)) { p #whole { (said) } }
        p.onward { a.button.main href=(format!("/f/{}/files/backup.db", facts.id)) download { (say::BACKUP_NOW) } }
        h2.small { (say::RESTORE) }
        form.entry.file method="post" action=(format!("/f/{}/files/candidates", facts.id)) enctype="multipart/form-data" {
            p.hint { (say::RESTORE_HINT) }
            div.field {
                label for="e-file" { (say::WHICH) }
                input #e-file type="file" name="file" accept=".db,.json" aria-invalid=[wrong.map(|_| "true")];
            }
            button type="submit" { (say::LOOK) }
        }
    }
}

/// Writes a file that passes through, and sends it.
fn passing(
    record: &Record,
    name: &str,
    media: &'static str,
    write: impl FnOnce(&Store, &Place) -> Result<(), StoreError>,
) -> Response {
    let written = waiting(|| {
        let passing = Passing::new(&record.store().new_id()?);
        write(record.store(), passing.path())?;
        Ok(passing)
    });
    match written {
        Ok(passing) => saved_as(passing, name, media),
        Err(StoreError::Missing) => missing(),
        Err(error) => refused(record, &error),
    }
}

async fn everything(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    passing(record, &format!("{farm}.json"), JSON, |store, to| store.export_json(to, &Watch::new()).map(drop))
}

async fn backup(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    passing(record, &format!("{farm}-{}.db", stamp(record)), DB, |store, to| {
        let made = store.back_up(to, &Watch::new());
        // It is looked through first: what was found stands on the page.
        if matches!(made, Ok(()) | Err(StoreError::Damaged(_))) {
            record.note_look(&made);
        }
        made
    })
}

async fn table(State(site): State<Arc<Site>>, Path((farm, table)): Path<(String, String)>) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let Some(name) = table.strip_suffix(".csv").filter(|name| Store::tables().any(|known| known == *name)) else {
        return missing();
    };
    passing(record, &table, CSV, |store, to| store.export_table(name, to, &Watch::new()).map(drop))
}

async fn book(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let made = waiting(|| {
        // The year up to now by the farm's own clock: the sample's mornings lie in the past.
        let (now, _) = crate::parts::entry::now(&facts, record.now_ms());
        let before = Instant(now.0.max(record.now_ms().div_euclid(1000)) + 86_400);
        let asked = sheets::Asked { farm_id: &facts.id, farm: &facts.farm, from: Instant(now.0 - YEAR_S), before };
        sheets::season_book(record.store(), asked).map(|tables| sheets::write(&tables))
    });
    match made {
        Ok(Ok(bytes)) => bytes_saved_as(bytes, &format!("{farm}.xlsx"), XLSX),
        Ok(Err(what)) => refused(record, &StoreError::Other(what)),
        Err(error) => refused(record, &error),
    }
}

/// Now, as a part of a file's name, in UTC.
fn stamp(record: &Record) -> String {
    let now = units::Zone::utc().stamp(Instant(record.now_ms().div_euclid(1000)));
    now.chars().filter(char::is_ascii_digit).take(12).collect()
}
