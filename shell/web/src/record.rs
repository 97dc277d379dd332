//! The season's record as the pages reach it: the store, and the clock that the program was started with.

use std::collections::BTreeMap;

use farm::facts::{
    BEFORE_STOCKING_D, Fact, Happened, Kept, LOT_DAY_KINDS, LOT_KINDS, current, farm_said, lay_lots, newest_form,
    weighed,
};
use farm::logger::hourly;
use farm::{AlongPond, OxygenRead, read_farm};
use season::OutlookError;
use season::answer::Outlook;
use season::weather::{HourlyForm, IssuedForecast, Read, Weather, read_any};
use store::{ALWAYS, Asked, At, Exchange, FarmRow, Insert, Quantity, Store, StoreError};
use units::{Instant, Watch};

use crate::bench::{Bench, Candidates};
use crate::keeping;
use crate::looked::Looked;
use crate::lots;
use crate::scored::Remembered;
use crate::served::{Described, Served};
use crate::shipped::{Shipped, file_of};
use crate::who;

/// Facts of a kind that are looked at for the last one that holds, or can be read.
const LATEST: u32 = 12;

/// The store, and now in ms since 1970.
pub struct Record {
    store: Store,
    clock: fn() -> i64,
    bench: Bench,
    candidates: Candidates,
    remembered: Remembered,
    looked: Looked,
    told: lots::Remembered,
}

impl Record {
    /// An open store and a clock.
    pub fn new(store: Store, clock: fn() -> i64) -> Record {
        Record {
            store,
            clock,
            bench: Bench::default(),
            candidates: Candidates::default(),
            remembered: Remembered::default(),
            looked: Looked::default(),
            told: lots::Remembered::default(),
        }
    }
    /// The store. Its calls wait for the disk: from a page, call it within [`waiting`].
    pub fn store(&self) -> &Store {
        &self.store
    }
    /// Files that were brought in and are not taken yet.
    pub fn bench(&self) -> &Bench {
        &self.bench
    }
    /// Backups that wait for a person's second step.
    pub fn candidates(&self) -> &Candidates {
        &self.candidates
    }
    /// Scores that were counted before.
    pub fn remembered(&self) -> &Remembered {
        &self.remembered
    }
    /// What was told of the seasons before.
    pub fn told(&self) -> &lots::Remembered {
        &self.told
    }
    /// What the last look through the whole file found.
    pub fn looked(&self) -> &Looked {
        &self.looked
    }
    /// The clock it was started with.
    pub fn clock(&self) -> fn() -> i64 {
        self.clock
    }
    /// Now, ms since 1970.
    pub fn now_ms(&self) -> i64 {
        (self.clock)()
    }

    /// Makes the farm known to the store, and lays into it what was recorded.
    ///
    /// # Errors
    /// When the store cannot be used.
    pub fn laid_into(&self, written: &Served, shipped: Option<&Shipped>) -> Result<Served, StoreError> {
        let row = FarmRow {
            id: written.id.clone(),
            name: written.farm.name.clone(),
            made_ms: self.now_ms(),
            is_sample: written.is_sample,
        };
        self.store.keep_farm(&row)?;
        let files = self.own(&written.id)?;
        let mut own = self.own_file(written, &files, shipped);
        // What is dated ahead says nothing yet: a mistyped day must not empty a pond or end a season.
        let mut lots = self.of_lots(&written.id)?;
        // Of the harvest days, those of what is in the ponds or came out last: a record holds thousands of older baskets.
        let stocked = own.farm.ponds.iter().map(|pond| pond.stocking.on).min();
        let from = stocked.map(|day| own.farm.place.zone.instant(day, 0));
        lots.extend(self.of_lot_days(&written.id, from)?);
        lots.sort_by_key(|kept| kept.seq);
        let today = if own.follows_clock { Served::today(&own.farm, self.now_ms()) } else { own.on };
        let tomorrow = own.farm.place.zone.instant(today.plus(1), 0);
        lots.retain(|kept| kept.fact.happened.at < tomorrow || kept.fact.kind == "season");
        lay_lots(&mut own.farm, farm_said(&files).map_or(0, |(seq, _)| seq), &lots);
        // Every file that was taken tells of its own season's crops.
        own.farm.crops = weighed(&lots::told(self, written)?.lots);
        let mut served = with_facts(&own, &self.of_season(&own)?);
        self.lay_loggers(&mut served)?;
        if served.is_over(self.now_ms()) {
            served.on = Served::today(&served.farm, self.now_ms());
        }
        Ok(served)
    }

    /// A morning's answer as its page gives it, from facts that were laid in before.
    ///
    /// # Errors
    /// Whatever `season` refuses.
    pub fn answer(&self, facts: &Served, watch: &Watch) -> Result<Outlook, OutlookError> {
        facts.reckon(None, keeping::yesterday(self, facts).as_ref(), watch).map(|(outlook, _)| outlook)
    }

    /// What was entered of animals going into the ponds and coming out, and of seasons, from the first on: it is little.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn of_lots(&self, farm: &str) -> Result<Vec<Kept>, StoreError> {
        let mut facts = Vec::new();
        for kind in LOT_KINDS {
            facts.extend(self.store.facts_linked(farm, Asked { kind: Some(kind), ..Asked::default() })?);
        }
        facts.sort_by_key(|kept| kept.seq);
        Ok(facts)
    }

    /// Baskets and closes of harvest days from a moment on, in order of number.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn of_lot_days(&self, farm: &str, from: Option<Instant>) -> Result<Vec<Kept>, StoreError> {
        let mut facts = Vec::new();
        for kind in LOT_DAY_KINDS {
            facts.extend(self.store.facts_linked(farm, Asked { kind: Some(kind), from, ..Asked::default() })?);
        }
        facts.sort_by_key(|kept| kept.seq);
        Ok(facts)
    }

    /// Whether a basket, a close, or a person's choice between two of them came after a number.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn has_lot_days_after(&self, farm: &str, seq: i64) -> Result<bool, StoreError> {
        for kind in LOT_DAY_KINDS.into_iter().chain(["settle"]) {
            let asked = Asked { kind: Some(kind), after_seq: Some(seq), last: Some(1), ..Asked::default() };
            if !self.store.facts_where(farm, asked)?.is_empty() {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// What was entered of the ponds as they now stand, and the last forecasts: no more, since a record grows for many seasons.
    fn of_season(&self, served: &Served) -> Result<Vec<Kept>, StoreError> {
        let farm = &served.farm;
        let from = farm.ponds.iter().map(|pond| pond.stocking.on.plus(-BEFORE_STOCKING_D)).min();
        let from = from.map(|day| farm.place.zone.instant(day, 0));
        let mut facts = Vec::new();
        for kind in ["reading", "sample", "deaths", "overflow", "feed", "chore", "watch"] {
            facts.extend(self.store.facts_linked(&served.id, Asked { kind: Some(kind), from, ..Asked::default() })?);
        }
        // One that cannot be read or was struck out leaves the last good one, so a few are looked at.
        for kind in ["forecast", "plan_accepted"] {
            let last = Asked { kind: Some(kind), last: Some(LATEST), ..Asked::default() };
            facts.extend(self.store.facts_linked(&served.id, last)?);
        }
        facts.sort_by_key(|kept| kept.seq);
        Ok(facts)
    }

    /// Lays the loggers' temperatures and oxygen into the ponds, an hour's nearest reading for each hour, from a week before stocking on.
    fn lay_loggers(&self, served: &mut Served) -> Result<(), StoreError> {
        let zone = served.farm.place.zone.clone();
        for spot in self.store.logged_spots(&served.id)? {
            let pond = served.farm.ponds.iter_mut().find(|pond| pond.id == spot.pond);
            let (Some(pond), Quantity::Temperature | Quantity::Oxygen) = (pond, spot.quantity) else { continue };
            let from = zone.instant(pond.stocking.on.plus(-BEFORE_STOCKING_D), 0);
            let at = At {
                farm: &served.id,
                pond: &spot.pond,
                quantity: spot.quantity,
                place: &spot.place,
                depth_m: spot.depth_m,
            };
            let rows = self.store.readings(at, (from, ALWAYS.1))?;
            let place = match spot.place.as_str() {
                "shallow" => AlongPond::Shallow,
                "middle" => AlongPond::Middle,
                _ => AlongPond::Deep,
            };
            let hours = hourly(&rows, place, spot.depth_m);
            if spot.quantity == Quantity::Oxygen {
                let read = |hour: farm::Reading| OxygenRead { at: hour.at, mg_l: hour.temp_c, depth_m: hour.depth_m };
                pond.oxygen.extend(hours.into_iter().map(read));
                pond.oxygen.sort_by_key(|read| read.at);
            } else {
                pond.readings.extend(hours);
                pond.readings.sort_by_key(|reading| reading.at);
            }
        }
        Ok(())
    }

    /// The farm as its own recorded file says, if there is one that can be used; else as it was written.
    fn own_file(&self, written: &Served, facts: &[Kept], shipped: Option<&Shipped>) -> Served {
        let Some(text) = farm::facts::farm_text(facts) else { return written.clone() };
        let past = |name: &str| file_of(facts, name).unwrap_or(name).to_owned();
        let is_same = |at: &Described| at.text == text && at.past == past(&written.farm.weather.history);
        if written.text.as_ref().is_some_and(is_same) {
            return written.clone();
        }
        let Ok(farm) = read_farm(text) else { return written.clone() };
        match shipped.map(|shipped| self.tried(&written.id, text, farm.clone(), facts, shipped)) {
            Some(Ok(opened)) => Served { is_sample: written.is_sample, forecast: written.forecast.clone(), ..opened },
            // Its past stands in a file beside the farm's own: the one it was started with goes on.
            _ => Served { farm, ..written.clone() },
        }
    }

    /// Records something done on this machine: kind, fields as typed, and the id under which sending it again is safe.
    ///
    /// # Errors
    /// When it could not be put on the disk.
    pub fn write(
        &self,
        facts: &Served,
        id: &str,
        kind: &str,
        typed: BTreeMap<String, String>,
    ) -> Result<Insert, StoreError> {
        let mut fact = self.begun(facts, id, kind);
        fact.typed = typed;
        self.keep(fact)
    }

    /// A fact begun on this machine at this moment; its fields are still to come.
    pub fn begun(&self, facts: &Served, id: &str, kind: &str) -> Fact {
        let now_ms = self.now_ms();
        let at = Instant(now_ms.div_euclid(1000));
        let who = who::now();
        Fact {
            id: id.to_owned(),
            farm: facts.id.clone(),
            device: who.device,
            person: who.person,
            kind: kind.to_owned(),
            form: newest_form(kind).map_or(1, |form| form.version),
            happened: Happened { at, offset_s: facts.farm.place.zone.offset_s(at) },
            typed_ms: now_ms,
            corrects: None,
            typed: BTreeMap::new(),
            values: BTreeMap::new(),
        }
    }

    /// An exchange with this machine itself.
    pub fn exchange(&self) -> Exchange<'static> {
        let now_ms = self.now_ms();
        Exchange { device: who::DEVICE_HERE, now_ms, device_ms: Some(now_ms) }
    }

    /// Keeps a fact begun here.
    ///
    /// # Errors
    /// When it could not be put on the disk.
    pub fn keep(&self, mut fact: Fact) -> Result<Insert, StoreError> {
        fact.read();
        let (device, now_ms) = (fact.device.clone(), self.now_ms());
        // A form filled in on a phone was begun by this machine's clock: it tells nothing of the phone's.
        let device_ms = (device == who::DEVICE_HERE).then_some(now_ms);
        let exchange = Exchange { device: &device, now_ms, device_ms };
        let mut answers = self.store.insert(std::slice::from_ref(&fact), exchange)?;
        Ok(answers.remove(0))
    }

    /// Keeps many facts begun here: all of them or none.
    ///
    /// # Errors
    /// When they could not be put on the disk.
    pub fn keep_all(&self, mut facts: Vec<Fact>) -> Result<(), StoreError> {
        facts.iter_mut().for_each(|fact| drop(fact.read()));
        let Some(device) = facts.first().map(|fact| fact.device.clone()) else { return Ok(()) };
        let now_ms = self.now_ms();
        let device_ms = (device == who::DEVICE_HERE).then_some(now_ms);
        self.store.insert(&facts, Exchange { device: &device, now_ms, device_ms }).map(drop)
    }

    /// For reading: people stand in facts by their id; here by their name.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn with_names(&self, farm: &str, facts: &mut [Kept]) -> Result<(), StoreError> {
        let people = self.store.people(farm)?;
        for kept in facts {
            if let Some(person) = people.iter().find(|person| person.id == kept.fact.person) {
                kept.fact.person.clone_from(&person.name);
            }
        }
        Ok(())
    }

    /// The last entry of a kind that holds.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn last(&self, farm: &str, kind: &str) -> Result<Option<Kept>, StoreError> {
        let asked = Asked { kind: Some(kind), last: Some(LATEST), ..Asked::default() };
        let all = self.store.facts_linked(farm, asked)?;
        Ok(current(&all).iter().filter_map(|entry| entry.settled()).max_by_key(|kept| kept.seq).cloned())
    }
}

/// Runs a call that waits for the disk, so that other pages do not wait with it.
pub fn waiting<T>(call: impl FnOnce() -> T) -> T {
    tokio::task::block_in_place(call)
}

/// The farm with readings, samples and the last forecast laid in.
fn with_facts(written: &Served, facts: &[Kept]) -> Served {
    let mut served = written.clone();
    served.farm = farm::facts::apply(&served.farm, facts);
    let last =
        current(facts).iter().filter_map(|entry| entry.settled()).rfind(|kept| kept.fact.kind == "forecast").cloned();
    // One that cannot be read, by whatever way it came, leaves the last good one.
    if let Some(forecast) = last.and_then(|kept| Some(forecast_in(&served, kept.fact.text("text")?).ok()?.value)) {
        served.forecast = Some(forecast);
    }
    served
}

/// A forecast from the text of its file, with what was odd in it.
///
/// # Errors
/// Why it cannot be read, in words; `None` when it is weather of another kind.
pub fn forecast_in(served: &Served, text: &str) -> Result<Read<IssuedForecast>, Option<String>> {
    let zone = &served.farm.place.zone;
    let form = HourlyForm { zone: Some(zone.clone()), label: None };
    let read = read_any(text.as_bytes(), "forecast", &form);
    let read = read.map_err(|refusal| Some(words::weather::refusal(&refusal, zone)))?.1;
    match read.value {
        Weather::Forecast(value) => Ok(Read { value, findings: read.findings }),
        _ => Err(None),
    }
}
