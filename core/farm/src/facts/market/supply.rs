//! What the harvest days' balance can supply, by what it can be sold as.
//!
//! Model     what was weighed into live tanks, slurry and store, and moved on from there; what was moved to `sold` was there to be sold
//! Units     kg of whole weight; tails in their own weight
//! Range     the harvest days of one season
//! Source    arithmetic; the day's own balance holds the sums together (`harvest::balance`)
//! Left out  drip and glaze of what was frozen

use units::Instant;

use crate::facts::{DayRecord, LiveTank, Moved, Place};

/// What a form is sold from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pool {
    /// Live tanks.
    Live,
    /// Whole animals in slurry and store: sold by weight, by the piece, and as seconds.
    Whole,
    /// Tails in slurry and store.
    Tails,
}

/// What there was to sell over some harvest days.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Supply {
    /// Alive, kg.
    pub live_kg: f64,
    /// Of it in tanks that are to be looked at first, kg: there, and shared out to nobody.
    pub held_kg: f64,
    /// Whole, kg.
    pub whole_kg: f64,
    /// Tails, kg of tails.
    pub tails_kg: f64,
    /// Caught without a harvest day's entries: whole weight of which nobody wrote down where it lies, kg.
    pub unsorted_kg: f64,
    /// The first basket or catch.
    pub first: Option<Instant>,
}

impl Supply {
    /// Of one pool, kg.
    pub fn of(&self, pool: Pool) -> f64 {
        match pool {
            Pool::Live => self.live_kg,
            Pool::Whole => self.whole_kg,
            Pool::Tails => self.tails_kg,
        }
    }
}

/// What the days' records supply; `unsorted` are catches entered by their weight alone: when, kg.
pub fn supply(days: &[DayRecord], unsorted: &[(Instant, f64)]) -> Supply {
    let mut supply = Supply::default();
    for day in days {
        let into = |place: Place| day.weighed_to_kg(place);
        supply.live_kg += into(Place::Live);
        supply.whole_kg += into(Place::Chill) + into(Place::Store) + into(Place::Sold);
        day.moved.iter().for_each(|moved| supply.moved(moved));
    }
    let baskets = days.iter().flat_map(|day| day.baskets.iter().map(|basket| basket.written.at));
    supply.first = baskets.chain(unsorted.iter().map(|(at, _)| *at)).min();
    supply.unsorted_kg = unsorted.iter().map(|(_, kg)| kg).sum();
    supply
}

impl Supply {
    /// Of one pool without what is held, kg.
    pub fn free(&self, pool: Pool) -> f64 {
        if pool == Pool::Live { self.free_live_kg() } else { self.of(pool) }
    }
    /// Alive and not held, kg.
    pub fn free_live_kg(&self) -> f64 {
        (self.live_kg - self.held_kg).max(0.0)
    }
    /// Holds what is in tanks beyond their limits.
    #[must_use]
    pub fn holding(self, tanks: &[LiveTank]) -> Supply {
        let held_kg: f64 = tanks.iter().filter(|tank| !tank.beyond.is_empty()).map(|tank| tank.held_kg).sum();
        Supply { held_kg, ..self }
    }
    fn moved(&mut self, moved: &Moved) {
        let cold = |place: Place| matches!(place, Place::Chill | Place::Store);
        let kg = moved.weight_kg;
        // What is taken out to be sold still was there to be sold.
        if moved.to != Place::Sold {
            match moved.from {
                Place::Live => self.live_kg -= kg,
                from if cold(from) && moved.is_tails => self.tails_kg -= kg,
                from if cold(from) => self.whole_kg -= kg,
                _ => {}
            }
        }
        match moved.to {
            Place::Live => self.live_kg += kg,
            to if cold(to) && moved.is_tails => self.tails_kg += kg,
            to if cold(to) => self.whole_kg += kg,
            Place::Sold if moved.from == Place::Table && moved.is_tails => self.tails_kg += kg,
            Place::Sold if moved.from == Place::Table => self.whole_kg += kg,
            _ => {}
        }
    }
}
