//! The falling water as the line needs it.
//!
//! Model     the water leaves evenly over the lead time, from full to catch depth; seining depth is where the last of it takes a morning
//! Units     h of the day of the catch's clock, m
//! Range     lead times of some hours to some days
//! Source    common practice: the net first, then hand gathering down to the last water
//! Left out  what a blocked screen does

use farm::Outlet;
use harvest::{Course, Hold};
use units::Watch;

use super::{DayError, Stage};
use crate::answer::Outlook;
use crate::drawn::Drawn;
use crate::outlook::MorningAsk;

/// How long the level is held for the net, h: common practice, three hauls.
const HELD_H: f64 = 1.5;
/// Longest fall from seining depth to catch depth that a morning has room for, h.
const FALL_H: f64 = 2.5;

/// The way down.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Down {
    pub opens_h: f64,
    pub has_drain: bool,
    pub pumps: Vec<String>,
    pub course: Course,
    /// Level from the opening on, before any hold.
    before: Vec<(f64, f64)>,
}

impl Down {
    /// The level by the hour, with the holds.
    pub(super) fn levels(&self, holds: &[Hold]) -> Vec<(f64, f64)> {
        let mut levels = self.before.clone();
        for hold in holds {
            for level in levels.iter_mut().filter(|level| level.0 >= hold.from_h) {
                level.0 += hold.for_h;
            }
        }
        levels
    }
}

/// The way down of the stage's pond, so that seining depth stands when work begins.
pub(super) fn down(
    _ask: &MorningAsk,
    drawn: &Drawn,
    _outlook: &Outlook,
    stage: &Stage,
    _first_light_h: f64,
    _watch: &Watch,
) -> Result<Down, DayError> {
    let standing = drawn.ponds.iter().find(|standing| standing.index == stage.shown.index).ok_or(DayError::NoPond)?;
    let (card, shape) = (&standing.card, standing.model.basin.shape());
    let full_m = shape.full_m();
    let catch_m = card.emptying.catch_depth_m.min(0.9 * full_m);
    let (full_m3, catch_m3, area_m2) = (shape.volume_m3(full_m), shape.volume_m3(catch_m), shape.area_m2(full_m));
    let lead_h = f64::from(standing.model.ways[0].lead_hours).max(1.0);
    let fall_h = FALL_H.min(0.5 * lead_h);
    let stage_at = |before_catch_h: f64| {
        let part = (before_catch_h / lead_h).clamp(0.0, 1.0);
        shape.stage_m(catch_m3 + part * (full_m3 - catch_m3))
    };
    let bare_at = |stage_m: f64| (1.0 - shape.area_m2(stage_m) / area_m2).clamp(0.0, 1.0);
    let seine_h = (stage.begins_h, stage.begins_h + HELD_H);
    let dip_from_h = seine_h.1 + fall_h;
    let mut course = Course { seine_h, dip_from_h, dry_h: f64::INFINITY, ..Course::default() };
    let mut push = |at_h: f64, before_catch_h: f64| {
        let stage_m = stage_at(before_catch_h);
        course.at_h.push(at_h);
        course.stage_m.push(stage_m);
        course.bare.push(bare_at(stage_m));
    };
    const STEPS: usize = 8;
    push(seine_h.0, fall_h);
    for step in 0..=STEPS {
        let part = step as f64 / STEPS as f64;
        push(seine_h.1 + part * fall_h, fall_h * (1.0 - part));
    }
    let opens_h = seine_h.0 - (lead_h - fall_h);
    let hours = (lead_h - fall_h).ceil() as i32;
    let mut before: Vec<(f64, f64)> =
        (0..hours).map(|hour| (opens_h + f64::from(hour), stage_at(lead_h - f64::from(hour)))).collect();
    before.push((seine_h.0, stage_at(fall_h)));
    before.extend((0..=STEPS).map(|step| {
        let part = step as f64 / STEPS as f64;
        (seine_h.1 + part * fall_h, stage_at(fall_h * (1.0 - part)))
    }));
    Ok(Down {
        opens_h,
        has_drain: card.emptying.outlet != Outlet::None,
        pumps: card.emptying.pumps.iter().map(|&pump| stage.ask.farm.gear.pumps[pump].name.clone()).collect(),
        course,
        before,
    })
}
