//! Books by double entry: every entry's lines add up to nothing, so that the whole does.
//!
//! Model     an entry is a day, words and lines; a line adds to an account (debit above nothing, credit below)
//! Units     smallest coins of one currency
//! Range     sums within i64
//! Source    plain double entry, as any handbook of it says (memory)
//! Left out  several currencies at once, taxes

use std::collections::BTreeMap;

use units::{Day, Money};

/// An account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Account {
    /// Money in hand and in the bank.
    Cash,
    /// What buyers still owe.
    Owed,
    /// What was paid by buyers before they got anything.
    Deposits,
    /// What was paid down before anything came.
    Advances,
    /// Things that last: ponds, pumps, tanks.
    Gear,
    /// What they have lost in value, against [`Account::Gear`].
    Worn,
    /// What is owed to others.
    Debts,
    /// What the owner put in and took out, own hours and own use among it.
    Own,
    /// Sales.
    Sales,
    /// Postlarvae and juveniles.
    Postlarvae,
    /// Nursery: heat, salt, tests.
    Nursery,
    /// Feed.
    Feed,
    /// Fertilizer and lime.
    Fertilizer,
    /// Power.
    Power,
    /// Fuel.
    Fuel,
    /// Ice.
    Ice,
    /// Packing, labels.
    Packing,
    /// Hired hands.
    Hands,
    /// Repairs.
    Repairs,
    /// Licences and tests.
    Licences,
    /// Transport.
    Transport,
    /// Market fees, advertising.
    Selling,
    /// Interest that was paid.
    Interest,
    /// All else.
    Other,
    /// The owner's unpaid hours, at what they are worth.
    OwnHours,
    /// Rent of land.
    Land,
    /// Insurance.
    Insurance,
    /// Taxes.
    Taxes,
    /// Depreciation of the year.
    Wear,
    /// What was lost on things that went before they were worn: below nothing when they brought more.
    GearLost,
}

/// Which total an account is counted into first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// It holds something from one year to the next.
    Holds,
    /// What was sold.
    Receipts,
    /// Operating cost: cash, and it comes with growing.
    Operating,
    /// Variable, and no cash: the owner's hours.
    OwnLabour,
    /// There whatever is grown.
    Fixed,
}

impl Account {
    /// Every account, those that hold first.
    pub const ALL: [Account; 30] = [
        Account::Cash,
        Account::Owed,
        Account::Deposits,
        Account::Advances,
        Account::Gear,
        Account::Worn,
        Account::Debts,
        Account::Own,
        Account::Sales,
        Account::Postlarvae,
        Account::Nursery,
        Account::Feed,
        Account::Fertilizer,
        Account::Power,
        Account::Fuel,
        Account::Ice,
        Account::Packing,
        Account::Hands,
        Account::Repairs,
        Account::Licences,
        Account::Transport,
        Account::Selling,
        Account::Interest,
        Account::Other,
        Account::OwnHours,
        Account::Land,
        Account::Insurance,
        Account::Taxes,
        Account::Wear,
        Account::GearLost,
    ];
    /// Its word in files and entries.
    pub fn word(self) -> &'static str {
        match self {
            Account::Cash => "cash",
            Account::Owed => "owed_by_buyers",
            Account::Deposits => "deposits_of_buyers",
            Account::Advances => "paid_down",
            Account::Gear => "gear",
            Account::Worn => "worn",
            Account::Debts => "debts",
            Account::Own => "own",
            Account::Sales => "sales",
            Account::Postlarvae => "postlarvae",
            Account::Nursery => "nursery",
            Account::Feed => "feed",
            Account::Fertilizer => "fertilizer",
            Account::Power => "power",
            Account::Fuel => "fuel",
            Account::Ice => "ice",
            Account::Packing => "packing",
            Account::Hands => "hands",
            Account::Repairs => "repairs",
            Account::Licences => "licences",
            Account::Transport => "transport",
            Account::Selling => "selling",
            Account::Interest => "interest",
            Account::Other => "other",
            Account::OwnHours => "own_hours",
            Account::Land => "land",
            Account::Insurance => "insurance",
            Account::Taxes => "taxes",
            Account::Wear => "wear",
            Account::GearLost => "gear_lost",
        }
    }
    /// By its word.
    pub fn parse(word: &str) -> Option<Account> {
        Account::ALL.into_iter().find(|account| account.word() == word)
    }
    /// Which total it is counted into first.
    pub fn class(self) -> Class {
        match self {
            Account::Cash
            | Account::Owed
            | Account::Deposits
            | Account::Advances
            | Account::Gear
            | Account::Worn
            | Account::Debts
            | Account::Own => Class::Holds,
            Account::Sales => Class::Receipts,
            Account::OwnHours => Class::OwnLabour,
            Account::Land | Account::Insurance | Account::Taxes | Account::Wear | Account::GearLost => Class::Fixed,
            _ => Class::Operating,
        }
    }
    /// It is counted into what was earned.
    pub fn is_of_the_year(self) -> bool {
        self.class() != Class::Holds
    }
}

/// A line: an account and what is added to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// The account.
    pub account: Account,
    /// Added; below nothing on its other side.
    pub money: Money,
    /// Which pond it is for, by its place; `None` for the whole farm.
    pub pond: Option<usize>,
}

/// An entry that adds up to nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    day: Day,
    about: String,
    lines: Vec<Line>,
}

/// Why an entry is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryError {
    /// Its lines come to this instead of nothing.
    Open(Money),
    /// It has fewer than two lines.
    TooFew,
    /// It is larger than any sum of money.
    TooLarge,
}

impl Entry {
    /// An entry whose lines add up to nothing.
    ///
    /// # Errors
    /// What is wrong with them.
    pub fn new(day: Day, about: &str, lines: Vec<Line>) -> Result<Entry, EntryError> {
        if lines.len() < 2 {
            return Err(EntryError::TooFew);
        }
        let sum = lines.iter().try_fold(0_i64, |sum, line| sum.checked_add(line.money.coins));
        match sum.ok_or(EntryError::TooLarge)? {
            0 => Ok(Entry { day, about: about.to_owned(), lines }),
            coins => Err(EntryError::Open(Money { coins })),
        }
    }
    /// Money that goes from one account to another.
    ///
    /// # Errors
    /// When it cannot be written with its other sign.
    pub fn moved(
        day: Day,
        about: &str,
        from: Account,
        to: Account,
        money: Money,
        pond: Option<usize>,
    ) -> Result<Entry, EntryError> {
        let against = money.coins.checked_neg().ok_or(EntryError::TooLarge)?;
        let line = |account: Account, coins: i64| Line { account, money: Money { coins }, pond };
        Entry::new(day, about, vec![line(to, money.coins), line(from, against)])
    }
    /// The same with every sign turned: a correction never changes what was written.
    ///
    /// # Errors
    /// When a line cannot be written with its other sign.
    pub fn taken_back(&self, day: Day, about: &str) -> Result<Entry, EntryError> {
        let turned = |line: &Line| {
            let coins = line.money.coins.checked_neg().ok_or(EntryError::TooLarge)?;
            Ok(Line { money: Money { coins }, ..*line })
        };
        Entry::new(day, about, self.lines.iter().map(turned).collect::<Result<_, _>>()?)
    }
    /// Its day.
    pub fn day(&self) -> Day {
        self.day
    }
    /// What it is about.
    pub fn about(&self) -> &str {
        &self.about
    }
    /// Its lines.
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }
}

/// What each account holds, all accounts, by some entries.
pub fn balances<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> BTreeMap<Account, Money> {
    let mut all: BTreeMap<Account, Money> = Account::ALL.iter().map(|account| (*account, Money::default())).collect();
    for line in entries.into_iter().flat_map(Entry::lines) {
        let held = all.entry(line.account).or_default();
        held.coins = held.coins.saturating_add(line.money.coins);
    }
    all
}

/// What was earned: sales less all costs of the year; of one pond where its place is given.
pub fn earned<'a>(entries: impl IntoIterator<Item = &'a Entry>, pond: Option<usize>) -> Money {
    let lines = entries.into_iter().flat_map(Entry::lines);
    let of_year = lines.filter(|line| line.account.is_of_the_year() && (pond.is_none() || line.pond == pond));
    Money { coins: of_year.map(|line| -line.money.coins).sum() }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day() -> Day {
        Day::new(2011, 10, 4).expect("a day")
    }

    #[test]
    fn an_entry_that_is_open_is_none() {
        let line = |account, coins| Line { account, money: Money { coins }, pond: None };
        let open = Entry::new(day(), "ice", vec![line(Account::Packing, 1000), line(Account::Cash, -900)]);
        assert_eq!(open, Err(EntryError::Open(Money { coins: 100 })));
        assert_eq!(Entry::new(day(), "ice", vec![line(Account::Cash, 0)]), Err(EntryError::TooFew));
        let most = Money { coins: i64::MIN };
        assert_eq!(Entry::moved(day(), "", Account::Cash, Account::Feed, most, None), Err(EntryError::TooLarge));
    }

    #[test]
    fn a_season_in_four_entries() {
        let of = |from, to, coins, pond| Entry::moved(day(), "", from, to, Money { coins }, pond).expect("an entry");
        let all = [
            of(Account::Cash, Account::Postlarvae, 160_000, Some(0)),
            of(Account::Cash, Account::Feed, 50_000, Some(1)),
            of(Account::Sales, Account::Owed, 695_100, Some(0)),
            of(Account::Owed, Account::Cash, 600_000, Some(0)),
        ];
        let held = balances(&all);
        assert_eq!(held[&Account::Cash].coins, 390_000);
        assert_eq!(held[&Account::Owed].coins, 95_100);
        assert_eq!(earned(&all, None).coins, 485_100);
        assert_eq!(earned(&all, Some(1)).coins, -50_000);
        let back = all[2].taken_back(day(), "returned").expect("an entry");
        assert_eq!(earned(all.iter().chain([&back]), Some(0)).coins, -160_000);
    }

    proptest! {
        /// Whatever is entered, the whole adds up to nothing, and what was earned is what all else holds.
        #[test]
        fn books_always_balance(moves in prop::collection::vec((0_usize..30, 0_usize..30, -1_000_000_i64..1_000_000, 0_usize..4), 0..80)) {
            let entries: Vec<Entry> = moves.iter()
                .map(|(from, to, coins, pond)| Entry::moved(day(), "", Account::ALL[*from], Account::ALL[*to], Money { coins: *coins }, Some(*pond)).expect("balanced"))
                .collect();
            let held = balances(&entries);
            prop_assert_eq!(held.values().map(|money| money.coins).sum::<i64>(), 0);
            let rest: i64 = held.iter().filter(|(account, _)| !account.is_of_the_year()).map(|(_, money)| money.coins).sum();
            prop_assert_eq!(earned(&entries, None).coins, rest);
            let by_pond: i64 = (0..4).map(|pond| earned(&entries, Some(pond)).coins).sum();
            prop_assert_eq!(by_pond, rest);
        }
    }
}
