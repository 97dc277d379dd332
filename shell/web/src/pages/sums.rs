//! `/f/{farm}/sums`: the sums done at the pond, each with its working. Nothing that is typed here is kept.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use season::sums::{Given, Group, Line, Sum, Weight, Worked, sum, sums};
use words::figures::Manner;
use words::page_stocking::Filled;
use words::sums as say;

use super::{missing, sent, stocking};
use crate::parts::asked::{field, troubles};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// Their addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sums", get(list)).route("/f/{farm}/sums/{name}", get(show))
}

fn address(facts: &Served, name: &str) -> String {
    format!("/f/{}/sums/{name}", facts.id)
}

async fn list(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let body = html! {
        section.answer {
            h1 { (say::TITLE) }
            p { (say::LEAD) }
        }
        @for group in Group::ALL {
            section.part {
                h2 { (say::group(group)) }
                ul.sums {
                    @for sum in sums().filter(|sum| sum.group == group) {
                        li { a href=(address(&facts, sum.name)) { (sum.question) } }
                    }
                }
            }
        }
        p.hint { (say::NEEDS_SIGNAL) }
    };
    let frame = Frame::of(&facts, say::TITLE, Here::Sums);
    sent(framed(&frame, html! { article.one-pond.of-sums { (body) } }))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, name)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let Some(sum) = sum(&name) else { return missing() };
    let facts = desk.facts();
    let (of, asked): (Vec<_>, Vec<_>) =
        asked.into_iter().partition(|(name, _)| matches!(name.as_str(), "of" | "of_tank"));
    let typed: Vec<(&str, &str)> = asked.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    // A page just opened asks; it does not complain.
    let answer = (!typed.is_empty()).then(|| sum.read(&typed));
    let slips = match &answer {
        Some(Err(slips)) => slips.as_slice(),
        _ => &[],
    };
    let body = html! {
        section.answer {
            h1 { (sum.question) }
            @match &answer {
                Some(Ok(given)) => (worked(sum, given, facts.manner)),
                Some(Err(slips)) => (troubles(slips)),
                None => {},
            }
        }
        @if sum.name == "stocking" { (filled_in(&site, &facts, &of, &typed)) }
        section.part {
            form.entry.setup-form method="get" {
                @for input in sum.inputs { (field(input, &typed, slips)) }
                div.further {
                    button.main type="submit" { (say::WORK_OUT) }
                    @if typed.is_empty() {
                        a href=(example(&facts, sum)) { (say::EXAMPLE) }
                    } @else {
                        a href=(address(&facts, sum.name)) { (say::ANEW) }
                    }
                }
            }
            @for one in sum.cautions { p.caution { (say::caution(*one)) } }
            p.further { a href=(format!("/f/{}/sums", facts.id)) { (say::ALL) } }
        }
    };
    let frame = Frame::of(&facts, sum.question, Here::Sums);
    sent(framed(&frame, html! { article.one-pond.of-sums { (body) } }))
}

/// Where the values of a pond's filled-in sum are from, as far as they still stand in the form.
fn filled_in(site: &Site, facts: &Served, of: &[(String, String)], typed: &[(&str, &str)]) -> Markup {
    let said = |name: &str| of.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str());
    let Some(pond) = facts.farm.ponds.iter().position(|card| card.id == said("of")) else { return html! {} };
    let fish = typed.iter().find(|(name, _)| *name == "fish").map_or("", |(_, text)| text);
    let asked = vec![("tank".to_owned(), said("of_tank").to_owned()), ("fish".to_owned(), fish.to_owned())];
    let Ok(found) = waiting(|| stocking::found(site, facts, pond, &asked)) else { return html! {} };
    let stands = |one: &&Filled| typed.contains(&(one.name, one.typed.as_str()));
    html! {
        section.part {
            p { (words::page_stocking::filled_from(&facts.farm.ponds[pond].name, facts.on)) }
            dl.rows { @for one in found.filled.iter().filter(stands) { div { dt { (one.what) } dd { (one.said) } } } }
            p { a.mend href=(stocking::address(&facts.id, said("of"))) { (words::page_stocking::CAN_THEY) } }
        }
    }
}

fn example(facts: &Served, sum: &Sum) -> String {
    let pairs: Vec<String> = sum.example.iter().map(|(name, text)| format!("{name}={}", encoded(text))).collect();
    format!("{}?{}", address(facts, sum.name), pairs.join("&"))
}

/// A value as it stands in an address.
pub fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'-' | b'_' => out.push(char::from(byte)),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

fn rows(lines: &[Line], manner: Manner) -> Markup {
    html! {
        @for line in lines { div { dt { (line.says) } dd { (say::value(line, manner)) } } }
    }
}

/// The answer, what to beware of, and the working.
fn worked(sum: &'static Sum, given: &Given, manner: Manner) -> Markup {
    let worked: Worked = sum.work(given);
    let (first, rest) = worked.answers.split_at(worked.answers.len().min(1));
    html! {
        div role="status" {
            @for remark in worked.remarks.iter().filter(|remark| remark.weight == Weight::Stop) {
                p.trouble { (say::weight(remark.weight)) (remark.says) }
            }
            dl.worked.first { (rows(first, manner)) }
            dl.worked { (rows(rest, manner)) }
        }
        @for remark in worked.remarks.iter().filter(|remark| remark.weight == Weight::Watch) {
            p.odd { (say::weight(remark.weight)) (remark.says) }
        }
        @for remark in worked.remarks.iter().filter(|remark| remark.weight == Weight::Note) { p { (remark.says) } }
        @for said in say::unusual(given) { p.odd { (said) } }
        details.working {
            summary { (say::WORKING) }
            p { (sum.formula) }
            dl.worked { (rows(&worked.steps, manner)) }
            @if !given.assumed.is_empty() {
                p { (say::TAKEN) }
                ul { @for line in say::taken(given) { li { (line) } } }
            }
            @if !sum.holds.is_empty() { p { strong { (say::HOLDS) } ": " (sum.holds) } }
            p { strong { (say::SOURCE) } ": " (sum.source) ". " (say::mark(sum.mark)) }
        }
    }
}
