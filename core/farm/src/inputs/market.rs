//! What is written down of buyers: their orders, what was handed out to sell, sold and paid.

use units::measure::Kind;

use super::{Input, Takes, ask, size};

/// Forms a line can be sold in.
pub(crate) const SOLD_AS: &[&str] = &["live", "whole", "tails", "piece", "seconds"];

pub(super) static INPUTS: &[Input] = &[
    ask("log.buyer", Takes::Text, "Who buys?", "The name you call them by.").then("somebody who walked up"),
    ask("log.contact", Takes::Text, "How are they reached?", "A telephone number or an address.")
        .then("it is not noted"),
    ask(
        "log.rank",
        Takes::Words(&["standing", "ordered", "walk_up", "waiting"]),
        "What are they to you?",
        "A standing buyer is served before an order, an order before a walk-up, and who waits comes last.",
    )
    .then("ordered"),
    ask("log.served_first", Takes::YesNo, "Do you serve them before everybody?", "Only you can say so.").then("no"),
    ask("log.sold_as", Takes::Words(SOLD_AS), "In which form?", "One form in a line: whole and tails are two lines."),
    ask("log.size", Takes::SizeClass, "Which size?", "12 to 16 per lb. Of tails, tails are counted.").then("all sizes"),
    size("log.amount", Kind::Mass, "How much?", "`20 lb` or `9 kg`, of the form that is sold.")
        .range("0 lb", "20,000 lb")
        .usual("0.1 lb", "1000 lb")
        .then("it is not part of this entry"),
    size("log.pieces", Kind::Count, "How many pieces?", "Where it is sold by the piece.")
        .range("0", "1,000,000")
        .usual("1", "5000")
        .then("it is not part of this entry"),
    ask("log.price", Takes::PriceOfPrawns, "At what price?", "With its unit: `$12/lb`, `60 BRL/kg`, `$0.90 each`.")
        .then("your price list says it"),
    ask("log.day_from", Takes::Date, "From which day on do they take it?", "The first day that suits them.")
        .then("any day"),
    ask("log.day_until", Takes::Date, "Until which day?", "The same day for that day only.").then("any day"),
    ask("log.deposit_asked", Takes::Amount, "Which deposit do you ask?", "In the farm's currency.")
        .range("0", "10,000,000")
        .then("none is asked"),
    size("log.their_tank", Kind::Volume, "How much water does their tank hold?", "Of a buyer who takes them alive.")
        .range("1 gal", "20,000 gal")
        .then("it is not noted"),
    size("log.their_tank_temperature", Kind::Temperature, "How warm is their tank?", "Live prawns are tempered to it.")
        .range("40 F", "100 F")
        .usual("60 F", "84 F")
        .then("it is not noted"),
    ask("log.hauls", Takes::Words(&["buyer", "farm"]), "Who hauls them?", "From your tank to theirs.")
        .then("the buyer"),
    ask(
        "log.bears",
        Takes::Words(&["buyer", "farm", "shared"]),
        "Who bears what dies on the way?",
        "Agreed before they are loaded.",
    )
    .then("it is not agreed"),
    ask("log.of_order", Takes::Text, "Of which order?", "Its mark; the program writes it.").then("of none"),
    ask("log.told_day", Takes::Date, "Which day were they told?", "The day on which they fetch it."),
    ask("log.slot", Takes::Clock, "At what hour do they come?", "`9:15` or `2 pm`.").then("no hour is agreed"),
    ask(
        "log.answer",
        Takes::Words(&["yes", "no", "no_answer", "called_off", "came", "not_come"]),
        "What came of it?",
        "Their answer; on the day, whether they came.",
    )
    .then("no answer yet"),
    ask("log.table", Takes::Text, "Which table?", "One phone sells for one table."),
    ask("log.lot", Takes::Text, "Which lot?", "As it stands on the tub or pack.").then("it is not noted"),
    ask("log.handed_back", Takes::YesNo, "Did it come back from the table?", "Counted or weighed again.").then("no"),
    ask("log.receipt", Takes::Text, "On which receipt?", "Its mark; the phone writes it.").then("it stands alone"),
    size("log.tare_sold", Kind::Mass, "How much of that is bag or tub?", "Weighed empty.")
        .range("0 lb", "100 lb")
        .usual("0 lb", "5 lb")
        .then("nothing is taken off"),
    ask("log.drained", Takes::YesNo, "Was it drained before the scale?", "The same way every time.").then("not said"),
    ask("log.takes_back", Takes::Text, "Which line does it take back?", "Its mark; the program writes it.")
        .then("it is a sale"),
    ask(
        "log.sell_again",
        Takes::YesNo,
        "Can it be sold again?",
        "Only what never left the ice and your sight; else it is thrown away.",
    )
    .then("no"),
    ask("log.paid", Takes::Amount, "How much money?", "In the farm's currency.").range("0", "100,000,000"),
    ask("log.paid_by", Takes::Words(&["cash", "card", "transfer", "other"]), "How?", "As it came.").then("cash"),
    ask("log.paid_for", Takes::Words(&["sale", "deposit"]), "For what?", "A deposit is paid before the catch.")
        .then("a sale"),
    ask("log.given_back", Takes::YesNo, "Was it given back?", "Money that you return.").then("no"),
];
