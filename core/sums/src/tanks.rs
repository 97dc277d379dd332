//! Nursery tanks: feed, waste, filter, exchange, heat.

use farm::inputs::{Input, Takes};
use units::measure::Kind;

use crate::given::Given;
use crate::table::{AREA, Caution, Group, HOURS, MASS, Mark, Measure, Sum, VOLUME, Worked, of};

const fn feed(key: &'static str) -> Input {
    of(key, Kind::Mass, "How much feed goes in on the heaviest day?", "").range("0 kg", "10,000 kg")
}

const fn protein(key: &'static str) -> Input {
    of(key, Kind::Share, "How much of it is protein?", "As it says on the bag.")
        .range("5 %", "70 %")
        .assume("42 %", "a salmon starter, as in the Coyle trial")
}

const NITROGEN: Measure = Measure::Of(Kind::Mass, "g", "g");
const ENERGY: Measure = Measure::Of(Kind::Energy, "kWh", "kWh");
/// Ammonia nitrogen from a part of protein fed.
const NITROGEN_PER_PROTEIN: f64 = 0.092;

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "tank-waste",
        group: Group::Nursery,
        question: "How much ammonia does the feed become, and what does that use up?",
        inputs: &[feed("tank-waste.feed"), protein("tank-waste.protein")],
        formula: "ammonia nitrogen = feed x protein x 0.092; oxygen of the filter = 4.57 x that; alkalinity = 7.05 x that",
        holds: "In a day. The animals and all else that breathes use a quarter to a whole part of the feed's weight in oxygen besides.",
        source: "Timmons & Ebeling, Recirculating Aquaculture (from memory)",
        mark: Mark::Memory,
        cautions: &[],
        example: &[("feed", "1.31 kg"), ("protein", "42 %")],
        work: tank_waste,
    },
    Sum {
        name: "biofilter",
        group: Group::Nursery,
        question: "How large must the biofilter be?",
        inputs: &[
            feed("biofilter.feed"),
            protein("biofilter.protein"),
            Input::asked(
                "biofilter.rate",
                Takes::Number,
                "How much does a square metre take away?",
                "Grams of ammonia nitrogen in a day: 0.2 to 0.5 in warm water with 0.5 to 1 mg/L.",
            )
            .range("0.02", "3")
            .assume("0.3", "middle of the usual; from memory"),
            Input::asked(
                "biofilter.surface",
                Takes::Number,
                "How much surface has the filling?",
                "Square metres in a cubic metre, as its maker says.",
            )
            .range("20", "5000")
            .assume("200", "plain trickling filling"),
            of("biofilter.margin", Kind::Share, "How much more, to be safe?", "")
                .range("0 %", "400 %")
                .assume("50 %", "published rates scatter widely"),
        ],
        formula: "surface = ammonia nitrogen / rate; filling = surface / surface of a cubic metre x (1 + margin)",
        holds: "For the heaviest day's feed. A lower limit for ammonia means a slower filter and so a larger one. It takes 4 to 6 weeks to ripen.",
        source: "Losordo & DeLong (2015), Global Aquaculture Advocate, for the principle; rates recalled",
        mark: Mark::Memory,
        cautions: &[Caution::Electricity],
        example: &[("feed", "1.31 kg"), ("protein", "42 %"), ("rate", "0.30"), ("surface", "200"), ("margin", "50 %")],
        work: biofilter,
    },
    Sum {
        name: "tank-exchange",
        group: Group::Nursery,
        question: "How much water must be changed in a day without a filter?",
        inputs: &[
            feed("tank-exchange.feed"),
            protein("tank-exchange.protein"),
            Input::asked(
                "tank-exchange.most",
                Takes::Quantity(Kind::MassPerVolume, Some("mg/l")),
                "How much total ammonia is allowed?",
                "As nitrogen.",
            )
            .range("0.01 mg/l", "20 mg/l")
            .assume("1 mg/l", "usual"),
            Input::asked(
                "tank-exchange.fresh",
                Takes::Quantity(Kind::MassPerVolume, Some("mg/l")),
                "How much is in the new water?",
                "",
            )
            .range("0 mg/l", "20 mg/l")
            .assume("0 mg/l", "clean water"),
        ],
        formula: "water = ammonia nitrogen / (allowed - in the new water)",
        holds: "A well mixed tank, water running all day.",
        source: "mass balance of a mixed tank",
        mark: Mark::Definition,
        cautions: &[Caution::Chemicals],
        example: &[("feed", "1.31 kg"), ("protein", "42 %"), ("most", "1 mg/L")],
        work: tank_exchange,
    },
    Sum {
        name: "tank-heat",
        group: Group::Nursery,
        question: "How much heat does new water want, and what does it cost?",
        inputs: &[
            of("tank-heat.water", Kind::Volume, "How much water?", "").range("1 l", "10,000 m3"),
            of("tank-heat.from", Kind::Temperature, "How warm does it come?", "").range("32 F", "104 F"),
            of("tank-heat.to", Kind::Temperature, "How warm should it be?", "").range("32 F", "104 F"),
            of("tank-heat.heater", Kind::Power, "How strong is the heater?", "")
                .range("0.01 kW", "5000 kW")
                .then("the time is not told"),
            Input::asked("tank-heat.price", Takes::Price(Kind::Energy), "What does a kilowatt-hour cost?", "")
                .range("$0/kWh", "$100/kWh")
                .then("the cost is not told"),
        ],
        formula: "heat = 1.163 kWh x cubic metres x °C; time = heat / heater",
        holds: "The water alone. The surface loses as much again or more in a day; a cover that leaves the air its way halves that.",
        source: "heat capacity of water, 4.186 kJ/kg/K",
        mark: Mark::Definition,
        cautions: &[Caution::Electricity],
        example: &[("water", "1 m3"), ("from", "12 C"), ("to", "28 C"), ("heater", "3 kW"), ("price", "$0.13/kWh")],
        work: tank_heat,
    },
];

fn nitrogen_kg(given: &Given) -> f64 {
    given.get("feed") * given.get("protein") * NITROGEN_PER_PROTEIN
}

fn tank_waste(given: &Given) -> Worked {
    let nitrogen = nitrogen_kg(given);
    let alkalinity = 7.05 * nitrogen;
    Worked::default()
        .answer("nitrogen", "ammonia, as nitrogen, in a day", nitrogen, NITROGEN)
        .answer("oxygen", "oxygen the filter uses in a day", 4.57 * nitrogen, NITROGEN)
        .answer("alkalinity", "alkalinity used in a day, as calcium carbonate", alkalinity, NITROGEN)
        .answer("soda", "baking soda that makes it good", 1.68 * alkalinity, MASS)
}

fn biofilter(given: &Given) -> Worked {
    let nitrogen = nitrogen_kg(given);
    let surface = nitrogen * 1000.0 / given.get("rate");
    let filling = surface / given.get("surface");
    Worked::default()
        .step("nitrogen", "ammonia, as nitrogen, in a day", nitrogen, NITROGEN)
        .answer("area", "surface of filling", surface, AREA)
        .step("plain", "filling without margin", filling, VOLUME)
        .answer("filling", "filling", filling * (1.0 + given.get("margin")), VOLUME)
        .note("It is ripe when 2 to 3 mg/L of ammonia are gone in a day and nitrite is below 0.5, on two days running. Not before.")
}

fn tank_exchange(given: &Given) -> Worked {
    let (most, fresh) = (given.get("most"), given.get("fresh"));
    let nitrogen = nitrogen_kg(given);
    let worked = Worked::default().step("nitrogen", "ammonia, as nitrogen, in a day", nitrogen, NITROGEN);
    if most <= fresh {
        return worked.stop(true, "The new water holds as much ammonia as is allowed: no exchange helps.");
    }
    worked
        .answer("water", "water to be changed in a day", nitrogen / (most - fresh), VOLUME)
        .note("New water from the mains: test for chlorine first, and see the sum for it.")
}

fn tank_heat(given: &Given) -> Worked {
    let rise = given.get("to") - given.get("from");
    let heat_kwh = 4.186 / 3.6 * given.get("water") * rise.max(0.0);
    let mut worked = Worked::default()
        .step("rise", "rise in °C", rise, Measure::Plain("°C"))
        .answer("heat", "heat", heat_kwh, ENERGY)
        .watch(rise < 0.0, "It is to get colder: no heat is needed.");
    if let Some(heater) = given.maybe("heater") {
        worked = worked.answer("hours", "time with this heater", heat_kwh / heater, HOURS);
    }
    if let Some(price) = given.maybe("price") {
        worked = worked.answer("cost", "cost", heat_kwh * price, Measure::Money);
    }
    worked
}
