//! When to open what, so that the water stands where it is wanted at the hour it is wanted.
//!
//! Model     worked back: a later opening never arrives earlier, so the hour of opening is found by stepping back what the arrival was
//!           off by, then by halving. Seining depth is met first and held, everything shut, until the water must go on to catch depth.
//!           Where nobody is there to open at that hour the opening moves earlier and the gate is set part open to arrive on time
//! Units     hours of one clock that begins at a midnight, m, m³/h
//! Range     as in `run`
//! Source    our own
//! Left out  opening in more than two steps; a pump that is throttled

use crate::stage::DRY_M;

use super::course::{Course, What};
use super::reservoir::Reservoir;
use super::run::{Phase, Until, run};
use super::ways::{Pump, Rate, Way, Works};

/// What is wanted, and from where.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Nothing can be opened before this hour.
    pub now_h: f64,
    /// Stage by the drain before, m.
    pub from_m: f64,
    /// It is opened at this hour, whatever comes of it; `None` lets the hour be found.
    pub open_h: Option<f64>,
    /// The net is pulled first.
    pub seine: Option<Seine>,
    /// Catch depth, m.
    pub catch_m: f64,
    /// Hour at which it is to stand there.
    pub catch_at_h: f64,
    /// Hours of the day between which somebody is there to open.
    pub hands_h: (f64, f64),
    /// How long the last water is followed once the catch has begun, h.
    pub after_h: f64,
}

/// Pulling a net through water that stands still.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seine {
    /// Seining depth by the drain, m.
    pub stage_m: f64,
    /// Hour at which it is to stand there.
    pub at_h: f64,
    /// How long it is held at least, h.
    pub held_h: f64,
}

/// The hours, and what they lead to.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Hour of the first opening; the course counts from it.
    pub start_h: f64,
    /// How far the gates stand open at first, 0 to 1.
    pub gate_fraction: f64,
    /// Hour at which it is shut at seining depth.
    pub shut_h: Option<f64>,
    /// Hour at which it is opened again.
    pub again_h: Option<f64>,
    /// How far the gates stand open then.
    pub again_gate_fraction: f64,
    /// What cannot be had as wanted.
    pub short: Vec<Short>,
    /// The phases in order, on the caller's clock.
    pub phases: Vec<Phase>,
    /// What the water does.
    pub course: Course,
}

/// Which of the two levels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// Seining depth.
    Seining,
    /// Catch depth.
    Catch,
}

/// Why a level cannot be had at its hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Short {
    /// It comes, but late.
    Late {
        /// Which.
        target: Target,
        /// By how much, h.
        late_h: f64,
        /// Another pump of this rate would bring it in time, m³/h; `None` when a hundred times what there is would not.
        extra_m3_h: Option<f64>,
    },
    /// It never comes with what there is.
    Never {
        /// Which.
        target: Target,
        /// How low the water gets, m.
        lowest_m: f64,
        /// The water beyond the drain stands in the way.
        by_outlet: bool,
        /// A pump of this rate would do it by the hour, m³/h.
        extra_m3_h: Option<f64>,
    },
}

/// Arrivals closer than this to the wanted hour are on time, h.
const ON_TIME_H: f64 = 0.02;
/// Earlier than this by the hands' hours, and the gate is set part open, h.
const EARLY_H: f64 = 0.5;
/// An opening that brings the level later than this is stepped back by halving, not by what it was off by, h.
const LATE_H: f64 = 48.0;
/// How long a level is waited for, h.
const WAIT_H: f64 = 24.0 * 30.0;

/// Works back from what is wanted.
pub fn solve(held: &Reservoir, works: &Works, wanted: &Wanted) -> Opening {
    let mut short = Vec::new();
    let first_m = wanted.seine.map_or(wanted.catch_m, |seine| seine.stage_m);
    let first_h = wanted.seine.map_or(wanted.catch_at_h, |seine| seine.at_h);
    let target = if wanted.seine.is_some() { Target::Seining } else { Target::Catch };
    let leg = Leg { held, works, from_m: wanted.from_m, to_m: first_m, at_h: first_h, hands_h: wanted.hands_h };
    let one = match wanted.open_h {
        Some(open_h) => leg.opened(open_h, target, &mut short),
        None => leg.solve(wanted.now_h, target, &mut short),
    };
    let mut opening = Opening {
        start_h: one.start_h,
        gate_fraction: one.gate_fraction,
        shut_h: None,
        again_h: None,
        again_gate_fraction: 1.0,
        short,
        phases: Vec::new(),
        course: Course::default(),
    };
    let ways = works.ways.len();
    let marked = if wanted.seine.is_some() { What::SeiningDepth } else { What::CatchDepth };
    let mut phases = vec![Phase {
        gate_fraction: one.gate_fraction,
        ..Phase::down_to(ways, first_m, one.start_h + WAIT_H, Some(marked))
    }];
    let mut arrived_h = one.arrives_h;
    if let (Some(seine), Some(stands_h)) = (wanted.seine, one.arrives_h) {
        opening.shut_h = Some(stands_h);
        let free_h = stands_h.max(seine.at_h) + seine.held_h;
        let leg = Leg { from_m: first_m, to_m: wanted.catch_m, at_h: wanted.catch_at_h, ..leg };
        let two = leg.solve(free_h, Target::Catch, &mut opening.short);
        let again_h = two.start_h.max(free_h);
        opening.again_h = Some(again_h);
        opening.again_gate_fraction = two.gate_fraction;
        phases.push(Phase::shut(ways, again_h, Some(What::HoldEnds)));
        phases.push(Phase {
            gate_fraction: two.gate_fraction,
            ..Phase::down_to(ways, wanted.catch_m, again_h + WAIT_H, Some(What::CatchDepth))
        });
        arrived_h = two.arrives_h;
    }
    match arrived_h {
        // Early water waits for the hour; then the last of it goes with the catch.
        Some(arrived_h) => {
            let begins_h = arrived_h.max(wanted.catch_at_h);
            phases.push(Phase::shut(ways, begins_h, None));
            phases.push(Phase::down_to(ways, DRY_M, begins_h + wanted.after_h, None));
        }
        // It never arrives: a day beyond the hour shows how it stalls.
        None => {
            if let Some(last) = phases.last_mut() {
                let until_h = wanted.catch_at_h.max(opening.again_h.unwrap_or(one.start_h)) + 24.0;
                last.until = Until::Stage { stage_m: wanted.catch_m, at_h: until_h };
            }
        }
    }
    opening.course = run(held, works, wanted.from_m, one.start_h, &phases);
    opening.phases = phases;
    opening
}

/// One level to reach.
#[derive(Clone, Copy)]
struct Leg<'a> {
    held: &'a Reservoir,
    works: &'a Works,
    from_m: f64,
    to_m: f64,
    at_h: f64,
    hands_h: (f64, f64),
}

struct Start {
    start_h: f64,
    gate_fraction: f64,
    arrives_h: Option<f64>,
}

impl Leg<'_> {
    /// What comes of an opening at an hour.
    fn opened(&self, open_h: f64, target: Target, short: &mut Vec<Short>) -> Start {
        let arrives_h = self.arrives_h(self.works, open_h, 1.0);
        match arrives_h {
            None => short.push(self.never(open_h, target)),
            Some(h) if h > self.at_h + ON_TIME_H => {
                let extra_m3_h = self.extra_m3_h(open_h);
                short.push(Short::Late { target, late_h: h - self.at_h, extra_m3_h });
            }
            Some(_) => {}
        }
        Start { start_h: open_h, gate_fraction: 1.0, arrives_h }
    }

    fn solve(&self, not_before_h: f64, target: Target, short: &mut Vec<Short>) -> Start {
        let Some(soonest_h) = self.arrives_h(self.works, not_before_h, 1.0) else {
            short.push(self.never(not_before_h, target));
            return Start { start_h: not_before_h, gate_fraction: 1.0, arrives_h: None };
        };
        if soonest_h > self.at_h + ON_TIME_H {
            let late_h = soonest_h - self.at_h;
            short.push(Short::Late { target, late_h, extra_m3_h: self.extra_m3_h(not_before_h) });
            return Start { start_h: not_before_h, gate_fraction: 1.0, arrives_h: Some(soonest_h) };
        }
        let latest_h = self.latest(not_before_h, 1.0);
        let start_h = self.with_hands(latest_h).max(not_before_h);
        let arrives_h = self.arrives_h(self.works, start_h, 1.0);
        let early_h = self.at_h - arrives_h.unwrap_or(self.at_h);
        let gates = self.works.ways.iter().any(|way| !matches!(way, Way::Pump(_)));
        let part = (early_h > EARLY_H && gates).then(|| self.part_open(start_h)).flatten();
        if let Some((gate_fraction, arrives_h)) = part {
            return Start { start_h, gate_fraction, arrives_h: Some(arrives_h) };
        }
        Start { start_h, gate_fraction: 1.0, arrives_h }
    }

    /// When the level is reached after an opening.
    fn arrives_h(&self, works: &Works, start_h: f64, gate_fraction: f64) -> Option<f64> {
        self.arrives_by_h(works, start_h, gate_fraction, start_h.max(self.at_h) + WAIT_H)
    }

    /// The same, waited for until an hour alone: where a rising ditch keeps the level from ever coming, weeks are not lived through.
    fn arrives_by_h(&self, works: &Works, start_h: f64, gate_fraction: f64, by_h: f64) -> Option<f64> {
        let phase =
            Phase { gate_fraction, ..Phase::down_to(works.ways.len(), self.to_m, by_h, Some(What::CatchDepth)) };
        let course = run(self.held, works, self.from_m, start_h, &[phase]);
        course.hours_of(What::CatchDepth).map(|hours| start_h + hours)
    }

    /// The latest opening that is in time.
    fn latest(&self, not_before_h: f64, gate_fraction: f64) -> f64 {
        let mut start_h = not_before_h;
        for _ in 0..6 {
            let by_h = self.at_h + LATE_H;
            let Some(arrives_h) = self.arrives_by_h(self.works, start_h, gate_fraction, by_h) else { break };
            let off_h = self.at_h - arrives_h;
            if off_h.abs() < ON_TIME_H {
                return start_h;
            }
            start_h = (start_h + off_h).max(not_before_h);
        }
        let (mut in_time, mut late) = (not_before_h, self.at_h);
        while late - in_time > ON_TIME_H {
            let middle = 0.5 * (in_time + late);
            let there = self.arrives_by_h(self.works, middle, gate_fraction, self.at_h).is_some_and(|h| h <= self.at_h);
            if there { in_time = middle } else { late = middle }
        }
        in_time
    }

    /// The last moment up to an hour at which somebody is there.
    fn with_hands(&self, at_h: f64) -> f64 {
        let (from_h, until_h) = self.hands_h;
        let midnight_h = (at_h / 24.0).floor() * 24.0;
        let of_day = at_h - midnight_h;
        if of_day > until_h {
            midnight_h + until_h
        } else if of_day < from_h {
            midnight_h - 24.0 + until_h
        } else {
            at_h
        }
    }

    /// How far to open so that it arrives on time.
    fn part_open(&self, start_h: f64) -> Option<(f64, f64)> {
        let (mut late, mut early) = (0.02, 1.0);
        let mut best = None;
        for _ in 0..12 {
            let middle = 0.5 * (late + early);
            match self.arrives_by_h(self.works, start_h, middle, self.at_h).filter(|&h| h <= self.at_h) {
                Some(arrives_h) => {
                    early = middle;
                    best = Some((middle, arrives_h));
                    if self.at_h - arrives_h < 0.1 {
                        break;
                    }
                }
                None => late = middle,
            }
        }
        best
    }

    fn with_pump(&self, rate_m3_h: f64) -> Works {
        let mut works = self.works.clone();
        // As measured at the pond: the pace that slows the others is in it.
        let rate = Rate::Measured(rate_m3_h / works.pace_factor);
        works.ways.push(Way::Pump(Pump { rate, intake_m: 0.0, suction_m: 0.0, fuel_h: None }));
        works
    }

    /// Rate of another pump that brings the level in time from an opening at once, m³/h.
    fn extra_m3_h(&self, start_h: f64) -> Option<f64> {
        let in_time = |rate_m3_h: f64| {
            let by_h = self.at_h + ON_TIME_H;
            self.arrives_by_h(&self.with_pump(rate_m3_h), start_h, 1.0, by_h).is_some_and(|h| h <= by_h)
        };
        let whole_m3 = self.held.volume_m3(self.from_m) - self.held.volume_m3(self.to_m);
        let (mut low, mut high) = (0.0, 4.0 * whole_m3 / (self.at_h - start_h).max(0.25) + self.works.inflow_m3_h);
        if start_h >= self.at_h || !in_time(high) {
            return None;
        }
        for _ in 0..14 {
            let middle = 0.5 * (low + high);
            if in_time(middle) { high = middle } else { low = middle }
        }
        Some(high)
    }

    fn never(&self, start_h: f64, target: Target) -> Short {
        let phase = Phase::down_to(self.works.ways.len(), self.to_m, start_h.max(self.at_h) + WAIT_H, None);
        let course = run(self.held, self.works, self.from_m, start_h, &[phase]);
        let lowest_m = course.steps.iter().map(|step| step.stage_m).fold(f64::INFINITY, f64::min);
        let by_outlet = course.hours_of(What::Stalls).or(course.hours_of(What::RunsBackward)).is_some();
        Short::Never { target, lowest_m, by_outlet, extra_m3_h: self.extra_m3_h(start_h) }
    }
}
