//! How fast work goes, how much that varies, and the limits of time out of water.
//!
//! Model     a mean pace per task, as pounds an hour or time a piece, with two spreads: what nobody knows of this farm's pace
//!           beforehand, and what one basket differs from the next
//! Units     kg/h of one hand, or hours for one; spreads as standard deviations of the logarithm
//! Range     one small farm's day, 3 to 40 hands
//! Source    common practice throughout: no rate was found published for this animal. The spread between farms is a third of the
//!           range a grower would recognise; that between baskets is our guess
//! Left out  learning through the day beyond what entries teach; two hands at one basket

use crate::task::{TASKS, Task};

/// Fullest basket that is advised, kg; above 15 never.
pub const BASKET_MOST_KG: f64 = 10.0;
/// Time from water to tank beyond which a prawn is not offered live, h. From memory: under three minutes at 20 to 25 °C, moist.
pub const LIVE_MOST_H: f64 = 3.0 / 60.0;
/// Time from water to slurry that is aimed at, h; half of it in sun or above 25 °C. Common practice.
pub const CHILL_WANTED_H: f64 = 0.25;
/// Time from water to slurry that is never to be passed, h. Common practice.
pub const CHILL_HARD_H: f64 = 0.5;

/// What a rate counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Kilograms an hour, by one hand.
    KgPerHour,
    /// Hours for one go, whatever it weighs.
    HoursEach,
    /// Seconds for one animal.
    SecondsEach,
}

/// The pace of one task.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// What `value` counts.
    pub unit: Unit,
    /// Mean pace of one measured grown hand at the beginning of the day.
    pub value: f64,
    /// Standard deviation of the logarithm of what this farm's pace may be: not known beforehand.
    pub unknown: f64,
    /// Standard deviation of the logarithm from one basket to the next.
    pub uneven: f64,
    /// How many own measurements stand behind it; 0: common practice.
    pub measured: u32,
}

/// The default pace of a task, with the range a grower would recognise.
pub fn default_rate(task: Task) -> (Rate, f64, f64) {
    use Unit::*;
    let (unit, value, low, high, uneven) = match task {
        Task::Seine => (HoursEach, 20.0 / 60.0, 15.0 / 60.0, 40.0 / 60.0, 0.25),
        Task::Gather => (KgPerHour, 10.0, 4.0, 20.0, 0.35),
        // 150 kg/h for a pair.
        Task::Dip | Task::Bag => (KgPerHour, 75.0, 40.0, 150.0, 0.3),
        // To the bank with full baskets; the way back is with the next empty ones.
        Task::Carry => (HoursEach, 1.25 / 60.0, 0.75 / 60.0, 3.0 / 60.0, 0.3),
        Task::Rinse => (KgPerHour, 80.0, 40.0, 150.0, 0.25),
        Task::Sort => (KgPerHour, 50.0, 25.0, 90.0, 0.3),
        Task::Weigh => (HoursEach, 1.0 / 60.0, 0.6 / 60.0, 2.0 / 60.0, 0.25),
        Task::Live => (HoursEach, 1.0 / 60.0, 0.5 / 60.0, 3.0 / 60.0, 0.25),
        Task::Load | Task::Unload => (KgPerHour, 120.0, 60.0, 200.0, 0.25),
        Task::Head => (SecondsEach, 5.0, 3.0, 8.0, 0.2),
        Task::Wash => (KgPerHour, 30.0, 15.0, 50.0, 0.25),
        Task::Pack => (KgPerHour, 25.0, 12.0, 45.0, 0.25),
        Task::Store => (HoursEach, 3.0 / 60.0, 1.0 / 60.0, 8.0 / 60.0, 0.25),
        Task::Walk => (HoursEach, 0.5, 0.25, 1.0, 0.3),
    };
    // The range is read as two standard deviations to either side, and a third of that is a farm's own: hands of one farm
    // differ among themselves as well.
    let unknown = units::ln(high / low) / 6.0;
    (Rate { unit, value, unknown, uneven, measured: 0 }, low, high)
}

/// The pace of every task on one farm.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates {
    /// By task.
    pub of: [Rate; TASKS],
}

impl Default for Rates {
    fn default() -> Rates {
        Rates { of: Task::ALL.map(|task| default_rate(task).0) }
    }
}

impl Rates {
    /// One task's pace.
    pub fn get(&self, task: Task) -> &Rate {
        &self.of[task as usize]
    }

    /// The same, to be changed.
    pub fn get_mut(&mut self, task: Task) -> &mut Rate {
        &mut self.of[task as usize]
    }

    /// Hours one hand takes for one go at `kg` of animals of `weight_g` at the mean pace.
    pub fn hours(&self, task: Task, kg: f64, weight_g: f64) -> f64 {
        let rate = self.get(task);
        match rate.unit {
            Unit::KgPerHour => kg / rate.value,
            Unit::HoursEach => rate.value,
            Unit::SecondsEach => kg * 1000.0 / weight_g * rate.value / 3600.0,
        }
    }

    /// Hand-hours from water to ice for a kilogram, in full baskets of `basket_kg`: what a farm's own figure of pounds for a
    /// hand-hour counts.
    pub fn water_to_ice_h_kg(&self, basket_kg: f64, carried: f64) -> f64 {
        let each = |task| self.hours(task, basket_kg, 35.0) / basket_kg;
        each(Task::Bag)
            + each(Task::Carry) / carried
            + each(Task::Rinse)
            + each(Task::Sort)
            + each(Task::Weigh)
            + each(Task::Load)
    }

    /// All work from water to ice made quicker by one factor, so that a hand-hour brings what the farm says it brings.
    pub fn to_ice_faster(&mut self, factor: f64) {
        for task in [
            Task::Seine,
            Task::Gather,
            Task::Dip,
            Task::Bag,
            Task::Carry,
            Task::Rinse,
            Task::Sort,
            Task::Weigh,
            Task::Live,
            Task::Load,
        ] {
            let rate = self.get_mut(task);
            match rate.unit {
                Unit::KgPerHour => rate.value *= factor,
                Unit::HoursEach | Unit::SecondsEach => rate.value /= factor,
            }
        }
    }
}
