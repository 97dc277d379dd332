//! Sizes within a crop: sexes and forms, and the shares of animals and of weight between any two limits.
//!
//! Model     a mixture of five classes, each lognormal about a fixed ratio to the pond's mean weight
//! Units     weight in g (live, whole, wet); shares of number and of weight, 0 to 1; counts per pound
//! Range     mixed-sex crops of 90 to 130 days; longer crops hold more blue-claw males and berried females than this says
//! Source    shares: a Kentucky pond trial; the move with density: sign published, size our guess; ratios and spreads
//!           chosen to meet published size effects (`docs/model/sizes.md`). Shares may be out by 10 points
//! Left out  strain, season length, the catch favouring large animals, culling

use crate::normal::normal_below;

/// Grams in a pound.
pub const G_PER_LB: f64 = 453.592_37;

/// Sex and form of an animal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// Female that has not spawned.
    VirginFemale,
    /// Female with eggs under the tail, or just spent.
    ReproductiveFemale,
    /// Fast-growing male with orange claws.
    OrangeClaw,
    /// Small, subdued male.
    SmallMale,
    /// Large, dominant male that has stopped growing.
    BlueClaw,
}

/// The five forms, in the order their classes are kept.
pub const FORMS: [Form; 5] =
    [Form::VirginFemale, Form::ReproductiveFemale, Form::OrangeClaw, Form::SmallMale, Form::BlueClaw];

/// Animals of one form within a crop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeClass {
    /// Which form.
    pub form: Form,
    /// Share of the animals.
    pub number_fraction: f64,
    /// Mean weight as a multiple of the pond's mean.
    pub weight_ratio: f64,
    /// Standard deviation of weight as a share of the class's mean.
    pub spread_fraction: f64,
}

/// Crowding at which the shares below were counted, animals per hectare without substrate.
const CROWDING_COUNTED_PER_HA: f64 = 45_000.0;
/// Power by which crowding turns males small. The sign is published, the size our guess.
const SMALL_MALE_POWER: f64 = 0.8;
/// Standard deviation of the share of orange-claw males: 10 points taken as the half-width of a 90 % band.
pub const SHARE_SD: f64 = 0.06;

/// (number share, weight ratio, spread) by form, at 45,000 per hectare.
const COUNTED: [(f64, f64, f64); 5] =
    [(0.421, 0.95, 0.24), (0.036, 1.15, 0.20), (0.358, 1.32, 0.33), (0.171, 0.36, 0.40), (0.014, 1.90, 0.22)];

/// Tail as a share of whole weight, by form. Virgin females, small and blue-claw males: published; the others from memory.
const TAIL_FRACTION: [f64; 5] = [0.50, 0.46, 0.42, 0.485, 0.305];

/// The make-up of one crop.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    classes: [SizeClass; 5],
}

impl Mixture {
    /// From the crowding (animals per hectare as if without substrate) and how far the share of orange-claw males lies from
    /// its usual value (0.1 is ten points more; the rest give way in proportion). The extra is held to what the shares allow.
    pub fn new(crowding_per_ha: f64, orange_claw_extra: f64) -> Mixture {
        let mut share = COUNTED.map(|class| class.0);
        let (females, males) = (share[0] + share[1], share[2] + share[3] + share[4]);
        let odds =
            share[3] / (share[2] + share[4]) * units::pow(crowding_per_ha / CROWDING_COUNTED_PER_HA, SMALL_MALE_POWER);
        let large = males / (1.0 + odds);
        let orange_of_large = share[2] / (share[2] + share[4]);
        share[3] = males - large;
        share[2] = large * orange_of_large;
        share[4] = large - share[2];
        let others = females + males - share[2];
        let orange = (share[2] + orange_claw_extra).clamp(0.05 * share[2], share[2] + 0.7 * others);
        let squeeze = (females + males - orange) / others;
        for (place, value) in share.iter_mut().enumerate() {
            *value = if place == 2 { orange } else { *value * squeeze };
        }
        let total: f64 = share.iter().sum();
        let ratio_mean: f64 = share.iter().zip(COUNTED).map(|(share, class)| share * class.1).sum::<f64>() / total;
        let classes = std::array::from_fn(|place| SizeClass {
            form: FORMS[place],
            number_fraction: share[place] / total,
            weight_ratio: COUNTED[place].1 / ratio_mean,
            spread_fraction: COUNTED[place].2,
        });
        Mixture { classes }
    }

    /// The five classes, in the order of [`FORMS`].
    pub fn classes(&self) -> &[SizeClass; 5] {
        &self.classes
    }

    /// Share of the animals heavier than a limit, when the pond's mean is as given.
    pub fn number_above(&self, mean_weight_g: f64, limit_g: f64) -> f64 {
        self.sum_above(limit_g / mean_weight_g, |_| 0.0, |class| class.number_fraction)
    }

    /// Share of the weight in animals heavier than a limit.
    pub fn weight_above(&self, mean_weight_g: f64, limit_g: f64) -> f64 {
        // Weighting a lognormal by its own value moves its logarithm up by the variance.
        self.sum_above(
            limit_g / mean_weight_g,
            |class| log_variance(class.spread_fraction),
            |class| class.number_fraction * class.weight_ratio,
        )
    }

    fn sum_above(
        &self,
        limit_ratio: f64,
        moved: impl Fn(&SizeClass) -> f64,
        weight: impl Fn(&SizeClass) -> f64,
    ) -> f64 {
        if limit_ratio <= 0.0 {
            return 1.0;
        }
        let log_limit = units::ln(limit_ratio);
        let above = |class: &SizeClass| {
            let variance = log_variance(class.spread_fraction);
            let centre = units::ln(class.weight_ratio) - 0.5 * variance + moved(class);
            weight(class) * normal_below((centre - log_limit) / variance.sqrt())
        };
        self.classes.iter().map(above).sum()
    }

    /// Weight that a share of the animals lies below, g; for the range shown to a person. `fraction` strictly within 0 and 1.
    pub fn weight_at_fraction(&self, mean_weight_g: f64, fraction: f64) -> f64 {
        let (mut low, mut high) = (0.001, 20.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if 1.0 - self.number_above(1.0, middle) < fraction {
                low = middle;
            } else {
                high = middle;
            }
        }
        mean_weight_g * 0.5 * (low + high)
    }

    /// Tail weight as a share of the crop's whole weight.
    pub fn tail_fraction(&self) -> f64 {
        self.classes
            .iter()
            .zip(TAIL_FRACTION)
            .map(|(class, tail)| class.number_fraction * class.weight_ratio * tail)
            .sum()
    }

    /// Standard error of the mean of a sample of `n` animals, as a share of the mean.
    pub fn sample_error_fraction(&self, n: u32) -> f64 {
        let square: f64 = self
            .classes
            .iter()
            .map(|class| {
                let spread = 1.0 + class.spread_fraction * class.spread_fraction;
                class.number_fraction * class.weight_ratio * class.weight_ratio * spread
            })
            .sum();
        ((square - 1.0) / f64::from(n)).sqrt()
    }
}

/// Tail as a share of whole weight for one form.
pub fn tail_fraction(form: Form) -> f64 {
    TAIL_FRACTION[FORMS.iter().position(|other| *other == form).expect("every form is in the list")]
}

/// Whole animals in a pound at a mean weight.
pub fn count_per_lb(weight_g: f64) -> f64 {
    G_PER_LB / weight_g
}

/// Whole weight from the width of the body behind the head, either sex. Wang 1985 (Aquacultural Engineering 4, 21-32).
pub fn weight_from_width_g(width_mm: f64) -> f64 {
    0.01278 * units::pow(width_mm, 2.5189)
}

/// A usual grade by count of whole animals per pound; the names and limits are the grower's to change (from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// Key of the grade's name.
    pub key: &'static str,
    /// Lightest animal of the grade, g.
    pub weight_min_g: f64,
}

/// Usual grades, heaviest first: under 8, 8 to 10, 10 to 15, 15 to 20, 20 to 30 and over 30 to the pound.
pub const USUAL_GRADES: [Grade; 6] = [
    Grade { key: "jumbo", weight_min_g: G_PER_LB / 8.0 },
    Grade { key: "extra-large", weight_min_g: G_PER_LB / 10.0 },
    Grade { key: "large", weight_min_g: G_PER_LB / 15.0 },
    Grade { key: "medium", weight_min_g: G_PER_LB / 20.0 },
    Grade { key: "small", weight_min_g: G_PER_LB / 30.0 },
    Grade { key: "salad", weight_min_g: 0.0 },
];

fn log_variance(spread_fraction: f64) -> f64 {
    units::ln(1.0 + spread_fraction * spread_fraction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_add_up_at_any_crowding() {
        for crowding in [15_000.0, 45_000.0, 120_000.0] {
            for extra in [-0.9, -0.1, 0.0, 0.1, 0.9] {
                let mixture = Mixture::new(crowding, extra);
                let classes = mixture.classes();
                let numbers: f64 = classes.iter().map(|class| class.number_fraction).sum();
                let mass: f64 = classes.iter().map(|class| class.number_fraction * class.weight_ratio).sum();
                assert!((numbers - 1.0).abs() < 1e-12 && (mass - 1.0).abs() < 1e-12, "{crowding} {extra}");
                assert!(classes.iter().all(|class| class.number_fraction > 0.0), "{mixture:?}");
                assert!((mixture.weight_above(30.0, 0.0) - 1.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn crowding_makes_males_small_and_leaves_females() {
        let (thin, thick) = (Mixture::new(30_000.0, 0.0), Mixture::new(90_000.0, 0.0));
        let share = |mixture: &Mixture, form: usize| mixture.classes()[form].number_fraction;
        assert!(share(&thick, 3) > share(&thin, 3) && share(&thick, 2) < share(&thin, 2));
        assert!((share(&thick, 0) - share(&thin, 0)).abs() < 1e-12);
    }

    #[test]
    fn shares_by_number_and_weight_agree_with_sums_over_many_animals() {
        let mixture = Mixture::new(45_000.0, 0.0);
        let (mut number, mut weight) = (0.0, 0.0);
        for class in mixture.classes() {
            let spread = log_variance(class.spread_fraction).sqrt();
            let n = 4000;
            for step in 0..n {
                // Midpoints of 8 standard deviations, weighted by the density.
                let z = -8.0 + 16.0 * (f64::from(step) + 0.5) / f64::from(n);
                let share =
                    class.number_fraction * units::exp(-0.5 * z * z) * 0.398_942_280_401_432_7 * 16.0 / f64::from(n);
                let grams = 33.0 * class.weight_ratio * units::exp(spread * z - 0.5 * spread * spread);
                if grams > 28.0 {
                    number += share;
                    weight += share * grams / 33.0;
                }
            }
        }
        assert!((mixture.number_above(33.0, 28.0) - number).abs() < 1e-3);
        assert!((mixture.weight_above(33.0, 28.0) - weight).abs() < 1e-3);
    }

    #[test]
    fn a_quantile_is_where_the_share_lies() {
        let mixture = Mixture::new(52_000.0, 0.04);
        for fraction in [0.05, 0.5, 0.9] {
            let grams = mixture.weight_at_fraction(31.0, fraction);
            assert!((1.0 - mixture.number_above(31.0, grams) - fraction).abs() < 1e-9);
        }
    }

    #[test]
    fn grades_are_heaviest_first() {
        assert!(USUAL_GRADES.windows(2).all(|pair| pair[0].weight_min_g > pair[1].weight_min_g));
        assert!((count_per_lb(USUAL_GRADES[2].weight_min_g) - 15.0).abs() < 1e-12);
    }
}
