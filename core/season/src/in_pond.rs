//! What is in a pond this morning: number, weights, sizes and mass, each with its band, from all that was recorded of its animals.

use ensemble::{Expected, FilterAsk, Particle, Seen, Sight, StockEstimate, StockPriors, estimate_stock};
use farm::{Caught, Farm, FeedLeft, PondCard};
use stock::seen::{CaughtBy, Left};
use stock::{Crop, FORMS, Form, GrowthParams, HAZARD_LN_SD, Mixture};
use units::Day;

use crate::answer::Band;
use crate::crops::CropMet;
use crate::hidden::{TOLD_HAZARD_SD_LOG, told_hazard_ln};
use crate::standing::Standing;

/// What is in a pond, as values to be shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct InPond {
    /// Animals alive, cold apart.
    pub number: Band,
    /// Mean weight, g.
    pub mean_weight_g: Band,
    /// Their mass, kg.
    pub mass_kg: Band,
    /// Shares by the weights at which a price changes, lightest first.
    pub sizes: Vec<SizeBand>,
    /// Shares of the animals by sex and form.
    pub forms: Vec<(Form, Band)>,
    /// Growth against the usual, and survival so far, as far as known.
    pub growth_factor: Band,
    /// Share of the stocked that is alive.
    pub alive_fraction: Band,
    /// What was caught of them so far, day and kg: it is off the figures above.
    pub taken: Vec<(Day, f64)>,
    /// Something was recorded of these animals since they were stocked, or the farm has weighed crops: the plan stands on this estimate.
    pub is_seen: bool,
    /// Samples beside what was expected of each just before.
    pub samples: Vec<SampleMet>,
    /// Looks for dead animals: how many, and how many were seen.
    pub looks: (usize, f64),
    /// Feeds of which somebody saw what was left.
    pub feeds: usize,
    /// Weighed crops of the farm that taught growth and survival.
    pub crops_taught: usize,
    /// This pond's weighed crops: what was expected, and what came.
    pub crops: Vec<CropMet>,
}

/// A size class with bands on its shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeBand {
    /// From this weight, g.
    pub from_g: f64,
    /// To this; infinite at the top.
    pub to_g: f64,
    /// Part of the animals.
    pub number_fraction: Band,
    /// Part of the weight.
    pub weight_fraction: Band,
}

/// A sample and what had been expected of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SampleMet {
    /// The day.
    pub on: Day,
    /// Its mean, g.
    pub seen_g: f64,
    /// How many were weighed.
    pub counted: u32,
    /// Expected, g.
    pub expected_g: Band,
}

impl SampleMet {
    /// How far outside the band: 0 within it, 1 when as far beyond its edge as the edge lies from the middle.
    pub fn outside(&self) -> f64 {
        let edge = if self.seen_g > self.expected_g.middle { self.expected_g.high } else { self.expected_g.low };
        let part = units::ln(self.seen_g / self.expected_g.middle) / units::ln(edge / self.expected_g.middle);
        (part - 1.0).max(0.0)
    }
}

/// What was seen of a pond's animals by a morning, in order of days.
pub fn sights(card: &PondCard, on: Day, crop: &Crop) -> Vec<Sight> {
    let day_of = |day: Day| usize::try_from(day.0 - card.stocking.on.0).ok().filter(|_| day <= on);
    let usual = Mixture::new(crop.crowding_per_ha(), 0.0);
    let mut sights = Vec::new();
    for sample in card.samples.iter().filter(|sample| sample.counted > 0 && sample.mean_weight_g > 0.0) {
        let Some(day) = day_of(sample.on) else { continue };
        let error_ln = sample.error_fraction.unwrap_or_else(|| usual.sample_error_fraction(sample.counted)).max(0.01);
        let by = match sample.by {
            Caught::NotTold => CaughtBy::NotTold,
            Caught::Seine => CaughtBy::Seine,
            Caught::CastNet => CaughtBy::CastNet,
            Caught::Trap => CaughtBy::Trap,
            Caught::Hand => CaughtBy::Hand,
        };
        let orange_and_others = sample.orange_and_others;
        let what = Seen::Weighed { mean_weight_g: sample.mean_weight_g, error_ln, by, orange_and_others };
        sights.push(Sight { day, what });
    }
    for dead in &card.dead {
        sights.extend(day_of(dead.on).map(|day| Sight { day, what: Seen::Dead(dead.count) }));
    }
    sights.extend(card.overflowed.iter().filter_map(|&day| day_of(day)).map(|day| Sight { day, what: Seen::Overflow }));
    for fed in &card.fed {
        let left = match fed.left {
            FeedLeft::None => Left::None,
            FeedLeft::Some => Left::Some,
            FeedLeft::Most => Left::Most,
        };
        sights.extend(day_of(fed.on).map(|day| Sight { day, what: Seen::Fed { kg: fed.given_kg, left } }));
    }
    sights.sort_by_key(|sight| sight.day);
    sights
}

/// What a count from samples may be off besides its own spread, standard deviation of the logarithm: clinging water, animals lost between tank
/// and pond (our guess).
const COUNT_BIAS_LN_SD: f64 = 0.07;
/// Either way of 95 times in 100, in standard deviations.
const EITHER_WAY_SD: f64 = 1.96;

/// Doubt of a stocking count, standard deviation of the logarithm: its own where it was counted from samples, else the usual.
fn count_ln_sd(card: &PondCard, usual: f64) -> f64 {
    let own = card.stocking.count_either_way.filter(|_| card.stocking.count > 0.0);
    own.map_or(usual, |either| units::hypot(either / EITHER_WAY_SD / card.stocking.count, COUNT_BIAS_LN_SD).min(0.5))
}

/// Beliefs at stocking with the count's own doubt, and with a survival that the grower told, where no weighed crop says better.
pub fn with_told(priors: &StockPriors, farm: &Farm, card: &PondCard, hazard_per_d: f64, crops: usize) -> StockPriors {
    let priors = &StockPriors { count_ln_sd: count_ln_sd(card, priors.count_ln_sd), ..*priors };
    let season_days = f64::from(farm.season.last_catch.0 - card.stocking.on.0).clamp(1.0, 110.0);
    let Some(alive) = farm.season.survival_told.filter(|_| crops == 0) else { return *priors };
    let told = told_hazard_ln(alive, season_days, hazard_per_d);
    let gain = HAZARD_LN_SD * HAZARD_LN_SD / (HAZARD_LN_SD * HAZARD_LN_SD + TOLD_HAZARD_SD_LOG * TOLD_HAZARD_SD_LOG);
    StockPriors { hazard_ln: (gain * told, HAZARD_LN_SD * (1.0 - gain).sqrt()), ..*priors }
}

/// What is believed of a pond from its sights.
pub fn believed(
    seed: u64,
    pond: usize,
    crop: &Crop,
    priors: &StockPriors,
    warm_days: &[f64],
    sights: &[Sight],
) -> StockEstimate {
    let density_power = GrowthParams::FITTED.density_power;
    estimate_stock(&FilterAsk { seed, pond: pond as u32, crop, density_power, priors, warm_days, sights })
}

/// The band of a value of each particle, which is given by its place too.
fn band(of: &StockEstimate, value: impl Fn(usize, &Particle) -> f64) -> Band {
    let mut values: Vec<(f64, f64)> =
        of.particles.iter().enumerate().map(|(at, one)| (value(at, one), one.belief_fraction)).collect();
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut sum = 0.0;
    let mut at = 0;
    let [low, middle, high] = [0.1, 0.5, 0.9].map(|share| {
        while at + 1 < values.len() && sum + values[at].1 < share {
            sum += values[at].1;
            at += 1;
        }
        values[at].0
    });
    Band { low, middle, high }
}

/// Number, weight and mass of a pond.
pub fn bands(of: &StockEstimate) -> [Band; 3] {
    [
        band(of, |_, one| one.warm_count),
        band(of, |_, one| one.mean_weight_g),
        band(of, |_, one| one.warm_count * one.mean_weight_g / 1000.0),
    ]
}

/// As it is shown. `limits_g` are the size limits between classes.
pub fn in_pond(pond: &Standing, limits_g: &[f64]) -> InPond {
    let (of, card) = (&pond.estimate, &pond.card);
    let [number, mean_weight_g, mass_kg] = bands(of);
    let mixtures: Vec<Mixture> = of
        .particles
        .iter()
        .map(|one| Mixture::new(pond.crop.crowding_per_ha(), one.hidden.orange_claw_extra))
        .collect();
    let share = |form: usize| band(of, |at, _| mixtures[at].classes()[form].number_fraction);
    InPond {
        number,
        mean_weight_g,
        mass_kg,
        sizes: sizes(of, &mixtures, limits_g),
        forms: FORMS.iter().enumerate().map(|(at, form)| (*form, share(at))).collect(),
        growth_factor: band(of, |_, one| one.hidden.growth_factor),
        // What was caught has not died.
        alive_fraction: band(of, |at, one| one.warm_count / pond.left[at].max(1e-9) / card.stocking.count.max(1.0)),
        taken: pond.caught.told(),
        is_seen: pond.is_seen,
        samples: pond.estimate.met.iter().map(|met| sample_met(card, met)).collect(),
        looks: (card.dead.len(), card.dead.iter().map(|dead| dead.count).sum()),
        feeds: card.fed.len(),
        crops_taught: pond.crops_taught,
        crops: pond.crops.iter().filter(|crop| crop.pond == card.id).cloned().collect(),
    }
}

fn sizes(of: &StockEstimate, mixtures: &[Mixture], limits_g: &[f64]) -> Vec<SizeBand> {
    // Shares above each limit, by limit and particle: number, weight.
    let above = |limit_g: f64| -> Vec<(f64, f64)> {
        let shares = |(one, mixture): (&Particle, &Mixture)| {
            let mean_g = one.mean_weight_g;
            (mixture.number_above(mean_g, limit_g), mixture.weight_above(mean_g, limit_g))
        };
        of.particles.iter().zip(mixtures).map(shares).collect()
    };
    let mut classes = Vec::new();
    let (mut from_g, mut from) = (0.0, vec![(1.0, 1.0); of.particles.len()]);
    for &to_g in limits_g.iter().chain([&f64::INFINITY]) {
        let to = if to_g.is_finite() { above(to_g) } else { vec![(0.0, 0.0); of.particles.len()] };
        classes.push(SizeBand {
            from_g,
            to_g,
            number_fraction: band(of, |at, _| from[at].0 - to[at].0),
            weight_fraction: band(of, |at, _| from[at].1 - to[at].1),
        });
        (from_g, from) = (to_g, to);
    }
    classes
}

fn sample_met(card: &PondCard, met: &Expected) -> SampleMet {
    let on = card.stocking.on.plus(met.day as i32);
    let same = card.samples.iter().find(|sample| sample.on == on && sample.mean_weight_g == met.seen_g);
    let [middle, low, high] = met.expected_g;
    let counted = same.map_or(0, |sample| sample.counted);
    SampleMet { on, seen_g: met.seen_g, counted, expected_g: Band { low, middle, high } }
}

#[cfg(test)]
mod tests;
