//! The winter plan of a pond: when to stock it, how closely, and what may come of it, from past years lived through by its water.
//!
//! Model     the pond's heat hour by hour through every past year at once; growth, survival, cold, sizes, feed and money of the morning's
//!           plan on top, with the animals' unknowns drawn several times for each year and the same for every variant
//! Units     °C, animals per hectare, kg, coins of the farm's currency; shares 0 to 1
//! Range     as the models it joins; a harvest on one fixed day, chosen once for all years
//! Source    the models' own pages; stocking once dawns stay at 20 °C: physics and biology references in docs/model/winter.md
//! Left out  what the autumn's plan makes of a front that is seen coming (it can only better a fixed day), crowding of the market by
//!           other farms, interest on money lent

use chance::{Purpose, Stream};
use ensemble::DayTable;
use farm::Farm;
use rayon::prelude::*;
use stock::{Crop, HIDDEN_DRAWS, Hidden, StockParams, Stocking};
use units::{Day, Watch};

use crate::answer::Band;
use crate::outlook::OutlookError;
use crate::past::FarmPast;
use crate::ponds::{PondModel, pond_model};
use crate::report::LOSS_SHARE;
use crate::worth::{Cell, PondToday, Streams, Valuer};

mod money;
mod order;
mod question;
mod water;

pub use money::{Month, MonthFlow};
pub use order::{Nursing, Order, PREPARATION, Work, order};
pub use question::{INPUTS, Understood, understand};
use water::{Water, library, water};

const ANIMALS: Purpose = Purpose(0x5EA5_0700);
/// Draws of the animals' unknowns for each past year.
const DRAWS: u32 = 3;
/// Days the water runs before the first day that is asked about, so that how it began is forgotten, d.
const BEFORE_D: i32 = 21;
/// Days before the first and after the last stocking date for which the chance of warm water is told, d.
const AROUND_D: i32 = 21;
/// Mornings from stocking on that must be warm, d.
pub const WARM_MORNINGS: usize = 7;
/// Dawn water at which postlarvae's juveniles may be stocked, °C.
pub const WARM_DAWN_C: f64 = 20.0;
/// Days from stocking before which no catch is looked at, d.
pub(crate) const GROWN_D: usize = 60;
/// Longest season from the first date asked about to the last catch, d.
const SEASON_MOST_D: i32 = 300;

/// What is asked.
#[derive(Debug, Clone)]
pub struct WinterAsk<'a> {
    /// The farm: prices, costs, orders and choices are its own.
    pub farm: &'a Farm,
    /// Its past.
    pub past: &'a FarmPast,
    /// Which pond, by its place.
    pub pond: usize,
    /// Stocking dates, rising.
    pub dates: Vec<Day>,
    /// Densities, animals per hectare of water, rising.
    pub per_ha: Vec<f64>,
    /// Mean weight of a juvenile when stocked, g.
    pub juvenile_g: f64,
    /// Added surface as a share of the bottom.
    pub substrate: f64,
    /// The last day a catch can be.
    pub last_catch: Day,
    /// Past years lived through: the latest ones.
    pub years_most: usize,
    /// Prices against the farm's own, 1 for as they are.
    pub price_factor: f64,
    /// Coins for one juvenile, with everything until it is stocked.
    pub juvenile_coins: f64,
    /// Other coins of the season for this pond: lime, fertilizer, nets, tests.
    pub other_coins: f64,
    /// Days from paying for the postlarvae to stocking, d.
    pub nursing_d: i32,
    /// Most money that may be laid out before the sale, coins; `None` for no limit.
    pub cash_most: Option<f64>,
    /// Largest chance of ending the season with less than was laid out.
    pub loss_chance_most: f64,
    /// Least share of past years whose water was warm enough from the day of stocking on.
    pub warm_chance_least: f64,
}

/// How often past springs had warm water from a day on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarmBy {
    /// The day.
    pub on: Day,
    /// Share of past years whose dawn water stayed warm for [`WARM_MORNINGS`] from this day on.
    pub chance: f64,
}

/// One date and density.
#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    /// Day of stocking.
    pub on: Day,
    /// Animals per hectare.
    pub per_ha: f64,
    /// Animals.
    pub count: f64,
    /// Share of past years whose dawns stayed warm from that day on.
    pub warm_chance: f64,
    /// The fixed day of catch that would have brought most over the past years.
    pub catch_on: Day,
    /// The last day of catch on which cold would have taken a fifth or more in less than one year of ten; `None` if there is none.
    pub last_safe: Option<Day>,
    /// Chance that cold takes a fifth or more by that catch.
    pub cold_chance: f64,
    /// Live weight caught, kg.
    pub caught_kg: Band,
    /// Mean weight, g.
    pub mean_weight_g: Band,
    /// Share of the stocked animals caught.
    pub survival: Band,
    /// Share of the catch by size, lightest first: limits of [`stock::sizes::USUAL_GRADES`].
    pub mass_shares: Vec<f64>,
    /// Feed, kg.
    pub feed_kg: Band,
    /// What is left after all that is reckoned here, coins.
    pub net_coins: Band,
    /// Its mean, coins.
    pub net_mean_coins: f64,
    /// Share of futures that end with less than was laid out.
    pub loss_chance: f64,
    /// Money in and out by month, coins: the mean of futures.
    pub months: Vec<MonthFlow>,
    /// The most that is laid out at any month's end before the sale, coins.
    pub laid_out_coins: f64,
    /// It keeps to the limits of money and chance that were given.
    pub is_within: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Winter {
    /// The pond's place.
    pub pond: usize,
    /// Past years lived through: how many, the first and the last.
    pub years: (usize, i16, i16),
    /// Warm water by day.
    pub warm: Vec<WarmBy>,
    /// Every date with every density, dates outermost.
    pub variants: Vec<Variant>,
    /// The one within the limits that brings most; `None` if none keeps to them.
    pub best: Option<usize>,
    /// Seed of the draws.
    pub seed: u64,
}

/// Less than this share of a year's usual spread between two variants cannot be told from none: the years are few.
const TOLD_APART: f64 = 0.1;

impl Winter {
    /// The variant to be told of first: the best; where none keeps to the limits, the one that brings most among those whose water was warm
    /// enough, if any was.
    pub fn first_told(&self, warm_chance_least: f64) -> usize {
        let most = |warm_least: f64| {
            let warm = self.variants.iter().enumerate().filter(|(_, one)| one.warm_chance >= warm_least);
            warm.max_by(|a, b| a.1.net_mean_coins.total_cmp(&b.1.net_mean_coins)).map(|(at, _)| at)
        };
        self.best.or_else(|| most(warm_chance_least)).or_else(|| most(0.0)).unwrap_or(0)
    }
    /// Variants within the limits that are as good as the best, as far as so few years can tell; the best among them.
    pub fn as_good(&self) -> Vec<usize> {
        let Some(best) = self.best.map(|at| &self.variants[at]) else { return Vec::new() };
        let least = best.net_mean_coins - TOLD_APART * (best.net_coins.high - best.net_coins.low);
        let near = |one: &Variant| one.is_within && one.net_mean_coins >= least;
        self.variants.iter().enumerate().filter(|(_, one)| near(one)).map(|(at, _)| at).collect()
    }
}

/// Answers [`WinterAsk`].
///
/// # Errors
/// When the pond cannot be run, the past is too short, or somebody asked to stop.
///
/// # Panics
/// Without dates or densities, or with dates that do not rise before the last catch.
pub fn winter(ask: &WinterAsk, watch: &Watch) -> Result<Winter, OutlookError> {
    assert!(!ask.per_ha.is_empty(), "dates and densities are checked by the caller");
    let asked: Vec<(usize, f64)> =
        (0..ask.dates.len()).flat_map(|date| ask.per_ha.iter().map(move |&per_ha| (date, per_ha))).collect();
    let Lived { warm, variants, years, .. } = live(ask, &asked, watch)?;
    let within = variants.iter().enumerate().filter(|(_, one)| one.is_within);
    let best = within.max_by(|a, b| a.1.net_mean_coins.total_cmp(&b.1.net_mean_coins)).map(|(at, _)| at);
    Ok(Winter { pond: ask.pond, years, warm, variants, best, seed: ask.past.seed })
}

/// Some dates with some densities, lived through.
pub(crate) struct Lived {
    /// Warm water by day around the dates.
    pub warm: Vec<WarmBy>,
    /// One for each that was asked, in that order.
    pub variants: Vec<Variant>,
    /// What is left of each, life by life, coins: the same life of two variants, or of two ponds, met the same weather and luck.
    pub nets: Vec<Vec<f64>>,
    /// Past years: how many, the first and the last.
    pub years: (usize, i16, i16),
}

/// Lives the past years through for some of an ask's dates, each with a density: what [`winter`] does for all of them.
pub(crate) fn live(ask: &WinterAsk, asked: &[(usize, f64)], watch: &Watch) -> Result<Lived, OutlookError> {
    let card = &ask.farm.ponds[ask.pond];
    let (first_date, last_date) = (ask.dates[0], *ask.dates.last().expect("at least one date"));
    assert!(last_date < ask.last_catch, "dates are checked by the caller");
    // A window of past years begins on a day that every year has.
    let from = first_date.plus(-AROUND_D - BEFORE_D);
    let from = from.plus((28 - i32::from(from.ymd().2)).min(0));
    let until = ask.last_catch.plus(1).max(last_date.plus(AROUND_D + WARM_MORNINGS as i32));
    if until.0 - from.0 > SEASON_MOST_D {
        return Err(OutlookError::SeasonOver { last_catch: ask.last_catch });
    }
    let climate = ask.past.climate(first_date).map_err(OutlookError::Past)?;
    let model = pond_model(ask.farm, card).map_err(OutlookError::Pond)?;
    watch.expect(asked.len() as u64 + 4);
    let library = library(ask.past, from, (until.0 - from.0) as usize, ask.years_most).map_err(OutlookError::Past)?;
    watch.advance(2);
    let hours = water(card, &model, &climate, &library, from, watch).ok_or(OutlookError::Stopped)?;
    watch.advance(2);
    let dawn_hour = ask.past.dawn_hour(first_date);
    let lived = Water { from, hours, dawn_hour };
    let warm: Vec<WarmBy> = (-AROUND_D..=last_date.0 - first_date.0 + AROUND_D)
        .map(|day| first_date.plus(day))
        .map(|on| WarmBy { on, chance: lived.warm_chance(on) })
        .collect();
    let tables: Vec<DayTable> =
        ask.dates.par_iter().map(|&on| lived.table(on, (ask.last_catch.0 - on.0 + 1) as usize)).collect();
    let mut found: Vec<Option<(Variant, Vec<f64>)>> = vec![None; asked.len()];
    found.par_iter_mut().zip(asked).for_each(|(place, &(date, per_ha))| {
        if !watch.asked_to_stop() {
            let warm_chance = lived.warm_chance(ask.dates[date]);
            *place = Some(variant(ask, &model, &tables[date], (ask.dates[date], per_ha), warm_chance));
            watch.advance(1);
        }
    });
    let (variants, nets) = found.into_iter().collect::<Option<(Vec<_>, Vec<_>)>>().ok_or(OutlookError::Stopped)?;
    let years = library.years();
    Ok(Lived { warm, variants, nets, years: (years.len(), years[0], years[years.len() - 1]) })
}

fn hidden(seed: u64, year: usize, draw: u32) -> Hidden {
    let mut stream = Stream::new(seed, year as u32 * DRAWS + draw, ANIMALS);
    let normals: [f64; HIDDEN_DRAWS] = std::array::from_fn(|_| stream.normal());
    Hidden::from_normals(normals)
}

fn variant(
    ask: &WinterAsk,
    model: &PondModel,
    table: &DayTable,
    (on, per_ha): (Day, f64),
    warm_chance: f64,
) -> (Variant, Vec<f64>) {
    let farm = money::stocked_farm(ask, on, per_ha);
    let card = &farm.ponds[ask.pond];
    let count = card.stocking.count;
    let stocking = Stocking { count, weight_g: ask.juvenile_g, per_ha, substrate_fraction: ask.substrate };
    let today = PondToday {
        crop: Crop::new(&stocking, &StockParams::default()),
        warm_days: 0.0,
        days: 0.0,
        depths: model.depths,
        lead_h: f64::from(model.ways[0].lead_hours),
        lead_fuel_l: model.lead_fuel_l,
    };
    let streams = Streams::of(&farm, money::grown_kg(&farm, ask, &today, table));
    let valuer = Valuer::new(&farm, card, &today, &streams);
    let days = table.days();
    let lives: Vec<(usize, Hidden)> = (0..table.members())
        .flat_map(|year| (0..DRAWS).map(move |draw| (year, draw)))
        .map(|(year, draw)| (year, hidden(ask.past.seed, year, draw)))
        .collect();
    let mut cells = vec![Cell::default(); lives.len() * days];
    for ((year, hidden), row) in lives.iter().zip(cells.chunks_mut(days)) {
        valuer.member(table, *year, hidden, row);
    }
    let best = best_day(&farm, &cells, days);
    let last_safe = (GROWN_D.min(days - 1)..days).rev().find(|&day| lost_share(&cells, days, day) < 0.1);
    let caught: Vec<&Cell> = cells.chunks(days).map(|row| &row[best]).collect();
    let band = |value: &dyn Fn(&Cell) -> f64| Band::of(caught.iter().map(|cell| value(cell)).collect());
    let seed_coins = count * ask.juvenile_coins + ask.other_coins;
    let net: Vec<f64> = caught.iter().map(|cell| cell.worth - seed_coins).collect();
    let fed = money::fed(&lives, table, &today, best);
    let months = money::months(ask, &farm, (on, best), &fed, &caught);
    let laid_out_coins = money::laid_out(&months, on.plus(best as i32));
    let loss_chance = net.iter().filter(|coins| **coins < 0.0).count() as f64 / net.len() as f64;
    let is_within = loss_chance <= ask.loss_chance_most
        && warm_chance >= ask.warm_chance_least
        && ask.cash_most.is_none_or(|most| laid_out_coins <= most);
    let told = Variant {
        on,
        per_ha,
        count,
        warm_chance,
        catch_on: on.plus(best as i32),
        last_safe: last_safe.map(|day| on.plus(day as i32)),
        cold_chance: lost_share(&cells, days, best),
        caught_kg: band(&|cell| cell.caught_kg),
        mean_weight_g: band(&|cell| cell.mean_weight_g),
        survival: band(&|cell| cell.caught_kg * 1000.0 / cell.mean_weight_g / count),
        mass_shares: shares(&today.crop, &caught, &lives),
        feed_kg: Band::of(fed.iter().map(|one| one.kg.iter().sum()).collect()),
        net_mean_coins: net.iter().sum::<f64>() / net.len() as f64,
        net_coins: Band::of(net.clone()),
        loss_chance,
        months,
        laid_out_coins,
        is_within,
    };
    (told, net)
}

/// The fixed day of catch that brings most, cold weighed as the grower asks.
fn best_day(farm: &Farm, cells: &[Cell], days: usize) -> usize {
    let weight = farm.choices.risk_weight - 1.0;
    let mean = |day: usize| {
        let all = cells.chunks(days).map(|row| row[day].worth - weight * row[day].cold_loss);
        all.sum::<f64>()
    };
    (GROWN_D.min(days - 1)..days).max_by(|&a, &b| mean(a).total_cmp(&mean(b))).unwrap_or(days - 1)
}

fn lost_share(cells: &[Cell], days: usize, day: usize) -> f64 {
    let lives = cells.len() / days;
    cells.chunks(days).filter(|row| row[day].loss_fraction >= LOSS_SHARE).count() as f64 / lives as f64
}

/// Mean shares of the caught weight by usual grades, lightest first.
fn shares(crop: &Crop, caught: &[&Cell], lives: &[(usize, Hidden)]) -> Vec<f64> {
    let mut limits_g: Vec<f64> =
        stock::sizes::USUAL_GRADES.iter().map(|grade| grade.weight_min_g).filter(|g| *g > 0.0).collect();
    limits_g.sort_by(f64::total_cmp);
    let mut sum = vec![0.0; limits_g.len() + 1];
    let mut one = sum.clone();
    let mut weight = 0.0;
    for (cell, (_, hidden)) in caught.iter().zip(lives) {
        crop.mass_shares(cell.mean_weight_g, &limits_g, hidden, &mut one);
        sum.iter_mut().zip(&one).for_each(|(sum, share)| *sum += share * cell.caught_kg);
        weight += cell.caught_kg;
    }
    sum.into_iter().map(|kg| if weight > 0.0 { kg / weight } else { 0.0 }).collect()
}
