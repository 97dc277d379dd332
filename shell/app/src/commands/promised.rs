//! `warmspell promised`: what is promised to buyers against what the coming catches will likely yield, and what may yet be promised.

use std::path::PathBuf;

use clap::Args;
use season::farm::facts::market::Market;
use season::promised::{Buyer, Promised, buyers, promised};
use season::{FarmPast, MorningAsk, answer_from, draw};
use serde_json::{Map, Value, json};
use units::{Instant, Watch};
use words::figures::Manner;

use super::plan::{PlanArgs, forecast_of, from_record, moment};
use super::{Told, versioned};
use crate::files::{self, Donors};
use crate::waiting::with_progress;

/// What is promised to buyers against what the coming catches will likely yield, who may get less, and what may yet be promised
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct PromisedArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// The morning it is asked on, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// A forecast file: a plain table, or what the public weather service gives
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// Answer as the pages do, with the orders and sales that this record holds
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// With --store: a farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", requires = "store", conflicts_with = "farm")]
    of: Option<String>,
    /// How many futures are lived through
    #[arg(long, value_name = "N", default_value_t = 300)]
    members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    metric: bool,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "Examples:
  warmspell promised
  warmspell promised --store season.db --json

Standing buyers stand in the farm's file under [[buyer]]; orders of this once are written on the buyers' page.
The answer is no (exit code 1) when some order may come short more often than once in ten futures.";

/// Answers on the command line.
pub fn run(args: &PromisedArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &PromisedArgs, now: Instant) -> Result<Told, String> {
    if !(16..=5000).contains(&args.members) {
        return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", args.members));
    }
    let as_plan = PlanArgs {
        farm: args.farm.clone(),
        on: args.on.clone(),
        forecast: args.forecast.clone(),
        store: args.store.clone(),
        of: args.of.clone(),
        members: args.members,
        seed: args.seed,
        ..PlanArgs::default()
    };
    if let Some(path) = &args.store {
        let (facts, market) = from_record::with_market(&as_plan, path, now)?;
        let manner = if args.metric { Manner::Metric } else { facts.manner };
        return told(args, &facts.ask(None), &market, manner, Vec::new());
    }
    let read = files::farm(args.farm.as_deref())?;
    let (on, now_hour) = moment(&as_plan, &read.farm, now)?;
    let mut remarks = read.remarks.clone();
    let history = read.history(&mut remarks)?;
    let forecast = forecast_of(&as_plan, &read, on, &mut remarks)?;
    let Donors { record: donors } = read.donors()?;
    let past = FarmPast::new(&read.farm, &history, &donors, args.seed).map_err(|error| words::trouble::past(&error))?;
    let morning = MorningAsk {
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
    told(args, &morning, &Market::default(), manner, remarks)
}

fn told(
    args: &PromisedArgs,
    morning: &MorningAsk,
    market: &Market,
    manner: Manner,
    remarks: Vec<String>,
) -> Result<Told, String> {
    let wanted = buyers(morning.farm, market);
    let found = with_progress("sharing out the coming catches", |watch: &Watch| {
        let outlook = |error| words::trouble::outlook(&error);
        let drawn = draw(morning, watch).map_err(outlook)?;
        let outlook = answer_from(morning, &drawn, watch).map_err(outlook)?;
        Ok::<_, String>(promised(morning, &drawn, &outlook, &wanted))
    })?;
    let text = if args.json {
        as_json(&found, &wanted)
    } else {
        words::page_buyers::page(&found, &wanted, morning.farm, manner)
    };
    let is_short = !words::page_buyers::short(&found).is_empty() || !found.without.is_empty();
    Ok(Told { code: u8::from(is_short), ..Told::answer(text, remarks) })
}

fn as_json(found: &Promised, wanted: &[Buyer]) -> String {
    let band = |band: &season::answer::Band| json!({ "low": band.low, "middle": band.middle, "high": band.high });
    let coins = |pays: season::farm::Pays| match pays {
        season::farm::Pays::PerKg(coins) => json!({ "coins_per_kg": coins }),
        season::farm::Pays::Each(coins) => json!({ "coins_each": coins }),
    };
    let catches: Vec<Value> = found
        .catches
        .iter()
        .map(|catch| {
            let class = |(from_g, to_g, there, left): &(f64, f64, season::answer::Band, season::answer::Band)| {
                json!({ "from_g": from_g, "to_g": to_g.is_finite().then_some(*to_g), "there_kg": band(there), "left_kg": band(left) })
            };
            json!({ "on": catch.on.to_string(), "ponds": catch.ponds, "accepted": catch.is_locked, "sold_kg": band(&catch.sold_kg),
                "coins": band(&catch.coins), "sizes": catch.classes.iter().map(class).collect::<Vec<_>>() })
        })
        .collect();
    let shares: Vec<Value> = found
        .shares
        .iter()
        .map(|share| {
            let buyer = &wanted[share.buyer];
            json!({ "buyer": buyer.name, "form": buyer.good.sold_as.word(), "size": buyer.good.size, "catch": found.catches[share.catch].on.to_string(),
                "wanted": share.wanted, "gets": band(&share.gets), "full_chance": share.full_chance })
        })
        .collect();
    let free: Vec<Value> = found
        .free
        .iter()
        .map(|free| {
            json!({ "catch": found.catches[free.catch].on.to_string(), "form": free.good.sold_as.word(), "size": free.good.size,
                "amount": band(&free.amount), "price": coins(free.pays) })
        })
        .collect();
    let mut rest = Map::new();
    rest.insert("currency".to_owned(), json!(found.currency.code()));
    rest.insert("members".to_owned(), json!(found.members));
    rest.insert("catches".to_owned(), json!(catches));
    rest.insert("orders".to_owned(), json!(shares));
    rest.insert("without".to_owned(), json!(found.without.iter().map(|at| &wanted[*at].name).collect::<Vec<_>>()));
    rest.insert("may_be_promised".to_owned(), json!(free));
    versioned("warmspell.promised", 1, rest)
}
