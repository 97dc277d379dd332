//! `warmspell trace`: a lot both ways from the record, as the page tells it; and as files.

use std::path::{Path, PathBuf};

use clap::Args;
use season::trace::Traced;
use units::Instant;
use words::page_trace as say;

use super::Told;
use super::of_morning::MorningArgs;
use super::plan::from_record::{facts_of, record_at};

/// A lot both ways: where it comes from and who has it; a list to call from, a file of the open standard GS1 EPCIS 2.0
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct TraceArgs {
    /// The lot, or what a reader gives; all lots when left out
    #[arg(value_name = "LOT")]
    lot: Option<String>,
    /// The record
    #[arg(long, value_name = "FILE")]
    store: PathBuf,
    /// A farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", conflicts_with = "farm")]
    of: Option<String>,
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// Your GS1 number for the item, for the file of events
    #[arg(long, value_name = "GTIN")]
    item: Option<String>,
    /// Write the events to a file
    #[arg(long, value_name = "FILE")]
    epcis: Option<PathBuf>,
    /// Write the recall list to a file, to be printed (PDF)
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
}

const EXAMPLES: &str = "Examples:
  warmspell trace --store farm.db
  warmspell trace QUARRY-111004-B --store farm.db --pdf recall.pdf --epcis lot.jsonld";

/// Answers on the command line.
pub fn run(args: &TraceArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &TraceArgs, now: Instant) -> Result<Told, String> {
    let plan =
        MorningArgs { of: args.of.clone(), farm: args.farm.clone(), members: 16, seed: 1, ..MorningArgs::default() };
    let record = record_at(&args.store)?;
    let facts = facts_of(&plan, &record, now)?;
    let text = args.lot.as_deref().unwrap_or_default();
    let found = web::pages::trace::traced(&record, &facts, text)
        .map_err(|error| words::store::error(record.store().path(), &error))?;
    match found {
        Traced::Nothing { lots } => Ok(Told::answer(say::lots_text(&lots), Vec::new())),
        Traced::Unknown { lot, near } => {
            Ok(Told { answer: say::unknown_text(&lot, &near), notes: Vec::new(), code: 1 })
        }
        Traced::Found(found) => {
            // As on the page: the farm's own morning, where its description names one.
            let now = web::pages::trace::now(&facts, now);
            let mut notes = Vec::new();
            if let Some(path) = &args.epcis {
                let item = args.item.as_deref().map(season::books::gs1::gtin).transpose();
                let item = item.map_err(|error| words::page_labels::of_number(&error))?;
                let events = web::pages::trace::events(&found, &facts, item.as_deref(), now);
                notes.push(written(path, events.as_bytes())?);
            }
            if let Some(path) = &args.pdf {
                let paper = web::prints::recall(&facts.farm, &found, now, facts.manner);
                let bytes = paper.pdf().map_err(|_| words::page_print::NOT_MADE.to_owned())?;
                notes.push(written(path, &bytes)?);
            }
            Ok(Told::answer(say::text(&found, &facts.farm, now, facts.manner), notes))
        }
    }
}

fn written(path: &Path, bytes: &[u8]) -> Result<String, String> {
    std::fs::write(path, bytes).map_err(|error| words::page_print::not_written(path, &error.to_string()))?;
    Ok(words::page_print::written(path).trim_end().to_owned())
}
