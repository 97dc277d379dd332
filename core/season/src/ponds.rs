//! From a recorded pond to one the engine can run: its basin, its ways of emptying, how thick the water stands.

use farm::{Farm, Outlet, PondCard, Seen};
use plan::Way;
use pond::drawdown::hours_down;
use pond::{Basin, DepthArea, Grid, Levee, Settings, Shape, ShapeError};
use units::Day;

use crate::limits::pumps_hold;
use crate::thin::Depths;
use crate::works::{catch_m, works};

/// Columns of a pond from shallow end to drain end. Three to ten give the volume mean within 0.02 K and the dawn minimum within
/// 0.01 K of each other (docs/numerics), so members run on the fewest that still tell the ends apart.
pub const COLUMNS: usize = 3;
/// Columns of a pond's rough twin. With one, what the ends have apart is lost, and the first days under kept water are off by up
/// to 0.4 K in late summer (docs/numerics/reuse.md).
const TWIN_COLUMNS: usize = 2;

/// A pond ready to run.
#[derive(Debug, Clone)]
pub struct PondModel {
    /// Shape and physics.
    pub basin: Basin,
    /// The same pond in few cells, for how water answers to a change of air or start.
    pub twin: Basin,
    /// Mean depths, full and at catch depth.
    pub depths: Depths,
    /// Ways of emptying, the grower's first choice first.
    pub ways: Vec<Way>,
    /// The lead time of the first way is remembered, not reckoned.
    pub lead_told: bool,
    /// Litres burnt on the way down by the first way.
    pub lead_fuel_l: f64,
}

/// Why a pond cannot be run.
#[derive(Debug, Clone, PartialEq)]
pub enum PondModelError {
    /// Its figures do not make a pond.
    Shape {
        /// The pond's name.
        pond: String,
        /// What is wrong.
        error: ShapeError,
    },
    /// Nothing named in the farm file ever empties it to catch depth.
    NeverEmpty {
        /// The pond's name.
        pond: String,
    },
}

/// Builds the model of one pond.
pub fn pond_model(farm: &Farm, card: &PondCard) -> Result<PondModel, PondModelError> {
    let wrong = |error| PondModelError::Shape { pond: card.name.clone(), error };
    let twin = twin(shape(card, TWIN_COLUMNS).map_err(wrong)?, farm.place.latitude_deg);
    let shape = shape(card, COLUMNS).map_err(wrong)?;
    let full_m = shape.full_m();
    let catch_m = catch_m(card, &shape);
    let depths = Depths { full_m: shape.mean_depth_m(full_m), catch_m: shape.mean_depth_m(catch_m).max(0.15) };
    let (ways, lead_fuel_l) =
        ways(farm, card, &shape, catch_m).ok_or_else(|| PondModelError::NeverEmpty { pond: card.name.clone() })?;
    Ok(PondModel {
        basin: basin(shape, farm.place.latitude_deg),
        twin,
        depths,
        lead_told: card.emptying.told_h.is_some(),
        ways,
        lead_fuel_l,
    })
}

/// Seconds in a step of the members' water: full ponds allow the longer one (0.04 K at dawn, docs/numerics/pond.md).
const STEP_S: f64 = 1800.0;

fn basin(shape: Shape, latitude_deg: f64) -> Basin {
    let usual = Basin::new(shape, latitude_deg);
    let settings = Settings { step_s: STEP_S, ..usual.settings().clone() };
    Basin::with(usual.shape().clone(), latitude_deg, usual.grid().clone(), settings)
}

/// Two columns in few cells at an hour's step: too rough for the water itself, good enough for differences.
fn twin(shape: Shape, latitude_deg: f64) -> Basin {
    let usual = Basin::new(shape, latitude_deg);
    let settings = Settings { step_s: 3600.0, ..usual.settings().clone() };
    let grid = Grid { first_m: vec![0.1, 0.15], rest_m: 0.25 };
    Basin::with(usual.shape().clone(), latitude_deg, grid, settings)
}

pub fn shape(card: &PondCard, columns: usize) -> Result<Shape, ShapeError> {
    let own = &card.shape;
    if own.area_by_depth_m_m2.len() >= 2 {
        let full_m = own.area_by_depth_m_m2.last().map_or(0.0, |row| row.0);
        let by_depth: Vec<(f64, f64)> =
            own.area_by_depth_m_m2.iter().rev().map(|&(up, area)| (full_m - up, area)).collect();
        let length_m = own.length_m.unwrap_or((2.0 * own.area_m2).sqrt());
        let table = DepthArea {
            depth_area_m_m2: by_depth,
            length_m,
            depth_shallow_m: Some(own.shallow_depth_m).filter(|m| *m > 0.0),
        };
        return Shape::from_table(&table, columns);
    }
    let levee = Levee {
        area_m2: Some(own.area_m2),
        length_m: own.length_m,
        width_m: own.width_m,
        depth_shallow_m: own.shallow_depth_m,
        depth_deep_m: own.deep_depth_m,
        side_slope: own.side_slope,
        end_slope: 0.0,
        soundings_m: own.soundings_m.clone(),
    };
    Shape::from_levee(&levee, columns)
}

/// The ways down to catch depth, and the litres the first of them burns.
fn ways(farm: &Farm, card: &PondCard, shape: &Shape, catch_m: f64) -> Option<(Vec<Way>, f64)> {
    let has_drain = card.emptying.outlet != Outlet::None;
    let full_m = shape.full_m();
    // The ditch of this morning is no measure of a later day's: rain that drowns the outlet has its own rule.
    let reckon = |pumps: &[usize]| hours_down(shape, &works(farm, card, shape, pumps), full_m, catch_m);
    let way = |pumps: &[usize], hours: f64| {
        let (gear, fuel_per_hour) = pumps_hold(farm, pumps);
        let days = (hours / 24.0).ceil() + 1.0;
        let cost_coins = pumps.iter().map(|&pump| farm.gear.pumps[pump].cost_day).sum::<f64>() * days;
        Way { lead_hours: hours.ceil().max(1.0) as i32, gear, fuel_per_hour, cost_coins }
    };
    let named = &card.emptying.pumps;
    let mut all = Vec::new();
    // The grower's own way, with everything named at work, at the remembered time if there is one.
    if let Some(hours) = card.emptying.told_h.or_else(|| reckon(named)) {
        all.push(way(named, hours));
        // A slower way with fewer pumps leaves the rest free; its time is stretched as the sums say.
        let whole = reckon(named);
        for &pump in named {
            let fewer: Vec<usize> = named.iter().copied().filter(|&other| other != pump).collect();
            if fewer.is_empty() && !has_drain {
                continue;
            }
            if let (Some(slow), Some(whole)) = (reckon(&fewer), whole) {
                all.push(way(&fewer, hours * slow / whole));
            }
        }
    }
    let first = all.first()?;
    let fuel_l = first.fuel_per_hour * f64::from(first.lead_hours);
    Some((all, fuel_l))
}

/// Light, plants and level on a day, linear between what the grower saw.
pub fn seen_on(card: &PondCard, day: Day) -> Seen {
    let dated = |seen: &Seen| seen.on.unwrap_or(Day(i32::MIN / 2));
    let after = card.seen.iter().position(|seen| dated(seen) > day);
    let (before, next) = match after {
        None => return card.seen.last().expect("a pond is read with at least one row of what was seen").clone(),
        Some(0) => return card.seen[0].clone(),
        Some(next) => (&card.seen[next - 1], &card.seen[next]),
    };
    let (Some(from), Some(to)) = (before.on, next.on) else { return before.clone() };
    let part = f64::from(day.0 - from.0) / f64::from(to.0 - from.0);
    let between = |a: f64, b: f64| a + part * (b - a);
    Seen {
        on: Some(day),
        secchi_m: between(before.secchi_m, next.secchi_m),
        plants: between(before.plants, next.plants),
        below_full_m: between(before.below_full_m, next.below_full_m),
    }
}
