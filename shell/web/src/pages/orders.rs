//! `/f/{farm}/order`: postlarvae as they were ordered, what is due, what becomes of the season when they come late, short or not at all,
//! and the sheet of a claim.

use std::path::Path as FilePath;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::Kept;
use maud::{Markup, html};
use season::orders::{ASKED, Placed, Said, Turns, TurnsAsk, asked, claim, placed, turns};
use season::sums::Slip;
use season::tanks::{Delivery, deliveries};
use season::winter::INPUTS;
use store::{Asked, StoreError};
use units::{Instant, Watch};
use words::page_orders as say;

use super::{missing, sent};
use crate::parts::asked::{field, troubles};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses::row;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Days of entries that are looked through: an order is placed up to a year before its animals come.
const DAYS: i32 = 540;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/order", get(show))
        .route("/f/{farm}/order/turns", get(show_turns))
        .route("/f/{farm}/order/claim", get(show_claim))
}

/// What the record holds of orders and of what came.
struct Known {
    orders: Vec<Placed>,
    came: Vec<Delivery>,
}

impl Known {
    fn read(record: &Record, facts: &Served) -> Result<Known, StoreError> {
        let from = Some(facts.farm.place.zone.instant(facts.on.plus(-DAYS), 0));
        let of = |kind| record.store().facts_linked(&facts.id, Asked { kind: Some(kind), from, ..Asked::default() });
        let (orders, came): (Vec<Kept>, Vec<Kept>) = (of("order")?, of("delivery")?);
        Ok(Known { orders: placed(&orders, facts.on), came: deliveries(&came, &facts.farm, facts.on) })
    }
    /// The order that is asked for by its mark; else the next one that has not come; else the last.
    fn chosen(&self, id: Option<&str>) -> Option<&Placed> {
        let open = |one: &&Placed| one.said != Said::Lost && one.came(&self.orders, &self.came).is_none();
        let named = id.and_then(|id| self.orders.iter().find(|one| one.id == id));
        named.or_else(|| self.orders.iter().find(open)).or_else(|| self.orders.last())
    }
}

/// What is known, or the page that says why it is not.
fn known(site: &Site, farm: &str) -> Result<(Arc<Served>, Known), Box<Response>> {
    let facts = site.desk(farm).ok_or_else(|| Box::new(missing()))?.facts();
    let read = read(site, &facts)?;
    Ok((facts, read))
}

fn read(site: &Site, facts: &Served) -> Result<Known, Box<Response>> {
    let Some(record) = site.record() else { return Ok(Known { orders: Vec::new(), came: Vec::new() }) };
    waiting(|| Known::read(record, facts)).map_err(|error| {
        let said = words::store::error(site.record().map_or(FilePath::new(""), |record| record.store().path()), &error);
        Box::new(framed_as(facts, say::TITLE, html! { section.answer { h1 { (say::TITLE) } p.trouble { (said) } } }))
    })
}

fn framed_as(facts: &Served, title: &str, body: Markup) -> Response {
    sent(framed(&Frame::of(facts, title, Here::Elsewhere), html! { article.one-pond.of-sums.order { (body) } }))
}

fn text<'a>(asked: &'a [(String, String)], name: &str) -> Option<&'a str> {
    asked.iter().find(|(key, _)| key == name).map(|(_, text)| text.as_str())
}

/// Now by the farm's pages.
fn now(site: &Site, facts: &Served) -> Instant {
    crate::parts::entry::now(facts, site.record().map_or(0, Record::now_ms)).0
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let (facts, known) = match known(&site, &farm) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let enter = format!("/f/{}/log/new?kind=order", facts.id);
    let Some(order) = known.chosen(text(&asked, "of")) else {
        let body = html! {
            section.answer {
                h1 { (say::NONE) }
                div.why { p { (say::NONE_SAYS) } }
                p.onward {
                    a.button.main href=(enter) { (say::ENTER) } " "
                    a.button href=(format!("/f/{}/winter", facts.id)) { (say::TO_WINTER) }
                }
            }
        };
        return framed_as(&facts, say::TITLE, body);
    };
    let came = order.came(&known.orders, &known.came);
    let body = html! {
        section.answer {
            h1 { (say::headline(order, came, facts.on)) }
            div.why { @if let Some(said) = say::changed(order) { p.reason { (said) } } }
            p.onward {
                @if came.is_none() && order.comes <= facts.on {
                    a.button.main href=(format!("/f/{}/log/new?kind=delivery", facts.id)) { (say::ENTER_CAME) } " "
                }
                a.button href=(format!("/f/{}/log/{}/mend", facts.id, order.head)) { (say::MEND) } " "
                a.button href=(format!("/f/{}/order/turns?of={}", facts.id, order.id)) { (say::TO_TURNS) }
            }
        }
        @if let Some(came) = came { (what_came(&site, &facts, came, order)) }
        section.part aria-labelledby="h-agreed" {
            h2 id="h-agreed" { (say::AGREED) }
            dl.rows { @for (name, value) in say::rows(order, facts.farm.currency) { div { dt { (name) } dd { (value) } } } }
        }
        @if order.said != Said::Lost && came.is_none() { (due(&facts, order)) }
        (others(&facts, &known, order))
        p { a.mend href=(enter) { (say::ENTER) } }
    };
    framed_as(&facts, say::TITLE, body)
}

fn due(facts: &Served, order: &Placed) -> Markup {
    html! {
        section.part aria-labelledby="h-due" {
            h2 id="h-due" { (say::DUE) }
            dl.rows {
                @for (on, step) in order.steps() {
                    div {
                        dt { (words::figures::day_short(on)) @if on < facts.on { " (" (say::PAST) ")" } }
                        dd { (say::step(step)) }
                    }
                }
            }
            p.legend { (say::DUE_SAYS) }
        }
    }
}

fn what_came(site: &Site, facts: &Served, came: &Delivery, order: &Placed) -> Markup {
    let (zone, currency) = (&facts.farm.place.zone, facts.farm.currency);
    let claim = claim(came, came.at, Some(order));
    html! {
        section.part aria-labelledby="h-came" {
            h2 id="h-came" { (say::CAME) }
            @for said in say::claim(&claim, now(site, facts), zone, facts.manner, currency) { p { (said) } }
            p { a.mend href=(format!("/f/{}/order/claim?of={}", facts.id, order.id)) { (say::TO_CLAIM) } }
        }
    }
}

fn others(facts: &Served, known: &Known, here: &Placed) -> Markup {
    let others: Vec<&Placed> = known.orders.iter().filter(|one| one.id != here.id).collect();
    html! {
        @if !others.is_empty() {
            ul {
                @for one in others {
                    li { a href=(format!("/f/{}/order?of={}", facts.id, one.id)) { (say::headline(one, one.came(&known.orders, &known.came), facts.on)) } }
                }
            }
        }
    }
}

async fn show_claim(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let (facts, known) = match known(&site, &farm) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let order = known.chosen(text(&asked, "of"));
    let Some(came) = order.map_or_else(|| known.came.last(), |order| order.came(&known.orders, &known.came)) else {
        let body = html! {
            section.answer {
                h1 { (say::CLAIM_TITLE) }
                p { (say::NOTHING_CAME) }
                p.onward { a.button.main href=(format!("/f/{}/log/new?kind=delivery", facts.id)) { (say::ENTER_CAME) } }
            }
        };
        return framed_as(&facts, say::CLAIM_TITLE, body);
    };
    let zone = &facts.farm.place.zone;
    let claim = claim(came, came.at, order);
    let samples = site.record().and_then(|record| waiting(|| record.store().fact(&came.id)).ok().flatten());
    let samples = samples.map(|kept| super::log::line(&facts, &kept.fact));
    let body = html! {
        section.answer {
            h1 { (say::CLAIM_TITLE) ": " (facts.farm.name) }
            div.why { @for said in say::claim(&claim, now(&site, &facts), zone, facts.manner, facts.farm.currency) { p { (said) } } }
        }
        dl.rows { @for (name, value) in say::claim_rows(came, order, came.at, zone, facts.manner) { div { dt { (name) } dd { (value) } } } }
        @if let Some(samples) = samples {
            section.part aria-labelledby="h-samples" { h2 id="h-samples" { (say::SAMPLES) } p { (samples) } }
        }
        p { (say::CLAIM_SAYS) }
        p.signed { (say::SIGNED) }
        p { a.mend href=(format!("/f/{}/order", facts.id)) { (say::TO_ORDER) } }
    };
    framed_as(&facts, say::CLAIM_TITLE, body)
}

async fn show_turns(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(query): Query<Vec<(String, String)>>,
) -> Response {
    let (facts, known) = match known(&site, &farm) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let Some(order) = known.chosen(text(&query, "of")) else {
        return super::onward(&format!("/f/{}/order", facts.id));
    };
    let typed: Vec<(&str, &str)> =
        query.iter().filter(|(name, _)| name != "of").map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let head = html! { h1 { (say::TURNS_TITLE) } };
    let of = (order.count, order.comes, order.per_1000);
    // Every pond lives through sixty past years: the other pages must not wait for it.
    let body = waiting(|| match asked(&facts.farm, &facts.past, of, &typed) {
        Err(slips) => html! { section.answer { (head) (troubles(&slips)) } (form(order, &typed, &slips)) },
        Ok(ask) => match turns(&ask, &Watch::new()) {
            Err(error) => html! {
                section.answer { (head) p.trouble { (words::trouble::outlook(&error)) } }
                (form(order, &typed, &[]))
            },
            Ok(found) => html! { (answer(&facts, &found, &ask)) (form(order, &typed, &[])) (working(&found)) },
        },
    });
    let back = html! { p { a.mend href=(format!("/f/{}/order?of={}", facts.id, order.id)) { (say::TO_ORDER) } } };
    framed_as(&facts, say::TURNS_TITLE, html! { (body) (back) })
}

fn answer(facts: &Served, found: &Turns, ask: &TurnsAsk) -> Markup {
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let whole = found.turns.first().map_or(0.0, |one| one.net_coins);
    html! {
        section.answer { h1 { (say::turns_headline(found, currency)) } }
        section.part aria-labelledby="h-second" {
            h2 id="h-second" { (say::SECOND) }
            @for said in say::second(&found.second, ask.nursing.days, ask.winter.loss_chance_most) { p { (said) } }
        }
        section.part aria-labelledby="h-side" {
            h2 id="h-side" { (say::SIDE_BY_SIDE) }
            div.wide tabindex="0" role="group" aria-label=(say::SIDE_BY_SIDE) {
                table {
                    thead { tr { @for head in say::HEADS { th scope="col" { (head) } } } }
                    tbody { @for one in &found.turns { (row(&say::turn_row(one, whole, manner, currency))) } }
                }
            }
            p.legend { (say::TABLE_SAYS) }
        }
    }
}

fn working(found: &Turns) -> Markup {
    html! { details.working { summary { (say::HOW) } p { (say::METHOD) } p { (say::from_years(found.years)) } } }
}

fn form(order: &Placed, typed: &[(&str, &str)], slips: &[Slip]) -> Markup {
    html! {
        details.part.ask open[!slips.is_empty() || typed.iter().any(|(_, text)| !text.is_empty())] {
            summary { (say::ASK) }
            form.entry.setup-form method="get" {
                input type="hidden" name="of" value=(order.id);
                @for input in INPUTS.iter().filter(|input| ASKED.contains(&input.name())) { (field(input, typed, slips)) }
                button.main type="submit" { (say::WORK_OUT) }
            }
        }
    }
}
