//! One basin under one record of weather, hour by hour, held against thermometers where there are any.
//!
//! Order: the basin file gives shape, level, light and plants by date; the weather gives the hours; `pond` does each hour.
//! Scores leave out the first day, in which the run still is what it was started from.

mod air;
mod course;
mod model;
mod restart;
mod score;

#[cfg(test)]
mod tests;

use farm::basin::{BasinFile, Ground};
use farm::observed::{Observed, Place, Spot};
use units::{Instant, Watch};
use weather::AirSeries;

pub use air::{AirRead, read_air};
pub use course::Course;
use model::Model;
pub use restart::{From, LeadScore, Restart};
pub use score::{Dawn, Fit, PlaceScore, Range, SPELL_LEAST_K, Spell, SpotScore};

/// What is asked.
#[derive(Debug, Clone)]
pub struct WaterAsk<'a> {
    /// The basin.
    pub basin: &'a BasinFile,
    /// The air, without a hole.
    pub air: &'a AirSeries,
    /// Thermometers, when there are any.
    pub observed: Option<&'a Observed>,
    /// First moment; else where the weather begins (or the first reading, when that is later and gives the start).
    pub from: Option<Instant>,
    /// Last moment; else where the weather ends.
    pub to: Option<Instant>,
    /// Columns from the shallow to the deep end.
    pub columns: usize,
    /// Places and depths to give; none: those of the readings, or a few depths of each place.
    pub at: Vec<Spot>,
    /// Restarts from the readings.
    pub restart: Option<Restart>,
    /// Which hour is dawn.
    pub dawn: Dawn,
}

/// What came out.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterAnswer {
    /// The water at the places asked for.
    pub course: Course,
    /// Where the start came from.
    pub start: StartFrom,
    /// The ground's yearly wave in use.
    pub ground: Ground,
    /// Whether that wave came from the weather and not from the basin file.
    pub ground_from_weather: bool,
    /// By place and depth; empty without readings.
    pub spots: Vec<SpotScore>,
    /// By place; empty without readings.
    pub places: Vec<PlaceScore>,
    /// By place and lead; empty without restarts.
    pub leads: Vec<LeadScore>,
    /// Of the same days from the run as it went on, where the restarts began from what a thermometer taught.
    pub untaught: Vec<LeadScore>,
    /// Greatest miss of the heat balance over the run, as a share of the heat turned over.
    pub heat_unaccounted: f64,
}

/// Where the starting profile came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartFrom {
    /// The basin file.
    File,
    /// The readings' first row.
    Readings,
}

/// Why the question has no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum WaterError {
    /// The span asked for does not lie in the weather.
    OutsideWeather {
        /// First moment asked for.
        from: Instant,
        /// Last moment asked for.
        to: Instant,
        /// First moment of the weather.
        weather_from: Instant,
        /// Its end.
        weather_to: Instant,
    },
    /// The span is empty.
    NothingBetween {
        /// First moment.
        from: Instant,
        /// Last moment.
        to: Instant,
    },
    /// Neither the file nor the readings tell how warm the water is at the start.
    NoStart,
    /// The bed needs figures: the weather does not cover a year.
    GroundUnknown {
        /// Days the weather covers.
        days: usize,
    },
    /// The shape cannot be.
    Shape(pond::ShapeError),
    /// The level is above the highest the shape knows.
    LevelTooHigh {
        /// Level, m.
        level_m: f64,
        /// Highest, m.
        most_m: f64,
    },
    /// A basin is cut into 1 to so many columns.
    NoColumn {
        /// Most.
        most: usize,
    },
    /// The readings have no thermometer at the place that is to teach.
    NoThermometer {
        /// The place.
        by: Spot,
    },
    /// Restarts need readings.
    RestartWithoutReadings,
    /// Asked to stop.
    Stopped,
}

/// Runs the basin through the weather and scores it.
///
/// # Errors
/// [`WaterError`] says which question could not be answered.
pub fn water(ask: &WaterAsk<'_>, watch: &Watch) -> Result<WaterAnswer, WaterError> {
    let span = span(ask)?;
    let (profile, start) = starting_profile(ask, span.0)?;
    let (ground, ground_from_weather) = ground(ask)?;
    let world = model::World::new(ask, span, ground)?;
    expect(ask, span, watch);
    let tended = world.start(&profile);
    let out = spots(ask);
    let observed_spots = ask.observed.map_or(&[][..], |observed| &observed.spots);
    let all: Vec<Spot> = out.iter().chain(observed_spots).copied().collect();
    let (course, heat_unaccounted) = run(tended.clone(), &all, watch)?;
    let (course, beside) = course.split(out.len());
    let mut answer = WaterAnswer {
        course,
        start,
        ground,
        ground_from_weather,
        spots: Vec::new(),
        places: Vec::new(),
        leads: Vec::new(),
        untaught: Vec::new(),
        heat_unaccounted,
    };
    let Some(observed) = ask.observed else {
        return if ask.restart.is_some() { Err(WaterError::RestartWithoutReadings) } else { Ok(answer) };
    };
    let zone = &ask.basin.zone;
    let pairs = score::pairs(observed, &beside, zone, span.0.plus_hours(24));
    answer.spots = score::by_spot(&observed.spots, &pairs, zone, ask.dawn);
    answer.places = score::by_place(&observed.spots, &pairs, zone, ask.dawn);
    if let Some(restart) = &ask.restart {
        if matches!(restart.from, From::Taught { .. }) {
            let plain = Restart { from: From::Nothing, ..restart.clone() };
            answer.untaught = restart::scores(tended.clone(), observed, &plain, zone, ask.dawn, watch)?;
        }
        answer.leads = restart::scores(tended, observed, restart, zone, ask.dawn, watch)?;
    }
    Ok(answer)
}

fn run(mut model: Model<'_>, spots: &[Spot], watch: &Watch) -> Result<(Course, f64), WaterError> {
    let mut course = Course { start: model.now(), spots: spots.to_vec(), temps_c: vec![model.temps_c(spots)] };
    while model.now() < model.end() {
        if watch.asked_to_stop() {
            return Err(WaterError::Stopped);
        }
        model.hour();
        watch.advance(1);
        course.temps_c.push(model.temps_c(spots));
    }
    Ok((course, model.heat_unaccounted()))
}

/// First and last moment, both on the weather's grid of hours.
fn span(ask: &WaterAsk<'_>) -> Result<(Instant, Instant), WaterError> {
    let (weather_from, weather_to) = (ask.air.start, ask.air.end());
    // Readings that give the start cannot do so before they begin.
    let first_reading = ask
        .observed
        .filter(|_| ask.basin.start_profile_m_c.is_empty())
        .and_then(|observed| observed.rows.iter().find(|row| row.temps_c.iter().any(Option::is_some)))
        .map(|row| score::starts(row.when, &ask.basin.zone));
    let from = ask.from.max(first_reading).unwrap_or(weather_from);
    let to = ask.to.unwrap_or(weather_to);
    if from < weather_from || to > weather_to {
        return Err(WaterError::OutsideWeather { from, to, weather_from, weather_to });
    }
    let on_grid = |at: Instant| weather_from.plus_hours(at.hours_since(weather_from));
    let (from, to) = (on_grid(from), on_grid(to));
    if from >= to { Err(WaterError::NothingBetween { from, to }) } else { Ok((from, to)) }
}

/// The start as depth and temperature at each place that has one.
fn starting_profile(ask: &WaterAsk<'_>, from: Instant) -> Result<(Profiles, StartFrom), WaterError> {
    let file = &ask.basin.start_profile_m_c;
    if !file.is_empty() {
        return Ok((vec![(Place::Deep, file.clone())], StartFrom::File));
    }
    let rows = ask.observed.map_or(&[][..], |observed| &observed.rows);
    let first = rows.iter().find(|row| score::starts(row.when, &ask.basin.zone) >= from);
    let (Some(observed), Some(row)) = (ask.observed, first) else { return Err(WaterError::NoStart) };
    let profiles = restart::profiles_of(observed, row);
    if profiles.is_empty() { Err(WaterError::NoStart) } else { Ok((profiles, StartFrom::Readings)) }
}

/// Depth and temperature by place.
type Profiles = Vec<(Place, Vec<(f64, f64)>)>;

/// Days of weather that make a year's climate.
const YEAR_DAYS: usize = 360;
/// Yearly mean of the ground above that of the air, K (our guess, good to 1.5 K: see docs/model/water.md).
const GROUND_ABOVE_AIR_K: f64 = 1.5;

/// The ground as given, or from a year of weather: mean of the air and a little more, half the range of monthly air with
/// frost counted as zero, because water does not follow the air below that.
fn ground(ask: &WaterAsk<'_>) -> Result<(Ground, bool), WaterError> {
    if let Some(ground) = ask.basin.ground_c {
        return Ok((ground, false));
    }
    let days: Vec<f64> =
        ask.air.hours.chunks_exact(24).map(|day| day.iter().map(|hour| hour.air_temp_c).sum::<f64>() / 24.0).collect();
    if days.len() < YEAR_DAYS {
        return Err(WaterError::GroundUnknown { days: days.len() });
    }
    // Whole years only, so that no season counts twice.
    let whole = (days.len() / 365).max(1) * 365;
    let days = &days[..whole.min(days.len())];
    let mean_c = days.iter().sum::<f64>() / days.len() as f64 + GROUND_ABOVE_AIR_K;
    let months = days.windows(30).map(|month| month.iter().map(|day| day.max(0.0)).sum::<f64>() / 30.0);
    let (low, high) = months.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), c| (low.min(c), high.max(c)));
    Ok((Ground { mean_c, half_range_c: 0.5 * (high - low) }, true))
}

/// Depths given when none are asked for, as parts of the water's depth.
const USUAL_M: [f64; 5] = [0.0, 0.25, 0.5, 1.0, 1.5];

fn spots(ask: &WaterAsk<'_>) -> Vec<Spot> {
    if !ask.at.is_empty() {
        return ask.at.clone();
    }
    if let Some(observed) = ask.observed {
        return observed.spots.clone();
    }
    let places = if ask.columns > 1 { &Place::ALL[..] } else { &[Place::Deep] };
    let full_m = ask.basin.shape.full_level_m();
    let depths = USUAL_M.into_iter().filter(|&depth_m| depth_m < full_m);
    let spots = depths.flat_map(|depth_m| places.iter().map(move |&place| Spot { place, depth_m }));
    let mut spots: Vec<Spot> = spots.collect();
    spots.sort_by_key(|spot| spot.place);
    spots
}

/// Says beforehand how many hours there will be.
fn expect(ask: &WaterAsk<'_>, span: (Instant, Instant), watch: &Watch) {
    let hours = span.1.hours_since(span.0);
    let again = ask.restart.as_ref().map_or(0, |restart| {
        let longest = i64::from(restart.lead_days.iter().copied().max().unwrap_or(0)) * 24 + 13;
        hours / (24 * i64::from(restart.every_days.max(1))) * longest + hours
    });
    watch.expect((hours + again).max(0) as u64);
}
