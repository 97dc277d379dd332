//! What nobody knows of a farm's animals and water, drawn for each member and drawn in by the samples there are.
//!
//! Model     the priors of `stock`; each sample moves a member's growth factor as a perturbed-observation ensemble update of its
//!           logarithm does, and a told survival moves the death rate likewise
//! Units     factors without unit, K
//! Range     samples of ten animals or more
//! Source    Burgers, van Leeuwen & Evensen 1998, Mon. Weather Rev. 126, 1719-1724 (perturbed observations), from memory
//! Left out  the gear's bias towards large animals; a sample of weights says nothing of numbers and is not made to

use chance::{Purpose, Stream};
use stock::{Crop, HIDDEN_DRAWS, Hidden};

/// Draws of the farm's animals; the pond's own draws follow at `HAZARD` + pond.
const ANIMALS: Purpose = Purpose(0x5EA5_0001);
const HAZARD: Purpose = Purpose(0x5EA5_0100);
const WIND: Purpose = Purpose(0x5EA5_0200);
const SAMPLES: Purpose = Purpose(0x5EA5_0300);
const TOLD: Purpose = Purpose(0x5EA5_0400);

/// Spread of the logarithm of a told survival's death rate: people remember round figures (our guess).
const TOLD_HAZARD_SD_LOG: f64 = 0.35;

/// A sample as the update needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeighedSample {
    /// Warm days the crop had had by then.
    pub warm_days: f64,
    /// Mean weight found, g.
    pub mean_weight_g: f64,
    /// How many were weighed.
    pub counted: u32,
}

/// What is known of one pond beyond the priors.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Samples in order of time.
    pub samples: Vec<WeighedSample>,
    /// Survival the grower expects, with the days it stands for.
    pub survival_told: Option<(f64, f64)>,
}

/// One member's unknowns of the animals of a pond. Farm-wide values are the same in every pond; the death rate is the pond's own.
pub fn animals(seed: u64, member: u32, pond: usize, crop: &Crop, hazard_per_d: f64, known: &Known) -> Hidden {
    let mut farm = Stream::new(seed, member, ANIMALS);
    let mut own = Stream::new(seed, member, Purpose(HAZARD.0 + pond as u32));
    let mut normals: [f64; HIDDEN_DRAWS] = std::array::from_fn(|_| farm.normal());
    normals[1] = own.normal();
    let mut hidden = Hidden::from_normals(normals);
    let mut luck = Stream::new(seed, member, Purpose(SAMPLES.0 + pond as u32));
    let mut log_spread = stock::GROWTH_FACTOR_LN_SD;
    let mut log_factor = units::ln(hidden.growth_factor);
    for sample in &known.samples {
        let noise = luck.normal();
        if let Some((seen, error)) = growth_seen(crop, sample, &hidden) {
            let gain = log_spread * log_spread / (log_spread * log_spread + error * error);
            log_factor += gain * (seen + error * noise - log_factor);
            log_spread *= (1.0 - gain).sqrt();
        }
    }
    hidden.growth_factor = units::exp(log_factor);
    if let Some((alive, days)) = known.survival_told {
        let mut luck = Stream::new(seed, member, Purpose(TOLD.0 + pond as u32));
        let prior = units::ln(hidden.hazard_factor);
        let told = units::ln((-units::ln(alive.clamp(0.01, 0.99)) / (hazard_per_d * days)).max(1e-3));
        let (p, t) = (stock::HAZARD_LN_SD, TOLD_HAZARD_SD_LOG);
        let gain = p * p / (p * p + t * t);
        hidden.hazard_factor = units::exp(prior + gain * (told + t * luck.normal() - prior));
    }
    hidden
}

/// Logarithm of the growth factor a sample speaks for, and its error; `None` for a weight out of the model's reach.
fn growth_seen(crop: &Crop, sample: &WeighedSample, hidden: &Hidden) -> Option<(f64, f64)> {
    let needed = crop.growth().warm_days_to(sample.mean_weight_g, 1.0)?;
    if sample.warm_days <= 1.0 || needed <= 0.0 || sample.counted == 0 {
        return None;
    }
    let seen = units::ln(needed / sample.warm_days);
    // The sample's own error, turned into one of the factor by the slope of weight against it.
    let factor = needed / sample.warm_days;
    let weight = |factor: f64| crop.growth().mean_weight_g(sample.warm_days, factor);
    let slope = units::ln(weight(factor * 1.01) / weight(factor * 0.99)) / units::ln(1.01 / 0.99);
    let mixture = stock::Mixture::new(45_000.0, hidden.orange_claw_extra);
    Some((seen, mixture.sample_error_fraction(sample.counted) / slope.max(0.05)))
}

/// One member's wind factor over a pond.
pub fn wind_factor(seed: u64, member: u32, pond: usize, belief: &farm::Belief) -> f64 {
    let mut stream = Stream::new(seed, member, Purpose(WIND.0 + pond as u32));
    belief.median * units::exp(belief.sd_log * stream.normal())
}

#[cfg(test)]
mod tests {
    use super::*;
    use stock::{StockParams, Stocking};

    fn crop() -> Crop {
        let stocking = Stocking { count: 11_000.0, weight_g: 0.4, per_ha: 60_000.0, substrate_fraction: 0.5 };
        Crop::new(&stocking, &StockParams::default())
    }

    fn factors(known: &Known) -> (f64, f64) {
        let logs: Vec<f64> =
            (0..2000).map(|member| units::ln(animals(1, member, 0, &crop(), 0.0026, known).growth_factor)).collect();
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        let square = logs.iter().map(|log| (log - mean) * (log - mean)).sum::<f64>() / logs.len() as f64;
        (mean, square.sqrt())
    }

    #[test]
    fn a_sample_draws_growth_in_to_what_it_shows() {
        let (mean, spread) = factors(&Known::default());
        assert!(mean.abs() < 0.02 && (spread - 0.2).abs() < 0.02, "{mean} {spread}");
        let slow = crop().growth().mean_weight_g(80.0, 0.75);
        let sample = WeighedSample { warm_days: 80.0, mean_weight_g: slow, counted: 120 };
        let (mean, spread) = factors(&Known { samples: vec![sample], survival_told: None });
        assert!((units::exp(mean) - 0.75).abs() < 0.03, "{mean}");
        assert!(spread < 0.1, "{spread}");
    }

    #[test]
    fn a_told_survival_moves_the_death_rate_but_not_all_the_way() {
        let alive = |known: &Known| {
            let sum: f64 = (0..2000).map(|member| animals(1, member, 0, &crop(), 0.0026, known).hazard_factor).sum();
            sum / 2000.0
        };
        let usual = alive(&Known::default());
        let told = alive(&Known { samples: Vec::new(), survival_told: Some((0.5, 110.0)) });
        assert!(told > 1.3 * usual && told < 3.0 * usual, "{usual} {told}");
    }

    #[test]
    fn what_is_the_farms_is_the_same_in_every_pond() {
        let at = |pond| animals(7, 3, pond, &crop(), 0.0026, &Known::default());
        assert_eq!(at(0).cold_shift_k, at(1).cold_shift_k);
        assert_eq!(at(0).growth_factor, at(1).growth_factor);
        assert_ne!(at(0).hazard_factor, at(1).hazard_factor);
    }
}
