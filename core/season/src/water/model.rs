//! The basin as `pond` runs it: hours, levels, light and ground by date made ready, then one hour after another in f64.

use farm::basin::{BasinFile, Ground, Shape};
use farm::observed::{Place, Spot};
use pond::{Air, Basin, Budget, Conditions, Flows, Levee, MAX_COLUMNS, Schedule, Scratch, Water, hour};
use units::{Day, Instant, SECONDS_PER_HOUR};

use super::{Profiles, WaterAsk, WaterError};
use crate::learn::{Doubt, Learner, Seen};

/// Everything the hours share.
pub(crate) struct World {
    basin: Basin,
    schedule: Schedule,
    air: Vec<Air<f64>>,
    start: Instant,
    ground: pond::Ground,
    start_day_of_year: f64,
    wind_factor: f64,
}

/// Roughness of open water for wind, m: the profile between the anemometer and 10 m.
const WATER_ROUGHNESS_M: f64 = 2e-4;

impl World {
    pub fn new(ask: &WaterAsk<'_>, span: (Instant, Instant), ground: Ground) -> Result<World, WaterError> {
        let file = ask.basin;
        if !(1..=MAX_COLUMNS).contains(&ask.columns) {
            return Err(WaterError::NoColumn { most: MAX_COLUMNS });
        }
        let shape = shape(&file.shape, ask.columns).map_err(WaterError::Shape)?;
        let basin = Basin::new(shape, file.latitude_deg);
        let ground = basin.ground(ground.mean_c, ground.half_range_c);
        let hours = span.1.hours_since(span.0);
        let conditions: Vec<Conditions> =
            (0..hours).map(|hour| conditions(file, &ground, span.0.plus_hours(hour))).collect();
        if let Some(high) = conditions.iter().find(|hour| hour.level_m > basin.shape().top_m()) {
            return Err(WaterError::LevelTooHigh { level_m: high.level_m, most_m: basin.shape().top_m() });
        }
        let flows = Flows {
            seepage_m_h: file.seepage_mm_d / 24_000.0,
            inflow_m3_h: file.inflow.map_or(0.0, |inflow| inflow.flow_m3_h),
            inflow_temp_c: file.inflow.map_or(0.0, |inflow| inflow.temp_c),
        };
        let schedule = Schedule::new(&basin, &conditions, &flows);
        let first = span.0.hours_since(ask.air.start).max(0) as usize;
        // The logarithmic wind profile over open water; 1 for an anemometer at 10 m.
        let to_10_m = units::ln(10.0 / WATER_ROUGHNESS_M) / units::ln(file.wind_height_m / WATER_ROUGHNESS_M);
        let air = ask.air.hours[first..first + hours as usize].iter().map(|hour| of_hour(hour, to_10_m)).collect();
        let start_day_of_year = day_of_year(file, span.0);
        Ok(World { basin, schedule, air, start: span.0, ground, start_day_of_year, wind_factor: file.wind_factor })
    }

    /// The water at the start.
    pub fn start(&self, profiles: &Profiles) -> Model<'_> {
        let stage = self.schedule.stage(0);
        let deepest = &profiles[0].1;
        let water = Water::start(&self.basin, stage, deepest, &self.ground, self.start_day_of_year);
        let mut model = Model {
            world: self,
            water: water.with_wind(self.wind_factor),
            budget: Budget::default(),
            scratch: Scratch::new(&self.basin),
            done: 0,
            start_heat_j: 0.0,
        };
        if profiles.len() > 1 {
            model.set_water(profiles);
        }
        model.start_heat_j = model.water.heat_j(stage, 0);
        model
    }
}

fn of_hour(hour: &weather::AirHour, to_10_m: f64) -> Air<f64> {
    Air {
        air_temp_c: hour.air_temp_c,
        vapour_pressure_hpa: hour.vapour_pressure_hpa,
        wind_m_s: hour.wind_m_s * to_10_m,
        shortwave_w_m2: hour.shortwave_w_m2,
        longwave_w_m2: hour.longwave_w_m2,
        pressure_hpa: hour.pressure_hpa,
        rain_m: hour.rain_mm / 1000.0,
    }
}

fn shape(shape: &Shape, columns: usize) -> Result<pond::Shape, pond::ShapeError> {
    match shape {
        Shape::DepthArea { rows, length_m, shallow_depth_m, .. } => pond::Shape::from_table(
            &pond::DepthArea { depth_area_m_m2: rows.clone(), length_m: *length_m, depth_shallow_m: *shallow_depth_m },
            columns,
        ),
        Shape::Survey { length_m, width_m, shallow_depth_m, deep_depth_m, side_slope } => {
            let mut levee = Levee::paced(*length_m, *width_m, *shallow_depth_m, *deep_depth_m);
            levee.side_slope = *side_slope;
            pond::Shape::from_levee(&levee, columns)
        }
    }
}

/// Midnights of the basin's clock since 1970, with the part of the day behind the point.
fn local_days(file: &BasinFile, at: Instant) -> f64 {
    let (day, second) = file.zone.day_and_second(at);
    f64::from(day.0) + f64::from(second) / 86_400.0
}

fn day_of_year(file: &BasinFile, at: Instant) -> f64 {
    let days = local_days(file, at);
    let day = Day(days.floor() as i32);
    f64::from(day.day_of_year()) + days - days.floor()
}

/// What an hour is given: the setting in its middle.
fn conditions(file: &BasinFile, ground: &pond::Ground, from: Instant) -> Conditions {
    let middle = Instant(from.0 + SECONDS_PER_HOUR / 2);
    let setting = file.at(local_days(file, middle));
    Conditions {
        level_m: setting.level_m,
        attenuation_per_m: setting.light_attenuation_per_m,
        plants: setting.plants,
        ground_deep_c: ground.deep_c(day_of_year(file, middle)),
    }
}

/// The water at one moment, and its accounts since the start.
#[derive(Clone)]
pub(crate) struct Model<'w> {
    world: &'w World,
    water: Water<f64>,
    budget: Budget<f64>,
    scratch: Scratch<f64>,
    done: usize,
    start_heat_j: f64,
}

impl<'w> Model<'w> {
    /// The moment it has come to.
    pub fn now(&self) -> Instant {
        self.world.start.plus_hours(self.done as i64)
    }

    /// The last moment it can come to.
    pub fn end(&self) -> Instant {
        self.world.start.plus_hours(self.world.schedule.len() as i64)
    }

    /// One hour on.
    pub fn hour(&mut self) {
        let world = self.world;
        hour(
            &world.basin,
            world.schedule.stage(self.done),
            world.schedule.next(self.done),
            &world.air[self.done],
            &mut self.water,
            &mut self.budget,
            &mut self.scratch,
        );
        self.done += 1;
    }

    /// Tables that hold at this moment.
    fn stage(&self) -> &pond::Stage {
        match self.done {
            0 => self.world.schedule.stage(0),
            done => self.world.schedule.stage_after(done - 1),
        }
    }

    /// Temperature at each spot, C. Below the floor of a column: that of its lowest cell, where a fallen logger lies.
    pub fn temps_c(&self, spots: &[Spot]) -> Vec<f64> {
        let stage = self.stage();
        let read = |spot: &Spot| self.water.at_depth(stage, self.column(stage, spot.place), spot.depth_m);
        spots.iter().map(read).collect()
    }

    /// The column of a place; the nearest wet one when that is dry.
    fn column(&self, stage: &pond::Stage, place: Place) -> usize {
        let columns = stage.columns();
        let own = match place {
            Place::Deep => columns - 1,
            Place::Middle => columns / 2,
            Place::Shallow => 0,
        };
        (own..columns).find(|&column| stage.cells(column) > 0).unwrap_or(columns - 1)
    }

    /// Puts profiles back into the water and leaves the floor as it is. Columns between two places take from both by distance.
    pub fn set_water(&mut self, profiles: &Profiles) {
        let stage = self.stage();
        let mut places: Vec<(f64, &[(f64, f64)])> =
            profiles.iter().map(|(place, profile)| (self.column(stage, *place) as f64, profile.as_slice())).collect();
        places.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut temps = self.water.temps.clone();
        for column in 0..stage.columns() {
            let x = column as f64;
            let after = places.partition_point(|&(at, _)| at < x).min(places.len() - 1);
            let before = if places[after].0 > x { after.saturating_sub(1) } else { after };
            let part = match places[after].0 - places[before].0 {
                apart if apart > 0.0 => (x - places[before].0) / apart,
                _ => 0.0,
            };
            for cell in 0..stage.cells(column) {
                let depth_m = stage.middle_m(column, cell);
                let (one, other) = (along(places[before].1, depth_m), along(places[after].1, depth_m));
                temps[column * stage.stride() + cell] = one + part * (other - one);
            }
        }
        self.water.temps = temps;
    }

    /// Members that learn of this water from thermometers, from this moment on.
    pub fn pupil(&self, wind_sd_log: f64) -> Learner<'w> {
        let world = self.world;
        let wind = (world.wind_factor, wind_sd_log);
        Learner::new(&world.basin, &world.schedule, &self.water, wind, Doubt::measured(), (1, 0, 0))
    }

    /// Carries the members to this moment and lets them have a reading, if there was one.
    pub fn teach(&self, pupil: &mut Learner<'_>, reading: Option<(Spot, f64)>) {
        pupil.carry_to(self.done, &self.world.air);
        if let Some((spot, temp_c)) = reading {
            let column = self.column(self.stage(), spot.place);
            pupil.read(Seen { hour: self.done, column, depth_m: spot.depth_m, temp_c });
        }
    }

    /// The water at this moment as the members have it in the mean.
    pub fn taught_by(&self, pupil: &Learner<'_>) -> Self {
        Model { water: pupil.mean(), ..self.clone() }
    }

    /// Heat that the accounts cannot explain, as a share of all that came and went.
    pub fn heat_unaccounted(&self) -> f64 {
        let change_j = self.water.heat_j(self.stage(), 0) - self.start_heat_j;
        let turned_over_j = self.budget.sun_j.abs() + self.budget.surface_j.abs() + self.budget.ground_j.abs();
        (change_j - self.budget.total_j(0)).abs() / turned_over_j.max(1.0)
    }
}

/// A profile at a depth: linear, held beyond its ends.
fn along(profile: &[(f64, f64)], depth_m: f64) -> f64 {
    let below = profile.partition_point(|&(depth, _)| depth < depth_m);
    match (below.checked_sub(1).map(|above| profile[above]), profile.get(below)) {
        (Some((d0, t0)), Some(&(d1, t1))) => t0 + (t1 - t0) * (depth_m - d0) / (d1 - d0),
        (Some((_, temp_c)), None) | (None, Some(&(_, temp_c))) => temp_c,
        (None, None) => unreachable!("a profile without a row is never set"),
    }
}
