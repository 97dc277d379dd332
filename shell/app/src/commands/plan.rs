//! `warmspell plan`: the morning's page for any farm and day; without a farm, for the sample that comes with the program.

use clap::Args;
use season::answer::Outlook;
use season::{MorningAsk, outlook};
use units::{Instant, Watch};
use words::figures::Manner;

use super::Told;
use super::of_morning::MorningArgs;
use crate::waiting::with_progress;

mod as_json;
pub(super) mod from_record;

/// Which pond comes out when, and what waiting costs.
#[derive(Debug, Default, Args)]
#[command(after_help = EXAMPLES)]
pub struct PlanArgs {
    #[command(flatten)]
    pub of: MorningArgs,
    /// Where many ponds share few hands: try dates until the best are proved, which can take many minutes
    #[arg(long, conflicts_with = "store")]
    pub until_proved: bool,
    /// Print the answer for a program
    #[arg(long)]
    pub json: bool,
}

const EXAMPLES: &str = "Examples:
  warmspell plan
  warmspell plan --farm FARM.toml --on 2020-09-20
  warmspell plan --farm FARM.toml --on 2020-09-20 --forecast forecast.csv --json
  warmspell plan --store warmspell.db --of hazel-bend

Without --store the farm file alone is read: nothing is then known of readings entered or plans accepted on the pages.

The farm file is described key by key in docs/farm-file.md.";

/// Answers on the command line.
pub fn run(args: &PlanArgs, now: Instant) -> Told {
    match answer(args, now) {
        Ok(told) => told,
        Err(why) => Told::could_not(why),
    }
}

fn answer(args: &PlanArgs, now: Instant) -> Result<Told, String> {
    args.of.looked_at()?;
    if let Some(path) = &args.of.store {
        return from_record::answer(args, path, now);
    }
    let (text, remarks) = args.of.asked_of_files(now, |morning, manner, _| {
        let question = MorningAsk { until_proved: args.until_proved, ..*morning };
        let found = with_progress("weighing the coming weeks", |watch: &Watch| outlook(&question, watch));
        Ok(said(args, &found.map_err(|error| words::trouble::outlook(&error))?, manner))
    })?;
    Ok(Told::answer(text, remarks))
}

fn said(args: &PlanArgs, outlook: &Outlook, manner: Manner) -> String {
    if args.json { as_json::outlook(outlook) } else { words::morning::page(outlook, manner) }
}
