//! What a buyer brings back, and money that goes back: no more than was sold, and no more than was paid, as far as the record knows.
//!
//! Two phones that each take back the same line meet on the sale's board; one form knows better at once.

use farm::facts::Fact;
use farm::facts::market::AccountOf;
use units::Money;
use words::page_log as log;
use words::page_sale as say;

use crate::market_read::Known;
use crate::parts::entry::Shown;
use crate::record::{Record, waiting};
use crate::served::Served;

/// What stands over the form: what comes back is not headed as sold.
pub fn title(shown: &Shown) -> &str {
    match shown.kind.as_str() {
        "sale" if !shown.text("takes_back").is_empty() => say::TAKEN_BACK,
        "paid" if shown.text("given_back") == "yes" => say::GIVEN_BACK,
        kind => log::kind(kind),
    }
}

/// The most that can come back, in units of money, pieces or kg, and how it is said; nothing where the record does not know what it is of.
fn most(record: &Record, facts: &Served, shown: &Shown) -> Option<(f64, String)> {
    let (line, receipt) = (shown.text("takes_back"), shown.text("receipt"));
    let is_money = shown.kind == "paid" && shown.text("given_back") == "yes" && !receipt.is_empty();
    if !is_money && (shown.kind != "sale" || line.is_empty()) {
        return None;
    }
    let market = waiting(|| Known::read(record, facts)).ok()?.market;
    let mends = |head: &str| shown.corrects.as_deref() == Some(head);
    if is_money {
        let order = market.lines_of(receipt).find_map(|line| line.order.clone());
        let of = order.map_or_else(|| AccountOf::Receipt(receipt.to_owned()), AccountOf::Order);
        let mended: i64 = market.paid.iter().filter(|one| mends(&one.entered.head)).map(|one| one.money.coins).sum();
        let money = Money { coins: (market.accounts().get(&of)?.paid.coins - mended).max(0) };
        let currency = facts.farm.currency;
        return Some((money.coins as f64 / currency.coins_per_unit() as f64, say::paid_most(money, currency)));
    }
    let sold = market.sold.iter().find(|one| one.entered.id == line)?;
    let back = market.sold.iter().filter(|one| one.takes_back.as_deref() == Some(line) && !mends(&one.entered.head));
    let left = (sold.amount - back.map(|one| one.amount).sum::<f64>()).max(0.0);
    let sold_as = sold.good.sold_as;
    Some((left, say::sold_most(sold_as, left, facts.manner)))
}

/// Tells the form what can come back at most.
pub fn tell(record: &Record, facts: &Served, shown: &mut Shown) {
    shown.most = most(record, facts, shown).map(|(most, said)| (format!("{most:.4}"), said));
}

/// More comes back than there is to come back.
pub fn check(record: &Record, facts: &Served, fact: &Fact, shown: &mut Shown) {
    let Some((most, said)) = most(record, facts, shown) else { return };
    let value = |name: &str| fact.values.get(name).copied();
    let (field, typed) = match (fact.kind.as_str(), value("pieces")) {
        ("paid", _) => ("paid", value("paid")),
        (_, Some(pieces)) => ("pieces", Some(pieces)),
        _ => ("amount", value("net")),
    };
    if !fact.strikes() && typed.is_some_and(|typed| typed > most + 0.005) {
        shown.wrong.push((field.to_owned(), format!("{} {said}", say::BACK_OVER)));
    }
}
