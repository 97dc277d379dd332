//! What nobody knows of a farm's animals and water, drawn for each member.
//!
//! Model     the priors of `stock`, with a told survival drawn in as a perturbed-observation ensemble update does; where anything was seen of
//!           the animals, a particle of the pond's estimate (`in_pond`) in their place, by the member's own luck in growth
//! Units     factors without unit, K
//! Range     any member
//! Source    Burgers, van Leeuwen & Evensen 1998, Mon. Weather Rev. 126, 1719-1724 (perturbed observations), from memory
//! Left out  one pond's samples say nothing of another pond's growth

use chance::{Purpose, Stream};
use ensemble::StockEstimate;
use stock::{HIDDEN_DRAWS, Hidden};

/// Draws of the farm's animals; the pond's own draws follow at `HAZARD` + pond.
const ANIMALS: Purpose = Purpose(0x5EA5_0001);
const HAZARD: Purpose = Purpose(0x5EA5_0100);
const WIND: Purpose = Purpose(0x5EA5_0200);
const TOLD: Purpose = Purpose(0x5EA5_0400);

/// Spread of the logarithm of a told survival's death rate: people remember round figures (our guess).
pub const TOLD_HAZARD_SD_LOG: f64 = 0.35;

/// What is known of one pond beyond the priors.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Survival the grower expects, with the days it stands for.
    pub survival_told: Option<(f64, f64)>,
}

/// The draws that belong to the farm: the same in every pond.
fn of_farm(seed: u64, member: u32) -> [f64; HIDDEN_DRAWS] {
    let mut farm = Stream::new(seed, member, ANIMALS);
    std::array::from_fn(|_| farm.normal())
}

/// One member's unknowns of the animals of a pond of which nothing was seen. Farm-wide values are the same in every pond; the death rate is
/// the pond's own.
pub fn animals(seed: u64, member: u32, pond: usize, hazard_per_d: f64, known: &Known) -> Hidden {
    let mut own = Stream::new(seed, member, Purpose(HAZARD.0 + pond as u32));
    let mut normals = of_farm(seed, member);
    normals[1] = own.normal();
    let mut hidden = Hidden::from_normals(normals);
    if let Some((alive, days)) = known.survival_told {
        let mut luck = Stream::new(seed, member, Purpose(TOLD.0 + pond as u32));
        let prior = units::ln(hidden.hazard_factor);
        let told = told_hazard_ln(alive, days, hazard_per_d);
        let (p, t) = (stock::HAZARD_LN_SD, TOLD_HAZARD_SD_LOG);
        let gain = p * p / (p * p + t * t);
        hidden.hazard_factor = units::exp(prior + gain * (told + t * luck.normal() - prior));
    }
    hidden
}

/// Logarithm of the hazard factor that a told survival speaks for.
pub fn told_hazard_ln(alive: f64, days: f64, hazard_per_d: f64) -> f64 {
    units::ln((-units::ln(alive.clamp(0.01, 0.99)) / (hazard_per_d * days)).max(1e-3))
}

/// One member's unknowns of a pond of which something was seen: growth, death rate, number and sizes from the estimate, at the member's own
/// luck in growth; the rest, of which no sight tells, as ever.
pub fn seen_animals(seed: u64, member: u32, estimate: &StockEstimate) -> Hidden {
    let normals = of_farm(seed, member);
    let Hidden { cold_shift_k, gather_severity, .. } = Hidden::from_normals(normals);
    Hidden { cold_shift_k, gather_severity, ..estimate.of_luck(normals[0]).hidden }
}

/// One member's wind factor over a pond.
pub fn wind_factor(seed: u64, member: u32, pond: usize, belief: &farm::Belief) -> f64 {
    let mut stream = Stream::new(seed, member, Purpose(WIND.0 + pond as u32));
    belief.median * units::exp(belief.sd_log * stream.normal())
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn a_told_survival_moves_the_death_rate_but_not_all_the_way() {
        let alive = |known: &Known| {
            let sum: f64 = (0..2000).map(|member| animals(1, member, 0, 0.0026, known).hazard_factor).sum();
            sum / 2000.0
        };
        let usual = alive(&Known::default());
        let told = alive(&Known { survival_told: Some((0.5, 110.0)) });
        assert!(told > 1.3 * usual && told < 3.0 * usual, "{usual} {told}");
    }

    #[test]
    fn what_is_the_farms_is_the_same_in_every_pond() {
        let at = |pond| animals(7, 3, pond, 0.0026, &Known::default());
        assert_eq!(at(0).cold_shift_k, at(1).cold_shift_k);
        assert_eq!(at(0).growth_factor, at(1).growth_factor);
        assert_ne!(at(0).hazard_factor, at(1).hazard_factor);
    }
}
