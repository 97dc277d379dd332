//! `/f/{farm}/day/{pond}`: the evening before a harvest day: when it is done, what binds, who goes where, what is due. Printed it is the day's
//! sheet; `/calendar.ics` is the same as a calendar. Nothing typed here is kept.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use season::day::{DaySheet, DayWish, INPUTS, understand};
use season::sums::{Given, Slip};
use words::page_day as say;

use super::{missing, sent, treated};
use crate::parts::asked::{field, troubles};
use crate::parts::day_line::day_line;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::parts::misses::row;
use crate::prints::{self, escaped};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/day/{pond}", get(show))
        .route("/f/{farm}/day/{pond}/calendar.ics", get(show_calendar))
        .route("/f/{farm}/day/{pond}/sheet.pdf", get(show_pdf))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let Some(pond) = facts.farm.ponds.iter().position(|card| card.id == id) else { return missing() };
    let typed: Vec<(&str, &str)> = asked.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let (Some(outlook), Some(drawn)) = (&kept.answer, &kept.drawn) else {
        let body = html! { section.answer { h1 { (say::TITLE) } p { (say::NOT_YET) } } };
        return in_frame(&facts, kept.working.then_some(2), body);
    };
    // Every future is lived several times over: the other pages must not wait for it.
    let body = waiting(|| match understand(&typed) {
        Err(slips) => html! {
            section.answer { h1 { (say::TITLE) } (troubles(&slips)) }
            (form(&typed, &slips))
        },
        Ok((wish, given)) => {
            match facts.rehearse(drawn, outlook, pond, &DayWish { live_orders: desk.live_orders(), ..wish }) {
                Ok(sheet) => {
                    let waits = treated::said(&site, &facts, pond, sheet.on);
                    answer(&facts, &sheet, &given, &typed, waits.as_deref())
                }
                Err(error) => html! {
                    section.answer { h1 { (say::TITLE) } p.trouble { (say::trouble(&error)) } div.aside { (ponds(&facts, pond)) } }
                    (form(&typed, &[]))
                },
            }
        }
    });
    in_frame(&facts, None, body)
}

fn in_frame(facts: &Served, again_s: Option<u32>, body: Markup) -> Response {
    let frame = Frame { again_s, ..Frame::of(facts, say::TITLE, Here::Elsewhere) };
    sent(framed(&frame, html! { article.one-pond.of-sums.winter.day-sheet { (body) } }))
}

async fn show_calendar(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let pond = facts.farm.ponds.iter().position(|card| card.id == id);
    let (Some(outlook), Some(drawn), Some(pond)) = (&kept.answer, &kept.drawn, pond) else { return missing() };
    let made = crate::parts::entry::now(&facts, site.record().map_or(0, Record::now_ms)).0;
    match waiting(|| {
        facts.rehearse(drawn, outlook, pond, &DayWish { live_orders: desk.live_orders(), ..DayWish::default() })
    }) {
        Ok(sheet) => {
            let text = say::calendar(&facts.farm, &sheet, facts.manner, made);
            ([(header::CONTENT_TYPE, "text/calendar; charset=utf-8")], text).into_response()
        }
        Err(_) => missing(),
    }
}

async fn show_pdf(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let pond = facts.farm.ponds.iter().position(|card| card.id == id);
    let typed: Vec<(&str, &str)> = asked.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let (Some(outlook), Some(drawn), Some(pond)) = (&kept.answer, &kept.drawn, pond) else { return missing() };
    let Ok((wish, _)) = understand(&typed) else { return missing() };
    match waiting(|| facts.rehearse(drawn, outlook, pond, &DayWish { live_orders: desk.live_orders(), ..wish.clone() }))
    {
        Ok(sheet) => {
            let waits = treated::said(&site, &facts, pond, sheet.on);
            let paper = prints::day_sheet(&facts.farm, &sheet, waits.as_deref(), facts.manner);
            prints::sent(&paper, &format!("{id}-{}", sheet.on))
        }
        Err(error) => sent(plain(say::TITLE, &say::trouble(&error))),
    }
}

/// What was typed, as the query of another address.
fn query(typed: &[(&str, &str)]) -> String {
    let pair = |(name, text): &(&str, &str)| format!("{}={}", escaped(name), escaped(text));
    let pairs: Vec<String> = typed.iter().filter(|(_, text)| !text.is_empty()).map(pair).collect();
    if pairs.is_empty() { String::new() } else { format!("?{}", pairs.join("&")) }
}

fn answer(facts: &Served, sheet: &DaySheet, given: &Given, typed: &[(&str, &str)], waits: Option<&str>) -> Markup {
    let manner = facts.manner;
    let sure = sheet.sure();
    let mut said = say::reasons(sheet, manner).into_iter();
    html! {
        section.answer {
            h1 { (say::headline(sheet, manner)) }
            div.why {
                @if let Some(first) = said.next() { p.reason { (first) } }
                @for sentence in said { p { (sentence) } }
                p.onward { a href=(format!("/f/{}/day/{}/calendar.ics", facts.id, facts.farm.ponds[sheet.index].id)) { (say::TO_CALENDAR) } " "
                    a href=(format!("/f/{}/day/{}/sheet.pdf{}", facts.id, facts.farm.ponds[sheet.index].id, query(typed))) { (words::page_print::AS_PDF) } }
            }
            div.aside { (ponds(facts, sheet.index)) }
        }
        @if let Some(said) = waits { p.trouble { (said) } }
        (part("crews", say::CREWS, table(&say::CREWS_HEADS, sheet.crews.iter().map(|crew| say::crew_row(crew, sheet, manner)))))
        @if !sheet.first.is_empty() {
            (part("first", say::FIRST, html! {
                (table(&say::FIRST_HEADS, sheet.first.iter().map(|one| say::first_row(one, manner))))
                @if let Some(said) = say::first_says(sheet, manner) { p { (said) } }
            }))
        }
        (part("due", say::DUE, rows(say::due_rows(&facts.farm, sheet, manner))))
        (part("hands", say::HANDS, html! {
            (table(&say::HANDS_HEADS, say::hand_rows(sure, sheet, manner).into_iter()))
            @for moved in say::moves(sure) { p { (moved) } }
        }))
        section.part aria-labelledby="h-hours" {
            h2 id="h-hours" { (say::HOURS) }
            (day_line(sheet, manner))
            (hours(sheet, facts))
        }
        (part("ice", say::ICE, rows(say::ice_rows(sheet, manner))))
        @let orders = say::ice_order_rows(sheet, manner);
        @if !orders.is_empty() { (part("ice-orders", say::ICE_ORDERS, html! { (rows(orders)) p { (say::ICE_ORDERS_SAY) } })) }
        @let live = say::live_rows(sheet, manner);
        @if !live.is_empty() { (part("live", say::LIVE, rows(live))) }
        (part("calls", say::CALLS, rows(say::calls(&facts.farm, sheet, manner))))
        (part("checks", say::CHECKS, html! { ul.ticks { @for check in say::checks(sheet, manner) { li { (check) } } } }))
        (part("briefing", say::BRIEFING, html! { ul { @for line in say::briefing() { li { (line) } } } }))
        (part("waits", say::WAITS, table(&say::WAITS_HEADS, say::wait_rows(sure).into_iter())))
        (form(typed, &[]))
        @for said in words::sums::unusual(given) { p.odd { (said) } }
        details.working { summary { (say::HOW) } p { (say::METHOD) } }
    }
}

fn part(name: &str, title: &str, inner: Markup) -> Markup {
    html! {
        section.part aria-labelledby=(format!("h-{name}")) {
            h2 id=(format!("h-{name}")) { (title) }
            (inner)
        }
    }
}

fn table<const N: usize>(heads: &[&str; N], rows: impl Iterator<Item = [String; N]>) -> Markup {
    html! {
        div.wide tabindex="0" role="group" aria-label=(heads[0]) {
            table {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for cells in rows { (row(&cells)) } }
            }
        }
    }
}

fn rows(rows: Vec<[String; 2]>) -> Markup {
    html! { dl.rows { @for [name, value] in rows { div { dt { (name) } dd { (value) } } } } }
}

/// The day's lines, each with its cautions.
fn hours(sheet: &DaySheet, facts: &Served) -> Markup {
    html! {
        ol.hours {
            @for line in say::steps(sheet, facts.manner) {
                li {
                    p { b { (line.at) } " " (line.what) }
                    @if !line.care.is_empty() {
                        ul.care { @for said in line.care { li { b { (say::CARE) } " " (said) } } }
                    }
                }
            }
        }
        p.caution { (say::humane()) }
        p.caution { (say::ASKS) }
    }
}

fn ponds(facts: &Served, here: usize) -> Markup {
    html! {
        nav.kinds aria-label=(say::PONDS) {
            ul {
                @for (at, card) in facts.farm.ponds.iter().enumerate().filter(|(_, card)| card.harvested.is_none()) {
                    li { a href=(format!("/f/{}/day/{}", facts.id, card.id)) aria-current=[(at == here).then_some("page")] { (card.name) } }
                }
            }
        }
    }
}

fn form(typed: &[(&str, &str)], slips: &[Slip]) -> Markup {
    html! {
        details.part.ask #ask open[!slips.is_empty() || typed.iter().any(|(_, text)| !text.is_empty())] {
            summary { (say::ASK) }
            form.entry.setup-form method="get" {
                @for input in INPUTS { (field(input, typed, slips)) }
                button.main type="submit" { (say::WORK_OUT) }
            }
        }
    }
}
