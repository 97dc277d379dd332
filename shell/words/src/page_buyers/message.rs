//! The message to a buyer, ready to be sent: it promises no more than nine futures in ten hold.

use farm::facts::market::{Rank, SoldAs};
use season::promised::{Buyer, Comes, Fetched, Share};

use super::{about, hour};
use crate::figures::{Manner, day_short, stopped};
use crate::page_sale::{ALLERGEN, amount};

/// Less than this is no promise, kg or pieces.
const NOTHING: f64 = 0.2;

/// What can be promised of an order at a catch.
pub(super) enum Promise<'a> {
    /// All of it.
    Whole,
    /// A part.
    Part(&'a Share),
    /// None.
    Nothing(&'a Share),
    /// They are on the waiting list.
    Waits(Option<&'a Share>),
}

pub(super) fn promise<'a>(buyer: &Buyer, share: Option<&'a Share>) -> Promise<'a> {
    match share {
        _ if buyer.rank == Rank::Waiting => Promise::Waits(share),
        Some(share) if share.full_chance < 0.9 && share.gets.low < NOTHING => Promise::Nothing(share),
        Some(share) if share.full_chance < 0.9 => Promise::Part(share),
        _ => Promise::Whole,
    }
}

/// An amount of what an order is for, as one says it.
pub fn what(buyer: &Buyer, much: f64, manner: Manner) -> String {
    let size = if buyer.good.size.is_empty() { String::new() } else { format!(", {}", buyer.good.size) };
    let of = match buyer.good.sold_as {
        SoldAs::Piece => {
            let prawns = if (much - 1.0).abs() < 1e-9 { "prawn" } else { "prawns" };
            return format!("{} {prawns}{size}", crate::figures::grouped(much));
        }
        SoldAs::Live => "live prawns",
        SoldAs::Whole => "whole prawns",
        SoldAs::Tails => "prawn tails",
        SoldAs::Seconds => "prawns of second quality",
    };
    format!("{} of {of}{size}", amount(buyer.good.sold_as, much, manner))
}

/// When it comes: the day and hour that stand, or the window of a day that nobody has accepted.
fn when(fetched: &Fetched, comes: &Comes, manner: Manner) -> String {
    match fetched.is_locked {
        true => format!("on {} at {}", day_short(comes.on), hour(comes.slot_h, manner)),
        false if fetched.latest > fetched.on => {
            format!("between {} and {}", day_short(fetched.on), day_short(fetched.latest))
        }
        false => format!("about {}", day_short(fetched.on)),
    }
}

/// The message to a buyer, ready to be sent.
pub fn message(
    farm: &str,
    buyer: &Buyer,
    (fetched, comes): (&Fetched, &Comes),
    share: Option<&Share>,
    manner: Manner,
) -> String {
    let (wants, when) = (what(buyer, buyer.amount, manner), when(fetched, comes, manner));
    let of = |much: f64| about(buyer.good.sold_as, much, manner);
    let likely = |share: &Share| of(share.gets.middle.min(share.wanted));
    let cooler =
        if buyer.good.sold_as == SoldAs::Live { ", or your tank at the water's temperature we agreed" } else { "" };
    let bring = format!(
        "Please bring a cooler with ice{cooler}. If you cannot come, tell us today, so that somebody on the waiting list can have them."
    );
    let later = "The water and the weather decide; we tell you the day and the hour as soon as they stand.";
    let then = if fetched.is_locked { bring.as_str() } else { later };
    let moved = match comes.moved_from.filter(|_| fetched.is_locked) {
        Some(before) => format!("The harvest has moved from {} to {}. ", day_short(before), day_short(comes.on)),
        None => String::new(),
    };
    let body = match (promise(buyer, share), fetched.is_locked) {
        (Promise::Whole, true) => format!("Your {wants} are ready {} {then}", stopped(when)),
        (Promise::Whole, false) => format!("your {wants} will likely come out {} {then}", stopped(when)),
        (Promise::Part(share), _) => format!(
            "Of the {wants} you asked for we can promise {}, likely {}. They {} {} {then}",
            of(share.gets.low.min(share.wanted)),
            likely(share),
            if fetched.is_locked { "are ready" } else { "will likely come out" },
            stopped(when)
        ),
        (Promise::Nothing(share), _) => format!(
            "We cannot promise you any of the {wants} you asked for {when}: likely there are {}. We tell you as soon as we know what there is.",
            likely(share)
        ),
        (Promise::Waits(share), _) => format!(
            "You are on our waiting list for {wants} {when}. Nothing is promised{}. We call you if there is some.",
            share.map_or(String::new(), |share| format!("; likely there are {}", likely(share)))
        ),
    };
    format!("{farm}: {moved}{body}\n{ALLERGEN}")
}
