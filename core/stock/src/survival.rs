//! Survival from stocking, cold apart.
//!
//! Model     a constant hazard, lower for animals stocked larger: S = exp(-h (W0 / 0.3)^-0.2 t / 100)
//! Units     hazard per 100 days, stocked weight in g, days
//! Range     0.1 to 6 g when stocked, 60 to 180 days in ponds
//! Source    hazard: geometric mean of ten published crops (`docs/model/survival.md`); the power is our guess; misses the
//!           crops it came from by 11 points of survival rms
//! Left out  deaths at stocking, predators that come at a date, low oxygen: they are in the spread, not in the mean

/// Constants of survival.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurvivalParams {
    /// Hazard per 100 days of an animal stocked at 0.3 g.
    pub hazard_per_100_d: f64,
    /// Power of stocked weight; negative, since larger juveniles live better. Our guess, -0.2.
    pub weight_power: f64,
}

/// Standard deviation of the logarithm of the hazard between ponds and years.
pub const HAZARD_LN_SD: f64 = 0.60;

impl SurvivalParams {
    /// A usual pond: geometric mean of ten published hazards.
    pub const USUAL: SurvivalParams = SurvivalParams { hazard_per_100_d: 0.27, weight_power: -0.2 };
    /// Well-nursed animals, substrate, netting, as research ponds have them. Our guess from their better crops.
    pub const RESEARCH: SurvivalParams = SurvivalParams { hazard_per_100_d: 0.13, weight_power: -0.2 };
    /// A first year, or a pond rich in insects, fish or birds. Our guess.
    pub const FIRST_YEAR: SurvivalParams = SurvivalParams { hazard_per_100_d: 0.55, weight_power: -0.2 };

    /// Hazard per day for animals stocked at a weight.
    pub fn hazard_per_d(&self, stocked_weight_g: f64) -> f64 {
        debug_assert!(stocked_weight_g > 0.0);
        self.hazard_per_100_d / 100.0 * units::pow(stocked_weight_g / 0.3, self.weight_power)
    }

    /// Share alive after so many days without cold. `hazard_factor` is the pond's own, 1 unless learned.
    pub fn alive_fraction(&self, stocked_weight_g: f64, days: f64, hazard_factor: f64) -> f64 {
        units::exp(-hazard_factor * self.hazard_per_d(stocked_weight_g) * days)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_eight_in_ten_band_spans_what_crops_have_done() {
        let at = |normal: f64| SurvivalParams::USUAL.alive_fraction(0.3, 106.0, units::exp(HAZARD_LN_SD * normal));
        for (normal, expected) in [(0.0, 0.751), (-1.2816, 0.876), (1.2816, 0.540)] {
            assert!((at(normal) - expected).abs() < 0.002, "{normal}: {}", at(normal));
        }
    }

    #[test]
    fn nobody_rises_from_the_dead() {
        for preset in [SurvivalParams::USUAL, SurvivalParams::RESEARCH, SurvivalParams::FIRST_YEAR] {
            let alive: Vec<f64> = (0..150).map(|day| preset.alive_fraction(0.4, f64::from(day), 1.0)).collect();
            assert_eq!(alive[0], 1.0);
            assert!(alive.windows(2).all(|pair| pair[1] < pair[0] && pair[1] > 0.0));
            assert!(preset.alive_fraction(1.0, 100.0, 1.0) > preset.alive_fraction(0.3, 100.0, 1.0));
        }
    }
}
