//! What becomes of the sample farm's season when its postlarvae come late, short or not at all.

use season::orders::{TurnKind, Turns, asked, turns};
use season::winter::{understand, winter};

use super::*;

fn told(typed: &[(&str, &str)], count: f64, comes: Day) -> Turns {
    let sample = hazel_bend();
    let past = sample.past().expect("a past");
    let ask = asked(&sample.farm, &past, (count, comes, None), typed).expect("understood");
    turns(&ask, &Watch::new()).expect("answered")
}

fn march() -> Day {
    Day::new(2012, 3, 20).expect("a day")
}

#[test]
fn a_short_order_brings_less_a_lost_one_nothing_and_a_late_one_is_another_day_of_the_winter_plan() {
    let sample = hazel_bend();
    let past = sample.past().expect("a past");
    let found = told(&[("last_catch", "2012-10-20")], 65_000.0, march());
    let net = |kind| found.turns.iter().find(|one| one.kind == kind).expect("told").net_coins;
    let whole = net(TurnKind::AsOrdered);
    assert!(net(TurnKind::Short(0.25)) > net(TurnKind::Short(0.5)) && net(TurnKind::Short(0.5)) > 0.0);
    assert!(whole > net(TurnKind::Short(0.5)));
    assert!(net(TurnKind::Lost).abs() < 1e-9, "nothing is laid out for an empty pond here");
    // The same as the winter plans of all ponds for that day and density, summed.
    let late = found.turns.iter().find(|one| one.kind == TurnKind::Late(14)).expect("told");
    let on = late.on.expect("stocked").to_string();
    assert_eq!(on, "2012-06-02");
    let density = format!("{}/ha", late.per_ha);
    let by_pond = (0..sample.farm.ponds.len()).map(|pond| {
        let days = [("first", on.as_str()), ("last", on.as_str()), ("last_catch", "2012-10-20")];
        let typed = [days[0], days[1], days[2], ("thinnest", &density), ("densest", &density)];
        let ask = understand(&sample.farm, &past, pond, march(), &typed).expect("understood").ask;
        winter(&ask, &Watch::new()).expect("answered").variants[0].net_mean_coins
    });
    let apart = by_pond.sum::<f64>() / late.net_coins - 1.0;
    // The water begins on another day there: the last of that is forgotten, not all of the years' whole seasons are the same.
    assert!(apart.abs() < 0.02, "{apart}");
}

#[test]
fn a_second_order_is_worth_it_for_as_long_as_it_brings_more_than_it_lays_out() {
    let cheap = told(&[("juvenile_cost", "0.02")], 65_000.0, march()).second;
    let dear = told(&[("juvenile_cost", "0.60")], 65_000.0, march()).second;
    assert!(cheap.worth_until.expect("worth it") > dear.worth_until.unwrap_or(march()), "{cheap:?} {dear:?}");
    assert!(cheap.within_until.is_none_or(|within| Some(within) <= cheap.worth_until));
    assert!(cheap.looked_until >= cheap.worth_until.expect("a day"));
    // Nothing can grow any more.
    let sample = hazel_bend();
    let past = sample.past().expect("a past");
    let late = asked(&sample.farm, &past, (65_000.0, march().plus(150), None), &[]);
    assert!(late.is_err() || turns(&late.expect("read"), &Watch::new()).is_err());
}
