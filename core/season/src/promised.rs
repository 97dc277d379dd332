//! What is promised against what the coming catches will likely yield, and how much more may be promised.
//!
//! Model     under every future each planned catch is cut into size classes and shared out to the orders by rank (`books::allocate`); what may
//!           yet be promised of a form and size is what an order served after all firm ones would get, in nine futures of ten; the waiting
//!           list promises nothing and is served from what is left
//! Units     kg of the form sold, pieces, coins
//! Range     the planned catches of the season
//! Source    docs/model/selling.md; 3 days on ice for whole prawns: softening was seen from then on (docs/model/selling.md); the rest common practice
//! Left out  what a second day of a catch brings, what a first seining leaves for later, quality other than size

use books::allocate::{Class, Wanted, allocate};
use farm::facts::market::{Good, SoldAs};
use farm::{Farm, Form, Pays};
use rayon::prelude::*;
use units::{Currency, Day};

use crate::answer::{Band, Outlook};
use crate::day::futures;
use crate::drawn::Drawn;
use crate::outlook::MorningAsk;

mod actual;
mod buyers;
mod ice;
mod market;
mod running;
mod slots;
mod stock;
mod tank;
#[cfg(test)]
mod tests;

pub use actual::{Caught, shared_today};
pub use buyers::{Buyer, buyers, listed, live_orders, standing_id};
pub use ice::{Ice, Lot, on_ice};
use market::Market;
pub use slots::{Coming, Fetched, fetched};
pub use stock::{Stock, hold, stocks};
pub use tank::{COLD_C, Tank, tank};

/// A planned catch.
#[derive(Debug, Clone, PartialEq)]
pub struct Catch {
    /// The day.
    pub on: Day,
    /// The ponds, by their places among the farm's.
    pub ponds: Vec<usize>,
    /// Fit to be sold, whole weight, kg.
    pub sold_kg: Band,
    /// By size class: weights of one animal (g), what of it there is, and what is left when every firm order is filled as far as it goes,
    /// kg; the waiting list is served from it. The
    /// classes are those that the price list or an order names for whole animals: what tails ask for cuts finer, inside the sharing alone.
    pub classes: Vec<(f64, f64, Band, Band)>,
    /// What there likely is of each class that is shared out, kg.
    fine_kg: Vec<f64>,
    /// What firm orders bring, coins.
    pub coins: Band,
    /// A person has accepted the day.
    pub is_locked: bool,
}

/// What one buyer gets at one catch.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The buyer's place in the list asked about.
    pub buyer: usize,
    /// The catch's place in [`Promised::catches`].
    pub catch: usize,
    /// Wanted there, kg of the form or pieces.
    pub wanted: f64,
    /// Got: one future in ten is below the low.
    pub gets: Band,
    /// Chance that all of it is there.
    pub full_chance: f64,
}

/// What may yet be promised of a form and size at a catch.
#[derive(Debug, Clone, PartialEq)]
pub struct Free {
    /// The catch's place in [`Promised::catches`].
    pub catch: usize,
    /// What.
    pub good: Good,
    /// kg of the form or pieces: `low` is what nine futures of ten hold.
    pub amount: Band,
    /// What the price list pays.
    pub pays: Pays,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Promised {
    /// Money.
    pub currency: Currency,
    /// Catches in order of day.
    pub catches: Vec<Catch>,
    /// Shares, by catch and buyer.
    pub shares: Vec<Share>,
    /// Buyers whom no planned catch suits, by their places.
    pub without: Vec<usize>,
    /// What may yet be promised. One line at a time: what is promised of one is gone from the others.
    pub free: Vec<Free>,
    /// Futures.
    pub members: usize,
    /// What lies on ice from earlier catches, and what it leaves of the orders for the coming ones.
    pub ice: Ice,
    /// What is weighed of a catch that is still being made today.
    pub running: Vec<Stock>,
}

/// A catch under one future.
struct Future {
    classes: Vec<Class>,
    mean_weight_g: f64,
}

/// Days of catch of the plan, with the ponds of each and whether a person accepted it.
fn days(farm: &Farm, outlook: &Outlook) -> Vec<(Day, Vec<usize>, bool)> {
    let mut days: Vec<(Day, Vec<usize>, bool)> = Vec::new();
    for shown in &outlook.ponds {
        let Some(planned) = shown.planned else { continue };
        let on = planned.second_day.filter(|_| planned.parts).unwrap_or(planned.catch_day);
        let card = &farm.ponds[shown.index];
        let locked = card.locked == Some(on) || card.announced.contains(&on);
        match days.iter_mut().find(|(day, ..)| *day == on) {
            Some((_, ponds, is_locked)) => {
                ponds.push(shown.index);
                *is_locked &= locked;
            }
            None => days.push((on, vec![shown.index], locked)),
        }
    }
    days.sort_by_key(|(day, ..)| *day);
    days
}

/// Shares what lies on ice out to the orders, then the coming catches under every future to what is still open of them.
pub fn promised(ask: &MorningAsk, drawn: &Drawn, outlook: &Outlook, buyers: &[Buyer], stocks: &[Stock]) -> Promised {
    let days = days(ask.farm, outlook);
    let planned: Vec<Day> = days.iter().map(|(on, ..)| *on).collect();
    let (running, lying) = running::apart(ask.farm, &days, stocks);
    let likely = Market::new(ask.farm, buyers);
    let mut futures: Vec<Vec<Future>> =
        days.iter().map(|(on, ponds, _)| cut(ask, drawn, &likely, *on, ponds)).collect();
    running::held_to(&mut futures, &days, &running, &likely);
    let sizes = futures.first().map(|of| fine_kg(&likely, of));
    let coming: Vec<(Day, f64)> =
        planned.iter().zip(&futures).map(|(on, of)| (*on, fine_kg(&likely, of).iter().sum())).collect();
    let ice = on_ice(ask.farm, buyers, &lying, &coming, sizes.as_deref(), ask.on);
    let buyers = &ice.rest;
    let market = Market::new(ask.farm, buyers).of_days(planned.iter().copied());
    let members = futures.first().map_or(0, Vec::len);
    let goods = goods(ask.farm);
    let lived: Vec<Vec<Lived>> = (0..members)
        .into_par_iter()
        .map(|member| {
            let mut open: Vec<f64> = buyers.iter().map(|buyer| buyer.amount).collect();
            days.iter().zip(&futures).map(|((on, ..), of)| live(&market, *on, &of[member], &mut open, &goods)).collect()
        })
        .collect();
    let (catches, shares, mut without, free) = told(&market, &days, &futures, &lived, &goods, members);
    // Who is served from what lies on ice has a day.
    let is_served = |buyer: &usize| {
        let mut given = ice.lots.iter().flat_map(|lot| &lot.shares);
        given.any(|share| share.buyer == *buyer && share.gets.middle > 1e-6)
    };
    without.retain(|buyer| !is_served(buyer));
    let running = running.into_iter().map(|of| of.stock).collect();
    Promised { currency: ask.farm.currency, catches, shares, without, free, members, ice, running }
}

/// What there likely is of each class, kg.
fn fine_kg(market: &Market, of: &[Future]) -> Vec<f64> {
    let kg = |class: usize| Band::of(of.iter().map(|one| one.classes[class].weight_kg).collect()).middle;
    (0..=market.limits_g.len()).map(kg).collect()
}

/// What a catch came to under one future.
struct Lived {
    /// Wanted of each buyer, and given.
    wanted: Vec<f64>,
    given: Vec<f64>,
    left_kg: Vec<f64>,
    coins: f64,
    free: Vec<f64>,
}

/// Forms and sizes of the price list.
fn goods(farm: &Farm) -> Vec<(Good, (f64, f64), Pays)> {
    let word = |form: Form| match form {
        Form::Live => SoldAs::Live,
        Form::Whole => SoldAs::Whole,
        Form::Tails => SoldAs::Tails,
        Form::Piece => SoldAs::Piece,
    };
    let good = |row: &farm::Price| {
        (Good { sold_as: word(row.form), size: row.class.clone() }, (row.from_g, row.to_g), row.pays)
    };
    farm.prices.rows.iter().map(good).collect()
}

/// Each future's catch of a day, cut into classes.
fn cut(ask: &MorningAsk, drawn: &Drawn, market: &Market, on: Day, ponds: &[usize]) -> Vec<Future> {
    let n = market.limits_g.len() + 1;
    let members = drawn.hidden.first().map_or(0, Vec::len);
    let mut sums = vec![(vec![(0.0, 0.0); n], 0.0, 0.0); members];
    let day = usize::try_from(on.0 - ask.on.0).ok().filter(|day| *day < drawn.days);
    let stood = ponds.iter().filter_map(|pond| drawn.ponds.iter().position(|standing| standing.index == *pond));
    for (at, day) in stood.zip(std::iter::repeat(day)).filter_map(|(at, day)| Some((at, day?))) {
        let crop = drawn.ponds[at].today(drawn.members.today()).crop;
        let (futures, dawn_c) = futures::of_day(ask.farm, drawn, at, day);
        let strands = futures::strands(ask.farm, &drawn.ponds[at].card);
        let mut shares = vec![0.0; n];
        for (member, future) in futures.iter().enumerate() {
            crop.mass_shares(future.weight_g.max(0.1), &market.limits_g, &drawn.hidden[at][member], &mut shares);
            let stranded = strands.share(dawn_c[member], future.strands_uneven);
            let kg = future.mass_kg * (1.0 - stranded) * (1.0 - future.culled_share);
            let (classes, mass_kg, count) = &mut sums[member];
            for (class, share) in classes.iter_mut().zip(&shares) {
                class.0 += kg * share;
                class.1 += kg * share;
            }
            (*mass_kg, *count) = (*mass_kg + kg, *count + kg / future.weight_g.max(0.1));
        }
    }
    sums.into_iter()
        .map(|(classes, kg, count)| Future {
            classes: classes.iter().enumerate().map(|(at, (kg, live))| market.class(at, *kg, *live)).collect(),
            mean_weight_g: if count > 0.0 { kg / count } else { 30.0 },
        })
        .collect()
}

/// One catch under one future: orders by rank, then what one more order of each good would get.
fn live(market: &Market, on: Day, of: &Future, open: &mut [f64], goods: &[(Good, (f64, f64), Pays)]) -> Lived {
    let limits = market.limits(on, of.mean_weight_g);
    let wanted: Vec<f64> = market
        .buyers
        .iter()
        .enumerate()
        .zip(open.iter())
        .map(|((at, buyer), open)| if market.suits(at, on) && !buyer.came(on) { *open } else { 0.0 })
        .collect();
    let mut orders: Vec<Wanted> =
        market.buyers.iter().zip(&wanted).map(|(buyer, amount)| market.wanted(buyer, *amount)).collect();
    let given = allocate(&of.classes, &orders, limits).given;
    // The waiting list was promised nothing: what is left, and what may be promised, stand beside the firm orders alone.
    orders.retain(|order| order.rank < farm::facts::market::Rank::Waiting as u32);
    let firm = allocate(&of.classes, &orders, limits);
    for ((buyer, open), given) in market.buyers.iter().zip(open.iter_mut()).zip(&given) {
        if !buyer.is_standing {
            *open = (*open - given).max(0.0);
        }
    }
    let free = goods
        .iter()
        .map(|(good, size_g, pays)| {
            let more = Buyer::endless(good.clone(), *size_g, *pays);
            // After every firm order: it gets what none of them can have.
            orders.push(Wanted { rank: u32::MAX, ..market.wanted(&more, more.amount) });
            let given = allocate(&of.classes, &orders, limits).given;
            orders.pop();
            given[given.len() - 1]
        })
        .collect();
    Lived { wanted, left_kg: firm.left_kg, coins: firm.coins, given, free }
}

impl Buyer {
    /// Somebody who would take all there is.
    fn endless(good: Good, size_g: (f64, f64), pays: Pays) -> Buyer {
        Buyer {
            id: String::new(),
            name: String::new(),
            contact: None,
            rank: farm::facts::market::Rank::Waiting,
            good,
            size_g,
            amount: 1e7,
            pays: Some(pays),
            agreed: Some(pays),
            by_size: false,
            window: (None, None),
            weekdays: [true; 7],
            answers: Vec::new(),
            told: None,
            had: Vec::new(),
            head: None,
            is_standing: false,
            order: None,
        }
    }
}

fn told(
    market: &Market,
    days: &[(Day, Vec<usize>, bool)],
    futures: &[Vec<Future>],
    lived: &[Vec<Lived>],
    goods: &[(Good, (f64, f64), Pays)],
    members: usize,
) -> (Vec<Catch>, Vec<Share>, Vec<usize>, Vec<Free>) {
    let band = |catch: usize, of: &dyn Fn(&Lived) -> f64| Band::of(lived.iter().map(|one| of(&one[catch])).collect());
    let catches = days.iter().enumerate().map(|(at, (on, ponds, is_locked))| Catch {
        on: *on,
        ponds: ponds.clone(),
        sold_kg: Band::of(
            futures[at].iter().map(|one| one.classes.iter().map(|class| class.weight_kg).sum()).collect(),
        ),
        classes: market
            .shown()
            .into_iter()
            .map(|(low, high, of)| {
                let sum = |kg: &dyn Fn(usize) -> f64| of.iter().map(|class| kg(*class)).sum::<f64>();
                let there = futures[at].iter().map(|one| sum(&|class| one.classes[class].weight_kg)).collect();
                (low, high, Band::of(there), band(at, &|one| sum(&|class| one.left_kg[class])))
            })
            .collect(),
        fine_kg: fine_kg(market, &futures[at]),
        coins: band(at, &|one| one.coins),
        is_locked: *is_locked,
    });
    let catches: Vec<Catch> = catches.collect();
    let mut shares = Vec::new();
    for (catch, (on, ..)) in days.iter().enumerate() {
        for buyer in (0..market.buyers.len()).filter(|buyer| market.suits(*buyer, *on)) {
            let wanted = Band::of(lived.iter().map(|one| one[catch].wanted[buyer]).collect()).middle;
            let most = lived.iter().map(|one| one[catch].wanted[buyer]).fold(0.0, f64::max);
            // An order of this once that an earlier catch fills in most futures asks nothing of this one.
            if most <= 0.0 || (wanted <= 1e-6 && !market.buyers[buyer].is_standing) {
                continue;
            }
            let full = |one: &&Vec<Lived>| one[catch].given[buyer] >= one[catch].wanted[buyer] * (1.0 - 1e-6) - 1e-9;
            shares.push(Share {
                buyer,
                catch,
                wanted: wanted.max(if market.buyers[buyer].is_standing { most } else { wanted }),
                gets: band(catch, &|one| one.given[buyer]),
                full_chance: lived.iter().filter(full).count() as f64 / members.max(1) as f64,
            });
        }
    }
    let without = (0..market.buyers.len())
        .filter(|buyer| market.buyers[*buyer].amount > 0.0 && !days.iter().any(|(on, ..)| market.suits(*buyer, *on)))
        .collect();
    let free = (0..catches.len())
        .flat_map(|catch| goods.iter().enumerate().map(move |(at, row)| (catch, at, row)))
        .map(|(catch, at, (good, _, pays))| Free {
            catch,
            good: good.clone(),
            amount: band(catch, &|one| one.free[at]),
            pays: *pays,
        })
        .collect();
    (catches, shares, without, free)
}
