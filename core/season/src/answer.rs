//! What a morning's question is answered with: plain values for the command line and the page to say and draw.

use plan::Spread;
use units::{Currency, Day, Instant};

use crate::chemistry::ChemistryToday;
use crate::chores::ChoreDue;
use crate::course::Course;
use crate::crops::CropMet;
pub use crate::feeding::{FeedToday, FeedWhy};
use crate::in_pond::InPond;
use crate::oxygen::OxygenTonight;

mod note;

pub use note::Note;

/// The whole morning.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// The farm's name.
    pub farm: String,
    /// Currency of every amount, in coins.
    pub currency: Currency,
    /// The morning.
    pub on: Day,
    /// The clock hour taken for "now".
    pub now_hour: i32,
    /// The forecast used; `None` when past years alone speak.
    pub forecast: Option<ForecastUsed>,
    /// Seed of the draws.
    pub seed: u64,
    /// Number of members.
    pub members: usize,
    /// Past years the members are made of: first, last, how many.
    pub past_years: (i16, i16, usize),
    /// The past is invented (a record moved in time).
    pub past_is_invented: bool,
    /// What to do today, by hour.
    pub tasks: Vec<Task>,
    /// What the plan asks to be ordered and told on later days, soonest first.
    pub coming: Vec<Task>,
    /// Work that comes round and is due, most pressing first.
    pub chores: Vec<ChoreDue>,
    /// Each pond still in the water.
    pub ponds: Vec<PondOutlook>,
    /// Weighed crops beside what was expected of them, the earliest first.
    pub crops: Vec<CropMet>,
    /// Ponds that are out already.
    pub done: Vec<(String, Day)>,
    /// The joint plan and how sure it is.
    pub plan: JointPlan,
    /// Marks the plan minds, °C: the cold mark, the mark above which animals follow the water.
    pub cold_mark_c: f64,
    /// See `cold_mark_c`.
    pub follow_mark_c: f64,
    /// The guard's chance; `None` when switched off.
    pub guard_chance: Option<f64>,
    /// The amounts that bound each coming day, by name, as `plan` was given them.
    pub limits: Vec<(&'static str, Vec<f64>)>,
    /// What a person should know about how this was made.
    pub notes: Vec<Note>,
}

/// A forecast and its age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastUsed {
    /// When it was issued.
    pub issued: Instant,
    /// Hours from then to this morning; negative when it is of a later hour.
    pub age_h: f64,
    /// The last day it speaks of.
    pub last_day: Day,
}

/// Low, middle and high: one in ten below, half below, nine in ten below.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Band {
    /// One in ten lies below.
    pub low: f64,
    /// Half lie below.
    pub middle: f64,
    /// Nine in ten lie below.
    pub high: f64,
}

impl Band {
    /// Of values in any order; zeros for none.
    pub fn of(mut values: Vec<f64>) -> Band {
        if values.is_empty() {
            return Band::default();
        }
        values.sort_by(f64::total_cmp);
        let at = |share: f64| {
            let place = share * (values.len() - 1) as f64;
            let (below, part) = (place.floor() as usize, place.fract());
            values[below] + part * (values[(below + 1).min(values.len() - 1)] - values[below])
        };
        Band { low: at(0.1), middle: at(0.5), high: at(0.9) }
    }
}

/// Something to do, with the hour by which.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// Day and clock hour by which it must be done.
    pub by: (Day, i32),
    /// What.
    pub what: TaskKind,
}

/// What there is to do.
#[derive(Debug, Clone, PartialEq)]
pub enum TaskKind {
    /// Open the drain or start the pumps of a pond, for a catch on a day.
    StartDown {
        /// Pond's name.
        pond: String,
        /// It has a drain to be opened.
        has_drain: bool,
        /// The pumps named, none when it drains by itself.
        pumps: Vec<String>,
        /// Day of the catch.
        catch_day: Day,
    },
    /// A pond's water goes down while no day can be held for it: it must be stopped, or another pond.
    GoesDown {
        /// Pond's name.
        pond: String,
    },
    /// Order ice for a catch.
    OrderIce {
        /// Kilograms, the amount kept in nine futures of ten.
        kg: f64,
        /// Day it is needed.
        for_day: Day,
    },
    /// Fetch fuel: the water of a pond on its way down burns more than is in store.
    FetchFuel {
        /// Pond's name.
        pond: String,
        /// Litres beyond what is in store, and beyond what was told to be fetched for ponds before it, L.
        fuel_l: f64,
    },
    /// Book the cold room.
    BookColdRoom {
        /// Day it is needed.
        for_day: Day,
    },
    /// Tell helpers and buyers.
    Tell {
        /// Day of the catch.
        for_day: Day,
    },
    /// Seine the large animals out of a pond that stays full.
    Seine {
        /// Pond's name.
        pond: String,
    },
    /// Get a new forecast: the one in hand is worn.
    NewForecast {
        /// Age of the one in hand, h.
        age_h: f64,
    },
    /// Take the water's temperature, since a reading is missing or old.
    ReadWater {
        /// Pond's name.
        pond: String,
    },
}

/// One pond this morning.
#[derive(Debug, Clone, PartialEq)]
pub struct PondOutlook {
    /// Its name.
    pub name: String,
    /// Its place among the farm's ponds.
    pub index: usize,
    /// The latest reading within a day, if any: when, depth (m), °C.
    pub measured: Option<(Instant, f64, f64)>,
    /// That reading was taken at the drain end.
    pub measured_deep: bool,
    /// The clock's second of the day at that reading, by the farm's zone.
    pub measured_clock_s: i32,
    /// The model's bottom water this morning, °C.
    pub modelled_c: f64,
    /// What its readings have taught; `None` when there were none in the last weeks.
    pub taught: Option<TaughtBy>,
    /// The coming dawns.
    pub dawns: Vec<Dawn>,
    /// Animals alive.
    pub count: Band,
    /// Mean weight, g.
    pub mean_weight_g: Band,
    /// Their mass, kg.
    pub mass_kg: Band,
    /// Feed for this day.
    pub feed: FeedToday,
    /// Ammonia, pH and nitrite of this day.
    pub chemistry: ChemistryToday,
    /// Oxygen in the coming night.
    pub oxygen: OxygenTonight,
    /// What is in it, with every band, from all that was recorded of its animals.
    pub stock: InPond,
    /// Heaviest tenth and lightest tenth of single animals, g: what a person sees in the net.
    pub animals_g: (f64, f64),
    /// Hours from opening to catch depth.
    pub lead_h: f64,
    /// The lead time is the grower's own.
    pub lead_told: bool,
    /// Since when its water goes down, day and clock hour, as somebody wrote; `None` while it stands.
    pub going_down: Option<(Day, i32)>,
    /// Planned start and catch.
    pub planned: Option<Planned>,
    /// Every day on which it could be caught.
    pub days: Vec<PondDay>,
    /// Hours in hand: likely, and one year in ten. `None` when the mark is not reached within the season.
    pub in_hand_likely_h: Option<f64>,
    /// See `in_hand_likely_h`.
    pub in_hand_one_in_ten_h: Option<f64>,
    /// Last hour at which waiting is still free.
    pub free_until: Option<(Day, i32)>,
    /// Last hour at which the pond can still be brought out in nine futures of ten.
    pub still_out_until: Option<(Day, i32)>,
    /// Chance that the cold mark is crossed while the pond is full, under the plan.
    pub mark_chance: f64,
    /// Its own picture: cut water, season so far, readings, size classes.
    pub course: Course,
}

/// What a pond's thermometer has taught.
#[derive(Debug, Clone, PartialEq)]
pub struct TaughtBy {
    /// Each reading in order of time, with what was expected of it from those before.
    pub met: Vec<ReadingMet>,
    /// The grower's own figure for the share of the station's wind that comes down to the water.
    pub wind_said: f64,
    /// What the readings leave of it.
    pub wind: Band,
}

/// A reading beside what was expected of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingMet {
    /// When.
    pub at: Instant,
    /// Depth, m.
    pub depth_m: f64,
    /// As read, °C.
    pub read_c: f64,
    /// Expected before it was known, °C.
    pub expected_c: f64,
    /// Doubt of that, K (one standard deviation; the thermometer's own comes on top).
    pub sd_c: f64,
}

impl TaughtBy {
    /// Root mean square of reading less expected, K.
    pub fn off_c(&self) -> f64 {
        let squares = self.met.iter().map(|met| (met.read_c - met.expected_c) * (met.read_c - met.expected_c));
        (squares.sum::<f64>() / self.met.len().max(1) as f64).sqrt()
    }
}

/// One coming dawn of a pond's bottom water, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dawn {
    /// The day.
    pub day: Day,
    /// Spread over members.
    pub water_c: Band,
    /// Middle of the coldest column.
    pub coldest_c: f64,
    /// Chance of lying below the cold mark.
    pub mark_chance: f64,
    /// Chance of lying below the mark at which animals stop following.
    pub slow_chance: f64,
}

/// A start and its catch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Planned {
    /// Day and clock hour at which the water starts down.
    pub start: (Day, i32),
    /// Day of the catch.
    pub catch_day: Day,
    /// Second day: of a catch over two days, or the emptying after an early seining.
    pub second_day: Option<Day>,
    /// The first day is a seining of the large animals.
    pub parts: bool,
}

/// What a pond would be if caught on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PondDay {
    /// The day.
    pub day: Day,
    /// Latest start for it.
    pub start: (Day, i32),
    /// Mean net worth, coins.
    pub worth_mean: f64,
    /// One future in twenty is worse, coins.
    pub worth_p05: f64,
    /// Chance that cold has taken a fifth or more by then.
    pub loss_chance: f64,
    /// Chance that the cold mark was crossed while full.
    pub mark_chance: f64,
    /// Mean money taken by cold, coins.
    pub cold_cost: f64,
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// Live weight caught, kg.
    pub caught_kg: f64,
}

/// The joint answer.
#[derive(Debug, Clone, PartialEq)]
pub struct JointPlan {
    /// The decision as `plan` made it: indices are places in [`Outlook::ponds`], days count from [`Outlook::on`].
    pub decision: plan::Decision,
    /// Worth of the whole, on draws the rule was not fitted to.
    pub worth: Spread,
    /// Names of the signals, in the order of the decision's flips.
    pub signals: Vec<String>,
    /// Limits that bind, dearest first: how many more ponds could come out without it, and what it costs, coins.
    pub binding: Vec<(plan::Limit, usize, f64)>,
}

#[cfg(test)]
mod tests {
    use super::Band;

    #[test]
    fn bands_hold_eight_in_ten() {
        let band = Band::of((0..=100).rev().map(f64::from).collect());
        assert_eq!((band.low, band.middle, band.high), (10.0, 50.0, 90.0));
        assert_eq!(Band::of(vec![3.0]), Band { low: 3.0, middle: 3.0, high: 3.0 });
    }
}
