//! Postlarvae in the farm's tanks: how many came, how they are shared out, and each tank's days until stocking.
//!
//! Model     `nursery` for each tank at the warmth it is kept at, or as it was last read; the last delivery entered
//! Units     animals, g, °C, kg, mg/L
//! Range     as `nursery`
//! Source    docs/model/nursery.md
//! Left out  deaths of grading that nobody saw; a mean weight after grading out, where nobody weighed what stays, goes by what is left

use farm::facts::{Counted, Kept as Entered};
use farm::{Farm, Tank};
use nursery::{Kept, Raised, TankDay, exchange_m3_per_d, heat_kwh_per_d, raise, shares};
use pond::chemistry::unionized_fraction;
use units::{Day, Instant};

mod entered;
mod filter;
mod moved;

#[cfg(test)]
mod tests;

pub use entered::{Moved, MovedTo, deliveries};
use entered::{last_read, tests_of};
pub use filter::{AGAIN_D, FilterSeen, LOADED_MG_L, NitrogenOutlook};
pub use moved::Held;

/// Days that are told of from the arrival on.
const DAYS: u32 = 75;
/// A delivery this long ago is another season's, d.
const OLD_D: i32 = 120;
/// A postlarva whose weight was not told, g.
const YOUNG_G: f64 = 0.01;
/// pH of tanks whose pH was not read (our guess).
const PH_USUAL: f64 = 7.8;
/// Protein of a starter feed (Coyle and others 2003).
const PROTEIN: f64 = 0.42;
/// Weight at which juveniles are commonly stocked, g.
pub const READY_G: f64 = 0.3;
/// Water that postlarvae can live in for days, °C: memory.
const LIVED_IN_C: std::ops::RangeInclusive<f64> = 15.0..=37.0;
/// Humidity of a room, a share (our guess).
const HUMIDITY: f64 = 0.5;

/// A delivery as it was entered.
#[derive(Debug, Clone, PartialEq)]
pub struct Delivery {
    /// Mark of the entry that holds.
    pub id: String,
    /// The moment it came.
    pub at: Instant,
    /// The day.
    pub on: Day,
    /// Animals by the hatchery's paper.
    pub claimed: f64,
    /// The farm's own count, if samples were counted and weighed.
    pub counted: Option<Counted>,
    /// Dead on arrival.
    pub dead: f64,
    /// Weight of one, g.
    pub weight_g: f64,
    /// Papers that came with it, as typed.
    pub papers: Option<String>,
}

impl Delivery {
    /// Animals alive: by the farm's own count if there is one.
    pub fn alive(&self) -> f64 {
        (self.counted.map_or(self.claimed, |count| count.number) - self.dead).max(0.0)
    }
    /// How many fewer came alive than were paid for, and whether that is beyond what the count may be off.
    pub fn short(&self) -> Option<(f64, bool)> {
        let count = self.counted?;
        let short = self.claimed - self.alive();
        Some((short, short > count.either_way))
    }
}

/// What was read in a tank last.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct TankRead {
    /// When, as a day.
    pub on: Option<Day>,
    /// °C.
    pub temp_c: Option<f64>,
    /// pH.
    pub ph: Option<f64>,
    /// Total ammonia nitrogen, mg/L.
    pub ammonia_mg_l: Option<f64>,
    /// Nitrite nitrogen, mg/L.
    pub nitrite_mg_l: Option<f64>,
    /// Oxygen, mg/L.
    pub oxygen_mg_l: Option<f64>,
    /// Dead that were seen since the animals came.
    pub dead: f64,
    /// The last day of an entry of which some figure cannot be read.
    pub unread: Option<Day>,
}

impl TankRead {
    /// Un-ionized ammonia nitrogen as read, mg/L, where ammonia, pH and temperature were.
    pub fn free_mg_l(&self, kept_at_c: f64) -> Option<f64> {
        Some(self.ammonia_mg_l? * unionized_fraction(self.temp_c.unwrap_or(kept_at_c), self.ph?))
    }
}

/// A tank's days.
#[derive(Debug, Clone, PartialEq)]
pub struct TankOutlook {
    /// The tank.
    pub tank: Tank,
    /// Animals put into it.
    pub share: f64,
    /// What is in it since animals last went in or out.
    pub held: Held,
    /// Its days from then on.
    pub raised: Raised,
    /// Today's row; the last one when they have been here longer than is told.
    pub today: TankDay,
    /// What was read in it last.
    pub read: TankRead,
    /// The water it is reckoned with, °C.
    pub water_c: f64,
    /// The day on which the mean animal is ready to stock: likely, and at the latest of what the model may be off. `None`: not within its days.
    pub ready: (Option<Day>, Option<Day>),
    /// The first day on which filter and exchange are too little.
    pub too_little_from: Option<Day>,
    /// Water to change today so that ammonia stays down, m³; `None` where new water would not help.
    pub change_m3: Option<f64>,
    /// Heat for a day, kWh, in a room of usual warmth.
    pub heat_kwh: f64,
    /// What was read of its filter.
    pub filter: FilterSeen,
    /// Ammonia and nitrite in the coming weeks, where both were read of late and the filter is not called ripe.
    pub nitrogen: Option<NitrogenOutlook>,
    /// Hours after which ammonia passes its limit if the filter died now, as fed today; `None` without animals or filter.
    pub dead_filter_h: Option<f64>,
}

/// The nursery.
#[derive(Debug, Clone, PartialEq)]
pub struct NurseryOutlook {
    /// The last delivery; `None` when none was entered of late.
    pub delivery: Option<Delivery>,
    /// Deliveries of late before that one: the tanks go by the last alone.
    pub earlier: Vec<Delivery>,
    /// Every tank; without a delivery as if nothing were in it.
    pub tanks: Vec<TankOutlook>,
    /// What was counted out of tanks since the delivery, in order.
    pub moves: Vec<Moved>,
}

/// Every tank's days, from the deliveries, counts and readings that were entered.
pub fn nursery(farm: &Farm, facts: &[Entered], today: Day) -> NurseryOutlook {
    let mut earlier = deliveries(facts, farm, today);
    let delivery = earlier.pop();
    let models: Vec<nursery::Tank> = farm.tanks.iter().map(model).collect();
    let given = shares(delivery.as_ref().map_or(0.0, Delivery::alive), &models);
    let since = delivery.as_ref().map_or(today.plus(-OLD_D), |one| one.on);
    let weight_g = delivery.as_ref().map_or(YOUNG_G, |one| one.weight_g);
    let moves = entered::moves(facts, farm, (since, today));
    let reads: Vec<TankRead> =
        farm.tanks.iter().map(|tank| last_read(facts, farm, &tank.name, (since, today))).collect();
    let kept: Vec<Kept> = farm.tanks.iter().zip(&reads).map(|(tank, read)| kept(tank, read)).collect();
    let arrived = if delivery.is_some() { since } else { today };
    let begun: Vec<Held> = given.iter().map(|&share| Held::arrived(arrived, share, weight_g)).collect();
    let names: Vec<&str> = farm.tanks.iter().map(|tank| tank.name.as_str()).collect();
    let held = moved::fold(begun, &moves, &names, &models, &kept);
    let tanks = (0..farm.tanks.len())
        .map(|at| {
            let tests = tests_of(facts, farm, names[at], (today.plus(-OLD_D), today));
            let tank = One { tank: &farm.tanks[at], model: &models[at], kept: &kept[at], share: given[at] };
            one(&tank, held[at].clone(), today, reads[at], (&tests, delivery.as_ref().map(|one| one.on)))
        })
        .collect();
    NurseryOutlook { delivery, earlier, tanks, moves }
}

fn model(tank: &Tank) -> nursery::Tank {
    nursery::Tank {
        water_m3: tank.water_m3,
        bottom_m2: tank.bottom_m2,
        substrate_m2: tank.netting_m2,
        filter_m2: tank.filter_m2,
        changed_m3_d: tank.changed_m3_d,
    }
}

fn kept(tank: &Tank, read: &TankRead) -> Kept {
    // A thermometer that shows what no postlarva lives in was misread: the heater's own figure stands in.
    let water_temp_c = read.temp_c.filter(|c| LIVED_IN_C.contains(c)).unwrap_or(tank.kept_at_c);
    Kept { water_temp_c, ph: read.ph.unwrap_or(PH_USUAL), protein: PROTEIN, fresh_mg_l: 0.0 }
}

/// A tank as it is reckoned with.
struct One<'a> {
    tank: &'a Tank,
    model: &'a nursery::Tank,
    kept: &'a Kept,
    share: f64,
}

fn one(
    of: &One<'_>,
    held: Held,
    today: Day,
    mut read: TankRead,
    (tests, delivered): (&[entered::Test], Option<Day>),
) -> TankOutlook {
    let One { tank, model, kept, share } = *of;
    let raised = raise(model, kept, held.count, held.weight_g, DAYS);
    let at = ((today.0 - held.since.0).max(0) as usize).min(DAYS as usize);
    let today_row = raised.days[at];
    let reaches = |of: f64| {
        let day = raised.days.iter().find(|day| day.mean_weight_g * of >= READY_G);
        day.map(|day| held.since.plus(day.day as i32))
    };
    let has_any = held.count > 0.0;
    if held.is_counted {
        // The dead before a count are not in it.
        read.dead = held.dead_since;
    }
    let seen = filter::seen(tank.filter_m2, tests, delivered);
    let made_g = |day: u32| 1000.0 * raised.days[(at + day as usize).min(DAYS as usize)].waste.nitrogen_kg;
    let nitrogen = (has_any && !matches!(seen, FilterSeen::Ripe { .. } | FilterSeen::Without))
        .then(|| filter::course(model, kept, tests, today, &made_g))
        .flatten();
    TankOutlook {
        tank: tank.clone(),
        share,
        today: today_row,
        water_c: kept.water_temp_c,
        ready: if has_any { (reaches(1.0), reaches(1.0 - nursery::RAISED_ERROR)) } else { (None, None) },
        too_little_from: raised.too_little_from.map(|day| held.since.plus(day as i32)),
        change_m3: exchange_m3_per_d(model, kept, today_row.waste.nitrogen_kg),
        heat_kwh: heat_kwh_per_d(tank.bottom_m2, kept.water_temp_c, (nursery::AIR_USUAL_C, HUMIDITY), false),
        filter: seen,
        nitrogen,
        dead_filter_h: (has_any && tank.filter_m2 > 0.0).then(|| {
            filter::hours_without(model, read.ammonia_mg_l.unwrap_or(today_row.waste.ammonia_mg_l), made_g(0))
        }),
        held,
        read,
        raised,
    }
}
