//! What the set-up's pages say: the questions come from the table of inputs, and everything around them stands here.

mod fields;

pub use fields::{doubt, hint, short, slip, stand_in, units, word};

use farm::setup::From;
use season::weather_report::{WeatherReport, WeatherSpan};

use crate::figures::{Manner, grouped};

/// Way to a farm of one's own.
pub const DESCRIBE: &str = "Describe your own farm";
/// Under it.
pub const DESCRIBE_SAYS: &str =
    "About ten minutes. Nothing is lost when you stop halfway, and \u{201c}I don't know\u{201d} is always an answer.";
/// Way to a farm file.
pub const OPEN: &str = "Open a farm file";
/// Under it.
pub const OPEN_SAYS: &str = "A farm.toml that you or a neighbour have: every answer comes from it, to be looked over.";
/// Field for the file.
pub const OPEN_FILE: &str = "The file";
/// Field for its text.
pub const OPEN_TEXT: &str = "Or its text";
/// Button.
pub const OPEN_NOW: &str = "Open it";
/// The file could not be taken apart.
pub const OPEN_WRONG: &str =
    "This file cannot be taken apart yet. Mend the lines below in its text, then open it again.";
/// Nothing came.
pub const OPEN_EMPTY: &str = "No file came. Choose one, or put its text in the field.";
/// Heading of unfinished farms.
pub const UNFINISHED: &str = "Begun, not finished";
/// Link to one.
pub const GO_ON_WITH: &str = "Go on describing";
/// Heading of farms put away.
pub const AWAY: &str = "Put away";
/// Button.
pub const PUT_AWAY: &str = "Put away";
/// Button.
pub const PUT_BACK: &str = "Put it back";
/// Marks the sample farm.
pub const SAMPLE: &str = "a sample, invented";
/// Way to the list of farms.
pub const ALL_FARMS: &str = "All farms on this machine";
/// A farm that has no name yet.
pub const NO_NAME: &str = "A farm without a name";
/// A farm that was put away.
pub const IS_AWAY: &str = "This farm was put away. Its record is kept.";
/// Shown instead of a day.
pub const MAST: &str = "set-up";
/// No record.
pub const NOT_KEPT: &str =
    "This server was started without a record: nothing can be kept, so nothing can be described.";

/// Above what is wrong on a page.
pub const LOOK_AGAIN: &str = "Kept as you typed it. These want another look:";
/// Link past it.
pub const LATER: &str = "Leave it for later and go on";
/// Above what is odd.
pub const ODD: &str = "Kept. Is this as you meant it?";
/// Link past it.
pub const MEANT: &str = "Yes, go on";
/// Button of every page.
pub const KEEP: &str = "Keep and go on";
/// Summary of what can wait.
pub const MORE: &str = "More, if you know it";
/// Link to the last page.
pub const TO_REVIEW: &str = "To the review";
/// Where one stands.
pub const STEPS: &str = "Pages of the set-up";
/// Beside a choice of units.
pub const UNIT: &str = "Unit";
/// A choice not made.
pub const CHOOSE: &str = "don't know";
/// Button of the drawing.
pub const DRAW: &str = "Draw it";
/// Button of a further row.
pub const ADD_ROW: &str = "One more";
/// Button that takes a row out.
pub const REMOVE_ROW: &str = "Take it out";
/// Button of a further pond.
pub const ADD_POND: &str = "Keep, and describe another pond";
/// Button that takes a pond out.
pub const REMOVE_POND: &str = "Take this pond out";

/// Field of the town.
pub const TOWN: &str = "Which town is near?";
/// Under it.
pub const TOWN_SAYS: &str = "The nearest county seat or larger town: place, height and clock are taken from it. Or give latitude and longitude below.";
/// Button.
pub const FIND: &str = "Find it";
/// No such town.
pub const NO_TOWN: &str = "No town of that name is on the list that comes with the program. Try the county seat, or give latitude and longitude.";
/// Above those found.
pub const TOWNS_FOUND: &str = "Which of these?";
/// Credit for the list.
pub const TOWNS_CREDIT: &str = "Towns: GeoNames, CC BY 4.0.";
/// Origin of what a town brought.
pub const FROM_TOWN: &str = "from the town";
/// Origin of a date that was filled in and left as it was.
pub const FILLED_IN: &str = "filled in for you";
/// The shipped record, among the answers.
pub const SHIPPED_NAME: &str = "the record that comes with the program, 1930 to 2020";

/// Heading.
pub const WEATHER_FILE: &str = "A file of past lows and highs";
/// Under it.
pub const WEATHER_SAYS: &str = "At least ten years, better thirty, from the nearest station: a table of days with low and high, or GHCN-Daily as the weather service gives it.";
/// Button.
pub const WEATHER_BRING: &str = "Read this file";
/// Heading of the shipped record.
pub const WEATHER_SHIPPED: &str = "No file at hand";
/// Button.
pub const WEATHER_TAKE: &str = "Take the record that comes with the program";
/// Nothing came.
pub const WEATHER_EMPTY: &str = "No file came. Choose one first.";
/// Above what stands.
pub const WEATHER_NOW: &str = "In use now";
/// None yet.
pub const WEATHER_NONE: &str = "None yet.";
/// Nothing odd.
pub const WEATHER_CLEAN: &str = "Nothing odd was found in it.";
/// Above the oddities.
pub const WEATHER_ODD: &str = "What was odd, by line, and what was done";
/// Go on.
pub const GO_ON: &str = "Go on";

/// The review.
pub const REVIEW: &str = "Your farm, all of it";
/// The review of a farm that stands.
pub const REVIEW_SAYS: &str =
    "Every figure the plan leans on, and where it came from. Tap a heading to change what stands under it.";
/// Above what is wrong.
pub const STILL_WRONG: &str = "Before the first outlook, these want an answer:";
/// Above what is odd.
pub const STILL_ODD: &str = "Taken as written, but unusual:";
/// The deliberate step.
pub const ACCEPT: &str = "This is my farm";
/// Under it.
pub const ACCEPT_SAYS: &str = "The outlook is reckoned on these figures from now on. All of them can be changed later, and what stood before is kept.";
/// As above, when the described farm stands and nothing was changed.
pub const STANDS: &str = "This is how the farm stands. Nothing was changed since.";
/// Link to the farm.
pub const TO_FARM: &str = "To the morning page";
/// Download.
pub const DOWNLOAD: &str = "The farm file (farm.toml)";
/// Under it.
pub const DOWNLOAD_SAYS: &str = "The same file that the command line takes: warmspell plan --farm farm.toml. A weather file you brought goes beside it.";
/// Summary of figures that were not asked.
pub const REST: &str = "Figures nobody gave, and what stands in for them";

/// Title of a page.
pub fn title(step: &str) -> &'static str {
    match step {
        "place" => "Where the farm is",
        "pond" => "One pond",
        "memory" => "What you remember",
        "weather" => "Past weather",
        "work" => "Hands, ice and gear",
        "sale" => "What it brings",
        _ => REVIEW,
    }
}

/// What a page is for.
pub fn lead(step: &str) -> &'static str {
    match step {
        "place" => "Sun, day length and the past weather follow from the place. A town nearby is close enough.",
        "pond" => {
            "Walk it once along and once across. Depths by a stick at the foot of the bank; the drawing follows what you type."
        }
        "memory" => "What happened at your ponds says more than any table. Where you remember nothing, leave it empty.",
        "weather" => "Past years make the possible futures. They should come from near the farm.",
        "work" => "Hands and ice bound how much can come out on one day.",
        "sale" => {
            "Only what differs between an early and a late harvest matters. A price for whole prawns is enough to begin."
        }
        _ => REVIEW_SAYS,
    }
}

/// Where one stands among the pages.
pub fn place_of(at: usize, of: usize) -> String {
    format!("{at} of {of}")
}

/// How an answer came to be.
pub fn origin(from: From, told: bool, shipped: bool) -> &'static str {
    match from {
        _ if told => "told",
        From::Typed if shipped => "shipped",
        From::Typed => "typed",
        From::Guess | From::Default => "our guess",
        From::LeftOut => "left out",
        From::Missing => "still missing",
    }
}

/// Area as paced, under the drawing.
pub fn water(area_m2: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("About {:.2} acres of water.", area_m2 / 4_046.856_422_4),
        Manner::Metric => format!("About {} m² of water.", grouped((area_m2 / 10.0).round() * 10.0)),
    }
}

/// What the drawing shows, for those who do not see it.
pub fn sketch(shallow: &str, deep: &str) -> String {
    format!("The pond cut from end to end: {shallow} at the shallow end, {deep} at the drain.")
}

/// Beyond this another place's past is no ground for a real decision, km: our guess.
const LENT_FAR_KM: f64 = 150.0;

/// On the morning of a farm whose past is the shipped one: that it is of another place; none where that is near.
pub fn lent_past(distance_km: f64, manner: Manner) -> Option<String> {
    (distance_km > LENT_FAR_KM).then(|| {
        let far = distance(distance_km, manner);
        format!(
            "All of this rests on past years of another place, {far} away. Take it to look around, and bring a record of your own \
             (Set-up, past weather) before you decide by it."
        )
    })
}

/// The shipped record and how far it lies.
pub fn shipped(distance_km: Option<f64>, south: bool, manner: Manner) -> String {
    let far = match (distance_km, manner) {
        (None, _) => String::new(),
        (Some(km), Manner::UsCustomary) => {
            format!(", about {} miles from here", grouped((km / 1.609_344 / 10.0).round() * 10.0))
        }
        (Some(km), Manner::Metric) => format!(", about {} km from here", grouped((km / 10.0).round() * 10.0)),
    };
    let turned = if south { " It is moved by half a year, which makes it an invented past." } else { "" };
    let good = match distance_km {
        None => "How far it lies is told once the farm's place is known.",
        Some(km) if km <= LENT_FAR_KM && !south => "That is near enough to begin with.",
        _ => {
            "That is too far for a real decision: take it to look around, and bring a record of your own before the season."
        }
    };
    format!("Lows and highs of 1930 to 2020 in the rolling piedmont of South Carolina{far}.{turned} {good}")
}

/// What a file holds.
pub fn weather_read(name: &str, report: &WeatherReport) -> String {
    let span = match report.span {
        WeatherSpan::Days { from, to } => format!("{from} to {to}, {} days", grouped(f64::from(to.0 - from.0 + 1))),
        _ => "no daily lows and highs".to_owned(),
    };
    let missing: usize = report.quantities.iter().map(|told| told.missing).max().unwrap_or(0);
    let gaps = if missing == 0 { "no gap".to_owned() } else { format!("{} days missing", grouped(missing as f64)) };
    format!("{name}: {}, {span}, {gaps}.", crate::weather::form(report.form))
}

/// A file of another kind.
pub const WEATHER_NOT_DAYS: &str =
    "This holds no daily lows and highs of past years. It was kept aside, and is not used.";

/// A file named in the farm's own that is not here.
pub fn no_past(name: &str) -> String {
    format!(
        "\u{201c}{name}\u{201d} is not here yet. Bring it on the page for past weather, or take the shipped record."
    )
}

/// A town as it is offered.
pub fn town(name: &str, region: &str, country: &str) -> String {
    if region.is_empty() { format!("{name}, {country}") } else { format!("{name}, {region}, {country}") }
}

/// Where a typed place lies, to be looked at once.
pub fn near(town: &str, km: f64, zone: &str, manner: Manner) -> String {
    let far = distance(km, manner);
    format!(
        "This place is {far} from {town}, and the clock is {zone}. If that is not your farm, look at N, S, E and W."
    )
}

/// A lonely place whose mirror image is near a town.
pub fn mirrored(town: &str, km: f64, near: &str, wanted: &str, manner: Manner) -> String {
    let far = distance(km, manner);
    format!(
        "The nearest town on the list is {town}, {far} off; with {wanted} this place would be near {near}. Is a sign slipped?"
    )
}

fn distance(km: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.0} miles", km / 1.609_344),
        Manner::Metric => format!("{km:.0} km"),
    }
}

/// Which pond.
pub fn pond(number: usize, name: &str) -> String {
    if name.is_empty() { format!("Pond {number}") } else { name.to_owned() }
}

/// The morning the first page will show, when it is not today.
pub fn morning_is(day: units::Day) -> String {
    format!("The first outlook is for the morning of {}, when every pond is stocked.", crate::figures::day(day))
}

/// A figure that memory sets.
pub fn told_sets(key: &str, value: Option<f64>, manner: Manner) -> String {
    match (key, value) {
        ("crew.per_hand_hour", Some(kg_h)) => {
            let rate = match manner {
                Manner::UsCustomary => format!("{:.0} lb", kg_h / 0.453_592_37),
                Manner::Metric => format!("{kg_h:.0} kg"),
            };
            format!("From this, one hand brings in {rate} an hour: told.")
        }
        ("choices.cold_mark", Some(celsius)) => {
            format!("From this, the cold mark begins at {}: told.", crate::figures::degrees(celsius, manner))
        }
        ("told.coldest", _) => {
            "The coldest morning is kept as a note and sets no figure: the cold mark stays where it is.".to_owned()
        }
        _ => String::new(),
    }
}
