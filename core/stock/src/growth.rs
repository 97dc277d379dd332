//! Growth of the mean animal in a fed pond.
//!
//! Model     von Bertalanffy growth of the cube root of weight, its rate scaled by temperature, density and stocked size
//! Units     weight in g (live, whole, wet), length as the cube root of weight (g^(1/3)), temperature in °C, time in days
//! Range     20 to 33 °C, 15,000 to 120,000 stocked per hectare, 0.1 to 5 g when stocked, 60 to 180 days, substrate of
//!           0 to 1 times the bottom. Not for polyculture, selective harvest, tanks or one sex alone
//! Source    our own fit to published crops (`docs/model/growth.md`, `checks/values/trials.csv`); weight misses by 6.0 g
//!           rms over the five pond crops it was fitted to
//! Left out  feed as a limit (ponds are fed), oxygen, moulting, the slower growth of crowding that builds up in a season

/// Below this growth is nil, °C. A grower's rule (65 °F).
pub const GROWTH_COLDEST_C: f64 = 18.3;
/// Growth is fastest here, °C: the best range for year-round farming is 28 to 31.
pub const GROWTH_BEST_C: f64 = 29.0;
/// Above this growth is nil, °C. Set from studies that find growth at 33 good and at 34 falling.
pub const GROWTH_HOTTEST_C: f64 = 38.0;

/// Constants of the growth model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowthParams {
    /// Rate at the best temperature and 60,000 per hectare, per day. Fitted 0.0142, standard error 0.0019.
    pub rate_per_d: f64,
    /// Power by which density slows growth. Fitted 0.50, standard error 0.07.
    pub density_power: f64,
    /// How much a substrate as large as the bottom thins the density. Fitted 0.26, standard error 0.08.
    pub substrate_gain: f64,
    /// Cube root of the weight growth tends to, g^(1/3). Fitted 4.10 (68.9 g), standard error 0.19.
    pub length_final: f64,
    /// Power by which animals stocked below 0.3 g fall behind. Fitted 0.27, standard error 0.08; rests on one crop.
    pub small_power: f64,
}

impl GrowthParams {
    /// The values fitted to published crops.
    pub const FITTED: GrowthParams = GrowthParams {
        rate_per_d: 0.0142,
        density_power: 0.50,
        substrate_gain: 0.26,
        length_final: 4.10,
        small_power: 0.27,
    };
}

/// Standard deviation of the logarithm of a farm's growth factor: our guess, to be narrowed by the grower's own samples.
pub const GROWTH_FACTOR_LN_SD: f64 = 0.20;

/// Speed of growth at a temperature as a share of the fastest; 0 outside 18.3 to 38 °C.
pub fn warmth(water_temp_c: f64) -> f64 {
    if water_temp_c <= GROWTH_COLDEST_C || water_temp_c >= GROWTH_HOTTEST_C {
        return 0.0;
    }
    let above = (GROWTH_HOTTEST_C - water_temp_c) / (GROWTH_HOTTEST_C - GROWTH_BEST_C);
    let below = (water_temp_c - GROWTH_COLDEST_C) / (GROWTH_BEST_C - GROWTH_COLDEST_C);
    above * units::pow(below, (GROWTH_BEST_C - GROWTH_COLDEST_C) / (GROWTH_HOTTEST_C - GROWTH_BEST_C))
}

/// Animals per hectare as crowded as these would be with no substrate.
pub fn crowding_per_ha(params: &GrowthParams, stocked_per_ha: f64, substrate_fraction: f64) -> f64 {
    stocked_per_ha / (1.0 + params.substrate_gain * substrate_fraction)
}

/// Growth of one stocking: weight as a function of warm days alone.
///
/// The model is linear in length, so at given water everything the weather does to weight is in one number: the integral
/// of [`warmth`] over the days since stocking, here called warm days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    length_start: f64,
    length_final: f64,
    rate_per_warm_d: f64,
}

impl Growth {
    /// From what was stocked: animals per hectare, mean weight in g, substrate surface as a share of the bottom.
    pub fn new(params: &GrowthParams, stocked_per_ha: f64, stocked_weight_g: f64, substrate_fraction: f64) -> Growth {
        debug_assert!(stocked_per_ha > 0.0 && stocked_weight_g > 0.0 && substrate_fraction >= 0.0);
        let crowding = crowding_per_ha(params, stocked_per_ha, substrate_fraction) / 60_000.0;
        let small = units::pow(stocked_weight_g.min(0.3) / 0.3, params.small_power);
        Growth {
            length_start: units::cbrt(stocked_weight_g),
            length_final: params.length_final,
            rate_per_warm_d: params.rate_per_d * units::pow(crowding, -params.density_power) * small,
        }
    }

    /// Growth from a weight sampled in the pond: the same rate, a new start. Warm days then count from the sample.
    pub fn from_sample(self, sampled_weight_g: f64) -> Growth {
        Growth { length_start: units::cbrt(sampled_weight_g), ..self }
    }

    /// Mean weight after so many warm days, g. `growth_factor` is the farm's own, 1 unless learned.
    ///
    /// An animal larger than the weight growth tends to stays as it is.
    pub fn mean_weight_g(&self, warm_days: f64, growth_factor: f64) -> f64 {
        let gap = self.length_final - self.length_start;
        if gap <= 0.0 {
            return cubed(self.length_start);
        }
        cubed(self.length_final - gap * units::exp(-growth_factor * self.rate_per_warm_d * warm_days))
    }

    /// Warm days that bring the mean to a weight; `None` when it is out of reach.
    pub fn warm_days_to(&self, weight_g: f64, growth_factor: f64) -> Option<f64> {
        let length = units::cbrt(weight_g);
        let share = (self.length_final - length) / (self.length_final - self.length_start);
        (share > 0.0 && share <= 1.0).then(|| -units::ln(share) / (growth_factor * self.rate_per_warm_d))
    }

    /// Change of length over a step, by the differential equation; for tests and for growth that depends on more than warmth.
    pub fn length_per_d(&self, length: f64, water_temp_c: f64, growth_factor: f64) -> f64 {
        growth_factor * self.rate_per_warm_d * warmth(water_temp_c) * (self.length_final - length).max(0.0)
    }
}

fn cubed(x: f64) -> f64 {
    x * x * x
}

#[cfg(test)]
mod tests {
    use super::*;

    fn growth(per_ha: f64, weight_g: f64, substrate: f64) -> Growth {
        Growth::new(&GrowthParams::FITTED, per_ha, weight_g, substrate)
    }

    #[test]
    fn steps_come_to_the_closed_form_as_they_shorten() {
        let law = growth(59_300.0, 0.4, 0.5);
        let temp_c = |day: f64| 26.0 + 3.0 * units::sin(day / 9.0);
        let walk = |steps_per_d: usize| {
            let (mut length, mut warm_days) = (units::cbrt(0.4), 0.0);
            let step_d = 1.0 / steps_per_d as f64;
            for step in 0..100 * steps_per_d {
                let middle = temp_c((step as f64 + 0.5) * step_d);
                length += step_d * law.length_per_d(length, middle, 1.1);
                warm_days += step_d * warmth(middle);
            }
            (cubed(length) - law.mean_weight_g(warm_days, 1.1)).abs()
        };
        let (daily, hourly) = (walk(1), walk(24));
        assert!(hourly < 0.02, "{hourly}");
        let order = daily / hourly;
        assert!((16.0..32.0).contains(&order), "first order in the step would be 24: {order}");
    }

    #[test]
    fn growth_only_goes_one_way() {
        let law = growth(40_000.0, 0.3, 0.0);
        for days in 0..200 {
            let (now, next) = (f64::from(days), f64::from(days + 1));
            assert!(law.mean_weight_g(next, 1.0) > law.mean_weight_g(now, 1.0));
            assert!(law.mean_weight_g(now, 1.2) >= law.mean_weight_g(now, 1.0));
        }
        let weight = |per_ha, grams, substrate| growth(per_ha, grams, substrate).mean_weight_g(90.0, 1.0);
        assert!(weight(80_000.0, 0.3, 0.0) < weight(40_000.0, 0.3, 0.0), "crowding slows");
        assert!(weight(60_000.0, 0.3, 0.5) > weight(60_000.0, 0.3, 0.0), "substrate helps");
        assert!(weight(60_000.0, 0.1, 0.0) < weight(60_000.0, 0.3, 0.0), "small juveniles fall behind");
        assert_eq!(growth(60_000.0, 90.0, 0.0).mean_weight_g(50.0, 1.0), cubed(units::cbrt(90.0)), "no shrinking");
        assert_eq!(growth(60_000.0, 90.0, 0.0).length_per_d(4.5, 28.0, 1.0), 0.0, "nor by steps");
    }

    #[test]
    fn warm_days_to_a_weight_go_round() {
        let law = growth(59_300.0, 0.4, 0.5);
        let warm_days = law.warm_days_to(30.0, 0.9).expect("within reach");
        assert!((law.mean_weight_g(warm_days, 0.9) - 30.0).abs() < 1e-9);
        assert_eq!(law.warm_days_to(80.0, 1.0), None, "larger than any grow");
        assert_eq!(law.warm_days_to(0.2, 1.0), None, "smaller than stocked");
    }
}
