//! What the buyers' page says: what is promised against what comes, who gets less, what may yet be promised, who must be told.

use farm::Pays;
use farm::facts::market::{Good, Rank, SoldAs};
use season::answer::Band;
use season::farm::Farm;
use season::promised::{Buyer, Catch, Caught, Free, Promised, Share};
use units::{Currency, Day, Money};

use crate::figures::{Manner, day_said as day_short, odds};
use crate::page_sale::{amount, good, money, price};

mod live;
mod tell;
#[cfg(test)]
mod tests;
mod text;

pub use live::*;
pub use tell::*;
pub use text::{left_or_given, page};

/// Name of the page.
pub const TITLE: &str = "Buyers";
/// No answer yet.
pub const NOT_YET: &str = "The morning is still being reckoned. What the coming catches yield is told with it.";
/// Writes an order.
pub const ENTER: &str = "Write an order";
/// Way to the board.
pub const TO_SALE: &str = "The sale";
/// Head of what is left over.
pub const LEFT: &str = "Left over when every firm order is filled as far as it goes";
/// What that is.
pub const LEFT_SAYS: &str = "Likely, and what nine futures in ten leave at least: sell it before the day, or head it. The waiting list is not counted: it is served from this.";
/// Heads of its table.
pub const LEFT_HEADS: [&str; 4] =
    ["Size of the whole animal", "Left over, likely", "At least, 9 in 10", "There will likely be"];
/// Head of who gets less.
pub const SHORT: &str = "Who may get less";
/// Everybody is served.
pub const ALL_SERVED: &str = "In nine futures of ten every firm order is filled.";
/// Opens those of later catches.
pub const SHORT_LATER: &str = "Of later catches";
/// Head of the orders.
pub const ORDERS: &str = "Orders, in the order in which they are served";
/// Heads of the orders.
pub const ORDER_HEADS: [&str; 7] =
    ["Buyer", "Likely gets", "Sure of, 9 in 10", "Wants", "All of it", "Served as", "What"];
/// Nobody asked for anything.
pub const NO_ORDERS: &str = "Nobody has asked for anything yet.";
/// Head of what may be promised.
pub const FREE: &str = "What may yet be promised, 9 chances in 10";
/// What that is.
pub const FREE_SAYS: &str = "Each line by itself, beside all firm orders: what you promise of one is gone from the others, and from the waiting list, which is served from what is left. Work it out anew after each. More may be promised of a size than is left over of it: an order that takes any size then gets another.";
/// Heads of its table.
pub const FREE_HEADS: [&str; 4] = ["What", "May be promised", "Likely there", "List price"];
/// Head of the orders that were written down.
pub const WRITTEN: &str = "Orders written down";
/// Head of entries that cannot be read.
pub const UNREAD: &str = "Not counted: cannot be read";
/// What to do.
pub const UNREAD_SAYS: &str = "These count for nothing until somebody mends them.";
/// Of an entry: its price is in another money than the farm's.
pub const OTHER_MONEY: &str = "Its price is in another money than the farm's: write it in the farm's.";
/// Of an entry: two people mended it, each without the other's knowing.
pub const FORKED: &str = "Two people mended it without seeing each other's mending: choose one in the log.";
/// More is promised alive than the crew's day likely brings alive.
pub fn beyond_the_line(on: Day, promised_kg: f64, brings_kg: f64, manner: Manner) -> String {
    format!(
        "{}: the tanks would hold the {} that are shared out alive, and the crew's day, rehearsed with those who surely come, likely brings {} alive: \
         only the first hauls go alive. Promise no more, look at the day's sheet for what would help, or tell the last of the list in time.",
        day_short(on),
        weight(promised_kg, manner),
        weight(brings_kg, manner)
    )
}

/// Head of who cannot.
pub const CANNOT: &str = "No planned day suits them";
/// What to do.
pub const CANNOT_SAYS: &str =
    "No planned catch falls on a day they take, nor keeps until one. Call them, or offer it to the waiting list.";
/// Head of the weighed catch.
pub const TODAY: &str = "What is weighed, shared out";
/// Nobody gets anything of it.
pub const TODAY_NOBODY: &str = "No order fits it now.";
/// Of what is weighed of a catch that is still being made.
pub const RUNNING: &str =
    "So far of today's catch, which is still being made: the orders here are counted once, with that catch.";
/// Heads.
pub const TODAY_HEADS: [&str; 4] = ["Buyer", "What", "Wants", "Gets"];
/// Mends an order.
pub const MEND: &str = "Mend";
/// Takes a deposit.
pub const DEPOSIT: &str = "Deposit paid";
/// Came.
pub const CAME: &str = "Came";
/// Did not come.
pub const NOT_CAME: &str = "Did not come";
/// How it was worked out.
pub const HOW: &str = "How this is worked out";
/// In sentences.
pub const METHOD: [&str; 3] = [
    "Under every future of this morning the planned catches are cut into size classes and shared out to the orders: those you serve first, then standing buyers, orders, walk-ups, the waiting list. Within a rank goes what earns most. Who waits was promised nothing: what may be promised and what is left over are told beside firm orders alone. A standing buyer is never cut for one of a lesser rank, whatever that one pays, unless you mark an order to be served before everybody.",
    "Limits: what is alive when it leaves the water, what your tanks hold, what your hands can head in half a day, how long a form keeps until the pick-up (whole 3 days, tails 6).",
    "What may yet be promised is what one more order, served after all firm ones, gets in nine futures of ten.",
];
/// Title of the list.
pub const LIST: &str = "Pick-up list";
/// Heads of the list.
pub const LIST_HEADS: [&str; 5] = ["Name", "Comes", "What", "Paid down", "Fetched"];
/// Nobody is on it.
pub const LIST_NONE: &str = "No catch is planned that a buyer has asked for.";
/// Walk-ups.
pub const WALK_UPS: &str = "Walk-ups: name, what, how much";

fn rank(rank: Rank) -> &'static str {
    match rank {
        Rank::First => "First of all: you said so",
        Rank::Standing => "Standing buyer",
        Rank::Ordered => "Order",
        Rank::WalkUp => "Walk-up",
        Rank::Waiting => "Waiting list",
    }
}

/// An expected weight: no finer than it is known.
fn weight(kilograms: f64, manner: Manner) -> String {
    let shown = if manner == Manner::UsCustomary { kilograms / 0.453_592_37 } else { kilograms };
    let unit = crate::page_sale::unit(manner);
    if shown < 9.95 {
        format!("{:.1} {unit}", shown.max(0.0))
    } else {
        format!("{} {unit}", crate::figures::grouped(shown))
    }
}

/// An expected amount of a form.
fn about(sold_as: SoldAs, much: f64, manner: Manner) -> String {
    if sold_as.by_piece() { amount(sold_as, much.floor(), manner) } else { weight(much, manner) }
}

/// An amount that somebody counts upon: never more than it is.
fn sure_of(sold_as: SoldAs, much: f64, manner: Manner) -> String {
    let pound = if manner == Manner::UsCustomary { 0.453_592_37 } else { 1.0 };
    let shown = (much / pound).max(0.0);
    let step = if shown < 10.0 { 0.1 } else { 1.0 };
    about(sold_as, if sold_as.by_piece() { much } else { (shown / step + 1e-6).floor() * step * pound }, manner)
}

/// What somebody gets of what they want, likely or for sure: all of it to the last digit, else no finer than it is known.
fn of_wanted(buyer: &Buyer, share: &Share, much: f64, is_sure: bool, manner: Manner) -> String {
    let sold_as = buyer.good.sold_as;
    match (much >= share.wanted * (1.0 - 1e-6), is_sure) {
        (true, _) => amount(sold_as, share.wanted, manner),
        (false, true) => sure_of(sold_as, much, manner),
        (false, false) => about(sold_as, much, manner),
    }
}

/// An amount of a form as one says it: `25.00 lb of prawn tails`, `37 prawns, 12 to 16 per lb`.
pub fn what(of: &Good, said: &str) -> String {
    let size = if of.size.is_empty() { String::new() } else { format!(", {}", of.size) };
    let name = match of.sold_as {
        SoldAs::Live => " of live prawns",
        SoldAs::Whole => " of whole prawns",
        SoldAs::Tails => " of prawn tails",
        SoldAs::Seconds => " of prawns of lesser quality",
        SoldAs::Piece => {
            let (count, word) = said.split_once(' ').unwrap_or((said, ""));
            return format!("{count} {}{size}", if word == "piece" { "prawn" } else { "prawns" });
        }
    };
    format!("{said}{name}{size}")
}

/// What a buyer asked for, and has not had yet.
pub fn wants(buyer: &Buyer, manner: Manner) -> String {
    what(&buyer.good, &amount(buyer.good.sold_as, buyer.amount, manner))
}

/// A price in the unit it is round in: one that was agreed by the kg is told by the kg.
fn price_told(pays: Pays, manner: Manner, currency: Currency) -> String {
    let digits = currency.coins_per_unit().ilog10() as usize;
    let own = price(pays, manner, currency);
    let other = price(pays, if manner == Manner::Metric { Manner::UsCustomary } else { Manner::Metric }, currency);
    let behind =
        |text: &str| text.split_once('.').map_or(0, |(_, rest)| rest.bytes().take_while(u8::is_ascii_digit).count());
    if behind(&own) > digits + 2 && behind(&other) <= digits { other } else { own }
}

/// The price of an order: as agreed, or as the list says for each size.
fn asked_price(buyer: &Buyer, manner: Manner, currency: Currency) -> String {
    match buyer.agreed.or(buyer.pays.filter(|_| !buyer.by_size)) {
        Some(pays) => format!(" at {}", price_told(pays, manner, currency)),
        None if buyer.pays.is_some() => " at list prices by size".to_owned(),
        None => ", no price agreed".to_owned(),
    }
}

/// The answer: what is left over, and how many may get less.
pub fn headline(found: &Promised, buyers: &[Buyer], manner: Manner) -> String {
    let Some(catch) = found.catches.first() else {
        let left: f64 = found.ice.lots.iter().map(|lot| left_kg(&lot.caught)).sum();
        if left > 0.05 {
            return format!("No catch is planned; {} weighed and promised to nobody", weight(left, manner));
        }
        return "No catch is planned: nothing can be promised yet".to_owned();
    };
    let left: f64 = catch.classes.iter().map(|class| class.3.middle).sum();
    let mut short: Vec<&str> = short(found, buyers).iter().map(|share| buyers[share.buyer].name.as_str()).collect();
    short.sort_unstable();
    short.dedup();
    let few = match short.len() {
        0 => "every firm order is filled, 9 chances in 10".to_owned(),
        1 => format!("{} may get less", short[0]),
        n => format!("{n} buyers may get less"),
    };
    format!("{}: {} likely left over; {few}", day_short(catch.on), weight(left, manner))
}

/// Shares of firm orders that are not whole in nine futures of ten.
pub fn short<'a>(found: &'a Promised, buyers: &[Buyer]) -> Vec<&'a Share> {
    let firm = |share: &&Share| buyers[share.buyer].rank != Rank::Waiting;
    found.shares.iter().filter(|share| share.full_chance < 0.9).filter(firm).collect()
}

/// One who may get less.
pub fn may_get_less(found: &Promised, share: &Share, buyers: &[Buyer], manner: Manner) -> String {
    let buyer = &buyers[share.buyer];
    let sold_as = buyer.good.sold_as;
    format!(
        "{}, {}: wants {} and is sure of {}; likely {}. All of it: {}.",
        buyer.name,
        day_short(found.catches[share.catch].on),
        what(&buyer.good, &amount(sold_as, share.wanted, manner)),
        of_wanted(buyer, share, share.gets.low, true, manner),
        of_wanted(buyer, share, share.gets.middle, false, manner),
        odds(share.full_chance)
    )
}

/// A catch in a sentence.
pub fn catch(catch: &Catch, farm: &Farm, manner: Manner, currency: Currency) -> String {
    let names: Vec<&str> = catch.ponds.iter().map(|pond| farm.ponds[*pond].name.as_str()).collect();
    let Band { low, middle, high } = catch.sold_kg;
    format!(
        "{}, {}: about {} fit to be sold ({} to {}); firm orders bring about {}.",
        day_short(catch.on),
        names.join(" and "),
        weight(middle, manner),
        weight(low, manner),
        weight(high, manner),
        crate::figures::money(
            catch.coins.middle,
            (catch.coins.high - catch.coins.low).max(0.02 * catch.coins.middle),
            currency
        )
    )
}

/// A size class by its ends, g.
pub fn size(low_g: f64, high_g: f64, manner: Manner) -> String {
    let (unit, per) = if manner == Manner::UsCustomary { (453.592_37, "lb") } else { (1000.0, "kg") };
    // Two limits that lie close need their decimals to be told apart.
    let close = low_g > 0.0 && high_g.is_finite() && (unit / low_g).round() == (unit / high_g).round();
    let count = |g: f64| if close { format!("{:.1}", unit / g) } else { format!("{:.0}", unit / g) };
    match (low_g > 0.0, high_g.is_finite()) {
        (false, false) => "All".to_owned(),
        (false, true) => format!("over {} per {per}", count(high_g)),
        (true, false) => format!("under {} per {per}", count(low_g)),
        (true, true) => format!("{} to {} per {per}", count(high_g), count(low_g)),
    }
}

/// Rows of what is left over.
pub fn left_rows(catch: &Catch, manner: Manner) -> Vec<[String; 4]> {
    let row = |(low, high, there, left): &(f64, f64, Band, Band)| {
        [size(*low, *high, manner), weight(left.middle, manner), weight(left.low, manner), weight(there.middle, manner)]
    };
    // The largest first.
    catch.classes.iter().rev().filter(|class| class.2.high > 0.05).map(row).collect()
}

/// A row of the orders.
pub fn order_row(share: &Share, buyers: &[Buyer], manner: Manner, currency: Currency) -> [String; 7] {
    let buyer = &buyers[share.buyer];
    let sold_as = buyer.good.sold_as;
    let at = asked_price(buyer, manner, currency);
    [
        buyer.name.clone(),
        of_wanted(buyer, share, share.gets.middle, false, manner),
        of_wanted(buyer, share, share.gets.low, true, manner),
        amount(sold_as, share.wanted, manner),
        odds(share.full_chance),
        rank(buyer.rank).to_owned(),
        format!("{}{at}", good(&buyer.good)),
    ]
}

/// A row of what may be promised.
pub fn free_row(free: &Free, manner: Manner, currency: Currency) -> [String; 4] {
    let sold_as = free.good.sold_as;
    let (sure, likely) = (sure_of(sold_as, free.amount.low, manner), about(sold_as, free.amount.middle, manner));
    [good(&free.good), sure, likely, price_told(free.pays, manner, currency)]
}

/// A row of the weighed catch.
pub fn today_row(buyer: &Buyer, (wanted, given): (f64, f64), manner: Manner) -> [String; 4] {
    let of = |much: f64| amount(buyer.good.sold_as, much, manner);
    [buyer.name.clone(), good(&buyer.good), of(wanted), of(given)]
}

/// Whole weight that a weighed catch leaves, and tails, kg.
fn left_kg(caught: &Caught) -> f64 {
    caught.left.iter().map(|(.., kg)| kg).sum::<f64>() + caught.tails_left_kg
}

/// A lot on ice, by the day it was caught.
pub fn caught_on(on: units::Day) -> String {
    format!("Caught {}", day_short(on))
}

/// What of lots is too old to be promised: the day of each and its weight, kg.
pub fn over(of: &[(units::Day, f64)], manner: Manner) -> String {
    let each: Vec<String> =
        of.iter().map(|(on, kg)| format!("{} of {}", weight(*kg, manner), day_short(*on))).collect();
    format!(
        "Too old to be promised as fresh, and counted for no order: {}. What of it is frozen is sold from a table.",
        each.join(", ")
    )
}

/// What the weighed catch leaves, shown first.
pub fn today_left(caught: &Caught, manner: Manner, currency: Currency) -> String {
    let whole: f64 = caught.left.iter().map(|(.., kg)| kg).sum();
    let sizes: Vec<String> = caught
        .left
        .iter()
        .rev()
        .map(|(low, high, kg)| format!("{} of {}", weight(*kg, manner), size(*low, *high, manner)))
        .collect();
    let sizes = if sizes.is_empty() { String::new() } else { format!(" ({})", sizes.join(", ")) };
    let tails = if caught.tails_left_kg > 0.005 {
        format!(" and {} of tails", weight(caught.tails_left_kg, manner))
    } else {
        String::new()
    };
    format!(
        "Left over: {} whole{sizes}{tails}. The orders bring {}.",
        weight(whole, manner),
        money(Money::from_computed(caught.coins), currency)
    )
}
