//! The river or ditch in sentences, and why catch depth stands before its hour.

use season::drain::{Drain, WayOut};
use season::pond::drawdown::What;

use super::{at, level};
use crate::figures::{Manner, clock, span, stopped};

/// The river or ditch where it was told by hours.
pub fn outside(drain: &Drain, manner: Manner) -> Option<String> {
    let rows = &drain.outlet_by_hour_h_m;
    let row = |&(at_h, height_m): &(f64, f64)| format!("{} {}", level(height_m, manner), at(drain, at_h, manner));
    let told: Vec<String> = rows.iter().map(row).collect();
    (rows.len() > 1).then(|| {
        let told = stopped(format!("The river or ditch as it was told: {}", told.join(", then ")));
        format!("{told} Between these hours it is taken to change evenly, before and after them to stand.")
    })
}

/// Why catch depth stands before the hour that was wanted, and what to do until then.
pub fn early(drain: &Drain, manner: Manner) -> Option<String> {
    const EARLY_H: f64 = 0.5;
    let (opening, wanted) = (&drain.opening, &drain.wanted);
    let stands_h = opening.start_h + opening.course.hours_of(What::CatchDepth)?;
    let early_h = wanted.catch_at_h - stands_h;
    if early_h < EARLY_H || wanted.open_h.is_some() {
        return None;
    }
    let hour = |h: f64| clock((3600.0 * h) as i32, manner);
    let (from_h, until_h) = wanted.hands_h;
    let shut = match drain.ways.first() {
        Some(WayOut::Pipe | WayOut::Standpipe) => "Shut it",
        _ => "Stop the pumps",
    };
    // By the gate's own hour, or by the hour at which it is opened again after the net.
    let opened_h = opening.again_h.unwrap_or(opening.start_h);
    let of_day = opened_h.rem_euclid(24.0);
    let why = if (of_day - until_h.rem_euclid(24.0)).abs() < 0.2 {
        format!("nobody is there to open between {} and {}, as the farm file says", hour(until_h), hour(from_h))
    } else {
        "opened later, it would not be down in time".to_owned()
    };
    Some(format!(
        "That is {} before {}, the hour that is wanted: {why}. {shut} at catch depth until then.",
        span(early_h),
        at(drain, wanted.catch_at_h, manner)
    ))
}

/// From when the river or ditch stands higher than the pond and runs in.
pub(super) fn runs_in(drain: &Drain, manner: Manner) -> Option<String> {
    let opening = &drain.opening;
    let from_h = opening.start_h + opening.course.hours_of(What::RunsBackward)?;
    let when = stopped(format!("The river or ditch runs into the pond from {}", at(drain, from_h, manner)));
    Some(format!(
        "{when} Shut the drain before, screen what it brings, and lift the last water over the bank with a pump."
    ))
}
