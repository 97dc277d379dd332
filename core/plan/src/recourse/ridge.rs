//! Least squares with a leash: slopes are drawn toward a prior, the level is free.
//!
//! Model     ridge regression by normal equations and Cholesky's factor.
//! Units     features scaled to unit spread, so one leash serves all.
//! Range     up to a few dozen features; members may be fewer than features.
//! Source    Hoerl & Kennard (1970), Technometrics 12, 55-67.
//! Left out  choosing the leash by cross-validation: it is set by trial on toys, see docs/model/recourse.md. A positive-part James-Stein factor on the
//!           slopes and a drift term across neighbouring days were tried there and lost.

/// Sums of products gathered over members and neighbouring days; element 0 is the level.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sums {
    /// Number of unknowns, the level included.
    pub p: usize,
    /// Lower triangle by rows.
    pub xx: Vec<f64>,
    pub xy: Vec<f64>,
}

impl Sums {
    /// This day's sums plus `keep` of the neighbouring days'.
    pub fn joined(&self, neighbours: Option<&Sums>, keep: f64) -> Sums {
        let mut joined = self.clone();
        if let Some(other) = neighbours.filter(|other| other.p == self.p) {
            joined.xx.iter_mut().zip(&other.xx).for_each(|(a, b)| *a += keep * b);
            joined.xy.iter_mut().zip(&other.xy).for_each(|(a, b)| *a += keep * b);
        }
        joined
    }

    /// Level and slopes; `leash` is the weight of the prior in members.
    pub fn solve(&self, leash: f64, prior: Option<&[f64]>) -> Vec<f64> {
        let p = self.p;
        let mut l = self.xx.clone();
        let mut b = self.xy.clone();
        let at = |i: usize, j: usize| i * (i + 1) / 2 + j;
        for i in 0..p {
            // A breath on the level keeps the factor safe when there is nothing to fit.
            let weight = if i == 0 { 1e-9 } else { leash };
            l[at(i, i)] += weight;
            if let Some(prior) = prior.filter(|prior| prior.len() == p) {
                b[i] += weight * prior[i];
            }
        }
        for i in 0..p {
            for j in 0..=i {
                let mut sum = l[at(i, j)];
                for k in 0..j {
                    sum -= l[at(i, k)] * l[at(j, k)];
                }
                l[at(i, j)] = if i == j { sum.max(1e-12).sqrt() } else { sum / l[at(j, j)] };
            }
        }
        for i in 0..p {
            let mut sum = b[i];
            for k in 0..i {
                sum -= l[at(i, k)] * b[k];
            }
            b[i] = sum / l[at(i, i)];
        }
        for i in (0..p).rev() {
            let mut sum = b[i];
            for k in i + 1..p {
                sum -= l[at(k, i)] * b[k];
            }
            b[i] = sum / l[at(i, i)];
        }
        b
    }
}

/// Sum of products of two rows over the members whose weight is 1.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    // Four running sums: the order is fixed, so the bits are, and the loop is not one long chain.
    let mut sums = [0.0f64; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a4.zip(b4) {
        for i in 0..4 {
            sums[i] += x[i] * y[i];
        }
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sums_of(rows: &[(&[f64], f64)]) -> Sums {
        let p = rows[0].0.len() + 1;
        let mut sums = Sums { p, xx: vec![0.0; p * (p + 1) / 2], xy: vec![0.0; p] };
        for (x, y) in rows {
            let full: Vec<f64> = std::iter::once(1.0).chain(x.iter().copied()).collect();
            for i in 0..p {
                for j in 0..=i {
                    sums.xx[i * (i + 1) / 2 + j] += full[i] * full[j];
                }
                sums.xy[i] += full[i] * y;
            }
        }
        sums
    }

    #[test]
    fn a_plane_is_found_again() {
        let rows: Vec<(Vec<f64>, f64)> = (0..12)
            .map(|i| (vec![f64::from(i % 4), f64::from(i / 4)], 2.0 + 0.5 * f64::from(i % 4) - 3.0 * f64::from(i / 4)))
            .collect();
        let rows: Vec<(&[f64], f64)> = rows.iter().map(|(x, y)| (x.as_slice(), *y)).collect();
        let found = sums_of(&rows).solve(0.0, None);
        for (got, expected) in found.iter().zip([2.0, 0.5, -3.0]) {
            assert!((got - expected).abs() < 1e-8, "{found:?}");
        }
    }

    #[test]
    fn a_short_leash_holds_the_slopes_at_the_prior_and_leaves_the_level_free() {
        let rows: [(&[f64], f64); 4] = [(&[-1.0], 9.0), (&[1.0], 11.0), (&[-1.0], 9.0), (&[1.0], 11.0)];
        let free = sums_of(&rows).solve(0.0, None);
        let held = sums_of(&rows).solve(1e9, Some(&[0.0, 0.25]));
        assert!((free[1] - 1.0).abs() < 1e-8 && (held[1] - 0.25).abs() < 1e-6, "{free:?} {held:?}");
        assert!((held[0] - 10.0).abs() < 1e-6, "{held:?}");
    }
}
