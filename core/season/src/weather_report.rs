//! What a weather file holds: its form, span, quantities, oddities, and what a pond at a place would be given of it.

use units::{Day, Instant, Zone};
use weather::{
    DailyRecord, DonorRecord, Finding, ForecastDay, HourlyForm, HourlyRecord, IssuedForecast, PartHour, Place,
    Quantity, Refusal, Weather, WeatherForm, complete, read_any,
};

/// What is asked about a file.
#[derive(Debug, Clone, Copy)]
pub struct WeatherAsk<'a> {
    /// Its content.
    pub bytes: &'a [u8],
    /// Its name, a hint at its form.
    pub name: &'a str,
    /// How to take its times.
    pub form: &'a HourlyForm,
    /// Where a pond would use it; else where the file says it was measured.
    pub place: Option<&'a Place>,
    /// Records that would lend wind to a file without.
    pub donors: Option<&'a DonorRecord>,
}

/// What a weather file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherReport {
    /// Its form.
    pub form: WeatherForm,
    /// The stretch of time it covers.
    pub span: WeatherSpan,
    /// Clock in which moments are told.
    pub zone: Zone,
    /// Where it was measured, as it says itself.
    pub place: Option<Place>,
    /// Its quantities.
    pub quantities: Vec<Told>,
    /// What was odd, in order of lines, and what was done.
    pub findings: Vec<Finding>,
    /// What a pond would be given; `None` for days and forecasts, or when no place is known.
    pub pond: Option<Result<Vec<Finding>, Refusal>>,
}

/// The stretch of time a file covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeatherSpan {
    /// Days, both ends included.
    Days {
        /// First.
        from: Day,
        /// Last.
        to: Day,
    },
    /// Hours.
    Hours {
        /// Begin of the first.
        from: Instant,
        /// End of the last.
        to: Instant,
    },
    /// A forecast.
    Forecast {
        /// When it was issued.
        issued: Instant,
        /// First and last day it speaks of.
        days: Option<(Day, Day)>,
        /// Hours it gives.
        hours: usize,
    },
}

/// A quantity of a file, in our unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told {
    /// Which.
    pub quantity: Quantity,
    /// Values after short holes in days were filled.
    pub count: usize,
    /// Days or hours of the span without one.
    pub missing: usize,
    /// Least value.
    pub least: f64,
    /// Mean.
    pub mean: f64,
    /// Most.
    pub most: f64,
}

/// Reads a weather file and says what it holds.
///
/// # Errors
/// [`Refusal`] when nothing in it can be used.
pub fn weather_report(ask: &WeatherAsk<'_>) -> Result<WeatherReport, Refusal> {
    let (form, read) = read_any(ask.bytes, ask.name, ask.form)?;
    let zone_given = ask.form.zone.clone();
    let (span, place, quantities, pond) = match &read.value {
        Weather::Daily(record) => (of_days(record), None, daily_quantities(record), None),
        Weather::Hourly(record) => {
            let span = WeatherSpan::Hours { from: record.start, to: record.end() };
            let place = ask.place.or(record.place.as_ref());
            let pond = place.map(|place| complete(record, place, None, ask.donors).map(|whole| whole.findings));
            (span, record.place.clone(), hourly_quantities(record), pond)
        }
        Weather::Forecast(forecast) => {
            (of_forecast(forecast), forecast.place.clone(), forecast_quantities(forecast), None)
        }
    };
    let zone = zone_given.or_else(|| place.as_ref().map(|place| place.zone.clone())).unwrap_or_else(Zone::utc);
    Ok(WeatherReport { form, span, zone, place, quantities, findings: read.findings, pond })
}

fn of_days(record: &DailyRecord) -> WeatherSpan {
    WeatherSpan::Days { from: record.first, to: record.last() }
}

fn of_forecast(forecast: &IssuedForecast) -> WeatherSpan {
    WeatherSpan::Forecast {
        issued: forecast.issued,
        days: forecast.days.first().map(|day| day.day).zip(forecast.days.last().map(|day| day.day)),
        hours: forecast.hours.as_ref().map_or(0, |record| record.hours.len()),
    }
}

fn told(quantity: Quantity, values: impl Iterator<Item = Option<f64>>) -> Option<Told> {
    let mut told = Told { quantity, count: 0, missing: 0, least: f64::INFINITY, mean: 0.0, most: f64::NEG_INFINITY };
    for value in values {
        let Some(value) = value else {
            told.missing += 1;
            continue;
        };
        told.count += 1;
        told.mean += value;
        told.least = told.least.min(value);
        told.most = told.most.max(value);
    }
    told.mean /= told.count.max(1) as f64;
    (told.count > 0).then_some(told)
}

fn daily_quantities(record: &DailyRecord) -> Vec<Told> {
    let low = told(Quantity::Low, record.low_c.iter().copied());
    let high = told(Quantity::High, record.high_c.iter().copied());
    low.into_iter().chain(high).collect()
}

/// Takes a quantity out of an hour or a day.
type Get<T> = fn(&T) -> Option<f64>;

fn hourly_quantities(record: &HourlyRecord) -> Vec<Told> {
    let columns: [(Quantity, Get<PartHour>); 9] = [
        (Quantity::AirTemp, |hour| hour.air_temp_c),
        (Quantity::Humidity, |hour| hour.vapour_pressure_hpa),
        (Quantity::Wind, |hour| hour.wind_m_s),
        (Quantity::Shortwave, |hour| hour.shortwave_w_m2),
        (Quantity::Longwave, |hour| hour.longwave_w_m2),
        (Quantity::Cloud, |hour| hour.cloud_fraction),
        (Quantity::Pressure, |hour| hour.pressure_hpa),
        (Quantity::SeaLevelPressure, |hour| hour.sea_level_pressure_hpa),
        (Quantity::Rain, |hour| hour.rain_mm),
    ];
    columns.into_iter().filter_map(|(quantity, get)| told(quantity, record.hours.iter().map(get))).collect()
}

fn forecast_quantities(forecast: &IssuedForecast) -> Vec<Told> {
    let columns: [(Quantity, Get<ForecastDay>); 6] = [
        (Quantity::Low, |day| day.low_c),
        (Quantity::High, |day| day.high_c),
        (Quantity::DewPoint, |day| day.dew_point_c),
        (Quantity::Wind, |day| day.wind_m_s),
        (Quantity::Cloud, |day| day.cloud_fraction),
        (Quantity::RainChance, |day| day.rain_chance),
    ];
    columns.into_iter().filter_map(|(quantity, get)| told(quantity, forecast.days.iter().map(get))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn report(text: &str) -> WeatherReport {
        let form = HourlyForm::default();
        let ask = WeatherAsk { bytes: text.as_bytes(), name: "", form: &form, place: None, donors: None };
        weather_report(&ask).expect("a weather file")
    }

    #[test]
    fn days_hours_and_forecasts() {
        let days = report("date,low_c,high_c\n2020-01-01,1,9\n2020-01-02,3,\n");
        assert_eq!(days.span, WeatherSpan::Days { from: Day(18_262), to: Day(18_263) });
        let low = days.quantities[0];
        assert_eq!((low.quantity, low.count, low.least, low.mean, low.most), (Quantity::Low, 2, 1.0, 2.0, 3.0));
        assert_eq!((days.quantities[1].count, days.quantities[1].missing), (1, 1));
        assert_eq!(days.pond, None);

        let forecast = report("issued,2020-01-01T00:00Z\ndate,low_c,high_c\n2020-01-02,1,9\n");
        assert!(matches!(forecast.span, WeatherSpan::Forecast { hours: 0, days: Some(_), .. }));
    }

    #[test]
    fn a_place_in_the_file_tells_what_a_pond_would_be_given() {
        let head =
            "# latitude_deg: 35\n# longitude_deg: -80\n# elevation_m: 200\n# time_zone: -05:00\n# hour_label: end\n";
        let good = format!("{head}time,air_temp_c,wind_speed_m_s\n2020-07-01T01:00,20,2\n2020-07-01T02:00,19,2\n");
        let given = report(&good).pond.expect("a place").expect("short but whole");
        assert!(given.len() >= 4, "humidity, sun, sky, pressure and rain are made: {given:?}");
        let calm = format!("{head}time,air_temp_c\n2020-07-01T01:00,20\n");
        assert_eq!(report(&calm).pond.expect("a place"), Err(Refusal::Never(Quantity::Wind)));
        assert_eq!(report("time,air_temp_c\n2020-07-01T01:00,20\n").pond, None);
    }
}
