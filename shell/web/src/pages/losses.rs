//! `/f/{farm}/losses`: losses, each with what the record holds of its days; `/{id}/loss.pdf` to print, `/{id}/loss.zip` in open files.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::{Loss, losses};
use maud::{Markup, html};
use store::{Asked, StoreError};
use words::page_losses as say;

use super::{missing, sent};
use crate::parts::blocks::wide;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::prints::{self, LossFile};
use crate::record::{Record, waiting};
use crate::sending::bytes_saved_as;
use crate::served::Served;
use crate::site::Site;

mod gather;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/losses", get(show))
        .route("/f/{farm}/losses/{id}", get(show_one))
        .route("/f/{farm}/losses/{id}/loss.pdf", get(show_pdf))
        .route("/f/{farm}/losses/{id}/loss.zip", get(show_zip))
}

/// Losses as entered, people by their names.
fn known(record: &Record, facts: &Served) -> Result<Vec<Loss>, StoreError> {
    let mut found = record.store().facts_linked(&facts.id, Asked { kind: Some("loss"), ..Asked::default() })?;
    record.with_names(&facts.id, &mut found)?;
    Ok(losses(&found, &facts.farm.currency))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let all = match waiting(|| known(record, &facts)) {
        Ok(all) => all,
        Err(error) => return sent(plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    };
    let body = html! {
        section.answer {
            h1 { @if all.is_empty() { (say::NONE) } @else { (say::TITLE) } }
            div.why { p { (say::LEAD) } }
            p.onward {
                a.button.main href=(format!("/f/{}/log/new?kind=loss", facts.id)) { (say::ADD) } " "
                a.button href=(format!("/f/{}/log/photo", facts.id)) { (say::PHOTO) }
            }
        }
        @if !all.is_empty() {
            ul { @for loss in &all { li { a href=(format!("/f/{}/losses/{}", facts.id, loss.id)) { (say::headline(loss, &facts.farm)) } @for said in say::odd(loss) { br; span.wrong { (said) } } } } }
        }
    };
    sent(in_frame(&facts, body))
}

fn in_frame(facts: &Served, body: Markup) -> Markup {
    framed(&Frame::of(facts, say::TITLE, Here::Elsewhere), html! { article.one-pond.of-sums.losses { (body) } })
}

/// The loss that is asked for with all that belongs to it, or the page that says why not.
fn asked_for(site: &Site, farm: &str, id: &str) -> Result<(Arc<Served>, LossFile), Box<Response>> {
    let (Some(desk), Some(record)) = (site.desk(farm), site.record()) else { return Err(Box::new(missing())) };
    let facts = desk.facts();
    let read = waiting(|| {
        let Some(loss) = known(record, &facts)?.into_iter().find(|loss| loss.id == id) else { return Ok(None) };
        gather::of_loss(record, &facts, loss).map(Some)
    });
    match read {
        Ok(Some(file)) => Ok((facts, file)),
        Ok(None) => Err(Box::new(missing())),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            Err(Box::new(sent(plain(say::TITLE, &said))))
        }
    }
}

async fn show_one(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    let (facts, file) = match asked_for(&site, &farm, &id) {
        Ok(found) => found,
        Err(page) => return *page,
    };
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let base = format!("/f/{}/losses/{id}", facts.id);
    let body = html! {
        section.answer {
            h1 { (say::headline(&file.loss, &facts.farm)) }
            div.why { p.reason { (say::first(&file.loss.cause)) } }
            p.onward {
                a.button.main href=(format!("{base}/loss.pdf")) { (say::TO_PDF) } " "
                a.button href=(format!("{base}/loss.zip")) download { (say::TO_ZIP) } " "
                a.button href=(format!("/f/{}/log/{}/mend", facts.id, file.loss.head)) { (say::MEND) } " "
                a.button href=(format!("/f/{}/log/photo?pond={}", facts.id, file.loss.pond.as_deref().unwrap_or_default())) { (say::PHOTO) }
            }
        }
        dl.rows { @for (name, value) in say::rows(&file.loss, facts.farm.currency, zone, manner) { div { dt { (name) } dd { (value) } } } }
        @for said in &file.waits { p.caution { (said) } }
        p.legend { (say::SPAN) }
        section.part aria-labelledby="h-weather" {
            h2 id="h-weather" { (say::WEATHER) }
            @if file.weather.is_empty() { p { (say::NO_WEATHER) } } @else {
                (table(&say::WEATHER_HEADS, file.weather.iter().map(|(on, low, high)| say::weather_row(*on, *low, *high, manner))))
            }
        }
        section.part aria-labelledby="h-entries" {
            h2 id="h-entries" { (say::ENTRIES) }
            @if file.entries.is_empty() { p { (say::NO_ENTRIES) } } @else {
                (table(&say::ENTRY_HEADS, file.entry_rows(&facts.farm, manner).into_iter()))
            }
        }
        @if !file.weights.is_empty() {
            section.part aria-labelledby="h-weights" { h2 id="h-weights" { (say::WEIGHTS) } ul { @for said in &file.weights { li { (said) } } } }
        }
        @if !file.photos.is_empty() {
            section.part aria-labelledby="h-photos" {
                h2 id="h-photos" { (say::PHOTOS) }
                @for photo in &file.photos {
                    figure.photo {
                        img src=(format!("/f/{}/photos/{}", facts.id, photo.digest)) alt=(photo.says) loading="lazy";
                        figcaption { (photo.says) }
                    }
                }
            }
        }
        p.caution { (say::SAYS) }
        p { a.mend href=(format!("/f/{}/losses", facts.id)) { (say::TITLE) } }
    };
    sent(in_frame(&facts, body))
}

fn table<const N: usize>(heads: &[&str; N], rows: impl Iterator<Item = [String; N]>) -> Markup {
    wide(heads[1], heads, rows)
}

async fn show_pdf(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    match asked_for(&site, &farm, &id) {
        Ok((facts, file)) => {
            let paper = prints::loss_file(&facts.farm, &file, facts.manner);
            prints::sent(&paper, &format!("loss-{}", file.loss.began))
        }
        Err(page) => *page,
    }
}

async fn show_zip(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    let (facts, file) = match asked_for(&site, &farm, &id) {
        Ok(found) => found,
        Err(page) => return *page,
    };
    match gather::bundle(&facts, &file) {
        Ok(bytes) => bytes_saved_as(bytes, &format!("loss-{}.zip", file.loss.began), "application/zip"),
        Err(why) => sent(plain(say::TITLE, &why)),
    }
}
