//! `/f/{farm}/sale/receipt/{mark}`: a receipt on the screen, to print, as text to copy; `.pdf` on paper. Refunds begin here, as entries of their own.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farm::facts::is_id;
use farm::facts::market::{AccountOf, Payment, Sold};
use maud::{Markup, html};
use paper::{Block, Column, Paper, Sheet, Table};
use units::Money;
use words::figures::Manner;
use words::page_sale as say;

use super::sale::{in_address, known};
use super::{missing, sent};
use crate::market_read::Known;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::served::Served;
use crate::site::Site;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sale/receipt/{mark}", get(show)).route("/f/{farm}/sale/receipt/{mark}/pdf", get(pdf))
}

/// The receipt as the record knows it; `None` when nothing of it has arrived.
fn whole<'a>(facts: &'a Served, known: &'a Known, mark: &'a str) -> Option<say::Whole<'a>> {
    let lines: Vec<&Sold> = known.market.lines_of(mark).collect();
    let order = lines.iter().find_map(|line| line.order.as_deref());
    let of = |one: &&Payment| {
        one.receipt.as_deref() == Some(mark)
            || (order.is_some() && one.order.as_deref() == order && one.receipt.is_none())
    };
    let paid: Vec<&Payment> = known.market.paid.iter().filter(of).collect();
    if lines.is_empty() && paid.is_empty() {
        return None;
    }
    let accounts = known.market.accounts();
    let account = match order {
        Some(order) => accounts.get(&AccountOf::Order(order.to_owned())),
        None => accounts.get(&AccountOf::Receipt(mark.to_owned())),
    };
    let owed = account.map_or(Money { coins: 0 }, |account| account.owing());
    let (zone, manner, currency) = (&facts.farm.place.zone, facts.manner, facts.farm.currency);
    Some(say::Whole { farm: &facts.farm.name, mark, lines, paid, owed, zone, manner, currency })
}

async fn show(State(site): State<Arc<Site>>, Path((farm, mark)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    if !is_id(&mark) {
        return missing();
    }
    let facts = desk.facts();
    let known = match known(record, &facts) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let body = match whole(&facts, &known, &mark) {
        Some(receipt) => page(&facts, &receipt),
        None => html! { section.answer { h1 { (say::RECEIPT) " " (say::number(&mark)) } p { (say::UNKNOWN) } } },
    };
    let back = html! { p { a.mend href=(format!("/f/{}/sale", facts.id)) { (say::TO_SALE) } } };
    sent(framed(
        &Frame::of(&facts, say::RECEIPT, Here::Sale),
        html! { article.one-pond.of-sums.receipt { (body) (back) } },
    ))
}

fn page(facts: &Served, receipt: &say::Whole) -> Markup {
    let base = format!("/f/{}/log/new", facts.id);
    let last = receipt.lines.last();
    let table = last.map_or("", |line| line.table.as_str());
    let pay = |more: &str| format!("{base}?kind=paid&receipt={}&table={}{more}", receipt.mark, in_address(table));
    html! {
        section.answer { h1 { (receipt.farm) } p { (receipt.head()) } }
        dl.rows { @for [what, much] in receipt.rows() { div { dt { (what) } dd { (much) } } } }
        @for said in say::food(&receipt.lines) { p { (said) } }
        div.onward {
            p { a.button href=(format!("/f/{}/sale/receipt/{}/pdf", facts.id, receipt.mark)) { (say::TO_PDF) } }
            @for line in receipt.lines.iter().filter(|line| line.takes_back.is_none()) {
                p {
                    a.mend href=(format!(
                        "{base}?kind=sale&table={}&receipt={}&sold_as={}&size={}&price={}&takes_back={}&of_order={}&buyer={}",
                        in_address(&line.table), receipt.mark, line.good.sold_as.word(), in_address(&line.good.size),
                        in_address(&say::price(line.pays, facts.manner, facts.farm.currency)), line.entered.id,
                        in_address(line.order.as_deref().unwrap_or_default()), in_address(line.buyer.as_deref().unwrap_or_default())
                    )) { (say::TAKE_BACK) ": " (say::line(line, facts.manner, facts.farm.currency)[0]) }
                }
            }
            p {
                a.mend href=(pay("&given_back=yes")) { (say::GIVE_BACK) } " "
                a.mend href=(pay("")) { (say::PAY_MORE) }
            }
            details { summary { (say::AS_TEXT) } textarea rows="10" readonly aria-label=(say::AS_TEXT) { (receipt.text()) } }
        }
    }
}

async fn pdf(State(site): State<Arc<Site>>, Path((farm, mark)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let known = match known(record, &facts) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let Some(receipt) = whole(&facts, &known, &mark) else { return missing() };
    match printed(&receipt).pdf() {
        Ok(bytes) => ([(header::CONTENT_TYPE, "application/pdf")], bytes).into_response(),
        Err(_) => missing(),
    }
}

fn printed(receipt: &say::Whole) -> Paper {
    let rows: Vec<Vec<String>> = receipt.rows().into_iter().map(Vec::from).collect();
    let totals = rows.len() - receipt.lines.len();
    let table = Table {
        columns: vec![Column::words(say::RECEIPT, 4.0), Column::figures(receipt.currency.code(), 1.0)],
        rows,
        totals,
        by_hand_mm: None,
    };
    let food = say::food(&receipt.lines).into_iter().map(str::to_owned).collect::<Vec<_>>();
    let sheet = if receipt.manner == Manner::UsCustomary { Sheet::Letter } else { Sheet::A4 };
    Paper {
        title: receipt.farm.to_owned(),
        language: "en".to_owned(),
        sheet,
        foot: receipt.head(),
        blocks: vec![Block::Text(receipt.head()), Block::Table(table), Block::Text(food.join("\n"))],
    }
}
