//! `/f/{farm}/log/file`: a logger's file is brought in, looked at, and then taken whole or not at all.

use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Multipart, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use sheets::SheetError;
use words::page_file as say;
use words::page_log::{self, LOOK_AGAIN};

use super::log::in_frame;
use super::{missing, onward, sent};
use crate::bench::Held;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

mod asked;
mod keeping;
mod preview;

/// Largest file taken by this page, bytes.
pub const FILE_MOST: usize = 200 << 20;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/log/file", get(show))
        .route("/f/{farm}/log/files", post(receive).layer(DefaultBodyLimit::max(FILE_MOST)))
        .route("/f/{farm}/log/file/{token}", get(preview::show))
        .route("/f/{farm}/log/file/{token}/taking", get(keeping::show).post(keeping::begin))
        .route("/f/{farm}/log/file/{token}/stop", post(keeping::stop))
        .route("/f/{farm}/log/{id}/taken-back", post(keeping::take_back))
}

/// What the form holds.
struct Form {
    pond: String,
    end: String,
    depth: String,
    unit: String,
    wrong: Vec<(&'static str, &'static str)>,
}

impl Form {
    fn fresh(facts: &Served, pond: Option<&str>) -> Form {
        let known = facts.farm.ponds.iter().find(|one| Some(one.id.as_str()) == pond).or(facts.farm.ponds.first());
        let unit = page_log::units("depth", facts.manner)[0].1;
        Form {
            pond: known.map_or(String::new(), |pond| pond.id.clone()),
            end: "deep".to_owned(),
            depth: if unit == "in" { "18" } else { "45" }.to_owned(),
            unit: unit.to_owned(),
            wrong: Vec::new(),
        }
    }
    /// The depth with its unit, as typed.
    fn depth(&self) -> String {
        let bare = self.depth.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
        if bare { format!("{} {}", self.depth, self.unit) } else { self.depth.clone() }
    }
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let pond = asked.iter().find(|(key, _)| key == "pond").map(|(_, value)| value.as_str());
    sent(in_frame(&facts, say::TITLE, record.now_ms(), form(&facts, &Form::fresh(&facts, pond))))
}

fn form(facts: &Served, form: &Form) -> Markup {
    let wrong = |field: &str| form.wrong.iter().find(|(of, _)| *of == field).map(|(_, said)| *said);
    let chips = |name: &str, label: &str, chosen: &str, all: Vec<(&str, &str)>| {
        html! {
            fieldset.chips id=(format!("e-{name}")) {
                legend { (label) }
                @for (value, text) in all {
                    label.chip { input type="radio" name=(name) value=(value) checked[chosen == value]; span { (text) } }
                }
            }
        }
    };
    html! {
        @if !form.wrong.is_empty() {
            div.trouble role="alert" {
                p { (LOOK_AGAIN) }
                ul { @for (field, said) in &form.wrong { li { a href=(format!("#e-{field}")) { (said) } } } }
            }
        }
        p { (say::HINT) }
        form.entry.file method="post" action=(format!("/f/{}/log/files", facts.id)) enctype="multipart/form-data" {
            (chips("pond", say::POND, &form.pond, facts.farm.ponds.iter().map(|pond| (pond.id.as_str(), pond.name.as_str())).collect()))
            (chips("end", say::END, &form.end, ["deep", "middle", "shallow"].map(|word| (word, page_log::end(word))).into()))
            div.field {
                label for="e-depth" { (say::DEPTH) }
                span.typed {
                    input #e-depth type="text" name="depth" value=(form.depth) inputmode="decimal" autocomplete="off" maxlength="40"
                        aria-invalid=[wrong("depth").map(|_| "true")] aria-describedby=[wrong("depth").map(|_| "w-depth")];
                    select name="unit-depth" aria-label=(format!("{}: {}", page_log::UNIT, say::DEPTH)) {
                        @for (label, unit) in page_log::units("depth", facts.manner) {
                            option value=(unit) selected[form.unit == *unit] { (label) }
                        }
                    }
                }
                @if let Some(said) = wrong("depth") { p.wrong #w-depth { (said) } }
            }
            div.field {
                label for="e-file" { (say::FILE) }
                input #e-file type="file" name="file" accept=".csv,.tsv,.txt,.dat,.log,.xlsx,text/csv,text/plain"
                    aria-invalid=[wrong("file").map(|_| "true")] aria-describedby=[wrong("file").map(|_| "w-file")];
                @if let Some(said) = wrong("file") { p.wrong #w-file { (said) } }
            }
            button.main type="submit" { (say::LOOK) }
        }
    }
}

/// What came, field by field; the file's name and bytes.
async fn fields(multipart: &mut Multipart, form: &mut Form) -> Result<Option<(String, Vec<u8>)>, StatusCode> {
    let mut file = None;
    while let Some(field) = multipart.next_field().await.map_err(|error| error.status())? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == "file" {
            let own = field.file_name().unwrap_or_default().to_owned();
            let bytes = field.bytes().await.map_err(|error| error.status())?;
            file = (!bytes.is_empty()).then(|| (own, bytes.to_vec()));
            continue;
        }
        let text = field.text().await.map_err(|error| error.status())?.trim().chars().take(80).collect();
        match name.as_str() {
            "pond" => form.pond = text,
            "end" => form.end = text,
            "depth" => form.depth = text,
            "unit-depth" => form.unit = text,
            _ => {}
        }
    }
    Ok(file)
}

async fn receive(State(site): State<Arc<Site>>, Path(farm): Path<String>, mut multipart: Multipart) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let mut shown = Form::fresh(&facts, None);
    let received = fields(&mut multipart, &mut shown).await;
    if !facts.farm.ponds.iter().any(|pond| pond.id == shown.pond) {
        shown.wrong.push(("pond", page_log::NO_POND));
    }
    if asked::depth_m(&shown.depth()).is_none() {
        shown.wrong.push(("depth", say::NO_DEPTH));
    }
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    match received {
        Err(StatusCode::PAYLOAD_TOO_LARGE) => {
            status = StatusCode::PAYLOAD_TOO_LARGE;
            shown.wrong.push(("file", say::TOO_LARGE));
        }
        Err(_) => shown.wrong.push(("file", say::NOT_RECEIVED)),
        Ok(None) => shown.wrong.push(("file", say::NO_FILE)),
        Ok(Some((name, bytes))) if shown.wrong.is_empty() => {
            let laid = waiting(|| {
                let token = record.store().new_id().map_err(|_| say::NOT_RECEIVED)?;
                let held = Held::new(token.clone(), &farm, &name, bytes).map_err(|error| match error {
                    SheetError::NotAWorkbook => say::NOT_A_WORKBOOK,
                    SheetError::TooLarge => say::BOOK_TOO_LARGE,
                })?;
                record.bench().lay(held);
                Ok(token)
            });
            match laid {
                Ok(token) => return onward(&asked::address(&farm, &token, &shown.pond, &shown.end, &shown.depth())),
                Err(said) => shown.wrong.push(("file", said)),
            }
        }
        Ok(Some(_)) => {}
    }
    let page = in_frame(&facts, say::TITLE, record.now_ms(), form(&facts, &shown));
    (status, page).into_response()
}
