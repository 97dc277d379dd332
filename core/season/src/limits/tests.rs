use farm::{Away, Ceiling, ColdStore, Days, Drive, Hired, Outlet, read_farm};
use plan::Limit;

use super::*;

const FARM: &str = include_str!("../../../../samples/hazel-bend/farm.toml");

/// Wednesday 28 September 2011.
fn today() -> Day {
    Day::new(2011, 9, 28).expect("a date")
}

fn on(day: i32) -> Days {
    Days { from: today().plus(day), to: today().plus(day) }
}

fn farm() -> Farm {
    read_farm(FARM).expect("the sample reads")
}

const DAYS: usize = 14;

/// The limits of the next fourteen days at seven in the morning, with eleven hours of light from seven on.
fn ask(farm: &Farm) -> Limits {
    let ponds: Vec<(usize, Vec<Way>)> =
        (0..farm.ponds.len()).map(|pond| (pond, vec![Way { lead_hours: 36, ..Way::default() }])).collect();
    let rain: Vec<RainChances> =
        farm.ponds.iter().map(|_| RainChances { bank_open: vec![0.9; DAYS], outlet_free: vec![0.8; DAYS] }).collect();
    limits(
        farm,
        &Setting {
            today: today(),
            now_hour: 7,
            days: DAYS,
            first_light: vec![7; DAYS],
            daylight_hours: vec![11.0; DAYS],
            ponds: &ponds,
            rain: &rain,
        },
    )
}

fn amounts(limits: &Limits, kind: DayKind) -> Vec<f64> {
    limits.day_limits.iter().find(|limit| limit.kind == kind).expect("the limit stands").amount.clone()
}

fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{got}, by hand {expected}");
}

const LB: f64 = 0.453_592_37;

#[test]
fn pumps_are_one_each_and_share_the_generator() {
    // The sample has a pump with its own engine, 0.4 gal/h, and one on the generator, which burns 0.6 gal/h and drives one.
    let mut farm = farm();
    let gear = ask(&farm).gear;
    assert_eq!(gear.iter().map(|gear| gear.amount).collect::<Vec<_>>(), [1.0, 1.0, 1.0], "two pumps, one place");
    let gal = 3.785_411_784;
    let holds = |farm: &Farm, pumps: &[usize]| {
        let (held, burnt) = pumps_hold(farm, pumps);
        (held, (burnt / gal * 1e6).round() / 1e6)
    };
    assert_eq!(holds(&farm, &[]), (vec![], 0.0));
    assert_eq!(holds(&farm, &[0]), (vec![(0, 1.0)], 0.4));
    assert_eq!(holds(&farm, &[1]), (vec![(1, 1.0), (2, 1.0)], 0.6));
    assert_eq!(holds(&farm, &[0, 1]), (vec![(0, 1.0), (1, 1.0), (2, 1.0)], 1.0));
    // Two pumps on generators that drive two each: two places, one generator's fuel; three pumps need a second one.
    (farm.gear.generators, farm.gear.pumps_per_generator) = (2, 2);
    farm.gear.pumps[0].drive = Drive::Generator;
    farm.gear.pumps[0].fuel_l_h = 0.0;
    farm.gear.pumps.push(farm.gear.pumps[1].clone());
    assert_eq!(ask(&farm).gear[3].amount, 4.0);
    assert_eq!(holds(&farm, &[0, 1]), (vec![(0, 1.0), (1, 1.0), (3, 2.0)], 0.6));
    assert_eq!(holds(&farm, &[0, 1, 2]).1, 1.2);
    // A pump that must be asked for stands ready only then; others always did.
    farm.gear.pumps[1].notice_h = 20.5;
    let gear = ask(&farm).gear;
    assert_eq!(gear[1].from_hour, 7 + 21);
    assert!(gear[0].from_hour < -10_000 && gear[3].from_hour < -10_000);
}

#[test]
fn days_of_work_hands_and_hours() {
    let mut farm = farm();
    farm.calendar.workdays = [true, true, true, true, true, true, false];
    farm.calendar.holidays = vec![on(2)];
    farm.gear.hired = vec![Hired { name: "truck".into(), notice_h: 0.0, cost_day: 0.0, away: vec![on(5)] }];
    farm.crew.away = vec![Away { days: on(3), hands: 3 }];
    let limits = ask(&farm);
    // Wednesday first: Friday is a holiday, Sunday no workday, on Monday the hired truck is elsewhere.
    assert_eq!(limits.workday[..7], [true, true, false, true, false, false, true]);
    // Two owners with two helpers on weekdays and four at weekends, nine hours each; three missing on Saturday.
    let hands = amounts(&limits, DayKind::Hands);
    assert_eq!(hands[..6], [36.0, 36.0, 36.0, 27.0, 54.0, 36.0]);
    assert_eq!(limits.daylight_hours[0], 9.0, "nobody works eleven hours");
    farm.crew.hours_per_day = 12.0;
    assert_eq!(ask(&farm).daylight_hours[0], 11.0, "nobody works in the dark");
    let per_lb = limits.day_limits.iter().find(|limit| limit.kind == DayKind::Hands).expect("stands");
    // 32 lb an hour, all forms alike, and slow animals cost more.
    per_lb.per_lb.iter().for_each(|&hours| near(hours, 1.0 / 32.0));
    assert!(per_lb.takes_extra_hours);
    // Drains are opened from five in the morning to ten at night.
    let open: Vec<usize> = (0..24).filter(|&hour| limits.start_hours[hour]).collect();
    assert_eq!(open, (5..=22).collect::<Vec<_>>());
    assert_eq!((limits.catches_per_day, limits.keep, limits.now_hour, limits.days), (Some(1), 0.8, 7, DAYS));
}

#[test]
fn pounds_ice_and_baskets_of_a_day() {
    let farm = farm();
    let limits = ask(&farm);
    near(amounts(&limits, DayKind::Pounds)[4], 1300.0);
    // 1,500 lb of ice a day and 100 lb in hand; a pound of ice chills a pound of prawns, live ones need none.
    let ice = limits.day_limits.iter().find(|limit| limit.kind == DayKind::Ice).expect("stands");
    near(ice.amount[0], 1600.0 * LB);
    near(ice.amount[1], 1500.0 * LB);
    assert_eq!(ice.per_lb[0], 0.0);
    near(ice.per_lb[1], LB);
    near(ice.per_lb[2], LB);
    // Twelve baskets of 22 lb, an hour to a round, nine hours.
    near(amounts(&limits, DayKind::Baskets)[0], 12.0 * 22.0 * 9.0);
    let fuel = limits.fuel.expect("fuel is counted");
    near(fuel.in_store, 30.0 * 3.785_411_784);
    near(fuel.per_day, 20.0 * 3.785_411_784);
}

#[test]
fn stores_hold_what_they_hold_and_empty_on_sale_days() {
    let mut farm = farm();
    let limits = ask(&farm);
    let [cold, live] = &limits.stores[..] else { panic!("a cold room and live tanks") };
    assert_eq!((cold.kind, live.kind), (StoreKind::ColdStore, StoreKind::LiveTanks));
    // 1,500 lb, taken on 4 and 5 October; whole prawns leave it on Fridays to Sundays, 800 lb at most.
    assert!(
        cold.room_lb.iter().enumerate().all(|(day, &lb)| (lb == 0.0) == [6, 7].contains(&day)),
        "{:?}",
        cold.room_lb
    );
    near(cold.room_lb[0], 1500.0);
    let leave: Vec<f64> = cold.offtake_lb.iter().map(|lb| lb.round()).collect();
    assert_eq!(leave[..7], [0.0, 0.0, 800.0, 800.0, 800.0, 0.0, 0.0]);
    assert_eq!(cold.per_lb, [0.0, 1.0, 1.0]);
    // Two tanks of 300 gal at 50 g/l, one night.
    let tanks_lb = 2.0 * 300.0 * 3.785_411_784 * 0.050 / LB;
    near(live.room_lb[3], tanks_lb);
    near(live.offtake_lb[3], tanks_lb);
    assert_eq!(live.per_lb, [1.0, 0.0, 0.0]);
    farm.cold.live_nights = 2;
    near(ask(&farm).stores[1].offtake_lb[3], 0.5 * tanks_lb);
    // With no sale day named it can leave every day, and without a ceiling as much as there is.
    farm.calendar.sale_weekdays = [false; 7];
    farm.calendar.sale_days.clear();
    farm.orders.ceilings.retain(|ceiling| ceiling.form != Form::Whole);
    assert!(ask(&farm).stores[0].offtake_lb.iter().all(|&lb| lb >= 1.0e6));
    farm.cold.store = None;
    assert_eq!(ask(&farm).stores.len(), 1);
}

#[test]
fn notices_are_the_longest_of_their_kind() {
    let mut farm = farm();
    let hours = |farm: &Farm| -> Vec<(NoticeKind, i32)> {
        ask(farm).notices.iter().map(|notice| (notice.kind, notice.hours)).collect()
    };
    // Ice 2 days, cold room 1 day; crew 1 day; restaurants 2 days, bank 1 day.
    assert_eq!(hours(&farm), [(NoticeKind::Ice, 48), (NoticeKind::Crew, 24), (NoticeKind::Buyers, 48)]);
    farm.cold.store = Some(ColdStore { notice_h: 71.5, ..farm.cold.store.clone().expect("the sample has one") });
    farm.gear.hired = vec![Hired { name: "seine".into(), notice_h: 60.0, cost_day: 0.0, away: Vec::new() }];
    farm.orders.ceilings.push(Ceiling {
        form: Form::Piece,
        kg_day: None,
        kg_total: None,
        notice_h: 96.0,
        sold_kg: 0.0,
    });
    assert_eq!(hours(&farm), [(NoticeKind::Ice, 72), (NoticeKind::Crew, 60), (NoticeKind::Buyers, 96)]);
}

#[test]
fn each_pond_has_its_own() {
    let mut farm = farm();
    farm.ponds[0].locked = Some(today().plus(4));
    farm.ponds[1].locked = Some(today().plus(-1));
    farm.ponds[2].forbidden = vec![Days { from: today().plus(3), to: today().plus(5) }];
    farm.ponds[3].emptying.outlet = Outlet::None;
    let limits = ask(&farm);
    let [willow, quarry, lower, heron] = &limits.ponds[..] else { panic!("four ponds") };
    assert_eq!((willow.locked.map(|locked| locked.day), quarry.locked), (Some(4), None), "a day gone by binds nobody");
    let closed: Vec<usize> = (0..DAYS).filter(|&day| lower.closed[day]).collect();
    assert_eq!(closed, [3, 4, 5]);
    assert!(!willow.closed.contains(&true));
    assert_eq!((willow.catch_hours, heron.catch_hours, willow.ways[0].lead_hours), (3.0, 6.0, 36));
    // Rain on the creek does not stop a pump; banks are anybody's.
    assert!(heron.receiving_chance.is_empty() && willow.receiving_chance == [0.8; DAYS]);
    assert!(limits.ponds.iter().all(|pond| pond.bank_chance == [0.9; DAYS] && pond.left_coins.is_none()));
    assert_eq!((willow.first_day_shares.len(), &heron.first_day_shares[..]), (0, &[0.5][..]));
    assert!(willow.seining.is_none() && quarry.seining.is_some_and(|seining| seining.catch_hours == 1.5));
}

/// A drain that was opened last evening is not opened anew each morning.
#[test]
fn water_going_down_counts_from_when_it_was_opened() {
    let mut farm = farm();
    // Half past six in the evening of the 27th by the farm's clock, four hours behind.
    let midnight = i64::from(today().0) * 86_400 + 4 * 3600;
    for (since, expected) in [
        (midnight - 5 * 3600 - 1800, Some(-5)),
        (midnight - 30 * 3600, Some(-30)),
        (midnight + 6 * 3600 + 60, Some(7)),
        (midnight + 15 * 3600, None),
    ] {
        farm.ponds[0].draining_since = Some(Instant(since));
        let limits = ask(&farm);
        assert_eq!(limits.ponds[0].started.map(|started| started.start_hour), expected);
        assert!(limits.ponds[1].started.is_none());
    }
}

#[test]
fn water_that_stood_still_counts_from_where_it_was_read() {
    let mut farm = farm();
    let midnight = i64::from(today().0) * 86_400 + 4 * 3600;
    let mut start = |read: Option<(i64, f64)>| {
        farm.ponds[0].draining_since = Some(Instant(midnight - 20 * 3600));
        farm.ponds[0].draining_read = read.map(|(hours, below_m)| (Instant(midnight + 3600 * hours), below_m));
        ask(&farm).ponds[0].started.map(|started| started.start_hour)
    };
    // Let go twenty hours ago; still full at five: as if it were let go then. Lower by five centimetres: some hours more, not twenty.
    assert_eq!((start(None), start(Some((5, 0.0)))), (Some(-20), Some(5)));
    let some = start(Some((5, 0.05))).expect("it goes down");
    assert!((-15..5).contains(&some), "{some}");
}

#[test]
fn work_starts_by_light_or_clock() {
    let mut farm = farm();
    assert_eq!((work_starts(&farm, 6.2), work_starts(&farm, 7.0)), (7, 7));
    farm.crew.start = StartOfWork::Clock(6.5);
    assert_eq!(work_starts(&farm, 5.1), 7);
}

/// The limits as they stand are those by which a plan is judged: what is too much is called by its name.
#[test]
fn the_plan_is_held_to_them() {
    let mut farm = farm();
    farm.calendar.holidays = vec![on(3)];
    let limits = ask(&farm);
    let grid = |value: f64| plan::Grid::filled(4, DAYS, 2, value);
    let tables = |lb: f64, extra_h: f64| plan::Tables {
        ponds: 4,
        parts: vec![None; 4],
        worth: grid(1000.0),
        cold_loss: grid(0.0),
        loss_fraction: grid(0.0),
        crossing: plan::Grid::filled(4, DAYS, 2, false),
        pounds_lb: [grid(0.0), grid(lb), grid(0.0)],
        extra_hand_hours: Some(grid(extra_h)),
    };
    let broken = |tables: &plan::Tables, day: usize| -> Vec<Limit> {
        let start_hour = 24 * day as i32 + 7 - 36;
        let job = plan::Job { pond: 0, way: 0, take: plan::Take::Whole { day }, start_hour, end_hour: start_hour + 39 };
        let schedule = plan::Schedule { jobs: vec![Some(job), None, None, None] };
        let all = plan::check(&schedule, tables, &limits, &[0, 1]);
        all.iter().map(|one| one.limit).filter(|limit| *limit != Limit::Left).collect()
    };
    // Friday the 30th: 700 lb of whole prawns pass, 1,400 are more than are handled.
    assert_eq!(broken(&tables(700.0, 0.0), 2), []);
    assert!(broken(&tables(1400.0, 0.0), 2).contains(&Limit::Day(DayKind::Pounds)));
    // 700 lb take 22 of the day's 36 hand-hours; slow animals that take 20 more are too many.
    assert_eq!(broken(&tables(700.0, 20.0), 2), [Limit::Day(DayKind::Hands)]);
    assert!(broken(&tables(700.0, 0.0), 3).contains(&Limit::Workday));
    // On 4 and 5 October the cold room is a neighbour's and nobody sells.
    assert_eq!(broken(&tables(700.0, 0.0), 6), [Limit::Store(StoreKind::ColdStore); 2]);
}

#[test]
fn a_day_of_the_plan_accepted_last_needs_no_notice() {
    let mut farm = farm();
    farm.ponds[0].announced = vec![today().plus(-2), today().plus(1), today().plus(2)];
    let limits = ask(&farm);
    assert_eq!(limits.ponds[0].announced, [1, 2], "a day gone by is no day of the plan");
    assert!(limits.ponds[0].was_announced(1) && !limits.ponds[0].was_announced(3));
    assert!(!limits.ponds[1].was_announced(1), "another pond's day was not told");
}
