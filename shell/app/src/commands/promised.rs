//! `warmspell promised`: what is promised to buyers against what the coming catches will likely yield, and what may yet be promised.

use clap::Args;
use season::farm::facts::market::Market;
use season::promised::{Buyer, Lot, Promised, Stock, buyers, promised};
use season::{MorningAsk, answer_from, draw};
use serde_json::{Map, Value, json};
use units::{Instant, Watch};
use words::figures::Manner;

use super::of_morning::MorningArgs;
use super::plan::from_record;
use super::{Told, versioned};
use crate::waiting::with_progress;

/// What is promised to buyers against what the coming catches will likely yield, who may get less, and what may yet be promised
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct PromisedArgs {
    #[command(flatten)]
    of: MorningArgs,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "Examples:
  warmspell promised
  warmspell promised --store season.db --json

Standing buyers stand in the farm's file under [[buyer]]; orders of this once are written on the buyers' page.
The answer is no (exit code 1) when some firm order may come short more often than once in ten futures, or no planned day suits it.
The waiting list is promised nothing: it is served from what is left.";

/// Answers on the command line.
pub fn run(args: &PromisedArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &PromisedArgs, now: Instant) -> Result<Told, String> {
    args.of.looked_at()?;
    if let Some(path) = &args.of.store {
        let (facts, market, stocks) = from_record::with_market(&args.of, path, now)?;
        let manner = if args.of.metric { Manner::Metric } else { facts.manner };
        return told(args, &facts.ask(None), (&market, &stocks), manner);
    }
    let (told, remarks) =
        args.of.asked_of_files(now, |morning, manner, _| told(args, morning, (&Market::default(), &[]), manner))?;
    Ok(Told { notes: remarks, ..told })
}

fn told(
    args: &PromisedArgs,
    morning: &MorningAsk,
    (market, stocks): (&Market, &[Stock]),
    manner: Manner,
) -> Result<Told, String> {
    let wanted = buyers(morning.farm, market);
    let found = with_progress("sharing out the coming catches", |watch: &Watch| {
        let outlook = |error| words::trouble::outlook(&error);
        let drawn = draw(morning, watch).map_err(outlook)?;
        let outlook = answer_from(morning, &drawn, watch).map_err(outlook)?;
        Ok::<_, String>(promised(morning, &drawn, &outlook, &wanted, stocks))
    })?;
    let wanted = found.ice.rest.clone();
    let text = if args.json {
        as_json(&found, &wanted)
    } else {
        words::page_buyers::page(&found, &wanted, morning.farm, manner)
    };
    let is_short = !words::page_buyers::short(&found, &wanted).is_empty() || !found.without.is_empty();
    Ok(Told { code: u8::from(is_short), ..Told::answer(text, Vec::new()) })
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
    let lot = |lot: &Lot| {
        let given = lot.shares.iter().map(|share| {
            let buyer = &lot.buyers[share.buyer];
            json!({ "buyer": buyer.name, "form": buyer.good.sold_as.word(), "wanted": share.wanted, "gets": share.gets.middle })
        });
        json!({ "caught": lot.on.to_string(), "too_old_kg": lot.over_kg, "orders": given.collect::<Vec<_>>(),
            "left_kg": lot.caught.left.iter().map(|(.., kg)| kg).sum::<f64>(), "tails_left_kg": lot.caught.tails_left_kg })
    };
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
    rest.insert("on_ice".to_owned(), json!(found.ice.lots.iter().map(lot).collect::<Vec<_>>()));
    rest.insert("orders".to_owned(), json!(shares));
    rest.insert("without".to_owned(), json!(found.without.iter().map(|at| &wanted[*at].name).collect::<Vec<_>>()));
    rest.insert("may_be_promised".to_owned(), json!(free));
    versioned("warmspell.promised", 1, rest)
}
