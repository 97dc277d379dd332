//! The factor of a 95 % interval for few samples.
//!
//! Model     two-sided 97.5 % quantile of Student's t: exact for 1 and 2 degrees of freedom, then the expansion of Hill
//! Units     none
//! Range     1 degree of freedom and more; within 0.001 from 3 on
//! Source    Hill (1970), Algorithm 396, Communications of the ACM 13, 619-620 (from memory), held against printed tables
//! Left out  other levels

use crate::pow;

/// The level: one in twenty outside, on either side together.
const OUTSIDE: f64 = 0.05;

/// Two-sided 95 % factor for so many samples less one.
pub fn t_95(degrees: usize) -> f64 {
    match degrees {
        0 => f64::INFINITY,
        1 => 12.706_204_7,
        2 => (2.0 / (OUTSIDE * (2.0 - OUTSIDE)) - 2.0_f64).sqrt(),
        _ => hill(degrees as f64),
    }
}

fn hill(n: f64) -> f64 {
    let a = 1.0 / (n - 0.5);
    let b = 48.0 / (a * a);
    let mut c = ((20_700.0 * a / b - 98.0) * a - 16.0) * a + 96.36;
    let d = ((94.5 / (b + c) - 3.0) / b + 1.0) * (a * core::f64::consts::FRAC_PI_2).sqrt() * n;
    let mut y = pow(d * OUTSIDE, 2.0 / n);
    if y > 0.05 + a {
        // Normal quantile of the upper 2.5 %.
        let x = -1.959_963_984_540_054;
        y = x * x;
        if n < 5.0 {
            c += 0.3 * (n - 4.5) * (x + 0.6);
        }
        c += (((0.05 * d * x - 5.0) * x - 7.0) * x - 2.0) * x + b;
        y = (((((0.4 * y + 6.3) * y + 36.0) * y + 94.5) / c - y - 3.0) / b + 1.0) * x;
        y = a * y * y;
        y = if y > 0.002 { crate::exp(y) - 1.0 } else { 0.5 * y * y + y };
    } else {
        y = ((1.0 / (((n + 6.0) / (n * y) - 0.089 * d - 0.822) * (n + 2.0) * 3.0) + 0.5 / (n + 4.0)) * y - 1.0)
            * (n + 1.0)
            / (n + 2.0)
            + 1.0 / y;
    }
    (n * y).sqrt()
}

#[cfg(test)]
mod tests {
    use super::t_95;

    /// Printed tables of Student's t (Fisher & Yates; from memory), to their last digit.
    #[test]
    fn printed_values_come_out() {
        for (degrees, printed) in [
            (1, 12.706),
            (2, 4.303),
            (3, 3.182),
            (4, 2.776),
            (5, 2.571),
            (9, 2.262),
            (29, 2.045),
            (59, 2.001),
            (119, 1.980),
        ] {
            assert!((t_95(degrees) - printed).abs() < 1.1e-3, "{degrees}: {} {printed}", t_95(degrees));
        }
    }
}
