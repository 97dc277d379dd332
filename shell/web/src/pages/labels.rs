//! `/f/{farm}/harvest/labels`: labels for tubs and packs, made to be printed. Nothing typed here is kept.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::PondCard;
use farm::facts::working_day_of;
use maud::{Markup, html};
use season::labels::{INPUTS, Label, label};
use season::sums::Slip;
use units::Day;
use words::figures::Manner;
use words::page_labels as say;

use super::{missing, sent};
use crate::parts::asked::field;
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::parts::qr;
use crate::prints;
use crate::record::Record;
use crate::served::Served;
use crate::site::Site;

/// Free modules on each side of the bars.
const QUIET: u32 = 10;
/// Height of the bars in modules.
const HIGH: u32 = 50;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/harvest/labels", get(show)).route("/f/{farm}/harvest/labels.pdf", get(show_pdf))
}

type Asked = Vec<(String, String)>;

/// Which pond and day are meant, and what was typed.
fn wanted<'a>(site: &Site, facts: &'a Served, asked: &'a Asked) -> (&'a PondCard, Day, Vec<(&'a str, &'a str)>) {
    let of = |name: &str| asked.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str());
    let ponds = &facts.farm.ponds;
    let card = ponds.iter().find(|card| card.id == of("pond")).unwrap_or(&ponds[0]);
    let now = entry::now(facts, site.record().map_or(0, Record::now_ms)).0;
    // Another day's catch by the board's link; a day ahead was not caught yet.
    let today = working_day_of(now, &facts.farm.place.zone);
    let day = Day::parse(of("day")).filter(|day| *day <= today).unwrap_or(today);
    let typed = asked.iter().filter(|(name, _)| !matches!(name.as_str(), "pond" | "day"));
    (card, day, typed.map(|(name, text)| (name.as_str(), text.as_str())).collect())
}

async fn show_pdf(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let (card, day, typed) = wanted(&site, &facts, &asked);
    match label(&card.id, day, &typed, facts.manner == Manner::UsCustomary) {
        Ok(made) => {
            let paper = prints::labels(&facts.farm.name, &card.name, &made, facts.manner);
            prints::sent(&paper, &made.lot)
        }
        Err(error) => {
            let said: Vec<String> = say::wrong(&error).into_iter().map(|(_, said)| said).collect();
            sent(plain(say::TITLE, &said.join(" ")))
        }
    }
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let (card, day, typed) = wanted(&site, &facts, &asked);
    let made = label(&card.id, day, &typed, facts.manner == Manner::UsCustomary);
    let wrong = made.as_ref().err().map_or(Vec::new(), say::wrong);
    let body = html! {
        article.one-pond.of-sums.labels {
            section.answer { h1 { (say::TITLE) } p { (say::LEAD) } }
            @if !wrong.is_empty() {
                div.trouble role="alert" {
                    p { (words::sums::WRONG) }
                    ul { @for (name, said) in &wrong { li { a href=(format!("#q-{name}")) { (said) } } } }
                }
            }
            @if let Ok(made) = &made { div.sheet { @for _ in 0..made.copies { (one(&facts, &card.name, made)) } } }
            @if made.is_ok() {
                @let query: Vec<String> = [("pond", card.id.as_str()), ("day", day.to_string().as_str())].iter().chain(&typed)
                    .map(|(name, text)| format!("{}={}", prints::escaped(name), prints::escaped(text))).collect();
                p.onward { a.button.main href=(format!("/f/{}/harvest/labels.pdf?{}", facts.id, query.join("&"))) { (words::page_print::AS_PDF) } }
            }
            (form(&facts, &card.id, day, &typed, &wrong))
            p.caution { (say::RULES) }
            @if let Ok(made) = &made {
                p { a.mend href=(format!("/f/{}/log/new?kind=pack&lot={}", facts.id, prints::escaped(&made.lot))) { (words::page_trace::ADD_PACKS) } }
            }
            p { a.mend href=(format!("/f/{}/harvest?pond={}", facts.id, card.id)) { (words::page_harvest::TO_BOARD) } }
        }
    };
    sent(framed(&Frame::of(&facts, say::TITLE, Here::Elsewhere), body))
}

fn one(facts: &Served, pond: &str, label: &Label) -> Markup {
    let keep = if label.what == season::labels::What::Live { say::KEEP_LIVE } else { say::KEEP };
    html! {
        section.label-card aria-label=(say::lot(label)) {
            p.name { (say::what(label.what)) }
            p.species { (say::SPECIES) }
            p.net { (say::net(label, facts.manner)) }
            p { b { (say::lot(label)) } ". " (say::days(label)) }
            p { (say::packer(&facts.farm.name, pond)) }
            p { b { (say::ALLERGEN) } " " (keep) @if label.what != season::labels::What::Tails { " " (say::SPINES) } }
            div.codes {
                figure { (bars(&label.bars)) figcaption { (label.readable) } }
                @if let Some(code) = qr::code(&label.readable, say::BARS) { (code) }
            }
        }
    }
}

/// Bars on white in either theme: readers want dark on light.
fn bars(widths: &[u8]) -> Markup {
    let whole: u32 = widths.iter().map(|width| u32::from(*width)).sum::<u32>() + 2 * QUIET;
    let (mut at, mut path) = (QUIET, String::new());
    for (place, width) in widths.iter().enumerate() {
        if place % 2 == 0 {
            path.push_str(&format!("M{at} 0h{width}v{HIGH}h-{width}z"));
        }
        at += u32::from(*width);
    }
    html! {
        svg.bars role="img" viewBox=(format!("0 -4 {whole} {}", HIGH + 8)) preserveAspectRatio="none" shape-rendering="crispEdges" {
            title { (say::BARS) }
            rect y="-4" width=(whole) height=(HIGH + 8) fill="#fff" {}
            path d=(path) fill="#000" {}
        }
    }
}

fn form(facts: &Served, pond: &str, day: Day, typed: &[(&str, &str)], wrong: &[(String, String)]) -> Markup {
    let slips: Vec<Slip> = Vec::new();
    html! {
        section.part.asked aria-labelledby="h-ask" {
            h2 id="h-ask" { (say::ASK) }
            form.entry.setup-form method="get" {
                div.field {
                    label for="q-day" { (say::CAUGHT) }
                    input #q-day type="date" name="day" value=(day);
                }
                fieldset.chips {
                    legend { (say::POND) }
                    @for card in &facts.farm.ponds {
                        label.chip { input type="radio" name="pond" value=(card.id) checked[card.id == pond]; span { (card.name) } }
                    }
                }
                @for input in INPUTS {
                    (field(input, typed, &slips))
                    @for (_, said) in wrong.iter().filter(|(name, _)| name == input.name()) { p.wrong { (said) } }
                }
                button.main type="submit" { (say::MAKE) }
            }
        }
    }
}
