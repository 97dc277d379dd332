//! The daily ration, for what a day of waiting costs.
//!
//! Model     a share of the standing mass by mean weight, scaled by the warmth of the day's mean water
//! Units     kg of dry feed per day
//! Range     fed ponds, mean weight up to about 60 g
//! Source    shares from memory (a low-density scheme of D'Abramo and others 1995, repeated in extension texts); the
//!           temperature factor is ours
//! Left out  meals skipped for low oxygen, uneaten feed, the choice of feed; the day's mean temperature stands for its
//!           course, which at 20 to 30 °C moves the ration by under 2 %

use crate::growth::{GROWTH_COLDEST_C, warmth};

/// Feed above which a pond without more air gets into trouble, kg/ha in a day; from memory, middle of 35 to 45.
pub const CEILING_KG_HA_D: f64 = 40.0;

/// Ration as a share of standing mass per day in warm water, by mean weight.
pub fn ration_fraction_per_d(mean_weight_g: f64) -> f64 {
    match mean_weight_g {
        // Natural food of a fertilised pond.
        w if w < 5.0 => 0.0,
        w if w < 15.0 => 0.07,
        w if w < 25.0 => 0.05,
        _ => 0.03,
    }
}

/// Share of the warm-water ration that is worth giving at a temperature.
pub fn appetite(water_temp_c: f64) -> f64 {
    if water_temp_c <= GROWTH_COLDEST_C {
        0.0
    } else if water_temp_c > 33.0 {
        0.5
    } else if water_temp_c > 26.0 {
        1.0
    } else {
        warmth(water_temp_c) / warmth(26.0)
    }
}

/// Feed for one day, kg.
pub fn ration_kg_per_d(mass_kg: f64, mean_weight_g: f64, water_temp_mean_c: f64) -> f64 {
    mass_kg * ration_fraction_per_d(mean_weight_g) * appetite(water_temp_mean_c)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Growth, GrowthParams, SurvivalParams};

    #[test]
    fn a_season_of_rations_comes_to_a_usual_conversion() {
        let growth = Growth::new(&GrowthParams::FITTED, 59_280.0, 0.4, 0.5);
        let mass_kg = |day: f64| {
            let weight_g = growth.mean_weight_g(day * warmth(26.0), 1.0);
            (SurvivalParams::USUAL.alive_fraction(0.4, day, 1.0) * 59_280.0 * weight_g / 1000.0, weight_g)
        };
        let fed_kg: f64 = (0..106)
            .map(|day| {
                let (mass, weight) = mass_kg(f64::from(day));
                ration_kg_per_d(mass, weight, 26.0)
            })
            .sum();
        let conversion = fed_kg / mass_kg(106.0).0;
        // Published for dry feed: 2 to 3 typical; 2.5 and 3.15 in trials.
        assert!((2.0..3.2).contains(&conversion), "{conversion}");
    }

    #[test]
    fn cold_animals_are_not_fed() {
        assert_eq!(ration_kg_per_d(100.0, 30.0, 18.0), 0.0);
        assert_eq!(ration_kg_per_d(100.0, 30.0, 28.0), 3.0);
        assert_eq!(ration_kg_per_d(100.0, 30.0, 34.0), 1.5);
        assert!((appetite(25.999) - appetite(26.001)).abs() < 1e-3, "no jump where the hold begins");
    }
}
