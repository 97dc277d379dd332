//! What a person sees of the animals before the pond is drained, and how likely each sight is for one possible state of the pond.
//!
//! Model     weights: lognormal about the pond's mean times what the gear favours; forms: a share of orange-claw males, counted as if half as
//!           many had been; dead: gamma-mixed Poisson about the share of the dead that is ever seen; feed: what was eaten to the end, or not
//! Units     weight in g, feed in kg, logarithms of a chance (up to a part that is the same for every state)
//! Range     what a person can see: any number of animals, dead or kilograms
//! Source    `docs/model/stock-estimate.md`: gear from published reports that disagree, all other spreads our guesses, each named there
//! Left out  soft animals and berried females that hide (they are in the gear's spread), deaths nobody looked for, natural food

/// How animals were caught.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CaughtBy {
    /// Not told.
    NotTold,
    /// Dragged net.
    Seine,
    /// Thrown net.
    CastNet,
    /// Baited trap or pot.
    Trap,
    /// By hand or dip net, along the edge.
    Hand,
}

/// Every way of catching, in the order in which what they favour is kept.
pub const GEARS: [CaughtBy; 5] =
    [CaughtBy::NotTold, CaughtBy::Seine, CaughtBy::CastNet, CaughtBy::Trap, CaughtBy::Hand];

impl CaughtBy {
    /// Its place among [`GEARS`].
    pub fn place(self) -> usize {
        self as usize
    }

    /// Standard deviation of the logarithm of what a catch's mean is to the pond's mean: the same all season for one gear.
    ///
    /// Published: cast nets read 18 g where 20 to 21 g were drained (penaeid ponds); seines read high (tilapia); from memory, nets favour
    /// large active prawns. They disagree in sign, so the middle is no bias; 0.10 holds them within one to two deviations.
    pub fn favour_ln_sd(self) -> f64 {
        match self {
            // One that was not told is most likely a net.
            CaughtBy::NotTold | CaughtBy::Seine | CaughtBy::CastNet => 0.10,
            // Our guess: fewer, hungrier or slower animals.
            CaughtBy::Trap | CaughtBy::Hand => 0.14,
        }
    }
}

/// Standard deviation of the log odds by which a gear catches orange-claw males more or less than others. Our guess.
pub const LEAN_SD: f64 = 0.30;
/// Animals of one cast or haul are alike: counts say as much as this share of them would. Design effects of 1.5 to 3 are common practice.
pub const COUNTS_AS: f64 = 0.5;
/// Share of the dead that anybody sees, middle: the rest sink or are eaten. Our guess.
pub const DEAD_SEEN_MIDDLE: f64 = 0.05;
/// Standard deviation of its logarithm. Our guess: a factor of 2.7 either way.
pub const DEAD_SEEN_LN_SD: f64 = 1.0;
/// Days for which a dead animal can still be seen. Our guess.
pub const DEAD_LAST_D: f64 = 3.0;
/// Shape of the spread of a count of dead about what is expected: 1.5 leaves it uncertain by a factor of two. Our guess.
const DEAD_SHAPE: f64 = 1.5;
/// Chance at a look that a die-off beyond the usual deaths lies behind it. Our guess.
pub const DIE_OFF_CHANCE: f64 = 0.01;
/// Least and greatest share of a pond that a die-off takes; any factor between is as likely. Our guess.
pub const DIE_OFF: (f64, f64) = (0.02, 0.9);
/// Standard deviation of the logarithm of what a pond's animals eat, over the table of rations: one for pond and season. Our guess from the
/// spread of published conversions (2 to 3.15).
pub const EATS_LN_SD: f64 = 0.35;
/// The same from day to day: scale of a logistic spread, whose deviation is 0.25. Our guess.
pub const EATS_DAY_LN_SCALE: f64 = 0.138;
/// Chance that a mean weight was misread or mistyped, and the spread of its logarithm then: it is doubted, never dropped.
const MISREAD: (f64, f64) = (0.02, 0.7);

/// Days from stocking to the middle of a season, about which growth may quicken or slow against the model.
pub const TREND_DAYS: f64 = 50.0;
/// Standard deviation of the change of the growth factor's logarithm in that time. Our guess.
pub const TREND_LN_SD: f64 = 0.08;

/// What was left of a feed when somebody looked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Left {
    /// Nothing: they would have eaten at least as much.
    None,
    /// Some: they ate half or more, and not all.
    Some,
    /// Most: they ate less than half.
    Most,
}

/// Logarithm of the chance of a sample's mean weight. `error_ln` is its standard error as a share of it; `favour_ln` what the gear does.
pub fn weight_log_chance(seen_g: f64, error_ln: f64, mean_weight_g: f64, favour_ln: f64) -> f64 {
    let off = units::ln(seen_g / mean_weight_g) - favour_ln;
    let bell = |sd: f64| units::exp(-0.5 * (off / sd) * (off / sd)) / sd;
    let wide = (error_ln * error_ln + MISREAD.1 * MISREAD.1).sqrt();
    units::ln((1.0 - MISREAD.0) * bell(error_ln) + MISREAD.0 * bell(wide) + f64::MIN_POSITIVE)
}

/// Share of orange-claw males in a catch, when the pond holds `share` of them and the gear leans by some log odds.
pub fn orange_in_catch(share: f64, lean: f64) -> f64 {
    let odds = share / (1.0 - share) * units::exp(lean);
    odds / (1.0 + odds)
}

/// Logarithm of the chance of so many orange-claw males and others in a catch, from the logarithms of both shares in it.
pub fn forms_log_chance((orange, others): (u32, u32), in_catch_ln: (f64, f64)) -> f64 {
    COUNTS_AS * (f64::from(orange) * in_catch_ln.0 + f64::from(others) * in_catch_ln.1)
}

/// A pond in which nothing has died yet can still show a stray: logarithm of 0.02, the least that is expected.
const STRAY_LN: f64 = -3.912_023_005_428_146;

/// Logarithm of the chance of so many dead seen, from the logarithm of how many would be expected.
pub fn dead_log_chance(seen: f64, expected_ln: f64) -> f64 {
    let mean_ln = expected_ln.max(STRAY_LN);
    // A gamma-mixed Poisson, without the part that is the same for every mean.
    let whole_ln = units::ln(units::exp(mean_ln) + DEAD_SHAPE);
    seen * (mean_ln - whole_ln) - DEAD_SHAPE * whole_ln
}

/// Feed that a pond's animals would eat in a day in warm water, as a share of their weight: the ration's steps drawn smooth, since animals know
/// no steps. The corners are the middles of the ration's classes (`feed`).
pub fn eats_fraction_per_d(mean_weight_g: f64) -> f64 {
    let corners = [(10.0, 0.07), (20.0, 0.05), (35.0, 0.03)];
    let at = corners.iter().position(|(g, _)| mean_weight_g < *g).unwrap_or(corners.len());
    if at == 0 || at == corners.len() {
        return corners[at.min(corners.len() - 1)].1;
    }
    let (from, to) = (corners[at - 1], corners[at]);
    from.1 + (to.1 - from.1) * (mean_weight_g - from.0) / (to.0 - from.0)
}

/// Share of looks that say nothing: trays are upset, birds eat from them. Our guess.
const UPSET: f64 = 0.02;

/// Mean weight below which what grows in the pond feeds them, g: what is left of a feed then says nothing.
pub const EATS_FROM_G: f64 = 5.0;

/// Logarithm of the chance that a feed was left as it was, from the logarithm of what was given over what would be eaten on a usual day.
pub fn feed_log_chance(given_over_wanted_ln: f64, left: Left) -> f64 {
    let within = |share_ln: f64| 1.0 / (1.0 + units::exp(-(share_ln + given_over_wanted_ln) / EATS_DAY_LN_SCALE));
    let chance = match left {
        Left::None => 1.0 - within(0.0),
        Left::Some => within(0.0) - within(-std::f64::consts::LN_2),
        Left::Most => within(-std::f64::consts::LN_2),
    };
    units::ln(UPSET / 3.0 + (1.0 - UPSET) * chance)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_sight_is_likeliest_where_it_fits() {
        let best = |of: &dyn Fn(f64) -> f64, at: &[f64]| {
            at.iter().copied().max_by(|a, b| of(*a).total_cmp(&of(*b))).expect("some")
        };
        let weights: Vec<f64> = (10..60).map(f64::from).collect();
        assert_eq!(best(&|g| weight_log_chance(30.0, 0.06, g, 0.0), &weights), 30.0);
        assert_eq!(best(&|g| weight_log_chance(33.0, 0.06, g, units::ln(1.1)), &weights), 30.0);
        assert_eq!(best(&|m| dead_log_chance(20.0, units::ln(m)), &weights), 20.0);
        let shares: Vec<f64> = (1..100).map(|percent| f64::from(percent) / 100.0).collect();
        assert_eq!(
            best(&|share| forms_log_chance((36, 64), (units::ln(share), units::ln(1.0 - share))), &shares),
            0.36
        );
        let fed = |left: Left, wanted_kg: f64| feed_log_chance(units::ln(5.0 / wanted_kg), left);
        assert!(fed(Left::None, 8.0) > fed(Left::None, 3.0));
        assert!(fed(Left::Some, 4.0) > fed(Left::Some, 8.0) && fed(Left::Some, 4.0) > fed(Left::Some, 1.0));
        assert!(fed(Left::Most, 4.0) < fed(Left::Some, 4.0));
    }

    #[test]
    fn a_mistyped_weight_is_doubted_and_says_little() {
        let gain =
            |seen_g: f64| weight_log_chance(seen_g, 0.06, 32.0, 0.0) - weight_log_chance(seen_g, 0.06, 28.0, 0.0);
        assert!(gain(32.0) > 1.5, "{}", gain(32.0));
        assert!(gain(320.0).abs() < 1.0, "{}", gain(320.0));
        assert!(weight_log_chance(1e6, 0.01, 30.0, 0.0).is_finite());
    }

    #[test]
    fn appetite_falls_smoothly_with_size() {
        assert_eq!(eats_fraction_per_d(3.0), 0.07);
        assert_eq!(eats_fraction_per_d(60.0), 0.03);
        assert!((eats_fraction_per_d(15.0) - 0.06).abs() < 1e-12);
        assert!((100..500).all(|tenth| {
            let g = f64::from(tenth) / 10.0;
            eats_fraction_per_d(g + 0.1) <= eats_fraction_per_d(g)
                && eats_fraction_per_d(g) - eats_fraction_per_d(g + 0.1) < 0.001
        }));
    }
}
