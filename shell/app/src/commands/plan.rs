//! `warmspell plan`: the morning's page for any farm and day; without a farm, for the sample that comes with the program.

use std::path::{Path, PathBuf};

use clap::Args;
use farm::{Farm, Morning};
use season::weather::{DailyRecord, DonorRecord, IssuedForecast};
use season::{FarmPast, MorningAsk, outlook};
use units::{Day, Watch};
use words::figures::Manner;

use super::Told;
use crate::files::{self, Donors, FarmFiles};
use crate::waiting::with_progress;

mod as_json;

/// Which pond comes out when, and what waiting costs.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct PlanArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    pub farm: Option<PathBuf>,
    /// The morning, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
    /// The clock hour taken for now, 0 to 23
    #[arg(long, value_name = "HOUR", default_value_t = 7)]
    pub now: i32,
    /// A forecast file: a plain table, or what the public weather service gives
    #[arg(long, value_name = "FILE")]
    pub forecast: Option<PathBuf>,
    /// How many futures are weighed
    #[arg(long, value_name = "N", default_value_t = 300)]
    pub members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    pub metric: bool,
    /// Print the answer for a program
    #[arg(long)]
    pub json: bool,
}

impl Default for PlanArgs {
    fn default() -> PlanArgs {
        PlanArgs { farm: None, on: None, now: 7, forecast: None, members: 300, seed: 1, metric: false, json: false }
    }
}

const EXAMPLES: &str = "Examples:
  warmspell plan
  warmspell plan --farm FARM.toml --on 2020-09-20
  warmspell plan --farm FARM.toml --on 2020-09-20 --forecast forecast.csv --json

The farm file is described key by key in docs/farm-file.md.";

/// Answers on the command line.
pub fn run(args: &PlanArgs, today: Day) -> Told {
    match answer(args, today) {
        Ok(told) => told,
        Err(why) => Told::could_not(why),
    }
}

fn answer(args: &PlanArgs, today: Day) -> Result<Told, String> {
    let read = files::farm(args.farm.as_deref())?;
    let on = morning_of(args, &read.farm, today)?;
    if !(0..24).contains(&args.now) {
        return Err(format!("--now is {}: it is a clock hour from 0 to 23.", args.now));
    }
    if !(16..=5000).contains(&args.members) {
        return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", args.members));
    }
    let mut remarks = read.remarks.clone();
    let history = read.history(&mut remarks)?;
    let forecast = forecast_of(args, &read, on, &mut remarks)?;
    let Donors { record: donors } = read.donors()?;
    let outlook = ask(args, &read.farm, on, &history, &donors, forecast.as_ref())?;
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    let text = if args.json { as_json::outlook(&outlook) } else { words::morning::page(&outlook, manner) };
    Ok(Told::answer(text, remarks))
}

fn ask(
    args: &PlanArgs,
    farm: &Farm,
    on: Day,
    history: &DailyRecord,
    donors: &DonorRecord,
    forecast: Option<&IssuedForecast>,
) -> Result<season::answer::Outlook, String> {
    let past = FarmPast::new(farm, history, donors, args.seed)
        .map_err(|error| words::trouble::outlook(&season::OutlookError::Past(error)))?;
    let question =
        MorningAsk { farm, past: &past, on, now_hour: args.now, forecast, members: args.members, yesterday: None };
    with_progress("weighing the coming weeks", |watch: &Watch| outlook(&question, watch))
        .map_err(|error| words::trouble::outlook(&error))
}

/// The day asked for; the farm's own; today.
pub(super) fn morning_of(args: &PlanArgs, farm: &Farm, today: Day) -> Result<Day, String> {
    match (&args.on, &farm.morning) {
        (Some(text), _) => Day::parse(text)
            .ok_or_else(|| format!("--on {text}: this is no date. Write it as 2020-09-15 (year-month-day).")),
        (None, Some(Morning { on, .. })) => Ok(*on),
        (None, None) => Ok(today),
    }
}

/// The forecast named; else the farm's own for its own morning.
pub(super) fn forecast_of(
    args: &PlanArgs,
    read: &FarmFiles,
    on: Day,
    remarks: &mut Vec<String>,
) -> Result<Option<IssuedForecast>, String> {
    if let Some(path) = &args.forecast {
        return read.forecast_at(path, remarks).map(Some);
    }
    match &read.farm.morning {
        Some(Morning { on: own, forecast: Some(name) }) if *own == on => {
            read.own_forecast(Path::new(name), remarks).map(Some)
        }
        _ => Ok(None),
    }
}
