//! What the buyers' page says: what is promised against what comes, who gets less, what may yet be promised, who must be told.

use farm::facts::market::{Order, Rank, Reply, SoldAs};
use season::answer::Band;
use season::farm::Farm;
use season::promised::{Buyer, Catch, Caught, Comes, Fetched, Free, Promised, Share};
use units::{Currency, Day, Money};

use crate::figures::{Manner, clock, day_short, odds};
use crate::page_sale::{amount, good, money, price};

mod message;
mod text;

use message::{Promise, promise};
pub use message::{message, what};
pub use text::page;

/// Name of the page.
pub const TITLE: &str = "Buyers";
/// No answer yet.
pub const NOT_YET: &str = "The morning is still being reckoned. What the coming catches yield is told with it.";
/// Writes an order.
pub const ENTER: &str = "Write an order";
/// Way to the board.
pub const TO_SALE: &str = "The sale";
/// Head of what is left over.
pub const LEFT: &str = "Left over when every order is filled as far as it goes";
/// What that is.
pub const LEFT_SAYS: &str = "Likely, and what nine futures in ten leave at least: sell it before the day, or head it. The waiting list is not counted: it has no promise.";
/// Heads of its table.
pub const LEFT_HEADS: [&str; 4] =
    ["Size of the whole animal", "There will likely be", "Left over, likely", "At least, 9 in 10"];
/// Head of who gets less.
pub const SHORT: &str = "Who may get less";
/// Everybody is served.
pub const ALL_SERVED: &str = "In nine futures of ten every order is filled.";
/// Head of the orders.
pub const ORDERS: &str = "Orders, in the order in which they are served";
/// Head of the orders as they were written down.
pub const WRITTEN: &str = "Orders as written down";
/// Head of entries that count for nothing.
pub const UNREAD: &str = "Counts for nothing until it is mended";
/// Heads of the orders.
pub const ORDER_HEADS: [&str; 7] =
    ["Buyer", "Served as", "What", "Wants", "Likely gets", "Sure of, 9 in 10", "All of it"];
/// Nobody asked for anything.
pub const NO_ORDERS: &str = "Nobody has asked for anything yet.";
/// Head of what may be promised.
pub const FREE: &str = "What may yet be promised, 9 chances in 10";
/// What that is.
pub const FREE_SAYS: &str = "Each line by itself, beside all that is promised already: what you promise of one is gone from the others. Work it out anew after each.";
/// Heads of its table.
pub const FREE_HEADS: [&str; 4] = ["What", "May be promised", "Likely there", "List price"];
/// Head of who must be told.
pub const TELL: &str = "Who must be told";
/// Nobody.
pub const TELL_NOBODY: &str = "Everybody knows the day that stands.";
/// Not accepted yet.
pub const WINDOW_SAYS: &str = "No day is accepted yet: give buyers the window, not the hour. Once you accept the plan, the day and the hour stand, and the messages below change.";
/// Opens a message.
pub const MESSAGE: &str = "Message to send";
/// Copies a message.
pub const COPY: &str = "Copy the message";
/// It is copied.
pub const COPIED: &str = "Copied. Paste it where you write to them.";
/// It could not be copied.
pub const SELECTED: &str = "The message is selected: copy it from there.";
/// Opens the phone's messages.
pub const TEXT_IT: &str = "Send it as a text message";
/// Opens a letter.
pub const MAIL_IT: &str = "Send it as e-mail";
/// Told, takes it.
pub const TOLD_YES: &str = "Told: takes it";
/// Told, cannot.
pub const TOLD_NO: &str = "Told: cannot";
/// Told, no answer.
pub const TOLD_OPEN: &str = "Told: no answer yet";
/// Head of who cannot.
pub const CANNOT: &str = "Cannot take any day that stands";
/// What to do.
pub const CANNOT_SAYS: &str =
    "No planned catch falls on a day they take, nor keeps until one. Call them, or offer it to the waiting list.";
/// Head of the weighed catch.
pub const TODAY: &str = "What is weighed, shared out";
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
/// Head of live buyers.
pub const LIVE: &str = "Live buyers";
/// What to settle with them.
pub const LIVE_SAYS: &str = "Before loading, agree who hauls, who bears what dies on the way, and temper the prawns to their tank. Moving live animals may need papers: your state's rules decide.";
/// How it was worked out.
pub const HOW: &str = "How this is worked out";
/// In sentences.
pub const METHOD: [&str; 3] = [
    "Under every future of this morning the planned catches are cut into size classes and shared out to the orders: those you serve first, then standing buyers, orders, walk-ups, the waiting list. Within a rank goes what earns most. A standing buyer is never cut for one of a lesser rank, whatever that one pays, unless you mark an order to be served before everybody.",
    "Limits: what is alive when it leaves the water, what your tanks hold, what your hands can head in half a day, how long a form keeps until the pick-up (whole 3 days, tails 6).",
    "What may yet be promised is what one more order, served after all others but before the waiting list, gets in nine futures of ten.",
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

/// The price of an order: as agreed, or as the list says for each size.
fn asked_price(buyer: &Buyer, manner: Manner, currency: Currency) -> String {
    match buyer.agreed.or(buyer.pays.filter(|_| !buyer.by_size)) {
        Some(pays) => format!(" at {}", price(pays, manner, currency)),
        None if buyer.pays.is_some() => " at list prices by size".to_owned(),
        None => ", no price agreed".to_owned(),
    }
}

/// The answer: what is left over, and how many may get less.
pub fn headline(found: &Promised, manner: Manner) -> String {
    let Some(catch) = found.catches.first() else {
        return "No catch is planned: nothing can be promised yet".to_owned();
    };
    let left: f64 = catch.classes.iter().map(|class| class.3.middle).sum();
    let mut few: Vec<usize> = short(found).iter().map(|share| share.buyer).collect();
    few.sort_unstable();
    few.dedup();
    let short = few.len();
    let few = match short {
        0 => "every order is filled, 9 chances in 10".to_owned(),
        1 => "one buyer may come short".to_owned(),
        n => format!("{n} buyers may come short"),
    };
    format!("{}: {} likely left over; {few}", day_short(catch.on), weight(left, manner))
}

/// Shares that are not whole in nine futures of ten.
pub fn short(found: &Promised) -> Vec<&Share> {
    found.shares.iter().filter(|share| share.full_chance < 0.9).collect()
}

/// One who may get less.
pub fn may_get_less(found: &Promised, share: &Share, buyers: &[Buyer], manner: Manner) -> String {
    let buyer = &buyers[share.buyer];
    let of = |much: f64| about(buyer.good.sold_as, much, manner);
    format!(
        "{}, {}: wants {} and is sure of {}; likely {}. All of it: {}.",
        buyer.name,
        day_short(found.catches[share.catch].on),
        what(buyer, share.wanted, manner),
        of(share.gets.low.min(share.wanted)),
        of(share.gets.middle.min(share.wanted)),
        odds(share.full_chance)
    )
}

/// A catch in a sentence.
pub fn catch(catch: &Catch, farm: &Farm, manner: Manner, currency: Currency) -> String {
    let names: Vec<&str> = catch.ponds.iter().map(|pond| farm.ponds[*pond].name.as_str()).collect();
    let Band { low, middle, high } = catch.sold_kg;
    format!(
        "{}, {}: about {} fit to be sold ({} to {}); the orders bring about {}.",
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
        [size(*low, *high, manner), weight(there.middle, manner), weight(left.middle, manner), weight(left.low, manner)]
    };
    // The largest first.
    catch.classes.iter().rev().filter(|class| class.2.high > 0.05).map(row).collect()
}

/// A row of the orders.
pub fn order_row(share: &Share, buyers: &[Buyer], manner: Manner, currency: Currency) -> [String; 7] {
    let buyer = &buyers[share.buyer];
    let of = |much: f64| about(buyer.good.sold_as, much, manner);
    let at = asked_price(buyer, manner, currency);
    [
        buyer.name.clone(),
        rank(buyer.rank).to_owned(),
        format!("{}{at}", good(&buyer.good)),
        amount(buyer.good.sold_as, share.wanted, manner),
        of(share.gets.middle.min(share.wanted)),
        of(share.gets.low.min(share.wanted)),
        odds(share.full_chance),
    ]
}

/// A row of what may be promised.
pub fn free_row(free: &Free, manner: Manner, currency: Currency) -> [String; 4] {
    let of = |much: f64| about(free.good.sold_as, much, manner);
    [good(&free.good), of(free.amount.low), of(free.amount.middle), price(free.pays, manner, currency)]
}

/// A row of the weighed catch.
pub fn today_row(buyer: &Buyer, (wanted, given): (f64, f64), manner: Manner) -> [String; 4] {
    let of = |much: f64| amount(buyer.good.sold_as, much, manner);
    [buyer.name.clone(), good(&buyer.good), of(wanted), of(given)]
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

/// Whether a buyer must be told of this day and hour: of a day that stands, unless they know it; of a window, once.
pub fn must_be_told(buyer: &Buyer, comes: &Comes, fetched: &Fetched) -> bool {
    if fetched.is_locked { !comes.is_told } else { buyer.told.is_none() }
}

/// An hour of the day.
fn hour(hours: f64, manner: Manner) -> String {
    clock((3600.0 * hours).round() as i32, manner)
}

/// What stands beside a buyer's name: told of what, and what came of it.
pub fn told(buyer: &Buyer, manner: Manner) -> String {
    let Some((day, slot_h, reply)) = buyer.told else { return "not told yet".to_owned() };
    let at = slot_h.map_or(String::new(), |slot| format!(" at {}", hour(slot, manner)));
    let word = Reply::ALL.iter().find(|(_, known)| *known == reply).map_or("", |(word, _)| word);
    let answer = crate::page_sale::word("answer", word).to_lowercase();
    format!("told of {}{at}: {answer}", day_short(day))
}

/// Who comes when, before their message.
pub fn coming(buyer: &Buyer, comes: &Comes, fetched: &Fetched, manner: Manner) -> String {
    let at = if fetched.is_locked { format!(", {}", hour(comes.slot_h, manner)) } else { String::new() };
    format!("{}: {}{at}", buyer.name, day_short(comes.on))
}

/// What a letter with a message is about.
pub fn subject(farm: &str, fetched: &Fetched) -> String {
    format!("{farm}: harvest {}", day_short(fetched.on))
}

/// The window of a catch that no one has accepted.
pub fn window(fetched: &Fetched) -> String {
    if fetched.is_locked {
        return format!("{}: the day is accepted.", day_short(fetched.on));
    }
    format!("{}, until {} at the latest: not accepted yet.", day_short(fetched.on), day_short(fetched.latest))
}

/// A row of the pick-up list.
pub fn list_row(
    buyer: &Buyer,
    comes: &Comes,
    (fetched, share): (&Fetched, Option<&Share>),
    paid: Money,
    manner: Manner,
    currency: Currency,
) -> [String; 5] {
    let other_day = if comes.on == fetched.on { String::new() } else { format!("{}, ", day_short(comes.on)) };
    let wants = amount(buyer.good.sold_as, buyer.amount, manner);
    let sure = match promise(buyer, share) {
        Promise::Whole => String::new(),
        Promise::Part(share) => format!(", sure of {}", about(buyer.good.sold_as, share.gets.low, manner)),
        Promise::Nothing(_) => ", none promised".to_owned(),
        Promise::Waits(_) => ", waiting list: none promised".to_owned(),
    };
    [
        buyer.name.clone(),
        format!("{other_day}{}", hour(comes.slot_h, manner)),
        format!("{wants} {}{sure}", good(&buyer.good)),
        if paid.coins == 0 { String::new() } else { money(paid, currency) },
        String::new(),
    ]
}

/// What is agreed with a live buyer.
pub fn live_terms(order: &Order, manner: Manner) -> Vec<(&'static str, String)> {
    use crate::page_sale::word;
    let tank = order.their_tank_l.map(|litres| match manner {
        Manner::UsCustomary => format!("{:.0} gal", litres / 3.785_411_784),
        Manner::Metric => format!("{litres:.0} L"),
    });
    let warm = order.their_tank_c.map(|celsius| crate::figures::degrees(celsius, manner));
    let unsaid = || "not agreed yet: ask".to_owned();
    vec![
        ("Their tank", tank.unwrap_or_else(unsaid)),
        ("Its water", warm.unwrap_or_else(unsaid)),
        ("Who hauls", order.hauls.as_deref().map_or_else(unsaid, |who| word("hauls", who).to_owned())),
        ("Who bears losses", order.bears.as_deref().map_or_else(unsaid, |who| word("bears", who).to_owned())),
    ]
}

/// A deposit: asked and paid.
pub fn deposit(asked: Option<Money>, paid: Money, currency: Currency) -> Option<String> {
    match (asked, paid.coins) {
        (None, 0) => None,
        (_, coins) if coins < 0 => {
            Some(format!("{} more was given back than was paid down.", money(Money { coins: -coins }, currency)))
        }
        (None, _) => Some(format!("Paid down {}.", money(paid, currency))),
        (Some(asked), coins) if coins == asked.coins => Some(format!("Deposit of {} paid.", money(asked, currency))),
        (Some(asked), _) => {
            Some(format!("Deposit of {} asked, {} paid.", money(asked, currency), money(paid, currency)))
        }
    }
}

/// The day a page speaks of.
pub fn on(day: Day) -> String {
    crate::figures::day(day)
}
