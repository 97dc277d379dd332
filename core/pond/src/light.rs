//! Sun in the water: what is turned back, and how deep the rest goes.
//!
//! Model     four bands of net sun, each dying exponentially with depth; what reaches the floor warms the floor.
//! Units     W/m2 of level surface; depths in m; attenuation per m.
//! Range     open water, sun from overhead to near the horizon with one albedo.
//! Source    bands rounded from pure-water absorption (memory); Secchi rule of Poole & Atkins (1929), J. Mar. Biol.
//!           Ass. 16, 297-324 (memory); floor's share and plants: own measurement on two farm ponds, docs/model/water.md.
//! Left out  albedo by the sun's height (tried: worth 3 % of the daily range); light scattered back out of muddy water.

/// Share of net sun in each band, and how much faster it dies than visible light, per m. Visible light itself dies at the
/// water's own rate; the last band is gone within the first millimetre.
const BANDS: [(f64, f64, bool); 3] = [(0.47, 0.0, true), (0.21, 3.0, true), (0.12, 30.0, false)];
/// Share of net sun that warms the first millimetre.
pub const SKIN_SHARE: f64 = 0.20;
/// Share of the light that reaches the floor and stays in it; the rest is turned back into the water there.
pub const FLOOR_SHARE: f64 = 0.8;
/// Attenuation that plants at the surface add, per m.
const PLANT_ATTENUATION_PER_M: f64 = 2.0;

/// Attenuation of visible light from the depth at which a Secchi disc is lost, per m.
pub fn attenuation_from_secchi(secchi_m: f64) -> f64 {
    1.7 / secchi_m
}

/// How far plants have grown to the surface, 0 bare to 1 full, from the height of the canopy and the water's depth.
pub fn plants_from_canopy(canopy_m: f64, depth_m: f64) -> f64 {
    ((canopy_m / depth_m - 0.8) / 0.2).clamp(0.0, 1.0)
}

/// How visible light dies in this water, per m, with its plants.
pub(crate) fn attenuation_with_plants(attenuation_per_m: f64, plants: f64) -> f64 {
    attenuation_per_m + PLANT_ATTENUATION_PER_M * plants
}

/// Share of net sun that is still on its way down at a depth.
pub(crate) fn share_below(attenuation_per_m: f64, depth_m: f64) -> f64 {
    let skin = if depth_m > 0.0 { 0.0 } else { SKIN_SHARE };
    let rate = |extra: f64, tied: bool| if tied { attenuation_per_m + extra } else { extra };
    skin + BANDS.iter().map(|&(share, extra, tied)| share * units::exp(-rate(extra, tied) * depth_m)).sum::<f64>()
}

/// Mean of [`share_below`] between two depths: what falls on a sloping floor between them.
pub(crate) fn share_between(attenuation_per_m: f64, upper_m: f64, lower_m: f64) -> f64 {
    let thick_m = lower_m - upper_m;
    if thick_m <= 0.0 {
        return share_below(attenuation_per_m, lower_m);
    }
    let rate = |extra: f64, tied: bool| if tied { attenuation_per_m + extra } else { extra };
    BANDS
        .iter()
        .map(|&(share, extra, tied)| {
            let k = rate(extra, tied);
            share * (units::exp(-k * upper_m) - units::exp(-k * lower_m)) / (k * thick_m)
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_of_the_sun_goes_somewhere() {
        assert!((share_below(1.3, 0.0) - 1.0).abs() < 1e-12);
        // Trapezoid of a thousand steps against the closed form.
        let n = 1000;
        let sum: f64 = (0..n).map(|k| share_below(1.3, 0.2 + 0.3 * (f64::from(k) + 0.5) / f64::from(n))).sum();
        assert!((sum / f64::from(n) - share_between(1.3, 0.2, 0.5)).abs() < 1e-6);
    }

    #[test]
    fn a_coarse_cell_sees_the_old_rule() {
        // Forty-five hundredths at the surface: what a 0.2 m cell absorbs of the infra-red bands.
        let infra_red = 1.0 - 0.47 - (share_below(1.0, 0.2) - 0.47 * units::exp(-0.2));
        assert!((infra_red - 0.45).abs() < 0.04, "{infra_red}");
    }

    #[test]
    fn plants_show_when_they_near_the_surface() {
        for (canopy_m, depth_m, b) in
            [(0.5, 2.0, 0.0), (1.6, 2.0, 0.0), (1.8, 2.0, 0.5), (2.0, 2.0, 1.0), (2.2, 2.0, 1.0)]
        {
            assert!((plants_from_canopy(canopy_m, depth_m) - b).abs() < 1e-9, "{canopy_m} of {depth_m}");
        }
    }
}
