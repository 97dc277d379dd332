use super::*;
use units::Day;

fn zone() -> Zone {
    Zone::parse("America/New_York").expect("in the table")
}

#[test]
fn durations() {
    for (text, hours) in [
        ("PT1H", Some(1)),
        ("PT13H", Some(13)),
        ("P1D", Some(24)),
        ("P7DT18H", Some(186)),
        ("PT30M", Some(1)),
        ("P1W", Some(168)),
        ("PT", None),
        ("PT3", None),
        ("1H", None),
        ("PT1Y", None),
        ("PT99999999999999999999H", None),
    ] {
        assert_eq!(duration_h(text), hours, "{text}");
    }
}

const HOURLY: &str = r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[-82.9,34.6],[-82.9,34.8],[-82.7,34.8],[-82.7,34.6],[-82.9,34.6]]]},
"properties":{"updateTime":"2024-09-30T08:10:00+00:00","elevation":{"unitCode":"wmoUnit:m","value":240},"periods":[
{"startTime":"2024-09-30T05:00:00-04:00","endTime":"2024-09-30T06:00:00-04:00","isDaytime":false,"temperature":50,"temperatureUnit":"F",
 "probabilityOfPrecipitation":{"unitCode":"wmoUnit:percent","value":20},"dewpoint":{"unitCode":"wmoUnit:degC","value":8.5},
 "relativeHumidity":{"unitCode":"wmoUnit:percent","value":90},"windSpeed":"5 to 10 mph","shortForecast":"Mostly Clear"},
{"startTime":"2024-09-30T06:00:00-04:00","endTime":"2024-09-30T07:00:00-04:00","isDaytime":true,"temperature":{"unitCode":"wmoUnit:degC","value":11},
 "relativeHumidity":{"unitCode":"wmoUnit:percent","value":50},"windSpeed":{"unitCode":"wmoUnit:km_h-1","value":18},"shortForecast":"Chance Rain Showers"},
{"startTime":"soon","endTime":"later","temperature":50,"temperatureUnit":"F"},
{"startTime":"2024-09-30T08:00:00-04:00","endTime":"2024-09-30T09:00:00-04:00","temperature":500,"temperatureUnit":"F","windSpeed":"calm"}]}}"#;

#[test]
fn hourly_periods() {
    let read = read_service_forecast(HOURLY.as_bytes(), &zone()).expect("a forecast");
    let forecast = read.value;
    assert_eq!(zone().stamp(forecast.issued), "2024-09-30T04:10-04:00");
    let record = forecast.hours.expect("hours");
    assert_eq!(zone().stamp(record.start), "2024-09-30T05:00-04:00");
    assert_eq!(record.hours.len(), 4);
    let first = record.hours[0];
    assert_eq!(first.air_temp_c, Some(10.0));
    assert_eq!(first.rain_chance, Some(0.2));
    assert_eq!(first.cloud_fraction, Some(0.25));
    assert!((first.wind_m_s.expect("said") - 7.5 * 0.44704).abs() < 1e-9);
    assert!((first.vapour_pressure_hpa.expect("dew point first") - saturation_bolton_1980(8.5)).abs() < 1e-9);
    let second = record.hours[1];
    assert_eq!((second.wind_m_s, second.cloud_fraction), (Some(5.0), Some(0.85)));
    assert!((second.vapour_pressure_hpa.expect("from humidity") - 0.5 * saturation_bolton_1980(11.0)).abs() < 1e-9);
    assert_eq!(record.hours[3].air_temp_c, None);
    let place = forecast.place.expect("an outline");
    assert!((place.latitude_deg - 34.7).abs() < 1e-9 && (place.longitude_deg + 82.8).abs() < 1e-9);
    let odd: Vec<&str> = read.findings.iter().map(|finding| finding.column.as_str()).collect();
    assert_eq!(odd, ["periods[2]", "periods[3].temperature"]);
}

const GRID: &str = r#"{"properties":{"updateTime":"2024-09-30T08:10:00+00:00",
"maxTemperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2024-09-30T11:00:00+00:00/PT13H","value":24.4}]},
"minTemperature":{"uom":"wmoUnit:degF","values":[{"validTime":"2024-10-01T00:00:00+00:00/PT13H","value":50}]},
"temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2024-09-30T09:00:00+00:00/PT1H","value":12.5},{"validTime":"2024-09-30T10:00:00+00:00/PT3H","value":15},{"validTime":"bad","value":1}]},
"dewpoint":{"uom":"wmoUnit:degC","values":[{"validTime":"2024-09-30T09:00:00+00:00/PT4H","value":10}]},
"skyCover":{"uom":"wmoUnit:percent","values":[{"validTime":"2024-09-30T09:00:00+00:00/PT2H","value":60}]},
"windSpeed":{"uom":"wmoUnit:km_h-1","values":[{"validTime":"2024-09-30T09:00:00+00:00/PT2H","value":7.2},{"validTime":"2024-09-30T11:00:00+00:00/PT2H","value":null}]},
"quantitativePrecipitation":{"uom":"wmoUnit:mm","values":[{"validTime":"2024-09-30T09:00:00+00:00/PT3H","value":6}]},
"relativeHumidity":{"uom":"wmoUnit:parsec","values":[]}}}"#;

#[test]
fn grid_layers() {
    let read = read_service_forecast(GRID.as_bytes(), &zone()).expect("a forecast");
    let forecast = read.value;
    let record = forecast.hours.expect("hours");
    let air: Vec<Option<f64>> = record.hours.iter().map(|hour| hour.air_temp_c).collect();
    assert_eq!(air, [Some(12.5), Some(15.0), Some(15.0), Some(15.0)]);
    let wind: Vec<Option<f64>> = record.hours.iter().map(|hour| hour.wind_m_s).collect();
    assert_eq!(wind, [Some(2.0), Some(2.0), None, None]);
    let rain: Vec<Option<f64>> = record.hours.iter().map(|hour| hour.rain_mm).collect();
    assert_eq!(rain, [Some(2.0), Some(2.0), Some(2.0), None]);
    assert_eq!(record.hours[1].cloud_fraction, Some(0.6));
    let day = |text| Day::parse(text).expect("a date");
    let said: Vec<_> = forecast.days.iter().map(|of| (of.day, of.low_c, of.high_c)).collect();
    assert_eq!(said, [(day("2024-09-30"), None, Some(24.4)), (day("2024-10-01"), Some(10.0), None)]);
    let odd: Vec<_> = read.findings.iter().map(|finding| (finding.column.as_str(), finding.what.clone())).collect();
    assert_eq!(odd, [("temperature.values[2]", What::NotATime), ("relativeHumidity", What::UnknownUnit)]);
}

#[test]
fn refusals() {
    for (text, expected) in [
        ("{\"a\":", Refusal::Json { line: 1, column: 5 }),
        ("{}", Refusal::NoKey("updateTime")),
        ("{\"updateTime\":\"2024-09-30T08:10:00Z\"}", Refusal::NoKey("periods or temperature")),
        ("{\"updateTime\":\"2024-09-30T08:10:00Z\",\"periods\":[]}", Refusal::Empty),
    ] {
        assert_eq!(read_service_forecast(text.as_bytes(), &zone()).expect_err(text), expected);
    }
}
