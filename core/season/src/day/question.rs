//! What one may ask of a harvest day: one table, from which page and command are made; and what was typed as a [`DayWish`].

use farm::inputs::{Input, Takes};
use sums::{Given, Slip};
use units::Day;
use units::measure::Kind;

/// What is asked about a day.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DayWish {
    /// The day of the catch; the plan's own when left out, else the first on which the pond could be caught.
    pub on: Option<Day>,
    /// So many grown hands in all, instead of those who are counted on.
    pub hands: Option<u32>,
    /// The clock hour at which work begins.
    pub start_h: Option<f64>,
    /// So much in a basket, kg.
    pub basket_kg: Option<f64>,
    /// So many baskets.
    pub baskets: Option<u32>,
    /// So much ice, kg.
    pub ice_kg: Option<f64>,
    /// So many of its pumps, in the order of the farm's description.
    pub pumps: Option<u32>,
    /// One more pump, m³/h.
    pub extra_m3_h: Option<f64>,
    /// Orders for live animals as they stand in the record: no question, but part of the day.
    pub live_orders: Vec<LiveOrder>,
}

/// An order for live animals, as far as the day needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveOrder {
    /// First and last day on which it is taken.
    pub window: (Option<Day>, Option<Day>),
    /// Weekdays on which it is taken, Monday first.
    pub weekdays: [bool; 7],
    /// Still to be filled, kg.
    pub kg: f64,
}

impl DayWish {
    /// What is ordered alive for a day, kg.
    pub fn ordered_live_kg(&self, on: Day) -> f64 {
        let is_of = |order: &&LiveOrder| {
            order.window.0.is_none_or(|from| from <= on)
                && order.window.1.is_none_or(|until| on <= until)
                && order.weekdays[usize::from(on.weekday())]
        };
        self.live_orders.iter().filter(is_of).map(|order| order.kg).sum()
    }
}

/// Every question, in the order of the page.
pub static INPUTS: &[Input] = &[
    Input::asked("day.day", Takes::Date, "On which day is it caught?", "")
        .then("the plan's day, or the first on which it could be caught"),
    Input::asked(
        "day.hands",
        Takes::Quantity(Kind::Count, None),
        "With how many grown hands?",
        "Told beside the others.",
    )
    .range("1", "200")
    .then("those under crew and helpers in the farm's description"),
    Input::asked("day.start", Takes::Clock, "When does work begin?", "Catch depth then stands.")
        .then("at first light, or as the farm's description says"),
    Input::asked(
        "day.fill",
        Takes::Quantity(Kind::Mass, None),
        "How much goes into a basket?",
        "Half as much is sooner on ice.",
    )
    .range("1 lb", "40 lb")
    .usual("3 lb", "33 lb")
    .then("as the farm's description says"),
    Input::asked("day.baskets", Takes::Quantity(Kind::Count, None), "With how many baskets?", "Borrowed ones count.")
        .range("1", "5000")
        .then("as the farm's description says"),
    Input::asked(
        "day.ice",
        Takes::Quantity(Kind::Mass, None),
        "How much ice will there be?",
        "On hand and coming that day.",
    )
    .range("0 lb", "100,000 lb")
    .then("what is on hand and what can be had for one day"),
    Input::asked(
        "day.pumps",
        Takes::Quantity(Kind::Count, None),
        "How many of its pumps run?",
        "In the order in which the farm's description names them.",
    )
    .range("0", "20")
    .then("all that are named for it"),
    Input::asked(
        "day.extra",
        Takes::Quantity(Kind::Flow, None),
        "One more pump: how much does it move?",
        "Hired or borrowed.",
    )
    .range("1 m3/h", "3000 m3/h")
    .then("none"),
];

/// What was typed.
///
/// # Errors
/// Everything that is wrong, in the order of the questions.
pub fn understand(typed: &[(&str, &str)]) -> Result<(DayWish, Given), Vec<Slip>> {
    let given = Given::read(INPUTS, typed)?;
    let wish = DayWish {
        on: given.day("day"),
        hands: given.maybe("hands").map(|hands| hands as u32),
        start_h: given.maybe("start"),
        basket_kg: given.maybe("fill"),
        baskets: given.maybe("baskets").map(|baskets| baskets as u32),
        ice_kg: given.maybe("ice"),
        pumps: given.maybe("pumps").map(|count| count as u32),
        extra_m3_h: given.maybe("extra"),
        live_orders: Vec::new(),
    };
    Ok((wish, given))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_wished() {
        let (wish, _) = understand(&[("hands", "5"), ("start", "6:30"), ("fill", "11 lb"), ("ice", "")]).expect("read");
        let fill_kg = wish.basket_kg.expect("a fill");
        assert!((fill_kg - 11.0 * 0.453_592_37).abs() < 1e-9);
        assert_eq!(
            wish,
            DayWish { hands: Some(5), start_h: Some(6.5), basket_kg: Some(fill_kg), ..DayWish::default() }
        );
        let slips = understand(&[("hands", "none"), ("starts", "6:30")]).expect_err("two slips");
        assert_eq!(slips.iter().map(|slip| slip.name.as_str()).collect::<Vec<_>>(), ["hands", "starts"]);
    }
}
