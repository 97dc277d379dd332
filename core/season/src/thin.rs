//! A pond that is going down: its water is thin and follows the air faster than the full pond did.
//!
//! Model     one mixed layer that tends to the same equilibrium as the full pond, with a time constant proportional to its
//!           depth and the bed's share: dT/dt = (Te - T) / tau(h), Te = T_full + tau_full dT_full/dt
//! Units     °C, m, h, d
//! Range     mean depths of 0.2 to 3 m, leads of up to six days
//! Source    linearised surface exchange (Edinger, Duttweiler & Geyer 1968, Water Resour. Res. 4, 1137-1143, from memory);
//!           not yet compared with the hour kernel on a falling stage
//! Left out  pools cut off from the drain and films on the floor (they follow the air within hours), mud, the course of the
//!           level: it falls evenly over the lead time

/// Heat that a degree between water and equilibrium moves, W/m²/K: 20 to 40 in light to fresh wind at 15 to 25 °C.
const EXCHANGE_W_M2_K: f64 = 28.0;
/// Heat of a cubic metre of water, J/m³/K.
const WATER_J_M3_K: f64 = 4.18e6;
/// Depth of water that holds what the bed gives back over two days, m (a step held 48 h in mud of 1 W/m/K).
const BED_AS_WATER_M: f64 = 0.19;
/// Most by which the day's swing grows as the water thins.
const SWING_GAIN_MOST: f64 = 2.2;
/// Step, h.
const STEP_H: f64 = 6.0;

/// How thick the water stands, full and when the catch begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depths {
    /// Mean depth of the full pond, m.
    pub full_m: f64,
    /// Mean depth of what is left at catch depth, m.
    pub catch_m: f64,
}

/// Days in which the offset of a pond's water from its equilibrium falls to a third.
pub fn memory_d(mean_depth_m: f64) -> f64 {
    (mean_depth_m + BED_AS_WATER_M) * WATER_J_M3_K / EXCHANGE_W_M2_K / 86_400.0
}

/// The full pond on the days around a catch.
pub trait FullPond {
    /// Mean of the animals' water on a day, °C; days before the first and after the last answer as those do.
    fn mean_c(&self, day: i32) -> f64;
    /// The same at dawn, °C.
    fn dawn_c(&self, day: i32) -> f64;
}

/// Water on the morning of a catch, after the lead time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThinMorning {
    /// Water at dawn of the catch day, °C.
    pub dawn_c: f64,
    /// Coldest dawn met on the way down, °C.
    pub coldest_dawn_c: f64,
    /// Unit dose of cold gathered on the way, as `stock::cold` counts it.
    pub dose: f64,
}

/// Water at dawn of `catch_day` when the drain opened `lead_h` hours before.
pub fn morning(pond: &impl FullPond, depths: Depths, catch_day: i32, lead_h: f64) -> ThinMorning {
    let full_d = memory_d(depths.full_m);
    let swing_gain = (full_d / memory_d(depths.catch_m)).clamp(1.0, SWING_GAIN_MOST);
    // Midday carries a day's mean; dawn of the catch lies a quarter of a day after its midnight.
    let end_d = f64::from(catch_day) + 0.25;
    let start_d = end_d - lead_h / 24.0;
    let steps = (lead_h / STEP_H).ceil().max(1.0);
    let step_d = (end_d - start_d) / steps;
    let mut water_c = between_days(pond, start_d);
    let mut met = ThinMorning { dawn_c: 0.0, coldest_dawn_c: f64::MAX, dose: 0.0 };
    for step in 0..steps as u32 {
        let middle_d = start_d + (f64::from(step) + 0.5) * step_d;
        let drained = (middle_d - start_d) / (end_d - start_d);
        let depth_m = depths.full_m + drained * (depths.catch_m - depths.full_m);
        let slope_c_d = between_days(pond, middle_d + 0.5) - between_days(pond, middle_d - 0.5);
        let equilibrium_c = between_days(pond, middle_d) + full_d * slope_c_d;
        // Exact for an equilibrium that holds through the step.
        let kept = units::exp(-step_d / memory_d(depth_m));
        water_c = equilibrium_c + (water_c - equilibrium_c) * kept;
        let day = middle_d.floor() as i32;
        let swing_c = (pond.mean_c(day) - pond.dawn_c(day)) * (1.0 + drained * (swing_gain - 1.0));
        let dawn_c = water_c - swing_c;
        met.coldest_dawn_c = met.coldest_dawn_c.min(dawn_c);
        met.dose += dose_of_step(water_c, swing_c, pond, day, step_d * 24.0);
    }
    let swing_c = (pond.mean_c(catch_day) - pond.dawn_c(catch_day)) * swing_gain;
    met.dawn_c = water_c - swing_c;
    met.coldest_dawn_c = met.coldest_dawn_c.min(met.dawn_c);
    met
}

/// Unit dose of some hours about a mean with a daily swing, judged by what the animals were used to in the full pond.
fn dose_of_step(mean_c: f64, swing_c: f64, pond: &impl FullPond, day: i32, hours: f64) -> f64 {
    if mean_c - swing_c.abs() >= stock::cold::DOSE_BELOW_C {
        return 0.0;
    }
    let used_to_c = (1..=4).map(|back| pond.mean_c(day - back)).sum::<f64>() / 4.0;
    // Three hours stand for the day: its trough, its middle, its crest.
    [-1.0, 0.0, 1.0]
        .iter()
        .map(|part| mean_c + part * swing_c)
        .filter(|&water_c| water_c < stock::cold::DOSE_BELOW_C)
        .map(|water_c| hours / 3.0 / stock::cold::lt50_h(water_c, used_to_c))
        .sum()
}

/// The full pond's daily mean at a moment, linear between middays.
fn between_days(pond: &impl FullPond, at_d: f64) -> f64 {
    let day = (at_d - 0.5).floor();
    let share = at_d - 0.5 - day;
    let day = day as i32;
    pond.mean_c(day) * (1.0 - share) + pond.mean_c(day + 1) * share
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Falling {
        per_day_c: f64,
    }
    impl FullPond for Falling {
        fn mean_c(&self, day: i32) -> f64 {
            24.0 - self.per_day_c * f64::from(day)
        }
        fn dawn_c(&self, day: i32) -> f64 {
            self.mean_c(day) - 1.0
        }
    }

    const DEPTHS: Depths = Depths { full_m: 1.36, catch_m: 0.4 };

    #[test]
    fn a_pond_that_does_not_thin_stays_as_the_full_one() {
        let same = Depths { full_m: 1.36, catch_m: 1.36 };
        let got = morning(&Falling { per_day_c: 1.0 }, same, 5, 54.0);
        // The full pond on the way: a steady fall is its own equilibrium's fall.
        assert!((got.dawn_c - (24.0 - 5.25 + 0.5 - 1.0)).abs() < 0.02, "{got:?}");
        assert_eq!(got.dose, 0.0);
    }

    #[test]
    fn thin_water_runs_ahead_of_the_full_pond_in_a_fall_and_a_rise() {
        let fall = morning(&Falling { per_day_c: 1.5 }, DEPTHS, 3, 48.0);
        let rise = morning(&Falling { per_day_c: -1.5 }, DEPTHS, 3, 48.0);
        assert!(fall.dawn_c < 24.0 - 1.5 * 2.75 - 1.0 - 0.5, "{fall:?}");
        assert!(rise.dawn_c > 24.0 + 1.5 * 2.75 - 2.2 + 0.3, "{rise:?}");
    }

    #[test]
    fn a_longer_way_down_in_falling_weather_is_never_warmer() {
        let falling = Falling { per_day_c: 2.0 };
        let dawns: Vec<f64> =
            (1..8).map(|half_days| morning(&falling, DEPTHS, 5, 12.0 * f64::from(half_days)).dawn_c).collect();
        assert!(dawns.windows(2).all(|pair| pair[1] <= pair[0] + 0.05), "{dawns:?}");
        assert!(morning(&falling, DEPTHS, 5, 60.0).dose > 0.0, "below 17 °C the dose counts");
    }
}
