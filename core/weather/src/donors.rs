//! Hourly records of other places that lend a day its wind, dew point, cloud, rain and the shape of its temperature.
//!
//! Model     whole days of 24 hours; cloud from the sun by day and from reported cover by night. A record without cloud borrows
//!           it from the most alike day of a record that has it, and so with rain.
//! Units     °C, hPa, m/s, fractions 0 to 1, mm.
//! Range     records of 200 whole days or more, with their place in remark lines.
//! Source    nearest neighbours after Lall and Sharma (1996), Water Resour. Res. 32, 679-693 (memory); the choice of features is
//!           ours, its worth measured in docs/model/weather.md.
//! Left out  differences of climate between lender and borrower, but for the mean wind.

use units::{Day, Instant, SECONDS_PER_HOUR};

use crate::air::{HourlyRecord, PartHour, Place};
use crate::findings::{Finding, Refusal};
use crate::longwave::{bridged, cloud_from_sun, cloud_of_cover_kasten_czeplak_1980};
use crate::moist::{dew_point_c, station_pressure_hpa};
use crate::read::assemble::{FILL_HOURS_MAX, stretches};
use crate::read::{HourlyForm, read_hourly};
use crate::season_curve::SeasonCurve;
use crate::sun;

/// Fewest whole days of a record that lends.
const DAYS_MIN: usize = 200;
const WAVES: usize = 2;

/// One hour of a lending day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DonorHour {
    pub air_temp_c: f64,
    pub dew_point_c: f64,
    pub wind_m_s: f64,
    /// Share of the clear-sky sun that is missing.
    pub cloud: Option<f64>,
    pub rain_mm: Option<f64>,
    /// Pressure less the record's mean, hPa.
    pub pressure_off_hpa: f64,
}

/// A whole lending day and what it is found by.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DonorDay {
    pub source: usize,
    pub day: Day,
    /// Day of the year at the lender, moved by half a year when it lies in the other hemisphere.
    pub day_of_year: f64,
    pub hours: [DonorHour; 24],
    pub low_c: f64,
    pub high_c: f64,
    /// Low and high against the lender's own season, in its usual deviations.
    pub low_off: f64,
    pub high_off: f64,
    /// Low of the day after less this low, K; `None` at the end of a stretch.
    pub next_low_step_k: Option<f64>,
    /// High less that of the day before, K.
    pub high_step_k: Option<f64>,
}

#[derive(Debug, Clone, PartialEq)]
struct Source {
    name: String,
    place: Place,
    start: Instant,
    /// `None` where the record is not whole.
    hours: Vec<Option<DonorHour>>,
    mean_wind_m_s: f64,
    /// Usual wind by month (0 to 11) and standard hour.
    usual_wind_m_s: Vec<[f64; 24]>,
}

/// Hourly records that lend.
#[derive(Debug, Clone, PartialEq)]
pub struct DonorRecord {
    sources: Vec<Source>,
}

/// Why records cannot lend.
#[derive(Debug, Clone, PartialEq)]
pub enum DonorError {
    /// No record was given.
    None,
    /// A file could not be read.
    Unread {
        /// The file.
        name: String,
        /// Why.
        refusal: Refusal,
    },
    /// A file does not say where it was measured (`# latitude_deg: 36.1` and so on, or EPW's first line).
    NoPlace {
        /// The file.
        name: String,
    },
    /// A file has too few whole days.
    TooFewDays {
        /// The file.
        name: String,
        /// Whole days found.
        days: usize,
        /// Fewest that lend.
        least: usize,
    },
    /// No file has cloud or sun.
    NoCloud,
}

/// Donor records as read: the records and what was odd in each file.
pub type DonorsRead = (DonorRecord, Vec<(String, Vec<Finding>)>);

impl DonorRecord {
    /// Reads hourly tables given as (name, bytes).
    pub fn read(files: &[(&str, &[u8])]) -> Result<DonorsRead, DonorError> {
        let mut odd = Vec::new();
        let mut records = Vec::new();
        for &(name, bytes) in files {
            let name = name.to_owned();
            let read = match read_hourly(bytes, &HourlyForm::default()) {
                Ok(read) => read,
                Err(refusal) => return Err(DonorError::Unread { name, refusal }),
            };
            odd.push((name.clone(), read.findings));
            records.push((name, read.value));
        }
        Ok((DonorRecord::of(records)?, odd))
    }

    /// From records already read, with their names.
    pub fn of(records: Vec<(String, HourlyRecord)>) -> Result<DonorRecord, DonorError> {
        let mut sources = Vec::new();
        for (name, record) in records {
            let place = record.place.clone().ok_or_else(|| DonorError::NoPlace { name: name.clone() })?;
            let source = source(name.clone(), record, place);
            let days = source.hours.iter().flatten().count() / 24;
            if days < DAYS_MIN {
                return Err(DonorError::TooFewDays { name, days, least: DAYS_MIN });
            }
            sources.push(source);
        }
        if sources.is_empty() {
            return Err(DonorError::None);
        }
        if !sources.iter().any(|source| source.hours.iter().flatten().any(|hour| hour.cloud.is_some())) {
            return Err(DonorError::NoCloud);
        }
        Ok(DonorRecord { sources })
    }

    /// Names of the records, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.sources.iter().map(|source| source.name.as_str())
    }

    /// Usual wind at the nearest lender for a moment: by its month and hour.
    pub fn usual_wind_m_s(&self, at: Instant, place: &Place) -> f64 {
        let source = &self.sources[self.nearest(place)];
        let (day, second) = place.standard_day(at);
        let half_year = (source.place.latitude_deg < 0.0) != (place.latitude_deg < 0.0);
        let month = day.ymd().1 as usize - 1 + if half_year { 6 } else { 0 };
        source.usual_wind_m_s[month % 12][(second / 3600) as usize % 24]
    }

    /// The lender nearest in latitude (either hemisphere) and longitude.
    fn nearest(&self, place: &Place) -> usize {
        let far = |source: &Source| {
            let north = source.place.latitude_deg.abs() - place.latitude_deg.abs();
            let east = (source.place.longitude_deg - place.longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
            units::hypot(north, east * units::cos(place.latitude_deg.to_radians()))
        };
        let order = |a: &usize, b: &usize| far(&self.sources[*a]).total_cmp(&far(&self.sources[*b]));
        (0..self.sources.len()).min_by(order).expect("never empty, see `of`")
    }

    /// Whole days for a place: cut where the sun stands as at the borrower's midnight, wind brought to the level of the nearest
    /// lender, cloud and rain lent where a record has none.
    pub fn for_place(&self, place: &Place) -> Lenders {
        let level = self.sources[self.nearest(place)].mean_wind_m_s;
        let mut days = Vec::new();
        for (index, source) in self.sources.iter().enumerate() {
            let shift_h = (midnight_h(place) - midnight_h(&source.place)).round() as i64;
            let half_year = (source.place.latitude_deg < 0.0) != (place.latitude_deg < 0.0);
            let mut of = days_of(source, index, shift_h, half_year);
            let factor = level / source.mean_wind_m_s.max(0.1);
            for hour in of.iter_mut().flat_map(|day| &mut day.hours) {
                hour.wind_m_s *= factor;
            }
            days.extend(of);
        }
        lend(&mut days);
        Lenders { place: place.clone(), days }
    }
}

/// The days that donor records lend to one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Lenders {
    pub(crate) place: Place,
    pub(crate) days: Vec<DonorDay>,
}

impl Lenders {
    /// How many days they are.
    pub fn n_days(&self) -> usize {
        self.days.len()
    }

    /// Where they lend to.
    pub fn place(&self) -> &Place {
        &self.place
    }
}

/// Mean solar hour at standard midnight, -12 to 12.
fn midnight_h(place: &Place) -> f64 {
    let hour = place.longitude_deg / 15.0 - f64::from(place.standard_offset_s()) / SECONDS_PER_HOUR as f64;
    (hour + 12.0).rem_euclid(24.0) - 12.0
}

fn source(name: String, record: HourlyRecord, place: Place) -> Source {
    let n_hours = record.hours.len();
    let column = |get: fn(&PartHour) -> Option<f64>| -> Vec<Option<f64>> {
        short_holes_filled(&record.hours.iter().map(get).collect::<Vec<_>>())
    };
    let air = column(|hour| hour.air_temp_c);
    let vapour = column(|hour| hour.vapour_pressure_hpa);
    let wind = column(|hour| hour.wind_m_s);
    let cloud = cloud_of(&record, &place);
    let pressure = pressure_off(&record, &place);
    let has_rain = record.count(|hour| hour.rain_mm) > 0;
    let hours: Vec<Option<DonorHour>> = (0..n_hours)
        .map(|i| {
            let air_temp_c = air[i]?;
            Some(DonorHour {
                air_temp_c,
                dew_point_c: dew_point_c(vapour[i]?).min(air_temp_c),
                wind_m_s: wind[i]?,
                cloud: cloud[i],
                rain_mm: has_rain.then(|| record.hours[i].rain_mm.unwrap_or(0.0)),
                pressure_off_hpa: pressure[i],
            })
        })
        .collect();
    let winds = || hours.iter().flatten().map(|hour| hour.wind_m_s);
    let mean_wind_m_s = winds().sum::<f64>() / winds().count().max(1) as f64;
    let usual_wind_m_s = usual_wind(&hours, record.start, &place, mean_wind_m_s);
    Source { name, place, start: record.start, hours, mean_wind_m_s, usual_wind_m_s }
}

fn short_holes_filled(values: &[Option<f64>]) -> Vec<Option<f64>> {
    let Some(line) = bridged(values) else { return values.to_vec() };
    let mut filled = values.to_vec();
    for (first, hours) in stretches(values.iter().map(Option::is_none)).into_iter().filter(|s| s.1 <= FILL_HOURS_MAX) {
        for i in first..first + hours {
            filled[i] = Some(line[i]);
        }
    }
    filled
}

/// Share of the sun that cloud takes: seen in the sun by day, from cover by night or where no sun was read.
fn cloud_of(record: &HourlyRecord, place: &Place) -> Vec<Option<f64>> {
    let clear = sun::clear_sky_hours(record.start, record.hours.len(), place);
    let sun: Vec<Option<f64>> = record.hours.iter().map(|hour| hour.shortwave_w_m2).collect();
    let cover = short_holes_filled(&record.hours.iter().map(|hour| hour.cloud_fraction).collect::<Vec<_>>());
    let has_sun = sun.iter().any(Option::is_some);
    let sun_line = short_holes_filled(&sun);
    let seen = has_sun.then(|| {
        let whole: Vec<f64> = sun_line.iter().map(|value| value.unwrap_or(0.0)).collect();
        cloud_from_sun(&whole, &clear)
    });
    let seen = seen.flatten();
    (0..record.hours.len())
        .map(|i| {
            let from_cover = cover[i].map(cloud_of_cover_kasten_czeplak_1980);
            match (&seen, sun_line[i]) {
                (Some(seen), Some(_)) if clear[i] > 150.0 || from_cover.is_none() => Some(seen[i]),
                _ => from_cover,
            }
        })
        .collect()
}

fn pressure_off(record: &HourlyRecord, place: &Place) -> Vec<f64> {
    let at = |hour: &PartHour| {
        let from_sea = || Some(station_pressure_hpa(hour.sea_level_pressure_hpa?, place.elevation_m, hour.air_temp_c?));
        hour.pressure_hpa.or_else(from_sea)
    };
    let Some(line) = bridged(&record.hours.iter().map(at).collect::<Vec<_>>()) else {
        return vec![0.0; record.hours.len()];
    };
    let mean = line.iter().sum::<f64>() / line.len() as f64;
    line.into_iter().map(|value| value - mean).collect()
}

fn usual_wind(hours: &[Option<DonorHour>], start: Instant, place: &Place, mean: f64) -> Vec<[f64; 24]> {
    let mut sums = vec![[(0.0, 0_u32); 24]; 12];
    for (i, hour) in hours.iter().enumerate().filter_map(|(i, hour)| Some((i, hour.as_ref()?))) {
        let (day, second) = place.standard_day(start.plus_hours(i as i64));
        let (sum, count) = &mut sums[day.ymd().1 as usize - 1][(second / 3600) as usize % 24];
        *sum += hour.wind_m_s;
        *count += 1;
    }
    let mean_of = |(sum, count): (f64, u32)| if count > 0 { sum / f64::from(count) } else { mean };
    sums.into_iter().map(|month| month.map(mean_of)).collect()
}

/// The whole days of a record, each beginning `shift_h` hours after its standard midnight.
fn days_of(source: &Source, index: usize, shift_h: i64, half_year: bool) -> Vec<DonorDay> {
    let first = source.place.standard_day(source.start).0;
    let last = source.place.standard_day(source.start.plus_hours(source.hours.len() as i64)).0;
    let mut days: Vec<DonorDay> = Vec::new();
    for number in first.0 - 1..=last.0 {
        let day = Day(number);
        let midnight = source.place.day_start(day).plus_hours(shift_h);
        // A record may begin off the full hour of its zone; its hours are taken as they stand.
        let Ok(from) = usize::try_from(midnight.hours_since(source.start)) else { continue };
        let Some(slice) = source.hours.get(from..from + 24) else { continue };
        let Some(hours) = slice.iter().copied().collect::<Option<Vec<DonorHour>>>() else { continue };
        let Ok(hours) = <[DonorHour; 24]>::try_from(hours) else { continue };
        let fold = |start: f64, pick: fn(f64, f64) -> f64| hours.iter().map(|hour| hour.air_temp_c).fold(start, pick);
        let moved = f64::from(day.day_of_year()) + if half_year { 182.6 } else { 0.0 };
        days.push(DonorDay {
            source: index,
            day,
            day_of_year: moved % 365.25,
            hours,
            low_c: fold(f64::INFINITY, f64::min),
            high_c: fold(f64::NEG_INFINITY, f64::max),
            low_off: 0.0,
            high_off: 0.0,
            next_low_step_k: None,
            high_step_k: None,
        });
    }
    let curve = |get: fn(&DonorDay) -> f64| {
        SeasonCurve::fit(&days.iter().map(|day| (day.day_of_year, get(day))).collect::<Vec<_>>(), WAVES)
    };
    let (low, high) = (curve(|day| day.low_c), curve(|day| day.high_c));
    for i in 0..days.len() {
        let follows = |a: usize, b: usize| b < days.len() && days[b].day.0 == days[a].day.0 + 1;
        let next = follows(i, i + 1).then(|| days[i + 1].low_c - days[i].low_c);
        let step = (i > 0 && follows(i - 1, i)).then(|| days[i].high_c - days[i - 1].high_c);
        let day = &mut days[i];
        (day.next_low_step_k, day.high_step_k) = (next, step);
        let off = |curve: &Option<SeasonCurve>, value: f64| {
            curve.as_ref().map_or(0.0, |c| (value - c.at(day.day_of_year)) / c.spread(day.day_of_year))
        };
        (day.low_off, day.high_off) = (off(&low, day.low_c), off(&high, day.high_c));
    }
    days
}

/// What every record has, each in units of about one usual difference.
fn marks(day: &DonorDay) -> [f64; 6] {
    let mean = |get: fn(&DonorHour) -> f64| day.hours.iter().map(get).sum::<f64>() / 24.0;
    [
        day.day_of_year / 30.0,
        day.low_off,
        day.high_off,
        (day.high_c - day.low_c) / 3.0,
        mean(|hour| hour.air_temp_c - hour.dew_point_c) / 2.0,
        mean(|hour| hour.pressure_off_hpa) / 8.0,
    ]
}

fn unlike(a: &[f64; 6], b: &[f64; 6]) -> f64 {
    let season = season_apart(a[0] * 30.0, b[0] * 30.0) / 30.0;
    season * season + a[1..].iter().zip(&b[1..]).map(|(a, b)| (a - b) * (a - b)).sum::<f64>()
}

/// Days between two days of the year, round the year.
pub(crate) fn season_apart(a: f64, b: f64) -> f64 {
    let apart = (a - b).abs() % 365.25;
    apart.min(365.25 - apart)
}

/// Lends cloud to days without it, and rain, each from the most alike day that came with its own.
fn lend(days: &mut [DonorDay]) {
    let marks: Vec<[f64; 6]> = days.iter().map(marks).collect();
    let having =
        |has: fn(&DonorHour) -> bool| -> Vec<bool> { days.iter().map(|day| day.hours.iter().all(has)).collect() };
    let with_cloud = having(|hour| hour.cloud.is_some());
    let with_rain = having(|hour| hour.rain_mm.is_some());
    let lender = |of: usize, having: &[bool]| {
        let lenders = (0..marks.len()).filter(|&i| having[i]);
        lenders.min_by(|&a, &b| unlike(&marks[a], &marks[of]).total_cmp(&unlike(&marks[b], &marks[of])))
    };
    for i in 0..days.len() {
        let from = (!with_cloud[i]).then(|| lender(i, &with_cloud)).flatten();
        for hour in 0..24 {
            if let Some(from) = from {
                days[i].hours[hour].cloud = days[from].hours[hour].cloud;
            }
        }
        let from = (!with_rain[i]).then(|| lender(i, &with_rain)).flatten();
        for hour in 0..24 {
            if let Some(from) = from {
                days[i].hours[hour].rain_mm = days[from].hours[hour].rain_mm;
            }
        }
    }
}
