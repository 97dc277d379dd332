//! The farm's own pace from what was entered.
//!
//! Model     the logarithm of a task's slowness is normal: beforehand about the usual, with the spread that nobody knows; what was
//!           timed is about the farm's own, with a basket's unevenness over the root of how many, and a tenth for the watch and
//!           the hands that day. One multiplies the other
//! Units     as the rate counts
//! Range     any number of goes
//! Source    the normal-normal rule of any text on Bayes's theorem; the tenth is our guess
//! Left out  the order of the entries, tiring hands among them

use crate::rates::{Rate, Rates};
use crate::task::Task;

/// Work that was timed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heard {
    /// Which.
    pub task: Task,
    /// How many goes.
    pub goes: u32,
    /// Kilograms altogether.
    pub kg: f64,
    /// Mean weight of an animal, g.
    pub weight_g: f64,
    /// Hours of hands altogether.
    pub hand_h: f64,
}

/// Spread of what a watch and one day's hands add, as a standard deviation of the logarithm.
const TIMED: f64 = 0.1;

/// Rates with what was heard taken in. What is not a time (no goes, no hours) teaches nothing.
pub fn learn(rates: &Rates, heard: &[Heard]) -> Rates {
    let mut learnt = rates.clone();
    for one in heard {
        let goes = f64::from(one.goes);
        let usual_h = goes * rates_hours(&learnt, one.task, one.kg / goes.max(1.0), one.weight_g);
        if !(one.hand_h > 0.0 && usual_h > 0.0 && goes > 0.0) {
            continue;
        }
        let rate = learnt.get_mut(one.task);
        take_in(rate, units::ln(one.hand_h / usual_h), goes);
        rate.measured += one.goes;
    }
    learnt
}

fn rates_hours(rates: &Rates, task: Task, kg: f64, weight_g: f64) -> f64 {
    rates.hours(task, kg, weight_g)
}

/// Slower by `slower` (a logarithm), from so many goes.
fn take_in(rate: &mut Rate, slower: f64, goes: f64) {
    let of_entry = rate.uneven * rate.uneven / goes + TIMED * TIMED;
    let before = rate.unknown * rate.unknown;
    let share = before / (before + of_entry);
    let factor = units::exp(share * slower);
    rate.value = match rate.unit {
        crate::rates::Unit::KgPerHour => rate.value / factor,
        crate::rates::Unit::HoursEach | crate::rates::Unit::SecondsEach => rate.value * factor,
    };
    rate.unknown = (before * (1.0 - share)).sqrt();
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_more_is_timed_the_less_the_usual_counts() {
        let usual = Rates::default();
        let heard = |goes: u32| Heard {
            task: Task::Head,
            goes,
            kg: 10.0 * f64::from(goes),
            weight_g: 36.0,
            hand_h: 0.6 * f64::from(goes),
        };
        // 10 kg of 36 g are 278 heads; 0.6 h is 7.8 s each against the usual 5.
        let own = 0.6 * 3600.0 / (10_000.0 / 36.0);
        let mut before = usual.get(Task::Head).value;
        for goes in [1, 5, 50] {
            let learnt = learn(&usual, &[heard(goes)]);
            let rate = learnt.get(Task::Head);
            assert!(before < rate.value && rate.value < own, "{goes}: {}", rate.value);
            assert!(rate.unknown < usual.get(Task::Head).unknown && rate.measured == goes);
            before = rate.value;
        }
        // By hand: unknown² = (ln(8/3)/6)² = 0.026722, entry 0.04/50 + 0.01 = 0.0108: share 0.7122; 5 x exp(0.7122 x ln 1.5552).
        assert!((before - 5.0 * units::exp(0.7122 * units::ln(own / 5.0))).abs() < 2e-3, "{before}");
    }

    #[test]
    fn a_rate_in_pounds_an_hour_falls_when_it_took_longer_and_nothing_timed_teaches_nothing() {
        let usual = Rates::default();
        let slow = Heard { task: Task::Sort, goes: 10, kg: 100.0, weight_g: 36.0, hand_h: 4.0 };
        assert!(learn(&usual, &[slow]).get(Task::Sort).value < 50.0);
        for nothing in [Heard { goes: 0, ..slow }, Heard { hand_h: 0.0, ..slow }, Heard { kg: 0.0, ..slow }] {
            assert_eq!(learn(&usual, &[nothing]), usual);
        }
    }
}
