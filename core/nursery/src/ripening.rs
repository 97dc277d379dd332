//! Ammonia and nitrite beside each other, through a filter that ripens.
//!
//! Model     two steps in a well mixed tank: ammonia to nitrite, nitrite to nitrate; each takes more the more there is of what it eats, to
//!           the filter's surface times its ceiling times how ripe that step is; each ripens with what it eats and withers without
//! Units     mg/L and g of nitrogen, m², m³, d; ripeness as a share of a ripe filter's
//! Range     25 to 30 °C, pH 7 to 8.5, enough oxygen and alkalinity
//! Source    the two steps and their saturating rates: US EPA, Manual: Nitrogen Control (1993), from memory; rates of ripening are our guess,
//!           set so that a filter begun as recalled (2 to 3 mg/L of ammonia put in, some seed) is ripe after five weeks: common practice says four
//!           to six at 28 °C. The days of a course may be off by half
//! Left out  what free ammonia does to the second step, oxygen and alkalinity running short, feed that rots, nitrate

use pond::chemistry::unionized_fraction;

use crate::raise::Kept;
use crate::waste::{FILTER_HALF_MG_L, FILTER_MOST};
use crate::{AMMONIA_CLEAR_MG_L, NITRITE_CLEAR_MG_L, Tank};

/// A ripe filter's ceiling for nitrite, g/m² in a day, and the nitrite at which it takes half of that, mg/L (our guess: in a ripe filter the
/// second step keeps nitrite well below ammonia).
const NITRITE_MOST: f64 = 1.2;
const NITRITE_HALF_MG_L: f64 = 0.5;
/// Fastest ripening of either step in a day at 28 °C, as a share of itself, and its slowing by cold, for each °C.
const RIPENS_PER_D: [f64; 2] = [0.30, 0.25];
const RIPENS_PER_C: f64 = 1.08;
const RIPENS_AT_C: f64 = 28.0;
/// What withers in a day without any food; and how much of the full pace of eating is too little.
const WITHERS_PER_D: f64 = 0.05;
const STARVES_BELOW: f64 = 0.05;
/// Step of the reckoning, d: a longer one smears the first day of a filter that has just died; halving it moves no peak by 3 %.
const STEP_D: f64 = 1.0 / 48.0;

/// How ripe a filter is: each step as a share of a ripe filter's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ripeness {
    /// Ammonia to nitrite.
    pub ammonia: f64,
    /// Nitrite to nitrate.
    pub nitrite: f64,
}

impl Ripeness {
    /// A ripe filter.
    pub const RIPE: Ripeness = Ripeness { ammonia: 1.0, nitrite: 1.0 };
    /// A filter newly begun with some seed, or one that has died: what is left in corners (our guess).
    pub const BEGUN: Ripeness = Ripeness { ammonia: 0.01, nitrite: 0.002 };
}

/// A tank's nitrogen at the start of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NitrogenDay {
    /// Days from the first.
    pub day: u32,
    /// Total ammonia nitrogen, mg/L.
    pub ammonia_mg_l: f64,
    /// Its un-ionized part, mg/L.
    pub free_mg_l: f64,
    /// Nitrite nitrogen, mg/L.
    pub nitrite_mg_l: f64,
    /// How ripe the filter is.
    pub ripeness: Ripeness,
}

impl NitrogenDay {
    /// Whether both are low enough for a clear reading.
    pub fn is_clear(&self) -> bool {
        self.ammonia_mg_l <= AMMONIA_CLEAR_MG_L && self.nitrite_mg_l <= NITRITE_CLEAR_MG_L
    }
}

/// Nitrogen day by day from what is in the water now. `made_g` is the ammonia nitrogen that a day's feed becomes, by the day.
pub fn nitrogen_course(
    tank: &Tank,
    kept: &Kept,
    (ammonia_mg_l, nitrite_mg_l): (f64, f64),
    ripeness: Ripeness,
    made_g: &dyn Fn(u32) -> f64,
    days: u32,
) -> Vec<NitrogenDay> {
    let share = unionized_fraction(kept.water_temp_c, kept.ph);
    let warmth = units::pow(RIPENS_PER_C, kept.water_temp_c.min(30.0) - RIPENS_AT_C);
    let water_m3 = tank.water_m3.max(1e-6);
    let (mut a, mut n, mut ripe) = (ammonia_mg_l, nitrite_mg_l, ripeness);
    let mut course = Vec::with_capacity(days as usize + 1);
    for day in 0..=days {
        course.push(NitrogenDay { day, ammonia_mg_l: a, free_mg_l: a * share, nitrite_mg_l: n, ripeness: ripe });
        let made = made_g(day) + tank.changed_m3_d * kept.fresh_mg_l;
        for _ in 0..(1.0 / STEP_D).round() as u32 {
            // What goes is taken at the step's end, so that nothing falls below nothing however large the filter.
            let first = FILTER_MOST * tank.filter_m2 * ripe.ammonia / (FILTER_HALF_MG_L + a);
            let second = NITRITE_MOST * tank.filter_m2 * ripe.nitrite / (NITRITE_HALF_MG_L + n);
            let dt = STEP_D / water_m3;
            a = (a + dt * made) / (1.0 + dt * (first + tank.changed_m3_d));
            n = (n + dt * first * a) / (1.0 + dt * (second + tank.changed_m3_d));
            ripe = Ripeness {
                ammonia: ripens(ripe.ammonia, a / (FILTER_HALF_MG_L + a), warmth * RIPENS_PER_D[0]),
                nitrite: ripens(ripe.nitrite, n / (NITRITE_HALF_MG_L + n), warmth * RIPENS_PER_D[1]),
            };
        }
    }
    course
}

/// One step of ripening: as fast as it is fed, slower the nearer it is to all that the surface carries. `fed` is the share of its full pace
/// at which it eats.
fn ripens(share: f64, fed: f64, per_d: f64) -> f64 {
    let withers_per_d = WITHERS_PER_D * (1.0 - fed / STARVES_BELOW).max(0.0);
    (share + STEP_D * share * (per_d * fed * (1.0 - share) - withers_per_d)).clamp(1e-4, 1.0)
}

/// How ripe a filter is by what was read while so much ammonia was made: as if both had settled. `None` without filter, feed or reading
/// that tells it.
pub fn ripeness_read(tank: &Tank, made_g: f64, (ammonia_mg_l, nitrite_mg_l): (f64, f64)) -> Option<Ripeness> {
    let told = tank.filter_m2 > 0.0 && made_g > 0.0 && ammonia_mg_l > 0.0;
    told.then(|| {
        let taken = (made_g - tank.changed_m3_d * ammonia_mg_l).max(0.0);
        let most = FILTER_MOST * tank.filter_m2 * ammonia_mg_l / (FILTER_HALF_MG_L + ammonia_mg_l);
        let taken_on = (taken - tank.changed_m3_d * nitrite_mg_l).max(0.0);
        let most_on = NITRITE_MOST * tank.filter_m2 * nitrite_mg_l / (NITRITE_HALF_MG_L + nitrite_mg_l);
        let share = |taken: f64, most: f64| if most > 0.0 { (taken / most).clamp(0.01, 1.0) } else { 1.0 };
        Ripeness { ammonia: share(taken, most), nitrite: share(taken_on, most_on) }
    })
}
