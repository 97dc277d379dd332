//! A morning's draws, kept: weather, water and animals under every member, from which another question about hands, ice, prices or
//! dates is answered without running a pond again.

use ensemble::DayTable;
use farm::{PastCrop, PondCard};
use stock::Hidden;
use units::Day;
use weather::{Climate, DailyForecast, ForecastSkill, IssuedForecast, Library, Members};

use crate::course::CutCell;
use crate::limits::RainChances;
use crate::outlook::MorningAsk;
use crate::oxygen::Mixing;
use crate::standing::Standing;

/// What was drawn for a morning. It serves every question of that morning whose farm differs in hands, ice, prices, costs, buyers,
/// workdays, choices, locked or forbidden days, or water that was let go only.
#[derive(Debug, Clone)]
pub struct Drawn {
    pub(crate) basis: Basis,
    pub(crate) climate: Climate,
    pub(crate) skill: ForecastSkill,
    pub(crate) forecast: DailyForecast,
    pub(crate) library: Library,
    /// Past years that could not be used.
    pub(crate) left_out: usize,
    pub(crate) members: Members,
    /// Ponds in the water, in the order of all tables. Their cards are the first question's: locked and forbidden days, what a plan told of and
    /// water that was let go are read from the farm that is asked about, never here.
    pub(crate) ponds: Vec<Standing>,
    pub(crate) tables_by_pond: Vec<DayTable>,
    /// Each pond's water this morning, cut open.
    pub(crate) cuts: Vec<Vec<CutCell>>,
    /// How deep it is mixed through the coming night.
    pub(crate) mixing: Vec<Mixing>,
    /// Mean wind of the coming night at the station, m/s.
    pub(crate) night_wind_m_s: f64,
    pub(crate) hidden: Vec<Vec<Hidden>>,
    pub(crate) rain: Vec<RainChances>,
    pub(crate) days: usize,
}

impl Drawn {
    /// Seed of the draws.
    pub(crate) fn basis_seed(&self) -> u64 {
        self.basis.seed
    }

    /// Whether these draws are the ones this question would make.
    pub fn fits(&self, ask: &MorningAsk) -> bool {
        self.basis == Basis::of(ask)
    }
}

/// Everything the draws hang on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Basis {
    on: Day,
    now_hour: i32,
    members: usize,
    seed: u64,
    forecast: Option<IssuedForecast>,
    /// First day and length of the record, days, and a sum over it that any changed value moves.
    record: (Day, usize, u64),
    place: farm::Place,
    season: farm::Season,
    gear: farm::Gear,
    ponds: Vec<PondCard>,
    crops: Vec<PastCrop>,
}

impl Basis {
    pub(crate) fn of(ask: &MorningAsk) -> Basis {
        // Locked and forbidden days and water let go choose among catches, oxygen says whether to feed, ammonia what to mind; no water hangs on them.
        let water_only = |card: &PondCard| PondCard {
            locked: None,
            announced: Vec::new(),
            announced_on: None,
            forbidden: Vec::new(),
            draining_since: None,
            draining_read: None,
            oxygen: Vec::new(),
            chemistry: Vec::new(),
            done: Vec::new(),
            // Baskets of the day itself are the harvest day's own: with each of them nothing is drawn anew.
            taken: card.taken.iter().copied().filter(|taken| taken.counts_on(ask.on)).collect(),
            ..card.clone()
        };
        let record = &ask.past.record;
        let bits = |value: &Option<f64>| value.map_or(u64::MAX, f64::to_bits);
        let sum = record
            .low_c
            .iter()
            .chain(&record.high_c)
            .fold(0_u64, |sum, value| (sum ^ bits(value)).wrapping_mul(0x0000_0100_0000_01b3));
        Basis {
            on: ask.on,
            now_hour: ask.now_hour,
            members: ask.members,
            seed: ask.past.seed,
            forecast: ask.forecast.cloned(),
            record: (record.first, record.low_c.len(), sum),
            place: ask.farm.place.clone(),
            season: ask.farm.season.clone(),
            gear: ask.farm.gear.clone(),
            ponds: ask.farm.ponds.iter().map(water_only).collect(),
            crops: ask.farm.crops.clone(),
        }
    }
}
