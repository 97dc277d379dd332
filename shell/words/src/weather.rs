//! What a weather file holds, what was odd in it and what was done, and why it cannot be used.

use season::weather::{Done, ErrorUnit, Finding, HourLabel, Made, Place, Quantity, Refusal, WeatherForm, What};
use season::weather_report::{Told, WeatherReport, WeatherSpan};
use units::Zone;

mod lines;

pub use lines::{compressed, grouped};

/// The name of a form.
pub fn form(form: WeatherForm) -> &'static str {
    match form {
        WeatherForm::DailyTable => "a table of daily lows and highs",
        WeatherForm::HourlyTable => "a table of hours",
        WeatherForm::Epw => "an EnergyPlus weather file (hours)",
        WeatherForm::GhcnFixed => "GHCN-Daily, monthly lines of fixed width",
        WeatherForm::GhcnCommas => "GHCN-Daily, with commas",
        WeatherForm::ServiceForecast => "a forecast of the US public weather service",
        WeatherForm::ForecastTable => "a plain forecast table",
    }
}

/// A quantity and its unit.
pub fn quantity(quantity: Quantity) -> (&'static str, &'static str) {
    match quantity {
        Quantity::AirTemp => ("air temperature", "°C"),
        Quantity::Humidity => ("vapour pressure", "hPa"),
        Quantity::Wind => ("wind", "m/s"),
        Quantity::Shortwave => ("sun", "W/m²"),
        Quantity::Longwave => ("heat radiation of the sky", "W/m²"),
        Quantity::Cloud => ("cloud, share of the sky", ""),
        Quantity::Pressure => ("pressure at the station", "hPa"),
        Quantity::SeaLevelPressure => ("pressure at sea level", "hPa"),
        Quantity::Rain => ("rain", "mm/h"),
        Quantity::DewPoint => ("dew point", "°C"),
        Quantity::RainChance => ("chance of rain", ""),
        Quantity::Low => ("low of the day", "°C"),
        Quantity::High => ("high of the day", "°C"),
    }
}

/// The whole report as a page. `every_line` tells each oddity in its own sentence.
pub fn page(name: &str, report: &WeatherReport, every_line: bool) -> String {
    let mut lines = vec![format!("{name}: {}", form(report.form)), span(report)];
    if let Some(place) = &report.place {
        lines.push(place_said(place));
    }
    lines.push(String::new());
    let of = if matches!(report.span, WeatherSpan::Hours { .. }) { "hours" } else { "days" };
    lines.push(format!("  {:<32}{of:>8}{:>9}{:>10}{:>10}{:>10}", "", "missing", "least", "mean", "most"));
    lines.extend(report.quantities.iter().map(row));
    lines.push(String::new());
    if report.findings.is_empty() {
        lines.push("Nothing odd was found.".to_owned());
    } else {
        lines.push(format!("What was odd ({}), and what was done:", report.findings.len()));
        lines.extend(grouped(&report.findings, &report.zone, every_line).into_iter().map(|line| format!("  {line}")));
    }
    match &report.pond {
        Some(Ok(made)) => {
            lines.extend([String::new(), "A pond there would be given these hours, whole.".to_owned()]);
            lines.extend(made.iter().map(|finding| format!("  {}", sentence(finding, &report.zone))));
        }
        Some(Err(why)) => {
            lines
                .extend([String::new(), format!("A pond cannot be run on all of it: {}.", refusal(why, &report.zone))]);
        }
        None => {}
    }
    lines.join("\n") + "\n"
}

fn span(report: &WeatherReport) -> String {
    let zone = &report.zone;
    match report.span {
        WeatherSpan::Days { from, to } => format!("{from} to {to}, {} days", to.0 - from.0 + 1),
        WeatherSpan::Hours { from, to } => {
            format!("{} to {}, {} hours", zone.stamp(from), zone.stamp(to), to.hours_since(from))
        }
        WeatherSpan::Forecast { issued, days, hours } => {
            let days = days.map_or(String::new(), |(from, to)| format!(", for {from} to {to}"));
            let hours = if hours > 0 { format!(", {hours} hours") } else { String::new() };
            format!("issued {}{days}{hours}", zone.stamp(issued))
        }
    }
}

fn place_said(place: &Place) -> String {
    let half =
        |value: f64, plus: &str, minus: &str| format!("{:.2}° {}", value.abs(), if value < 0.0 { minus } else { plus });
    let north = half(place.latitude_deg, "N", "S");
    format!("measured at {north}, {}, {:.0} m", half(place.longitude_deg, "E", "W"), place.elevation_m)
}

fn row(told: &Told) -> String {
    let (name, unit) = quantity(told.quantity);
    let name = if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") };
    format!(
        "  {name:<32}{:>8}{:>9}{:>10.1}{:>10.1}{:>10.1}",
        told.count, told.missing, told.least, told.mean, told.most
    )
}

/// One oddity as a sentence: where, what, and what was done.
pub fn sentence(finding: &Finding, zone: &Zone) -> String {
    let place = if finding.line == 0 { String::new() } else { format!("line {}: ", finding.line) };
    format!("{place}{}{}", what(finding, zone), done(finding))
}

/// What is wrong, without the line and without what was done.
pub fn what(finding: &Finding, zone: &Zone) -> String {
    let column = &finding.column;
    let text = &finding.text;
    let quoted = if text.is_empty() { String::new() } else { format!(" \"{text}\"") };
    match &finding.what {
        What::UnknownColumn => format!("the column \"{column}\" is not known here"),
        What::EmptyColumn => format!("the column \"{column}\" is empty"),
        What::Blank => format!("{column} is blank"),
        What::NoValue => format!("{column} is missing"),
        What::NotANumber => format!("{column}{quoted} is no number"),
        What::NotATime => format!("{column}{quoted} is no date or time that can be read"),
        What::NotText => "some letters cannot be read (saved in another encoding?)".to_owned(),
        What::CellCount { found, expected } => format!("{found} cells where the header has {expected}"),
        What::OutOfBounds { value, least, most } => {
            let shown = if text.is_empty() { format!(" {value}") } else { quoted };
            format!("{column}{shown} is outside all belief ({least:.4} to {most:.4})").replace(".0000", "")
        }
        What::FarFromSeason { value_c, usual_c, .. } => {
            format!("{column}{quoted} is {value_c:.1} °C where {usual_c:.1} °C is usual at that time of year")
        }
        What::LowAboveHigh { low_c, high_c } => {
            format!("the low ({low_c:.1} °C) is above the high ({high_c:.1} °C)")
        }
        What::DewAboveAir { dew_point_c, air_temp_c } => {
            format!("dew point {dew_point_c:.1} °C above the air's {air_temp_c:.1} °C")
        }
        What::SunAboveSky { .. } | What::SunBelowZero { .. } | What::SunOffNoon { .. } => about_sun(finding),
        What::TypicalYear { year } => format!("months of several years; all are laid into {year}"),
        What::Stuck { hours } => format!("{column} reads the same for {hours} hours"),
        What::Repeated { first_line } => format!("{column}{quoted} stands on line {first_line} already"),
        What::OutOfOrder => format!("{column}{quoted} is earlier than the line before"),
        What::MissingDays { from, days: 1 } => format!("{from} is missing"),
        What::MissingDays { from, days } => {
            format!("{days} days are missing, {from} to {}", from.plus(*days as i32 - 1))
        }
        What::MissingHours { from, hours } => {
            let of = if column.is_empty() { String::new() } else { format!(" of {column}") };
            let hours = if *hours == 1 { "one hour".to_owned() } else { format!("{hours} hours") };
            format!("{hours}{of} missing from {}", zone.stamp(*from))
        }
        What::ClockShownTwice { second } => {
            format!(
                "{text} comes twice that night; taken as the {} by the order of the file",
                if *second { "second" } else { "first" }
            )
        }
        What::ClockSkipped => format!("{text} does not exist that night: the clocks go forward"),
        What::LinesInHour { lines } => format!("up to {lines} lines in one hour"),
        What::QualityMark(mark) => format!("{column}{quoted} carries the source's own mark of doubt, {mark}"),
        What::UnknownUnit => format!("{column}{quoted} names no unit that is known here"),
        What::LooksLikeOtherUnit { values } => {
            format!("{values} values of {column} are outside all belief: is it in another unit than its name says?")
        }
        What::NotUsed => format!("{column}{quoted} is not used"),
        What::NotSaid => not_said(column, text),
        What::MadeFrom(made) => format!("{} ({text} hours){}", made_said(*made), measured(*made)),
    }
}

fn about_sun(finding: &Finding) -> String {
    match &finding.what {
        What::SunAboveSky { value_w_m2, most_w_m2 } => {
            format!("{value_w_m2:.0} W/m² of sun when no more than {most_w_m2:.0} can come")
        }
        What::SunBelowZero { values, least_w_m2 } => {
            format!(
                "{}: {values} values a little below zero (least {least_w_m2:.1} W/m²), as instruments read at night",
                finding.column
            )
        }
        What::SunOffNoon { minutes } => {
            let side = if *minutes > 0.0 { "late" } else { "early" };
            format!(
                "the sun stands highest {:.0} minutes too {side}: check the time zone, and whether times name the start or the end \
                 of the hour",
                minutes.abs()
            )
        }
        _ => String::new(),
    }
}

fn not_said(column: &str, taken: &str) -> String {
    match column {
        "time_zone" => format!("the file does not say its time zone; {taken} is taken (give --zone)"),
        "hour_label" => format!(
            "the file does not say which end of the hour its times name; the {taken} is taken (give --hour-label)"
        ),
        _ => format!("the file does not say {column}; {taken} is taken"),
    }
}

fn made_said(made: Made) -> &'static str {
    match made {
        Made::DewFromNightLow => "no humidity: dew point taken as the low of the day",
        Made::PressureFromElevation => "no pressure: the usual one of the elevation",
        Made::PressureFromSeaLevel => "pressure brought from sea level to the station",
        Made::SunFromCloud => "no sun: a clear sky through the cloud given",
        Made::SunFromRange => "no sun, no cloud: sun from the day's range of temperature",
        Made::LongwaveFromCloud => "no heat radiation of the sky: from air, humidity and the cloud given",
        Made::LongwaveFromSun => "no heat radiation of the sky: from air, humidity and the cloud seen in the sun",
        Made::LongwaveFromRange => {
            "no heat radiation of the sky: from air, humidity and the day's range of temperature"
        }
        Made::NoRain => "no rain given: none taken",
        Made::WindFromDonors => "no wind: the usual one of the nearest lending record, by month and hour",
    }
}

fn measured(made: Made) -> String {
    let Some(error) = made.measured() else { return "; its error could not be measured".to_owned() };
    let unit = match error.unit {
        ErrorUnit::DewPointHours => "°C of dew point, by the hour",
        ErrorUnit::PressureHours => "hPa, by the hour",
        ErrorUnit::SunDays => "MJ/m², by the day",
        ErrorUnit::FluxHours => "W/m², by the hour",
        ErrorUnit::WindHours => "m/s, by the hour",
    };
    format!("; where measured off by {:.1} {unit} (mean {:+.1})", error.rmse, error.bias)
}

/// What was done, as the end of a sentence.
pub fn done(finding: &Finding) -> String {
    let unit =
        if matches!(finding.what, What::FarFromSeason { .. } | What::LowAboveHigh { .. } | What::Blank | What::NoValue)
        {
            " °C"
        } else {
            ""
        };
    match (&finding.what, finding.done) {
        (What::MadeFrom(_) | What::ClockShownTwice { .. } | What::NotSaid | What::TypicalYear { .. }, _) => {
            String::new()
        }
        (What::SunBelowZero { .. }, _) => ": taken as none".to_owned(),
        (What::SunOffNoon { .. }, _) => String::new(),
        (What::NotText | What::CellCount { .. }, Done::Kept) => ": read as far as it goes".to_owned(),
        (_, Done::Kept) => ": kept".to_owned(),
        (_, Done::Dropped) => ": not used".to_owned(),
        (_, Done::Filled(Some(value))) => format!(": filled with {value:.1}{unit}"),
        (_, Done::Filled(None)) => ": filled".to_owned(),
        (_, Done::LeftOpen) => ": left open; what needs it will be refused".to_owned(),
        (_, Done::FirstUsed) => ": the first is used".to_owned(),
        (_, Done::LaterUsed) => ": the later is used".to_owned(),
        (_, Done::Sorted) => ": put in its place".to_owned(),
        (_, Done::Averaged) => ": averaged, rain summed".to_owned(),
        (_, Done::Held(value)) => format!(": held at {value:.1}"),
    }
}

/// Why a file, or the part asked for, cannot be used, and what to do; no full stop at its end.
pub fn refusal(refusal: &Refusal, zone: &Zone) -> String {
    match refusal {
        Refusal::Empty => "it has no line with data".to_owned(),
        Refusal::UnknownForm => {
            "it is in no form that is read here. A table of days needs the columns date, low_c and high_c (or \
             low_f, high_f); a table of hours needs time and air_temp_c"
                .to_owned()
        }
        Refusal::NoHeader { line } => format!("line {line}: a line with column names belongs here"),
        Refusal::NoColumn { line, wanted } => {
            format!("line {line}: there is no column {wanted}. Add it, with its unit in its name")
        }
        Refusal::OtherUnit { line, column, outside, of } => {
            format!(
                "line {line}: {outside} of {of} values in column \"{column}\" are none that the air has had. Degrees Fahrenheit belong \
                 in columns named low_f and high_f, Celsius in low_c and high_c: mend the names or the values"
            )
        }
        Refusal::TwoColumns { line, first, second } => {
            format!("line {line}: \"{first}\" and \"{second}\" hold the same thing. Rename or remove one")
        }
        Refusal::NoUsableLine { line, text } => {
            format!(
                "line {line} (\"{text}\") and all the others could not be used. Check how dates and times are written"
            )
        }
        Refusal::Hole { line, quantity: of, from, hours, most } => format!(
            "after line {line} {hours} hours have no {} (from {}); up to {most} would be filled. Bring the missing hours, or ask \
             for a span without them",
            quantity(*of).0,
            zone.stamp(*from)
        ),
        Refusal::Never(Quantity::Wind) => "it has no wind in any hour. Add wind_speed_m_s".to_owned(),
        Refusal::Never(of) => format!("it has no {} in any hour, and nothing to make it from", quantity(*of).0),
        Refusal::OutsideFile { start, end } => {
            format!("it covers {} to {} only", zone.stamp(*start), zone.stamp(*end))
        }
        Refusal::OtherKind => "it holds another kind of weather than is wanted here".to_owned(),
        Refusal::Json { line, column } => {
            format!("line {line}, character {column}: this is not whole JSON. Fetch the file again")
        }
        Refusal::NoKey("issued") => {
            "it does not say when it was issued. Begin it with a line such as issued,2024-09-30T05:10".to_owned()
        }
        Refusal::NoKey(key) => format!("it has no {key}"),
        Refusal::SpanTooLong { line, text } => {
            format!("line {line} (\"{text}\") stands years apart from the others. Is its year right?")
        }
    }
}

/// The label a person gives to `--hour-label`.
pub fn hour_label(text: &str) -> Option<HourLabel> {
    match text {
        "start" => Some(HourLabel::Start),
        "end" => Some(HourLabel::End),
        _ => None,
    }
}

#[cfg(test)]
mod tests;
