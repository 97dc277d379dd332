//! Water vapour and pressure.
//!
//! Model     saturation over liquid water by Bolton; wet bulb from the energy balance of moist air; pressure by elevation from
//!           FAO-56 equation 7, at the station from that at sea level by the same lapse.
//! Units     °C, hPa, metres, fractions 0 to 1.
//! Range     -35 to 50 °C for saturation (within 0.3 % of the ASHRAE formulation from 0 to 40 °C); elevation -400 to 5000 m.
//! Source    Bolton (1980), Mon. Wea. Rev. 108, 1046-1053, equation 10 (coefficients from memory, checked against PsychroLib
//!           2.5.0); ASHRAE Handbook of Fundamentals 2017, chapter 1, equation 33; FAO-56, equation 7.
//! Left out  saturation over ice: weather services give humidity over water below freezing too. The enhancement factor of moist
//!           air (0.4 %).

use units::{exp, ln, pow};

/// 0 °C in kelvin.
pub const KELVIN: f64 = 273.15;
/// Weight of a water molecule over that of dry air.
const VAPOUR_OVER_AIR: f64 = 0.621_945;

/// Pressure of water vapour in balance with liquid water, hPa.
pub fn saturation_bolton_1980(temp_c: f64) -> f64 {
    6.112 * exp(17.67 * temp_c / (temp_c + 243.5))
}

/// Temperature at which air of this vapour pressure is saturated, °C: the exact inverse of the saturation curve.
pub fn dew_point_c(vapour_pressure_hpa: f64) -> f64 {
    let log = ln(vapour_pressure_hpa.max(1e-3) / 6.112);
    243.5 * log / (17.67 - log)
}

/// Relative humidity over water, 0 to 1 (above 1 when supersaturated).
pub fn relative_humidity(air_temp_c: f64, vapour_pressure_hpa: f64) -> f64 {
    vapour_pressure_hpa / saturation_bolton_1980(air_temp_c)
}

fn humidity_ratio(vapour_pressure_hpa: f64, pressure_hpa: f64) -> f64 {
    VAPOUR_OVER_AIR * vapour_pressure_hpa / (pressure_hpa - vapour_pressure_hpa)
}

/// Temperature a wet surface would take in moving air out of the sun, °C.
pub fn wet_bulb_c(air_temp_c: f64, vapour_pressure_hpa: f64, pressure_hpa: f64) -> f64 {
    let ratio = humidity_ratio(vapour_pressure_hpa, pressure_hpa);
    let at_bulb = |bulb_c: f64| {
        let saturated = humidity_ratio(saturation_bolton_1980(bulb_c), pressure_hpa);
        ((2501.0 - 2.326 * bulb_c) * saturated - 1.006 * (air_temp_c - bulb_c))
            / (2501.0 + 1.86 * air_temp_c - 4.186 * bulb_c)
    };
    let (mut low, mut high) = (dew_point_c(vapour_pressure_hpa).min(air_temp_c), air_temp_c);
    // The ratio rises with the bulb: 50 halvings of at most 100 K end far below a thousandth of a degree.
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if at_bulb(middle) < ratio { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Usual air pressure at an elevation, hPa.
pub fn pressure_fao56(elevation_m: f64) -> f64 {
    1013.25 * pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26)
}

/// Pressure at the station from that reduced to the sea, hPa, with the air temperature of the station.
pub fn station_pressure_hpa(sea_level_hpa: f64, elevation_m: f64, air_temp_c: f64) -> f64 {
    let lapse_k = 0.0065 * elevation_m;
    sea_level_hpa * pow(1.0 - lapse_k / (air_temp_c + KELVIN + lapse_k), 5.257)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dew_point_goes_round() {
        for temp_c in [-35.0, -10.0, 0.0, 12.5, 30.0, 45.0] {
            let back = dew_point_c(saturation_bolton_1980(temp_c));
            assert!((back - temp_c).abs() < 1e-9, "{temp_c}: {back}");
        }
    }

    #[test]
    fn wet_bulb_lies_between_dew_point_and_air() {
        for (air, dew) in [(30.0, 10.0), (5.0, 5.0), (0.0, -12.0), (40.0, 38.0)] {
            let vapour = saturation_bolton_1980(dew);
            let bulb = wet_bulb_c(air, vapour, 1000.0);
            assert!(dew - 1e-6 <= bulb && bulb <= air + 1e-6, "{air} {dew}: {bulb}");
        }
    }

    #[test]
    fn sea_level_pressure_is_that_of_the_elevation_on_a_standard_day() {
        // FAO-56 equation 7 is the same column of air at 20 °C at the sea.
        for elevation_m in [0.0, 240.0, 1500.0] {
            let temp_c = 293.0 - KELVIN - 0.0065 * elevation_m;
            let pressure = station_pressure_hpa(1013.25, elevation_m, temp_c);
            assert!((pressure - pressure_fao56(elevation_m)).abs() < 0.15, "{elevation_m}: {pressure}");
        }
    }
}
