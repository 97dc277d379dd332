//! Sharing out what is common, so that no coin is lost and none is made.
//!
//! Model     largest remainder: each gets the whole coins of its part; the coins left over go one each to the largest fractions, of
//!           equal ones to the first
//! Units     smallest coins; weights are any numbers of one kind
//! Range     amounts within i64; weights of nothing or less, or not finite, get nothing; when none has any, all get alike
//! Source    the method of largest remainders, as any handbook of apportionment gives it (memory)
//! Left out  fractions of a coin carried to the next amount

use units::Money;

/// Weights are made whole numbers of this many parts of the largest.
const PARTS: f64 = 1_099_511_627_776.0;

/// The parts of an amount, one to each weight; they add up to it. Nothing to share among none.
pub fn share(amount: Money, weights: &[f64]) -> Vec<Money> {
    let most = weights.iter().copied().filter(|weight| weight.is_finite()).fold(0.0, f64::max);
    let whole =
        |weight: &f64| if weight.is_finite() && *weight > 0.0 { (weight / most * PARTS).round() as i128 } else { 0 };
    let mut parts: Vec<i128> = weights.iter().map(whole).collect();
    if parts.iter().all(|part| *part == 0) {
        parts.fill(1);
    }
    let all: i128 = parts.iter().sum();
    // What is owed is shared as what is had, with the sign turned.
    let (sign, coins) = (i128::from(amount.coins.signum()), i128::from(amount.coins).abs());
    let mut shared: Vec<i128> = parts.iter().map(|part| coins * part / all).collect();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by_key(|&at| (std::cmp::Reverse(coins * parts[at] % all), at));
    let left = coins - shared.iter().sum::<i128>();
    for &at in order.iter().take(usize::try_from(left).unwrap_or(0)) {
        shared[at] += 1;
    }
    let money = |part: &i128| Money { coins: i64::try_from(sign * part).expect("no part is larger than the whole") };
    shared.iter().map(money).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn coins(amount: i64, weights: &[f64]) -> Vec<i64> {
        share(Money { coins: amount }, weights).iter().map(|part| part.coins).collect()
    }

    #[test]
    fn coins_left_over_go_to_the_largest_fractions() {
        assert_eq!(coins(100, &[1.0, 1.0, 1.0]), [34, 33, 33]);
        assert_eq!(coins(101, &[1.0, 1.0, 1.0]), [34, 34, 33]);
        assert_eq!(coins(-100, &[1.0, 1.0, 1.0]), [-34, -33, -33]);
        assert_eq!(coins(10, &[0.45, 0.60, 0.85, 1.20]), [1, 2, 3, 4], "of 1.45, 1.94, 2.74 and 3.87");
        assert_eq!(coins(7, &[0.0, f64::NAN, -3.0, 2.0]), [0, 0, 0, 7]);
        assert_eq!(coins(7, &[0.0, 0.0]), [4, 3]);
        assert_eq!(coins(7, &[]), [] as [i64; 0]);
    }

    proptest! {
        /// No coin is lost or made, and nobody is more than a coin from the exact part.
        #[test]
        fn parts_add_up(amount in -1_000_000_000_000_i64..1_000_000_000_000, weights in prop::collection::vec(0.0..1e6_f64, 1..12)) {
            let parts = share(Money { coins: amount }, &weights);
            prop_assert_eq!(parts.iter().map(|part| part.coins).sum::<i64>(), amount);
            let all: f64 = weights.iter().sum();
            if all > 0.0 {
                for (part, weight) in parts.iter().zip(&weights) {
                    let exact = amount as f64 * weight / all;
                    prop_assert!((part.coins as f64 - exact).abs() <= 1.0 + 1e-6 * exact.abs().max(1.0), "{part:?} {exact}");
                }
            }
        }
    }
}
