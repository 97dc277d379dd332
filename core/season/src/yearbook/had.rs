//! What was stocked, caught and sold in a year, and what is left.

use farm::facts::Lot;
use farm::facts::market::{Market, Pool, SoldAs, supply};
use farm::{Form, Pays};
use units::{Day, Money};

use super::YearAsk;
use super::folded::{harvest_days, lots_of_packs, pond_of_lot};

/// Tail over whole weight where the farm names none (the mean of the curve by size of the farm file's reference).
const TAIL_USUAL: f64 = 0.47;

/// What a pond, or the whole farm, had.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Had {
    /// Animals stocked in the year.
    pub stocked: f64,
    /// Live weight caught, kg; `None` when nothing was weighed.
    pub caught_kg: Option<f64>,
    /// Share of the stocked that was caught, where catches were counted.
    pub survival: Option<f64>,
    /// Mean weight at the catch, kg.
    pub mean_kg: Option<f64>,
    /// Sold, as whole weight, kg: tails by their yield, pieces by the mean weight.
    pub sold_kg: f64,
    /// What that brought, coins.
    pub sold_coins: f64,
    /// Of it tails, in their own weight, kg and coins.
    pub tails: (f64, f64),
    /// Of it whole and alive, kg and coins.
    pub whole: (f64, f64),
}

impl Had {
    /// Tails over whole weight that sales were turned into whole weight by.
    pub fn tail_yield(ask: &YearAsk) -> f64 {
        ask.farm.prices.tail_yield.unwrap_or(TAIL_USUAL)
    }
}

/// What is left to sell, at the price list.
#[derive(Debug, Clone, PartialEq)]
pub struct StockLeft {
    /// In which form.
    pub pool: Pool,
    /// kg, of tails in their own weight; below nothing when more was sold than was weighed.
    pub left_kg: f64,
    /// At the price list; `None` where it names none by weight.
    pub worth: Option<Money>,
}

/// What each pond had, in their order, and the whole farm last. Sales whose lot names no pond are the farm's alone.
pub(super) fn had(ask: &YearAsk, sales: &Market, year: (Day, Day)) -> Vec<Had> {
    let count = ask.farm.ponds.len();
    let mut all = vec![Had::default(); count + 1];
    let of_year = |lot: &&Lot| lot_year(lot, year);
    for lot in ask.lots.iter().filter(of_year) {
        let Some(place) = ask.farm.ponds.iter().position(|card| card.id == lot.pond) else { continue };
        let one = &mut all[place];
        one.stocked += lot.stocking.count;
        one.caught_kg = lot.caught_kg.map(|kg| kg + one.caught_kg.unwrap_or(0.0)).or(one.caught_kg);
        if let (Some(caught), true) = (lot.caught_count.filter(|count| *count > 0.0), lot.is_counted_whole) {
            // What a first seining brought says nothing of how many live.
            one.survival = lot.out.map(|_| caught / lot.stocking.count).or(one.survival);
            one.mean_kg = lot.caught_kg.map(|kg| kg / caught);
        }
    }
    for (_, record) in harvest_days(ask).into_iter().filter(|(day, _)| year.0 <= *day && *day <= year.1) {
        for (place, card) in ask.farm.ponds.iter().enumerate() {
            let own = record.baskets.iter().filter(|basket| basket.written.pond.as_deref() == Some(card.id.as_str()));
            let kg: f64 = own.map(|basket| basket.net_kg).sum();
            // A catch entered as one weight and its baskets are the same animals.
            if kg > 0.0
                && ask
                    .lots
                    .iter()
                    .filter(|lot| lot.pond == card.id && lot_year(lot, year))
                    .all(|lot| lot.caught_kg.is_none())
            {
                all[place].caught_kg = Some(all[place].caught_kg.unwrap_or(0.0) + kg);
            }
        }
    }
    sold(ask, sales, year, &mut all);
    share_loose(&mut all);
    let (ponds, whole) = all.split_at_mut(count);
    let whole = &mut whole[0];
    for pond in ponds.iter() {
        whole.stocked += pond.stocked;
        whole.caught_kg = pond.caught_kg.map(|kg| kg + whole.caught_kg.unwrap_or(0.0)).or(whole.caught_kg);
        whole.sold_kg += pond.sold_kg;
        whole.sold_coins += pond.sold_coins;
        whole.tails = (whole.tails.0 + pond.tails.0, whole.tails.1 + pond.tails.1);
        whole.whole = (whole.whole.0 + pond.whole.0, whole.whole.1 + pond.whole.1);
    }
    let counted: Vec<(f64, f64)> =
        ponds.iter().filter_map(|one| Some((one.caught_kg?, one.caught_kg? / one.mean_kg?))).collect();
    if ponds.iter().all(|one| one.stocked == 0.0 || one.survival.is_some()) && !counted.is_empty() {
        let (kg, animals) = counted.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        (whole.mean_kg, whole.survival) = (Some(kg / animals), Some(animals / whole.stocked));
    }
    all
}

/// What was sold without a lot is shared among the ponds by weight caught, as the money it brought is (`yearbook::sharing`).
fn share_loose(all: &mut [Had]) {
    let Some((whole, ponds)) = all.split_last_mut() else { return };
    let caught_kg: f64 = ponds.iter().filter_map(|pond| pond.caught_kg).sum();
    if caught_kg <= 0.0 {
        return;
    }
    for pond in ponds {
        let part = pond.caught_kg.unwrap_or(0.0) / caught_kg;
        pond.sold_kg += part * whole.sold_kg;
        pond.sold_coins += part * whole.sold_coins;
        pond.tails = (pond.tails.0 + part * whole.tails.0, pond.tails.1 + part * whole.tails.1);
        pond.whole = (pond.whole.0 + part * whole.whole.0, pond.whole.1 + part * whole.whole.1);
    }
    *whole = Had { sold_kg: 0.0, sold_coins: 0.0, tails: (0.0, 0.0), whole: (0.0, 0.0), ..whole.clone() };
}

/// A lot belongs to the year in which it came out, or, while it is in the water, to that in which it went in.
fn lot_year(lot: &Lot, year: (Day, Day)) -> bool {
    let day = lot.out.unwrap_or(lot.stocking.on);
    year.0 <= day && day <= year.1
}

fn sold(ask: &YearAsk, sales: &Market, year: (Day, Day), all: &mut [Had]) {
    let known = lots_of_packs(ask);
    let (farm, tail_yield) = (ask.farm, Had::tail_yield(ask));
    for line in &sales.sold {
        let day = farm.place.zone.day_and_second(line.entered.at).0;
        if day < year.0 || day > year.1.min(ask.today) {
            continue;
        }
        let place = sales.lot_of(line).and_then(|lot| pond_of_lot(ask, &known, lot)).unwrap_or(farm.ponds.len());
        let sign = if line.takes_back.is_some() { -1.0 } else { 1.0 };
        let one = &mut all[place];
        let each_kg = one.mean_kg.unwrap_or_else(|| MEAN_USUAL_G / 1000.0);
        let own_kg = sign * line.weight_kg.unwrap_or(line.amount * each_kg);
        let coins = line.money.coins as f64;
        let is_tails = line.good.sold_as == SoldAs::Tails;
        one.sold_kg += if is_tails { own_kg / tail_yield } else { own_kg };
        one.sold_coins += coins;
        let part = if is_tails { &mut one.tails } else { &mut one.whole };
        *part = (part.0 + own_kg, part.1 + coins);
    }
}

/// Weight of one where pieces were neither weighed nor counted at the catch, g (the mean of the trials of the references).
const MEAN_USUAL_G: f64 = 35.0;

/// What harvest days supplied in the year less what was sold.
pub(super) fn left(ask: &YearAsk, sales: &Market, year: (Day, Day)) -> Vec<StockLeft> {
    let days =
        harvest_days(ask).into_iter().filter(|(day, _)| year.0 <= *day && *day <= year.1).map(|(_, record)| record);
    let days: Vec<_> = days.collect();
    if days.is_empty() {
        return Vec::new();
    }
    let there = supply(&days, &[]);
    let zone = &ask.farm.place.zone;
    let pool_of = |form: SoldAs| match form {
        SoldAs::Live => Pool::Live,
        SoldAs::Tails => Pool::Tails,
        SoldAs::Whole | SoldAs::Piece | SoldAs::Seconds => Pool::Whole,
    };
    let one = |(pool, form): (Pool, Form)| {
        let lines = sales.sold.iter().filter(|line| {
            let day = zone.day_and_second(line.entered.at).0;
            year.0 <= day && day <= year.1 && pool_of(line.good.sold_as) == pool
        });
        let gone: f64 = lines
            .map(|line| {
                let kg = line.weight_kg.unwrap_or(line.amount * MEAN_USUAL_G / 1000.0);
                match (line.takes_back.is_some(), line.again) {
                    (true, true) => -kg,
                    (true, false) => 0.0,
                    (false, _) => kg,
                }
            })
            .sum();
        let left_kg = there.of(pool) - gone;
        let rows = ask.farm.prices.rows.iter().filter(|row| row.form == form);
        let price = rows.filter_map(|row| if let Pays::PerKg(coins) = row.pays { Some(coins) } else { None }).next();
        let worth = price.map(|coins| Money::from_computed(coins * left_kg.max(0.0)));
        StockLeft { pool, left_kg, worth }
    };
    let all = [(Pool::Live, Form::Live), (Pool::Whole, Form::Whole), (Pool::Tails, Form::Tails)].map(one);
    all.into_iter().filter(|left| left.left_kg.abs() > 0.01).collect()
}
