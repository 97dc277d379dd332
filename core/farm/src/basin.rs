//! BASIN.toml: one pond or lake as a person describes it, for a run against the weather and against thermometers.
//!
//! "As written" is text; "ready to use" is [`BasinFile`]. Between them stands [`read`], which names everything that is
//! wrong with its line and takes no value that was not given without saying so in [`BasinFile::taken`].

mod fault;
mod form;
mod season;
mod shape;
mod unit;

#[cfg(test)]
mod tests;

use units::{Day, Zone};

pub use fault::{Asked, Fault, Wrong};
pub use season::{Inflow, Stop};
pub use shape::Shape;

use form::{Form, Key, Keys};
use unit::Unit;

/// A basin, ready to use.
#[derive(Debug, Clone, PartialEq)]
pub struct BasinFile {
    /// What it is called.
    pub name: String,
    /// North positive.
    pub latitude_deg: f64,
    /// East positive.
    pub longitude_deg: f64,
    /// Above the sea.
    pub elevation_m: f64,
    /// The zone of the files' clocks.
    pub zone: Zone,
    /// The basin's form.
    pub shape: Shape,
    /// How clear the water is, where no date says otherwise; `None` when only `by_date` tells.
    pub light: Option<Light>,
    /// Height of the anemometer above ground.
    pub wind_height_m: f64,
    /// Wind over the water divided by wind at the station.
    pub wind_factor: f64,
    /// Which end of its hour a weather line names.
    pub hour_label: HourLabel,
    /// Depth (m) and water temperature (C) at the start, from the surface down; empty when readings are to give it.
    pub start_profile_m_c: Vec<(f64, f64)>,
    /// What changes with the season, in order of date.
    pub by_date: Vec<Stop>,
    /// Yearly mean and half range of the temperature at the bed, C; `None`: from the weather's own year.
    pub ground_c: Option<Ground>,
    /// Water let in all the time.
    pub inflow: Option<Inflow>,
    /// Water lost through the bed.
    pub seepage_mm_d: f64,
    /// Keys that were not given and the value taken for each.
    pub taken: Vec<Taken>,
}

/// How far light reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Light {
    /// Depth at which the disc is lost to sight, m.
    SecchiM(f64),
    /// Attenuation of visible light, per m.
    AttenuationPerM(f64),
}

impl Light {
    /// Attenuation of visible light: 1.7 over the disc's depth (Poole & Atkins 1929).
    pub fn attenuation_per_m(self) -> f64 {
        match self {
            Light::SecchiM(depth) => 1.7 / depth,
            Light::AttenuationPerM(rate) => rate,
        }
    }
}

/// Which end of its hour a time names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HourLabel {
    /// 06:00 stands for 06:00 to 07:00.
    Start,
    /// 06:00 stands for 05:00 to 06:00.
    End,
}

/// The yearly wave of temperature at the bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Yearly mean, C.
    pub mean_c: f64,
    /// Half the yearly range, C.
    pub half_range_c: f64,
}

/// A key that was not given, and what was taken for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// The key.
    pub key: &'static str,
    /// The value, in the key's unit.
    pub value: f64,
}

const LATITUDE: Key = Key { name: "latitude_deg", unit: Unit::Latitude, least: -90.0, greatest: 90.0 };
const LONGITUDE: Key = Key { name: "longitude_deg", unit: Unit::Longitude, least: -180.0, greatest: 180.0 };
const ELEVATION: Key = Key { name: "elevation_m", unit: Unit::Metre, least: -430.0, greatest: 5000.0 };
pub(crate) const SECCHI: Key = Key { name: "secchi_m", unit: Unit::Metre, least: 0.02, greatest: 40.0 };
pub(crate) const ATTENUATION: Key =
    Key { name: "light_attenuation_per_m", unit: Unit::PerMetre, least: 0.04, greatest: 60.0 };
const WIND_HEIGHT: Key = Key { name: "wind_height_m", unit: Unit::Metre, least: 0.2, greatest: 200.0 };
const WIND_FACTOR: Key = Key { name: "wind_factor", unit: Unit::Ratio, least: 0.05, greatest: 3.0 };
const SEEPAGE: Key = Key { name: "seepage_mm_d", unit: Unit::MillimetrePerDay, least: 0.0, greatest: 200.0 };
const GROUND_MEAN: Key = Key { name: "ground_mean_c", unit: Unit::Celsius, least: -5.0, greatest: 40.0 };
const GROUND_HALF: Key = Key { name: "ground_half_range_c", unit: Unit::CelsiusSpan, least: 0.0, greatest: 30.0 };
const PROFILE_DEPTH: Key = Key { name: "start_profile_m_c", unit: Unit::Metre, least: 0.0, greatest: 200.0 };
const PROFILE_TEMP: Key = Key { name: "start_profile_m_c", unit: Unit::Celsius, least: -0.5, greatest: 45.0 };

/// Every key of the file.
pub const KEYS: [&str; 23] = [
    "name",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "time_zone",
    "depth_area_m_m2",
    "area_m2",
    "length_m",
    "width_m",
    "shallow_depth_m",
    "deep_depth_m",
    "side_slope",
    "secchi_m",
    "light_attenuation_per_m",
    "wind_height_m",
    "wind_factor",
    "hour_label",
    "start_profile_m_c",
    "by_date",
    "ground_mean_c",
    "ground_half_range_c",
    "inflow",
    "seepage_mm_d",
];

/// Reads the text of a basin file; every fault is named.
pub fn read(text: &str) -> Result<BasinFile, Vec<Fault>> {
    let mut form = Form::new(text);
    let Some(table) = form.parse() else {
        return Err(form.faults);
    };
    let keys = Keys { table: &table, path: "", line: 1 };
    form.refuse_unknown(keys, &KEYS);
    let basin = Reading { form: &mut form, keys, taken: Vec::new() }.basin();
    let mut faults = form.faults;
    faults.sort_by_key(|fault| fault.line);
    match basin {
        Some(basin) if faults.is_empty() => Ok(basin),
        _ => Err(faults),
    }
}

struct Reading<'a, 't> {
    form: &'a mut Form<'t>,
    keys: Keys<'a, 't>,
    taken: Vec<Taken>,
}

impl Reading<'_, '_> {
    /// Reads every key before giving up on any, so that all faults are found in one go.
    fn basin(mut self) -> Option<BasinFile> {
        let name = self.form.text(self.keys, "name").map(|(name, _)| name);
        if name.is_none() && !self.keys.table.contains_key("name") {
            self.form.missing(self.keys, "name");
        }
        let latitude_deg = self.form.needed(self.keys, &LATITUDE);
        let longitude_deg = self.form.needed(self.keys, &LONGITUDE);
        let elevation_m = self.form.needed(self.keys, &ELEVATION);
        let zone = self.zone();
        let shape = shape::read(self.form, self.keys, &mut self.taken);
        let by_date = season::read_stops(self.form, self.keys);
        let light = self.light(&by_date);
        let hour_label = self.hour_label();
        let wind_height_m = self.or_taken(&WIND_HEIGHT, 10.0);
        let wind_factor = self.or_taken(&WIND_FACTOR, 1.0);
        let start_profile_m_c = self.start_profile();
        let ground_c = self.ground();
        let inflow = season::read_inflow(self.form, self.keys);
        let seepage_mm_d = self.or_taken(&SEEPAGE, 0.0);
        Some(BasinFile {
            name: name?,
            latitude_deg: latitude_deg?,
            longitude_deg: longitude_deg?,
            elevation_m: elevation_m?,
            zone: zone?,
            shape: shape?,
            light,
            wind_height_m,
            wind_factor,
            hour_label: hour_label?,
            start_profile_m_c,
            by_date,
            ground_c,
            inflow,
            seepage_mm_d,
            taken: self.taken,
        })
    }

    fn or_taken(&mut self, key: &Key, value: f64) -> f64 {
        if !self.keys.table.contains_key(key.name) {
            self.taken.push(Taken { key: key.name, value });
        }
        self.form.number(self.keys, key).unwrap_or(value)
    }

    fn zone(&mut self) -> Option<Zone> {
        if !self.keys.table.contains_key("time_zone") {
            self.form.missing(self.keys, "time_zone");
        }
        let (text, line) = self.form.text(self.keys, "time_zone")?;
        match Zone::parse(&text) {
            Ok(zone) => Some(zone),
            Err(error) => {
                self.form.fault(line, "time_zone", Wrong::UnknownZone { found: error.text });
                None
            }
        }
    }

    fn hour_label(&mut self) -> Option<HourLabel> {
        if !self.keys.table.contains_key("hour_label") {
            self.form.missing(self.keys, "hour_label");
        }
        let (text, line) = self.form.text(self.keys, "hour_label")?;
        match text.trim() {
            "start" => Some(HourLabel::Start),
            "end" => Some(HourLabel::End),
            _ => {
                let what = Wrong::NotOneOf { found: text, words: vec!["start", "end"] };
                self.form.fault(line, "hour_label", what);
                None
            }
        }
    }

    fn light(&mut self, by_date: &[Stop]) -> Option<Light> {
        let secchi = self.form.number(self.keys, &SECCHI);
        let rate = self.form.number(self.keys, &ATTENUATION);
        let has = |name: &str| self.keys.table.contains_key(name);
        if has("secchi_m") && has("light_attenuation_per_m") {
            let what = Wrong::Both { other: "secchi_m" };
            let line = self.keys.table.get("light_attenuation_per_m").map_or(1, |value| self.form.line(value));
            self.form.fault(line, "light_attenuation_per_m", what);
        } else if !has("secchi_m") && !has("light_attenuation_per_m") && by_date.iter().all(|stop| stop.light.is_none())
        {
            let keys = vec!["secchi_m", "light_attenuation_per_m"];
            self.form.fault(1, "", Wrong::MissingOneOf { keys });
        }
        secchi.map(Light::SecchiM).or(rate.map(Light::AttenuationPerM))
    }

    fn start_profile(&mut self) -> Vec<(f64, f64)> {
        let Some(rows) = self.form.pairs(self.keys, "start_profile_m_c", [&PROFILE_DEPTH, &PROFILE_TEMP]) else {
            return Vec::new();
        };
        if rows.is_empty() {
            let line = self.keys.table.get("start_profile_m_c").map_or(1, |value| self.form.line(value));
            self.form.fault(line, "start_profile_m_c", Wrong::TooFew { found: 0, needed: 1 });
        }
        for pair in rows.windows(2) {
            if pair[1].0 <= pair[0].0 {
                let what = Wrong::NotRising { before: pair[0].0, value: pair[1].0 };
                self.form.fault(pair[1].2, "start_profile_m_c", what);
            }
        }
        rows.iter().map(|&(depth, temp, _)| (depth, temp)).collect()
    }

    fn ground(&mut self) -> Option<Ground> {
        let mean = self.form.number(self.keys, &GROUND_MEAN);
        let half = self.form.number(self.keys, &GROUND_HALF);
        for (one, other) in [(&GROUND_MEAN, &GROUND_HALF), (&GROUND_HALF, &GROUND_MEAN)] {
            if self.keys.table.contains_key(one.name) && !self.keys.table.contains_key(other.name) {
                self.form.missing(self.keys, other.name);
            }
        }
        Some(Ground { mean_c: mean?, half_range_c: half? })
    }
}

impl BasinFile {
    /// Level, light and plants at a moment: linear between the dates given (each at its midday), held outside them.
    ///
    /// `day` counts midnights of the basin's clock, with the part of the day behind the point.
    pub fn at(&self, day: f64) -> Setting {
        let base = self.light.map(Light::attenuation_per_m);
        let stops = || self.by_date.iter();
        Setting {
            level_m: season::between(stops().filter_map(|s| Some((s.day, s.level_m?))), day)
                .unwrap_or_else(|| self.shape.full_level_m()),
            light_attenuation_per_m: season::light_between(&self.by_date, day)
                .or(base)
                .expect("a file without any light is refused when read"),
            plants: season::between(stops().filter_map(|s| Some((s.day, s.plants?))), day).unwrap_or(0.0),
        }
    }

    /// First and last date of `by_date`.
    pub fn dated(&self) -> Option<(Day, Day)> {
        Some((self.by_date.first()?.day, self.by_date.last()?.day))
    }
}

/// What the season has made of the basin at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Depth of water at the deepest place.
    pub level_m: f64,
    /// Attenuation of visible light, without what plants add.
    pub light_attenuation_per_m: f64,
    /// 0 bare to 1 full.
    pub plants: f64,
}

/// A depth in metres from text with or without a unit; `None` when it is no length.
pub(crate) fn depth_m(text: &str) -> Option<f64> {
    unit::measured(text, Unit::Metre).ok()
}
