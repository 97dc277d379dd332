//! Postlarvae: how many to order, how to count them in, how closely to keep them, how to carry them.

use farm::facts::counted;
use farm::inputs::{Input, Takes};
use pond::chemistry::unionized_fraction;
use units::measure::Kind;
use units::t_95;

use crate::given::Given;
use crate::table::{AREA, Caution, Group, HOURS, MASS, MG_L, Mark, Measure, Sum, Worked, of};

const ANIMALS: Measure = Measure::Pieces("animals");

pub(crate) static SUMS: &[Sum] = &[
    Sum {
        name: "postlarvae",
        group: Group::Nursery,
        question: "How many postlarvae must be ordered?",
        inputs: &[
            of("postlarvae.juveniles", Kind::Count, "How many juveniles will be stocked?", "All ponds together.")
                .range("100", "100,000,000"),
            of(
                "postlarvae.survival",
                Kind::Share,
                "What share lives through the nursery?",
                "At 215, 430 and 860 to the square metre of substrate 94, 78 and 62 % did (Coyle and others 2003).",
            )
            .range("5 %", "100 %")
            .assume("78 %", "430 to the square metre, 56 to 60 days"),
            of("postlarvae.carried", Kind::Share, "What share lives through carrying and stocking?", "")
                .range("5 %", "100 %")
                .assume("97 %", "our guess"),
            of("postlarvae.reserve", Kind::Share, "How much more, to be safe?", "")
                .range("0 %", "100 %")
                .assume("5 %", "our guess"),
        ],
        formula: "postlarvae = juveniles / (survival x carried) x (1 + reserve)",
        holds: "Survival differs from year to year more than any reserve makes good.",
        source: "arithmetic; survival: Coyle, Dasgupta, Tidwell, VanArnum & Bright (2003), J. Appl. Aquaculture 14(1-2):137-148",
        mark: Mark::Published,
        cautions: &[],
        example: &[("juveniles", "60000"), ("survival", "78 %"), ("carried", "97 %"), ("reserve", "5 %")],
        work: postlarvae,
    },
    Sum {
        name: "count-by-weight",
        group: Group::Nursery,
        question: "How many came, from a few weighed and counted samples?",
        inputs: &[
            Input::asked(
                "count-by-weight.counts",
                Takes::Counts,
                "How many were in each sample?",
                "Three at the least, five are better, from different parts.",
            )
            .range("1", "1000000"),
            of(
                "count-by-weight.sample",
                Kind::Mass,
                "How much did each sample weigh?",
                "All the same, drained the same way.",
            )
            .range("0.1 g", "100 kg"),
            of("count-by-weight.all", Kind::Mass, "How much did all of them weigh?", "Drained the same way.")
                .range("0.1 g", "10,000 kg"),
        ],
        formula: "number = mean count / sample weight x weight of all; either way t x s / sqrt(samples) of that, 95 times in 100",
        holds: "Drained alike. Dipping a fixed volume from a bucket counts swimming postlarvae short, the more the larger and warmer they are.",
        source: "Student's interval; the warning: Hardin and others (1985), Aquacultural Engineering 4:85-92",
        mark: Mark::Definition,
        cautions: &[],
        example: &[("counts", "412, 398, 431, 405, 419"), ("sample", "10 g"), ("all", "1450 g")],
        work: count_by_weight,
    },
    Sum {
        name: "tank-density",
        group: Group::Nursery,
        question: "How closely do they sit in the tank?",
        inputs: &[
            of("tank-density.animals", Kind::Count, "How many go into the tank?", "").range("1", "10,000,000"),
            of("tank-density.water", Kind::Volume, "How much water is in it?", "").range("10 l", "1000 m3"),
            of(
                "tank-density.substrate",
                Kind::Area,
                "How much netting or other substrate?",
                "One side of each layer. 0 if there is none.",
            )
            .range("0 m2", "10,000 m2"),
        ],
        formula: "to the litre = animals / water; to the square metre = animals / substrate",
        holds: "56 to 60 days at 28 °C. Without substrate not more than 1 to the litre.",
        source: "Coyle and others (2003); 1 to the litre: FAO nursery text",
        mark: Mark::Published,
        cautions: &[],
        example: &[("animals", "4408"), ("water", "1.9 m3"), ("substrate", "20.5 m2")],
        work: tank_density,
    },
    Sum {
        name: "substrate",
        group: Group::Nursery,
        question: "How much netting does the pond want?",
        inputs: &[
            of("substrate.bottom", Kind::Area, "How large is the bottom?", "").range("1 m2", "100 ha"),
            of(
                "substrate.more",
                Kind::Share,
                "By how much should it add to the bottom?",
                "Half to as much again is usual.",
            )
            .range("0 %", "400 %")
            .assume("50 %", "usual where ponds are stocked closely"),
            of("substrate.height", Kind::Length, "How high is the netting?", "Of upright rows.")
                .range("2 in", "3 m")
                .then("its length is not told"),
        ],
        formula: "netting = bottom x share; length of upright rows = netting / height",
        holds: "One side counts. Upright and lying netting serve alike.",
        source: "Tidwell and others, J. World Aquaculture Society, on substrate (orientation)",
        mark: Mark::Published,
        cautions: &[Caution::Hands],
        example: &[("bottom", "1 ac"), ("more", "50 %"), ("height", "4 ft")],
        work: substrate,
    },
    Sum {
        name: "stocking",
        group: Group::Nursery,
        question: "May juveniles go into this pond now?",
        inputs: &[
            of(
                "stocking.dawn",
                Kind::Temperature,
                "How warm is the pond at dawn?",
                "The coldest of the last mornings and of those that are forecast.",
            )
            .range("32 F", "104 F"),
            of("stocking.tank", Kind::Temperature, "How warm is the tank they are in?", "").range("32 F", "104 F"),
            Input::asked(
                "stocking.ph",
                Takes::Number,
                "What is the pond's pH in the afternoon?",
                "It is highest then.",
            )
            .range("4", "12"),
            Input::asked("stocking.tank_ph", Takes::Number, "What is the tank's pH?", "")
                .range("4", "12")
                .then("pH is left out of the tempering"),
            Input::asked(
                "stocking.ammonia",
                Takes::Quantity(Kind::MassPerVolume, Some("mg/l")),
                "How much total ammonia is in the pond?",
                "As nitrogen.",
            )
            .range("0 mg/l", "20 mg/l")
            .then("ammonia is left out: read it first where the pond is green"),
            Input::asked(
                "stocking.oxygen",
                Takes::Quantity(Kind::MassPerVolume, Some("mg/l")),
                "How much oxygen was in the pond at dawn?",
                "Near the bottom, by the drain.",
            )
            .range("0 mg/l", "30 mg/l")
            .then("oxygen is left out: read it at dawn"),
            Input::asked(
                "stocking.fish",
                Takes::Words(&["none", "some", "not-looked"]),
                "Did a seine show fish in the pond?",
                "",
            )
            .assume("not-looked", "nobody said"),
        ],
        formula: "minutes = the longest of 10 for each °C, 30 for each unit of pH, 20; un-ionized ammonia = share at the pond's warmth and pH x total",
        holds: "Juveniles of 0.1 g and more. Refused: pH above 9.5; un-ionized ammonia above 1 mg/L at pH 9, 2 at 8.5, none at 9.5; dawns below 17 °C; oxygen below 2 mg/L; fish.",
        source: "acute limits: Straus, Robinette & Heinen (1991), abstract; dawns of 20 °C: extension advice; oxygen from memory; the rest common practice",
        mark: Mark::Published,
        cautions: &[],
        example: &[
            ("dawn", "70 F"),
            ("tank", "79 F"),
            ("ph", "8.6"),
            ("tank_ph", "7.8"),
            ("ammonia", "0.3 mg/L"),
            ("fish", "none"),
        ],
        work: stocking,
    },
    Sum {
        name: "carrying",
        group: Group::Nursery,
        question: "Is this load of young ones safe on the road?",
        inputs: &[
            Input::asked("carrying.who", Takes::Words(&["postlarvae", "juveniles"]), "Which animals?", ""),
            of("carrying.animals", Kind::Count, "How many are in one bag or tank?", "").range("1", "10,000,000"),
            of("carrying.weight", Kind::Mass, "How much does one weigh?", "")
                .range("0.001 g", "20 g")
                .assume("0.01 g", "a postlarva"),
            of("carrying.water", Kind::Volume, "How much water is in it?", "Of a bag a third, the rest oxygen.")
                .range("0.1 l", "100 m3"),
            of("carrying.hours", Kind::Duration, "How long is the way?", "").range("5 min", "72 h"),
        ],
        formula: "to the litre = animals / water; grams to the litre = that x weight",
        holds: "Bags with oxygen at about 22 °C. Postlarvae 250 to 400 to the litre for up to 16 h. Juveniles: 8 h were tried; 10 g to the litre left 3.2 mg/L of oxygen, 50 g left 1.3.",
        source: "New (2002), FAO Fisheries Technical Paper 428, 5.3; Coyle and others on carrying juveniles, abstract",
        mark: Mark::Published,
        cautions: &[Caution::Oxygen],
        example: &[("who", "juveniles"), ("animals", "300"), ("weight", "0.26 g"), ("water", "8 l"), ("hours", "6 h")],
        work: carrying,
    },
];

fn postlarvae(given: &Given) -> Worked {
    let plain = given.get("juveniles") / (given.get("survival") * given.get("carried"));
    Worked::default()
        .step("plain", "without reserve", plain, ANIMALS)
        .answer("postlarvae", "to be ordered", plain * (1.0 + given.get("reserve")), ANIMALS)
        .note("Ask what the hatchery's own count is worth: it often adds a few in a hundred. Count on your own side, and note the dead on arrival.")
}

fn count_by_weight(given: &Given) -> Worked {
    let counts = given.list("counts");
    let Some(count) = counted(counts, given.get("sample"), given.get("all")) else {
        return Worked::default().stop(true, "Count at least one sample.");
    };
    let n = counts.len() as f64;
    let mean = counts.iter().sum::<f64>() / n;
    let worked = Worked::default()
        .step("mean", "mean of the samples", mean, Measure::Plain(""))
        .answer("number", "animals in all", count.number, ANIMALS)
        .watch(
            given.get("sample") * n > given.get("all"),
            "The samples weigh more than all together: check the weights.",
        );
    if counts.len() < 2 {
        return worked.watch(true, "One sample says nothing about how sure it is: count three or more.");
    }
    let spread = (counts.iter().map(|count| (count - mean) * (count - mean)).sum::<f64>() / (n - 1.0)).sqrt();
    let share = count.either_way / count.number;
    worked
        .step("spread", "spread of the samples", spread, Measure::Plain(""))
        .step("t", "factor for so few samples", t_95(counts.len() - 1), Measure::Plain(""))
        .answer("either_way", "more or less by, 95 times in 100", count.either_way, ANIMALS)
        .answer("share", "which is", share, Measure::Share)
        .watch(share > 0.1, "Less sure than one in ten: count more samples before you pay or stock.")
}

/// Substrate densities tried, animals/m2, and the share that lived.
const LIVED: [(f64, f64); 3] = [(215.0, 0.94), (430.0, 0.78), (860.0, 0.62)];

fn lived(per_m2: f64) -> f64 {
    let above = LIVED.iter().position(|row| per_m2 <= row.0);
    match above {
        Some(0) => LIVED[0].1,
        None => LIVED[2].1,
        Some(at) => {
            let ((from, high), (to, low)) = (LIVED[at - 1], LIVED[at]);
            high + (low - high) * (per_m2 - from) / (to - from)
        }
    }
}

fn tank_density(given: &Given) -> Worked {
    let (animals, substrate) = (given.get("animals"), given.get("substrate"));
    let per_litre = animals / given.get("water") / 1000.0;
    let worked = Worked::default().answer("per_litre", "to the litre", per_litre, Measure::Plain("to the litre"));
    if substrate <= 0.0 {
        return worked.watch(
            per_litre > 1.0,
            "More than 1 to the litre without substrate: they eat one another. Hang netting, or split them.",
        );
    }
    let per_m2 = animals / substrate;
    worked
        .answer("per_m2", "to the square metre of substrate", per_m2, Measure::Plain("to the square metre"))
        .answer("lived", "of such, so many lived 56 to 60 days", lived(per_m2), Measure::Share)
        .watch(per_m2 > 860.0, "Closer than anything that was tried: more will die than is told here.")
}

fn substrate(given: &Given) -> Worked {
    let netting = given.get("bottom") * given.get("more");
    let worked = Worked::default().answer("netting", "netting, one side", netting, AREA);
    match given.maybe("height") {
        Some(height) => {
            worked.answer("length", "length of upright rows", netting / height, Measure::Of(Kind::Length, "m", "ft"))
        }
        None => worked,
    }
}

/// Un-ionized ammonia nitrogen that juveniles bear for three days at a pH, mg/L: half of what killed half.
fn ammonia_borne_mg_l(ph: f64) -> f64 {
    (2.0 - 2.0 * (ph - 8.5)).clamp(0.0, 2.0)
}

fn stocking(given: &Given) -> Worked {
    let (dawn_c, tank_c, ph) = (given.get("dawn"), given.get("tank"), given.get("ph"));
    let apart_k = (tank_c - dawn_c).abs();
    let by_ph = given.maybe("tank_ph").map_or(0.0, |tank| 30.0 * (ph - tank).abs());
    let minutes = (10.0 * apart_k).max(by_ph).max(20.0);
    let mut worked = Worked::default()
        .answer("minutes", "to bring them from tank to pond", minutes / 60.0, HOURS)
        .step("apart", "between tank and pond", apart_k, Measure::Plain("°C"))
        .stop(
            ph > 9.5,
            "Do not stock: pH above 9.5 kills juveniles. Wait, or change water, and read it again in an afternoon.",
        )
        .stop(dawn_c < 17.0, "Do not stock: mornings below 17 °C (63 °F) do not let them live.")
        .watch(
            (17.0..20.0).contains(&dawn_c),
            "Wait if you can: mornings below 20 °C (68 °F) hold them back and some die.",
        )
        .watch(ph > 9.0 && ph <= 9.5, "pH above 9: stock only if it falls, and early in the morning.")
        .watch(apart_k > 6.0, "Cool the tanks over some days first: the last step should be 5 °C (9 °F) at most.")
        .stop(
            given.word("fish") == "some",
            "Do not stock: fish in the pond will eat them. Drain, or have it treated by one who is licensed to.",
        )
        .watch(given.word("fish") == "not-looked", "Seine for fish first: they eat more prawns than any bird.");
    if let Some(oxygen) = given.maybe("oxygen") {
        let mg_l = 1000.0 * oxygen;
        worked = worked
            .stop(
                mg_l < 2.0,
                "Do not stock: below 2 mg/L of oxygen they crawl out or die. Run air, and read it again at dawn.",
            )
            .watch((2.0..4.0).contains(&mg_l), "Oxygen below 4 mg/L at dawn: run air some nights first.");
    }
    if let Some(total) = given.maybe("ammonia") {
        let free_mg_l = 1000.0 * total * unionized_fraction(dawn_c.max(25.0), ph);
        worked = worked
            .answer("free", "un-ionized ammonia on a warm afternoon, as nitrogen", free_mg_l / 1000.0, MG_L)
            .stop(free_mg_l > ammonia_borne_mg_l(ph), "Do not stock: so much un-ionized ammonia at this pH kills them.")
            .watch(free_mg_l > 0.1, "Above 0.1 mg/L: wait until the bloom has used it up.");
    }
    worked.note("Ask first what your state or province allows of animals that are not native.")
}

fn carrying(given: &Given) -> Worked {
    let is_young = given.word("who") == "postlarvae";
    let per_litre = given.get("animals") / given.get("water") / 1000.0;
    let grams = per_litre * given.get("weight") * 1000.0;
    let hours = given.get("hours");
    let worked = Worked::default()
        .step("mass", "animals in it weigh", given.get("animals") * given.get("weight"), MASS)
        .answer("per_litre", "to the litre", per_litre, Measure::Plain("to the litre"))
        .answer("grams", "grams to the litre", grams, Measure::Plain("g/L"));
    if is_young {
        return worked.watch(hours > 16.0, "Longer than 16 hours: longer than is usual.").stop(
            per_litre > 1000.0 || (per_litre > 400.0 && hours > 2.0),
            "Too many: 400 to the litre at most, 1,000 only for an hour or two in open, aerated water.",
        );
    }
    worked
        .watch((10.0..=25.0).contains(&grams), "More than 10 g to the litre: oxygen was nearly used up after 8 hours.")
        .watch(hours > 8.0, "Longer than the 8 hours that were tried.")
        .stop(grams > 25.0, "Too many: 25 g to the litre at most, 10 for 8 hours.")
}
