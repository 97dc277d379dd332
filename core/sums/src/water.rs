//! What is in the water, and what to put into it.

use farm::inputs::{Input, Takes};
use pond::chemistry::{ammonium_pka, oxygen_saturation_mg_l, unionized_fraction};
use units::measure::Kind;

use crate::given::Given;
use crate::table::{Caution, GRAMS, Group, MASS, MG_L, MG_L_PER_KG_M3, Mark, Measure, Sum, TO_THE_AREA, Worked, mg_l};

const fn warmth(key: &'static str) -> Input {
    Input::asked(key, Takes::Quantity(Kind::Temperature, None), "How warm is the water?", "Where the sample was taken.")
        .range("32 F", "104 F")
}

const fn volume(key: &'static str) -> Input {
    Input::asked(
        key,
        Takes::Quantity(Kind::Volume, None),
        "How much water is it?",
        "Gallons, cubic metres or acre-feet.",
    )
    .range("1 l", "1,000,000 m3")
}

/// Un-ionized ammonia that prawns should not meet, mg/L as N.
const UNIONIZED_MOST_MG_L: f64 = 0.1;
/// Parts of salt that are chloride, by weight.
const CHLORIDE_IN_SALT: f64 = 0.6066;
/// Nitrite for one part of its nitrogen.
const NITRITE_PER_N: f64 = 3.285;

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "ammonia",
        group: Group::Water,
        question: "How much of the ammonia is the kind that poisons?",
        inputs: &[
            mg_l(
                "ammonia.total",
                "How much total ammonia, as nitrogen?",
                "As the kit shows it; the free and the bound together.",
            )
            .range("0 mg/l", "50 mg/l"),
            warmth("ammonia.temp"),
            Input::asked("ammonia.ph", Takes::Number, "What is the pH?", "Of the afternoon, when it is highest.")
                .range("4", "12"),
        ],
        formula: "share = 1 / (1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92 / (temperature in K); un-ionized = share x total",
        holds: "Fresh water. The afternoon's pH gives the day's worst. Limits for prawns rest on few trials.",
        source: "Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32:2379-2383; 0.1 mg/L: Mississippi State University, prawn ponds",
        mark: Mark::Memory,
        cautions: &[],
        example: &[("total", "1.0 mg/L"), ("temp", "24 C"), ("ph", "8.0")],
        work: ammonia,
    },
    Sum {
        name: "oxygen",
        group: Group::Water,
        question: "How much oxygen can the water hold, and how full is it?",
        inputs: &[
            warmth("oxygen.temp"),
            Input::asked(
                "oxygen.elevation",
                Takes::Quantity(Kind::Length, None),
                "How high above the sea is it?",
                "High places hold less.",
            )
            .range("-1400 ft", "15000 ft")
            .assume("0 ft", "sea level"),
            mg_l("oxygen.reading", "What does the meter show?", "Left out: only what the water can hold is told.")
                .range("0 mg/l", "40 mg/l")
                .then("the share is not told"),
        ],
        formula: "saturation by Benson & Krause at the usual air pressure of that height; share = reading / saturation",
        holds: "Fresh water, 0 to 40 °C. Weather moves air pressure by a part in fifty.",
        source: "Benson & Krause (1984), Limnol. Oceanogr. 29:620-632, as in Standard Methods; limits: Mississippi State University, and a shrimp aeration survey (Nunes & Musig 2001)",
        mark: Mark::Memory,
        cautions: &[],
        example: &[("temp", "20 C"), ("elevation", "0 ft"), ("reading", "4 mg/L")],
        work: oxygen,
    },
    Sum {
        name: "lime-mud",
        group: Group::Water,
        question: "How much lime does the mud of an empty pond want?",
        inputs: &[
            Input::asked(
                "lime-mud.ph",
                Takes::Number,
                "What is the pH of the mud?",
                "Of dried mud from several places, mixed.",
            )
            .range("4", "7.5"),
            Input::asked(
                "lime-mud.soil",
                Takes::Words(&["clay", "sandy-loam", "sand"]),
                "What is the mud?",
                "`clay` is also heavy loam.",
            ),
            Input::asked("lime-mud.area", Takes::Quantity(Kind::Area, None), "How large is the bottom?", "")
                .range("10 m2", "100 ha"),
        ],
        formula: "lime = the table's rate for soil and pH x area",
        holds: "Agricultural limestone, as calcium carbonate. A soil test of your own land is better.",
        source: "Saha and others (2003), table in FAO's feed profile of catla",
        mark: Mark::Published,
        cautions: &[Caution::Chemicals],
        example: &[("ph", "5.5"), ("soil", "sandy-loam"), ("area", "1 ac")],
        work: lime_mud,
    },
    Sum {
        name: "lime-water",
        group: Group::Water,
        question: "How much limestone raises the water's alkalinity?",
        inputs: &[
            mg_l("lime-water.now", "What is the alkalinity now?", "As calcium carbonate.").range("0 mg/l", "1000 mg/l"),
            mg_l("lime-water.wanted", "What should it be?", "50 to 150 mg/L suits this crop (recalled, not read).")
                .range("0 mg/l", "400 mg/l"),
            volume("lime-water.water"),
            Input::asked(
                "lime-water.purity",
                Takes::Quantity(Kind::Share, None),
                "How pure and fine is the lime?",
                "What the bag calls its neutralizing value, times what of it is fine.",
            )
            .range("0.1", "1.8")
            .assume("0.9", "our guess"),
        ],
        formula: "lime = (wanted - now) x water / purity; baking soda = 1.68 x the same without purity",
        holds: "The water alone: acid mud takes up more (see lime-mud). Limestone dissolves slowly, and little above 60 mg/L.",
        source: "arithmetic of equivalents; targets recalled from extension texts",
        mark: Mark::Memory,
        cautions: &[Caution::Chemicals],
        example: &[("now", "20 mg/L"), ("wanted", "60 mg/L"), ("water", "1 acre-ft"), ("purity", "0.9")],
        work: lime_water,
    },
    Sum {
        name: "salt",
        group: Group::Water,
        question: "How much salt guards against this nitrite?",
        inputs: &[
            mg_l("salt.nitrite", "How much nitrite, as nitrogen?", "As the kit shows it, NO2-N.")
                .range("0 mg/l", "50 mg/l"),
            mg_l("salt.chloride", "How much chloride is in the water?", "")
                .range("0 mg/l", "5000 mg/l")
                .assume("0 mg/l", "the careful side"),
            volume("salt.water"),
        ],
        formula: "chloride wanted = 10 x nitrite (3.285 x its nitrogen); salt = (wanted - there) x water / 0.6066",
        holds: "Ten parts chloride to one of nitrite guards catfish; for prawns much less is known. 100 mg/L chloride is often kept as insurance.",
        source: "Southern Regional Aquaculture Center text on nitrite in fish ponds, excerpt",
        mark: Mark::Published,
        cautions: &[Caution::Chemicals],
        example: &[("nitrite", "0.5 mg/L"), ("chloride", "10 mg/L"), ("water", "1 acre-ft")],
        work: salt,
    },
    Sum {
        name: "chlorine",
        group: Group::Water,
        question: "How much thiosulphate takes the chlorine out?",
        inputs: &[
            mg_l("chlorine.chlorine", "How much chlorine, total?", "Total, not free: chloramine counts.")
                .range("0 mg/l", "200 mg/l"),
            volume("chlorine.water"),
        ],
        formula: "thiosulphate (crystals, five waters) = 7 x chlorine x water",
        holds: "Use it, stir, wait, then test. It takes oxygen: aerate. Chloramine leaves its ammonia behind.",
        source: "2 Na2S2O3 + Cl2 -> Na2S4O6 + 2 NaCl, by weight",
        mark: Mark::Definition,
        cautions: &[Caution::Chemicals],
        example: &[("chlorine", "1 mg/L"), ("water", "1000 gal")],
        work: chlorine,
    },
    Sum {
        name: "dose",
        group: Group::Water,
        question: "How much of something makes so many mg/L?",
        inputs: &[
            mg_l("dose.wanted", "How much should be in the water?", "mg/L and ppm are the same in fresh water.")
                .range("0 mg/l", "100,000 mg/l"),
            volume("dose.water"),
            Input::asked(
                "dose.strength",
                Takes::Quantity(Kind::Share, None),
                "How much of the product is the thing itself?",
                "",
            )
            .range("0.001", "1")
            .assume("1", "the pure thing"),
        ],
        formula: "product = wanted x water / strength",
        holds: "Mixed through all the water. Follow the label; only what is allowed for animals raised as food.",
        source: "a definition: 1 mg/L in one acre-foot is 2.719 lb",
        mark: Mark::Definition,
        cautions: &[Caution::Chemicals],
        example: &[("wanted", "1 mg/L"), ("water", "1 acre-ft")],
        work: dose,
    },
    Sum {
        name: "hardness",
        group: Group::Water,
        question: "How hard is water with so much calcium and magnesium?",
        inputs: &[
            mg_l("hardness.calcium", "How much calcium?", "").range("0 mg/l", "2000 mg/l"),
            mg_l("hardness.magnesium", "How much magnesium?", "")
                .range("0 mg/l", "2000 mg/l")
                .assume("0 mg/l", "not measured"),
        ],
        formula: "hardness as calcium carbonate = 2.497 x calcium + 4.118 x magnesium",
        holds: "Advice for this animal is a hardness of not more than 150 mg/L.",
        source: "equivalent weights; 150 mg/L: FAO-based site advice",
        mark: Mark::Memory,
        cautions: &[],
        example: &[("calcium", "30 mg/L"), ("magnesium", "8 mg/L")],
        work: hardness,
    },
];

fn ammonia(given: &Given) -> Worked {
    let (total, temp_c, ph) = (given.get("total"), given.get("temp"), given.get("ph"));
    let share = unionized_fraction(temp_c, ph);
    let unionized_mg_l = share * total * MG_L_PER_KG_M3;
    Worked::default()
        .step("pka", "pKa at this temperature", ammonium_pka(temp_c), Measure::Plain(""))
        .step("share", "un-ionized share of the total", share, Measure::Share)
        .answer("unionized", "un-ionized ammonia, as nitrogen", share * total, MG_L)
        .answer("total_most", "most total ammonia that keeps it at 0.1 mg/L here", UNIONIZED_MOST_MG_L / share / MG_L_PER_KG_M3, MG_L)
        .watch((0.05..=UNIONIZED_MOST_MG_L).contains(&unionized_mg_l), "Near the limit of 0.1 mg/L: feed less, and look again in the afternoon.")
        .watch(unionized_mg_l > UNIONIZED_MOST_MG_L, "Above 0.1 mg/L, which prawns should not meet for long: stop feeding, add water that is better, do not lime.")
        .stop(ph > 9.5, "Do not stock: above pH 9.5 juveniles die (72 h trials of Straus, Robinette & Heinen 1991).")
}

fn oxygen(given: &Given) -> Worked {
    let pressure_hpa = weather::moist::pressure_fao56(given.get("elevation"));
    let held_mg_l = oxygen_saturation_mg_l(given.get("temp"), pressure_hpa);
    let worked = Worked::default()
        .step("pressure", "usual air pressure there", pressure_hpa, Measure::Plain("hPa"))
        .answer("saturation", "the water can hold", held_mg_l / MG_L_PER_KG_M3, MG_L);
    let Some(reading) = given.maybe("reading") else { return worked };
    let reading_mg_l = reading * MG_L_PER_KG_M3;
    worked
        .answer("share", "it holds of that", reading_mg_l / held_mg_l, Measure::Share)
        .watch(
            (1.0..3.0).contains(&reading_mg_l),
            "Below 3 mg/L: aerate, and stop feeding. What counts is the reading at the bottom by the drain, at dawn.",
        )
        .watch(reading_mg_l < 1.0, "Below 1 mg/L kills within hours: all the air there is, now.")
        .watch(
            reading_mg_l > 1.5 * held_mg_l,
            "Half again what the water can hold: a dense bloom by day. Expect a low dawn.",
        )
}

/// Rates by the soil's pH up to, kg/ha: clay, sandy loam, sand.
const LIME_KG_HA: [(f64, [f64; 3]); 4] = [
    (5.0, [3000.0, 2000.0, 1000.0]),
    (6.0, [1800.0, 1200.0, 600.0]),
    (6.5, [1500.0, 1000.0, 500.0]),
    (7.5, [600.0, 400.0, 200.0]),
];

fn lime_mud(given: &Given) -> Worked {
    let soil = match given.word("soil") {
        "clay" => 0,
        "sandy-loam" => 1,
        _ => 2,
    };
    let ph = given.get("ph");
    let row = LIME_KG_HA.iter().find(|row| ph <= row.0).unwrap_or(&LIME_KG_HA[3]);
    let rate_kg_m2 = row.1[soil] / 10_000.0;
    Worked::default()
        .step("rate", "the table's rate", rate_kg_m2, TO_THE_AREA)
        .answer("lime", "limestone, as calcium carbonate", rate_kg_m2 * given.get("area"), MASS)
        .note("Burnt or hydrated lime is stronger, burns skin and eyes, and drives the pH up: for empty ponds only, by its own table.")
}

fn lime_water(given: &Given) -> Worked {
    let rise = (given.get("wanted") - given.get("now")).max(0.0);
    let carbonate_kg = rise * given.get("water");
    Worked::default()
        .step("rise", "alkalinity to be added", rise, MG_L)
        .step("carbonate", "calcium carbonate for that", carbonate_kg, MASS)
        .answer("lime", "limestone", carbonate_kg / given.get("purity"), MASS)
        .answer("soda", "or baking soda, which dissolves at once", 1.68 * carbonate_kg, MASS)
        .note("With animals in the water only limestone or baking soda: burnt and hydrated lime kill by their pH.")
}

fn salt(given: &Given) -> Worked {
    let nitrite = NITRITE_PER_N * given.get("nitrite");
    let lacking = (10.0 * nitrite - given.get("chloride")).max(0.0);
    Worked::default()
        .step("nitrite_ion", "nitrite itself", nitrite, MG_L)
        .step("lacking", "chloride that is lacking", lacking, MG_L)
        .answer("salt", "salt", lacking * given.get("water") / CHLORIDE_IN_SALT, MASS)
        .watch(
            given.get("nitrite") * MG_L_PER_KG_M3 >= 1.0,
            "At 1 mg/L of nitrite nitrogen and more: feed less and change water too.",
        )
}

fn chlorine(given: &Given) -> Worked {
    let chlorine_kg = given.get("chlorine") * given.get("water");
    Worked::default()
        .step("chlorine_in", "chlorine in the water", chlorine_kg, GRAMS)
        .answer("thiosulphate", "sodium thiosulphate crystals", 7.0 * chlorine_kg, GRAMS)
        .watch(
            given.get("chlorine") > 0.0,
            "No animals in this water before a test of total chlorine shows 0.00 mg/L, written down.",
        )
}

fn dose(given: &Given) -> Worked {
    let pure_kg = given.get("wanted") * given.get("water");
    Worked::default()
        .step("pure", "of the thing itself", pure_kg, MASS)
        .answer("product", "of the product", pure_kg / given.get("strength"), MASS)
        .note("Weigh it, write it down, and mix it well: half a pond without and half with double helps nobody.")
}

fn hardness(given: &Given) -> Worked {
    let hard = 2.497 * given.get("calcium") + 4.118 * given.get("magnesium");
    Worked::default()
        .answer("hardness", "hardness, as calcium carbonate", hard, MG_L)
        .step("grains", "the same in grains to the US gallon", hard * MG_L_PER_KG_M3 / 17.12, Measure::Plain("grains"))
        .watch(
            hard * MG_L_PER_KG_M3 > 150.0,
            "More than 150 mg/L: young ones grow worse in hard water, most of all where alkalinity is high too.",
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lime_rises_with_acid_mud_and_with_clay() {
        for pair in LIME_KG_HA.windows(2) {
            assert!(pair[0].0 < pair[1].0 && pair[0].1.iter().zip(pair[1].1).all(|(acid, mild)| *acid > mild));
        }
    }
}
