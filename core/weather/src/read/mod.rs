//! Text of the forms in use, to records: every odd thing named with its line, nothing taken from a disk.

mod any;
pub(crate) mod assemble;
mod columns;
mod daily;
mod epw;
mod forecast_table;
mod ghcn;
mod hourly;
mod service;
mod table;
mod times;

pub use any::{Weather, WeatherForm, read_any, weather_form};
pub use daily::read_daily;
pub use epw::read_epw;
pub use forecast_table::read_forecast_table;
pub use ghcn::{read_ghcn_by_station, read_ghcn_dly};
pub use hourly::{HourLabel, HourlyForm, read_hourly};
pub use service::read_service_forecast;
