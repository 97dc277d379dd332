//! `/f/{farm}/buyers`: orders against what the coming catches will likely yield: what is left over, who may get less, what may yet be promised,
//! who must be told of which day.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::{Account, AccountOf, Clash};
use maud::{Markup, html};
use season::answer::Outlook;
use season::promised::{Buyer, Comes, Fetched, Promised, Share, buyers, fetched, shared_today};
use units::Money;
use words::page_buyers as say;

use super::sale::{in_address, known};
use super::{missing, sent};
use crate::assets;
use crate::market_read::Known;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses::row;
use crate::parts::reached::reached;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

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
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let comes = fetched(&facts.farm, outlook, wanted);
    let short = say::short(found);
    html! {
        section.answer {
            h1 { (say::headline(found, manner)) }
            (enter(facts))
        }
        (unread(facts, known))
        (today(facts, known, wanted, Some(found)))
        @for (at, catch) in found.catches.iter().enumerate() {
            section.part {
                h2 { (say::on(catch.on)) }
                p { (say::catch(catch, &facts.farm, manner, currency)) }
                details open[at == 0] {
                    summary { (say::LEFT) }
                    (table(&say::LEFT_HEADS, say::left_rows(catch, manner)))
                    p.legend { (say::LEFT_SAYS) }
                }
                details open[at == 0] {
                    summary { (say::FREE) }
                    (table(&say::FREE_HEADS, found.free.iter().filter(|free| free.catch == at).map(|free| say::free_row(free, manner, currency)).collect()))
                    p.legend { (say::FREE_SAYS) }
                }
                @let here = of_catch(found, wanted, at);
                @if !here.is_empty() {
                    details open[at == 0] {
                        summary { (say::ORDERS) }
                        (table(&say::ORDER_HEADS, here.iter().map(|share| say::order_row(share, wanted, manner, currency)).collect()))
                    }
                }
            }
        }
        section.part aria-labelledby="h-short" {
            h2 id="h-short" { (say::SHORT) }
            @if short.is_empty() { p { (say::ALL_SERVED) } }
            ul { @for share in short { li { (say::may_get_less(found, share, wanted, manner)) } } }
            @if !found.without.is_empty() {
                h3 { (say::CANNOT) }
                p { (say::CANNOT_SAYS) }
                ul { @for at in &found.without { li { (wanted[*at].name) " " (wanted[*at].contact.as_deref().unwrap_or_default()) } } }
            }
        }
        (orders(facts, known, wanted))
        (tell(facts, &comes, wanted, found))
        script type="module" src=(assets::copy()) {}
        details.working { summary { (say::HOW) } @for said in say::METHOD { p { (said) } } }
    }
}

/// Shares of one catch in the order in which they are served.
fn of_catch<'a>(found: &'a Promised, wanted: &[Buyer], at: usize) -> Vec<&'a season::promised::Share> {
    let mut here: Vec<_> = found.shares.iter().filter(|share| share.catch == at).collect();
    here.sort_by_key(|share| wanted[share.buyer].rank);
    here
}

fn table<const N: usize>(heads: &[&str; N], rows: Vec<[String; N]>) -> Markup {
    html! {
        div.wide tabindex="0" role="group" aria-label=(heads[0]) {
            table {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for cells in &rows { (row(cells)) } }
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
    let rows = rows.map(|(buyer, gives)| say::today_row(buyer, *gives, facts.manner)).collect();
    html! {
        section.part aria-labelledby="h-today" {
            h2 id="h-today" { (say::TODAY) }
            p.reason { (say::today_left(&caught, facts.manner, facts.farm.currency)) }
            (table(&say::TODAY_HEADS, rows))
        }
    }
}

/// Each order with its terms, its deposit and the ways on.
fn orders(facts: &Served, known: &Known, wanted: &[Buyer]) -> Markup {
    let accounts = known.market.accounts();
    let base = format!("/f/{}/log", facts.id);
    html! {
        @if wanted.is_empty() { p { (say::NO_ORDERS) } }
        @if wanted.iter().any(|buyer| buyer.order.is_some()) { h2 { (say::WRITTEN) } }
        ul.log {
            @for buyer in wanted.iter().filter(|buyer| buyer.order.is_some()) {
                @let account = accounts.get(&AccountOf::Order(buyer.id.clone()));
                @let paid = account.map_or(Money::default(), |account: &Account| account.deposit);
                li {
                    p.said { (buyer.name) ": " (say::what(buyer, buyer.amount, facts.manner)) }
                    p { (say::told(buyer, facts.manner)) " " (buyer.contact.as_deref().unwrap_or_default()) }
                    @if let Some(said) = say::deposit(buyer.order.as_ref().and_then(|order| order.deposit), paid, facts.farm.currency) { p { (said) } }
                    @if let Some(order) = buyer.order.as_ref().filter(|order| order.good.sold_as == farm::facts::market::SoldAs::Live) {
                        dl.rows { @for (name, value) in say::live_terms(order, facts.manner) { div { dt { (name) } dd { (value) } } } }
                    }
                    p.no-print {
                        @if let Some(head) = &buyer.head { a.mend href=(format!("{base}/{head}/mend")) { (say::MEND) } " " }
                        a.mend href=(format!("{base}/new?kind=paid&paid_for=deposit&of_order={}&buyer={}", buyer.id, in_address(&buyer.name))) { (say::DEPOSIT) } " "
                        (answered(facts, buyer, facts.on, None, "came", say::CAME)) " "
                        (answered(facts, buyer, facts.on, None, "not_come", say::NOT_CAME))
                    }
                }
            }
        }
        @if wanted.iter().any(|buyer| buyer.good.sold_as == farm::facts::market::SoldAs::Live) {
            section.part aria-labelledby="h-live" { h2 id="h-live" { (say::LIVE) } p { (say::LIVE_SAYS) } }
        }
    }
}

/// A way to write down what a buyer said of a day.
fn answered(facts: &Served, buyer: &Buyer, on: units::Day, slot_h: Option<f64>, answer: &str, label: &str) -> Markup {
    let slot = slot_h.map_or(String::new(), |hours| {
        let minutes = (60.0 * hours).round() as i64;
        format!("&slot={}:{:02}", minutes / 60, minutes % 60)
    });
    html! {
        a.mend href=(format!(
            "/f/{}/log/new?kind=told&of_order={}&buyer={}&day={on}{slot}&answer={answer}",
            facts.id, in_address(&buyer.id), in_address(&buyer.name)
        )) { (label) }
    }
}

/// Entries of buyers that cannot be read or wait for a person: they count for nothing, and whoever typed one must see it.
pub fn unread(facts: &Served, known: &Known) -> Markup {
    let entries = farm::facts::current(&known.entries);
    let ours = known.market.unread.iter().filter(|(kind, ..)| ["asked", "told", "paid"].contains(&kind.as_str()));
    let ours: Vec<_> = ours
        .filter_map(|(kind, id, why)| Some((kind, id, why, entries.iter().find(|entry| entry.first.fact.id == *id)?)))
        .collect();
    html! {
        @if !ours.is_empty() {
            section.part #unread aria-labelledby="h-unread" {
                h2 id="h-unread" { (say::UNREAD) }
                ul.log {
                    @for (kind, id, why, entry) in ours {
                        @let head = &entry.heads[0].fact;
                        li {
                            p.said { (super::log::line(facts, head)) }
                            @for remark in words::page_log::remarks(head) { p.wrong { (remark) } }
                            p.wrong { (words::page_sale::clash(&Clash::Unread(kind.clone(), id.clone(), *why), facts.manner, facts.farm.currency)) }
                            p { a.mend href=(format!("/f/{}/log/{}/mend", facts.id, head.id)) { (say::MEND) } }
                        }
                    }
                }
            }
        }
    }
}

/// A message, and the ways to send it: copied, or by the phone's own programs where a number or an address is known.
fn message(
    facts: &Served,
    buyer: &Buyer,
    (fetched, comes): (&Fetched, &Comes),
    share: Option<&Share>,
    n: usize,
) -> Markup {
    let text = say::message(&facts.farm.name, buyer, (fetched, comes), share, facts.manner);
    let to = reached(buyer.contact.as_deref().unwrap_or_default());
    let id = format!("message-{n}");
    html! {
        details {
            summary { (say::MESSAGE) }
            p.message id=(id) { (text) }
            div.onward.no-print {
                button type="button" hidden data-copies=(id) { (say::COPY) } " "
                @if let Some(link) = to.message_to(&text) { a.button href=(link) { (say::TEXT_IT) } " " }
                @if let Some(link) = to.letter_to(&say::subject(&facts.farm.name, fetched), &text) { a.button href=(link) { (say::MAIL_IT) } }
                p hidden data-copied="yes" role="status" { (say::COPIED) }
                p hidden data-copied="no" role="status" { (say::SELECTED) }
            }
        }
    }
}

/// Messages to those who do not know the day that stands, catch after catch.
fn tell(facts: &Served, comes: &[Fetched], wanted: &[Buyer], found: &Promised) -> Markup {
    let mut n = 0;
    let mut next = || {
        n += 1;
        n
    };
    let open = |fetched: &Fetched| -> Vec<Comes> {
        let all = fetched.buyers.iter().filter(|one| say::must_be_told(&wanted[one.buyer], one, fetched));
        all.cloned().collect()
    };
    let is_open = comes.iter().any(|fetched| !open(fetched).is_empty());
    html! {
        section.part #tell aria-labelledby="h-tell" {
            h2 id="h-tell" { (say::TELL) }
            @if comes.iter().any(|fetched| !fetched.is_locked) { p.hint { (say::WINDOW_SAYS) } }
            @if !is_open { p { (say::TELL_NOBODY) } }
            @for (catch, fetched) in comes.iter().enumerate() {
                h3 { (say::window(fetched)) }
                ul.log {
                    @for one in open(fetched) {
                        @let buyer = &wanted[one.buyer];
                        @let share = found.shares.iter().find(|share| share.catch == catch && share.buyer == one.buyer);
                        li {
                            p.said { (say::coming(buyer, &one, fetched, facts.manner)) }
                            p { (buyer.contact.as_deref().unwrap_or_default()) " " (say::told(buyer, facts.manner)) }
                            (message(facts, buyer, (fetched, &one), share, next()))
                            p.no-print {
                                (answered(facts, buyer, one.on, Some(one.slot_h), "yes", say::TOLD_YES)) " "
                                (answered(facts, buyer, one.on, Some(one.slot_h), "no", say::TOLD_NO)) " "
                                (answered(facts, buyer, one.on, Some(one.slot_h), "no_answer", say::TOLD_OPEN))
                            }
                        }
                    }
                }
            }
        }
    }
}
