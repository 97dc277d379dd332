//! Buyers and the sale table as they were written down: orders, what buyers were told, stock handed to tables, lines sold, money.
//!
//! Model     a fold over the entries, each once by its mark; a line's money is its amount times its price, rounded once to whole coins; what
//!           a table has left is what it was handed, less what came back from it and what it sold
//! Units     kg of the form that is sold, pieces, whole coins
//! Range     any entries in any order
//! Source    arithmetic
//! Left out  what an entry that waits on a phone will say: it counts from the moment it arrives

use units::{Currency, Day, Instant, Money};

use crate::trade::Pays;

mod accounts;
mod clashes;
mod fold;
mod supply;

#[cfg(test)]
mod tests;

pub use accounts::{Account, AccountOf};
pub use clashes::{Clash, Stand};
pub use fold::market;
pub use supply::{Pool, Supply, supply};

/// Kinds of fact that the market is made of.
pub const MARKET_KINDS: [&str; 5] = ["asked", "told", "handed", "sale", "paid"];

/// The form of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SoldAs {
    /// Alive, by weight.
    Live,
    /// Chilled, heads on, by weight.
    Whole,
    /// Tails, by their own weight.
    Tails,
    /// Heads on, by the piece.
    Piece,
    /// Whole, of lesser quality, by weight.
    Seconds,
}

impl SoldAs {
    /// Every form with its word in an entry.
    pub const ALL: [(&'static str, SoldAs); 5] = [
        ("live", SoldAs::Live),
        ("whole", SoldAs::Whole),
        ("tails", SoldAs::Tails),
        ("piece", SoldAs::Piece),
        ("seconds", SoldAs::Seconds),
    ];
    /// By the word of an entry.
    pub fn parse(word: &str) -> Option<SoldAs> {
        SoldAs::ALL.iter().find(|(known, _)| *known == word).map(|(_, form)| *form)
    }
    /// The word of an entry.
    pub fn word(self) -> &'static str {
        SoldAs::ALL.iter().find(|(_, form)| *form == self).map_or("", |(word, _)| word)
    }
    /// Counted, not weighed.
    pub fn by_piece(self) -> bool {
        self == SoldAs::Piece
    }
}

/// What is sold: a form in a size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Good {
    /// The form.
    pub sold_as: SoldAs,
    /// The size as typed; empty for all sizes.
    pub size: String,
}

/// Who wrote an entry, where and when.
#[derive(Debug, Clone, PartialEq)]
pub struct Entered {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// When it happened.
    pub at: Instant,
    /// When it was typed first, ms since 1970.
    pub typed_ms: i64,
    /// Who.
    pub person: String,
    /// The device it was typed on first.
    pub device: String,
}

/// Who is served before whom.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rank {
    /// The grower said so.
    First,
    /// Buys every time.
    Standing,
    /// Ordered this once.
    Ordered,
    /// Walked up.
    WalkUp,
    /// Takes what others leave.
    Waiting,
}

/// A buyer's order.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Who wrote it; its `id` is the order's mark.
    pub entered: Entered,
    /// The buyer.
    pub buyer: String,
    /// How they are reached, as typed.
    pub contact: Option<String>,
    /// Who is served before whom.
    pub rank: Rank,
    /// What.
    pub good: Good,
    /// Weights of one animal that suit, g (of one tail for tails): least, and what it stops short of.
    pub size_g: (f64, f64),
    /// kg of the form, or pieces.
    pub amount: f64,
    /// The price agreed; `None` leaves it to the price list.
    pub pays: Option<Pays>,
    /// First day they take it.
    pub day_from: Option<Day>,
    /// Last day they take it.
    pub day_until: Option<Day>,
    /// Deposit that is asked.
    pub deposit: Option<Money>,
    /// Their tank, L.
    pub their_tank_l: Option<f64>,
    /// Their tank's water, °C.
    pub their_tank_c: Option<f64>,
    /// Who hauls, as typed: `buyer` or `farm`.
    pub hauls: Option<String>,
    /// Who bears what dies: `buyer`, `farm`, `shared`.
    pub bears: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

/// What came of telling a buyer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    /// Takes it on that day.
    Yes,
    /// Cannot take it on that day.
    No,
    /// Told, and nothing heard.
    NoAnswer,
    /// Takes none at all.
    CalledOff,
    /// Came and took it.
    Came,
    /// Did not come.
    NotCome,
}

impl Reply {
    /// Every one with its word in an entry.
    pub const ALL: [(&'static str, Reply); 6] = [
        ("yes", Reply::Yes),
        ("no", Reply::No),
        ("no_answer", Reply::NoAnswer),
        ("called_off", Reply::CalledOff),
        ("came", Reply::Came),
        ("not_come", Reply::NotCome),
    ];
}

/// A buyer was told of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Who wrote it.
    pub entered: Entered,
    /// Mark of the order.
    pub order: String,
    /// The day.
    pub day: Day,
    /// The hour agreed, h after midnight.
    pub slot_h: Option<f64>,
    /// What came of it.
    pub reply: Reply,
}

/// Stock given to a table, or counted back from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Handed {
    /// Who wrote it.
    pub entered: Entered,
    /// The table.
    pub table: String,
    /// What.
    pub good: Good,
    /// kg of the form, or pieces.
    pub amount: f64,
    /// What it weighs, kg; `None` for pieces that were not weighed.
    pub weight_kg: Option<f64>,
    /// What the table asks for it.
    pub pays: Option<Pays>,
    /// Its lot.
    pub lot: Option<String>,
    /// It came back.
    pub back: bool,
}

/// A line sold, or taken back.
#[derive(Debug, Clone, PartialEq)]
pub struct Sold {
    /// Who wrote it.
    pub entered: Entered,
    /// The table.
    pub table: String,
    /// Mark of the receipt; its own mark where it names none.
    pub receipt: String,
    /// Mark of the order it fills.
    pub order: Option<String>,
    /// The buyer, if named.
    pub buyer: Option<String>,
    /// What.
    pub good: Good,
    /// kg of the form without bag or tub, or pieces. Never below nothing, of what is taken back too.
    pub amount: f64,
    /// What it weighs, kg; `None` for pieces that were not weighed.
    pub weight_kg: Option<f64>,
    /// Drained before the scale.
    pub drained: Option<bool>,
    /// The price.
    pub pays: Pays,
    /// Its lot.
    pub lot: Option<String>,
    /// The line it takes back.
    pub takes_back: Option<String>,
    /// What came back can be sold again.
    pub again: bool,
    /// What the buyer owes for it; below nothing when it is taken back.
    pub money: Money,
}

/// Money that came in or was given back.
#[derive(Debug, Clone, PartialEq)]
pub struct Payment {
    /// Who wrote it.
    pub entered: Entered,
    /// Below nothing when it was given back.
    pub money: Money,
    /// How, as typed.
    pub by: String,
    /// Paid before the catch.
    pub is_deposit: bool,
    /// Mark of the receipt.
    pub receipt: Option<String>,
    /// Mark of the order.
    pub order: Option<String>,
    /// The buyer, if named.
    pub buyer: Option<String>,
    /// The table.
    pub table: Option<String>,
}

/// Why an entry counts for nothing until a person looks at it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unread {
    /// Mended twice, by people who did not see each other's mending.
    Fork,
    /// A part of it cannot be read.
    Slip,
    /// Its price is in another money than the farm's.
    OtherMoney,
}

/// Everything of the market, each in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Market {
    /// Orders.
    pub orders: Vec<Order>,
    /// What buyers were told.
    pub told: Vec<Told>,
    /// Stock handed out.
    pub handed: Vec<Handed>,
    /// Lines sold and taken back.
    pub sold: Vec<Sold>,
    /// Money.
    pub paid: Vec<Payment>,
    /// Mean weight of the animals that were counted at the scale, kg: what a piece likely weighs that nobody weighed. Set by whoever knows the baskets.
    pub counted_piece_kg: Option<f64>,
    /// Entries that count for nothing yet: kind, mark of the entry, why.
    pub unread: Vec<(String, String, Unread)>,
}

/// What a line comes to. Two machines come to the same coin: a hair of floating point is taken off before the one rounding.
pub fn line_money(amount: f64, pays: Pays) -> Money {
    let coins = match pays {
        Pays::PerKg(coins) | Pays::Each(coins) => coins * amount,
    };
    Money::from_computed((coins * 1e6).round() / 1e6)
}

/// A price as typed, in coins of the farm's money; `None` where it cannot be read or is of another money.
pub fn price(text: &str, farm: &Currency) -> Option<Pays> {
    use units::measure::{Kind, read_price};
    let (read, each) = match read_price(text, Kind::Count) {
        Ok(read) => (read, true),
        Err(_) => (read_price(text, Kind::Mass).ok()?, false),
    };
    let coins = read.amount * farm.coins_per_unit() as f64;
    let good = crate::clerk::agrees(&read, farm) && coins >= 0.0;
    good.then_some(if each { Pays::Each(coins) } else { Pays::PerKg(coins) })
}

/// Weights of one animal (of one tail, of tails) that a size as typed holds, g: least, and what it stops short of.
pub fn size_g(text: &str) -> Option<(f64, f64)> {
    super::selling::size(text)
}

impl Market {
    /// The order with this mark.
    pub fn order(&self, id: &str) -> Option<&Order> {
        self.orders.iter().find(|order| order.entered.id == id)
    }
    /// The lot of a line; what is taken back is of the lot of the line that it takes back.
    pub fn lot_of<'a>(&'a self, line: &'a Sold) -> Option<&'a str> {
        let first = || self.sold.iter().find(|one| Some(&one.entered.id) == line.takes_back.as_ref());
        line.lot.as_deref().or_else(|| first()?.lot.as_deref())
    }
    /// What a buyer was told last of an order.
    pub fn last_told(&self, order: &str) -> Option<&Told> {
        self.told.iter().rev().find(|told| told.order == order)
    }
    /// What was sold on an order: kg or pieces, less what was taken back.
    pub fn sold_on(&self, order: &str) -> f64 {
        let lines = self.sold.iter().filter(|line| line.order.as_deref() == Some(order));
        lines.map(|line| if line.takes_back.is_some() { -line.amount } else { line.amount }).sum()
    }
    /// Lines of a receipt, in order of time.
    pub fn lines_of(&self, receipt: &str) -> impl Iterator<Item = &Sold> {
        self.sold.iter().filter(move |line| line.receipt == receipt)
    }
}
