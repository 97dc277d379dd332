use farm::facts::market::{Good, Rank, Reply, SoldAs};
use season::answer::Band;
use season::promised::{Buyer, Coming, Fetched, Share};
use units::{Currency, Day, Money};

use super::*;

const POUND: f64 = 0.453_592_37;

fn friday() -> Day {
    Day::parse("2011-09-30").expect("a day")
}

fn buyer(rank: Rank, sold_as: SoldAs, amount: f64) -> Buyer {
    Buyer {
        id: "one".to_owned(),
        name: "Marlow".to_owned(),
        contact: None,
        rank,
        good: Good { sold_as, size: String::new() },
        size_g: (0.0, f64::INFINITY),
        amount,
        pays: None,
        agreed: None,
        by_size: false,
        window: (None, None),
        weekdays: [true; 7],
        answers: Vec::new(),
        told: None,
        had: Vec::new(),
        head: None,
        is_standing: false,
        order: None,
    }
}

fn share(wanted: f64, low: f64, middle: f64, full_chance: f64) -> Share {
    Share { buyer: 0, catch: 0, wanted, gets: Band { low, middle, high: wanted }, full_chance }
}

fn said(buyer: &Buyer, share: &Share, moved_from: Option<Day>) -> String {
    let one = Coming { buyer: 0, on: friday(), slot_h: 10.0, is_told: false, moved_from };
    let day = Fetched {
        on: friday(),
        is_locked: true,
        is_weighed: false,
        latest: friday(),
        ponds: Vec::new(),
        buyers: vec![one],
    };
    message("Hazel Bend", buyer, (&day, &one), Some(share), Manner::UsCustomary)
}

#[test]
fn a_message_says_what_they_get_and_not_what_they_asked_for() {
    let kg = |pounds: f64| pounds * POUND;
    let whole = said(&buyer(Rank::Ordered, SoldAs::Whole, kg(60.0)), &share(kg(60.0), kg(60.0), kg(60.0), 0.97), None);
    assert!(whole.contains("Your 60.00 lb of whole prawns are ready on Fri 30 Sep at 10 a.m. Please bring"), "{whole}");
    let less = said(&buyer(Rank::Standing, SoldAs::Whole, kg(90.0)), &share(kg(90.0), kg(38.9), kg(80.0), 0.3), None);
    assert!(
        less.contains("Of the 90.00 lb of whole prawns you asked for we can promise 38 lb of whole prawns"),
        "{less}"
    );
    assert!(less.contains("Likely it will be 80 lb") && !less.contains("ready"), "{less}");
    let none = said(&buyer(Rank::WalkUp, SoldAs::Whole, kg(60.0)), &share(kg(60.0), 0.0, 0.0, 0.0), None);
    assert!(none.contains("We cannot promise you any of the 60.00 lb") && none.contains("wait for our word"), "{none}");
    assert!(!none.contains("ready") && !none.contains("cooler"), "{none}");
    let waits = said(&buyer(Rank::Waiting, SoldAs::Whole, kg(300.0)), &share(kg(300.0), kg(25.0), kg(60.0), 0.0), None);
    assert!(waits.contains("on our waiting list for 300.00 lb"), "{waits}");
    assert!(waits.contains("From what is left we can promise 25 lb of whole prawns on Fri 30 Sep"), "{waits}");
    let moved = said(
        &buyer(Rank::Ordered, SoldAs::Tails, kg(25.0)),
        &share(kg(25.0), kg(25.0), kg(25.0), 1.0),
        Some(friday().plus(-1)),
    );
    assert!(
        moved.contains("The harvest has moved from Thu 29 Sep to Fri 30 Sep. Your 25.00 lb of prawn tails are"),
        "{moved}"
    );
}

#[test]
fn goods_prices_and_hours_are_said_as_one_says_them() {
    let piece = buyer(Rank::Ordered, SoldAs::Piece, 37.0);
    assert_eq!(wants(&piece, Manner::UsCustomary), "37 prawns");
    assert_eq!(wants(&Buyer { amount: 1.0, ..piece }, Manner::UsCustomary), "1 prawn");
    let dollars = Currency::parse("USD").expect("one");
    let told =
        |text| price_told(farm::facts::market::price(text, &dollars).expect("a price"), Manner::UsCustomary, dollars);
    assert_eq!(
        (told("$26/kg"), told("$12/lb"), told("$12.255/lb")),
        ("$26.00/kg".into(), "$12.00/lb".into(), "$12.255/lb".into())
    );
    let of = Buyer { told: Some((friday(), Some(10.0), Reply::No)), ..buyer(Rank::Ordered, SoldAs::Whole, 1.0) };
    assert_eq!(super::told(&of, Manner::UsCustomary), "told of Fri 30 Sep at 10 a.m.: cannot take that day");
    // What somebody gets in full is told to the last digit; nobody is told more than is sure.
    let half = buyer(Rank::Ordered, SoldAs::Whole, 12.5 * POUND);
    let full = share(half.amount, half.amount, half.amount, 1.0);
    assert_eq!(order_row(&full, std::slice::from_ref(&half), Manner::UsCustomary, dollars)[1..4], ["12.50 lb"; 3]);
    assert_eq!(sure_of(SoldAs::Whole, 12.9 * POUND, Manner::UsCustomary), "12 lb");
}

#[test]
fn a_deposit_that_does_not_fit_is_told() {
    let dollars = Currency::parse("USD").expect("one");
    let said = |asked: Option<i64>, paid| deposit(asked.map(|coins| Money { coins }), Money { coins: paid }, dollars);
    assert_eq!(said(None, 0), None);
    assert_eq!(said(Some(5000), 5000).as_deref(), Some("Deposit of $50.00 paid."));
    assert!(said(Some(5000), 6000).is_some_and(|said| said.contains("$60.00 paid: $10.00 more than asked")));
    assert!(said(None, -500).is_some_and(|said| said.starts_with("$5.00 more was given back than was ever paid down")));
}

#[test]
fn a_sentence_has_one_space_before_a_day_of_one_digit() {
    let first = Day::parse("2011-10-01").expect("a day");
    let fetched = |is_weighed| Fetched {
        on: first,
        is_locked: true,
        is_weighed,
        latest: first,
        ponds: Vec::new(),
        buyers: Vec::new(),
    };
    assert_eq!(window(&fetched(false)), "Sat 1 Oct: the day is accepted.");
    assert_eq!(window(&fetched(true)), "Caught Sat 1 Oct, weighed and in store.");
    assert_eq!(subject("Hazel Bend", &fetched(false)), "Hazel Bend: harvest Sat 1 Oct");
}

#[test]
fn the_list_says_what_was_asked_to_be_paid_down_and_is_not_there() {
    let dollars = Currency::parse("USD").expect("a currency");
    let said =
        |asked: Option<i64>, paid: i64| paid_down(asked.map(|coins| Money { coins }), Money { coins: paid }, dollars);
    assert_eq!(said(Some(5000), 0), "nothing of $50.00 asked");
    assert_eq!(said(Some(5000), 2000), "$20.00 of $50.00 asked");
    assert_eq!(said(Some(5000), 5000), "$50.00");
    assert_eq!(said(None, 2000), "$20.00");
    assert_eq!((said(None, 0), said(None, -100)), (String::new(), String::new()));
}
