//! The falling water as the line needs it: the drain's own course laid on the clock of the day of the catch.
//!
//! Model     none: levels and bare floor as `drain` reckons them. The net is pulled while the water is held, at seining depth where that
//!           falls on the day itself, else at catch depth before the last water is let go
//! Units     h of the clock on the day of the catch, m
//! Range     as the drain's course
//! Source    held for the net an hour and a half (three hauls): common practice
//! Left out  a seining on an earlier day, which is that day's work; what a blocked screen does

use farm::Outlet;
use harvest::{FallingWater, Hold};
use pond::drawdown::What;

use super::{DayError, Stage};
use crate::drain::{Wish, opened};
use crate::drawn::Drawn;

/// How long the level is held for the net, h.
const HELD_H: f64 = 1.5;
/// Share of catch depth at which the animals stand crowded enough to be dipped.
const CROWDED_AT: f64 = 0.6;
/// Depth by the drain at which nothing swims any more, m.
const DRY_M: f64 = 0.08;
/// Levels told on the sheet, h apart.
const LEVEL_H: f64 = 1.0;

/// What lets the water out on a day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaysOut {
    /// A drain is opened.
    pub has_drain: bool,
    /// The pumps that run, by name.
    pub pumps: Vec<String>,
    /// How many are named for the pond.
    pub there_count: usize,
    /// How many were asked for; `None` for all of them.
    pub asked_count: Option<u32>,
    /// One more pump, m³/h.
    pub extra_m3_h: Option<f64>,
}

impl WaysOut {
    /// How many pumps run.
    pub fn running(&self) -> usize {
        self.pumps.len() + usize::from(self.extra_m3_h.is_some())
    }
}

/// The way down.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Down {
    pub opens_h: f64,
    pub ways_out: WaysOut,
    pub course: FallingWater,
    /// Level of the full pond above its lowest floor, m.
    pub full_m: f64,
    /// The water from its opening on, before any hold of the line.
    whole: FallingWater,
}

impl Down {
    /// The whole way down with the holds.
    pub(super) fn whole(&self, holds: &[Hold]) -> FallingWater {
        holds.iter().fold(self.whole.clone(), |course, hold| course.held(hold.from_h, hold.for_h))
    }

    /// The level by the hour from the opening on, with the holds.
    pub(super) fn levels(&self, holds: &[Hold]) -> Vec<(f64, f64)> {
        let whole = self.whole(holds);
        let last_h = whole.at_h.last().copied().unwrap_or(self.opens_h);
        let count = ((last_h - self.opens_h) / LEVEL_H).floor().max(0.0) as i32;
        // Whole hours of the clock, as one looks at a watch.
        let first_h = self.opens_h.ceil();
        let at = (0..=count).map(|step| first_h + LEVEL_H * f64::from(step)).filter(|&hour| hour <= last_h);
        std::iter::once(self.opens_h).chain(at).map(|hour| (hour, whole.stage_at(hour))).collect()
    }
}

/// The way down of the stage's pond: catch depth when work begins.
pub(super) fn down(drawn: &Drawn, stage: &Stage) -> Result<Down, DayError> {
    let card = &stage.ask.farm.ponds[stage.shown.index];
    let named = &card.emptying.pumps;
    let pumps = &named[..stage.wish.pumps.map_or(named.len(), |count| named.len().min(count as usize))];
    let wish = Wish {
        catch_at_h: Some(stage.begins_h),
        pumps: Some(pumps.to_vec()),
        extra_m3_h: stage.wish.extra_m3_h,
        ..Wish::default()
    };
    let (opening, catch_m, full_m) =
        opened(stage.ask, drawn, stage.shown.index, stage.on, &wish).map_err(DayError::Drain)?;
    let from_midnight_h = 24.0 * f64::from(stage.on.0 - stage.ask.on.0);
    let clock = |hours: f64| opening.start_h + hours - from_midnight_h;
    let water = &opening.course;
    let mut whole = FallingWater {
        at_h: water.steps.iter().map(|step| clock(step.at_h)).collect(),
        stage_m: water.steps.iter().map(|step| step.stage_m).collect(),
        bare: water.steps.iter().map(|step| step.bare_fraction).collect(),
        ..FallingWater::default()
    };
    // A pond that never comes down to catch depth is caught where it stands when work begins.
    let stands_h = water.hours_of(What::CatchDepth).map_or(stage.begins_h, clock).max(stage.begins_h);
    let own = water.held().map(|(from, to)| (clock(from).max(stage.begins_h), clock(to)));
    match own.filter(|held| held.1 > held.0 && held.0 >= 0.0) {
        Some(held) => whole.seine_h = held,
        None => {
            whole = whole.held(stands_h, HELD_H);
            whole.seine_h = (stands_h, stands_h + HELD_H);
        }
    }
    let falls_to = |level_m: f64| {
        let after = whole.at_h.iter().zip(&whole.stage_m).filter(|(at_h, _)| **at_h >= whole.seine_h.1);
        after.filter(|(_, stage_m)| **stage_m <= level_m).map(|(at_h, _)| *at_h).next()
    };
    let last_h = whole.at_h.last().copied().unwrap_or(stands_h);
    let dip_from_h = falls_to(CROWDED_AT * catch_m).unwrap_or(last_h).max(whole.seine_h.1);
    let dry_h = falls_to(DRY_M).filter(|_| !card.emptying.catch_basin).unwrap_or(f64::INFINITY);
    (whole.dip_from_h, whole.dry_h) = (dip_from_h, dry_h.max(dip_from_h));
    let course = from(&whole, stage.begins_h.min(whole.seine_h.0));
    Ok(Down {
        opens_h: clock(0.0),
        ways_out: WaysOut {
            has_drain: card.emptying.outlet != Outlet::None,
            pumps: pumps.iter().map(|&pump| stage.ask.farm.gear.pumps[pump].name.clone()).collect(),
            there_count: named.len(),
            asked_count: stage.wish.pumps,
            extra_m3_h: stage.wish.extra_m3_h,
        },
        course,
        full_m,
        whole,
    })
}

/// The part of a course from an hour on.
fn from(whole: &FallingWater, hour: f64) -> FallingWater {
    let first = whole.at_h.partition_point(|&at_h| at_h <= hour);
    let (stage_m, bare) = (whole.stage_at(hour), whole.bare_at(hour));
    let with = |first_value: f64, rest: &[f64]| std::iter::once(first_value).chain(rest.iter().copied()).collect();
    FallingWater {
        at_h: with(hour, &whole.at_h[first..]),
        stage_m: with(stage_m, &whole.stage_m[first..]),
        bare: with(bare, &whole.bare[first..]),
        ..whole.clone()
    }
}
