//! Past seasons hour by hour, and the part of them that a morning may know.
//!
//! Units     °C, hPa, m/s, W/m², mm; days by the station's standard clock, 24 hours each.
//! Left out  seasons with a hole: every season here is whole, so that a pond can be run through it.
//!
//! An hour's values lie side by side: members jump from year to year, and one jump should cost one line of cache.

use std::ops::Range;

use chance::{Purpose, Stream};
use units::{Day, Real};

use crate::air::{AirHour, AirSeries, DailyRecord, DayExtremes};
use crate::climate::{Climate, LowHigh};
use crate::donors::Lenders;
use crate::hours_for_days::{Normals, hours_for_days};
use crate::moist;

/// The part of each year that matters: from a month and day on, for some days; it may run over New Year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SeasonWindow {
    /// Month of the first day, 1 to 12.
    pub month: i8,
    /// First day of the month (1 to 28).
    pub day: i8,
    /// How many days.
    pub n_days: usize,
}

impl SeasonWindow {
    /// First day of the season that begins in `year`.
    pub fn start(&self, year: i16) -> Option<Day> {
        Day::new(year, self.month, self.day)
    }

    /// The season a day belongs to, by the year it begins in, and the day's place in it. The place may lie past the end:
    /// a day belongs to the last season that began, or to the next if that begins within 60 days.
    pub fn place(&self, day: Day) -> Option<(i16, i32)> {
        const EARLY_DAYS: i32 = 60;
        let year = day.ymd().0;
        [year + 1, year, year - 1].into_iter().find_map(|year| {
            let place = day.0 - self.start(year)?.0;
            (place >= -EARLY_DAYS && (place >= 0 || self.n_days as i32 <= 365 - EARLY_DAYS)).then_some((year, place))
        })
    }
}

/// One whole past season.
#[derive(Debug, Clone, PartialEq)]
pub struct PastSeason {
    /// The year it began in.
    pub year: i16,
    /// Low and high of every day of the window.
    pub days: Vec<DayExtremes>,
    /// Its hours, from the first day's midnight by standard time.
    pub air: AirSeries,
}

/// Why a season cannot join the library.
#[derive(Debug, Clone, PartialEq)]
pub enum LibraryError {
    /// Its days are not those of the window.
    Days {
        /// The season.
        year: i16,
        /// Days given.
        given: usize,
    },
    /// It has not 24 hours for each day.
    Hours {
        /// The season.
        year: i16,
        /// Hours given.
        given: usize,
    },
    /// Its year does not follow the years already there.
    Order {
        /// The season.
        year: i16,
    },
}

/// Which lent day each day of a past season gets.
const SEASON_HOURS: Purpose = Purpose(0x5745_0006);

/// Values of one hour as stored: air temperature, vapour pressure, wind, shortwave, longwave, pressure, rain, dew point.
type StoredHour = [f32; 8];

/// Past seasons, hour by hour, in order of years.
#[derive(Debug, Clone, PartialEq)]
pub struct Library {
    window: SeasonWindow,
    years: Vec<i16>,
    starts: Vec<Day>,
    days: Vec<LowHigh>,
    hours: Vec<StoredHour>,
}

/// Air of one hour for one member (`f64`) or sixteen side by side (`units::Lanes`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirRow<R> {
    /// Air temperature, °C.
    pub air_temp_c: R,
    /// Partial pressure of water vapour, hPa.
    pub vapour_pressure_hpa: R,
    /// Wind speed as the station read it, m/s.
    pub wind_m_s: R,
    /// Sun on a level surface, W/m².
    pub shortwave_w_m2: R,
    /// Heat radiation from the sky, W/m².
    pub longwave_w_m2: R,
    /// Air pressure at the station, hPa.
    pub pressure_hpa: R,
    /// Rain of the hour, mm.
    pub rain_mm: R,
}

impl Library {
    /// A library without seasons.
    pub fn empty(window: SeasonWindow) -> Library {
        Library { window, years: Vec::new(), starts: Vec::new(), days: Vec::new(), hours: Vec::new() }
    }

    /// Adds a season later than those already there.
    pub fn add(&mut self, season: &PastSeason) -> Result<(), LibraryError> {
        let year = season.year;
        let start = self.window.start(year);
        let n = self.window.n_days;
        let in_order = season.days.iter().enumerate().all(|(i, d)| Some(d.day) == start.map(|s| s.plus(i as i32)));
        if season.days.len() != n || !in_order {
            return Err(LibraryError::Days { year, given: season.days.len() });
        }
        if season.air.hours.len() != 24 * n {
            return Err(LibraryError::Hours { year, given: season.air.hours.len() });
        }
        if self.years.last().is_some_and(|&last| last >= year) {
            return Err(LibraryError::Order { year });
        }
        self.years.push(year);
        self.starts.push(season.days[0].day);
        self.days.extend(season.days.iter().map(|d| LowHigh { low: d.low_c, high: d.high_c }));
        self.hours.extend(season.air.hours.iter().map(stored));
        Ok(())
    }

    /// Which days of a record make whole seasons: the runs to be turned into hours, and the years left out with the first
    /// day each lacks.
    pub fn whole_seasons(record: &DailyRecord, window: SeasonWindow) -> (Vec<Vec<DayExtremes>>, Vec<(i16, Day)>) {
        let (mut whole, mut left_out) = (Vec::new(), Vec::new());
        for year in record.first.ymd().0..=record.last().ymd().0 {
            let Some(start) = window.start(year) else { continue };
            match record.span(start, start.plus(window.n_days as i32 - 1)) {
                Ok(days) => whole.push(days),
                Err(day) => left_out.push((year, day)),
            }
        }
        (whole, left_out)
    }

    /// The whole seasons of a daily record, turned into hours with what other stations lend; and the years left out, each with
    /// the first day it lacks. A season's hours depend on the seed, its year and its own days alone.
    pub fn of_record(
        record: &DailyRecord,
        window: SeasonWindow,
        normals: &Normals,
        lenders: &Lenders,
        seed: u64,
    ) -> (Library, Vec<(i16, Day)>) {
        let (whole, left_out) = Library::whole_seasons(record, window);
        let mut library = Library::empty(window);
        for days in whole {
            let year = days[0].day.ymd().0;
            let mut stream = Stream::new(seed, year as u32, SEASON_HOURS);
            let air = hours_for_days(&days, normals, lenders, &mut stream);
            library.add(&PastSeason { year, days, air }).expect("whole seasons come in order of years");
        }
        (library, left_out)
    }

    /// The window of the year it covers.
    pub fn window(&self) -> SeasonWindow {
        self.window
    }
    /// Its seasons, by the year each began in.
    pub fn years(&self) -> &[i16] {
        &self.years
    }
    /// How many days it holds, all seasons together.
    pub fn n_days(&self) -> usize {
        self.days.len()
    }
    /// The library days of one season (by its place in `years`).
    pub fn season(&self, season: usize) -> Range<usize> {
        season * self.window.n_days..(season + 1) * self.window.n_days
    }
    /// The civil day of a library day.
    pub fn day(&self, library_day: usize) -> Day {
        let n = self.window.n_days;
        self.starts[library_day / n].plus((library_day % n) as i32)
    }
    /// The library day of a civil day, if it is here.
    pub fn find(&self, day: Day) -> Option<usize> {
        let season = self.starts.partition_point(|&start| start <= day).checked_sub(1)?;
        let place = (day.0 - self.starts[season].0) as usize;
        (place < self.window.n_days).then_some(season * self.window.n_days + place)
    }
    /// Low and high of a library day, °C.
    pub fn low_high_c(&self, library_day: usize) -> LowHigh {
        self.days[library_day]
    }
    /// One hour (0 to 23) of a library day, as it was.
    pub fn air(&self, library_day: usize, hour: usize) -> AirHour {
        let h = &self.hours[library_day * 24 + hour];
        AirHour {
            air_temp_c: f64::from(h[0]),
            vapour_pressure_hpa: f64::from(h[1]),
            wind_m_s: f64::from(h[2]),
            shortwave_w_m2: f64::from(h[3]),
            longwave_w_m2: f64::from(h[4]),
            pressure_hpa: f64::from(h[5]),
            rain_mm: f64::from(h[6]),
        }
    }

    pub(crate) fn stored(&self, library_day: usize, hour: usize) -> &StoredHour {
        &self.hours[library_day * 24 + hour]
    }
}

fn stored(hour: &AirHour) -> StoredHour {
    let dew_point_c = moist::dew_point_c(hour.vapour_pressure_hpa);
    [
        hour.air_temp_c,
        hour.vapour_pressure_hpa,
        hour.wind_m_s,
        hour.shortwave_w_m2,
        hour.longwave_w_m2,
        hour.pressure_hpa,
        hour.rain_mm,
        dew_point_c.min(hour.air_temp_c),
    ]
    .map(|x| x as f32)
}

/// Stored hours moved by `shift_c`: the dew point moves with the air, the sky keeps its cloud.
///
/// Vapour pressure by Bolton's curve; longwave by Prata's clear sky, of which the stored hour has a share filled by cloud,
/// 1 - emissivity = (1 - clear emissivity)(1 - 0.84 cloud), and keeps it. Exact for air whose longwave was made that way;
/// for measured longwave the share is the measured one.
pub(crate) fn shifted<R: Real>(stored: &[R; 8], shift_c: R) -> AirRow<R> {
    const KELVIN: f64 = 273.15;
    let one = R::splat(1.0);
    let [air_temp, vapour, wind_m_s, shortwave_w_m2, longwave, pressure_hpa, rain_mm, dew_point] = *stored;
    let air_temp_c = air_temp + shift_c;
    let scale = dew_point + R::splat(243.5);
    let vapour_pressure_hpa = vapour * (R::splat(17.67 * 243.5) * shift_c / (scale * (scale + shift_c))).exp();
    let (kelvin, kelvin_now) = (air_temp + R::splat(KELVIN), air_temp_c + R::splat(KELVIN));
    let water = R::splat(46.5) * vapour / kelvin;
    let water_now = R::splat(46.5) * vapour_pressure_hpa / kelvin_now;
    let depth = |water: R| (R::splat(1.2) + R::splat(3.0) * water).sqrt();
    let open = (one + water_now) / (one + water) * (depth(water) - depth(water_now)).exp();
    let ratio = kelvin_now / kelvin;
    let square = ratio * ratio;
    let (t2, sigma) = (kelvin * R::splat(0.01), R::splat(5.670_374));
    let black = sigma * t2 * t2 * t2 * t2;
    // black - longwave is what the sky lacks of a black body.
    let lacking = (black - longwave).max(R::splat(0.0));
    let longwave_w_m2 = square * square * (black - lacking * open);
    AirRow { air_temp_c, vapour_pressure_hpa, wind_m_s, shortwave_w_m2, longwave_w_m2, pressure_hpa, rain_mm }
}

/// The seasons that a morning may know, with their anomalies from a climate that knows no more.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    pub(crate) n_seasons: usize,
    /// Anomaly of each known library day from its own year's level, K.
    pub(crate) anomaly_c: Vec<LowHigh>,
    /// The same in standard deviations.
    pub(crate) standard: Vec<[f32; 2]>,
}

impl Past {
    /// Seasons of `library` that ended before `before` (all when `None`), seen against `climate`.
    pub fn new(library: &Library, climate: &Climate, before: Option<Day>) -> Past {
        let n = library.window.n_days as i32;
        let n_seasons = match before {
            Some(before) => library.starts.iter().take_while(|start| start.plus(n - 1) < before).count(),
            None => library.starts.len(),
        };
        let known = 0..n_seasons * library.window.n_days;
        let anomaly_c: Vec<LowHigh> =
            known.clone().map(|i| library.days[i].minus(climate.mean_c(library.day(i)))).collect();
        let standard = known
            .map(|i| {
                let z = anomaly_c[i].with(climate.sd_c(library.day(i)), |a, sd| a / sd);
                [z.low as f32, z.high as f32]
            })
            .collect();
        Past { n_seasons, anomaly_c, standard }
    }

    /// How many seasons it knows: the first ones of the library.
    pub fn n_seasons(&self) -> usize {
        self.n_seasons
    }
}

#[cfg(test)]
#[path = "library/tests.rs"]
mod tests;
