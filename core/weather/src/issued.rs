//! A forecast as it was issued: hours, or lows and highs with their times.

use units::{Day, Instant};

use crate::air::{HourlyRecord, Place};

/// What a forecaster said at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct IssuedForecast {
    /// When it was issued.
    pub issued: Instant,
    /// Hours, if it gave hours.
    pub hours: Option<HourlyRecord>,
    /// Lows and highs, if it gave those, in order of time.
    pub extremes: Vec<ForecastExtreme>,
    /// Day means of what it said beside the extremes.
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
    /// Chance of rain, 0 to 1.
    pub rain_chance: Option<f64>,
}
