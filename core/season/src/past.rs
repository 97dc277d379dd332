//! The farm's past, ready to lend members: its daily record, its climate, and whole past seasons hour by hour.

use chance::{Purpose, Stream};
use farm::Farm;
use rayon::prelude::*;
use units::Day;
use weather::{
    Climate, ClimateError, DailyRecord, DayExtremes, DonorRecord, Lenders, Library, Normals, PastSeason, Place,
    SeasonWindow, hours_for_days,
};

/// Hours lent to past days: one stream for each year, so a year's hours do not hang on which others are there.
const PAST_HOURS: Purpose = Purpose(0x5EA5_1001);
/// Hours lent to the season that is being lived.
const OWN_HOURS: Purpose = Purpose(0x5EA5_1002);

/// Why a past cannot be used.
#[derive(Debug, Clone, PartialEq)]
pub enum PastError {
    /// The record is too short or too full of holes for a climate.
    Climate(ClimateError),
    /// Fewer than ten whole seasons.
    FewSeasons {
        /// Whole seasons found.
        found: usize,
    },
}

/// Fewest whole past seasons a plan is made from.
pub const SEASONS_LEAST: usize = 10;

/// A farm's past.
#[derive(Debug, Clone)]
pub struct FarmPast {
    /// Where.
    pub place: Place,
    /// The daily record, moved in time if the farm says so.
    pub record: DailyRecord,
    /// Its usual days, for lending hours.
    pub normals: Normals,
    /// Days that lend hours.
    pub lenders: Lenders,
    /// Seed of all draws.
    pub seed: u64,
}

/// Where a farm lies, as the weather knows places.
pub fn place_of(farm: &Farm) -> Place {
    Place {
        latitude_deg: farm.place.latitude_deg,
        longitude_deg: farm.place.longitude_deg,
        elevation_m: farm.place.elevation_m,
        zone: farm.place.zone.clone(),
    }
}

impl FarmPast {
    /// Joins a farm with its record and donors.
    pub fn new(farm: &Farm, record: &DailyRecord, donors: &DonorRecord, seed: u64) -> Result<FarmPast, PastError> {
        let place = place_of(farm);
        let record = DailyRecord { first: record.first.plus(farm.weather.history_moved_days), ..record.clone() };
        let days =
            record.low_c.iter().zip(&record.high_c).filter(|(low, high)| low.is_some() && high.is_some()).count();
        let normals =
            Normals::of(&record).ok_or(PastError::Climate(ClimateError::TooShort { days, wanted: 5 * 365 }))?;
        let lenders = donors.for_place(&place);
        Ok(FarmPast { place, record, normals, lenders, seed })
    }

    /// Every whole season of a window before `before`, hour by hour, and the number of years left out for a hole.
    pub fn library(&self, window: SeasonWindow, before: Option<Day>) -> Result<(Library, usize), PastError> {
        let (mut whole, left_out) = Library::whole_seasons(&self.record, window);
        if let Some(before) = before {
            whole.retain(|days| days.last().is_some_and(|last| last.day < before));
        }
        Ok((self.hours_of(window, whole)?, left_out.len()))
    }

    /// Whole seasons of a window, hour by hour, in order of years.
    pub(crate) fn hours_of(&self, window: SeasonWindow, whole: Vec<Vec<DayExtremes>>) -> Result<Library, PastError> {
        if whole.len() < SEASONS_LEAST {
            return Err(PastError::FewSeasons { found: whole.len() });
        }
        let seasons: Vec<PastSeason> = whole
            .into_par_iter()
            .map(|days| {
                let year = days[0].day.ymd().0;
                let mut stream = Stream::new(self.seed, year as u32, PAST_HOURS);
                let air = hours_for_days(&days, &self.normals, &self.lenders, &mut stream);
                PastSeason { year, days, air }
            })
            .collect();
        let mut library = Library::empty(window);
        for season in &seasons {
            library.add(season).expect("whole seasons of the window, in order of years");
        }
        Ok(library)
    }

    /// Hours of the season being lived, from days known or taken as known.
    pub fn own_hours(&self, days: &[DayExtremes]) -> weather::AirSeries {
        let year = days.first().map_or(0, |day| day.day.ymd().0);
        hours_for_days(days, &self.normals, &self.lenders, &mut Stream::new(self.seed, year as u32, OWN_HOURS))
    }

    /// Climate known before a day.
    pub fn climate(&self, before: Day) -> Result<Climate, PastError> {
        Climate::fit(&self.record, Some(before)).map_err(PastError::Climate)
    }

    /// Days from `from` to `to`, with the climate's middle where the record has none; and the last day it does have.
    pub fn days_lived(&self, from: Day, to: Day, climate: &Climate) -> (Vec<DayExtremes>, Option<Day>) {
        let mut last = None;
        let days = (from.0..=to.0)
            .map(|number| {
                let day = Day(number);
                self.record.day(day).inspect(|_| last = Some(day)).unwrap_or_else(|| {
                    let mean = climate.mean_c(day);
                    DayExtremes { day, low_c: mean.low, high_c: mean.high }
                })
            })
            .collect();
        (days, last)
    }

    /// The days of the record from `from` to `to`; days it does not have are left out.
    pub fn recorded(&self, from: Day, to: Day) -> Vec<DayExtremes> {
        (from.0..=to.0).filter_map(|number| self.record.day(Day(number))).collect()
    }

    /// The last day of the record that has both values.
    pub fn last_day(&self) -> Day {
        let has = |at: &usize| self.record.low_c[*at].is_some() && self.record.high_c[*at].is_some();
        let last = (0..self.record.low_c.len().min(self.record.high_c.len())).rfind(has).unwrap_or(0);
        self.record.first.plus(last as i32)
    }

    /// Hour of the standard day in which 06 h local solar time falls nearest its start.
    pub fn dawn_hour(&self, day: Day) -> usize {
        let (_, second) = self.place.standard_day(weather::sun::dawn(day, &self.place));
        ((f64::from(second) / 3600.0).round() as usize).min(23)
    }
}
