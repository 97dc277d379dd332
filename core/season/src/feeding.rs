//! Feed for today, from what may be in the pond.
//!
//! Model     the ration of `stock::feed` for each member's crop and water; a ceiling by area where nothing adds oxygen; none before a
//!           catch, in cold water, or after a dawn low in oxygen
//! Units     kg of dry feed in the day
//! Range     fed ponds
//! Source    rates and ceiling recalled (see `stock::feed`; 35 to 45 kg/ha a day without extra aeration); stopping before a catch and
//!           at low oxygen: common practice
//! Left out  what lies uneaten, moults, meals

use farm::OxygenRead;
use stock::Hidden;
use stock::feed::{CEILING_KG_HA_D, appetite, ration_fraction_per_d, ration_kg_per_d};
use units::Instant;

use crate::answer::Band;
use crate::report::Reporting;

/// Oxygen at dawn below which no feed is given, mg/L.
const OXYGEN_LEAST_MG_L: f64 = 3.0;
/// Hours before the water goes down in which nothing is fed; 12 to 24 are common practice.
const EMPTY_GUT_H: i32 = 24;
/// A reading counts for this dawn until so many hours after midnight.
const DAWN_UNTIL_H: i64 = 10;

/// Feed for one day, and why.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedToday {
    /// Dry feed by rate and appetite, kg.
    pub kg: Band,
    /// What speaks for or against it.
    pub why: FeedWhy,
    /// What it is reckoned from: the middle of what may be in the pond, kg.
    pub mass_kg: f64,
    /// The rate for its mean weight, a share of the mass.
    pub rate: f64,
    /// The share of that which is worth giving at this day's warmth.
    pub appetite: f64,
    /// This day's mean water, °C.
    pub water_c: f64,
    /// Most that a pond takes without more air, kg.
    pub ceiling_kg: f64,
    /// The lowest reading of this dawn, where it was too low to feed, mg/L.
    pub low_dawn_mg_l: Option<f64>,
}

/// What speaks for or against feeding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FeedWhy {
    /// Nothing.
    Usual,
    /// More than the pond takes without more air: the ceiling stands.
    Ceiling,
    /// Below 5 g: what grows in the pond does.
    Small,
    /// The water is too cold to eat in.
    Cold,
    /// The water goes down within a day.
    BeforeCatch,
    /// Oxygen was low at dawn.
    LowOxygen {
        /// The lowest reading, mg/L.
        mg_l: f64,
    },
}

/// Feed for one pond.
pub fn feed_today(of: &Reporting, p: usize) -> FeedToday {
    let (pond, ask) = (&of.ponds[p], of.ask);
    let today = pond.today(ask.on);
    let stands = |hidden: &Hidden| today.crop.standing(today.warm_days, today.days, 0.0, hidden);
    let water = |member: usize| of.tables_by_pond[p].at(0, member).mean_c;
    let band = |value: &dyn Fn(usize, &Hidden) -> f64| {
        Band::of(of.hidden[p].iter().enumerate().map(|(member, hidden)| value(member, hidden)).collect())
    };
    let kg = band(&|member, hidden| {
        let stands = stands(hidden);
        ration_kg_per_d(stands.mass_kg, stands.mean_weight_g, water(member))
    });
    let (mass_kg, weight_g) =
        (band(&|_, hidden| stands(hidden).mass_kg), band(&|_, hidden| stands(hidden).mean_weight_g));
    let water_c = band(&|member, _| water(member)).middle;
    let (rate, appetite) = (ration_fraction_per_d(weight_g.middle), appetite(water_c));
    let ceiling_kg = CEILING_KG_HA_D * pond.card.shape.area_m2 / 10_000.0;
    let oxygen = &ask.farm.ponds[pond.index].oxygen;
    let low = dawn_oxygen(oxygen, ask.past.place.day_start(ask.on)).filter(|&mg_l| mg_l < OXYGEN_LEAST_MG_L);
    let start_hour = of.weighed.decision.ponds[p].planned.map(|job| job.start_hour);
    let why = match low {
        _ if start_hour.is_some_and(|start| start - ask.now_hour <= EMPTY_GUT_H) => FeedWhy::BeforeCatch,
        Some(mg_l) => FeedWhy::LowOxygen { mg_l },
        None if rate == 0.0 => FeedWhy::Small,
        None if appetite == 0.0 => FeedWhy::Cold,
        None if kg.middle > ceiling_kg => FeedWhy::Ceiling,
        None => FeedWhy::Usual,
    };
    FeedToday { kg, why, mass_kg: mass_kg.middle, rate, appetite, water_c, ceiling_kg, low_dawn_mg_l: low }
}

/// The lowest reading of this dawn.
fn dawn_oxygen(readings: &[OxygenRead], midnight: Instant) -> Option<f64> {
    let of_dawn = |read: &&OxygenRead| (0..DAWN_UNTIL_H).contains(&read.at.hours_since(midnight));
    readings.iter().filter(of_dawn).map(|read| read.mg_l).min_by(f64::total_cmp)
}
