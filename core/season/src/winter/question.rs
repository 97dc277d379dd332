//! What a winter's plan asks for: one table, from which page and command are made; and what was typed as a [`WinterAsk`].

use farm::inputs::{Input, Takes};
use farm::reasons::Wrong;
use farm::{Farm, PondCard};
use sums::{Given, Slip};
use units::Day;
use units::measure::Kind;

use super::{Nursing, WinterAsk};
use crate::past::FarmPast;

/// Dates and densities that are set side by side, each.
const STEPS: usize = 5;
/// Past years lived through.
const YEARS: usize = 60;
/// Days between the first and the last stocking date when neither is told, d.
const DATES_D: i32 = 28;

const fn size(key: &'static str, kind: Kind, question: &'static str, about: &'static str) -> Input {
    Input::asked(key, Takes::Quantity(kind, None), question, about)
}

/// Every question, in the order of the page. What the farm's own description says stands in for the first seven.
pub static INPUTS: &[Input] = &[
    Input::asked("winter.first", Takes::Date, "What is the earliest day of stocking?", "")
        .then("two weeks before the day of the farm's own stocking, in the coming year"),
    Input::asked("winter.last", Takes::Date, "And the latest?", "Five days between the two are set side by side.")
        .then("two weeks after the day of the farm's own stocking"),
    Input::asked("winter.last_catch", Takes::Date, "On which day must the pond be out?", "")
        .then("the farm's own last day, in that year"),
    size("winter.thinnest", Kind::Density, "How thinly may it be stocked?", "")
        .range("500/ac", "200,000/ac")
        .usual("4000/ac", "35,000/ac")
        .then("two thirds of this season's"),
    size("winter.densest", Kind::Density, "And how closely?", "Five densities between the two are set side by side.")
        .range("500/ac", "200,000/ac")
        .usual("4000/ac", "35,000/ac")
        .then("a third more than this season's"),
    size("winter.juvenile_weight", Kind::Mass, "How heavy is a juvenile when it is stocked?", "")
        .range("0.005 g", "20 g")
        .usual("0.05 g", "3 g")
        .then("as heavy as this season's"),
    size("winter.netting", Kind::Share, "How much netting, as a share of the bottom?", "One side counts.")
        .range("0 %", "200 %")
        .then("as much as the pond has now"),
    size("winter.prices", Kind::Share, "What are prices, against the farm's own?", "")
        .range("1 %", "500 %")
        .assume("100 %", "as the farm's description says"),
    Input::asked(
        "winter.juvenile_cost",
        Takes::Amount,
        "What does one juvenile cost by the day it is stocked?",
        "Postlarvae, what dies of them, feed, heat.",
    )
    .range("0", "1000")
    .assume_dollars("0.10", "Kentucky in 2002, bought nursed (Dasgupta 2005); prices differ much"),
    Input::asked(
        "winter.other_costs",
        Takes::Amount,
        "What else does the pond cost in a season?",
        "Lime, nets, tests.",
    )
    .range("0", "10,000,000")
    .assume("0", "nothing was named"),
    size(
        "winter.nursing",
        Kind::Count,
        "How many days are they raised in your tanks?",
        "0 when they are bought nursed. Paid for when they come.",
    )
    .range("0", "120")
    .assume("60", "60-day juveniles grew and survived clearly better than 30-day ones in trials"),
    Input::asked("winter.cash", Takes::Amount, "How much money may be laid out before the sale?", "")
        .range("0", "1,000,000,000")
        .then("no limit is set"),
    size("winter.risk", Kind::Share, "How often may it end below what was laid out?", "")
        .range("0 %", "100 %")
        .assume("1 in 5", "our guess"),
    size("winter.warm", Kind::Share, "In what share of past springs must the water have been warm enough?", "")
        .range("0 %", "100 %")
        .assume("1 in 2", "our guess: in a cold spring one waits with the animals in the tanks"),
];

/// A question that is understood: what is asked of the pond, and how its animals are raised before.
#[derive(Debug, Clone)]
pub struct Understood<'a> {
    /// For [`super::winter`].
    pub ask: WinterAsk<'a>,
    /// For [`super::order`].
    pub nursing: Nursing,
    /// What stood in for what was left empty.
    pub given: Given,
}

/// Reads what was typed for a pond of a farm, in the season after `today`.
///
/// # Errors
/// Everything that is wrong.
pub fn understand<'a>(
    farm: &'a Farm,
    past: &'a FarmPast,
    pond: usize,
    today: Day,
    typed: &[(&str, &str)],
) -> Result<Understood<'a>, Vec<Slip>> {
    let given = Given::read(INPUTS, typed)?;
    let card = &farm.ponds[pond];
    let coins = farm.currency.coins_per_unit() as f64;
    let mut slips = Vec::new();
    let mut slip = |name: &str, what: Wrong| {
        let typed = typed.iter().find(|(known, _)| *known == name).map_or("", |(_, text)| text);
        let input = INPUTS.iter().find(|input| input.name() == name);
        slips.push(Slip { name: name.to_owned(), input, typed: typed.to_owned(), what });
    };
    let (first, last, last_catch) = days_of(&given, farm, card, today);
    if last < first {
        slip("last", Wrong::EndsBeforeItBegins);
    }
    if last_catch.0 - last.0 < super::GROWN_D as i32 {
        slip("last_catch", Wrong::TooSoonAfter { days: super::GROWN_D as i32 });
    } else if last_catch.0 - first.0 > super::SEASON_MOST_D - super::AROUND_D - super::BEFORE_D - 2 {
        slip("last_catch", Wrong::TooLateAfter { days: super::SEASON_MOST_D - super::AROUND_D - super::BEFORE_D - 2 });
    }
    // Densities are read in animals to the square metre.
    let own_per_ha = card.stocking.count / (card.shape.area_m2 / 10_000.0);
    let thinnest = given.maybe("thinnest").map(|per_m2| per_m2 * 10_000.0);
    let densest = given.maybe("densest").map(|per_m2| per_m2 * 10_000.0);
    let low = thinnest.unwrap_or_else(|| (own_per_ha * 2.0 / 3.0).min(densest.unwrap_or(f64::INFINITY)));
    let high = densest.unwrap_or_else(|| (own_per_ha * 4.0 / 3.0).max(low));
    if high < low {
        slip("densest", Wrong::EndsBeforeItBegins);
    }
    let is_dollars = farm.currency.code() == "USD";
    if !is_dollars && given.assumed.iter().any(|(input, _)| input.name() == "juvenile_cost") {
        slip("juvenile_cost", Wrong::Missing);
    }
    if !slips.is_empty() {
        return Err(slips);
    }
    let (dates, per_ha) = side_by_side((first, last), (low, high));
    let days = given.get("nursing") as i32;
    // Bought nursed, nothing dies in tanks of one's own.
    let survival = if days == 0 { 1.0 } else { Nursing::USUAL.survival };
    let nursing = Nursing { days, survival, ..Nursing::USUAL };
    let ask = WinterAsk {
        farm,
        past,
        pond,
        dates,
        per_ha,
        juvenile_g: given.maybe("juvenile_weight").map_or(card.stocking.mean_weight_g, |kg| kg * 1000.0),
        substrate: given.maybe("netting").unwrap_or(card.substrate),
        last_catch,
        years_most: YEARS,
        price_factor: given.get("prices"),
        juvenile_coins: given.get("juvenile_cost") * coins,
        other_coins: given.get("other_costs") * coins,
        nursing_d: nursing.days,
        cash_most: given.maybe("cash").map(|units| units * coins),
        loss_chance_most: given.get("risk"),
        warm_chance_least: given.get("warm"),
    };
    Ok(Understood { ask, nursing, given })
}

/// First and last day of stocking and the last of catch; what was not told is the farm's own, in the coming year.
fn days_of(given: &Given, farm: &Farm, card: &PondCard, today: Day) -> (Day, Day, Day) {
    let usual = coming(card.stocking.on, today);
    let first = given
        .day("first")
        .unwrap_or_else(|| given.day("last").map_or(usual.plus(-DATES_D / 2), |last| last.plus(-DATES_D)));
    let last = given.day("last").unwrap_or(first.plus(DATES_D));
    let own_last = farm.season.last_catch.0 - card.stocking.on.0;
    // What is not told must always be answered: a season too long to look at is cut.
    let longest = first.plus(super::SEASON_MOST_D - super::AROUND_D - super::BEFORE_D - 2);
    let last_catch =
        given.day("last_catch").unwrap_or_else(|| usual.plus(own_last.max(90)).max(last.plus(90)).min(longest));
    (first, last, last_catch)
}

/// The days and densities that are set side by side, from the first to the last.
fn side_by_side(days: (Day, Day), per_ha: (f64, f64)) -> (Vec<Day>, Vec<f64>) {
    let between = |step: usize| step as f64 / (STEPS - 1) as f64;
    let span_d = f64::from(days.1.0 - days.0.0);
    let mut dates: Vec<Day> = (0..STEPS).map(|step| days.0.plus((between(step) * span_d).round() as i32)).collect();
    dates.dedup();
    let mut densities: Vec<f64> = (0..STEPS).map(|step| per_ha.0 + between(step) * (per_ha.1 - per_ha.0)).collect();
    densities.dedup();
    (dates, densities)
}

/// The next day of the same month and date that lies at least a month ahead: nobody orders for sooner.
fn coming(day: Day, today: Day) -> Day {
    const AHEAD_D: i32 = 30;
    let year = today.ymd().0;
    let at = |year: i16| day.in_year(year);
    if at(year) >= today.plus(AHEAD_D) { at(year) } else { at(year + 1) }
}
