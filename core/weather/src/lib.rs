//! Station and forecast text to hours; gaps; sun; members of the coming weather.

mod air;
mod climate;
mod dense;
mod findings;
mod forecast;
mod issued;
mod library;
pub mod longwave;
mod members;
pub mod moist;
mod season_curve;
mod skill;
pub mod sun;

pub use air::{AirHour, AirSeries, DailyRecord, DayExtremes, HourlyRecord, PartHour, Place};
pub use climate::{Chain, Climate, ClimateError, LowHigh};
pub use findings::{Done, Finding, Made, Quantity, Read, Refusal, What};
pub use forecast::{DailyForecast, ForecastError, Luck, issue_forecast};
pub use issued::{ForecastDay, ForecastExtreme, IssuedForecast};
pub use library::{AirRow, Library, LibraryError, Past, PastSeason, SeasonWindow};
pub use members::{Donor, MemberNews, Members, MembersError, Morning};
pub use season_curve::SeasonCurve;
pub use skill::{ForecastSkill, LEADS_MAX, SkillError};
