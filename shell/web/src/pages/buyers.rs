//! `/f/{farm}/buyers`: orders against what the coming catches will likely yield: what is left over, who may get less, what may yet be promised,
//! who must be told of which day.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::Unread;
use maud::{Markup, html};
use season::answer::Outlook;
use season::promised::{Buyer, Catch, Promised, Share, buyers, fetched, shared_today};
use words::figures::Manner;
use words::page_buyers as say;
use words::page_log as log;

use super::sale::known;
use super::{missing, sent};
use crate::assets;
use crate::market_read::Known;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

mod orders;
mod tell;

use orders::orders;
use tell::tell;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/buyers", get(show))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let known = match known(record, &facts) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let wanted = buyers(&facts.farm, &known.market);
    let (again_s, body) = match (&kept.answer, &kept.drawn) {
        (Some(outlook), Some(drawn)) => {
            // Every future is shared out: the other pages must not wait for it.
            let found = waiting(|| desk.promised(drawn, outlook, &wanted));
            (None, page(&facts, &known, outlook, &found, &wanted))
        }
        // Every pond is out, or nothing can be answered: orders and what is weighed are shown all the same.
        _ => {
            let body = html! {
                section.answer { h1 { (say::TITLE) } @if kept.working { p { (say::NOT_YET) } } (enter(&facts)) }
                (unread(&facts, &known))
                (today(&facts, &known, &wanted, None))
                (orders(&facts, &known, &wanted))
            };
            (kept.working.then_some(2), body)
        }
    };
    let frame = Frame { again_s, ..Frame::of(&facts, say::TITLE, Here::Elsewhere) };
    sent(framed(&frame, html! { article.one-pond.of-sums.sale.buyers { (body) } }))
}

fn enter(facts: &Served) -> Markup {
    html! {
        p.onward {
            a.button.main href=(format!("/f/{}/log/new?kind=asked", facts.id)) { (say::ENTER) } " "
            a.button href=(format!("/f/{}/sale", facts.id)) { (say::TO_SALE) } " "
            a.button href=(format!("/f/{}/sale/list", facts.id)) { (say::LIST) }
        }
    }
}

fn page(facts: &Served, known: &Known, outlook: &Outlook, found: &Promised, wanted: &[Buyer]) -> Markup {
    let manner = facts.manner;
    let comes = fetched(&facts.farm, outlook, wanted);
    html! {
        section.answer {
            h1 { (say::headline(found, wanted, manner)) }
            (enter(facts))
        }
        (unread(facts, known))
        (without(found, wanted))
        (today(facts, known, wanted, Some(found)))
        (tell(facts, &comes, found, wanted))
        @if let Some(catch) = found.catches.first() {
            section.part { h2 { (say::on(catch.on)) } (of_catch(facts, (found, wanted), 0, catch)) }
        }
        (short(found, wanted, manner))
        @for (at, catch) in found.catches.iter().enumerate().skip(1) {
            details.part { summary { (say::on(catch.on)) } (of_catch(facts, (found, wanted), at, catch)) }
        }
        (orders(facts, known, wanted))
        script type="module" src=(assets::copy()) {}
        details.working { summary { (say::HOW) } @for said in say::METHOD { p { (said) } } }
    }
}

/// A catch: what it leaves, what may be promised of it, who gets what.
fn of_catch(facts: &Served, (found, wanted): (&Promised, &[Buyer]), at: usize, catch: &Catch) -> Markup {
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let here = shares_of(found, wanted, at);
    html! {
        p { (say::catch(catch, &facts.farm, manner, currency)) }
        details open {
            summary { (say::LEFT) }
            (table(&say::LEFT_HEADS, &say::left_rows(catch, manner)))
            p.legend { (say::LEFT_SAYS) }
        }
        details open[at == 0] {
            summary { (say::FREE) }
            (table(&say::FREE_HEADS, &found.free.iter().filter(|free| free.catch == at).map(|free| say::free_row(free, manner, currency)).collect::<Vec<_>>()))
            p.legend { (say::FREE_SAYS) }
        }
        @if !here.is_empty() {
            details open[at == 0] {
                summary { (say::ORDERS) }
                (table(&say::ORDER_HEADS, &here.iter().map(|share| say::order_row(share, wanted, manner, currency)).collect::<Vec<_>>()))
            }
        }
    }
}

/// Who may get less: of the next catch at once, of the later ones a tap away.
fn short(found: &Promised, wanted: &[Buyer], manner: Manner) -> Markup {
    let (first, later): (Vec<&Share>, Vec<&Share>) =
        say::short(found, wanted).into_iter().partition(|share| share.catch == 0);
    let list =
        |of: &[&Share]| html! { ul { @for share in of { li { (say::may_get_less(found, share, wanted, manner)) } } } };
    html! {
        section.part aria-labelledby="h-short" {
            h2 id="h-short" { (say::SHORT) }
            @if first.is_empty() && later.is_empty() { p { (say::ALL_SERVED) } }
            @if !first.is_empty() { (list(&first)) }
            @if !later.is_empty() { details { summary { (say::SHORT_LATER) } (list(&later)) } }
        }
    }
}

/// Buyers whom no planned day suits, each with how they are reached.
fn without(found: &Promised, wanted: &[Buyer]) -> Markup {
    html! {
        @if !found.without.is_empty() {
            section.part #without aria-labelledby="h-without" {
                h2 id="h-without" { (say::CANNOT) }
                p { (say::CANNOT_SAYS) }
                ul { @for at in &found.without { li { (wanted[*at].name) " " (wanted[*at].contact.as_deref().unwrap_or_default()) } } }
            }
        }
    }
}

/// Orders, answers and money that count for nothing, each with the reason and the way to mend it.
pub fn unread(facts: &Served, known: &Known) -> Markup {
    let entries = farm::facts::current(&known.entries);
    let of = known.market.unread.iter().filter(|(kind, ..)| matches!(kind.as_str(), "asked" | "told" | "paid"));
    let of: Vec<_> = of
        .filter_map(|(_, id, why)| {
            entries.iter().find(|entry| entry.first.fact.id == *id).map(|entry| (entry.heads[0], *why))
        })
        .collect();
    html! {
        @if !of.is_empty() {
            section.part #unread aria-labelledby="h-unread" {
                h2 id="h-unread" { (say::UNREAD) }
                p { (say::UNREAD_SAYS) }
                ul.log {
                    @for (head, why) in of {
                        li {
                            p.said { (super::log::line(facts, &head.fact)) }
                            @match why {
                                Unread::OtherMoney => p.wrong { (say::OTHER_MONEY) },
                                Unread::Fork => p.wrong { (say::FORKED) },
                                Unread::Slip => @for remark in log::slips(&head.fact) { p.wrong { (remark) } },
                            }
                            p {
                                @if why == Unread::Fork { a.mend href=(format!("/f/{}/log", facts.id)) { (log::LOG) } }
                                @else { a.mend href=(format!("/f/{}/log/{}/mend", facts.id, head.fact.id)) { (say::MEND) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Shares of one catch in the order in which they are served.
fn shares_of<'a>(found: &'a Promised, wanted: &[Buyer], at: usize) -> Vec<&'a Share> {
    let mut here: Vec<_> = found.shares.iter().filter(|share| share.catch == at).collect();
    here.sort_by_key(|share| wanted[share.buyer].rank);
    here
}

/// A table that a narrow phone shows as a block for each row, every figure under its head: nothing lies beyond the edge.
fn table<const N: usize>(heads: &[&str; N], rows: &[[String; N]]) -> Markup {
    html! {
        table.blocks role="table" {
            thead role="rowgroup" { tr role="row" { @for head in heads { th scope="col" role="columnheader" { (head) } } } }
            tbody role="rowgroup" {
                @for cells in rows {
                    tr role="row" {
                        @for (at, (head, cell)) in heads.iter().zip(cells).enumerate() {
                            @if at == 0 { th scope="row" role="rowheader" { (cell) } } @else { td role="cell" data-head=(head) { (cell) } }
                        }
                    }
                }
            }
        }
    }
}

/// What is weighed already, shared out; what is left over first.
fn today(facts: &Served, known: &Known, wanted: &[Buyer], found: Option<&Promised>) -> Markup {
    if known.supply.first.is_none() {
        return html! {};
    }
    let likely = found.and_then(|found| found.catches.first());
    let mut left = known.supply;
    // What was sold is gone; what an order has had is taken off the order already.
    for (pool, kg) in [
        (farm::facts::market::Pool::Live, &mut left.live_kg),
        (farm::facts::market::Pool::Whole, &mut left.whole_kg),
        (farm::facts::market::Pool::Tails, &mut left.tails_kg),
    ] {
        *kg = (*kg - known.market.sold_kg(pool)).max(0.0);
    }
    let caught = shared_today(&facts.farm, wanted, &left, likely, facts.on);
    let rows = wanted.iter().zip(&caught.gives).filter(|(_, (wanted, _))| *wanted > 0.0);
    let rows: Vec<_> = rows.map(|(buyer, gives)| say::today_row(buyer, *gives, facts.manner)).collect();
    html! {
        (crate::parts::held::held(facts, known))
        section.part aria-labelledby="h-today" {
            h2 id="h-today" { (say::TODAY) }
            p.reason { (say::today_left(&caught, facts.manner, facts.farm.currency)) }
            (table(&say::TODAY_HEADS, &rows))
        }
    }
}
