//! What is left of each day's weighed catch when all that was sold is off it.
//!
//! Model     a working day's baskets and moves are its lot; a move of a day without baskets is of the lot before. A line is taken from the lot
//!           whose day its lot names, else from the oldest that has some; what one lot lacks is taken from the oldest
//! Units     kg of whole weight; tails in their own weight
//! Range     the harvest days of one season
//! Source    arithmetic; oldest first is common practice
//! Left out  drip and glaze; which of a day's packs were frozen

use farm::facts::market::{Market, Pool, Supply, supply};
use farm::facts::{DayRecord, lot_name, working_day_of};
use units::{Day, Instant, Zone};

use crate::trace::LotName;

/// Less than this is nothing, kg.
const HAIR_KG: f64 = 1e-6;

/// What is left of a day's catch.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// The day it was caught.
    pub on: Day,
    /// What is left of it.
    pub left: Supply,
    /// Ponds whose baskets it is made of: the pond's mark, whole kg; no pond where none was written.
    pub of: Vec<(Option<String>, f64)>,
    /// Whole kg entered by weight alone: off what stands in the pond already, and of no catch that is still being made.
    pub entered_kg: f64,
}

impl Stock {
    /// Whole weight of what is left, kg: tails by the share that a tail is.
    pub fn whole_kg(&self, tail_fraction: f64) -> f64 {
        self.left.live_kg + self.left.whole_kg + self.left.unsorted_kg + self.left.tails_kg / tail_fraction.max(0.1)
    }

    fn takes(&mut self, pond: Option<&str>, kg: f64) {
        match self.of.iter_mut().find(|(known, _)| known.as_deref() == pond) {
            Some((_, sum)) => *sum += kg,
            None => self.of.push((pond.map(str::to_owned), kg)),
        }
    }
}

/// What is left of each day's catch, oldest first. `unsorted` are catches entered by weight alone: when, kg.
pub fn stocks(days: &[(Day, DayRecord)], unsorted: &[(Instant, f64)], market: &Market, zone: &Zone) -> Vec<Stock> {
    let mut all: Vec<Stock> = Vec::new();
    for (on, record) in days {
        let of_day = supply(std::slice::from_ref(record), &[]);
        if record.baskets.is_empty() {
            // Headed, chilled or thrown away a day later: it is of the lot before.
            if let Some(last) = all.last_mut() {
                add(&mut last.left, &of_day);
            }
            continue;
        }
        let mut stock = Stock { on: *on, left: of_day, of: Vec::new(), entered_kg: 0.0 };
        record.baskets.iter().for_each(|basket| stock.takes(basket.written.pond.as_deref(), basket.net_kg));
        all.push(stock);
    }
    for (at, kg) in unsorted {
        let on = working_day_of(*at, zone);
        let place = all.iter().position(|stock| stock.on == on).unwrap_or_else(|| {
            let left = Supply { first: Some(*at), ..Supply::default() };
            all.push(Stock { on, left, of: Vec::new(), entered_kg: 0.0 });
            all.len() - 1
        });
        all[place].left.unsorted_kg += kg;
        all[place].entered_kg += kg;
    }
    all.sort_by_key(|stock| stock.on);
    for line in &market.sold {
        let day = line.lot.as_deref().and_then(|lot| LotName::day_of(&lot_name(lot)));
        let by = working_day_of(line.entered.at, zone);
        take(&mut all, line.good.sold_as.pool(), market.taken_kg(line), (day, by));
    }
    for pool in [Pool::Live, Pool::Whole, Pool::Tails] {
        even(&mut all, pool);
    }
    all
}

/// Holds what swims in tanks beyond their limits, the oldest lot's first: which lot swims in which tank nobody writes down, and the oldest is
/// shared out first.
pub fn hold(all: &mut [Stock], held_kg: f64) {
    let mut open_kg = held_kg.max(0.0);
    for stock in all.iter_mut() {
        stock.left.held_kg = open_kg.min(stock.left.live_kg.max(0.0));
        open_kg -= stock.left.held_kg;
    }
}

fn pool_of(left: &mut Supply, pool: Pool) -> &mut f64 {
    match pool {
        Pool::Live => &mut left.live_kg,
        Pool::Whole => &mut left.whole_kg,
        Pool::Tails => &mut left.tails_kg,
    }
}

fn add(left: &mut Supply, more: &Supply) {
    for pool in [Pool::Live, Pool::Whole, Pool::Tails] {
        *pool_of(left, pool) += more.of(pool);
    }
}

/// Takes a sold line from the lot of its own day, else from the oldest caught by then that has some; the rest, sold before anybody wrote down
/// what was caught, from the lot it was named for or the oldest. What comes back lies with the lot it would be taken from.
fn take(all: &mut [Stock], pool: Pool, kg: f64, (named, by): (Option<Day>, Day)) {
    let mut open_kg = kg;
    let own = |stock: &Stock| named.map_or(stock.on <= by, |day| stock.on == day);
    let first = all.iter().position(own);
    for stock in all.iter_mut().filter(|stock| own(stock)) {
        let left = pool_of(&mut stock.left, pool);
        let taken = open_kg.min(left.max(0.0));
        *left -= taken;
        open_kg -= taken;
        if pool != Pool::Tails && open_kg > 0.0 {
            let taken = open_kg.min(stock.left.unsorted_kg.max(0.0));
            stock.left.unsorted_kg -= taken;
            open_kg -= taken;
        }
    }
    if open_kg.abs() > HAIR_KG
        && let Some(stock) = first.or(if all.is_empty() { None } else { Some(0) }).and_then(|at| all.get_mut(at))
    {
        *pool_of(&mut stock.left, pool) -= open_kg;
    }
}

/// What one lot lacks (it was moved on from another's) is taken from the oldest that has some; nothing is left below nothing.
fn even(all: &mut [Stock], pool: Pool) {
    let mut lacks_kg: f64 = 0.0;
    for stock in all.iter_mut() {
        let left = pool_of(&mut stock.left, pool);
        lacks_kg += (-*left).max(0.0);
        *left = left.max(0.0);
    }
    for stock in all.iter_mut() {
        let taken = lacks_kg.min(stock.left.of(pool));
        *pool_of(&mut stock.left, pool) -= taken;
        lacks_kg -= taken;
        if pool != Pool::Tails {
            let taken = lacks_kg.min(stock.left.unsorted_kg.max(0.0));
            stock.left.unsorted_kg -= taken;
            lacks_kg -= taken;
        }
    }
}
