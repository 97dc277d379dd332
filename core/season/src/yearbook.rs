//! The books of a year: everything that was written down of money, as a journal, a statement by pond, a budget beside it, cash by month.
//!
//! Model     entries of `books::journal` from costs, things that last, orders of postlarvae, sales and payments; what is common is shared
//!           among the ponds (postlarvae by animals stocked, sales by weight caught, all else as the person chooses); the books' year is the
//!           calendar year where the season lies within one, and runs from July to June where it does not
//! Units     smallest coins, kg, days
//! Range     what was written up to today; wear and interest are those of the whole year
//! Source    docs/model/books.md
//! Left out  what a hatchery gives back on a claim (enter it as a cost that came back), loans, taxes on sales

use std::collections::BTreeMap;

use books::journal::{Books, Of, Posted, interest_tied_up, journal, year_of};
use books::ledger::{Account, Entry, EntryError, balances};
use books::share::share;
use books::statement::{CashMonth, Made, Sharing, Sold, Statement, cash_by_month, statement};
use farm::Farm;
use farm::facts::market::{Market, market};
use farm::facts::{Kept, Lot, MoneyRecord, money_record};
use units::{Day, Money};

mod folded;
mod had;
mod hindsight;

pub use had::{Had, StockLeft};
pub use hindsight::{Density, Tails, densities, tails};

/// Kinds of fact that the books are made of, beside the lots'.
pub const BOOK_KINDS: [&str; 15] = [
    "cost",
    "gear_bought",
    "budget",
    "order",
    "delivery",
    "sale",
    "paid",
    "asked",
    "told",
    "handed",
    "pack",
    "basket",
    "moved",
    "catch",
    "settle",
];

/// How what is common is shared among the ponds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ShareBy {
    /// By the area of their water.
    #[default]
    Area,
    /// By the weight that was caught.
    Caught,
    /// By the animals that went in.
    Stocked,
    /// Alike.
    Evenly,
}

impl ShareBy {
    /// Every way with its word in addresses.
    pub const ALL: [(&'static str, ShareBy); 4] = [
        ("area", ShareBy::Area),
        ("caught", ShareBy::Caught),
        ("stocked", ShareBy::Stocked),
        ("evenly", ShareBy::Evenly),
    ];
    /// By its word.
    pub fn parse(word: &str) -> Option<ShareBy> {
        ShareBy::ALL.iter().find(|(known, _)| *known == word).map(|(_, by)| *by)
    }
}

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct YearAsk<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Facts of [`BOOK_KINDS`], in order of number; others are passed over.
    pub facts: &'a [Kept],
    /// What went into the ponds and came out.
    pub lots: &'a [Lot],
    /// Today: what is dated later says nothing yet.
    pub today: Day,
    /// A day of the year that is asked for.
    pub of: Day,
    /// How what is common is shared.
    pub share_by: ShareBy,
}

/// The books of one year.
#[derive(Debug, Clone, PartialEq)]
pub struct Yearbook {
    /// First and last day.
    pub year: (Day, Day),
    /// Every entry from the first on, up to the year's last day.
    pub posted: Vec<Posted>,
    /// What the year made, by the farm's ponds in their order.
    pub made: Statement,
    /// What was stocked, caught and sold, by pond, and of the whole farm last.
    pub had: Vec<Had>,
    /// Cash by month.
    pub cash: Vec<CashMonth>,
    /// The budget's own statement; `None` when none was written for the year.
    pub meant: Option<Meant>,
    /// What each account holds on the year's last day.
    pub holds: BTreeMap<Account, Money>,
    /// What is left to sell, at the price list: shown, not booked.
    pub left: Vec<StockLeft>,
    /// What was written down, with what counts for nothing yet.
    pub record: MoneyRecord,
    /// Entries of buyers and sales that count for nothing yet.
    pub market_unread: usize,
    /// How what is common was shared.
    pub sharing: Sharing,
}

/// A budget.
#[derive(Debug, Clone, PartialEq)]
pub struct Meant {
    /// As a statement.
    pub made: Statement,
    /// Cash by month, of the lines that name one.
    pub cash: Vec<CashMonth>,
    /// Weight meant to be sold, kg: by pond, and of the whole farm last; 0 where none was said.
    pub weight_kg: Vec<f64>,
    /// Survival meant, by pond, and of the whole farm last.
    pub survival: Vec<Option<f64>>,
}

/// Month with which the books' year begins: January where the season lies within a calendar year, else July.
pub fn first_month(farm: &Farm) -> i8 {
    let first = farm.ponds.iter().map(|pond| pond.stocking.on).min().unwrap_or(farm.season.last_catch);
    if first.ymd().0 == farm.season.last_catch.ymd().0 { 1 } else { 7 }
}

/// The years in which anything was booked or stocked, and today's, the last first: first and last day of each.
pub fn years(farm: &Farm, facts: &[Kept], lots: &[Lot], today: Day) -> Vec<(Day, Day)> {
    let month = first_month(farm);
    let zone = &farm.place.zone;
    let of_money = |kept: &&Kept| ["cost", "gear_bought", "sale", "paid"].contains(&kept.fact.kind.as_str());
    let happened = |kept: &Kept| zone.day_and_second(kept.fact.happened.at).0;
    let days = facts.iter().filter(of_money).map(happened).filter(|day| *day <= today);
    // A budget may lie ahead.
    let budget = facts.iter().filter(|kept| kept.fact.kind == "budget");
    let meant = budget.map(|kept| kept.fact.text("in_month").and_then(Day::parse).unwrap_or_else(|| happened(kept)));
    let days = days.chain(meant).chain(lots.iter().map(|lot| lot.stocking.on)).chain([today]);
    let mut years: Vec<(Day, Day)> = days.map(|day| year_of(day, month)).collect();
    years.sort();
    years.dedup();
    years.reverse();
    years
}

/// The books of a year.
///
/// # Errors
/// When an amount is larger than any sum of money.
pub fn yearbook(ask: &YearAsk) -> Result<Yearbook, EntryError> {
    let (farm, month) = (ask.farm, first_month(ask.farm));
    let year = year_of(ask.of, month);
    let record = money_record(ask.facts, farm.currency, &farm.place.zone);
    let sales = market(ask.facts, &farm.currency);
    let books = Books { first_month: month, ..folded::books(ask, &record, &sales) };
    let posted = journal(&books, year.1)?;
    let had = had::had(ask, &sales, year);
    let sharing = sharing(ask, &had);
    let made = statement(&posted, year, &sharing, &tied_up(&books, farm.ponds.len(), year));
    let cash = cash_by_month(&posted, year);
    let meant = meant(&record, farm, year, &of_budget(&sharing))?;
    let holds = balances(posted.iter().map(|posted| &posted.entry));
    Ok(Yearbook {
        year,
        holds,
        made,
        left: had::left(ask, &sales, year),
        had,
        cash,
        meant,
        posted,
        record,
        market_unread: sales.unread.len(),
        sharing,
    })
}

/// Interest of money tied up in the year: each pond's, then what is common.
fn tied_up(books: &Books, ponds: usize, year: (Day, Day)) -> Vec<Money> {
    let mut all = vec![Money::default(); ponds + 1];
    for thing in &books.things {
        all[thing.pond.unwrap_or(ponds).min(ponds)].coins += interest_tied_up(thing, year.0, year.1).coins;
    }
    all
}

fn sharing(ask: &YearAsk, had: &[Had]) -> Sharing {
    let ponds = &had[..ask.farm.ponds.len()];
    let caught: Vec<f64> = ponds.iter().map(|one| one.caught_kg.unwrap_or(0.0)).collect();
    let stocked: Vec<f64> = ponds.iter().map(|one| one.stocked).collect();
    let area: Vec<f64> = ask.farm.ponds.iter().map(|card| card.shape.area_m2).collect();
    let has_any = |weights: &[f64]| weights.iter().any(|weight| *weight > 0.0);
    let usual = match ask.share_by {
        ShareBy::Caught if has_any(&caught) => caught.clone(),
        ShareBy::Stocked if has_any(&stocked) => stocked.clone(),
        ShareBy::Evenly => vec![1.0; area.len()],
        // Until something was caught or stocked, the area stands in.
        _ => area,
    };
    let special = [(Account::Postlarvae, stocked), (Account::Sales, caught)];
    Sharing { usual, special: special.into_iter().filter(|(_, weights)| has_any(weights)).collect() }
}

/// How a budget is shared: its sales by what was caught once every stocked pond is out, and until then by what was stocked. By the catch of the first pond
/// alone all of it would be that pond's.
fn of_budget(sharing: &Sharing) -> Sharing {
    let mut of = sharing.clone();
    let (stocked, caught) = (sharing.special.get(&Account::Postlarvae), sharing.special.get(&Account::Sales));
    if let (Some(stocked), Some(caught)) = (stocked, caught)
        && stocked.iter().zip(caught).any(|(stocked, caught)| *stocked > 0.0 && *caught <= 0.0)
    {
        of.special.insert(Account::Sales, stocked.clone());
    }
    of
}

/// Whether a line of the budget is of a year: by its month, or by the day it was written for.
fn is_of(line: &farm::facts::Budgeted, year: (Day, Day)) -> Option<Day> {
    let day = match line.month {
        Some((y, month)) => Day::new(y, month, 1)?,
        None => line.on,
    };
    (year.0 <= day && day <= year.1).then_some(day)
}

fn meant(record: &MoneyRecord, farm: &Farm, year: (Day, Day), sharing: &Sharing) -> Result<Option<Meant>, EntryError> {
    let count = farm.ponds.len();
    let (mut posted, mut tied) = (Vec::new(), vec![Money::default(); count + 1]);
    let (mut weight_kg, mut survival) = (vec![0.0; count + 1], vec![None; count + 1]);
    let mut by_month = Vec::new();
    for line in &record.budget {
        let Some(day) = is_of(line, year) else { continue };
        let pond = line.pond.as_ref().and_then(|id| farm.ponds.iter().position(|card| card.id == *id));
        if line.account == "tied_up" {
            tied[pond.unwrap_or(count)].coins += line.money.coins;
            continue;
        }
        let Some(account) = Account::parse(line.account) else { continue };
        let (from, to) = match account {
            Account::Sales => (Account::Sales, Account::Cash),
            Account::OwnHours => (Account::Own, account),
            Account::Wear => (Account::Worn, account),
            _ => (Account::Cash, account),
        };
        let entry = Entry::moved(day, "", from, to, line.money, pond)?;
        let one = Posted { of: Of::Cost, mark: line.head.clone(), entry };
        if line.month.is_some() {
            by_month.push(one.clone());
        }
        posted.push(one);
        let place = pond.unwrap_or(count);
        weight_kg[place] += line.weight_kg.unwrap_or(0.0);
        survival[place] = line.survival_fraction.or(survival[place]);
    }
    if posted.is_empty() && tied.iter().all(|money| money.coins == 0) {
        return Ok(None);
    }
    // What was said of the whole farm is shared as its sales are; what the ponds say makes the farm's.
    let parts = share(
        Money::from_computed(weight_kg[count] * 1000.0),
        sharing.special.get(&Account::Sales).unwrap_or(&sharing.usual),
    );
    for (kg, grams) in weight_kg.iter_mut().zip(parts) {
        *kg += grams.coins as f64 / 1000.0;
    }
    weight_kg[count] = weight_kg[..count].iter().sum();
    let made = statement(&posted, year, sharing, &tied);
    Ok(Some(Meant { made, cash: cash_by_month(&by_month, year), weight_kg, survival }))
}

impl Yearbook {
    /// Entries of the year itself.
    pub fn of_year(&self) -> impl Iterator<Item = &Posted> {
        self.posted.iter().filter(|posted| self.year.0 <= posted.entry.day())
    }
    /// The whole farm, what was had.
    pub fn whole(&self) -> &Had {
        self.had.last().expect("the whole farm stands last")
    }
    /// What a pond made, by its place; the whole farm after the last.
    pub fn made_of(&self, place: usize) -> &Made {
        self.made.ponds.get(place).unwrap_or(&self.made.whole)
    }
    /// What a pond was meant to make; the whole farm after the last.
    pub fn meant_of(&self, place: usize) -> Option<&Made> {
        let meant = &self.meant.as_ref()?.made;
        Some(meant.ponds.get(place).unwrap_or(&meant.whole))
    }
    /// Nothing was booked in the year.
    pub fn is_empty(&self) -> bool {
        self.of_year().next().is_none()
    }
    /// What the swings move, and whether it is the budget: a year that has sold nothing yet is moved by what it was meant to make.
    pub fn moves(&self, ponds: usize) -> (&Made, bool) {
        let whole = &self.made.whole;
        match self.meant_of(ponds).filter(|_| whole.receipts().coins <= 0) {
            Some(meant) => (meant, true),
            None => (whole, false),
        }
    }
    /// What stood at the beginning of the year in cash, coins: what months begin from.
    pub fn cash_before(&self) -> Money {
        let before = self.posted.iter().filter(|posted| posted.entry.day() < self.year.0);
        let lines = before.flat_map(|posted| posted.entry.lines()).filter(|line| line.account == Account::Cash);
        Money { coins: lines.map(|line| line.money.coins).sum() }
    }
}

/// What was stocked, caught and sold, as the break-evens take it.
impl From<&Had> for Sold {
    fn from(had: &Had) -> Sold {
        Sold {
            weight_kg: had.sold_kg,
            caught_kg: had.caught_kg,
            coins: had.sold_coins,
            stocked: had.stocked,
            mean_kg: had.mean_kg.unwrap_or(0.0),
        }
    }
}

/// Buyers of the year: for pages that tell of them.
pub fn sales_of(ask: &YearAsk) -> Market {
    market(ask.facts, &ask.farm.currency)
}

#[cfg(test)]
mod tests;
