//! Means, their errors and quantiles over members, summed in member order.

use crate::decision::Spread;

pub(crate) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

/// Standard error of the mean; zero for one member.
pub(crate) fn standard_error(values: &[f64]) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let (n, centre) = (values.len() as f64, mean(values));
    let square: f64 = values.iter().map(|value| (value - centre) * (value - centre)).sum();
    (square / (n - 1.0) / n).sqrt()
}

/// Quantile by straight lines between order statistics (type 7 of Hyndman & Fan 1996).
pub(crate) fn quantile(values: &[f64], share: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let place = share.clamp(0.0, 1.0) * last as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(last);
    sorted[below] + (place - below as f64) * (sorted[above] - sorted[below])
}

pub(crate) fn spread(values: &[f64]) -> Spread {
    Spread { mean: mean(values), standard_error: standard_error(values), p05: quantile(values, 0.05) }
}

/// Mean and standard error of `a` less `b`, member by member.
pub(crate) fn paired(a: &[f64], b: &[f64]) -> (f64, f64) {
    let differences: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
    (mean(&differences), standard_error(&differences))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paired_difference_is_surer_than_its_parts() {
        let a: Vec<f64> = (0..10).map(|i| f64::from(i * i) + 1.0 + 0.1 * f64::from(i % 2)).collect();
        let b: Vec<f64> = (0..10).map(|i| f64::from(i * i)).collect();
        let (difference, error) = paired(&a, &b);
        assert!((difference - 1.05).abs() < 1e-12);
        assert!(error < 0.02 && standard_error(&a) > 5.0, "{error}");
    }

    #[test]
    fn quantiles_lie_between_neighbours() {
        let values = [3.0, 1.0, 2.0, 5.0, 4.0];
        for (share, expected) in [(0.0, 1.0), (0.05, 1.2), (0.5, 3.0), (1.0, 5.0)] {
            assert!((quantile(&values, share) - expected).abs() < 1e-12, "{share}");
        }
        assert_eq!(quantile(&[], 0.5), 0.0);
    }
}
