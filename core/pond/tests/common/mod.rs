//! Made-up weather and ponds for the tests.
#![allow(dead_code)]

use pond::{Air, Basin, Conditions, Grid, Ground, Levee, Settings, Shape, Stage};

/// An hour of a made-up autumn: warm days, clear cool nights, a front every ten days; `member` shifts the fronts.
pub fn autumn(hour: usize, member: usize) -> Air<f64> {
    let (t, m) = (hour as f64, member as f64);
    let day = units::cos(std::f64::consts::TAU * (t - 15.0) / 24.0);
    let front = units::sin(std::f64::consts::TAU * (t / 24.0 + m) / 10.0);
    let sun = units::cos(std::f64::consts::TAU * (t - 12.0) / 24.0).max(0.0);
    let air_temp_c = 24.0 - 0.12 * t / 24.0 + 6.0 * day + 6.0 * front + 0.1 * m;
    let dew_point_c = air_temp_c - 5.0 - 2.0 * day;
    Air {
        air_temp_c,
        vapour_pressure_hpa: 6.112 * units::exp(17.67 * dew_point_c / (dew_point_c + 243.5)),
        wind_m_s: (2.5 + 1.5 * day - 2.0 * front + 0.05 * m).max(0.0),
        shortwave_w_m2: sun * (600.0 + 200.0 * front),
        longwave_w_m2: 340.0 - 0.5 * t / 24.0 - 30.0 * front,
        pressure_hpa: 985.0,
        rain_m: if hour.is_multiple_of(240) { 0.004 } else { 0.0 },
    }
}

/// A front: air falls 20 K in 48 h with clear nights, as in the trials of drained ponds.
pub fn front(hour: usize, wind_m_s: f64) -> Air<f64> {
    let t = hour as f64;
    let day = units::cos(std::f64::consts::TAU * (t - 15.0) / 24.0);
    let sun = units::cos(std::f64::consts::TAU * (t - 12.0) / 24.0).max(0.0);
    let air_temp_c = 24.0 - 20.0 * (t / 48.0).clamp(0.0, 1.0) + 4.0 * day;
    let vapour_pressure_hpa = 0.55 * 6.112 * units::exp(17.67 * air_temp_c / (air_temp_c + 243.5));
    let kelvin = air_temp_c + 273.15;
    let clear = 1.24 * units::pow(vapour_pressure_hpa / kelvin, 1.0 / 7.0);
    Air {
        air_temp_c,
        vapour_pressure_hpa,
        wind_m_s,
        shortwave_w_m2: 550.0 * sun,
        longwave_w_m2: clear * 5.670_374e-8 * units::pow(kelvin, 4.0),
        pressure_hpa: 990.0,
        rain_m: 0.0,
    }
}

/// The trial pond: 100 x 40 m, 1.0 to 2.1 m deep.
pub fn pond(columns: usize, grid: Grid, settings: Settings) -> Basin {
    let shape = Shape::from_levee(&Levee::paced(100.0, 40.0, 1.0, 2.1), columns).expect("a pond");
    Basin::with(shape, 34.7, grid, settings)
}

pub fn ground(basin: &Basin) -> Ground {
    basin.ground(17.0, 10.0)
}

pub fn stage(basin: &Basin, level_m: f64) -> Stage {
    let ground_deep_c = ground(basin).deep_c(240.0);
    basin.stage(&Conditions { level_m, attenuation_per_m: 2.0, plants: 0.0, ground_deep_c })
}
