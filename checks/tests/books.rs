//! The books against published budgets and against one that was constructed.

use books::journal::{Books, Cost, Taking, TakingKind, Thing, interest_tied_up, journal, worn_after};
use books::ledger::Account;
use books::statement::{Made, Sharing, Sold, break_even, payback_years, statement};
use checks::{Row, read};
use units::{Day, Money};

const KG_PER_LB: f64 = 0.453_592_37;

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn year() -> (Day, Day) {
    (day("2011-01-01"), day("2011-12-31"))
}

fn coins(dollars: f64) -> Money {
    Money::from_computed(100.0 * dollars)
}

fn dollars(money: Money) -> f64 {
    money.coins as f64 / 100.0
}

fn thing(cost: f64, salvage: f64, years: Option<f64>, rate: f64) -> Thing {
    Thing {
        mark: String::new(),
        on: year().0,
        about: String::new(),
        cost: coins(cost),
        salvage: coins(salvage),
        life_months: years.map(|years| 12.0 * years),
        interest_fraction: rate,
        pond: Some(0),
        paid_on: Some(year().0),
        gone: None,
    }
}

/// What is sold at a survival: pounds whole, pounds of tails, pounds as whole.
fn sold_lb(survival: f64) -> (f64, f64, f64) {
    let lb = 16_000.0 * survival * 0.035 / KG_PER_LB;
    (0.6 * lb, 0.4 * lb * 0.47, lb)
}

/// The constructed budget of one acre, through the journal: costs, things, sales.
fn made(survival: f64) -> Made {
    let costs = [
        (Account::Postlarvae, 16_000.0 * 0.10),
        (Account::Feed, 2000.0 * 0.25),
        (Account::Fertilizer, 60.0),
        (Account::Power, 350.0),
        (Account::Ice, 900.0 * 0.12),
        (Account::Packing, 120.0),
        (Account::Hands, 40.0 * 15.0),
        (Account::Licences, 250.0),
        (Account::OwnHours, 60.0 * 15.0),
        (Account::Insurance, 150.0),
    ];
    let cost = |(account, money): (Account, f64)| Cost {
        mark: String::new(),
        on: day("2011-06-01"),
        about: String::new(),
        account,
        money: coins(money),
        pond: Some(0),
        paid_on: Some(day("2011-06-01")),
    };
    let (whole, tails, _) = sold_lb(survival);
    let sale = |money: f64| Taking {
        mark: String::new(),
        on: day("2011-10-01"),
        about: String::new(),
        money: coins(money),
        pond: Some(0),
        kind: TakingKind::Sale,
    };
    let things = vec![
        thing(6500.0, 3000.0, Some(10.0), 0.08),
        thing(3000.0, 0.0, Some(5.0), 0.08),
        thing(1000.0, 1000.0, None, 0.05),
    ];
    let tied: i64 = things.iter().map(|thing| interest_tied_up(thing, year().0, year().1).coins).sum();
    let books = Books {
        costs: costs.map(cost).into(),
        things,
        takings: vec![sale(10.0 * whole), sale(18.0 * tails)],
        first_month: 1,
        ..Books::default()
    };
    let posted = journal(&books, year().1).expect("entries");
    let sharing = Sharing { usual: vec![1.0], special: Default::default() };
    let told = statement(&posted, year(), &sharing, &[Money { coins: tied }]);
    assert_eq!(told.ponds[0], told.whole, "one pond is the farm");
    told.whole
}

fn ours(row: Row) -> f64 {
    let [a, b, c] = ["a", "b", "c"].map(|column| if row.text(column).is_empty() { 0.0 } else { row.number(column) });
    let sold = |lb: f64, price: f64| Sold { weight_kg: lb * KG_PER_LB, coins: 100.0 * price * lb, ..Sold::default() };
    let per_lb = |coins_kg: Option<f64>| coins_kg.expect("something is sold") * KG_PER_LB / 100.0;
    match row.text("quantity") {
        "variable_cost" => {
            let accounts = [(Account::Feed, coins(a - b)), (Account::Wear, coins(b))].into();
            let made = Made { accounts, tied_up: Money::default() };
            assert_eq!(made.total(), coins(a));
            dollars(made.variable())
        }
        "pays_from_lb" => per_lb(break_even(coins(a), &sold(b, 8.0)).price_kg),
        "pays_yield_lb" => break_even(coins(a), &sold(500.0, b)).yield_kg.expect("a price") / KG_PER_LB,
        "wear" => dollars(worn_after(&thing(a, b, Some(c), 0.0), 12)),
        "interest" => dollars(interest_tied_up(&thing(a, b, None, c), year().0, year().1)),
        "payback" => payback_years(coins(a), coins(b), coins(c)).expect("it comes back"),
        "budget_operating" => dollars(made(0.6).operating()),
        "budget_variable" => dollars(made(0.6).variable()),
        "budget_total" => dollars(made(0.6).total()),
        "budget_receipts" => dollars(made(0.6).receipts()),
        "budget_net" => dollars(made(0.6).net()),
        "budget_cash_net" => dollars(made(0.6).over_operating()),
        "budget_pays_from_lb" => per_lb(break_even(made(0.6).total(), &sold(sold_lb(0.6).2, 1.0)).price_kg),
        "budget_net_at_survival" => dollars(made(a).net()),
        other => panic!("{other} is not known here"),
    }
}

#[test]
fn books_meet_published_and_constructed_budgets() {
    let table = read("books.csv");
    let mut count = 0;
    for row in table.rows() {
        let (ours, expected) = (ours(row), row.number("expected"));
        let within = row.number("tolerance");
        assert!(
            (ours - expected).abs() <= within + 1e-9,
            "{} {}: {ours}, not {expected}",
            row.text("quantity"),
            row.text("source")
        );
        count += 1;
    }
    assert_eq!(count, 28);
}

/// What lives is the share that pays: sold at that survival, receipts meet the cost.
#[test]
fn at_the_survival_that_pays_nothing_is_left_and_nothing_is_short() {
    let (_, _, lb) = sold_lb(0.6);
    let made = made(0.6);
    let had = Sold {
        weight_kg: lb * KG_PER_LB,
        caught_kg: None,
        coins: made.receipts().coins as f64,
        stocked: 16_000.0,
        mean_kg: 0.035,
    };
    let survival = break_even(made.total(), &had).survival.expect("it is sold");
    // A tenth that was caught and never sold must live as well.
    let some = Sold { caught_kg: Some(lb * KG_PER_LB / 0.9), ..had };
    assert!((break_even(made.total(), &some).survival.expect("it is sold") * 0.9 - survival).abs() < 1e-12);
    assert!((dollars(self::made(survival).net())).abs() < 0.02, "{survival}");
}
