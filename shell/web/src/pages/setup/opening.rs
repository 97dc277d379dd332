//! `/setup/open`: a farm file that someone has, opened as a draft to be looked over.

use std::sync::Arc;

use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use farm::reasons::Reason;
use farm::setup::Draft;
use maud::{Markup, html};
use words::page_setup as say;

use super::drafts;
use super::step::in_frame;
use crate::pages::farms::refused;
use crate::pages::{missing, onward, sent};
use crate::record::waiting;
use crate::site::Site;

/// The page.
pub async fn show(State(site): State<Arc<Site>>) -> Response {
    sent(page(&site, "", &[], None))
}

/// A file or its text came.
pub async fn take(State(site): State<Arc<Site>>, mut form: Multipart) -> Response {
    let Some(record) = site.record() else { return missing() };
    let (mut file, mut typed) = (String::new(), String::new());
    while let Ok(Some(part)) = form.next_field().await {
        let is_file = part.name() == Some("file");
        let Ok(bytes) = part.bytes().await else { continue };
        let text = String::from_utf8_lossy(&bytes).into_owned();
        if is_file { file = text } else { typed = text.replace("\r\n", "\n") }
    }
    let text = if file.trim().is_empty() { typed } else { file };
    if text.trim().is_empty() {
        return (StatusCode::UNPROCESSABLE_ENTITY, page(&site, "", &[], Some(say::OPEN_EMPTY))).into_response();
    }
    let draft = match Draft::read(&text) {
        Ok(draft) => draft,
        Err(reasons) => {
            return (StatusCode::UNPROCESSABLE_ENTITY, page(&site, &text, &reasons, Some(say::OPEN_WRONG)))
                .into_response();
        }
    };
    let kept = waiting(|| {
        let farm = drafts::begin(record, &site, draft.get("farm.name"))?;
        drafts::keep_draft(record, &farm, &draft)?;
        Ok(farm)
    });
    match kept {
        Ok(farm) => onward(&format!("/f/{farm}/setup")),
        Err(error) => refused(&site, &error),
    }
}

fn page(site: &Site, text: &str, reasons: &[Reason], trouble: Option<&str>) -> Markup {
    let body = html! {
        section.logbook.setup {
            h1 { (say::OPEN) }
            p.reason { (say::OPEN_SAYS) }
            @if let Some(trouble) = trouble {
                div.trouble role="alert" {
                    p { (trouble) }
                    ul { @for reason in reasons { li { a href="#e-text" { (words::farm::reason("farm.toml", reason)) } } } }
                }
            }
            form.entry.setup-form method="post" enctype="multipart/form-data" action="/setup/open" {
                div.field { label for="e-file" { (say::OPEN_FILE) } input #e-file type="file" name="file" accept=".toml,text/plain"; }
                div.field {
                    label for="e-text" { (say::OPEN_TEXT) }
                    textarea #e-text name="text" spellcheck="false" autocomplete="off" { (text) }
                }
                button.main type="submit" { (say::OPEN_NOW) }
            }
        }
    };
    in_frame(site, None, "", say::OPEN, body)
}
