//! `/f/{farm}/enter`: the way in for a phone, by a number that the owner shows; and what those read who may not enter.

use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Extension, Form, Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use store::{Attempts, StoreError, sha256_hex};
use words::page_people as say;

use super::{log, missing, onward};
use crate::door;
use crate::parts::frame;
use crate::record::{Record, waiting};
use crate::site::Site;
use crate::who::{self, May, Over};

/// Of ten numbers tried at random in each of these spans for a whole day, the chance that one fits a number shown all that day is
/// below 1 in 10,000.
const ATTEMPTS: Attempts = Attempts { within_ms: 15 * 60_000, most_each: 5, most: 40 };
/// Longest name of a phone, bytes.
pub const NAME_MOST: usize = 60;

type Fields = Vec<(String, String)>;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/enter", get(show).post(enter).layer(DefaultBodyLimit::max(4096)))
        .route("/f/{farm}/leave", post(leave))
}

/// The digits of a number, however it was spaced.
fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

/// What the store keeps of a number; the farm is part of it.
pub fn code_hash(farm: &str, digits: &str) -> String {
    sha256_hex(format!("{farm}/{digits}").as_bytes())
}

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str())
}

fn kept_nowhere(status: StatusCode, page: Markup) -> Response {
    (status, [(header::CACHE_CONTROL, "no-store")], page).into_response()
}

async fn show(Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    let who = who::now();
    if who.may == May::Nothing {
        return kept_nowhere(StatusCode::OK, form(&farm, &digits(field(&asked, "code")), "", None, false));
    }
    kept_nowhere(
        StatusCode::OK,
        frame::bare(
            say::IN_TITLE,
            html! {
                section.answer {
                    h1 { (say::IN_TITLE) }
                    p { (say::you_are(&who.name)) }
                    p.onward { a href=(format!("/f/{farm}/")) { (say::TO_MORNING) } }
                    @if !who.is_here {
                        form method="post" action=(format!("/f/{farm}/leave")) { button type="submit" { (say::LEAVE) } }
                        p.hint { (say::END_HINT) }
                    }
                }
            },
        ),
    )
}

/// The page with the field for the number.
fn form(farm: &str, code: &str, name: &str, wrong: Option<&str>, lost: bool) -> Markup {
    let body = html! {
        section.answer {
            h1 { (say::ENTER) }
            @if let Some(wrong) = wrong {
                div.trouble role="alert" { ul { li { a href="#code" { (wrong) } } } }
            }
            @if lost { p.trouble role="alert" { (say::ENTER_LOST) } }
            p { (say::ENTER_HINT) }
            form.entry method="post" action=(format!("/f/{farm}/enter")) {
                div.field {
                    label for="code" { (say::ENTER_CODE) }
                    @if let Some(wrong) = wrong { p.wrong id="w-code" { (wrong) "." } }
                    input id="code" name="code" type="text" inputmode="numeric" autocomplete="one-time-code" maxlength="20"
                        value=(code) aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| "w-code")];
                }
                div.field {
                    label for="name" { (say::ENTER_NAME) }
                    input id="name" name="name" type="text" autocomplete="off" maxlength="40" value=(name);
                }
                button.main type="submit" { (say::ENTER_NOW) }
            }
            p.hint { (say::ENTER_WAITS) }
        }
        (log::phone(farm, None))
    };
    frame::bare(say::ENTER, body)
}

/// To somebody who was not let in.
pub fn refused(farm: &str, reads: bool) -> Response {
    kept_nowhere(StatusCode::UNAUTHORIZED, form(farm, "", "", None, !reads))
}

/// To crew on a page of the owner's.
pub fn for_the_owner(farm: &str) -> Markup {
    let body = html! {
        section.answer {
            h1 { (say::OWNERS) }
            p { (say::OWNERS_HINT) }
            p.onward { a href=(format!("/f/{farm}/")) { (say::TO_MORNING) } }
        }
    };
    frame::bare(say::OWNERS, body)
}

/// What became of a number.
enum Came {
    In(String),
    Wrong,
    /// Too many tries; how long to wait, ms.
    Wait(i64),
}

fn come(
    record: &Record,
    farm: &str,
    source: &str,
    code: &str,
    name: &str,
    is_secure: bool,
) -> Result<Came, StoreError> {
    let (store, now_ms) = (record.store(), record.now_ms());
    if let Some(again_ms) = store.attempt(source, now_ms, ATTEMPTS)? {
        return Ok(Came::Wait(again_ms - now_ms));
    }
    let Some(paired) = store.pair(farm, &code_hash(farm, code), name, now_ms)? else { return Ok(Came::Wrong) };
    let token: String = door::random::<32>()?.iter().map(|byte| format!("{byte:02x}")).collect();
    store.open_session(
        &sha256_hex(token.as_bytes()),
        &paired.device.id,
        is_secure,
        now_ms,
        now_ms + door::SESSION_MS,
    )?;
    Ok(Came::In(token))
}

async fn enter(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Extension(over): Extension<Over>,
    Form(fields): Form<Fields>,
) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let (code, typed_name) = (field(&fields, "code"), field(&fields, "name").trim());
    let name = if typed_name.is_empty() || typed_name.len() > NAME_MOST { say::A_PHONE } else { typed_name };
    let source = over.peer.to_canonical().to_string();
    let again = |status, wrong: &str| kept_nowhere(status, form(&farm, code, typed_name, Some(wrong), false));
    match waiting(|| come(record, &farm, &source, &digits(code), name, over.is_secure)) {
        Ok(Came::In(token)) => {
            let mut response = onward(&format!("/f/{farm}/"));
            let cookie = door::cookie(&farm, &token, over.is_secure, door::SESSION_MS / 1000);
            if let Ok(value) = cookie.parse() {
                response.headers_mut().insert(header::SET_COOKIE, value);
            }
            response
        }
        Ok(Came::Wrong) => again(StatusCode::UNAUTHORIZED, say::ENTER_WRONG),
        Ok(Came::Wait(left_ms)) => again(StatusCode::TOO_MANY_REQUESTS, &say::too_many(left_ms)),
        Err(error) => again(StatusCode::SERVICE_UNAVAILABLE, &words::store::error(record.store().path(), &error)),
    }
}

async fn leave(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Extension(over): Extension<Over>,
    headers: HeaderMap,
) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let ended = waiting(|| match door::session(record, &farm, &headers, over.is_secure)? {
        Some(session) => record.store().end_device(&session.device, record.now_ms()),
        None => Ok(()),
    });
    if let Err(error) = ended {
        let said = words::store::error(record.store().path(), &error);
        return kept_nowhere(StatusCode::SERVICE_UNAVAILABLE, frame::plain(say::LEAVE, &said));
    }
    let mut response = onward(&format!("/f/{farm}/enter"));
    if let Ok(value) = door::cookie(&farm, "", over.is_secure, 0).parse() {
        response.headers_mut().insert(header::SET_COOKIE, value);
    }
    response
}
