//! The orders that were written down, each with its terms, its deposit and the ways on.

use farm::facts::market::{Account, AccountOf, SoldAs};
use maud::{Markup, html};
use season::promised::Buyer;
use units::Money;
use words::page_buyers as say;

use super::tell::answered;
use crate::market_read::Known;
use crate::pages::sale::in_address;
use crate::served::Served;

/// Each order with its terms, its deposit and the ways on.
pub fn orders(facts: &Served, known: &Known, wanted: &[Buyer]) -> Markup {
    let accounts = known.market.accounts();
    let written: Vec<&Buyer> = wanted.iter().filter(|buyer| buyer.order.is_some()).collect();
    html! {
        @if wanted.is_empty() { p { (say::NO_ORDERS) } }
        @if !written.is_empty() {
            section.part #orders aria-labelledby="h-orders" {
                h2 id="h-orders" { (say::WRITTEN) }
                ul.log {
                    @for buyer in &written {
                        @let account = accounts.get(&AccountOf::Order(buyer.id.clone()));
                        li { (one(facts, buyer, account.map_or(Money::default(), |account: &Account| account.deposit))) }
                    }
                }
            }
        }
        @if wanted.iter().any(|buyer| buyer.good.sold_as == SoldAs::Live) {
            section.part aria-labelledby="h-live" { h2 id="h-live" { (say::LIVE) } p { (say::LIVE_SAYS) } }
        }
    }
}

fn one(facts: &Served, buyer: &Buyer, paid: Money) -> Markup {
    let base = format!("/f/{}/log", facts.id);
    let order = buyer.order.as_ref();
    html! {
        p.said { (buyer.name) ": " (order.map_or_else(String::new, |order| say::ordered(order, buyer.amount, facts.manner))) }
        p { (say::told(buyer, facts.manner)) " " (buyer.contact.as_deref().unwrap_or_default()) }
        @if let Some(said) = say::deposit(order.and_then(|order| order.deposit), paid, facts.farm.currency) { p { (said) } }
        @if let Some(order) = order.filter(|order| order.good.sold_as == SoldAs::Live) {
            dl.rows { @for (name, value) in say::live_terms(order, facts.manner) { div { dt { (name) } dd { (value) } } } }
            @for said in say::tank_odd(order, facts.manner) { p.wrong { (said) } }
            @if order.their_tank_l.is_none() || order.their_tank_c.is_none() { p { (say::TANK_UNKNOWN) } }
        }
        p.ways-on.no-print {
            @if let Some(head) = &buyer.head { a.mend href=(format!("{base}/{head}/mend")) { (say::MEND) } " " }
            a.mend href=(format!("{base}/new?kind=paid&paid_for=deposit&of_order={}&buyer={}", buyer.id, in_address(&buyer.name))) { (say::DEPOSIT) } " "
            (answered(facts, buyer, facts.on, None, "came", say::CAME)) " "
            (answered(facts, buyer, facts.on, None, "not_come", say::NOT_CAME))
        }
    }
}
