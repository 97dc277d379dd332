//! What lets a pond's water out, from what the farm file says of it.
//!
//! What is not told is taken as it was before it could be told: a clean screen, a ditch below the drain, an intake that lies deep
//! enough for catch depth, pumps at their measured rate.

use farm::{Farm, Outlet, PondCard};
use pond::Shape;
use pond::drawdown::{OutletWater, Pump, Rate, SCREEN, SUCTION_M, Way, Works, hours_down};
use units::Instant;

/// Length of an outlet pipe through the bank, m (our guess: a bank of 3 m crest and 3 to 1 slopes).
const OUTLET_LENGTH_M: f64 = 15.0;
/// Height over full water that a pump lifts to, m (our guess: a foot over the bank).
const OVER_BANK_M: f64 = 0.3;
/// Pace of works against the sum beyond which a remembered time says more of the sum than of the works.
const PACE: (f64, f64) = (0.1, 10.0);

/// Depth by the drain at which the catch begins, m: never more than most of the pond.
pub fn catch_m(card: &PondCard, shape: &Shape) -> f64 {
    card.emptying.catch_depth_m.min(0.9 * shape.full_m())
}

/// Depth by the drain at which the net is pulled, m: as told, else with two thirds of the full pond's water.
pub fn seining_m(card: &PondCard, shape: &Shape) -> f64 {
    let usual_m = shape.stage_m(2.0 / 3.0 * shape.volume_m3(shape.full_m()));
    card.emptying.more.seining_depth_m.unwrap_or(usual_m).clamp(catch_m(card, shape), shape.full_m())
}

/// The drain, if there is one, and these pumps; the drain comes first.
pub fn works(farm: &Farm, card: &PondCard, shape: &Shape, pumps: &[usize]) -> Works {
    let more = &card.emptying.more;
    let catch_m = catch_m(card, shape);
    let height_m = card.shape.silt_m.min(0.8 * catch_m);
    let screen_fraction = more.screen_fraction.unwrap_or(SCREEN);
    let drain = match card.emptying.outlet {
        Outlet::None => None,
        Outlet::Pipe { diameter_m } => {
            Some(Way::Pipe { diameter_m, length_m: OUTLET_LENGTH_M, height_m, screen_fraction })
        }
        Outlet::Standpipe { diameter_m } => {
            Some(Way::Standpipe { diameter_m, length_m: OUTLET_LENGTH_M, height_m, screen_fraction })
        }
    };
    // Without a word on it the intake lies in a hole deep enough for catch depth.
    let (intake_m, suction_m) = match more.pump_intake_m {
        Some(intake_m) => (intake_m, SUCTION_M),
        None => (0.0, SUCTION_M.min(0.8 * catch_m)),
    };
    let pump = |&pump: &usize| {
        let own = &farm.gear.pumps[pump];
        let rate = match own.curve_m_m3_h.as_slice() {
            [] | [_] => Rate::Measured(own.rate_m3_h),
            points => {
                Rate::Curve { points_m_m3_h: points.to_vec(), over_m: shape.full_m() + OVER_BANK_M, hose_ratio: 0.0 }
            }
        };
        Way::Pump(Pump { rate, intake_m, suction_m, fuel_h: None })
    };
    let mut works = Works::plain(drain.into_iter().chain(pumps.iter().map(pump)).collect());
    works.inflow_m3_h = more.inflow_m3_h.unwrap_or(0.0);
    works
}

/// What the works do against the sum, by the grower's remembered time from full to catch depth with everything named at work.
pub fn pace_factor(farm: &Farm, card: &PondCard, shape: &Shape) -> f64 {
    let Some(told_h) = card.emptying.told_h else { return 1.0 };
    let reckoned_h =
        hours_down(shape, &works(farm, card, shape, &card.emptying.pumps), shape.full_m(), catch_m(card, shape));
    reckoned_h.map_or(1.0, |reckoned_h| (reckoned_h / told_h).clamp(PACE.0, PACE.1))
}

/// Since when the water has been going down as if all had run since then: by the level read last, else when it was let go.
pub fn as_if_since(farm: &Farm, card: &PondCard, shape: &Shape) -> Option<Instant> {
    let since = card.draining_since?;
    let Some((at, below_m)) = card.draining_read else { return Some(since) };
    let mut works = works(farm, card, shape, &card.emptying.pumps);
    works.pace_factor = pace_factor(farm, card, shape);
    let level_m = (shape.full_m() - below_m).clamp(0.0, shape.full_m());
    // Where the sum says that it never comes so low, what was read says only that it goes down.
    let hours = hours_down(shape, &works, shape.full_m(), level_m).unwrap_or((at.0 - since.0) as f64 / 3600.0);
    Some(Instant(at.0 - (3600.0 * hours) as i64))
}

/// The river or ditch as it was told to stand.
pub fn outlet_water(card: &PondCard, height_m: Option<f64>) -> OutletWater {
    let height_m = height_m.or(card.emptying.more.outlet_water_m);
    OutletWater { flap: card.emptying.more.outlet_flap, ..height_m.map(OutletWater::at).unwrap_or_default() }
}
