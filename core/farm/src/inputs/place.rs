//! Name, place, weather files, season, and what the grower is willing to risk.

use units::measure::Kind;

use super::{Input, Takes, ask, number, size};

pub(super) static INPUTS: &[Input] = &[
    ask("farm.name", Takes::Text, "What is the farm called?", "Stands at the head of every page."),
    ask(
        "farm.currency",
        Takes::Currency,
        "Which money do you reckon in?",
        "Three letters, such as USD, BRL or EUR. Every price and cost of the file is in it.",
    ),
    size("farm.pace", Kind::Length, "How long is one of your paces?", "Walk ten along a tape and take a tenth.")
        .range("1 ft", "5 ft")
        .usual("1.8 ft", "3.6 ft")
        .assume("2.5 ft", "common practice: a grown person's walking step, 2.2 to 2.8 ft"),
    ask("farm.place", Takes::Section, "Where is the farm?", "Sun, day length and air pressure follow from it."),
    ask("farm.weather", Takes::Section, "Which files hold its past weather?", "Past years make the possible futures."),
    ask("farm.morning", Takes::Section, "Which morning should be shown first?", "For samples and for looking back.")
        .then("the person names the day"),
    ask("farm.season", Takes::Section, "When is the season over?", "The plan looks no further than its last day."),
    ask(
        "farm.pond",
        Takes::Sections,
        "Which ponds are there?",
        "One `[[pond]]` for each, in the order you like them shown.",
    ),
    ask(
        "farm.gear",
        Takes::Section,
        "What gear is there?",
        "Generators, fuel and baskets; pumps have sections of their own.",
    )
    .then("every line of it is assumed as said below"),
    ask("farm.pump", Takes::Sections, "Which pumps are there?", "One `[[pump]]` for each.").then("there are none"),
    ask(
        "farm.hired",
        Takes::Sections,
        "What must be hired for a harvest day?",
        "One `[[hired]]` for each thing without which no pond is caught; a hired pump goes under `[[pump]]`, a \
         hired cold room under `[store]`.",
    )
    .then("nothing is hired"),
    ask("farm.tank", Takes::Sections, "In which tanks are postlarvae raised?", "One `[[tank]]` for each.")
        .then("there are none"),
    ask("farm.source", Takes::Sections, "Where does water for filling come from?", "One `[[source]]` for each.")
        .then("the time of filling is not told"),
    ask("farm.crew", Takes::Section, "Who works?", "Hands bound how many pounds come out on a day."),
    ask(
        "farm.helper",
        Takes::Sections,
        "Who else may help on a harvest day?",
        "One `[[helper]]` for each group beside those counted under `[crew]`: the plan of dates does not count on them, the day's sheet does.",
    )
    .then("nobody beside the crew"),
    ask(
        "farm.line",
        Takes::Section,
        "How quick is the work of a harvest day?",
        "Your own figures for any of it; they replace common practice on the day's sheet.",
    )
    .then("common practice stands in, as said below"),
    ask("farm.cold", Takes::Section, "How is the catch kept cold or alive?", "Ice and live tanks."),
    ask("farm.store", Takes::Section, "Is there a cold room?", "Your own, or one booked by the day.")
        .then("there is none"),
    ask("farm.calendar", Takes::Section, "On which days do you harvest?", "Workdays and holidays.")
        .then("any day of the week will do"),
    ask("farm.rhythm", Takes::Section, "How often does small work come round?", "Only where you do it otherwise.")
        .then("your own log shows it, or common practice stands in"),
    ask("farm.selling", Takes::Section, "How much can be handled and sold?", "What bounds a day after the water."),
    ask("farm.order", Takes::Sections, "What will buyers take?", "One `[[order]]` for each form that has a ceiling.")
        .then("no form has a ceiling"),
    ask(
        "farm.buyer",
        Takes::Sections,
        "Who buys at every catch?",
        "One `[[buyer]]` for each standing buyer. Orders of this once are written on the buyers' page.",
    )
    .then("nobody has a standing order"),
    ask("farm.price", Takes::Sections, "What does a pound bring?", "One `[[price]]` for each form and size class."),
    ask(
        "farm.costs",
        Takes::Section,
        "What do things cost?",
        "Only what differs between an early and a late harvest matters.",
    )
    .then("US dollar figures stand in, as said below"),
    ask(
        "farm.told",
        Takes::Section,
        "What do you remember of other years?",
        "It sets starting figures, marked as told.",
    )
    .then("the figures below stand alone"),
    ask("farm.choices", Takes::Section, "What are you willing to risk?", "Cold marks, guard, risk.")
        .then("each is assumed as said below"),
    size(
        "place.latitude",
        Kind::Latitude,
        "How far north or south?",
        "`\"34.7 N\"`, `\"34° 42' N\"` or 34.7; south is S or a minus.",
    )
    .range("66 S", "66 N")
    .usual("45 S", "45 N"),
    size("place.longitude", Kind::Longitude, "How far east or west?", "`\"82.8 W\"` or -82.8.").range("180 W", "180 E"),
    size("place.elevation", Kind::Length, "How high above the sea?", "Within 50 m (150 ft) is close enough.")
        .range("-400 m", "4000 m")
        .usual("-50 m", "1500 m")
        .guess("500 ft", "our guess; 300 m too much or too little change air pressure by under 4 %"),
    ask(
        "place.time_zone",
        Takes::Zone,
        "Which clock do you live by?",
        "A name such as `\"America/New_York\"`, which knows summer time, or an offset such as `\"-03:00\"`, \
             which does not.",
    ),
    ask(
        "weather.history",
        Takes::Path,
        "Where is the record of past lows and highs?",
        "A daily file of at least 20 years from the nearest station: see `warmspell weather --help`.",
    ),
    size(
        "weather.history_moved",
        Kind::Duration,
        "By how long should the record be moved later?",
        "Half a year (`\"182 days\"`) turns a record of the other hemisphere round. A past so made is invented \
             and every page says so: it is for trying things out, never for a real decision.",
    )
    .range("-366 days", "366 days")
    .then("the record is used as it is"),
    ask(
        "weather.donors",
        Takes::Path,
        "Where are the hourly records that lend wind, dew point, cloud and rain?",
        "A folder of hourly files. Your own station's hours are better than any other's.",
    )
    .then("the records that come with the program are used"),
    ask("morning.on", Takes::Date, "Which morning?", "The day shown when no other is asked for.")
        .then("the person names the day"),
    ask(
        "morning.forecast",
        Takes::Path,
        "Which forecast stood then?",
        "A forecast file: see `warmspell weather --help`.",
    )
    .then("past years alone make the futures"),
    ask(
        "season.last_catch",
        Takes::Date,
        "What is the last day a pond may come out?",
        "Well after any date you would choose yourself.",
    ),
    size(
        "season.survival",
        Kind::Share,
        "How many in a hundred come out, in a usual year?",
        "Stocked animals that are caught alive, from your own years. It is taken as told, with a wide band.",
    )
    .range("2 %", "100 %")
    .usual("30 %", "92 %")
    .then("the growth and survival page's figures are used"),
    size("told.pounds", Kind::Mass, "How much came out on a harvest day last year?", "Whole prawns, of one day.")
        .range("5 lb", "100,000 lb")
        .then("the rate under `[crew]` holds"),
    ask("told.hands", Takes::Whole, "With how many hands?", "Everyone, from seine to ice.")
        .range("1", "200")
        .then("the rate under `[crew]` holds"),
    size("told.hours", Kind::Duration, "In how many hours?", "From the first basket to the last on ice.")
        .range("0.5 h", "48 h")
        .then("the harvest day's hours under `[crew]` are taken"),
    size(
        "told.coldest",
        Kind::Temperature,
        "How cold was the coldest morning that prawns were still in a pond?",
        "Of any year you remember.",
    )
    .range("20 F", "75 F")
    .then("nothing follows"),
    ask(
        "told.coldest_of",
        Takes::Words(&["water", "air"]),
        "Was that the water or the air?",
        "A thermometer in either.",
    )
    .then("it is taken for the air's"),
    ask(
        "told.died",
        Takes::Words(&["none", "some", "half", "most", "all"]),
        "What died that morning?",
        "Where some died in water warmer than the cold mark's default, the mark begins there. Air, or nothing lost, is \
         kept as a note: one morning of air says too little of the water.",
    )
    .then("nothing follows"),
    size(
        "choices.cold_mark",
        Kind::Temperature,
        "Below which dawn water must no pond still be full?",
        "Bottom water at first light. The guard below is measured on it.",
    )
    .range("50 F", "75 F")
    .usual("57 F", "65 F")
    .assume("60 F", "Mississippi State extension harvest page: finish before morning water reaches 60 F"),
    size(
        "choices.follow_mark",
        Kind::Temperature,
        "Below which water do prawns stop following the falling water?",
        "Colder animals are slow to gather and are left in the mud.",
    )
    .range("55 F", "80 F")
    .usual("64 F", "72 F")
    .assume("68 F", "Mississippi State extension harvest page: they follow above 68 F"),
    ask(
        "choices.guard",
        Takes::YesNo,
        "Should a guard stand above the best bet?",
        "With it, no plan lets a full pond meet the cold mark more often than the chance below while an earlier \
             start was possible. The page always shows what it costs.",
    )
    .assume("true", "our choice: a crop is lost once, and the forecast of cold is the least sure part"),
    size(
        "choices.guard_chance",
        Kind::Share,
        "How often may a full pond meet the cold mark?",
        "`\"1 in 10\"`, `\"10 %\"` or 0.1.",
    )
    .range("1 in 200", "1 in 2")
    .usual("1 in 50", "1 in 5")
    .assume("1 in 10", "our choice; the page shows what it costs"),
    size(
        "choices.keep_level",
        Kind::Share,
        "In how many futures of ten must a day's work be within your means?",
        "Pounds, ice and hands of a day are judged by it.",
    )
    .range("1 in 2", "99 %")
    .usual("6 in 10", "95 %")
    .assume("8 in 10", "our choice: one harvest day in five may run over"),
    number(
        "choices.risk_weight",
        "How much does money lost to cold weigh?",
        "1 counts it like any other money; 2 counts it twice, and brings ponds out earlier.",
    )
    .range("0.5", "10")
    .usual("1", "4")
    .assume("1", "plain expected value"),
];
