//! Whether a tank's filter may be called ripe, by what was read; and what ammonia and nitrite do until it is.
//!
//! Model     a clear reading holds both, each at or below half a mg/L of nitrogen, while there was something to be taken: animals in the tank, or
//!           ammonia put in the day before. Two of them, days apart and nothing unclear between, call a filter ripe; a limit passed takes that back
//! Units     mg/L, d
//! Range     one tank
//! Source    two clear readings, 2 to 3 mg/L gone in a day, nitrite below 0.5: from memory (docs/model/nursery.md)
//! Left out  readings of two tanks on one filter are not joined

use nursery::{
    AMMONIA_CLEAR_MG_L, AMMONIA_MOST_MG_L, Kept, NITRITE_CLEAR_MG_L, NITRITE_MOST_MG_L, nitrogen_course, ripeness_read,
};
use units::Day;

use super::entered::Test;

/// Days that two clear readings lie apart at the least.
pub const AGAIN_D: i32 = 2;
/// Ammonia put in that a ripe filter clears within a day, mg/L.
pub const LOADED_MG_L: f64 = 2.0;
/// Hours within which it was put in before a reading.
const LOADED_H: i64 = 36;
/// A reading this long ago says nothing of the coming days, d.
const OLD_TEST_D: i32 = 7;
/// Days that are looked ahead.
const AHEAD_D: u32 = 45;

/// What was read of a filter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilterSeen {
    /// The tank has none.
    Without,
    /// Ammonia and nitrite were never read together.
    NotRead,
    /// Both were low, while there was nothing to be taken.
    Idle {
        /// The day.
        on: Day,
    },
    /// One clear reading.
    Once {
        /// The day.
        on: Day,
    },
    /// Called ripe.
    Ripe {
        /// The first clear reading.
        first: Day,
        /// The one that called it ripe.
        again: Day,
    },
    /// The last reading was not clear.
    Unripe {
        /// The day.
        on: Day,
    },
}

/// What the readings say of the filter, in order of time.
pub fn seen(filter_m2: f64, tests: &[Test], delivered: Option<Day>) -> FilterSeen {
    if filter_m2 <= 0.0 {
        return FilterSeen::Without;
    }
    let mut seen = FilterSeen::NotRead;
    for (at, test) in tests.iter().enumerate() {
        let above = |read: Option<f64>, most: f64| read.is_some_and(|mg_l| mg_l > most);
        let passes = above(test.ammonia_mg_l, AMMONIA_MOST_MG_L) || above(test.nitrite_mg_l, NITRITE_MOST_MG_L);
        let unclear = above(test.ammonia_mg_l, AMMONIA_CLEAR_MG_L) || above(test.nitrite_mg_l, NITRITE_CLEAR_MG_L);
        if passes || (unclear && !matches!(seen, FilterSeen::Ripe { .. })) {
            seen = FilterSeen::Unripe { on: test.on };
            continue;
        }
        if unclear || test.ammonia_mg_l.is_none() || test.nitrite_mg_l.is_none() {
            continue;
        }
        let put_in = tests[..at].iter().any(|before| {
            test.at_s - before.at_s <= LOADED_H * 3600 && before.ammonia_mg_l.is_some_and(|mg_l| mg_l >= LOADED_MG_L)
        });
        let is_loaded = put_in || delivered.is_some_and(|day| day <= test.on);
        seen = match seen {
            ripe @ FilterSeen::Ripe { .. } => ripe,
            FilterSeen::Once { on } if is_loaded && test.on.0 - on.0 >= AGAIN_D => {
                FilterSeen::Ripe { first: on, again: test.on }
            }
            once @ FilterSeen::Once { .. } => once,
            _ if is_loaded => FilterSeen::Once { on: test.on },
            _ => FilterSeen::Idle { on: test.on },
        };
    }
    seen
}

/// Ammonia and nitrite in the coming weeks as fed now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NitrogenOutlook {
    /// The day of the readings it starts from.
    pub from: Day,
    /// Ammonia's peak from that day on, mg/L.
    pub ammonia_peak: (Day, f64),
    /// Nitrite's peak, mg/L.
    pub nitrite_peak: (Day, f64),
    /// The first day from which both stay clear; `None` within the weeks looked at.
    pub clear_from: Option<Day>,
}

/// Their course from the last entry of both, if it is of late.
pub(super) fn course(
    tank: &nursery::Tank,
    kept: &Kept,
    tests: &[Test],
    today: Day,
    made_g: &dyn Fn(u32) -> f64,
) -> Option<NitrogenOutlook> {
    let last = tests.iter().rev().find(|test| test.ammonia_mg_l.is_some() && test.nitrite_mg_l.is_some())?;
    let read = (last.ammonia_mg_l?, last.nitrite_mg_l?);
    if today.0 - last.on.0 > OLD_TEST_D {
        return None;
    }
    let ripeness = ripeness_read(tank, made_g(0), read)?;
    let course = nitrogen_course(tank, kept, read, ripeness, made_g, AHEAD_D);
    let day = |of: u32| last.on.plus(of as i32);
    let peak = |value: &dyn Fn(&nursery::NitrogenDay) -> f64| {
        let most = course.iter().max_by(|a, b| value(a).total_cmp(&value(b)).then(b.day.cmp(&a.day)));
        most.map_or((last.on, 0.0), |most| (day(most.day), value(most)))
    };
    let unclear = course.iter().rposition(|day| !day.is_clear());
    let clear_from = unclear.map_or(Some(0), |at| (at + 1 < course.len()).then_some(at as u32 + 1)).map(day);
    Some(NitrogenOutlook {
        from: last.on,
        ammonia_peak: peak(&|day| day.ammonia_mg_l),
        nitrite_peak: peak(&|day| day.nitrite_mg_l),
        clear_from,
    })
}

/// Hours until ammonia passes its limit with nothing to take it, from what is in the water.
pub(super) fn hours_without(tank: &nursery::Tank, ammonia_mg_l: f64, made_g_d: f64) -> f64 {
    let room_g = tank.water_m3 * (AMMONIA_MOST_MG_L - ammonia_mg_l).max(0.0);
    if made_g_d > 0.0 { 24.0 * room_g / made_g_d } else { f64::INFINITY }
}
