//! Small matrices: two by two, and a symmetric system of a few unknowns.

use crate::climate::LowHigh;

pub(crate) type Matrix2 = [[f64; 2]; 2];

pub(crate) fn times(a: Matrix2, b: Matrix2) -> Matrix2 {
    std::array::from_fn(|r| std::array::from_fn(|c| a[r][0] * b[0][c] + a[r][1] * b[1][c]))
}

pub(crate) fn transpose(a: Matrix2) -> Matrix2 {
    [[a[0][0], a[1][0]], [a[0][1], a[1][1]]]
}

pub(crate) fn inverse(a: Matrix2) -> Matrix2 {
    let det = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    let d = 1.0 / if det.abs() < 1e-9 { 1e-9 } else { det };
    [[a[1][1] * d, -a[0][1] * d], [-a[1][0] * d, a[0][0] * d]]
}

/// Lower triangle whose square is `a`; a variance that rounding made negative counts as none.
pub(crate) fn root(a: Matrix2) -> Matrix2 {
    let l00 = a[0][0].max(0.0).sqrt();
    let l10 = if l00 > 0.0 { a[1][0] / l00 } else { 0.0 };
    [[l00, 0.0], [l10, (a[1][1] - l10 * l10).max(0.0).sqrt()]]
}

pub(crate) fn add_outer(sum: &mut Matrix2, a: LowHigh, b: LowHigh) {
    sum[0][0] += a.low * b.low;
    sum[0][1] += a.low * b.high;
    sum[1][0] += a.high * b.low;
    sum[1][1] += a.high * b.high;
}

/// Solves a symmetric positive definite system by elimination without pivoting.
pub(crate) fn solve(matrix: &[Vec<f64>], mut right: Vec<f64>) -> Vec<f64> {
    let mut a = matrix.to_vec();
    let n = right.len();
    for p in 0..n {
        for r in p + 1..n {
            let factor = a[r][p] / a[p][p];
            for c in p..n {
                a[r][c] -= factor * a[p][c];
            }
            right[r] -= factor * right[p];
        }
    }
    for p in (0..n).rev() {
        let tail = (p + 1..n).fold(0.0, |sum, c| sum + a[p][c] * right[c]);
        right[p] = (right[p] - tail) / a[p][p];
    }
    right
}
