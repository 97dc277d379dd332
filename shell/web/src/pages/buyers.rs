//! `/f/{farm}/buyers`: orders against what the coming catches will likely yield: what is left over, who may get less, what may yet be promised,
//! who must be told of which day.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::{Rank, SoldAs, Unread};
use maud::{Markup, html};
use season::answer::Outlook;
use season::promised::{Buyer, Catch, Ice, Promised, Share, buyers, fetched, on_ice, shared_today};
use words::figures::Manner;
use words::page_buyers as say;
use words::page_log as log;

use super::sale::known;
use super::{missing, sent};
use crate::assets;
use crate::desk::Desk;
use crate::market_read::Known;
use crate::parts::blocks::blocks;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

mod orders;
mod tell;

use orders::orders;
use tell::tell;
pub use tell::theirs;

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
            let found = waiting(|| desk.promised(drawn, outlook, &wanted, &known.stocks));
            let alive = waiting(|| beyond_the_line(&desk, &facts, outlook, &found));
            (None, page(&facts, &known, outlook, &found, &wanted, &alive))
        }
        // Every pond is out, or nothing can be answered: orders and what is weighed are shown all the same.
        _ => {
            let body = html! {
                section.answer { h1 { (say::TITLE) } @if kept.working { p { (say::NOT_YET) } } (enter(&facts)) }
                (unread(&facts, &known))
                (crate::parts::held::held(&facts, &known))
                (weighed(&facts, &on_ice(&facts.farm, &wanted, &known.stocks, &[], None, facts.on), html! {}))
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

/// Days ahead for which the crew's day is asked what it brings alive, d.
const NEAR_D: i32 = 3;

/// Near catches of which more is promised alive than their crews likely bring alive, in words: tanks may hold it, and the first hauls may not.
fn beyond_the_line(desk: &Desk, facts: &Served, outlook: &Outlook, found: &Promised) -> Vec<String> {
    let wanted = &*found.ice.rest;
    let of = |(at, catch): (usize, &Catch)| {
        let live = found.shares.iter().filter(|share| {
            share.catch == at
                && wanted[share.buyer].good.sold_as == SoldAs::Live
                && wanted[share.buyer].rank != Rank::Waiting
        });
        let promised_kg: f64 = live.map(|share| share.gets.middle).sum();
        if promised_kg < 0.5 || outlook.on.plus(NEAR_D) < catch.on {
            return None;
        }
        let days = catch.ponds.iter().filter_map(|pond| desk.rehearsal(*pond, catch.on));
        let brings_kg: f64 = days.map(|day| day.sheet.sure().told.live_kg.middle).sum();
        (promised_kg > 1.05 * brings_kg + 0.5)
            .then(|| say::beyond_the_line(catch.on, promised_kg, brings_kg, facts.manner))
    };
    found.catches.iter().enumerate().filter_map(of).collect()
}

fn page(facts: &Served, known: &Known, outlook: &Outlook, found: &Promised, all: &[Buyer], alive: &[String]) -> Markup {
    let manner = facts.manner;
    let wanted = &*found.ice.rest;
    let comes = fetched(&facts.farm, outlook, &found.ice);
    html! {
        section.answer {
            h1 { (say::headline(found, wanted, manner)) }
            @for said in alive { p.trouble { (said) } }
            (enter(facts))
        }
        (unread(facts, known))
        (without(found, wanted))
        (crate::parts::held::held(facts, known))
        (weighed(facts, &found.ice, running(facts, found)))
        (tell(facts, &comes, found))
        @if let Some(catch) = found.catches.first() {
            section.part { h2 { (say::on(catch.on)) } (of_catch(facts, (found, wanted), 0, catch)) }
        }
        (short(found, wanted, manner))
        @for (at, catch) in found.catches.iter().enumerate().skip(1) {
            details.part { summary { (say::on(catch.on)) } (of_catch(facts, (found, wanted), at, catch)) }
        }
        (orders(facts, known, all))
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
            (blocks(&say::LEFT_HEADS, say::left_rows(catch, manner).iter()))
            p.legend { (say::LEFT_SAYS) }
        }
        details open[at == 0] {
            summary { (say::FREE) }
            (blocks(&say::FREE_HEADS, found.free.iter().filter(|free| free.catch == at).map(|free| say::free_row(free, manner, currency))))
            p.legend { (say::FREE_SAYS) }
        }
        @if !here.is_empty() {
            details open[at == 0] {
                summary { (say::ORDERS) }
                (blocks(&say::ORDER_HEADS, here.iter().map(|share| say::order_row(share, wanted, manner, currency))))
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

/// What is weighed already, shared out, lot by lot; what is left over first.
fn weighed(facts: &Served, ice: &Ice, running: Markup) -> Markup {
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let over: Vec<_> = ice.lots.iter().filter(|lot| lot.over_kg > 0.05).map(|lot| (lot.on, lot.over_kg)).collect();
    html! {
        @if !ice.lots.is_empty() || !running.0.is_empty() {
            section.part #weighed aria-labelledby="h-today" {
                h2 id="h-today" { (say::TODAY) }
                (running)
                @for lot in ice.lots.iter().filter(|lot| say::left_or_given(lot)) {
                    h3 { (say::caught_on(lot.on)) }
                    p.reason { (say::today_left(&lot.caught, manner, currency)) }
                    @let rows: Vec<_> = lot.shares.iter().map(|share| say::today_row(&lot.buyers[share.buyer], (share.wanted, share.gets.middle), manner)).collect();
                    @if rows.is_empty() { p { (say::TODAY_NOBODY) } } @else { (blocks(&say::TODAY_HEADS, rows.iter())) }
                }
                @if !over.is_empty() { p { (say::over(&over, manner)) } }
            }
        }
    }
}

/// What is weighed of a catch that is still being made: its orders are counted with that catch.
fn running(facts: &Served, found: &Promised) -> Markup {
    let (manner, wanted) = (facts.manner, &found.ice.rest);
    html! {
        @for stock in &found.running {
            @let caught = shared_today(&facts.farm, wanted, &stock.left, found.catches.first(), facts.on);
            @let rows: Vec<_> = wanted.iter().zip(&caught.gives).filter(|(_, (wants, _))| *wants > 0.0).map(|(buyer, gives)| say::today_row(buyer, *gives, manner)).collect();
            p { (say::RUNNING) }
            p.reason { (say::today_left(&caught, manner, facts.farm.currency)) }
            (blocks(&say::TODAY_HEADS, rows.iter()))
        }
    }
}
