//! The morning as the pages give it: the same farm and the same record, the same answer.

use std::path::Path;

use season::OutlookError;
use season::farm::facts::market::Market;
use season::promised::Stock;
use store::{Opening, Store};
use units::{Instant, Watch};
use web::{NotOpened, Record, Served};

use super::{PlanArgs, said};
use crate::commands::Told;
use crate::commands::of_morning::MorningArgs;
use crate::commands::serve::{self, ServeArgs};
use crate::files;
use crate::waiting::with_progress;

/// The answer from the record at `path`.
pub fn answer(args: &PlanArgs, path: &Path, now: Instant) -> Result<Told, String> {
    let record = record_at(path)?;
    let facts = facts_of(&args.of, &record, now)?;
    let outlook = with_progress("weighing the coming weeks", |watch: &Watch| record.answer(&facts, watch))
        .map_err(|error| words::trouble::outlook(&error))?;
    Ok(Told::answer(said(args, &outlook, facts.manner), Vec::new()))
}

/// The record at `path`, which must be there.
pub fn record_at(path: &Path) -> Result<Record, String> {
    let store = Store::open_with(path, crate::now_ms(), Opening { make: false, ..Opening::default() })
        .map_err(|error| words::store::error(path, &error))?;
    Ok(Record::new(store, crate::now_ms))
}

/// The record at `path`, the farm as its file says, and the farm with all that the record holds of it.
pub fn opened_at(args: &MorningArgs, path: &Path, now: Instant) -> Result<(Record, Served, Served), String> {
    let record = record_at(path)?;
    let (written, facts) = both(args, &record, now)?;
    Ok((record, written, facts))
}

/// The same, with the season's buyers and sales.
pub fn with_market(args: &MorningArgs, path: &Path, now: Instant) -> Result<(Served, Market, Vec<Stock>), String> {
    let record = record_at(path)?;
    let facts = facts_of(args, &record, now)?;
    let (market, stocks) = record.market(&facts).map_err(|error| words::store::error(path, &error))?;
    Ok((facts, market, stocks))
}

/// The farm with all that the record holds of it.
pub fn facts_of(args: &MorningArgs, record: &Record, now: Instant) -> Result<Served, String> {
    both(args, record, now).map(|(_, facts)| facts)
}

fn both(args: &MorningArgs, record: &Record, now: Instant) -> Result<(Served, Served), String> {
    let as_served = ServeArgs {
        on: args.on.clone(),
        members: args.members,
        seed: args.seed,
        metric: args.metric,
        ..ServeArgs::default()
    };
    let trouble = |error: store::StoreError| words::store::error(record.store().path(), &error);
    let shipped = serve::shipped(&as_served)?;
    let written = match &args.of {
        Some(id) => record.opened(id, &shipped).map_err(|why| not_opened(id, record, why))?,
        None => {
            let zone = files::farm(args.farm.as_deref())?.farm.place.zone;
            serve::served(&as_served, args.farm.as_ref(), zone.day_and_second(now).0)?
        }
    };
    let mut facts = record.laid_into(&written, Some(&shipped)).map_err(trouble)?;
    if let Some(path) = &args.forecast {
        let read = files::farm(args.farm.as_deref())?;
        facts.forecast = Some(read.forecast_at(path, &mut Vec::new())?);
    }
    facts.now_hour = args.now.unwrap_or(facts.now_hour);
    Ok((written, facts))
}

fn not_opened(id: &str, record: &Record, why: NotOpened) -> String {
    match why {
        NotOpened::Store(error) => words::store::error(record.store().path(), &error),
        NotOpened::NotDescribed => words::trouble::no_such_farm(id),
        NotOpened::Past(error) => words::trouble::outlook(&OutlookError::Past(error)),
        _ => words::trouble::farm_not_opened(id),
    }
}
