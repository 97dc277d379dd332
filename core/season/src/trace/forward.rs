//! Forward: lots that hold it, tables, lines sold, and whom to call.

use std::collections::{BTreeMap, BTreeSet};

use farm::facts::lot_name;
use farm::facts::market::{Market, Sold, SoldAs};
use units::Instant;

use super::{Known, LotName, is_of_day};

/// A table that was handed some.
#[derive(Debug, Clone, PartialEq)]
pub struct Handing {
    /// When.
    pub at: Instant,
    /// The table.
    pub table: String,
    /// Its lot.
    pub lot: String,
    /// As what.
    pub sold_as: SoldAs,
    /// kg of the form, or pieces.
    pub amount: f64,
    /// It came back.
    pub is_back: bool,
}

/// A line sold.
#[derive(Debug, Clone, PartialEq)]
pub struct SoldLine {
    /// Mark of its entry.
    pub id: String,
    /// When.
    pub at: Instant,
    /// The buyer, if named on the line or by its order.
    pub buyer: Option<String>,
    /// How they are reached, by their order.
    pub contact: Option<String>,
    /// The order it fills.
    pub order: Option<String>,
    /// The table.
    pub table: String,
    /// Mark of the receipt.
    pub receipt: String,
    /// Its lot.
    pub lot: String,
    /// As what.
    pub sold_as: SoldAs,
    /// kg of the form, or pieces.
    pub amount: f64,
    /// What it weighs, kg.
    pub weight_kg: Option<f64>,
    /// It was taken back.
    pub is_back: bool,
    /// It holds the lot for sure; else it was sold by pond and day without a tub.
    pub is_sure: bool,
}

impl SoldLine {
    /// What it weighs as far as it was weighed, kg.
    pub fn kg(&self) -> f64 {
        self.weight_kg.unwrap_or(if self.sold_as.by_piece() { 0.0 } else { self.amount })
    }
}

/// A buyer to be called.
#[derive(Debug, Clone, PartialEq)]
pub struct Call {
    /// The buyer.
    pub buyer: String,
    /// How they are reached.
    pub contact: Option<String>,
    /// What they have by weight, kg, less what they brought back.
    pub weight_kg: f64,
    /// Pieces that were not weighed.
    pub pieces: f64,
    /// First and last time.
    pub span: (Instant, Instant),
    /// Lines.
    pub lines: usize,
    /// They surely have some; else perhaps.
    pub is_sure: bool,
}

/// Lots that surely hold some of a lot, itself first, and lots that may.
pub(super) fn holding(known: &Known, lots: &BTreeSet<String>, lot: &str) -> (Vec<String>, Vec<String>) {
    let mut within = vec![lot.to_owned()];
    within.extend(lots.iter().filter(|other| is_of_day(other, lot)).cloned());
    follow(known, &mut within, &[]);
    // What was written down by pond and day alone may be of any tub of that day.
    let mut perhaps: Vec<String> = within
        .iter()
        .filter(|one| LotName::day_of(one).is_some())
        .filter_map(|one| lots.iter().find(|day| is_of_day(one, day)))
        .filter(|day| !within.contains(*day))
        .cloned()
        .collect();
    perhaps.sort();
    perhaps.dedup();
    follow(known, &mut perhaps, &within);
    (within, perhaps)
}

/// Adds every lot into which one of these was mixed, by packs or by moves between tubs.
fn follow(known: &Known, lots: &mut Vec<String>, besides: &[String]) {
    let mut at = 0;
    while at < lots.len() {
        let one = lots[at].clone();
        let packed = known.packs.iter().filter(|pack| pack.of_lots.contains(&one)).map(|pack| &pack.lot);
        let moved = known.mixed.iter().filter(|moved| moved.from == one).map(|moved| &moved.into);
        for into in packed.chain(moved) {
            if !lots.contains(into) && !besides.contains(into) {
                lots.push(into.clone());
            }
        }
        at += 1;
    }
}

pub(super) fn handed(market: &Market, is_in: &dyn Fn(&str) -> bool) -> Vec<Handing> {
    let of_lot = market.handed.iter().filter_map(|one| Some((one, one.lot.as_deref().filter(|lot| is_in(lot))?)));
    of_lot
        .map(|(one, lot)| Handing {
            at: one.entered.at,
            table: one.table.clone(),
            lot: lot_name(lot),
            sold_as: one.good.sold_as,
            amount: one.amount,
            is_back: one.back,
        })
        .collect()
}

pub(super) fn sold(market: &Market, is_in: &dyn Fn(&str) -> bool, surely: &dyn Fn(&str) -> bool) -> Vec<SoldLine> {
    let of_lot = market.sold.iter().filter_map(|line| {
        let lot = market.lot_of(line)?;
        is_in(lot).then(|| sold_line(market, line, lot, surely(lot)))
    });
    of_lot.collect()
}

/// Lines sold since a moment that name no lot, with what was taken back of them: they may be of any.
pub(super) fn of_no_lot(market: &Market, since: Option<Instant>) -> Vec<SoldLine> {
    let Some(since) = since else { return Vec::new() };
    let nameless = market.sold.iter().filter(|line| line.entered.at >= since && market.lot_of(line).is_none());
    nameless.map(|line| sold_line(market, line, "", false)).collect()
}

fn taken_back<'a>(market: &'a Market, line: &Sold) -> Option<&'a Sold> {
    line.takes_back.as_deref().and_then(|id| market.sold.iter().find(|one| one.entered.id == id))
}

fn sold_line(market: &Market, line: &Sold, lot: &str, is_sure: bool) -> SoldLine {
    let first = taken_back(market, line);
    let order = line.order.as_deref().or(first.and_then(|first| first.order.as_deref()));
    let order = order.and_then(|id| market.order(id));
    let buyer = line.buyer.clone().or(first.and_then(|first| first.buyer.clone()));
    let buyer = buyer.or(order.map(|order| order.buyer.clone()));
    // Who bought without an order may have one elsewhere, with their number.
    let same =
        |name: &String| market.orders.iter().rev().find(|one| same_name(&one.buyer, name) && one.contact.is_some());
    let by_order = order.filter(|order| order.contact.is_some());
    SoldLine {
        id: line.entered.id.clone(),
        at: line.entered.at,
        contact: by_order.or(buyer.as_ref().and_then(same)).and_then(|order| order.contact.clone()),
        order: order.map(|order| order.entered.id.clone()),
        buyer,
        table: line.table.clone(),
        receipt: line.receipt.clone(),
        lot: lot_name(lot),
        sold_as: line.good.sold_as,
        amount: line.amount,
        weight_kg: line.weight_kg,
        is_back: line.takes_back.is_some(),
        is_sure,
    }
}

/// Lines sold since a moment that name no lot, nor does the line that they take back: how many, and kg of them.
pub(super) fn lotless(market: &Market, since: Option<Instant>) -> (usize, f64) {
    let Some(since) = since else { return (0, 0.0) };
    let nameless =
        market.sold.iter().filter(|line| line.entered.at >= since && line.lot.is_none() && line.takes_back.is_none());
    nameless.fold((0, 0.0), |(lines, kg), line| (lines + 1, kg + line.weight_kg.unwrap_or(0.0)))
}

pub(super) fn same_name(one: &str, other: &str) -> bool {
    one.trim().eq_ignore_ascii_case(other.trim())
}

/// Every named buyer once. Who brought all of it back is called all the same: they may have eaten of it.
pub(super) fn calls(sold: &[SoldLine]) -> Vec<Call> {
    let mut all: BTreeMap<String, Call> = BTreeMap::new();
    for line in sold {
        let Some(buyer) = &line.buyer else { continue };
        let call = all.entry(buyer.trim().to_lowercase()).or_insert_with(|| Call {
            buyer: buyer.trim().to_owned(),
            contact: None,
            weight_kg: 0.0,
            pieces: 0.0,
            span: (line.at, line.at),
            lines: 0,
            is_sure: false,
        });
        let sign = if line.is_back { -1.0 } else { 1.0 };
        call.weight_kg += sign * line.kg();
        if line.sold_as.by_piece() && line.weight_kg.is_none() {
            call.pieces += sign * line.amount;
        }
        call.contact = call.contact.take().or_else(|| line.contact.clone());
        call.span = (call.span.0.min(line.at), call.span.1.max(line.at));
        call.lines += 1;
        call.is_sure |= line.is_sure;
    }
    let mut calls: Vec<Call> = all.into_values().collect();
    calls.sort_by(|a, b| {
        let by = (b.is_sure, b.weight_kg).partial_cmp(&(a.is_sure, a.weight_kg));
        by.unwrap_or(std::cmp::Ordering::Equal).then_with(|| a.buyer.cmp(&b.buyer))
    });
    calls
}
