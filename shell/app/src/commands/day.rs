//! `warmspell day`: the evening before, one pond's harvest day hour by hour.

use std::path::PathBuf;

use clap::Args;
use season::day::{DaySheet, INPUTS, rehearse, understand};
use season::farm::Farm;
use season::{FarmPast, MorningAsk, answer_from, draw};
use units::{Instant, Watch};
use words::figures::Manner;
use words::page_day as say;

use super::Told;
use super::plan::{PlanArgs, forecast_of, moment};
use crate::files::{self, Donors};
use crate::waiting::with_progress;

mod as_json;

/// A pond's harvest day rehearsed: when it is done and what binds, who goes where, ice, what is due before
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct DayArgs {
    /// Which pond, by its name
    #[arg(value_name = "POND")]
    pond: Option<String>,
    /// What differs from the farm's own description, as hands=5; all of it is explained by `warmspell day --ask`
    #[arg(value_name = "KEY=VALUE")]
    given: Vec<String>,
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// The morning it is asked on, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// The clock hour taken for now, 0 to 23
    #[arg(long, value_name = "HOUR")]
    now: Option<i32>,
    /// A forecast file: a plain table, or what the public weather service gives
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// How many futures the day is lived under
    #[arg(long, value_name = "N", default_value_t = 300)]
    members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Tell what can be asked, and end
    #[arg(long)]
    ask: bool,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    metric: bool,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
    /// Print it as a calendar file
    #[arg(long, conflicts_with = "json")]
    calendar: bool,
}

const EXAMPLES: &str = "Examples:
  warmspell day Willow
  warmspell day Willow day=2011-10-01 hands=5 start=6:30
  warmspell day Quarry fill='11 lb' ice='800 lb' --json
  warmspell day Willow --calendar > willow.ics";

/// Answers on the command line.
pub fn run(args: &DayArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &DayArgs, now: Instant) -> Result<Told, String> {
    if args.ask {
        return Ok(Told::answer(words::sums::questions(INPUTS), Vec::new()));
    }
    if !(16..=5000).contains(&args.members) {
        return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", args.members));
    }
    let as_plan = PlanArgs {
        farm: args.farm.clone(),
        on: args.on.clone(),
        now: args.now,
        forecast: args.forecast.clone(),
        members: args.members,
        seed: args.seed,
        ..PlanArgs::default()
    };
    let read = files::farm(args.farm.as_deref())?;
    let pond = pond_of(args, &read.farm)?;
    let (on, now_hour) = moment(&as_plan, &read.farm, now)?;
    let mut typed = Vec::new();
    for text in &args.given {
        let pair = text.split_once('=').map(|(key, value)| (key.trim(), value.trim()));
        typed.push(pair.ok_or_else(|| words::sums::no_pair(text))?);
    }
    let (wish, given) = understand(&typed).map_err(|slips| {
        let said = slips.iter().map(|slip| format!("{}: {}", slip.name, words::sums::slip(slip)));
        said.collect::<Vec<_>>().join("\n")
    })?;
    let mut remarks = read.remarks.clone();
    remarks.extend(words::sums::unusual(&given));
    let history = read.history(&mut remarks)?;
    let forecast = forecast_of(&as_plan, &read, on, &mut remarks)?;
    let Donors { record: donors } = read.donors()?;
    let past = FarmPast::new(&read.farm, &history, &donors, args.seed).map_err(|error| words::trouble::past(&error))?;
    let question = MorningAsk {
        farm: &read.farm,
        past: &past,
        on,
        now_hour,
        forecast: forecast.as_ref(),
        members: args.members,
        yesterday: None,
        until_proved: false,
    };
    let found: Result<DaySheet, String> = with_progress("rehearsing the day", |watch: &Watch| {
        let outlook = |error| words::trouble::outlook(&error);
        let drawn = draw(&question, watch).map_err(outlook)?;
        let morning = answer_from(&question, &drawn, watch).map_err(outlook)?;
        rehearse(&question, &drawn, &morning, pond, &wish).map_err(|error| say::trouble(&error))
    });
    let found = found?;
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    let text = match (args.json, args.calendar) {
        (true, _) => as_json::sheet(&found),
        (_, true) => say::calendar(&read.farm, &found, manner, now),
        _ => say::page(&read.farm, &found, manner),
    };
    Ok(Told::answer(text, remarks))
}

fn pond_of(args: &DayArgs, farm: &Farm) -> Result<usize, String> {
    let names: Vec<&str> = farm.ponds.iter().map(|card| card.name.as_str()).collect();
    let names = names.join(", ");
    let wanted = args.pond.as_deref().ok_or_else(|| format!("Name a pond: {names}."))?;
    let found = farm.ponds.iter().position(|card| card.name.eq_ignore_ascii_case(wanted) || card.id == wanted);
    found.ok_or_else(|| format!("{wanted}: the farm has no such pond. It has {names}."))
}
