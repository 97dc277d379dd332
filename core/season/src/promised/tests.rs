use farm::facts::market::{Good, Market as Written, Rank, Reply, SoldAs, Supply};
use farm::read_farm;
use units::Day;

use super::slots::{coming, moved, slots};
use super::*;

pub(super) fn farm() -> Farm {
    read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample reads")
}

pub(super) fn friday() -> Day {
    Day::parse("2011-09-30").expect("a day")
}

pub(super) fn wants(name: &str, rank: Rank, sold_as: SoldAs, amount: f64) -> Buyer {
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
fn what_swims_in_a_held_tank_is_shared_out_to_nobody() {
    let farm = farm();
    let all = [wants("A", Rank::Ordered, SoldAs::Live, 30.0), wants("B", Rank::Ordered, SoldAs::Whole, 100.0)];
    let gives = |held_kg: f64| -> Vec<f64> {
        let supply = Supply { live_kg: 20.0, held_kg, whole_kg: 40.0, ..Supply::default() };
        shared_today(&farm, &all, &supply, None, friday()).gives.iter().map(|(_, given)| *given).collect()
    };
    let (free, held) = (gives(0.0), gives(15.0));
    assert!((free[0] - 20.0).abs() < 1e-6 && (held[0] - 5.0).abs() < 1e-6, "{free:?} {held:?}");
    assert!((held[1] - 40.0).abs() < 1e-6, "nor whole: nobody knows what of it is alive: {held:?}");
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
    agreed[8].answers = vec![(friday(), Some(10.0), Reply::Yes)];
    agreed[7].answers = vec![(friday().plus(1), Some(11.0), Reply::Yes)];
    let hours: Vec<f64> = slots(&farm, &agreed, &here, friday()).into_iter().map(|(_, hour)| hour).collect();
    assert_eq!(hours[8], 10.0, "it was agreed");
    assert_eq!(hours.iter().filter(|hour| **hour == 10.0).count(), 6, "and takes one of the six: {hours:?}");
    assert_eq!(hours[7], 10.25, "an hour of another day does not hold");
}

#[test]
fn classes_that_are_shown_are_those_that_a_size_of_whole_animals_names() {
    let farm = farm();
    let per_lb = |g: f64| if g > 0.0 && g.is_finite() { (453.592_37 / g * 10.0).round() / 10.0 } else { 0.0 };
    let shown = |buyers: &[Buyer]| -> Vec<(f64, f64)> {
        let market = Market::new(&farm, buyers);
        // Every class that is shared out is shown in one, and once.
        let mut held: Vec<usize> = market.shown().into_iter().flat_map(|(.., of)| of).collect();
        held.sort_unstable();
        assert_eq!(held, (0..=market.limits_g.len()).collect::<Vec<_>>());
        market.shown().into_iter().map(|(low, high, _)| (per_lb(high), per_lb(low))).collect()
    };
    // 36 tails per lb are about 16.4 whole ones: a limit of the sharing, and no class that anybody named.
    let market = Market::new(&farm, &[]);
    assert!(market.limits_g.iter().any(|g| (16.1..16.9).contains(&per_lb(*g))), "{:?}", market.limits_g);
    assert_eq!(shown(&[]), [(24.0, 0.0), (16.0, 24.0), (12.0, 16.0), (0.0, 12.0)]);
    // A size that an order of whole animals names is one more; one of tails is not.
    let mut whole = wants("A", Rank::Ordered, SoldAs::Whole, 5.0);
    whole.size_g = farm::facts::market::size_g("14 to 20 per lb").expect("a size");
    let mut tails = wants("B", Rank::Ordered, SoldAs::Tails, 5.0);
    tails.size_g = farm::facts::market::size_g("under 30 per lb").expect("a size");
    assert_eq!(
        shown(&[whole, tails]),
        [(24.0, 0.0), (20.0, 24.0), (16.0, 20.0), (14.0, 16.0), (12.0, 14.0), (0.0, 12.0)]
    );
}

#[test]
fn what_is_shown_together_is_still_shared_out_apart() {
    let farm = farm();
    let supply = Supply { whole_kg: 100.0, ..Supply::default() };
    // All of the catch between 16 and 16.4 per lb: too large for tails over 36 per lb, too small for whole under 16.
    let bare = Market::new(&farm, &[]);
    let at = bare.limits_g.iter().position(|g| (453.592_37 / g - 16.0).abs() < 1e-6).expect("16 per lb");
    let classes = bare.shown().into_iter().map(|(low, high, _)| (low, high, Band::of(vec![0.0]), Band::of(vec![0.0])));
    let likely = Catch {
        on: friday(),
        ponds: vec![0],
        sold_kg: Band::of(vec![100.0]),
        classes: classes.collect(),
        fine_kg: (0..=bare.limits_g.len()).map(|class| f64::from(u8::from(class == at))).collect(),
        coins: Band::of(vec![0.0]),
        is_locked: true,
    };
    let sized = |sold_as, size: &str| {
        let mut one = wants(size, Rank::Ordered, sold_as, 30.0);
        one.size_g = farm::facts::market::size_g(size).expect("a size");
        let caught = shared_today(&farm, &[one], &supply, Some(&likely), friday());
        (caught.gives[0].1, caught.left)
    };
    assert!(sized(SoldAs::Tails, "under 36 per lb").0 > 1.0);
    assert_eq!(sized(SoldAs::Tails, "over 36 per lb").0, 0.0);
    assert_eq!(sized(SoldAs::Whole, "under 16 per lb").0, 0.0);
    let (given, left) = sized(SoldAs::Whole, "16 to 24 per lb");
    assert!((given - 30.0).abs() < 1e-6, "{given}");
    assert_eq!(left.len(), 1, "{left:?}");
    assert!((453.592_37 / left[0].0 - 24.0).abs() < 1e-6 && (453.592_37 / left[0].1 - 16.0).abs() < 1e-6, "{left:?}");
}

/// A day of catch with those who fetch from it.
fn day_of(farm: &Farm, buyers: &[Buyer], planned: &[Day], on: Day) -> Fetched {
    let market = Market::new(farm, buyers).of_days(planned.iter().copied());
    let here: Vec<usize> = (0..buyers.len()).filter(|at| market.suits(*at, on)).collect();
    let pick_up: Vec<Day> = here.iter().filter_map(|at| market.pick_up(&buyers[*at], on)).collect();
    let buyers = coming(farm, buyers, &here, &pick_up, true);
    Fetched { on, is_locked: true, is_weighed: false, latest: on, ponds: vec![0], buyers }
}

#[test]
fn a_day_of_another_pond_is_no_move_and_a_day_that_is_gone_is() {
    let farm = farm();
    let (friday, saturday, next) = (friday(), friday().plus(1), friday().plus(8));
    let mut standing = wants("Ridge", Rank::Standing, SoldAs::Whole, 10.0);
    standing.is_standing = true;
    standing.answers = vec![(friday, Some(10.0), Reply::Yes)];
    let only_window = Buyer { answers: vec![(friday, None, Reply::Yes)], ..standing.clone() };
    let knows = |is_accepted| only_window.knows(friday, is_accepted);
    assert!(knows(false) && !knows(true), "told of the window alone: the hour is still to be told");
    let told = |planned: &[Day]| -> Vec<(bool, Option<Day>)> {
        let all = [standing.clone()];
        let mut days: Vec<Fetched> = planned.iter().map(|on| day_of(&farm, &all, planned, *on)).collect();
        moved(&mut days, &all, friday.plus(-2));
        days.iter().map(|day| (day.buyers[0].is_told, day.buyers[0].moved_from)).collect()
    };
    assert_eq!(told(&[friday, saturday, next]), [(true, None), (false, None), (false, None)]);
    assert_eq!(told(&[saturday, next]), [(false, Some(friday)), (false, None)], "it moved, and once");
}

#[test]
fn who_cannot_take_a_day_gets_nothing_of_it_and_who_can_later_fetches_later() {
    let farm = farm();
    let (friday, monday) = (friday(), friday().plus(3));
    let supply = Supply { whole_kg: 50.0, ..Supply::default() };
    let mut refused = wants("Marlow", Rank::Standing, SoldAs::Whole, 20.0);
    refused.is_standing = true;
    refused.answers = vec![(friday, None, Reply::No)];
    let later = Buyer { window: (Some(monday), Some(monday)), ..wants("Kim", Rank::Ordered, SoldAs::Whole, 5.0) };
    let mut came = wants("Ann", Rank::Standing, SoldAs::Whole, 5.0);
    came.answers = vec![(friday, None, Reply::Came)];
    let all = [refused, later, came];
    let gives: Vec<f64> =
        shared_today(&farm, &all, &supply, None, friday).gives.iter().map(|(_, gets)| *gets).collect();
    assert!(gives[0] == 0.0 && (gives[1] - 5.0).abs() < 1e-6 && gives[2] == 0.0, "{gives:?}");
    let day = day_of(&farm, &all, &[friday, friday.plus(1)], friday);
    let comes: Vec<(usize, Day)> = day.buyers.iter().map(|one| (one.buyer, one.on)).collect();
    assert_eq!(comes, [(1, monday), (2, friday)], "an order for Monday is not called for Friday");
    // Who was told of Saturday and takes it waits for Saturday.
    let mut agreed = wants("Pat", Rank::Ordered, SoldAs::Whole, 5.0);
    agreed.answers = vec![(friday.plus(1), None, Reply::Yes)];
    assert!(day_of(&farm, &[agreed.clone()], &[friday, friday.plus(1)], friday).buyers.is_empty());
    assert_eq!(day_of(&farm, &[agreed], &[friday], friday).buyers.len(), 1, "unless nothing comes of it");
}

#[test]
fn the_waiting_list_takes_nothing_from_what_may_be_promised() {
    let farm = farm();
    let waits = wants("Waiter", Rank::Waiting, SoldAs::Whole, 300.0);
    let orders = [wants("Tern", Rank::Ordered, SoldAs::Whole, 30.0), waits];
    let goods: Vec<_> = goods(&farm).into_iter().filter(|(good, ..)| good.sold_as == SoldAs::Whole).collect();
    let lived = |buyers: &[Buyer]| {
        let market = Market::new(&farm, buyers);
        let classes = (0..=market.limits_g.len()).map(|at| market.class(at, 20.0, 20.0)).collect();
        let mut open: Vec<f64> = buyers.iter().map(|buyer| buyer.amount).collect();
        live(&market, friday(), &Future { classes, mean_weight_g: 35.0 }, &mut open, &goods)
    };
    let (with, without) = (lived(&orders), lived(&orders[..1]));
    assert!((with.given[0] - 30.0).abs() < 1e-6 && with.given[1] > 10.0, "served from what is left: {:?}", with.given);
    assert!(without.free.iter().sum::<f64>() > 10.0);
    assert_eq!((with.free, with.left_kg, with.coins), (without.free, without.left_kg, without.coins));
}
