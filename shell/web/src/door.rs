//! The door: who may come in, and where to. Everything is shut unless it stands here.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use ring::rand::{SecureRandom, SystemRandom};
use store::{Session, StoreError, sha256_hex};

use crate::pages;
use crate::parts::frame;
use crate::record::{Record, waiting};
use crate::site::Site;
use crate::who::{May, Over, WHO, Who};

/// How long a phone stays let in without being seen, ms: a year, since a season's phones should not fall out in the last weeks.
pub const SESSION_MS: i64 = 365 * 24 * 3_600_000;
/// How often it is noted that a phone was seen, ms.
const SEEN_MS: i64 = 3_600_000;

/// Name of the cookie. Cookies know no scheme and no port: one name for both would let the plain page overwrite the other's.
pub fn cookie_name(is_secure: bool) -> &'static str {
    if is_secure { "__Secure-phone" } else { "phone-plain" }
}

/// The cookie that lets a phone in to one farm.
pub fn cookie(farm: &str, token: &str, is_secure: bool, seconds: i64) -> String {
    let secure = if is_secure { "; Secure" } else { "" };
    let name = cookie_name(is_secure);
    format!("{name}={token}; Path=/f/{farm}; Max-Age={seconds}; HttpOnly; SameSite=Lax{secure}")
}

/// Random bytes of the system.
///
/// # Errors
/// When the system gives none.
pub fn random<const N: usize>() -> Result<[u8; N], StoreError> {
    let mut bytes = [0; N];
    SystemRandom::new().fill(&mut bytes).map_err(|_| StoreError::Other("no random bytes".to_owned()))?;
    Ok(bytes)
}

fn token_of(headers: &HeaderMap, is_secure: bool) -> Option<String> {
    let name = cookie_name(is_secure);
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(key, value)| *key == name && value.len() == 64)
        .map(|(_, value)| value.to_owned())
}

/// The session of a request, if its phone is let in to this farm over this scheme.
///
/// # Errors
/// When the record cannot be read.
pub fn session(
    record: &Record,
    farm: &str,
    headers: &HeaderMap,
    is_secure: bool,
) -> Result<Option<Session>, StoreError> {
    let Some(token) = token_of(headers, is_secure) else { return Ok(None) };
    let (hash, now_ms) = (sha256_hex(token.as_bytes()), record.now_ms());
    let found = record.store().session(&hash, now_ms)?;
    let found = found.filter(|session| session.person.farm == farm && session.is_secure == is_secure);
    if found.as_ref().is_some_and(|session| now_ms - session.seen_ms > SEEN_MS) {
        // A disk that is full shuts nobody out.
        let _noted = record.store().session_seen(&hash, now_ms);
    }
    Ok(found)
}

/// What anybody may fetch: nothing in it speaks of a farm.
fn is_open(path: &str) -> bool {
    matches!(path, "/" | "/favicon.ico" | "/openapi.json") || path.starts_with("/assets/")
}

/// What anybody may fetch of a farm: the way in.
fn is_way_in(rest: &str) -> bool {
    matches!(rest, "enter" | "worker.js" | "certificate" | "certificate/farm.crt")
}

/// What the work needs. A page that is not here is its owner's.
fn crew_may(method: &Method, rest: &str) -> bool {
    let reads = matches!(*method, Method::GET | Method::HEAD);
    let parts: Vec<&str> = rest.split('/').collect();
    match parts.as_slice() {
        ["harvest", "tally"] => true,
        [""]
        | ["log" | "called-and-came" | "seasons" | "tanks" | "trace"]
        | ["ponds" | "sums" | "harvest" | "day" | "drain" | "sale", ..]
        | ["photos", _] => reads,
        ["log", "new" | "photo" | "photos" | "away" | "done"] | ["photos" | "sync" | "leave"] => true,
        ["log", _, "mend" | "settlement"] | ["log", "done", _, "back"] => true,
        _ => false,
    }
}

/// Lets in, shows the way in, or refuses.
pub async fn check(State(site): State<Arc<Site>>, request: Request, next: Next) -> Response {
    let over = request.extensions().get::<Over>().copied();
    if over.is_some_and(|over| over.is_here(request.headers())) {
        return WHO.scope(Who::here(), next.run(request)).await;
    }
    let path = request.uri().path().to_owned();
    if is_open(&path) {
        return WHO.scope(Who::nobody(), next.run(request)).await;
    }
    // As it stands in the request: an address written in another way than ours leads nowhere.
    let (farm, rest) = match path.strip_prefix("/f/") {
        Some(after) => after.split_once('/').unwrap_or((after, "")),
        None => return pages::missing(),
    };
    let (Some(_), Some(record), Some(over)) = (site.desk(farm), site.record(), over) else { return pages::missing() };
    let found = waiting(|| session(record, farm, request.headers(), over.is_secure));
    let who = match &found {
        Ok(Some(session)) => Who::of(session),
        Ok(None) => Who::nobody(),
        Err(error) => {
            let said = words::store::error(record.store().path(), error);
            let page = frame::plain(words::page_people::ENTER, &said);
            return (StatusCode::SERVICE_UNAVAILABLE, page).into_response();
        }
    };
    let may = who.may;
    if is_way_in(rest) || may == May::All || (may == May::Work && crew_may(request.method(), rest)) {
        return WHO.scope(who, next.run(request)).await;
    }
    if may == May::Work {
        return (StatusCode::FORBIDDEN, pages::enter::for_the_owner(farm)).into_response();
    }
    if rest == "sync" || rest == "photos" {
        return (StatusCode::UNAUTHORIZED, [(header::CACHE_CONTROL, "no-store")], words::page_people::NOT_IN)
            .into_response();
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    WHO.scope(who, async { pages::enter::refused(farm, reads) }).await
}

#[cfg(test)]
mod tests {
    use super::{Method, cookie, crew_may, is_way_in};

    #[test]
    fn crew_go_where_their_work_is() {
        for (method, rest, may) in [
            (Method::GET, "", true),
            (Method::GET, "log", true),
            (Method::POST, "log/new", true),
            (Method::POST, "log/0a/mend", true),
            (Method::POST, "log/0a/settlement", true),
            (Method::GET, "ponds/heron", true),
            (Method::GET, "called-and-came", true),
            (Method::GET, "sums/ammonia", true),
            (Method::GET, "drain/heron", true),
            (Method::POST, "drain/heron", false),
            (Method::GET, "sale", true),
            (Method::GET, "sale/table/Gate", true),
            (Method::GET, "sale/receipt/0a", true),
            (Method::GET, "buyers", false),
            (Method::POST, "sale", false),
            (Method::GET, "files/tables/forecast.csv", false),
            (Method::POST, "ponds/heron", false),
            (Method::POST, "sync", true),
            (Method::GET, "people", false),
            (Method::GET, "trace", true),
            (Method::GET, "trace/recall.pdf", false),
            (Method::GET, "due", false),
            (Method::GET, "losses", false),
            (Method::GET, "books", false),
            (Method::GET, "books/journal.csv", false),
            (Method::POST, "books/budget", false),
            (Method::POST, "people/codes", false),
            (Method::GET, "plan", false),
            (Method::POST, "plan/acceptances", false),
            (Method::GET, "files/backup.db", false),
            (Method::GET, "log/file", false),
            (Method::POST, "log/files", false),
            (Method::GET, "setup", false),
            (Method::GET, "setup/log/0a/mend", false),
            (Method::GET, "log//mend/x", false),
        ] {
            assert_eq!(crew_may(&method, rest), may, "{method} {rest}");
        }
        assert!(is_way_in("enter") && !is_way_in("enter/") && !is_way_in("people"));
    }

    #[test]
    fn cookies_belong_to_a_farm_and_a_scheme() {
        let plain = cookie("bend", "t", false, 9);
        assert_eq!(plain, "phone-plain=t; Path=/f/bend; Max-Age=9; HttpOnly; SameSite=Lax");
        assert_eq!(
            cookie("bend", "t", true, 9),
            "__Secure-phone=t; Path=/f/bend; Max-Age=9; HttpOnly; SameSite=Lax; Secure"
        );
    }
}
