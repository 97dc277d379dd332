//! Oxygen tonight: what each kind of reading lets the morning say, and what it says to do.

use farm::OxygenRead;
use season::answer::PondOutlook;
use season::farm;
use season::oxygen::nights::Rests;
use season::oxygen::{Air, OxygenTonight};
use units::Day;

use crate::hazel_bend;
use crate::sample::Sample;

/// Lower, with two horsepower.
const LOWER: usize = 2;

fn summer() -> Day {
    Day::parse("2011-08-05").expect("a day")
}

/// Lower with these readings: hours from this morning's midnight by standard time, mg/L.
fn lower(mut change: impl FnMut(&mut Sample), reads: &[(i64, f64)]) -> OxygenTonight {
    let mut sample = hazel_bend();
    let midnight = season::place_of(&sample.farm).day_start(summer());
    sample.farm.ponds[LOWER].oxygen =
        reads.iter().map(|&(hour, mg_l)| OxygenRead { at: midnight.plus_hours(hour), mg_l, depth_m: 0.45 }).collect();
    change(&mut sample);
    let answer = sample.ask(summer(), None).expect("an answer");
    let pond: PondOutlook = answer.ponds.into_iter().find(|pond| pond.index == LOWER).expect("it is in the water");
    pond.oxygen
}

#[test]
fn without_readings_nothing_is_told() {
    let unread = lower(|_| {}, &[]);
    assert_eq!((unread.told, unread.air), (None, Air::Unread));
    assert_eq!(unread.dawn.0, summer().plus(1));
}

#[test]
fn the_more_was_read_the_more_is_said() {
    let dawn = lower(|_| {}, &[(6, 4.0)]);
    let told = dawn.told.expect("told");
    assert_eq!((told.by.rests, told.mg_l.middle), (Rests::Dawns, 4.0));
    assert_eq!(dawn.air, Air::ReadAtDusk, "it may run low: {:?}", told.mg_l);
    let evening = lower(|_| {}, &[(6, 4.0), (21, 6.5)]);
    let told_evening = evening.told.clone().expect("told");
    assert_eq!(told_evening.by.rests, Rests::Evening);
    assert!(told_evening.mg_l.high - told_evening.mg_l.low < told.mg_l.high - told.mg_l.low + 0.2);
    let two = lower(|_| {}, &[(6, 4.0), (20, 7.5), (23, 5.7)]).told.expect("told");
    let slower = lower(|_| {}, &[(6, 4.0), (20, 5.8), (23, 5.7)]).told.expect("told");
    assert_eq!(two.by.rests, Rests::Evenings);
    assert!(two.by.use_mg_l_h > slower.by.use_mg_l_h && two.mg_l.middle < slower.mg_l.middle, "{two:?} {slower:?}");
}

#[test]
fn the_aerator_starts_before_it_runs_low_and_holds_more() {
    let low = lower(|_| {}, &[(6, 3.2), (21, 5.0)]);
    let told = low.told.clone().expect("told");
    let Air::Start { by, holds } = low.air else { panic!("{low:?}") };
    assert!(holds.low > told.mg_l.low && holds.middle > told.mg_l.middle, "{holds:?} {told:?}");
    assert!((by.0, by.1) >= (summer(), 21) && by < low.dawn, "{by:?}");
    // A stronger one holds more, another kind less.
    let strong = lower(|sample| sample.farm.ponds[LOWER].aeration.power_kw *= 3.0, &[(6, 3.2), (21, 5.0)]);
    let Air::Start { holds: stronger, .. } = strong.air else { panic!("{strong:?}") };
    assert!(stronger.middle > holds.middle, "{stronger:?} {holds:?}");
    let bubbles = |sample: &mut Sample| sample.farm.ponds[LOWER].aeration.kind = farm::AeratorKind::Bubbles;
    let Air::Start { holds: weaker, .. } = lower(bubbles, &[(6, 3.2), (21, 5.0)]).air else { panic!("an aerator") };
    assert!(weaker.middle < holds.middle);
    // None there: how much it would take. One of that power then holds the limit.
    let none = lower(|sample| sample.farm.ponds[LOWER].aeration.power_kw = 0.0, &[(6, 3.2), (21, 5.0)]);
    let Air::NoAerator { needed_kw } = none.air else { panic!("{none:?}") };
    assert!((0.1..10.0).contains(&needed_kw), "{needed_kw}");
    let enough = lower(|sample| sample.farm.ponds[LOWER].aeration.power_kw = needed_kw, &[(6, 3.2), (21, 5.0)]);
    let Air::Start { holds, .. } = enough.air else { panic!("{enough:?}") };
    assert!((holds.low - 3.0).abs() < 0.25, "{holds:?}");
    // Plenty needs none.
    assert_eq!(lower(|_| {}, &[(6, 8.0), (21, 11.0)]).air, Air::Enough);
}

#[test]
fn more_animals_use_more() {
    let many = |sample: &mut Sample| sample.farm.ponds[LOWER].stocking.count *= 4.0;
    let used = |oxygen: OxygenTonight| oxygen.told.expect("told").by.use_mg_l_h;
    assert!(used(lower(many, &[(21, 6.0)])) > used(lower(|_| {}, &[(21, 6.0)])));
}
