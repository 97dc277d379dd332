//! Station and forecast text to hours; gaps; sun; members of the coming weather.

mod air;
mod findings;
mod issued;
pub mod longwave;
pub mod moist;
mod season_curve;
pub mod sun;

pub use air::{AirHour, AirSeries, DailyRecord, DayExtremes, HourlyRecord, PartHour, Place};
pub use findings::{Done, Finding, Made, Quantity, Read, Refusal, What};
pub use issued::{ForecastDay, ForecastExtreme, IssuedForecast};
pub use season_curve::SeasonCurve;
