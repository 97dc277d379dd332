//! What does not fit together, what is missing, and what a person can do about it.

use farm::facts::market::{Clash, Unread};
use season::trace::{OddHanding, OddLot};

use units::Currency;

use super::{amount, good, money, pool, weight};
use crate::figures::Manner;

/// Stock that was handed out under a lot that leads nowhere.
pub fn odd_lot(one: &OddHanding, manner: Manner) -> String {
    let table = &one.table;
    match &one.odd {
        OddLot::Unnamed(times) => {
            let often = if *times > 1 { format!(" {times} times") } else { String::new() };
            format!(
                "{table} was handed stock without a lot{often}: no lot, no sale. Write on it the pond, the day and the tub it comes from."
            )
        }
        OddLot::Unknown(lot) => format!(
            "{table} was handed stock of lot {lot}, and no basket, move or pack is written of it. Is the lot mistyped, or a basket not written down?"
        ),
        OddLot::Held(lot) => format!(
            "{table} was handed live animals of lot {lot}, and their tank is held: sell none of them alive until it is read well again; take them back or chill them."
        ),
        OddLot::TooMuch(lot, handed_kg, came_kg) => format!(
            "{} of lot {lot} was handed out, and {} came into its tub. Is the lot right, or a basket not written down?",
            weight(*handed_kg, manner),
            weight(*came_kg, manner)
        ),
    }
}

/// A clash in words.
pub fn clash(clash: &Clash, manner: Manner, currency: Currency) -> String {
    match clash {
        Clash::TableOver { table, good: what, over, alike } => {
            let twice = match alike.len() {
                0 => "Look for a weight that was typed wrongly, or hand over what was forgotten.".to_owned(),
                1 => "One line looks typed twice: it is named below.".to_owned(),
                n => format!("{n} lines look typed twice: they are named below."),
            };
            format!(
                "{table} sold {} more than it was handed ({}). {twice}",
                amount(what.sold_as, *over, manner),
                good(what)
            )
        }
        Clash::HandedOver(of, kg) => format!(
            "{} more was handed out than the harvest's balance holds ({}). Is a basket or a move not written down, or was something handed out twice?",
            weight(*kg, manner),
            pool(*of).to_lowercase()
        ),
        Clash::SoldOver(of, kg) => format!(
            "{} more was sold than the harvest's balance can supply ({}). Look for a line typed twice, or a basket not written down.",
            weight(*kg, manner),
            pool(*of).to_lowercase()
        ),
        Clash::BeforeHarvest(_) => {
            "A line is dated before anything was caught. Is its day right, and are the baskets written down?".to_owned()
        }
        Clash::TwoPhones { table, phones } => format!(
            "{phones} phones sold for {table}. Without signal neither knew of the other: give each phone a table of its own."
        ),
        Clash::GivenBackOver { over, .. } => format!(
            "{} more was given back than was paid. Look at what was given back, and at payments that nobody wrote down.",
            money(*over, currency)
        ),
        Clash::BackOver(_) => "More was taken back than was sold on that line.".to_owned(),
        Clash::Unread(kind, _, why) => {
            let what = crate::page_log::kind(kind);
            match why {
                Unread::Fork => format!(
                    "{what}: mended twice, by people who did not see each other. It counts for nothing until you choose."
                ),
                Unread::Slip => {
                    format!("{what}: a part of it cannot be read. It counts for nothing until it is mended.")
                }
                Unread::OtherMoney => {
                    format!(
                        "{what}: its price is in another money than the farm's. It counts for nothing until it is mended."
                    )
                }
            }
        }
    }
}

/// Marks of the entries that a clash names: to be looked at and mended.
pub fn named(clash: &Clash) -> Vec<&str> {
    match clash {
        Clash::TableOver { alike, .. } => alike.iter().map(String::as_str).collect(),
        Clash::BeforeHarvest(id) | Clash::BackOver(id) | Clash::Unread(_, id, _) => vec![id],
        Clash::GivenBackOver { payments, .. } => payments.iter().map(String::as_str).collect(),
        Clash::HandedOver(..) | Clash::SoldOver(..) | Clash::TwoPhones { .. } => Vec::new(),
    }
}
