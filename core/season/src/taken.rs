//! What is left in a pond after part of it was caught.
//!
//! Model     each catch takes its weight off the animals that a member then had in the pond, alike in size; whoever had less than was caught is
//!           left with `LEAST_LEFT` of what it had, until somebody says that the pond is empty
//! Units     kg, d, shares of the animals
//! Range     any number of catches since stocking, in order of date
//! Source    a balance of mass; `LEAST_LEFT` is our guess
//! Left out  what the net leaves is lighter than what it takes (docs/model/selling.md leaves it out as well); that a large catch speaks for
//!           more animals, until the pond is empty and teaches the next one (`crops`)

use ensemble::StockEstimate;
use farm::PondCard;
use stock::{Crop, Hidden};
use units::Day;

/// Share of what a member had that is believed to be left at least, while nobody says that the pond is empty.
const LEAST_LEFT: f64 = 0.05;

/// One catch, as the animals' own clock has it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Catch {
    on: Day,
    /// Days since stocking.
    days: f64,
    /// Warm days by then.
    warm_days: f64,
    live_kg: f64,
}

/// What was caught of a pond's animals before a morning.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Caught(Vec<Catch>);

impl Caught {
    /// Of a pond by a morning. `warm_days` by day since stocking.
    pub fn of(card: &PondCard, on: Day, warm_days: &[f64]) -> Caught {
        let counted = card.taken.iter().filter(|taken| taken.counts_on(on) && taken.on >= card.stocking.on);
        let catch = |taken: &farm::Taken| {
            let day = usize::try_from(taken.on.0 - card.stocking.on.0).unwrap_or(0);
            let known = warm_days.get(day).or(warm_days.last()).copied().unwrap_or(0.0);
            Catch { on: taken.on, days: day as f64, warm_days: known, live_kg: taken.live_kg }
        };
        Caught(counted.map(catch).collect())
    }

    /// Day and kg of each.
    pub fn told(&self) -> Vec<(Day, f64)> {
        self.0.iter().map(|one| (one.on, one.live_kg)).collect()
    }

    /// Share of its animals that is left to one set of unknowns, 0 to 1.
    pub fn left(&self, crop: &Crop, hidden: &Hidden) -> f64 {
        let mut left = 1.0;
        for catch in &self.0 {
            let had_kg = left * crop.standing(catch.warm_days, catch.days, 0.0, hidden).mass_kg;
            if had_kg > 0.0 {
                left *= (1.0 - catch.live_kg / had_kg).clamp(LEAST_LEFT, 1.0);
            }
        }
        left
    }

    /// A member's unknowns with what is left to it.
    pub fn off(&self, crop: &Crop, hidden: Hidden) -> Hidden {
        Hidden { count_factor: hidden.count_factor * self.left(crop, &hidden), ..hidden }
    }

    /// Takes it off every state of an estimate; the share that is left to each, in their order.
    pub fn off_all(&self, crop: &Crop, estimate: &mut StockEstimate) -> Vec<f64> {
        let off = |one: &mut ensemble::Particle| {
            let left = self.left(crop, &one.hidden);
            one.hidden.count_factor *= left;
            one.warm_count *= left;
            left
        };
        estimate.particles.iter_mut().map(off).collect()
    }
}

#[cfg(test)]
mod tests {
    use stock::{StockParams, Stocking};

    use super::*;

    fn crop() -> Crop {
        let stocking = Stocking { count: 24_000.0, weight_g: 0.4, per_ha: 59_280.0, substrate_fraction: 0.5 };
        Crop::new(&stocking, &StockParams::default())
    }

    #[test]
    fn what_was_caught_is_gone_and_no_more() {
        let (crop, hidden) = (crop(), Hidden::MIDDLE);
        let full_kg = crop.standing(88.0, 100.0, 0.0, &hidden).mass_kg;
        let caught = Caught(vec![Catch { on: Day(0), days: 100.0, warm_days: 88.0, live_kg: 0.4 * full_kg }]);
        let left_kg = crop.standing(88.0, 100.0, 0.0, &caught.off(&crop, hidden)).mass_kg;
        assert!((left_kg / full_kg - 0.6).abs() < 1e-12, "{left_kg} of {full_kg}");
        // Two catches take two weights, the second off what the first left.
        let twice = Caught([0.4, 0.3].map(|share| Catch { live_kg: share * full_kg, ..caught.0[0] }).to_vec());
        assert!((twice.left(&crop, &hidden) - 0.3).abs() < 1e-12);
    }

    #[test]
    fn a_member_that_had_less_than_was_caught_keeps_a_little_and_never_gains() {
        let (crop, hidden) = (crop(), Hidden::MIDDLE);
        let full_kg = crop.standing(88.0, 100.0, 0.0, &hidden).mass_kg;
        let left = |live_kg: f64| {
            Caught(vec![Catch { on: Day(0), days: 100.0, warm_days: 88.0, live_kg }]).left(&crop, &hidden)
        };
        assert_eq!([left(1.2 * full_kg), left(50.0 * full_kg), left(0.0)], [LEAST_LEFT, LEAST_LEFT, 1.0]);
    }
}
