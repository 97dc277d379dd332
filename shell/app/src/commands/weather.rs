//! `warmspell weather`: what a weather file holds, what is odd in it, and what was done about each.

use std::path::PathBuf;

use clap::Args;
use season::weather::{Finding, HourlyForm, Place};
use season::weather_report::{WeatherAsk, WeatherReport, WeatherSpan, weather_report};
use serde_json::{Value, json};
use units::Zone;
use words::weather as say;

use super::Told;

/// What a weather file holds: span, quantities, gaps, odd values with their lines, and what was done about each.
#[derive(Debug, Args)]
#[command(after_help = "\
Read are: tables of days (date, low_c, high_c or in _f), tables of hours (time, air_temp_c, relative_humidity_pct or dew_point_c,
wind_speed_m_s, shortwave_w_m2 and so on, other units by name), EnergyPlus weather files, GHCN-Daily, forecasts of the US public
weather service as GeoJSON, and plain forecast tables.

Examples:
  warmspell weather history.csv
  warmspell weather hours.csv --zone America/New_York --hour-label end
  warmspell weather hours.csv --zone +05:30 --latitude 21.1 --longitude 79.1 --elevation 310
  warmspell weather forecast.json --zone America/New_York --json")]
pub struct WeatherArgs {
    /// The file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Time zone of times without an offset: an offset or a name, as -05:00 or America/New_York
    #[arg(long, value_name = "ZONE", allow_hyphen_values = true)]
    zone: Option<String>,
    /// Which end of the hour its times name
    #[arg(long, value_name = "start|end")]
    hour_label: Option<String>,
    /// Degrees north of a pond that would use it; south is negative
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, requires = "longitude", requires = "elevation")]
    latitude: Option<f64>,
    /// Degrees east; west is negative
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, requires = "latitude")]
    longitude: Option<f64>,
    /// Metres above the sea
    #[arg(long, value_name = "M", allow_hyphen_values = true, requires = "latitude")]
    elevation: Option<f64>,
    /// Tell every oddity in its own line, however many are alike
    #[arg(long)]
    every_line: bool,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
    /// Taken by every command; nothing here is drawn by chance
    #[arg(long, value_name = "NUMBER")]
    seed: Option<u64>,
}

/// Runs the command.
pub fn run(args: &WeatherArgs) -> Told {
    answer(args).unwrap_or_else(Told::could_not)
}

fn answer(args: &WeatherArgs) -> Result<Told, String> {
    let name = args.file.display().to_string();
    let form = form(args)?;
    let place = place(args, &form)?;
    let bytes = words::trouble::read(&args.file, std::fs::read(&args.file))?;
    let ask = WeatherAsk { bytes: &bytes, name: &name, form: &form, place: place.as_ref(), donors: None };
    let zone = form.zone.clone().unwrap_or_else(Zone::utc);
    let report = weather_report(&ask).map_err(|refusal| format!("{name}: {}.", say::refusal(&refusal, &zone)))?;
    let text = if args.json { as_json(&name, &report) } else { say::page(&name, &report, args.every_line) };
    Ok(Told::answer(text, Vec::new()))
}

fn form(args: &WeatherArgs) -> Result<HourlyForm, String> {
    let zone = match &args.zone {
        None => None,
        Some(text) => Some(Zone::parse(text).map_err(|_| {
            format!("--zone {text}: no such time zone is known. Give an offset such as -05:00, or a name such as America/New_York")
        })?),
    };
    let label = match &args.hour_label {
        None => None,
        Some(text) => Some(say::hour_label(text).ok_or_else(|| {
            format!("--hour-label {text}: say start (06:00 covers 06:00 to 07:00) or end (06:00 covers 05:00 to 06:00)")
        })?),
    };
    Ok(HourlyForm { zone, label })
}

fn place(args: &WeatherArgs, form: &HourlyForm) -> Result<Option<Place>, String> {
    let (Some(latitude_deg), Some(longitude_deg), Some(elevation_m)) = (args.latitude, args.longitude, args.elevation)
    else {
        return Ok(None);
    };
    for (value, most, name) in [(latitude_deg, 90.0, "--latitude"), (longitude_deg, 180.0, "--longitude")] {
        if !(-most..=most).contains(&value) {
            return Err(format!("{name} {value}: give degrees from -{most} to {most}"));
        }
    }
    if !(-450.0..=6000.0).contains(&elevation_m) {
        return Err(format!("--elevation {elevation_m}: give metres above the sea, -450 to 6000"));
    }
    let zone = form.zone.clone().unwrap_or_else(Zone::utc);
    Ok(Some(Place { latitude_deg, longitude_deg, elevation_m, zone }))
}

/// The report for programs. Schema and version come first: the rest follows in the order of its keys.
fn as_json(name: &str, report: &WeatherReport) -> String {
    let rest = format!("{:#}", rest(name, report));
    let rest = rest.strip_prefix('{').expect("an object was made just above");
    format!("{{\n  \"schema\": \"warmspell.weather\",\n  \"version\": 1,{rest}\n")
}

fn rest(name: &str, report: &WeatherReport) -> Value {
    let zone = &report.zone;
    let span = match report.span {
        WeatherSpan::Days { from, to } => {
            json!({ "from": from.to_string(), "to": to.to_string(), "days": to.0 - from.0 + 1 })
        }
        WeatherSpan::Hours { from, to } => {
            json!({ "from": zone.stamp(from), "to": zone.stamp(to), "hours": to.hours_since(from) })
        }
        WeatherSpan::Forecast { issued, days, hours } => json!({
            "issued": zone.stamp(issued),
            "from": days.map(|days| days.0.to_string()),
            "to": days.map(|days| days.1.to_string()),
            "hours": hours,
        }),
    };
    let place = report.place.as_ref().map(|place| {
        json!({ "latitude_deg": place.latitude_deg, "longitude_deg": place.longitude_deg, "elevation_m": place.elevation_m })
    });
    let quantities = report.quantities.iter().map(|told| {
        let (name, unit) = say::quantity(told.quantity);
        json!({
            "name": name, "unit": unit, "count": told.count, "missing": told.missing,
            "least": told.least, "mean": told.mean, "most": told.most,
        })
    });
    let pond = report.pond.as_ref().map(|pond| match pond {
        Ok(made) => json!({ "whole": true, "made": made.iter().map(|of| finding(of, zone)).collect::<Vec<_>>() }),
        Err(why) => json!({ "whole": false, "why": say::refusal(why, zone) }),
    });
    json!({
        "file": name,
        "form": say::form(report.form),
        "span": span,
        "place": place,
        "quantities": quantities.collect::<Vec<_>>(),
        "findings": report.findings.iter().map(|of| finding(of, zone)).collect::<Vec<_>>(),
        "pond": pond,
    })
}

fn finding(finding: &Finding, zone: &Zone) -> Value {
    json!({
        "line": finding.line,
        "column": finding.column,
        "text": finding.text,
        "what": say::what(finding, zone),
        "done": say::done(finding).trim_start_matches(": "),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::Parser;

    #[derive(Debug, Parser)]
    struct Line {
        #[command(flatten)]
        args: WeatherArgs,
    }

    fn told(words: &[&str]) -> Told {
        let line = ["weather"].iter().chain(words).copied();
        run(&Line::try_parse_from(line).expect("a good line").args)
    }

    fn sample(name: &str) -> String {
        format!("{}/../../samples/{name}", env!("CARGO_MANIFEST_DIR"))
    }

    #[test]
    fn the_sample_history_loads_with_every_problem_named() {
        let told = told(&[&sample("hazel-bend/history.csv"), "--every-line"]);
        assert_eq!(told.code, 0, "{:?}", told.notes);
        for line in [
            "1930-01-01 to 2020-12-31, 33238 days",
            "line 2395: tmin_f \"-72.0\" is -57.8 °C where 20.3 °C is usual at that time of year: filled with 21.1 °C",
            "line 11922: 30 days are missing, 1962-09-01 to 1962-09-30: left open; what needs it will be refused",
            "line 27384: 28 days are missing, 2005-02-01 to 2005-02-28: left open; what needs it will be refused",
            "line 45: tmin_f is blank: filled with -2.5 °C",
        ] {
            assert!(told.answer.contains(line), "{line}\nnot in\n{}", told.answer);
        }
    }

    #[test]
    fn json_begins_with_its_schema() {
        let told = told(&[&sample("donors/greensboro.csv"), "--json"]);
        assert!(
            told.answer.starts_with("{\n  \"schema\": \"warmspell.weather\",\n  \"version\": 1,"),
            "{}",
            &told.answer[..80]
        );
        let value: Value = serde_json::from_str(&told.answer).expect("JSON");
        assert_eq!(value["span"]["hours"], 8760);
        assert_eq!(value["pond"]["whole"], true);
        assert_eq!(value["quantities"][0]["name"], "air temperature");
    }

    #[test]
    fn a_bad_question_is_told_what_to_give() {
        for (words, expected) in [
            (vec!["no-such.csv"], "there is no such file"),
            (vec!["x", "--zone", "Nowhere"], "no such time zone"),
            (vec!["x", "--hour-label", "middle"], "say start"),
            (vec!["x", "--latitude", "134", "--longitude", "1", "--elevation", "1"], "--latitude 134"),
            (vec!["x", "--latitude", "NaN", "--longitude", "1", "--elevation", "1"], "--latitude NaN"),
        ] {
            let told = told(&words);
            assert_eq!(told.code, 2);
            assert!(told.notes[0].contains(expected), "{:?}", told.notes);
        }
        let line = Line::try_parse_from(["weather", "x", "--latitude", "34"]);
        assert!(line.is_err(), "a place needs all three");
    }
}
