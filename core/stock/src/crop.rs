//! One pond's crop on any day, from three numbers of the day table.
//!
//! Model     growth, survival and cold put together in closed form; see the modules named
//! Units     weight in g, mass in kg, warm days and days since stocking, dose as `cold` has it
//! Range     as the modules it joins
//! Source    `docs/model/growth.md`, `survival.md`, `cold.md`, `sizes.md`
//! Left out  animals taken earlier (the caller scales the count), growth freed by thinning

use crate::cold::{GatherParams, Gathered, alive_fraction, dose_factor, gather};
use crate::growth::{Growth, GrowthParams, crowding_per_ha};
use crate::size_table::SizeTable;
use crate::survival::{HAZARD_LN_SD, SurvivalParams};

/// What was put into a pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stocking {
    /// Animals.
    pub count: f64,
    /// Their mean weight, g.
    pub weight_g: f64,
    /// Animals per hectare of water.
    pub per_ha: f64,
    /// Added surface as a share of the bottom.
    pub substrate_fraction: f64,
}

/// The constants of every stock model, with their published or guessed values as the default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StockParams {
    /// Growth.
    pub growth: GrowthParams,
    /// Survival apart from cold.
    pub survival: SurvivalParams,
    /// How cold animals gather.
    pub gather: GatherParams,
}

impl Default for StockParams {
    fn default() -> StockParams {
        StockParams { growth: GrowthParams::FITTED, survival: SurvivalParams::USUAL, gather: GatherParams::OUR_GUESS }
    }
}

/// What nobody knows of a farm's animals in a season; one value of each per member.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hidden {
    /// Factor on growth, 1 when as published.
    pub growth_factor: f64,
    /// Factor on the hazard, 1 when as published. Differs between ponds; draw one for each.
    pub hazard_factor: f64,
    /// Shift of cold tolerance, K; positive dies in warmer water. One for farm and season.
    pub cold_shift_k: f64,
    /// How far the share of orange-claw males lies from its usual value; 0.1 is ten points.
    pub orange_claw_extra: f64,
    /// Factor on the losses and hours that slow animals cost, 1 when as guessed.
    pub gather_severity: f64,
    /// Factor on the number stocked, for how far off the count was and for die-offs since; 1 when as counted.
    pub count_factor: f64,
    /// Warm days by which growth is ahead of what `growth_factor` alone would have brought so far; 0 when it held all season.
    pub ahead_warm_days: f64,
}

/// How many normal draws [`Hidden::from_normals`] takes.
pub const HIDDEN_DRAWS: usize = 5;

impl Hidden {
    /// Every unknown at its middle.
    pub const MIDDLE: Hidden = Hidden {
        growth_factor: 1.0,
        hazard_factor: 1.0,
        cold_shift_k: 0.0,
        orange_claw_extra: 0.0,
        gather_severity: 1.0,
        count_factor: 1.0,
        ahead_warm_days: 0.0,
    };

    /// From standard normal draws, in the order of the first fields; what only a farm's own sights teach stands at its middle.
    pub fn from_normals(normals: [f64; HIDDEN_DRAWS]) -> Hidden {
        let [growth, hazard, cold, sizes, severity] = normals;
        Hidden {
            growth_factor: units::exp(crate::growth::GROWTH_FACTOR_LN_SD * growth),
            hazard_factor: units::exp(HAZARD_LN_SD * hazard),
            cold_shift_k: crate::cold::COLD_SHIFT_SD_K * cold,
            orange_claw_extra: crate::sizes::SHARE_SD * sizes,
            gather_severity: units::exp(crate::cold::GATHER_LN_SD * severity),
            ..Hidden::MIDDLE
        }
    }
}

/// The animals of one pond on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// Animals that would be alive had it stayed warm.
    pub warm_count: f64,
    /// Share of those that the cold has left alive.
    pub cold_alive_fraction: f64,
    /// Animals alive.
    pub count: f64,
    /// Their mass, kg.
    pub mass_kg: f64,
}

/// A stocking made ready for fast sums over days and members.
#[derive(Debug, Clone)]
pub struct Crop {
    growth: Growth,
    hazard_per_d: f64,
    count: f64,
    crowding_per_ha: f64,
    gather: GatherParams,
    sizes: SizeTable,
}

impl Crop {
    /// Prepares the tables of one stocking.
    pub fn new(stocking: &Stocking, params: &StockParams) -> Crop {
        let crowding = crowding_per_ha(&params.growth, stocking.per_ha, stocking.substrate_fraction);
        Crop {
            growth: Growth::new(&params.growth, stocking.per_ha, stocking.weight_g, stocking.substrate_fraction),
            hazard_per_d: params.survival.hazard_per_d(stocking.weight_g),
            count: stocking.count,
            crowding_per_ha: crowding,
            gather: params.gather,
            sizes: SizeTable::new(crowding),
        }
    }

    /// The crop taken up again from a sample: mean weight and number then; warm days and days count from the sample.
    pub fn from_sample(&self, sampled_weight_g: f64, count: f64) -> Crop {
        Crop { growth: self.growth.from_sample(sampled_weight_g), count, ..self.clone() }
    }

    /// Rate of death of the usual animal, per day.
    pub fn hazard_per_d(&self) -> f64 {
        self.hazard_per_d
    }

    /// Animals stocked, as counted.
    pub fn stocked_count(&self) -> f64 {
        self.count
    }

    /// Animals per hectare as crowded as these would be with no substrate.
    pub fn crowding_per_ha(&self) -> f64 {
        self.crowding_per_ha
    }

    /// Growth of the mean animal.
    pub fn growth(&self) -> &Growth {
        &self.growth
    }

    /// Shares of weight by size.
    pub fn sizes(&self) -> &SizeTable {
        &self.sizes
    }

    /// The animals after so many warm days, days, and the largest unit dose so far, for one set of unknowns.
    pub fn standing(&self, warm_days: f64, days: f64, unit_dose_max: f64, hidden: &Hidden) -> Standing {
        let mean_weight_g = self.growth.mean_weight_g(warm_days + hidden.ahead_warm_days, hidden.growth_factor);
        let warm_count =
            self.count * hidden.count_factor * units::exp(-hidden.hazard_factor * self.hazard_per_d * days);
        let cold_alive_fraction =
            if unit_dose_max > 0.0 { alive_fraction(unit_dose_max * dose_factor(hidden.cold_shift_k)) } else { 1.0 };
        let count = warm_count * cold_alive_fraction;
        Standing { mean_weight_g, warm_count, cold_alive_fraction, count, mass_kg: count * mean_weight_g / 1000.0 }
    }

    /// Shares of the mass between ascending size limits (g), lightest class first; `shares` is one longer than `limits_g`.
    pub fn mass_shares(&self, mean_weight_g: f64, limits_g: &[f64], hidden: &Hidden, shares: &mut [f64]) {
        assert_eq!(shares.len(), limits_g.len() + 1, "one class more than limits");
        debug_assert!(limits_g.windows(2).all(|pair| pair[0] < pair[1]), "limits ascend");
        let log_mean = units::ln(mean_weight_g);
        let mut above = 1.0;
        for (limit_g, share) in limits_g.iter().zip(shares.iter_mut()) {
            let beyond = self.sizes.mass_above(units::ln(*limit_g) - log_mean, hidden.orange_claw_extra);
            *share = above - beyond;
            above = beyond;
        }
        shares[limits_g.len()] = above;
    }

    /// What is gathered at a dawn temperature of the bottom water.
    pub fn gathered(&self, dawn_water_c: f64, hidden: &Hidden) -> Gathered {
        gather(&self.gather, dawn_water_c, hidden.cold_shift_k, hidden.gather_severity)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn usual() -> Crop {
        let stocking = Stocking { count: 24_000.0, weight_g: 0.4, per_ha: 59_280.0, substrate_fraction: 0.5 };
        Crop::new(&stocking, &StockParams::default())
    }

    #[test]
    fn a_crop_is_its_parts() {
        let hidden = Hidden::from_normals([0.7, -0.4, 1.1, 0.3, 0.2]);
        let standing = usual().standing(88.0, 101.0, 0.4, &hidden);
        let weight = usual().growth().mean_weight_g(88.0, hidden.growth_factor);
        let warm = SurvivalParams::USUAL.alive_fraction(0.4, 101.0, hidden.hazard_factor) * 24_000.0;
        let cold = alive_fraction(0.4 * dose_factor(0.99));
        let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-12, "{a} against {b}");
        near(standing.mean_weight_g, weight);
        near(standing.warm_count, warm);
        near(standing.cold_alive_fraction, cold);
        near(standing.mass_kg, warm * cold * weight / 1000.0);
    }

    #[test]
    fn shares_of_mass_fill_the_whole() {
        let limits = [15.0, 22.0, 30.0, 45.0];
        let mut shares = [0.0; 5];
        for (mean, extra) in [(8.0, -0.12), (33.0, 0.0), (60.0, 0.12)] {
            let hidden = Hidden { orange_claw_extra: extra, ..Hidden::MIDDLE };
            usual().mass_shares(mean, &limits, &hidden, &mut shares);
            assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12 && shares.iter().all(|s| *s >= 0.0), "{shares:?}");
        }
        let below: Vec<f64> = [25.0, 30.0, 35.0, 40.0]
            .iter()
            .map(|mean| {
                usual().mass_shares(*mean, &limits, &Hidden::MIDDLE, &mut shares);
                shares[0] + shares[1]
            })
            .collect();
        assert!(below.windows(2).all(|pair| pair[1] < pair[0]), "a heavier crop holds less small mass: {below:?}");
    }

    #[test]
    fn a_sample_starts_the_crop_anew() {
        let crop = usual();
        let half_way = crop.standing(50.0, 55.0, 0.0, &Hidden::MIDDLE);
        let again = crop.from_sample(half_way.mean_weight_g, half_way.count).standing(38.0, 46.0, 0.0, &Hidden::MIDDLE);
        let straight = crop.standing(88.0, 101.0, 0.0, &Hidden::MIDDLE);
        assert!((again.mean_weight_g - straight.mean_weight_g).abs() < 1e-9);
        assert!((again.count - straight.count).abs() < 1e-6);
    }
}
