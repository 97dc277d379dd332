//! `/f/{farm}/log/photo`: a photo is an entry whose bytes lie in the record; place and camera are left out unless they are wanted.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Multipart, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use farm::facts::{Happened, is_id, newest_form};
use farm::picture::{PictureError, bare, look};
use maud::{Markup, html};
use serde_json::json;
use store::{Asked, Insert, StoreError};
use words::page_log;
use words::page_photo as say;

use super::log::{in_frame, kinds};
use super::{missing, onward, sent};
use crate::parts::{entry, frame};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Largest photo taken, bytes.
const PHOTO_MOST: usize = 20 << 20;

type Fields = BTreeMap<String, String>;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    let limit = || DefaultBodyLimit::max(PHOTO_MOST + (64 << 10));
    Router::new()
        .route("/f/{farm}/log/photo", get(show))
        .route("/f/{farm}/log/photos", post(take).layer(limit()))
        .route("/f/{farm}/photos", post(put_by).layer(limit()))
        .route("/f/{farm}/photos/{digest}", get(picture))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let pond = asked.iter().find(|(key, _)| key == "pond").map_or("", |(_, value)| value.as_str());
    let (at, _) = entry::now(&facts, record.now_ms());
    let id = waiting(|| record.store().new_id()).unwrap_or_default();
    let when = entry::written(at, &facts.farm.place.zone);
    let fields = [("pond", pond.to_owned()), ("when", when), ("id", id)].map(|(key, text)| (key.to_owned(), text));
    sent(page(&facts, record, &fields.into(), &[]))
}

fn page(facts: &Served, record: &Record, fields: &Fields, wrong: &[(&str, &str)]) -> Markup {
    let text = |name: &str| fields.get(name).map_or("", String::as_str);
    let said = |name: &str| wrong.iter().find(|(of, _)| *of == name).map(|(_, said)| *said);
    let (_, live) = entry::now(facts, record.now_ms());
    let (at, _) = entry::now(facts, record.now_ms());
    let ponds = facts.farm.ponds.iter().map(|pond| (pond.id.as_str(), pond.name.as_str()));
    let ponds: Vec<(&str, &str)> = ponds.chain([("", page_log::WHOLE_FARM)]).collect();
    let body = html! {
        @if !wrong.is_empty() {
            div.trouble role="alert" {
                p { (page_log::LOOK_AGAIN) }
                ul { @for (field, said) in wrong { li { a href=(format!("#e-{field}")) { (said) } } } }
            }
        }
        form.entry.file method="post" action=(format!("/f/{}/log/photos", facts.id)) enctype="multipart/form-data"
            data-entry="photo" data-form=(newest_form("photo").map_or(1, |form| form.version))
            data-offset=(facts.farm.place.zone.offset_s(at)) data-clock=(if live { "live" } else { "kept" }) {
            input type="hidden" name="id" value=(text("id"));
            div.field {
                label for="e-photo" { (say::WHICH) }
                input #e-photo type="file" name="photo" accept="image/jpeg,image/png,image/webp" capture="environment"
                    aria-invalid=[said("photo").map(|_| "true")] aria-describedby=[said("photo").map(|_| "w-photo")];
                @if let Some(said) = said("photo") { p.wrong #w-photo { (said) } }
            }
            fieldset.chips #e-pond {
                legend { (page_log::field("pond")) }
                @for (value, label) in ponds {
                    label.chip { input type="radio" name="pond" value=(value) checked[text("pond") == value]; span { (label) } }
                }
            }
            div.field {
                label for="e-note" { (say::NOTE) }
                input #e-note type="text" name="note" value=(text("note")) autocomplete="off" maxlength="2000";
            }
            p.hint #h-keep { (say::BARE_HINT) }
            label.chip.alone {
                input type="checkbox" name="keep_place" value="yes" checked[text("keep_place") == "yes"] aria-describedby="h-keep";
                span { (say::KEEP_PLACE) }
            }
            div.field {
                label for="e-when" { (page_log::WHEN) }
                input #e-when type="datetime-local" name="when" value=(text("when"));
                @if let Some(said) = said("when") { p.wrong { (said) } }
            }
            button.main type="submit" { (page_log::KEEP) }
            (entry::beside())
        }
        (kinds(facts, text("pond"), "photo"))
    };
    in_frame(facts, page_log::kind("photo"), record.now_ms(), body)
}

/// The picture as it will be kept: bare unless the place is wanted.
fn checked(bytes: &[u8], keep_place: bool) -> Result<(&'static str, Vec<u8>), &'static str> {
    let said = |error: PictureError| match error {
        PictureError::NotAPicture => say::NOT_A_PICTURE,
        PictureError::TooLarge => say::TOO_MANY_PIXELS,
    };
    let picture = look(bytes).map_err(said)?;
    let kept = if keep_place { Some(bytes.to_vec()) } else { bare(bytes) };
    Ok((picture.media, kept.ok_or(say::NOT_A_PICTURE)?))
}

async fn fields(multipart: &mut Multipart) -> Result<(Fields, Vec<u8>), StatusCode> {
    let (mut fields, mut photo) = (Fields::new(), Vec::new());
    while let Some(field) = multipart.next_field().await.map_err(|error| error.status())? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == "photo" {
            photo = field.bytes().await.map_err(|error| error.status())?.to_vec();
        } else if ["id", "pond", "note", "when", "keep_place"].contains(&name.as_str()) {
            let text = field.text().await.map_err(|error| error.status())?;
            fields.insert(name, text.trim().chars().take(2000).collect());
        }
    }
    Ok((fields, photo))
}

async fn take(State(site): State<Arc<Site>>, Path(farm): Path<String>, mut multipart: Multipart) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let zone = &facts.farm.place.zone;
    let mut wrong = Vec::new();
    let (fields, photo) = match fields(&mut multipart).await {
        Ok(came) => came,
        Err(status) => {
            let said = if status == StatusCode::PAYLOAD_TOO_LARGE { say::TOO_LARGE } else { say::NOT_RECEIVED };
            return (status, page(&facts, record, &Fields::new(), &[("photo", said)])).into_response();
        }
    };
    let text = |name: &str| fields.get(name).map_or("", String::as_str);
    let picture = if photo.is_empty() { Err(say::NONE) } else { checked(&photo, text("keep_place") == "yes") };
    if let Err(said) = picture {
        wrong.push(("photo", said));
    }
    let (now, _) = entry::now(&facts, record.now_ms());
    let at = if text("when").is_empty() { Some(now) } else { entry::moment(text("when"), zone) };
    if at.is_none() {
        wrong.push(("when", page_log::WHEN_WRONG));
    }
    if !text("pond").is_empty() && !facts.farm.ponds.iter().any(|pond| pond.id == text("pond")) {
        wrong.push(("pond", page_log::NO_POND));
    }
    let (Ok((media, bytes)), Some(at), true) = (picture, at, wrong.is_empty()) else {
        return (StatusCode::UNPROCESSABLE_ENTITY, page(&facts, record, &fields, &wrong)).into_response();
    };
    let kept = waiting(|| {
        let id = if is_id(text("id")) { text("id").to_owned() } else { record.store().new_id()? };
        let mut fact = record.begun(&facts, &id, "photo");
        fact.happened = Happened { at, offset_s: zone.offset_s(at) };
        // The bytes first: an entry never points at what is not there.
        let digest = record.store().keep_blob(media, &bytes, record.now_ms())?;
        let said = [("photo", digest.as_str()), ("pond", text("pond")), ("note", text("note"))];
        let said = said.into_iter().filter(|(_, text)| !text.is_empty());
        fact.typed = said.map(|(key, text)| (key.to_owned(), text.to_owned())).collect();
        record.keep(fact)
    });
    match kept {
        Ok(Insert::Made { .. } | Insert::AlreadyHad { .. }) => onward(&format!("/f/{farm}/log")),
        // The same form once more with another picture: it gets a mark of its own on the fresh page.
        Ok(Insert::Differs { .. }) => onward(&format!("/f/{farm}/log/photo")),
        Err(error) => {
            let why = words::store::error(record.store().path(), &error);
            let again = [("photo", why.as_str()), ("photo", say::CHOOSE_AGAIN)];
            (StatusCode::SERVICE_UNAVAILABLE, page(&facts, record, &fields, &again)).into_response()
        }
    }
}

fn refused(record: &Record, error: &StoreError) -> Response {
    let said = words::store::error(record.store().path(), error);
    (StatusCode::SERVICE_UNAVAILABLE, frame::plain(page_log::LOG, &said)).into_response()
}

/// The bytes of a photo that waited on a phone; its entry follows by the exchange.
async fn put_by(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
    bytes: Bytes,
) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let keep_place = asked.iter().any(|(key, value)| key == "keep_place" && value == "yes");
    let (media, bytes) = match checked(&bytes, keep_place) {
        Ok(checked) => checked,
        Err(said) => return answer(StatusCode::UNPROCESSABLE_ENTITY, &json!({ "said": said })),
    };
    match waiting(|| record.store().keep_blob(media, &bytes, record.now_ms())) {
        Ok(digest) => answer(StatusCode::OK, &json!({ "digest": digest })),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            answer(StatusCode::SERVICE_UNAVAILABLE, &json!({ "said": said }))
        }
    }
}

fn answer(status: StatusCode, said: &serde_json::Value) -> Response {
    (status, [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")], said.to_string())
        .into_response()
}

/// A photo of this farm's log, named by its bytes and so kept for ever.
async fn picture(State(site): State<Arc<Site>>, Path((farm, digest)): Path<(String, String)>) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let found = waiting(|| {
        let asked = Asked { kind: Some("photo"), ..Asked::default() };
        let ours = record.store().facts_where(&farm, asked)?;
        if ours.iter().any(|kept| kept.fact.text("photo") == Some(digest.as_str())) {
            record.store().blob(&digest)
        } else {
            Ok(None)
        }
    });
    match found {
        Ok(Some((media, bytes))) if media.starts_with("image/") => {
            let head = [
                (header::CONTENT_TYPE, media),
                (header::CACHE_CONTROL, "private, max-age=31536000, immutable".to_owned()),
            ];
            (head, bytes).into_response()
        }
        Ok(_) => missing(),
        Err(error) => refused(record, &error),
    }
}
