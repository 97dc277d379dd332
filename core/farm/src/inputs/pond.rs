//! The ponds: shape, light, how they empty, what swims in them.

use units::measure::Kind;

use super::{Input, Takes, ask, number, size};

pub(super) static INPUTS: &[Input] = &[
    ask("pond.name", Takes::Text, "What is the pond called?", "Each pond has a name of its own."),
    size("pond.area", Kind::Area, "How much water surface when full?", "From a map, a deed, or paces.")
        .range("40 m2", "10 ha")
        .usual("0.05 ac", "5 ac")
        .then("length times width is taken"),
    size("pond.shallow_depth", Kind::Length, "How deep is the shallow end when full?", "At the foot of the bank.")
        .range("0.5 ft", "10 ft")
        .usual("1.5 ft", "6 ft")
        .guess("3 ft", "common practice: 2 to 4 ft at the shallow end"),
    size(
        "pond.deep_depth",
        Kind::Length,
        "How deep is it at the drain when full?",
        "At the foot of the bank by the drain.",
    )
    .range("1 ft", "20 ft")
    .usual("2.5 ft", "10 ft")
    .guess("6 ft", "common practice: 5 to 7 ft at the drain"),
    size("pond.length", Kind::Length, "How long, from shallow end to drain end?", "At the water's edge.")
        .range("5 m", "1000 m")
        .then("twice the width is taken, and the area keeps"),
    size("pond.width", Kind::Length, "How wide?", "At the water's edge, in the middle.")
        .range("4 m", "500 m")
        .then("what area and length leave"),
    number("pond.paces_long", "How many paces long?", "From shallow end to drain end at the water's edge.")
        .range("5", "1500")
        .then("its length, if that is given"),
    number("pond.paces_wide", "How many paces wide?", "In the middle, at the water's edge.")
        .range("4", "800")
        .then("its width, if that is given"),
    number("pond.side_slope", "How flat are the banks?", "Run for each rise: 3 goes three feet out for one foot up.")
        .range("0", "10")
        .usual("1", "5")
        .assume("3", "common practice for earthen banks"),
    ask(
        "pond.area_by_depth",
        Takes::DepthsAndAreas,
        "Is there a survey?",
        "Pairs of height above the deepest point and water area there, rising: `[[\"0 ft\", \"0.05 ac\"], [\"6 \
             ft\", \"0.45 ac\"]]`. It goes before the figures above.",
    )
    .then("the shape comes from the figures above"),
    ask(
        "pond.soundings",
        Takes::DepthsAndAreas,
        "Are there sills or holes in the floor?",
        "Pairs of distance from the shallow end and depth when full, between the two ends: `[[\"60 ft\", \"4 ft 6 in\"], \
         [\"120 ft\", \"4 ft\"]]`. A hole behind a sill keeps a pool when the pond empties.",
    )
    .then("the floor falls evenly from end to end"),
    size(
        "pond.silt",
        Kind::Length,
        "How high does silt stand before the drain?",
        "Water behind it does not leave by itself.",
    )
    .range("0 ft", "4 ft")
    .usual("0 ft", "2 ft")
    .assume("0 ft", "our guess: the drain takes the last of it"),
    size(
        "pond.secchi",
        Kind::Length,
        "How deep does a white-and-black disk go out of sight?",
        "As it was when last looked at; by date under `seen`.",
    )
    .range("2 in", "15 ft")
    .usual("8 in", "4 ft")
    .assume("16 in", "our guess for a fed pond with a green bloom; half or double is common"),
    ask(
        "pond.plants",
        Takes::WordsOrShare(PLANTS),
        "Do water plants stand in it?",
        "`\"none\"`, `\"some\"` (a third of the surface shaded), `\"many\"` (two thirds), `\"at the surface\"` \
             (all of it), or a share.",
    )
    .range("0", "1")
    .assume("none", "our guess: ponds are kept clear for the seine"),
    ask(
        "pond.seen",
        Takes::Sections,
        "What did you see, when?",
        "Light and plants by date: `{ on = 2020-08-01, secchi = \"14 in\", plants = \"some\" }`.",
    )
    .then("the two lines above hold all season"),
    ask("seen.on", Takes::Date, "On which day?", "In any order."),
    size("seen.secchi", Kind::Length, "How deep did the disk go out of sight?", "As above.")
        .range("2 in", "15 ft")
        .usual("8 in", "4 ft")
        .then("the pond's own line holds"),
    ask("seen.plants", Takes::WordsOrShare(PLANTS), "Did plants stand in it?", "As above.")
        .range("0", "1")
        .then("the pond's own line holds"),
    size("seen.below_full", Kind::Length, "How far did the water stand below full?", "0 when full.")
        .range("0 ft", "10 ft")
        .usual("0 ft", "2 ft")
        .then("it is taken as full"),
    number(
        "pond.wind_factor",
        "How much of the station's wind comes down to the water?",
        "1 for an open pond on a plain, a third behind trees on all sides.",
    )
    .range("0.1", "2")
    .usual("0.3", "1.1")
    .assume(
        "0.6",
        "our guess for a pond with banks and some trees: two small sheltered ponds were best met by 0.5, and a bank \
         gauge among trees read 0.3 of the open station",
    ),
    size(
        "pond.wind_factor_off",
        Kind::Share,
        "How far off may that be?",
        "`\"25 %\"` says that two times in three it lies within a quarter of it, either way.",
    )
    .range("2 %", "80 %")
    .assume("25 %", "our guess"),
    size(
        "pond.substrate",
        Kind::Share,
        "How much netting, against the bottom's area?",
        "Half the bottom's area again is `\"50 %\"`.",
    )
    .range("0", "2")
    .usual("0", "1")
    .assume("0", "our guess: none"),
    size("pond.aerator", Kind::Power, "How strong is the aerator?", "By its plate; all of this pond's together.")
        .range("0 hp", "60 hp")
        .usual("0 hp", "15 hp")
        .assume("0 hp", "our guess: none"),
    ask(
        "pond.aerator_kind",
        Takes::Words(AERATORS),
        "What kind is it?",
        "How much oxygen a kilowatt brings in hangs on it: `\"paddlewheel\"`, `\"propeller\"` that draws air down, `\"pump\"` that \
             throws water up, `\"bubbles\"` from a blower.",
    )
    .assume("paddlewheel", "our guess: the commonest"),
    size(
        "pond.aerator_hours",
        Kind::Duration,
        "How long does it run in a late-season day?",
        "Its power is a cost of waiting.",
    )
    .range("0 h", "24 h")
    .assume("10 h", "our guess: through the night"),
    ask(
        "pond.outlet",
        Takes::Words(&["none", "standpipe", "pipe"]),
        "How does water leave?",
        "`\"none\"` means by pump only.",
    )
    .guess("pipe", "our guess: most have one"),
    size("pond.outlet_across", Kind::Length, "How wide is the pipe inside?", "The narrowest part counts.")
        .range("1 in", "6 ft")
        .usual("2 in", "24 in")
        .guess("6 in", "our guess; 4 in empties less than half as fast, 8 in twice as fast")
        .then("it is needed unless there is no outlet"),
    ask("pond.pumps", Takes::Pumps, "Which pumps can be set to it?", "Names from `[[pump]]`.").then("none"),
    size(
        "pond.empties_in",
        Kind::Duration,
        "How long does it take to empty, as you remember?",
        "From opening to the depth at which you begin to catch, with drain and pumps named above all at work: \
             `\"two nights\"`, `\"a day and a night\"`, `\"60 h\"`. It goes before the sum made from pipes and \
             pumps.",
    )
    .range("1 h", "21 days")
    .usual("4 h", "6 days")
    .then("it is worked out from shape, pipe and pumps"),
    size(
        "pond.catch_depth",
        Kind::Length,
        "At which depth by the drain do you begin to catch?",
        "The last water is kept until crew and ice stand ready.",
    )
    .range("0.2 ft", "6 ft")
    .usual("0.5 ft", "3 ft")
    .assume("16 in", "common practice: the last 0.3 to 0.5 m"),
    size(
        "pond.seining_depth",
        Kind::Length,
        "At which depth by the drain is the net pulled?",
        "The water stands still at it while the seine goes through.",
    )
    .range("0.5 ft", "12 ft")
    .usual("2 ft", "6 ft")
    .then("two thirds of the full pond's water are left in it"),
    size(
        "pond.seining_time",
        Kind::Duration,
        "How long is the net pulled before the last water goes?",
        "The water is held so long: valve shut, pumps stopped.",
    )
    .range("0 h", "24 h")
    .usual("1 h", "8 h")
    .then("the water goes down to catch depth in one go"),
    size(
        "pond.outlet_water",
        Kind::Length,
        "How high does the river or ditch stand at the drain?",
        "Above the pond's floor by the drain, as it stands now. Where it stands as high as the pond the drain stalls.",
    )
    .range("0 ft", "20 ft")
    .then("it stands below the drain"),
    ask("pond.outlet_flap", Takes::YesNo, "Does a flap keep the ditch out?", "A flap at the drain's mouth.")
        .then("a high ditch runs into the pond"),
    size(
        "pond.screen_passes",
        Kind::Share,
        "How much does the screen let through?",
        "Of what the bare pipe would: a clean screen 50 to 80 %, a half blocked one half of that.",
    )
    .range("5 %", "100 %")
    .usual("30 %", "90 %")
    .then("70 %, a clean screen"),
    size(
        "pond.pump_intake",
        Kind::Length,
        "How high does the pump's intake hang?",
        "Above the floor by the drain. A pump draws air about 10 in above it.",
    )
    .range("0 ft", "6 ft")
    .then("it lies in a hole, deep enough for catch depth"),
    size("pond.inflow", Kind::Flow, "How much runs in while it empties?", "A spring, a leak, a well left open.")
        .range("0 m3/h", "1000 m3/h")
        .usual("0 m3/h", "100 m3/h")
        .then("nothing"),
    size("pond.well", Kind::Flow, "How much well water can be let in?", "While the water is low.")
        .range("0 m3/h", "1000 m3/h")
        .usual("1 m3/h", "100 m3/h")
        .then("none"),
    size("pond.well_water", Kind::Temperature, "How warm is the well's water?", "As it comes from the ground.")
        .range("35 F", "95 F")
        .usual("50 F", "75 F")
        .then("as the ground is over the year"),
    size("pond.basin_holds", Kind::Volume, "How much water does the catch basin hold?", "With the drain running.")
        .range("50 gal", "500,000 gal")
        .then("a hundredth of the pond, 2 ft deep"),
    ask(
        "pond.catch_basin",
        Takes::YesNo,
        "Is there a catch basin?",
        "Animals gather in it and fewer are picked up by hand.",
    )
    .assume("false", "our guess: none"),
    size(
        "pond.catch_time",
        Kind::Duration,
        "How long does the catch take, with hands enough?",
        "From catch depth to the last basket.",
    )
    .range("0.5 h", "3 days")
    .usual("1 h", "12 h")
    .assume("4 h", "our guess: first light to mid-morning"),
    size("pond.bank_closed_by_rain", Kind::Length, "How much rain closes the bank to trucks?", "In a day.")
        .range("0.1 in", "20 in")
        .usual("0.4 in", "5 in")
        .then("rain never closes it"),
    size("pond.bank_closed_for", Kind::Duration, "For how long?", "Whole days after the day of the rain.")
        .range("0 days", "21 days")
        .assume("1 day", "our guess for a clay bank"),
    size(
        "pond.outlet_drowned_by_rain",
        Kind::Length,
        "How much rain drowns the outlet?",
        "In a day; high water in the creek stands against the drain. A pump still works.",
    )
    .range("0.1 in", "20 in")
    .usual("0.8 in", "8 in")
    .then("rain never drowns it"),
    size("pond.outlet_drowned_for", Kind::Duration, "For how long?", "Whole days after the day of the rain.")
        .range("0 days", "21 days")
        .assume("2 days", "our guess for a small creek"),
    ask("pond.two_days", Takes::YesNo, "May it be caught over two days?", "Half on each.")
        .assume("false", "our guess: one day"),
    ask(
        "pond.early_seining",
        Takes::YesNo,
        "May the large ones be seined early?",
        "For early orders, with the rest left to grow.",
    )
    .assume("false", "our guess: no"),
    ask("pond.locked", Takes::Date, "Is its catch day promised?", "The plan then keeps it.").then("the plan chooses"),
    ask("pond.forbidden", Takes::Dates, "On which days may it not be caught?", "Dates and stretches of dates.")
        .then("none"),
    ask("pond.draining_since", Takes::Moment, "Is its water already going down, and since when?", "Date and time.")
        .then("it is full"),
    ask("pond.harvested", Takes::Date, "Did it come out already?", "It is then left out of the plan.")
        .then("it is not out"),
    ask(
        "pond.stocked",
        Takes::Section,
        "What was stocked?",
        "`{ on = 2020-05-25, density = \"16000/ac\", mean_weight = \"0.4 g\" }`.",
    ),
    ask("stocked.on", Takes::Date, "On which day was it stocked?", "When the juveniles went in."),
    size("stocked.count", Kind::Count, "How many?", "Either this or the density.")
        .range("10", "5,000,000")
        .then("it comes from the density"),
    size(
        "stocked.density",
        Kind::Density,
        "How many to the acre, hectare or square metre?",
        "Either this or the count.",
    )
    .range("500/ac", "200,000/ac")
    .usual("4000/ac", "35,000/ac")
    .guess("16,000/ac", "common practice: 12,000 to 24,000 to the acre without netting")
    .then("it comes from the count"),
    size("stocked.mean_weight", Kind::Mass, "How heavy was one juvenile?", "Mean weight of a weighed, counted lot.")
        .range("0.005 g", "20 g")
        .usual("0.05 g", "3 g")
        .guess("0.3 g", "common practice: nursed juveniles of 0.1 to 0.5 g"),
    ask(
        "pond.samples",
        Takes::Sections,
        "Which samples were weighed?",
        "`{ on = 2020-08-15, mean_weight = \"21 g\", counted = 60 }`.",
    )
    .then("growth rests on the model alone"),
    ask("samples.on", Takes::Date, "On which day?", "In any order."),
    size("samples.mean_weight", Kind::Mass, "How heavy was one?", "`\"21 g\"`, or `\"1.5 oz\"`.")
        .range("0.05 g", "250 g")
        .usual("1 g", "80 g"),
    ask(
        "samples.counted",
        Takes::Whole,
        "How many were weighed?",
        "Fifty give the mean within about 7 % either way, two times in three.",
    )
    .range("1", "5000")
    .usual("20", "500"),
    ask(
        "pond.readings",
        Takes::Sections,
        "Which thermometer readings are there?",
        "`{ at = 2020-09-11T06:40, depth = \"2 ft\", temperature = \"72 F\" }`.",
    )
    .then("the water rests on the model alone"),
    ask("readings.at", Takes::Moment, "When?", "Date and time of the farm's clock."),
    ask("readings.end", Takes::Words(&["deep", "middle", "shallow"]), "At which end?", "`\"deep\"` is by the drain.")
        .assume("deep", "our guess: most read by the drain"),
    size("readings.depth", Kind::Length, "How far below the surface?", "Of the thermometer.")
        .range("0 ft", "20 ft")
        .assume("18 in", "our guess: an arm's length"),
    size("readings.temperature", Kind::Temperature, "How warm?", "`\"72 F\"` or `\"22 C\"`.")
        .range("32 F", "113 F")
        .usual("50 F", "97 F"),
];

/// Kinds of aerator, as [`crate::pond_card::AeratorKind`] has them.
pub(crate) const AERATORS: &[&str] = &["paddlewheel", "propeller", "pump", "bubbles"];
/// Words for plants, and the share of the surface they shade.
pub(crate) const PLANTS: &[&str] = &["none", "some", "many", "at the surface"];
