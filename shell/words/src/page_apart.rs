//! Two thermometers that disagree, in words.

use farm::AlongPond;
use units::{Instant, Zone};

use crate::figures::{Manner, clock, degrees, degrees_apart, depth, stopped};
use crate::page_log::moment;

/// Mend the one that was written.
pub const MEND: &str = "Mend or strike out what was written";
/// Take the logger's file back.
pub const TAKE_BACK: &str = "Take the logger's file back, in the log";

/// A reading by hand and a logger's beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// The pond's name.
    pub pond: String,
    /// Where along it.
    pub end: AlongPond,
    /// Depth below the surface, m.
    pub depth_m: f64,
    /// Who wrote it.
    pub person: String,
    /// When it was read.
    pub at: Instant,
    /// What was written, °C.
    pub hand_c: f64,
    /// What the logger has.
    pub logger: Logger,
}

/// A logger's reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Logger {
    /// When.
    pub at: Instant,
    /// Water temperature, °C.
    pub temp_c: f64,
    /// The file it came in, where that is known.
    pub file: Option<String>,
    /// Who brought it.
    pub by: Option<String>,
}

/// What is said: both values with who and when, which of them the reckoning leans on, what to do.
pub fn sentences(of: &Apart, zone: &Zone, manner: Manner) -> [String; 3] {
    let place = match of.end {
        AlongPond::Deep => "drain end",
        AlongPond::Middle => "middle",
        AlongPond::Shallow => "shallow end",
    };
    let apart = degrees_apart((of.hand_c - of.logger.temp_c).abs(), manner);
    let from = match (&of.logger.file, &of.logger.by) {
        (Some(file), Some(by)) => format!(" ({file}, brought in by {by})"),
        _ => String::new(),
    };
    let logged = clock(zone.day_and_second(of.logger.at).1 / 60 * 60, manner);
    [
        format!("{}: two thermometers disagree by {apart}, more than they do in one water.", of.pond),
        stopped(format!(
            "At the {place}, {} down, {} read {} on {}; the logger{from} has {} at {logged}",
            depth(of.depth_m, manner),
            of.person,
            degrees(of.hand_c, manner),
            moment(of.at, zone, manner),
            degrees(of.logger.temp_c, manner),
        )),
        "The reckoning gives both the same weight, so one of them leads it astray. Hold both thermometers in one bucket of water; then mend or \
         strike out the reading that was wrong, or take the logger's file back."
            .to_owned(),
    ]
}
