//! The falling water as the line needs it: the drain's own course laid on the clock of the day of the catch.
//!
//! Model     none: levels and bare floor as `drain` reckons them. The net is pulled while the water is held, at seining depth where that
//!           falls on the day itself, else at catch depth before the last water is let go
//! Units     h of the clock on the day of the catch, m
//! Range     as the drain's course
//! Source    held for the net an hour and a half (three hauls): common practice
//! Left out  a seining on an earlier day, which is that day's work; what a blocked screen does

use std::sync::Arc;

use ensemble::PlaceTable;
use farm::Outlet;
use harvest::{DayWater, FallingWater, Hold};
use pond::drawdown::What;

use super::{DayError, Stage};
use crate::answer::Band;
use crate::drain::{Brim, Wish, opened};
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
    /// What the pumps burn on the way, and what is in store, L; `None` where none burns any.
    pub fuel_l: Option<(f64, f64)>,
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
    /// Hours from this morning's midnight to that of the day of the catch.
    from_midnight_h: f64,
}

impl Down {
    /// The whole way down with the holds.
    pub(super) fn whole(&self, holds: &[Hold]) -> FallingWater {
        holds.iter().fold(self.whole.clone(), |course, hold| course.held(hold.from_h, hold.for_h))
    }

    /// The course and the level by the hour as they are told: where the day is too short for the last water, drain and pumps are shut at its end and the
    /// level stays.
    pub(super) fn told(&self, course: FallingWater, holds: &[Hold], ends_h: f64) -> (FallingWater, Vec<(f64, f64)>) {
        let whole = self.whole(holds);
        match course.dip_from_h >= ends_h {
            true => (course.shut_from(ends_h), self.levels(&whole.shut_from(ends_h))),
            false => (course, self.levels(&whole)),
        }
    }

    /// The level by the hour from the opening on.
    fn levels(&self, whole: &FallingWater) -> Vec<(f64, f64)> {
        let last_h = whole.at_h.last().copied().unwrap_or(self.opens_h);
        let count = ((last_h - self.opens_h) / LEVEL_H).floor().max(0.0) as i32;
        // Whole hours of the clock, as one looks at a watch.
        let first_h = self.opens_h.ceil();
        let at = (0..=count).map(|step| first_h + LEVEL_H * f64::from(step)).filter(|&hour| hour <= last_h);
        std::iter::once(self.opens_h).chain(at).map(|hour| (hour, whole.stage_at(hour))).collect()
    }
}

/// The members' water on the day, made anew for every way down that is tried.
pub(super) struct Waters<'a> {
    down: &'a Down,
    brim: Option<Brim<'a>>,
    /// Hours of the day that are told.
    hours: (f64, f64),
    /// What each member has at first light by the plan's own table, for days to which the members' air does not reach, °C.
    dawn_c: &'a [f64],
}

impl<'a> Waters<'a> {
    pub(super) fn new(drawn: &'a Drawn, stage: &'a Stage, down: &'a Down) -> Result<Waters<'a>, DayError> {
        let opens_h = down.from_midnight_h + down.opens_h;
        let brim = Brim::new(stage.ask, drawn, stage.shown.index, opens_h).map_err(DayError::Drain)?;
        let from_h = stage.begins_h.min(down.course.seine_h.0) - 1.0;
        Ok(Waters { down, brim, hours: (from_h, stage.ends_h + 1.0), dawn_c: &stage.water_c })
    }

    /// By place, hour and member, with the line's holds.
    pub(super) fn with(&self, holds: &[Hold]) -> Arc<DayWater> {
        let (whole, to_day_h) = (self.down.whole(holds), self.down.from_midnight_h);
        let opens_h = self.down.opens_h;
        let level_m = |clock_h: f64| (clock_h - to_day_h >= opens_h).then(|| whole.stage_at(clock_h - to_day_h));
        let hours = (to_day_h + opens_h, to_day_h + self.hours.0, to_day_h + self.hours.1);
        let table = self.brim.as_ref().and_then(|brim| brim.down(&level_m, hours));
        Arc::new(table.map_or_else(|| DayWater::even(self.dawn_c), |(table, from_h)| on_day(&table, from_h - to_day_h)))
    }
}

/// Water where the floor begins to fall bare, °C, and the share of members in which it is below the mark at which animals follow it while the
/// floor goes on falling bare. On a day on which it never does, at the end of work.
pub(super) fn where_bare(stage: &Stage, course: &FallingWater, water: &DayWater) -> (Band, f64) {
    let members = stage.futures.len();
    let from_h = course.seine_h.1.clamp(stage.begins_h, stage.ends_h);
    let to_h = course.dip_from_h.clamp(from_h, stage.ends_h);
    let is_slow = |&member: &usize| {
        (0..=(to_h - from_h) as usize)
            .any(|step| water.edge_c(from_h + step as f64, member) < stage.ask.farm.choices.follow_mark_c)
    };
    let bare_c = Band::of((0..members).map(|member| water.edge_c(from_h, member)).collect());
    (bare_c, (0..members).filter(is_slow).count() as f64 / members.max(1) as f64)
}

/// Hours in the slurry for what comes out of the day's warmest water, h: one figure that serves every batch.
pub(super) fn dwell_h(stage: &Stage, water: &DayWater) -> Band {
    let hours = (stage.ends_h - stage.begins_h).max(0.0) as usize;
    let warmest_c = |member: usize| {
        (0..=hours).map(|step| water.by_drain_c(stage.begins_h + step as f64, member)).fold(f64::NEG_INFINITY, f64::max)
    };
    Band::of(stage.futures.iter().map(|future| future.dwell_from(warmest_c(future.member))).collect())
}

/// A table of places on the clock of the day of the catch, whose first row begins at `from_h`.
fn on_day(table: &PlaceTable, from_h: f64) -> DayWater {
    let (places, members) = (table.columns(), table.members());
    let rows = table.from()..table.from() + table.hours();
    let (mut is_wet, mut water_c) = (Vec::new(), Vec::new());
    for (hour, place) in rows.flat_map(|hour| (0..places).map(move |place| (hour, place))) {
        let row = table.mean_c(hour, place);
        is_wet.push(row.is_some());
        match row {
            Some(row) => water_c.extend_from_slice(row),
            None => water_c.extend(std::iter::repeat_n(0.0, members)),
        }
    }
    DayWater::new(from_h, members, is_wet, water_c, places)
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
    let (opening, catch_m, full_m, fuel) =
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
            fuel_l: fuel.map(|need| (need.needed_l, need.store_l)),
        },
        course,
        full_m,
        whole,
        from_midnight_h,
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
