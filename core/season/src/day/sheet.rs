//! The sheet itself: the day hour by hour, and what is due before it.

use farm::Farm;
use harvest::{HoldFor, Post};
use units::Day;

use super::{DaySheet, at_post};

/// One line of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Clock hour on the day of the catch; negative before its midnight.
    pub at_h: f64,
    /// What.
    pub what: StepKind,
}

/// What happens.
#[derive(Debug, Clone, PartialEq)]
pub enum StepKind {
    /// The drain is opened, pumps are started.
    Opens,
    /// Tubs are filled with water and chilled, ice covered.
    ChillWater,
    /// Hands come: how many at the water, on the bank, at the table.
    Come([usize; 3]),
    /// The level stands for the net, m.
    SeiningDepth(f64),
    /// The net is through: the water goes on down.
    LetDown,
    /// A share of the floor is bare: hands gather from the edges inward.
    Gather,
    /// The last water is held so that it can be dipped, until the hour.
    HoldLast(f64),
    /// It is let go.
    LetLast,
    /// The last water can be dipped, level m.
    Dip(f64),
    /// The last water is gone, unless it is kept.
    Dry,
    /// The day is too short for the rest: drain and pumps stay shut over night, and what is left swims.
    KeepShut,
    /// The last basket is likely out of the water.
    LastOut,
    /// Everything is likely on ice.
    AllIced,
    /// Heading and packing go on until now.
    Finish,
    /// The end of the shift.
    ShiftEnds,
    /// A second walk of puddles, the next first light.
    SecondWalk,
}

/// Something that is due before the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// By this day and clock hour.
    pub by: (Day, i32),
    /// What.
    pub what: DueKind,
}

/// What is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DueKind {
    /// A sample for soft shells.
    SoftShells,
    /// Hired things confirmed; an index into the farm's list.
    Hired(usize),
    /// Ice ordered.
    Ice,
    /// The second supplier asked.
    SecondSupplier,
    /// Crew called.
    Crew,
    /// Stand-ins named.
    StandIns,
    /// Buyers told.
    Buyers,
    /// The cold room booked.
    ColdRoom,
    /// Screens looked at and pumps tried.
    Screens,
    /// The water below looked at.
    Receiving,
    /// Fuel beyond what is in store fetched.
    Fuel,
    /// The last feed.
    LastFeed,
    /// Baskets, scale, probes, lights laid out.
    Gear,
}

/// Share of bare floor from which hands gather.
const GATHER_FROM: f64 = 0.05;

/// The day hour by hour.
pub(super) fn steps(sheet: &DaySheet) -> Vec<Step> {
    let (course, sure) = (&sheet.course, sheet.sure());
    let posts = Post::ALL.map(|post| at_post(&sure.crew, post));
    let come_h = sure.crew.iter().map(|one| one.hand.from_h).fold(f64::INFINITY, f64::min);
    let mut steps = vec![
        Step { at_h: sheet.opens_h, what: StepKind::Opens },
        Step { at_h: -4.0, what: StepKind::ChillWater },
        Step { at_h: come_h, what: StepKind::Come(posts) },
    ];
    if course.seine_h.1 > course.seine_h.0 {
        let stands_m = course.stage_at(course.seine_h.0);
        steps.push(Step { at_h: course.seine_h.0, what: StepKind::SeiningDepth(stands_m) });
        steps.push(Step { at_h: course.seine_h.1, what: StepKind::LetDown });
    }
    let bare = course.bare_at(course.seine_h.1) + GATHER_FROM;
    if course.bare_at(course.dip_from_h) > bare {
        steps.push(Step { at_h: course.bare_by(bare), what: StepKind::Gather });
    }
    steps.push(Step { at_h: course.dip_from_h, what: StepKind::Dip(course.stage_at(course.dip_from_h)) });
    if course.dry_h.is_finite() {
        steps.push(Step { at_h: course.dry_h, what: StepKind::Dry });
    }
    let dipping = sheet.holds.iter().filter(|hold| hold.why == HoldFor::Dipping);
    if let Some(from_h) = dipping.clone().map(|hold| hold.from_h).reduce(f64::min) {
        let until_h = from_h + dipping.map(|hold| hold.for_h).sum::<f64>();
        steps.push(Step { at_h: from_h, what: StepKind::HoldLast(until_h) });
        steps.push(Step { at_h: until_h, what: StepKind::LetLast });
    }
    let told = &sure.told;
    steps.push(Step { at_h: told.out_h.middle, what: StepKind::LastOut });
    steps.push(Step { at_h: told.iced_h.middle, what: StepKind::AllIced });
    steps.push(Step { at_h: told.finish_h.middle, what: StepKind::Finish });
    steps.push(Step { at_h: sheet.ends_h, what: StepKind::ShiftEnds });
    steps.push(Step { at_h: 24.0 + sheet.first_light_h, what: StepKind::SecondWalk });
    // Nobody lets water down after the shift.
    let lets_down = |what: &StepKind| {
        use StepKind::{Dip, Dry, Gather, HoldLast, LetDown, LetLast};
        matches!(what, LetDown | Gather | Dip(_) | Dry | HoldLast(_) | LetLast)
    };
    if course.dip_from_h >= sheet.ends_h {
        steps.retain(|step| !(lets_down(&step.what) && step.at_h >= sheet.ends_h));
        steps.push(Step { at_h: sheet.ends_h, what: StepKind::KeepShut });
    }
    steps.sort_by(|a, b| a.at_h.total_cmp(&b.at_h));
    steps
}

/// What is due before the day, soonest first. Hours at night are brought forward to the evening.
pub(super) fn due(farm: &Farm, sheet: &DaySheet, _days: usize) -> Vec<Due> {
    let light_h = sheet.first_light_h;
    let before = |hours: f64| by_day(sheet.on, light_h - hours);
    let opens = |hours: f64| by_day(sheet.on, sheet.opens_h - hours);
    let buyers = farm.orders.ceilings.iter().map(|ceiling| ceiling.notice_h).fold(0.0, f64::max);
    let mut due = vec![
        // Two days before the day itself, and before the water goes down.
        Due { by: earlier(before(46.0), opens(12.0)), what: DueKind::SoftShells },
        Due { by: before(farm.cold.ice_notice_h.max(12.0)), what: DueKind::Ice },
        Due { by: before(farm.cold.ice_notice_h.max(12.0) + 4.0), what: DueKind::SecondSupplier },
        Due { by: before(farm.crew.notice_h.max(12.0)), what: DueKind::Crew },
        Due { by: before(farm.crew.notice_h.max(12.0)), what: DueKind::StandIns },
        Due { by: opens(12.0), what: DueKind::Screens },
        Due { by: opens(2.0), what: DueKind::Receiving },
        // As the morning's feed has it: none once the water goes down within a day.
        Due { by: earlier(before(24.0), opens(24.0)), what: DueKind::LastFeed },
        Due { by: before(12.0), what: DueKind::Gear },
    ];
    if sheet.ways_out.fuel_l.is_some_and(|(needed_l, store_l)| needed_l > store_l) {
        due.push(Due { by: opens(2.0), what: DueKind::Fuel });
    }
    if buyers > 0.0 {
        due.push(Due { by: before(buyers), what: DueKind::Buyers });
    }
    if let Some(store) = farm.cold.store.as_ref().filter(|store| store.notice_h > 0.0) {
        due.push(Due { by: before(store.notice_h), what: DueKind::ColdRoom });
    }
    due.extend(
        farm.gear
            .hired
            .iter()
            .enumerate()
            .map(|(at, hired)| Due { by: before(hired.notice_h.max(12.0)), what: DueKind::Hired(at) }),
    );
    due.sort_by_key(|one| (one.by.0.0, one.by.1, one.what));
    due
}

fn earlier(a: (Day, i32), b: (Day, i32)) -> (Day, i32) {
    if (a.0.0, a.1) <= (b.0.0, b.1) { a } else { b }
}

/// An hour of the day of the catch's clock as day and hour; nights are brought forward to the evening before, eight o'clock.
fn by_day(on: Day, hour: f64) -> (Day, i32) {
    const EVENING_H: i32 = 20;
    const MORNING_H: i32 = 6;
    let whole = hour.floor() as i32;
    let (day, clock) = (on.plus(whole.div_euclid(24)), whole.rem_euclid(24));
    match clock {
        hour if hour < MORNING_H => (day.plus(-1), EVENING_H),
        hour if hour > EVENING_H => (day, EVENING_H),
        hour => (day, hour),
    }
}
