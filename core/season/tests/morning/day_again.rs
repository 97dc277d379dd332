//! The rehearsed day told again as entries come.

use farm::facts::{Basket, DayRecord, Edge, Moved, People, Place, Watched, Written};
use season::day::{Again, DayWish, Rehearsal, rehearsal};
use units::Instant;

use crate::day::{MORNING, ask};

fn rehearsed(pond: usize) -> Rehearsal {
    let morning = &*MORNING;
    rehearsal(&ask(&morning.sample, &morning.past), &morning.drawn, &morning.outlook, pond, &DayWish::default())
        .expect("a rehearsal")
}

/// A day's entries, by the clock.
struct Entered<'a> {
    of: &'a Rehearsal,
    record: DayRecord,
}

impl Entered<'_> {
    fn at(&self, hour: f64) -> Instant {
        let zone = &MORNING.sample.farm.place.zone;
        Instant(zone.instant(self.of.sheet.on, 0).0 + (3600.0 * hour) as i64)
    }
    fn written(&self, hour: f64) -> Written {
        let at = self.at(hour);
        let (id, head, person) = (format!("{hour}"), format!("{hour}"), "ann".to_owned());
        Written { id, head, at, typed_ms: 1000 * at.0, person, pond: Some("willow".to_owned()), tub: None }
    }
    fn baskets(&mut self, count: usize, from_h: f64, every_min: f64, kg: f64, to: Place) {
        for at in 0..count {
            let written = self.written(from_h + every_min / 60.0 * at as f64);
            self.record.baskets.push(Basket { written, net_kg: kg, to, count: None, by_hand: false });
        }
    }
    fn again(&self, hour: f64) -> Again {
        self.of.again(&self.record, self.at(hour), &MORNING.sample.farm.place.zone).expect("told again")
    }
}

fn entered(of: &Rehearsal) -> Entered<'_> {
    Entered { of, record: DayRecord::default() }
}

#[test]
fn what_is_weighed_is_no_longer_in_the_water_and_the_day_goes_on_from_there() {
    let of = rehearsed(0);
    let begins_h = of.sheet.course.seine_h.0;
    let mut day = entered(&of);
    assert!(of.again(&day.record, day.at(begins_h), &MORNING.sample.farm.place.zone).is_none(), "nothing is weighed");
    day.baskets(10, begins_h + 0.4, 3.0, 8.0, Place::Chill);
    let first = day.again(begins_h + 1.0);
    let everybody = &of.sheet.crews[0].told;
    let all_kg = everybody.caught_kg.middle;
    assert!((first.told.caught_kg.middle + 80.0 - all_kg).abs() < 0.25 * all_kg, "{:?} {all_kg}", first.told.caught_kg);
    assert!(first.told.finish_h.low >= begins_h + 1.0 && first.told.finish_h.low <= first.told.finish_h.high);
    assert!((first.told.finish_h.middle - everybody.finish_h.middle).abs() < 2.0, "{:?}", first.told.finish_h);
    // All that is likely there is weighed: hardly anything more comes, and it is over sooner than with much to come.
    let mut most = entered(&of);
    most.baskets((all_kg / 8.0) as usize, begins_h + 0.2, 0.5, 8.0, Place::Chill);
    let most = most.again(begins_h + 1.0);
    assert!(most.told.caught_kg.middle < 0.5 * first.told.caught_kg.middle);
    assert!(most.agree < first.agree, "{} {}", most.agree, first.agree);
    // More than any future held.
    let mut beyond = entered(&of);
    beyond.baskets((3.0 * all_kg / 8.0) as usize, begins_h + 0.2, 0.2, 8.0, Place::Chill);
    let beyond = beyond.again(begins_h + 1.5);
    assert_eq!((beyond.agree, beyond.told.left_kg.high < 0.5), (0, true));
}

#[test]
fn fewer_people_held_water_and_a_slow_table_make_it_later() {
    let of = rehearsed(0);
    let begins_h = of.sheet.course.seine_h.0;
    let day = || {
        let mut day = entered(&of);
        day.baskets(10, begins_h + 0.4, 3.0, 8.0, Place::Chill);
        day
    };
    let plain = day().again(begins_h + 1.0);
    let mut few = day();
    let names = |of: &[&str]| of.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
    let (came, gone) = (names(&["Ann", "Ben", "Cy", "Di"]), names(&["di", "Nobody"]));
    few.record.people.push(People { written: few.written(begins_h), came, gone, here_count: None });
    let few_now = few.again(begins_h + 1.0);
    assert_eq!((few.record.names_here(), few_now.hands), (vec!["Ann", "Ben", "Cy"], 3));
    assert!(few_now.told.iced_h.middle >= plain.told.iced_h.middle - 0.05);
    // Held for the net as it was rehearsed is no delay; held where it should be falling is one.
    let course = &of.sheet.course;
    let mut held = day();
    let look = |held: &Entered, hour: f64| Watched {
        written: held.written(hour),
        below_full_m: None,
        screen: None,
        pump: None,
        fuel_h: None,
        opened: Some("held".to_owned()),
        who_watches: None,
    };
    held.record.watched.push(look(&held, begins_h + 0.5));
    let for_net = held.again(begins_h + 1.0);
    assert!(for_net.is_held && for_net.water_later_h.abs() < 1e-9, "{}", for_net.water_later_h);
    let falls_h = course.seine_h.1 + 0.5;
    let plain_then = day().again(falls_h + 1.0);
    let mut held = day();
    held.record.watched.push(look(&held, falls_h));
    let held = held.again(falls_h + 1.0);
    assert!((0.8..=1.0).contains(&held.water_later_h), "{}", held.water_later_h);
    assert!(held.told.out_h.low >= plain_then.told.out_h.low, "{:?} {:?}", held.told.out_h, plain_then.told.out_h);
    // Forty kilograms to the table at once; after an hour and a half five of tails are made.
    let mut slow = day();
    slow.baskets(5, begins_h + 0.2, 1.0, 8.0, Place::Table);
    for (hour, kg) in [(0.9, 1.0), (1.3, 1.0)] {
        let written = slow.written(begins_h + hour);
        slow.record.moved.push(Moved {
            written,
            from: Place::Table,
            to: Place::Store,
            weight_kg: kg,
            is_tails: true,
            out_tub: None,
            out_empty: false,
            into_tub: None,
        });
    }
    let slow = slow.again(begins_h + 1.5);
    let head = slow.slower.iter().find(|(task, _)| *task == season::harvest::Task::Head).expect("heading was timed");
    assert!(head.1 > 1.1, "{head:?}");
    assert!((slow.at_table_kg - (40.0 - 2.0 / 0.46)).abs() < 1e-6);
}

#[test]
fn a_level_read_late_moves_the_rest_of_the_day() {
    let of = rehearsed(0);
    let course = &of.sheet.course;
    let begins_h = course.seine_h.0;
    let mut day = entered(&of);
    day.baskets(6, begins_h + 0.4, 3.0, 8.0, Place::Chill);
    // Where the water falls fastest it is read as it should have stood an hour before.
    let falls_m = |hour: f64| course.stage_at(hour - 1.0) - course.stage_at(hour);
    let hours = (0..30).map(|step| course.seine_h.1 + 1.0 + 0.05 * f64::from(step));
    let hour = hours.max_by(|a, b| falls_m(*a).total_cmp(&falls_m(*b))).expect("hours");
    assert!(falls_m(hour) > 0.06, "{} {course:?}", falls_m(hour));
    let stage_m = course.stage_at(hour - 1.0);
    let plain = day.again(hour + 0.1);
    let written = day.written(hour);
    let below_full_m = Some(of.full_m - stage_m);
    let edge = Edge { written, below_full_m, pass_count: None, stranded: None, people_count: None };
    day.record.edges.push(edge);
    let late = day.again(hour + 0.1);
    assert!((late.water_later_h - 1.0).abs() < 0.05, "{}", late.water_later_h);
    assert!(
        !late.level_is_odd && late.told.out_h.low > plain.told.out_h.low + 0.15,
        "{:?} {:?}",
        late.told.out_h,
        plain.told.out_h
    );
    // Higher than catch depth long after it should stand there: the whole way down says how late; higher than full is no level of it.
    let read = |below_m: f64| {
        let mut high = entered(&of);
        high.baskets(6, begins_h + 0.4, 3.0, 8.0, Place::Chill);
        let written = high.written(begins_h + 0.5);
        let (below_full_m, pass_count, stranded, people_count) = (Some(below_m), None, None, None);
        high.record.edges.push(Edge { written, below_full_m, pass_count, stranded, people_count });
        high.again(begins_h + 1.0)
    };
    let high = read(of.full_m - course.stage_at(course.seine_h.0) - 0.3);
    assert!(high.water_later_h > 1.0 && !high.level_is_odd, "{}", high.water_later_h);
    assert!(read(-0.5).level_is_odd);
}
