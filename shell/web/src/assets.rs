//! Styles and scripts within the program, named by what they hold: a name never means two things, so it is kept for ever.

use axum::Router;
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use std::sync::Arc;
use std::sync::LazyLock;

use crate::site::Site;

struct Asset {
    name: String,
    kind: &'static str,
    body: String,
}

/// The style sheets in order of their layers; served as one.
const STYLES: [&str; 5] = [
    include_str!("../assets/tokens.css"),
    include_str!("../assets/base.css"),
    include_str!("../assets/pond.css"),
    include_str!("../assets/plan.css"),
    include_str!("../assets/print.css"),
];

static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    let body = STYLES.concat();
    Asset { name: format!("warmspell-{:016x}.css", digest(body.as_bytes())), kind: "text/css; charset=utf-8", body }
});

/// Address of the style sheet.
pub fn style() -> String {
    format!("/assets/{}", STYLE.name)
}

/// FNV-1a, 64 bits: a name for bytes, not a seal.
pub fn digest(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// The address of everything within.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/assets/{name}", get(asset))
}

async fn asset(Path(name): Path<String>) -> Response {
    if name != STYLE.name {
        return StatusCode::NOT_FOUND.into_response();
    }
    let kept = "public, max-age=31536000, immutable";
    ([(header::CONTENT_TYPE, STYLE.kind), (header::CACHE_CONTROL, kept)], STYLE.body.as_str()).into_response()
}
