//! A whole farm, ready to use: every value checked, in SI units, with what was assumed listed beside it.
//!
//! Made only by [`crate::read_farm`]. Units stand last in each name; money is in smallest coins of the farm's currency,
//! as `f64` while it is a price or an expectation.

use units::{Currency, Day, Zone};

use crate::chore::Chore;
use crate::line_card::LineCard;
use crate::means::{Cold, Crew, Gear, Source, Tank};
use crate::pond_card::{PastCrop, PondCard};
use crate::trade::{Calendar, Costs, Orders, Prices, SaleDay, StandingBuyer};

/// Everything a grower has written down about the farm.
#[derive(Debug, Clone, PartialEq)]
pub struct Farm {
    /// The farm's name.
    pub name: String,
    /// The currency of every price and cost.
    pub currency: Currency,
    /// Where it lies.
    pub place: Place,
    /// Which files hold its weather.
    pub weather: WeatherFiles,
    /// The stored morning a first look shows, if the farm carries one.
    pub morning: Option<Morning>,
    /// When the season ends, and how the crop is doing as far as anyone knows.
    pub season: Season,
    /// The ponds, in the order written.
    pub ponds: Vec<PondCard>,
    /// Crops that came out and were weighed, by pond and day, as far as recorded.
    pub crops: Vec<PastCrop>,
    /// Pumps, generators, fuel, baskets, hired things.
    pub gear: Gear,
    /// Tanks in which postlarvae are raised, in the order written.
    pub tanks: Vec<Tank>,
    /// Where water for filling comes from, in the order written.
    pub sources: Vec<Source>,
    /// Hands and hours.
    pub crew: Crew,
    /// The harvest day: own paces, tubs, scales, helpers beside the crew.
    pub line: LineCard,
    /// Ice, cold store, live tanks.
    pub cold: Cold,
    /// What buyers will take.
    pub orders: Orders,
    /// Who buys at every catch, in the order written.
    pub buyers: Vec<StandingBuyer>,
    /// How a sale day goes.
    pub sale_day: SaleDay,
    /// Workdays, holidays, sale days.
    pub calendar: Calendar,
    /// Days after which work comes round here, as far as the farm says.
    pub rhythms: Vec<(Chore, i32)>,
    /// What a pound brings, by form and size.
    pub prices: Prices,
    /// What a day, an hour, a kilogram costs.
    pub costs: Costs,
    /// The cold marks and what chances the grower will take.
    pub choices: Choices,
    /// Starting figures that come from what the grower remembers.
    pub told: Vec<Told>,
    /// Each default that was used because the file does not say.
    pub assumed: Vec<Assumed>,
    /// Values that were taken but look unusual.
    pub doubts: Vec<Doubt>,
}

/// Where the farm lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude_deg: f64,
    /// Degrees, east positive.
    pub longitude_deg: f64,
    /// Metres above the sea.
    pub elevation_m: f64,
    /// The farm's clock.
    pub zone: Zone,
    /// The clock as written, for showing.
    pub zone_name: String,
}

/// Files that hold the past. Paths are relative to the folder of the farm's own file; the shell reads them.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherFiles {
    /// Daily low and high of past years.
    pub history: String,
    /// Days by which every date in `history` is moved later before use: half a year turns a record round to the other
    /// hemisphere. A past so moved is invented, and pages say so.
    pub history_moved_days: i32,
    /// Folder of hourly records that lend wind, dew point, cloud and rain. `None`: the set shipped with the program.
    pub donors: Option<String>,
}

/// A fixed morning, with the forecast that stood then.
#[derive(Debug, Clone, PartialEq)]
pub struct Morning {
    /// The day, used unless the person names another.
    pub on: Day,
    /// Forecast file, relative to the farm's own file.
    pub forecast: Option<String>,
}

/// The season and the grower's beliefs about the crop.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// The last day on which a pond may be brought out.
    pub last_catch: Day,
    /// Share of stocked animals the grower expects to catch alive, told from other years; `None` leaves it to the model.
    pub survival_told: Option<f64>,
}

/// Marks and appetites.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    /// Dawn bottom water below this is the grower's cold mark, °C.
    pub cold_mark_c: f64,
    /// Animals follow falling water only above this, °C.
    pub follow_mark_c: f64,
    /// Largest chance of the cold mark a plan may run while an earlier start is possible, 0 to 1; `None` when the grower has
    /// switched the guard off.
    pub guard_chance: Option<f64>,
    /// A day's pounds are judged by what is kept in this share of futures, 0 to 1.
    pub keep_level: f64,
    /// Weight on each pond's expected loss to cold: 1 is plain expected value.
    pub risk_weight: f64,
}

/// A default that stands in for something not said.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumed {
    /// Key in the table of inputs, with the pond's or pump's name where there is one (`pond.wind_factor`, `Willow`).
    pub key: &'static str,
    /// The pond, pump or row it was used for.
    pub of: Option<String>,
    /// The value used, as one would type it.
    pub value: String,
}

/// A figure that comes from what the grower remembers.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Key in the table of inputs of the figure it sets.
    pub key: &'static str,
    /// The pond, where there is one.
    pub of: Option<String>,
    /// The figure, in the unit of its kind; `None` for what is kept as a note and sets nothing.
    pub value: Option<f64>,
}

/// A value that was taken and looks unusual.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Line in the farm's file, from 1.
    pub line: usize,
    /// Key in the table of inputs.
    pub key: &'static str,
    /// The pond, pump or row it belongs to.
    pub of: Option<String>,
    /// The value as typed.
    pub typed: String,
    /// What is unusual.
    pub what: DoubtKind,
}

/// Why a value looks unusual.
#[derive(Debug, Clone, PartialEq)]
pub enum DoubtKind {
    /// Outside the usual range of the table of inputs (both ends as one would type them).
    Unusual {
        /// Usual smallest.
        from: String,
        /// Usual largest.
        to: String,
    },
    /// Length times width is far from the area given (ratio of the two).
    AreaAndPaces {
        /// Length times width over area.
        ratio: f64,
    },
    /// The survey's depth or area is not that of the other lines. The survey is used.
    SurveyAndFigures {
        /// Its depth over the depth given.
        depth_ratio: f64,
        /// Its area over the area given.
        area_ratio: f64,
    },
    /// Remembered time to empty is far from what the pumps would take by their rates.
    TimeToEmpty {
        /// Hours by the pumps' rates alone.
        by_pumps_h: f64,
    },
    /// The farm's clock does not go with its longitude.
    ClockAndLongitude {
        /// Degrees east that the clock's hour would be right for.
        clock_deg: f64,
        /// East and west exchanged would fit.
        exchanged: bool,
    },
    /// Some sizes have no price in a form that is sold: they bring nothing.
    NoPriceForSizes {
        /// From this weight of one piece, g.
        from_g: f64,
        /// To this; infinite at the top.
        to_g: f64,
    },
}

/// First and last day, both counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Days {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
}

impl Days {
    /// Whether the day is one of them.
    pub fn contains(&self, day: Day) -> bool {
        self.from <= day && day <= self.to
    }
}
