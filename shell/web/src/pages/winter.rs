//! `/f/{farm}/winter`: when to stock in the coming season, how closely, what may come of it, what to order. Nothing typed here is kept.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use season::filling::FillPlan;
use season::sums::Slip;
use season::winter::{Understood, Variant, Winter, order, understand, winter};
use units::Watch;
use words::page_winter as say;

use super::{missing, sent};
use crate::parts::asked::{field, troubles};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses::row;
use crate::parts::warm::warm;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/winter", get(show))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let of = |name: &str| asked.iter().find(|(key, _)| key == name).map(|(_, text)| text.as_str());
    let pond = match of("pond") {
        Some(id) => facts.farm.ponds.iter().position(|card| card.id == id),
        None => Some(0),
    };
    let Some(pond) = pond else { return missing() };
    let shown = of("shown").and_then(|text| text.parse::<usize>().ok());
    let typed: Vec<(&str, &str)> = asked
        .iter()
        .filter(|(name, _)| !matches!(name.as_str(), "pond" | "shown"))
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    // It lives through sixty past years: the other pages must not wait for it.
    let body = waiting(|| match understand(&facts.farm, &facts.past, pond, facts.on, &typed) {
        Err(slips) => html! {
            section.answer { h1 { (say::TITLE) } (troubles(&slips)) }
            (form(&facts, pond, &typed, &slips))
        },
        Ok(understood) => match winter(&understood.ask, &Watch::new()) {
            Err(error) => html! {
                section.answer { h1 { (say::TITLE) } p.trouble { (words::trouble::outlook(&error)) } }
                (form(&facts, pond, &typed, &[]))
            },
            Ok(found) => answer(&facts, &found, &understood, &typed, shown),
        },
    });
    let frame = Frame::of(&facts, say::TITLE, Here::Winter);
    sent(framed(&frame, html! { article.one-pond.of-sums.winter { (body) } }))
}

fn answer(
    facts: &Served,
    found: &Winter,
    understood: &Understood,
    typed: &[(&str, &str)],
    shown: Option<usize>,
) -> Markup {
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let pond = &facts.farm.ponds[found.pond];
    let at = shown.filter(|&at| at < found.variants.len());
    let at = at.unwrap_or_else(|| found.first_told(understood.ask.warm_chance_least));
    let one = &found.variants[at];
    html! {
        section.answer {
            h1 { (say::headline(found, &pond.name, manner)) }
            div.why {
                @if let Some(best) = found.best { p.reason { (say::left(&found.variants[best], currency)) } }
                @if let Some(said) = say::how_clear(found, understood.ask.dates.len(), understood.ask.per_ha.len()) { p { (said) } }
                @if let Some(said) = say::nearest(found, currency) { p.reason { (said) } }
                p { (say::LEAD) }
                p.age { (say::years(found)) }
            }
            div.aside { (ponds(facts, found.pond)) }
            @if season::stocking_day::is_unstocked(pond, facts.on) {
                p.onward { a.mend href=(super::stocking::address(&facts.id, &pond.id)) { (words::page_stocking::CAN_THEY) } }
            }
        }
        section.part aria-labelledby="h-side" {
            h2 id="h-side" { (say::SIDE_BY_SIDE) }
            (side_by_side(facts, found, understood, typed, at))
            p.legend { (say::SIDE_BY_SIDE_SAYS) }
        }
        section.part aria-labelledby="h-chosen" {
            h2 id="h-chosen" { (say::chosen(one, manner)) }
            dl.rows { @for (name, value) in say::rows(one, manner, currency) { div { dt { (name) } dd { (value) } } } }
        }
        @if one.is_within { (ordered(one, understood, facts)) } @else { p.trouble { (say::BREAKS) } }
        section.part aria-labelledby="h-cash" {
            h2 id="h-cash" { (say::CASH) }
            (cash(one, facts))
            p.legend { (say::CASH_SAYS) }
        }
        section.part aria-labelledby="h-warm" {
            h2 id="h-warm" { (say::WARM_TITLE) }
            (warm(found, &understood.ask.dates, manner))
        }
        (form(facts, found.pond, typed, &[]))
        details.working {
            summary { (say::HOW) }
            p { (say::METHOD) }
            @if !understood.given.assumed.is_empty() {
                p { (say::TAKEN) }
                ul { @for said in say::taken(understood) { li { (said) } } }
            }
        }
        @for said in words::sums::unusual(&understood.given) { p.odd { (said) } }
        p.caution { (say::RULES) }
    }
}

fn ponds(facts: &Served, here: usize) -> Markup {
    html! {
        nav.kinds aria-label=(say::POND) {
            ul {
                @for (at, card) in facts.farm.ponds.iter().enumerate() {
                    li {
                        a href=(format!("/f/{}/winter?pond={}", facts.id, card.id)) aria-current=[(at == here).then_some("page")] { (card.name) }
                    }
                }
            }
        }
    }
}

/// What is left by date and density; each cell leads to its variant.
fn side_by_side(
    facts: &Served,
    found: &Winter,
    understood: &Understood,
    typed: &[(&str, &str)],
    shown: usize,
) -> Markup {
    let (dates, per_ha) = (&understood.ask.dates, &understood.ask.per_ha);
    let (currency, manner) = (facts.farm.currency, facts.manner);
    let asked: String = typed
        .iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(name, text)| format!("&{}={}", encoded(name), encoded(text)))
        .collect();
    let to = |at: usize| {
        format!("/f/{}/winter?pond={}&shown={at}{asked}#h-chosen", facts.id, facts.farm.ponds[found.pond].id)
    };
    html! {
        div.wide tabindex="0" role="group" aria-label=(say::SIDE_BY_SIDE) {
            table.side {
                thead {
                    tr {
                        th scope="col" { (say::STOCK_ON) }
                        th scope="col" { (say::WARM) }
                        @for per_ha in per_ha { th scope="col" { (say::density_short(*per_ha, manner)) } }
                    }
                }
                tbody {
                    @for (row, on) in dates.iter().enumerate() {
                        tr {
                            th scope="row" { (words::figures::day_short(*on)) }
                            td { (say::in_ten(found.variants[row * per_ha.len()].warm_chance)) }
                            @for column in 0..per_ha.len() {
                                @let at = row * per_ha.len() + column;
                                td {
                                    a href=(to(at)) aria-current=[(at == shown).then_some("true")]
                                        aria-label=(say::cell_says(&found.variants[at], currency, manner)) {
                                        (say::cell(&found.variants[at], currency))
                                        @if found.best == Some(at) { " " b { (say::BEST) } }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn encoded(text: &str) -> String {
    super::sums::encoded(text)
}

fn ordered(one: &Variant, understood: &Understood, facts: &Served) -> Markup {
    let order = order(one.count, one.on, &understood.nursing);
    let fill = say::fill(understood, one);
    html! {
        section.part aria-labelledby="h-order" {
            h2 id="h-order" { (say::ORDER) }
            dl.rows { @for (when, what) in say::order_rows(&order, one.on, fill.as_ref(), facts.manner) { div { dt { (when) } dd { (what) } } } }
            p {
                a.mend href=(format!("/f/{}/log/new?kind=order&ordered={:.0}&comes={}", facts.id, order.postlarvae, order.arrive)) { (say::ENTER_ORDER) } " "
                a.mend href=(format!("/f/{}/order", facts.id)) { (words::page_orders::TITLE) }
            }
        }
        (filling(fill.as_ref(), facts))
    }
}

/// Source by source: how long filling takes, what it carries, whether it may be drawn.
fn filling(fill: Option<&FillPlan>, facts: &Served) -> Markup {
    html! {
        section.part aria-labelledby="h-fill" {
            h2 id="h-fill" { (say::FILLING) }
            @match fill.filter(|plan| !plan.by_source.is_empty()) {
                Some(plan) => {
                    @let rows = say::filling_rows(plan, facts.manner);
                    dl.rows { @for (name, value, _) in &rows { div { dt { (name) } dd { (value) } } } }
                    @for (name, _, minds) in &rows { @if let Some(minds) = minds { p { b { (name) ". " } (minds) } } }
                    p.legend { (say::FILLING_SAYS) }
                }
                None => p { (say::NO_SOURCE) " " a.mend href=(format!("/f/{}/setup/work", facts.id)) { (words::page_nursery::TO_SETUP_WATER) } },
            }
            p.caution { (say::FISH_LAST) }
        }
    }
}

fn cash(one: &Variant, facts: &Served) -> Markup {
    let mut so_far = 0.0;
    html! {
        div.wide tabindex="0" role="group" aria-label=(say::CASH) {
            table {
                thead { tr { @for head in say::CASH_HEADS { th scope="col" { (head) } } } }
                tbody {
                    @for flow in &one.months {
                        (row(&say::month_row(flow, { so_far += flow.net(); so_far }, facts.farm.currency)))
                    }
                }
            }
        }
    }
}

fn form(facts: &Served, pond: usize, typed: &[(&str, &str)], slips: &[Slip]) -> Markup {
    html! {
        details.part.ask open[!slips.is_empty() || typed.iter().any(|(_, text)| !text.is_empty())] {
            summary { (say::ASK) }
            form.entry.setup-form method="get" {
                input type="hidden" name="pond" value=(facts.farm.ponds[pond].id);
                @for input in say::questions() { (field(input, typed, slips)) }
                button.main type="submit" { (say::WORK_OUT) }
            }
        }
    }
}
