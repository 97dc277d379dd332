//! What another choice would have brought, as far as it can be told afterwards.
//!
//! Model     tails: what was sold whole, headed, at the price tails had, less the hands that head it; density: the pond's own past years lived
//!           through with fewer and more animals, each year with the same luck
//! Units     kg, coins, animals per hectare
//! Range     as the models it joins
//! Source    docs/model/books.md, docs/model/winter.md
//! Left out  what buyers would have taken at those prices; how more tails press their own price

use units::{Day, Watch};

use super::{Had, YearAsk};
use crate::outlook::OutlookError;
use crate::past::FarmPast;
use crate::winter::{WinterAsk, winter};

/// What one heads in an hour, whole weight, kg (common practice).
pub const HEADED_KG_H: f64 = 20.0;
/// Past years lived through for a density.
const YEARS: usize = 40;
/// Densities beside the one that was stocked, as shares of it.
pub const BESIDE: [f64; 3] = [0.75, 1.0, 1.25];

/// What was sold whole, had it been sold as tails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tails {
    /// Whole weight that was sold, kg.
    pub whole_kg: f64,
    /// What it brought, coins.
    pub whole_coins: f64,
    /// Tail over whole weight.
    pub tail_yield: f64,
    /// What tails brought or are listed at, coins per kg of tails.
    pub price_kg: f64,
    /// The price is of the year's own sales, not of the list.
    pub is_had: bool,
    /// Hands for heading, coins.
    pub heading_coins: f64,
    /// What it would have brought more, coins; below nothing when less.
    pub more_coins: f64,
    /// The price of tails at which it is all one, coins per kg of tails.
    pub even_price_kg: f64,
}

/// Of what was sold whole; `None` without any, or without a price for tails.
pub fn tails(ask: &YearAsk, had: &Had) -> Option<Tails> {
    let (whole_kg, whole_coins) = had.whole;
    if whole_kg <= 0.0 {
        return None;
    }
    let listed = ask.farm.prices.rows.iter().filter(|row| row.form == farm::Form::Tails);
    let listed =
        listed.filter_map(|row| if let farm::Pays::PerKg(coins) = row.pays { Some(coins) } else { None }).next();
    let own = (had.tails.0 > 0.0).then(|| had.tails.1 / had.tails.0);
    let price_kg = own.or(listed)?;
    let tail_yield = Had::tail_yield(ask);
    let heading_coins = whole_kg / HEADED_KG_H * ask.farm.costs.hand_h;
    let more_coins = whole_kg * tail_yield * price_kg - heading_coins - whole_coins;
    let even_price_kg = (whole_coins + heading_coins) / (whole_kg * tail_yield);
    Some(Tails {
        whole_kg,
        whole_coins,
        tail_yield,
        price_kg,
        is_had: own.is_some(),
        heading_coins,
        more_coins,
        even_price_kg,
    })
}

/// One density over the past years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Density {
    /// Animals per hectare.
    pub per_ha: f64,
    /// Mean of what is left over the past years, coins.
    pub net_coins: f64,
    /// Eight of ten past years lie between these, coins.
    pub spread: (f64, f64),
    /// Middle of the catch, kg.
    pub caught_kg: f64,
    /// Middle weight of one, g.
    pub mean_weight_g: f64,
}

/// What the past years say of fewer and more animals in a pond that was stocked on a day; the middle one is what was stocked.
///
/// # Errors
/// As [`winter`].
pub fn densities(
    ask: &YearAsk,
    past: &FarmPast,
    (pond, on, count): (usize, Day, f64),
    juvenile_coins: f64,
    watch: &Watch,
) -> Result<Vec<Density>, OutlookError> {
    let card = &ask.farm.ponds[pond];
    let per_ha = count / (card.shape.area_m2 / 10_000.0);
    let last_catch = ask.farm.season.last_catch.in_year(on.ymd().0);
    let last_catch = if last_catch <= on { last_catch.in_year(on.ymd().0 + 1) } else { last_catch };
    let asked = WinterAsk {
        farm: ask.farm,
        past,
        pond,
        dates: vec![on],
        per_ha: BESIDE.map(|share| share * per_ha).to_vec(),
        juvenile_g: card.stocking.mean_weight_g,
        substrate: card.substrate,
        last_catch,
        years_most: YEARS,
        price_factor: 1.0,
        juvenile_coins,
        other_coins: 0.0,
        nursing_d: 0,
        cash_most: None,
        loss_chance_most: 1.0,
        warm_chance_least: 0.0,
    };
    let found = winter(&asked, watch)?;
    let one = |variant: &crate::winter::Variant| Density {
        per_ha: variant.per_ha,
        net_coins: variant.net_mean_coins,
        spread: (variant.net_coins.low, variant.net_coins.high),
        caught_kg: variant.caught_kg.middle,
        mean_weight_g: variant.mean_weight_g.middle,
    };
    Ok(found.variants.iter().map(one).collect())
}
