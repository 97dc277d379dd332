//! May animals go into a pond that is not stocked yet: its coming mornings, what was last read in it, and the tank they come from.
//!
//! Model     the pond's water under every member, from three weeks back on, drawn to its readings; the rule is the sum `stocking`, and no other
//! Units     °C, pH, mg/L
//! Range     a pond without animals; the coming mornings that a forecast and past years tell of
//! Source    water: docs/model/water.md; limits: the sum's own sources
//! Left out  plants and bloom that change after today

use ensemble::{DayTable, PondRun, Start, run};
use farm::{Farm, PondCard};
use pond::Water;
use units::{Day, Instant, Watch};
use weather::Members;

use crate::answer::Band;
use crate::chemistry::{ChemistryToday, Read, of_card};
use crate::lived::{ground, live, schedule};
use crate::outlook::{MorningAsk, OutlookError, drawn_members};
use crate::ponds::pond_model;
use crate::taught::{begins, teach};
use crate::winter::WARM_DAWN_C;

/// Mornings that are looked at.
pub const MORNINGS: usize = 5;
/// Days of water before today, so that how it began is forgotten.
const BEFORE_D: i32 = 21;
/// Days after the last morning that members are drawn for: joins need some.
const AFTER_D: i32 = 3;
/// Hours of the sun's clock within which a reading tells of a dawn.
const DAWN_H: std::ops::Range<f64> = 3.0..9.0;
/// Mornings back that were read and still count.
const READ_BACK_D: i64 = 3;

/// One coming morning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MorningWater {
    /// The day.
    pub day: Day,
    /// Bottom water at dawn, °C.
    pub water_c: Band,
    /// Chance of lying below what they should be stocked into.
    pub cold_chance: f64,
}

/// What a pond's own record and forecast say of stocking it.
#[derive(Debug, Clone, PartialEq)]
pub struct StockingDay {
    /// The pond's place.
    pub pond: usize,
    /// The coming mornings.
    pub dawns: Vec<MorningWater>,
    /// When the forecast in use was issued; `None` when past years alone speak.
    pub forecast: Option<Instant>,
    /// The water was drawn to readings of the last weeks.
    pub is_taught: bool,
    /// The coldest of the last mornings that were read.
    pub dawn_read: Option<Read>,
    /// pH, ammonia and nitrite as last read.
    pub chemistry: ChemistryToday,
    /// Oxygen as last read at a dawn of the last days; without one as last read.
    pub oxygen: Option<Read>,
    /// That was a dawn's, when it is lowest.
    pub is_oxygen_of_dawn: bool,
}

impl StockingDay {
    /// The dawn that the rule is asked about, °C, and the coming morning it is of; `None` when it was read already. The coldest of
    /// all: of a coming morning what one in ten lies below.
    pub fn dawn_c(&self) -> Option<(f64, Option<Day>)> {
        let coming = self.dawns.iter().map(|dawn| (dawn.water_c.low, Some(dawn.day)));
        let read = self.dawn_read.map(|read| (read.value, None));
        coming.chain(read).min_by(|a, b| a.0.total_cmp(&b.0))
    }
}

/// Whether a pond holds no animals on a day: it came out, or is still to be stocked.
pub fn is_unstocked(card: &PondCard, on: Day) -> bool {
    card.harvested.is_some_and(|out| out <= on) || card.stocking.on > on
}

/// The ponds that are not stocked, by place.
pub fn unstocked(farm: &Farm, on: Day) -> Vec<usize> {
    (0..farm.ponds.len()).filter(|&pond| is_unstocked(&farm.ponds[pond], on)).collect()
}

/// A pond's coming mornings and last readings.
///
/// # Errors
/// When the pond cannot be run, the past is too short, or somebody asked to stop.
pub fn stocking_day(ask: &MorningAsk, pond: usize, watch: &Watch) -> Result<StockingDay, OutlookError> {
    // The water of an empty pond does not know when animals go in: it is followed from some weeks back.
    let mut card = ask.farm.ponds[pond].clone();
    card.stocking.on = ask.on.plus(-BEFORE_D);
    let last = ask.on.plus(MORNINGS as i32 + AFTER_D);
    let climate = ask.past.climate(ask.on).map_err(OutlookError::Past)?;
    let (members, library): (Members, _) = drawn_members(ask, &climate, last)?;
    let air = ensemble::MembersAir { members: &members, library: &library };
    let model = pond_model(ask.farm, &card).map_err(OutlookError::Pond)?;
    let from = begins(&card, ask);
    let mut lived = live(ask.past, &climate, &card, &model, ask.on, from);
    let taught = from
        .zip(lived.kept.take())
        .map(|(from, kept)| teach(ask, &climate, (pond, &card, &model), (from, &kept), &air));
    let days = MORNINGS + 1;
    let schedule = schedule(&card, &model, &ground(&climate, &model), ask.on, days);
    let states: Vec<Water<f64>> =
        taught.iter().flat_map(|taught| (0..ask.members).map(|member| taught.of_member(member).clone())).collect();
    let wind: Vec<f64> = (0..ask.members)
        .map(|member| states.get(member).map_or(card.wind_factor.median, |own| own.wind_factor))
        .collect();
    let start = if states.is_empty() { Start::Water(&lived.water) } else { Start::Each(&states) };
    let one = PondRun { basin: &model.basin, schedule: &schedule, start, wind_factor: &wind };
    let (hours, _) = run(&[one], &air, 24 * days, watch).ok_or(OutlookError::Stopped)?;
    let table = DayTable::from_hours(&hours[0], ask.past.dawn_hour(ask.on), &lived.tally);
    let dawns = (1..days).map(|day| {
        let water: Vec<f64> = table.dawns_c(day).iter().map(|&c| f64::from(c)).collect();
        let cold_chance = water.iter().filter(|&&c| c < WARM_DAWN_C).count() as f64 / water.len().max(1) as f64;
        MorningWater { day: ask.on.plus(day as i32), water_c: Band::of(water), cold_chance }
    });
    let midnight_c = table.dawns_c(0).iter().map(|&c| f64::from(c)).sum::<f64>() / ask.members.max(1) as f64;
    let own = &ask.farm.ponds[pond];
    let oxygen = oxygen_read(ask, own);
    Ok(StockingDay {
        pond,
        dawns: dawns.collect(),
        forecast: ask.forecast.map(|issued| issued.issued),
        is_taught: taught.is_some(),
        dawn_read: dawn_read(ask, own),
        chemistry: of_card(ask, own, midnight_c),
        oxygen: oxygen.map(|(read, _)| read),
        is_oxygen_of_dawn: oxygen.is_some_and(|(_, dawn)| dawn),
    })
}

/// The end of the morning's day, and now.
fn ends(ask: &MorningAsk) -> (Instant, Instant) {
    let now = ask.past.place.day_start(ask.on).plus_hours(i64::from(ask.now_hour));
    (ask.past.place.day_start(ask.on.plus(1)), now)
}

fn read(value: f64, at: Instant, now: Instant) -> Read {
    Read { value, at, age_d: ((now.0 - at.0) as f64 / 86_400.0).max(0.0) }
}

fn dawn_read(ask: &MorningAsk, card: &PondCard) -> Option<Read> {
    let (end, now) = ends(ask);
    let of_late = |at: Instant| at < end && end.hours_since(at) <= 24 * READ_BACK_D;
    let dawn = |at: Instant| DAWN_H.contains(&weather::sun::solar_hour(at, &ask.past.place));
    let told = card.readings.iter().filter(|reading| of_late(reading.at) && dawn(reading.at));
    told.min_by(|a, b| a.temp_c.total_cmp(&b.temp_c)).map(|reading| read(reading.temp_c, reading.at, now))
}

/// The last oxygen of a dawn within the last days, else the last of any hour; whether it is a dawn's.
fn oxygen_read(ask: &MorningAsk, card: &PondCard) -> Option<(Read, bool)> {
    let (end, now) = ends(ask);
    let dawn = |at: Instant| {
        end.hours_since(at) <= 24 * READ_BACK_D && DAWN_H.contains(&weather::sun::solar_hour(at, &ask.past.place))
    };
    let known = card.oxygen.iter().filter(|read| read.at < end);
    let last = known.max_by_key(|read| (dawn(read.at), read.at))?;
    Some((read(last.mg_l, last.at, now), dawn(last.at)))
}
