//! What an opening, a pipe and an upright pipe let through.
//!
//! Model     orifice; a pipe that flows full; the rim of a standpipe as a weir until its mouth controls
//! Units     m, m³/s
//! Range     heads to about 3 m, bores of 0.05 to 0.5 m
//! Source    Torricelli with a discharge coefficient; Darcy-Weisbach with the friction of Swamee & Jain (1976), J. Hydraul.
//!           Div. ASCE 102, 657-664; sharp-edged weir 1.7 P H^1.5 (memory). Checked on `pipe_discharge.csv`
//! Left out  pipes that run part full: below the crown the head to the centre still stands in, which matters for the last half bore

/// Standard gravity.
pub(crate) const GRAVITY_M_S2: f64 = 9.80665;
/// Discharge coefficient of a sharp-edged opening.
pub const ORIFICE: f64 = 0.61;
/// Loss where water enters a pipe, in velocity heads.
pub const ENTRANCE_LOSS: f64 = 0.5;
/// Kinematic viscosity of water at 20 °C, m²/s.
const VISCOSITY_M2_S: f64 = 1.004e-6;

/// Discharge of a sharp-edged opening under a head to its centre, m³/s.
pub fn orifice_m3_s(diameter_m: f64, head_m: f64) -> f64 {
    ORIFICE * bore_m2(diameter_m) * (2.0 * GRAVITY_M_S2 * head_m.max(0.0)).sqrt()
}

/// Discharge of a pipe that flows full, m³/s. The head is from water to the middle of a free mouth, or from water to water.
pub fn pipe_m3_s(diameter_m: f64, length_m: f64, roughness_m: f64, head_m: f64) -> f64 {
    if head_m <= 0.0 {
        return 0.0;
    }
    let mut speed_m_s = (2.0 * GRAVITY_M_S2 * head_m / (1.0 + ENTRANCE_LOSS)).sqrt();
    // Friction hangs weakly on speed: a few rounds settle it.
    for _ in 0..8 {
        let reynolds = (speed_m_s * diameter_m / VISCOSITY_M2_S).max(2000.0);
        let term = units::log10(roughness_m / (3.7 * diameter_m) + 5.74 / units::pow(reynolds, 0.9));
        let friction = 0.25 / (term * term);
        speed_m_s = (2.0 * GRAVITY_M_S2 * head_m / (1.0 + ENTRANCE_LOSS + friction * length_m / diameter_m)).sqrt();
    }
    speed_m_s * bore_m2(diameter_m)
}

/// Discharge over the rim of an upright pipe, m³/s.
pub fn standpipe_m3_s(diameter_m: f64, head_m: f64) -> f64 {
    let head_m = head_m.max(0.0);
    let weir = 1.7 * std::f64::consts::PI * diameter_m * head_m * head_m.sqrt();
    weir.min(orifice_m3_s(diameter_m, head_m))
}

fn bore_m2(diameter_m: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m
}
