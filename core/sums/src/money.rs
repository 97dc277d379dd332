//! Prices and costs.

use farm::inputs::{Input, Takes};
use units::measure::Kind;

use crate::given::Given;
use crate::table::{Group, MASS, Mark, Measure, Sum, TO_THE_AREA, Worked, of};

const fn amount(key: &'static str, question: &'static str, about: &'static str) -> Input {
    Input::asked(key, Takes::Amount, question, about).range("0", "1,000,000,000")
}

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "break-even",
        group: Group::Money,
        question: "At what price, and with how many pounds, does the year pay?",
        inputs: &[
            amount("break-even.cost", "What does the whole year cost?", "With your own hours and the wear of things."),
            amount(
                "break-even.fixed",
                "How much of that is there whatever you grow?",
                "Wear, interest, land, insurance.",
            )
            .then("the rest is not told"),
            of("break-even.harvest", Kind::Mass, "How much will be sold?", "Whole weight.")
                .range("0.1 kg", "1,000,000 kg"),
            Input::asked("break-even.price", Takes::Price(Kind::Mass), "What is the price?", "")
                .range("$0.01/kg", "$10,000/kg")
                .then("the pounds are not told"),
        ],
        formula: "price = cost / pounds; pounds = cost / price",
        holds: "A price that covers cash only will replace neither ponds nor gear, and pays nobody's hours.",
        source: "a definition; Dasgupta (2005), Southern Regional Aquaculture Center 4830, for the use of it",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("cost", "$6152"), ("fixed", "$1699"), ("harvest", "800 lb"), ("price", "$10/lb")],
        work: break_even,
    },
    Sum {
        name: "price-forms",
        group: Group::Money,
        question: "What must tails or single prawns cost to bring the same as whole?",
        inputs: &[
            Input::asked("price-forms.whole", Takes::Price(Kind::Mass), "What do whole prawns cost?", "")
                .range("$0.01/kg", "$10,000/kg"),
            of("price-forms.tail", Kind::Share, "What share is tail?", "")
                .range("20 %", "60 %")
                .assume("45 %", "a whole crop"),
            of("price-forms.weight", Kind::Mass, "How much does one weigh?", "")
                .range("1 g", "300 g")
                .then("the price of one is not told"),
            Input::asked("price-forms.wage", Takes::Price(Kind::Duration), "What does an hour of heading cost?", "")
                .range("$0/h", "$10,000/h")
                .assume("$0/h", "your own hour, unpaid"),
            of("price-forms.rate", Kind::MassRate, "How much does one head in an hour?", "Whole weight.")
                .range("0.1 kg/h", "500 kg/h")
                .assume("20 kg/h", "common practice"),
        ],
        formula: "tails = (whole + wage / rate) / tail share; one = whole x weight",
        holds: "Before packing. Ask whether a price for heads removed is by weight before or after.",
        source: "a definition",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("whole", "$10/lb"), ("tail", "45 %"), ("weight", "37.8 g")],
        work: price_forms,
    },
    Sum {
        name: "wear",
        group: Group::Money,
        question: "What does a thing cost in a year, by wear and interest?",
        inputs: &[
            amount("wear.cost", "What did it cost?", ""),
            amount("wear.left", "What will it still be worth?", "At the end.").assume("0", "nothing"),
            Input::asked("wear.years", Takes::Number, "How many years does it last?", "").range("0.5", "100"),
            of("wear.interest", Kind::Share, "What interest?", "").range("0 %", "100 %").assume("0 %", "left out"),
        ],
        formula: "wear = (cost - left) / years; interest = rate x (cost + left) / 2",
        holds: "In equal parts over its years.",
        source: "straight-line depreciation, farm management handbooks",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("cost", "$6500"), ("left", "$3000"), ("years", "10"), ("interest", "8 %")],
        work: wear,
    },
    Sum {
        name: "yield",
        group: Group::Money,
        question: "What is that to the acre?",
        inputs: &[
            of("yield.harvest", Kind::Mass, "How much was harvested?", "").range("0 kg", "1,000,000 kg"),
            of("yield.area", Kind::Area, "How large is the pond?", "").range("1 m2", "1000 ha"),
        ],
        formula: "yield = harvest / area",
        holds: "",
        source: "a definition",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("harvest", "500 lb"), ("area", "0.3333 ac")],
        work: yield_to_the_area,
    },
];

fn break_even(given: &Given) -> Worked {
    let cost = given.get("cost");
    let mut worked =
        Worked::default().answer("price", "price at which it pays", cost / given.get("harvest"), Measure::MoneyPerKg);
    if let Some(price) = given.maybe("price") {
        worked = worked.answer("harvest", "to be sold at that price", cost / price, MASS).answer(
            "net",
            "left over at that price",
            price * given.get("harvest") - cost,
            Measure::Money,
        );
    }
    if let Some(fixed) = given.maybe("fixed") {
        worked = worked
            .step("variable", "cost that comes with growing", cost - fixed, Measure::Money)
            .watch(fixed > cost, "The fixed part is more than the whole: check the two.");
    }
    worked
}

fn price_forms(given: &Given) -> Worked {
    let whole = given.get("whole");
    let heading = given.get("wage") / given.get("rate");
    let worked = Worked::default().step("heading", "heading, for whole weight", heading, Measure::MoneyPerKg).answer(
        "tails",
        "tails",
        (whole + heading) / given.get("tail"),
        Measure::MoneyPerKg,
    );
    match given.maybe("weight") {
        Some(weight) => worked.answer("one", "one whole prawn", whole * weight, Measure::Money),
        None => worked,
    }
}

fn wear(given: &Given) -> Worked {
    let (cost, left) = (given.get("cost"), given.get("left"));
    let (wear, interest) = ((cost - left) / given.get("years"), given.get("interest") * 0.5 * (cost + left));
    Worked::default()
        .step("wear", "wear in a year", wear, Measure::Money)
        .step("interest", "interest in a year", interest, Measure::Money)
        .answer("year", "together in a year", wear + interest, Measure::Money)
        .watch(left > cost, "It ends worth more than it cost: check the two.")
}

fn yield_to_the_area(given: &Given) -> Worked {
    Worked::default()
        .answer("to_the_area", "to the area", given.get("harvest") / given.get("area"), TO_THE_AREA)
        .answer(
            "per_ha",
            "the same in kilograms to the hectare",
            given.get("harvest") / given.get("area") * 10_000.0,
            Measure::Plain("kg/ha"),
        )
        .answer(
            "per_acre",
            "and in pounds to the acre",
            given.get("harvest") / given.get("area") * 8921.791,
            Measure::Plain("lb/ac"),
        )
}
