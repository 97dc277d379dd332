//! What may be promised of the sample farm's coming catches, under the futures of its own morning.

use season::farm::facts::market::{Good, Market, Rank, Reply, SoldAs, Supply};
use season::farm::{Form, Pays};
use season::promised::{Buyer, Promised, Stock, buyers, fetched, promised};
use units::Day;

use crate::day::{MORNING, Morning, ask};

fn wants(name: &str, rank: Rank, amount: f64) -> Buyer {
    let good = Good { sold_as: SoldAs::Whole, size: String::new() };
    let standing = buyers(&MORNING.sample.farm, &Market::default());
    let first = standing.first().expect("a standing buyer").clone();
    Buyer {
        id: name.to_owned(),
        name: name.to_owned(),
        rank,
        good,
        size_g: (0.0, f64::INFINITY),
        amount,
        pays: Some(Pays::PerKg(1000.0)),
        agreed: Some(Pays::PerKg(1000.0)),
        by_size: false,
        weekdays: [true; 7],
        is_standing: rank == Rank::Standing,
        ..first
    }
}

fn told(buyers: &[Buyer], stocks: &[Stock]) -> Promised {
    let Morning { sample, past, drawn, outlook } = &*MORNING;
    promised(&ask(sample, past), drawn, outlook, buyers, stocks)
}

fn share(found: &Promised, buyer: usize, catch: usize) -> Option<&season::promised::Share> {
    found.shares.iter().find(|share| share.buyer == buyer && share.catch == catch)
}

/// What may be promised whole of any size at a catch: the most of its lines.
fn free(found: &Promised, catch: usize) -> f64 {
    let whole = found.free.iter().filter(|free| free.catch == catch && free.good.sold_as == SoldAs::Whole);
    whole.map(|free| free.amount.low).fold(0.0, f64::max)
}

#[test]
fn what_may_be_promised_is_held_by_nine_futures_in_ten_and_no_more() {
    let found = told(&[], &[]);
    let line = found.free.iter().filter(|free| free.catch == 0 && free.good.sold_as == SoldAs::Whole);
    let line = line.max_by(|a, b| a.amount.low.total_cmp(&b.amount.low)).expect("a line");
    let row = MORNING.sample.farm.prices.rows.iter();
    let row = row.filter(|row| row.form == Form::Whole).find(|row| row.class == line.good.size).expect("its size");
    let full_chance = |amount: f64| {
        let mut one = wants("Ann", Rank::Ordered, amount);
        (one.good, one.size_g) = (line.good.clone(), (row.from_g, row.to_g));
        let found = told(&[one], &[]);
        let share = share(&found, 0, 0).expect("it is asked of the first").clone();
        assert!(share.gets.low <= share.gets.middle && share.gets.middle <= share.gets.high);
        (share.full_chance, share.gets.low, found)
    };
    let (chance, ..) = full_chance(line.amount.low * 0.999);
    assert!((0.89..0.99).contains(&chance), "what nine in ten hold: {chance}");
    let (chance, low, _) = full_chance(line.amount.middle);
    assert!(
        chance < 0.7 && low < 0.999 * line.amount.middle,
        "the likely amount is no promise: {chance}, sure of {low}"
    );
    // What is promised is gone from what may be promised.
    let (.., after) = full_chance(line.amount.low * 0.5);
    let left = after.free.iter().find(|free| free.catch == 0 && free.good == line.good).expect("the line").amount.low;
    assert!((left - 0.5 * line.amount.low).abs() < 0.02 * line.amount.low + 0.1, "{left} of {}", line.amount.low);
}

#[test]
fn an_order_of_this_once_is_asked_of_one_catch_and_a_standing_one_of_each() {
    let found = told(&[wants("Ann", Rank::Ordered, 2.0), wants("Ridge", Rank::Standing, 2.0)], &[]);
    assert!(found.catches.len() > 1);
    let asked = |buyer: usize| found.shares.iter().filter(|share| share.buyer == buyer).count();
    assert_eq!((asked(0), asked(1)), (1, found.catches.len()), "{:?}", found.shares);
    assert!(found.without.is_empty());
    let comes = fetched(&MORNING.sample.farm, &MORNING.outlook, &found.ice);
    let called = |buyer: usize| comes.iter().filter(|of| of.buyers.iter().any(|one| one.buyer == buyer)).count();
    assert_eq!((called(0), called(1)), (1, found.catches.len()));
    // More than the first catch has: the rest of it is asked of the next.
    let all = wants("All", Rank::Ordered, 1.2 * found.catches[0].sold_kg.high);
    let found = told(&[all], &[]);
    assert!(share(&found, 0, 0).is_some_and(|share| share.full_chance < 0.1));
    let next = share(&found, 0, 1).expect("the rest").wanted;
    assert!(next > 0.0 && next < 1.2 * found.catches[0].sold_kg.high - 0.5 * found.catches[0].sold_kg.low, "{next}");
}

#[test]
fn who_takes_another_day_asks_nothing_of_this_one_and_who_takes_none_is_told_apart() {
    let first = told(&[], &[]).catches[0].on;
    let never =
        Buyer { window: (Some(Day(first.0 - 90)), Some(Day(first.0 - 80))), ..wants("Never", Rank::Ordered, 5.0) };
    let had = Buyer { amount: 0.0, ..never.clone() };
    let came = Buyer { answers: vec![(first, None, Reply::Came)], ..wants("Came", Rank::Standing, 5.0) };
    let found = told(&[never, had, came], &[]);
    assert_eq!(found.without, [0], "who has theirs already is not looked for");
    assert!(found.shares.iter().all(|share| share.buyer == 2 && share.catch > 0), "{:?}", found.shares);
    assert!((free(&found, 0) - free(&told(&[], &[]), 0)).abs() < 1e-6);
}

#[test]
fn a_better_rank_is_served_first_and_the_waiting_list_takes_nothing_from_what_may_be_promised() {
    let there = told(&[], &[]).catches[0].sold_kg.low;
    let mut dear = wants("Walker", Rank::WalkUp, 2.0 * there);
    dear.pays = Some(Pays::PerKg(9000.0));
    let found = told(&[dear, wants("Ridge", Rank::Standing, 0.5 * there)], &[]);
    assert!(share(&found, 1, 0).expect("a share").full_chance > 0.85, "whatever a walk-up pays");
    let waits = told(&[wants("Wanda", Rank::Waiting, 3.0 * there)], &[]);
    assert!((free(&waits, 0) - free(&told(&[], &[]), 0)).abs() < 1e-6);
    assert!(share(&waits, 0, 0).expect("a share").gets.middle > 0.5 * there, "and is served from what is left");
}

#[test]
fn what_lies_on_ice_serves_first_and_frees_the_coming_catch() {
    let today = MORNING.sample.own_morning();
    let orders = [wants("Ann", Rank::Ordered, 20.0), wants("Bea", Rank::Ordered, 25.0)];
    let stock = Stock {
        on: today.plus(-1),
        left: Supply { whole_kg: 22.0, ..Supply::default() },
        of: vec![(Some(MORNING.sample.farm.ponds[0].id.clone()), 22.0)],
        entered_kg: 0.0,
    };
    let (without, with) = (told(&orders, &[]), told(&orders, std::slice::from_ref(&stock)));
    let asks = |found: &Promised, buyer: usize| found.shares.iter().any(|share| share.buyer == buyer);
    assert!(asks(&without, 0) && asks(&without, 1));
    assert!(!asks(&with, 0) && asks(&with, 1), "who is served from ice asks nothing more: {:?}", with.shares);
    assert_eq!((with.ice.lots.len(), with.ice.rest[0].amount), (1, 0.0));
    let comes = fetched(&MORNING.sample.farm, &MORNING.outlook, &with.ice);
    let called: Vec<bool> =
        comes.iter().filter(|of| of.buyers.iter().any(|one| one.buyer == 0)).map(|of| of.is_weighed).collect();
    assert_eq!(called, [true], "called once, for what lies there");
    // Too old: it serves nobody, and both are asked of what comes.
    let old = told(&orders, &[Stock { on: today.plus(-9), ..stock }]);
    assert!(asks(&old, 0) && asks(&old, 1) && old.ice.lots[0].over_kg > 21.9);
}

#[test]
fn a_day_of_two_ponds_is_accepted_once_both_are() {
    let Morning { sample, past, drawn, outlook } = &*MORNING;
    let mut both = outlook.clone();
    let day = both.ponds.iter().find_map(|pond| pond.planned).expect("a planned day");
    both.ponds.iter_mut().filter(|pond| pond.planned.is_some()).for_each(|pond| pond.planned = Some(day));
    let mut one_told = crate::sample::hazel_bend();
    let on = day.second_day.filter(|_| day.parts).unwrap_or(day.catch_day);
    let planned: Vec<usize> = both.ponds.iter().filter(|pond| pond.planned.is_some()).map(|pond| pond.index).collect();
    let accepted = |farm: &season::farm::Farm| {
        let ask = season::MorningAsk { farm, ..ask(sample, past) };
        let found = promised(&ask, drawn, &both, &[], &[]);
        (found.catches.len(), found.catches[0].is_locked, found.catches[0].ponds.len())
    };
    one_told.farm.ponds[planned[1]].announced = vec![on];
    assert_eq!(accepted(&one_told.farm), (1, false, planned.len()));
    planned.iter().for_each(|at| one_told.farm.ponds[*at].announced = vec![on]);
    assert_eq!(accepted(&one_told.farm), (1, true, planned.len()));
}
