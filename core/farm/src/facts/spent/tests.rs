use std::collections::BTreeMap;

use units::Instant;

use super::super::Happened;
use super::*;

fn dollars() -> Currency {
    Currency::parse("USD").expect("a currency")
}

/// Facts as the forms read them: kind, day of June 2011, what it corrects (by place in the list), fields as typed.
fn facts(rows: &[(&str, i64, Option<usize>, &str)]) -> Vec<Kept> {
    let id = |n: usize| format!("{n:032x}");
    let one = |(n, (kind, day, corrects, typed)): (usize, &(&str, i64, Option<usize>, &str))| {
        let pairs = typed.split(';').filter_map(|pair| pair.split_once('='));
        let typed: BTreeMap<String, String> =
            pairs.map(|(key, text)| (key.trim().into(), text.trim().into())).collect();
        let mut fact = Fact {
            id: id(n),
            farm: "bend".to_owned(),
            device: "phone".to_owned(),
            person: "ann".to_owned(),
            kind: (*kind).to_owned(),
            form: 1,
            happened: Happened { at: Instant(1_306_929_600 + day * 86_400), offset_s: 0 },
            typed_ms: n as i64,
            corrects: corrects.map(id),
            typed,
            values: BTreeMap::new(),
        };
        fact.read();
        Kept { seq: n as i64 + 1, received_ms: 0, clock_off_ms: 0, fact }
    };
    rows.iter().enumerate().map(one).collect()
}

fn read(rows: &[(&str, i64, Option<usize>, &str)]) -> MoneyRecord {
    money_record(&facts(rows), dollars(), &Zone::utc())
}

#[test]
fn an_amount_is_whole_coins_of_the_farms_own_currency_or_nothing() {
    let yen = Currency::parse("JPY").expect("a currency");
    let dinar = Currency::parse("KWD").expect("a currency");
    for (typed, currency, coins_) in [
        ("1,600", dollars(), Ok(160_000)),
        ("$120.50", dollars(), Ok(12_050)),
        ("0.07", dollars(), Ok(7)),
        ("1250", yen, Ok(1250)),
        ("¥1250", yen, Ok(1250)),
        ("12.345", dinar, Ok(12_345)),
        ("12.345", dollars(), Err(UnreadWhy::FinerThanCoin)),
        ("0.5", yen, Err(UnreadWhy::FinerThanCoin)),
        ("€12", dollars(), Err(UnreadWhy::Currency)),
        ("$12", dinar, Err(UnreadWhy::Currency)),
        ("a lot", dollars(), Err(UnreadWhy::Figure)),
        ("999,999,999,999.99", dollars(), Ok(99_999_999_999_999)),
    ] {
        assert_eq!(coins(typed, currency).map(|money| money.coins), coins_, "{typed} {}", currency.code());
    }
}

#[test]
fn an_open_bill_is_paid_by_mending_it_and_a_struck_cost_is_gone() {
    let record = read(&[
        ("cost", 0, None, "cost_for=feed;cost=600;pond=willow;paid_or_owed=owed"),
        ("cost", 1, None, "cost_for=ice;cost=50"),
        ("cost", 2, None, "cost_for=fuel;cost=80;paid_or_owed=back"),
        ("cost", 0, Some(0), "cost_for=feed;cost=612.50;pond=willow;paid_or_owed=owed;paid_on=2011-07-30"),
        ("cost", 1, Some(1), "struck=yes"),
    ]);
    assert!(record.unread.is_empty(), "{:?}", record.unread);
    let said: Vec<(&str, i64, Option<Day>)> =
        record.spent.iter().map(|one| (one.cost_for, one.money.coins, one.paid.paid_on)).collect();
    assert_eq!(said, [("feed", 61_250, Day::parse("2011-07-30")), ("fuel", -8000, Day::parse("2011-06-03"))]);
}

#[test]
fn what_cannot_be_counted_is_told_and_counts_for_nothing() {
    let record = read(&[
        ("cost", 0, None, "cost_for=feed;cost=600"),
        ("cost", 0, Some(0), "cost_for=feed;cost=700"),
        ("cost", 0, Some(0), "cost_for=feed;cost=800"),
        ("cost", 1, None, "cost_for=feeed;cost=5"),
        ("cost", 1, None, "cost_for=feed;cost=€5"),
        ("cost", 1, None, "cost_for=feed;cost=0.005"),
        ("gear_bought", 1, None, "thing=pump;cost=100;salvage=200;life=5"),
        ("gear_bought", 1, None, "thing=land;cost=1000;tied_up=5 %"),
    ]);
    let why: Vec<UnreadWhy> = record.unread.iter().map(|unread| unread.why).collect();
    use UnreadWhy::{Currency, EndsDearer, Figure, FinerThanCoin, Fork};
    assert_eq!(why, [Fork, Figure, Currency, FinerThanCoin, EndsDearer]);
    assert!(record.spent.is_empty());
    assert_eq!(record.gear[0].salvage, record.gear[0].cost, "what does not wear keeps its worth");
}

#[test]
fn of_a_budget_line_written_twice_the_last_holds() {
    let record = read(&[
        ("budget", 0, None, "account=feed;meant=500"),
        ("budget", 1, None, "account=feed;meant=450"),
        ("budget", 1, None, "account=feed;meant=200;pond=willow"),
        ("budget", 2, None, "account=feed;meant=90;in_month=2011-07-01"),
        ("budget", 3, None, "account=feed;meant=95;in_month=2011-07-20"),
        ("budget", 3, None, "account=sales;meant=9000;meant_weight=900 lb"),
    ]);
    let lines: Vec<_> = record.budget.iter().map(|line| (line.pond.as_deref(), line.month, line.money.coins)).collect();
    assert_eq!(
        lines,
        [(None, None, 45_000), (Some("willow"), None, 20_000), (None, Some((2011, 7)), 9500), (None, None, 900_000),]
    );
    assert!((record.budget[3].weight_kg.expect("a weight") - 408.233).abs() < 1e-3);
}
