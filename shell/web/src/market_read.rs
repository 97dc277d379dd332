//! What the record holds of buyers and sales, and what the harvest days supply.

use std::collections::{BTreeMap, BTreeSet};

use farm::facts::market::{MARKET_KINDS, Market, Supply, market, supply};
use farm::facts::{
    BEFORE_STOCKING_D, DayRecord, Kept, LiveTank, Pack, current, harvest_day, live_tanks, packs, working_day_of,
};
use season::promised::{Stock, hold, stocks};
use season::trace::{KnownLots, OddHanding};
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
    /// What is left of each day's catch.
    pub stocks: Vec<Stock>,
    /// Stock that was handed out under lots that lead nowhere.
    pub odd_lots: Vec<OddHanding>,
    /// The first basket of each lot.
    pub began: BTreeMap<String, Instant>,
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
        let mut market = market(&entries, &facts.farm.currency);
        market.counted_piece_kg = piece_kg(&harvest, zone);
        let supplied = supplied(facts, &harvest, &catches, &market);
        let Supplied { supply, stocks, tanks } = supplied;
        let packs = packs(&packed, zone);
        let caught: Vec<Kept> = harvest.iter().chain(&catches).cloned().collect();
        let lots = KnownLots::of(&facts.farm, &caught, &packs);
        let (odd_lots, began) = (lots.odd(&market, &tanks), lots.first_baskets());
        Ok(Known { packs, market, supply, stocks, tanks, odd_lots, began, entries })
    }
}

impl Record {
    /// The season's buyers and sales, and what is left of each day's catch.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn market(&self, facts: &Served) -> Result<(Market, Vec<Stock>), StoreError> {
        Known::read(self, facts).map(|known| (known.market, known.stocks))
    }
}

/// Mean weight of the animals that were counted in baskets of the season, kg.
fn piece_kg(harvest: &[Kept], zone: &units::Zone) -> Option<f64> {
    let days: BTreeSet<Day> = harvest.iter().map(|kept| working_day_of(kept.fact.happened.at, zone)).collect();
    let baskets = days.iter().flat_map(|day| harvest_day(harvest, zone, *day, None).baskets);
    let counted = baskets.filter_map(|basket| Some((basket.net_kg, basket.count.filter(|count| *count > 0.0)?)));
    let (kg, count) = counted.fold((0.0, 0.0), |(kg, count), (more_kg, more)| (kg + more_kg, count + more));
    (count > 0.0).then_some(kg / count)
}

struct Supplied {
    supply: Supply,
    stocks: Vec<Stock>,
    tanks: Vec<LiveTank>,
}

/// What baskets and moves supply, less what is held, and the live tanks; a pond's catch entered by its weight alone counts where no basket of that pond was weighed.
fn supplied(facts: &Served, harvest: &[Kept], catches: &[Kept], market: &Market) -> Supplied {
    let zone = &facts.farm.place.zone;
    let days: BTreeSet<Day> = harvest.iter().map(|kept| working_day_of(kept.fact.happened.at, zone)).collect();
    let dated: Vec<(Day, DayRecord)> = days.iter().map(|day| (*day, harvest_day(harvest, zone, *day, None))).collect();
    let baskets = dated.iter().flat_map(|(_, day)| &day.baskets);
    let weighed: BTreeSet<&str> = baskets.filter_map(|basket| basket.written.pond.as_deref()).collect();
    let unsorted: Vec<(Instant, f64)> = current(catches)
        .iter()
        .filter_map(|entry| entry.settled())
        .filter(|kept| kept.fact.pond().is_none_or(|pond| !weighed.contains(pond)))
        .filter_map(|kept| Some((kept.fact.happened.at, *kept.fact.values.get("caught")?)))
        .collect();
    let mut stocks = stocks(&dated, &unsorted, market, zone);
    let records: Vec<DayRecord> = dated.into_iter().map(|(_, record)| record).collect();
    let cold = &facts.farm.cold;
    let most_kg = Some(cold.live_tank_m3 * cold.live_kg_m3).filter(|kg| cold.live_tanks > 0 && *kg > 0.0);
    let tanks = live_tanks(&records, most_kg);
    let supply = supply(&records, &unsorted).holding(&tanks);
    hold(&mut stocks, supply.held_kg);
    Supplied { supply, stocks, tanks }
}
