//! The air over a farm: hour by hour, day by day, whole or with holes.

use units::{Day, Instant, SECONDS_PER_HOUR, Zone};

/// One hour of air over the water, everything the pond needs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirHour {
    /// Air temperature, °C.
    pub air_temp_c: f64,
    /// Partial pressure of water vapour, hPa.
    pub vapour_pressure_hpa: f64,
    /// Wind speed as the station read it, m/s.
    pub wind_m_s: f64,
    /// Sun on a level surface, W/m², mean of the hour.
    pub shortwave_w_m2: f64,
    /// Heat radiation from the sky, W/m², mean of the hour.
    pub longwave_w_m2: f64,
    /// Air pressure at the station, hPa.
    pub pressure_hpa: f64,
    /// Rain of the hour, mm.
    pub rain_mm: f64,
}

/// Hours without a hole: hour `i` covers `start` + `i` hours up to one hour later.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSeries {
    /// Where hour 0 begins. Not always a whole hour of UTC: a zone may stand half an hour off.
    pub start: Instant,
    /// The hours in order.
    pub hours: Vec<AirHour>,
}

impl AirSeries {
    /// The moment after the last hour.
    pub fn end(&self) -> Instant {
        self.start.plus_hours(self.hours.len() as i64)
    }

    /// Index of the hour that covers `at`; `None` outside the series.
    pub fn index_at(&self, at: Instant) -> Option<usize> {
        let index = usize::try_from(at.hours_since(self.start)).ok()?;
        (index < self.hours.len()).then_some(index)
    }
}

/// One hour as it was read: what the file did not give is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PartHour {
    /// Air temperature, °C.
    pub air_temp_c: Option<f64>,
    /// Partial pressure of water vapour, hPa.
    pub vapour_pressure_hpa: Option<f64>,
    /// Wind speed as the station read it, m/s.
    pub wind_m_s: Option<f64>,
    /// Sun on a level surface, W/m².
    pub shortwave_w_m2: Option<f64>,
    /// Heat radiation from the sky, W/m².
    pub longwave_w_m2: Option<f64>,
    /// Share of the sky under cloud, 0 to 1.
    pub cloud_fraction: Option<f64>,
    /// Air pressure at the station, hPa.
    pub pressure_hpa: Option<f64>,
    /// Air pressure reduced to the sea, hPa.
    pub sea_level_pressure_hpa: Option<f64>,
    /// Rain of the hour, mm.
    pub rain_mm: Option<f64>,
    /// Chance of rain in the hour, 0 to 1 (forecasts only).
    pub rain_chance: Option<f64>,
    /// Line of the file the hour came from; 0 when no line gave it.
    pub line: u32,
}

/// Hours as read, in order, holes included.
#[derive(Debug, Clone, PartialEq)]
pub struct HourlyRecord {
    /// Where hour 0 begins.
    pub start: Instant,
    /// Hour `i` covers `start` + `i` hours up to one hour later.
    pub hours: Vec<PartHour>,
    /// Where the file itself says it was measured.
    pub place: Option<Place>,
}

impl HourlyRecord {
    /// The moment after the last hour.
    pub fn end(&self) -> Instant {
        self.start.plus_hours(self.hours.len() as i64)
    }

    /// How many hours have this value.
    pub fn count(&self, value: impl Fn(&PartHour) -> Option<f64>) -> usize {
        self.hours.iter().filter(|hour| value(hour).is_some()).count()
    }
}

/// Daily extremes as read: day `i` is `first` + `i` days.
#[derive(Debug, Clone, PartialEq)]
pub struct DailyRecord {
    /// The first day.
    pub first: Day,
    /// Lowest air temperature of each day, °C.
    pub low_c: Vec<Option<f64>>,
    /// Highest air temperature of each day, °C.
    pub high_c: Vec<Option<f64>>,
}

impl DailyRecord {
    /// Low and high of a day; `None` when either is missing or the day is outside the record.
    pub fn day(&self, day: Day) -> Option<DayExtremes> {
        let index = usize::try_from(day.0.checked_sub(self.first.0)?).ok()?;
        let low_c = (*self.low_c.get(index)?)?;
        let high_c = (*self.high_c.get(index)?)?;
        Some(DayExtremes { day, low_c, high_c })
    }

    /// The last day.
    pub fn last(&self) -> Day {
        self.first.plus(self.low_c.len() as i32 - 1)
    }

    /// All days of a span, or the first one that is missing.
    pub fn span(&self, from: Day, to: Day) -> Result<Vec<DayExtremes>, Day> {
        (from.0..=to.0).map(|day| self.day(Day(day)).ok_or(Day(day))).collect()
    }
}

/// Lowest and highest air temperature of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayExtremes {
    /// The day, by the station's standard clock.
    pub day: Day,
    /// Lowest air temperature, °C.
    pub low_c: f64,
    /// Highest air temperature, °C.
    pub high_c: f64,
}

/// Where the air is.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude_deg: f64,
    /// Degrees, east positive.
    pub longitude_deg: f64,
    /// Metres above the sea.
    pub elevation_m: f64,
    /// Its clock.
    pub zone: Zone,
}

impl Place {
    /// Seconds to add to UTC for standard time: the clock without its summer change, so that every day has 24 hours.
    pub fn standard_offset_s(&self) -> i32 {
        standard_offset_s(&self.zone)
    }

    /// Midnight by standard time at which a day begins.
    pub fn day_start(&self, day: Day) -> Instant {
        Instant(i64::from(day.0) * 24 * SECONDS_PER_HOUR - i64::from(self.standard_offset_s()))
    }

    /// The standard-time day a moment falls in, and the seconds since its midnight.
    pub fn standard_day(&self, at: Instant) -> (Day, i32) {
        standard_day(at, self.standard_offset_s())
    }
}

/// Seconds to add to UTC for a zone's standard time.
pub(crate) fn standard_offset_s(zone: &Zone) -> i32 {
    // 1 January and 1 July 2021: one of them is standard time in either hemisphere.
    zone.offset_s(Instant(1_609_459_200)).min(zone.offset_s(Instant(1_625_097_600)))
}

/// Day and second of a fixed offset.
pub(crate) fn standard_day(at: Instant, offset_s: i32) -> (Day, i32) {
    let shifted = at.0 + i64::from(offset_s);
    let day = shifted.div_euclid(24 * SECONDS_PER_HOUR);
    let bound = day.clamp(i64::from(i32::MIN), i64::from(i32::MAX));
    (Day(bound as i32), shifted.rem_euclid(24 * SECONDS_PER_HOUR) as i32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_begins_at_standard_midnight_all_year() {
        for (zone, offset_s) in [
            ("America/New_York", -18_000),
            ("America/Sao_Paulo", -10_800),
            ("Australia/Adelaide", 34_200),
            ("+05:30", 19_800),
        ] {
            let zone = Zone::parse(zone).expect("in the table");
            let place = Place { latitude_deg: 0.0, longitude_deg: 0.0, elevation_m: 0.0, zone };
            assert_eq!(place.standard_offset_s(), offset_s);
            let day = Day::new(2020, 7, 6).expect("a date");
            assert_eq!(place.standard_day(place.day_start(day)), (day, 0));
            assert_eq!(place.day_start(day.plus(1)).hours_since(place.day_start(day)), 24);
        }
    }

    #[test]
    fn a_span_names_its_first_hole() {
        let record =
            DailyRecord { first: Day(10), low_c: vec![Some(1.0), None, Some(3.0)], high_c: vec![Some(9.0); 3] };
        assert_eq!(record.span(Day(10), Day(12)), Err(Day(11)));
        assert_eq!(
            record.span(Day(12), Day(12)).expect("whole"),
            [DayExtremes { day: Day(12), low_c: 3.0, high_c: 9.0 }]
        );
        assert_eq!(record.day(Day(9)), None);
        assert_eq!(record.day(Day(i32::MIN)), None);
    }
}
