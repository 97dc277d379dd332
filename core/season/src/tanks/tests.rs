use std::collections::BTreeMap;

use farm::facts::{Fact, Happened};

use super::*;

fn entered(farm: &Farm, seq: i64, kind: &str, on: Day, typed: &[(&str, &str)]) -> Entered {
    let mut fact = Fact {
        id: format!("{seq:032x}"),
        farm: "hazel-bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at: farm.place.zone.instant(on, 32_400), offset_s: -14_400 },
        typed_ms: 0,
        corrects: None,
        typed: typed.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
        values: BTreeMap::new(),
    };
    fact.read();
    Entered { seq, received_ms: 0, clock_off_ms: 0, fact }
}

#[test]
fn misread_figures_are_told_and_not_reckoned_with_and_the_dead_are_counted() {
    let farm = farm::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
    let on = |days: i32| Day::new(2011, 9, 1).expect("a day").plus(days);
    let facts = [
        entered(&farm, 1, "delivery", on(0), &[("claimed", "40,000")]),
        entered(&farm, 2, "delivery", on(2), &[("claimed", "50,000"), ("dead", "1000")]),
        entered(&farm, 3, "tank", on(3), &[("tank", "North"), ("temperature", "28 F"), ("deaths", "40")]),
        entered(&farm, 4, "tank", on(4), &[("tank", "North"), ("ammonia", "400"), ("deaths", "60")]),
    ];
    let told = nursery(&farm, &facts, on(5));
    assert_eq!(told.earlier.len(), 1);
    assert_eq!(told.tanks.iter().map(|tank| tank.share).sum::<f64>(), 49_000.0);
    let north = &told.tanks[0];
    assert_eq!((north.read.dead, north.read.unread), (100.0, Some(on(4))));
    assert_eq!(north.water_c, farm.tanks[0].kept_at_c, "nothing lives at 28 °F");
    assert_eq!(told.tanks[1].read, TankRead::default());
    assert!(nursery(&farm, &facts, on(200)).delivery.is_none(), "of another season");
}

fn on(days: i32) -> Day {
    Day::new(2011, 8, 1).expect("a day").plus(days)
}

fn bend() -> Farm {
    farm::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample reads")
}

#[test]
fn a_tank_falls_by_what_was_counted_out_of_it_and_another_gains_it() {
    let farm = bend();
    let delivery = |seq| entered(&farm, seq, "delivery", on(0), &[("claimed", "50,000")]);
    let before = nursery(&farm, &[delivery(1)], on(40));
    let was = before.tanks[0].today;
    let weight = format!("{} g", was.mean_weight_g);
    let out =
        [("tank", "North"), ("pond", "willow"), ("each", "4000"), ("mean_weight", weight.as_str()), ("dead", "100")];
    let across = [("tank", "South"), ("to_tank", "North"), ("each", "500"), ("mean_weight", "0.2 g")];
    let facts = [
        delivery(1),
        entered(&farm, 2, "counted_out", on(40), &out),
        entered(&farm, 3, "counted_out", on(40), &across),
    ];
    let told = nursery(&farm, &facts, on(40));
    let north = &told.tanks[0];
    assert!((north.held.count - (was.count - 4100.0 + 500.0)).abs() < 1e-6, "{:?}", north.held);
    assert_eq!((north.held.went, north.held.since, north.held.is_too_many), (4000.0, on(40), false));
    assert_eq!(told.moves.len(), 2);
    assert_eq!(told.moves[0].to, MovedTo::Pond("willow".to_owned()));
    let south = &told.tanks[1];
    assert!((south.held.count - (before.tanks[1].today.count - 500.0)).abs() < 1e-6);
    // Fewer sit in it: they are fed less, and grow on.
    assert!(north.today.feed_kg < was.feed_kg);
    let later = nursery(&farm, &facts, on(50));
    assert!(later.tanks[0].today.mean_weight_g > north.today.mean_weight_g);
    // Far more than it can have held is told.
    let many = entered(&farm, 4, "counted_out", on(41), &[("tank", "Door"), ("each", "90,000")]);
    let told = nursery(&farm, &[delivery(1), many], on(42));
    assert!(told.tanks[2].held.is_too_many && told.tanks[2].held.count == 0.0);
}

#[test]
fn what_was_counted_and_stays_takes_the_place_of_what_was_reckoned() {
    let farm = bend();
    // Entered first, though it stays: the order of typing does not matter.
    let stays = [
        ("tank", "North"),
        ("to_tank", "North"),
        ("counts", "50 52 48"),
        ("sample_weight", "10 g"),
        ("all_weight", "900 g"),
        ("grade", "lower"),
    ];
    let out = [("tank", "North"), ("pond", "willow"), ("each", "3000"), ("mean_weight", "0.8 g"), ("grade", "upper")];
    let emptied =
        [("tank", "South"), ("pond", "willow"), ("each", "3000"), ("mean_weight", "0.8 g"), ("tank_empty", "yes")];
    let facts = [
        entered(&farm, 1, "delivery", on(0), &[("claimed", "50,000")]),
        entered(&farm, 2, "counted_out", on(40), &stays),
        entered(&farm, 3, "counted_out", on(40), &out),
        entered(&farm, 4, "counted_out", on(40), &emptied),
    ];
    let told = nursery(&farm, &facts, on(40));
    let north = &told.tanks[0].held;
    assert_eq!((north.count, north.is_counted, north.went), (4500.0, true, 3000.0));
    assert!((north.weight_g - 0.2).abs() < 1e-12 && north.either_way.is_some_and(|either| either > 100.0));
    let south = &told.tanks[1];
    assert_eq!((south.held.count, south.ready), (0.0, (None, None)));
    assert_eq!(south.today.feed_kg, 0.0);
}

#[test]
fn a_filter_is_called_ripe_by_two_clear_readings_days_apart_and_not_before() {
    let farm = bend();
    let read = |seq: i64, day: i32, ammonia: &str, nitrite: &str| {
        let all = [("tank", "North"), ("ammonia", ammonia), ("nitrite", nitrite)];
        let said: Vec<(&str, &str)> = all.into_iter().filter(|(_, text)| !text.is_empty()).collect();
        entered(&farm, seq, "tank", on(day), &said)
    };
    let seen = |facts: &[Entered]| nursery(&farm, facts, on(60)).tanks[0].filter;
    let delivery = entered(&farm, 1, "delivery", on(30), &[("claimed", "50,000")]);
    assert_eq!(seen(&[]), FilterSeen::NotRead);
    assert_eq!(seen(&[read(2, 10, "0.1", "0.1")]), FilterSeen::Idle { on: on(10) }, "nothing was put in");
    assert_eq!(seen(&[read(2, 9, "2.5", ""), read(3, 10, "0.1", "0.1")]), FilterSeen::Once { on: on(10) });
    let twice = [read(2, 9, "2.5", ""), read(3, 10, "0.1", "0.1"), read(4, 13, "0.1", "0.1")];
    assert_eq!(seen(&twice), FilterSeen::Once { on: on(10) }, "the second time nothing had been put in");
    let again = [delivery.clone(), read(2, 40, "0.3", "0.2"), read(3, 41, "0.3", "0.2"), read(4, 43, "0.4", "0.5")];
    assert_eq!(seen(&again), FilterSeen::Ripe { first: on(40), again: on(43) }, "the next day is too soon");
    let between = [delivery.clone(), read(2, 40, "0.3", "0.2"), read(3, 42, "0.3", "0.8"), read(4, 44, "0.4", "0.5")];
    assert_eq!(seen(&between), FilterSeen::Once { on: on(44) }, "not clear between them");
    let mut after = again.to_vec();
    after.push(read(5, 50, "0.8", "0.6"));
    assert!(matches!(seen(&after), FilterSeen::Ripe { .. }), "a full tank's ripe filter may stand there");
    after.push(read(6, 52, "0.4", "1.2"));
    assert_eq!(seen(&after), FilterSeen::Unripe { on: on(52) });
    assert_eq!(seen(&[delivery, read(2, 40, "0.3", "")]), FilterSeen::NotRead, "ammonia alone says nothing of nitrite");
}

#[test]
fn high_readings_tell_nitrites_peak_and_when_both_are_clear_again() {
    let farm = bend();
    let facts = [
        entered(&farm, 1, "delivery", on(0), &[("claimed", "50,000")]),
        entered(&farm, 2, "tank", on(20), &[("tank", "North"), ("ammonia", "1.2"), ("nitrite", "1.5")]),
    ];
    let north = &nursery(&farm, &facts, on(21)).tanks[0];
    assert_eq!(north.filter, FilterSeen::Unripe { on: on(20) });
    let ahead = north.nitrogen.expect("both were read");
    assert_eq!(ahead.from, on(20));
    assert!(ahead.nitrite_peak.1 >= 1.5 && ahead.clear_from.is_none_or(|day| day > ahead.nitrite_peak.0), "{ahead:?}");
    assert!(north.dead_filter_h.is_some_and(|hours| hours == 0.0), "it is above the limit already");
    assert!(nursery(&farm, &facts, on(40)).tanks[0].nitrogen.is_none(), "of three weeks ago");
    assert!(nursery(&farm, &facts[..1], on(21)).tanks[0].dead_filter_h.is_some_and(|hours| hours > 0.5));
}
