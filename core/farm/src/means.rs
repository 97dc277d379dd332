//! What the farm has to work with: pumps, generators, fuel, baskets, hands, ice and cold rooms.

use units::Day;

use crate::farm::Days;

/// Things that move water and carry prawns.
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    /// Pumps, in the order written.
    pub pumps: Vec<Pump>,
    /// Generators.
    pub generators: u32,
    /// How many pumps one generator can run at a time.
    pub pumps_per_generator: u32,
    /// Fuel one generator burns, litres an hour.
    pub generator_fuel_l_h: f64,
    /// Fuel in store, litres.
    pub fuel_l: f64,
    /// Fuel that can be fetched in a day, litres.
    pub fuel_daily_l: f64,
    /// Harvest baskets.
    pub baskets: u32,
    /// Prawns in a basket, kg.
    pub basket_kg: f64,
    /// Hours from a basket's filling to its being empty at the bank again.
    pub basket_round_h: f64,
    /// Hired or borrowed things a harvest needs.
    pub hired: Vec<Hired>,
}

/// A pump.
#[derive(Debug, Clone, PartialEq)]
pub struct Pump {
    /// Name as written.
    pub name: String,
    /// Rate as measured, m³/h.
    pub rate_m3_h: f64,
    /// Total lift (m) and rate (m³/h), lift rising; empty when only the measured rate is known.
    pub curve_m_m3_h: Vec<(f64, f64)>,
    /// Hours a full tank lasts, where told.
    pub tank_h: Option<f64>,
    /// What drives it.
    pub drive: Drive,
    /// Fuel it burns itself, litres an hour; 0 when it hangs on a generator or the mains.
    pub fuel_l_h: f64,
    /// Hours of notice when it is hired; 0 for one's own.
    pub notice_h: f64,
    /// Coins a day when it is hired; 0 for one's own.
    pub cost_day: f64,
}

/// What drives a pump.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    /// Its own engine.
    Engine,
    /// A generator.
    Generator,
    /// The mains.
    Mains,
}

/// Something hired for a harvest day.
#[derive(Debug, Clone, PartialEq)]
pub struct Hired {
    /// What it is.
    pub name: String,
    /// Hours of notice it needs.
    pub notice_h: f64,
    /// Coins a day.
    pub cost_day: f64,
    /// Days on which it cannot be had.
    pub away: Vec<Days>,
}

/// A tank in which postlarvae are raised.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// Name as written.
    pub name: String,
    /// Water, m³.
    pub water_m3: f64,
    /// Bottom, m².
    pub bottom_m2: f64,
    /// Netting, one side, m².
    pub netting_m2: f64,
    /// Surface of the biofilter's filling, m².
    pub filter_m2: f64,
    /// Water changed in a day, m³.
    pub changed_m3_d: f64,
    /// Water as it is kept, °C.
    pub kept_at_c: f64,
}

/// Where water for filling comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Name as written.
    pub name: String,
    /// Its kind.
    pub kind: SourceKind,
    /// What it gives while it runs, m³/h.
    pub rate_m3_h: f64,
    /// Hours it runs in a day.
    pub hours_per_day: f64,
    /// Whether it may be drawn: the authority's word, as told; `None` when nobody asked.
    pub may_be_drawn: Option<bool>,
}

/// Kinds of water to fill from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceKind {
    /// A river or creek.
    River,
    /// A well or spring box.
    Well,
    /// Another pond or reservoir.
    Pond,
    /// What runs off fields and yards.
    Runoff,
}

impl SourceKind {
    /// All of them, in the order of the table of inputs.
    pub const ALL: [SourceKind; 4] = [SourceKind::River, SourceKind::Well, SourceKind::Pond, SourceKind::Runoff];
}

/// Hands and hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Crew {
    /// Owners, here every day unless away.
    pub owners: u32,
    /// Helpers by weekday, Monday first.
    pub helpers: [u32; 7],
    /// Helpers of a day that surely come; `None`: only the owners do.
    pub helpers_sure: Option<u32>,
    /// Days on which fewer come: how many hands are missing.
    pub away: Vec<Away>,
    /// Hours of notice helpers need.
    pub notice_h: f64,
    /// Working hours of a harvest day.
    pub hours_per_day: f64,
    /// When the catch begins.
    pub start: StartOfWork,
    /// Pounds per hand-hour, from water to ice, in kg per hand-hour.
    pub kg_per_hand_h: f64,
    /// Someone is there to open a drain or start a pump from this time of the farm's clock, hours after midnight.
    pub opens_from_h: f64,
    /// And until this time.
    pub opens_until_h: f64,
    /// Ponds that can be caught on one day.
    pub ponds_a_day: u32,
}

impl Crew {
    /// Hands on a day: owners and helpers less those away, never below none. Whether the day is a workday is the
    /// calendar's matter.
    pub fn hands(&self, day: Day) -> u32 {
        let missing: u32 = self.away.iter().filter(|away| away.days.contains(day)).map(|away| away.hands).sum();
        (self.owners + self.helpers[usize::from(day.weekday())]).saturating_sub(missing)
    }
}

/// Hands missing on some days.
#[derive(Debug, Clone, PartialEq)]
pub struct Away {
    /// The days.
    pub days: Days,
    /// How many hands are missing.
    pub hands: u32,
}

/// When a catch begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StartOfWork {
    /// At first light (civil dawn).
    FirstLight,
    /// At a time of the farm's clock, hours after midnight.
    Clock(f64),
}

/// Cold, from ice to live tanks.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// Ice in hand this morning, kg.
    pub ice_kg: f64,
    /// Ice that can be had for one day, kg.
    pub ice_daily_kg: f64,
    /// Hours of notice for it.
    pub ice_notice_h: f64,
    /// Ice per kg of prawns that are chilled, kg.
    pub ice_per_kg: f64,
    /// Cold room, if any.
    pub store: Option<ColdStore>,
    /// Live tanks.
    pub live_tanks: u32,
    /// Water in each, m³.
    pub live_tank_m3: f64,
    /// Prawns held per m³ of water, kg.
    pub live_kg_m3: f64,
    /// Nights prawns may be held alive.
    pub live_nights: u32,
}

/// A cold room.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdStore {
    /// What it holds, kg.
    pub capacity_kg: f64,
    /// Days on which it is somebody else's.
    pub taken: Vec<Days>,
    /// Hours of notice to book it.
    pub notice_h: f64,
    /// Nights whole prawns may lie on ice before they must be sold or headed.
    pub nights: u32,
    /// Coins a day when booked.
    pub cost_day: f64,
}
