//! `warmspell water`: one basin, hour by hour, with scores where there are readings.

use std::path::{Path, PathBuf};

use clap::Args;
use farm::basin::{self, BasinFile, Fault};
use farm::observed::{self, Observed, Place, Spot};
use season::water::{Dawn, From, Restart, WaterAnswer, WaterAsk, WaterError, read_air, water};
use units::Instant;
use words::water as say;

use super::Told;
use crate::files;
use crate::waiting::with_progress;

mod json;

/// Water temperature of one pond or lake, hour by hour, from a file of weather.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  warmspell water --basin pond.toml --weather hours.csv --out water.csv
  warmspell water --basin pond.toml --weather hours.csv --at \"deep@10 in, deep@3 ft, shallow@0.5\" --out water.csv
  warmspell water --basin pond.toml --weather hours.csv --observed loggers.csv --out water.csv
  warmspell water --basin pond.toml --weather hours.csv --observed loggers.csv \\
      --restart-every 1d --lead-days 1,3,5,10 --dawn 06:00 --out water.csv --json
  warmspell water --basin pond.toml --weather hours.csv --observed loggers.csv \\
      --restart-every 1d --taught-by deep@0.5 --dawn 06:00 --out water.csv")]
pub struct WaterArgs {
    /// The pond: a BASIN.toml file
    #[arg(long, value_name = "FILE")]
    basin: PathBuf,
    /// The weather, one line an hour
    #[arg(long, value_name = "FILE")]
    weather: PathBuf,
    /// Thermometers in the water, to score against
    #[arg(long, value_name = "FILE")]
    observed: Option<PathBuf>,
    /// First moment (2020-05-22 or 2020-05-22T06:00); else the weather's first
    #[arg(long, value_name = "TIME")]
    from: Option<String>,
    /// Last moment; else the weather's last
    #[arg(long, value_name = "TIME")]
    to: Option<String>,
    /// Start again from the readings every so many days (1d)
    #[arg(long, value_name = "DAYS", requires = "observed")]
    restart_every: Option<String>,
    /// Days ahead to score after each restart
    #[arg(long, value_name = "DAYS", value_delimiter = ',', default_value = "1,3,5,10")]
    lead_days: Vec<u32>,
    /// Begin each of them not from all readings but from what this one thermometer has taught so far, such as deep@0.5
    #[arg(long, value_name = "PLACE@DEPTH", requires = "restart_every")]
    taught_by: Option<String>,
    /// How far off the basin's wind factor may be, for what a thermometer teaches
    #[arg(long, value_name = "PER CENT", default_value = "25 %", requires = "taught_by")]
    wind_off: String,
    /// Places and depths to write, such as deep@0.25 or "shallow@10 in"
    #[arg(long, value_name = "PLACE@DEPTH", value_delimiter = ',')]
    at: Vec<String>,
    /// Columns of water from the shallow to the deep end; else 5 for a pond, 1 for water deeper than 4 m
    #[arg(long, value_name = "COUNT")]
    columns: Option<usize>,
    /// What counts as dawn: "sun" for six o'clock by the sun, or a clock time such as 06:00
    #[arg(long, value_name = "WHEN", default_value = "sun")]
    dawn: String,
    /// Where to write the hours; else they are printed, unless there are scores to print
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Print scores as JSON for programs
    #[arg(long)]
    json: bool,
    /// Taken by every command; nothing here is drawn by chance
    #[arg(long, value_name = "NUMBER")]
    seed: Option<u64>,
}

/// Why the command ends early: 1 the answer is no, 2 could not.
enum End {
    No(String),
    CouldNot(String),
}

/// Runs the command.
pub fn run(args: &WaterArgs) -> Told {
    match answer(args) {
        Ok(told) => told,
        Err(End::No(why)) => Told { code: 1, ..Told::could_not(why) },
        Err(End::CouldNot(why)) => Told::could_not(why),
    }
}

fn answer(args: &WaterArgs) -> Result<Told, End> {
    let basin_file = shown(&args.basin);
    let basin = read_basin(&args.basin)?;
    let mut remarks: Vec<String> = basin.taken.iter().map(|taken| words::basin::taken(&basin_file, taken)).collect();
    let from = moment(args.from.as_deref(), "--from", &basin)?;
    let to = moment(args.to.as_deref(), "--to", &basin)?;
    let air = air(&args.weather, &basin, (from, to), &mut remarks)?;
    let observed = args.observed.as_deref().map(|path| read_observed(path, &basin, &mut remarks)).transpose()?;
    let ask = WaterAsk {
        basin: &basin,
        air: &air,
        observed: observed.as_ref(),
        from,
        to,
        columns: args.columns.unwrap_or(if basin.shape.full_level_m() > DEEP_M { 1 } else { 5 }),
        at: spots(&args.at, "--at")?,
        restart: restart(args)?,
        dawn: dawn(&args.dawn, &basin)?,
    };
    let found = with_progress("Hours of water", |watch| water(&ask, watch)).map_err(|error| {
        let why = say::error(&error, &basin.zone, &basin_file);
        if error == WaterError::Stopped { End::No(why) } else { End::CouldNot(why) }
    })?;
    remarks.extend(say::remarks(&found, &basin_file));
    let deepest_m = basin.shape.full_level_m();
    let under = ask.at.iter().filter(|spot| spot.depth_m > deepest_m);
    remarks.extend(under.map(|spot| say::under_the_floor(&spot.name(), deepest_m)));
    if let Some(out) = &args.out {
        write_out(out, &out_csv(&found, &basin))?;
    }
    let text = match (args.json, &args.out) {
        (true, _) => json::of(&found, &ask, &remarks),
        (false, Some(out)) => {
            said(&found, &ask, &format!("{} hours written to {}", found.course.temps_c.len(), shown(out)))
        }
        // Without a file the hours themselves are the answer, unless scores were asked for.
        (false, None) if found.spots.is_empty() => out_csv(&found, &basin),
        (false, None) => said(&found, &ask, "The hours are not kept; give --out FILE to keep them"),
    };
    Ok(Told::answer(text, remarks))
}

/// Water deeper than this is taken as a lake: one column, unless asked otherwise.
const DEEP_M: f64 = 4.0;

fn said(found: &WaterAnswer, ask: &WaterAsk<'_>, last: &str) -> String {
    let mut lines = say::table(found, ask.dawn);
    lines.push(last.to_owned());
    lines.join("\n") + "\n"
}

/// Faults and oddities of a file that are told one by one; more are counted.
const TOLD_MOST: usize = 20;

fn air(
    path: &Path,
    basin: &BasinFile,
    (from, to): (Option<Instant>, Option<Instant>),
    remarks: &mut Vec<String>,
) -> Result<season::weather::AirSeries, End> {
    let name = shown(path);
    let bytes = files::bytes(path).map_err(End::CouldNot)?;
    let read = read_air(&bytes, basin, from, to)
        .map_err(|refusal| End::CouldNot(format!("{name}: {}", words::weather::refusal(&refusal, &basin.zone))))?;
    let told = read.findings.iter().take(TOLD_MOST);
    remarks.extend(told.map(|finding| format!("{name}: {}", words::weather::sentence(finding, &basin.zone))));
    if read.findings.len() > TOLD_MOST {
        remarks.push(words::trouble::findings(&name, read.findings.len()));
    }
    Ok(read.value)
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

fn text_of(path: &Path) -> Result<String, End> {
    let bytes = files::bytes(path).map_err(End::CouldNot)?;
    String::from_utf8(bytes).map_err(|error| {
        let whole = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let line = 1 + whole.iter().filter(|&&byte| byte == b'\n').count();
        End::CouldNot(format!("{}, line {line}: this is not plain text. Save the file as UTF-8 text", shown(path)))
    })
}

fn all_said(path: &Path, faults: &[Fault]) -> End {
    let told = faults.iter().take(TOLD_MOST);
    let mut lines: Vec<String> = told.map(|fault| words::basin::fault(&shown(path), fault)).collect();
    if faults.len() > TOLD_MOST {
        lines.push(words::basin::more(&shown(path), faults.len() - TOLD_MOST));
    }
    End::CouldNot(lines.join("\n"))
}

fn read_basin(path: &Path) -> Result<BasinFile, End> {
    basin::read(&text_of(path)?).map_err(|faults| all_said(path, &faults))
}

fn read_observed(path: &Path, basin: &BasinFile, remarks: &mut Vec<String>) -> Result<Observed, End> {
    let observed = observed::read(&text_of(path)?, &basin.zone).map_err(|faults| all_said(path, &faults))?;
    let told = observed.oddities.iter().take(TOLD_MOST);
    remarks.extend(told.map(|oddity| words::basin::oddity(&shown(path), oddity)));
    if observed.oddities.len() > TOLD_MOST {
        remarks.push(words::basin::more(&shown(path), observed.oddities.len() - TOLD_MOST));
    }
    Ok(observed)
}

fn moment(text: Option<&str>, option: &str, basin: &BasinFile) -> Result<Option<Instant>, End> {
    let Some(text) = text else { return Ok(None) };
    let mut clock = observed::Clock::default();
    match clock.read(text, &basin.zone) {
        Some((observed::When::At(at), _)) => Ok(Some(at)),
        // A bare day: its first midnight.
        Some((observed::When::MeanOf(day), _)) => Ok(Some(basin.zone.instant(day, 0))),
        None => Err(End::CouldNot(format!("{option}: \"{text}\" is no time. Write 2020-07-06 or 2020-07-06T06:00"))),
    }
}

/// "25 %" as the deviation of a logarithm.
fn share(text: &str) -> Result<f64, End> {
    let off = units::measure::read(text, units::measure::Kind::Share, Some("%")).ok();
    let off = off.filter(|off| (0.01..=2.0).contains(off));
    off.ok_or_else(|| End::CouldNot(format!("--wind-off: \"{text}\" is not from 1 % to 200 %. Write such as 25 %")))
}

fn spots(texts: &[String], option: &str) -> Result<Vec<Spot>, End> {
    let read = |text: &String| {
        Spot::parse(text).ok_or_else(|| {
            let places: Vec<&str> = Place::ALL.iter().map(|place| place.name()).collect();
            End::CouldNot(format!(
                "{option}: \"{text}\" is not a place and depth. Write such as deep@0.25 ({})",
                places.join(", ")
            ))
        })
    };
    texts.iter().map(read).collect()
}

fn restart(args: &WaterArgs) -> Result<Option<Restart>, End> {
    let Some(text) = &args.restart_every else { return Ok(None) };
    let hours = units::measure::read(text, units::measure::Kind::Duration, Some("day")).ok();
    let days = hours.map(|hours| hours / 24.0).filter(|days| *days >= 1.0 && *days <= 365.0 && days.fract() == 0.0);
    let Some(days) = days else {
        return Err(End::CouldNot(format!(
            "--restart-every: \"{text}\" is not a whole number of days. Write such as 1d"
        )));
    };
    if let Some(wrong) = args.lead_days.iter().find(|days| !(1..=60).contains(*days)) {
        return Err(End::CouldNot(format!("--lead-days: {wrong} is not from 1 to 60")));
    }
    let from = match &args.taught_by {
        None => From::Readings,
        Some(text) => {
            let by = spots(std::slice::from_ref(text), "--taught-by")?.remove(0);
            From::Taught { by, wind_sd_log: share(&args.wind_off)? }
        }
    };
    Ok(Some(Restart { every_days: days as u32, lead_days: args.lead_days.clone(), from }))
}

fn dawn(text: &str, basin: &BasinFile) -> Result<Dawn, End> {
    if text.trim().eq_ignore_ascii_case("sun") {
        return Ok(Dawn::Sun { longitude_deg: basin.longitude_deg });
    }
    let clock = text.trim().split_once(':').and_then(|(hour, minute)| {
        let (hour, minute): (i32, i32) = (hour.parse().ok()?, minute.parse().ok()?);
        ((0..24).contains(&hour) && (0..60).contains(&minute)).then_some(hour * 3600 + minute * 60)
    });
    clock.map(|second| Dawn::Clock { second }).ok_or_else(|| {
        End::CouldNot(format!("--dawn: \"{text}\" is neither \"sun\" nor a clock time. Write such as 06:00"))
    })
}

/// One line an hour, times with their offset, three decimals: a tenth of what a good thermometer tells.
fn out_csv(found: &WaterAnswer, basin: &BasinFile) -> String {
    let course = &found.course;
    let mut text = format!(
        "# {}: water temperature, degrees C, by place and depth below the surface in metres\ntime",
        basin.name.replace('\n', " ")
    );
    for spot in &course.spots {
        text.push(',');
        text.push_str(&spot.name());
    }
    text.push('\n');
    for (row, temps_c) in course.temps_c.iter().enumerate() {
        text.push_str(&basin.zone.stamp(course.time(row)));
        for temp_c in temps_c {
            text.push_str(&format!(",{temp_c:.3}"));
        }
        text.push('\n');
    }
    text
}

/// Writes beside the target and renames, so that a stopped run leaves the old file whole.
fn write_out(path: &Path, text: &str) -> Result<(), End> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let wrong = |error: std::io::Error| End::CouldNot(words::trouble::not_written(path, &error));
    std::fs::write(&beside, text).map_err(wrong)?;
    std::fs::rename(&beside, path).map_err(wrong)
}
