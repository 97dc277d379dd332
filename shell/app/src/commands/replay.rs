//! `warmspell replay`: past autumns lived again, to see how good the advice would have been.

use std::path::PathBuf;

use clap::Args;
use farm::{World, read_world};
use season::FarmPast;
use season::replay::{Replay, ReplayAsk, ReplayScores, replay, scores};
use serde_json::{Value, json};
use units::Watch;

use super::Told;
use crate::files;
use crate::waiting::with_progress;

const SCHEMA: &str = "warmspell.replay";
const VERSION: u32 = 1;
const WORLD: &str = include_str!("../../../../checks/replay/world.toml");

/// Live past autumns again, morning by morning, with only what was knowable then.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct ReplayArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// Daily lows and highs of past years; the farm's own history when left out
    #[arg(long, value_name = "W.csv")]
    history: Option<PathBuf>,
    /// Years to live again, as 1990..1999; all that have twenty years before them when left out
    #[arg(long, value_name = "A..B")]
    years: Option<String>,
    /// A file with the fixed world; the shipped one when left out
    #[arg(long, value_name = "FILE")]
    world: Option<PathBuf>,
    /// Hidden draws for each year
    #[arg(long, value_name = "N")]
    draws: Option<usize>,
    /// Factor on the true forecast errors; the planner believes 1
    #[arg(long, value_name = "F", default_value_t = 1.0)]
    errors: f64,
    /// Factor on the true timing errors; the planner believes 1
    #[arg(long, value_name = "F", default_value_t = 1.0)]
    timing: f64,
    /// Look at far-off plans every morning too, and run all water whole: many times slower, for comparison
    #[arg(long)]
    without_shortcuts: bool,
    /// Seed of the planner's draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "Examples:
  warmspell replay --years 1990..1999 --draws 1
  warmspell replay --farm FARM.toml --history W.csv --years 1950..2020 --json

All years with five draws take some minutes; Ctrl-C stops and shows what is done.";

/// Answers on the command line.
pub fn run(args: &ReplayArgs) -> Told {
    match answer(args) {
        Ok(told) => told,
        Err(why) => Told::could_not(why),
    }
}

fn answer(args: &ReplayArgs) -> Result<Told, String> {
    let read = files::farm(args.farm.as_deref())?;
    let mut remarks = read.remarks.clone();
    let history = match &args.history {
        Some(path) => read.history_at(path, &mut remarks)?,
        None => read.history(&mut remarks)?,
    };
    let mut world = world(args)?;
    if let Some(draws) = args.draws {
        if !(1..=100).contains(&draws) {
            return Err(format!("--draws is {draws}: 1 to 100 hidden draws a year can be lived."));
        }
        world.draws_per_year = draws;
    }
    for (name, factor) in [("--errors", args.errors), ("--timing", args.timing)] {
        if !(0.1..=3.0).contains(&factor) {
            return Err(format!("{name} is {factor}: a factor from 0.1 to 3 is meant."));
        }
    }
    let years = years(args, &world)?;
    let donors = read.donors()?;
    let past = FarmPast::new(&read.farm, &history, &donors.record, args.seed)
        .map_err(|error| words::trouble::outlook(&season::OutlookError::Past(error)))?;
    let ask = ReplayAsk {
        farm: &read.farm,
        past: &past,
        world: &world,
        years,
        error_factor: args.errors,
        timing_factor: args.timing,
        without_shortcuts: args.without_shortcuts,
    };
    let lived = with_progress("living past autumns again", |watch: &Watch| replay(&ask, watch))
        .map_err(|error| words::trouble::outlook(&error))?;
    let Some(scores) = scores(&lived, world.seed) else {
        return Ok(Told { answer: String::new(), notes: vec![words::replay::nothing(&lived)], code: 1 });
    };
    let text =
        if args.json { as_json(&lived, &scores) } else { words::replay::page(&lived, &scores, read.farm.currency) };
    Ok(Told::answer(text, remarks))
}

fn world(args: &ReplayArgs) -> Result<World, String> {
    let (text, name) = match &args.world {
        None => (WORLD.to_owned(), "the shipped world".to_owned()),
        Some(path) => (words::trouble::read(path, std::fs::read_to_string(path))?, path.display().to_string()),
    };
    read_world(&text).map_err(|error| {
        let line = error.line.map_or(String::new(), |line| format!(" line {line}:"));
        format!("{name}:{line} {}", error.detail)
    })
}

fn years(args: &ReplayArgs, world: &World) -> Result<(i16, i16), String> {
    let Some(text) = &args.years else { return Ok(world.years) };
    let pair = text.split_once("..").and_then(|(a, b)| Some((a.trim().parse().ok()?, b.trim().parse().ok()?)));
    match pair {
        Some((a, b)) if a <= b => Ok((a, b)),
        _ => Err(format!("--years {text}: write the first and the last year, as 1990..1999.")),
    }
}

fn as_json(lived: &Replay, scores: &ReplayScores) -> String {
    use season::replay::{Gap, Share};
    let share = |s: &Share| json!({"value": s.value, "p05": s.low, "p95": s.high});
    let gap = |g: &Gap| json!({"of_gap_to_hidden_known": share(&g.to_hidden_known), "of_gap_to_clairvoyant": share(&g.to_clairvoyant)});
    let mut top = serde_json::Map::new();
    let mut put = |key: &str, value: Value| top.insert(key.to_owned(), value);
    put("seasons_replayed", json!(scores.seasons));
    put("stopped", json!(lived.stopped));
    put("years_left_out", json!(lived.years_left_out));
    put(
        "policies",
        scores
            .policies
            .iter()
            .map(|p| json!({"policy": p.policy, "mean_coins": p.mean, "p05_coins": p.p05, "lost_a_fifth": p.lost}))
            .collect(),
    );
    put("ours", gap(&scores.ours));
    put("fixed_each_morning", gap(&scores.fixed));
    put("ours_over_fixed", share(&scores.ours_over_fixed));
    put("clairvoyant_over_calendar", share(&scores.clairvoyant_over_calendar));
    put("p05_ours_over_clairvoyant", json!(scores.p05_ratio));
    put("calibration", lived.calibration.iter().map(|c| json!({"lead_days": c.lead, "up_to": c.up_to, "count": c.count, "told": c.told, "happened": c.happened})).collect());
    put("seasons", lived.seasons.iter().map(|s| json!({"year": s.year, "draw": s.draw, "worth_coins": s.worth, "lost": s.lost, "catch_days": s.catch_days, "believed_coins": s.believed})).collect());
    super::versioned(SCHEMA, VERSION, top)
}
