//! The pages, one file each; every address starts with the farm.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::Markup;
use season::answer::Outlook;

use crate::parts::frame;
use crate::served::Served;
use crate::site::Site;

mod accept;
mod called;
mod certificate;
pub mod enter;
mod farms;
mod files;
mod forecast;
mod log;
mod log_file;
mod log_new;
mod morning;
mod people;
mod photos;
mod plan;
mod pond;
mod setup;
mod sync;

pub use setup::distance_km;

/// Largest body that any page takes, bytes.
pub const BODY_MOST: usize = files::BACKUP_MOST;

/// All of them.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .merge(farms::routes())
        .merge(files::routes())
        .merge(forecast::routes())
        .merge(morning::routes())
        .merge(plan::routes())
        .merge(pond::routes())
        .merge(accept::routes())
        .merge(called::routes())
        .merge(log::routes())
        .merge(log_file::routes())
        .merge(photos::routes())
        .merge(log_new::routes())
        .merge(sync::routes())
        .merge(setup::routes())
        .merge(people::routes())
        .merge(enter::routes())
        .merge(certificate::routes())
        // The icon a browser asks for unbidden: there is none, and that is no fault.
        .route("/favicon.ico", get(|| async { StatusCode::NO_CONTENT }))
        .fallback(|| async { missing() })
}

/// The page for an address that leads nowhere.
pub fn missing() -> Response {
    (StatusCode::NOT_FOUND, frame::plain(words::page::MISSING_TITLE, words::page::MISSING)).into_response()
}

/// The pages of an answer as they are kept for the next start, by name: what stands within the frame.
pub fn drawn(facts: &Served, outlook: &Outlook) -> BTreeMap<String, String> {
    let mut pages = BTreeMap::from([("morning".to_owned(), morning::drawn(facts, outlook).into_string())]);
    for pond in &outlook.ponds {
        let id = facts.farm.ponds[pond.index].id.clone();
        pages.insert(id, pond::drawn(facts, outlook, pond).into_string());
    }
    pages
}

/// Sends a person on.
pub fn onward(to: &str) -> Response {
    Redirect::to(to).into_response()
}

/// A page with its answer, ready to send.
pub fn sent(page: Markup) -> Response {
    page.into_response()
}
