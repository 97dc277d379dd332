//! What is in the pond: samples, weights, counts; and its feed.

use farm::inputs::{Input, Takes};
use stock::feed::{CEILING_KG_HA_D, appetite, ration_fraction_per_d};
use units::hypot;
use units::measure::Kind;

use crate::given::Given;
use crate::table::{Caution, GRAMS, Group, MASS, Mark, Measure, Sum, TO_THE_AREA, Worked, of};
use units::t_95;

const fn weight(key: &'static str) -> Input {
    of(key, Kind::Mass, "How much does one weigh, in the mean?", "Whole.").range("0.01 g", "300 g")
}

const PER_LB: Measure = Measure::Plain("to the pound");
const PER_KG: Measure = Measure::Plain("to the kilogram");
const POUND_KG: f64 = stock::sizes::G_PER_LB / 1000.0;
/// A spread as a part of the mean that mixed-sex crops show.
const NORMAL_95: f64 = 1.959_964;

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "sample",
        group: Group::Stock,
        question: "How sure is the mean weight of a sample, and how many more would do?",
        inputs: &[
            of("sample.weighed", Kind::Count, "How many were weighed?", "One by one.").range("2", "100000"),
            weight("sample.mean"),
            of(
                "sample.spread",
                Kind::Mass,
                "What is their standard deviation?",
                "Left out: 47 % of the mean, as mixed crops have.",
            )
            .range("0.001 g", "200 g")
            .then("47 % of the mean stands in"),
            of("sample.wanted", Kind::Share, "How close should it be?", "")
                .range("0.5 %", "50 %")
                .assume("5 %", "usual"),
        ],
        formula: "more or less = t x deviation / sqrt(number); number wanted = (1.96 x deviation / (mean x closeness))^2",
        holds: "A fair sample. Nets are not fair: cast and seine take the large and lively, and the large blue-claws hide. Same net, same places, same hour.",
        source: "Student's interval; the 47 %: our mixture of the forms",
        mark: Mark::Definition,
        cautions: &[Caution::Hands],
        example: &[("weighed", "60"), ("mean", "34.2 g"), ("spread", "11.5 g"), ("wanted", "5 %")],
        work: sample,
    },
    Sum {
        name: "standing-crop",
        group: Group::Stock,
        question: "How much may be in the pond, and how unsure is that?",
        inputs: &[
            of("standing-crop.stocked", Kind::Count, "How many were stocked?", "").range("1", "100,000,000"),
            of(
                "standing-crop.alive",
                Kind::Share,
                "What share do you think lives?",
                "Nobody sees it before the pond is empty.",
            )
            .range("0.1 %", "100 %"),
            weight("standing-crop.mean"),
            of(
                "standing-crop.number_unsure",
                Kind::Share,
                "How unsure is the number?",
                "One standard deviation, of count and survival together.",
            )
            .range("0 %", "100 %")
            .assume("25 %", "our guess: the share alive of a pond is known to about that"),
            of(
                "standing-crop.weight_unsure",
                Kind::Share,
                "How unsure is the mean weight?",
                "One standard error of your sample.",
            )
            .range("0 %", "100 %")
            .assume("6 %", "about 60 weighed"),
            of("standing-crop.area", Kind::Area, "How large is the pond?", "")
                .range("1 m2", "1000 ha")
                .then("it is not told to the area"),
        ],
        formula: "crop = stocked x alive x mean; unsure = sqrt(number^2 + weight^2)",
        holds: "A sample of weights says nothing about numbers. Kentucky ponds of 2002 had 45 % alive in the mean, 7 to 86 %.",
        source: "spread of a product; Dasgupta (2005) for Kentucky",
        mark: Mark::Definition,
        cautions: &[],
        example: &[
            ("stocked", "16000"),
            ("alive", "60 %"),
            ("mean", "35 g"),
            ("number_unsure", "10 %"),
            ("weight_unsure", "4.3 %"),
        ],
        work: standing_crop,
    },
    Sum {
        name: "count",
        group: Group::Stock,
        question: "How many of this weight are a pound?",
        inputs: &[weight("count.mean"), tail_share("count.tail")],
        formula: "to the pound = 453.6 / weight in g; tails to the pound = 453.6 / (weight x tail share)",
        holds: "Always say whether whole or tails.",
        source: "a definition; tail shares: several trials, 0.42 to 0.50",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("mean", "35 g")],
        work: count,
    },
    Sum {
        name: "weight-of-count",
        group: Group::Stock,
        question: "How much does one weigh at this count?",
        inputs: &[of("weight-of-count.count", Kind::PiecesPerMass, "What is the count?", "`12/lb` or `30/kg`.")
            .range("1/kg", "1000/lb")],
        formula: "weight = 1 / count",
        holds: "Whole animals, or tails, whichever was counted.",
        source: "a definition",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("count", "12/lb")],
        work: weight_of_count,
    },
    Sum {
        name: "ration",
        group: Group::Stock,
        question: "How much feed today?",
        inputs: &[
            of("ration.alive", Kind::Count, "How many are alive, as far as you know?", "").range("1", "100,000,000"),
            weight("ration.mean"),
            of("ration.temp", Kind::Temperature, "How warm is the water, over the day?", "").range("32 F", "104 F"),
            of("ration.area", Kind::Area, "How large is the pond?", "")
                .range("1 m2", "1000 ha")
                .then("no ceiling is told"),
            Input::asked(
                "ration.dawn",
                Takes::Quantity(Kind::MassPerVolume, Some("mg/l")),
                "What was the oxygen at dawn?",
                "",
            )
            .range("0 mg/l", "40 mg/l")
            .then("it is not looked at"),
        ],
        formula: "feed = alive x mean x rate for that weight (7 %, 5 % from 15 g, 3 % from 25 g) x appetite at that warmth",
        holds: "Below 5 g natural food does. Rates by weight are recalled; what lies uneaten on a tray tells more.",
        source: "rates: a low-density scheme of D'Abramo and others (1995), repeated in extension texts; appetite: ours",
        mark: Mark::Memory,
        cautions: &[],
        example: &[("alive", "9600"), ("mean", "20 g"), ("temp", "80 F"), ("area", "1 ac"), ("dawn", "4.5 mg/L")],
        work: ration,
    },
    Sum {
        name: "feed-to-gain",
        group: Group::Stock,
        question: "How much feed made a pound of prawns?",
        inputs: &[
            of("feed-to-gain.feed", Kind::Mass, "How much was fed?", "All season, dry.").range("0 kg", "1,000,000 kg"),
            of("feed-to-gain.harvest", Kind::Mass, "How much was harvested?", "Live weight.")
                .range("0.1 kg", "1,000,000 kg"),
            of("feed-to-gain.stocked", Kind::Mass, "How much was stocked?", "Juveniles x their weight.")
                .range("0 kg", "100,000 kg")
                .assume("0 kg", "little beside the harvest"),
            Input::asked("feed-to-gain.price", Takes::Price(Kind::Mass), "What did the feed cost?", "")
                .range("$0/kg", "$1000/kg")
                .then("the cost is not told"),
        ],
        formula: "feed to gain = feed / (harvest - stocked); cost of a gain = that x price",
        holds: "2 to 3 is usual for dry feed.",
        source: "a definition; 2 to 3: New (2002), FAO Fisheries Technical Paper 428",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("feed", "2000 lb"), ("harvest", "740 lb"), ("stocked", "14 lb"), ("price", "$0.25/lb")],
        work: feed_to_gain,
    },
];

const fn tail_share(key: &'static str) -> Input {
    of(key, Kind::Share, "What share is tail?", "0.49 at 20 g, 0.47 at 35 g, 0.43 at 60 g and more are usual.")
        .range("20 %", "60 %")
        .assume("45 %", "a whole crop")
}

fn sample(given: &Given) -> Worked {
    let (n, mean) = (given.get("weighed"), given.get("mean"));
    let spread = given.maybe("spread").unwrap_or(0.47 * mean);
    let error = spread / n.sqrt();
    let half = t_95(n as usize - 1) * error;
    let wanted = NORMAL_95 * spread / mean / given.get("wanted");
    let enough = (wanted * wanted).ceil();
    Worked::default()
        .step("part", "deviation as a part of the mean", spread / mean, Measure::Share)
        .step("error", "standard error", error, GRAMS)
        .answer("either_way", "the mean is more or less by, 95 times in 100", half, GRAMS)
        .answer("share", "which is", half / mean, Measure::Share)
        .answer("enough", "to be weighed for the closeness wanted", enough, Measure::Pieces("animals"))
        .answer("more", "more than were weighed", (enough - n).max(0.0), Measure::Pieces("animals"))
}

fn standing_crop(given: &Given) -> Worked {
    let alive = given.get("stocked") * given.get("alive");
    let crop = alive * given.get("mean");
    let unsure = hypot(given.get("number_unsure"), given.get("weight_unsure"));
    let worked = Worked::default()
        .step("alive", "alive", alive, Measure::Pieces("animals"))
        .answer("crop", "in the pond", crop, MASS)
        .answer("unsure", "one standard deviation", unsure, Measure::Share)
        .answer("low", "but it may be as little as", (crop * (1.0 - NORMAL_95 * unsure)).max(0.0), MASS)
        .answer("high", "or as much as (95 times in 100)", crop * (1.0 + NORMAL_95 * unsure), MASS);
    match given.maybe("area") {
        Some(area) => worked.answer("to_the_area", "to the area", crop / area, TO_THE_AREA),
        None => worked,
    }
}

fn count(given: &Given) -> Worked {
    let (mean, tail) = (given.get("mean"), given.get("tail"));
    Worked::default()
        .answer("per_lb", "whole, to the pound", POUND_KG / mean, PER_LB)
        .answer("per_kg", "whole, to the kilogram", 1.0 / mean, PER_KG)
        .step("tail_weight", "its tail weighs", mean * tail, GRAMS)
        .answer("tails_per_lb", "tails, to the pound", POUND_KG / (mean * tail), PER_LB)
}

fn weight_of_count(given: &Given) -> Worked {
    let per_kg = given.get("count");
    Worked::default()
        .answer("weight", "one weighs", 1.0 / per_kg, GRAMS)
        .answer("per_lb", "to the pound", per_kg * POUND_KG, PER_LB)
        .answer("per_kg", "to the kilogram", per_kg, PER_KG)
}

const CEILING_KG_M2: f64 = CEILING_KG_HA_D / 10_000.0;

fn ration(given: &Given) -> Worked {
    let (mean, temp_c) = (given.get("mean"), given.get("temp"));
    let crop = given.get("alive") * mean;
    let rate = ration_fraction_per_d(1000.0 * mean);
    let wants = appetite(temp_c);
    let feed = crop * rate * wants;
    let dawn = given.maybe("dawn").map(|reading| reading * 1000.0);
    let worked = Worked::default()
        .step("crop", "in the pond", crop, MASS)
        .step("rate", "rate for that weight", rate, Measure::Share)
        .step("appetite", "appetite at that warmth", wants, Measure::Share)
        .answer("feed", "feed in the day", feed, MASS)
        .watch(rate == 0.0, "Below 5 g they live on what grows in the pond: fertilise by the Secchi disk.")
        .watch(wants == 0.0, "At 65 °F (18.3 °C) and below they do not eat.")
        .watch(
            dawn.is_some_and(|dawn| dawn < 3.0),
            "Oxygen at dawn was below 3 mg/L: give none until it is back above 4.",
        );
    match given.maybe("area") {
        Some(area) => {
            worked.answer("ceiling", "most without more air (40 kg/ha; from memory)", CEILING_KG_M2 * area, MASS).watch(
                feed > CEILING_KG_M2 * area,
                "More than a pond without more air can take: keep to the ceiling, or aerate.",
            )
        }
        None => worked,
    }
}

fn feed_to_gain(given: &Given) -> Worked {
    let gain = given.get("harvest") - given.get("stocked");
    let worked = Worked::default().step("gain", "gain", gain, MASS);
    if gain <= 0.0 {
        return worked.stop(true, "Nothing was gained: less came out than went in.");
    }
    let ratio = given.get("feed") / gain;
    let worked = worked.answer("ratio", "feed for one of gain", ratio, Measure::Plain(""));
    match given.maybe("price") {
        Some(price) => worked.answer("cost", "feed cost of a gain", ratio * price, Measure::MoneyPerKg),
        None => worked,
    }
}
