//! What a stretch of time made, by pond and for the whole farm, in three levels of cost; cash by month.
//!
//! Model     lines of the year's accounts between two days; what is common is shared among the ponds by weights, account by account,
//!           each by largest remainder; operating cost < variable cost (with own hours) < total cost (with what is there whatever is grown)
//! Units     smallest coins; kg; shares 0 to 1
//! Range     amounts within i64
//! Source    the levels and the break-evens as in Dasgupta (2005), SRAC publication 4830; break-even price = cost / yield, yield = cost / price,
//!           survival = cost / (price x stocked x weight), there with all of the catch sold: here times the part that was
//! Left out  the worth of money over time within a season

use std::collections::BTreeMap;

use units::{Day, Money};

use crate::journal::{Posted, first_of, month_of};
use crate::ledger::{Account, Class};
use crate::share::share;

/// Money by account. Costs and sales are positive; accounts that hold nothing are left out.
pub type ByAccount = BTreeMap<Account, Money>;

/// What one pond, what is common, or the whole farm made.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Made {
    /// By account.
    pub accounts: ByAccount,
    /// Interest of money tied up: a charge, no coin of it is booked.
    pub tied_up: Money,
}

impl Made {
    /// An account; nothing when it is not there.
    pub fn of(&self, account: Account) -> Money {
        self.accounts.get(&account).copied().unwrap_or_default()
    }
    fn class(&self, class: Class) -> i64 {
        self.accounts.iter().filter(|(account, _)| account.class() == class).map(|(_, money)| money.coins).sum()
    }
    /// Receipts.
    pub fn receipts(&self) -> Money {
        Money { coins: self.class(Class::Receipts) }
    }
    /// Operating cost: cash that comes with growing.
    pub fn operating(&self) -> Money {
        Money { coins: self.class(Class::Operating) }
    }
    /// Variable cost: operating cost and the owner's unpaid hours.
    pub fn variable(&self) -> Money {
        Money { coins: self.class(Class::Operating) + self.class(Class::OwnLabour) }
    }
    /// Total cost: variable cost, what is there whatever is grown, and the interest of money tied up.
    pub fn total(&self) -> Money {
        Money { coins: self.variable().coins + self.class(Class::Fixed) + self.tied_up.coins }
    }
    /// Receipts less operating cost.
    pub fn over_operating(&self) -> Money {
        Money { coins: self.receipts().coins - self.operating().coins }
    }
    /// Receipts less variable cost: the gross margin.
    pub fn over_variable(&self) -> Money {
        Money { coins: self.receipts().coins - self.variable().coins }
    }
    /// Receipts less total cost: the net return.
    pub fn net(&self) -> Money {
        Money { coins: self.receipts().coins - self.total().coins }
    }
    fn add(&mut self, account: Account, coins: i64) {
        let held = self.accounts.entry(account).or_default();
        held.coins += coins;
    }
}

/// A stretch of time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Statement {
    /// Each pond with what is its own and its share of what is common.
    pub ponds: Vec<Made>,
    /// Of each pond, what is its own alone.
    pub own: Vec<Made>,
    /// What is common, before it was shared.
    pub common: Made,
    /// The whole farm.
    pub whole: Made,
}

/// How what is common is shared: a weight for each pond, by account.
#[derive(Debug, Clone, PartialEq)]
pub struct Sharing {
    /// Of most accounts.
    pub usual: Vec<f64>,
    /// Of some.
    pub special: BTreeMap<Account, Vec<f64>>,
}

impl Sharing {
    fn of(&self, account: Account) -> &[f64] {
        self.special.get(&account).unwrap_or(&self.usual)
    }
}

/// What was made from one day to another, both counted in. `tied_up` is the interest of each pond's own things, then of those in common.
pub fn statement(posted: &[Posted], (from, to): (Day, Day), sharing: &Sharing, tied_up: &[Money]) -> Statement {
    let count = sharing.usual.len();
    let mut own = vec![Made::default(); count];
    let (mut common, mut whole) = (Made::default(), Made::default());
    for posted in posted.iter().filter(|posted| from <= posted.entry.day() && posted.entry.day() <= to) {
        for line in posted.entry.lines().iter().filter(|line| line.account.is_of_the_year()) {
            // Debits are costs, credits are sales: both are shown above nothing.
            let coins = if line.account.class() == Class::Receipts { -line.money.coins } else { line.money.coins };
            whole.add(line.account, coins);
            match line.pond.filter(|pond| *pond < count) {
                Some(pond) => own[pond].add(line.account, coins),
                None => common.add(line.account, coins),
            }
        }
    }
    for (at, money) in tied_up.iter().enumerate() {
        whole.tied_up.coins += money.coins;
        let place = if at < count { &mut own[at] } else { &mut common };
        place.tied_up.coins += money.coins;
    }
    let mut ponds = own.clone();
    for (account, money) in &common.accounts {
        for (pond, part) in ponds.iter_mut().zip(share(*money, sharing.of(*account))) {
            pond.add(*account, part.coins);
        }
    }
    for (pond, part) in ponds.iter_mut().zip(share(common.tied_up, &sharing.usual)) {
        pond.tied_up.coins += part.coins;
    }
    Statement { ponds, own, common, whole }
}

/// Where cost and receipts meet; `None` where what it is reckoned from is not known or nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakEven {
    /// Price at which receipts meet the cost, coins per kg.
    pub price_kg: Option<f64>,
    /// Weight at which they do at the price that was had, kg.
    pub yield_kg: Option<f64>,
    /// Share of the stocked that must live to the catch for it, at the weight they had.
    pub survival: Option<f64>,
}

/// What was sold and stocked.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sold {
    /// Whole weight sold, kg.
    pub weight_kg: f64,
    /// Live weight caught, kg; `None` where nothing was weighed: then all of it is taken as sold.
    pub caught_kg: Option<f64>,
    /// What it brought, coins.
    pub coins: f64,
    /// Animals stocked.
    pub stocked: f64,
    /// Mean weight at the catch, kg.
    pub mean_kg: f64,
}

impl Sold {
    /// Part of what was caught that was sold: what was not brings nothing, however many live.
    fn share_sold(&self) -> f64 {
        self.caught_kg.filter(|kg| *kg > self.weight_kg && self.weight_kg > 0.0).map_or(1.0, |kg| self.weight_kg / kg)
    }
}

/// Break-evens of a cost; none of a cost that nobody entered.
pub fn break_even(cost: Money, sold: &Sold) -> BreakEven {
    let cost = cost.coins as f64;
    let over = |above: f64, below: f64| (above > 0.0 && below > 0.0 && below.is_finite()).then_some(above / below);
    let price = over(sold.coins, sold.weight_kg).filter(|price| *price > 0.0);
    BreakEven {
        price_kg: over(cost, sold.weight_kg),
        yield_kg: price.and_then(|price| over(cost, price)),
        survival: price.and_then(|price| over(cost, price * sold.stocked * sold.mean_kg * sold.share_sold())),
    }
}

/// Years until what was put in is back: investment / (net + wear); `None` when it never is.
pub fn payback_years(investment: Money, net: Money, wear: Money) -> Option<f64> {
    let each = (net.coins + wear.coins) as f64;
    (each > 0.0).then(|| investment.coins as f64 / each)
}

/// Cash of one month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CashMonth {
    /// First day of the month.
    pub starts: Day,
    /// What came in, coins.
    pub got: Money,
    /// What went out, coins, above nothing.
    pub gave: Money,
    /// What there is at its end beside what there was on the first day of all.
    pub stands: Money,
    /// The deepest it stood within the month.
    pub deepest: (Day, Money),
}

/// Cash from month to month between two days. Within one day what goes out comes first: the deepest point is not talked away.
pub fn cash_by_month(posted: &[Posted], (from, to): (Day, Day)) -> Vec<CashMonth> {
    let mut days: BTreeMap<Day, (i64, i64)> = BTreeMap::new();
    for posted in posted.iter().filter(|posted| from <= posted.entry.day() && posted.entry.day() <= to) {
        let cash = posted.entry.lines().iter().filter(|line| line.account == Account::Cash);
        for line in cash {
            let day = days.entry(posted.entry.day()).or_default();
            if line.money.coins > 0 { day.0 += line.money.coins } else { day.1 -= line.money.coins }
        }
    }
    let mut stands = 0;
    let mut months = Vec::new();
    for month in month_of(from)..=month_of(to) {
        let starts = first_of(month);
        let (mut got, mut gave, mut deepest) = (0, 0, (starts, stands));
        for (day, (came, went)) in days.range(starts.max(from)..first_of(month + 1)) {
            if stands - went < deepest.1 {
                deepest = (*day, stands - went);
            }
            stands += came - went;
            (got, gave) = (got + came, gave + went);
        }
        let money = |coins: i64| Money { coins };
        months.push(CashMonth {
            starts,
            got: money(got),
            gave: money(gave),
            stands: money(stands),
            deepest: (deepest.0, money(deepest.1)),
        });
    }
    months
}

/// The deepest point of some months.
pub fn deepest(months: &[CashMonth]) -> Option<(Day, Money)> {
    months.iter().map(|month| month.deepest).min_by_key(|(day, money)| (money.coins, *day))
}

#[cfg(test)]
mod tests;
