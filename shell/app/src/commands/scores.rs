//! `warmspell scores`: how good the kept mornings were, as the page says it; or every kept figure beside the reading that came.

use std::path::PathBuf;

use clap::Args;
use season::scores::{ChanceScore, LeadScore};
use serde_json::{Value, json};
use store::{ForecastRow, Spoken, StoreError, csv_text};
use units::{Instant, Zone};
use web::scored::{self, Scored, Stretch, Wanted};
use words::figures::Manner;
use words::{page_scores as say, store as store_say};

use super::logger::farm_of;
use super::{Told, record, versioned};

/// How good the mornings' forecasts were, held against the thermometer.
#[derive(Debug, Args)]
#[command(after_help = AFTER)]
pub struct ScoresArgs {
    /// The farm's file; the record's first farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// The record; warmspell.db in your data folder when left out
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// Which mornings: a season's short name, this (since stocking, where no season was recorded) or all
    #[arg(long, value_name = "SEASON")]
    season: Option<String>,
    /// One pond alone: its short name or its name
    #[arg(long, value_name = "POND")]
    pond: Option<String>,
    /// Print in degrees Celsius
    #[arg(long)]
    metric: bool,
    /// Print the answer for a program
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print every kept figure with the reading that came, as a table
    #[arg(long)]
    csv: bool,
}

const AFTER: &str = "Examples:
  warmspell scores
  warmspell scores --farm FARM.toml --season all --json
  warmspell scores --csv > kept.csv

A morning's forecast is kept while the pages are served (warmspell serve). What is counted, and how, stands in docs/model/calls.md.";

/// Answers on the command line.
pub fn run(args: &ScoresArgs, now_ms: i64) -> Told {
    answer(args, now_ms).unwrap_or_else(Told::could_not)
}

fn answer(args: &ScoresArgs, now_ms: i64) -> Result<Told, String> {
    let path = args.store.clone().or_else(record::usual_place).ok_or_else(|| store_say::no_home().to_owned())?;
    let store = record::existing(&path, now_ms)?;
    let failed = |error: StoreError| store_say::error(&path, &error);
    let known: Vec<String> = store.farms().map_err(failed)?.into_iter().map(|row| row.id).collect();
    if let (Some(file), true) = (&args.farm, known.is_empty()) {
        return Err(say::no_farm(&file.display().to_string(), &known));
    }
    let (row, farm) = farm_of(&store, args.farm.as_deref())?;
    let pond = match &args.pond {
        None => None,
        Some(typed) => {
            let card = farm.ponds.iter().find(|card| card.id == *typed || card.name.eq_ignore_ascii_case(typed));
            let names: Vec<&str> = farm.ponds.iter().map(|card| card.name.as_str()).collect();
            Some(card.ok_or_else(|| words::log_command::no_such_pond(typed, &names))?.id.as_str())
        }
    };
    let stretches = scored::stretches(&store, &row.id, &farm).map_err(failed)?;
    let keys = || stretches.iter().map(|stretch| stretch.key.clone()).collect::<Vec<_>>();
    let stretch = match &args.season {
        None => &stretches[0],
        Some(named) => {
            let found = stretches.iter().find(|stretch| stretch.key == *named || stretch.name.as_ref() == Some(named));
            found.ok_or_else(|| say::no_stretch(named, &keys()))?
        }
    };
    let wanted = Wanted { farm_id: &row.id, farm: &farm, stretch, pond };
    let found = scored::scored(&store, wanted).map_err(failed)?;
    let text = if args.csv {
        as_csv(&row.id, &found)
    } else if args.json {
        as_json(&row.id, pond, stretch, &found)
    } else {
        let manner = if args.metric { Manner::Metric } else { Manner::UsCustomary };
        let name = match (&stretch.name, stretch.key.as_str()) {
            (Some(name), _) => name,
            (None, scored::ALL) => say::ALL,
            (None, _) => say::SINCE_STOCKING,
        };
        say::told(&row.name, name, &found.scores, found.mornings.len(), manner)
    };
    Ok(Told::answer(text, Vec::new()))
}

fn lead(of: &LeadScore) -> Value {
    let beside = of.beside.map(
        |beside| json!({ "count": beside.count, "missed_k": beside.off_k, "stayed_missed_k": beside.stayed_off_k }),
    );
    json!({
        "lead_days": of.lead_days, "count": of.count, "missed_k": of.off_k, "too_warm_k": of.too_warm_k, "within": of.within,
        "colder": of.colder, "warmer": of.warmer, "quantile_loss_k": of.loss_k, "beside": beside,
    })
}

fn chance(of: &ChanceScore) -> Value {
    json!({ "above": of.above, "up_to": of.up_to, "count": of.count, "called": of.called, "came": of.came })
}

fn as_json(farm: &str, pond: Option<&str>, stretch: &Stretch, found: &Scored) -> String {
    let scores = &found.scores;
    let rest = json!({
        "farm": farm, "pond": pond, "season": stretch.key, "mornings_kept": found.mornings.len(), "dawns_called": found.called,
        "pairs": scores.count, "mornings": scores.mornings, "dawns_read": scores.dawns, "enough": scores.are_enough(),
        "leads": scores.leads.iter().map(lead).collect::<Vec<_>>(),
        "chances": scores.chances.iter().map(chance).collect::<Vec<_>>(),
        "brier": scores.brier, "brier_of_share": scores.brier_of_share,
    });
    versioned("warmspell.scores", 1, rest.as_object().cloned().unwrap_or_default())
}

fn as_csv(farm: &str, found: &Scored) -> String {
    let zone = Zone::utc();
    let line = |(row, came_c): &(ForecastRow, Option<f64>)| {
        let (what, level) = match row.says {
            Spoken::Quantile(level) => ("quantile", level),
            Spoken::Chance(level) => ("chance", level),
        };
        [
            csv_text(farm),
            zone.stamp(Instant(row.made_ms.div_euclid(1000))),
            csv_text(&row.program),
            row.seed.to_string(),
            csv_text(&row.pond),
            csv_text(&row.place),
            row.depth_m.to_string(),
            zone.stamp(row.at),
            what.to_owned(),
            level.to_string(),
            row.value.to_string(),
            came_c.map(|c| c.to_string()).unwrap_or_default(),
        ]
        .join(",")
    };
    let head = "farm,made_utc,program,seed,pond,place,depth_m,at_utc,what,level,value,came_c".to_owned();
    let lines: Vec<String> = [head].into_iter().chain(found.rows.iter().map(line)).collect();
    format!("{}\n", lines.join("\n"))
}

#[cfg(test)]
mod tests;
