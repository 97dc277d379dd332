//! `/f/{farm}/harvest/record`: the cold as an inspector wants to read it, as a page and as a PDF.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::Response;
use farm::facts::{ColdOf, DayRecord, Kept, working_day_of};
use maud::html;
use store::StoreError;
use units::{Day, Instant};
use words::page_harvest as say;

use super::{Fields, known, moment, record_of};
use crate::pages::{missing, sent};
use crate::parts::blocks::blocks_named;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::prints;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

pub(super) async fn show_record(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Fields>,
) -> Response {
    let (facts, on, day) = match asked_for(&site, &farm, &asked) {
        Ok(found) => found,
        Err(page) => return *page,
    };
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let body = html! {
        article.one-pond.of-sums.cold-record {
            section.answer { h1 { (say::RECORD) ", " (facts.farm.name) } p { (say::of_day(on)) } }
            @if day.colds.is_empty() { p { (say::RECORD_NONE) } } @else {
                (blocks_named(&say::RECORD_HEADS, day.colds.iter().map(|cold| say::record_row(cold, zone, manner)), 1))
            }
            dl.rows { @for (_, of) in ColdOf::ALL { div { dt { (say::cold_of(of)) } dd { (say::limit(of, manner)) } } } }
            p.caution { (say::RECORD_SAYS) }
            p {
                a.mend href=(format!("/f/{}/harvest/record.pdf?day={on}", facts.id)) { (words::page_print::AS_PDF) } " "
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
    match asked_for(&site, &farm, &asked) {
        Ok((facts, on, day)) => {
            let paper = prints::cold_record(&facts.farm.name, on, &day, &facts.farm.place.zone, facts.manner);
            prints::sent(&paper, &format!("cold-{on}"))
        }
        Err(page) => *page,
    }
}

/// The day that is asked for with its record, or the page that says why not.
fn asked_for(site: &Site, farm: &str, asked: &Fields) -> Result<(Arc<Served>, Day, DayRecord), Box<Response>> {
    let (Some(desk), Some(record)) = (site.desk(farm), site.record()) else { return Err(Box::new(missing())) };
    let facts = desk.facts();
    let now = moment(&facts, record, asked);
    match waiting(|| named(record, &facts, now)) {
        Ok(entries) => {
            let on = working_day_of(now, &facts.farm.place.zone);
            let day = record_of(&facts, &entries, now, None);
            Ok((facts, on, day))
        }
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            Err(Box::new(sent(plain(say::RECORD, &said))))
        }
    }
}

/// The day's entries with people's names.
fn named(record: &Record, facts: &Served, now: Instant) -> Result<Vec<Kept>, StoreError> {
    let mut entries = known(record, facts, now)?;
    record.with_names(&facts.id, &mut entries)?;
    Ok(entries)
}
