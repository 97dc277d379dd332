//! What the pages of losses say: what was lost, what the record holds of those days, for an insurer or an adviser.

use season::farm::Farm;
use season::farm::facts::{Kept, Loss, Treatment};
use units::{Currency, Zone};

use crate::figures::{Manner, count, date_year as day, degrees, money, stopped};
use crate::page_harvest::{at, weight};
use crate::page_trace::word;

/// Name of the page.
pub const TITLE: &str = "Losses";
/// Nothing is written down.
pub const NONE: &str = "No loss is written down";
/// What it is for.
pub const LEAD: &str = "Write a loss down the day it is seen: cold, low oxygen, disease, flood, theft, predators, spray drift. Readings, weather, weights and photos of those days are put together here for your insurer or adviser.";
/// Way to an entry.
pub const ADD: &str = "Write a loss down";
/// Way to mend.
pub const MEND: &str = "Mend it, or add to it";
/// Way to a photo.
pub const PHOTO: &str = "Add a photo";
/// Way to the document.
pub const TO_PDF: &str = "To print (PDF)";
/// Way to the folder.
pub const TO_ZIP: &str = "Everything of it in open files (ZIP)";
/// Head of the weather.
pub const WEATHER: &str = "Air, as the farm's record has it";
/// Heads of that table.
pub const WEATHER_HEADS: [&str; 3] = ["Day", "Lowest", "Highest"];
/// There is none.
pub const NO_WEATHER: &str = "The farm's weather record holds none of these days. Ask your weather service for the station's days, and bring the file in.";
/// Head of the entries.
pub const ENTRIES: &str = "What was written down on those days";
/// Heads of that table.
pub const ENTRY_HEADS: [&str; 4] = ["When", "What", "As typed", "By"];
/// There are none.
pub const NO_ENTRIES: &str = "Nothing was written down of this pond on those days.";
/// Head of the loggers.
pub const LOGGED: &str = "Loggers, by the hour";
/// Head of weights.
pub const WEIGHTS: &str = "Animals before it, as weighed and counted last";
/// Head of photos.
pub const PHOTOS: &str = "Photos";
/// A photo whose picture cannot be read.
pub const PHOTO_UNREAD: &str =
    "(The picture cannot be read, so it is not printed here; the file is among the open files as it was taken in.)";
/// A photo with very many pixels.
pub const PHOTO_TOO_LARGE: &str =
    "(The picture has too many pixels to be printed here; the file is among the open files as it was taken in.)";
/// What it is not.
pub const SAYS: &str = "Put together from the farm's own record as it was typed; nothing is left out or smoothed. Whether a loss is covered, and how soon it must be told, the policy says: call first, clear away later. Dead animals: as your rules say, gloves on.";
/// How the days are chosen.
pub const SPAN: &str = "A week before it was first seen to three days after it was over.";

/// What to see to first, by its cause.
pub fn first(cause: &str) -> &'static str {
    match cause {
        "cold" => {
            "Read the water at both ends now and write it down; photograph the thermometer in the water. Count or weigh the dead before birds take them."
        }
        "low oxygen" => "Read oxygen at dawn and note when each aerator ran. Keep the reading's hour exact.",
        "disease" => {
            "Call the plant and animal health office or a diagnostic laboratory before you move animals or water; some diseases must be reported. Live and freshly dead ones on ice, not frozen, as they ask."
        }
        "flood" => {
            "Photograph the high-water mark, dikes and screens with something for scale. Escaped animals may have to be reported."
        }
        "theft" => {
            "Call the police and note the case's number. Leave tracks and locks as they are until they were seen."
        }
        "predators" => {
            "Photograph birds, tracks, slides and remains. Many of them are protected: ask the wildlife office before you do anything to them."
        }
        "spray drift" => {
            "Note wind, hour, field and who sprayed. Call the pesticide office the same day; water and dead animals in clean glass, cold and dark, as they ask. Sell nothing of this pond until they have answered."
        }
        _ => "Photographs with something for scale; hours and names; nothing cleared away before it was seen.",
    }
}

/// A loss in a headline.
pub fn headline(loss: &Loss, farm: &Farm) -> String {
    let pond = loss.pond.as_deref().map_or(farm.name.as_str(), |id| {
        farm.ponds.iter().find(|card| card.id == id).map_or(id, |card| card.name.as_str())
    });
    format!("{}: {}, {}", pond, word("cause", &loss.cause).to_lowercase(), day(loss.began))
}

/// What cannot be right in it: whoever reads the file would ask.
pub fn odd(loss: &Loss) -> Vec<String> {
    let turned = loss.ended_before.map(|ended| {
        format!("it was over on {}, before it was first seen: one of the two days is mistyped.", day(ended))
    });
    let unread = loss.unread.iter().map(|(name, typed)| {
        format!("{}: \"{typed}\" cannot be read and counts for nothing.", crate::page_log::field(name))
    });
    turned.into_iter().chain(unread).collect()
}

/// What was entered, name and value.
pub fn rows(loss: &Loss, currency: Currency, zone: &Zone, manner: Manner) -> Vec<(&'static str, String)> {
    let mut rows: Vec<(&'static str, String)> = odd(loss).into_iter().map(|said| ("Look again", said)).collect();
    rows.push(("First seen", day(loss.began)));
    if loss.ended != loss.began {
        rows.push(("Over on", day(loss.ended)));
    }
    if let Some(number) = loss.lost_count {
        rows.push(("Animals lost", count(number)));
    }
    if let Some(kg) = loss.lost_kg {
        rows.push(("Weight lost", weight(kg, manner)));
    }
    if let Some(worth) = loss.worth {
        rows.push(("Worth, by own reckoning", money(worth.coins as f64, 1.0, currency)));
    }
    for (name, text) in
        [("What was seen and done", &loss.text), ("Who was told", &loss.reported), ("Policy or case", &loss.policy)]
    {
        if let Some(text) = text {
            rows.push((name, text.clone()));
        }
    }
    let on = zone.day_and_second(loss.at).0;
    rows.push(("Written down", format!("{} {}, by {}", day(on), at(loss.at, zone, manner), loss.person)));
    rows
}

/// A day of the air.
pub fn weather_row(on: units::Day, low_c: f64, high_c: f64, manner: Manner) -> [String; 3] {
    [day(on), degrees(low_c, manner), degrees(high_c, manner)]
}

/// When an entry happened.
pub fn entry_at(kept: &Kept, zone: &Zone, manner: Manner) -> String {
    let moment = kept.fact.happened.at;
    format!("{} {}", day(zone.day_and_second(moment).0), at(moment, zone, manner))
}

/// What the open files are.
pub const README: &str = "Everything the farm's record holds of this loss, in open files (CSV: commas, UTF-8, times in UTC and by the farm's clock).\n\n\
entries.csv   what people wrote down, as typed, with corrections\n\
loggers.csv   loggers' readings: degrees Celsius, mg/L\n\
weather.csv   air by the day as the farm's weather record has it, degrees Celsius\n\
loss.pdf      the same to read and print\n\
photos/       photographs as they were taken in\n";
/// Behind an entry that mends another.
pub const A_CORRECTION: &str = ", a correction";

/// What went into a pond.
pub fn stocked(pond: &str, number: f64, on: units::Day) -> String {
    format!("{pond}: {} stocked on {}.", crate::figures::grouped(number), day(on))
}

/// A treatment whose waiting days run at the time of a loss: dead animals are no food either.
pub fn waits(pond: &str, one: &Treatment) -> String {
    let advised = one.advised_by.as_deref().map_or(String::new(), |who| format!(", advised by {who}"));
    stopped(format!(
        "{pond}: {} was given on {}{advised}. Nothing of this pond is to be eaten before {}; tell whoever looks into the loss",
        one.product,
        day(one.on),
        day(one.free_from())
    ))
}

/// Its last weighing.
pub fn sampled(pond: &str, on: units::Day, line: &str) -> String {
    format!("{pond}: sample of {}: {line}", day(on))
}

/// A logger's place.
pub fn spot(place: &str, depth_m: f64, manner: Manner) -> String {
    let end = match place {
        "shallow" => "shallow end",
        "middle" => "middle",
        _ => "drain end",
    };
    format!("{end}, {} down", crate::figures::depth(depth_m, manner))
}

/// What a figure of loggers shows.
pub fn logged(what: &str, readings: usize, low: String, high: String) -> String {
    let what = if what == "temperature_c" { "Water temperature" } else { "Oxygen" };
    format!(
        "{what} as {} readings of the loggers have it; the axis goes from {low} to {high}.",
        crate::figures::grouped(readings as f64)
    )
}
