//! `/f/{farm}/sale`: the board of the sale: what each table has left, what does not fit together, who owes; `/table/{table}` is a table's
//! own page, which sells without signal; `/list` the pick-up list.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::{Account, AccountOf, Clash, Pool, Stand};
use farm::facts::{Fact, is_id};
use maud::{Markup, html};
use season::trace::{at_tables, handed_of_held_kg};
use store::StoreError;
use units::{Instant, Money};
use words::page_log as log;
use words::page_sale as say;

use super::{missing, sent, trace};
use crate::market_read::Known;
use crate::parts::blocks::wide;
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Seconds after which the board is fetched again, s.
const AGAIN_S: u32 = 30;
/// Receipts shown on the board.
const LAST: usize = 30;
/// Open accounts shown on the board.
const OWED_MOST: usize = 500;
/// Of them shown at once.
const OWED_FIRST: usize = 12;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sale", get(show))
}

/// What the record holds, or the page that says why it cannot be read.
pub fn known(record: &Record, facts: &Served) -> Result<Known, Box<Response>> {
    waiting(|| Known::read(record, facts)).map_err(|error| Box::new(unread(record, &error)))
}

fn unread(record: &Record, error: &StoreError) -> Response {
    sent(plain(say::TITLE, &words::store::error(record.store().path(), error)))
}

/// A name within an address.
pub fn in_address(name: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'~');
    name.bytes().map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") }).collect()
}

/// Where to after an entry of the sale is kept.
pub fn then(farm: &str, fact: &Fact, then: &str) -> Option<String> {
    // Back to a page of the sale, and nowhere else.
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/%?&=-_.~".contains(&byte);
    if then.starts_with("sale/") && then.bytes().all(plain) && !then.contains("..") {
        return Some(format!("/f/{farm}/{then}"));
    }
    match (fact.kind.as_str(), fact.text("receipt").filter(|receipt| is_id(receipt))) {
        ("asked" | "told", _) => Some(format!("/f/{farm}/buyers")),
        ("paid", None) if fact.text("of_order").is_some() && who::now().may == May::All => {
            Some(format!("/f/{farm}/buyers"))
        }
        ("sale" | "paid", Some(receipt)) => Some(format!("/f/{farm}/sale/receipt/{receipt}")),
        ("sale" | "paid" | "handed", _) => Some(format!("/f/{farm}/sale")),
        _ => None,
    }
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let known = match known(record, &facts) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let frame = Frame { again_s: Some(AGAIN_S), ..Frame::of(&facts, say::TITLE, Here::Sale) };
    let now = entry::now(&facts, record.now_ms()).0;
    sent(framed(&frame, board(&facts, &known, now, &trace::sell_first(record, &facts, now))))
}

fn board(facts: &Served, known: &Known, now: Instant, packed: &Markup) -> Markup {
    let manner = facts.manner;
    let (stands, clashes) = (known.market.stands(), known.market.clashes(&known.supply));
    let base = format!("/f/{}", facts.id);
    let may_all = who::now().may == May::All;
    html! {
        article.one-pond.board.sale {
            section.answer {
                h1 { (say::headline(&stands, clashes.len() + known.odd_lots.len(), manner)) }
                @if stands.is_empty() { div.why { p { (say::NONE_SAYS) } } }
                p { (say::unsold(Some(facts.farm.sale_day.unsold_h), manner)) }
                p.onward {
                    a.button.main href=(format!("{base}/log/new?kind=handed")) { (say::HAND) } " "
                    @if !stands.is_empty() { a.button href=(format!("{base}/log/new?kind=handed&handed_back=yes")) { (say::HAND_BACK) } " " }
                    @if may_all { a.button href=(format!("{base}/buyers")) { (say::TO_BUYERS) } }
                    a.button href=(format!("{base}/sale/list")) { (say::TO_LIST) }
                }
            }
            (crate::parts::held::held(facts, known))
            (ageing(facts, known, now))
            (packed)
            (settle(facts, &clashes, known))
            (tables(facts, &stands))
            (supply(known, facts))
            (money(facts, known, may_all))
            section.part aria-labelledby="h-shared" {
                h2 id="h-shared" { (say::SHARED) }
                @for said in say::SHARED_SAYS { p { (said) } }
            }
            p.caution { (say::VISITORS) }
        }
    }
}

/// What lies on the tables past its best, the one that ends first in front.
fn ageing(facts: &Served, known: &Known, now: Instant) -> Markup {
    let zone = &facts.farm.place.zone;
    let mut lots = at_tables(&facts.farm, &known.market, &known.packs, &known.began, now);
    lots.sort_by_key(|one| one.clock.map(|clock| clock.stops));
    let said: Vec<String> = lots.iter().filter_map(|one| say::ageing(one, zone, facts.manner)).collect();
    html! {
        @if !said.is_empty() {
            section.part aria-labelledby="h-ageing" {
                h2 id="h-ageing" { (say::AGEING) }
                ul { @for one in &said { li { (one) } } }
            }
        }
    }
}

/// What a person must look at: each with what is missing, and ways to the entries it names.
fn settle(facts: &Served, clashes: &[Clash], known: &Known) -> Markup {
    let head_of = |id: &str| {
        let facts_now = farm::facts::current(&known.entries);
        facts_now.iter().find(|entry| entry.first.fact.id == id).map(|entry| {
            let head = entry.heads[0];
            (head.fact.id.clone(), super::log::line(facts, &head.fact), entry.is_fork())
        })
    };
    html! {
        section.part #clashes aria-labelledby="h-clash" {
            h2 id="h-clash" { (say::CLASHES) }
            @if clashes.is_empty() && known.odd_lots.is_empty() { p { (say::NO_CLASH) } }
            ul.log {
                @for clash in clashes {
                    li {
                        p.wrong { (say::clash(clash, facts.manner, facts.farm.currency)) }
                        @for (head, line, is_fork) in say::named(clash).into_iter().filter_map(head_of) {
                            p {
                                (line) " "
                                @if is_fork { a.mend href=(format!("/f/{}/log", facts.id)) { (log::HOLDS) } }
                                @else { a.mend href=(format!("/f/{}/log/{head}/mend", facts.id)) { (say::MEND) } }
                            }
                        }
                    }
                }
                @for odd in &known.odd_lots {
                    li {
                        p.wrong { (say::odd_lot(odd, facts.manner)) }
                        p { a.mend href=(format!("/f/{}/log/{}/mend", facts.id, odd.head)) { (say::MEND) } }
                    }
                }
            }
        }
    }
}

fn tables(facts: &Served, stands: &[Stand]) -> Markup {
    let mut names: Vec<&str> = stands.iter().map(|stand| stand.table.as_str()).collect();
    names.dedup();
    html! {
        @for name in names {
            section.part aria-label=(name) {
                h2 { (name) }
                (stock(facts, stands.iter().filter(|stand| stand.table == name)))
                p { a.button href=(format!("/f/{}/sale/table/{}", facts.id, in_address(name))) { (say::SELL) ": " (name) } }
            }
        }
    }
}

/// Rows of a table's stock.
pub fn stock<'a>(facts: &Served, stands: impl Iterator<Item = &'a Stand>) -> Markup {
    html! {
        (wide(say::TABLES, &say::STAND_HEADS, stands.map(|stand| say::stand_row(stand, facts.manner, facts.farm.currency))))
    }
}

fn supply(known: &Known, facts: &Served) -> Markup {
    let kg = |kg: f64| say::weight(kg, facts.manner);
    let rows = [Pool::Live, Pool::Whole, Pool::Tails].map(|pool| {
        let (there, out) = (known.supply.of(pool), known.market.handed_out_kg(pool));
        // Pieces that nobody weighed stand with what they likely weigh.
        let about = |much: f64| if known.market.is_about(pool) { say::about(&kg(much)) } else { kg(much) };
        // What was handed out of a held tank is held there, and not once more.
        let of_held =
            if pool == Pool::Live { handed_of_held_kg(&facts.farm, &known.market, &known.tanks) } else { 0.0 };
        let left = (there - out).min((known.supply.free(pool) - (out - of_held)).max(0.0));
        [
            say::pool(pool).to_owned(),
            kg(there),
            about(out),
            about(known.market.sold_kg(pool)),
            say::left_over(&kg(left.abs()), left < -0.005, known.market.is_about(pool)),
        ]
    });
    let unsorted_kg = known.supply.unsorted_kg;
    html! {
        section.part aria-labelledby="h-supply" {
            h2 id="h-supply" { (say::SUPPLY) }
            (wide(say::SUPPLY, &say::SUPPLY_HEADS, rows.iter()))
            @if unsorted_kg > 0.0 { p { (say::unsorted(&kg(unsorted_kg))) } }
            @if known.market.is_about(Pool::Whole) { p.legend { (say::ABOUT_SAYS) } }
        }
    }
}

/// Receipts, what is owed, and for the owner what was taken.
fn money(facts: &Served, known: &Known, may_all: bool) -> Markup {
    let (market, currency) = (&known.market, facts.farm.currency);
    let accounts = market.accounts();
    let mut owed: Vec<(&AccountOf, &Account)> =
        accounts.iter().filter(|(_, account)| account.owing().coins != 0).collect();
    // Who owes most first; on a day of hundreds the rest stands folded away.
    owed.sort_by_key(|(_, account)| std::cmp::Reverse(account.owing().coins.abs()));
    let still = Money { coins: owed.iter().map(|(_, account)| account.owing().coins.max(0)).sum() };
    let (first, rest) = owed.split_at(owed.len().min(OWED_FIRST));
    let row = |(of, account): &(&AccountOf, &Account)| owing(facts, of, account);
    let mut receipts: Vec<&str> = Vec::new();
    for line in market.sold.iter().rev() {
        if !receipts.contains(&line.receipt.as_str()) {
            receipts.push(&line.receipt);
        }
        if receipts.len() == LAST {
            break;
        }
    }
    html! {
        @if accounts.values().any(|account| account.owing().coins != 0) {
            section.part aria-labelledby="h-owed" {
                h2 id="h-owed" { (say::OWED) }
                @if owed.len() > 1 { p { (say::owed_in_all(owed.len(), still, currency)) } }
                ul.log { @for one in first { (row(one)) } }
                @if !rest.is_empty() {
                    details {
                        summary { (say::owed_rest(rest.len())) }
                        ul.log { @for one in rest.iter().take(OWED_MOST) { (row(one)) } }
                    }
                }
            }
        }
        @if !receipts.is_empty() {
            section.part aria-labelledby="h-receipts" {
                h2 id="h-receipts" { (say::RECEIPTS) }
                @if may_all { p { (say::TAKEN) ": " b { (say::money(taken(known), currency)) } } }
                ul.log {
                    @for receipt in receipts {
                        @let lines: Vec<_> = market.lines_of(receipt).collect();
                        @let sum = Money { coins: lines.iter().map(|line| line.money.coins).sum() };
                        li {
                            a.mend href=(format!("/f/{}/sale/receipt/{receipt}", facts.id)) { (say::RECEIPT) " " (say::number(receipt)) } " "
                            (lines.first().map_or("", |line| line.table.as_str())) " "
                            (lines.iter().find_map(|line| line.buyer.as_deref()).unwrap_or_default()) " "
                            (say::money(sum, currency))
                        }
                    }
                }
            }
        }
    }
}

/// What one owes or is owed, with the way to the receipt.
fn owing(facts: &Served, of: &AccountOf, account: &Account) -> Markup {
    let receipt = match of {
        AccountOf::Receipt(id) => Some(id),
        AccountOf::Order(_) => account.receipts.last(),
        AccountOf::Loose(_) => None,
    };
    html! {
        @if let Some([what, much]) = say::owing(account.owing(), facts.farm.currency) {
            li {
                (account.buyer.as_deref().unwrap_or_default()) " " (what) ": " b { (much) } " "
                @if let Some(receipt) = receipt { a.mend href=(format!("/f/{}/sale/receipt/{receipt}", facts.id)) { (say::RECEIPT) " " (say::number(receipt)) } }
            }
        }
    }
}

/// Money in, less money given back, over the season.
fn taken(known: &Known) -> Money {
    Money { coins: known.market.paid.iter().map(|payment| payment.money.coins).sum() }
}
