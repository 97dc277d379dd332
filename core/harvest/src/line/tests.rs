use std::sync::Arc;

use super::*;
use crate::day::{Buyers, Means, Standing};
use crate::day_water::{DayWater, Strands};
use crate::falling_water::FallingWater;
use crate::hands::{Hand, HandKind};
use crate::rates::Rates;
use crate::task::Post;

fn crew(water: usize, bank: usize, table: usize) -> Vec<Hand> {
    let at = |post, n| std::iter::repeat_n(Hand::new(HandKind::Helper, 6.5, 15.5, post), n);
    at(Post::Water, water).chain(at(Post::Bank, bank)).chain(at(Post::Table, table)).collect()
}

fn day() -> Day {
    Day {
        course: FallingWater::even((7.0, 9.0), 11.0, f64::INFINITY, 0.8, 0.3),
        water: Arc::new(DayWater::even(&[25.0])),
        strands: Strands { warm_share: 0.1, ..Strands::default() },
        hands: crew(3, 2, 1),
        means: Means { live_room_kg: 60.0, ..Means::default() },
        buyers: Buyers { live_kg: 36.0, whole_kg: 150.0, tails_kg: 50.0 },
        rates: Rates::default(),
        standing: None,
    }
}

fn future() -> Future {
    Future { mass_kg: 220.0, weight_g: 36.0, member: 0, strands_uneven: 1.0, culled_share: 0.03, dwell_h: [0.25; 2] }
}

fn live(day: &Day, future: &Future, member: usize) -> Lived {
    let draws = Draws::new(7, 0..40, &day.rates);
    Line::new().live(day, future, &draws, member).clone()
}

/// Everything that was in the pond is somewhere.
fn closes(lived: &Lived, mass_kg: f64) {
    let there = lived.live_kg + lived.whole_kg + lived.tails_kg + lived.culled_kg + lived.undone_kg;
    assert!((lived.caught_kg - there).abs() < 1e-6, "caught {} there {there}", lived.caught_kg);
    let all = lived.caught_kg + lived.left_kg + lived.stranded_kg;
    assert!((all - mass_kg).abs() < 1e-6, "{all} of {mass_kg}");
}

#[test]
fn a_day_closes_in_every_future_and_under_every_want() {
    let plain = day();
    let few_baskets = Day { means: Means { baskets: 3, ..plain.means.clone() }, ..plain.clone() };
    let buyers = Buyers { live_kg: 0.0, ..plain.buyers };
    let no_ice = Day { means: Means { ice_kg: 60.0, ..plain.means.clone() }, buyers, ..plain.clone() };
    let no_room = Day { means: Means { store_kg: 50.0, ..plain.means.clone() }, ..plain.clone() };
    let alone = Day { hands: crew(1, 0, 0), ..plain.clone() };
    let drains = Day { course: FallingWater::even((7.0, 8.0), 9.0, 9.5, 0.8, 0.2), ..plain.clone() };
    for day in [&plain, &few_baskets, &no_ice, &no_room, &alone, &drains] {
        for member in 0..20 {
            closes(&live(day, &future(), member), future().mass_kg);
        }
    }
    assert!(live(&plain, &future(), 0).left_kg < 0.1, "the plain day takes all");
    let dry = live(&no_ice, &future(), 0);
    assert!(
        dry.left_kg > 50.0 && dry.stopped.ice_h >= 0.0 && dry.whole_kg + dry.tails_kg + dry.undone_kg <= 60.0 + 1e-6
    );
    assert!(live(&no_room, &future(), 0).left_kg > 50.0);
}

#[test]
fn the_same_member_lives_the_same_day_alone_and_after_others() {
    let draws = Draws::new(7, 0..40, &Rates::default());
    let mut line = Line::new();
    for member in 0..30 {
        line.live(&day(), &future(), &draws, member);
    }
    let crowd = line.live(&day(), &future(), &draws, 30).clone();
    let alone = Draws::new(7, 30..31, &Rates::default());
    assert_eq!(crowd, *Line::new().live(&day(), &future(), &alone, 0));
}

#[test]
fn nothing_is_allocated_once_a_day_has_been_lived() {
    let draws = Draws::new(7, 0..40, &Rates::default());
    let mut line = Line::new();
    line.live(&day(), &future(), &draws, 0);
    let room = line.room();
    for member in 0..40 {
        line.live(&day(), &future(), &draws, member);
    }
    assert_eq!(line.room(), room);
}

#[test]
fn more_of_anything_never_leaves_more_in_the_pond() {
    let scarce = Day {
        means: Means { baskets: 6, ice_kg: 120.0, tubs: 1, ..day().means },
        course: FallingWater::even((7.0, 8.0), 9.5, 10.0, 0.8, 0.2),
        hands: crew(2, 1, 0),
        ..day()
    };
    let mean = |day: &Day| {
        (0..40)
            .map(|member| {
                let one = live(day, &future(), member);
                one.left_kg + one.stranded_kg
            })
            .sum::<f64>()
    };
    let base = mean(&scarce);
    for (name, better) in [
        ("baskets", Day { means: Means { baskets: 20, ..scarce.means.clone() }, ..scarce.clone() }),
        ("ice", Day { means: Means { ice_kg: 500.0, ..scarce.means.clone() }, ..scarce.clone() }),
        ("water", Day { course: FallingWater::even((7.0, 8.0), 9.5, 15.0, 0.8, 0.2), ..scarce.clone() }),
    ] {
        assert!(mean(&better) <= base + 1e-6, "{name}: {} against {base}", mean(&better));
    }
    let iced = Day { means: Means { ice_kg: 500.0, ..scarce.means.clone() }, ..scarce.clone() };
    assert!(mean(&Day { hands: crew(4, 2, 1), ..iced.clone() }) < mean(&iced), "hands");
}

#[test]
fn animals_from_the_mud_are_never_offered_live() {
    // No hauls: everything is picked up and dipped, and live orders stay open.
    let no_net = Day { course: FallingWater::even((7.0, 7.0), 10.0, f64::INFINITY, 0.8, 0.3), ..day() };
    for member in 0..20 {
        let lived = live(&no_net, &future(), member);
        assert!(lived.live_kg + lived.turned_kg == 0.0 && lived.caught_kg > 200.0);
    }
    // Nor from a haul that is not among the clean ones.
    let murky = Day { means: Means { clean_hauls: 0, ..day().means }, ..day() };
    assert!((0..20).all(|member| live(&murky, &future(), member).live_kg == 0.0), "hauls after the clean ones");
    assert!((0..20).any(|member| live(&day(), &future(), member).live_kg > 10.0), "the first hauls are");
}

#[test]
fn a_basket_too_long_in_the_air_is_chilled_not_sold_alive() {
    let mut far = day();
    far.rates.get_mut(Task::Carry).value = 0.3;
    let lived = live(&far, &future(), 1);
    assert!(lived.live_kg == 0.0 && lived.turned_kg > 10.0, "{} {}", lived.live_kg, lived.turned_kg);
    closes(&lived, future().mass_kg);
}

#[test]
fn helpers_on_their_first_day_are_slower_and_leave_the_scale_alone() {
    let mut green = day();
    green.hands = crew(3, 0, 0);
    for post in [Post::Bank, Post::Bank, Post::Table] {
        green.hands.push(Hand::new(HandKind::FirstTimer, 6.5, 15.5, post));
    }
    assert!(live(&green, &future(), 0).finish_h > live(&day(), &future(), 0).finish_h);
    // A crew of first-timers alone cannot sort or weigh: nothing reaches the ice.
    green.hands = vec![Hand::new(HandKind::FirstTimer, 6.5, 15.5, Post::Bank); 4];
    let stuck = live(&green, &future(), 0);
    assert_eq!((stuck.waits[Task::Weigh as usize].count, stuck.whole_kg), (0, 0.0));
    closes(&stuck, future().mass_kg);
}

#[test]
fn a_day_taken_up_in_the_middle_goes_on_from_there() {
    let mut later = day();
    later.standing = Some(Standing {
        hour: 10.0,
        hauls: 3,
        in_net_kg: 8.0,
        waiting: vec![(Task::Sort, 9.0, 9.8), (Task::Load, 9.5, 9.75), (Task::Head, 12.0, 8.0)],
        in_tubs_kg: 30.0,
        ice_used_kg: 110.0,
        done: Buyers { live_kg: 36.0, whole_kg: 24.0, tails_kg: 0.0 },
        caught_kg: 120.5,
    });
    let lived = live(&later, &future(), 3);
    assert!(lived.finish_h > 10.0);
    let there = lived.whole_kg + lived.tails_kg + lived.culled_kg + lived.undone_kg;
    // What was waiting and in the tubs was caught before: it comes on top of what is caught from now on.
    assert!((lived.caught_kg + 9.0 + 9.5 + 12.0 + 30.0 - there).abs() < 1e-6, "{} {there}", lived.caught_kg);
    assert!((lived.caught_kg + lived.left_kg + lived.stranded_kg - (220.0 - 120.5)).abs() < 1e-6);
}

#[test]
fn nobody_goes_home_while_a_basket_lies_in_the_air() {
    let mut short = day();
    short.hands.iter_mut().for_each(|hand| hand.until_h = 8.5);
    for member in 0..20 {
        let lived = live(&short, &future(), member);
        let waiting_kg = lived.undone_kg;
        assert!(lived.left_kg > 10.0 && waiting_kg > 0.0);
        assert!(
            lived.out_kg.iter().sum::<f64>() + lived.live_kg + lived.culled_kg >= lived.caught_kg - 1e-6,
            "all on ice"
        );
    }
}

#[test]
fn water_that_goes_too_soon_is_asked_to_be_held_and_water_that_does_not_is_left_alone() {
    let draws = Draws::new(7, 0..40, &Rates::default());
    let futures = vec![future(); 40];
    let mut line = Line::new();
    let quick = Day { course: FallingWater::even((7.0, 8.0), 9.0, 9.5, 0.8, 0.2), ..day() };
    let asked = crate::hold(&mut line, &quick, &futures, &draws).expect("a hold");
    let held = Day { course: quick.course.held(asked.from_h, asked.for_h), ..quick.clone() };
    let mean = |line: &mut Line, day: &Day| -> f64 {
        crate::live_all(line, day, &futures, &draws).iter().map(crate::worth_h).sum::<f64>() / 40.0
    };
    let (asked_of, as_it_was) = (mean(&mut line, &held), mean(&mut line, &quick));
    assert!(asked_of < as_it_was - 0.2, "{asked:?}: {asked_of} against {as_it_was}");
    let kept = Day { hands: crew(6, 6, 4), means: Means { baskets: 60, ..day().means }, ..day() };
    assert_eq!(crate::hold(&mut line, &kept, &futures, &draws), None);
}

#[test]
fn hands_are_moved_to_where_they_help_and_a_want_is_named() {
    let draws = Draws::new(7, 0..40, &Rates::default());
    let futures = vec![future(); 40];
    let mut line = Line::new();
    let mean = |line: &mut Line, day: &Day| -> f64 {
        crate::live_all(line, day, &futures, &draws).iter().map(crate::worth_h).sum::<f64>() / 40.0
    };
    let mut badly = Day { hands: crew(1, 0, 5), ..day() };
    let before = mean(&mut line, &badly);
    let moves = crate::best_posts(&mut line, &mut badly, &futures, &draws);
    assert!(!moves.is_empty() && mean(&mut line, &badly) < before - 0.1, "{moves:?}");
    let few = Day { means: Means { baskets: 2, ..day().means }, ..day() };
    let binds = crate::relaxed(&mut line, &few, &futures, &draws);
    let of_baskets = binds.iter().find(|one| one.limit == crate::Relaxed::Baskets);
    assert!(of_baskets.is_some_and(|one| one.better_h > 0.5), "{binds:?}");
    let dry = Day { means: Means { ice_kg: 80.0, ..day().means }, ..day() };
    assert_eq!(
        crate::relaxed(&mut line, &dry, &futures, &draws).first().map(|one| one.limit),
        Some(crate::Relaxed::Ice)
    );
    // 80 kg of ice, one to one, and what goes alive.
    let carries = crate::carried(&mut line, &dry, &futures, &draws);
    assert!((70.0..=125.0).contains(&carries.on_ice_kg), "{carries:?}");
    assert!(carries.packed_kg <= carries.on_ice_kg + 1.0);
}

/// Water of one place that is cold until an hour and warm from then on.
fn warms_at(hour: usize) -> Arc<DayWater> {
    let water_c = (0..24).map(|row| if row < hour { 16.0 } else { 24.0 }).collect();
    Arc::new(DayWater::new(0.0, 1, vec![true; 24], water_c, 1))
}

#[test]
fn what_strands_goes_by_the_waters_warmth_in_the_hours_in_which_the_floor_falls_bare() {
    // No net, and nobody to gather: what strands stays.
    let day = |water: Arc<DayWater>| Day {
        course: FallingWater::even((7.0, 7.0), 11.0, f64::INFINITY, 0.8, 0.3),
        strands: Strands { warm_share: 0.1, cold_share: 0.5, follow_c: 20.0, cold_c: 15.0 },
        means: Means { hauls_most: 0, ..Means::default() },
        water,
        ..day()
    };
    let picked = |water| live(&day(water), &future(), 0).picked_kg;
    let (cold, warm) = (picked(warms_at(23)), picked(warms_at(0)));
    assert!((warm - 22.0).abs() < 2.0 && cold > 3.5 * warm, "{warm} {cold}");
    let half = picked(warms_at(9));
    assert!(half > warm + 0.3 * (cold - warm) && half < warm + 0.7 * (cold - warm), "{warm} {half} {cold}");
    // A hold until the water is warm strands as much as warm water does.
    let held = Day { course: day(warms_at(9)).course.held(7.0, 2.0), ..day(warms_at(9)) };
    let later = live(&held, &future(), 0).picked_kg;
    assert!((later - warm).abs() < 3.0, "{later} {warm}");
}

#[test]
fn animals_out_of_warmer_water_lie_longer_in_the_slurry() {
    let future = Future { dwell_h: [0.4, 0.6], ..future() };
    assert!((future.dwell_from(15.0) - 0.4).abs() < 1e-12 && (future.dwell_from(30.0) - 0.6).abs() < 1e-12);
    let thick_m = crate::chill::thickness_m(60.0);
    let of = |from_c: f64| crate::chill::dwell_h(thick_m, 250.0, from_c, 2.0, crate::chill::SLURRY_C);
    let own = Future { dwell_h: crate::day::DWELL_FROM_C.map(of), ..future };
    for from_c in [12.0, 18.0, 22.0, 26.0, 31.0] {
        assert!(
            (own.dwell_from(from_c) / of(from_c) - 1.0).abs() < 0.01,
            "{from_c}: {} {}",
            own.dwell_from(from_c),
            of(from_c)
        );
    }
}
