//! One pond emptied by the clock: when to open what, how warm its water is on the way, what would change that.
//!
//! Hours are those of the farm's clock, counted from the midnight of this morning by that clock; members' hours begin at standard
//! midnight, which the joint alone minds.

mod ifs;
mod last;
mod opened;
pub mod question;
mod setting;
mod water;

use pond::ShapeError;
use pond::drawdown::backwards::{Opening, Wanted, solve};
use pond::drawdown::hours_down;
use units::{Day, Watch};

use crate::answer::Outlook;
use crate::drawn::Drawn;
use crate::outlook::MorningAsk;
use crate::works::works;
use setting::Setting;

pub use ensemble::PlaceTable;
pub use ifs::{If, IfWhat};
pub use last::{Basin as CatchBasin, LastWater};
pub(crate) use opened::opened;
pub(crate) use water::Brim;
pub use water::{HourWater, PlaceWater, WaterDown};

/// What a person may wish; everything left out is found or taken from the farm file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wish {
    /// Day of the catch.
    pub catch_day: Option<Day>,
    /// Clock hour at which catch depth is to stand.
    pub catch_at_h: Option<f64>,
    /// Whether the net is pulled first.
    pub seine: SeineWish,
    /// Day and clock hour of the first opening.
    /// Without an hour, at the first hour at which somebody is there.
    pub open_at: Option<(Day, Option<f64>)>,
    /// Pumps, as places among the farm's; those named for the pond when left out.
    pub pumps: Option<Vec<usize>>,
    /// One more pump, m³/h.
    pub extra_m3_h: Option<f64>,
    /// Height of the river or ditch above the pond's lowest floor, m.
    pub outlet_water_m: Option<f64>,
    /// The same by hours, as it rises or falls; empty where it stands at one height.
    pub outlet_hours: Vec<OutletHour>,
    /// Part of the screen that is blocked, 0 to 1.
    pub blocked_fraction: f64,
    /// Depth by the drain as it stands now, m: from here on it is solved anew.
    pub level_m: Option<f64>,
    /// Catch depth, m.
    pub catch_depth_m: Option<f64>,
    /// Well water is let in once the pond stands low.
    pub well: bool,
}

/// The river or ditch at an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutletHour {
    /// The day; without one the last hour is of the day of the catch, and those before it lead up to it.
    pub day: Option<Day>,
    /// Clock hour.
    pub hour: f64,
    /// Above the pond's lowest floor, m.
    pub height_m: f64,
}

/// Whether the net is pulled before the last water goes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum SeineWish {
    /// As the farm file says.
    #[default]
    AsTold,
    /// No.
    No,
    /// Yes.
    Held {
        /// How long at least, h.
        held_h: f64,
        /// From when; the last first light that leaves time when left out, and first light without an hour.
        at: Option<(Day, Option<f64>)>,
    },
}

/// A way out, for naming it.
#[derive(Debug, Clone, PartialEq)]
pub enum WayOut {
    /// The pipe with its gate.
    Pipe,
    /// The standpipe.
    Standpipe,
    /// A pump by its name.
    Pump(String),
    /// One more pump, hired or borrowed.
    Extra,
}

/// Why it cannot be told.
#[derive(Debug, Clone, PartialEq)]
pub enum DrainError {
    /// The pond is out, or not stocked.
    NotInWater,
    /// Its figures do not make a pond.
    Shape(ShapeError),
    /// Nothing lets its water out.
    NoWay,
    /// The day lies before this morning or after the season.
    DayOutside {
        /// The first day that will do.
        first: Day,
        /// The last.
        last: Day,
    },
    /// Somebody asked to stop.
    Stopped,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Drain {
    /// The farm's name.
    pub farm: String,
    /// The pond's name.
    pub pond: String,
    /// Its place among the farm's ponds.
    pub index: usize,
    /// This morning.
    pub on: Day,
    /// The clock hour taken for now.
    pub now_hour: i32,
    /// Day of the catch.
    pub catch_day: Day,
    /// It is the plan's day.
    pub is_planned: bool,
    /// Hour at which the plan lets the water go for that day, where nothing else was wished.
    pub planned_start_h: Option<f64>,
    /// Depth by the drain when full, now, for the net, at the catch, m.
    pub full_m: f64,
    /// See `full_m`.
    pub from_m: f64,
    /// When its water was let go, where it goes down already, h from this morning's midnight.
    pub since_h: Option<f64>,
    /// It is emptied with what the remembered time speaks of.
    pub is_as_told: bool,
    /// See `full_m`; `None` when the net is not pulled.
    pub seining_m: Option<f64>,
    /// See `full_m`.
    pub catch_m: f64,
    /// Water when full, m³.
    pub full_m3: f64,
    /// The ways out, in the order of the course.
    pub ways: Vec<WayOut>,
    /// Hours from full to catch depth by the sum alone, with everything at work; `None` when the sum never gets there.
    pub reckoned_h: Option<f64>,
    /// As the grower remembers it, h.
    pub told_h: Option<f64>,
    /// What the works do against the sum.
    pub pace_factor: f64,
    /// Height of the outlet water above the lowest floor when it is opened, m.
    pub outlet_water_m: Option<f64>,
    /// The same by hours: empty where none stands in the way, one row where it stands still; between them it is linear.
    pub outlet_by_hour_h_m: Vec<(f64, f64)>,
    /// What was wanted.
    pub wanted: Wanted,
    /// When to open what, and what the water does.
    pub opening: Opening,
    /// Stretches of night while it goes on.
    pub nights_h: Vec<(f64, f64)>,
    /// Fuel, where pumps burn any.
    pub fuel: Option<FuelNeed>,
    /// Its water on the way; `None` beyond the last day that futures were drawn for.
    pub water: Option<WaterDown>,
    /// The same by member, for whoever rehearses the day under each; hours count from standard midnight of `on`.
    pub by_member: Option<PlaceTable>,
    /// The last water with the animals crowded in it.
    pub last: Option<LastWater>,
    /// What would change it.
    pub ifs: Vec<If>,
    /// Mark above which animals follow falling water, °C.
    pub follow_mark_c: f64,
    /// The cold mark, °C.
    pub cold_mark_c: f64,
    /// A caution at the mud belongs where soft silt is told.
    pub silt_m: f64,
}

/// Fuel for the way down.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelNeed {
    /// Burnt until catch depth and through the catch, L.
    pub needed_l: f64,
    /// In store, L.
    pub store_l: f64,
    /// When the store is burnt, if it is too little.
    pub out_h: Option<f64>,
    /// When a pump's tank is dry: which way, and the hours.
    pub refills: Vec<(usize, Vec<f64>)>,
}

/// Answers for one pond of a morning.
///
/// # Errors
/// [`DrainError`].
pub fn drain(
    ask: &MorningAsk,
    drawn: &Drawn,
    outlook: &Outlook,
    pond: usize,
    wish: &Wish,
    watch: &Watch,
) -> Result<Drain, DrainError> {
    let of = Setting::new(ask, drawn, pond)?;
    let card = of.card;
    let shown = outlook.ponds.iter().find(|shown| shown.index == pond);
    let planned = shown
        .and_then(|shown| shown.planned)
        .map(|planned| planned.second_day.filter(|_| planned.parts).unwrap_or(planned.catch_day));
    let asked = of.asked(wish, planned)?;
    let as_planned = planned == Some(asked.catch_day) && *wish == Wish { catch_day: wish.catch_day, ..Wish::default() };
    let start = shown.and_then(|shown| shown.planned).filter(|_| as_planned).map(|planned| planned.start);
    let planned_start_h = start.map(|(day, hour)| f64::from(day.0 - ask.on.0) * 24.0 + f64::from(hour));
    let opening = solve(&of.held, &asked.works, &asked.wanted);
    let (water, table) = water::water_down(&of, &asked, &opening, watch)?;
    let last = shown.zip(water.as_ref()).map(|(shown, water)| last::last_water(&of, &asked, &opening, shown, water));
    let ifs = match &water {
        Some(water) => ifs::ifs(&of, wish, &asked, water, watch)?,
        None => Vec::new(),
    };
    let shape = of.held.shape();
    let full_m = shape.full_m();
    let named = works(ask.farm, card, shape, &asked.pumps);
    Ok(Drain {
        farm: ask.farm.name.clone(),
        pond: card.name.clone(),
        index: pond,
        on: ask.on,
        now_hour: ask.now_hour,
        catch_day: asked.catch_day,
        is_planned: planned == Some(asked.catch_day),
        planned_start_h,
        full_m,
        from_m: asked.wanted.from_m,
        since_h: card.draining_since.filter(|_| wish.open_at.is_none()).map(|since| of.clock(since)),
        is_as_told: asked.pumps == card.emptying.pumps && wish.extra_m3_h.is_none(),
        seining_m: asked.wanted.seine.map(|seine| seine.stage_m),
        catch_m: asked.wanted.catch_m,
        full_m3: shape.volume_m3(full_m),
        ways: of.way_names(&asked.pumps, wish),
        reckoned_h: hours_down(shape, &named, full_m, asked.wanted.catch_m),
        told_h: card.emptying.told_h,
        pace_factor: asked.works.pace_factor,
        outlet_water_m: asked.works.outlet.height_m(opening.start_h),
        outlet_by_hour_h_m: asked.works.outlet.by_hour_h_m.clone(),
        nights_h: of.nights(&opening),
        fuel: of.fuel(&asked, &opening),
        wanted: asked.wanted,
        opening,
        water,
        by_member: table,
        last,
        ifs,
        follow_mark_c: ask.farm.choices.follow_mark_c,
        cold_mark_c: ask.farm.choices.cold_mark_c,
        silt_m: card.shape.silt_m,
    })
}
