//! What moves a year's result, and what another choice would have brought.

use season::books::statement::CashMonth;
use season::books::swing::Driver;
use season::yearbook::{Density, Tails, Yearbook};
use units::{Currency, Money};

use super::{LESS, MORE, price, units, weight};
use crate::figures::{Manner, animal, grouped, mass, month};

/// What stands beside the swings of a year that has sold nothing.
pub fn swings_of_budget(book: &Yearbook) -> &'static str {
    match book.made.whole.receipts().coins {
        0 => "Nothing is sold yet: this is of the budget.",
        _ => "More was given back than was sold: this is of the budget.",
    }
}
/// What is said of waiting.
pub const WEEK_SAYS: &str =
    "What a week later was expected to bring, on the morning you decided, stands in the report.";
/// What filling does.
pub const FROM_WINTER_SAYS: &str = "Every pond lives through its past years, stocked as last time on the usual day; what that costs and brings by month becomes the budget of the coming season. It takes a moment. Lines you wrote for the same pond, month and account give way.";
/// Button of it.
pub const FROM_WINTER_NOW: &str = "Fill it";
/// Stands in each line.
pub const FROM_WINTER_NOTE: &str = "from the winter plan";

/// What may come out otherwise.
pub fn driver(driver: Driver) -> &'static str {
    match driver {
        Driver::Price => "Price of what is sold",
        Driver::Survival => "Survival",
        Driver::MeanWeight => "Weight of one",
        Driver::Postlarvae => "Price of postlarvae",
        Driver::Feed => "Price of feed",
        Driver::Hands => "Hired hands",
        Driver::Energy => "Power and fuel",
        Driver::IceAndPacking => "Ice and packing",
        Driver::OwnHours => "Own hours",
        Driver::Fixed => "Wear, interest, rent, insurance, taxes",
    }
}

/// What swings widest, in a sentence.
pub fn swings_say(all: &[season::books::swing::Swing], currency: Currency) -> String {
    let said = all.iter().take(2).map(|swing| {
        let (less, more) = (swing.net[LESS], swing.net[MORE]);
        let money = |coins: f64| units(Money::from_computed(coins), currency);
        format!("{}: from {} to {}", driver(swing.driver), money(less.min(more)), money(less.max(more)))
    });
    format!("A fifth less or more moves the net most through {}.", said.collect::<Vec<_>>().join("; "))
}

/// The net as it came.
pub fn net_is(net: Money, currency: Currency) -> String {
    format!("Net {}", units(net, currency))
}

/// One letter of a month.
pub fn month_letter(one: &CashMonth) -> &'static str {
    &month(one.starts.ymd().1)[..1]
}

/// Entries of buyers and sales that count for nothing yet.
pub fn market_unread(count: usize) -> String {
    match count {
        1 => "One entry of buyers and sales cannot be counted.".to_owned(),
        count => format!("{count} entries of buyers and sales cannot be counted."),
    }
}

/// Tails for whole, in a sentence.
pub fn tails(told: &Tails, manner: Manner, currency: Currency) -> String {
    let gap = units(Money::from_computed(told.more_coins.abs()), currency);
    let word = if told.more_coins >= 0.0 { "more" } else { "less" };
    let whose = if told.is_had { "the price your tails had" } else { "your list price of tails" };
    format!(
        "Sold whole: {} for {}. As tails at {whose} ({}), {:.0} % of the weight, less {} for hands that head it, they would have brought {gap} {word}. It is all one when tails bring {}. Whether buyers had taken so many, nobody knows.",
        weight(told.whole_kg, manner),
        units(Money::from_computed(told.whole_coins), currency),
        price(told.price_kg, manner, currency),
        100.0 * told.tail_yield,
        units(Money::from_computed(told.heading_coins), currency),
        price(told.even_price_kg, manner, currency),
    )
}

/// Animals to the area.
fn density(per_ha: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{}/ac", grouped((per_ha * 0.404_685_642_24 / 100.0).round() * 100.0)),
        Manner::Metric => format!("{}/ha", grouped((per_ha / 100.0).round() * 100.0)),
    }
}

/// A row of a density.
pub fn density_row(pond: &str, one: &Density, manner: Manner, currency: Currency) -> Vec<String> {
    let known = (one.spread.1 - one.spread.0).abs() / 40.0;
    vec![
        pond.to_owned(),
        density(one.per_ha, manner),
        mass(one.caught_kg, manner),
        animal(one.mean_weight_g, manner),
        crate::figures::money(one.net_coins, known, currency),
    ]
}

/// What the densities of a pond say.
pub fn density_says(pond: &str, all: &[Density], currency: Currency) -> String {
    let [fewer, own, more] = all else { return String::new() };
    let known = (own.spread.1 - own.spread.0).abs() / 40.0;
    let beside = |one: &Density| {
        let gap = one.net_coins - own.net_coins;
        let word = if gap >= 0.0 { "more" } else { "less" };
        format!("{} {word}", crate::figures::money(gap.abs(), known, currency))
    };
    format!("{pond}: a quarter fewer would have left {} on average, a quarter more {}.", beside(fewer), beside(more))
}

/// A year that is none.
pub fn no_year(typed: &str) -> String {
    format!("--year {typed}: this is no year. Write it as 2021, or a day of it as 2021-06-15.")
}

/// A file was written.
pub fn written(path: &str) -> String {
    format!("{path} is written.")
}
