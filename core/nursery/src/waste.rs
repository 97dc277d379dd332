//! What feed does to a tank's water, and what filter and new water take away again.
//!
//! Model     ammonia nitrogen as a part of protein fed; a filter that takes more the more there is, to a ceiling; a well mixed tank
//! Units     kg/d, mg/L, m³/d
//! Range     25 to 30 °C, a ripe filter
//! Source    0.092 of protein, 4.57 of oxygen and 7.05 of alkalinity for each part: Timmons & Ebeling, Recirculating Aquaculture (from
//!           memory); a filter's ceiling and half-way (from memory: 0.2 to 0.5 g/m² in a day at 0.5 to 1 mg/L)
//! Left out  nitrite (`ripening`); sludge; plants

use pond::chemistry::unionized_fraction;

use crate::Tank;
use crate::raise::Kept;

const NITROGEN_PER_PROTEIN: f64 = 0.092;
const OXYGEN_PER_NITROGEN: f64 = 4.57;
const ALKALINITY_PER_NITROGEN: f64 = 7.05;
/// Oxygen that animals and all else that breathes use, for each part of feed: middle of 0.25 to 0.5.
const OXYGEN_PER_FEED: f64 = 0.375;
/// A ripe filter's ceiling, g/m² in a day, and the ammonia at which it takes half of that, mg/L.
pub(crate) const FILTER_MOST: f64 = 0.6;
pub(crate) const FILTER_HALF_MG_L: f64 = 1.0;
/// Total ammonia nitrogen that should not be passed, mg/L: memory.
pub const AMMONIA_MOST_MG_L: f64 = 1.0;
/// Un-ionized ammonia nitrogen that should not be passed, mg/L (docs/model/nursery.md).
pub const FREE_AMMONIA_MOST_MG_L: f64 = 0.1;
/// Nitrite nitrogen that should not be passed, mg/L: memory; trouble in hatcheries was read of at 1.8 (docs/model/nursery.md).
pub const NITRITE_MOST_MG_L: f64 = 1.0;
/// Nitrite nitrogen of a clear reading, mg/L: memory.
pub const NITRITE_CLEAR_MG_L: f64 = 0.5;
/// Total ammonia nitrogen of a clear reading, mg/L (our guess: half of what should not be passed).
pub const AMMONIA_CLEAR_MG_L: f64 = 0.5;

/// A day's burden of a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waste {
    /// Ammonia nitrogen made, kg.
    pub nitrogen_kg: f64,
    /// Oxygen used by animals, filter and all else, kg.
    pub oxygen_kg: f64,
    /// Alkalinity used up, as calcium carbonate, kg.
    pub alkalinity_kg: f64,
    /// Where total ammonia nitrogen settles with this filter and exchange, mg/L; infinite where nothing takes it away.
    pub ammonia_mg_l: f64,
    /// The un-ionized part of that, mg/L.
    pub free_mg_l: f64,
}

impl Waste {
    /// Whether ammonia passes what should not be passed.
    pub fn is_too_much(&self) -> bool {
        self.ammonia_mg_l > AMMONIA_MOST_MG_L || self.free_mg_l > FREE_AMMONIA_MOST_MG_L
    }
}

/// What a day's feed makes of a tank's water.
pub fn waste(tank: &Tank, kept: &Kept, feed_kg: f64) -> Waste {
    let nitrogen_kg = feed_kg * kept.protein * NITROGEN_PER_PROTEIN;
    let ammonia_mg_l = settles_mg_l(tank, kept.fresh_mg_l, 1000.0 * nitrogen_kg);
    Waste {
        nitrogen_kg,
        oxygen_kg: feed_kg * OXYGEN_PER_FEED + OXYGEN_PER_NITROGEN * nitrogen_kg,
        alkalinity_kg: ALKALINITY_PER_NITROGEN * nitrogen_kg,
        ammonia_mg_l,
        free_mg_l: ammonia_mg_l * unionized_fraction(kept.water_temp_c, kept.ph),
    }
}

/// Where ammonia settles: made + brought in by new water = taken by the filter + carried out, g in a day.
fn settles_mg_l(tank: &Tank, fresh_mg_l: f64, made_g: f64) -> f64 {
    let (q, r, k) = (tank.changed_m3_d, FILTER_MOST * tank.filter_m2, FILTER_HALF_MG_L);
    let brought = made_g + q * fresh_mg_l;
    if q <= 0.0 {
        // The filter alone: no balance where more is made than it ever takes.
        return if brought < r { k * brought / (r - brought) } else { f64::INFINITY };
    }
    // q S² + (q k + r - brought) S - k brought = 0.
    let b = q * k + r - brought;
    let root = (b * b + 4.0 * q * k * brought).sqrt();
    // The form that does not cancel.
    if b > 0.0 { 2.0 * k * brought / (b + root) } else { (root - b) / (2.0 * q) }
}

/// Water to change in a day so that total and un-ionized ammonia stay below what should not be passed, m³; `None` where new water holds
/// as much.
pub fn exchange_m3_per_d(tank: &Tank, kept: &Kept, nitrogen_kg: f64) -> Option<f64> {
    let share = unionized_fraction(kept.water_temp_c, kept.ph);
    let most_mg_l = AMMONIA_MOST_MG_L.min(FREE_AMMONIA_MOST_MG_L / share);
    let filtered_g = FILTER_MOST * tank.filter_m2 * most_mg_l / (FILTER_HALF_MG_L + most_mg_l);
    let left_g = (1000.0 * nitrogen_kg - filtered_g).max(0.0);
    if left_g == 0.0 {
        return Some(0.0);
    }
    (most_mg_l > kept.fresh_mg_l).then(|| left_g / (most_mg_l - kept.fresh_mg_l))
}
