//! The page of an emptying pond: its labels, the sentences of its charts, the rows of its tables.

use season::drain::{Drain, HourWater, WaterDown};
use season::pond::drawdown::What;

use crate::drain::{at, at_short, level};
use crate::figures::{Manner, bare, degrees, stopped, weekday};

/// Title of a pond's page.
pub fn title(pond: &str) -> String {
    format!("Emptying {pond}")
}
/// Way to the page.
pub const SEE: &str = "When to open what, hour by hour";
/// Way to the answer with the net first.
pub const SEINE_FIRST: &str = "And if the net is pulled first?";
/// Above the falling line.
pub const CLOCK: &str = "By the clock";
/// Title of the falling line.
pub const FALLING_TITLE: &str = "The water by the drain, hour by hour";
/// Names of the levels in it.
pub const SEINING: &str = "seining depth";
/// See [`SEINING`].
pub const CATCH: &str = "catch depth";
/// See [`SEINING`].
pub const DITCH: &str = "river or ditch";
/// Above the table of the way down.
pub const COURSE: &str = "Level, bare floor and water left";
/// Its heads.
pub const COURSE_HEADS: [&str; 5] = ["When", "By the drain", "Floor bare", "Water left", "In pools"];
/// Above the water's temperature.
pub const WARMTH: &str = "How warm it stays";
/// Title of that chart and its table.
pub const PLACES_TITLE: &str = "Water by place, hour by hour";
/// Heads of the table.
pub const PLACES_HEADS: [&str; 6] =
    ["When", "By the drain", "Shallow end", "Middle", "Drain end", "8 of 10 lie between"];
/// Its legend.
pub const PLACES_LEGEND: &str = "Full line: drain end, with the band of 8 of 10 futures. Dashes: middle. Dots: shallow end, until it is bare. Dotted level: \
    below it animals stop following. Hatched: below the cold mark. Grey: night.";
/// Above what would change it.
pub const IFS: &str = "What would change it";
/// Below the table.
pub const IFS_SAY: &str = "Each under the same futures. The coldest hour is that of the drain end while the floor falls bare and until the catch is over.";
/// Above the last water.
pub const AIR: &str = "Oxygen in the last water";
/// How it is made.
pub const HOW: &str = "How it is worked out";
/// The method.
pub const METHOD: &str = "What drain and pumps let out at each depth is taken from pipe, screen, curve and the water outside, at the pace you remember; the pond's \
    shape turns it into a level, hour by hour, and the hours of opening are found backwards from when the level is wanted. The same reckoning as every \
    morning then takes the pond's water down with it under every future: thin water cools fast, the ground warms it, each layer leaves with its own warmth.";
/// Above the questions.
pub const ASK: &str = "Ask it your way";
/// Button.
pub const WORK_OUT: &str = "Let it down again";

/// Way back to the pond.
pub fn back(pond: &str) -> String {
    format!("{pond}'s own page")
}

/// The falling line in a sentence or three.
pub fn falling_says(drain: &Drain, manner: Manner) -> String {
    let (opening, course) = (&drain.opening, &drain.opening.course);
    let when = |at_h: f64| at(drain, opening.start_h + at_h, manner);
    let from = format!("The water stands at {} {}", level(drain.from_m, manner), when(0.0));
    let mut said = vec![match course.hours_of(What::CatchDepth) {
        Some(at_h) => stopped(format!("{from} and at {} {}", level(course.stage_m(at_h), manner), when(at_h))),
        None => {
            let lowest_m = course.steps.iter().map(|step| step.stage_m).fold(f64::INFINITY, f64::min);
            format!("{from} and gets no lower than {}.", level(lowest_m, manner))
        }
    }];
    said.extend(
        course.held().map(|(from_h, to_h)| stopped(format!("It is held from {} to {}", when(from_h), when(to_h)))),
    );
    let half = course.steps.iter().find(|step| step.bare_fraction >= 0.5);
    said.extend(half.map(|step| stopped(format!("Half of the ground lies bare {}", when(step.at_h)))));
    said.join(" ")
}

/// What the drawing's signs are.
pub fn falling_legend(drain: &Drain) -> &'static str {
    match drain.outlet_water_m {
        Some(_) => {
            "Line: the water by the drain. Dots: what is opened, shut or reached. Grey: night. Long dashes: the water outside, as it was told to stand."
        }
        None => "Line: the water by the drain. Dots: what is opened, shut or reached. Grey: night.",
    }
}

/// Metres between the levels that are drawn.
pub fn level_step_m(top_m: f64, manner: Manner) -> f64 {
    match manner {
        Manner::Metric if top_m > 1.2 => 0.5,
        Manner::Metric => 0.25,
        Manner::UsCustomary if top_m > 1.3 => 2.0 * 0.3048,
        Manner::UsCustomary => 0.3048,
    }
}

/// Names of the hours below a chart.
pub fn hour_name(drain: &Drain, at_h: f64, manner: Manner) -> String {
    let day = drain.on.plus((at_h / 24.0).floor() as i32);
    match at_h.rem_euclid(24.0).round() as i32 {
        0 => weekday(day)[..3].to_owned(),
        12 => "noon".to_owned(),
        hour if manner == Manner::Metric => format!("{hour}:00"),
        hour if hour < 12 => format!("{hour} a.m."),
        hour => format!("{} p.m.", hour - 12),
    }
}

/// The chart of the places in a sentence.
pub fn places_say(water: &WaterDown, manner: Manner) -> String {
    let (middle, low) = (degrees(water.at_catch_c.middle, manner), degrees(water.at_catch_c.low, manner));
    match water.hours.iter().find_map(|hour| hour.places.last().copied().flatten()) {
        Some(first) => format!(
            "The drain end likely goes from {} to {middle} by the time the catch begins; in one future of ten it is then below {low}.",
            degrees(first.mean_c.middle, manner)
        ),
        None => {
            format!("When the catch begins the drain end likely stands at {middle}; in one future of ten below {low}.")
        }
    }
}

/// A row of the table of places.
pub fn place_row(drain: &Drain, hour: &HourWater, manner: Manner) -> [String; 6] {
    let at_place = |place: usize| hour.places.get(place).copied().flatten().map(|told| told.mean_c);
    let told = |place: usize| at_place(place).map_or("bare".to_owned(), |band| degrees(band.middle, manner));
    let between =
        at_place(2).map_or(String::new(), |band| format!("{} to {}", bare(band.low, manner), bare(band.high, manner)));
    [at_short(drain, hour.at_h, manner), level(hour.level_m, manner), told(0), told(1), told(2), between]
}
