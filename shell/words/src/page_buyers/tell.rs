//! What buyers are told: of which day, which hour, and how much is theirs.

use farm::facts::market::{Order, Rank, Reply, SoldAs};
use season::promised::{Buyer, Coming, Fetched, Share};
use units::{Currency, Day, Money};

use super::{of_wanted, wants, what};
use crate::figures::{Manner, clock, day_said as day_short};
use crate::page_sale::money;

/// Head of who must be told.
pub const TELL: &str = "Who must be told";
/// Nobody.
pub const TELL_NOBODY: &str = "Everybody knows the day that stands.";
/// Not accepted yet.
pub const WINDOW_SAYS: &str = "Where a day is not accepted yet, give buyers the window, not the hour. Once you accept the plan, the day and the hour stand, and the messages below change.";
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
/// Opens the days that come later.
pub fn later_days(days: usize) -> String {
    if days == 1 { "1 later day".to_owned() } else { format!("{days} later days") }
}

/// An hour of the day.
fn hour(hours: f64, manner: Manner) -> String {
    clock((3600.0 * hours).round() as i32, manner)
}

/// A day and hour of a buyer with what they get, as the head of what they are told.
pub fn comes(buyer: &Buyer, (fetched, one): (&Fetched, &Coming), share: Option<&Share>, manner: Manner) -> String {
    let moved = one.moved_from.map_or(String::new(), |day| format!(", moved from {}", day_short(day)));
    let day = if fetched.is_locked {
        format!("{}, {}{moved}", day_short(one.on), hour(one.slot_h, manner))
    } else {
        format!("About {}", day_short(one.on))
    };
    format!("{day}: {}", gets(buyer, share, manner))
}

/// What somebody fetches: what they asked for, and how much of it is sure where not all is.
fn gets(buyer: &Buyer, share: Option<&Share>, manner: Manner) -> String {
    let waits = if buyer.rank == Rank::Waiting { "waiting list, " } else { "" };
    let sure = match theirs(buyer, share, manner) {
        Theirs::All => String::new(),
        Theirs::Part(sure, _) => format!("; sure of {sure}"),
        Theirs::Nothing(_) => "; nothing sure".to_owned(),
    };
    format!("{waits}{}{sure}", wants(buyer, manner))
}

/// What of an order is there.
enum Theirs {
    /// All of it, nine chances in ten.
    All,
    /// So much for sure, and so much likely.
    Part(String, String),
    /// Nothing for sure; so much likely.
    Nothing(Option<String>),
}

fn theirs(buyer: &Buyer, share: Option<&Share>, manner: Manner) -> Theirs {
    let Some(share) = share.filter(|share| share.full_chance < 0.9) else { return Theirs::All };
    let least = if buyer.good.sold_as.by_piece() { 1.0 } else { 0.05 };
    let likely = of_wanted(buyer, share, share.gets.middle, false, manner);
    if share.gets.low >= least {
        Theirs::Part(of_wanted(buyer, share, share.gets.low, true, manner), likely)
    } else {
        Theirs::Nothing(Some(likely).filter(|_| share.gets.middle >= least))
    }
}

/// The message to a buyer, ready to be sent. It says what they get, and tells one who gets less so.
pub fn message(
    farm: &str,
    buyer: &Buyer,
    (fetched, one): (&Fetched, &Coming),
    share: Option<&Share>,
    manner: Manner,
) -> String {
    let (asked, waits) = (wants(buyer, manner), buyer.rank == Rank::Waiting);
    let theirs = theirs(buyer, share, manner);
    let body = if fetched.is_locked {
        let moved = one.moved_from.map_or(String::new(), |before| {
            format!("The harvest has moved from {} to {}. ", day_short(before), day_short(one.on))
        });
        let listed = if waits { format!("You are on our waiting list for {asked}. ") } else { String::new() };
        format!("{moved}{listed}{}", stands(buyer, &asked, &theirs, one, manner))
    } else {
        window_of(fetched, one, &asked, waits, &theirs)
    };
    format!("{farm}: {body}\n{}", crate::page_sale::ALLERGEN)
}

/// The words once the day stands.
fn stands(buyer: &Buyer, asked: &str, theirs: &Theirs, one: &Coming, manner: Manner) -> String {
    let at = format!("{} at {}", day_short(one.on), hour(one.slot_h, manner));
    let at = at.trim_end_matches('.');
    let tank = match buyer.good.sold_as {
        SoldAs::Live => ", or your tank at the water's temperature we agreed",
        _ => "",
    };
    let come = format!(
        "Please bring a cooler with ice{tank}. If you cannot come, tell us today, so that somebody on the waiting list can have them."
    );
    match (theirs, buyer.rank == Rank::Waiting) {
        (Theirs::All, false) => format!("Your {asked} are ready on {at}. {come}"),
        (Theirs::All, true) => format!("All of it is there for you on {at}. {come}"),
        (Theirs::Part(sure, likely), waits) => {
            let of = if waits { "From what is left".to_owned() } else { format!("Of the {asked} you asked for") };
            format!("{of} we can promise {} on {at}. Likely it will be {likely}. {come}", what(&buyer.good, sure))
        }
        (Theirs::Nothing(likely), waits) => {
            let of = if waits { "anything".to_owned() } else { format!("any of the {asked} you asked for") };
            let likely = likely.as_ref().map_or(String::new(), |likely| format!(" It may come to {likely}."));
            format!(
                "We cannot promise you {of} on {}.{likely} Please wait for our word before you come.",
                day_short(one.on)
            )
        }
    }
}

/// The words before the day stands.
fn window_of(fetched: &Fetched, one: &Coming, asked: &str, waits: bool, theirs: &Theirs) -> String {
    let between = if one.on == fetched.on && fetched.latest > fetched.on {
        format!("between {} and {}", day_short(fetched.on), day_short(fetched.latest))
    } else {
        format!("about {}", day_short(one.on))
    };
    let decide = "The water and the weather decide; we tell you the day and the hour as soon as they stand.";
    if waits {
        return format!(
            "you are on our waiting list for {asked}. The harvest is likely {between}. We tell you the day and the hour if something is left for you."
        );
    }
    let less = match theirs {
        Theirs::All => String::new(),
        Theirs::Part(sure, likely) => {
            format!(" As it looks now we can promise {sure} of it; likely it will be {likely}.")
        }
        Theirs::Nothing(_) => " As it looks now we cannot promise any of it.".to_owned(),
    };
    format!("your {asked} will likely come out {between}.{less} {decide}")
}

/// What stands beside a buyer's name: told of what, and what came of it.
pub fn told(buyer: &Buyer, manner: Manner) -> String {
    let Some((day, slot_h, reply)) = buyer.told else { return "not told yet".to_owned() };
    let at = slot_h.map_or(String::new(), |slot| format!(" at {}", hour(slot, manner)));
    let word = Reply::ALL.iter().find(|(_, known)| *known == reply).map_or("", |(word, _)| word);
    let word = crate::page_sale::word("answer", word).to_lowercase();
    match reply {
        Reply::Came | Reply::NotCome => format!("{word} {}", day_short(day)),
        _ => format!("told of {}{at}: {word}", day_short(day)),
    }
}

/// What a letter with a message is about.
pub fn subject(farm: &str, fetched: &Fetched) -> String {
    format!("{farm}: harvest {}", day_short(fetched.on))
}

/// The window of a catch that no one has accepted; of what is weighed, since when it lies on ice.
pub fn window(fetched: &Fetched) -> String {
    if fetched.is_weighed {
        return format!("Caught {}, weighed and in store.", day_short(fetched.on));
    }
    if fetched.is_locked {
        return format!("{}: the day is accepted.", day_short(fetched.on));
    }
    if fetched.latest == fetched.on {
        return format!("{}: not accepted yet.", day_short(fetched.on));
    }
    format!("{}, until {} at the latest: not accepted yet.", day_short(fetched.on), day_short(fetched.latest))
}

/// A row of the pick-up list.
pub fn list_row(
    buyer: &Buyer,
    (fetched, one): (&Fetched, &Coming),
    share: Option<&Share>,
    paid: Money,
    (manner, currency): (Manner, Currency),
) -> [String; 5] {
    let day = if one.on == fetched.on { String::new() } else { format!("{}, ", day_short(one.on)) };
    [
        buyer.name.clone(),
        format!("{day}{}", hour(one.slot_h, manner)),
        gets(buyer, share, manner),
        paid_down(buyer.order.as_ref().and_then(|order| order.deposit), paid, currency),
        String::new(),
    ]
}

/// What was paid down, beside what was asked where that is not there yet.
pub(super) fn paid_down(asked: Option<Money>, paid: Money, currency: Currency) -> String {
    // What was given back and never paid is told on the buyers' page: nobody here has anything to pay out.
    let there = money(Money { coins: paid.coins.max(0) }, currency);
    match asked.filter(|asked| asked.coins > paid.coins.max(0)) {
        Some(asked) if paid.coins <= 0 => format!("nothing of {} asked", money(asked, currency)),
        Some(asked) => format!("{there} of {} asked", money(asked, currency)),
        None if paid.coins <= 0 => String::new(),
        None => there,
    }
}

/// An order as it was written, and what of it is still to come.
pub fn ordered(order: &Order, open: f64, manner: Manner) -> String {
    let of = |much: f64| crate::page_sale::amount(order.good.sold_as, much, manner);
    let still =
        if open > 1e-6 && open < order.amount - 1e-6 { format!("; {} still to come", of(open)) } else { String::new() };
    let had = if open <= 1e-6 { "; fetched" } else { "" };
    format!("{}{still}{had}", what(&order.good, &of(order.amount)))
}

/// A deposit: asked and paid.
pub fn deposit(asked: Option<Money>, paid: Money, currency: Currency) -> Option<String> {
    let said = |coins: i64| money(Money { coins }, currency);
    match (asked, paid.coins) {
        (_, coins) if coins < 0 => Some(format!(
            "{} more was given back than was ever paid down: look at both entries in the log and strike the wrong one.",
            said(-coins)
        )),
        (None, 0) => None,
        (None, coins) => Some(format!("Paid down {}.", said(coins))),
        (Some(asked), coins) if coins > asked.coins => Some(format!(
            "Deposit of {} asked, {} paid: {} more than asked.",
            said(asked.coins),
            said(coins),
            said(coins - asked.coins)
        )),
        (Some(asked), coins) if coins == asked.coins => Some(format!("Deposit of {} paid.", said(coins))),
        (Some(asked), coins) => Some(format!("Deposit of {} asked, {} paid.", said(asked.coins), said(coins))),
    }
}

/// The day a page speaks of.
pub fn on(day: Day) -> String {
    crate::figures::day(day)
}
