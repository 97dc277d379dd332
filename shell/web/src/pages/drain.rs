//! `/f/{farm}/drain/{pond}`: when to open what, where the water stands at which hour, how warm it stays, and what if. Nothing typed here is kept.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::PondCard;
use maud::{Markup, html};
use season::answer::Outlook;
use season::drain::question::{INPUTS, understand};
use season::drain::{Drain, drain};
use season::sums::Slip;
use units::Watch;
use words::drain as said;
use words::page_drain as say;
use words::page_morning as morning_say;

use super::morning::waiting as not_yet;
use super::{missing, sent};
use crate::parts::asked::{field, troubles};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses::row;
use crate::parts::{falling, places};
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/drain/{pond}", get(show))
}

/// The address of a pond's page.
pub fn address(farm: &str, pond: &str) -> String {
    format!("/f/{farm}/drain/{pond}")
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let Some(pond) = facts.farm.ponds.iter().position(|card| card.id == id) else { return missing() };
    let card = &facts.farm.ponds[pond];
    let typed: Vec<(&str, &str)> = asked.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let ready = kept.answer.as_ref().zip(kept.drawn()).filter(|(_, drawn)| drawn.fits(&facts.ask(None)));
    let Some((outlook, drawn)) = ready else { return sent(not_yet(&facts, &kept, Here::Pond)) };
    let title = say::title(&card.name);
    let body = waiting(|| match understand(card, facts.on, &typed) {
        Err(slips) => html! {
            section.answer { h1 { (title) } (troubles(&slips)) }
            (form(&typed, &slips))
        },
        Ok((wish, given)) => match drain(&facts.ask(None), &drawn, outlook, pond, &wish, &Watch::new()) {
            Err(error) => html! {
                section.answer { h1 { (title) } p.trouble { (said::error(&error, &card.name)) } }
                (form(&typed, &[]))
            },
            Ok(found) => html! {
                (answer(&facts, outlook, card, &found))
                @for odd in words::sums::unusual(&given) { p.odd { (odd) } }
                (form(&typed, &[]))
            },
        },
    });
    let frame = Frame { day: morning_say::mast_day(outlook, facts.manner), ..Frame::of(&facts, &title, Here::Pond) };
    sent(framed(&frame, html! { article.one-pond.of-sums.winter { (body) (others(&facts, &id)) } }))
}

fn answer(facts: &Served, outlook: &Outlook, card: &PondCard, found: &Drain) -> Markup {
    let manner = facts.manner;
    let [first, rest @ ..] = &said::cautions(found)[..] else { return html! {} };
    html! {
        section.answer {
            h1 { (said::headline(found, manner)) }
            div.why {
                @if let Some(sentence) = said::early(found, manner) { p.reason { (sentence) } }
                @for sentence in said::shorts(found, manner) { p.trouble { (sentence) } }
                @if let Some(told) = &found.water { p.reason { (said::follow(found, told, manner)) } }
                p { (said::takes(found)) }
                @if let Some(sentence) = said::outside(found, manner) { p { (sentence) } }
                @if let Some(sentence) = said::beside_plan(found, manner) { p { (sentence) } }
                @if let Some(sentence) = said::fuels(found, manner) { p { (sentence) } }
                p.age { (morning_say::age(outlook)) }
            }
            div.aside {
                p.onward { a href=(format!("/f/{}/ponds/{}", facts.id, card.id)) { (say::back(&card.name)) } }
                @if found.seining_m.is_none() { p.onward { a href="?seine=3+h" { (say::SEINE_FIRST) } } }
                p.care { b { (first.0) } ": " (first.1) }
            }
        }
        section.part aria-labelledby="h-clock" {
            h2 id="h-clock" { (say::CLOCK) }
            (falling::falling(found, manner))
            dl.rows.marks {
                @for [when, what, level] in said::marks(found, manner) { div { dt { (when) } dd { (what) " " b { (level) } } } }
            }
            @for (step, sentence) in rest { p.care { b { (step) } ": " (sentence) } }
            (course(found, facts))
        }
        @if let Some(told) = &found.water {
            section.part aria-labelledby="h-warmth" {
                h2 id="h-warmth" { (say::WARMTH) }
                (places::places(found, told, manner))
                @for sentence in said::water(found, told, manner) { p { (sentence) } }
                p.legend { (said::FOLLOW) }
                p.odd { (said::UNCHECKED) }
            }
        }
        (ifs(found, facts))
        @if let Some(last) = &found.last {
            section.part aria-labelledby="h-air" {
                h2 id="h-air" { (say::AIR) }
                @for sentence in said::last(last, manner) { p { (sentence) } }
                p.care { (words::oxygen::CARE) }
            }
        }
        details.working { summary { (say::HOW) } p { (say::METHOD) } }
    }
}

/// Level, floor and water left, every two hours.
fn course(found: &Drain, facts: &Served) -> Markup {
    html! {
        details {
            summary { (morning_say::FIGURES) }
            div.wide tabindex="0" role="group" aria-label=(say::COURSE) {
                table {
                    caption { (say::COURSE) }
                    thead { tr { @for head in say::COURSE_HEADS { th scope="col" { (head) } } } }
                    tbody { @for figures in said::course(found, facts.manner) { (row(&figures)) } }
                }
            }
        }
    }
}

fn ifs(found: &Drain, facts: &Served) -> Markup {
    if found.ifs.is_empty() {
        return html! {};
    }
    html! {
        section.part aria-labelledby="h-ifs" {
            h2 id="h-ifs" { (say::IFS) }
            dl.rows.marks {
                @for one in &found.ifs {
                    div { dt { (said::if_row(found, one, facts.manner)[0]) } dd { (said::if_says(found, one, facts.manner)) } }
                }
            }
            p.legend { (say::IFS_SAY) }
        }
    }
}

fn form(typed: &[(&str, &str)], slips: &[Slip]) -> Markup {
    html! {
        details.part.ask open[!slips.is_empty() || typed.iter().any(|(_, text)| !text.is_empty())] {
            summary { (say::ASK) }
            form.entry.setup-form method="get" {
                @for input in INPUTS { (field(input, typed, slips)) }
                button.main type="submit" { (say::WORK_OUT) }
            }
        }
    }
}

fn others(facts: &Served, here: &str) -> Markup {
    html! {
        nav.kinds.others aria-label=(words::page_pond::PONDS) {
            ul {
                @for card in &facts.farm.ponds {
                    li { a href=(address(&facts.id, &card.id)) aria-current=[(card.id == here).then_some("page")] { (card.name) } }
                }
            }
        }
    }
}
