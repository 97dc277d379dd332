//! Stage against the clock.
//!
//! Model     the change of volume is what comes less what the open ways let out at the stage of that volume; phases follow one
//!           another, each until a stage or an hour; a pump stops when it draws air or its fuel is burnt
//! Units     hours of any clock (the caller's), m, m³
//! Range     up to [`LONGEST_H`]
//! Source    Bogacki & Shampine (1989), Appl. Math. Lett. 2, 321-325: third order with an error estimate; steps of at most a quarter
//!           of an hour, events found on the step's cubic. Its error against closed forms: docs/model/drawdown.md
//! Left out  the time a valve takes to turn

use crate::shape::Shape;

use super::course::{Course, Mark, Step, What};
use super::reservoir::Reservoir;
use super::ways::{Way, Works};

/// Longest a phase is followed, hours.
pub const LONGEST_H: f64 = 24.0 * 40.0;
/// A step is shown every quarter of an hour.
const SHOWN_H: f64 = 0.25;
/// Error allowed in one step, share of the full pond's water.
const ERROR_FRACTION: f64 = 1e-8;
const SHORTEST_H: f64 = 1e-6;
/// Pond and ditch closer than this stand alike, m.
const ALIKE_M: f64 = 2e-3;

/// A stretch of the way down with one setting of everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// Which ways are open, in the order of the works.
    pub open: Vec<bool>,
    /// How far the gates stand open, 0 to 1: a share of what drains and pipes would let through. Pumps run or stand.
    pub gate_fraction: f64,
    /// Where standpipes' rims are set, m; `None` is right down.
    pub rim_m: Option<f64>,
    /// How long it goes on.
    pub until: Until,
    /// What its end is called, if it gets there.
    pub then: Option<What>,
}

/// When a phase ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// When the water stands this low, or at the hour, whichever is first.
    Stage {
        /// Stage by the drain, m.
        stage_m: f64,
        /// Hour of the clock by which it ends in any case.
        at_h: f64,
    },
    /// At an hour of the clock.
    Hour(f64),
}

impl Phase {
    /// Everything shut until an hour.
    pub fn shut(ways: usize, at_h: f64, then: Option<What>) -> Phase {
        Phase { open: vec![false; ways], gate_fraction: 1.0, rim_m: None, until: Until::Hour(at_h), then }
    }

    /// Everything open down to a stage.
    pub fn down_to(ways: usize, stage_m: f64, by_h: f64, then: Option<What>) -> Phase {
        let until = Until::Stage { stage_m, at_h: by_h };
        Phase { open: vec![true; ways], gate_fraction: 1.0, rim_m: None, until, then }
    }
}

/// Hours for the water to fall from one stage to another with all ways at work and no other change; `None` when it never gets there.
/// Time as the integral of volume over discharge.
pub fn hours_down(shape: &Shape, works: &Works, from_m: f64, to_m: f64) -> Option<f64> {
    const SLICES: u32 = 400;
    let slice_m = (from_m - to_m) / f64::from(SLICES);
    if slice_m <= 0.0 {
        return Some(0.0);
    }
    let held = Reservoir::new(shape);
    let mut hours = 0.0;
    for slice in 0..SLICES {
        let top_m = from_m - f64::from(slice) * slice_m;
        let middle_m = top_m - 0.5 * slice_m;
        let discharge: f64 = (0..works.ways.len())
            .filter(|&way| !draws_air(works, way, middle_m))
            .map(|way| works.discharge_m3_h(way, middle_m, None, 0.0))
            .sum();
        let leaves = discharge - works.inflow_m3_h;
        if leaves <= 0.0 {
            return None;
        }
        hours += (held.volume_m3(top_m) - held.volume_m3(top_m - slice_m)) / leaves;
    }
    Some(hours)
}

fn draws_air(works: &Works, way: usize, stage_m: f64) -> bool {
    matches!(&works.ways[way], Way::Pump(pump) if stage_m < pump.intake_m + pump.suction_m)
}

/// Follows the phases from a stage at an hour. Steps and marks count from that hour.
pub fn run(held: &Reservoir, works: &Works, from_m: f64, from_h: f64, phases: &[Phase]) -> Course {
    let fuel = works.ways.iter().map(|way| match way {
        Way::Pump(pump) => pump.fuel_h.unwrap_or(f64::INFINITY),
        _ => f64::INFINITY,
    });
    let mut going = Going {
        held,
        works,
        from_h,
        at_h: from_h,
        volume_m3: held.volume_m3(from_m),
        stopped: vec![false; works.ways.len()],
        fuel_h: fuel.collect(),
        tide: None,
        course: Course::default(),
    };
    let mut opened = false;
    for phase in phases {
        if !opened && phase.open.contains(&true) {
            opened = true;
            going.mark(What::Opened, going.at_h);
        }
        going.follow(phase);
    }
    going.course.marks.sort_by(|a, b| a.at_h.total_cmp(&b.at_h));
    going.course
}

struct Going<'a> {
    held: &'a Reservoir,
    works: &'a Works,
    from_h: f64,
    at_h: f64,
    volume_m3: f64,
    /// Pumps that drew air or have burnt their fuel.
    stopped: Vec<bool>,
    fuel_h: Vec<f64>,
    /// How pond and ditch stood when last looked at.
    tide: Option<Tide>,
    course: Course,
}

#[derive(Clone, Copy, PartialEq)]
enum Tide {
    Out,
    Alike,
    In,
}

impl Going<'_> {
    fn stage_m(&self) -> f64 {
        self.held.stage_m(self.volume_m3)
    }

    fn mark(&mut self, what: What, at_h: f64) {
        self.course.marks.push(Mark { at_h: at_h - self.from_h, what });
    }

    fn at_work(&self, phase: &Phase, way: usize) -> bool {
        phase.open[way] && !self.stopped[way]
    }

    /// What leaves by all ways, m³/h.
    fn leaves_m3_h(&self, phase: &Phase, stage_m: f64, at_h: f64) -> f64 {
        let of = |way: usize| {
            let gate = if matches!(self.works.ways[way], Way::Pump(_)) { 1.0 } else { phase.gate_fraction };
            gate * self.works.discharge_m3_h(way, stage_m, phase.rim_m, at_h)
        };
        (0..self.works.ways.len()).filter(|&way| self.at_work(phase, way)).map(of).sum()
    }

    /// Change of volume, m³/h.
    fn change_m3_h(&self, phase: &Phase, volume_m3: f64, at_h: f64) -> f64 {
        let stage_m = self.held.stage_m(volume_m3);
        let gain = self.works.inflow_m3_h + self.works.gain_m(at_h) * self.held.area_m2(stage_m);
        let leaves = self.leaves_m3_h(phase, stage_m, at_h);
        // An empty pond gives nothing more than what comes.
        if stage_m <= 0.0 { (gain - leaves).max(0.0) } else { gain - leaves }
    }

    fn follow(&mut self, phase: &Phase) {
        let (target_m, end_h) = match phase.until {
            Until::Stage { stage_m, at_h } => (Some(stage_m), at_h.min(self.at_h + LONGEST_H)),
            Until::Hour(at_h) => (None, at_h),
        };
        self.show(phase);
        let reached = |going: &Self| target_m.is_some_and(|target_m| going.stage_m() <= target_m + 1e-9);
        while self.at_h < end_h - 1e-9 && !reached(self) {
            let part = ((self.at_h - self.from_h) / SHOWN_H + 1e-6).floor() + 1.0;
            let mut to_h = end_h.min(self.from_h + part * SHOWN_H);
            for way in 0..self.stopped.len() {
                if self.at_work(phase, way) && self.fuel_h[way] < to_h - self.at_h {
                    to_h = self.at_h + self.fuel_h[way];
                }
            }
            self.quarter(phase, to_h, target_m);
            self.show(phase);
        }
        if let (Some(what), true) = (phase.then, target_m.is_none() || reached(self)) {
            self.mark(what, self.at_h);
        }
    }

    /// Goes on to an hour, or to the event that comes first.
    fn quarter(&mut self, phase: &Phase, to_h: f64, target_m: Option<f64>) {
        let mut step_h = to_h - self.at_h;
        let from_h = self.at_h;
        let mut slope = self.change_m3_h(phase, self.volume_m3, self.at_h);
        let allowed_m3 = ERROR_FRACTION * self.held.volume_m3(self.held.shape().full_m());
        while self.at_h < to_h - 1e-12 {
            step_h = step_h.min(to_h - self.at_h);
            let (v, t) = (self.volume_m3, self.at_h);
            let k2 = self.change_m3_h(phase, v + 0.5 * step_h * slope, t + 0.5 * step_h);
            let k3 = self.change_m3_h(phase, v + 0.75 * step_h * k2, t + 0.75 * step_h);
            let next = v + step_h * (2.0 * slope + 3.0 * k2 + 4.0 * k3) / 9.0;
            let k4 = self.change_m3_h(phase, next, t + step_h);
            let error = step_h * (-5.0 / 72.0 * slope + k2 / 12.0 + k3 / 9.0 - k4 / 8.0).abs();
            if error > allowed_m3 && step_h > SHORTEST_H {
                step_h = (step_h * (0.9 * units::cbrt(allowed_m3 / error)).max(0.1)).max(SHORTEST_H);
                continue;
            }
            let cubic = Cubic { t, step_h, from: v, to: next.max(0.0), slopes: (slope, k4) };
            let event = self.event(phase, &cubic, target_m);
            let stop = event.map_or(1.0, |(part, _)| part);
            self.mark_columns(&cubic, stop);
            self.volume_m3 = cubic.at(stop);
            self.at_h = t + stop * step_h;
            self.mark_tide(phase);
            if let Some((_, stopped)) = event {
                if let Some(way) = stopped {
                    self.stopped[way] = true;
                    self.mark(What::LosesPrime { way }, self.at_h);
                }
                break;
            }
            slope = k4;
            step_h *= if error > 0.0 { (0.9 * units::cbrt(allowed_m3 / error)).clamp(0.2, 4.0) } else { 4.0 };
        }
        for way in 0..self.stopped.len() {
            if self.at_work(phase, way) {
                self.fuel_h[way] -= self.at_h - from_h;
                if self.fuel_h[way] <= 1e-9 {
                    self.stopped[way] = true;
                    self.mark(What::FuelOut { way }, self.at_h);
                }
            }
        }
    }

    /// The first thing in a step that ends it: the target, or a pump that draws air; as a part of the step.
    fn event(&self, phase: &Phase, cubic: &Cubic, target_m: Option<f64>) -> Option<(f64, Option<usize>)> {
        let mut limits: Vec<(f64, Option<usize>)> = target_m.map(|m| (m, None)).into_iter().collect();
        for (way, out) in self.works.ways.iter().enumerate() {
            if let (Way::Pump(pump), true) = (out, self.at_work(phase, way)) {
                limits.push((pump.intake_m + pump.suction_m, Some(way)));
            }
        }
        let first = limits.into_iter().filter_map(|(limit_m, way)| {
            let below = |part: f64| self.held.stage_m(cubic.at(part)) <= limit_m;
            below(1.0).then(|| (first_part(&below), way))
        });
        first.min_by(|a, b| a.0.total_cmp(&b.0))
    }

    fn mark_columns(&mut self, cubic: &Cubic, stop: f64) {
        let (before_m, after_m) = (self.held.stage_m(cubic.from), self.held.stage_m(cubic.at(stop)));
        for column in 0..self.held.shape().columns().len() {
            for (limit_m, what) in [
                (self.held.cut_off_m(column), What::CutOff { column }),
                (self.held.dry_m(column), What::Dry { column }),
            ] {
                let Some(limit_m) = limit_m else { continue };
                if before_m > limit_m && after_m <= limit_m && self.course.hours_of(what).is_none() {
                    let part = first_part(&|part| self.held.stage_m(cubic.at(part)) <= limit_m);
                    self.mark(what, cubic.t + part * cubic.step_h);
                }
            }
        }
    }

    /// Marks when pond and ditch come to stand alike, or change places, while a drain is open.
    fn mark_tide(&mut self, phase: &Phase) {
        let drains =
            (0..self.stopped.len()).any(|w| self.at_work(phase, w) && !matches!(self.works.ways[w], Way::Pump(_)));
        let Some(beyond_m) = self.works.outlet.height_m(self.at_h).filter(|_| drains) else { return };
        let stage_m = self.stage_m();
        let (low, high) = (stage_m + ALIKE_M < beyond_m, stage_m > beyond_m + ALIKE_M);
        let runs = self.leaves_m3_h(phase, stage_m, self.at_h);
        let now = match (low, high) {
            (true, _) if runs < 0.0 => Tide::In,
            (_, true) => Tide::Out,
            _ => Tide::Alike,
        };
        let before = self.tide.replace(now);
        if before == Some(now) || (before.is_none() && now == Tide::Out) {
            return;
        }
        let what = match now {
            Tide::Out => What::RunsAgain,
            Tide::Alike => What::Stalls,
            Tide::In => What::RunsBackward,
        };
        self.mark(what, self.at_h);
    }

    fn show(&mut self, phase: &Phase) {
        let stage_m = self.stage_m();
        let open: Vec<bool> = (0..self.stopped.len()).map(|way| self.at_work(phase, way)).collect();
        let step = Step {
            at_h: self.at_h - self.from_h,
            stage_m,
            bare_fraction: self.held.bare_fraction(stage_m),
            film_fraction: self.held.film_fraction(stage_m),
            volume_m3: self.volume_m3,
            pools_m3: self.held.pools_m3(stage_m),
            discharge_m3_h: self.leaves_m3_h(phase, stage_m, self.at_h),
            open,
        };
        match self.course.steps.last_mut() {
            Some(last) if step.at_h - last.at_h < 1e-9 => *last = step,
            _ => self.course.steps.push(step),
        }
    }
}

/// A step as a cubic in its part, 0 to 1.
struct Cubic {
    t: f64,
    step_h: f64,
    from: f64,
    to: f64,
    slopes: (f64, f64),
}

impl Cubic {
    fn at(&self, x: f64) -> f64 {
        let (a, b) = (self.step_h * self.slopes.0, self.step_h * self.slopes.1);
        let rise = self.to - self.from;
        self.from + x * (a + x * ((3.0 * rise - 2.0 * a - b) + x * (a + b - 2.0 * rise)))
    }
}

/// First part of a step at which something holds that holds at its end.
fn first_part(holds: &dyn Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    if holds(0.0) {
        return 0.0;
    }
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if holds(middle) { high = middle } else { low = middle }
    }
    high
}
