//! A forecast as it was issued: hours, or lows and highs with their times.

use std::collections::BTreeMap;

use units::{Day, Instant, SECONDS_PER_HOUR, Zone};

use crate::air::{HourlyRecord, PartHour, Place, standard_day, standard_offset_s};
use crate::moist::dew_point_c;

/// What a forecaster said at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct IssuedForecast {
    /// When it was issued.
    pub issued: Instant,
    /// Hours, if it gave hours.
    pub hours: Option<HourlyRecord>,
    /// Lows and highs with their stretches, if it gave those, in order of time.
    pub extremes: Vec<ForecastExtreme>,
    /// What it says of each day, in order.
    pub days: Vec<ForecastDay>,
    /// Where, if it says so.
    pub place: Option<Place>,
}

/// A low or a high and the stretch of time it is said for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastExtreme {
    /// Start of the stretch.
    pub from: Instant,
    /// End of the stretch.
    pub to: Instant,
    /// Whether it is the highest (else the lowest) of the stretch.
    pub is_high: bool,
    /// °C.
    pub air_temp_c: f64,
}

/// What a forecast says of one day, by standard time; `None` where it says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastDay {
    /// The day.
    pub day: Day,
    /// Lowest air temperature of the night that ends that morning, °C.
    pub low_c: Option<f64>,
    /// Highest air temperature of the day, °C.
    pub high_c: Option<f64>,
    /// Mean dew point, °C.
    pub dew_point_c: Option<f64>,
    /// Mean wind, m/s.
    pub wind_m_s: Option<f64>,
    /// Mean cloud, 0 to 1.
    pub cloud_fraction: Option<f64>,
    /// Highest chance of rain, 0 to 1.
    pub rain_chance: Option<f64>,
}

impl ForecastDay {
    /// A day of which nothing is said yet.
    pub fn silent(day: Day) -> ForecastDay {
        ForecastDay {
            day,
            low_c: None,
            high_c: None,
            dew_point_c: None,
            wind_m_s: None,
            cloud_fraction: None,
            rain_chance: None,
        }
    }
}

/// Hours of standard time that must be there before their lowest is called the night's low, or their highest the day's high.
const LOW_HOURS: std::ops::Range<i64> = 3..9;
const HIGH_HOURS: std::ops::Range<i64> = 12..18;
/// Where the night's low is looked for: from six in the evening before, to noon.
const NIGHT_HOURS: std::ops::Range<i64> = -6..12;
const WHOLE_DAY: std::ops::Range<i64> = 0..24;
/// Fewest hours that make a day's mean.
const MEAN_HOURS_MIN: usize = 6;

/// Days from hours and extremes; an extreme the forecaster named goes before one seen in the hours.
pub(crate) fn days_of(hours: Option<&HourlyRecord>, extremes: &[ForecastExtreme], zone: &Zone) -> Vec<ForecastDay> {
    let offset_s = standard_offset_s(zone);
    let mut days: BTreeMap<Day, ForecastDay> = BTreeMap::new();
    if let Some(record) = hours {
        let last = standard_day(record.end().plus_hours(-1), offset_s).0;
        for number in standard_day(record.start, offset_s).0.0..=last.0 {
            days.insert(Day(number), day_of_hours(record, Day(number), offset_s));
        }
    }
    for extreme in extremes {
        // A night belongs to the day it ends in, a day to its middle.
        let middle = extreme.from.0 + (extreme.to.0 - extreme.from.0) / 2;
        let of = if extreme.is_high { Instant(middle) } else { Instant(extreme.to.0 - 1) };
        let day = standard_day(of, offset_s).0;
        let said = days.entry(day).or_insert_with(|| ForecastDay::silent(day));
        let place = if extreme.is_high { &mut said.high_c } else { &mut said.low_c };
        *place = Some(extreme.air_temp_c);
    }
    days.retain(|day, said| *said != ForecastDay::silent(*day));
    days.into_values().collect()
}

fn day_of_hours(record: &HourlyRecord, day: Day, offset_s: i32) -> ForecastDay {
    let midnight = Instant(i64::from(day.0) * 24 * SECONDS_PER_HOUR - i64::from(offset_s));
    let values = |span: std::ops::Range<i64>, get: fn(&PartHour) -> Option<f64>| -> Vec<f64> {
        span.filter_map(|hour| {
            let index = usize::try_from(midnight.plus_hours(hour).hours_since(record.start)).ok()?;
            get(record.hours.get(index)?)
        })
        .collect()
    };
    let whole = |span: std::ops::Range<i64>| {
        let wanted = (span.end - span.start) as usize;
        values(span, |h| h.air_temp_c).len() == wanted
    };
    let mean = |get: fn(&PartHour) -> Option<f64>| {
        let values = values(WHOLE_DAY, get);
        (values.len() >= MEAN_HOURS_MIN).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    let air = |span| values(span, |h| h.air_temp_c);
    ForecastDay {
        day,
        low_c: whole(LOW_HOURS).then(|| air(NIGHT_HOURS).into_iter().fold(f64::INFINITY, f64::min)),
        high_c: whole(HIGH_HOURS).then(|| air(WHOLE_DAY).into_iter().fold(f64::NEG_INFINITY, f64::max)),
        dew_point_c: mean(|h| h.vapour_pressure_hpa.map(dew_point_c)),
        wind_m_s: mean(|h| h.wind_m_s),
        cloud_fraction: mean(|h| h.cloud_fraction),
        rain_chance: values(WHOLE_DAY, |h| h.rain_chance).into_iter().reduce(f64::max),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_come_from_hours_only_where_the_hours_tell() {
        // From noon of one day to noon of the next but one, in a zone half an hour off.
        let zone = Zone::parse("+05:30").expect("an offset");
        let midnight = Instant(-19_800);
        let hours = (12..60)
            .map(|hour| {
                let air_temp_c = Some(20.0 - 8.0 * units::cos(f64::from(hour - 3) / 24.0 * std::f64::consts::TAU));
                PartHour { air_temp_c, wind_m_s: Some(2.0), ..PartHour::default() }
            })
            .collect();
        let record = HourlyRecord { start: midnight.plus_hours(12), hours, place: None };
        let days = days_of(Some(&record), &[], &zone);
        assert_eq!(days.len(), 3);
        let lows: Vec<Option<f64>> = days.iter().map(|day| day.low_c.map(f64::round)).collect();
        assert_eq!(lows, [None, Some(12.0), Some(12.0)]);
        let highs: Vec<Option<f64>> = days.iter().map(|day| day.high_c.map(f64::round)).collect();
        assert_eq!(highs, [Some(28.0), Some(28.0), None]);
        assert_eq!(days[0].wind_m_s, Some(2.0));
    }

    #[test]
    fn a_named_low_belongs_to_the_morning_it_ends_in() {
        let zone = Zone::parse("-05:00").expect("an offset");
        let evening = Instant(i64::from(Day::new(2024, 9, 30).expect("a date").0) * 86_400 + 5 * 3600 + 18 * 3600);
        let low = ForecastExtreme { from: evening, to: evening.plus_hours(13), is_high: false, air_temp_c: 7.0 };
        let high = ForecastExtreme {
            from: evening.plus_hours(13),
            to: evening.plus_hours(26),
            is_high: true,
            air_temp_c: 21.0,
        };
        let days = days_of(None, &[low, high], &zone);
        assert_eq!(days.len(), 1);
        assert_eq!(days[0].day, Day::new(2024, 10, 1).expect("a date"));
        assert_eq!((days[0].low_c, days[0].high_c), (Some(7.0), Some(21.0)));
    }
}
