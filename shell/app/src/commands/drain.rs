//! `warmspell drain`: when to open a pond's drain and start its pumps, and what the water does on the way.

use std::path::PathBuf;

use clap::Args;
use season::drain::question::understand;
use season::drain::{Drain, drain};
use season::farm::Farm;
use season::{FarmPast, MorningAsk, answer_from, draw};
use units::{Instant, Watch};
use words::drain as say;
use words::figures::Manner;

use super::Told;
use super::plan::{PlanArgs, forecast_of, from_record, moment};
use crate::files::{self, Donors};
use crate::waiting::with_progress;

mod as_json;

/// When to open a pond's drain and start its pumps, what stands where at which hour, and how warm it stays
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct DrainArgs {
    /// Which pond, by its name
    #[arg(value_name = "POND")]
    pond: Option<String>,
    /// What differs from the farm's own description, as day=2020-10-03; all of it is explained by `warmspell drain --ask`
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
    /// Answer as the pages do, with what this record holds
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// With --store: a farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", requires = "store", conflicts_with = "farm")]
    of: Option<String>,
    /// How many futures the water is taken through
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
}

const EXAMPLES: &str = "Examples:
  warmspell drain Quarry
  warmspell drain Quarry day=2011-10-03 seine=3h
  warmspell drain Heron outlet_water='5 ft' extra='60 m3/h'
  warmspell drain Lower --on 2011-09-28 pumps=1 --json";

/// Answers on the command line.
pub fn run(args: &DrainArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &DrainArgs, now: Instant) -> Result<Told, String> {
    if args.ask {
        return Ok(Told::answer(say::questions(), Vec::new()));
    }
    if !(16..=5000).contains(&args.members) {
        return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", args.members));
    }
    let as_plan = PlanArgs {
        farm: args.farm.clone(),
        on: args.on.clone(),
        now: args.now,
        forecast: args.forecast.clone(),
        store: args.store.clone(),
        of: args.of.clone(),
        members: args.members,
        seed: args.seed,
        ..PlanArgs::default()
    };
    if let Some(path) = &args.store {
        let facts = from_record::facts_at(&as_plan, path, now)?;
        return asked(args, &facts.ask(None), facts.manner, Vec::new());
    }
    let read = files::farm(args.farm.as_deref())?;
    let (on, now_hour) = moment(&as_plan, &read.farm, now)?;
    let mut remarks = read.remarks.clone();
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
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    asked(args, &question, manner, remarks)
}

/// The answer to a morning's question about one pond.
fn asked(args: &DrainArgs, question: &MorningAsk, manner: Manner, mut remarks: Vec<String>) -> Result<Told, String> {
    let pond = pond_of(args, question.farm)?;
    let mut typed = Vec::new();
    for text in &args.given {
        let pair = text.split_once('=').map(|(key, value)| (key.trim(), value.trim()));
        typed.push(pair.ok_or_else(|| words::sums::no_pair(text))?);
    }
    let card = &question.farm.ponds[pond];
    let (wish, given) = understand(card, question.on, &typed).map_err(|slips| say::slips(&slips))?;
    remarks.extend(words::sums::unusual(&given));
    let found: Result<Drain, String> = with_progress("letting the water down", |watch: &Watch| {
        let outlook = |error| words::trouble::outlook(&error);
        let drawn = draw(question, watch).map_err(outlook)?;
        let morning = answer_from(question, &drawn, watch).map_err(outlook)?;
        drain(question, &drawn, &morning, pond, &wish, watch).map_err(|error| say::error(&error, &card.name))
    });
    let found = found?;
    let text = if args.json { as_json::drain(&found) } else { say::page(&found, manner) };
    let is_no = !found.opening.short.is_empty();
    Ok(Told { code: u8::from(is_no), ..Told::answer(text, remarks) })
}

fn pond_of(args: &DrainArgs, farm: &Farm) -> Result<usize, String> {
    let names: Vec<&str> = farm.ponds.iter().map(|card| card.name.as_str()).collect();
    let names = names.join(", ");
    let wanted = args.pond.as_deref().ok_or_else(|| format!("Name a pond: {names}."))?;
    let found = farm.ponds.iter().position(|card| card.name.eq_ignore_ascii_case(wanted) || card.id == wanted);
    found.ok_or_else(|| format!("{wanted}: the farm has no such pond. It has {names}."))
}
