//! Shares of a crop's weight above a limit, tabulated for speed.
//!
//! Model     [`Mixture::weight_above`] on a grid of the logarithm of limit over mean weight and of the orange-claw share
//! Units     natural logarithm of a ratio of weights; shares 0 to 1
//! Range     limits from 1/20 of the mean to 8 times the mean; beyond, the end value
//! Source    `sizes`; straight lines between grid points miss it by under 0.0005 of the weight, which is the test
//! Left out  nothing else

use crate::sizes::Mixture;

const FROM: f64 = -3.0;
const STEP: f64 = 1.0 / 64.0;
const POINTS: usize = 324;
/// Departures of the orange-claw share that are tabulated.
const EXTRA: [f64; 9] = [-0.2, -0.15, -0.1, -0.05, 0.0, 0.05, 0.1, 0.15, 0.2];

/// The table of one crop.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeTable {
    /// By departure, then by logarithm.
    above: Vec<f64>,
}

impl SizeTable {
    /// For a crowding in animals per hectare as if without substrate.
    pub fn new(crowding_per_ha: f64) -> SizeTable {
        let column = |extra: f64| {
            let mixture = Mixture::new(crowding_per_ha, extra);
            (0..POINTS).map(move |point| mixture.weight_above(1.0, units::exp(FROM + STEP * point as f64)))
        };
        SizeTable { above: EXTRA.iter().flat_map(|extra| column(*extra)).collect() }
    }

    /// Share of the mass in animals above a limit, whose natural logarithm relative to the mean weight is given.
    pub fn mass_above(&self, log_limit_over_mean: f64, orange_claw_extra: f64) -> f64 {
        let (row, along_row) = place((log_limit_over_mean - FROM) / STEP, POINTS);
        let (column, along_column) = place((orange_claw_extra - EXTRA[0]) / (EXTRA[1] - EXTRA[0]), EXTRA.len());
        let at = |column: usize| {
            let low = self.above[column * POINTS + row];
            low + along_row * (self.above[column * POINTS + row + 1] - low)
        };
        let low = at(column);
        low + along_column * (at(column + 1) - low)
    }
}

/// The cell of a grid of `points` that holds a position, and how far along it the position is.
fn place(position: f64, points: usize) -> (usize, f64) {
    let held = position.clamp(0.0, (points - 1) as f64);
    let cell = (held as usize).min(points - 2);
    (cell, held - cell as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_holds_the_mixture() {
        let mut worst = 0.0_f64;
        for crowding in [20_000.0, 47_000.0, 100_000.0] {
            let table = SizeTable::new(crowding);
            for step in 0..200 {
                let ratio = 0.06 + 0.03 * f64::from(step);
                for extra in [-0.13, -0.07, 0.0, 0.026, 0.14] {
                    let exact = Mixture::new(crowding, extra).weight_above(1.0, ratio);
                    worst = worst.max((table.mass_above(units::ln(ratio), extra) - exact).abs());
                }
            }
        }
        assert!(worst < 5e-4, "{worst}");
    }

    #[test]
    fn limits_off_the_table_take_its_end() {
        let table = SizeTable::new(45_000.0);
        assert!(table.mass_above(-50.0, 0.0) > 0.9999);
        assert!(table.mass_above(50.0, 0.9) < 1e-3);
    }
}
