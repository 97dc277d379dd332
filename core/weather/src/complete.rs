//! Hours as read to hours without a hole, or a refusal that names the hole.
//!
//! Model     a straight line over holes of at most six hours (for sun: of its share of the clear sky); what a file never gives
//!           is made from what it gives, the best source first.
//! Units     those of `AirHour`.
//! Range     any place; any hours.
//! Source    the models of `sun`, `moist` and `longwave`. Each stand-in's error is measured in docs/model/weather.md and told with
//!           the finding (`Made::measured`).
//! Left out  neighbouring stations; longer holes in temperature, humidity, wind and sun, which are refused.

use units::{Day, Instant, SECONDS_PER_HOUR};

use crate::air::{AirHour, AirSeries, HourlyRecord, PartHour, Place};
use crate::donors::DonorRecord;
use crate::findings::{Done, Finding, Made, Quantity, Read, Refusal, What};
use crate::longwave::{bridged, cloud_from_sun, cloud_of_cover_kasten_czeplak_1980, sky_unsworth_monteith_1975};
use crate::moist::{pressure_fao56, saturation_bolton_1980, station_pressure_hpa};
use crate::read::assemble::{FILL_HOURS_MAX, line_at, stretches};
use crate::sun;

/// Sun from the day's range of temperature: the value of FAO-56 away from coasts, nearly unbiased on hours in Virginia.
const RANGE_FACTOR: f64 = 0.16;

/// Makes a record whole between `span.0` and `span.1` (throughout when `None`), for a place. `donors` lend their usual wind
/// to a record without any.
pub fn complete(
    record: &HourlyRecord,
    place: &Place,
    span: Option<(Instant, Instant)>,
    donors: Option<&DonorRecord>,
) -> Result<Read<AirSeries>, Refusal> {
    if record.hours.is_empty() {
        return Err(Refusal::Empty);
    }
    let (start, end) = span.unwrap_or((record.start, record.end()));
    let outside = Refusal::OutsideFile { start: record.start, end: record.end() };
    let index = |at: Instant| usize::try_from((at.0 - record.start.0).div_euclid(SECONDS_PER_HOUR));
    let (Ok(from), Ok(to)) = (index(start), index(Instant(end.0 + SECONDS_PER_HOUR - 1))) else { return Err(outside) };
    if to > record.hours.len() || from >= to {
        return Err(outside);
    }
    let mut whole = Whole { record, place, clear: Vec::new(), findings: Vec::new(), from, to };
    whole.clear = sun::clear_sky_hours(record.start, record.hours.len(), place);
    let air = whole.air()?;
    let vapour = whole.vapour(&air)?;
    let wind = whole.wind(donors)?;
    let (shortwave, source) = whole.shortwave(&air)?;
    let longwave = whole.longwave(&air, &vapour, &shortwave, source);
    let pressure = whole.pressure(&air);
    let rain = whole.rain();
    let hours = (from..to)
        .map(|i| AirHour {
            air_temp_c: air[i],
            vapour_pressure_hpa: vapour[i],
            wind_m_s: wind[i],
            shortwave_w_m2: shortwave[i],
            longwave_w_m2: longwave[i],
            pressure_hpa: pressure[i],
            rain_mm: rain[i],
        })
        .collect();
    let start = record.start.plus_hours(from as i64);
    Ok(Read { value: AirSeries { start, hours }, findings: whole.findings })
}

/// Where the sun of a record came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SunSource {
    Read,
    Cloud,
    Range,
}

struct Whole<'a> {
    record: &'a HourlyRecord,
    place: &'a Place,
    clear: Vec<f64>,
    findings: Vec<Finding>,
    from: usize,
    to: usize,
}

impl Whole<'_> {
    fn values(&self, get: fn(&PartHour) -> Option<f64>) -> Vec<Option<f64>> {
        self.record.hours.iter().map(get).collect()
    }

    /// Tells that a quantity was made for `hours` hours.
    fn made(&mut self, made: Made, hours: usize) {
        self.findings.push(Finding {
            line: 0,
            column: String::new(),
            text: hours.to_string(),
            what: What::MadeFrom(made),
            done: Done::Filled(None),
        });
    }

    /// Fills short holes; refuses a long one inside the span.
    fn filled(&self, values: &[Option<f64>], quantity: Quantity) -> Result<Vec<f64>, Refusal> {
        let line = bridged(values).ok_or(Refusal::Never(quantity))?;
        for (first, hours) in stretches(values.iter().map(Option::is_none)) {
            let matters = first < self.to && first + hours > self.from;
            if hours > FILL_HOURS_MAX && matters {
                let from = self.record.start.plus_hours(first as i64);
                let line = line_at(&self.record.hours, first);
                return Err(Refusal::Hole { line, quantity, from, hours, most: FILL_HOURS_MAX });
            }
        }
        Ok(line)
    }

    fn air(&self) -> Result<Vec<f64>, Refusal> {
        self.filled(&self.values(|hour| hour.air_temp_c), Quantity::AirTemp)
    }

    fn vapour(&mut self, air: &[f64]) -> Result<Vec<f64>, Refusal> {
        let read = self.values(|hour| hour.vapour_pressure_hpa);
        let mut vapour = if read.iter().all(Option::is_none) {
            self.made(Made::DewFromNightLow, self.to - self.from);
            self.vapour_from_lows(air)
        } else {
            self.filled(&read, Quantity::Humidity)?
        };
        for (vapour, air) in vapour.iter_mut().zip(air) {
            *vapour = vapour.min(saturation_bolton_1980(*air));
        }
        Ok(vapour)
    }

    /// Dew point at the day's low, straight from noon to noon.
    fn vapour_from_lows(&self, air: &[f64]) -> Vec<f64> {
        let mut lows: Vec<Option<f64>> = vec![None; air.len()];
        for (_, hours) in self.days() {
            let low = air[hours.clone()].iter().copied().fold(f64::INFINITY, f64::min);
            lows[(hours.start + 12).min(hours.end - 1)] = Some(saturation_bolton_1980(low));
        }
        bridged(&lows).unwrap_or_else(|| vec![10.0; air.len()])
    }

    /// Standard-time days and the hours of the record in each.
    fn days(&self) -> Vec<(Day, std::ops::Range<usize>)> {
        let n_hours = self.record.hours.len();
        let mut days = Vec::new();
        let mut from = 0;
        while from < n_hours {
            let (day, second) = self.place.standard_day(self.record.start.plus_hours(from as i64));
            let left = (24 * SECONDS_PER_HOUR - i64::from(second) + SECONDS_PER_HOUR - 1) / SECONDS_PER_HOUR;
            let to = (from + (left.max(1) as usize)).min(n_hours);
            days.push((day, from..to));
            from = to;
        }
        days
    }

    fn wind(&mut self, donors: Option<&DonorRecord>) -> Result<Vec<f64>, Refusal> {
        let read = self.values(|hour| hour.wind_m_s);
        match donors {
            Some(donors) if read.iter().all(Option::is_none) => {
                self.made(Made::WindFromDonors, self.to - self.from);
                let at = |i: usize| self.record.start.plus_hours(i as i64);
                Ok((0..read.len()).map(|i| donors.usual_wind_m_s(at(i), self.place)).collect())
            }
            _ => self.filled(&read, Quantity::Wind),
        }
    }

    fn shortwave(&mut self, air: &[f64]) -> Result<(Vec<f64>, SunSource), Refusal> {
        let read = self.values(|hour| hour.shortwave_w_m2);
        let cover = self.values(|hour| hour.cloud_fraction);
        let has_cover = cover.iter().any(Option::is_some);
        if read.iter().all(Option::is_none) {
            let hours = self.to - self.from;
            if has_cover {
                let cover = self.filled(&cover, Quantity::Cloud)?;
                self.made(Made::SunFromCloud, hours);
                return Ok((self.sun_through(&cover), SunSource::Cloud));
            }
            self.made(Made::SunFromRange, hours);
            return Ok((self.sun_from_range(air), SunSource::Range));
        }
        self.check_sun(&read);
        // The share of the clear sky is what stays alike over a few hours; by night there is nothing to fill.
        let share: Vec<Option<f64>> = (0..read.len())
            .map(|i| if self.clear[i] < 1.0 { Some(0.0) } else { Some(read[i]? / self.clear[i]) })
            .collect();
        let by_day = self.by_day(&share);
        let stand_in = bridged(&cover).map(|cover| self.sun_through(&cover));
        if stand_in.is_none() {
            self.filled(&share, Quantity::Shortwave)?;
        }
        let mut made = 0;
        let long = long_holes(&share);
        let shortwave = (0..read.len())
            .map(|i| match (read[i], &stand_in) {
                (Some(value), _) => value,
                (None, Some(sun)) if long[i] => {
                    made += usize::from((self.from..self.to).contains(&i));
                    sun[i]
                }
                (None, _) => by_day[i] * self.clear[i],
            })
            .collect();
        if made > 0 {
            self.made(Made::SunFromCloud, made);
        }
        Ok((shortwave, SunSource::Read))
    }

    /// Shares of the clear sky bridged from day to day: the dark hours do not count as clear or clouded.
    fn by_day(&self, share: &[Option<f64>]) -> Vec<f64> {
        let lit: Vec<Option<f64>> =
            share.iter().zip(&self.clear).map(|(share, clear)| share.filter(|_| *clear > 20.0)).collect();
        bridged(&lit).map_or_else(|| vec![0.0; share.len()], |line| line.into_iter().map(|s| s.min(1.2)).collect())
    }

    fn sun_through(&self, cover: &[f64]) -> Vec<f64> {
        self.clear.iter().zip(cover).map(|(clear, n)| clear * (1.0 - cloud_of_cover_kasten_czeplak_1980(*n))).collect()
    }

    fn sun_from_range(&self, air: &[f64]) -> Vec<f64> {
        let mut shortwave = vec![0.0; air.len()];
        for (day, hours) in self.days() {
            let (low, high) = air[hours.clone()]
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(*t), high.max(*t)));
            let share = share_from_range(high - low, day, self.place);
            for i in hours {
                shortwave[i] = share * self.clear[i];
            }
        }
        shortwave
    }

    /// Names sun by night, more sun than the sky has, and a noon that is not the sun's.
    fn check_sun(&mut self, read: &[Option<f64>]) {
        let most = |i: usize| if self.clear[i] > 0.0 { 1.25 * self.clear[i] + 100.0 } else { 40.0 };
        let too_bright = |i: usize| read[i].is_some_and(|value| value > most(i));
        let found = stretches((0..read.len()).map(too_bright));
        for (first, _) in found {
            let what = What::SunAboveSky { value_w_m2: read[first].unwrap_or(0.0), most_w_m2: most(first) };
            let line = line_at(&self.record.hours, first);
            self.findings.push(Finding::cell(line, "shortwave", "", what, Done::Kept));
        }
        if let Some(minutes) = self.noon_late_min(read)
            && minutes.abs() > NOON_LATE_MAX_MIN
        {
            self.findings.push(Finding::cell(0, "shortwave", "", What::SunOffNoon { minutes }, Done::Kept));
        }
    }

    /// How late the middle of the sunny hours is, median over the brighter days; `None` with fewer than ten.
    fn noon_late_min(&self, read: &[Option<f64>]) -> Option<f64> {
        let mut late: Vec<f64> = Vec::new();
        for (_, hours) in self.days().into_iter().filter(|(_, hours)| hours.len() == 24) {
            let (mut sun, mut sun_moment, mut sky, mut sky_moment) = (0.0, 0.0, 0.0, 0.0);
            for (hour, i) in hours.enumerate() {
                let value = read[i].unwrap_or(0.0);
                sun += value;
                sun_moment += value * hour as f64;
                sky += self.clear[i];
                sky_moment += self.clear[i] * hour as f64;
            }
            if sky > 0.0 && sun > 0.7 * sky {
                late.push(60.0 * (sun_moment / sun - sky_moment / sky));
            }
        }
        late.sort_by(f64::total_cmp);
        (late.len() >= 10).then(|| late[late.len() / 2])
    }

    fn longwave(&mut self, air: &[f64], vapour: &[f64], shortwave: &[f64], source: SunSource) -> Vec<f64> {
        let read = self.values(|hour| hour.longwave_w_m2);
        let needed = read[self.from..self.to].iter().filter(|value| value.is_none()).count();
        if needed == 0 {
            return read.into_iter().map(|value| value.unwrap_or(0.0)).collect();
        }
        let cover = bridged(&self.values(|hour| hour.cloud_fraction));
        let from_cover = cover.map(|cover| cover.into_iter().map(cloud_of_cover_kasten_czeplak_1980).collect());
        let seen = cloud_from_sun(shortwave, &self.clear);
        let (cloud, made) = match (source, seen, from_cover) {
            (SunSource::Read, Some(seen), _) => (seen, Made::LongwaveFromSun),
            (_, _, Some(cover)) => (cover, Made::LongwaveFromCloud),
            (_, Some(seen), None) => (seen, Made::LongwaveFromRange),
            // Polar night without a word on cloud: half.
            (_, None, None) => (vec![0.5; air.len()], Made::LongwaveFromRange),
        };
        self.made(made, needed);
        let sky = |i: usize| sky_unsworth_monteith_1975(air[i], vapour[i], cloud[i]);
        (0..air.len()).map(|i| read[i].unwrap_or_else(|| sky(i))).collect()
    }

    fn pressure(&mut self, air: &[f64]) -> Vec<f64> {
        if let Some(pressure) = bridged(&self.values(|hour| hour.pressure_hpa)) {
            return pressure;
        }
        let hours = self.to - self.from;
        if let Some(sea) = bridged(&self.values(|hour| hour.sea_level_pressure_hpa)) {
            self.made(Made::PressureFromSeaLevel, hours);
            let at = |(sea, air): (&f64, &f64)| station_pressure_hpa(*sea, self.place.elevation_m, *air);
            return sea.iter().zip(air).map(at).collect();
        }
        self.made(Made::PressureFromElevation, hours);
        vec![pressure_fao56(self.place.elevation_m); air.len()]
    }

    fn rain(&mut self) -> Vec<f64> {
        let read = self.values(|hour| hour.rain_mm);
        let missing = read[self.from..self.to].iter().filter(|value| value.is_none()).count();
        if missing > 0 {
            self.made(Made::NoRain, missing);
        }
        read.into_iter().map(|value| value.unwrap_or(0.0)).collect()
    }
}

/// A noon later or earlier than this is named, minutes.
const NOON_LATE_MAX_MIN: f64 = 25.0;

/// Share of the clear sky's sun that a day's range of temperature speaks for.
pub(crate) fn share_from_range(range_k: f64, day: Day, place: &Place) -> f64 {
    let above_air = sun::extraterrestrial_mj_m2_d(place.latitude_deg, day.day_of_year());
    let sun_mj_m2 = sun::from_range_mj_m2_d(RANGE_FACTOR, range_k, above_air);
    let clear: f64 = sun::clear_sky_hours(place.day_start(day), 24, place).iter().sum();
    let clear_mj_m2 = clear * SECONDS_PER_HOUR as f64 / 1e6;
    if clear_mj_m2 > 0.01 { (sun_mj_m2 / clear_mj_m2).clamp(0.15, 1.0) } else { 1.0 }
}

fn long_holes(values: &[Option<f64>]) -> Vec<bool> {
    let mut long = vec![false; values.len()];
    for (first, hours) in stretches(values.iter().map(Option::is_none)) {
        if hours > FILL_HOURS_MAX {
            long[first..first + hours].fill(true);
        }
    }
    long
}

#[cfg(test)]
mod tests;
