//! What a day is made of: the water, the hands, the means, the buyers, and what is not known.

use std::sync::Arc;

use crate::chill::SLURRY_C;
use crate::day_water::{DayWater, Strands};
use crate::falling_water::FallingWater;
use crate::hands::Hand;
use crate::rates::Rates;
use crate::task::{TASKS, Task};

/// One harvest day, the same in every future.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// The falling water.
    pub course: FallingWater,
    /// Its warmth, by place, hour and member.
    pub water: Arc<DayWater>,
    /// What strands where the floor falls bare.
    pub strands: Strands,
    /// Who comes.
    pub hands: Vec<Hand>,
    /// Baskets, tubs, ice, rooms.
    pub means: Means,
    /// What buyers take.
    pub buyers: Buyers,
    /// Pace of every task.
    pub rates: Rates,
    /// Where the day stands; `None` before it begins.
    pub standing: Option<Standing>,
}

/// Gear and cold.
#[derive(Debug, Clone, PartialEq)]
pub struct Means {
    /// Baskets that go round.
    pub baskets: u32,
    /// Most in one, kg.
    pub basket_kg: f64,
    /// Baskets on their way to ice beyond which no more is lifted out of net or basin: animals wait in the water. 0: one for each hand.
    pub in_air_most: u32,
    /// Hours until an emptied basket is back at the water.
    pub back_h: f64,
    /// Baskets carried at one go.
    pub carried: u32,
    /// Most hands at a task at the same time; 0: as many as there are.
    pub places: [u32; TASKS],
    /// Slurry tubs.
    pub tubs: u32,
    /// Prawns that one takes at a time, kg.
    pub tub_kg: f64,
    /// Hours from the first prawns in a tub until no more are added to that batch.
    pub tub_open_h: f64,
    /// Ice on hand, kg.
    pub ice_kg: f64,
    /// Ice for a kilogram that is chilled, all told, kg.
    pub ice_per_kg: f64,
    /// Room in the cold store, kg.
    pub store_kg: f64,
    /// Room in the live tanks, kg.
    pub live_room_kg: f64,
    /// Hands that pull the net.
    pub haul_hands: u32,
    /// Most hauls.
    pub hauls_most: u32,
    /// Share of the animals in the water that one haul takes.
    pub haul_share: f64,
    /// Hauls from which animals are offered live: the first ones.
    pub clean_hauls: u32,
    /// Longest that a hand gathers before the basket goes to the bank, h.
    pub gather_h: f64,
    /// Hours of work after which a hand rests, and for how long.
    pub break_every_h: f64,
    /// See `break_every_h`.
    pub break_h: f64,
    /// Hours to walk from one place of work to another.
    pub over_h: f64,
    /// Share of the fresh pace that goes with each hour; a quarter of it at most.
    pub tires_per_h: f64,
}

impl Default for Means {
    fn default() -> Means {
        let mut places = [0; TASKS];
        places[Task::Weigh as usize] = 1;
        places[Task::Walk as usize] = 1;
        Means {
            baskets: 40,
            basket_kg: 10.0,
            in_air_most: 0,
            back_h: 0.05,
            carried: 2,
            places,
            tubs: 2,
            tub_kg: 60.0,
            tub_open_h: 0.25,
            ice_kg: 300.0,
            ice_per_kg: 1.0,
            store_kg: 1000.0,
            live_room_kg: 0.0,
            haul_hands: 4,
            hauls_most: 3,
            haul_share: 0.4,
            clean_hauls: 2,
            gather_h: 0.2,
            break_every_h: 2.0,
            break_h: 0.25,
            over_h: 0.025,
            tires_per_h: 0.025,
        }
    }
}

/// What is wanted in each form, kg of whole weight.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Buyers {
    /// Alive.
    pub live_kg: f64,
    /// Chilled, heads on.
    pub whole_kg: f64,
    /// To be headed.
    pub tails_kg: f64,
}

/// What is not known beforehand, in one future.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Future {
    /// Animals in the pond, kg.
    pub mass_kg: f64,
    /// Their mean weight, g.
    pub weight_g: f64,
    /// Its place in the table of the water.
    pub member: usize,
    /// The day's own factor on what strands.
    pub strands_uneven: f64,
    /// Share sorted out as soft, dead or too small.
    pub culled_share: f64,
    /// Hours in the slurry until the thickest are cold to the core, with the margin that is usual, out of water of [`DWELL_FROM_C`].
    pub dwell_h: [f64; 2],
}

/// Water that the two times in the slurry are told from, °C.
pub const DWELL_FROM_C: [f64; 2] = [15.0, 30.0];

impl Future {
    /// Hours in the slurry out of water of a warmth: the first term of the cooling, which is a straight line in the logarithm of how much
    /// warmer they are than the slurry.
    pub fn dwell_from(&self, water_c: f64) -> f64 {
        let ln = |water_c: f64| units::ln((water_c - SLURRY_C).max(1.0));
        let [cold, warm] = DWELL_FROM_C;
        let part = (ln(water_c) - ln(cold)) / (ln(warm) - ln(cold));
        (self.dwell_h[0] + part * (self.dwell_h[1] - self.dwell_h[0])).max(1.0 / 6.0)
    }
}

/// Where a day stands that has begun: what was entered.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Standing {
    /// Clock hour.
    pub hour: f64,
    /// Hauls pulled.
    pub hauls: u32,
    /// In the closed net, kg.
    pub in_net_kg: f64,
    /// Filled baskets that wait for a task, kg each, with the clock hour they left the water.
    pub waiting: Vec<(Task, f64, f64)>,
    /// Chilling in tubs, kg.
    pub in_tubs_kg: f64,
    /// Ice used, kg.
    pub ice_used_kg: f64,
    /// Done and away alive, whole and for heading, kg of whole weight.
    pub done: Buyers,
    /// Caught so far, kg. What is left in the water is what a future says was there, less this.
    pub caught_kg: f64,
}
