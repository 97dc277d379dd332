use super::*;
use crate::ledger::balances;

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn pump() -> Thing {
    Thing {
        mark: "a".to_owned(),
        on: day("2011-04-20"),
        about: "pump".to_owned(),
        cost: Money { coins: 115_000 },
        salvage: Money { coins: 15_000 },
        life_months: Some(96.0),
        interest_fraction: 0.06,
        pond: None,
        paid_on: Some(day("2011-04-20")),
        gone: None,
    }
}

fn held(books: &Books, until: &str, account: Account) -> i64 {
    let posted = journal(books, day(until)).expect("entries");
    balances(posted.iter().map(|posted| &posted.entry))[&account].coins
}

#[test]
fn a_thing_wears_in_equal_parts_to_the_last_coin() {
    let books = Books { things: vec![pump()], first_month: 1, ..Books::default() };
    assert_eq!(held(&books, "2011-12-31", Account::Wear), 9375, "nine months of ninety-six of a thousand dollars");
    assert_eq!(held(&books, "2012-12-31", Account::Wear), 9375 + 12_500);
    assert_eq!(held(&books, "2030-12-31", Account::Wear), 100_000, "and then no more");
    assert_eq!(held(&books, "2030-12-31", Account::Gear) + held(&books, "2030-12-31", Account::Worn), 15_000);
    let land = Thing { life_months: None, salvage: Money { coins: 115_000 }, ..pump() };
    let books = Books { things: vec![land.clone()], ..books };
    assert_eq!(held(&books, "2030-12-31", Account::Wear), 0);
    assert_eq!(interest_tied_up(&land, day("2012-01-01"), day("2012-12-31")).coins, 6900);
    assert_eq!(interest_tied_up(&pump(), day("2011-01-01"), day("2011-12-31")).coins, 2925, "nine months of it");
}

#[test]
fn what_goes_early_loses_what_it_did_not_bring() {
    let gone = Thing { gone: Some((day("2013-05-03"), Money { coins: 50_000 })), ..pump() };
    let books = Books { things: vec![gone], first_month: 1, ..Books::default() };
    let worn = 9375 + 12_500 + 4167;
    assert_eq!(held(&books, "2013-12-31", Account::Wear), worn);
    assert_eq!(held(&books, "2013-12-31", Account::GearLost), 115_000 - worn - 50_000);
    for account in [Account::Gear, Account::Worn] {
        assert_eq!(held(&books, "2013-12-31", account), 0, "{account:?}");
    }
    assert_eq!(held(&books, "2013-12-31", Account::Cash), -65_000);
}

#[test]
fn an_open_bill_is_a_debt_until_it_is_paid() {
    let feed = Cost {
        mark: "a".to_owned(),
        on: day("2011-06-02"),
        about: "feed".to_owned(),
        account: Account::Feed,
        money: Money { coins: 61_250 },
        pond: Some(0),
        paid_on: Some(day("2011-07-30")),
    };
    let hours = Cost { account: Account::OwnHours, money: Money { coins: 90_000 }, paid_on: None, ..feed.clone() };
    let books = Books { costs: vec![feed, hours], first_month: 1, ..Books::default() };
    assert_eq!(held(&books, "2011-06-30", Account::Debts), -61_250);
    assert_eq!(held(&books, "2011-06-30", Account::Cash), 0);
    assert_eq!(held(&books, "2011-07-31", Account::Debts), 0);
    assert_eq!(held(&books, "2011-07-31", Account::Cash), -61_250);
    assert_eq!(
        held(&books, "2011-07-31", Account::Own),
        -90_000,
        "own hours are put in by the owner, and cost no cash"
    );
}

#[test]
fn what_was_paid_down_is_no_cost_until_the_animals_come() {
    let order = Ordered {
        mark: "a".to_owned(),
        about: "the hatchery".to_owned(),
        money: Money { coins: 160_000 },
        down: Some((day("2011-01-20"), Money { coins: 40_000 })),
        comes: Some(day("2011-03-20")),
    };
    let books = Books { orders: vec![order.clone()], first_month: 1, ..Books::default() };
    assert_eq!(held(&books, "2011-02-28", Account::Advances), 40_000);
    assert_eq!(held(&books, "2011-02-28", Account::Postlarvae), 0);
    assert_eq!(held(&books, "2011-03-31", Account::Advances), 0);
    assert_eq!(held(&books, "2011-03-31", Account::Postlarvae), 160_000);
    assert_eq!(held(&books, "2011-03-31", Account::Cash), -160_000);
    let lost = Books { orders: vec![Ordered { comes: None, ..order }], ..books };
    assert_eq!(held(&lost, "2011-12-31", Account::Advances), 40_000, "it is still to be got back");
}

#[test]
fn a_buyers_deposit_goes_against_what_is_owed() {
    use TakingKind::{Deposit, DepositUsed, GivenBack, Got, Sale, SaleBack};
    let taking = |on: &str, kind, coins| Taking {
        mark: "a".to_owned(),
        on: day(on),
        about: String::new(),
        money: Money { coins },
        pond: Some(0),
        kind,
    };
    let takings = vec![
        taking("2011-08-01", Deposit, 2000),
        taking("2011-10-02", Sale, 10_000),
        taking("2011-10-02", DepositUsed, 2000),
        taking("2011-10-02", Got, 8000),
        taking("2011-10-05", SaleBack, 1000),
        taking("2011-10-05", GivenBack, 1000),
    ];
    let books = Books { takings, first_month: 1, ..Books::default() };
    for (until, account, coins) in [
        ("2011-09-30", Account::Deposits, -2000),
        ("2011-10-02", Account::Deposits, 0),
        ("2011-10-02", Account::Owed, 0),
        ("2011-10-02", Account::Cash, 10_000),
        ("2011-12-31", Account::Owed, 0),
        ("2011-12-31", Account::Sales, -9000),
        ("2011-12-31", Account::Cash, 9000),
    ] {
        assert_eq!(held(&books, until, account), coins, "{until} {account:?}");
    }
}

#[test]
fn the_books_year_begins_where_the_farm_rests() {
    assert_eq!(year_of(day("2011-06-02"), 1), (day("2011-01-01"), day("2011-12-31")));
    assert_eq!(year_of(day("2011-06-30"), 7), (day("2010-07-01"), day("2011-06-30")));
    assert_eq!(year_of(day("2011-07-01"), 7), (day("2011-07-01"), day("2012-06-30")));
}
