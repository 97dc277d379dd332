//! What is known about one pond: its shape from a few paces and depths, how it empties, what swims in it.

use units::{Day, Instant};

use crate::chore::Chore;
use crate::farm::Days;

/// One pond, as its grower knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct PondCard {
    /// Name as written.
    pub name: String,
    /// Name for addresses and tables: small letters, digits and dashes.
    pub id: String,
    /// Shape when full.
    pub shape: Shape,
    /// Light and plants by date, at least one row, in order of date.
    pub seen: Vec<Seen>,
    /// Wind over the water as a share of the station's wind.
    pub wind_factor: Belief,
    /// Added surface (netting) over bottom area, 0 to 2.
    pub substrate: f64,
    /// Aeration.
    pub aeration: Aeration,
    /// How it empties.
    pub emptying: Emptying,
    /// Hours from catch depth to the last basket, apart from what hands allow.
    pub catch_hours: f64,
    /// What was stocked.
    pub stocking: Stocking,
    /// Weighed samples, in order of date.
    pub samples: Vec<Sample>,
    /// Looks for dead animals, in order of date.
    pub dead: Vec<DeadSeen>,
    /// What was caught of these animals so far, in order of date.
    pub taken: Vec<Taken>,
    /// Days on which water ran over its bank or screens.
    pub overflowed: Vec<Day>,
    /// Feeds of which somebody saw what was left, in order of date.
    pub fed: Vec<Fed>,
    /// Thermometer readings, in order of time.
    pub readings: Vec<Reading>,
    /// Oxygen that was read, in order of time.
    pub oxygen: Vec<OxygenRead>,
    /// pH, ammonia and nitrite that were read, in order of time.
    pub chemistry: Vec<ChemistryRead>,
    /// Work that comes round, as it was done, in order of the day.
    pub done: Vec<(Chore, Day)>,
    /// After rain.
    pub after_rain: AfterRain,
    /// The pond may be brought out in parts.
    pub parts: Parts,
    /// Its catch day is fixed.
    pub locked: Option<Day>,
    /// Days of its catch in the plan that was accepted last: for these everybody was told and everything ordered.
    pub announced: Vec<Day>,
    /// The day on which that plan was accepted.
    pub announced_on: Option<Day>,
    /// Days on which it may not be caught.
    pub forbidden: Vec<Days>,
    /// The drain or pump has been running since.
    pub draining_since: Option<Instant>,
    /// The level read last since then by the night's watch: when, and how far below full, m.
    pub draining_read: Option<(Instant, f64)>,
    /// It came out on this day and is empty.
    pub harvested: Option<Day>,
}

/// Shape of the full pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Water area when full, m².
    pub area_m2: f64,
    /// Depth at the shallow end when full, m.
    pub shallow_depth_m: f64,
    /// Depth at the drain end when full, m.
    pub deep_depth_m: f64,
    /// Length from shallow to drain end at the water's edge, m, when paced.
    pub length_m: Option<f64>,
    /// Width at the water's edge, m, when paced and the length was not: beside a length the area says it.
    pub width_m: Option<f64>,
    /// Run per rise of the long banks.
    pub side_slope: f64,
    /// Depth above the pond's deepest point (m) and water area (m²) from a survey, rising; empty when there is none.
    pub area_by_depth_m_m2: Vec<(f64, f64)>,
    /// Further soundings of the floor: distance from the shallow end and depth when full, m, in order; empty when it falls evenly.
    pub soundings_m: Vec<(f64, f64)>,
    /// Height of silt between the floor and the drain, m: water behind it does not leave by itself.
    pub silt_m: f64,
}

/// What the grower saw of the water on a day; linear between days, held before the first and after the last.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The day; `None` for what holds all season.
    pub on: Option<Day>,
    /// Depth at which the white-and-black disk (or a hand) goes out of sight, m.
    pub secchi_m: f64,
    /// Plants, 0 bare to 1 a closed canopy at the surface.
    pub plants: f64,
    /// How far the water stands below full, m.
    pub below_full_m: f64,
}

/// A factor and how far off it may be: median and standard deviation of its natural logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// Median.
    pub median: f64,
    /// Standard deviation of the logarithm.
    pub sd_log: f64,
}

/// Aerators of one pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aeration {
    /// Rated power, kW; 0 when there is none.
    pub power_kw: f64,
    /// Hours run in a usual late-season day.
    pub hours_per_day: f64,
    /// Its kind.
    pub kind: AeratorKind,
}

/// Kinds of aerator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AeratorKind {
    /// Paddles that throw water.
    Paddlewheel,
    /// A propeller that draws air down a shaft.
    Propeller,
    /// A pump that throws water up.
    Pump,
    /// Air blown through pipes at the floor.
    Bubbles,
}

impl AeratorKind {
    /// All kinds, in the order of the table of inputs.
    pub const ALL: [AeratorKind; 4] =
        [AeratorKind::Paddlewheel, AeratorKind::Propeller, AeratorKind::Pump, AeratorKind::Bubbles];
    /// Oxygen it brings into clean water without any, kg for each kWh: the careful end of what is recalled (Boyd 1998: paddlewheels 1.5
    /// to 2.6, propellers 1.3 to 1.6, pumps 1.2 to 1.4, bubbles in shallow ponds 0.6 to 1.0).
    pub fn rated_kg_kwh(self) -> f64 {
        match self {
            AeratorKind::Paddlewheel => 1.5,
            AeratorKind::Propeller => 1.3,
            AeratorKind::Pump => 1.2,
            AeratorKind::Bubbles => 0.6,
        }
    }
}

/// How a pond empties.
#[derive(Debug, Clone, PartialEq)]
pub struct Emptying {
    /// The outlet.
    pub outlet: Outlet,
    /// Pumps that may be set to this pond, as places in `gear.pumps`.
    pub pumps: Vec<usize>,
    /// Hours from opening to catch depth as the grower remembers, with everything named above at work; overrides the sum.
    pub told_h: Option<f64>,
    /// Depth at the drain at which the catch begins, m.
    pub catch_depth_m: f64,
    /// A catch basin stands at the drain.
    pub catch_basin: bool,
    /// What else is told of the way down.
    pub more: WayDown,
}

/// What a grower may tell of the way down beside its time; `None` where nothing is told.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WayDown {
    /// Depth by the drain at which the net is pulled, m.
    pub seining_depth_m: Option<f64>,
    /// How long the water is held for the net, h.
    pub seining_h: Option<f64>,
    /// Height of the river or ditch at the drain above the pond's lowest floor, m.
    pub outlet_water_m: Option<f64>,
    /// A flap keeps it out.
    pub outlet_flap: bool,
    /// Share that the drain's screen lets through.
    pub screen_fraction: Option<f64>,
    /// Height of the pumps' intakes above the lowest floor, m.
    pub pump_intake_m: Option<f64>,
    /// What runs in while it empties, m³/h.
    pub inflow_m3_h: Option<f64>,
    /// Well water that can be let in, m³/h.
    pub well_m3_h: Option<f64>,
    /// Its temperature, °C.
    pub well_c: Option<f64>,
    /// Water in the catch basin, m³.
    pub basin_m3: Option<f64>,
}

/// A pond's outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outlet {
    /// Pump only.
    None,
    /// A standpipe that is turned down or drawn out; inside diameter, m.
    Standpipe {
        /// Inside diameter, m.
        diameter_m: f64,
    },
    /// A pipe with a valve or gate; inside diameter, m.
    Pipe {
        /// Inside diameter, m.
        diameter_m: f64,
    },
}

/// The stocking of a pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Stocking {
    /// The day.
    pub on: Day,
    /// Animals put in.
    pub count: f64,
    /// Mean weight then, g.
    pub mean_weight_g: f64,
    /// More or less by this, 95 times in 100, where it was counted from samples; 0 for one by one.
    pub count_either_way: Option<f64>,
}

/// A weighed sample.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sample {
    /// The day.
    pub on: Day,
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// How many were weighed.
    pub counted: u32,
    /// Standard error of the mean as a share of it, where the weights themselves tell it.
    pub error_fraction: Option<f64>,
    /// How they were caught.
    pub by: Caught,
    /// Orange-claw males and all others, where every animal's form was told.
    pub orange_and_others: Option<(u32, u32)>,
    /// It stands in the farm's file; else it was entered at the pond.
    pub is_of_file: bool,
}

/// How a sample was caught.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Caught {
    /// Not told.
    #[default]
    NotTold,
    /// With a dragged net.
    Seine,
    /// With a thrown net.
    CastNet,
    /// In baited traps.
    Trap,
    /// By hand or dip net.
    Hand,
}

/// Dead animals that somebody looked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadSeen {
    /// The day.
    pub on: Day,
    /// How many were seen; 0 when there were none.
    pub count: f64,
}

/// What came out of a pond on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// The day.
    pub on: Day,
    /// Live weight, kg.
    pub live_kg: f64,
    /// It was weighed basket by basket: while its day lasts the harvest day itself takes it off.
    pub by_baskets: bool,
}

impl Taken {
    /// Whether it is off what stands in the pond on the morning of a day.
    pub fn counts_on(&self, day: Day) -> bool {
        self.on < day || (self.on == day && !self.by_baskets)
    }
}

/// A feed of which somebody saw what was left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fed {
    /// The day.
    pub on: Day,
    /// Given, kg.
    pub given_kg: f64,
    /// What was left.
    pub left: FeedLeft,
}

/// What was left of a feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeedLeft {
    /// Nothing.
    None,
    /// Some, less than half.
    Some,
    /// Half or more.
    Most,
}

/// A crop that came out and was weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct PastCrop {
    /// The pond's short name.
    pub pond: String,
    /// What went in.
    pub stocking: Stocking,
    /// The day from which the pond was empty.
    pub out: Day,
    /// Live weight that came out, kg.
    pub caught_kg: f64,
    /// Animals that came out, where every weighed catch says a mean weight.
    pub caught_count: Option<f64>,
}

/// A thermometer reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// When.
    pub at: Instant,
    /// Where along the pond.
    pub place: AlongPond,
    /// Depth below the surface, m.
    pub depth_m: f64,
    /// Water temperature, °C.
    pub temp_c: f64,
}

/// One reading of oxygen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OxygenRead {
    /// When.
    pub at: Instant,
    /// Dissolved oxygen, mg/L.
    pub mg_l: f64,
    /// Depth below the surface, m.
    pub depth_m: f64,
}

/// What else was read of the water at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChemistryRead {
    /// When.
    pub at: Instant,
    /// pH.
    pub ph: Option<f64>,
    /// Total ammonia as nitrogen, mg/L.
    pub ammonia_mg_l: Option<f64>,
    /// Nitrite as nitrogen, mg/L.
    pub nitrite_mg_l: Option<f64>,
    /// Water there and then, °C, when it was read too.
    pub temp_c: Option<f64>,
}

/// Place along a pond from shallow end to drain end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AlongPond {
    /// Drain end.
    Deep,
    /// Halfway.
    Middle,
    /// Shallow end.
    Shallow,
}

/// When rain closes the bank or drowns the outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterRain {
    /// A day's rain from which trucks cannot reach the bank, mm; `None` when rain never closes it.
    pub bank_closed_by_mm: Option<f64>,
    /// Days the bank then stays closed, after the day of the rain.
    pub bank_closed_days: u32,
    /// A day's rain from which high water drowns the outlet, mm; `None` when it never does.
    pub outlet_drowned_by_mm: Option<f64>,
    /// Days the outlet then stays drowned, after the day of the rain.
    pub outlet_drowned_days: u32,
}

/// Ways of taking a pond in parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Parts {
    /// One pond over two days.
    pub two_days: bool,
    /// A seining of large animals for early orders, the rest later.
    pub early_seining: bool,
}
