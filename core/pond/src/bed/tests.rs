use super::*;

/// Drives the layers with a water temperature of this period and returns the amplitude of the flux per kelvin.
fn answer_w_m2_k(period_s: f64, step_s: f64, contact: f64) -> f64 {
    let solve = BedSolve::new(step_s, 1.0, contact);
    let mut layers = [0.0; LAYERS];
    let mut rise = [0.0; LAYERS];
    let steps = (period_s / step_s).round() as usize;
    let mut water_c = 0.0;
    let (mut sine, mut cosine) = (0.0, 0.0);
    for k in 0..steps * 12 {
        let phase = std::f64::consts::TAU * (k + 1) as f64 / steps as f64;
        let x = units::sin(phase) - water_c;
        let start = solve.up(&layers, water_c, 0.0, 0.0, &mut rise);
        let flux = start + solve.felt_w_m2_k() * x;
        solve.down(&mut layers, x, 0.0, &rise);
        water_c += x;
        if k >= steps * 11 {
            sine += flux * units::sin(phase) * 2.0 / steps as f64;
            cosine += flux * units::cos(phase) * 2.0 / steps as f64;
        }
    }
    units::hypot(sine, cosine)
}

/// Conduction into a half-space (`analytic_heat.csv`): flux amplitude k sqrt(2)/d for a kelvin at its face, here behind the
/// contact layer, whose resistance adds to the half-space's.
#[test]
fn waves_die_as_in_a_half_space() {
    for (period_days, face_w_m2_k) in [(1.0, 14.77), (10.0, 4.6708)] {
        let part = 1.0 / (face_w_m2_k * std::f64::consts::SQRT_2);
        let exact = 1.0 / units::hypot(part + 1.0 / 50.0, part);
        let ours = answer_w_m2_k(period_days * 86_400.0, 600.0, 50.0);
        assert!((ours / exact - 1.0).abs() < 0.01, "{period_days} days: {ours} for {exact}");
    }
}

/// `analytic_heat.csv`: a step of 1 K held for 48 h takes 8.1243e5 J/m2.
#[test]
fn a_step_takes_its_heat() {
    let solve = BedSolve::new(1200.0, 1.0, 1e9);
    let (mut layers, mut rise) = ([0.0; LAYERS], [0.0; LAYERS]);
    let mut heat = 0.0;
    for _ in 0..144 {
        let flux = solve.up(&layers, 1.0, 0.0, 0.0, &mut rise);
        solve.down(&mut layers, 0.0, 0.0, &rise);
        heat += flux * 1200.0;
    }
    assert!((heat / 8.1243e5 - 1.0).abs() < 0.01, "{heat}");
    assert!((heat_j_m2(&layers) / heat - 1.0).abs() < 1e-3, "what went in is there");
}

#[test]
fn a_still_floor_stays() {
    let solve = BedSolve::new(3600.0, 1.0, 50.0);
    let (mut layers, mut rise) = ([14.0; LAYERS], [0.0; LAYERS]);
    let flux = solve.up(&layers, 14.0, 0.0, 14.0, &mut rise);
    solve.down(&mut layers, 0.0, 14.0, &rise);
    assert_eq!(flux, 0.0);
    assert_eq!(layers, [14.0; LAYERS]);
}

#[test]
fn the_ground_lags_behind_the_year() {
    let ground = Ground { mean_c: 11.0, half_range_c: 13.0, warmest_day: 205.0 };
    assert!((ground.temp_c(0.0, 205.0) - 24.0).abs() < 1e-9);
    // At one damping depth the wave is 1/e and a year over 2 pi late.
    let late = 205.0 + 365.25 / std::f64::consts::TAU;
    assert!((ground.temp_c(1.83, late) - (11.0 + 13.0 / std::f64::consts::E)).abs() < 1e-9);
    let start = ground.start(18.0, 142.0);
    assert!((start[0] - 18.0).abs() < 0.5 && (start[6] - ground.temp_c(1.5, 142.0)).abs() < 0.3, "{start:?}");
}
