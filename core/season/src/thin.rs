//! A pond that is going down: its water is thin and follows the air faster than the full pond did.
//!
//! Model     one mixed layer over a floor. The full pond's dawns say what each night took: by day the sky brings a usual gain, by
//!           night whatever brings the full pond to its next dawn. The thin layer lives under the same day and the same
//!           night: dT/dt = (Te - T) / tau(h), with tau proportional to depth and floor together
//! Units     °C, m, h, d
//! Range     mean depths of 0.15 to 3 m, leads of up to six days, late summer and autumn between 25 and 45 degrees
//! Source    linearised surface exchange (Edinger, Duttweiler & Geyer 1968, Water Resour. Res. 4, 1137-1143, from memory);
//!           compared with the hour kernel on a falling level: docs/model/thin.md
//! Left out  pools cut off from the drain and films on the floor (they follow the air within hours), mud, layers within the
//!           water (whether warm or cold water leaves first is worth half a degree either way at dawn), the course of the
//!           level (it falls evenly over the lead time), days with more or less sun than usual, ice

use stock::cold::{DOSE_BELOW_C, lt50_h};

/// Heat that a degree between water and equilibrium moves, W/m²/K: 20 to 40 in light to fresh wind at 15 to 25 °C.
const EXCHANGE_W_M2_K: f64 = 28.0;
/// Heat of a cubic metre of water, J/m³/K.
const WATER_J_M3_K: f64 = 4.18e6;
/// Depth of water that holds what the floor gives back over two days, m (a step held 48 h in ground of 1 W/m/K).
const FLOOR_TWO_DAYS_M: f64 = 0.19;
/// The same over half a day: it goes as the square root of the time.
const FLOOR_HALF_DAY_M: f64 = 0.095;
/// Net gain by day of water that keeps its dawn temperature, W/m²: some 350 of sun kept, 200 to 250 lost (September and October
/// at 35 degrees). Our guess, 90 to 150.
const DAY_GAIN_W_M2: f64 = 120.0;
/// Hours from dawn to the evening, and from evening to dawn.
const HALF_DAY_H: f64 = 12.0;
/// Longest step on the way down, h.
const STEP_H: f64 = 3.0;

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
    (mean_depth_m + FLOOR_TWO_DAYS_M) * WATER_J_M3_K / EXCHANGE_W_M2_K / 86_400.0
}

/// Share of an offset from equilibrium that is left after some hours.
fn kept(mean_depth_m: f64, hours: f64) -> f64 {
    let memory_h = (mean_depth_m + FLOOR_HALF_DAY_M) * WATER_J_M3_K / EXCHANGE_W_M2_K / 3600.0;
    units::exp(-hours / memory_h)
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

/// One way down from full to catch depth, made once for a pond: every catch begins at a dawn, so the steps are the same on
/// every day.
#[derive(Debug, Clone, PartialEq)]
pub struct WayDown {
    /// What the full pond keeps of an offset over half a day.
    full_kept: f64,
    /// Dawn to dawn before the catch, the farthest first.
    days: Vec<DayDown>,
}

/// The steps between two dawns.
#[derive(Debug, Clone, PartialEq)]
struct DayDown {
    /// The dawn it ends with, days before that of the catch.
    back: i32,
    steps: Vec<Step>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Step {
    hours: f64,
    kept: f64,
    night: bool,
    /// The drain is open.
    falling: bool,
}

impl WayDown {
    /// For a pond whose drain opens `lead_h` hours before the dawn of the catch.
    pub fn new(depths: Depths, lead_h: f64) -> WayDown {
        let lead_h = lead_h.max(0.0);
        let days_back = (lead_h / 24.0).ceil().max(1.0) as i32;
        let day = |back: i32| {
            let from_h = f64::from(back + 1) * 24.0;
            let steps = [(from_h, false), (from_h - HALF_DAY_H, true)]
                .into_iter()
                .flat_map(|(from_h, night)| half_day(depths, lead_h, from_h, night))
                .collect();
            DayDown { back, steps }
        };
        WayDown { full_kept: kept(depths.full_m, HALF_DAY_H), days: (0..days_back).rev().map(day).collect() }
    }

    /// Water at dawn of `catch_day`.
    pub fn morning(&self, pond: &impl FullPond, catch_day: i32) -> ThinMorning {
        let mut met = ThinMorning { dawn_c: 0.0, coldest_dawn_c: f64::MAX, dose: 0.0 };
        let first = catch_day - self.days.len() as i32;
        let mut water_c = pond.dawn_c(first);
        for day in &self.days {
            let to = catch_day - day.back;
            let (dawn_c, next_c) = (pond.dawn_c(to - 1), pond.dawn_c(to));
            let by_day_c = dawn_c + DAY_GAIN_W_M2 / EXCHANGE_W_M2_K;
            let evening_c = by_day_c + (dawn_c - by_day_c) * self.full_kept;
            // What the night must have tended to for the full pond to reach its next dawn.
            let by_night_c = (next_c - self.full_kept * evening_c) / (1.0 - self.full_kept);
            for step in &day.steps {
                let tends_to_c = if step.night { by_night_c } else { by_day_c };
                let before_c = water_c;
                water_c = (tends_to_c + (water_c - tends_to_c) * step.kept).max(0.0);
                if step.falling {
                    met.dose += dose_of_step(0.5 * (before_c + water_c), pond, to - 1, step.hours);
                }
            }
            met.coldest_dawn_c = met.coldest_dawn_c.min(water_c);
        }
        met.dawn_c = water_c;
        met
    }
}

/// Steps of a half-day that begins `from_h` hours before the catch: one while the pond stands full, short ones while it falls.
fn half_day(depths: Depths, lead_h: f64, from_h: f64, night: bool) -> Vec<Step> {
    let to_h = from_h - HALF_DAY_H;
    let opens_h = lead_h.clamp(to_h, from_h);
    let mut steps = Vec::new();
    if from_h > opens_h {
        let hours = from_h - opens_h;
        steps.push(Step { hours, kept: kept(depths.full_m, hours), night, falling: false });
    }
    let count = ((opens_h - to_h) / STEP_H).ceil();
    let hours = (opens_h - to_h) / count;
    for step in 0..count as u32 {
        let middle_h = opens_h - (f64::from(step) + 0.5) * hours;
        let depth_m = depths.catch_m + middle_h / lead_h * (depths.full_m - depths.catch_m);
        steps.push(Step { hours, kept: kept(depth_m, hours), night, falling: true });
    }
    steps
}

/// Unit dose of some hours, judged by what the animals were used to in the full pond.
fn dose_of_step(water_c: f64, pond: &impl FullPond, day: i32, hours: f64) -> f64 {
    if water_c >= DOSE_BELOW_C {
        return 0.0;
    }
    let used_to_c = (1..=4).map(|back| pond.mean_c(day - back)).sum::<f64>() / 4.0;
    hours / lt50_h(water_c, used_to_c)
}

#[cfg(test)]
mod tests;
