//! Which form a file has, by what stands in it; its name is only a hint.

use units::Zone;

use super::columns::{Field, Known, known};
use super::forecast_table::looks_like_forecast;
use super::ghcn::{looks_like_by_station, looks_like_dly};
use super::hourly::HourlyForm;
use super::table::{Table, decode};
use super::{
    read_daily, read_epw, read_forecast_table, read_ghcn_by_station, read_ghcn_dly, read_hourly, read_service_forecast,
};
use crate::air::{DailyRecord, HourlyRecord};
use crate::findings::{Done, Finding, Read, Refusal, What};
use crate::issued::IssuedForecast;

/// What a weather file can hold.
#[derive(Debug, Clone, PartialEq)]
pub enum Weather {
    /// Days.
    Daily(DailyRecord),
    /// Hours.
    Hourly(HourlyRecord),
    /// A forecast.
    Forecast(IssuedForecast),
}

/// The forms this program reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeatherForm {
    /// A table of daily lows and highs.
    DailyTable,
    /// A table of hours.
    HourlyTable,
    /// An EnergyPlus weather file.
    Epw,
    /// GHCN-Daily in fixed width.
    GhcnFixed,
    /// GHCN-Daily with commas.
    GhcnCommas,
    /// A forecast of the US public weather service.
    ServiceForecast,
    /// A plain forecast table.
    ForecastTable,
}

/// The form of a file; `None` when no reader knows it.
pub fn weather_form(bytes: &[u8], name_hint: &str) -> Option<WeatherForm> {
    let text = decode(bytes, &mut Vec::new());
    let first = text.lines().find(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'))?;
    let name = name_hint.to_ascii_lowercase();
    if first.starts_with("LOCATION,") || name.ends_with(".epw") {
        return Some(WeatherForm::Epw);
    }
    if first.trim_start().starts_with('{') {
        return Some(WeatherForm::ServiceForecast);
    }
    if text.lines().any(looks_like_forecast) {
        return Some(WeatherForm::ForecastTable);
    }
    if looks_like_dly(first) {
        return Some(WeatherForm::GhcnFixed);
    }
    if looks_like_by_station(first) {
        return Some(WeatherForm::GhcnCommas);
    }
    let table = Table::new(&text).ok()?;
    let has = |field| table.header.iter().any(|name| matches!(known(name), Known::Column(of, _) if of == field));
    if has(Field::Low) || has(Field::High) {
        Some(WeatherForm::DailyTable)
    } else if has(Field::AirTemp) || has(Field::Time) {
        Some(WeatherForm::HourlyTable)
    } else {
        None
    }
}

/// Reads a file of any form. `form` says how to take times without an offset.
pub fn read_any(bytes: &[u8], name_hint: &str, form: &HourlyForm) -> Result<(WeatherForm, Read<Weather>), Refusal> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(Refusal::Empty);
    }
    let found = weather_form(bytes, name_hint).ok_or(Refusal::UnknownForm)?;
    let zone = || form.zone.clone().unwrap_or_else(Zone::utc);
    let daily = |read: Read<DailyRecord>| Read { value: Weather::Daily(read.value), findings: read.findings };
    let hourly = |read: Read<HourlyRecord>| Read { value: Weather::Hourly(read.value), findings: read.findings };
    let forecast = |read: Read<IssuedForecast>| {
        let mut findings = read.findings;
        if form.zone.is_none() {
            findings.insert(0, Finding::cell(0, "time_zone", "UTC", What::NotSaid, Done::Kept));
        }
        Read { value: Weather::Forecast(read.value), findings }
    };
    let read = match found {
        WeatherForm::DailyTable => daily(read_daily(bytes)?),
        WeatherForm::GhcnFixed => daily(read_ghcn_dly(bytes)?),
        WeatherForm::GhcnCommas => daily(read_ghcn_by_station(bytes)?),
        WeatherForm::HourlyTable => hourly(read_hourly(bytes, form)?),
        WeatherForm::Epw => hourly(read_epw(bytes)?),
        WeatherForm::ServiceForecast => forecast(read_service_forecast(bytes, &zone())?),
        WeatherForm::ForecastTable => forecast(read_forecast_table(bytes, &zone())?),
    };
    Ok((found, read))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_are_known_by_what_stands_in_them() {
        for (text, expected) in [
            ("# x\ndate,tmin_f,tmax_f\n2020-01-01,1,2\n", Some(WeatherForm::DailyTable)),
            ("time,air_temp_c\n2020-01-01T00:00,1\n", Some(WeatherForm::HourlyTable)),
            ("LOCATION,a\n", Some(WeatherForm::Epw)),
            ("  {\"a\":1}", Some(WeatherForm::ServiceForecast)),
            ("issued,2020-01-01T00:00Z\ndate,low_c,high_c\n", Some(WeatherForm::ForecastTable)),
            ("USX00000001202002TMAX-9999   -9999   \n", Some(WeatherForm::GhcnFixed)),
            ("USX00000001,20200301,TMAX,201,,,0,0700\n", Some(WeatherForm::GhcnCommas)),
            ("\"STATION\",\"DATE\",\"TMAX\",\"TMIN\"\n", Some(WeatherForm::GhcnCommas)),
            ("pond,depth\n1,2\n", None),
            ("hello", None),
        ] {
            assert_eq!(weather_form(text.as_bytes(), ""), expected, "{text}");
        }
        assert_eq!(read_any(b" \n", "", &HourlyForm::default()).expect_err("empty"), Refusal::Empty);
    }
}
