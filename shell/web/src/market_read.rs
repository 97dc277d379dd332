//! What the record holds of buyers and sales, and what the harvest days supply.

use std::collections::BTreeSet;

use farm::facts::market::{MARKET_KINDS, Market, Supply, market, supply};
use farm::facts::{BEFORE_STOCKING_D, Kept, LiveTank, Pack, current, harvest_day, live_tanks, packs, working_day_of};
use store::{Asked, StoreError};
use units::{Day, Instant};

use crate::record::Record;
use crate::served::Served;

/// The season's market, with the entries it was made of.
pub struct Known {
    /// Entries of the market.
    pub entries: Vec<Kept>,
    /// What they make.
    pub market: Market,
    /// Packs of the season.
    pub packs: Vec<Pack>,
    /// What the harvest days' balance supplies.
    pub supply: Supply,
    /// Live tanks with animals in them; some are held.
    pub tanks: Vec<LiveTank>,
}

/// Days before the first stocking from which orders are read: buyers ask early.
const EARLY_D: i32 = 120;
/// Days before the first stocking from which packs are read: as long as anything frozen is sold.
const FROZEN_D: i32 = 550;

impl Known {
    /// Reads it.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn read(record: &Record, facts: &Served) -> Result<Known, StoreError> {
        let zone = &facts.farm.place.zone;
        let stocked = facts.farm.ponds.iter().map(|card| card.stocking.on).min().unwrap_or(facts.on);
        let of = |kinds: &[&str], from: Day| -> Result<Vec<Kept>, StoreError> {
            let from = Some(zone.instant(from, 0));
            let mut all = Vec::new();
            for kind in kinds {
                let asked = Asked { kind: Some(kind), from, ..Asked::default() };
                all.extend(record.store().facts_linked(&facts.id, asked)?);
            }
            all.sort_by_key(|kept| kept.seq);
            Ok(all)
        };
        let mut entries = of(&MARKET_KINDS, stocked.plus(-EARLY_D))?;
        record.with_names(&facts.id, &mut entries)?;
        let harvest = of(&["basket", "moved", "cold"], stocked.plus(-BEFORE_STOCKING_D))?;
        // What was frozen a season ago may be on a table today.
        let packed = of(&["pack"], stocked.plus(-FROZEN_D))?;
        let catches = of(&["catch"], stocked.plus(-BEFORE_STOCKING_D))?;
        let (supply, tanks) = supplied(facts, &harvest, &catches);
        Ok(Known {
            supply,
            tanks,
            packs: packs(&packed, zone),
            market: market(&entries, &facts.farm.currency),
            entries,
        })
    }
}

impl Record {
    /// The season's buyers and sales.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn market(&self, facts: &Served) -> Result<Market, StoreError> {
        Known::read(self, facts).map(|known| known.market)
    }
}

/// What baskets and moves supply, less what is held, and the live tanks; a pond's catch entered by its weight alone counts where no basket of that pond was weighed.
fn supplied(facts: &Served, harvest: &[Kept], catches: &[Kept]) -> (Supply, Vec<LiveTank>) {
    let zone = &facts.farm.place.zone;
    let days: BTreeSet<Day> = harvest.iter().map(|kept| working_day_of(kept.fact.happened.at, zone)).collect();
    let records: Vec<_> = days.iter().map(|day| harvest_day(harvest, zone, *day, None)).collect();
    let weighed: BTreeSet<&str> =
        records.iter().flat_map(|day| &day.baskets).filter_map(|basket| basket.written.pond.as_deref()).collect();
    let unsorted: Vec<(Instant, f64)> = current(catches)
        .iter()
        .filter_map(|entry| entry.settled())
        .filter(|kept| kept.fact.pond().is_none_or(|pond| !weighed.contains(pond)))
        .filter_map(|kept| Some((kept.fact.happened.at, *kept.fact.values.get("caught")?)))
        .collect();
    let cold = &facts.farm.cold;
    let most_kg = Some(cold.live_tank_m3 * cold.live_kg_m3).filter(|kg| cold.live_tanks > 0 && *kg > 0.0);
    let tanks = live_tanks(&records, most_kg);
    (supply(&records, &unsorted).holding(&tanks), tanks)
}
