//! Orders that are served from what is weighed already and keeps until they fetch it: they ask nothing of a coming catch.
//!
//! Model     lots from the oldest; an order of this once is served whole from one, or waits for a coming catch that suits it; where none does, it
//!           gets what there is. The waiting list takes what is left, a standing buyer asks anew at every catch. Who counts upon the day of a coming catch is served by that one
//! Units     kg of the form sold, pieces
//! Range     lots caught on days before, or today with nothing of it left in the water
//! Source    days that a form keeps: docs/model/selling.md; the rest common practice
//! Left out  what was frozen

use farm::Farm;
use farm::facts::market::{Rank, SoldAs, Supply};
use units::Day;

use super::actual::{Caught, Sizes, shared};
use super::slots::{Fetched, coming};
use super::{Buyer, Market, Share, Stock};
use crate::answer::Band;

#[cfg(test)]
mod tests;

/// Days for which what is left of a catch is spoken of: it is frozen, eaten or thrown away by then, whether or not that was written down.
const TOLD_D: i32 = 21;

/// A lot on ice, shared out.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// The day it was caught.
    pub on: Day,
    /// What of it is left.
    pub left: Supply,
    /// Shared out to the orders it serves.
    pub caught: Caught,
    /// What of it is too old to be promised to anybody, kg.
    pub over_kg: f64,
    /// The buyers as they stand before this lot: amounts still to be filled.
    pub buyers: Vec<Buyer>,
    /// Who gets what; the catch's place is the lot's.
    pub shares: Vec<Share>,
    /// Who fetches when.
    pub comes: Fetched,
}

/// What lies on ice, shared out, and what of the orders is left for coming catches.
#[derive(Debug, Clone, PartialEq)]
pub struct Ice {
    /// Lots, the oldest first.
    pub lots: Vec<Lot>,
    /// The buyers in the order asked about, each with what is still to be filled by coming catches.
    pub rest: Vec<Buyer>,
}

/// Shares out what lies on ice. `planned` are the days of the coming catches, each with what it likely brings, kg; `sizes` lends sizes to what was not
/// sorted.
pub fn on_ice(
    farm: &Farm,
    buyers: &[Buyer],
    stocks: &[Stock],
    planned: &[(Day, f64)],
    sizes: Option<&Sizes>,
    today: Day,
) -> Ice {
    let mut rest = buyers.to_vec();
    let mut lots = Vec::new();
    let lately = |stock: &&Stock| today.0 - stock.on.0 <= TOLD_D;
    for stock in stocks.iter().filter(lately).filter(|stock| has_some(&stock.left)) {
        let before = at_this_lot(&rest, stock.on, today);
        let market = Market::new(farm, &before).of_days(planned.iter().map(|(on, _)| *on));
        // One that no coming catch can fill waits for none: it gets what there is.
        let fits = |at: usize, kg: f64| before[at].good.sold_as.by_piece() || before[at].amount <= kg;
        let later = |at: usize| planned.iter().any(|(on, kg)| market.suits(at, *on) && fits(at, *kg));
        let (fresh, over_kg) = fresh(&market, stock, today);
        // What is dead is not sold alive, whoever waits for it.
        let lives = |buyer: &Buyer| buyer.good.sold_as != SoldAs::Live || fresh.free_live_kg() > 0.0;
        let comes = |at: usize| lives(&before[at]) && market.iced(at, stock.on, today).is_some();
        let mut wanted: Vec<f64> =
            (0..before.len()).map(|at| if comes(at) { before[at].amount } else { 0.0 }).collect();
        let caught = loop {
            let caught = shared(&market, &wanted, &fresh, sizes, today);
            // From the last that is served on: an order that is not filled and has another catch to come waits for that one whole.
            let cut = |at: &usize| {
                let (wants, gets) = caught.gives[*at];
                wants > 0.0
                    && gets < wants * (1.0 - 1e-6)
                    && !before[*at].is_standing
                    && before[*at].rank != Rank::Waiting
                    && later(*at)
            };
            match (0..before.len()).filter(cut).max_by_key(|at| (before[*at].rank, *at)) {
                Some(at) => wanted[at] = 0.0,
                None => break caught,
            }
        };
        for (one, (_, gets)) in rest.iter_mut().zip(&caught.gives).filter(|(one, _)| !one.is_standing) {
            one.amount = (one.amount - gets).max(0.0);
        }
        lots.push(lot(farm, &market, stock, caught, over_kg, (lots.len(), today)));
    }
    Ice { lots, rest }
}

/// Anything worth speaking of.
fn has_some(left: &Supply) -> bool {
    left.live_kg + left.whole_kg + left.tails_kg + left.unsorted_kg > 0.05
}

/// What of a lot keeps at least until today, and what does not, kg.
fn fresh(market: &Market, stock: &Stock, today: Day) -> (Supply, f64) {
    let keeps = |sold_as: SoldAs, kg: f64| if market.keeps(sold_as, stock.on, today) { kg } else { 0.0 };
    let left = stock.left;
    let fresh = Supply {
        live_kg: keeps(SoldAs::Live, left.live_kg),
        held_kg: keeps(SoldAs::Live, left.held_kg),
        whole_kg: keeps(SoldAs::Whole, left.whole_kg),
        tails_kg: keeps(SoldAs::Tails, left.tails_kg),
        unsorted_kg: keeps(SoldAs::Whole, left.unsorted_kg),
        first: left.first,
    };
    let sum = |of: &Supply| of.live_kg + of.whole_kg + of.tails_kg + of.unsorted_kg;
    (fresh, (sum(&left) - sum(&fresh)).max(0.0))
}

/// Standing buyers ask anew at each catch: less what they had since it was caught, and nothing once they came for it.
fn at_this_lot(buyers: &[Buyer], caught: Day, today: Day) -> Vec<Buyer> {
    let one = |buyer: &Buyer| {
        let mut buyer = buyer.clone();
        if buyer.is_standing {
            let since = buyer.had.iter().filter(|(day, _)| *day >= caught);
            let had: f64 = since.map(|(_, much)| much).sum();
            let came = (0..=today.0 - caught.0).any(|days| buyer.came(caught.plus(days)));
            buyer.amount = if came { 0.0 } else { (buyer.amount - had).max(0.0) };
        }
        buyer
    };
    buyers.iter().map(one).collect()
}

fn lot(farm: &Farm, market: &Market, stock: &Stock, caught: Caught, over_kg: f64, (at, today): (usize, Day)) -> Lot {
    let buyers = market.buyers.to_vec();
    let share = |(buyer, (wanted, gets)): (usize, &(f64, f64))| Share {
        buyer,
        catch: at,
        wanted: *wanted,
        gets: Band { low: *gets, middle: *gets, high: *gets },
        full_chance: f64::from(u8::from(*gets >= wanted * (1.0 - 1e-6))),
    };
    let wanting = caught.gives.iter().enumerate().filter(|(_, (wanted, _))| *wanted > 0.0);
    let shares: Vec<Share> = wanting.map(share).collect();
    // Nobody is called for nothing, and those who wait are called once something is left for them.
    let mut here: Vec<usize> = shares.iter().filter(|share| share.gets.low > 1e-6).map(|share| share.buyer).collect();
    here.sort_by(|a, b| (buyers[*a].rank, &buyers[*a].name).cmp(&(buyers[*b].rank, &buyers[*b].name)));
    let days: Vec<Day> = here.iter().map(|at| market.iced(*at, stock.on, today).unwrap_or(today)).collect();
    let comes = coming(farm, market.buyers, &here, &days, true);
    let comes =
        Fetched { on: stock.on, is_locked: true, is_weighed: true, latest: stock.on, ponds: Vec::new(), buyers: comes };
    Lot { on: stock.on, left: stock.left, caught, over_kg, buyers, shares, comes }
}
