//! What the picture of the falling water says.

use season::day::{DaySheet, StepKind};

use super::at;
use crate::figures::{Manner, depth, stopped};

/// Title of the picture.
pub const FALLING: &str = "Water against the clock, and the work below it";

/// Its sentence.
pub fn falling_says(sheet: &DaySheet, manner: Manner) -> String {
    let course = &sheet.course;
    let (stands_m, from_h) = (depth(course.stage_at(course.seine_h.0), manner), at(sheet.on, course.seine_h.0, manner));
    let water = match course.dip_from_h >= sheet.ends_h {
        true => format!("The water stands at {stands_m} by the drain from {from_h} on, and is kept there over night"),
        false => format!(
            "The water stands at {stands_m} by the drain from {from_h} to {}, then falls; the last of it is dipped from {}",
            at(sheet.on, course.seine_h.1, manner),
            at(sheet.on, course.dip_from_h, manner)
        ),
    };
    let work = format!(
        "Likely out of the water by {}, all on ice by {}",
        at(sheet.on, sheet.sure().told.out_h.middle, manner),
        at(sheet.on, sheet.sure().told.iced_h.middle, manner),
    );
    format!("{} {}", stopped(water), stopped(work))
}

/// What its marks and bars are.
pub fn falling_legend(marks: &[&str]) -> String {
    let marks: Vec<String> = marks.iter().enumerate().map(|(place, name)| format!("{} {name}", place + 1)).collect();
    format!(
        "{}. Bars below, from above: catching, until all is on ice, until everything is done; the thin line ends where nine days of ten do.",
        marks.join(", ")
    )
}

/// A step that is marked on the water, by name.
pub fn mark(step: &StepKind) -> Option<&'static str> {
    match step {
        StepKind::SeiningDepth(_) => Some("net in"),
        StepKind::LetDown => Some("let down"),
        StepKind::Gather => Some("gathering"),
        StepKind::Dip(_) => Some("last water"),
        StepKind::Dry => Some("water gone"),
        _ => None,
    }
}

/// An hour for the foot of the picture: "6 am", "18".
pub fn hour_short(hour: i32, manner: Manner) -> String {
    let hour = hour.rem_euclid(24);
    match manner {
        Manner::Metric => format!("{hour:02}"),
        Manner::UsCustomary => match (hour % 12, hour < 12) {
            (0, true) => "12 am".to_owned(),
            (0, false) => "12 pm".to_owned(),
            (face, true) => format!("{face} am"),
            (face, false) => format!("{face} pm"),
        },
    }
}
