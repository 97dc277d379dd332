//! The books as files: the journal as plain CSV, the workbook with its formulas, the report on paper.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use paper::NotInked;
use words::page_money as say;

use super::{Asked, Open, open, report};
use crate::parts::frame::plain;
use crate::sending::bytes_saved_as;
use crate::site::Site;

const CSV: &str = "text/csv; charset=utf-8";
const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
const PDF: &str = "application/pdf";

/// Ways to them.
pub(super) fn ways(open: &Open) -> Markup {
    html! {
        p.onward {
            a.button href=(open.at("/journal")) { (say::TO_JOURNAL) } " "
            a.button href=(open.at("/books.xlsx")) download { (say::TO_SHEET) } " "
            a.button href=(open.at("/journal.csv")) download { (say::TO_CSV) }
        }
    }
}

fn unmade(why: &str) -> Response {
    (StatusCode::INTERNAL_SERVER_ERROR, plain(say::TITLE, why)).into_response()
}

fn name(open: &Open, what: &str) -> String {
    format!("{}-{}-{what}", open.facts().id, say::year(open.book.year).replace('/', "-"))
}

pub async fn csv(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    match open(&site, &farm, &asked) {
        Ok(open) => {
            let text = crate::moneybook::journal_csv(&open.money.facts.farm, &open.book);
            bytes_saved_as(text.into_bytes(), &name(&open, "journal.csv"), CSV)
        }
        Err(page) => *page,
    }
}

pub async fn workbook(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let open = match open(&site, &farm, &asked) {
        Ok(open) => open,
        Err(page) => return *page,
    };
    let tables = sheets::money_book(sheets::MoneyAsk {
        farm: &open.facts().farm,
        book: &open.book,
        manner: open.facts().manner,
    });
    match sheets::write(&tables) {
        Ok(bytes) => bytes_saved_as(bytes, &name(&open, "books.xlsx"), XLSX),
        Err(why) => unmade(&why),
    }
}

pub async fn paper(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let open = match open(&site, &farm, &asked) {
        Ok(open) => open,
        Err(page) => return *page,
    };
    let told = report::of(&site, &open);
    match crate::moneybook::paper(&told, &open.money).pdf() {
        Ok(bytes) => bytes_saved_as(bytes, &name(&open, "report.pdf"), PDF),
        Err(NotInked(why)) => unmade(&why),
    }
}
