//! `warmspell winter`: when to stock a pond, how closely, what may come of it, what to order.

use std::path::PathBuf;

use clap::Args;
use season::FarmPast;
use season::filling::FillPlan;
use season::winter::{MonthFlow, Understood, Variant, Winter, order, understand, winter};
use serde_json::{Map, Value, json};
use units::{Day, Watch};
use words::figures::Manner;
use words::page_winter as say;

use super::Told;
use super::one_pond::pairs;
use crate::files::{self, Donors};
use crate::waiting::with_progress;

const SCHEMA: &str = "warmspell.winter";
const VERSION: u32 = 1;

/// When to stock a pond, how closely, what may come of it, and what to order: from past years
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct WinterArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// Which pond, by its name; the first when left out
    #[arg(long, value_name = "POND")]
    pond: Option<String>,
    /// The season after this day is planned, as 2020-12-15; today when left out
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// What differs from the farm's own description, as densest=30000/ac; all of it is explained by `warmspell winter --ask`
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
  warmspell winter
  warmspell winter --pond Quarry first=2021-05-10 last=2021-06-07
  warmspell winter --farm FARM.toml --pond Willow densest=30000/ac prices=90% cash=6000 --json";

/// Answers on the command line.
pub fn run(args: &WinterArgs, today: Day) -> Told {
    answer(args, today).unwrap_or_else(Told::could_not)
}

fn answer(args: &WinterArgs, today: Day) -> Result<Told, String> {
    if args.ask {
        return Ok(Told::answer(words::sums::questions(season::winter::INPUTS), Vec::new()));
    }
    let read = files::farm(args.farm.as_deref())?;
    let today = match &args.on {
        Some(text) => {
            Day::parse(text).ok_or_else(|| format!("--on {text}: this is no date. Write it as 2020-12-15."))?
        }
        None => today,
    };
    let ponds = &read.farm.ponds;
    let wanted = args.pond.as_deref().unwrap_or(&ponds[0].name);
    let pond = ponds.iter().position(|card| card.name.eq_ignore_ascii_case(wanted) || card.id == wanted);
    let names: Vec<&str> = ponds.iter().map(|card| card.name.as_str()).collect();
    let pond =
        pond.ok_or_else(|| format!("--pond {wanted}: the farm has no such pond. It has {}.", names.join(", ")))?;
    let typed = pairs(&args.given)?;
    let mut remarks = read.remarks.clone();
    let history = read.history(&mut remarks)?;
    let Donors { record: donors } = read.donors()?;
    let past = FarmPast::new(&read.farm, &history, &donors, args.seed).map_err(|error| words::trouble::past(&error))?;
    let understood = understand(&read.farm, &past, pond, today, &typed).map_err(|slips| {
        let said = slips.iter().map(|slip| format!("{}: {}", slip.name, words::sums::slip(slip)));
        said.collect::<Vec<_>>().join("\n")
    })?;
    remarks.extend(words::sums::unusual(&understood.given));
    let found = with_progress("living the past years again", |watch: &Watch| winter(&understood.ask, watch))
        .map_err(|error| words::trouble::outlook(&error))?;
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    let text = if args.json { as_json(&found, &understood) } else { say::page(&found, &understood, manner) };
    Ok(Told::answer(text, remarks))
}

fn as_json(winter: &Winter, understood: &Understood) -> String {
    let mut top = Map::new();
    let farm = understood.ask.farm;
    top.insert("farm".to_owned(), json!(farm.name));
    top.insert("pond".to_owned(), json!(farm.ponds[winter.pond].name));
    top.insert("currency".to_owned(), json!(farm.currency.code()));
    top.insert("years".to_owned(), json!({"count": winter.years.0, "first": winter.years.1, "last": winter.years.2}));
    top.insert("seed".to_owned(), json!(winter.seed));
    let warm = winter.warm.iter().map(|by| json!({"on": by.on.to_string(), "chance": by.chance}));
    top.insert("warm".to_owned(), warm.collect());
    top.insert("best".to_owned(), json!(winter.best));
    top.insert("variants".to_owned(), winter.variants.iter().map(|one| variant(one, understood)).collect());
    super::versioned(SCHEMA, VERSION, top)
}

fn filling(plan: &FillPlan) -> Value {
    let by_source = plan.by_source.iter().map(|one| {
        let source = one.source.as_ref();
        json!({"source": source.map(|source| &source.name), "may_be_drawn": source.and_then(|source| source.may_be_drawn),
            "days": one.days, "lost_m3": one.lost_m3})
    });
    json!({"volume_m3": plan.volume_m3, "evaporation_mm_d": plan.evaporation_mm_d, "by_source": by_source.collect::<Vec<_>>()})
}

fn variant(one: &Variant, understood: &Understood) -> Value {
    let band = |band: season::answer::Band| json!({"low": band.low, "middle": band.middle, "high": band.high});
    let month = |flow: &MonthFlow| {
        json!({"month": format!("{}-{:02}", flow.month.0, flow.month.1), "animals_coins": flow.animals, "feed_coins": flow.feed,
            "catch_coins": flow.catch, "sold_coins": flow.sold})
    };
    let back = order(one.count, one.on, &understood.nursing);
    let fill = say::fill(understood, one);
    let fill_from = one.on.plus(-say::begins_before_d(fill.as_ref(), one.on.0 - back.fill_from.0));
    json!({
        "stock_on": one.on.to_string(), "per_ha": one.per_ha, "count": one.count, "warm_chance": one.warm_chance,
        "catch_on": one.catch_on.to_string(), "last_safe": one.last_safe.map(|day| day.to_string()), "cold_chance": one.cold_chance,
        "caught_kg": band(one.caught_kg), "mean_weight_g": band(one.mean_weight_g), "caught_share": band(one.survival),
        "mass_shares_lightest_first": one.mass_shares, "feed_kg": band(one.feed_kg), "net_coins": band(one.net_coins),
        "net_mean_coins": one.net_mean_coins, "loss_chance": one.loss_chance, "laid_out_coins": one.laid_out_coins,
        "within_limits": one.is_within, "months": one.months.iter().map(month).collect::<Vec<_>>(),
        "order": {"postlarvae": back.postlarvae, "arrive": back.arrive.to_string(), "filter_from": back.filter_from.to_string(),
            "fill_from": fill_from.to_string(), "substrate_m2": back.substrate_m2, "tank_m3": back.tank_m3, "heated_weeks": back.heated_weeks},
        "filling": fill.as_ref().map(filling),
    })
}
