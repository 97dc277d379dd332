//! Ice, cold, live tanks, hands.

use ::harvest::{chill, ice, live};
use farm::inputs::{Input, Takes};
use pond::chemistry::unionized_fraction;
use units::measure::Kind;

use crate::given::Given;
use crate::table::{Caution, DEGREES, Group, HOURS, MASS, MG_L, MINUTES, Mark, Measure, Sum, Worked, of};

const fn warmth(key: &'static str, question: &'static str, about: &'static str) -> Input {
    of(key, Kind::Temperature, question, about).range("28 F", "113 F")
}

const RATE: Measure = Measure::Of(Kind::MassRate, "kg/h", "lb/h");
const HEAT: Measure = Measure::Plain("kJ");
/// Litres in a kilogram of water, near enough.
const WATER_KG_M3: f64 = 1000.0;

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "ice",
        group: Group::Harvest,
        question: "How much ice chills this catch?",
        inputs: &[
            of("ice.catch", Kind::Mass, "How much prawn goes in?", "").range("0 kg", "100,000 kg"),
            warmth("ice.catch_temp", "How warm are they?", "As the water they come from."),
            of("ice.water", Kind::Volume, "How much water is in the slurry?", "As much as prawns is usual.")
                .range("0 l", "1000 m3"),
            warmth(
                "ice.water_temp",
                "How warm is that water before ice?",
                "Chilled the night before it halves the ice.",
            ),
            warmth("ice.wanted", "How cold should it end?", "").assume("1 C", "a slurry that is really cold"),
            warmth("ice.air", "How warm is the air?", "").assume("25 C", "a late summer's day"),
            of("ice.hours", Kind::Duration, "How long will it stand?", "")
                .range("0 h", "48 h")
                .assume("3 h", "a morning"),
            Input::asked(
                "ice.leak",
                Takes::Number,
                "How much heat does the tub let in?",
                "Watts for each °C: 3 for a good insulated tub, 10 and more for a plain one.",
            )
            .range("0", "500")
            .assume("3", "an insulated tub; our guess"),
            of("ice.margin", Kind::Share, "How much more, for ice that melts on the way?", "")
                .range("0 %", "200 %")
                .assume("25 %", "common practice: 20 to 30 %"),
            of("ice.on_hand", Kind::Mass, "How much ice is there?", "")
                .range("0 kg", "100,000 kg")
                .then("where it settles is not told"),
        ],
        formula: "ice = (prawns x 3.5 x fall + water x 4.19 x fall + heat let in) / (334 + 4.19 x end), in kJ, kg and °C; order = ice x (1 + margin)",
        holds: "Ice at its melting point. Ice for holding and packing comes on top.",
        source: "heat balance, as in Graham, Johnston & Nicholson (1992), FAO Fisheries Technical Paper 331, chapter 3; 3.5: Siebel's and Choi & Okos's equations",
        mark: Mark::Published,
        cautions: &[Caution::Hands],
        example: &[("catch", "300 kg"), ("catch_temp", "20 C"), ("water", "300 l"), ("water_temp", "16 C")],
        work: of_ice,
    },
    Sum {
        name: "chill",
        group: Group::Harvest,
        question: "How long until they are cold to the core?",
        inputs: &[
            of("chill.thick", Kind::Length, "How thick is the thickest body?", "Across the back, at the head.")
                .range("4 mm", "80 mm"),
            warmth("chill.from", "How warm are they?", ""),
            warmth("chill.core", "How cold should the core be?", "").assume("2 C", "36 °F, usual"),
            warmth("chill.slurry", "How cold is the slurry?", "By a probe, not by hand.").assume("0 C", "melting ice"),
            Input::asked(
                "chill.stirred",
                Takes::Words(&["still", "stirred", "well-stirred"]),
                "How is it stirred?",
                "",
            )
            .assume("stirred", "usual"),
        ],
        formula: "the cooling of a long cylinder, as a series, conductivity 0.515 W/m/K, diffusivity 1.33e-7 m²/s; 100, 250 or 500 W/m²/K at the skin",
        holds: "One animal with slurry all around. In a full basket the heap, not the animal, takes the time: lift and dip.",
        source: "Carslaw & Jaeger, series of the long cylinder (Heisler's charts show it); skin values recalled",
        mark: Mark::Memory,
        cautions: &[Caution::Hands],
        example: &[("thick", "20 mm"), ("from", "20 C"), ("core", "2 C"), ("slurry", "0 C"), ("stirred", "stirred")],
        work: chill_time,
    },
    Sum {
        name: "live-tank",
        group: Group::Harvest,
        question: "Is this live load safe?",
        inputs: &[
            of("live-tank.mass", Kind::Mass, "How much prawn is in it?", "").range("0.01 kg", "100,000 kg"),
            of(
                "live-tank.water",
                Kind::Volume,
                "How much water?",
                "The water, not the tank: animals take a litre a kilogram.",
            )
            .range("1 l", "1000 m3"),
            warmth("live-tank.temp", "How warm is the water?", "68 to 72 °F (20 to 22 °C) is right."),
            of("live-tank.hours", Kind::Duration, "For how long?", "").range("0.1 h", "96 h"),
            Input::asked("live-tank.air", Takes::Words(&["oxygen", "air"]), "Pure oxygen or air?", "")
                .assume("air", "the careful side"),
            Input::asked("live-tank.ph", Takes::Number, "What is the pH?", "")
                .range("4", "11")
                .assume("7.5", "our guess"),
        ],
        formula: "load = prawns / water; ammonia = 8 mg a kilogram and hour x hours x prawns / water; oxygen = 125 mg a kilogram and hour at 20 °C, doubling with 10 °C",
        holds: "Market animals, unfed for a day. At 100 g/L for 24 h 97 % lived at 21 °C, 24 % at 26 °C.",
        source: "Coyle and others, on carrying market-size prawns, abstract; ammonia and oxygen recalled",
        mark: Mark::Published,
        cautions: &[Caution::Oxygen, Caution::Electricity],
        example: &[
            ("mass", "40 kg"),
            ("water", "800 l"),
            ("temp", "21 C"),
            ("hours", "12 h"),
            ("air", "oxygen"),
            ("ph", "7.2"),
        ],
        work: live_tank,
    },
    Sum {
        name: "heading",
        group: Group::Harvest,
        question: "How long does heading by hand take?",
        inputs: &[
            of("heading.weight", Kind::Mass, "How much does one weigh?", "Whole.").range("1 g", "300 g"),
            of("heading.each", Kind::Duration, "How long does one take?", "3 to 8 seconds.")
                .range("1 s", "60 s")
                .assume("5 s", "common practice"),
            of("heading.hands", Kind::Count, "How many work at it?", "").range("1", "200").assume("1", "one alone"),
            of("heading.pace", Kind::Share, "What part of that pace lasts?", "Cold hands, breaks.")
                .range("10 %", "100 %")
                .assume("100 %", "fresh hands"),
            of("heading.amount", Kind::Mass, "How much is to be headed?", "Whole weight.")
                .range("0 kg", "100,000 kg")
                .then("the time is not told"),
        ],
        formula: "rate = weight / time of one x hands x pace; hours = amount / rate",
        holds: "Measure your own first hour, and use that.",
        source: "no published rate was found for this animal",
        mark: Mark::CommonPractice,
        cautions: &[Caution::Hands],
        example: &[("weight", "38 g"), ("each", "5 s"), ("hands", "4"), ("pace", "80 %"), ("amount", "300 kg")],
        work: heading,
    },
    Sum {
        name: "tails",
        group: Group::Harvest,
        question: "How many pounds of tails come from whole prawns?",
        inputs: &[
            of("tails.whole", Kind::Mass, "How much whole?", "").range("0 kg", "1,000,000 kg"),
            of(
                "tails.share",
                Kind::Share,
                "What share is tail?",
                "0.49 at 20 g, 0.47 at 35 g, 0.43 at 60 g and more are usual; your own yield is better.",
            )
            .range("20 %", "60 %")
            .assume("45 %", "a whole crop"),
        ],
        formula: "tails = whole x share",
        holds: "Shell on. Large blue-claw males give a third only: sell those whole.",
        source: "females 0.499, small males 0.485: Rayventh and others (2025), abstract; under 0.45 from 50 g: Lobao and others",
        mark: Mark::Published,
        cautions: &[Caution::Hands],
        example: &[("whole", "100 lb"), ("share", "45 %")],
        work: tails,
    },
];

fn of_ice(given: &Given) -> Worked {
    let slurry = ice::Slurry {
        prawns_kg: given.get("catch"),
        prawns_c: given.get("catch_temp"),
        water_kg: WATER_KG_M3 * given.get("water"),
        water_c: given.get("water_temp"),
        tub_kj_k: 0.0,
        leak_w_k: given.get("leak"),
        air_c: given.get("air"),
        hours: given.get("hours"),
        ice_c: 0.0,
        wanted_c: given.get("wanted"),
    };
    let (of_catch, of_water) = (slurry.of_prawns_kj(), slurry.of_water_kj());
    let ice_kg = slurry.ice_kg();
    let worked = Worked::default()
        .step("of_catch", "heat of the prawns", of_catch, HEAT)
        .step("of_water", "heat of the water", of_water, HEAT)
        .step("let_in", "heat the tub lets in", slurry.let_in_kj(), HEAT)
        .step("fao", "FAO's short rule, for the prawns alone", ice::short_rule_kg(slurry.prawns_kg, slurry.prawns_c), MASS)
        .answer("ice", "ice that melts", ice_kg, MASS)
        .answer("order", "to be ordered", ice_kg * (1.0 + given.get("margin")), MASS)
        .stop(slurry.wanted_c < 0.0, "Below 0 °C (32 °F) there is no slurry: ice and fresh water end at the freezing point.")
        .watch(of_water > of_catch, "More of the ice chills the water than the prawns: chill the water the night before, or use less.")
        .note("Ice must still float when the last prawn comes out. Prawns are killed by the cold, quickly, in a slurry that is really at 32 °F (0 °C).");
    let Some(on_hand_kg) = given.maybe("on_hand") else { return worked };
    // At once, before anything leaks in: what a probe shows when the last has gone in.
    let settles = ice::Slurry { hours: 0.0, ..slurry }.settles_c(on_hand_kg);
    worked.answer("settles", "with the ice there is it settles at", settles, DEGREES).stop(
        settles > 4.0,
        "Too little ice: it ends above 40 °F (4 °C), which feels cold and is not. Take less catch, or get ice first.",
    )
}

fn chill_time(given: &Given) -> Worked {
    let skin_w = match given.word("stirred") {
        "still" => chill::SKIN_W_M2_K[0],
        "stirred" => chill::SKIN_W_M2_K[1],
        _ => chill::SKIN_W_M2_K[2],
    };
    let (slurry, core) = (given.get("slurry"), given.get("core"));
    let worked = Worked::default()
        .step("skin", "heat taken at the skin", skin_w, Measure::Plain("W/m²/K"))
        .stop(core <= slurry, "The core cannot get as cold as that: the slurry is not colder.")
        .watch(slurry > 1.5, "This slurry is too warm: add ice until it is below 35 °F (1.5 °C).");
    if core <= slurry {
        return worked;
    }
    let hours = chill::hours(0.5 * given.get("thick"), skin_w, given.get("from") - slurry, core - slurry);
    worked
        .answer("time", "time to the core", hours, MINUTES)
        .answer("leave", "leave them in", (1.5 * hours).max(1.0 / 6.0), MINUTES)
        .note("Then probe three of the thickest: all at 36 °F (2 °C) or below, or back in.")
}

fn live_tank(given: &Given) -> Worked {
    let (mass, water, hours) = (given.get("mass"), given.get("water"), given.get("hours"));
    let temp_c = given.get("temp");
    let load_g_l = mass / water;
    let total = live::NITROGEN_G_KG_H * mass * hours / 1000.0 / water;
    let unionized = unionized_fraction(temp_c, given.get("ph")) * total;
    let oxygen = live::oxygen_g_h(mass, temp_c) / 1000.0;
    let most = live::usual_most_g_l(given.word("air") == "oxygen", hours);
    Worked::default()
        .answer("load", "load", load_g_l, Measure::Plain("g/L"))
        .answer("most", "usual most for that", most, Measure::Plain("g/L"))
        .answer("ammonia", "total ammonia at the end, as nitrogen", total, MG_L)
        .step("unionized", "un-ionized of that", unionized, MG_L)
        .answer("oxygen", "oxygen they use in an hour", oxygen, Measure::Of(Kind::MassRate, "kg/h", "lb/h"))
        .stop(
            temp_c >= live::TOO_WARM_C,
            "Too warm: at 79 °F (26 °C) three of four died. Cool the water below 77 °F (25 °C) first.",
        )
        .stop(load_g_l > live::LOAD_MOST_G_L, "Too many: more than 100 g to the litre has not been shown to work.")
        .watch(
            load_g_l > most && load_g_l <= live::LOAD_MOST_G_L,
            "More than is usual for that time and air: pure oxygen with an alarm, or fewer.",
        )
        .watch(
            load_g_l > 50.0 && load_g_l <= 100.0 && temp_c < 25.0,
            "At such a load look every two hours: oxygen, warmth, dead ones out at once.",
        )
        .watch(
            unionized * 1000.0 > live::FREE_AMMONIA_MOST_MG_L,
            "Ammonia will be too high: change most of the water before then.",
        )
        .watch(temp_c < 18.0, "Colder than 64 °F (18 °C): temper slowly, 3 °C an hour at most.")
}

fn heading(given: &Given) -> Worked {
    let rate = given.get("weight") / given.get("each") * given.get("hands") * given.get("pace");
    let worked = Worked::default().answer("rate", "whole prawns headed", rate, RATE);
    match given.maybe("amount") {
        Some(amount) => worked.answer("hours", "time for all", amount / rate, HOURS).watch(
            amount / rate > 6.0,
            "Longer than they should wait on ice before heading: more hands, or sell more whole.",
        ),
        None => worked,
    }
}

fn tails(given: &Given) -> Worked {
    let (whole, share) = (given.get("whole"), given.get("share"));
    Worked::default().answer("tails", "tails", whole * share, MASS).answer(
        "heads",
        "heads to be got rid of",
        whole * (1.0 - share),
        MASS,
    )
}
