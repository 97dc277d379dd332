//! `warmspell order`: what becomes of the season when postlarvae come late, short or not at all.

use std::path::PathBuf;

use clap::Args;
use season::FarmPast;
use season::orders::{ASKED, TurnKind, Turns, asked, turns};
use serde_json::{Map, Value, json};
use units::{Day, Watch};
use words::figures::Manner;
use words::page_orders as say;

use super::Told;
use super::one_pond::pairs;
use crate::files::{self, Donors};
use crate::waiting::with_progress;

const SCHEMA: &str = "warmspell.order";
const VERSION: u32 = 1;
/// Most postlarvae in one order, as in the entry.
const COUNT_MOST: f64 = 100_000_000.0;

/// What becomes of the season when postlarvae that are ordered come late, short or not at all, and until when a second order is worth it
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct OrderArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// How many postlarvae are ordered
    #[arg(long, value_name = "N", required_unless_present = "ask", allow_hyphen_values = true)]
    count: Option<String>,
    /// The day they come, as 2021-03-30
    #[arg(long, value_name = "DATE", required_unless_present = "ask")]
    comes: Option<String>,
    /// What differs from the farm's own description, as juvenile_cost=0.12; all of it is explained by `warmspell order --ask`
    #[arg(value_name = "KEY=VALUE")]
    given: Vec<String>,
    /// Tell what can be asked, and end
    #[arg(long)]
    ask: bool,
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
  warmspell order --count 65000 --comes 2021-03-30
  warmspell order --count 65000 --comes 2021-03-30 nursing=45 juvenile_cost=0.12 risk=10% --json";

/// Answers on the command line.
pub fn run(args: &OrderArgs) -> Told {
    answer(args).unwrap_or_else(Told::could_not)
}

fn answer(args: &OrderArgs) -> Result<Told, String> {
    if args.ask {
        let of_order = season::winter::INPUTS.iter().filter(|input| ASKED.contains(&input.name()));
        let of_order: Vec<_> = of_order.copied().collect();
        return Ok(Told::answer(words::sums::questions(&of_order), Vec::new()));
    }
    let comes = args.comes.as_deref().unwrap_or_default();
    let comes =
        Day::parse(comes).ok_or_else(|| format!("--comes {comes}: this is no date. Write it as 2021-03-30."))?;
    let typed_count = args.count.as_deref().unwrap_or_default();
    let count: Option<f64> = typed_count.replace([',', '_', ' '], "").parse().ok();
    let count = count.filter(|count| (1.0..=COUNT_MOST).contains(count) && count.fract() == 0.0).ok_or_else(|| {
        format!("--count {typed_count}: write how many are ordered, as 65000; from 1 to 100,000,000.")
    })?;
    let read = files::farm(args.farm.as_deref())?;
    let typed = pairs(&args.given)?;
    let mut remarks = read.remarks.clone();
    let history = read.history(&mut remarks)?;
    let Donors { record: donors } = read.donors()?;
    let past = FarmPast::new(&read.farm, &history, &donors, args.seed).map_err(|error| words::trouble::past(&error))?;
    let ask = asked(&read.farm, &past, (count, comes, None), &typed).map_err(|slips| {
        let said = slips.iter().map(|slip| format!("{}: {}", slip.name, words::sums::slip(slip)));
        said.collect::<Vec<_>>().join("\n")
    })?;
    let found = with_progress("living the past years again", |watch: &Watch| turns(&ask, watch))
        .map_err(|error| words::trouble::outlook(&error))?;
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    let (nursing_d, risk, currency) = (ask.nursing.days, ask.winter.loss_chance_most, read.farm.currency);
    let text = if args.json {
        as_json(&found, &read.farm)
    } else {
        say::turns_page(&found, nursing_d, risk, manner, currency)
    };
    Ok(Told::answer(text, remarks))
}

fn as_json(found: &Turns, farm: &season::farm::Farm) -> String {
    let kind = |kind: TurnKind| match kind {
        TurnKind::AsOrdered => json!({"kind": "as_ordered"}),
        TurnKind::Late(days) => json!({"kind": "late", "days": days}),
        TurnKind::Short(share) => json!({"kind": "short", "missing_share": share}),
        TurnKind::Lost => json!({"kind": "lost"}),
    };
    let mut top = Map::new();
    top.insert("farm".to_owned(), json!(farm.name));
    top.insert("currency".to_owned(), json!(farm.currency.code()));
    top.insert("years".to_owned(), json!({"count": found.years.0, "first": found.years.1, "last": found.years.2}));
    let turns: Vec<Value> = found
        .turns
        .iter()
        .map(|one| {
            json!({
                "what": kind(one.kind), "stock_on": one.on.map(|day| day.to_string()), "per_ha": one.per_ha,
                "caught_kg": one.caught_kg, "mean_weight_g": one.mean_weight_g,
                "loss_chance": one.loss_chance, "net_mean_coins": one.net_coins,
            })
        })
        .collect();
    top.insert("turns".to_owned(), json!(turns));
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    top.insert(
        "second_order".to_owned(),
        json!({"worth_stocking_until": day(found.second.worth_until), "within_limit_until": day(found.second.within_until),
            "looked_until": found.second.looked_until.to_string()}),
    );
    super::versioned(SCHEMA, VERSION, top)
}
