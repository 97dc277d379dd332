//! What another choice would have brought: tails for whole, a week later, fewer and more animals.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::{Markup, html};
use season::books::ledger::Account;
use season::yearbook::{densities as lived, tails};
use units::Watch;
use words::page_money as say;

use super::{Asked, Open, in_frame, open, table};
use crate::parts::frame::Here;
use crate::record::waiting;
use crate::site::Site;

/// On the page of the books.
pub(super) fn part(open: &Open) -> Markup {
    let facts = open.facts();
    let ask = open.money.ask(open.book.year.1, open.share_by);
    let of_tails = tails(&ask, open.book.whole());
    let stocked = open.book.whole().stocked > 0.0;
    html! {
        @if of_tails.is_some() || stocked {
            section.part aria-labelledby="h-else" {
                h2 id="h-else" { (say::ELSE) }
                @if let Some(told) = of_tails { p { (say::tails(&told, facts.manner, facts.farm.currency)) } }
                @if stocked { p.onward { a.button href=(open.at("/densities")) { (say::ASK_DENSITY) } } }
                p { (say::WEEK_SAYS) " " a.mend href=(open.at("/report")) { (say::REPORT) } }
            }
        }
    }
}

/// Coins for one animal by the day it was stocked, as the year's books have it.
fn juvenile_coins(open: &Open) -> f64 {
    let whole = &open.book.made.whole;
    let coins = whole.of(Account::Postlarvae).coins + whole.of(Account::Nursery).coins;
    coins as f64 / open.book.whole().stocked.max(1.0)
}

pub async fn densities(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    let open = match open(&site, &farm, &asked) {
        Ok(open) => open,
        Err(page) => return *page,
    };
    let facts = open.facts();
    let ask = open.money.ask(open.book.year.1, open.share_by);
    let in_year = |day: units::Day| open.book.year.0 <= day && day <= open.book.year.1;
    let each = juvenile_coins(&open);
    // Every pond lives through its past years: other pages must not wait for it.
    let found = waiting(|| {
        let of_pond = |(at, card): (usize, &farm::PondCard)| {
            let lot = open.money.lots.iter().rfind(|lot| lot.pond == card.id && in_year(lot.stocking.on))?;
            let of = (at, lot.stocking.on, lot.stocking.count);
            Some((card.name.clone(), lived(&ask, &facts.past, of, each, &Watch::new())))
        };
        facts.farm.ponds.iter().enumerate().filter_map(of_pond).collect::<Vec<_>>()
    });
    let mut rows = Vec::new();
    let mut said = Vec::new();
    for (name, found) in &found {
        match found {
            Ok(all) => {
                said.push(say::density_says(name, all, facts.farm.currency));
                rows.extend(all.iter().map(|one| say::density_row(name, one, facts.manner, facts.farm.currency)));
            }
            Err(error) => said.push(format!("{name}: {}", words::trouble::outlook(error))),
        }
    }
    let body = html! {
        section.answer {
            h1 { (say::ASK_DENSITY) ", " (say::year(open.book.year)) }
            div.why { @for said in said { p { (said) } } }
        }
        section.part {
            (table(say::ASK_DENSITY, &say::DENSITY_HEADS, rows.into_iter()))
            p.legend { (say::DENSITY_SAYS) }
            p { a.mend href=(open.at("")) { (say::TITLE) } }
        }
    };
    in_frame(facts, say::ASK_DENSITY, Here::Books, body)
}
