//! Farms described on the pages: opened from their own recorded file, their past from a file that was brought or one that comes
//! with the program.

use std::sync::Arc;

use farm::facts::{Entry, Kept, current, farm_text};
use farm::reasons::Reason;
use farm::{Farm, read_farm};
use season::weather::{DailyRecord, DonorRecord, HourlyForm, Refusal, Weather, WeatherForm, read_any};
use season::{FarmPast, PastError};
use store::StoreError;
use units::Day;
use words::figures::Manner;

use crate::pages::distance_km;
use crate::record::Record;
use crate::served::{Described, Served};

/// The clock hour taken for now on a morning page.
const MORNING_HOUR: i32 = 7;
/// Before the name of a record that comes with the program, in a farm file's `weather.history`.
pub const SHIPPED: &str = "shipped:";

/// What the program brings along for farms described on its pages.
pub struct Shipped {
    /// Hours that are lent to daily records.
    pub donors: DonorRecord,
    /// Daily records of past years.
    pub pasts: Vec<ShippedPast>,
    /// Towns, as a table.
    pub places: &'static str,
    /// Seed of all draws.
    pub seed: u64,
    /// How many futures are weighed.
    pub members: usize,
    /// The morning, when it is not today.
    pub on: Option<Day>,
    /// Show metres whatever the farm is written in.
    pub is_metric: bool,
}

/// A daily record that comes with the program.
pub struct ShippedPast {
    /// Its name in a farm file, after `shipped:`.
    pub name: &'static str,
    /// Its file.
    pub bytes: &'static [u8],
    /// Degrees north.
    pub latitude_deg: f64,
    /// Degrees east.
    pub longitude_deg: f64,
}

/// Why a described farm cannot be opened.
#[derive(Debug)]
pub enum NotOpened {
    /// Nothing was recorded.
    NotDescribed,
    /// The farm file.
    Reasons(Vec<Reason>),
    /// No past of this name was brought, and none is shipped.
    NoPast(String),
    /// The past cannot be read.
    Weather(Refusal),
    /// It holds something else than daily lows and highs.
    WrongForm(WeatherForm),
    /// It is too short.
    Past(PastError),
    /// The record.
    Store(StoreError),
}

impl From<StoreError> for NotOpened {
    fn from(error: StoreError) -> NotOpened {
        NotOpened::Store(error)
    }
}

/// The digest of the file of this name that was brought last.
pub fn file_of<'a>(facts: &'a [Kept], name: &str) -> Option<&'a str> {
    let named = |kept: &&Kept| kept.fact.kind == "farm_file" && kept.fact.text("name") == Some(name);
    let last = facts.iter().filter(named).filter(|kept| !kept.fact.strikes()).max_by_key(|kept| kept.seq)?;
    last.fact.text("photo")
}

/// Whether the farm was put away and not back again.
pub fn is_away(facts: &[Kept]) -> bool {
    let entries = current(facts);
    let last = entries.iter().filter_map(Entry::settled).filter(|kept| kept.fact.kind == "farm_away");
    last.max_by_key(|kept| kept.seq).is_some_and(|kept| kept.fact.text("away") == Some("yes"))
}

impl Shipped {
    /// The morning that was named, for all farms or in this farm's file; never before its last pond was stocked, since there is nothing to
    /// harvest before.
    pub fn named(&self, farm: &Farm) -> Option<Day> {
        let named = self.on.or(farm.morning.as_ref().map(|morning| morning.on))?;
        Some(farm.ponds.iter().map(|pond| pond.stocking.on).fold(named, Day::max))
    }

    /// The shipped record named `shipped:...`.
    pub fn past(&self, history: &str) -> Option<&ShippedPast> {
        let name = history.strip_prefix(SHIPPED)?;
        self.pasts.iter().find(|past| past.name == name)
    }
}

/// Days of past lows and highs, from the file's bytes.
pub fn daily(bytes: &[u8], name: &str, farm: &Farm) -> Result<DailyRecord, NotOpened> {
    let form = HourlyForm { zone: Some(farm.place.zone.clone()), label: None };
    match read_any(bytes, name, &form).map_err(NotOpened::Weather)? {
        (_, read) if matches!(read.value, Weather::Daily(_)) => match read.value {
            Weather::Daily(record) => Ok(record),
            _ => Err(NotOpened::NotDescribed),
        },
        (form, _) => Err(NotOpened::WrongForm(form)),
    }
}

impl Record {
    /// Whether a farm file was recorded.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn is_described(&self, farm: &str) -> Result<bool, StoreError> {
        Ok(farm_text(&self.own(farm)?).is_some())
    }

    /// Whether a farm was put away.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn is_away(&self, farm: &str) -> Result<bool, StoreError> {
        Ok(is_away(&self.own(farm)?))
    }

    /// The facts that describe the farm itself: few, whatever its age.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn own(&self, farm: &str) -> Result<Vec<Kept>, StoreError> {
        let mut own = Vec::new();
        for kind in ["farm", "farm_file", "farm_away"] {
            own.extend(self.store().facts_linked(farm, store::Asked { kind: Some(kind), ..store::Asked::default() })?);
        }
        Ok(own)
    }

    /// Opens a farm described on the pages.
    ///
    /// # Errors
    /// Why it cannot be opened.
    pub fn opened(&self, id: &str, shipped: &Shipped) -> Result<Served, NotOpened> {
        let own = self.own(id)?;
        let text = farm_text(&own).ok_or(NotOpened::NotDescribed)?;
        let farm = read_farm(text).map_err(NotOpened::Reasons)?;
        self.tried(id, text, farm, &own, shipped)
    }

    /// A farm ready to be asked about, from its text and the files brought with it.
    ///
    /// # Errors
    /// Why it cannot be opened.
    pub fn tried(
        &self,
        id: &str,
        text: &str,
        farm: Farm,
        own: &[Kept],
        shipped: &Shipped,
    ) -> Result<Served, NotOpened> {
        let (past, bytes) = self.past_of(&farm, own, shipped)?;
        let record = daily(&bytes, &farm.weather.history, &farm)?;
        let joined = FarmPast::new(&farm, &record, &shipped.donors, shipped.seed).map_err(NotOpened::Past)?;
        let named = shipped.named(&farm);
        let is_us = !shipped.is_metric && farm::setup::is_us_customary(text);
        Ok(Served {
            id: id.to_owned(),
            on: named.unwrap_or_else(|| Served::today(&farm, self.now_ms())),
            follows_clock: named.is_none(),
            past: joined,
            forecast: None,
            now_hour: MORNING_HOUR,
            members: shipped.members,
            is_sample: false,
            lent_past_km: shipped.past(&farm.weather.history).map(|past| {
                distance_km(
                    (farm.place.latitude_deg, farm.place.longitude_deg),
                    (past.latitude_deg, past.longitude_deg),
                )
            }),
            manner: if is_us { Manner::UsCustomary } else { Manner::Metric },
            file: text.to_owned(),
            text: Some(Described { text: text.to_owned(), past }),
            farm,
        })
    }

    /// Name and bytes of a farm's past.
    fn past_of(&self, farm: &Farm, own: &[Kept], shipped: &Shipped) -> Result<(String, Arc<[u8]>), NotOpened> {
        let history = &farm.weather.history;
        if let Some(past) = shipped.past(history) {
            return Ok((history.clone(), past.bytes.into()));
        }
        let missing = || NotOpened::NoPast(history.clone());
        let digest = file_of(own, history).ok_or_else(missing)?;
        let (_, bytes) = self.store().blob(digest)?.ok_or_else(missing)?;
        Ok((digest.to_owned(), bytes.into()))
    }
}
