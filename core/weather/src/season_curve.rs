//! The usual course of a value through the year.
//!
//! Model     mean and a few yearly waves by least squares; the spread about it as a mean and one wave.
//! Units     those of the values; day of the year 1 to 366.
//! Range     at least 40 values, and the days of the year they cover; waves beyond the first only where they cover it all.
//! Source    ordinary least squares (normal equations, Gaussian elimination with pivots).
//! Left out  trend over the years.

use units::{cos, sin};

/// A smooth curve through the year with its spread.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonCurve {
    mean: Vec<f64>,
    spread: Vec<f64>,
}

const YEAR_DAYS: f64 = 365.25;
const VALUES_MIN: usize = 40;

/// 1, cos, sin, cos 2, sin 2, ... of the day.
fn waves(day_of_year: f64, n_terms: usize) -> Vec<f64> {
    let angle = std::f64::consts::TAU * day_of_year / YEAR_DAYS;
    (0..n_terms)
        .map(|i| {
            let turns = i.div_ceil(2) as f64;
            if i == 0 {
                1.0
            } else if i % 2 == 1 {
                cos(turns * angle)
            } else {
                sin(turns * angle)
            }
        })
        .collect()
}

fn value_of(coefficients: &[f64], day_of_year: f64) -> f64 {
    waves(day_of_year, coefficients.len()).iter().zip(coefficients).map(|(wave, c)| wave * c).sum()
}

fn fit(points: &[(f64, f64)], n_terms: usize) -> Option<Vec<f64>> {
    let mut matrix = vec![vec![0.0; n_terms + 1]; n_terms];
    for &(day_of_year, value) in points {
        let wave = waves(day_of_year, n_terms);
        for row in 0..n_terms {
            for column in 0..n_terms {
                matrix[row][column] += wave[row] * wave[column];
            }
            matrix[row][n_terms] += wave[row] * value;
        }
    }
    solve(matrix)
}

fn solve(mut matrix: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let n = matrix.len();
    for pivot in 0..n {
        let best = (pivot..n).max_by(|&a, &b| matrix[a][pivot].abs().total_cmp(&matrix[b][pivot].abs()))?;
        matrix.swap(pivot, best);
        let scale = matrix[pivot][pivot];
        if scale.abs() < 1e-3 {
            return None;
        }
        for row in 0..n {
            if row == pivot {
                continue;
            }
            let share = matrix[row][pivot] / scale;
            for column in pivot..=n {
                matrix[row][column] -= share * matrix[pivot][column];
            }
        }
    }
    Some((0..n).map(|i| matrix[i][n] / matrix[i][i]).collect())
}

/// How many sixths of the year have their share of the values.
fn sixths_covered(points: &[(f64, f64)]) -> usize {
    let mut counts = [0; 6];
    for (day_of_year, _) in points {
        counts[((day_of_year / 61.1) as usize).min(5)] += 1;
    }
    counts.iter().filter(|&&count| count * 20 >= points.len()).count()
}

impl SeasonCurve {
    /// Fits `n_waves` yearly waves through (day of the year, value). Values that cover half the year or more, but not all, get
    /// one wave; less, a level line; fewer than 40 get nothing. Outside the days it was fitted to a curve says nothing.
    pub fn fit(points: &[(f64, f64)], n_waves: usize) -> Option<SeasonCurve> {
        if points.len() < VALUES_MIN {
            return None;
        }
        let (mean_terms, spread_terms) = match sixths_covered(points) {
            6 => (1 + 2 * n_waves, 3),
            3..=5 => (1 + 2 * n_waves.min(1), 1),
            _ => (1, 1),
        };
        let mean = fit(points, mean_terms)?;
        // Twice: values far out are held at four deviations the second time, so that one absurd value cannot hide itself.
        let mut spread = vec![f64::INFINITY];
        for _ in 0..2 {
            let sizes: Vec<(f64, f64)> = points
                .iter()
                .map(|&(day, value)| {
                    let off = (value - value_of(&mean, day)).abs();
                    // 1.2533: a normal's deviation over its mean absolute deviation.
                    (day, 1.2533 * off.min(4.0 * value_of(&spread, day).max(1e-6)))
                })
                .collect();
            spread = fit(&sizes, spread_terms)?;
        }
        Some(SeasonCurve { mean, spread })
    }

    /// The usual value on a day of the year.
    pub fn at(&self, day_of_year: f64) -> f64 {
        value_of(&self.mean, day_of_year)
    }

    /// The usual deviation on a day of the year.
    pub fn spread(&self, day_of_year: f64) -> f64 {
        value_of(&self.spread, day_of_year).max(1e-6)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_made_of_waves_is_found_again() {
        let truth = |day: f64| {
            let angle = std::f64::consts::TAU * day / YEAR_DAYS;
            15.0 - 10.0 * cos(angle) + 2.0 * sin(2.0 * angle)
        };
        let points: Vec<(f64, f64)> = (1..=365)
            .map(|day| (f64::from(day), truth(f64::from(day)) + if day % 2 == 0 { 3.0 } else { -3.0 }))
            .collect();
        let curve = SeasonCurve::fit(&points, 2).expect("a full year");
        for day in [1.0, 90.0, 200.0, 365.0] {
            assert!((curve.at(day) - truth(day)).abs() < 0.1, "{day}: {}", curve.at(day));
            assert!((curve.spread(day) - 3.0 * 1.2533).abs() < 0.1, "{}", curve.spread(day));
        }
    }

    #[test]
    fn part_of_a_year_gets_a_level_line_and_little_gets_nothing() {
        let autumn: Vec<(f64, f64)> = (250..330).map(|day| (f64::from(day), f64::from(day))).collect();
        let curve = SeasonCurve::fit(&autumn, 2).expect("80 values");
        assert!((curve.at(10.0) - curve.at(300.0)).abs() < 1e-9);
        let growing: Vec<(f64, f64)> = (100..330)
            .map(|day| (f64::from(day), -units::cos(f64::from(day) / YEAR_DAYS * std::f64::consts::TAU)))
            .collect();
        let curve = SeasonCurve::fit(&growing, 3).expect("230 values");
        assert!((curve.at(300.0) + units::cos(300.0 / YEAR_DAYS * std::f64::consts::TAU)).abs() < 1e-6);
        assert_eq!(SeasonCurve::fit(&autumn[..39], 2), None);
        assert_eq!(SeasonCurve::fit(&[], 2), None);
    }
}
