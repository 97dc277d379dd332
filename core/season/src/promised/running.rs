//! A catch that is being made: what is weighed of it is part of what it will likely yield, not more on top.
//!
//! Model     the baskets of ponds that today's catch still plans; under each future the catch comes to what it would yield and at least to what
//!           is weighed, less what of it was sold already
//! Units     kg of whole weight
//! Range     the day of a catch
//! Source    arithmetic
//! Left out  how fast a catch comes in

use farm::Farm;
use farm::facts::market::Supply;
use units::Day;

use super::{Future, Market, Stock};

/// What is weighed of a catch that is being made.
pub(super) struct Running {
    /// What of it is left.
    pub stock: Stock,
    weighed_kg: f64,
}

/// Parts stock into what belongs to a catch that is still planned for its day, and what lies from catches that are over.
pub(super) fn apart(farm: &Farm, days: &[(Day, Vec<usize>, bool)], stocks: &[Stock]) -> (Vec<Running>, Vec<Stock>) {
    let (mut running, mut lying) = (Vec::new(), Vec::new());
    for stock in stocks {
        let ponds = days.iter().find(|(on, ..)| *on == stock.on).map_or(&[][..], |(_, ponds, _)| ponds);
        // A basket without a pond's name on a day of catch is of that catch.
        let is_still = |pond: &Option<String>| match pond {
            Some(pond) => ponds.iter().any(|at| farm.ponds[*at].id == *pond),
            None => !ponds.is_empty(),
        };
        let weighed_kg: f64 = stock.of.iter().filter(|(pond, _)| is_still(pond)).map(|(_, kg)| kg).sum();
        let all_kg: f64 = stock.entered_kg + stock.of.iter().map(|(_, kg)| kg).sum::<f64>();
        let still = if all_kg > 0.0 { weighed_kg / all_kg } else { 0.0 };
        if still > 0.0 {
            running.push(Running { stock: part(stock, still), weighed_kg });
        }
        if still < 1.0 {
            lying.push(part(stock, 1.0 - still));
        }
    }
    (running, lying)
}

fn part(stock: &Stock, share: f64) -> Stock {
    let Supply { live_kg, held_kg, whole_kg, tails_kg, unsorted_kg, first } = stock.left;
    let left = Supply {
        live_kg: live_kg * share,
        held_kg: held_kg * share,
        whole_kg: whole_kg * share,
        tails_kg: tails_kg * share,
        unsorted_kg: unsorted_kg * share,
        first,
    };
    Stock { left, entered_kg: stock.entered_kg * share, ..stock.clone() }
}

/// Holds each future of a catch that is being made to what is weighed of it.
pub(super) fn held_to(
    futures: &mut [Vec<Future>],
    days: &[(Day, Vec<usize>, bool)],
    running: &[Running],
    market: &Market,
) {
    for ((on, ..), futures) in days.iter().zip(futures) {
        for of in running.iter().filter(|of| of.stock.on == *on) {
            let gone_kg = (of.weighed_kg - of.stock.whole_kg(market.tail_fraction)).max(0.0);
            for future in futures.iter_mut() {
                let kg: f64 = future.classes.iter().map(|class| class.weight_kg).sum();
                let comes_to_kg = (kg.max(of.weighed_kg) - gone_kg).max(0.0);
                if kg > 0.0 {
                    for class in &mut future.classes {
                        class.weight_kg *= comes_to_kg / kg;
                        class.live_kg *= comes_to_kg / kg;
                    }
                }
            }
        }
    }
}
