//! `/f/{farm}/certificate`: the farm's own certificate: what it is for, how a phone takes it, how it is removed.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Extension, Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use words::page_people as say;

use super::{log, missing, sent};
use crate::listen::{Lock, Ways};
use crate::parts::frame;
use crate::site::Site;
use crate::who::Over;

/// Its addresses; open to phones that were not let in, since they must trust the farm first.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/certificate", get(show)).route("/f/{farm}/certificate/farm.crt", get(file))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Extension(ways): Extension<Arc<Ways>>,
    over: Option<Extension<Over>>,
) -> Response {
    if site.desk(&farm).is_none() {
        return missing();
    }
    let is_secure = over.is_some_and(|over| over.is_secure);
    let body = html! {
        section.logbook {
            h1 { (say::LOCK) }
            p { (say::LOCK_WHY) }
            @match &ways.lock {
                None => p.trouble { (say::LOCK_OFF) },
                Some(lock) => (steps(lock, &farm, is_secure)),
            }
            p.onward { a href=(format!("/f/{farm}/")) { (say::TO_MORNING) } }
        }
        (log::phone(&farm, None))
    };
    sent(frame::bare(say::LOCK, body))
}

fn steps(lock: &Lock, farm: &str, is_secure: bool) -> Markup {
    let systems: [&[&str]; 3] = [&say::LOCK_ANDROID, &say::LOCK_IPHONE, &say::LOCK_OTHER];
    let there = format!("{}/f/{farm}/", lock.base);
    html! {
        @if !is_secure { p.trouble { (say::LOCK_FIRST) } }
        p.onward { a.button.main href=(format!("/f/{farm}/certificate/farm.crt")) download="farm.crt" { (say::LOCK_FETCH) } }
        h2.small { (say::LOCK_PRINT) }
        p.place { (lock.authority.fingerprint()) }
        p { (say::LOCK_COMPARE) }
        @for (head, lines) in say::LOCK_HEADS.iter().zip(systems) {
            h2.small { (head) }
            ol.sets { @for line in lines { li { (line) } } }
        }
        p.hint { (say::LOCK_MENUS) }
        p { (say::LOCK_LIMITS) }
        // Not over entries that wait here: they belong to this address.
        div data-move { p { (say::LOCK_THEN) } p.place { a.mend href=(there) { (there) } } }
        p.trouble hidden data-say="first" { (say::LOCK_WAITS) }
    }
}

async fn file(Extension(ways): Extension<Arc<Ways>>) -> Response {
    let Some(lock) = &ways.lock else { return missing() };
    let head = [(header::CONTENT_TYPE, "application/x-x509-ca-cert"), (header::CACHE_CONTROL, "no-store")];
    (head, lock.authority.der().to_vec()).into_response()
}
