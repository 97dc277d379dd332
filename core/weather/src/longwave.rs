//! Heat radiation of the sky, cloud seen in the sun, and sun through cloud.
//!
//! Model     clear sky by Prata; cloud by Unsworth and Monteith; cloud from sun as the share of clear sky that is missing; sun
//!           from reported cover by Kasten and Czeplak.
//! Units     °C, hPa, W/m², fractions 0 to 1.
//! Range     -20 to 45 °C; sea level to 2000 m.
//! Source    Prata (1996), Quart. J. Roy. Meteor. Soc. 122, 1127-1151; Unsworth and Monteith (1975), same journal 101, 13-24;
//!           Kasten and Czeplak (1980), Solar Energy 24, 177-189 (coefficients of the last two from memory). Measured on four
//!           seasons of hourly heat radiation in Virginia, see docs/model/weather.md.
//! Left out  height and thickness of cloud; the few W/m² that hills and trees add.

use units::{exp, pow};

use crate::moist::KELVIN;

/// Stefan and Boltzmann's constant, W/m²/K⁴.
pub const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;

/// Least clear sky at which the sun tells cloud, W/m².
const CLEAR_SKY_MIN_W_M2: f64 = 150.0;

/// Share of a black body's radiation that a clear sky gives.
pub fn clear_sky_emissivity_prata_1996(air_temp_c: f64, vapour_pressure_hpa: f64) -> f64 {
    let water_cm = 46.5 * vapour_pressure_hpa / (air_temp_c + KELVIN);
    1.0 - (1.0 + water_cm) * exp(-(1.2 + 3.0 * water_cm).sqrt())
}

/// Heat radiation of the sky, W/m². `cloud` is the share of clear-sky sun that is missing, not reported cover.
pub fn sky_unsworth_monteith_1975(air_temp_c: f64, vapour_pressure_hpa: f64, cloud: f64) -> f64 {
    let clear = clear_sky_emissivity_prata_1996(air_temp_c, vapour_pressure_hpa);
    let kelvin = air_temp_c + KELVIN;
    let square = kelvin * kelvin;
    (clear + 0.84 * cloud * (1.0 - clear)) * STEFAN_BOLTZMANN * square * square
}

/// Share of the clear-sky sun that reported cover (0 to 1) takes away.
pub fn cloud_of_cover_kasten_czeplak_1980(cover: f64) -> f64 {
    0.75 * pow(cover.clamp(0.0, 1.0), 3.4)
}

/// Cover (0 to 1) that takes this share of the clear-sky sun away.
pub fn cover_of_cloud(cloud: f64) -> f64 {
    pow((cloud / 0.75).clamp(0.0, 1.0), 1.0 / 3.4)
}

/// Cloud of each hour from its sun and its clear sky: a running mean of three hours by day, straight between dusk and dawn.
/// `None` when no hour of the series tells.
pub fn cloud_from_sun(shortwave_w_m2: &[f64], clear_w_m2: &[f64]) -> Option<Vec<f64>> {
    let n_hours = shortwave_w_m2.len().min(clear_w_m2.len());
    let raw: Vec<Option<f64>> = (0..n_hours)
        .map(|i| {
            (clear_w_m2[i] > CLEAR_SKY_MIN_W_M2).then(|| (1.0 - shortwave_w_m2[i] / clear_w_m2[i]).clamp(0.0, 1.0))
        })
        .collect();
    let smooth: Vec<Option<f64>> = (0..n_hours)
        .map(|i| {
            raw[i]?;
            let near = raw[i.saturating_sub(1)..(i + 2).min(n_hours)].iter().flatten();
            let (sum, count) = near.fold((0.0, 0.0), |(sum, count), cloud| (sum + cloud, count + 1.0));
            Some(sum / count)
        })
        .collect();
    bridged(&smooth)
}

/// Straight lines over the holes, the nearest value beyond the ends. `None` when there is nothing but holes.
pub(crate) fn bridged(values: &[Option<f64>]) -> Option<Vec<f64>> {
    let mut filled = vec![0.0; values.len()];
    let mut last: Option<(usize, f64)> = None;
    for (i, value) in values.iter().enumerate() {
        let Some(value) = *value else { continue };
        filled[i] = value;
        let (from, before) = last.map_or((0, value), |(at, before)| (at + 1, before));
        for hole in from..i {
            let share = last.map_or(1.0, |(at, _)| (hole - at) as f64 / (i - at) as f64);
            filled[hole] = before + (value - before) * share;
        }
        last = Some((i, value));
    }
    let (at, value) = last?;
    filled[at..].fill(value);
    Some(filled)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cloud_warms_and_vapour_warms() {
        let sky = sky_unsworth_monteith_1975;
        assert!(sky(20.0, 12.0, 0.5) > sky(20.0, 12.0, 0.0) + 20.0);
        assert!(sky(20.0, 18.0, 0.0) > sky(20.0, 8.0, 0.0) + 10.0);
        // Never more than a black body of the air's temperature.
        assert!(sky(20.0, 23.0, 1.0) < STEFAN_BOLTZMANN * 293.15_f64.powi(4));
    }

    #[test]
    fn cover_and_cloud_go_round() {
        for cover in [0.0, 0.3, 0.75, 1.0] {
            assert!((cover_of_cloud(cloud_of_cover_kasten_czeplak_1980(cover)) - cover).abs() < 1e-12, "{cover}");
        }
    }

    #[test]
    fn night_lies_between_dusk_and_dawn() {
        let clear = [200.0, 200.0, 0.0, 0.0, 0.0, 400.0];
        let sun = [100.0, 100.0, 0.0, 0.0, 0.0, 400.0];
        let cloud = cloud_from_sun(&sun, &clear).expect("hours that tell");
        for (got, expected) in cloud.iter().zip([0.5, 0.5, 0.375, 0.25, 0.125, 0.0]) {
            assert!((got - expected).abs() < 1e-12, "{cloud:?}");
        }
        assert_eq!(cloud_from_sun(&[0.0; 3], &[0.0; 3]), None);
    }

    #[test]
    fn holes_are_bridged() {
        for (values, expected) in [
            (vec![None, Some(1.0), None, Some(3.0), None], Some(vec![1.0, 1.0, 2.0, 3.0, 3.0])),
            (vec![Some(2.0)], Some(vec![2.0])),
            (vec![None, None], None),
            (vec![], None),
        ] {
            assert_eq!(bridged(&values), expected);
        }
    }
}
