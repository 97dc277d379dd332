//! What the line asks of the water: to be held where it stands, when that makes the day better.
//!
//! Model     rival days with the water held some hours, before it is let down from the net or before the last of it goes, under the same draws
//! Units     hours of the day's clock
//! Range     holds of half an hour to four hours
//! Source    the worth of a day is `moves::worth_h`
//! Left out  what the held water does overnight; two holds at once (they are asked for one after the other)

use crate::day::{Day, Future};
use crate::draws::Draws;
use crate::line::Line;
use crate::moves::means;

/// What the water should be held for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HoldFor {
    /// The hauls are not through.
    Seining,
    /// The last water goes before it is dipped.
    Dipping,
}

/// A request to hold the water where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// What for.
    pub why: HoldFor,
    /// From this clock hour.
    pub from_h: f64,
    /// For so long, h.
    pub for_h: f64,
}

/// Holds that are tried, h.
const TRIED_H: [f64; 4] = [0.5, 1.0, 2.0, 4.0];
/// Less of a gain is not asked for, h.
const GAIN_H: f64 = 0.25;
/// Just after the hour from which the last water is dipped, so that the dipping itself is not put off, h.
const AFTER_H: f64 = 0.01;

/// The hold that betters the day most; nothing when none betters it by a quarter of an hour.
pub fn hold(line: &mut Line, day: &Day, futures: &[Future], draws: &Draws) -> Option<Hold> {
    let course = &day.course;
    let seined = (course.seine_h.1 > course.seine_h.0).then_some((HoldFor::Seining, course.seine_h.1));
    let dipped = course.dry_h.is_finite().then_some((HoldFor::Dipping, course.dip_from_h + AFTER_H));
    let mut least_h = means(line, day, futures, draws).worth_h - GAIN_H;
    let mut best = None;
    for (why, from_h) in [seined, dipped].into_iter().flatten() {
        for for_h in TRIED_H {
            let held = Day { course: course.held(from_h, for_h), ..day.clone() };
            let worth_h = means(line, &held, futures, draws).worth_h;
            if worth_h < least_h {
                (least_h, best) = (worth_h, Some(Hold { why, from_h, for_h }));
            }
        }
    }
    best
}
