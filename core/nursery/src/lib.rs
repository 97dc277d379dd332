//! Postlarvae in tanks: counted in, shared out, fed, kept in clean warm water until they are stocked.
//!
//! Knows tanks and days, not farms: what a tank holds and is kept at comes as numbers.

mod heat;
mod raise;
mod ripening;
mod share;
mod waste;

#[cfg(test)]
mod tests;

pub use heat::{AIR_USUAL_C, MakeUp, heat_kwh_per_d, make_up_kwh};
pub use raise::{Kept, RAISED_ERROR, Raised, TankDay, raise, ration_fraction_per_d, weight_g};
pub use ripening::{NitrogenDay, Ripeness, nitrogen_course, ripeness_read};
pub use share::{Step, shares, temper};
pub use waste::{
    AMMONIA_CLEAR_MG_L, AMMONIA_MOST_MG_L, FREE_AMMONIA_MOST_MG_L, NITRITE_CLEAR_MG_L, NITRITE_MOST_MG_L, Waste,
    exchange_m3_per_d, waste,
};

/// A tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tank {
    /// Water, m³.
    pub water_m3: f64,
    /// Bottom, m².
    pub bottom_m2: f64,
    /// Netting or other substrate, one side, m².
    pub substrate_m2: f64,
    /// Surface of the biofilter's filling, m²; 0 without one.
    pub filter_m2: f64,
    /// Water changed in a day, m³.
    pub changed_m3_d: f64,
}

impl Tank {
    /// What the animals can sit on: substrate, bottom, and walls as high as the water stands, of a tank as long as wide, m².
    pub fn seats_m2(&self) -> f64 {
        let deep_m = self.water_m3 / self.bottom_m2.max(1e-6);
        self.substrate_m2 + self.bottom_m2 + 4.0 * self.bottom_m2.max(0.0).sqrt() * deep_m
    }
}
