//! Station and forecast text to hours; gaps; sun; members of the coming weather.

mod air;
mod climate;
mod complete;
mod daily_course;
mod dense;
mod donors;
mod findings;
mod forecast;
mod hours_for_days;
mod issued;
mod library;
pub mod longwave;
#[cfg(test)]
mod made_up;
mod members;
pub mod moist;
mod read;
mod season_curve;
mod skill;
pub mod sun;

pub use air::{AirHour, AirSeries, DailyRecord, DayExtremes, HourlyRecord, PartHour, Place};
pub use climate::{Chain, Climate, ClimateError, LowHigh};
pub use complete::complete;
pub use daily_course::{TimedExtreme, between_parton_logan_1981, usual_times};
pub use donors::{DonorError, DonorRecord, DonorsRead, Lenders};
pub use findings::{Done, ErrorUnit, Finding, Made, MeasuredError, Quantity, Read, Refusal, What};
pub use forecast::{DailyForecast, ForecastError, Luck, issue_forecast};
pub use hours_for_days::{Normals, hours_for_days};
pub use issued::{ForecastDay, ForecastExtreme, IssuedForecast};
pub use library::{AirRow, Library, LibraryError, Past, PastSeason, SeasonWindow};
pub use members::{Donor, MemberNews, Members, MembersError, Morning};
pub use read::{
    HourLabel, HourlyForm, Weather, WeatherForm, read_any, read_daily, read_epw, read_forecast_table,
    read_ghcn_by_station, read_ghcn_dly, read_hourly, read_service_forecast, weather_form,
};
pub use season_curve::SeasonCurve;
pub use skill::{ForecastSkill, LEADS_MAX, SkillError};
