//! `POST /f/{farm}/sync`: what a phone kept is laid into the record.

use std::sync::Arc;

use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Router, body::Bytes};

use super::missing;
use crate::exchange::answer;
use crate::record::waiting;
use crate::site::Site;
use crate::who;

/// Largest body, bytes.
const MOST: usize = 1 << 20;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sync", post(exchange).layer(DefaultBodyLimit::max(MOST))).route(
        "/openapi.json",
        get(|| async { json_of(StatusCode::OK, include_str!("../../openapi.json").to_owned()) }),
    )
}

fn json_of(status: StatusCode, body: String) -> Response {
    (status, [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")], body).into_response()
}

async fn exchange(State(site): State<Arc<Site>>, Path(farm): Path<String>, body: Bytes) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let answered = waiting(|| {
        let answered = answer(record.store(), &farm, &who::now(), &body, record.now_ms());
        // The entries are on the disk: that the desk could not be told must not make the phone send again for ever.
        if answered.is_new {
            let _told = site.recorded(&farm);
        }
        answered
    });
    json_of(StatusCode::from_u16(answered.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR), answered.body)
}
