//! What the animals need to know of a pond's water, hour by hour into one row a day.
//!
//! Model     the integral of `growth::warmth`, the unit dose of `cold`, dawn and mean temperatures
//! Units     temperature in °C, warm days in d, dose in units of the time that kills half
//! Range     water from -5 to 45 °C
//! Source    the modules named; here warmth is a polynomial in the fourth root, 1.2e-5 from the closed form
//! Left out  the course of temperature within the hour
//!
//! Everything else about a crop (its density, stocked weight, growth factor, tolerance, prices) is arithmetic on these
//! rows, so no what-if runs the water again. Written once over [`Real`], like the water itself.

use units::Real;

use crate::cold::{
    ACCLIMATION_FROM_C, ACCLIMATION_GAIN, ACCLIMATION_SPAN_K, DOSE_BELOW_C, HEALS_ABOVE_C, KELVIN_PER_TENFOLD,
    LT50_ANCHOR_C, LT50_ANCHOR_H,
};
use crate::growth::{GROWTH_BEST_C, GROWTH_COLDEST_C, GROWTH_HOTTEST_C};

/// A dose smaller than this has healed; it also keeps single precision out of its slow smallest numbers.
const DOSE_FORGOTTEN: f64 = 1e-9;

/// Fit of u^(1.7 / 9) by powers of u^(1/4), weighted so that the error of the whole of [`warmth_of`] is least.
const ROOT_FIT: [f64; 5] = [
    0.067_963_829_395_286_8,
    1.252_111_833_230_408_4,
    -0.524_485_720_440_343_6,
    0.265_024_870_945_86,
    -0.060_609_514_946_672_69,
];

/// Speed of growth at a temperature as a share of the fastest: `growth::warmth` within 1.2e-5, without a power.
#[inline(always)]
pub fn warmth_of<R: Real>(water_temp_c: R) -> R {
    let zero = R::splat(0.0);
    let below =
        (water_temp_c - R::splat(GROWTH_COLDEST_C)).max(zero) * R::splat(1.0 / (GROWTH_BEST_C - GROWTH_COLDEST_C));
    let above =
        (R::splat(GROWTH_HOTTEST_C) - water_temp_c).max(zero) * R::splat(1.0 / (GROWTH_HOTTEST_C - GROWTH_BEST_C));
    let root = below.sqrt().sqrt();
    let mut power = R::splat(ROOT_FIT[4]);
    for coefficient in [ROOT_FIT[3], ROOT_FIT[2], ROOT_FIT[1], ROOT_FIT[0]] {
        power = power * root + R::splat(coefficient);
    }
    above * below * power
}

/// Habit and dose of animals that live in one water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdState<R> {
    /// What the animals are used to, °C.
    pub acclimated_c: R,
    /// Dose now.
    pub dose: R,
    /// Largest dose so far.
    pub dose_max: R,
}

impl<R: Real> ColdState<R> {
    /// Animals used to a temperature and never yet cold.
    pub fn used_to(water_temp_c: R) -> ColdState<R> {
        ColdState { acclimated_c: water_temp_c, dose: R::splat(0.0), dose_max: R::splat(0.0) }
    }

    /// One hour at a temperature. The hour is judged by the habit at its start, then habit moves.
    #[inline(always)]
    pub fn hour(&mut self, water_temp_c: R) {
        let zero = R::splat(0.0);
        let (cold, warm) = (R::splat(DOSE_BELOW_C), R::splat(HEALS_ABOVE_C));
        if water_temp_c.any_less(cold) {
            let used = (self.acclimated_c - R::splat(ACCLIMATION_FROM_C)).max(zero).min(R::splat(ACCLIMATION_SPAN_K));
            let colder_k = R::splat(LT50_ANCHOR_C) + used * R::splat(ACCLIMATION_GAIN) - water_temp_c;
            let per_k = R::splat(std::f64::consts::LN_10 / KELVIN_PER_TENFOLD);
            let rate_per_h = (colder_k * per_k).exp() * R::splat(1.0 / LT50_ANCHOR_H);
            self.dose += water_temp_c.if_less(cold, rate_per_h, zero);
            self.dose_max = self.dose_max.max(self.dose);
        }
        let healed = self.dose * R::splat(HEALED_IN_AN_HOUR);
        let dose = warm.if_less(water_temp_c, healed, self.dose);
        self.dose = dose.if_less(R::splat(DOSE_FORGOTTEN), zero, dose);
        // Animals do not harden while they are being hurt: habit moves only in water of 17 °C or more. Without this a day at
        // 13.5 °C after 26 °C would leave half alive, and the published finding is that nearly all die.
        let moved = self.acclimated_c + (water_temp_c - self.acclimated_c) * R::splat(HABIT_MOVED_IN_AN_HOUR);
        self.acclimated_c = water_temp_c.if_less(cold, self.acclimated_c, moved);
    }
}

/// 2^(-1/24): what an hour in warm water leaves of a dose.
const HEALED_IN_AN_HOUR: f64 = 0.971_531_941_153_605_9;
/// 1 - exp(-1/96): how much of the way to the water's temperature the habit moves in an hour.
const HABIT_MOVED_IN_AN_HOUR: f64 = 0.010_362_601_085_003_375;

/// One pond and day, for one or for many members.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayRow<R> {
    /// Warm days gained this day; add them up in f64.
    pub warm_days: R,
    /// Largest unit dose of the season so far, in the water most animals live in.
    pub dose_max: R,
    /// The same, had they lived in the coldest column: the bad case.
    pub coldest_dose_max: R,
    /// Animals' water at dawn, °C.
    pub dawn_c: R,
    /// Coldest column at dawn, °C.
    pub dawn_coldest_c: R,
    /// Lowest hour of the coldest column, °C.
    pub low_c: R,
    /// Mean of the animals' water over the day, °C.
    pub mean_c: R,
}

/// Takes hours, gives a row at each day's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayTally<R> {
    usual: ColdState<R>,
    coldest: ColdState<R>,
    warmth_sum: R,
    water_sum_c: R,
    low_c: R,
    dawn_c: R,
    dawn_coldest_c: R,
    hours: u32,
}

impl<R: Real> DayTally<R> {
    /// From the temperature of the water the animals were put into.
    pub fn new(water_temp_c: R) -> DayTally<R> {
        let zero = R::splat(0.0);
        DayTally {
            usual: ColdState::used_to(water_temp_c),
            coldest: ColdState::used_to(water_temp_c),
            warmth_sum: zero,
            water_sum_c: zero,
            low_c: R::splat(NO_HOUR_YET_C),
            dawn_c: water_temp_c,
            dawn_coldest_c: water_temp_c,
            hours: 0,
        }
    }

    /// One hour: the bottom water the animals live in (columns weighted by volume), the bottom of the coldest column, and
    /// whether this is the day's dawn hour (06 h local solar time).
    #[inline(always)]
    pub fn hour(&mut self, water_temp_c: R, coldest_temp_c: R, dawn: bool) {
        self.usual.hour(water_temp_c);
        self.coldest.hour(coldest_temp_c);
        self.warmth_sum += warmth_of(water_temp_c);
        self.water_sum_c += water_temp_c;
        self.low_c = self.low_c.min(coldest_temp_c);
        if dawn {
            self.dawn_c = water_temp_c;
            self.dawn_coldest_c = coldest_temp_c;
        }
        self.hours += 1;
    }

    /// Ends the day: its row, and a fresh day. A day without a dawn hour keeps the dawn before it; a day must have an hour.
    pub fn end_day(&mut self) -> DayRow<R> {
        assert!(self.hours > 0, "a day has at least one hour");
        let row = DayRow {
            warm_days: self.warmth_sum * R::splat(1.0 / 24.0),
            dose_max: self.usual.dose_max,
            coldest_dose_max: self.coldest.dose_max,
            dawn_c: self.dawn_c,
            dawn_coldest_c: self.dawn_coldest_c,
            low_c: self.low_c,
            mean_c: self.water_sum_c * R::splat(1.0 / f64::from(self.hours)),
        };
        self.warmth_sum = R::splat(0.0);
        self.water_sum_c = R::splat(0.0);
        self.low_c = R::splat(NO_HOUR_YET_C);
        self.hours = 0;
        row
    }

    /// The same tally for other numbers, as when one pond's past is the start of many members.
    pub fn map<S: Real>(&self, f: impl Fn(R) -> S) -> DayTally<S> {
        let cold = |state: &ColdState<R>| ColdState {
            acclimated_c: f(state.acclimated_c),
            dose: f(state.dose),
            dose_max: f(state.dose_max),
        };
        DayTally {
            usual: cold(&self.usual),
            coldest: cold(&self.coldest),
            warmth_sum: f(self.warmth_sum),
            water_sum_c: f(self.water_sum_c),
            low_c: f(self.low_c),
            dawn_c: f(self.dawn_c),
            dawn_coldest_c: f(self.dawn_coldest_c),
            hours: self.hours,
        }
    }

    /// Habit and dose in the water most animals live in.
    pub fn cold(&self) -> &ColdState<R> {
        &self.usual
    }
}

/// Warmer than any water, so that the first hour is the lowest yet.
const NO_HOUR_YET_C: f64 = 1000.0;

#[cfg(test)]
mod tests;
