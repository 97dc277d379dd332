//! What the pages of the books say: what a year made, what it was meant to make, where cost and price meet.

use season::books::journal::Of;
use season::books::ledger::Account;
use season::books::statement::{BreakEven, CashMonth, Made, Sold, break_even, deepest};
use season::yearbook::{Had, ShareBy, Yearbook};
use units::{Currency, Day, Money};

use crate::figures::{Manner, date, day_short, month};
use crate::page_log::money_for;

mod amounts;
mod choices;
mod report;
mod sheet;

pub use amounts::{exact, plain, price, units, weight};
pub use choices::*;
pub use report::*;
pub use sheet::*;

/// Name of the page.
pub const TITLE: &str = "The books";
/// Of entries that were not made by anybody.
pub const INVENTED: &str = "These are invented figures of the sample farm. The first cost, thing or sale you enter takes the place of all of them.";
/// Nothing was entered.
pub const NOTHING: &str = "Nothing is booked yet.";
/// What to do then.
pub const NOTHING_SAYS: &str = "Enter costs as they come, and what was bought to last. Sales, payments and the order of postlarvae are booked by themselves.";
/// Ways to write.
pub const ENTER_COST: &str = "Enter a cost";
/// Something that lasts.
pub const ENTER_GEAR: &str = "Bought to last";
/// The budget.
pub const ENTER_BUDGET: &str = "Write a budget line";
/// The budget from the winter's plan.
pub const FROM_WINTER: &str = "Fill the budget from the winter plan";
/// Way to the journal.
pub const TO_JOURNAL: &str = "The journal, entry by entry";
/// Way to the report.
pub const TO_REPORT: &str = "The season's report";
/// Way to the spreadsheet.
pub const TO_SHEET: &str = "Spreadsheet with its sums as formulas";
/// Way to the plain file.
pub const TO_CSV: &str = "Journal as CSV";
/// Years to choose.
pub const YEARS: &str = "Years";
/// How what is common is shared.
pub const SHARED: &str = "What is common is shared";
/// Button of that.
pub const SHARE: &str = "Share";
/// Heading: ponds beside each other.
pub const BY_POND: &str = "What each pond made";
/// Below it.
pub const BY_POND_SAYS: &str = "Operating cost is cash that comes with growing. Variable cost has your own unpaid hours too. Total cost has wear, interest on money tied up, rent, insurance and taxes: who covers operating cost alone will replace neither ponds nor gear.";
/// How the sharing is done.
pub const SHARE_SAYS: &str = "Postlarvae are shared by animals stocked, sales without a lot by weight caught. Each share is whole coins; coins left over go one each to the largest fractions, so that the ponds add up to the farm.";
/// Heads of that table.
pub const BY_POND_HEADS: [&str; 10] = [
    "Pond",
    "Net",
    "Pays from",
    "Receipts",
    "Operating cost",
    "Variable cost",
    "Total cost",
    "Over operating cost",
    "Over variable cost",
    "Weight sold",
];
/// Heading: budget.
pub const BUDGET: &str = "Meant and come";
/// No budget.
pub const NO_BUDGET: &str = "No budget is written for this year.";
/// Heads of that table.
pub const BUDGET_HEADS: [&str; 4] = ["For", "Meant", "Came", "Difference"];
/// What a difference means.
pub const BUDGET_SAYS: &str =
    "Difference is how much better or worse for you: above nothing when a cost came lower or sales higher.";
/// Heading: cash.
pub const CASH: &str = "Cash by month";
/// Heads of that table.
pub const CASH_HEADS: [&str; 5] = ["Month", "In", "Out", "Stands at", "Lowest in it"];
/// What it leaves out.
pub const CASH_SAYS: &str = "Counted from nothing on the year's first day: what you had then comes on top. Own hours, wear and interest on money tied up move no cash. What was paid on one day counts before what came in.";
/// Heading: sensitivity.
pub const SWINGS: &str = "What moves the result";
/// Heads of that table.
pub const SWING_HEADS: [&str; 7] =
    ["If this is", "30 % less", "20 % less", "10 % less", "10 % more", "20 % more", "30 % more"];
/// The changes behind those heads.
pub const SWING_CHANGES: [f64; 6] = [-0.3, -0.2, -0.1, 0.1, 0.2, 0.3];
/// Of those changes, the ones that are drawn: a fifth less and a fifth more.
pub const LESS: usize = 1;
/// A fifth more.
pub const MORE: usize = 4;
/// Under the drawing.
pub const SWING_LEGEND: &str =
    "The round mark is the end where it is a fifth less; the other end, where it is a fifth more.";
/// How it is reckoned.
pub const SWING_SAYS: &str = "Net of the whole farm, one thing changed at a time and the others held. Ice, packing and market fees go with the weight sold; feed goes with the weight of one.";
/// Heading: break-evens.
pub const EVEN: &str = "Where it pays";
/// Heads of that table.
pub const EVEN_HEADS: [&str; 4] = ["To cover", "Price", "Weight sold", "Survival"];
/// How it is reckoned.
pub const EVEN_SAYS: &str = "Price: cost over the weight sold, as whole prawns. Weight: cost over the price had. Survival: the share of the stocked that brings that weight, at the weight they had.";
/// Heading: years.
pub const COMPARE: &str = "Year beside year";
/// Heads of that table.
pub const COMPARE_HEADS: [&str; 8] =
    ["Year", "Receipts", "Operating cost", "Total cost", "Net", "Caught", "Survival", "Pays from"];
/// Heading: what is held.
pub const HOLDS: &str = "What stands open and what is held";
/// Heading: entries without effect.
pub const UNREAD: &str = "Counts for nothing yet";
/// Heading: other choices.
pub const ELSE: &str = "What another choice would have brought";
/// Ask for densities.
pub const ASK_DENSITY: &str = "Live past years with fewer and more animals";
/// Densities: heads.
pub const DENSITY_HEADS: [&str; 5] =
    ["Pond", "Animals to the area", "Caught", "Weight of one", "Left over, on average"];
/// Honest words about it.
pub const DENSITY_SAYS: &str = "By this pond's own past years, the same luck for each density, at the farm's listed prices and costs, caught on the best fixed day. It is what could be expected, not what that year would have done.";
/// Chart: what it is.
pub const CASH_CHART: &str = "Where cash stood at each month's end";
/// Chart: what it is.
pub const SWING_CHART: &str = "Net when one thing is 20 % less or more";
/// Journal page.
pub const JOURNAL: &str = "The journal";
/// Its heads.
pub const JOURNAL_HEADS: [&str; 6] = ["Day", "What", "To", "From", "Pond", "Money"];
/// Its heads as a file: field names for other programs.
pub const CSV_HEADS: [&str; 9] = ["entry", "day", "what", "words", "account", "pond", "debit", "credit", "currency"];
/// Below the journal.
pub const JOURNAL_SAYS: &str =
    "Made anew from what was written down, each time. To change an entry, mend what it came from.";
/// Way to what an entry came from.
pub const MEND: &str = "Mend";
/// An amount too large.
pub const TOO_LARGE: &str = "An amount is larger than can be counted. Look through the costs and mend it.";
/// The whole farm.
pub const WHOLE: &str = "Whole farm";
/// What nobody's pond is.
pub const COMMON: &str = "Common";
/// Defer.
pub const RULES: &str = "A record and a reminder: who does your taxes says what counts there.";

/// A year's name.
pub fn year((from, to): (Day, Day)) -> String {
    let (first, last) = (from.ymd().0, to.ymd().0);
    if first == last { first.to_string() } else { format!("{first}/{:02}", last % 100) }
}

fn year_is_over(book: &Yearbook, today: Day) -> bool {
    book.year.1 < today
}

/// Nobody entered a cost.
pub const NO_COST: &str = "No cost is entered yet: what the year made, and from what price it pays, can be told once postlarvae, feed, fuel and hired hands are.";

/// What total cost comes to over the weight sold.
pub fn even(made: &Made, had: &Had) -> BreakEven {
    break_even(made.total(), &Sold::from(had))
}

/// The answer, in one sentence.
pub fn headline(book: &Yearbook, today: Day, currency: Currency) -> String {
    let whole = &book.made.whole;
    let name = year(book.year);
    let net = whole.net();
    if whole.receipts().coins == 0 {
        return format!("{name} has cost {} so far, and nothing is sold yet", units(whole.operating(), currency));
    }
    let word = if year_is_over(book, today) { "" } else { " so far" };
    if whole.total().coins == 0 {
        return format!("{name} sold for {}{word}; no cost is entered yet", units(whole.receipts(), currency));
    }
    if net.coins >= 0 {
        format!("{name} made {}{word}, after all costs", units(net, currency))
    } else {
        format!("{name} is {} short of all its costs{word}", units(Money { coins: -net.coins }, currency))
    }
}

/// The reason in numbers.
pub fn reason(book: &Yearbook, manner: Manner, currency: Currency) -> String {
    let (whole, had) = (&book.made.whole, book.whole());
    if whole.total().coins == 0 && whole.receipts().coins != 0 {
        return format!("Sold for {}. {NO_COST}", exact(whole.receipts(), currency));
    }
    let costs = format!(
        "Operating cost {}, with own hours {}, with all that is there anyway {}.",
        exact(whole.operating(), currency),
        exact(whole.variable(), currency),
        exact(whole.total(), currency)
    );
    let mut said = match whole.receipts().coins {
        0 => costs,
        _ => format!("Sold for {}. {costs}", exact(whole.receipts(), currency)),
    };
    if let Some(price_kg) = even(whole, had).price_kg {
        let had_kg = had.sold_coins / had.sold_kg;
        said.push_str(&format!(
            " It pays from {}; sales brought {} of whole weight on average.",
            price(price_kg, manner, currency),
            price(had_kg, manner, currency)
        ));
    } else if let Some(meant) = &book.meant {
        let kg = *meant.weight_kg.last().unwrap_or(&0.0);
        if kg > 0.0 {
            let price_kg = meant.made.whole.total().coins as f64 / kg;
            said.push_str(&format!(
                " With the {} that are meant to be sold, the budget pays from {}.",
                weight(kg, manner),
                price(price_kg, manner, currency)
            ));
        }
    }
    said
}

/// How what is common is shared, as a choice.
pub fn share_by(by: ShareBy) -> &'static str {
    match by {
        ShareBy::Area => "by area of water",
        ShareBy::Caught => "by weight caught",
        ShareBy::Stocked => "by animals stocked",
        ShareBy::Evenly => "evenly",
    }
}

/// A row of the ponds' table.
pub fn pond_row(name: &str, made: &Made, had: &Had, manner: Manner, currency: Currency) -> Vec<String> {
    let money = |of: Money| units(of, currency);
    vec![
        name.to_owned(),
        money(made.net()),
        even(made, had).price_kg.map_or("-".to_owned(), |coins| price(coins, manner, currency)),
        money(made.receipts()),
        money(made.operating()),
        money(made.variable()),
        money(made.total()),
        money(made.over_operating()),
        money(made.over_variable()),
        if had.sold_kg > 0.0 { weight(had.sold_kg, manner) } else { "-".to_owned() },
    ]
}

/// Name of an account.
pub fn account(account: Account) -> &'static str {
    match account {
        Account::Cash => "Cash",
        Account::Owed => "Owed by buyers",
        Account::Deposits => "Deposits of buyers",
        Account::Advances => "Paid down, not come yet",
        Account::Gear => "What lasts, as bought",
        Account::Worn => "Worn off it",
        Account::Debts => "Open bills",
        Account::Own => "Put in and taken out by you",
        Account::GearLost => "Lost on things sold",
        other => money_for(other.word()),
    }
}

/// The accounts whose balance a person asks for, and how it is said: money, above nothing.
pub fn held(book: &Yearbook, currency: Currency) -> Vec<(String, String)> {
    let of = |account| book.holds.get(&account).copied().unwrap_or_default().coins;
    let rows = [
        ("Buyers owe you", of(Account::Owed)),
        ("Buyers paid ahead", -of(Account::Deposits)),
        ("You paid down, not come yet", of(Account::Advances)),
        ("You owe on open bills", -of(Account::Debts)),
        ("What lasts, less its wear", of(Account::Gear) + of(Account::Worn)),
    ];
    let mut all: Vec<(String, String)> = rows
        .into_iter()
        .filter(|(_, coins)| *coins != 0)
        .map(|(name, coins)| (name.to_owned(), exact(Money { coins }, currency)))
        .collect();
    for left in &book.left {
        let pool = match left.pool {
            farm::facts::market::Pool::Live => "alive",
            farm::facts::market::Pool::Whole => "whole",
            farm::facts::market::Pool::Tails => "tails",
        };
        if let Some(worth) = left.worth {
            all.push((format!("Left to sell, {pool}, at your list price (not booked)"), exact(worth, currency)));
        }
    }
    all
}

/// A row of meant and come; `None` where neither is anything.
pub fn budget_row(name: &str, meant: Money, came: Money, is_cost: bool, currency: Currency) -> Option<Vec<String>> {
    if meant.coins == 0 && came.coins == 0 {
        return None;
    }
    let better = if is_cost { meant.coins - came.coins } else { came.coins - meant.coins };
    Some(vec![name.to_owned(), units(meant, currency), units(came, currency), units(Money { coins: better }, currency)])
}

/// Names of the levels below the accounts.
pub const LEVELS: [&str; 5] = ["Operating cost", "Variable cost", "Total cost", "Net", "Interest on money tied up"];

/// Below the table of months.
pub const CASH_STILL: &str = "Months in which no money came or went are left out of the table; the drawing has them.";

/// A row of a month.
pub fn month_row(one: &CashMonth, currency: Currency) -> Vec<String> {
    let money = |of: Money| units(of, currency);
    vec![
        format!("{} {}", month(one.starts.ymd().1), one.starts.ymd().0),
        money(one.got),
        money(one.gave),
        money(one.stands),
        format!("{}, {}", money(one.deepest.1), day_short(one.deepest.0)),
    ]
}

/// The deepest point in a sentence.
pub fn deepest_says(months: &[CashMonth], currency: Currency) -> String {
    match deepest(months).filter(|(_, money)| money.coins < 0) {
        Some((day, money)) => format!(
            "Cash stood lowest on {}: {} below where the year began. So much was to be laid out or lent.",
            date(day),
            exact(Money { coins: -money.coins }, currency)
        ),
        None => "Cash never stood below where the year began.".to_owned(),
    }
}

/// A row of break-evens.
pub fn even_row(level: &str, even: &BreakEven, manner: Manner, currency: Currency) -> Vec<String> {
    vec![
        level.to_owned(),
        even.price_kg.map_or("-".to_owned(), |coins| price(coins, manner, currency)),
        even.yield_kg.map_or("-".to_owned(), |kg| weight(kg, manner)),
        even.survival.map_or("-".to_owned(), |share| format!("{:.0} %", 100.0 * share)),
    ]
}

/// A row of a year.
pub fn compare_row(book: &Yearbook, manner: Manner, currency: Currency) -> Vec<String> {
    let (whole, had) = (&book.made.whole, book.whole());
    let money = |of: Money| units(of, currency);
    vec![
        year(book.year),
        money(whole.receipts()),
        money(whole.operating()),
        money(whole.total()),
        money(whole.net()),
        had.caught_kg.map_or("-".to_owned(), |kg| weight(kg, manner)),
        had.survival.map_or("-".to_owned(), |share| format!("{:.0} %", 100.0 * share)),
        even(whole, had).price_kg.map_or("-".to_owned(), |coins| price(coins, manner, currency)),
    ]
}

/// What an entry comes of.
pub fn of(of: Of) -> &'static str {
    match of {
        Of::Cost => "Cost",
        Of::BillPaid => "Bill paid",
        Of::OwnHours => "Own hours",
        Of::Bought => "Bought to last",
        Of::Wear => "Wear of the year",
        Of::Gone => "Sold or scrapped",
        Of::PaidDown => "Postlarvae paid down",
        Of::Came => "Postlarvae came",
        Of::Sale => "Sale",
        Of::OwnUse => "Taken for own use",
        Of::Got => "Money from a buyer",
        Of::GivenBack => "Given back to a buyer",
        Of::SaleBack => "Sale taken back",
    }
}
