use proptest::prelude::*;

use super::*;
use crate::journal::{Books, Cost, Taking, TakingKind, Thing, journal};

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn whole_year() -> (Day, Day) {
    (day("2011-01-01"), day("2011-12-31"))
}

fn cost(on: &str, account: Account, coins: i64, pond: Option<usize>) -> Cost {
    Cost {
        mark: String::new(),
        on: day(on),
        about: String::new(),
        account,
        money: Money { coins },
        pond,
        paid_on: Some(day(on)),
    }
}

#[test]
fn three_levels_of_cost_and_the_ponds_make_the_farm() {
    let costs = vec![
        cost("2011-06-02", Account::Feed, 50_000, Some(0)),
        cost("2011-06-02", Account::Power, 100, None),
        cost("2011-09-02", Account::OwnHours, 90_000, None),
        cost("2011-09-02", Account::Land, 5000, None),
        cost("2012-02-02", Account::Feed, 7, None),
    ];
    let books = Books { costs, first_month: 1, ..Books::default() };
    let posted = journal(&books, day("2012-12-31")).expect("entries");
    let sharing =
        Sharing { usual: vec![1.0, 1.0, 1.0], special: BTreeMap::from([(Account::Land, vec![0.0, 0.0, 1.0])]) };
    let tied_up = [Money { coins: 10 }, Money::default(), Money::default(), Money { coins: 2 }];
    let made = statement(&posted, whole_year(), &sharing, &tied_up);
    assert_eq!(made.whole.operating().coins, 50_100);
    assert_eq!(made.whole.variable().coins, 140_100);
    assert_eq!(made.whole.total().coins, 145_112);
    assert_eq!(made.ponds[0].operating().coins, 50_034, "the odd coin goes to the first");
    assert_eq!(made.ponds[2].total().coins, 33 + 30_000 + 5000);
    assert_eq!(made.own[0].total().coins, 50_010);
}

#[test]
fn the_deepest_point_is_found_within_the_month() {
    let costs = vec![
        cost("2011-03-20", Account::Postlarvae, 160_000, None),
        cost("2011-07-10", Account::Feed, 40_000, None),
        cost("2011-10-02", Account::Ice, 10_000, None),
    ];
    let got = Taking {
        mark: String::new(),
        on: day("2011-10-02"),
        about: String::new(),
        money: Money { coins: 300_000 },
        pond: None,
        kind: TakingKind::Got,
    };
    let books = Books { costs, takings: vec![got], first_month: 1, ..Books::default() };
    let posted = journal(&books, day("2011-12-31")).expect("entries");
    let months = cash_by_month(&posted, whole_year());
    assert_eq!(months.len(), 12);
    assert_eq!(months[11].stands.coins, 90_000);
    assert_eq!(months[9].gave.coins, 10_000);
    assert_eq!(deepest(&months), Some((day("2011-10-02"), Money { coins: -210_000 })));
}

#[test]
fn break_evens_of_nothing_are_none() {
    let sold = Sold { weight_kg: 10.0, coins: 2000.0, stocked: 1000.0, mean_kg: 0.03, ..Sold::default() };
    let free = break_even(Money::default(), &sold);
    assert!(free.price_kg.is_none() && free.yield_kg.is_none() && free.survival.is_none(), "no cost entered: {free:?}");
    let none = break_even(Money { coins: 100 }, &Sold::default());
    assert_eq!((none.price_kg, none.yield_kg, none.survival), (None, None, None));
    assert_eq!(payback_years(Money { coins: 950_000 }, Money { coins: -95_000 }, Money { coins: 95_000 }), None);
    assert_eq!(payback_years(Money { coins: 950_000 }, Money { coins: 95_000 }, Money { coins: 95_000 }), Some(5.0));
}

fn books() -> impl Strategy<Value = Books> {
    let cost =
        (0_i32..400, 8_usize..28, -5_000_000_i64..5_000_000, prop::option::of(0_usize..3), prop::option::of(0_i32..60));
    let cost = cost.prop_map(|(on, account, coins, pond, later)| Cost {
        mark: String::new(),
        on: day("2010-12-01").plus(on),
        about: String::new(),
        account: Account::ALL[account],
        money: Money { coins },
        pond,
        paid_on: later.map(|days| day("2010-12-01").plus(on + days)),
    });
    let thing = (
        0_i32..400,
        0_i64..9_000_000,
        0_i64..9_000_000,
        1_u32..200,
        prop::option::of(0_usize..3),
        prop::option::of(0_i32..900),
    );
    let thing = thing.prop_map(|(on, cost, salvage, life, pond, gone)| Thing {
        mark: String::new(),
        on: day("2009-01-01").plus(on),
        about: String::new(),
        cost: Money { coins: cost.max(salvage) },
        salvage: Money { coins: salvage.min(cost) },
        life_months: Some(f64::from(life)),
        interest_fraction: 0.07,
        pond,
        paid_on: None,
        gone: gone.map(|days| (day("2009-01-01").plus(on + days), Money { coins: cost / 3 })),
    });
    use TakingKind::{Deposit, DepositBack, DepositUsed, GivenBack, Got, OwnUse, Sale, SaleBack};
    let kinds = [Sale, OwnUse, Got, Deposit, DepositUsed, GivenBack, DepositBack, SaleBack];
    let taking = (0_i32..400, 0_i64..9_000_000, prop::option::of(0_usize..3), 0_usize..8);
    let taking = taking.prop_map(move |(on, coins, pond, kind)| Taking {
        mark: String::new(),
        on: day("2010-12-01").plus(on),
        about: String::new(),
        money: Money { coins },
        pond,
        kind: kinds[kind],
    });
    let lists =
        (prop::collection::vec(cost, 0..30), prop::collection::vec(thing, 0..5), prop::collection::vec(taking, 0..30));
    (lists, 1_i8..=12).prop_map(|((costs, things, takings), first_month)| Books {
        costs,
        things,
        takings,
        first_month,
        ..Books::default()
    })
}

proptest! {
    /// The whole farm is its ponds, each with its share, account by account; what is common and what is their own make it too; the
    /// journal adds up to nothing; and cash is what the months say.
    #[test]
    fn no_coin_is_lost(books in books(), weights in prop::collection::vec(0.0..5.0_f64, 3)) {
        let posted = journal(&books, day("2012-06-30")).expect("entries");
        let sum: i64 = posted.iter().flat_map(|posted| posted.entry.lines()).map(|line| line.money.coins).sum();
        prop_assert_eq!(sum, 0);
        let sharing = Sharing { usual: weights, special: BTreeMap::new() };
        let tied = [3, 5, 0, 7].map(|coins| Money { coins });
        let made = statement(&posted, whole_year(), &sharing, &tied);
        for account in Account::ALL {
            let ponds: i64 = made.ponds.iter().map(|pond| pond.of(account).coins).sum();
            let own: i64 = made.own.iter().map(|pond| pond.of(account).coins).sum();
            prop_assert_eq!(ponds, made.whole.of(account).coins);
            prop_assert_eq!(own + made.common.of(account).coins, made.whole.of(account).coins);
        }
        let net: i64 = made.ponds.iter().map(|pond| pond.net().coins).sum();
        prop_assert_eq!(net, made.whole.net().coins);
        let months = cash_by_month(&posted, whole_year());
        let flow: i64 = months.iter().map(|month| month.got.coins - month.gave.coins).sum();
        let cash: i64 = posted.iter().filter(|posted| (whole_year().0..=whole_year().1).contains(&posted.entry.day()))
            .flat_map(|posted| posted.entry.lines()).filter(|line| line.account == Account::Cash).map(|line| line.money.coins).sum();
        prop_assert_eq!(flow, cash);
        prop_assert!(deepest(&months).expect("months").1.coins <= cash.min(0));
    }
}
