//! One possible pond, and how likely a sight is in it.

use stock::seen::{
    CaughtBy, DEAD_LAST_D, DEAD_SEEN_LN_SD, DEAD_SEEN_MIDDLE, EATS_FROM_G, EATS_LN_SD, GEARS, LEAN_SD, TREND_DAYS,
    TREND_LN_SD, dead_log_chance, eats_fraction_per_d, feed_log_chance, forms_log_chance, orange_in_catch,
    weight_log_chance,
};
use stock::{Crop, Hidden, Mixture, sizes, warmth};

use super::{FilterAsk, Particle, Seen, Sight, StockPriors};

// What a pond holds, by place: each in deviations from what was believed at stocking.
const GROWTH: usize = 0;
const TREND: usize = 1;
const COUNT: usize = 2;
const HAZARD: usize = 3;
const ORANGE: usize = 4;
const DEAD: usize = 5;
const EATS: usize = 6;
const FAVOUR: usize = 7;
const LEAN: usize = FAVOUR + GEARS.len();
pub(super) const HELD: usize = LEAN + 1;
pub(super) type Row = [f64; HELD];

/// A part of a pond's animals that was lost at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// Days since stocking.
    pub day: usize,
    /// Share of those alive.
    pub lost_fraction: f64,
    /// They lie dead in the pond, where somebody who looks may see them; else they went with the water.
    pub leaves_dead: bool,
}

/// One possible pond.
#[derive(Debug, Clone)]
pub(super) struct One {
    /// Deviations, by place.
    pub held: Row,
    /// Die-offs: the day of the look they lay behind, and the share of the pond that they took.
    pub die_offs: Vec<Loss>,
    /// What sights need of it.
    made: Made,
    /// Logarithm of the chance of all sights that are taken in.
    pub seen_log: f64,
}

/// A sight with all of it that does not hang on the particle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    pub what: Seen,
    pub day: usize,
    /// Days since the look for dead animals before this one, held to what can still be seen.
    pub since_d: f64,
    since_ln: f64,
    appetite: f64,
}

/// A pond's unknowns in the units of what is seen.
#[derive(Debug, Clone, Copy)]
struct Made {
    rate: f64,
    trend: f64,
    hazard_factor: f64,
    died_per_d: f64,
    died_per_d_ln: f64,
    stocked_ln: f64,
    orange: f64,
    in_catch_ln: (f64, f64),
    dead_seen_ln: f64,
    eats_ln: f64,
    favour_ln: [f64; GEARS.len()],
}

/// What is the same for all particles of a pond.
#[derive(Debug, Clone)]
pub(super) struct Common<'a> {
    crop: &'a Crop,
    density_power: f64,
    priors: StockPriors,
    /// By day: warm days so far, and the same weighed by how far the day lies from the middle of the season, and by half its square.
    warmth: Vec<[f64; 3]>,
}

/// How far a day lies from the middle of the season, in units of the trend.
fn late(day: usize) -> f64 {
    (day as f64 - TREND_DAYS) / TREND_DAYS
}

impl<'a> Common<'a> {
    pub(super) fn new(ask: &FilterAsk<'a>) -> Common<'a> {
        let mut sums = [0.0; 3];
        let mut warmth = vec![sums];
        for (day, pair) in ask.warm_days.windows(2).enumerate() {
            let (step, late) = (pair[1] - pair[0], late(day));
            sums = [sums[0] + step, sums[1] + step * late, sums[2] + 0.5 * step * late * late];
            warmth.push(sums);
        }
        Common { crop: ask.crop, density_power: ask.density_power, priors: *ask.priors, warmth }
    }

    /// Days since stocking this morning.
    pub(super) fn days(&self) -> usize {
        self.warmth.len() - 1
    }

    /// A sight made ready; `looked` is the day of the look for dead animals before it.
    pub(super) fn look(&self, sight: &Sight, looked: usize) -> Look {
        let day = sight.day.min(self.days());
        let next = (day + 1).min(self.days());
        let step = if next > 0 { self.warmth[next][0] - self.warmth[next - 1][0] } else { 0.0 };
        let since_d = ((day - looked.min(day)) as f64).clamp(0.5, DEAD_LAST_D);
        Look { what: sight.what, day, since_d, since_ln: units::ln(since_d), appetite: (step / warmth(26.0)).min(1.0) }
    }

    /// A pond by its deviations and die-offs, with no sight taken in.
    pub(super) fn one(&self, held: Row, die_offs: Vec<Loss>) -> One {
        One { made: self.made(&held), held, die_offs, seen_log: 0.0 }
    }

    /// What a sight needs of a pond, worked out once.
    fn made(&self, held: &Row) -> Made {
        let priors = &self.priors;
        let count_ln = priors.count_ln_sd * held[COUNT];
        let hazard_ln = priors.hazard_ln.0 + priors.hazard_ln.1 * held[HAZARD];
        let growth_ln = priors.growth_ln.0 + priors.growth_ln.1 * held[GROWTH] - self.density_power * count_ln;
        let orange = sizes::SHARE_SD * held[ORANGE];
        let share = Mixture::new(self.crop.crowding_per_ha(), orange).classes()[2].number_fraction;
        let in_catch = orange_in_catch(share, LEAN_SD * held[LEAN]);
        Made {
            rate: units::exp(growth_ln),
            trend: TREND_LN_SD * held[TREND],
            hazard_factor: units::exp(hazard_ln),
            died_per_d: units::exp(hazard_ln) * self.crop.hazard_per_d(),
            died_per_d_ln: hazard_ln + units::ln(self.crop.hazard_per_d()),
            stocked_ln: units::ln(self.crop.stocked_count()) + count_ln,
            orange,
            in_catch_ln: (units::ln(in_catch), units::ln(1.0 - in_catch)),
            dead_seen_ln: (units::ln(DEAD_SEEN_MIDDLE) + DEAD_SEEN_LN_SD * held[DEAD]).min(0.0),
            eats_ln: EATS_LN_SD * held[EATS],
            favour_ln: GEARS.map(|gear| gear.favour_ln_sd() * held[FAVOUR + gear.place()]),
        }
    }

    /// Warm days times growth factor by a day. The trend's exponential by its first three terms: over a season within 0.3 %.
    fn grown(&self, made: &Made, day: usize) -> f64 {
        let sums = &self.warmth[day];
        made.rate * (sums[0] + made.trend * (sums[1] + made.trend * sums[2]))
    }

    fn weight_g(&self, made: &Made, day: usize) -> f64 {
        self.crop.growth().mean_weight_g(self.grown(made, day), 1.0)
    }

    /// Logarithm of the number of dead that would be seen at a look.
    fn dead_expected_ln(&self, one: &One, look: &Look) -> f64 {
        let made = &one.made;
        let (mut left_ln, mut died_off) = (0.0, 0.0);
        for Loss { day, lost_fraction, leaves_dead } in &one.die_offs {
            if *day < look.day || !leaves_dead {
                left_ln += if *day <= look.day { units::ln(1.0 - lost_fraction) } else { 0.0 };
            } else if *day == look.day {
                died_off += lost_fraction;
            }
        }
        let before_d = (look.day as f64 - look.since_d).max(0.0);
        let alive_ln = made.stocked_ln + left_ln - made.died_per_d * before_d;
        // ln(1 - exp(-x)) by its series: x, deaths of three days, is far below one half.
        let x = made.died_per_d * look.since_d;
        let usual_ln = made.died_per_d_ln + look.since_ln - 0.5 * x + x * x / 24.0;
        let share_ln = if died_off > 0.0 { units::ln(units::exp(usual_ln) + died_off) } else { usual_ln };
        made.dead_seen_ln + alive_ln + share_ln
    }

    /// Dead that would be seen at a look.
    pub(super) fn dead_expected(&self, one: &One, look: &Look) -> f64 {
        units::exp(self.dead_expected_ln(one, look))
    }

    /// Logarithm of the mean weight that a gear would find.
    pub(super) fn caught_ln(&self, one: &One, day: usize, by: CaughtBy) -> f64 {
        units::ln(self.weight_g(&one.made, day)) + one.made.favour_ln[by.place()]
    }

    /// Logarithm of the chance of a sight.
    pub(super) fn log_chance(&self, one: &One, look: &Look) -> f64 {
        let made = &one.made;
        match look.what {
            Seen::Weighed { mean_weight_g, error_ln, by, orange_and_others } => {
                let favour_ln = made.favour_ln[by.place()];
                let weight = weight_log_chance(mean_weight_g, error_ln, self.weight_g(made, look.day), favour_ln);
                let forms = orange_and_others.map_or(0.0, |counts| forms_log_chance(counts, made.in_catch_ln));
                weight + forms
            }
            // That some are gone with the water is taken in when it is seen; it says nothing of which pond this is.
            Seen::Overflow => 0.0,
            Seen::Dead(seen) => dead_log_chance(seen, self.dead_expected_ln(one, look)),
            Seen::Fed { kg, left } => {
                let weight_g = self.weight_g(made, look.day);
                if kg <= 0.0 || look.appetite < 0.05 || weight_g < EATS_FROM_G {
                    return 0.0;
                }
                let each_kg = weight_g / 1000.0 * eats_fraction_per_d(weight_g) * look.appetite;
                let number_ln = made.stocked_ln + left_ln(one, look.day) - made.died_per_d * look.day as f64;
                feed_log_chance(units::ln(kg / each_kg) - number_ln - made.eats_ln, left)
            }
        }
    }

    /// The pond this morning, in the form in which the season runs on from it.
    pub(super) fn this_morning(&self, one: &One, belief_fraction: f64) -> Particle {
        let (day, made) = (self.days(), &one.made);
        let growth_factor = made.rate * units::exp(made.trend * late(day));
        let stocked_ln = made.stocked_ln + left_ln(one, day);
        let hidden = Hidden {
            growth_factor,
            hazard_factor: made.hazard_factor,
            orange_claw_extra: made.orange,
            count_factor: units::exp(stocked_ln) / self.crop.stocked_count(),
            ahead_warm_days: self.grown(made, day) / growth_factor - self.warmth[day][0],
            ..Hidden::MIDDLE
        };
        let warm_count = units::exp(stocked_ln - made.died_per_d * day as f64);
        Particle { belief_fraction, mean_weight_g: self.weight_g(made, day), warm_count, hidden }
    }
}

/// Logarithm of what die-offs have left by a day.
fn left_ln(one: &One, by: usize) -> f64 {
    one.die_offs.iter().filter(|loss| loss.day <= by).map(|loss| units::ln(1.0 - loss.lost_fraction)).sum()
}
