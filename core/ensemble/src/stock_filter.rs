//! What is in a pond, from what was stocked and all that was seen since: a particle filter over one season.
//!
//! A particle is one possible state: how far off the stocking count was, how fast the animals grow and die, the share of orange-claw males, what
//! each gear favours, how many of the dead are seen, how much they eat. Every sight re-weighs the particles by `stock::seen`; where too few
//! carry the weight they are drawn anew and each is moved by steps that leave what is believed as it is (Chopin 2002).
//! What is unknown and unseen keeps its own spread: **weights say nothing of how many have died** (`docs/model/stock-estimate.md`).
//!
//! Nothing is kept between mornings: a late or mended entry stands where it would have stood. Draws hang on seed, pond and particle alone.

mod cloud;
mod one;
#[cfg(test)]
mod tests;

use stock::seen::{CaughtBy, Left};
use stock::{Crop, GROWTH_FACTOR_LN_SD, HAZARD_LN_SD, Hidden, normal_below};

use cloud::Cloud;

/// Particles of one pond.
pub const PARTICLES: usize = 1000;
/// Standard deviation of the logarithm of a stocking count made by weighing a counted part. Our guess, within what such counts are said to miss.
pub const COUNT_LN_SD: f64 = 0.10;

/// What is believed of a pond's animals before anything was seen; logarithms of factors, means and standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StockPriors {
    /// Of the growth factor.
    pub growth_ln: (f64, f64),
    /// Of the hazard factor.
    pub hazard_ln: (f64, f64),
    /// Of what was stocked over what was counted.
    pub count_ln_sd: f64,
}

impl Default for StockPriors {
    fn default() -> StockPriors {
        StockPriors { growth_ln: (0.0, GROWTH_FACTOR_LN_SD), hazard_ln: (0.0, HAZARD_LN_SD), count_ln_sd: COUNT_LN_SD }
    }
}

/// One thing seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// Days since stocking.
    pub day: usize,
    /// What.
    pub what: Seen,
}

/// What was seen of the animals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seen {
    /// Animals were caught and weighed.
    Weighed {
        /// Their mean weight, g.
        mean_weight_g: f64,
        /// Its standard error as a share of it.
        error_ln: f64,
        /// How they were caught.
        by: CaughtBy,
        /// Orange-claw males and all others, where forms were told.
        orange_and_others: Option<(u32, u32)>,
    },
    /// Somebody looked for dead animals and saw so many, or none.
    Dead(f64),
    /// Water ran over the bank or the screens, and animals may have gone with it.
    Overflow,
    /// Feed was given, and somebody looked what was left of it.
    Fed {
        /// Given, kg.
        kg: f64,
        /// What was left.
        left: Left,
    },
}

/// A pond's season as the filter needs it.
#[derive(Debug, Clone, Copy)]
pub struct FilterAsk<'a> {
    /// Seed of all draws.
    pub seed: u64,
    /// The pond's place in the farm.
    pub pond: u32,
    /// Its crop.
    pub crop: &'a Crop,
    /// Power by which density slows growth.
    pub density_power: f64,
    /// What was believed at stocking.
    pub priors: &'a StockPriors,
    /// Warm days before each day since stocking, added up; the last is this morning's.
    pub warm_days: &'a [f64],
    /// What was seen, in order of days.
    pub sights: &'a [Sight],
}

/// A sample beside what was expected of it just before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Days since stocking.
    pub day: usize,
    /// Weighed, g.
    pub seen_g: f64,
    /// Expected of that gear: middle, and the band that holds eight in ten, g.
    pub expected_g: [f64; 3],
}

/// One possible state of a pond this morning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Particle {
    /// Its share of belief; all add up to 1.
    pub belief_fraction: f64,
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// Animals alive, cold apart.
    pub warm_count: f64,
    /// The unknowns that bring this state, in the form in which the season runs on from it.
    pub hidden: Hidden,
}

/// What is believed of a pond this morning.
#[derive(Debug, Clone, PartialEq)]
pub struct StockEstimate {
    /// From the lightest animals to the heaviest.
    pub particles: Vec<Particle>,
    /// Samples beside what was expected.
    pub met: Vec<Expected>,
}

impl StockEstimate {
    /// The value below which a share of belief lies.
    pub fn quantile(&self, share: f64, of: impl Fn(&Particle) -> f64) -> f64 {
        let mut values: Vec<(f64, f64)> = self.particles.iter().map(|one| (of(one), one.belief_fraction)).collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        at_share(&values, share)
    }

    /// The state of a member whose luck in growth is so many deviations from the middle. Ponds of a farm share that luck, as they share water
    /// and feed, so a member that is heavy in one is heavy in the next.
    pub fn of_luck(&self, normal: f64) -> &Particle {
        let (share, mut sum) = (normal_below(normal), 0.0);
        let reached = self.particles.iter().find(|one| {
            sum += one.belief_fraction;
            sum >= share
        });
        reached.unwrap_or(&self.particles[self.particles.len() - 1])
    }
}

/// The value at a share of the weight of sorted (value, weight) pairs.
fn at_share(values: &[(f64, f64)], share: f64) -> f64 {
    let mut sum = 0.0;
    let reached = values.iter().find(|(_, weight)| {
        sum += weight;
        sum >= share
    });
    reached.unwrap_or(&values[values.len() - 1]).0
}

/// What is in the pond this morning.
pub fn estimate_stock(ask: &FilterAsk) -> StockEstimate {
    let mut cloud = Cloud::new(ask);
    let (mut met, mut looked) = (Vec::new(), 0);
    for sight in ask.sights {
        let look = cloud.common().look(sight, looked);
        match sight.what {
            Seen::Weighed { mean_weight_g, error_ln, by, .. } => {
                met.push(cloud.expected(&look, mean_weight_g, error_ln, by));
            }
            Seen::Dead(_) => looked = look.day,
            Seen::Fed { .. } | Seen::Overflow => {}
        }
        cloud.take_in(look);
    }
    StockEstimate { particles: cloud.end(), met }
}
