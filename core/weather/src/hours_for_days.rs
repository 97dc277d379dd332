//! Days of which only low and high are known, to hours.
//!
//! Model     each day draws a whole lending day among those most alike (season, anomalies of low and high, range, change from the
//!           day before and to the day after, and how its ends meet its neighbours). The lent temperature is stretched to the
//!           day's own low and high, which are kept exactly, and joined at midnight; dew point keeps its distance from the low;
//!           cloud, wind and rain come as they are; sun is the place's own clear sky through the lent cloud; heat radiation of
//!           the sky follows from all of these.
//! Units     those of `AirHour`.
//! Range     lows and highs of any place whose lenders have alike weather; either hemisphere, any zone.
//! Source    the joining of whole observed days after Lall and Sharma (1996), Water Resour. Res. 32, 679-693 (memory: kernel 1/i);
//!           features and weights are ours. Errors measured on hours in Virginia, docs/model/weather.md.
//! Left out  wind of the place itself: its mean is that of the nearest lender.

use chance::Stream;
use units::exp;

use crate::air::{AirHour, AirSeries, DailyRecord, DayExtremes};
use crate::donors::{DonorDay, Lenders, season_apart};
use crate::longwave::sky_unsworth_monteith_1975;
use crate::moist::{pressure_fao56, saturation_bolton_1980};
use crate::season_curve::SeasonCurve;
use crate::sun;

/// Most alike days a draw chooses among.
const NEIGHBOURS: usize = 6;
/// Hours over which two days are joined, at most.
const JOIN_HOURS_MAX: usize = 8;
const WAVES: usize = 2;

/// The usual lows and highs of a place through the year.
#[derive(Debug, Clone, PartialEq)]
pub struct Normals {
    low: SeasonCurve,
    high: SeasonCurve,
}

impl Normals {
    /// From a daily record; `None` when it has fewer than 40 days.
    pub fn of(record: &DailyRecord) -> Option<Normals> {
        let curve = |values: &[Option<f64>]| {
            let of_year = |i: usize| f64::from(record.first.plus(i as i32).day_of_year());
            let points: Vec<(f64, f64)> =
                values.iter().enumerate().filter_map(|(i, value)| Some((of_year(i), (*value)?))).collect();
            SeasonCurve::fit(&points, WAVES)
        };
        Some(Normals { low: curve(&record.low_c)?, high: curve(&record.high_c)? })
    }

    fn off(&self, day: &DayExtremes) -> (f64, f64) {
        let of_year = f64::from(day.day.day_of_year());
        let off = |curve: &SeasonCurve, value: f64| (value - curve.at(of_year)) / curve.spread(of_year);
        (off(&self.low, day.low_c), off(&self.high, day.high_c))
    }
}

/// Hours of consecutive days: 24 for each, from the first day's midnight by standard time. The same stream gives the same hours.
pub fn hours_for_days(days: &[DayExtremes], normals: &Normals, lenders: &Lenders, stream: &mut Stream) -> AirSeries {
    let place = &lenders.place;
    let start = place.day_start(days.first().map_or_else(Default::default, |day| day.day));
    let chosen = choose(days, normals, lenders, stream);
    let mut air = temperatures(days, &chosen);
    join(&mut air, days);
    let clear = sun::clear_sky_hours(start, 24 * days.len(), place);
    let usual_pressure_hpa = pressure_fao56(place.elevation_m);
    let dew = dew_points(days, &chosen);
    let hours = (0..24 * days.len())
        .map(|i| {
            let lent = &chosen[i / 24].hours[i % 24];
            let air_temp_c = air[i];
            let vapour_pressure_hpa = saturation_bolton_1980(dew[i].min(air_temp_c));
            let cloud = lent.cloud.unwrap_or(0.4);
            AirHour {
                air_temp_c,
                vapour_pressure_hpa,
                wind_m_s: lent.wind_m_s,
                shortwave_w_m2: clear[i] * (1.0 - cloud),
                longwave_w_m2: sky_unsworth_monteith_1975(air_temp_c, vapour_pressure_hpa, cloud),
                pressure_hpa: usual_pressure_hpa + lent.pressure_off_hpa,
                rain_mm: lent.rain_mm.unwrap_or(0.0),
            }
        })
        .collect();
    AirSeries { start, hours }
}

/// A lending day for each day.
fn choose<'a>(days: &[DayExtremes], normals: &Normals, lenders: &'a Lenders, stream: &mut Stream) -> Vec<&'a DonorDay> {
    let mut chosen: Vec<&DonorDay> = Vec::with_capacity(days.len());
    let mut ranked: Vec<(f64, usize)> = Vec::new();
    for (i, day) in days.iter().enumerate() {
        let wanted = Wanted {
            day,
            off: normals.off(day),
            next_low_step_k: days.get(i + 1).map(|next| next.low_c - day.low_c),
            high_step_k: i.checked_sub(1).map(|before| day.high_c - days[before].high_c),
            evening_c: i.checked_sub(1).map(|before| stretched(&days[before], chosen[before], 23)),
            before: chosen.last().copied(),
        };
        ranked.clear();
        ranked.extend(lenders.days.iter().enumerate().map(|(at, lender)| (wanted.unlike(lender), at)));
        let nearest = NEIGHBOURS.min(ranked.len());
        ranked.select_nth_unstable_by(nearest - 1, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        ranked[..nearest].sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        chosen.push(&lenders.days[ranked[by_rank(nearest, stream.uniform())].1]);
    }
    chosen
}

/// A place among `n`, each weighted by 1 over its rank.
fn by_rank(n: usize, uniform: f64) -> usize {
    let total: f64 = (1..=n).map(|rank| 1.0 / rank as f64).sum();
    let mut left = uniform * total;
    for rank in 1..n {
        left -= 1.0 / rank as f64;
        if left < 0.0 {
            return rank - 1;
        }
    }
    n - 1
}

/// What a day asks of its lender.
struct Wanted<'a> {
    day: &'a DayExtremes,
    off: (f64, f64),
    next_low_step_k: Option<f64>,
    high_step_k: Option<f64>,
    /// Temperature of the last hour of the day before.
    evening_c: Option<f64>,
    before: Option<&'a DonorDay>,
}

impl Wanted<'_> {
    fn unlike(&self, lender: &DonorDay) -> f64 {
        let season = season_apart(f64::from(self.day.day.day_of_year()), lender.day_of_year) / 25.0;
        let range = ((self.day.high_c - self.day.low_c) - (lender.high_c - lender.low_c)) / 2.0;
        let step = |wanted: Option<f64>, given: Option<f64>, scale: f64| match (wanted, given) {
            (Some(wanted), Some(given)) => (wanted - given) / scale,
            (None, _) => 0.0,
            (Some(_), None) => 1.0,
        };
        let parts = [
            season,
            0.7 * (self.off.0 - lender.low_off),
            0.7 * (self.off.1 - lender.high_off),
            range,
            step(self.next_low_step_k, lender.next_low_step_k, 4.0),
            step(self.high_step_k, lender.high_step_k, 4.0),
            // The evening before and the first hour should meet; half a degree an hour is what nights fall by.
            self.evening_c.map_or(0.0, |evening| (evening - 0.5 - stretched(self.day, lender, 0)) / 2.0),
        ];
        let sum: f64 = parts.iter().map(|part| part * part).sum();
        // The lender's own next day carries wind, damp and cloud on.
        let follows = self.before.is_some_and(|b| b.source == lender.source && b.day.0 + 1 == lender.day.0);
        if follows { 0.5 * sum } else { sum }
    }
}

/// The lent temperature of an hour, stretched to the day's low and high.
fn stretched(day: &DayExtremes, lender: &DonorDay, hour: usize) -> f64 {
    let range = lender.high_c - lender.low_c;
    let share = if range > 0.3 { (lender.hours[hour].air_temp_c - lender.low_c) / range } else { 0.5 };
    day.low_c + (day.high_c - day.low_c) * share
}

fn temperatures(days: &[DayExtremes], chosen: &[&DonorDay]) -> Vec<f64> {
    (0..24 * days.len()).map(|i| stretched(&days[i / 24], chosen[i / 24], i % 24)).collect()
}

/// Smooths the step at each midnight over the hours up to the nearest extreme on either side, which stay what they are.
fn join(air: &mut [f64], days: &[DayExtremes]) {
    for i in 1..days.len() {
        let midnight = 24 * i;
        let is_extreme = |at: usize| {
            let day = &days[at / 24];
            (air[at] - day.low_c).abs() < 1e-9 || (air[at] - day.high_c).abs() < 1e-9
        };
        let before = (1..=JOIN_HOURS_MAX).find(|&k| is_extreme(midnight - k)).unwrap_or(JOIN_HOURS_MAX + 1) - 1;
        let after = (0..JOIN_HOURS_MAX).find(|&k| is_extreme(midnight + k)).unwrap_or(JOIN_HOURS_MAX);
        if before + after == 0 {
            continue;
        }
        let slope = 0.5 * ((air[midnight - 1] - air[midnight - 2]) + (air[midnight + 1] - air[midnight]));
        let step = air[midnight] - air[midnight - 1] - slope;
        let (back, forth) = match (before, after) {
            (0, _) => (0.0, step),
            (_, 0) => (step, 0.0),
            _ => (0.5 * step, 0.5 * step),
        };
        for k in 1..=before {
            let day = &days[i - 1];
            let moved = air[midnight - k] + back * (1.0 - (k - 1) as f64 / before as f64);
            air[midnight - k] = moved.clamp(day.low_c, day.high_c);
        }
        for k in 0..after {
            let day = &days[i];
            let moved = air[midnight + k] - forth * (1.0 - k as f64 / after as f64);
            air[midnight + k] = moved.clamp(day.low_c, day.high_c);
        }
    }
}

/// Dew points: the lent distance from the day's low, with the step at midnight spread over the hours about it.
fn dew_points(days: &[DayExtremes], chosen: &[&DonorDay]) -> Vec<f64> {
    /// Hours in which a step has shrunk to a third.
    const EASE_H: f64 = 3.0;
    let mut dew: Vec<f64> = (0..24 * days.len())
        .map(|i| days[i / 24].low_c + chosen[i / 24].hours[i % 24].dew_point_c - chosen[i / 24].low_c)
        .collect();
    for midnight in (24..dew.len()).step_by(24) {
        let step = dew[midnight] - dew[midnight - 1];
        for k in 0..12 {
            let ease = 0.5 * step * exp(-(k as f64) / EASE_H);
            dew[midnight - 1 - k] += ease;
            dew[midnight + k] -= ease;
        }
    }
    dew
}

#[cfg(test)]
mod tests;
