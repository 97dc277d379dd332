//! Heat that a tank wants.
//!
//! Model     still-air evaporation, convection and radiation from the water's surface; warming of new water
//! Units     kWh in a day, m², m³, °C, shares of humidity
//! Range     indoors, water warmer than the room
//! Source    evaporation of pools in still air, ASHRAE Handbook, HVAC Applications (from memory: 4e-5 kg/s for each m² and kPa, half of it
//!           where nobody bathes); 10 W/m²/K for convection and radiation together (our guess); heat of water 4.186 kJ/kg/K
//! Left out  walls and floor, lights, the air pumped through

/// A room's usual warmth, °C (our guess).
pub const AIR_USUAL_C: f64 = 20.0;
const EVAPORATED_KG_S_M2_KPA: f64 = 4e-5 * 0.5;
const LATENT_KJ_KG: f64 = 2450.0;
const LOSS_W_M2_K: f64 = 10.0;
const KWH_M3_K: f64 = 4.186 / 3.6;
/// What a floating cover leaves of the surface's loss (our guess: most of the evaporation goes).
const COVERED: f64 = 0.5;

/// New water and how warm it comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MakeUp {
    /// Water in a day, m³.
    pub water_m3: f64,
    /// Its temperature, °C.
    pub temp_c: f64,
}

/// Vapour pressure over water, kPa: Tetens, from memory.
fn saturated_kpa(temp_c: f64) -> f64 {
    0.610_8 * units::exp(17.27 * temp_c / (temp_c + 237.3))
}

/// Heat lost from the surface in a day, kWh.
pub fn heat_kwh_per_d(surface_m2: f64, water_temp_c: f64, (air_c, humidity): (f64, f64), is_covered: bool) -> f64 {
    let evaporated_kg_s =
        EVAPORATED_KG_S_M2_KPA * surface_m2 * (saturated_kpa(water_temp_c) - humidity * saturated_kpa(air_c)).max(0.0);
    let kilowatts =
        evaporated_kg_s * LATENT_KJ_KG + LOSS_W_M2_K * surface_m2 * (water_temp_c - air_c).max(0.0) / 1000.0;
    24.0 * kilowatts * if is_covered { COVERED } else { 1.0 }
}

/// Heat for new water in a day, kWh.
pub fn make_up_kwh(make_up: MakeUp, water_temp_c: f64) -> f64 {
    KWH_M3_K * make_up.water_m3 * (water_temp_c - make_up.temp_c).max(0.0)
}
