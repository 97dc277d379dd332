//! A delivery shared out over tanks, and how slowly its water is brought to theirs.
//!
//! Model     shares by what each tank's animals can sit on; tempering by the slower of temperature and pH
//! Units     °C, pH, min
//! Range     as the rates given
//! Source    both common practice: even crowding; 1 °C in ten minutes and half a pH in fifteen
//! Left out  hardness, which is to be asked for at the hatchery

use crate::Tank;

/// Rise or fall of temperature that animals bear, °C in a minute.
const K_PER_MIN: f64 = 0.1;
/// The same of pH, in a minute.
const PH_PER_MIN: f64 = 0.5 / 15.0;
/// Minutes it takes at the least.
const LEAST_MIN: f64 = 20.0;
/// Length of a step, min.
const STEP_MIN: f64 = 10.0;

/// Animals for each tank, so that all sit equally close; whole animals that add up.
pub fn shares(animals: f64, tanks: &[Tank]) -> Vec<f64> {
    let seats: Vec<f64> = tanks.iter().map(Tank::seats_m2).collect();
    let all: f64 = seats.iter().sum();
    if all <= 0.0 {
        return vec![0.0; tanks.len()];
    }
    let (mut given, mut so_far) = (Vec::with_capacity(tanks.len()), 0.0);
    let mut seats_so_far = 0.0;
    for seat in seats {
        seats_so_far += seat;
        let until = (animals * seats_so_far / all).round();
        given.push(until - so_far);
        so_far = until;
    }
    given
}

/// The water around the animals at a minute of the tempering.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Minutes since the beginning.
    pub at_min: f64,
    /// Its temperature then, °C.
    pub temp_c: f64,
    /// Its pH then, where both are known.
    pub ph: Option<f64>,
}

/// A timetable from the bag's water to the tank's.
pub fn temper(bag_c: f64, tank_c: f64, ph: Option<(f64, f64)>) -> Vec<Step> {
    let by_ph = ph.map_or(0.0, |(bag, tank)| (tank - bag).abs() / PH_PER_MIN);
    let least = ((tank_c - bag_c).abs() / K_PER_MIN).max(by_ph).max(LEAST_MIN);
    let steps = (least / STEP_MIN - 1e-9).ceil() as usize;
    (0..=steps)
        .map(|step| {
            let part = step as f64 / steps as f64;
            Step {
                at_min: step as f64 * STEP_MIN,
                temp_c: bag_c + part * (tank_c - bag_c),
                ph: ph.map(|(bag, tank)| bag + part * (tank - bag)),
            }
        })
        .collect()
}
