//! What is dissolved in the water: oxygen at balance with the air, and the poisonous share of ammonia.
//!
//! Model     oxygen by the equation of Benson & Krause with its pressure correction; un-ionized ammonia by its dissociation
//! Units     °C, mg/L, hPa
//! Range     fresh water, 0 to 40 °C, 600 to 1100 hPa; pH 4 to 12
//! Source    Benson & Krause (1984), Limnol. Oceanogr. 29, 620-632, as in Standard Methods (APHA); Emerson, Russo, Lund &
//!           Thurston (1975), J. Fish. Res. Board Can. 32, 2379-2383. Both from memory, held against printed tables
//! Left out  salt; ions that shift the dissociation by a few parts in a hundred in hard water

use units::{exp, pow};

const KELVIN: f64 = 273.15;
const ATMOSPHERE_HPA: f64 = 1013.25;

/// Oxygen in fresh water at balance with moist air, mg/L.
pub fn oxygen_saturation_mg_l(water_temp_c: f64, pressure_hpa: f64) -> f64 {
    let k = water_temp_c + KELVIN;
    let at_one = exp(-139.344_11 + 1.575_701e5 / k - 6.642_308e7 / (k * k) + 1.243_800e10 / (k * k * k)
        - 8.621_949e11 / (k * k * k * k));
    let pressure = pressure_hpa / ATMOSPHERE_HPA;
    let vapour = exp(11.8571 - 3840.70 / k - 216_961.0 / (k * k));
    let theta = 0.000_975 - 1.426e-5 * water_temp_c + 6.436e-8 * water_temp_c * water_temp_c;
    at_one * (pressure - vapour) * (1.0 - theta * pressure) / ((1.0 - vapour) * (1.0 - theta))
}

/// pKa of ammonium.
pub fn ammonium_pka(water_temp_c: f64) -> f64 {
    0.090_18 + 2729.92 / (water_temp_c + KELVIN)
}

/// The share of total ammonia that is un-ionized (NH3), which poisons.
pub fn unionized_fraction(water_temp_c: f64, ph: f64) -> f64 {
    1.0 / (1.0 + pow(10.0, ammonium_pka(water_temp_c) - ph))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thin_air_holds_less_oxygen_and_warm_basic_water_more_free_ammonia() {
        assert!(oxygen_saturation_mg_l(20.0, 900.0) < oxygen_saturation_mg_l(20.0, 1013.25));
        assert!(oxygen_saturation_mg_l(30.0, 1013.25) < oxygen_saturation_mg_l(20.0, 1013.25));
        assert!(unionized_fraction(28.0, 8.0) > unionized_fraction(20.0, 8.0));
        assert!(unionized_fraction(20.0, 9.0) > 5.0 * unionized_fraction(20.0, 8.0));
    }
}
