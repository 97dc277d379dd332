use farm::facts::market::{Good, Market as Written, Rank, Reply, SoldAs, Supply};
use farm::read_farm;
use units::Day;

use super::slots::slots;
use super::*;

fn farm() -> Farm {
    read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample reads")
}

fn friday() -> Day {
    Day::parse("2011-09-30").expect("a day")
}

fn wants(name: &str, rank: Rank, sold_as: SoldAs, amount: f64) -> Buyer {
    let good = Good { sold_as, size: String::new() };
    Buyer {
        name: name.to_owned(),
        id: name.to_owned(),
        rank,
        amount,
        ..Buyer::endless(good, (0.0, f64::INFINITY), Pays::PerKg(1000.0))
    }
}

#[test]
fn standing_buyers_come_from_the_farm_and_are_asked_at_list_prices_where_none_is_agreed() {
    let farm = farm();
    let all = buyers(&farm, &Written::default());
    let names: Vec<&str> = all.iter().map(|buyer| buyer.name.as_str()).collect();
    assert_eq!(names, ["Tern Street Kitchen", "The Old Gin House", "Marlow Grocers", "Ridge Supper Club"]);
    assert!(all.iter().all(|buyer| buyer.rank == Rank::Standing && buyer.is_standing && buyer.pays.is_some()));
    assert!(all[2].agreed.is_some() && all[1].agreed.is_none() && all[1].by_size);
    // A size that ends where a row of the list begins does not touch it.
    assert!(!all[0].by_size && all[2].agreed.is_some());
    assert!(all[1].takes_on(friday()) && !all[1].takes_on(friday().plus(2)), "not on a Sunday");
}

#[test]
fn a_standing_buyer_is_never_cut_for_a_walk_up_unless_the_grower_says_so() {
    let farm = farm();
    let supply = Supply { whole_kg: 50.0, ..Supply::default() };
    let mut dear = wants("Walker", Rank::WalkUp, SoldAs::Whole, 40.0);
    dear.pays = Some(Pays::PerKg(9000.0));
    let standing = wants("Tern", Rank::Standing, SoldAs::Whole, 40.0);
    let caught = shared_today(&farm, &[dear.clone(), standing.clone()], &supply, None, friday());
    assert!((caught.gives[1].1 - 40.0).abs() < 1e-6 && (caught.gives[0].1 - 10.0).abs() < 1e-6, "{caught:?}");
    let first = Buyer { rank: Rank::First, ..dear };
    let caught = shared_today(&farm, &[first, standing], &supply, None, friday());
    assert!((caught.gives[0].1 - 40.0).abs() < 1e-6 && (caught.gives[1].1 - 10.0).abs() < 1e-6, "{caught:?}");
}

#[test]
fn what_is_shared_out_and_what_is_left_is_what_was_caught() {
    let farm = farm();
    let supply = Supply { live_kg: 20.0, whole_kg: 60.0, tails_kg: 5.0, ..Supply::default() };
    let all = [
        wants("A", Rank::Ordered, SoldAs::Live, 30.0),
        wants("B", Rank::Ordered, SoldAs::Whole, 25.0),
        wants("C", Rank::Standing, SoldAs::Tails, 4.0),
    ];
    let caught = shared_today(&farm, &all, &supply, None, friday());
    let given: Vec<f64> = caught.gives.iter().map(|(_, given)| *given).collect();
    assert!((given[0] - 20.0).abs() < 1e-6, "no more alive than lives: {given:?}");
    assert!((given[1] - 25.0).abs() < 1e-6 && (given[2] - 4.0).abs() < 1e-6, "{given:?}");
    let left: f64 = caught.left.iter().map(|(.., kg)| kg).sum();
    assert!(
        (left + given[0] + given[1] - 80.0).abs() < 1e-6 && (caught.tails_left_kg - 1.0).abs() < 1e-6,
        "{caught:?}"
    );
    // What keeps three days can be fetched on the third, not on the fifth.
    let late =
        |days| Buyer { window: (Some(friday().plus(days)), None), ..wants("D", Rank::Ordered, SoldAs::Whole, 5.0) };
    assert!(shared_today(&farm, &[late(3)], &supply, None, friday()).gives[0].1 > 4.9);
    assert_eq!(shared_today(&farm, &[late(5)], &supply, None, friday()).gives[0], (0.0, 0.0));
}

#[test]
fn slots_fill_one_after_the_other_and_agreed_hours_stay() {
    let farm = farm();
    let all: Vec<Buyer> = (0..9).map(|n| wants(&format!("{n}"), Rank::Ordered, SoldAs::Whole, 1.0)).collect();
    let here: Vec<usize> = (0..9).collect();
    let hours: Vec<f64> = slots(&farm, &all, &here, friday()).into_iter().map(|(_, hour)| hour).collect();
    // Six to a quarter of an hour, from ten o'clock.
    assert_eq!(hours, [10.0, 10.0, 10.0, 10.0, 10.0, 10.0, 10.25, 10.25, 10.25]);
    let mut agreed = all.clone();
    agreed[8].told = Some((friday(), Some(10.0), Reply::Yes));
    agreed[7].told = Some((friday().plus(1), Some(11.0), Reply::Yes));
    let hours: Vec<f64> = slots(&farm, &agreed, &here, friday()).into_iter().map(|(_, hour)| hour).collect();
    assert_eq!(hours[8], 10.0, "it was agreed");
    assert_eq!(hours.iter().filter(|hour| **hour == 10.0).count(), 6, "and takes one of the six: {hours:?}");
    assert_eq!(hours[7], 10.25, "an hour of another day does not hold");
}
