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
const STYLES: [&str; 14] = [
    include_str!("../assets/tokens.css"),
    include_str!("../assets/base.css"),
    include_str!("../assets/pond.css"),
    include_str!("../assets/plan.css"),
    include_str!("../assets/log.css"),
    include_str!("../assets/file.css"),
    include_str!("../assets/setup.css"),
    include_str!("../assets/scores.css"),
    include_str!("../assets/sums.css"),
    include_str!("../assets/books.css"),
    include_str!("../assets/harvest.css"),
    include_str!("../assets/drain.css"),
    include_str!("../assets/sale.css"),
    include_str!("../assets/print.css"),
];

static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    let body = STYLES.concat();
    Asset { name: format!("warmspell-{:016x}.css", digest(body.as_bytes())), kind: "text/css; charset=utf-8", body }
});

/// How entries are sent from a phone; the simulation runs the same words.
pub const SENDER: &str = include_str!("../assets/sender.js");

/// Links on a page that could not be brought back without signal.
const LINKS: &str = include_str!("../assets/links.js");

/// The script of the log's pages, served as one: its links, the phone's shelf, how it is emptied, and the page.
const SCRIPTS: [&str; 4] = [LINKS, include_str!("../assets/shelf.js"), SENDER, include_str!("../assets/outbox.js")];

/// The script of the log's pages: entries that wait on the phone.
static SCRIPT: LazyLock<Asset> = LazyLock::new(|| {
    let body = SCRIPTS.concat();
    Asset { name: format!("outbox-{:016x}.js", digest(body.as_bytes())), kind: "text/javascript; charset=utf-8", body }
});

/// The script of the set-up: the pond drawn while one types.
static SKETCH: LazyLock<Asset> = LazyLock::new(|| {
    let body = include_str!("../assets/sketch.js").to_owned();
    Asset { name: format!("sketch-{:016x}.js", digest(body.as_bytes())), kind: "text/javascript; charset=utf-8", body }
});

/// The script of the scale, beside the log's.
static STATION: LazyLock<Asset> = LazyLock::new(|| {
    let body = include_str!("../assets/station.js").to_owned();
    Asset { name: format!("station-{:016x}.js", digest(body.as_bytes())), kind: "text/javascript; charset=utf-8", body }
});

/// What a sale table's phone reckons; the simulation runs the same words.
pub const TILL_SUMS: &str = include_str!("../assets/till_sums.js");

/// The script of a sale table, beside the log's.
static TILL: LazyLock<Asset> = LazyLock::new(|| {
    let body = [TILL_SUMS, include_str!("../assets/till.js")].concat();
    Asset { name: format!("till-{:016x}.js", digest(body.as_bytes())), kind: "text/javascript; charset=utf-8", body }
});

/// The script of pages with messages to be copied.
static COPY: LazyLock<Asset> = LazyLock::new(|| {
    let body = include_str!("../assets/copy.js").to_owned();
    Asset { name: format!("copy-{:016x}.js", digest(body.as_bytes())), kind: "text/javascript; charset=utf-8", body }
});

/// Address of the script of pages with messages to be copied.
pub fn copy() -> String {
    format!("/assets/{}", COPY.name)
}

/// Address of a sale table's script.
pub fn till() -> String {
    format!("/assets/{}", TILL.name)
}

/// Address of the scale's script.
pub fn station() -> String {
    format!("/assets/{}", STATION.name)
}

/// Address of the set-up's script.
pub fn sketch() -> String {
    format!("/assets/{}", SKETCH.name)
}

/// The script of pages that change with the answer.
static FRESH: LazyLock<Asset> = LazyLock::new(|| {
    let body = [LINKS, include_str!("../assets/fresh.js")].concat();
    Asset { name: format!("fresh-{:016x}.js", digest(body.as_bytes())), kind: "text/javascript; charset=utf-8", body }
});

/// Address of the script of pages that change with the answer.
pub fn fresh() -> String {
    format!("/assets/{}", FRESH.name)
}

/// Address of the log's script.
pub fn script() -> String {
    format!("/assets/{}", SCRIPT.name)
}

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
    Router::new().route("/assets/{name}", get(asset)).route("/f/{farm}/worker.js", get(worker))
}

/// Keeps pages on the phone; its address is its scope, so it has one for each farm and is asked for anew each time.
async fn worker() -> Response {
    let kind = "text/javascript; charset=utf-8";
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "no-cache")], include_str!("../assets/worker.js"))
        .into_response()
}

async fn asset(Path(name): Path<String>) -> Response {
    let Some(asset) =
        [&*STYLE, &*SCRIPT, &*SKETCH, &*FRESH, &*STATION, &*TILL, &*COPY].into_iter().find(|asset| asset.name == name)
    else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let kept = "public, max-age=31536000, immutable";
    ([(header::CONTENT_TYPE, asset.kind), (header::CACHE_CONTROL, kept)], asset.body.as_str()).into_response()
}
