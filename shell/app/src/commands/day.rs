//! `warmspell day`: the evening before, one pond's harvest day hour by hour.

use std::path::PathBuf;

use clap::Args;
use season::day::{DayWish, INPUTS, rehearse, understand};
use season::{answer_from, draw};
use units::{Instant, Watch};
use words::page_day as say;

use super::Told;
use super::one_pond::OnePondArgs;
use crate::waiting::with_progress;

mod as_json;

/// A pond's harvest day rehearsed: when it is done and what binds, who goes where, ice, what is due before
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct DayArgs {
    #[command(flatten)]
    one: OnePondArgs,
    /// Print it as a calendar file
    #[arg(long, conflicts_with = "json")]
    calendar: bool,
    /// Write the day's sheet to a file, to be printed (PDF)
    #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "calendar"])]
    pdf: Option<PathBuf>,
}

const EXAMPLES: &str = "Examples:
  warmspell day Willow
  warmspell day Willow day=2011-10-01 hands=5 start=6:30
  warmspell day Quarry fill='11 lb' ice='800 lb' --json
  warmspell day Willow --calendar > willow.ics
  warmspell day Willow --pdf willow.pdf";

/// Answers on the command line.
pub fn run(args: &DayArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &DayArgs, now: Instant) -> Result<Told, String> {
    if args.one.ask {
        return Ok(Told::answer(words::sums::questions(INPUTS), Vec::new()));
    }
    let (text, remarks) = args.one.answered(now, |asked, remarks| {
        let (wish, given) = understand(&asked.typed).map_err(|slips| {
            let said = slips.iter().map(|slip| format!("{}: {}", slip.name, words::sums::slip(slip)));
            said.collect::<Vec<_>>().join("\n")
        })?;
        remarks.extend(words::sums::unusual(&given));
        let wish = DayWish { live_orders: asked.live_orders.clone(), ..wish };
        let found = with_progress("rehearsing the day", |watch: &Watch| {
            let outlook = |error| words::trouble::outlook(&error);
            let drawn = draw(asked.morning, watch).map_err(outlook)?;
            let morning = answer_from(asked.morning, &drawn, watch).map_err(outlook)?;
            rehearse(asked.morning, &drawn, &morning, asked.pond, &wish).map_err(|error| say::trouble(&error))
        })?;
        let farm = asked.morning.farm;
        let waits = asked.waits(found.on);
        remarks.extend(waits.clone());
        if let Some(path) = &args.pdf {
            let paper = web::prints::day_sheet(farm, &found, waits.as_deref(), asked.manner);
            let bytes = paper.pdf().map_err(|_| words::page_print::NOT_MADE.to_owned())?;
            std::fs::write(path, bytes).map_err(|error| words::page_print::not_written(path, &error.to_string()))?;
            return Ok(words::page_print::written(path));
        }
        Ok(match (args.one.json, args.calendar) {
            (true, _) => as_json::sheet(&found),
            (_, true) => say::calendar(farm, &found, asked.manner, now),
            _ => say::page(farm, &found, asked.manner),
        })
    })?;
    Ok(Told::answer(text, remarks))
}
