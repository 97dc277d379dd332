//! Station and forecast text to hours; gaps; sun; members of the coming weather.

mod air;
mod findings;
mod issued;

pub use air::{AirHour, AirSeries, DailyRecord, DayExtremes, HourlyRecord, PartHour, Place};
pub use findings::{Done, Finding, Made, Quantity, Read, Refusal, What};
pub use issued::{ForecastDay, ForecastExtreme, IssuedForecast};
