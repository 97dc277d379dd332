//! Forecasts of the US public weather service as GeoJSON: periods (hourly or half-daily), or layers at a grid point with ISO 8601
//! stretches (`2024-09-30T06:00:00+00:00/PT3H`) and unit codes (`wmoUnit:degC`).
//!
//! Sky words of hourly periods become cloud by the service's own eighths (sunny, mostly sunny, ... cloudy), from memory.

use serde_json::Value;
use units::{Instant, SECONDS_PER_HOUR, Zone};

use super::times::{Clock, Placed, stamp};
use crate::air::{HourlyRecord, PartHour, Place};
use crate::findings::{Done, Finding, Read, Refusal, What, clipped};
use crate::issued::{ForecastExtreme, IssuedForecast, days_of};
use crate::moist::saturation_bolton_1980;

/// Longest stretch one value may be said for, hours; longest forecast, hours.
const STRETCH_HOURS_MAX: i64 = 14 * 24;
const FORECAST_HOURS_MAX: usize = 60 * 24;

/// Reads a forecast of hours, of half-days, or of grid layers. `zone` is the clock of the farm, which settles what a day is.
pub fn read_service_forecast(bytes: &[u8], zone: &Zone) -> Result<Read<IssuedForecast>, Refusal> {
    let root: Value =
        serde_json::from_slice(bytes).map_err(|error| Refusal::Json { line: error.line(), column: error.column() })?;
    let body = root.get("properties").unwrap_or(&root);
    let issued = ["updateTime", "updated", "generatedAt"]
        .iter()
        .find_map(|key| moment(body.get(*key)?.as_str()?))
        .ok_or(Refusal::NoKey("updateTime"))?;
    let mut findings = Vec::new();
    let (hours, extremes) = if let Some(periods) = body.get("periods").and_then(Value::as_array) {
        of_periods(periods, &mut findings)
    } else if body.get("temperature").is_some() || body.get("maxTemperature").is_some() {
        of_layers(body, &mut findings)
    } else {
        return Err(Refusal::NoKey("periods or temperature"));
    };
    if hours.is_none() && extremes.is_empty() {
        return Err(Refusal::Empty);
    }
    let days = days_of(hours.as_ref(), &extremes, zone);
    let place = place_of(&root, body, zone);
    Ok(Read { value: IssuedForecast { issued, hours, extremes, days, place }, findings })
}

fn odd(key: &str, text: &str, what: What) -> Finding {
    Finding { line: 0, column: key.to_owned(), text: clipped(text), what, done: Done::Dropped }
}

/// A moment with its offset; one without is taken as UTC, as the service's own documents do.
fn moment(text: &str) -> Option<Instant> {
    match Clock::new(Zone::utc()).place(stamp(text, None)?) {
        Placed::At(at) => Some(at),
        _ => None,
    }
}

/// Hours of an ISO 8601 duration such as `PT3H`, `P1D`, `P1DT6H`; minutes round up.
fn duration_h(text: &str) -> Option<i64> {
    let body = text.strip_prefix('P')?;
    let (days, clock) = body.split_once('T').unwrap_or((body, ""));
    let mut minutes = 0_i64;
    for (part, letters) in [(days, [('D', 1440), ('W', 10_080)]), (clock, [('H', 60), ('M', 1)])] {
        let mut digits = String::new();
        for letter in part.chars() {
            if letter.is_ascii_digit() && digits.len() < 6 {
                digits.push(letter);
            } else {
                let scale = letters.iter().find(|(of, _)| *of == letter)?.1;
                minutes += digits.parse::<i64>().ok()? * scale;
                digits.clear();
            }
        }
        if !digits.is_empty() {
            return None;
        }
    }
    (minutes > 0).then_some((minutes + 59) / 60)
}

/// A value in our unit by its unit code: `wmoUnit:degC`, `unit:percent`, ...
fn in_our_unit(value: f64, code: &str) -> Option<f64> {
    let name = code.rsplit(':').next().unwrap_or(code);
    Some(match name {
        "degC" | "C" | "m_s-1" | "m/s" | "mm" | "m" | "W_m-2" | "hPa" => value,
        "degF" | "F" => (value - 32.0) * 5.0 / 9.0,
        "K" => value - 273.15,
        "percent" | "%" => value / 100.0,
        "km_h-1" | "km/h" => value / 3.6,
        "mi_h-1" | "mph" => value * 0.447_04,
        "kt" | "knots" => value * 1852.0 / 3600.0,
        "Pa" => value / 100.0,
        "in" => value * 25.4,
        _ => return None,
    })
}

type Parts = (Option<HourlyRecord>, Vec<ForecastExtreme>);

fn of_periods(periods: &[Value], findings: &mut Vec<Finding>) -> Parts {
    let mut hours: Vec<(Instant, PartHour)> = Vec::new();
    let mut extremes = Vec::new();
    for (i, period) in periods.iter().enumerate() {
        let key = format!("periods[{i}]");
        let time = |name: &str| period.get(name).and_then(Value::as_str).and_then(moment);
        let (Some(from), Some(to)) = (time("startTime"), time("endTime")) else {
            findings.push(odd(&key, "startTime, endTime", What::NotATime));
            continue;
        };
        let span_h = to.hours_since(from);
        let part = part_of_period(period, &key, findings);
        if (0..=1).contains(&span_h) {
            hours.push((from, part));
        } else if let (2..=30, Some(air_temp_c)) = (span_h, part.air_temp_c) {
            let is_high = period.get("isDaytime").and_then(Value::as_bool).unwrap_or(true);
            extremes.push(ForecastExtreme { from, to, is_high, air_temp_c });
        } else {
            findings.push(odd(&key, "endTime", What::NotATime));
        }
    }
    extremes.sort_by_key(|extreme| extreme.from);
    let Some(start) = hours.iter().map(|(from, _)| *from).min() else { return (None, extremes) };
    let mut record = HourlyRecord { start, hours: Vec::new(), place: None };
    for (from, part) in hours {
        if let Some(hour) = hour_at(&mut record, from.hours_since(start)) {
            *hour = part;
        }
    }
    (Some(record), extremes)
}

/// The hour of a record at an index, making room for it within the longest forecast.
fn hour_at(record: &mut HourlyRecord, index: i64) -> Option<&mut PartHour> {
    let index = usize::try_from(index).ok().filter(|index| *index < FORECAST_HOURS_MAX)?;
    if index >= record.hours.len() {
        record.hours.resize(index + 1, PartHour::default());
    }
    record.hours.get_mut(index)
}

fn part_of_period(period: &Value, key: &str, findings: &mut Vec<Finding>) -> PartHour {
    let mut number = |name: &str, plain_unit: &str, least: f64, most: f64| {
        let value = period.get(name)?;
        let (value, code) = match value {
            Value::Object(of) => (of.get("value")?.as_f64()?, of.get("unitCode").and_then(Value::as_str).unwrap_or("")),
            Value::Number(of) => (of.as_f64()?, plain_unit),
            Value::String(text) => return speed_m_s(text),
            _ => return None,
        };
        let key = format!("{key}.{name}");
        let Some(ours) = in_our_unit(value, code) else {
            findings.push(odd(&key, code, What::UnknownUnit));
            return None;
        };
        believed(&key, ours, least, most, findings)
    };
    let unit = period.get("temperatureUnit").and_then(Value::as_str).unwrap_or("");
    let air_temp_c = number("temperature", unit, -60.0, 57.0);
    let dew_point_c = number("dewpoint", "", -70.0, 38.0);
    let humidity = number("relativeHumidity", "percent", 0.005, 1.1);
    let from_share = || Some(humidity?.min(1.0) * saturation_bolton_1980(air_temp_c?));
    PartHour {
        air_temp_c,
        vapour_pressure_hpa: dew_point_c.map(saturation_bolton_1980).or_else(from_share),
        wind_m_s: number("windSpeed", "", 0.0, 75.0),
        rain_chance: number("probabilityOfPrecipitation", "percent", 0.0, 1.0),
        cloud_fraction: period.get("shortForecast").and_then(Value::as_str).and_then(cloud_of_words),
        ..PartHour::default()
    }
}

fn believed(key: &str, value: f64, least: f64, most: f64, findings: &mut Vec<Finding>) -> Option<f64> {
    if (least..=most).contains(&value) {
        return Some(value);
    }
    findings.push(odd(key, &value.to_string(), What::OutOfBounds { value, least, most }));
    None
}

/// `10 mph`, `5 to 10 mph`, `15 km/h`: the middle of what is said.
fn speed_m_s(text: &str) -> Option<f64> {
    let unit = text.split_whitespace().last()?;
    let numbers: Vec<f64> = text.split_whitespace().filter_map(super::table::number).collect();
    let mean = numbers.iter().sum::<f64>() / numbers.len() as f64;
    in_our_unit(mean, unit).filter(|speed| (0.0..=75.0).contains(speed))
}

/// Cloud, 0 to 1, of the service's words for the sky.
fn cloud_of_words(words: &str) -> Option<f64> {
    let words = words.to_lowercase();
    let says = |word: &str| words.contains(word);
    // The first words that fit, the more cloudy ones and those with "mostly" or "partly" before the plain ones.
    [
        (says("mostly cloudy"), 0.75),
        (says("mostly sunny") || says("mostly clear"), 0.25),
        (says("partly"), 0.45),
        (says("cloudy") || says("overcast"), 0.95),
        (says("rain") || says("shower") || says("thunder") || says("drizzle") || says("snow"), 0.85),
        (says("sunny") || says("clear"), 0.06),
    ]
    .into_iter()
    .find_map(|(fits, cloud)| fits.then_some(cloud))
}

/// One layer: start, hours, value in our unit.
fn layer(body: &Value, key: &str, least: f64, most: f64, findings: &mut Vec<Finding>) -> Vec<(Instant, i64, f64)> {
    let Some(layer) = body.get(key) else { return Vec::new() };
    let code = layer.get("uom").and_then(Value::as_str).unwrap_or("");
    if in_our_unit(0.0, code).is_none() {
        findings.push(odd(key, code, What::UnknownUnit));
        return Vec::new();
    }
    let values = layer.get("values").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
    let mut found = Vec::new();
    for (i, of) in values.iter().enumerate() {
        let name = format!("{key}.values[{i}]");
        let text = of.get("validTime").and_then(Value::as_str).unwrap_or("");
        let span = text.split_once('/').and_then(|(from, span)| Some((moment(from)?, duration_h(span)?)));
        let Some((from, hours)) = span.filter(|(_, hours)| *hours <= STRETCH_HOURS_MAX) else {
            findings.push(odd(&name, text, What::NotATime));
            continue;
        };
        let Some(value) = of.get("value").and_then(Value::as_f64).and_then(|value| in_our_unit(value, code)) else {
            continue; // null: the service says nothing here
        };
        found.extend(believed(&name, value, least, most, findings).map(|value| (from, hours, value)));
    }
    found
}

fn of_layers(body: &Value, findings: &mut Vec<Finding>) -> Parts {
    let mut extremes = Vec::new();
    for (key, is_high) in [("maxTemperature", true), ("minTemperature", false)] {
        let spans = layer(body, key, -60.0, 57.0, findings).into_iter();
        extremes.extend(spans.map(|(from, hours, air_temp_c)| {
            let to = from.plus_hours(hours);
            ForecastExtreme { from, to, is_high, air_temp_c }
        }));
    }
    extremes.sort_by_key(|extreme| extreme.from);
    let air = layer(body, "temperature", -60.0, 57.0, findings);
    let Some(start) = air.iter().map(|(from, ..)| *from).min() else { return (None, extremes) };
    let start = Instant(start.0.div_euclid(SECONDS_PER_HOUR) * SECONDS_PER_HOUR);
    let mut record = HourlyRecord { start, hours: Vec::new(), place: None };
    let mut lay = |spans: &[(Instant, i64, f64)], per_hour: bool, set: &dyn Fn(&mut PartHour, f64)| {
        for &(from, hours, value) in spans {
            let value = if per_hour { value / hours as f64 } else { value };
            for hour in 0..hours {
                if let Some(part) = hour_at(&mut record, from.hours_since(start) + hour) {
                    set(part, value);
                }
            }
        }
    };
    lay(&air, false, &|part, value| part.air_temp_c = Some(value));
    let humidity = layer(body, "relativeHumidity", 0.005, 1.1, findings);
    lay(&humidity, false, &|part, value| {
        part.vapour_pressure_hpa = part.air_temp_c.map(|air| value.min(1.0) * saturation_bolton_1980(air));
    });
    let dew = layer(body, "dewpoint", -70.0, 38.0, findings);
    lay(&dew, false, &|part, value| part.vapour_pressure_hpa = Some(saturation_bolton_1980(value)));
    let wind = layer(body, "windSpeed", 0.0, 75.0, findings);
    lay(&wind, false, &|part, value| part.wind_m_s = Some(value));
    let cover = layer(body, "skyCover", 0.0, 1.0, findings);
    lay(&cover, false, &|part, value| part.cloud_fraction = Some(value));
    let chance = layer(body, "probabilityOfPrecipitation", 0.0, 1.0, findings);
    lay(&chance, false, &|part, value| part.rain_chance = Some(value));
    let rain = layer(body, "quantitativePrecipitation", 0.0, 1500.0, findings);
    lay(&rain, true, &|part, value| part.rain_mm = Some(value));
    (Some(record), extremes)
}

/// The middle of the forecast's outline and its elevation.
fn place_of(root: &Value, body: &Value, zone: &Zone) -> Option<Place> {
    let shape = root.get("geometry")?.get("coordinates")?;
    // Rings before points: a polygon is a list of rings, a point a pair of numbers.
    let ring = shape.get(0).filter(|first| first.get(0).is_some_and(Value::is_array)).unwrap_or(shape);
    let points: Vec<(f64, f64)> = match ring.get(0)? {
        Value::Number(_) => vec![(ring.get(0)?.as_f64()?, ring.get(1)?.as_f64()?)],
        _ => ring.as_array()?.iter().filter_map(|p| Some((p.get(0)?.as_f64()?, p.get(1)?.as_f64()?))).collect(),
    };
    if points.is_empty() {
        return None;
    }
    // A ring ends where it begins: extremes, not a mean that would count that corner twice.
    let middle = |get: fn(&(f64, f64)) -> f64| {
        let ends = points.iter().map(get).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
        0.5 * (ends.0 + ends.1)
    };
    let (longitude_deg, latitude_deg) = (middle(|p| p.0), middle(|p| p.1));
    let elevation_m = body.get("elevation").and_then(|of| of.get("value")).and_then(Value::as_f64)?;
    let on_earth =
        latitude_deg.abs() <= 90.0 && longitude_deg.abs() <= 180.0 && (-450.0..9000.0).contains(&elevation_m);
    on_earth.then(|| Place { latitude_deg, longitude_deg, elevation_m, zone: zone.clone() })
}

#[cfg(test)]
mod tests;
