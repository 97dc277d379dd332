//! Water itself: how heavy, how much heat it holds, how easily it flows.
//!
//! Model     density below its maximum as a polynomial in the distance from 3.9863 C, fitted to the Tilton-Taylor form used
//!           in lake work; viscosity and buoyancy of cooling water as short polynomials.
//! Units     degrees C, kg/m3, m2/s, J/kg/K.
//! Range     -1 to 42 C. Density within 1e-4 kg/m3 of the form it is fitted to; that form is within 0.04 kg/m3 of IAPWS-95.
//! Source    form: 1000 (1 - (T + 288.9414)(T - 3.9863)^2 / (508929.2 (T + 68.12963))) (memory); fits: to CoolProp 8.0.0.
//! Left out  salt, silt and pressure.

use units::Real;

/// Density of water at its heaviest, kg/m3.
pub const DENSITY_KG_M3: f64 = 1000.0;
/// Heat capacity of water, J/kg/K.
pub const HEAT_CAPACITY_J_KG_K: f64 = 4182.0;
/// Heat capacity of water by volume, J/m3/K.
pub const HEAT_CAPACITY_J_M3_K: f64 = DENSITY_KG_M3 * HEAT_CAPACITY_J_KG_K;
/// Temperature at which water is heaviest, C.
pub const HEAVIEST_C: f64 = 3.9863;
pub(crate) const GRAVITY_M_S2: f64 = 9.81;

/// How much lighter water is than at its heaviest, kg/m3. Larger is lighter: the order of this number is the order in which
/// waters lie on each other.
#[inline(always)]
pub fn lightness_kg_m3<R: Real>(water_c: R) -> R {
    let t = water_c - R::splat(HEAVIEST_C);
    let mut p = R::splat(6.397_371_12e-11);
    p = p * t - R::splat(1.145_955_95e-8);
    p = p * t + R::splat(1.091_562_02e-6);
    p = p * t - R::splat(8.307_960_04e-5);
    p = p * t + R::splat(7.981_354_10e-3);
    p * t * t
}

/// Gravity times thermal expansion over viscosity times diffusivity, 1/K/m3: how eagerly cooled water sinks. Nothing below
/// the heaviest temperature, where cooled water floats. Within 0.4 % of CoolProp from 5 to 40 C.
#[inline(always)]
pub(crate) fn eagerness<R: Real>(water_c: R) -> R {
    let t = (water_c - R::splat(HEAVIEST_C)).max(R::splat(0.0));
    t * (R::splat(7.460_974e8) + t * (R::splat(8.404_965e6) + t * R::splat(3916.34)))
}

/// One over the kinematic viscosity, s/m2. Within 0.15 % of CoolProp from 0.5 to 40 C.
#[inline(always)]
pub(crate) fn thinness_s_m2<R: Real>(water_c: R) -> R {
    R::splat(557_018.6) + water_c * (R::splat(19_852.83) + water_c * R::splat(106.3011))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CoolProp 8.0.0 (IAPWS-95), `water_properties.csv`: temperature, density, kinematic viscosity.
    const COOLPROP: [(f64, f64, f64); 5] = [
        (0.5, 999.8747, 1.761_181e-6),
        (10.0, 999.7025, 1.306_288e-6),
        (20.0, 998.2072, 1.003_395e-6),
        (30.0, 995.6495, 8.007_058e-7),
        (40.0, 992.2164, 6.578_491e-7),
    ];

    #[test]
    fn heaviness_and_thinness_follow_the_tables() {
        for (water_c, density, viscosity) in COOLPROP {
            let ours = DENSITY_KG_M3 - lightness_kg_m3(water_c);
            // 0.04: what the Tilton-Taylor form itself misses IAPWS-95 by.
            assert!((ours - density).abs() < 0.04, "{water_c}: {ours} for {density}");
            assert!((1.0 / thinness_s_m2(water_c) / viscosity - 1.0).abs() < 2e-3, "{water_c}");
        }
    }

    #[test]
    fn lightness_is_the_printed_form() {
        for k in 0..=86 {
            let t = -1.0 + 0.5 * f64::from(k);
            let form = 1000.0 * (t + 288.9414) * (t - 3.9863) * (t - 3.9863) / (508_929.2 * (t + 68.12963));
            assert!((lightness_kg_m3(t) - form).abs() < 1.5e-4, "{t}");
        }
    }
}
