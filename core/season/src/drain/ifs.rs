//! What would change the water of an emptying pond, and by how much: the same futures under another course.

use pond::drawdown::backwards::solve;
use units::{Day, Watch};

use super::setting::{Asked, Setting};
use super::water::{WaterDown, water_down};
use super::{DrainError, Wish};

/// Another course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IfWhat {
    /// Catch depth some hours later on the same day: the sun has been on it.
    HoursLater(f64),
    /// A day later.
    DayLater(Day),
    /// The last water kept so much deeper, m.
    Deeper(f64),
    /// Well water once the pond stands low: m³/h, °C.
    Well(f64, f64),
}

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct If {
    /// What.
    pub what: IfWhat,
    /// Hour of the first opening.
    pub start_h: f64,
    /// Lowest at the drain end against the course that was asked for, middle of the members, K; positive is warmer.
    pub warmer_k: f64,
    /// Chance that animals stop following.
    pub slow_chance: f64,
    /// Chance of the cold mark.
    pub mark_chance: f64,
}

/// How much later on the same day, h.
const LATER_H: f64 = 4.0;
/// How much deeper, m.
const DEEPER_M: f64 = 0.3;

/// The variants that can be had.
pub(super) fn ifs(
    of: &Setting,
    wish: &Wish,
    asked: &Asked,
    water: &WaterDown,
    watch: &Watch,
) -> Result<Vec<If>, DrainError> {
    let wanted = &asked.wanted;
    // A told opening says when it comes down; what is found anew must be free to move.
    let day = Some(asked.catch_day);
    let catch_of_day_h = wanted.catch_at_h.rem_euclid(24.0);
    let free = Wish { open_at: None, catch_day: day, catch_at_h: Some(catch_of_day_h), ..wish.clone() };
    let mut variants = vec![
        (IfWhat::HoursLater(LATER_H), Wish { catch_at_h: Some(catch_of_day_h + LATER_H), ..free.clone() }),
        (IfWhat::DayLater(asked.catch_day.plus(1)), Wish { catch_day: Some(asked.catch_day.plus(1)), ..free.clone() }),
        (IfWhat::Deeper(DEEPER_M), Wish { catch_depth_m: Some(wanted.catch_m + DEEPER_M), ..free.clone() }),
    ];
    let more = &of.card.emptying.more;
    if let (Some(m3_h), false) = (more.well_m3_h, wish.well) {
        let well_c = more.well_c.unwrap_or_else(|| of.ground_mean_c());
        variants.push((IfWhat::Well(m3_h, well_c), Wish { well: true, ..free }));
    }
    let mut found = Vec::new();
    for (what, wish) in variants {
        let Ok(asked) = of.asked(&wish, None) else { continue };
        let opening = solve(&of.held, &asked.works, &asked.wanted);
        let (Some(other), _) = water_down(of, &asked, &opening, watch)? else { continue };
        found.push(If {
            what,
            start_h: opening.start_h,
            warmer_k: other.lowest_c.middle - water.lowest_c.middle,
            slow_chance: other.slow_chance,
            mark_chance: other.mark_chance,
        });
    }
    Ok(found)
}
