//! Selling, prices, costs.

use units::measure::Kind;

use super::{Input, Takes, ask, size};

/// The forms prawns are sold in.
pub(crate) const FORMS: &[&str] = &["live", "whole", "tails", "piece"];

pub(super) static INPUTS: &[Input] = &[
    size(
        "selling.handled_daily",
        Kind::Mass,
        "How much can be rinsed, chilled, headed and packed in a day?",
        "What the weakest station takes, with the hands you have.",
    )
    .range("10 lb", "100,000 lb")
    .usual("100 lb", "10,000 lb")
    .guess("600 lb", "our guess: four people at the sink for a day; half or double"),
    size("selling.tail_yield", Kind::Share, "How much of a whole prawn's weight is tail?", "From your own table.")
        .range("25 %", "65 %")
        .usual("38 %", "52 %")
        .then("the curve by size is used: 49 % at 20 g, 47 % at 35 g, 43 % from 60 g"),
    ask("selling.weekdays", Takes::Weekdays, "On which weekdays do you sell?", "At the bank or a stand.")
        .then("no weekday is a sale day"),
    ask("selling.days", Takes::Dates, "On which other days?", "A festival, an open day.").then("none"),
    ask(
        "selling.opens",
        Takes::Clock,
        "At what hour does a sale day begin?",
        "When the first buyer may come: `\"9:00\"`.",
    )
    .assume("10:00", "our guess: the first baskets are cold by then"),
    size("selling.slot", Kind::Duration, "How long is one pick-up slot?", "So many buyers are then asked to one time.")
        .range("5 min", "4 h")
        .assume("15 min", "our guess"),
    size("selling.slot_buyers", Kind::Count, "How many buyers fit a slot?", "As many as your tables serve in it.")
        .range("1", "200")
        .assume("6", "our guess: three to a table, two tables"),
    ask(
        "selling.unsold_at",
        Takes::Clock,
        "At what hour is the unsold headed or frozen?",
        "A named hour of the sale day: whole prawns soften within days, even on ice.",
    )
    .assume("14:00", "our guess: heading is done before the day ends"),
    ask(
        "order.form",
        Takes::Words(FORMS),
        "In which form?",
        "`\"live\"`, `\"whole\"` (chilled, heads on), `\"tails\"` or `\"piece\"`.",
    ),
    size("order.daily", Kind::Mass, "How much will buyers take on one day?", "Pounds of that form.")
        .range("0 lb", "200,000 lb")
        .then("a day has no ceiling"),
    size("order.in_all", Kind::Mass, "How much over the season?", "Pounds of that form.")
        .range("0 lb", "2,000,000 lb")
        .then("the season has no ceiling"),
    size("order.sold", Kind::Mass, "How much of it is sold already?", "Pounds of that form.")
        .range("0 lb", "2,000,000 lb")
        .assume("0 lb", "our guess: none"),
    size("order.notice", Kind::Duration, "With what notice do they come?", "From the call.")
        .range("0 h", "60 days")
        .assume("1 day", "our guess"),
    ask("buyer.name", Takes::Text, "Who is it?", "The name you call them by."),
    ask("buyer.form", Takes::Words(FORMS), "In which form do they take it?", "As under `[[price]]`."),
    ask("buyer.size", Takes::SizeClass, "Which size?", "As under `[[price]]`.")
        .range("1 per lb", "300 per lb")
        .then("all sizes"),
    size("buyer.takes", Kind::Mass, "How much at each catch?", "Pounds of that form.")
        .range("0 lb", "20,000 lb")
        .then("their pieces are told, or they take none"),
    size("buyer.pieces", Kind::Count, "How many pieces at each catch?", "Where they buy by the piece.")
        .range("1", "100,000")
        .then("they buy by weight"),
    ask("buyer.price", Takes::PriceOfPrawns, "At which price, if not the list's?", "As under `[[price]]`.")
        .usual("$1/lb", "$45/lb")
        .then("the price list says it"),
    ask("buyer.contact", Takes::Text, "How are they reached?", "A telephone number or an address.")
        .then("it is not noted"),
    ask("buyer.weekdays", Takes::Weekdays, "On which weekdays can they take it?", "If not on every day.")
        .then("any day"),
    ask(
        "price.form",
        Takes::Words(FORMS),
        "In which form?",
        "`\"live\"`, `\"whole\"` (chilled, heads on), `\"tails\"` or `\"piece\"`.",
    )
    .guess("whole", "our guess: most are sold chilled, heads on"),
    ask(
        "price.size",
        Takes::SizeClass,
        "Which size?",
        "Pieces to the pound or kilogram: `\"under 12 per lb\"`, `\"12 to 16 per lb\"`, `\"over 16 per lb\"`. Of \
         tails, tails are counted.",
    )
    .range("1 per lb", "300 per lb")
    .then("all sizes"),
    ask(
        "price.price",
        Takes::PriceOfPrawns,
        "What does it bring?",
        "`\"$12/lb\"`, `\"60 BRL/kg\"`, or `\"$0.90 each\"`.",
    )
    .usual("$1/lb", "$45/lb")
    .guess("$10/lb", "our guess for whole prawns at the bank, in US dollars; half or double"),
    ask("costs.feed", Takes::Price(Kind::Mass), "What does feed cost?", "`\"$0.40/lb\"`.")
        .usual("$0.10/lb", "$2/lb")
        .assume_dollars("$0.40/lb", "our guess: 32 % protein pellets by the bag; half or double"),
    ask("costs.power", Takes::Price(Kind::Energy), "What does power cost?", "`\"$0.15/kWh\"`.")
        .usual("$0.04/kWh", "$0.60/kWh")
        .assume_dollars("$0.15/kWh", "our guess; a third either way"),
    ask(
        "costs.hand_hour",
        Takes::Price(Kind::Duration),
        "What does an hour of a hand cost?",
        "`\"$15/h\"`; your own hours too, at what they are worth to you.",
    )
    .usual("$7/h", "$60/h")
    .assume_dollars("$15/h", "our guess; a third either way"),
    ask("costs.fuel", Takes::Price(Kind::Volume), "What does fuel cost?", "`\"$3.60/gal\"`.")
        .usual("$1.50/gal", "$12/gal")
        .assume_dollars("$3.60/gal", "our guess; a third either way"),
    ask("costs.ice", Takes::Price(Kind::Mass), "What does ice cost?", "`\"$0.12/lb\"`.")
        .usual("$0.02/lb", "$0.60/lb")
        .assume_dollars("$0.12/lb", "our guess; half or double"),
    ask("costs.packing", Takes::Price(Kind::Mass), "What do bags, boxes and labels cost?", "For a pound sold.")
        .usual("$0/lb", "$2/lb")
        .assume_dollars("$0.16/lb", "our guess; half or double"),
];
