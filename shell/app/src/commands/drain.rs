//! `warmspell drain`: when to open a pond's drain and start its pumps, and what the water does on the way.

use clap::Args;
use season::drain::drain;
use season::drain::question::understand;
use season::{answer_from, draw};
use units::{Instant, Watch};
use words::drain as say;

use super::Told;
use super::one_pond::OnePondArgs;
use crate::waiting::with_progress;

mod as_json;

/// When to open a pond's drain and start its pumps, what stands where at which hour, and how warm it stays
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct DrainArgs {
    #[command(flatten)]
    one: OnePondArgs,
}

const EXAMPLES: &str = "Examples:
  warmspell drain Quarry
  warmspell drain Quarry day=2011-10-03 seine=3h
  warmspell drain Heron outlet_water='5 ft' extra='60 m3/h'
  warmspell drain Quarry outlet_water='1 ft at 4:00, 2 ft at 10:00'
  warmspell drain Lower --on 2011-09-28 pumps=1 --json";

/// Answers on the command line.
pub fn run(args: &DrainArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &DrainArgs, now: Instant) -> Result<Told, String> {
    if args.one.ask {
        return Ok(Told::answer(say::questions(), Vec::new()));
    }
    let ((text, is_no), remarks) = args.one.answered(now, |asked, remarks| {
        let card = &asked.morning.farm.ponds[asked.pond];
        let (wish, given) = understand(card, asked.morning.on, &asked.typed).map_err(|slips| say::slips(&slips))?;
        remarks.extend(words::sums::unusual(&given));
        let found = with_progress("letting the water down", |watch: &Watch| {
            let outlook = |error| words::trouble::outlook(&error);
            let drawn = draw(asked.morning, watch).map_err(outlook)?;
            let morning = answer_from(asked.morning, &drawn, watch).map_err(outlook)?;
            drain(asked.morning, &drawn, &morning, asked.pond, &wish, watch)
                .map_err(|error| say::error(&error, &card.name))
        })?;
        let text = if args.one.json { as_json::drain(&found) } else { say::page(&found, asked.manner) };
        Ok((text, !found.opening.short.is_empty()))
    })?;
    Ok(Told { code: u8::from(is_no), ..Told::answer(text, remarks) })
}
