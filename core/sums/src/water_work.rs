//! Filling, emptying, mixing two waters, and air for the night.

use farm::inputs::{Input, Takes};
use pond::chemistry::oxygen_saturation_mg_l;
use pond::oxygen::part_of_rating;
use units::measure::Kind;

use crate::given::Given;
use crate::table::{
    AREA, Caution, Group, HOURS, MASS, MG_L, MG_L_PER_KG_M3, MINUTES, Mark, Measure, Sum, VOLUME, Worked, mg_l, of,
};

const fn reading(key: &'static str, question: &'static str, about: &'static str) -> Input {
    mg_l(key, question, about).range("0 mg/l", "40 mg/l")
}

const fn number(key: &'static str, question: &'static str, about: &'static str) -> Input {
    Input::asked(key, Takes::Number, question, about)
}

const POWER: Measure = Measure::Of(Kind::Power, "kW", "hp");
const OXYGEN_RATE: Measure = Measure::Of(Kind::MassRate, "kg/h", "lb/h");
const GRAVITY_M_S2: f64 = 9.806_65;
/// Oxygen below which aerators are started, mg/L.
const NIGHT_LIMIT_MG_L: f64 = 3.0;

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "volume",
        group: Group::PondWork,
        question: "How much water is in the pond?",
        inputs: &[
            of("volume.surface", Kind::Area, "How large is the water's surface?", "").range("1 m2", "1000 ha"),
            of(
                "volume.middle",
                Kind::Area,
                "How large is it half-way down?",
                "Where the level stood at half the depth.",
            )
            .range("0 m2", "1000 ha"),
            of("volume.bottom", Kind::Area, "How large is the floor?", "").range("0 m2", "1000 ha"),
            of("volume.depth", Kind::Length, "How deep is it?", "From surface to floor.").range("1 in", "10 m"),
        ],
        formula: "volume = depth x (surface + 4 x middle + bottom) / 6",
        holds: "Exact where the sides are plane, near enough for a dug pond. The pond's own page reckons from your survey.",
        source: "prismoidal formula of earthwork handbooks",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("surface", "1 ac"), ("middle", "0.9 ac"), ("bottom", "0.8 ac"), ("depth", "4 ft")],
        work: volume,
    },
    Sum {
        name: "top-up",
        group: Group::PondWork,
        question: "How much water is lost, and how long must it run to make it good?",
        inputs: &[
            of("top-up.area", Kind::Area, "How large is the water's surface?", "").range("1 m2", "1000 ha"),
            of(
                "top-up.fall",
                Kind::Length,
                "How far did the level fall?",
                "By evaporation and seepage, over the days you looked.",
            )
            .range("0 in", "3 m"),
            of("top-up.days", Kind::Duration, "In what time?", "").range("1 h", "60 days"),
            of("top-up.flow", Kind::Flow, "How much does the well or pump give?", "").range("0.01 m3/h", "5000 m3/h"),
        ],
        formula: "water = area x fall; hours = water / flow",
        holds: "Steep banks lose a little less. A fall of more than a quarter inch a day beyond evaporation is a leak (common practice).",
        source: "a definition",
        mark: Mark::Definition,
        cautions: &[Caution::Engines],
        example: &[("area", "1 ac"), ("fall", "1 in"), ("days", "4 days"), ("flow", "60 gpm")],
        work: top_up,
    },
    Sum {
        name: "drain",
        group: Group::PondWork,
        question: "How long does a drain take to empty the pond?",
        inputs: &[
            of(
                "drain.area",
                Kind::Area,
                "How large is the water's surface?",
                "On the way down; for sloping sides take the middle.",
            )
            .range("10 m2", "100 ha"),
            of("drain.depth", Kind::Length, "How deep above the middle of the outlet?", "").range("2 in", "8 m"),
            of("drain.across", Kind::Length, "How wide is the pipe?", "Inside.").range("1 in", "2 m"),
            number(
                "drain.coefficient",
                "How freely does it run?",
                "0.6 for an edge, 0.8 for a short pipe; less with a screen.",
            )
            .range("0.1", "1")
            .assume("0.6", "a sharp edge; from memory"),
        ],
        formula: "hours = 2 x area x sqrt(depth) / (coefficient x pipe area x sqrt(2 g)) / 3600",
        holds: "Upright sides, a free outlet, a clean screen. A screen that clogs may double it. The water outside must stand lower.",
        source: "orifice flow (Torricelli), hydraulics handbooks",
        mark: Mark::Definition,
        cautions: &[Caution::Drains],
        example: &[("area", "1 ac"), ("depth", "1.2 m"), ("across", "10 in"), ("coefficient", "0.6")],
        work: drain,
    },
    Sum {
        name: "pump",
        group: Group::PondWork,
        question: "How long must the pump run, and on how much fuel?",
        inputs: &[
            of("pump.water", Kind::Volume, "How much water?", "").range("1 l", "1,000,000 m3"),
            of(
                "pump.flow",
                Kind::Flow,
                "How much does the pump give at this lift?",
                "Half of what the plate says is no rarity: time it into a barrel.",
            )
            .range("0.1 m3/h", "5000 m3/h"),
            of("pump.tank", Kind::Volume, "How much fuel does the tank hold?", "")
                .range("0.1 l", "1 m3")
                .then("no refills are told"),
            of("pump.lasts", Kind::Duration, "How long does a tank last?", "")
                .range("0.2 h", "72 h")
                .then("no refills are told"),
        ],
        formula: "hours = water / flow; tanks = hours / how long one lasts",
        holds: "The flow falls as the water sinks and the lift grows.",
        source: "a definition",
        mark: Mark::Definition,
        cautions: &[Caution::Engines],
        example: &[("water", "1.2 acre-ft"), ("flow", "265 gpm"), ("tank", "1 gal"), ("lasts", "2 h")],
        work: pump,
    },
    Sum {
        name: "tempering",
        group: Group::PondWork,
        question: "How long should animals take from one water into another?",
        inputs: &[
            of("tempering.from", Kind::Temperature, "How warm is the water they are in?", "").range("32 F", "104 F"),
            of("tempering.to", Kind::Temperature, "How warm is the water they go to?", "").range("32 F", "104 F"),
            number("tempering.from_ph", "What is its pH?", "").range("4", "12").then("pH is left out"),
            number("tempering.to_ph", "What is the other's pH?", "").range("4", "12").then("pH is left out"),
            Input::asked("tempering.who", Takes::Words(&["postlarvae", "juveniles", "grown"]), "Which animals?", "")
                .assume("juveniles", "the usual case"),
        ],
        formula: "minutes = the longer of: 12 for each °C (grown: 20 down, 30 up), 30 for each unit of pH; 20 at the least",
        holds: "Float the bags first, then blend. Growing colder is easier on them than growing warmer.",
        source: "rates recalled from extension texts; refused pH: Straus, Robinette & Heinen (1991)",
        mark: Mark::Memory,
        cautions: &[],
        example: &[("from", "82 F"), ("to", "75 F"), ("from_ph", "7.6"), ("to_ph", "8.6"), ("who", "juveniles")],
        work: tempering,
    },
    Sum {
        name: "night-oxygen",
        group: Group::PondWork,
        question: "When in the night will oxygen be low?",
        inputs: &[
            Input::asked("night-oxygen.first_at", Takes::Clock, "When was the first reading?", "At dusk or after."),
            reading("night-oxygen.first", "What did it show?", ""),
            Input::asked("night-oxygen.second_at", Takes::Clock, "When was the second?", "Two or three hours later."),
            reading("night-oxygen.second", "What did it show?", ""),
            reading("night-oxygen.limit", "At what reading do you start the air?", "")
                .assume("3 mg/l", "usual for prawns"),
            Input::asked("night-oxygen.dawn", Takes::Clock, "When does the sun rise?", "").assume("6:30", "our guess"),
        ],
        formula: "fall an hour = (first - second) / hours between; hours left = (second - limit) / fall",
        holds: "A straight line through two readings of a mixed pond. In still, plant-filled ponds it misses by 2 mg/L, and a front that turns the water over brings the poor bottom up.",
        source: "Boyd, Romaire & Johnston (1978); the miss: 330 nights of six ponds, our own count",
        mark: Mark::Memory,
        cautions: &[Caution::Electricity],
        example: &[("first_at", "20:00"), ("first", "8.0 mg/L"), ("second_at", "22:00"), ("second", "6.8 mg/L")],
        work: night_oxygen,
    },
    Sum {
        name: "aerator",
        group: Group::PondWork,
        question: "How much oxygen does an aerator really bring in?",
        inputs: &[
            of("aerator.power", Kind::Power, "How strong is its motor?", "").range("0.01 kW", "500 kW"),
            number(
                "aerator.rating",
                "How many kg of oxygen for each kWh is it rated at?",
                "Paddlewheel 1.5 to 2.6, propeller 1.3 to 1.6, pump 1.2 to 1.4, bubbles 0.6 to 1.0.",
            )
            .range("0.1", "6")
            .assume("1.5", "a paddlewheel, the careful side; from memory"),
            of("aerator.temp", Kind::Temperature, "How warm is the water?", "").range("32 F", "104 F"),
            reading("aerator.reading", "How much oxygen is in the water?", ""),
            of("aerator.water", Kind::Volume, "How much water is in the pond?", "")
                .range("1 l", "1,000,000 m3")
                .then("the rise is not told"),
            number("aerator.alpha", "How does pond water compare with clean water?", "")
                .range("0.3", "1.2")
                .assume("0.9", "our guess; from memory"),
        ],
        formula: "oxygen = power x rating x alpha x 1.024^(T - 20) x (saturation - reading) / 9.09",
        holds: "Fresh water at sea level. The night's breathing of water, mud and animals is to be taken off the rise: 0.1 to 0.5 mg/L an hour.",
        source: "standard transfer test of aeration engineering (ASCE), general form; alpha and ratings recalled (Boyd 1998)",
        mark: Mark::Memory,
        cautions: &[Caution::Electricity],
        example: &[("power", "1.5 kW"), ("rating", "2.2"), ("temp", "26 C"), ("reading", "3 mg/L"), ("alpha", "0.92")],
        work: aerator,
    },
    Sum {
        name: "aerator-power",
        group: Group::PondWork,
        question: "How much aeration does this weight of prawns want?",
        inputs: &[
            of("aerator-power.mass", Kind::Mass, "How much do the prawns weigh, all together?", "")
                .range("0 kg", "1,000,000 kg"),
            of("aerator-power.area", Kind::Area, "How large is the pond?", "").range("10 m2", "100 ha"),
        ],
        formula: "kW to the hectare = 2 x (tonnes to the hectare - 2)",
        holds: "A rule of shrimp ponds. Small prawn ponds commonly run about 1 hp to the acre at night whatever the weight (common practice).",
        source: "Global Seafood Alliance article on aeration, citing Boyd (1998)",
        mark: Mark::Published,
        cautions: &[Caution::Electricity],
        example: &[("mass", "2500 kg"), ("area", "1 ha")],
        work: aerator_power,
    },
];

fn volume(given: &Given) -> Worked {
    let (surface, middle, bottom) = (given.get("surface"), given.get("middle"), given.get("bottom"));
    let water = given.get("depth") * (surface + 4.0 * middle + bottom) / 6.0;
    Worked::default()
        .step("mean_area", "mean area", (surface + 4.0 * middle + bottom) / 6.0, AREA)
        .answer("volume", "water", water, VOLUME)
        .answer("acre_feet", "the same", water, Measure::Of(Kind::Volume, "acre-ft", "acre-ft"))
        .watch(
            middle > surface || bottom > middle,
            "The areas should grow from floor to surface: are they the right way round?",
        )
}

fn top_up(given: &Given) -> Worked {
    let water = given.get("area") * given.get("fall");
    let per_day_m = given.get("fall") / (given.get("days") / 24.0);
    Worked::default()
        .step("a_day", "fall in a day", per_day_m, Measure::Of(Kind::Length, "mm", "in"))
        .step("water", "water lost", water, VOLUME)
        .answer("hours", "running time", water / given.get("flow"), HOURS)
        .watch(per_day_m > 0.013, "More than half an inch a day: evaporation alone hardly does that. Look for a leak.")
}

fn drain(given: &Given) -> Worked {
    let across = given.get("across");
    let pipe_m2 = core::f64::consts::FRAC_PI_4 * across * across;
    let depth = given.get("depth");
    let coefficient = given.get("coefficient");
    let seconds = 2.0 * given.get("area") * depth.sqrt() / (coefficient * pipe_m2 * (2.0 * GRAVITY_M_S2).sqrt());
    Worked::default()
        .step("pipe", "open area of the pipe", pipe_m2, Measure::Of(Kind::Area, "m2", "sq ft"))
        .step(
            "first_flow",
            "flow at the start",
            coefficient * pipe_m2 * (2.0 * GRAVITY_M_S2 * depth).sqrt() * 3600.0,
            Measure::Of(Kind::Flow, "m3/h", "gpm"),
        )
        .answer("hours", "time to empty", seconds / 3600.0, HOURS)
}

fn pump(given: &Given) -> Worked {
    let hours = given.get("water") / given.get("flow");
    let worked = Worked::default().answer("hours", "pumping time", hours, HOURS);
    let Some(lasts) = given.maybe("lasts") else { return worked };
    let tanks = hours / lasts;
    let worked = worked.answer("tanks", "tanks of fuel", tanks, Measure::Plain("tanks"));
    let Some(tank) = given.maybe("tank") else { return worked };
    worked.answer("fuel", "fuel", tanks * tank, Measure::Of(Kind::Volume, "l", "gal"))
}

fn tempering(given: &Given) -> Worked {
    let change_c = given.get("to") - given.get("from");
    let is_grown = given.word("who") == "grown";
    let per_degree_min = match (is_grown, change_c < 0.0) {
        (false, _) => 12.0,
        (true, true) => 20.0,
        (true, false) => 30.0,
    };
    let by_warmth_h = change_c.abs() * per_degree_min / 60.0;
    let by_ph_h = match (given.maybe("from_ph"), given.maybe("to_ph")) {
        (Some(from), Some(to)) => 0.5 * (to - from).abs(),
        _ => 0.0,
    };
    let highest = given.maybe("to_ph").unwrap_or(7.0);
    let most = if given.word("who") == "postlarvae" { 9.0 } else { 9.5 };
    Worked::default()
        .step("by_warmth", "for the warmth", by_warmth_h, MINUTES)
        .step("by_ph", "for the pH", by_ph_h, MINUTES)
        .answer("time", "take at least", by_warmth_h.max(by_ph_h).max(1.0 / 3.0), MINUTES)
        .stop(highest > most, "Do not put them in: above pH 9.0 postlarvae die, above 9.5 juveniles (72 h trials).")
        .watch(
            given.get("to") < 20.0,
            "Below 68 °F (20 °C) they do not grow and may die if it gets colder: wait, if you can.",
        )
        .watch(change_c.abs() > 8.0, "A long way: bring the tank nearer to the pond over days before moving them.")
}

fn night_oxygen(given: &Given) -> Worked {
    let hours = (given.get("second_at") - given.get("first_at")).rem_euclid(24.0);
    let (first, second, limit) = (given.get("first"), given.get("second"), given.get("limit"));
    let fall = (first - second) / hours;
    let to_dawn = (given.get("dawn") - given.get("second_at")).rem_euclid(24.0);
    let worked = Worked::default()
        .step("between", "time between", hours, HOURS)
        .step("fall", "fall in an hour", fall, MG_L)
        .stop(hours < 0.5, "The readings are too close together to draw a line through: read again later.")
        .watch(hours > 8.0, "The readings are far apart: is one of the times on the wrong day?");
    if hours < 0.5 {
        return worked;
    }
    let at_dawn = second - fall * to_dawn;
    let worked = worked.answer("at_dawn", "at sunrise, if it goes on so", at_dawn.max(0.0), MG_L);
    if fall <= 0.0 {
        return worked.note("Oxygen does not fall between these readings: the line cannot tell a low hour.");
    }
    let left = ((second - limit) / fall).max(0.0);
    let is_low = left < to_dawn;
    let worked = if is_low {
        worked.answer(
            "low_at",
            "it reaches the limit at",
            (given.get("second_at") + left).rem_euclid(24.0),
            Measure::Clock,
        )
    } else {
        worked
    };
    worked.watch(is_low, "Start the air an hour before that, and keep it on until two hours after sunrise.").watch(
        at_dawn * MG_L_PER_KG_M3 < NIGHT_LIMIT_MG_L,
        "Below 3 mg/L at dawn: give no feed before it is back above 4.",
    )
}

fn aerator(given: &Given) -> Worked {
    let temp_c = given.get("temp");
    let held = oxygen_saturation_mg_l(temp_c, 1013.25);
    let reading = given.get("reading") * MG_L_PER_KG_M3;
    let part = part_of_rating(temp_c, held, reading, given.get("alpha"));
    let oxygen = given.get("power") * given.get("rating") * part;
    let worked = Worked::default()
        .step("saturation", "the water can hold", held / MG_L_PER_KG_M3, MG_L)
        .step("part", "part of the rating it reaches here", part, Measure::Share)
        .answer("oxygen", "oxygen an hour", oxygen, OXYGEN_RATE)
        .watch(part <= 0.0, "The water is full: an aerator now drives oxygen out.");
    match given.maybe("water") {
        Some(water) => worked.answer("rise", "rise in an hour, before what is breathed", oxygen / water, MG_L),
        None => worked,
    }
}

fn aerator_power(given: &Given) -> Worked {
    let per_ha = given.get("mass") / given.get("area") * 10.0;
    let kw_per_ha = (2.0 * (per_ha - 2.0)).max(0.0);
    Worked::default()
        .step("tonnes", "tonnes to the hectare", per_ha, Measure::Plain("t/ha"))
        .step("per_ha", "by the rule", kw_per_ha, Measure::Plain("kW to the hectare"))
        .answer("power", "power of aerators", kw_per_ha * given.get("area") / 10_000.0, POWER)
        .answer("mass", "weight above which the rule asks for any", 0.2 * given.get("area"), MASS)
}
