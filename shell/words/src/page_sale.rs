//! What the pages of the sale table say: stock of each table, lines, money, what does not fit together.

use farm::Pays;
use farm::facts::market::{Good, Pool, SoldAs, Stand};
use units::{Currency, Money};

use crate::figures::{Manner, grouped};

mod clashes;
mod on_table;
mod receipt;

pub use clashes::*;
pub use on_table::*;
pub use receipt::*;

/// Name of the board.
pub const TITLE: &str = "Sale";
/// Nothing was handed out yet.
pub const NONE: &str = "No table has anything to sell yet";
/// What to do first.
pub const NONE_SAYS: &str = "Hand stock to a table: so much of one form and size, at one price. Open that table on one phone while it has signal, and it sells without.";
/// Way to the handing.
pub const HAND: &str = "Hand stock to a table";
/// Way to counting back.
pub const HAND_BACK: &str = "Count back what a table did not sell";
/// Head of the tables.
pub const TABLES: &str = "Tables";
/// Way to a table.
pub const SELL: &str = "Sell here";
/// How stock is shared.
pub const SHARED: &str = "How phones share the stock";
/// How stock is shared, in sentences.
pub const SHARED_SAYS: [&str; 5] = [
    "What you hand to a table is that table's alone. One phone sells for one table, from what the table was handed less what it sold; it knows both without signal, and sells no more than that.",
    "What no table was handed, nobody can sell. So phones without signal cannot sell the same pound twice.",
    "A phone that has died keeps its table's share. Weigh what lies there, count it back, and hand it to a table with another name; what the dead phone had sold comes when it is charged.",
    "What was typed twice or wrongly shows here as a clash, with what is missing. Nothing is thrown away and nothing sets itself right: a person mends or strikes a line, or hands over what was forgotten.",
    "Give nothing out twice on paper either: hand out less than there is and keep the rest in the store until the tables ask for it.",
];
/// Head of what does not fit.
pub const CLASHES: &str = "To be settled by a person";
/// All fits.
pub const NO_CLASH: &str = "Lines, stock and the harvest's balance fit together.";
/// Head of what is left of the harvest.
pub const SUPPLY: &str = "Of the harvest";
/// Heads of the supply's table.
pub const SUPPLY_HEADS: [&str; 5] = ["What", "There was", "Handed out", "Sold", "Not handed out"];
/// Heads of a table's stock.
pub const STAND_HEADS: [&str; 5] = ["What", "Price", "Handed", "Sold", "Left"];
/// Head of receipts.
pub const RECEIPTS: &str = "Receipts, newest first";
/// Head of what is owed.
pub const OWED: &str = "Still to be paid, or to be given back";
/// Head of the day's money.
pub const TAKEN: &str = "Taken";
/// Head of the table's station.
pub const TABLE: &str = "Table";
/// What.
pub const GOODS: &str = "What is sold";
/// Nothing was handed to this table.
pub const NOTHING_HERE: &str =
    "Nothing was handed to this table yet, or this phone has not heard of it: open the page once with signal.";
/// On the scale.
pub const WEIGHT: &str = "On the scale";
/// Of it bag or tub.
pub const TARE: &str = "Of it bag or tub";
/// Pieces.
pub const PIECES: &str = "How many";
/// Price.
pub const PRICE: &str = "Price, with its unit";
/// Drained.
pub const DRAINED: &str = "Drained before the scale, the same way as always";
/// Button for a line.
pub const NEXT: &str = "Write the line";
/// Strikes while one is mended.
pub const STRIKE: &str = "This line does not count";
/// What is being mended.
pub const MENDING: &str = "Mending a line: change what is wrong, then Write the line.";
/// Reminder of the scale, once.
pub const SCALE: &str = "Sold by weight? Many places want a scale approved for trade, and its weight shown to the buyer. Ask your weights and measures office.";
/// A weight that is none.
pub const NO_AMOUNT: &str = "Digits alone, as the scale shows them: 2.35. The unit stands beside the box.";
/// The bag or tub weighs as much as the scale shows, or more.
pub const TARE_OVER: &str =
    "The empty bag or tub is as heavy as what the scale shows, or heavier: look at both weights.";
/// No unit in the price.
pub const NO_PRICE: &str = "A price needs its unit: $12/lb by weight, $0.90 each by the piece.";
/// A price of another money.
pub const OTHER_MONEY: &str = "This price is in another money than the farm's. Write it in the farm's own.";
/// What was paid down on the order.
pub const DOWN: &str = "Paid down on the order";
/// More than is left.
pub const OVER: &str = "That is more than this table has left. Weigh again. If it truly lies here, write below that it was handed to you, then sell it.";
/// Head of what was forgotten to be handed.
pub const MORE_HERE: &str = "More lies here than the phone knows";
/// What it does.
pub const MORE_HERE_SAYS: &str = "Write how much more was handed to this table. The lead sees it at the board.";
/// Its button.
pub const MORE_HERE_KEEP: &str = "It was handed to this table";
/// This receipt.
pub const THIS_RECEIPT: &str = "This buyer";
/// No line yet.
pub const NO_LINE: &str = "No line yet.";
/// Buyer's name.
pub const BUYER: &str = "Name, if they give one";
/// Buyer's order.
pub const ORDER: &str = "Their order";
/// No order.
pub const NO_ORDER: &str = "None: walked up";
/// Money.
pub const PAYS: &str = "They pay";
/// How.
pub const BY: &str = "How";
/// Button of payment.
pub const PAID: &str = "Paid: next buyer";
/// Button for later payment.
pub const LATER: &str = "Next buyer; this one pays later";
/// What goes back to the buyer.
pub const CHANGE: &str = "Change to give";
/// The same, of the buyer before.
pub const CHANGE_WAS: &str = "Paid. Change to give";
/// What is still to be paid while less is typed.
pub const SHORT: &str = "Still to pay after that";
/// More than is due by card or transfer.
pub const CARD_MORE: &str = "That is more than is to be paid: nothing goes back over the table but cash. Type what was charged, or choose cash.";
/// To be paid.
pub const DUE: &str = "To pay";
/// Text of the receipt.
pub const AS_TEXT: &str = "The receipt as text";
/// Copies it.
pub const COPY: &str = "Copy it";
/// Copied.
pub const COPIED: &str = "Copied.";
/// Receipts of this phone.
pub const OTHERS: &str = "Last receipts on this phone";
/// An amount of money that is none.
pub const NO_MONEY: &str = "Digits alone: 28.80.";
/// Left at the table.
pub const LEFT: &str = "left";
/// Way back.
pub const TO_SALE: &str = "Sale: the board";
/// Way to the buyers.
pub const TO_BUYERS: &str = "Buyers and what is promised to them";
/// Way to the pick-up list.
pub const TO_LIST: &str = "Pick-up list, to print";
/// Visitors.
pub const VISITORS: &str = "Visitors stay behind the rope: no children or guests at pumps, generator, cords, pond edge or drain. Prawns have sharp spines; some people are allergic to their very steam.";
/// The unsold.
pub const UNSOLD: &str = "What is not sold";
/// A clash was settled.
pub const MEND: &str = "Mend";

/// A word of an entry of the sale, as a person reads it.
pub fn word<'a>(field: &str, word: &'a str) -> &'a str {
    match (field, word) {
        ("sold_as", "live") => "Live",
        ("sold_as", "whole") => "Whole",
        ("sold_as", "tails") => "Tails",
        ("sold_as", "piece") => "By the piece",
        ("sold_as", "seconds") => "Seconds",
        ("rank", "standing") => "Standing buyer",
        ("rank", "ordered") => "Order",
        ("rank", "walk_up") => "Walk-up",
        ("rank", "waiting") => "Waiting list",
        ("answer", "yes") => "Takes it",
        ("answer", "no") => "Cannot take that day",
        ("answer", "no_answer") => "Told, no answer yet",
        ("answer", "called_off") => "Called off",
        ("answer", "came") => "Came",
        ("answer", "not_come") => "Did not come",
        ("hauls" | "bears", "buyer") => "The buyer",
        ("hauls" | "bears", "farm") => "The farm",
        ("bears", "shared") => "Shared",
        ("paid_by", "cash") => "Cash",
        ("paid_by", "card") => "Card",
        ("paid_by", "transfer") => "Transfer",
        ("paid_by", "other") => "Otherwise",
        ("paid_for", "sale") => "What was bought",
        ("paid_for", "deposit") => "Deposit",
        (_, other) => other,
    }
}

/// A form.
pub fn form(sold_as: SoldAs) -> &'static str {
    word("sold_as", sold_as.word())
}

/// A good: form and size.
pub fn good(good: &Good) -> String {
    if good.size.is_empty() { form(good.sold_as).to_owned() } else { format!("{}, {}", form(good.sold_as), good.size) }
}

/// A pool of the harvest.
pub fn pool(pool: Pool) -> &'static str {
    match pool {
        Pool::Live => "Live",
        Pool::Whole => "Whole, by the piece, seconds",
        Pool::Tails => "Tails",
    }
}

/// A weight that is partly nobody's weighing.
pub fn about(weight: &str) -> String {
    format!("about {weight}")
}
/// What is not handed out yet; or by how much more was than was written down of the catch.
pub fn left_over(weight: &str, is_short: bool, is_about: bool) -> String {
    let said = if is_about { about(weight) } else { weight.to_owned() };
    if is_short { format!("{said} more than was written down") } else { said }
}
/// A catch entered by its weight alone.
pub fn unsorted(weight: &str) -> String {
    format!(
        "{weight} was entered by its weight alone. It counts as whole animals, and for nobody who wants them alive: weigh it at the scale, and it stands where it lies."
    )
}
/// Where such weights come from.
pub const ABOUT_SAYS: &str = "About: pieces that nobody weighed count by the middle of their size, or by the animals counted at the scale. Weigh what you hand out by the piece, and it is exact.";

/// The unit that weights are read in.
pub fn unit(manner: Manner) -> &'static str {
    if manner == Manner::UsCustomary { "lb" } else { "kg" }
}

/// A weight as the scale shows it.
pub fn weight(kilograms: f64, manner: Manner) -> String {
    let shown = if manner == Manner::UsCustomary { kilograms / 0.453_592_37 } else { kilograms };
    // Nothing is shown as nothing, whatever sign a hair of it has.
    let shown = if shown.abs() < 0.005 { 0.0 } else { shown };
    format!("{shown:.2} {}", unit(manner))
}

/// An amount of a form.
pub fn amount(sold_as: SoldAs, amount: f64, manner: Manner) -> String {
    match (sold_as.by_piece(), amount) {
        (true, 1.0) => "1 piece".to_owned(),
        (true, pieces) => format!("{} pieces", grouped(pieces)),
        (false, kilograms) => weight(kilograms, manner),
    }
}

/// Money to the coin.
pub fn money(money: Money, currency: Currency) -> String {
    let per_unit = currency.coins_per_unit();
    let digits = per_unit.ilog10() as usize;
    let (sign, coins) = (if money.coins < 0 { "-" } else { "" }, money.coins.abs());
    let units = grouped((coins / per_unit) as f64);
    let part = if digits == 0 { String::new() } else { format!(".{:0digits$}", coins % per_unit) };
    match currency.code() {
        "USD" => format!("{sign}${units}{part}"),
        code => format!("{sign}{units}{part} {code}"),
    }
}

/// A price as it is typed: read back, it is the same.
pub fn price(pays: Pays, manner: Manner, currency: Currency) -> String {
    let per_unit = currency.coins_per_unit() as f64;
    // A price by the other unit stays readable in that one: $26/kg is no whole number of cents a pound.
    let is_plain = |coins: f64| (1000.0 * coins / per_unit - (1000.0 * coins / per_unit).round()).abs() < 1e-6;
    let manner = match (pays, manner) {
        (Pays::PerKg(coins), Manner::UsCustomary) if !is_plain(coins * 0.453_592_37) && is_plain(coins) => {
            Manner::Metric
        }
        (Pays::PerKg(coins), Manner::Metric) if !is_plain(coins) && is_plain(coins * 0.453_592_37) => {
            Manner::UsCustomary
        }
        (_, manner) => manner,
    };
    let (coins, per) = match pays {
        Pays::Each(coins) => (coins, " each"),
        Pays::PerKg(coins) if manner == Manner::UsCustomary => (coins * 0.453_592_37, "/lb"),
        Pays::PerKg(coins) => (coins, "/kg"),
    };
    // As many digits as it was typed with; coins at least.
    let units = coins / per_unit;
    let digits = per_unit.log10() as usize;
    let fits = |digits: usize| {
        let shown: f64 = format!("{units:.digits$}").parse().unwrap_or(units);
        (shown - units).abs() < 1e-9 * (1.0 + units.abs())
    };
    let digits = (digits..9).find(|digits| fits(*digits)).unwrap_or(digits);
    match currency.code() {
        "USD" => format!("${units:.digits$}{per}"),
        code => format!("{units:.digits$} {code}{per}"),
    }
}

/// The board's answer.
pub fn headline(stands: &[Stand], clashes: usize, manner: Manner) -> String {
    if stands.is_empty() && clashes == 0 {
        return NONE.to_owned();
    }
    let mut names: Vec<&str> = stands.iter().map(|stand| stand.table.as_str()).collect();
    names.dedup();
    let kg: f64 = stands.iter().filter(|stand| !stand.good.sold_as.by_piece()).map(|stand| stand.left().max(0.0)).sum();
    let pieces: f64 =
        stands.iter().filter(|stand| stand.good.sold_as.by_piece()).map(|stand| stand.left().max(0.0)).sum();
    let pieces = if pieces > 0.0 { format!(" and {}", amount(SoldAs::Piece, pieces, manner)) } else { String::new() };
    let tables = if names.len() == 1 { "1 table".to_owned() } else { format!("{} tables", names.len()) };
    let settle = match clashes {
        0 => String::new(),
        1 => "; 1 thing to settle".to_owned(),
        n => format!("; {n} things to settle"),
    };
    format!("{tables} with {}{pieces} left{settle}", weight(kg, manner))
}

/// Rows of a table's stock.
pub fn stand_row(stand: &Stand, manner: Manner, currency: Currency) -> [String; 5] {
    let of = |kg: f64| amount(stand.good.sold_as, kg, manner);
    [
        good(&stand.good),
        stand.pays.map_or("-".to_owned(), |pays| price(pays, manner, currency)),
        of(stand.handed_amount - stand.back_amount),
        if stand.spoilt_amount > 0.0 {
            sold_and_spoilt(&of(stand.sold_amount), &of(stand.spoilt_amount))
        } else {
            of(stand.sold_amount)
        },
        of(stand.left()),
    ]
}

/// What a table sold, where some of it came back and is not for sale again.
fn sold_and_spoilt(sold: &str, spoilt: &str) -> String {
    format!("{sold}; {spoilt} of it came back and cannot be sold again")
}

/// All that is still to be paid.
pub fn owed_in_all(count: usize, sum: Money, currency: Currency) -> String {
    format!("{} stand open; still to be paid in all: {}.", grouped(count as f64), money(sum, currency))
}

/// The way to those that are folded away.
pub fn owed_rest(count: usize) -> String {
    format!("The other {}", grouped(count as f64))
}

/// When what is not sold is headed or frozen.
pub fn unsold(at: Option<f64>, manner: Manner) -> String {
    match at {
        Some(hour) => crate::figures::stopped(format!(
            "What is not sold is headed or frozen at {}",
            crate::figures::clock((3600.0 * hour) as i32, manner)
        )),
        None => "Name an hour at which what is not sold is headed or frozen (selling.unsold_by in the farm's description): whole prawns soften within days, even on ice.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_that_is_shown_reads_back_as_it_was() {
        let (dollars, reais) = (Currency::parse("USD").expect("one"), Currency::parse("BRL").expect("one"));
        for (text, currency, manner, shown) in [
            ("$12/lb", dollars, Manner::UsCustomary, "$12.00/lb"),
            ("$12.255/lb", dollars, Manner::UsCustomary, "$12.255/lb"),
            ("$26/kg", dollars, Manner::UsCustomary, "$26.00/kg"),
            ("R$ 30/lb", reais, Manner::Metric, "30.00 BRL/lb"),
            ("90 cents each", dollars, Manner::UsCustomary, "$0.90 each"),
            ("R$ 62/kg", reais, Manner::Metric, "62.00 BRL/kg"),
        ] {
            let pays = farm::facts::market::price(text, &currency).expect("a price");
            assert_eq!(price(pays, manner, currency), shown);
            let back = farm::facts::market::price(shown, &currency).expect("reads back");
            let coins = |pays| match pays {
                Pays::Each(coins) | Pays::PerKg(coins) => coins,
            };
            assert!((coins(back) - coins(pays)).abs() < 1e-6, "{shown}");
        }
        assert_eq!(money(Money { coins: -123_456 }, dollars), "-$1,234.56");
        assert_eq!(money(Money { coins: 5 }, Currency::parse("JPY").expect("one")), "5 JPY");
    }
}
