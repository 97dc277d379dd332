//! The season's report as a page.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::html;
use words::page_money as say;
use words::page_money::Report;

use super::{Asked, Open, in_frame, open, table};
use crate::parts::frame::Here;
use crate::record::waiting;
use crate::site::Site;

/// The report of an open book; what cannot be read of decisions and forecasts is left out and said so.
pub(super) fn of(site: &Site, open: &Open) -> Report {
    let record = site.record();
    waiting(|| crate::moneybook::report(record, &open.money, &open.book))
}

pub async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let open = match open(&site, &farm, &asked) {
        Ok(open) => open,
        Err(page) => return *page,
    };
    let told = of(&site, &open);
    let body = html! {
        section.answer {
            h1 { (told.answer) }
            div.why { p.reason { (told.reason) } }
            @if open.money.is_invented { p.odd { (say::INVENTED) } }
            p.onward {
                a.button.main href=(open.at("/report.pdf")) download { (say::TO_PAPER) } " "
                a.button href=(open.at("/books.xlsx")) download { (say::TO_SHEET) } " "
                a.mend href=(open.at("")) { (say::TITLE) }
            }
        }
        @for part in &told.parts {
            section.part {
                h2 { (part.heading) }
                @for said in &part.said { p { (said) } }
                @if !part.points.is_empty() { ul { @for point in &part.points { li { (point) } } } }
                @if let Some((heads, rows)) = &part.table { (table(&part.heading, heads, rows.iter().cloned())) }
            }
        }
    };
    in_frame(open.facts(), say::REPORT, Here::Books, body)
}
