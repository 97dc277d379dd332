//! From entries to the market.

use std::collections::BTreeMap;

use units::{Currency, Day, Money};

use super::{
    Entered, Good, Handed, MARKET_KINDS, Market, Order, Payment, Rank, Reply, Sold, SoldAs, Told, Unread, line_money,
    price,
};
use crate::facts::selling::size;
use crate::facts::{Entry, Fact, Kept, current, read_typed};
use crate::trade::Pays;

/// The market that the entries make. `facts` may hold other kinds too.
pub fn market(facts: &[Kept], farm: &Currency) -> Market {
    let mut market = Market::default();
    let own: Vec<Kept> = facts
        .iter()
        .filter(|kept| MARKET_KINDS.contains(&kept.fact.kind.as_str()) || kept.fact.kind == "settle")
        .cloned()
        .collect();
    for entry in current(&own).iter().filter(|entry| !entry.is_struck()) {
        if let Err(why) = market.take(entry, farm) {
            market.unread.push((entry.first.fact.kind.clone(), entry.first.fact.id.clone(), why));
        }
    }
    let by = |one: &Entered, other: &Entered| {
        (one.at, one.typed_ms, one.id.as_str()).cmp(&(other.at, other.typed_ms, other.id.as_str()))
    };
    market.orders.sort_by(|a, b| by(&a.entered, &b.entered));
    market.told.sort_by(|a, b| by(&a.entered, &b.entered));
    market.handed.sort_by(|a, b| by(&a.entered, &b.entered));
    market.sold.sort_by(|a, b| by(&a.entered, &b.entered));
    market.paid.sort_by(|a, b| by(&a.entered, &b.entered));
    market.name_lines();
    market
}

impl Market {
    /// A name given once on a receipt is the name on all of it: it is often asked for last, with the money.
    fn name_lines(&mut self) {
        let mut names: BTreeMap<String, String> = BTreeMap::new();
        let lines = self.sold.iter().map(|line| (Some(&line.receipt), &line.buyer));
        let paid = self.paid.iter().map(|payment| (payment.receipt.as_ref(), &payment.buyer));
        for (receipt, buyer) in lines.chain(paid) {
            if let (Some(receipt), Some(buyer)) = (receipt, buyer) {
                names.entry(receipt.clone()).or_insert_with(|| buyer.clone());
            }
        }
        for line in self.sold.iter_mut().filter(|line| line.buyer.is_none()) {
            line.buyer = names.get(&line.receipt).cloned();
        }
    }

    fn take(&mut self, entry: &Entry<'_>, farm: &Currency) -> Result<(), Unread> {
        let Some(head) = entry.settled() else { return Err(Unread::Fork) };
        let fact = &head.fact;
        // A word of a later program is no slip of this one: unknown fields are passed over, anything else must be readable.
        let unknown = |slip: &crate::facts::Slip| {
            matches!(slip.what, crate::reasons::Wrong::UnknownKey { .. }) && slip.field != "form"
        };
        if read_typed(&fact.kind, fact.form, &fact.typed).slips.iter().any(|slip| !unknown(slip)) {
            return Err(Unread::Slip);
        }
        let entered = Entered {
            id: entry.first.fact.id.clone(),
            head: fact.id.clone(),
            at: fact.happened.at,
            typed_ms: entry.first.fact.typed_ms,
            person: fact.person.clone(),
            device: entry.first.fact.device.clone(),
        };
        match fact.kind.as_str() {
            "asked" => self.orders.push(order(fact, entered, farm)?),
            "told" => self.told.push(told(fact, entered)?),
            "handed" => self.handed.push(handed(fact, entered, farm)?),
            "sale" => self.sold.push(sold(fact, entered, farm)?),
            _ => self.paid.push(paid(fact, entered, farm)?),
        }
        Ok(())
    }
}

fn words(fact: &Fact, name: &str) -> Option<String> {
    // One space between words: two phones mean the same table.
    fact.text(name).map(|text| text.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn says(fact: &Fact, name: &str) -> bool {
    matches!(fact.text(name), Some("yes" | "true"))
}

fn good(fact: &Fact) -> Result<Good, Unread> {
    let sold_as = fact.text("sold_as").and_then(SoldAs::parse).ok_or(Unread::Slip)?;
    Ok(Good { sold_as, size: words(fact, "size").unwrap_or_default() })
}

fn pays(fact: &Fact, farm: &Currency) -> Result<Option<Pays>, Unread> {
    fact.text("price").map(|text| price(text, farm).ok_or(Unread::OtherMoney)).transpose()
}

/// kg of the form or pieces, and what it weighs.
fn amount(fact: &Fact, good: &Good, weight: &str) -> Result<(f64, Option<f64>), Unread> {
    let value = |name: &str| fact.values.get(name).copied();
    let amount = if good.sold_as.by_piece() { value("pieces") } else { value(weight) };
    Ok((amount.ok_or(Unread::Slip)?, value(weight)))
}

fn money(fact: &Fact, name: &str, farm: &Currency) -> Option<Money> {
    // A test of the table reads an amount as whole units of money.
    fact.values.get(name).map(|units| Money::from_computed((units * farm.coins_per_unit() as f64 * 1e6).round() / 1e6))
}

fn order(fact: &Fact, entered: Entered, farm: &Currency) -> Result<Order, Unread> {
    let good = good(fact)?;
    let (amount, _) = amount(fact, &good, "amount")?;
    let rank = match fact.text("rank") {
        _ if says(fact, "served_first") => Rank::First,
        Some("standing") => Rank::Standing,
        Some("walk_up") => Rank::WalkUp,
        Some("waiting") => Rank::Waiting,
        _ => Rank::Ordered,
    };
    Ok(Order {
        buyer: words(fact, "buyer").ok_or(Unread::Slip)?,
        contact: words(fact, "contact"),
        rank,
        size_g: fact.text("size").and_then(size).unwrap_or((0.0, f64::INFINITY)),
        amount,
        pays: pays(fact, farm)?,
        day_from: fact.text("day_from").and_then(Day::parse),
        day_until: fact.text("day_until").and_then(Day::parse),
        deposit: money(fact, "deposit_asked", farm),
        their_tank_l: fact.values.get("their_tank").copied(),
        their_tank_c: fact.values.get("their_tank_temperature").copied(),
        hauls: words(fact, "hauls"),
        bears: words(fact, "bears"),
        note: fact.text("note").map(str::to_owned),
        good,
        entered,
    })
}

fn told(fact: &Fact, entered: Entered) -> Result<Told, Unread> {
    let reply = fact.text("answer").and_then(|word| Reply::ALL.iter().find(|(known, _)| *known == word));
    Ok(Told {
        order: words(fact, "of_order").ok_or(Unread::Slip)?,
        day: fact.text("day").and_then(Day::parse).ok_or(Unread::Slip)?,
        slot_h: fact.values.get("slot").copied(),
        reply: reply.map_or(Reply::NoAnswer, |(_, reply)| *reply),
        entered,
    })
}

fn handed(fact: &Fact, entered: Entered, farm: &Currency) -> Result<Handed, Unread> {
    let good = good(fact)?;
    let (amount, weight_kg) = amount(fact, &good, "amount")?;
    Ok(Handed {
        table: words(fact, "table").ok_or(Unread::Slip)?,
        amount,
        weight_kg,
        pays: pays(fact, farm)?,
        lot: words(fact, "lot"),
        back: says(fact, "handed_back"),
        good,
        entered,
    })
}

fn sold(fact: &Fact, entered: Entered, farm: &Currency) -> Result<Sold, Unread> {
    let good = good(fact)?;
    let (amount, weight_kg) = amount(fact, &good, "net")?;
    let pays = pays(fact, farm)?.ok_or(Unread::Slip)?;
    let takes_back = words(fact, "takes_back");
    let worth = line_money(amount, pays);
    Ok(Sold {
        table: words(fact, "table").ok_or(Unread::Slip)?,
        receipt: words(fact, "receipt").unwrap_or_else(|| entered.id.clone()),
        order: words(fact, "of_order"),
        buyer: words(fact, "buyer"),
        amount,
        weight_kg,
        drained: fact.text("drained").map(|_| says(fact, "drained")),
        pays,
        lot: words(fact, "lot"),
        money: if takes_back.is_some() { Money { coins: -worth.coins } } else { worth },
        again: says(fact, "sell_again"),
        takes_back,
        good,
        entered,
    })
}

fn paid(fact: &Fact, entered: Entered, farm: &Currency) -> Result<Payment, Unread> {
    let money = money(fact, "paid", farm).ok_or(Unread::Slip)?;
    Ok(Payment {
        money: if says(fact, "given_back") { Money { coins: -money.coins } } else { money },
        by: fact.text("paid_by").unwrap_or("cash").to_owned(),
        is_deposit: fact.text("paid_for") == Some("deposit"),
        receipt: words(fact, "receipt"),
        order: words(fact, "of_order"),
        buyer: words(fact, "buyer"),
        table: words(fact, "table"),
        entered,
    })
}
