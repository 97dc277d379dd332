//! Pumps, gear, hands, cold and calendar.

use units::measure::Kind;

use super::{Input, Takes, ask, number, size};

pub(super) static INPUTS: &[Input] = &[
    ask("pump.name", Takes::Text, "What is the pump called?", "Ponds name it."),
    size(
        "pump.rate",
        Kind::Flow,
        "How much does it move?",
        "As measured at the pond: a barrel and a watch tell more than the plate.",
    )
    .range("1 m3/h", "3000 m3/h")
    .usual("5 m3/h", "500 m3/h")
    .guess("40 m3/h", "our guess: what a 3 in pump often moves at the pond; half or double"),
    ask(
        "pump.curve",
        Takes::DepthsAndAreas,
        "Is its curve known?",
        "Pairs of total lift and rate, rising: `[[\"5 ft\", \"60 m3/h\"], [\"30 ft\", \"20 m3/h\"]]`. It then moves less the lower the \
         water stands, over the bank and a foot more.",
    )
    .then("it moves what was measured at every depth"),
    size(
        "pump.tank_lasts",
        Kind::Duration,
        "How long does a full tank last?",
        "Its own, or the generator's that drives it; the night's list says when it runs dry.",
    )
    .range("10 min", "7 days")
    .usual("1 h", "2 days")
    .then("no hours of refilling are listed"),
    ask(
        "pump.drive",
        Takes::Words(&["engine", "generator", "mains"]),
        "What drives it?",
        "Its own engine, the generator, or the mains.",
    )
    .guess("engine", "our guess: most small ones have their own"),
    size("pump.fuel", Kind::Flow, "How much fuel does it burn?", "Of its own engine, for an hour.")
        .range("0 l/h", "60 l/h")
        .usual("0.2 l/h", "15 l/h")
        .then("an engine is taken to burn 1.5 l/h, and this is listed; other drives burn none of their own"),
    size("pump.notice", Kind::Duration, "Is it hired, and with what notice?", "Until it stands at the pond.")
        .range("0 h", "21 days")
        .then("it is your own"),
    ask("pump.cost", Takes::Price(Kind::Duration), "What does its hire cost?", "`\"$60/day\"`.").then("nothing"),
    ask(
        "gear.generators",
        Takes::Whole,
        "How many generators?",
        "Each runs the pumps named below. Keep it outdoors, away from wet ground, and follow local codes.",
    )
    .range("0", "20")
    .assume("0", "our guess: none"),
    ask("gear.pumps_per_generator", Takes::Whole, "How many pumps can one run?", "At a time.")
        .range("1", "10")
        .assume("1", "our guess"),
    size("gear.generator_fuel", Kind::Flow, "How much fuel does one burn?", "At its usual load.")
        .range("0 l/h", "100 l/h")
        .usual("0.5 l/h", "20 l/h")
        .assume("2.5 l/h", "our guess for a 6 kW set at half load; half or double"),
    size("gear.fuel", Kind::Volume, "How much fuel is in store?", "For pumps and generator.")
        .range("0 gal", "5000 gal")
        .assume("20 gal", "our guess: four cans"),
    size("gear.fuel_daily", Kind::Volume, "How much can be fetched in a day?", "For pumps and generator.")
        .range("0 gal", "5000 gal")
        .assume("20 gal", "our guess: one trip with four cans"),
    ask("gear.baskets", Takes::Whole, "How many harvest baskets?", "All that go round between pond and ice.")
        .range("1", "5000")
        .usual("4", "300")
        .assume("40", "common practice: forty or more"),
    size("gear.basket_holds", Kind::Mass, "How much goes into one?", "Fuller baskets crush the lowest layer.")
        .range("1 kg", "40 kg")
        .usual("4 kg", "15 kg")
        .assume("10 kg", "common practice: 10 kg, never above 15"),
    size(
        "gear.basket_round",
        Kind::Duration,
        "How long until a filled basket is empty at the bank again?",
        "With rinse, scale and ice.",
    )
    .range("5 min", "24 h")
    .usual("15 min", "3 h")
    .assume("45 min", "our guess; half or double"),
    ask("hired.name", Takes::Text, "What is it?", "A truck, a seine, a scale."),
    size("hired.notice", Kind::Duration, "With what notice?", "Until it stands at the pond.")
        .range("0 h", "60 days")
        .assume("1 day", "our guess"),
    ask("hired.cost", Takes::Price(Kind::Duration), "What does it cost?", "`\"$60/day\"`.").then("nothing"),
    ask("hired.taken", Takes::Dates, "When can it not be had?", "Dates and stretches of dates.")
        .then("it can always be had"),
    ask("tank.name", Takes::Text, "What is the tank called?", "As it is called by those who feed it."),
    size("tank.water", Kind::Volume, "How much water is in it?", "As it stands, not to the brim.")
        .range("20 gal", "200,000 gal")
        .usual("200 gal", "20,000 gal")
        .guess("1000 gal", "our guess: a common round tank"),
    size("tank.bottom", Kind::Area, "How large is its bottom?", "Animals crowd there first.")
        .range("1 ft2", "20,000 ft2")
        .then("it is taken as if the water stood 3 ft deep"),
    size("tank.netting", Kind::Area, "How much netting hangs in it?", "One side of each layer.")
        .range("0 ft2", "100,000 ft2")
        .assume("0 ft2", "our guess: none"),
    size(
        "tank.filter",
        Kind::Area,
        "How much surface has its biofilter's filling?",
        "Volume of the filling times what its maker says of it.",
    )
    .range("0 ft2", "1,000,000 ft2")
    .assume("0 ft2", "our guess: none"),
    size(
        "tank.changed",
        Kind::Volume,
        "How much of its water is changed in a day?",
        "What runs through, and what is made up after siphoning.",
    )
    .range("0 gal", "500,000 gal")
    .assume("0 gal", "our guess: only what is siphoned off"),
    ask("source.name", Takes::Text, "What is the water called?", "As the people who open it call it."),
    ask(
        "source.kind",
        Takes::Words(&["river", "well", "pond", "runoff"]),
        "What kind of water is it?",
        "`river` for a creek too, `pond` for a reservoir, `runoff` for what comes off fields and yards.",
    ),
    size("source.rate", Kind::Flow, "How much does it give?", "By bucket and watch, or as the pump's maker says.")
        .range("0.05 m3/h", "5000 m3/h")
        .usual("1 m3/h", "500 m3/h"),
    size("source.hours", Kind::Duration, "How long does it run in a day?", "Less where a well must rest.")
        .range("0.5 h", "24 h")
        .assume("24 h", "it runs day and night"),
    ask(
        "source.may_be_drawn",
        Takes::Words(&["yes", "no", "not-asked"]),
        "May it be drawn?",
        "What your authority for water says: ask it first.",
    )
    .assume("not-asked", "nobody said"),
    size("tank.kept_at", Kind::Temperature, "How warm is it kept?", "What the heater is set to.")
        .range("50 F", "95 F")
        .usual("75 F", "86 F")
        .assume("82 F", "usual: 81 to 84 °F"),
    ask("crew.owners", Takes::Whole, "How many owners work?", "Every day unless away.")
        .range("0", "100")
        .usual("1", "10")
        .guess("2", "our guess: a family"),
    ask("crew.helpers_weekday", Takes::Whole, "How many helpers come on a weekday?", "Monday to Friday.")
        .range("0", "500")
        .usual("0", "30")
        .guess("0", "our guess: none"),
    ask("crew.helpers_weekend", Takes::Whole, "How many helpers come on a weekend day?", "Saturday and Sunday.")
        .range("0", "500")
        .usual("0", "30")
        .guess("2", "our guess"),
    ask(
        "crew.helpers_sure",
        Takes::Whole,
        "How many of these helpers surely come?",
        "The day's sheet always tells the day with them and the owners alone.",
    )
    .range("0", "500")
    .then("only the owners are counted as sure"),
    ask("crew.away", Takes::Sections, "When do fewer come?", "`{ days = \"2020-09-12 to 2020-09-13\", hands = 2 }`.")
        .then("never"),
    ask("away.days", Takes::Dates, "On which days?", "A date, a stretch, or a list of them."),
    ask("away.hands", Takes::Whole, "How many are missing?", "Of owners and helpers.").range("1", "500"),
    size("crew.notice", Kind::Duration, "With what notice do helpers come?", "From the call.")
        .range("0 h", "21 days")
        .assume("1 day", "our guess"),
    size("crew.hours", Kind::Duration, "How long is a harvest day?", "Of hard work, breaks taken off.")
        .range("1 h", "18 h")
        .usual("4 h", "12 h")
        .assume("8 h", "common practice"),
    ask("crew.start", Takes::Clock, "When does the catch begin?", "`\"first light\"` or a time such as `\"6:30\"`.")
        .assume("first light", "common practice: begin in the cool and be done by mid-morning"),
    size(
        "crew.per_hand_hour",
        Kind::MassRate,
        "How much does one hand bring in in an hour?",
        "From water to ice: catch, rinse, sort, weigh, chill. Last year's catch over last year's hand-hours tells \
         it best.",
    )
    .range("1 lb/h", "200 lb/h")
    .usual("6 lb/h", "80 lb/h")
    .assume(
        "25 lb/h",
        "our guess, put together from hand-gathering at 10 kg/h, sorting at 50 and loading at 120 (common \
             practice; no published rate was found): half or double",
    ),
    ask(
        "crew.opens_from",
        Takes::Clock,
        "From when is someone there to open a drain or start a pump?",
        "A time such as `\"5:00\"`.",
    )
    .assume("5:00", "our guess"),
    ask("crew.opens_until", Takes::Clock, "Until when?", "A time such as `\"22:00\"`.").assume("22:00", "our guess"),
    ask(
        "crew.ponds_a_day",
        Takes::Whole,
        "How many ponds can be caught on one day?",
        "One crew catches one pond; never begin a second before the first is chilled.",
    )
    .range("1", "12")
    .assume("1", "common practice: one pond a day on a small farm"),
    size("cold.ice", Kind::Mass, "How much ice is in hand?", "This morning.")
        .range("0 lb", "100,000 lb")
        .assume("0 lb", "our guess: none"),
    size(
        "cold.ice_daily",
        Kind::Mass,
        "How much ice can be had for one day?",
        "From the ice house or your own machine.",
    )
    .range("0 lb", "100,000 lb")
    .usual("100 lb", "10,000 lb")
    .guess("600 lb", "our guess: what two pick-ups fetch; it bounds what a day may bring, so ask the ice house"),
    size("cold.ice_notice", Kind::Duration, "With what notice?", "From order to delivery.")
        .range("0 h", "21 days")
        .assume("1 day", "our guess"),
    number(
        "cold.ice_per_prawn",
        "How many times their own weight in ice do chilled prawns need?",
        "Slurry, holding and packing, with what melts on the way.",
    )
    .range("0.1", "5")
    .usual("0.4", "2.5")
    .assume("1", "common practice: one to one; a heat balance of slurry alone gives about a half"),
    ask("cold.live_tanks", Takes::Whole, "How many live tanks?", "For prawns sold alive.")
        .range("0", "100")
        .assume("0", "our guess: none"),
    size("cold.live_tank_holds", Kind::Volume, "How much water is in each?", "Not counting the animals.")
        .range("50 gal", "20,000 gal")
        .usual("100 gal", "3000 gal")
        .then("it is needed when there are live tanks"),
    size(
        "cold.live_density",
        Kind::MassPerVolume,
        "How many prawns per volume of water?",
        "Cool, clean, well aired water.",
    )
    .range("1 g/l", "100 g/l")
    .usual("15 g/l", "60 g/l")
    .assume(
        "50 g/l",
        "Coyle and others, transport of market-size prawns: 25 to 100 g/l lived 24 h in open tanks with oxygen \
             at 21 °C",
    ),
    ask(
        "cold.live_nights",
        Takes::Whole,
        "For how many nights are they kept alive?",
        "Before they are sold or chilled.",
    )
    .range("0", "7")
    .usual("0", "2")
    .assume("1", "common practice"),
    size("store.holds", Kind::Mass, "How much does the cold room hold?", "Prawns on ice, with room to walk.")
        .range("10 lb", "200,000 lb")
        .usual("200 lb", "20,000 lb"),
    ask("store.taken", Takes::Dates, "On which days is it somebody else's?", "Dates and stretches of dates.")
        .then("it is always yours"),
    size("store.notice", Kind::Duration, "With what notice is it booked?", "0 for your own.")
        .range("0 h", "60 days")
        .assume("0 h", "our guess: your own"),
    ask(
        "store.nights",
        Takes::Whole,
        "How many nights may whole prawns lie on ice?",
        "Then they must be sold or headed.",
    )
    .range("0", "10")
    .usual("1", "4")
    .assume("2", "common practice: sell whole ones within 48 h; flesh softens from about the third day"),
    ask("store.cost", Takes::Price(Kind::Duration), "What does a day of it cost?", "`\"$60/day\"`.").then("nothing"),
    ask("calendar.workdays", Takes::Weekdays, "On which weekdays may a harvest fall?", "`[\"Friday\", \"Saturday\"]`.")
        .then("any day of the week will do"),
    ask("calendar.holidays", Takes::Dates, "On which days is there no harvest?", "Dates and stretches of dates.")
        .then("none"),
    rhythm("rhythm.tray", "How often is the feeding tray looked at?", "every 3 days"),
    rhythm("rhythm.screens", "How often are the screens cleaned?", "every 7 days"),
    rhythm("rhythm.nets", "How often are nets and lines looked over?", "every 7 days"),
    rhythm("rhythm.tests", "How often are pH and ammonia tested?", "every 7 days"),
    rhythm("rhythm.secchi", "How often is the disk read?", "every 3 days"),
    rhythm("rhythm.sample", "How often is a sample weighed?", "every 14 days"),
    rhythm("rhythm.mow", "How often are the banks mown?", "every 14 days"),
];

/// How often some work comes round.
const fn rhythm(key: &'static str, question: &'static str, usual: &'static str) -> Input {
    size(key, Kind::Duration, question, "`\"5 days\"`.").range("1 day", "120 days").then(usual)
}
