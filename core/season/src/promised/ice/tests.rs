use farm::facts::market::{Market as Written, Rank, Reply, SoldAs, market};
use farm::facts::{Basket, DayRecord, Moved, Place, Written as By, written_as_lines};

use super::super::running::{apart, held_to};
use super::super::tests::{farm, friday, wants};
use super::super::{Future, hold, stocks};
use super::*;

fn stock(on: Day, whole_kg: f64) -> Stock {
    let left = Supply { whole_kg, ..Supply::default() };
    Stock { on, left, of: vec![(Some("quarry".to_owned()), whole_kg)], entered_kg: 0.0 }
}

fn ordered(name: &str, amount: f64) -> Buyer {
    wants(name, Rank::Ordered, SoldAs::Whole, amount)
}

/// What each buyer gets from ice, and what is still to be filled by a coming catch.
fn shared_out(buyers: &[Buyer], lots: &[Stock], planned: &[Day], today: Day) -> (Vec<f64>, Vec<f64>) {
    let plenty: Vec<(Day, f64)> = planned.iter().map(|on| (*on, f64::INFINITY)).collect();
    let ice = on_ice(&farm(), buyers, lots, &plenty, None, today);
    let gets = |at: usize| ice.lots.iter().map(|lot| lot.caught.gives[at].1).sum::<f64>();
    let round = |kg: f64| (kg * 1e6).round() / 1e6;
    let gets = (0..buyers.len()).map(|at| round(gets(at))).collect();
    (gets, ice.rest.iter().map(|one| round(one.amount)).collect())
}

#[test]
fn an_order_that_lies_on_ice_asks_nothing_of_the_coming_catch() {
    let (tuesday, wednesday) = (friday().plus(-3), friday().plus(-2));
    let orders = [ordered("Ann", 10.0), ordered("Bea", 30.0)];
    // Ten and thirty of forty-five: both, and nothing is left to ask of Friday.
    assert_eq!(
        shared_out(&orders, &[stock(tuesday, 45.0)], &[friday()], wednesday),
        (vec![10.0, 30.0], vec![0.0, 0.0])
    );
    // Twenty: whoever is filled whole; the other waits for Friday whole, and is not cut in two.
    assert_eq!(
        shared_out(&orders, &[stock(tuesday, 20.0)], &[friday()], wednesday),
        (vec![10.0, 0.0], vec![0.0, 30.0])
    );
    // The waiting list was promised nothing: it takes what is left now, and the rest of it waits on.
    let waits = [ordered("Ann", 10.0), wants("Wanda", Rank::Waiting, SoldAs::Whole, 30.0)];
    assert_eq!(
        shared_out(&waits, &[stock(tuesday, 25.0)], &[friday()], wednesday),
        (vec![10.0, 15.0], vec![0.0, 15.0])
    );
    // What was put on ice dead is offered to nobody alive.
    let live =
        on_ice(&farm(), &[wants("Leo", Rank::Standing, SoldAs::Live, 5.0)], &[stock(tuesday, 9.0)], &[], None, tuesday);
    assert!(live.lots[0].shares.is_empty(), "{:?}", live.lots[0].shares);
    // Nothing else comes: who is not filled gets what there is.
    assert_eq!(shared_out(&orders[1..], &[stock(tuesday, 20.0)], &[], wednesday), (vec![20.0], vec![10.0]));
}

#[test]
fn an_order_that_no_coming_catch_can_fill_gets_what_there_is() {
    let (tuesday, wednesday) = (friday().plus(-3), friday().plus(-2));
    let orders = [ordered("Lu", 500.0)];
    let gets = |likely_kg: f64| {
        let ice = on_ice(&farm(), &orders, &[stock(tuesday, 20.0)], &[(friday(), likely_kg)], None, wednesday);
        let kg: f64 = ice.lots.iter().map(|lot| lot.caught.gives[0].1).sum();
        (kg.round(), ice.rest[0].amount.round())
    };
    // Friday likely brings three hundred: twenty today, and the rest is asked of Friday. Six hundred: it waits for Friday whole.
    assert_eq!(gets(300.0), (20.0, 480.0));
    assert_eq!(gets(600.0), (0.0, 500.0));
}

#[test]
fn what_does_not_keep_until_they_come_serves_nobody() {
    let (today, next) = (friday(), friday().plus(7));
    let orders = [ordered("Ann", 10.0)];
    let served = |days: i32| shared_out(&orders, &[stock(today.plus(-days), 45.0)], &[next], today).0[0];
    assert_eq!([served(0), served(3), served(4)], [10.0, 10.0, 0.0], "whole keeps three days");
    let ice = on_ice(&farm(), &orders, &[stock(today.plus(-4), 45.0)], &[(next, 300.0)], None, today);
    assert!((ice.lots[0].over_kg - 45.0).abs() < 1e-9 && ice.lots[0].caught.left.is_empty(), "and is not offered");
    // Tails keep six; what is whole and four days old is not headed for them any more.
    let tails = [wants("Tess", Rank::Ordered, SoldAs::Tails, 5.0)];
    let mut lot = stock(today.plus(-4), 45.0);
    assert_eq!(shared_out(&tails, &[lot.clone()], &[next], today).0, [0.0]);
    lot.left.tails_kg = 8.0;
    assert_eq!(shared_out(&tails, &[lot], &[next], today).0, [5.0]);
    // Who takes it from Monday on, when it is three days old; not from Tuesday.
    let from = |days: i32| [Buyer { window: (Some(today.plus(days)), None), ..ordered("Ann", 10.0) }];
    assert_eq!(shared_out(&from(3), &[stock(today, 45.0)], &[next], today).0, [10.0]);
    assert_eq!(shared_out(&from(4), &[stock(today, 45.0)], &[next], today).0, [0.0]);
}

#[test]
fn the_oldest_that_keeps_goes_first_and_who_was_told_of_a_coming_day_waits_for_it() {
    let today = friday();
    let lots = [stock(today.plus(-2), 8.0), stock(today.plus(-1), 30.0)];
    let ice =
        on_ice(&farm(), &[ordered("Ann", 8.0), ordered("Bea", 20.0)], &lots, &[(today.plus(7), 300.0)], None, today);
    let gives: Vec<Vec<f64>> =
        ice.lots.iter().map(|lot| lot.caught.gives.iter().map(|(_, gets)| gets.round()).collect()).collect();
    assert_eq!(gives, [[8.0, 0.0], [0.0, 20.0]]);
    let told = |day: Day| Buyer { answers: vec![(day, Some(10.0), Reply::Yes)], ..ordered("Ann", 8.0) };
    let coming = [today.plus(2)];
    assert_eq!(shared_out(&[told(coming[0])], &lots, &coming, today), (vec![0.0], vec![8.0]));
    // Told of tomorrow, when nothing else is caught: fetched tomorrow from ice.
    let ice = on_ice(&farm(), &[told(today.plus(1))], &lots, &coming.map(|on| (on, 300.0)), None, today);
    assert_eq!(ice.rest[0].amount, 0.0);
    let comes = ice.lots[0].comes.buyers[0];
    assert!(comes.on == today.plus(1) && comes.is_told, "{comes:?}");
}

#[test]
fn a_standing_buyer_asks_of_each_catch_less_what_they_had_of_it() {
    let today = friday();
    let standing = |had: Vec<(Day, f64)>, answers: Vec<(Day, Option<f64>, Reply)>| {
        [Buyer { is_standing: true, rank: Rank::Standing, had, answers, ..ordered("Ridge", 10.0) }]
    };
    let lots = [stock(today.plus(-1), 50.0)];
    let of = |buyers: [Buyer; 1]| shared_out(&buyers, &lots, &[today.plus(7)], today);
    assert_eq!(of(standing(vec![], vec![])), (vec![10.0], vec![10.0]), "and next week's again");
    assert_eq!(of(standing(vec![(today, 4.0)], vec![])).0, [6.0]);
    assert_eq!(of(standing(vec![(today.plus(-7), 10.0)], vec![])).0, [10.0], "last week's is no part of it");
    assert_eq!(of(standing(vec![], vec![(today.plus(-1), None, Reply::Came)])).0, [0.0]);
}

/// A day's baskets of one pond: kg to each place; and moves of it.
fn day(on: Day, baskets: &[(f64, Place)], moves: &[(Place, Place, f64, bool)]) -> (Day, DayRecord) {
    let at = farm().place.zone.instant(on, 9 * 3600);
    let (id, head, person) = (String::new(), String::new(), String::new());
    let by = By { id, head, at, typed_ms: 0, person, pond: Some("quarry".to_owned()), tub: None };
    let basket = |&(net_kg, to): &(f64, Place)| Basket { written: by.clone(), net_kg, to, count: None, by_hand: false };
    let moved = |&(from, to, weight_kg, is_tails): &(Place, Place, f64, bool)| Moved {
        written: by.clone(),
        from,
        to,
        weight_kg,
        is_tails,
        out_tub: None,
        out_empty: false,
        into_tub: None,
    };
    let (baskets, moved) = (baskets.iter().map(basket).collect(), moves.iter().map(moved).collect());
    (on, DayRecord { baskets, moved, ..DayRecord::default() })
}

#[test]
fn what_is_left_of_each_day_is_what_was_weighed_less_moved_less_sold() {
    let zone = farm().place.zone;
    let (tuesday, wednesday, thursday) = (friday().plus(-3), friday().plus(-2), friday().plus(-1));
    let days = [
        day(tuesday, &[(20.0, Place::Chill)], &[]),
        // Headed the day after: of Tuesday's catch.
        day(wednesday, &[], &[(Place::Chill, Place::Table, 10.0, false), (Place::Table, Place::Chill, 4.0, true)]),
        day(thursday, &[(30.0, Place::Chill), (7.0, Place::Dead)], &[]),
    ];
    let sales = |text: &str| -> Written {
        let entries = written_as_lines(text, "bend", &zone).expect("lines");
        market(&entries, &farm().currency)
    };
    let left = |market: &Written| -> Vec<(f64, f64)> {
        let all = stocks(&days, &[], market, &zone);
        all.iter().map(|one| ((one.left.whole_kg * 100.0).round() / 100.0, one.left.tails_kg)).collect()
    };
    assert_eq!(left(&Written::default()), [(10.0, 4.0), (30.0, 0.0)]);
    // Fifteen of no lot: the ten of Tuesday, and five of Thursday.
    let line = |day: Day, net: &str, lot: &str| {
        format!("{day} | sale | table=A; sold_as=whole; amount={net} kg; price=$20/kg{lot}\n")
    };
    assert_eq!(left(&sales(&line(friday(), "15", ""))), [(0.0, 4.0), (25.0, 0.0)]);
    let lot = format!("; lot=QUARRY-{}", thursday.to_string()[2..].replace('-', ""));
    assert_eq!(left(&sales(&line(friday(), "15", &lot))), [(10.0, 4.0), (15.0, 0.0)], "of the lot it names");
    assert_eq!(left(&sales(&line(tuesday, "2", ""))), [(8.0, 4.0), (30.0, 0.0)]);
    // More sold than weighed leaves nothing, and nothing below nothing.
    assert_eq!(left(&sales(&line(friday(), "90", ""))), [(0.0, 4.0), (0.0, 0.0)]);
}

#[test]
fn what_is_weighed_of_todays_catch_is_part_of_it_and_not_on_top() {
    let farm = farm();
    let (at, pond) = farm.ponds.iter().enumerate().next().map(|(at, card)| (at, card.id.clone())).expect("a pond");
    let today = friday();
    let days = [(today, vec![at], true)];
    let mut weighed = stock(today, 40.0);
    weighed.of = vec![(Some(pond), 60.0)];
    let (running, lying) = apart(&farm, &days, &[weighed.clone(), stock(today.plus(-1), 9.0)]);
    assert_eq!((running.len(), lying.len(), lying[0].on), (1, 1, today.plus(-1)));
    let comes_to = |likely_kg: f64| {
        let market = Market::new(&farm, &[]);
        let n = market.limits_g.len() + 1;
        let classes = (0..n).map(|class| market.class(class, likely_kg / n as f64, 0.0)).collect();
        let mut futures = vec![vec![Future { classes, mean_weight_g: 30.0 }]];
        held_to(&mut futures, &days, &running, &market);
        futures[0][0].classes.iter().map(|class| class.weight_kg).sum::<f64>().round()
    };
    // Sixty weighed, twenty of them sold: of a hundred that come eighty are there to be had, and never less than the forty left.
    assert_eq!([comes_to(100.0), comes_to(30.0)], [80.0, 40.0]);
    weighed.of.push((Some("gone".to_owned()), 60.0));
    let (running, lying) = apart(&farm, &days, &[weighed]);
    assert!((running[0].stock.left.whole_kg - 20.0).abs() < 1e-9 && (lying[0].left.whole_kg - 20.0).abs() < 1e-9);
}

#[test]
fn what_swims_in_a_tank_beyond_its_limits_is_given_to_nobody() {
    let (tuesday, today) = (friday().plus(-3), friday().plus(-2));
    let swims = |kg: f64| {
        let left = Supply { live_kg: kg, ..Supply::default() };
        Stock { on: today, left, of: vec![(Some("quarry".to_owned()), kg)], entered_kg: 0.0 }
    };
    let mut all = [Stock { on: tuesday, ..swims(4.0) }, swims(10.0)];
    hold(&mut all, 9.0);
    assert_eq!(all.each_ref().map(|one| one.left.held_kg), [4.0, 5.0], "the oldest first");
    for sold_as in [SoldAs::Live, SoldAs::Whole] {
        let given = |lots: &[Stock]| shared_out(&[wants("Leo", Rank::Ordered, sold_as, 10.0)], lots, &[], today).0[0];
        assert_eq!([given(&[swims(10.0)]), given(&all[1..])], [10.0, 5.0], "{sold_as:?}");
    }
    // Parted with its lot, it stays held.
    let days = [(today, vec![0], true)];
    all[1].of = vec![(Some(farm().ponds[0].id.clone()), 5.0), (Some("gone".to_owned()), 5.0)];
    let (running, lying) = apart(&farm(), &days, &all[1..]);
    assert_eq!([running[0].stock.left.held_kg, lying[0].left.held_kg], [2.5, 2.5]);
}

#[test]
fn a_catch_entered_by_weight_is_of_no_catch_that_is_still_being_made() {
    let (farm, today) = (farm(), friday());
    let noon = farm.place.zone.instant(today, 43_200);
    let all = stocks(&[], &[(noon, 12.0)], &Written::default(), &farm.place.zone);
    let (running, lying) = apart(&farm, &[(today, vec![0], true)], &all);
    assert!(running.is_empty(), "it is off what stands in the pond already");
    assert_eq!((lying.len(), lying[0].left.unsorted_kg), (1, 12.0));
}
