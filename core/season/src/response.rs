//! What a forecaster of the air lets one foresee of the water: tomorrow's dawn from today's and the air between.
//!
//! Model     one linear step a day, fitted to the kernel's own water under past years
//! Units     °C
//! Range     the season it was fitted to
//! Source    its form is that of published pond regressions on air extremes (Wax and others 1987); coefficients are fitted anew
//!           for each pond, so that nothing is carried over from another place
//! Left out  wind, cloud and humidity, which a forecast of lows and highs does not give; they are in the error
//!
//! It serves only as a signal: what a grower could foresee on a later morning of a member's season. The members' own water
//! comes from the kernel.

use units::Day;

const TERMS: usize = 6;

/// One step of a pond's dawn water.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    coefficients: [f64; TERMS],
    /// Root mean square miss of one step, K.
    pub miss_c: f64,
}

/// What one step hangs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepInputs {
    /// Where in the year the foreseen dawn lies: see [`of_year`].
    pub of_year: [f64; 2],
    /// Dawn water the day before, °C.
    pub dawn_before_c: f64,
    /// Highest air of the day before, °C.
    pub high_before_c: f64,
    /// Lowest air of the day, °C.
    pub low_c: f64,
}

/// Sine and cosine of a day's place in the year.
pub fn of_year(day: Day) -> [f64; 2] {
    let angle = 2.0 * std::f64::consts::PI * f64::from(day.day_of_year()) / 365.25;
    [units::sin(angle), units::cos(angle)]
}

impl StepInputs {
    fn terms(&self) -> [f64; TERMS] {
        // Differences keep the sums well conditioned.
        [1.0, self.dawn_before_c - 20.0, self.high_before_c - 20.0, self.low_c - 15.0, self.of_year[0], self.of_year[1]]
    }
}

impl Response {
    /// From steps and the dawns that followed; `None` with fewer than sixty.
    pub fn fit(steps: &[(StepInputs, f64)]) -> Option<Response> {
        if steps.len() < 60 {
            return None;
        }
        let mut square = [[0.0; TERMS]; TERMS];
        let mut right = [0.0; TERMS];
        for (step, dawn_c) in steps {
            let terms = step.terms();
            for i in 0..TERMS {
                right[i] += terms[i] * dawn_c;
                for j in 0..TERMS {
                    square[i][j] += terms[i] * terms[j];
                }
            }
        }
        for (i, row) in square.iter_mut().enumerate() {
            row[i] += 1e-6 * steps.len() as f64;
        }
        let coefficients = solve(square, right)?;
        let mut response = Response { coefficients, miss_c: 0.0 };
        let sum: f64 =
            steps.iter().map(|(step, dawn_c)| (response.next(step) - dawn_c) * (response.next(step) - dawn_c)).sum();
        response.miss_c = (sum / (steps.len() - TERMS) as f64).sqrt();
        Some(response)
    }

    /// With too few steps to learn from: tomorrow as today, four degrees either way.
    pub fn nothing_known() -> Response {
        Response { coefficients: [20.0, 1.0, 0.0, 0.0, 0.0, 0.0], miss_c: 4.0 }
    }

    /// The dawn foreseen, °C.
    pub fn next(&self, step: &StepInputs) -> f64 {
        self.coefficients.iter().zip(step.terms()).map(|(coefficient, term)| coefficient * term).sum()
    }

    /// How far one step is off, K, when the air is forecast with these errors and yesterday's foresight was off by `before_c`.
    pub fn error_c(&self, before_c: f64, air_error_c: f64) -> f64 {
        let part = |coefficient: f64, error: f64| (coefficient * error) * (coefficient * error);
        // Low and high of one day are wrong together.
        let air = (self.coefficients[2].abs() + self.coefficients[3].abs()) * air_error_c;
        (part(self.coefficients[1], before_c) + air * air + self.miss_c * self.miss_c).sqrt()
    }
}

/// Solves a small symmetric system by elimination with pivoting; `None` when it has no single solution.
fn solve(mut a: [[f64; TERMS]; TERMS], mut b: [f64; TERMS]) -> Option<[f64; TERMS]> {
    for column in 0..TERMS {
        let pivot = (column..TERMS).max_by(|&i, &j| a[i][column].abs().total_cmp(&a[j][column].abs()))?;
        if a[pivot][column].abs() < 1e-12 {
            return None;
        }
        a.swap(column, pivot);
        b.swap(column, pivot);
        for row in column + 1..TERMS {
            let factor = a[row][column] / a[column][column];
            for k in column..TERMS {
                a[row][k] -= factor * a[column][k];
            }
            b[row] -= factor * b[column];
        }
    }
    for column in (0..TERMS).rev() {
        let rest: f64 = (column + 1..TERMS).map(|k| a[column][k] * b[k]).sum();
        b[column] = (b[column] - rest) / a[column][column];
    }
    Some(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_known_law_is_found_again() {
        let first = Day::parse("2019-08-01").expect("a date");
        let mut dawn_c = 25.0;
        let steps: Vec<(StepInputs, f64)> = (0..200)
            .map(|n| {
                let x = f64::from(n);
                let step = StepInputs {
                    of_year: of_year(first.plus(n)),
                    dawn_before_c: dawn_c,
                    high_before_c: 28.0 + 5.0 * units::sin(x * 1.7),
                    low_c: 16.0 + 4.0 * units::sin(x * 0.9),
                };
                dawn_c = 2.0 + 0.7 * dawn_c + 0.12 * step.high_before_c + 0.1 * step.low_c + 0.5 * step.of_year[1];
                (step, dawn_c)
            })
            .collect();
        let response = Response::fit(&steps).expect("enough steps");
        assert!(response.miss_c < 1e-3, "{response:?}");
        assert!((response.error_c(1.0, 0.0) - 0.7).abs() < 1e-2);
        assert!(Response::fit(&steps[..20]).is_none());
    }
}
