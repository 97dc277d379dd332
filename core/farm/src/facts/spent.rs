//! Money as it was written down: costs, what lasts, what was meant. A pure fold over the entries.
//!
//! An amount becomes whole coins here, once: one that names another currency, or is finer than the smallest coin, counts for nothing
//! until a person has looked at it, and is told.

use units::measure::{Kind, read_price};
use units::{Currency, Day, Money, Zone};

use super::{Fact, Kept, current};
use crate::clerk::agrees;
use crate::inputs::{ACCOUNTS, COSTS};

/// Kinds of fact that are money alone: the owner's, and no morning is reckoned from them.
pub const MONEY_KINDS: [&str; 3] = ["cost", "gear_bought", "budget"];
/// What money can be spent on, as an entry says it.
pub const MONEY_COSTS: &[&str] = COSTS;
/// What can be budgeted, as an entry says it: costs, wear, interest of money tied up, sales.
pub const MONEY_ACCOUNTS: &[&str] = ACCOUNTS;

/// Where an entry stands in the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paid {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// The day it is of.
    pub on: Day,
    /// The day its money changed hands; `None` while it is owed.
    pub paid_on: Option<Day>,
    /// Who sold it, as typed.
    pub to_whom: Option<String>,
    /// Short name of the pond; `None` for the whole farm.
    pub pond: Option<String>,
    /// In the person's words.
    pub note: Option<String>,
}

/// A cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spent {
    /// Where it stands.
    pub paid: Paid,
    /// One of [`MONEY_COSTS`].
    pub cost_for: &'static str,
    /// Coins; below nothing when money came back.
    pub money: Money,
    /// How much of it, in the person's words.
    pub how_much: Option<String>,
}

/// Something that lasts.
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    /// Where it stands.
    pub paid: Paid,
    /// What it is, as typed.
    pub thing: String,
    /// What it cost.
    pub cost: Money,
    /// What it will be worth at the end of its years; its cost where it does not wear.
    pub salvage: Money,
    /// Years it lasts; `None` when it does not wear.
    pub life_years: Option<f64>,
    /// What its money would earn elsewhere in a year, fraction.
    pub interest_fraction: f64,
    /// The day it was sold or scrapped, and for what.
    pub gone: Option<(Day, Money)>,
}

/// A line of the budget.
#[derive(Debug, Clone, PartialEq)]
pub struct Budgeted {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// The day it was written for.
    pub on: Day,
    /// One of [`MONEY_ACCOUNTS`].
    pub account: &'static str,
    /// Coins, positive for costs and for sales.
    pub money: Money,
    /// Short name of the pond; `None` for the whole farm.
    pub pond: Option<String>,
    /// Year and month it is meant for.
    pub month: Option<(i16, i8)>,
    /// Whole weight meant to be sold, kg.
    pub weight_kg: Option<f64>,
    /// Share of the stocked meant to live to the catch, fraction.
    pub survival_fraction: Option<f64>,
}

/// Why an entry counts for nothing until somebody looks at it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnreadWhy {
    /// Mended twice apart: nobody has said which holds.
    Fork,
    /// A figure or a word cannot be read.
    Figure,
    /// Its money is of another currency.
    Currency,
    /// It is finer than the smallest coin.
    FinerThanCoin,
    /// It is worth more at the end than it cost.
    EndsDearer,
}

/// An entry that counts for nothing yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// Mark of the entry to be mended or settled.
    pub head: String,
    /// Its kind.
    pub kind: String,
    /// Why.
    pub why: UnreadWhy,
}

/// All money that was written down, each in order of its day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MoneyRecord {
    /// Costs.
    pub spent: Vec<Spent>,
    /// What lasts.
    pub gear: Vec<Gear>,
    /// The budget's lines: of one account, pond and month, and where no month is told of one year of writing, the last alone.
    pub budget: Vec<Budgeted>,
    /// What counts for nothing yet.
    pub unread: Vec<Unread>,
}

/// An amount as typed in coins of the farm's currency.
///
/// # Errors
/// Why it is none.
pub fn coins(text: &str, currency: Currency) -> Result<Money, UnreadWhy> {
    let price = read_price(&format!("{text} each"), Kind::Count).map_err(|_| UnreadWhy::Figure)?;
    if !agrees(&price, &currency) {
        return Err(UnreadWhy::Currency);
    }
    let coins = price.amount * currency.coins_per_unit() as f64;
    // Amounts are bounded by the table of inputs at 10^15 coins, where a double still tells whole coins apart.
    if (coins - coins.round()).abs() > 1e-3 {
        return Err(UnreadWhy::FinerThanCoin);
    }
    Ok(Money::from_computed(coins))
}

/// All money in the record. `facts` stand in order of number; other kinds are passed over.
pub fn money_record(facts: &[Kept], currency: Currency, zone: &Zone) -> MoneyRecord {
    let mut record = MoneyRecord::default();
    for entry in current(facts) {
        let kind = entry.first.fact.kind.as_str();
        if !MONEY_KINDS.contains(&kind) || entry.is_struck() {
            continue;
        }
        let head = entry.settled().unwrap_or(entry.heads[0]);
        let taken = match entry.is_fork() {
            true => Err(UnreadWhy::Fork),
            false => record.take(&head.fact, &entry.first.fact.id, (currency, zone)),
        };
        if let Err(why) = taken {
            record.unread.push(Unread { head: head.fact.id.clone(), kind: kind.to_owned(), why });
        }
    }
    record.spent.sort_by(|a, b| (a.paid.on, &a.paid.id).cmp(&(b.paid.on, &b.paid.id)));
    record.gear.sort_by(|a, b| (a.paid.on, &a.paid.id).cmp(&(b.paid.on, &b.paid.id)));
    record.keep_last_of_budget();
    record
}

impl MoneyRecord {
    fn take(&mut self, fact: &Fact, id: &str, (currency, zone): (Currency, &Zone)) -> Result<(), UnreadWhy> {
        let on = zone.day_and_second(fact.happened.at).0;
        if !super::read_typed(&fact.kind, fact.form, &fact.typed).slips.is_empty() {
            return Err(UnreadWhy::Figure);
        }
        let money = |field: &str| fact.text(field).map(|text| coins(text, currency)).transpose();
        let value = |field: &str| fact.values.get(field).copied();
        match fact.kind.as_str() {
            "cost" => {
                let cost = money("cost")?.ok_or(UnreadWhy::Figure)?;
                let back = fact.text("paid_or_owed") == Some("back");
                self.spent.push(Spent {
                    paid: paid(fact, id, on),
                    cost_for: known(fact.text("cost_for"), COSTS)?,
                    money: if back { Money { coins: -cost.coins } } else { cost },
                    how_much: fact.text("how_much").map(str::to_owned),
                });
            }
            "gear_bought" => {
                let cost = money("cost")?.ok_or(UnreadWhy::Figure)?;
                let life_years = value("life");
                let salvage = if life_years.is_some() { money("salvage")?.unwrap_or_default() } else { cost };
                if salvage > cost {
                    return Err(UnreadWhy::EndsDearer);
                }
                let gone_for = money("gone_for")?.unwrap_or_default();
                let gone = fact.text("gone_on").and_then(Day::parse).map(|day| (day, gone_for));
                self.gear.push(Gear {
                    paid: paid(fact, id, on),
                    thing: fact.text("thing").unwrap_or_default().to_owned(),
                    cost,
                    salvage,
                    life_years,
                    interest_fraction: value("tied_up").unwrap_or(0.0),
                    gone,
                });
            }
            _ => self.budget.push(Budgeted {
                id: id.to_owned(),
                head: fact.id.clone(),
                on,
                account: known(fact.text("account"), ACCOUNTS)?,
                money: money("meant")?.ok_or(UnreadWhy::Figure)?,
                pond: fact.pond().map(str::to_owned),
                month: fact.text("in_month").and_then(Day::parse).map(|day| (day.ymd().0, day.ymd().1)),
                weight_kg: value("meant_weight"),
                survival_fraction: value("meant_survival"),
            }),
        }
        Ok(())
    }

    fn keep_last_of_budget(&mut self) {
        let all = std::mem::take(&mut self.budget);
        let key = |line: &Budgeted| {
            (line.account, line.pond.clone(), line.month, line.month.is_none().then(|| line.on.ymd().0))
        };
        for line in all {
            self.budget.retain(|before| key(before) != key(&line));
            self.budget.push(line);
        }
        self.budget.sort_by(|a, b| (a.on, a.account, &a.pond, a.month).cmp(&(b.on, b.account, &b.pond, b.month)));
    }
}

fn paid(fact: &Fact, id: &str, on: Day) -> Paid {
    let said = fact.text("paid_on").and_then(Day::parse);
    let owed = fact.text("paid_or_owed") == Some("owed");
    Paid {
        id: id.to_owned(),
        head: fact.id.clone(),
        on,
        // An open bill that was paid is mended with its day; what was paid at once needs none.
        paid_on: said.or(Some(on).filter(|_| !owed)),
        to_whom: fact.text("to_whom").map(str::to_owned),
        pond: fact.pond().map(str::to_owned),
        note: fact.text("note").map(str::to_owned),
    }
}

fn known(word: Option<&str>, words: &'static [&'static str]) -> Result<&'static str, UnreadWhy> {
    words.iter().copied().find(|known| Some(*known) == word).ok_or(UnreadWhy::Figure)
}

#[cfg(test)]
mod tests;
