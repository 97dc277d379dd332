//! The best dates: against every combination, limit by limit, and when not every pond can be saved.

mod farms;
#[path = "farms/large.rs"]
mod large;

use farms::{Farm, best_among, best_by_trying, farm, key};
use plan::*;
use units::Watch;

#[test]
fn random_farms_agree_with_every_combination() {
    let (mut in_the_way, mut left) = (0, 0);
    for number in 0..300 {
        let count = farms::fault_of(&farm(number)).unwrap_or_else(|fault| panic!("farm {number}: {fault}"));
        in_the_way += u32::from(count.searched);
        left += u32::from(count.left);
    }
    // The farms are no test unless many are hard.
    assert!(in_the_way > 60 && left > 40, "{in_the_way} {left}");
}

#[test]
fn no_earlier_start_is_better_than_the_latest() {
    let small = |farm: &Farm| farm.limits.ponds.len() <= 2 && farm.limits.days <= 5 && !farm.limits.gear.is_empty();
    let farms = (0..4000).map(farm).filter(small).take(12);
    let mut more = 0;
    for farm in farms {
        let (latest, _, few) = best_by_trying(&farm, false);
        let (any, _, many) = best_by_trying(&farm, true);
        assert_eq!(latest, any);
        more += u32::from(many > few);
    }
    assert!(more > 3, "earlier starts were hardly tried: {more}");
}

#[test]
fn rivals_are_the_best_of_the_others() {
    let mut others = 0;
    for number in 0..150 {
        let farm = farm(number);
        let ask = Ask::exact(&farm.members, farm.risk_weight);
        let rivals = rivals(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("the farm is sound");
        let best = &rivals.best.schedule;
        let first = best.first_act(&farm.limits);
        let begins_otherwise = |schedule: &Schedule| schedule.first_act(&farm.limits) != first;
        let keys = |dates: &Option<Dates>| dates.as_ref().map(|dates| key(&farm, &dates.schedule));
        let (expected, _) = best_among(&farm, false, &|schedule| schedule != best);
        assert_eq!(keys(&rivals.next), expected.map(|best| best.0), "farm {number}, next");
        if first.is_some() {
            let (expected, _) = best_among(&farm, false, &begins_otherwise);
            assert_eq!(keys(&rivals.other_start), expected.map(|best| best.0), "farm {number}, other start");
            others += 1;
        }
    }
    assert!(others > 75, "{others}");
}

/// Two ponds that are worth most on day 5, and lose 10 coins for every day before it and 20 for every day after.
fn pair() -> Farm {
    let value = |_: usize, day: usize, _: usize| match day {
        0..=5 => 1000.0 - 10.0 * (5 - day) as f64,
        _ => 1000.0 - 20.0 * (day - 5) as f64,
    };
    let pounds = || Grid::filled(2, 10, 4, 100.0);
    let tables = Tables {
        ponds: 2,
        parts: vec![None, None],
        worth: Grid::from_fn(2, 10, 4, value),
        cold_loss: Grid::filled(2, 10, 4, 0.0),
        loss_fraction: Grid::filled(2, 10, 4, 0.0),
        crossing: Grid::filled(2, 10, 4, false),
        pounds_lb: [pounds(), pounds(), pounds()],
        extra_hand_hours: Some(Grid::filled(2, 10, 4, 5.0)),
    };
    let way = Way { lead_hours: 30, gear: vec![(0, 1.0)], fuel_per_hour: 1.0, cost_coins: 0.0 };
    let pond = PondLimits { ways: vec![way], catch_hours: 4.0, ..PondLimits::default() };
    let mut limits = Limits::open(10, vec![pond.clone(), pond]);
    limits.gear = vec![Gear { amount: 2.0, from_hour: i32::MIN, away: Vec::new() }];
    Farm { tables, limits, members: (0..4).collect(), risk_weight: 0.0 }
}

fn day_limit(kind: DayKind, per_lb: [f64; STREAMS], amount: f64) -> DayLimit {
    DayLimit { kind, per_lb, per_catch: 0.0, takes_extra_hours: false, amount: vec![amount] }
}

/// The limit turns the plan for the pair from (5, 5) into `days`, and is named as what binds and what the free plan breaks.
fn check_binds(limit: Limit, days: [Option<usize>; 2], set: impl Fn(&mut Farm)) {
    let mut farm = pair();
    let ask = |farm: &Farm| best_fixed(&farm.tables, &farm.limits, &ask_of(farm), &Watch::new()).expect("sound");
    fn ask_of(farm: &Farm) -> Ask<'_> {
        Ask::exact(&farm.members, 0.0)
    }
    let days_of = |dates: &Dates| [0, 1].map(|pond| dates.schedule.jobs[pond].map(|job| job.take.last_day()));
    let free = ask(&farm);
    assert_eq!(days_of(&free), [Some(5), Some(5)], "{limit:?} free");
    set(&mut farm);
    let bound = ask(&farm);
    assert!(bound.proved);
    assert_eq!(days_of(&bound), days, "{limit:?} bound");
    let names = |schedule: &Schedule| -> Vec<Limit> {
        check(schedule, &farm.tables, &farm.limits, &farm.members).into_iter().map(|broken| broken.limit).collect()
    };
    assert!(names(&bound.schedule).iter().all(|broken| *broken == Limit::Left), "{limit:?}");
    let binding = binding(&farm.tables, &farm.limits, &bound, &ask_of(&farm), &Watch::new()).expect("sound");
    match limit {
        // What cannot be given up is not asked about.
        Limit::LeadTime | Limit::Started => assert!(names(&free.schedule).contains(&limit)),
        // The guard steers and is never broken: it only costs.
        Limit::Guard => assert!(binding.iter().any(|b| b.limit == limit && b.gain_coins == 20.0)),
        _ => {
            assert!(names(&free.schedule).contains(&limit), "{limit:?}: {:?}", names(&free.schedule));
            let found = binding.iter().find(|binding| binding.limit == limit);
            assert!(found.is_some_and(|found| found.gain_coins > 0.0 || found.ponds_more > 0), "{limit:?} {binding:?}");
        }
    }
}

#[test]
fn limits_of_one_pond_bind() {
    let both = |day| [Some(day), Some(day)];
    let first = |day| [Some(day), Some(5)];
    // 30 hours before 6 o'clock on day 5 is midnight of day 4; a start after that means day 6.
    check_binds(Limit::LeadTime, both(6), |farm| farm.limits.now_hour = 97);
    check_binds(Limit::StartHour, both(6), |farm| {
        // Someone is there only from noon of any day, and now it is noon of day 3 and an hour.
        farm.limits.start_hours = (0..24).map(|hour| hour == 12).collect();
        farm.limits.now_hour = 85;
    });
    check_binds(Limit::Workday, both(4), |farm| farm.limits.workday = (0..10).map(|day| day != 5).collect());
    check_binds(Limit::Closed, first(4), |farm| farm.limits.ponds[0].closed = (0..10).map(|day| day == 5).collect());
    check_binds(Limit::Bank, first(4), |farm| {
        farm.limits.bank_chance_least = 0.8;
        farm.limits.ponds[0].bank_chance = (0..10).map(|day| if day == 5 { 0.7 } else { 0.9 }).collect();
    });
    // Water let out on day 4 for a catch on day 5: closed on day 5, the catch must be over on day 4.
    check_binds(Limit::Receiving, first(4), |farm| {
        farm.limits.receiving_chance_least = 0.8;
        farm.limits.ponds[0].receiving_chance = (0..10).map(|day| if day == 5 { 0.7 } else { 0.9 }).collect();
    });
    check_binds(Limit::Locked, first(8), |farm| farm.limits.ponds[0].locked = Some(Locked { day: 8, way: None }));
    check_binds(Limit::Started, first(5), |farm| {
        farm.limits.ponds[0].started = Some(Started { start_hour: 70, way: 0 });
    });
    check_binds(Limit::Guard, first(3), |farm| {
        farm.limits.ponds[0].exposure = (0..10).map(|day| if day < 4 { 0 } else { 50 }).collect();
    });
    for kind in [NoticeKind::Ice, NoticeKind::Crew, NoticeKind::Buyers] {
        check_binds(Limit::Notice(kind), both(6), |farm| {
            farm.limits.notices = vec![Notice { kind, hours: 127, gear: None }];
        });
    }
    check_binds(Limit::Notice(NoticeKind::Gear), both(6), |farm| {
        farm.limits.notices = vec![Notice { kind: NoticeKind::Gear, hours: 97, gear: Some(0) }];
    });
}

#[test]
fn what_was_announced_needs_no_notice_again() {
    // The notice turns (5, 5) into (6, 6); where the fifth day was told before, it may still be had, and only by that pond.
    let mut farm = pair();
    farm.limits.notices = vec![Notice { kind: NoticeKind::Ice, hours: 127, gear: None }];
    farm.limits.ponds[1].announced = vec![5];
    let ask = Ask::exact(&farm.members, 0.0);
    let dates = best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
    let days = [0, 1].map(|pond| dates.schedule.jobs[pond].map(|job| job.take.last_day()));
    assert_eq!(days, [Some(6), Some(5)]);
    assert_eq!(check(&dates.schedule, &farm.tables, &farm.limits, &farm.members), []);
    farm.limits.ponds[1].announced = vec![4];
    let broken = check(&dates.schedule, &farm.tables, &farm.limits, &farm.members);
    assert_eq!(broken.iter().map(|broken| broken.limit).collect::<Vec<_>>(), [Limit::Notice(NoticeKind::Ice)]);
}

#[test]
fn limits_that_ponds_share_bind() {
    // Among equals the lower pond goes first; a day early costs less than a day late.
    let apart = [Some(4), Some(5)];
    // A pump is held from midnight of day 4 to ten o'clock on day 5, so the other pond's must be back by then: day 3.
    check_binds(Limit::Gear(0), [Some(3), Some(5)], |farm| farm.limits.gear[0].amount = 1.0);
    // Each job burns 34; by the end of day 5 there is 64, of day 6 68.
    check_binds(Limit::Fuel, [Some(5), Some(6)], |farm| {
        farm.limits.fuel = Some(Fuel { in_store: 40.0, per_day: 4.0 });
    });
    check_binds(Limit::Daylight, apart, |farm| farm.limits.daylight_hours = vec![7.9]);
    check_binds(Limit::CatchesPerDay, apart, |farm| farm.limits.catches_per_day = Some(1));
    for kind in [DayKind::Pounds, DayKind::Baskets, DayKind::Buyers] {
        check_binds(Limit::Day(kind), apart, |farm| farm.limits.day_limits = vec![day_limit(kind, [1.0; 3], 599.0)]);
    }
    check_binds(Limit::Day(DayKind::Heading), apart, |farm| {
        farm.limits.day_limits = vec![day_limit(DayKind::Heading, [0.0, 0.0, 1.0], 199.0)];
    });
    check_binds(Limit::Day(DayKind::Ice), apart, |farm| {
        farm.limits.day_limits = vec![day_limit(DayKind::Ice, [0.0, 1.5, 1.5], 599.0)];
    });
    check_binds(Limit::Day(DayKind::Hands), apart, |farm| {
        // Each pond: 300 lb at 0.02 h, 2 h to set up, 5 h more: 13 h.
        let mut hands = day_limit(DayKind::Hands, [0.02; 3], 25.9);
        (hands.per_catch, hands.takes_extra_hours) = (2.0, true);
        farm.limits.day_limits = vec![hands];
    });
    for kind in [StoreKind::ColdStore, StoreKind::LiveTanks] {
        // Room for one pond and a half; the first pond's share leaves within two days.
        check_binds(Limit::Store(kind), [Some(3), Some(5)], |farm| {
            let (at_start_lb, room_lb, offtake_lb) = (0.0, vec![150.0], vec![25.0]);
            farm.limits.stores = vec![Store { kind, per_lb: [1.0, 0.0, 0.0], at_start_lb, room_lb, offtake_lb }];
        });
    }
    // Buyers take one pond's live animals until day 5; the other waits until day 6.
    check_binds(Limit::Order(0), [Some(5), Some(6)], |farm| {
        farm.limits.orders = vec![Order { per_lb: [1.0, 0.0, 0.0], from_day: 0, to_day: 5, ceiling_lb: 199.0 }];
    });
}

#[test]
fn amounts_are_judged_by_the_sum_over_ponds_at_the_level_kept() {
    let check_level = |keep: f64, together: bool| {
        let mut farm = pair();
        // Heavy in member 0 for one pond and in member 1 for the other: each pond alone exceeds in one of four, both in two.
        farm.tables.pounds_lb[0] =
            Grid::from_fn(2, 10, 4, |pond, _, member| if pond == member { 400.0 } else { 100.0 });
        farm.limits.day_limits = vec![day_limit(DayKind::Pounds, [1.0, 0.0, 0.0], 300.0)];
        farm.limits.keep = keep;
        let ask = Ask::exact(&farm.members, 0.0);
        let dates = best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
        let days: Vec<_> = dates.schedule.jobs.iter().flatten().map(|job| job.take.last_day()).collect();
        assert_eq!(days, if together { [5, 5] } else { [4, 5] }, "{keep}");
    };
    check_level(0.5, true);
    check_level(0.75, false);
}

#[test]
fn what_cannot_be_saved_is_left_with_its_reasons_and_the_rest_is_best() {
    let check_reason = |limit: Limit, left: Vec<usize>, set: fn(&mut Limits)| {
        let mut farm = pair();
        set(&mut farm.limits);
        let ask = Ask::exact(&farm.members, 0.0);
        let dates = best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
        assert_eq!(dates.left, left, "{limit:?}");
        assert_eq!(dates.objective_coins, 1000.0 * (2 - left.len()) as f64, "{limit:?}");
        for &pond in &left {
            let reasons = why_left(pond, &dates, &farm.tables, &farm.limits, &ask, 3);
            let broken: Vec<Limit> = reasons[0].broken.iter().map(|broken| broken.limit).collect();
            assert_eq!(broken, [limit], "{reasons:?}");
            assert_eq!(reasons[0].objective_coins, 1000.0);
        }
    };
    check_reason(Limit::Closed, vec![1], |limits| limits.ponds[1].closed = vec![true]);
    check_reason(Limit::Day(DayKind::Pounds), vec![0, 1], |limits| {
        limits.day_limits = vec![day_limit(DayKind::Pounds, [1.0; 3], 250.0)];
    });
    check_reason(Limit::Workday, vec![0, 1], |limits| limits.workday = vec![false]);
    // Fuel for one pond only: the lower one stays, as among equals the later days count against a plan, and both are equal.
    check_reason(Limit::Fuel, vec![0], |limits| limits.fuel = Some(Fuel { in_store: 40.0, per_day: 0.0 }));
    // Nothing can start any more: too late is what is said.
    let mut farm = pair();
    farm.limits.now_hour = 24 * 9;
    let ask = Ask::exact(&farm.members, 0.0);
    let dates = best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
    assert_eq!(dates.left, [0, 1]);
    let reasons = why_left(0, &dates, &farm.tables, &farm.limits, &ask, 1);
    assert_eq!(reasons[0].broken.iter().map(|broken| broken.limit).collect::<Vec<_>>(), [Limit::LeadTime]);
}

#[test]
fn what_bars_a_promised_day_is_told_not_the_promise() {
    let mut farm = pair();
    // A later day would bring more, but it is not the one that was promised.
    farm.tables.worth = Grid::from_fn(2, 10, 4, |_, day, _| 100.0 * day as f64);
    farm.limits.workday = (0..10).map(|day| day != 5).collect();
    farm.limits.ponds[0].locked = Some(Locked { day: 5, way: None });
    let ask = Ask::exact(&farm.members, 0.0);
    let dates = best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
    assert_eq!(dates.left, [0]);
    let reasons = why_left(0, &dates, &farm.tables, &farm.limits, &ask, 1);
    assert_eq!(reasons[0].broken.iter().map(|broken| broken.limit).collect::<Vec<_>>(), [Limit::Workday]);
}

#[test]
fn a_dead_farm_still_gets_the_least_bad_day() {
    let mut farm = pair();
    // All is lost on every day, and each day's feed costs 3 coins a pond.
    farm.tables.worth = Grid::from_fn(2, 10, 4, |_, day, _| -3.0 * day as f64);
    farm.limits.now_hour = 6;
    let ask = Ask::exact(&farm.members, 0.0);
    let dates = best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
    let days: Vec<_> = dates.schedule.jobs.iter().flatten().map(|job| job.take.last_day()).collect();
    assert_eq!((days, dates.objective_coins), (vec![2, 2], -12.0));
}

#[test]
fn one_member_and_all_members_are_the_same_question() {
    for number in 0..100 {
        let farm = farm(number);
        let choices = Choices::new(&farm.limits, &farm.tables.parts, farm.tables.rows());
        let mut scratch = Scratch::default();
        for &member in &farm.members {
            let single = choices.best_for_member(&farm.tables, member, farm.risk_weight, &mut scratch, &Watch::new());
            let one = [member];
            let ask = Ask::exact(&one, farm.risk_weight);
            assert_eq!(Ok(single), best_fixed(&farm.tables, &farm.limits, &ask, &Watch::new()), "farm {number}");
        }
    }
}

#[test]
fn a_calendar_knows_no_present_hour_and_no_promises() {
    let mut farm = pair();
    farm.limits.now_hour = 24 * 8;
    farm.limits.notices = vec![Notice { kind: NoticeKind::Ice, hours: 48, gear: None }];
    farm.limits.ponds[0].locked = Some(Locked { day: 9, way: None });
    farm.limits.ponds[1].started = Some(Started { start_hour: 24 * 7, way: 0 });
    let ask = Ask::exact(&farm.members, 0.0);
    let dates = best_calendar(&farm.tables, &farm.limits, &ask, &Watch::new()).expect("sound");
    assert_eq!(dates.objective_coins, 2000.0);
}

#[test]
fn a_search_cut_short_still_gives_an_allowed_plan_and_says_so() {
    let large::Large { tables, limits, members } = large::large(2, 12, 100, 5, false);
    let ask = Ask { looks_most: 4_000_000, ..Ask::exact(&members, 0.5) };
    let dates = best_fixed(&tables, &limits, &ask, &Watch::new()).expect("sound");
    assert!(!dates.proved && dates.left.is_empty());
    assert_eq!(check(&dates.schedule, &tables, &limits, &members), []);
    let watch = Watch::new();
    watch.ask_to_stop();
    let stopped = best_fixed(&tables, &limits, &Ask::exact(&members, 0.5), &watch).expect("sound");
    assert!(!stopped.proved && stopped.objective_coins <= dates.objective_coins);
    assert_eq!(check(&stopped.schedule, &tables, &limits, &members), []);
}

#[test]
fn a_search_cut_short_says_how_much_better_the_best_can_be() {
    let large::Large { tables, limits, members } = large::large(2, 12, 100, 5, false);
    let exact = Ask::exact(&members, 0.5);
    let best = best_fixed(&tables, &limits, &exact, &Watch::new()).expect("sound");
    assert!(best.proved && best.beyond_coins == Some(0.0));
    for looks_most in [4_000_000, 40_000_000] {
        let cut = best_fixed(&tables, &limits, &Ask { looks_most, ..exact }, &Watch::new()).expect("sound");
        let beyond = cut.beyond_coins.expect("no pond is left and none exposed");
        assert!(!cut.proved && cut.objective_coins <= best.objective_coins);
        assert!(cut.looks < looks_most + looks_most / 4, "{} of {looks_most}", cut.looks);
        assert!(best.objective_coins <= cut.objective_coins + beyond, "{looks_most}: {beyond}");
        assert!(beyond < 0.02 * best.objective_coins, "{looks_most}: {beyond}");
    }
}

#[test]
fn a_search_begun_with_dates_finds_none_worse_and_passes_over_what_is_not_worth_telling() {
    let large::Large { tables, limits, members } = large::large(2, 12, 100, 5, false);
    let best = best_fixed(&tables, &limits, &Ask::exact(&members, 0.5), &Watch::new()).expect("sound");
    let begun = Ask { start: Some(&best.schedule), looks_most: 1, ..Ask::exact(&members, 0.5) };
    let dates = best_fixed(&tables, &limits, &begun, &Watch::new()).expect("sound");
    assert_eq!((dates.objective_coins, &dates.schedule), (best.objective_coins, &best.schedule));
    let rough = Ask { least_gain_coins: 0.002 * best.objective_coins, ..Ask::exact(&members, 0.5) };
    let dates = best_fixed(&tables, &limits, &rough, &Watch::new()).expect("sound");
    assert!(dates.proved && dates.nodes < best.nodes / 4, "{} of {}", dates.nodes, best.nodes);
    assert!(best.objective_coins - dates.objective_coins <= rough.least_gain_coins);
    assert!(best.objective_coins <= dates.objective_coins + dates.beyond_coins.expect("none is left"));
}

#[test]
fn full_size_farms_are_proved_and_kept_to_their_limits() {
    for number in 0..6 {
        let large::Large { tables, limits, members } = large::large(number, 4, 70, 40, false);
        let ask = Ask::exact(&members, 0.5);
        let dates = best_fixed(&tables, &limits, &ask, &Watch::new()).expect("sound");
        assert!(dates.proved && dates.left.is_empty(), "farm {number}");
        assert_eq!(check(&dates.schedule, &tables, &limits, &members), [], "farm {number}");
        let mean = |of: &dyn Fn(usize) -> f64| members.iter().map(|&m| of(m)).sum::<f64>() / members.len() as f64;
        let worth = mean(&|member| dates.schedule.worth_of(&tables, &limits, member));
        let loss = mean(&|member| dates.schedule.cold_loss_of(&tables, &limits, member));
        assert!((worth - 0.5 * loss - dates.objective_coins).abs() < 0.1, "farm {number}");
    }
}

#[test]
fn unsound_tables_and_limits_are_refused() {
    let refused = |set: fn(&mut Farm)| {
        let mut farm = pair();
        set(&mut farm);
        fault(&farm.tables, &farm.limits, &farm.members).expect_err("it is unsound")
    };
    assert_eq!(fault(&pair().tables, &pair().limits, &[0]), Ok(()));
    let shape = |table| DatesFault::Tables(TablesFault::Shape { table });
    assert_eq!(refused(|farm| farm.tables.cold_loss = Grid::filled(2, 9, 4, 0.0)), shape("cold_loss"));
    assert_eq!(refused(|farm| farm.tables.crossing = Grid::filled(1, 10, 4, false)), shape("crossing"));
    assert_eq!(refused(|farm| farm.tables.parts = vec![None, Some(PartRows { large: 2, rest: 3 })]), shape("parts"));
    let nan = refused(|farm| farm.tables.worth.of_mut(1, 3)[2] = f64::NAN);
    assert!(matches!(nan, DatesFault::Tables(TablesFault::Value { table: "worth", .. })));
    let negative = refused(|farm| farm.tables.pounds_lb[2].of_mut(0, 0)[0] = -1.0);
    assert!(matches!(negative, DatesFault::Tables(TablesFault::Value { table: "pounds_lb tails", .. })));
    assert_eq!(refused(|farm| farm.limits.days = 9), DatesFault::Limits);
    assert_eq!(refused(|farm| farm.limits.keep = 1.5), DatesFault::Limits);
    assert_eq!(refused(|farm| farm.limits.ponds[0].ways[0].lead_hours = -1), DatesFault::Limits);
    assert_eq!(refused(|farm| farm.members = vec![4]), DatesFault::Members);
    assert_eq!(refused(|farm| farm.members.clear()), DatesFault::Members);
}
