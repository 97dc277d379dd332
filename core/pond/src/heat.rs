//! Heat through the surface: longwave, and what wind and rising air carry off, from a skin cooler than the water below.
//!
//! Model     bulk transfer by wind and by free convection, added as squares; damped when the air is the warmer; a skin whose
//!           temperature balances what leaves it with what the water brings to it.
//! Units     W/m2, positive warms the water; degrees C; hPa; m/s.
//! Range     water -1 to 45 C, air -40 to 50 C, wind 0 to 40 m/s.
//! Source    quadrature sum: Adams, Cosler & Helfrich (1990), Water Resour. Res. 26, 425-435; skin: Saunders (1967),
//!           Katsaros (1977) (memory); vapour pressure: polynomial of Lowe (1977), J. Appl. Meteor. 16, 100-103 (memory).
//! Left out  spray; heat of rain beyond its wet bulb; sky hidden by banks (tried: worth 0.2 K of a fall at most).

use crate::basin::Settings;
use crate::water_properties::{DENSITY_KG_M3, HEAT_CAPACITY_J_KG_K, eagerness, thinness_s_m2};
use units::Real;

/// Absolute zero, C below nothing.
pub(crate) const KELVIN: f64 = 273.15;
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
const EMISSIVITY: f64 = 0.97;
const AIR_HEAT_J_KG_K: f64 = 1005.0;
const AIR_GAS_J_KG_K: f64 = 287.05;
/// Drag of wind on water.
pub(crate) const WIND_DRAG: f64 = 1.3e-3;
const SKIN_CONDUCTIVITY_W_M_K: f64 = 0.6;

/// Newton steps to the skin's temperature, in each of the two looks that a step takes at the surface; the second look starts
/// where the first ended.
const NEWTON: usize = 2;

/// The air over one pond in one hour. Each figure is the mean of the hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air<R: Real> {
    /// Air temperature, C.
    pub air_temp_c: R,
    /// Vapour pressure, hPa.
    pub vapour_pressure_hpa: R,
    /// Wind as read at the station, taken as wind at 10 m, m/s; the water's own factor comes on top.
    pub wind_m_s: R,
    /// Sun on level ground, W/m2.
    pub shortwave_w_m2: R,
    /// Longwave from the sky, W/m2.
    pub longwave_w_m2: R,
    /// Pressure at the pond, hPa.
    pub pressure_hpa: R,
    /// Rain of the hour, m.
    pub rain_m: R,
}

impl<R: Real> Air<R> {
    /// The same air for every member.
    pub fn same(one: &Air<f64>) -> Air<R> {
        let mut air = Air {
            air_temp_c: R::splat(0.0),
            vapour_pressure_hpa: R::splat(0.0),
            wind_m_s: R::splat(0.0),
            shortwave_w_m2: R::splat(0.0),
            longwave_w_m2: R::splat(0.0),
            pressure_hpa: R::splat(0.0),
            rain_m: R::splat(0.0),
        };
        for member in 0..R::WIDTH {
            air.set_lane(member, one);
        }
        air
    }

    /// Sets one member's air.
    #[inline(always)]
    pub fn set_lane(&mut self, member: usize, one: &Air<f64>) {
        self.air_temp_c.set_lane(member, one.air_temp_c);
        self.vapour_pressure_hpa.set_lane(member, one.vapour_pressure_hpa);
        self.wind_m_s.set_lane(member, one.wind_m_s);
        self.shortwave_w_m2.set_lane(member, one.shortwave_w_m2);
        self.longwave_w_m2.set_lane(member, one.longwave_w_m2);
        self.pressure_hpa.set_lane(member, one.pressure_hpa);
        self.rain_m.set_lane(member, one.rain_m);
    }
}

/// What an hour's air makes the same in all its steps and columns.
#[derive(Clone, Copy, Debug)]
pub struct Surface<R: Real> {
    /// Sun that enters the water, W/m2.
    pub net_sun_w_m2: R,
    /// Wind over the water at 10 m, m/s.
    pub wind_m_s: R,
    /// Shear velocity in the water, m/s.
    pub shear_m_s: R,
    air_temp_c: R,
    vapour_pressure_hpa: R,
    longwave_w_m2: R,
    air_virtual_k: R,
    air_heat_j_m3_k: R,
    /// 0.622 times air density over pressure, kg/m3/hPa.
    vapour_kg_m3_hpa: R,
    per_pressure: R,
    forced_m_s: R,
    damping_per_k: R,
    skin_wind_w_m_k: R,
    /// Temperature of rain, C: the wet bulb.
    pub rain_temp_c: R,
}

/// Vapour pressure at a water surface, hPa, and its rise per kelvin.
#[inline(always)]
pub fn vapour_pressure_hpa<R: Real>(water_c: R) -> (R, R) {
    const A: [f64; 7] = [
        6.107_799_961,
        4.436_518_521e-1,
        1.428_945_805e-2,
        2.650_648_471e-4,
        3.031_240_396e-6,
        2.034_080_948e-8,
        6.136_820_929e-11,
    ];
    let mut value = R::splat(A[6]);
    let mut slope = R::splat(6.0 * A[6]);
    for m in (1..6).rev() {
        value = value * water_c + R::splat(A[m]);
        slope = slope * water_c + R::splat(m as f64 * A[m]);
    }
    (value * water_c + R::splat(A[0]), slope)
}

/// Heat of vaporisation, J/kg.
#[inline(always)]
pub fn vaporisation_j_kg<R: Real>(water_c: R) -> R {
    R::splat(2.501e6) - R::splat(2361.0) * water_c
}

impl<R: Real> Surface<R> {
    /// Prepares an hour: `wind_factor` and `sun_factor` are the member's own, `sun_kept` what plants leave of the sun.
    #[inline(always)]
    pub fn new(settings: &Settings, air: &Air<R>, wind_factor: R, sun_factor: R, sun_kept: f64) -> Surface<R> {
        let one = R::splat(1.0);
        let air_k = air.air_temp_c + R::splat(KELVIN);
        let per_pressure = one / air.pressure_hpa;
        let air_virtual_k = air_k / (one - R::splat(0.378) * air.vapour_pressure_hpa * per_pressure);
        let density = R::splat(100.0 / AIR_GAS_J_KG_K) * air.pressure_hpa / air_virtual_k;
        let wind_m_s = air.wind_m_s * wind_factor;
        let shear_m_s = (density * R::splat(WIND_DRAG / DENSITY_KG_M3)).sqrt() * wind_m_s;
        let damping = R::splat(9.81 * 10.0) / (air_k * (wind_m_s * wind_m_s).max(R::splat(0.05)));
        let mut rain_temp_c = air.air_temp_c;
        if R::splat(0.0).any_less(air.rain_m) {
            // Two Newton steps on the psychrometer's balance.
            let gamma = R::splat(6.62e-4) * air.pressure_hpa;
            for _ in 0..2 {
                let (full, slope) = vapour_pressure_hpa(rain_temp_c);
                let miss = full - air.vapour_pressure_hpa - gamma * (air.air_temp_c - rain_temp_c);
                rain_temp_c -= miss / (slope + gamma);
            }
        }
        Surface {
            net_sun_w_m2: air.shortwave_w_m2 * sun_factor * R::splat((1.0 - settings.albedo) * sun_kept),
            wind_m_s,
            shear_m_s,
            air_temp_c: air.air_temp_c,
            vapour_pressure_hpa: air.vapour_pressure_hpa,
            longwave_w_m2: air.longwave_w_m2,
            air_virtual_k,
            air_heat_j_m3_k: density * R::splat(AIR_HEAT_J_KG_K),
            vapour_kg_m3_hpa: density * R::splat(0.622) * per_pressure,
            per_pressure,
            forced_m_s: R::splat(settings.wind_transfer) * wind_m_s,
            damping_per_k: damping,
            skin_wind_w_m_k: shear_m_s * R::splat(SKIN_CONDUCTIVITY_W_M_K / 6.0),
            rain_temp_c,
        }
    }

    /// Fluxes from a surface whose own temperature is known.
    #[inline(always)]
    pub fn from_skin(&self, settings: &Settings, skin_c: R) -> Fluxes<R> {
        let (full_hpa, slope_hpa_k) = vapour_pressure_hpa(skin_c);
        let moist = R::splat(0.378) * full_hpa * self.per_pressure;
        let skin_k = skin_c + R::splat(KELVIN);
        // T/(1 - m) as a series: m is at most 0.04, the rest 0.01 K.
        let lift_k = skin_k + skin_k * (moist + moist * moist) - self.air_virtual_k;
        let free = R::splat(settings.free_transfer) * lift_k.max(R::splat(0.0)).cbrt();
        let calm = (-lift_k * self.damping_per_k).max(R::splat(0.0)).min(R::splat(10.0));
        let velocity =
            (self.forced_m_s * self.forced_m_s + free * free).sqrt() / (R::splat(1.0) + R::splat(5.0) * calm);
        let heat_w_m2_k = self.air_heat_j_m3_k * velocity;
        let vapour_w_m2_hpa = self.vapour_kg_m3_hpa * velocity * vaporisation_j_kg(skin_c);
        let square = skin_k * skin_k;
        let radiation_slope = R::splat(4.0 * EMISSIVITY * STEFAN_BOLTZMANN) * square * skin_k;
        Fluxes {
            longwave_w_m2: R::splat(EMISSIVITY) * self.longwave_w_m2
                - R::splat(EMISSIVITY * STEFAN_BOLTZMANN) * square * square,
            sensible_w_m2: heat_w_m2_k * (self.air_temp_c - skin_c),
            latent_w_m2: vapour_w_m2_hpa * (self.vapour_pressure_hpa - full_hpa),
            slope_w_m2_k: -(radiation_slope + heat_w_m2_k + vapour_w_m2_hpa * slope_hpa_k),
            skin_c,
        }
    }

    /// Fluxes over water whose top cell has this temperature: [`NEWTON`] steps from `guess_c` to the skin that balances them.
    /// `slope_w_m2_k` of the answer is by the water's temperature.
    #[inline(always)]
    pub fn over(&self, settings: &Settings, top_c: R, guess_c: R) -> Fluxes<R> {
        if !settings.skin {
            return self.from_skin(settings, top_c);
        }
        let eager = eagerness(top_c);
        let steady = self.skin_wind_w_m_k * thinness_s_m2(top_c) + R::splat(settings.skin_floor_w_m2_k);
        let sun = R::splat(crate::light::SKIN_SHARE) * self.net_sun_w_m2;
        let mut skin_c = guess_c;
        let mut answer = self.from_skin(settings, skin_c);
        for step in 0..NEWTON {
            let cooler = (top_c - skin_c).max(R::splat(0.0));
            let sinking = R::splat(0.156 * SKIN_CONDUCTIVITY_W_M_K) * (eager * cooler).cbrt();
            let brought = (sinking * sinking + steady * steady).sqrt();
            let miss = answer.net_w_m2() + sun - brought * (skin_c - top_c);
            let stiffness = R::splat(1.0) / (brought - answer.slope_w_m2_k);
            let change = miss * stiffness;
            skin_c += change;
            if step + 1 < NEWTON {
                answer = self.from_skin(settings, skin_c);
            } else {
                // The last step is small: carry the fluxes along their slopes instead of asking once more.
                answer.sensible_w_m2 += change * answer.slope_w_m2_k;
                answer.slope_w_m2_k = answer.slope_w_m2_k * brought * stiffness;
                answer.skin_c = skin_c;
            }
        }
        answer
    }

    /// Water that leaves as vapour, m/s, for a latent flux (negative when the water gives).
    #[inline(always)]
    pub fn evaporation_m_s(latent_w_m2: R, skin_c: R) -> R {
        -latent_w_m2 / (vaporisation_j_kg(skin_c) * R::splat(DENSITY_KG_M3))
    }

    /// Heat that rain brings relative to the water it falls on, W/m2, for rain in m/s.
    #[inline(always)]
    pub fn rain_w_m2(&self, rain_m_s: R, top_c: R) -> R {
        rain_m_s * R::splat(DENSITY_KG_M3 * HEAT_CAPACITY_J_KG_K) * (self.rain_temp_c - top_c)
    }
}

/// Heat through the surface, W/m2, positive warms the water.
#[derive(Clone, Copy, Debug)]
pub struct Fluxes<R: Real> {
    /// Longwave taken up less longwave sent out.
    pub longwave_w_m2: R,
    /// By contact with the air.
    pub sensible_w_m2: R,
    /// By vapour.
    pub latent_w_m2: R,
    /// How the sum changes with temperature, W/m2/K: never positive.
    pub slope_w_m2_k: R,
    /// Temperature of the skin, C.
    pub skin_c: R,
}

impl<R: Real> Fluxes<R> {
    /// Their sum, W/m2.
    #[inline(always)]
    pub fn net_w_m2(&self) -> R {
        self.longwave_w_m2 + self.sensible_w_m2 + self.latent_w_m2
    }
}

#[cfg(test)]
mod tests;
