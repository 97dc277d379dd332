//! What one may ask of a pond's emptying: one table, from which page and command are made; and what was typed as a [`Wish`].

use farm::PondCard;
use farm::inputs::{Input, Takes, read_one};
use farm::reasons::Wrong;
use sums::{Given, Slip};
use units::Day;
use units::measure::Kind;

use super::{OutletHour, SeineWish, Wish};

const fn size(key: &'static str, kind: Kind, question: &'static str, about: &'static str) -> Input {
    Input::asked(key, Takes::Quantity(kind, None), question, about)
}

/// Every question, in the order of the page.
pub static INPUTS: &[Input] = &[
    Input::asked("drain.day", Takes::Date, "On which day is it caught?", "")
        .then("the plan's day, or the first morning it can be ready"),
    Input::asked("drain.at", Takes::Clock, "When is catch depth to stand?", "When rinse, ice and hands are ready.")
        .then("at first light, or when work begins"),
    size(
        "drain.seine",
        Kind::Duration,
        "How long is the net pulled first?",
        "The water is held so long. 0 h: not at all.",
    )
    .range("0 h", "24 h")
    .usual("0 h", "8 h")
    .then("as the farm file says"),
    Input::asked("drain.seine_day", Takes::Date, "On which day is the net pulled?", "")
        .then("the last first light that leaves time for the rest"),
    Input::asked("drain.seine_at", Takes::Clock, "From when?", "").then("first light"),
    Input::asked("drain.open_day", Takes::Date, "On which day do you open it, whatever comes?", "")
        .then("the hour is found"),
    Input::asked("drain.open_at", Takes::Clock, "At what time?", "").then("the hour is found"),
    size("drain.pumps", Kind::Count, "How many of its pumps run?", "In the order in which the farm file names them.")
        .range("0", "20")
        .then("all that are named for it"),
    size("drain.extra", Kind::Flow, "One more pump: how much does it move?", "Hired or borrowed.")
        .range("1 m3/h", "3000 m3/h")
        .then("none"),
    Input::asked(
        "drain.outlet_water",
        Takes::Text,
        "How high does the river or ditch stand?",
        "Above the pond's floor by the drain: `2 ft`. Where it rises or falls, by hours: `1 ft at 4 a.m., 2 ft at 10 a.m.`, the last on the day of the catch.",
    )
    .then("as the farm file says; else below the drain"),
    size("drain.blocked", Kind::Share, "How much of the screen is blocked?", "Leaves, weed, dead animals.")
        .range("0 %", "95 %")
        .then("nothing"),
    size(
        "drain.level",
        Kind::Length,
        "How deep does it stand by the drain now?",
        "Read on the stick: the rest is found from here on.",
    )
    .range("0.2 ft", "20 ft")
    .then("full, or as last seen"),
    size("drain.depth", Kind::Length, "How deep is the last water kept?", "By the drain.")
        .range("0.2 ft", "6 ft")
        .then("catch depth, as the farm file says"),
    Input::asked("drain.well", Takes::Words(&["no", "yes"]), "Is well water let in while it stands low?", "")
        .then("no"),
];

/// A height of the river or ditch, read as any other length.
static OUTLET_HEIGHT: Input =
    size("drain.outlet_water", Kind::Length, "How high does the river or ditch stand?", "").range("0 ft", "20 ft");
/// Its hour.
static OUTLET_HOUR: Input = Input::asked("drain.outlet_water", Takes::Clock, "At what time?", "");

/// The river or ditch as typed: one height, or heights by hours, with a day before the hour or without.
///
/// # Errors
/// The part that cannot be read, and why.
fn outlet_water(text: &str) -> Result<(Option<f64>, Vec<OutletHour>), (String, Wrong)> {
    // Rows may be parted by semicolons as well, or stand in lines of their own.
    let parting: &[char] = if text.contains(';') { &[';', '\n'] } else { &[',', '\n'] };
    let parts: Vec<&str> = text.split(parting).map(str::trim).filter(|part| !part.is_empty()).collect();
    let height_m = |text: &str| match read_one(&OUTLET_HEIGHT, text) {
        Ok(height_m) => Ok(height_m.unwrap_or(0.0)),
        Err(what) => Err((text.to_owned(), what)),
    };
    if let [one] = parts[..]
        && !one.contains(" at ")
    {
        return Ok((Some(height_m(one)?), Vec::new()));
    }
    let mut rows: Vec<OutletHour> = Vec::new();
    for part in parts {
        // A height without its hour says nothing of when.
        let Some((height, when)) = part.split_once(" at ") else { return Err((part.to_owned(), Wrong::NotATime)) };
        let (day, clock) = match when.trim().split_once([' ', 'T']).map(|(day, clock)| (Day::parse(day), clock)) {
            Some((Some(day), clock)) => (Some(day), clock),
            _ => (None, when),
        };
        let hour = match read_one(&OUTLET_HOUR, clock.trim()) {
            Ok(hour) => hour.unwrap_or(0.0),
            Err(what) => return Err((clock.trim().to_owned(), what)),
        };
        rows.push(OutletHour { day, hour, height_m: height_m(height.trim())? });
    }
    Ok((None, rows))
}

/// What was typed, as a wish.
///
/// # Errors
/// Everything that is wrong.
pub fn understand(card: &PondCard, on: Day, typed: &[(&str, &str)]) -> Result<(Wish, Given), Vec<Slip>> {
    let given = Given::read(INPUTS, typed)?;
    let mut slips = Vec::new();
    let mut slip = |name: &str, what: Wrong| {
        let typed = typed.iter().find(|(known, _)| *known == name).map_or("", |(_, text)| text);
        let input = INPUTS.iter().find(|input| input.name() == name);
        slips.push(Slip { name: name.to_owned(), input, typed: typed.to_owned(), what });
    };
    let depth_m = given.maybe("depth");
    if depth_m.is_some_and(|depth_m| depth_m >= card.shape.deep_depth_m) {
        slip("depth", Wrong::NotBelowDeepest);
    }
    let named = card.emptying.pumps.len();
    if given.maybe("pumps").is_some_and(|count| count as usize > named) {
        slip("pumps", Wrong::MoreThanThere { count: named });
    }
    let is_well = typed.iter().any(|&(name, text)| name == "well" && text == "yes");
    if is_well && card.emptying.more.well_m3_h.is_none() {
        slip("well", Wrong::NothingWithout { key: "pond.well" });
    }
    let outlet = typed.iter().find(|(name, text)| *name == "outlet_water" && !text.trim().is_empty());
    let outlet = outlet.map_or(Ok((None, Vec::new())), |(_, text)| outlet_water(text));
    let (outlet_water_m, outlet_hours) = outlet.unwrap_or_else(|(part, what)| {
        let input = INPUTS.iter().find(|input| input.name() == "outlet_water");
        slips.push(Slip { name: "outlet_water".to_owned(), input, typed: part, what });
        (None, Vec::new())
    });
    if !slips.is_empty() {
        return Err(slips);
    }
    let seine_at = given.day("seine_day").map(|day| (day, given.maybe("seine_at")));
    let seine = match given.maybe("seine") {
        Some(0.0) => SeineWish::No,
        Some(held_h) => SeineWish::Held { held_h, at: seine_at },
        None => SeineWish::AsTold,
    };
    let open_at = match (given.day("open_day"), given.maybe("open_at")) {
        (None, None) => None,
        (day, hour) => Some((day.unwrap_or(on), hour)),
    };
    let pumps = given.maybe("pumps").map(|count| {
        let named = &card.emptying.pumps;
        named[..count as usize].to_vec()
    });
    let wish = Wish {
        catch_day: given.day("day"),
        catch_at_h: given.maybe("at"),
        seine,
        open_at,
        pumps,
        extra_m3_h: given.maybe("extra"),
        outlet_water_m,
        outlet_hours,
        blocked_fraction: given.maybe("blocked").unwrap_or(0.0),
        level_m: given.maybe("level"),
        catch_depth_m: depth_m,
        well: is_well,
    };
    Ok((wish, given))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ditch_is_told_by_one_height_or_by_hours_and_what_cannot_be_read_is_named() {
        let feet = |row: &OutletHour| ((row.height_m / 0.3048 * 10.0).round() / 10.0, row.hour, row.day);
        let rows = |text: &str| outlet_water(text).expect("it reads").1.iter().map(feet).collect::<Vec<_>>();
        assert_eq!(outlet_water("2 ft"), Ok((Some(0.6096), Vec::new())));
        assert_eq!(rows("1 ft at 4 a.m., 2 ft at 10:30"), [(1.0, 4.0, None), (2.0, 10.5, None)]);
        let day = Day::parse("2011-10-02");
        assert_eq!(rows("1 ft at 22:00; 2 ft at 2011-10-02 04:00"), [(1.0, 22.0, None), (2.0, 4.0, day)]);
        let wrong = |text: &str| outlet_water(text).expect_err("it does not").0;
        assert_eq!(wrong("1 ft at soup, 2 ft at 4:00"), "soup");
        assert_eq!(wrong("1 ft, 2 ft at 4:00"), "1 ft");
        assert_eq!(wrong("1 ft at 3:00, 99 ft at 4:00"), "99 ft");
    }
}
