//! One sample as a person reads it: the mean with its interval, how unequal the animals are, their sizes and forms, and how many more to weigh.
//!
//! Model     Student's interval of a mean; of bucketfuls the ratio of sums; where weights one by one are wanting, the usual spread of a crop
//! Units     g; shares of the mean
//! Range     one animal and more; an interval from two on
//! Source    textbook sums (`docs/model/stock-estimate.md`); the usual spread is that of `sizes`
//! Left out  what the gear favours: the interval is of animals that this gear takes

use farm::facts::Weighing;
use stock::Mixture;
use sums::t_95;

/// Quantile of the normal used to say how many are needed: the interval holds 95 in 100.
const Z_95: f64 = 1.96;
/// Crowding for the usual spread, animals per hectare: the one at which shares were counted.
const USUAL_CROWDING_PER_HA: f64 = 45_000.0;

/// A sample, told.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleTold {
    /// How many were weighed.
    pub counted: u32,
    /// Their mean weight, g.
    pub mean_g: f64,
    /// Half the width of the interval that holds the mean of such catches 95 times in 100, g; `None` for a single animal.
    pub either_way_g: Option<f64>,
    /// Coefficient of variation of the animals: standard deviation over mean.
    pub spread_fraction: f64,
    /// The spread is the usual one of a crop: these animals were not weighed one by one.
    pub is_usual_spread: bool,
    /// Animals in each size class, lightest first: from and to (g), how many, their share of the weight. Empty unless weighed one by one.
    pub classes: Vec<(f64, f64, usize, f64)>,
    /// Animals by form; `None` unless every animal's form was told.
    pub forms: Option<[u32; 6]>,
}

impl SampleTold {
    /// Animals to be weighed in all, for the mean within a share of itself either way 95 times in 100.
    pub fn needed(&self, within_fraction: f64) -> u32 {
        let root = Z_95 * self.spread_fraction / within_fraction.max(1e-3);
        (root * root).ceil() as u32
    }
}

/// Tells a sample. `mean` is a mean and number that were typed in place of weights; `limits_g` part the size classes. `None` for nothing weighed.
pub fn sample_told(weighing: &Weighing, mean: Option<(f64, u32)>, limits_g: &[f64]) -> Option<SampleTold> {
    let usual = Mixture::new(USUAL_CROWDING_PER_HA, 0.0).sample_error_fraction(1);
    let (mean_g, counted) = match weighing.mean_g() {
        Some(mean_g) => (mean_g, weighing.counted()),
        None => mean.filter(|(_, counted)| *counted > 0)?,
    };
    let own = weighing.sd_g().map(|sd_g| sd_g / mean_g);
    let units = if weighing.buckets.is_empty() { weighing.each_g.len() } else { weighing.buckets.len() };
    let either_way_g = match weighing.error_g() {
        Some(error_g) => Some(t_95(units - 1) * error_g),
        None => (counted > 1).then(|| Z_95 * usual * mean_g / f64::from(counted).sqrt()),
    };
    Some(SampleTold {
        counted,
        mean_g,
        either_way_g,
        spread_fraction: own.unwrap_or(usual),
        is_usual_spread: own.is_none(),
        classes: classes(weighing, limits_g),
        forms: weighing.forms(),
    })
}

fn classes(weighing: &Weighing, limits_g: &[f64]) -> Vec<(f64, f64, usize, f64)> {
    let each: Vec<f64> = weighing.each_g.iter().map(|(_, g)| *g).collect();
    if each.is_empty() || !weighing.buckets.is_empty() {
        return Vec::new();
    }
    let sum: f64 = each.iter().sum();
    let edges: Vec<f64> = [0.0].into_iter().chain(limits_g.iter().copied()).chain([f64::INFINITY]).collect();
    edges
        .windows(2)
        .map(|edge| {
            let within: Vec<f64> = each.iter().copied().filter(|g| (edge[0]..edge[1]).contains(g)).collect();
            (edge[0], edge[1], within.len(), within.iter().sum::<f64>().max(0.0) / sum)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_sample_of_the_trade_comes_out() {
        // 60 animals, mean 34.2 g, standard deviation 11.5 g: coefficient of variation 33.6 %, 2.97 g either way; 174 for 5 %.
        let each_g = (0..60).map(|at| (0, if at % 2 == 0 { 1.0 } else { -1.0 })).collect::<Vec<_>>();
        let sd = (60.0_f64 / 59.0).sqrt();
        let each_g = each_g.into_iter().map(|(list, sign)| (list, 34.2 + sign * 11.5 / sd)).collect();
        let told = sample_told(&Weighing { each_g, buckets: Vec::new() }, None, &[20.0, 40.0]).expect("sixty");
        assert!((told.spread_fraction - 0.336).abs() < 0.001, "{told:?}");
        assert!((told.either_way_g.expect("an interval") - 2.97).abs() < 0.01, "{told:?}");
        assert_eq!(told.needed(0.05), 174);
        assert_eq!(told.classes.iter().map(|class| class.2).collect::<Vec<_>>(), [0, 30, 30]);
        assert!((told.classes.iter().map(|class| class.3).sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_mean_alone_has_the_usual_spread_and_nothing_has_none() {
        let told = sample_told(&Weighing::default(), Some((21.0, 50)), &[]).expect("a mean");
        assert!(told.is_usual_spread && (told.spread_fraction - 0.47).abs() < 0.02, "{told:?}");
        assert!((told.either_way_g.expect("fifty") / 21.0 - 0.130).abs() < 0.005, "{told:?}");
        assert_eq!(sample_told(&Weighing::default(), None, &[]), None);
        let one = sample_told(&Weighing { each_g: vec![(0, 30.0)], buckets: Vec::new() }, None, &[]).expect("one");
        assert_eq!(one.either_way_g, None);
        let buckets = Weighing { each_g: Vec::new(), buckets: vec![(2000.0, 65), (2200.0, 68), (1800.0, 57)] };
        let told = sample_told(&buckets, None, &[20.0]).expect("three bucketfuls");
        assert!(told.classes.is_empty() && told.counted == 190 && told.either_way_g.expect("an interval") > 0.0);
    }
}
