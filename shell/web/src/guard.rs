//! What every exchange must pass, and what every answer carries.

use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::assets::digest;
use crate::site::Site;

/// Nothing is run or drawn that does not come from this server; no script and no style stands in a page.
const CSP: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob:; connect-src 'self'; \
    manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Largest page that is named by its content, bytes.
const PAGE_MOST: usize = 4 << 20;

/// Refuses a strange Host, and a post that another site has sent.
pub async fn check(State(site): State<Arc<Site>>, request: Request, next: Next) -> Response {
    let host = text(request.headers(), "host").unwrap_or_default();
    // A refusal carries the same headers as a page.
    let mut response = if !site.knows_host(host) {
        (StatusCode::MISDIRECTED_REQUEST, words::page::STRANGE_HOST).into_response()
    } else if !matches!(*request.method(), Method::GET | Method::HEAD) && !own(request.headers(), host) {
        (StatusCode::FORBIDDEN, words::page::STRANGE_POST).into_response()
    } else {
        next.run(request).await
    };
    let headers = response.headers_mut();
    for (name, value) in [
        ("content-security-policy", CSP),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("permissions-policy", "geolocation=(self), camera=(self), microphone=()"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

fn text<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers.get(name)?.to_str().ok()
}

/// Whether a post comes from a page of our own. Browsers say so by `Sec-Fetch-Site`; on plain http they send none, and the
/// origin must then be this host.
fn own(headers: &HeaderMap, host: &str) -> bool {
    match (text(headers, "sec-fetch-site"), text(headers, "origin")) {
        (Some(site), _) => matches!(site, "same-origin" | "none"),
        (None, Some(origin)) => origin.split_once("://").is_some_and(|(_, from)| from == host),
        // No browser: it has no one's cookies to misuse.
        (None, None) => true,
    }
}

/// Names a page by what it holds, so that an unchanged one is not sent twice.
pub async fn etag(request: Request, next: Next) -> Response {
    let known = request.headers().get(header::IF_NONE_MATCH).cloned();
    let reading = matches!(*request.method(), Method::GET | Method::HEAD);
    let response = next.run(request).await;
    if !reading || response.status() != StatusCode::OK || response.headers().contains_key(header::CACHE_CONTROL) {
        return response;
    }
    let (mut parts, body) = response.into_parts();
    let Ok(bytes) = to_bytes(body, PAGE_MOST).await else {
        return StatusCode::INTERNAL_SERVER_ERROR.into_response();
    };
    // Weak: the same page may travel packed in different ways.
    let tag = format!("W/\"{:016x}\"", digest(&bytes));
    if let Ok(value) = HeaderValue::from_str(&tag) {
        parts.headers.insert(header::ETAG, value);
    }
    parts.headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("private, no-cache"));
    if known.is_some_and(|known| known.as_bytes() == tag.as_bytes()) {
        parts.status = StatusCode::NOT_MODIFIED;
        return Response::from_parts(parts, Body::empty());
    }
    Response::from_parts(parts, Body::from(bytes))
}

#[cfg(test)]
mod tests {
    use super::own;
    use axum::http::HeaderMap;

    #[test]
    fn posts_of_other_sites_are_known() {
        let head = |pairs: &[(&'static str, &str)]| {
            let mut head = HeaderMap::new();
            for (name, value) in pairs {
                head.insert(*name, value.parse().expect("a header"));
            }
            head
        };
        for (pairs, ours) in [
            (&[("sec-fetch-site", "same-origin")][..], true),
            (&[("sec-fetch-site", "cross-site"), ("origin", "http://farm:80")], false),
            (&[("sec-fetch-site", "same-site")], false),
            (&[("origin", "http://farm:80")], true),
            (&[("origin", "http://evil.example")], false),
            (&[("origin", "null")], false),
            (&[], true),
        ] {
            assert_eq!(own(&head(pairs), "farm:80"), ours, "{pairs:?}");
        }
    }
}
