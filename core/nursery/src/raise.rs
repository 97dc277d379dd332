//! Growth and survival in a tank, day by day, with what they are fed.
//!
//! Model     the cube root of weight grows by a step a day that falls with crowding on the bottom and follows the water's warmth; a rate
//!           of death by crowding on all they can sit on
//! Units     g, animals per m², °C, d; feed in kg
//! Range     200 to 6000 to the square metre of bottom, 30 to 70 days, 20 to 33 °C; weight within 30 %
//! Source    our fit to published tank trials (Coyle and others 2003; abstracts in docs/model/nursery.md); rations recalled
//! Left out  moults, grading, sickness, feed that is not eaten

use stock::warmth_of;

use crate::Tank;
use crate::waste::{Waste, waste};

/// Gain of the cube root of weight at 28 °C and 300 to the square metre, g^(1/3) in a day.
const STEP: f64 = 0.0147;
const STEP_PER_M2: f64 = 300.0;
const STEP_POWER: f64 = -0.38;
/// Deaths: logarithm of survival over 56 days at 215 to the square metre of seats.
const DEATHS: f64 = 0.075;
const DEATHS_PER_M2: f64 = 215.0;
const DEATHS_POWER: f64 = 1.35;
const DEATHS_D: f64 = 56.0;
/// Warmth the trials had, °C.
const TRIAL_C: f64 = 28.0;
/// How far off a weight may be, as a share.
pub const RAISED_ERROR: f64 = 0.3;

/// How a tank is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// Water, °C.
    pub water_temp_c: f64,
    /// Its pH.
    pub ph: f64,
    /// Protein in the feed, a share.
    pub protein: f64,
    /// Total ammonia nitrogen in new water, mg/L.
    pub fresh_mg_l: f64,
}

/// One day of one tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankDay {
    /// Days since the animals came.
    pub day: u32,
    /// Animals alive at its start.
    pub count: f64,
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// Feed, kg.
    pub feed_kg: f64,
    /// What the feed does to the water.
    pub waste: Waste,
}

/// A tank's days.
#[derive(Debug, Clone, PartialEq)]
pub struct Raised {
    /// From the day the animals came.
    pub days: Vec<TankDay>,
    /// The first day on which filter and exchange no longer keep ammonia down.
    pub too_little_from: Option<u32>,
}

/// Share of their weight that is fed in a day at 28 °C.
pub fn ration_fraction_per_d(mean_weight_g: f64) -> f64 {
    match mean_weight_g {
        w if w < 0.05 => 0.175,
        w if w < 0.1 => 0.135,
        w if w < 0.25 => 0.10,
        w if w < 0.5 => 0.065,
        _ => 0.05,
    }
}

/// Mean weight after some days, g, of animals that came at `from_g` and sit `per_m2` on the bottom.
pub fn weight_g(from_g: f64, per_m2: f64, water_temp_c: f64, days: f64) -> f64 {
    let crowding = units::pow((per_m2 / STEP_PER_M2).max(1e-3), STEP_POWER);
    let root = units::pow(from_g, 1.0 / 3.0) + STEP * crowding * pace(water_temp_c) * days;
    root * root * root
}

/// How fast they live, against the trials' 28 °C.
fn pace(water_temp_c: f64) -> f64 {
    warmth_of(water_temp_c).max(0.0) / warmth_of(TRIAL_C)
}

/// Raises `count` animals of `from_g` in a tank for some days.
pub fn raise(tank: &Tank, kept: &Kept, count: f64, from_g: f64, days: u32) -> Raised {
    let per_m2 = count / tank.bottom_m2.max(1e-6);
    let seated = count / tank.seats_m2().max(1e-6);
    let rate_per_d = DEATHS * units::pow((seated / DEATHS_PER_M2).max(0.0), DEATHS_POWER) / DEATHS_D;
    let days: Vec<TankDay> = (0..=days)
        .map(|day| {
            let count = count * units::exp(-rate_per_d * f64::from(day));
            let mean_weight_g = weight_g(from_g, per_m2, kept.water_temp_c, f64::from(day));
            let mass_kg = count * mean_weight_g / 1000.0;
            let feed_kg = mass_kg * ration_fraction_per_d(mean_weight_g) * pace(kept.water_temp_c).min(1.0);
            TankDay { day, count, mean_weight_g, feed_kg, waste: waste(tank, kept, feed_kg) }
        })
        .collect();
    let too_little_from = days.iter().find(|one| one.waste.is_too_much()).map(|one| one.day);
    Raised { days, too_little_from }
}
