mod any;

use farm::facts::{FileSaid, lots, written_as_lines};
use farm::read_farm;

use super::*;

const FARM: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
const MONEY: &str = include_str!("../../../../samples/hazel-bend/books.txt");

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// The sample's invented books, asked for a year on its own morning.
fn asked<T>(of: &str, more: &str, then: impl FnOnce(&YearAsk) -> T) -> T {
    let farm = read_farm(FARM).expect("the sample is right");
    let text = format!("{MONEY}{more}");
    let facts = written_as_lines(&text, "hazel-bend", &farm.place.zone).expect("every line is an entry");
    let lots = lots(&[FileSaid { seq: 0, farm: &farm }], &facts, &farm.place.zone);
    let (today, of) = (day("2011-09-28"), day(of));
    then(&YearAsk { farm: &farm, facts: &facts, lots: &lots, today, of, share_by: ShareBy::Area })
}

fn book(of: &str, more: &str) -> Yearbook {
    asked(of, more, |ask| yearbook(ask).expect("a book"))
}

#[test]
fn the_samples_last_year_is_whole() {
    let book = book("2010-06-01", "");
    assert_eq!(book.year, (day("2010-01-01"), day("2010-12-31")));
    assert!(book.record.unread.is_empty() && book.market_unread == 0, "{:?}", book.record.unread);
    let whole = book.whole();
    assert_eq!(whole.stocked, 54_435.0);
    assert!((whole.caught_kg.expect("weighed") - 2076.0 * 0.453_592_37).abs() < 0.1, "{whole:?}");
    assert!((0.60..0.70).contains(&whole.survival.expect("counted")), "{whole:?}");
    assert!(book.made.whole.receipts().coins > 2_000_000, "{:?}", book.made.whole);
    let postlarvae = book.made.whole.of(Account::Postlarvae).coins;
    assert_eq!(postlarvae, 273_600, "72,000 at $38 a thousand, the deposit among it");
    let ponds: i64 = book.made.ponds.iter().map(|pond| pond.net().coins).sum();
    assert_eq!(ponds, book.made.whole.net().coins);
    assert!(book.holds[&Account::Owed].coins.abs() < 100, "{:?}", book.holds);
    // A sale's lot says which pond it came from.
    assert!(book.made.own.iter().all(|pond| pond.receipts().coins > 300_000));
}

#[test]
fn the_running_year_stands_as_far_as_it_has_come() {
    let book = book("2011-09-28", "");
    assert_eq!(book.made.whole.receipts().coins, 0);
    assert!(book.made.whole.operating().coins > 700_000);
    let meant = book.meant.as_ref().expect("a budget");
    assert_eq!(meant.made.whole.of(Account::Feed).coins, 230_000);
    assert!((meant.weight_kg[4] - 2180.0 * 0.453_592_37).abs() < 0.1, "{:?}", meant.weight_kg);
    assert_eq!(meant.cash.len(), 12);
    assert!(book.holds[&Account::Debts].coins < 0, "an open bill");
    let years = asked("2011-09-28", "", |ask| years(ask.farm, ask.facts, ask.lots, ask.today));
    assert_eq!(years.first(), Some(&(day("2011-01-01"), day("2011-12-31"))));
    assert!(years.contains(&(day("2010-01-01"), day("2010-12-31"))));
}

#[test]
fn one_pond_out_does_not_take_the_whole_budget() {
    // The sample's budget is of the whole farm; one pond is weighed, three are still to come.
    let book = book("2011-09-28", "2011-09-27 | basket | pond=willow; weight=300 lb; to=chill\n");
    let meant = &book.meant.as_ref().expect("a budget").made;
    let each: Vec<i64> = meant.ponds.iter().map(|pond| pond.receipts().coins).collect();
    let whole = meant.whole.receipts().coins;
    assert!(whole > 0 && each.iter().sum::<i64>() == whole, "{each:?} of {whole}");
    // By what was stocked: Willow has the fewest.
    assert!(each.iter().all(|&coins| coins > 0) && each.iter().all(|&coins| coins >= each[0]), "{each:?}");
    assert!(4 * each[0] < whole, "{each:?}");
}

#[test]
fn what_is_dated_ahead_says_nothing_yet_and_a_lost_order_keeps_its_deposit() {
    let before = book("2011-09-28", "");
    let more = "2011-10-02 | cost | cost_for=feed; cost=100\n2011-09-01 | order | hatchery=other; ordered=10000; comes=2011-09-20; said=lost; per_1000=30; deposit=100; deposit_by=2011-09-02\n";
    let after = book("2011-09-28", more);
    assert_eq!(after.made.whole.of(Account::Feed), before.made.whole.of(Account::Feed));
    assert_eq!(after.holds[&Account::Advances].coins, before.holds[&Account::Advances].coins + 10_000);
}

#[test]
fn own_use_is_a_receipt_at_value_and_no_cash() {
    let before = book("2010-06-01", "");
    let after = book("2010-06-01", "2010-09-25 | basket | pond=willow; weight=10 lb; to=own\n");
    let more = after.made.whole.receipts().coins - before.made.whole.receipts().coins;
    assert_eq!(more, 14_000, "ten pounds at the first price of whole prawns");
    assert_eq!(after.holds[&Account::Cash], before.holds[&Account::Cash]);
}

#[test]
fn tails_instead_of_whole_are_told_with_the_hands_that_head_them() {
    let told = asked("2010-06-01", "", |ask| {
        let book = yearbook(ask).expect("a book");
        tails(ask, book.whole()).expect("tails have a price")
    });
    assert!(told.is_had && told.heading_coins > 0.0);
    let even = told.whole_kg * told.tail_yield * told.even_price_kg - told.heading_coins - told.whole_coins;
    assert!(even.abs() < 1.0, "at the even price nothing is gained: {even}");
}
