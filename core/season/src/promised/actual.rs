//! The catch as it was weighed, shared out to the orders.

use books::allocate::{Class, allocate};
use farm::Farm;
use farm::facts::market::{SoldAs, Supply};
use units::Day;

use super::{Buyer, Catch, Market};

/// What there likely is of each class that is shared out, kg.
pub type Sizes = [f64];

/// What a catch that is weighed gives each buyer.
#[derive(Debug, Clone, PartialEq)]
pub struct Caught {
    /// What each buyer wanted and gets, kg of the form or pieces, in the order asked about.
    pub gives: Vec<(f64, f64)>,
    /// Left over by size class: weights of one animal, g, and kg.
    pub left: Vec<(f64, f64, f64)>,
    /// Tails left over, kg.
    pub tails_left_kg: f64,
    /// What it earns, coins.
    pub coins: f64,
}

/// Shares what was weighed: tails that are made go to orders of tails first, by rank; the whole animals by their likely sizes.
/// `likely` lends the sizes; without it all are one class. What is held in live tanks is shared out to nobody.
pub fn shared_today(farm: &Farm, buyers: &[Buyer], supply: &Supply, likely: Option<&Catch>, on: Day) -> Caught {
    let market = Market::new(farm, buyers);
    let open = |(at, buyer): (usize, &Buyer)| if market.suits(at, on) && !buyer.came(on) { buyer.amount } else { 0.0 };
    let wanted: Vec<f64> = buyers.iter().enumerate().map(open).collect();
    shared(&market, &wanted, supply, likely.map(|catch| &*catch.fine_kg), on)
}

/// The same with what each buyer wants of it.
pub(super) fn shared(market: &Market, wanted: &[f64], supply: &Supply, sizes: Option<&Sizes>, on: Day) -> Caught {
    let buyers = market.buyers;
    let mut gives: Vec<(f64, f64)> = wanted.iter().map(|wanted| (*wanted, 0.0)).collect();
    let mut tails_left_kg = supply.tails_kg.max(0.0);
    let mut by_rank: Vec<usize> = (0..buyers.len()).filter(|at| buyers[*at].good.sold_as == SoldAs::Tails).collect();
    by_rank.sort_by_key(|at| buyers[*at].rank);
    for at in by_rank {
        let given = wanted[at].min(tails_left_kg);
        tails_left_kg -= given;
        gives[at].1 = given;
    }
    let whole_kg = supply.whole_kg.max(0.0) + supply.free_live_kg() + supply.unsorted_kg.max(0.0);
    let live_share =
        // What was entered by weight alone is promised to nobody alive: nobody wrote down that it lives.
        if whole_kg > 0.0 { supply.free_live_kg() / whole_kg } else { 0.0 };
    let classes: Vec<Class> = classes(market, sizes, whole_kg, live_share);
    let mean_g = classes.iter().map(|class| class.weight_kg * class.mean_weight_g).sum::<f64>() / whole_kg.max(1e-9);
    let orders: Vec<_> =
        buyers.iter().zip(&gives).map(|(buyer, (wanted, given))| market.wanted(buyer, wanted - given)).collect();
    let mut limits = market.limits(on, mean_g);
    limits.live_kg = supply.free_live_kg();
    let shared = allocate(&classes, &orders, limits);
    let tails_coins: f64 = gives.iter().zip(&orders).map(|((_, given), order)| given * order.pays_coins).sum();
    for ((_, given), more) in gives.iter_mut().zip(&shared.given) {
        *given += more;
    }
    let left = |of: Vec<usize>| of.into_iter().map(|class| shared.left_kg[class]).sum::<f64>();
    let shown = market.shown().into_iter().map(|(low, high, of)| (low, high, left(of)));
    Caught {
        left: shown.filter(|(.., kg)| *kg > 1e-6).collect(),
        coins: shared.coins + tails_coins,
        gives,
        tails_left_kg,
    }
}

/// Whole weight by class in the likely shares.
fn classes(market: &Market, sizes: Option<&Sizes>, whole_kg: f64, live_share: f64) -> Vec<Class> {
    let n = market.limits_g.len() + 1;
    let middle = |at: usize| sizes.and_then(|kg| kg.get(at)).map_or(0.0, |kg| kg.max(0.0));
    let sum: f64 = (0..n).map(middle).sum();
    let one = |at: usize| {
        // Where nothing is known of sizes, the middle class holds all.
        let share = if sum > 0.0 { middle(at) / sum } else { f64::from(u8::from(at == n / 2)) };
        market.class(at, whole_kg * share, whole_kg * share * live_share)
    };
    (0..n).map(one).collect()
}
