//! The harvest day: how quick each kind of work goes, tubs and scales, groups of helpers. Common practice stands in for what is left out.

use units::measure::Kind;

use super::{Input, Takes, ask, size};

const fn pace(key: &'static str, question: &'static str, about: &'static str) -> Input {
    size(key, Kind::MassRate, question, about).range("1 lb/h", "2000 lb/h")
}

const fn time(key: &'static str, question: &'static str, about: &'static str) -> Input {
    size(key, Kind::Duration, question, about).range("1 s", "4 h")
}

pub(super) const INPUTS: &[Input] = &[
    time("line.haul", "How long does one haul of the seine take?", "Set, pull, close, with the whole crew at it.")
        .then("20 min is taken: common practice, 15 to 40"),
    ask("line.haul_hands", Takes::Whole, "How many hands pull it?", "With fewer it goes slower.")
        .range("2", "30")
        .then("4 are taken: common practice, 4 to 6 for 100 ft of net"),
    ask("line.hauls", Takes::Whole, "How many hauls do you make at most?", "Before the last water is let down.")
        .range("0", "20")
        .then("3 are taken: common practice"),
    size("line.haul_takes", Kind::Share, "What share of what swims comes with one haul?", "Weighed hauls tell it.")
        .range("5 %", "95 %")
        .then("40 % is taken: our guess, 20 to 60"),
    pace(
        "line.gather",
        "How much does one hand pick up from the floor in an hour?",
        "Stranded animals, into a basket.",
    )
    .then("10 kg/h (22 lb/h) is taken: common practice, 4 to 20"),
    pace("line.dip", "How much does one hand dip out of net or basin in an hour?", "With a dip net, into baskets.")
        .then("75 kg/h (165 lb/h) is taken: common practice, 40 to 150"),
    time("line.carry", "How long is it from the water to the bank's scale with full baskets?", "One way.")
        .then("75 s is taken: our guess, 45 s to 3 min"),
    pace("line.rinse", "How much does one hand rinse in an hour?", "With debris picked out.")
        .then("80 kg/h (176 lb/h) is taken: common practice, 40 to 150"),
    pace("line.sort", "How much does one hand sort in an hour?", "Strong, weak, soft, dead.")
        .then("50 kg/h (110 lb/h) is taken: common practice, 25 to 90"),
    time("line.weigh", "How long does weighing and tagging a basket take?", "At one scale.")
        .then("1 min is taken: common practice, 30 to 100 baskets an hour"),
    ask("line.scales", Takes::Whole, "How many scales?", "Where baskets are weighed.")
        .range("1", "20")
        .then("1 is taken: our guess"),
    ask("line.tubs", Takes::Whole, "How many slurry tubs?", "Each chills one batch at a time.")
        .range("1", "64")
        .then("2 are taken: our guess"),
    size("line.tub_holds", Kind::Mass, "How much prawn goes into one tub?", "With as much water and as much ice.")
        .range("5 kg", "1000 kg")
        .then("60 kg (132 lb) is taken: our guess, a tub of 50 gal"),
    pace("line.load", "How much does one hand put into slurry, or take out, in an hour?", "Poured, stirred, lifted.")
        .then("120 kg/h (265 lb/h) is taken: common practice, 60 to 200"),
    time("line.head", "How long does heading one prawn take?", "By a hand that does it all day.")
        .then("5 s is taken: common practice, 3 to 8"),
    pace("line.wash", "How many tails does one hand wash in an hour?", "Trimmed as well.")
        .then("30 kg/h (66 lb/h) is taken: common practice, 15 to 50"),
    pace("line.pack", "How much does one hand grade, pack and label in an hour?", "Whole prawns or tails.")
        .then("25 kg/h (55 lb/h) is taken: common practice, 12 to 45"),
    ask("helper.name", Takes::Text, "What is the helper or the group called?", "`\"choir\"`."),
    ask("helper.count", Takes::Whole, "How many come?", "One line for hands that are alike.").range("1", "200"),
    ask(
        "helper.kind",
        Takes::Words(&["helper", "first-timer", "volunteer", "minor"]),
        "What kind of help is it?",
        "All but `helper` are taken at half the pace until measured. Volunteers keep out of deep water and from knives, minors also from \
         mud and ice tubs; first-timers leave sorting and the scale alone.",
    ),
    ask("helper.from", Takes::Clock, "When do they come?", "A time such as `\"7:00\"`.").then("with everybody"),
    ask("helper.until", Takes::Clock, "Until when?", "A time such as `\"12:00\"`.").then("with everybody"),
    ask(
        "helper.sure",
        Takes::YesNo,
        "Do they surely come?",
        "The day's sheet always tells the day without those who may not.",
    )
    .assume("false", "the careful side: a group may cancel"),
    ask("helper.days", Takes::Dates, "On which days?", "A date, a stretch, or a list of them.").then("any harvest day"),
];
