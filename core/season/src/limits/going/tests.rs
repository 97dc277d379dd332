use plan::{Gear, Limits, PondLimits, Started, Way};

use super::settle;

/// Hours to catch depth, and the pumps held.
type Ways<'a> = &'a [(i32, &'a [usize])];

/// Two pumps; `by` are each pond's ways: hours and the pumps they hold.
fn farm(by: &[(i32, Ways<'_>)]) -> Limits {
    let pump = || Gear { amount: 1.0, from_hour: 0, away: Vec::new() };
    let way = |(lead_hours, pumps): &(i32, &[usize])| Way {
        lead_hours: *lead_hours,
        gear: pumps.iter().map(|&pump| (pump, 1.0)).collect(),
        ..Way::default()
    };
    let pond = |(start_hour, ways): &(i32, Ways<'_>)| PondLimits {
        started: Some(Started { start_hour: *start_hour, way: 0 }),
        ways: ways.iter().map(way).collect(),
        ..PondLimits::default()
    };
    let ponds = by.iter().map(pond).collect();
    Limits { now_hour: 7, first_light: vec![7; 14], gear: vec![pump(), pump()], ..Limits::open(14, ponds) }
}

fn ways(limits: &Limits) -> Vec<usize> {
    limits.ponds.iter().map(|pond| pond.started.expect("it goes down").way).collect()
}

#[test]
fn of_two_ponds_that_need_one_pump_the_one_with_a_drain_gives_way() {
    // By hand: the first keeps both pumps (54 h) and the second its drain (70 h): 124 h. The other way round is 160 + 60 h.
    let mut limits = farm(&[(6, &[(54, &[0, 1]), (160, &[1]), (80, &[0])]), (6, &[(60, &[0]), (70, &[])])]);
    settle(&mut limits);
    assert_eq!(ways(&limits), [0, 1]);
}

#[test]
fn one_that_cannot_give_way_is_not_left_without() {
    // The first has another way, the second none.
    let mut limits = farm(&[(0, &[(10, &[0]), (99, &[1])]), (5, &[(10, &[0])])]);
    settle(&mut limits);
    assert_eq!(ways(&limits), [1, 0]);
    // Alone it keeps what it was begun with.
    let mut alone = farm(&[(0, &[(10, &[0]), (99, &[1])])]);
    settle(&mut alone);
    assert_eq!(ways(&alone), [0]);
}

#[test]
fn water_that_is_down_is_not_left_standing() {
    // Let go at 6, 30 h: first light of day 2 is the first; three days more, and none after.
    let mut limits = farm(&[(6, &[(30, &[])])]);
    settle(&mut limits);
    let closed: Vec<usize> = (0..14).filter(|&day| limits.ponds[0].closed[day]).collect();
    assert_eq!(closed, (6..14).collect::<Vec<_>>());
    // A day that the grower holds to stands, one that others were told of for a later opening does not.
    let mut held = farm(&[(6, &[(30, &[])])]);
    held.ponds[0].locked = Some(plan::Locked { day: 9, way: None });
    held.ponds[0].announced = vec![11];
    settle(&mut held);
    assert_eq!((0..14).filter(|&day| held.ponds[0].closed[day]).collect::<Vec<_>>(), [10, 11, 12, 13]);
    // Where no day is left by which it is down, nothing is closed.
    let mut late = farm(&[(6, &[(1000, &[])])]);
    settle(&mut late);
    assert!(late.ponds[0].closed.iter().all(|closed| !closed));
}
