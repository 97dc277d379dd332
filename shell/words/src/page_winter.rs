//! The winter plan in words: when to stock, how closely, what may come of it, what to order and when.

use season::filling::{FillPlan, fill_plan};
use season::winter::{INPUTS, MonthFlow, Understood, Variant, WARM_DAWN_C, WARM_MORNINGS, Winter};
use units::Currency;

use crate::figures::{Manner, count, day_short, degrees, grouped, mass, money, month, odds};
use crate::morning::Lines;

mod filling;
mod order;

pub use filling::{FILLING, FILLING_SAYS, FISH_LAST, NO_SOURCE, begins_before_d, filling_rows};
pub use order::order_rows;

/// Name of the page.
pub const TITLE: &str = "Winter plan";
/// What it is.
pub const LEAD: &str = "When to stock, how closely, what may come of it, and what to order.";
/// Above the ponds one may choose.
pub const POND: &str = "Pond";
/// Above the table of dates and densities.
pub const SIDE_BY_SIDE: &str = "Side by side: what is left, likely";
/// What the table holds.
pub const SIDE_BY_SIDE_SAYS: &str = "The middle of the futures, after animals, feed, air and the catch; wages of your own and what the pond itself cost are not in it. The mark shows the best within your limits.";
/// Head of the first column.
pub const STOCK_ON: &str = "Stock on";
/// Head: chance of warm water.
pub const WARM: &str = "Warm enough";
/// Head: last safe catch.
pub const LAST_SAFE: &str = "Last safe catch";
/// Mark of the best.
pub const BEST: &str = "best";
/// Above what is told of one variant.
pub const CHOSEN: &str = "What may come of it";
/// Above the order.
pub const ORDER: &str = "Worked back from that day";
/// Way to the entry of the order that is worked back.
pub const ENTER_ORDER: &str = "Enter this order";
/// Above the money by month.
pub const CASH: &str = "Money by month";
/// Heads of that table.
pub const CASH_HEADS: [&str; 6] = ["Month", "So far", "Animals and other", "Feed and air", "Catch", "Sold"];
/// What the table holds.
pub const CASH_SAYS: &str = "Means of the futures; the middle above may lie a little lower. What is laid out before the sale includes the catch of that month.";
/// Below a choice that breaks a limit.
pub const BREAKS: &str = "This one breaks a limit of yours: nothing is worked back from it.";
/// Above the chart of warm water.
pub const WARM_TITLE: &str = "From which day on is the water warm enough?";
/// Below the chart.
pub const WARM_AXIS: &str = "of ten past years, by day of stocking";
/// What the marks of the chart are.
pub const WARM_LEGEND: &str = "Squares: the days set side by side above.";
/// Above the questions.
pub const ASK: &str = "Ask it your way";
/// Button.
pub const WORK_OUT: &str = "Look at the past years again";
/// Above what stood in.
pub const TAKEN: &str = "Taken because it was left empty";
/// Above what is wrong.
pub const WRONG: &str = "It cannot be worked out yet";
/// For a pond without animals of its own to go by.
pub const HOW: &str = "How it is worked out";
/// The method in words.
pub const METHOD: &str = "Each past year's weather is lived through by this pond's water, hour by hour; the animals grow, die and feel the \
     cold in it, with what nobody knows of them drawn three times a year, the same for every date and density. The catch falls on one fixed day, \
     the one that would have brought most over all those years. Watching the forecast in autumn can only better that.";
/// What local rules say.
pub const RULES: &str = "Prawns of this kind are not native: ask your state or province before you order whether they may be brought in and stocked, and \
     what it asks of water that is let out.";
/// Way to the page.
pub const SEE: &str = "Plan the coming season";

/// The answer in a sentence or two.
pub fn headline(winter: &Winter, pond: &str, manner: Manner) -> String {
    match winter.best.map(|at| &winter.variants[at]) {
        Some(best) => {
            format!(
                "{pond}: stock on {}, {}, to catch about {}.",
                day_short(best.on),
                density(best.per_ha, manner),
                day_short(best.catch_on)
            )
        }
        None => format!("{pond}: no date and density keeps to your limits."),
    }
}

/// How clear the choice is: how many others are as good, and whether it lies at the edge of what was asked.
pub fn how_clear(winter: &Winter, dates: usize, densities: usize) -> Option<String> {
    let at = winter.best?;
    let others = winter.as_good().len() - 1;
    let (row, column) = (at / densities, at % densities);
    let mut said = match others {
        0 => "Clearly better than the others.".to_owned(),
        1 => "One other is as good, as far as the years can tell.".to_owned(),
        n => format!("{n} others are as good, as far as the years can tell: take what suits you among them."),
    };
    let at_edge =
        (dates > 1 && [0, dates - 1].contains(&row)) || (densities > 1 && [0, densities - 1].contains(&column));
    if at_edge {
        said.push_str(" It lies at the edge of what was looked at: ask for dates or densities beyond it.");
    }
    Some(said)
}

/// What is left, with its band.
pub fn left(one: &Variant, currency: Currency) -> String {
    let known = spread(one);
    format!(
        "{} is likely left; one year in ten leaves less than {}, one in ten more than {}.",
        money(one.net_coins.middle, known, currency),
        money(one.net_coins.low, known, currency),
        money(one.net_coins.high, known, currency)
    )
}

/// Money of a table's cell.
pub fn cell(one: &Variant, currency: Currency) -> String {
    money(one.net_coins.middle, spread(one), currency)
}

fn spread(one: &Variant) -> f64 {
    0.05 * (one.net_coins.high - one.net_coins.low)
}

/// A cell of the table, for one who cannot see where it stands.
pub fn cell_says(one: &Variant, currency: Currency, manner: Manner) -> String {
    format!("{}, {}: {}", day_short(one.on), density(one.per_ha, manner), cell(one, currency))
}

/// Above what is told of one variant.
pub fn chosen(one: &Variant, manner: Manner) -> String {
    format!("{CHOSEN}: {}, {}", day_short(one.on), density(one.per_ha, manner))
}

/// How closely, in the person's unit.
pub fn density(per_ha: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{} to the acre", count(per_ha * 0.404_685_642_24)),
        Manner::Metric => format!("{:.1} to the square metre", per_ha / 10_000.0),
    }
}

/// The same, short, as the head of a column.
pub fn density_short(per_ha: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{}/ac", count(per_ha * 0.404_685_642_24)),
        Manner::Metric => format!("{:.1}/m²", per_ha / 10_000.0),
    }
}

/// Why nothing keeps to the limits: the nearest.
pub fn nearest(winter: &Winter, currency: Currency) -> Option<String> {
    if winter.best.is_some() {
        return None;
    }
    let least_risk = winter.variants.iter().min_by(|a, b| a.loss_chance.total_cmp(&b.loss_chance))?;
    let least_cash = winter.variants.iter().min_by(|a, b| a.laid_out_coins.total_cmp(&b.laid_out_coins))?;
    // Which limit stands in the way: how many of the choices each leaves out.
    let warmest = winter.variants.iter().map(|one| one.warm_chance).fold(0.0, f64::max);
    Some(format!(
        "On these dates the water was warm enough in {} at most; the least chance of ending below what was laid out is {}, the least that is \
         laid out before the sale {}. Move a limit, or the dates.",
        in_ten(warmest),
        odds(least_risk.loss_chance),
        money(least_cash.laid_out_coins, 0.02 * least_cash.laid_out_coins, currency)
    ))
}

/// What may come of one variant: name and value.
pub fn rows(one: &Variant, manner: Manner, currency: Currency) -> Vec<(&'static str, String)> {
    let kilograms = |band: season::answer::Band| {
        format!("{} ({} to {})", mass(band.middle, manner), mass(band.low, manner), mass(band.high, manner))
    };
    let grams = one.mean_weight_g;
    let share = |band: season::answer::Band| {
        format!("{:.0} % ({:.0} to {:.0} %)", 100.0 * band.middle, 100.0 * band.low, 100.0 * band.high)
    };
    let safe =
        one.last_safe.map_or("none: cold takes a fifth or more in a year of ten on every day".to_owned(), day_short);
    vec![
        ("Animals to stock", grouped(one.count.round())),
        (
            "Water warm enough",
            format!(
                "{}: dawns at {} or more for {WARM_MORNINGS} days from {} on",
                in_ten(one.warm_chance),
                degrees(WARM_DAWN_C, manner),
                day_short(one.on)
            ),
        ),
        ("Catch", kilograms(one.caught_kg)),
        ("Weight of one", format!("{:.0} g ({:.0} to {:.0} g)", grams.middle, grams.low, grams.high)),
        ("Caught of those stocked", share(one.survival)),
        ("Sizes by weight", sizes(&one.mass_shares)),
        ("Feed", kilograms(one.feed_kg)),
        ("Last safe catch", safe),
        ("Chance that cold takes a fifth or more", odds(one.cold_chance)),
        ("Left", left(one, currency)),
        ("Chance of ending below what was laid out", odds(one.loss_chance)),
        ("Laid out before the sale", money(one.laid_out_coins, 0.02 * one.laid_out_coins, currency)),
    ]
}

/// A share of past years in words of ten.
pub fn in_ten(chance: f64) -> String {
    match (10.0 * chance).round() {
        n if n >= 10.0 => "all years".to_owned(),
        n if n <= 0.0 && chance > 0.0 => "fewer than 1 year in 10".to_owned(),
        n if n <= 0.0 => "no year".to_owned(),
        1.0 => "1 year in 10".to_owned(),
        n => format!("{n:.0} years in 10"),
    }
}

/// Shares of the catch by usual grades, heaviest first.
fn sizes(shares: &[f64]) -> String {
    // Lightest first in the shares; counts of whole animals to the pound.
    const NAMES: [&str; 6] =
        ["smaller", "20 to 30 to the pound", "15 to 20", "10 to 15", "8 to 10", "fewer than 8 to the pound"];
    let parts = hundredths(shares).into_iter().zip(NAMES).rev().filter(|(share, _)| *share > 0);
    parts.map(|(share, name)| format!("{share} % {name}")).collect::<Vec<_>>().join(", ")
}

/// Shares as whole hundredths that add up to a hundred: the largest remainders are rounded up.
fn hundredths(shares: &[f64]) -> Vec<u32> {
    let mut whole: Vec<u32> = shares.iter().map(|share| (100.0 * share).floor() as u32).collect();
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|a, b| (100.0 * shares[*b]).fract().total_cmp(&(100.0 * shares[*a]).fract()));
    let missing = 100_u32.saturating_sub(whole.iter().sum());
    order.iter().take(missing as usize).for_each(|at| whole[*at] += 1);
    whole
}

/// A month's row: what goes out and comes in, and what has been laid out or earned by its end.
pub fn month_row(flow: &MonthFlow, so_far: f64, currency: Currency) -> [String; 6] {
    let coins = |coins: f64| {
        if coins.abs() < 0.5 { String::new() } else { money(coins, (0.01 * coins.abs()).max(1.0), currency) }
    };
    [
        format!("{} {}", month(flow.month.1), flow.month.0),
        coins(so_far),
        coins(flow.animals),
        coins(flow.feed),
        coins(flow.catch),
        coins(flow.sold),
    ]
}

/// From which past years it is told.
pub fn years(winter: &Winter) -> String {
    let (n, first, last) = winter.years;
    format!("From {n} past years, {first} to {last}; seed {}.", winter.seed)
}

/// The chart of warm water in a sentence.
pub fn warm_says(winter: &Winter, manner: Manner) -> String {
    let from = |share: f64| winter.warm.iter().find(|by| by.chance >= share).map(|by| day_short(by.on));
    let mark = degrees(WARM_DAWN_C, manner);
    match (from(0.5), from(0.9)) {
        (Some(half), Some(most)) => format!(
            "In half of the past years dawn water kept to {mark} or more for a week from {half} on; in nine of ten from {most} on."
        ),
        (Some(half), None) => format!(
            "In half of the past years dawn water kept to {mark} or more for a week from {half} on; nine of ten are not reached on the days looked at."
        ),
        _ => {
            format!("On none of these days did dawn water keep to {mark} or more for a week in half of the past years.")
        }
    }
}

/// What stood in for what was left empty.
pub fn taken(understood: &Understood) -> Vec<String> {
    let given = &understood.given;
    given
        .assumed
        .iter()
        .map(|(input, text)| {
            let source = input.stand_in().map_or("", |(_, source)| source);
            format!("{} {text} ({source}).", input.question)
        })
        .collect()
}

/// What stands under a question as its hint: what is taken when it is left empty.
pub fn hint(input: &season::farm::inputs::Input) -> String {
    crate::sums::hint(input)
}

/// Questions of the page.
pub fn questions() -> impl Iterator<Item = &'static season::farm::inputs::Input> {
    INPUTS.iter()
}

/// The whole answer, for a terminal.
pub fn page(winter: &Winter, understood: &Understood, manner: Manner) -> String {
    let (farm, currency) = (understood.ask.farm, understood.ask.farm.currency);
    let pond = &farm.ponds[winter.pond].name;
    let mut out = Lines::default();
    out.wrapped(&headline(winter, pond, manner));
    let one = &winter.variants[winter.first_told(understood.ask.warm_chance_least)];
    let (dates, densities) = (understood.ask.dates.len(), understood.ask.per_ha.len());
    how_clear(winter, dates, densities).iter().for_each(|said| out.wrapped(said));
    nearest(winter, currency).iter().for_each(|said| out.wrapped(said));
    out.blank();
    out.line(SIDE_BY_SIDE);
    side_by_side(&mut out, winter, understood, manner);
    told(&mut out, one, understood, manner);
    out.blank();
    out.wrapped(&warm_says(winter, manner));
    for said in taken(understood) {
        out.wrapped(&said);
    }
    out.wrapped(METHOD);
    out.wrapped(&years(winter));
    out.wrapped(RULES);
    out.text
}

/// How its pond is filled before that stocking; `None` where its shape cannot be used.
pub fn fill(understood: &Understood, one: &Variant) -> Option<FillPlan> {
    let ask = &understood.ask;
    fill_plan(ask.farm, ask.past, ask.pond, one.on.plus(-FILL_ABOUT_D)).ok()
}

/// Days before stocking whose climate the filling is reckoned with, d.
const FILL_ABOUT_D: i32 = 18;

/// One variant: what may come of it, what is to be ordered, money by month.
fn told(out: &mut Lines, one: &Variant, understood: &Understood, manner: Manner) {
    let currency = understood.ask.farm.currency;
    out.blank();
    out.line(&chosen(one, manner));
    for (name, value) in rows(one, manner, currency) {
        out.wrapped(&format!("  {name}: {value}"));
    }
    out.blank();
    if one.is_within {
        out.line(ORDER);
        let order = season::winter::order(one.count, one.on, &understood.nursing);
        let plan = fill(understood, one);
        for (when, what) in order_rows(&order, one.on, plan.as_ref(), manner) {
            out.wrapped(&format!("  {when}: {what}"));
        }
        if let Some(plan) = plan.filter(|plan| !plan.by_source.is_empty()) {
            out.blank();
            out.line(FILLING);
            for (name, said, minds) in filling_rows(&plan, manner) {
                let minds = minds.map_or(String::new(), |minds| format!(" {minds}"));
                out.wrapped(&format!("  {name}: {said}{minds}"));
            }
            out.wrapped(FISH_LAST);
        }
    } else {
        out.wrapped(BREAKS);
    }
    out.blank();
    out.line(&format!("{CASH}: so far, animals and other, feed and air, catch, sold"));
    let mut so_far = 0.0;
    for flow in &one.months {
        so_far += flow.net();
        let [month, sum, animals, feed, catch, sold] = month_row(flow, so_far, currency);
        out.line(&format!("  {month:<15} {sum:>9} {animals:>9} {feed:>9} {catch:>9} {sold:>9}"));
    }
}

fn side_by_side(out: &mut Lines, winter: &Winter, understood: &Understood, manner: Manner) {
    let (dates, per_ha) = (&understood.ask.dates, &understood.ask.per_ha);
    let heads: Vec<String> = per_ha.iter().map(|&per_ha| format!("{:>11}", density_short(per_ha, manner))).collect();
    out.line(&format!("  {:<12}{}  {WARM}", STOCK_ON, heads.concat()));
    for (row, on) in dates.iter().enumerate() {
        let cells: Vec<String> = (0..per_ha.len())
            .map(|column| {
                let at = row * per_ha.len() + column;
                let mark = if winter.best == Some(at) { "*" } else { " " };
                format!("{:>10}{mark}", cell(&winter.variants[at], understood.ask.farm.currency))
            })
            .collect();
        let warm = in_ten(winter.variants[row * per_ha.len()].warm_chance);
        out.line(&format!("  {:<12}{}  {warm}", day_short(*on), cells.concat()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_years_are_told_in_tens() {
        assert_eq!(hundredths(&[0.334, 0.333, 0.333]), [34, 33, 33]);
        assert_eq!(hundredths(&[0.29, 0.3, 0.41]), [29, 30, 41]);
        for (chance, said) in
            [(0.0, "no year"), (0.02, "fewer than 1 year in 10"), (0.5, "5 years in 10"), (1.0, "all years")]
        {
            assert_eq!(in_ten(chance), said);
        }
    }
}
