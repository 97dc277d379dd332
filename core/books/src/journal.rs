//! From what was bought, ordered, sold and paid to entries that balance: one function, and nothing is remembered between two calls.
//!
//! Model     a cost is of the day it came, its payment of the day money changed hands; what was paid down waits as an advance until the
//!           animals come; what lasts wears in equal parts, months owned over months of life, booked once a year on the books' last day;
//!           what buyers pay before they have anything is a deposit, and goes against what they owe when they get it
//! Units     smallest coins of one currency, days
//! Range     amounts within i64
//! Source    plain double entry; straight line depreciation (cost - salvage) / life, as farm management handbooks give it
//! Left out  several currencies at once, taxes on sales, loans

use units::{Day, Money};

use crate::ledger::{Account, Entry, EntryError, Line};

/// What an entry comes of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// A cost as it came.
    Cost,
    /// An open bill that was paid.
    BillPaid,
    /// The owner's own hours.
    OwnHours,
    /// Something that lasts was bought.
    Bought,
    /// A year's wear of it.
    Wear,
    /// It was sold or scrapped.
    Gone,
    /// Postlarvae were paid down.
    PaidDown,
    /// They came.
    Came,
    /// A sale.
    Sale,
    /// Taken for own use, at value.
    OwnUse,
    /// Money from a buyer.
    Got,
    /// Money given back to a buyer.
    GivenBack,
    /// The price of a sale was taken back.
    SaleBack,
}

/// An entry with what it comes of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Posted {
    /// What it comes of.
    pub of: Of,
    /// Mark of the record's entry behind it.
    pub mark: String,
    /// The entry; its words are the person's own.
    pub entry: Entry,
}

/// A cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cost {
    /// Mark of the record's entry.
    pub mark: String,
    /// The day it came.
    pub on: Day,
    /// In the person's words.
    pub about: String,
    /// Its account.
    pub account: Account,
    /// Coins; below nothing when money came back.
    pub money: Money,
    /// Which pond, by its place; `None` for the whole farm.
    pub pond: Option<usize>,
    /// The day money changed hands; `None` while it is owed. Without meaning for own hours.
    pub paid_on: Option<Day>,
}

/// Something that lasts.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// Mark of the record's entry.
    pub mark: String,
    /// The day it was bought.
    pub on: Day,
    /// What it is, in the person's words.
    pub about: String,
    /// What it cost.
    pub cost: Money,
    /// What it will be worth at the end.
    pub salvage: Money,
    /// Months it lasts; `None` when it does not wear.
    pub life_months: Option<f64>,
    /// What its money would earn elsewhere in a year, fraction.
    pub interest_fraction: f64,
    /// Which pond.
    pub pond: Option<usize>,
    /// The day it was paid; `None` while it is owed.
    pub paid_on: Option<Day>,
    /// The day it went, and for what.
    pub gone: Option<(Day, Money)>,
}

/// Postlarvae as they were ordered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ordered {
    /// Mark of the record's entry.
    pub mark: String,
    /// Who sells them.
    pub about: String,
    /// What all of them cost.
    pub money: Money,
    /// What is paid down, and when.
    pub down: Option<(Day, Money)>,
    /// The day they come; `None` when they never will.
    pub comes: Option<Day>,
}

/// What a buyer got or gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taking {
    /// Mark of the record's entry.
    pub mark: String,
    /// The day.
    pub on: Day,
    /// In words.
    pub about: String,
    /// Coins, above nothing; a sale that was taken back is below it.
    pub money: Money,
    /// Which pond; `None` for the whole farm.
    pub pond: Option<usize>,
    /// What it was.
    pub kind: TakingKind,
}

/// What a buyer got or gave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakingKind {
    /// The buyer got something and owes for it.
    Sale,
    /// The owner's household got it, at value.
    OwnUse,
    /// The buyer paid for what was got.
    Got,
    /// The buyer paid before anything was got.
    Deposit,
    /// A deposit goes against what is owed.
    DepositUsed,
    /// Money was given back of what had been paid.
    GivenBack,
    /// A deposit was given back.
    DepositBack,
    /// The price of a sale is taken back, in whole or in part.
    SaleBack,
}

/// All that is booked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Books {
    /// Costs.
    pub costs: Vec<Cost>,
    /// What lasts.
    pub things: Vec<Thing>,
    /// Orders of postlarvae.
    pub orders: Vec<Ordered>,
    /// Buyers.
    pub takings: Vec<Taking>,
    /// The month the books' year begins with, 1 to 12.
    pub first_month: i8,
}

/// Months from the year 0.
pub fn month_of(day: Day) -> i64 {
    let (year, month, _) = day.ymd();
    i64::from(year) * 12 + i64::from(month) - 1
}

/// First day of a month counted from the year 0.
pub fn first_of(month: i64) -> Day {
    let (year, month) = (month.div_euclid(12), month.rem_euclid(12) + 1);
    Day::new(year as i16, month as i8, 1).expect("the first of a month within the range of days")
}

/// First and last day of the books' year that a day lies in.
pub fn year_of(day: Day, first_month: i8) -> (Day, Day) {
    let month = month_of(day);
    let begins = month - (month - (i64::from(first_month) - 1)).rem_euclid(12);
    (first_of(begins), first_of(begins + 12).plus(-1))
}

/// What something has lost after so many months, coins.
pub fn worn_after(thing: &Thing, months: i64) -> Money {
    let (whole, months) = (thing.cost.coins - thing.salvage.coins, months.max(0) as f64);
    match thing.life_months {
        Some(life) if months >= life => Money { coins: whole },
        Some(life) => Money::from_computed(whole as f64 * months / life),
        None => Money::default(),
    }
}

/// Months it was there up to a day: the month it was bought in counts, the one it went in does not.
fn months_there(thing: &Thing, until: Day) -> i64 {
    let to = match thing.gone {
        Some((day, _)) if day <= until => month_of(day),
        _ => month_of(until) + 1,
    };
    to - month_of(thing.on)
}

/// The interest that a thing's money would have earned from one day to another, coins: a charge that no coin moves for.
///
/// Model: the rate on the mean of cost and salvage, in the share of a year it was there.
pub fn interest_tied_up(thing: &Thing, from: Day, to: Day) -> Money {
    let before = months_there(thing, from.plus(-1)).max(0);
    let months = (months_there(thing, to) - before).max(0) as f64;
    let mean = 0.5 * (thing.cost.coins as f64 + thing.salvage.coins as f64);
    Money::from_computed(thing.interest_fraction * mean * months / 12.0)
}

/// Every entry up to a day, in order of the day; of one day in the order costs, things, orders, buyers.
///
/// # Errors
/// When an amount is larger than any sum of money.
pub fn journal(books: &Books, until: Day) -> Result<Vec<Posted>, EntryError> {
    let mut all = Vec::new();
    for cost in &books.costs {
        costs(cost, &mut all)?;
    }
    for thing in &books.things {
        bought(thing, books.first_month, until, &mut all)?;
    }
    for order in &books.orders {
        ordered(order, &mut all)?;
    }
    for taking in &books.takings {
        taken(taking, &mut all)?;
    }
    all.retain(|posted| posted.entry.day() <= until);
    all.sort_by_key(|posted| posted.entry.day());
    Ok(all)
}

/// Appends a movement of money from one account to another.
fn post(
    all: &mut Vec<Posted>,
    (of, mark): (Of, &str),
    (on, about): (Day, &str),
    (from, to): (Account, Account),
    money: Money,
    pond: Option<usize>,
) -> Result<(), EntryError> {
    let entry = Entry::moved(on, about, from, to, money, pond)?;
    all.push(Posted { of, mark: mark.to_owned(), entry });
    Ok(())
}

fn costs(cost: &Cost, all: &mut Vec<Posted>) -> Result<(), EntryError> {
    let (mark, about) = (cost.mark.as_str(), cost.about.as_str());
    if cost.account == Account::OwnHours {
        let to = (Account::Own, cost.account);
        return post(all, (Of::OwnHours, mark), (cost.on, about), to, cost.money, cost.pond);
    }
    let from = if cost.paid_on == Some(cost.on) { Account::Cash } else { Account::Debts };
    post(all, (Of::Cost, mark), (cost.on, about), (from, cost.account), cost.money, cost.pond)?;
    match cost.paid_on {
        Some(day) if day != cost.on => {
            post(all, (Of::BillPaid, mark), (day, about), (Account::Cash, Account::Debts), cost.money, cost.pond)
        }
        _ => Ok(()),
    }
}

fn bought(thing: &Thing, first_month: i8, until: Day, all: &mut Vec<Posted>) -> Result<(), EntryError> {
    let (mark, about, pond) = (thing.mark.as_str(), thing.about.as_str(), thing.pond);
    let from = if thing.paid_on == Some(thing.on) { Account::Cash } else { Account::Debts };
    post(all, (Of::Bought, mark), (thing.on, about), (from, Account::Gear), thing.cost, pond)?;
    if let Some(day) = thing.paid_on.filter(|day| *day != thing.on) {
        post(all, (Of::BillPaid, mark), (day, about), (Account::Cash, Account::Debts), thing.cost, pond)?;
    }
    let gone = thing.gone.filter(|(day, _)| *day >= thing.on);
    let last = gone.map_or(until, |(day, _)| day.min(until));
    let mut worn = Money::default();
    let mut on = thing.on;
    // A thing is worn out after some years; those after it add nothing.
    while thing.life_months.is_some() && on <= last && worn.coins < thing.cost.coins - thing.salvage.coins {
        let (_, ends) = year_of(on, first_month);
        let now = worn_after(thing, months_there(thing, ends));
        let wear = Money { coins: now.coins - worn.coins };
        if wear.coins != 0 {
            // Of the year it went in, the wear is of the day it went.
            let day = gone.map_or(ends, |(day, _)| day.min(ends));
            post(all, (Of::Wear, mark), (day, about), (Account::Worn, Account::Wear), wear, pond)?;
        }
        (worn, on) = (now, ends.plus(1));
    }
    let Some((day, brought)) = gone.filter(|(day, _)| *day <= until) else { return Ok(()) };
    let line = |account, coins| Line { account, money: Money { coins }, pond };
    let lines = vec![
        line(Account::Cash, brought.coins),
        line(Account::Worn, worn.coins),
        line(Account::GearLost, thing.cost.coins - worn.coins - brought.coins),
        line(Account::Gear, -thing.cost.coins),
    ];
    all.push(Posted { of: Of::Gone, mark: mark.to_owned(), entry: Entry::new(day, about, lines)? });
    Ok(())
}

fn ordered(order: &Ordered, all: &mut Vec<Posted>) -> Result<(), EntryError> {
    let (mark, about) = (order.mark.as_str(), order.about.as_str());
    let mut down = Money::default();
    if let Some((day, money)) = order.down {
        // What is paid down after they came is part of the bill.
        let day = order.comes.map_or(day, |comes| day.min(comes));
        post(all, (Of::PaidDown, mark), (day, about), (Account::Cash, Account::Advances), money, None)?;
        down = money;
    }
    let Some(comes) = order.comes else { return Ok(()) };
    let line = |account, coins| Line { account, money: Money { coins }, pond: None };
    let lines = vec![
        line(Account::Postlarvae, order.money.coins),
        line(Account::Advances, -down.coins),
        line(Account::Cash, down.coins - order.money.coins),
    ];
    all.push(Posted { of: Of::Came, mark: mark.to_owned(), entry: Entry::new(comes, about, lines)? });
    Ok(())
}

fn taken(taking: &Taking, all: &mut Vec<Posted>) -> Result<(), EntryError> {
    let (of, from, to) = match taking.kind {
        TakingKind::Sale => (Of::Sale, Account::Sales, Account::Owed),
        TakingKind::OwnUse => (Of::OwnUse, Account::Sales, Account::Own),
        TakingKind::Got => (Of::Got, Account::Owed, Account::Cash),
        TakingKind::Deposit => (Of::Got, Account::Deposits, Account::Cash),
        TakingKind::DepositUsed => (Of::Sale, Account::Owed, Account::Deposits),
        TakingKind::GivenBack => (Of::GivenBack, Account::Cash, Account::Owed),
        TakingKind::DepositBack => (Of::GivenBack, Account::Cash, Account::Deposits),
        TakingKind::SaleBack => (Of::SaleBack, Account::Owed, Account::Sales),
    };
    post(all, (of, &taking.mark), (taking.on, &taking.about), (from, to), taking.money, taking.pond)
}

#[cfg(test)]
mod tests;
