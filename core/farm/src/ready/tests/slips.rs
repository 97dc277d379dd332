//! Slips of the pen: one change to the first sample each, and what must be said of it.

use units::measure::{Kind, MeasureError as M};

use super::HAZEL_BEND;
use crate::reasons::{Shape, Wrong};

/// The line on which a text first stands in the sample.
pub fn line_of(text: &str) -> usize {
    1 + HAZEL_BEND.split(text).next().expect("a first piece").matches('\n').count()
}

/// A change to the first sample, and what must be said about it: key, pond or row, and what is wrong.
pub struct Slip {
    pub was: &'static str,
    pub typed: &'static str,
    pub key: &'static str,
    pub of: Option<&'static str>,
    pub what: Wrong,
}

fn slip(was: &'static str, typed: &'static str, key: &'static str, of: Option<&'static str>, what: Wrong) -> Slip {
    Slip { was, typed, key, of, what }
}

fn text(text: &str) -> String {
    text.to_owned()
}

const WILLOW: Option<&str> = Some("Willow");

/// Every slip.
pub fn slips() -> Vec<Slip> {
    [pond_values(), pond_words(), stock(), farm(), more_of_the_farm()].into_iter().flatten().collect()
}

fn pond_values() -> Vec<Slip> {
    vec![
        slip(
            "area = \"0.45 ac\"",
            "area = \"0.45\"",
            "pond.area",
            WILLOW,
            Wrong::Measure(M::NoUnit { kind: Kind::Area }),
        ),
        slip("area = \"0.45 ac\"", "area = 0.45", "pond.area", WILLOW, Wrong::Measure(M::NoUnit { kind: Kind::Area })),
        slip(
            "area = \"0.45 ac\"",
            "area = \"0.45 ft\"",
            "pond.area",
            WILLOW,
            Wrong::Measure(M::OtherKind { unit: text("ft"), is: Kind::Length, wanted: Kind::Area }),
        ),
        slip(
            "area = \"0.45 ac\"",
            "area = \"0,45 ac\"",
            "pond.area",
            WILLOW,
            Wrong::Measure(M::DecimalComma { text: text("0,45"), meant: text("0.45") }),
        ),
        slip(
            "area = \"0.45 ac\"",
            "area = \"0.45 akres\"",
            "pond.area",
            WILLOW,
            Wrong::Measure(M::UnknownUnit { unit: text("akres"), kind: Kind::Area, nearest: Some("acres") }),
        ),
        slip(
            "area = \"0.45 ac\"",
            "area = \"45 ac\"",
            "pond.area",
            WILLOW,
            Wrong::Outside { least: "40 m2", greatest: "10 ha" },
        ),
        slip("area = \"0.45 ac\"", "area = \"\"", "pond.area", WILLOW, Wrong::Measure(M::Empty)),
        slip("area = \"0.45 ac\"", "area = true", "pond.area", WILLOW, Wrong::Shape { wants: Shape::Number }),
        slip(
            "deep_depth = \"6 ft\"",
            "deep_depth = \"6 in\"",
            "pond.deep_depth",
            WILLOW,
            Wrong::Outside { least: "1 ft", greatest: "20 ft" },
        ),
        slip(
            "secchi = \"15 in\"",
            "area_by_depth = [[\"1 ft\", \"0.1 ac\"], [\"6 ft\", \"0.45 ac\"]]",
            "pond.area_by_depth",
            WILLOW,
            Wrong::NotRising,
        ),
        slip("deep_depth = \"6 ft\"", "deep_depth = \"2 ft\"", "pond.deep_depth", WILLOW, Wrong::DeepNotDeeper),
        slip(
            "secchi = \"15 in\"",
            "secci = \"15 in\"",
            "pond.secci",
            WILLOW,
            Wrong::UnknownKey { nearest: Some("secchi"), belongs: None },
        ),
    ]
}

fn pond_words() -> Vec<Slip> {
    vec![
        slip(
            "secchi = \"15 in\"",
            "secchi = \"15 in\"\nbaskets = 12",
            "pond.baskets",
            WILLOW,
            Wrong::UnknownKey { nearest: None, belongs: Some("gear") },
        ),
        slip("[gear]", "[geer]", "farm.geer", None, Wrong::UnknownKey { nearest: Some("gear"), belongs: None }),
        slip(
            "outlet = \"standpipe\"",
            "outlet = \"standpip\"",
            "pond.outlet",
            WILLOW,
            Wrong::NotOneOf { words: &["none", "standpipe", "pipe"], nearest: Some("standpipe") },
        ),
        slip(
            "plants = \"some\"",
            "plants = \"lots\"",
            "pond.plants",
            Some("Lower"),
            Wrong::NotOneOf { words: &["none", "some", "many", "at the surface"], nearest: None },
        ),
        slip(
            "plants = \"some\"",
            "plants = \"130 %\"",
            "pond.plants",
            Some("Lower"),
            Wrong::Outside { least: "0", greatest: "1" },
        ),
        slip(
            "pumps = [\"trash pump\", \"small pump\"]",
            "pumps = [\"trash pump\", \"smal pump\"]",
            "pond.pumps",
            Some("Lower"),
            Wrong::UnknownPump { names: vec![text("trash pump"), text("small pump")] },
        ),
        slip(
            "name = \"Quarry\"",
            "name = \"willow\"",
            "pond.name",
            Some("willow"),
            Wrong::Twice { first: line_of("name = \"Willow\"") },
        ),
        slip("name = \"Quarry\"", "name = 7", "pond.name", Some("2"), Wrong::Shape { wants: Shape::Text }),
        slip("outlet_across = \"4 in\"\n", "", "pond.outlet_across", WILLOW, Wrong::NeededWith { key: "pond.outlet" }),
        slip(
            "early_seining = true",
            "early_seining = \"perhaps\"",
            "pond.early_seining",
            Some("Quarry"),
            Wrong::Shape { wants: Shape::YesNo },
        ),
        slip(
            "bank_closed_by_rain = \"1 in\"\n",
            "",
            "pond.bank_closed_for",
            Some("Lower"),
            Wrong::NothingWithout { key: "pond.bank_closed_by_rain" },
        ),
        slip(
            "silt = \"8 in\"",
            "silt = \"4 ft\"\ncatch_depth = \"6 ft\"\ndeep_depth=\"5 ft\"",
            "pond.catch_depth",
            Some("Heron"),
            Wrong::NotBelowDeepest,
        ),
    ]
}

fn stock() -> Vec<Slip> {
    vec![
        slip(
            "mean_weight = \"34 g\"",
            "mean_weight = \"34 kg\"",
            "samples.mean_weight",
            Some("Willow, 2"),
            Wrong::Outside { least: "0.05 g", greatest: "250 g" },
        ),
        slip("counted = 70", "counted = 70.5", "samples.counted", Some("Heron, 2"), Wrong::NotWhole),
        slip(
            "counted = 70",
            "counted = -3",
            "samples.counted",
            Some("Heron, 2"),
            Wrong::Outside { least: "1", greatest: "5000" },
        ),
        slip(
            "on = 2011-09-20, mean_weight = \"34 g\"",
            "on = \"9/20/2011\", mean_weight = \"34 g\"",
            "samples.on",
            Some("Willow, 2"),
            Wrong::NotADate,
        ),
        slip(
            "on = 2011-09-20, mean_weight = \"34 g\"",
            "on = 2011-05-01, mean_weight = \"34 g\"",
            "samples.on",
            Some("Willow, 2"),
            Wrong::Before { key: "stocked.on", day: text("2011-05-27") },
        ),
        slip(
            "temperature = \"73 F\" },\n    { at = 2011-09-28T07:20",
            "temperature = \"730 F\" },\n    { at = 2011-09-28T07:20",
            "readings.temperature",
            Some("Heron, 2"),
            Wrong::Outside { least: "32 F", greatest: "113 F" },
        ),
        slip(
            "at = 2011-09-28T07:20",
            "at = 2011-04-28T07:20",
            "readings.at",
            Some("Heron, 3"),
            Wrong::Before { key: "stocked.on", day: text("2011-05-28") },
        ),
        slip("at = 2011-09-28T07:20", "at = 2011-09-28", "readings.at", Some("Heron, 3"), Wrong::NotAMoment),
        slip(
            "at = 2011-09-28T07:20",
            "at = 2011-11-06T01:30",
            "readings.at",
            Some("Heron, 3"),
            Wrong::ClockChange { twice: true },
        ),
        slip(
            "stocked = { on = 2011-05-27, density = \"24,000/ac\", mean",
            "stocked = { on = 2011-05-27, count = 9000, density = \"24,000/ac\", mean",
            "stocked.density",
            WILLOW,
            Wrong::Both { other: "stocked.count" },
        ),
        slip(
            "stocked = { on = 2011-05-27, density = \"24,000/ac\", mean",
            "stocked = { on = 2001-05-27, density = \"24,000/ac\", mean",
            "stocked.on",
            WILLOW,
            Wrong::Before { key: "season.last_catch", day: text("2010-09-26") },
        ),
    ]
}

fn farm() -> Vec<Slip> {
    vec![
        slip("last_catch = 2011-10-31", "last_catch = \"soon\"", "season.last_catch", None, Wrong::NotADate),
        slip(
            "time_zone = \"America/New_York\"",
            "time_zone = \"America/Hazel\"",
            "place.time_zone",
            None,
            Wrong::UnknownZone,
        ),
        slip(
            "latitude = \"34.7 N\"",
            "latitude = \"94.7 N\"",
            "place.latitude",
            None,
            Wrong::Outside { least: "66 S", greatest: "66 N" },
        ),
        slip("currency = \"USD\"", "currency = \"dollars\"", "farm.currency", None, Wrong::UnknownCurrency),
        slip(
            "price = \"$10/lb\"",
            "price = \"10 EUR/lb\"",
            "price.price",
            Some("3"),
            Wrong::OtherCurrency { farm: text("USD") },
        ),
        slip(
            "price = \"$10/lb\"",
            "price = \"$10\"",
            "price.price",
            Some("3"),
            Wrong::Measure(M::NoUnit { kind: Kind::Mass }),
        ),
        slip(
            "price = \"$10/lb\"",
            "price = \"-$10/lb\"",
            "price.price",
            Some("3"),
            Wrong::Measure(M::NumberUnreadable { text: text("-$10/lb") }),
        ),
        slip("price = \"$10/lb\"", "price = \"$-10/lb\"", "price.price", Some("3"), Wrong::Negative),
        slip(
            "size = \"16 to 24 per lb\"\nprice = \"$10/lb\"",
            "size = \"large\"\nprice = \"$10/lb\"",
            "price.size",
            Some("3"),
            Wrong::NotASize,
        ),
    ]
}

fn more_of_the_farm() -> Vec<Slip> {
    vec![
        slip(
            "size = \"16 to 24 per lb\"\nprice = \"$10/lb\"",
            "size = \"14 to 24 per lb\"\nprice = \"$10/lb\"",
            "price.size",
            Some("3"),
            Wrong::SizesOverlap { other: line_of("size = \"12 to 16 per lb\"\nprice = \"$12") - 2 },
        ),
        slip(
            "drive = \"generator\"",
            "drive = \"generator\" # none left",
            "pump.drive",
            Some("small pump"),
            Wrong::NoGenerator,
        ),
        slip(
            "live_tank_holds = \"300 gal\"\n",
            "",
            "cold.live_tank_holds",
            None,
            Wrong::NeededWith { key: "cold.live_tanks" },
        ),
        slip(
            "taken = [\"2011-10-04 to 2011-10-05\"",
            "taken = [\"2011-10-05 to 2011-10-04\"",
            "store.taken",
            None,
            Wrong::EndsBeforeItBegins,
        ),
        slip("start = \"first light\"", "start = \"25:00\"", "crew.start", None, Wrong::NotATime),
        slip("weekdays = [\"Friday\"", "weekdays = [\"Fredag\"", "selling.weekdays", None, Wrong::NotAWeekday),
        slip(
            "on = 2011-09-28\n",
            "on = 2011-12-15\n",
            "morning.on",
            None,
            Wrong::After { key: "season.last_catch", day: text("2011-10-31") },
        ),
        slip("history = \"history.csv\"\n", "", "weather.history", None, Wrong::Missing),
        slip("ice_daily = \"1,500 lb\"\n", "", "cold.ice_daily", None, Wrong::Missing),
    ]
}
