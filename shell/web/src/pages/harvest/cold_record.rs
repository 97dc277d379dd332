//! `/f/{farm}/harvest/record`: the cold as an inspector wants to read it, as a page and as a PDF.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::Response;
use farm::facts::{ColdOf, Kept, working_day_of};
use maud::html;
use store::StoreError;
use units::Instant;
use words::page_harvest as say;

use super::{Fields, known, moment, record_of};
use crate::pages::{missing, sent};
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::parts::misses::row;
use crate::prints;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

pub(super) async fn show_record(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Fields>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let now = moment(&facts, record, &asked);
    let entries = match waiting(|| named(record, &facts, now)) {
        Ok(entries) => entries,
        Err(error) => return sent(plain(say::RECORD, &words::store::error(record.store().path(), &error))),
    };
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let day = record_of(&facts, &entries, now, None);
    let body = html! {
        article.one-pond.of-sums {
            section.answer { h1 { (say::RECORD) ", " (facts.farm.name) } p { (say::of_day(working_day_of(now, zone))) } }
            @if day.colds.is_empty() { p { (say::RECORD_NONE) } } @else {
                div.wide tabindex="0" role="group" aria-label=(say::RECORD) {
                    table {
                        thead { tr { @for head in say::RECORD_HEADS { th scope="col" { (head) } } } }
                        tbody { @for cold in &day.colds { (row(&say::record_row(cold, zone, manner))) } }
                    }
                }
            }
            dl.rows { @for (_, of) in ColdOf::ALL { div { dt { (say::cold_of(of)) } dd { (say::limit(of, manner)) } } } }
            p.caution { (say::RECORD_SAYS) }
            p {
                a.mend href=(format!("/f/{}/harvest/record.pdf?day={}", facts.id, working_day_of(now, zone))) { (words::page_print::AS_PDF) } " "
                a.mend href=(format!("/f/{}/harvest", facts.id)) { (say::TO_BOARD) }
            }
        }
    };
    sent(framed(&Frame::of(&facts, say::RECORD, Here::Elsewhere), body))
}

pub(super) async fn show_record_pdf(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Fields>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let now = moment(&facts, record, &asked);
    match waiting(|| named(record, &facts, now)) {
        Ok(entries) => {
            let zone = &facts.farm.place.zone;
            let (on, day) = (working_day_of(now, zone), record_of(&facts, &entries, now, None));
            let paper = prints::cold_record(&facts.farm.name, on, &day, zone, facts.manner);
            prints::sent(&paper, &format!("cold-{on}"))
        }
        Err(error) => sent(plain(say::RECORD, &words::store::error(record.store().path(), &error))),
    }
}

/// The day's entries with people's names.
fn named(record: &Record, facts: &Served, now: Instant) -> Result<Vec<Kept>, StoreError> {
    let mut entries = known(record, facts, now)?;
    record.with_names(&facts.id, &mut entries)?;
    Ok(entries)
}
