//! A harvest day as it was written down: baskets as weighed, what was moved on, cold as it was read, the water's edge, the night's watch.
//!
//! A pure fold over the entries. A working day begins at three in the morning by the farm's clock and ends at the next three: who still
//! weighs after midnight works on the day before.

use units::Instant;

mod fold;
mod tubs;

pub(crate) use fold::caught_by_baskets;
pub use fold::{closed_before, harvest_day, watched_from, working_day, working_day_of};
pub use tubs::{Beyond, LiveTank, Tub, live_tanks, same_tub, tubs};

/// Kinds of fact that a harvest day is made of.
pub const DAY_KINDS: [&str; 7] = ["basket", "moved", "cold", "edge", "watch", "closed", "people"];

/// Where animals or what was made of them can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// In live tanks.
    Live,
    /// In ice slurry.
    Chill,
    /// At the heading table.
    Table,
    /// In the cold store.
    Store,
    /// Sold, handed over.
    Sold,
    /// Dead and warm, soft or spoiled: thrown away.
    Dead,
    /// Heads and shells.
    Waste,
    /// Taken for own use, samples among it.
    Own,
}

impl Place {
    /// Every place with its word in an entry.
    pub const ALL: [(&'static str, Place); 8] = [
        ("live", Place::Live),
        ("chill", Place::Chill),
        ("table", Place::Table),
        ("store", Place::Store),
        ("sold", Place::Sold),
        ("dead", Place::Dead),
        ("waste", Place::Waste),
        ("own", Place::Own),
    ];
    /// By the word of an entry.
    pub fn parse(word: &str) -> Option<Place> {
        Place::ALL.iter().find(|(known, _)| *known == word).map(|(_, place)| *place)
    }
    /// The word of an entry.
    pub fn word(self) -> &'static str {
        Place::ALL.iter().find(|(_, place)| *place == self).map_or("", |(word, _)| word)
    }
}

/// Who wrote it and when it happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// When.
    pub at: Instant,
    /// When it was typed first, ms since 1970: tells entries of one minute apart.
    pub typed_ms: i64,
    /// Who.
    pub person: String,
    /// Which pond, if it says.
    pub pond: Option<String>,
    /// Lot, tub or tank, as typed.
    pub tub: Option<String>,
}

impl Written {
    /// Order of time: by when it happened, and within one moment by when it was typed.
    pub(crate) fn before(&self, other: &Written) -> std::cmp::Ordering {
        (self.at, self.typed_ms, &self.id).cmp(&(other.at, other.typed_ms, &other.id))
    }
}

/// A basket on the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Basket {
    /// Who and when.
    pub written: Written,
    /// Without the basket, kg.
    pub net_kg: f64,
    /// Where it went.
    pub to: Place,
    /// Animals in it, if counted.
    pub count: Option<f64>,
    /// Gathered by hand from the mud.
    pub by_hand: bool,
}

/// Something moved on after the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Who and when.
    pub written: Written,
    /// From where.
    pub from: Place,
    /// To where.
    pub to: Place,
    /// As weighed, kg.
    pub weight_kg: f64,
    /// Tails, not whole animals.
    pub is_tails: bool,
    /// The tub or tank it was taken out of, as typed.
    pub out_tub: Option<String>,
    /// That one is empty now.
    pub out_empty: bool,
    /// The tub or tank it went into, as typed.
    pub into_tub: Option<String>,
}

/// What was looked at for cold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColdOf {
    /// A tub of slurry.
    Slurry,
    /// The middle of the thickest animals.
    Core,
    /// A live tank.
    Live,
    /// The cold store.
    Store,
    /// The probe itself, in melting ice.
    Probe,
}

impl ColdOf {
    /// Every one with its word in an entry.
    pub const ALL: [(&'static str, ColdOf); 5] = [
        ("slurry", ColdOf::Slurry),
        ("core", ColdOf::Core),
        ("live", ColdOf::Live),
        ("store", ColdOf::Store),
        ("probe", ColdOf::Probe),
    ];
    /// What is within its limit, °C: least and most. The reference in docs/model/harvest-day.md: slurry at most 1.5 before the next batch, core at most
    /// 2, probe within half a degree of melting ice (common practice); live tanks 18 to 25 (mortality at 26, Coyle and others); store at
    /// most 4.4 (40 °F; memory of US guidance).
    pub fn limits_c(self) -> (f64, f64) {
        match self {
            ColdOf::Slurry => (-2.0, 1.5),
            ColdOf::Core => (-2.0, 2.0),
            ColdOf::Live => (18.0 - HAIR_K, 25.0 + HAIR_K),
            ColdOf::Store => (-40.0, FORTY_F_C),
            ColdOf::Probe => (-0.5, 0.5),
        }
    }
}

/// What a conversion leaves: who reads 64.4 °F reads the limit itself, K.
const HAIR_K: f64 = 1e-6;
/// 40 °F, °C.
const FORTY_F_C: f64 = 40.0 / 9.0 + HAIR_K;

/// Oxygen that must be in a live tank, mg/L: common practice.
pub const LIVE_OXYGEN_LEAST_MG_L: f64 = 4.0;

/// A look at something cold or alive.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// Who and when.
    pub written: Written,
    /// What was looked at.
    pub of: ColdOf,
    /// Temperature, °C.
    pub temp_c: Option<f64>,
    /// Oxygen, mg/L.
    pub oxygen_mg_l: Option<f64>,
    /// Dead taken out.
    pub dead_count: Option<f64>,
    /// Ice put in, kg.
    pub ice_kg: Option<f64>,
    /// Ice was seen floating.
    pub ice_seen: Option<bool>,
    /// What was done about it, as typed.
    pub action: Option<String>,
}

impl Cold {
    /// Whether what was read lies within its limits; `None` where nothing was read that a limit speaks of, or only a part of it.
    pub fn within(&self) -> Option<bool> {
        let (least, most) = self.of.limits_c();
        let warm = self.temp_c.map(|c| (least..=most).contains(&c));
        let also = match self.of {
            ColdOf::Slurry => self.ice_seen,
            ColdOf::Live => self.oxygen_mg_l.map(|mg_l| mg_l >= LIVE_OXYGEN_LEAST_MG_L),
            _ => Some(true),
        };
        match (warm, also) {
            (Some(false), _) | (_, Some(false)) => Some(false),
            (Some(true), Some(true)) => Some(true),
            _ => None,
        }
    }
}

/// The water's edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Who and when.
    pub written: Written,
    /// Water below full, m.
    pub below_full_m: Option<f64>,
    /// Passes of the seine that are done.
    pub pass_count: Option<f64>,
    /// Animals left lying, in words.
    pub stranded: Option<String>,
    /// People in the water or the mud.
    pub people_count: Option<f64>,
}

/// A look at drain and pumps in the night.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// Who and when.
    pub written: Written,
    /// Water below full, m.
    pub below_full_m: Option<f64>,
    /// The screen, in words.
    pub screen: Option<String>,
    /// The pump, in words.
    pub pump: Option<String>,
    /// Hours of fuel left, h.
    pub fuel_h: Option<f64>,
    /// Whether the water was let go, held or shut, in words.
    pub opened: Option<String>,
    /// Who watches, and who next, as typed.
    pub who_watches: Option<String>,
}

/// The day is over for a pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Closed {
    /// Who and when.
    pub written: Written,
    /// Everybody was counted out of the water.
    pub all_out: bool,
    /// No live animal is left, or let out.
    pub none_left: Option<bool>,
    /// What the second walk brought, kg.
    pub second_walk_kg: Option<f64>,
    /// Baskets of the pond were weighed on the day of the walk: they are what it brought, and count for themselves.
    pub is_weighed: bool,
    /// What was lent is clean and on its way back.
    pub gear_back: Option<bool>,
    /// Why the sums do not meet, as typed.
    pub reason: Option<String>,
}

/// Who came, who went home.
#[derive(Debug, Clone, PartialEq)]
pub struct People {
    /// Who and when.
    pub written: Written,
    /// Names of those who came.
    pub came: Vec<String>,
    /// Names of those who went home.
    pub gone: Vec<String>,
    /// How many were counted here.
    pub here_count: Option<f64>,
}

/// Everything of one day, each in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayRecord {
    /// Baskets.
    pub baskets: Vec<Basket>,
    /// Moves.
    pub moved: Vec<Moved>,
    /// Looks at the cold.
    pub colds: Vec<Cold>,
    /// The water's edge.
    pub edges: Vec<Edge>,
    /// The night's watch.
    pub watched: Vec<Watched>,
    /// Ponds that are closed.
    pub closed: Vec<Closed>,
    /// Who came and went.
    pub people: Vec<People>,
    /// Entries that count for nothing until a person looks at them: mended twice, or with a figure that cannot be read.
    pub unsettled: usize,
}

#[cfg(test)]
mod tests;
