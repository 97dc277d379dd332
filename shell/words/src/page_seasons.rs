//! What the page of the seasons says: what went into each pond, what came out of it, and where one season ends and the next begins.

use farm::facts::{FromTank, Lot};
use units::Day;

use crate::figures::{Manner, count, date, day, grouped, mass, stopped};

/// Name of the page.
pub const TITLE: &str = "Seasons";
/// Way to it from a pond's page.
pub const SEE: &str = "What went in and what came out, season by season";
/// Between when it came out and what came out.
pub const THEN: &str = ", ";
/// Way to the entry of a catch.
pub const ENTER_CATCH: &str = "Enter a catch";
/// Way to the entry of a stocking.
pub const STOCK_AGAIN: &str = "Stock it again";
/// Head of the part that ends a season.
pub const END_TITLE: &str = "End this season";
/// Its question.
pub const END_DAY: &str = "Last day of the season";
/// Its button.
pub const END: &str = "This season is over";
/// Head of the part that begins one.
pub const BEGIN_TITLE: &str = "Begin the next season";
/// What it does.
pub const BEGIN_SAYS: &str = "The log, the record and the scores of the season before stay as they are. Each pond joins the new season with its \
     next stocking: enter that on the day the animals go in.";
/// Question for its name.
pub const NAME: &str = "What is it called?";
/// Under it.
pub const NAME_HINT: &str = "Any name you will know it by.";
/// Question for the first day.
pub const FIRST_DAY: &str = "First day";
/// Under it.
pub const FIRST_HINT: &str = "No later than its first stocking.";
/// Question for the last day of catch.
pub const LAST_CATCH: &str = "On which day must the last pond be out?";
/// Under it.
pub const LAST_CATCH_HINT: &str = "Nothing is planned after it.";
/// Its button.
pub const BEGIN: &str = "Begin it";
/// Head of the earlier seasons.
pub const EARLIER: &str = "Earlier seasons";
/// Way to how good the mornings were.
pub const SCORES: &str = "How good the mornings were";
/// Above what is wrong.
pub const LOOK_AGAIN: &str = "Look again, please. Nothing is changed yet.";
/// A day that cannot be read.
pub const DAY_WRONG: &str = "Write the day as 2020-10-31.";
/// No name was typed.
pub const NAME_MISSING: &str = "Give it a name.";
/// A name that is too long.
pub const NAME_LONG: &str = "Use a shorter name: 80 letters at most.";
/// The last day of catch lies before the first day, or far off.
pub const LAST_CATCH_WRONG: &str = "Choose a day after the first one and within a year of it.";
/// For those who may not change it.
pub const OWNERS: &str = "The farm's owner ends a season and begins the next.";
/// The day of a season's end lies ahead.
pub const END_AHEAD: &str = "That day is still to come.";

/// A season that nobody gave a name.
pub fn unnamed(starts: Day) -> String {
    format!("Season begun {} {}", date(starts), starts.ymd().0)
}

fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// From when to when.
pub fn days(starts: Day, ends: Option<Day>) -> String {
    let year = |day: Day| format!("{} {}", date(day), day.ymd().0);
    match ends {
        Some(ends) => format!("{} to {}", year(starts), year(ends)),
        None => format!("Since {}", year(starts)),
    }
}

/// What stands where, in a sentence: ponds that hold animals, ponds that are out, what was weighed.
pub fn standing(in_water: &[String], out: usize, caught_kg: f64, manner: Manner) -> String {
    let holds = match in_water {
        [] if out == 0 => "Nothing is stocked yet.".to_owned(),
        [] => "Every pond is out.".to_owned(),
        [one] => stopped(format!("{one} holds animals")),
        several => format!("{} hold animals.", listed(several)),
    };
    let weighed =
        if caught_kg > 0.0 { format!(" {} were weighed so far.", mass(caught_kg, manner)) } else { String::new() };
    let came = match out {
        0 => String::new(),
        1 if !in_water.is_empty() => " One lot came out.".to_owned(),
        _ if in_water.is_empty() => String::new(),
        n => format!(" {n} lots came out."),
    };
    format!("{holds}{came}{weighed}")
}

/// What went in.
pub fn stocked(on: Day, animals: f64, mean_weight_g: f64, either_way: Option<f64>) -> String {
    let either = either_way.filter(|either| *either >= 0.5);
    let either = either.map_or(String::new(), |either| format!(", more or less by {},", grouped(either.round())));
    format!("Stocked {}: {}{either} of {mean_weight_g:.2} g", date(on), grouped(animals.round()))
}

/// Where a lot came from: tank by tank, and the delivery that was in them.
pub fn from_tanks(lot: &Lot) -> Vec<String> {
    let mut said: Vec<String> = lot.from.iter().map(from_tank).collect();
    let mut deliveries: Vec<&(Day, Option<String>)> =
        lot.from.iter().filter_map(|from| from.delivery.as_ref()).collect();
    deliveries.dedup();
    said.extend(deliveries.into_iter().map(|(on, papers)| match papers {
        Some(papers) => format!("Delivery of {}, papers: {papers}", date(*on)),
        None => format!("Delivery of {}, no papers noted", date(*on)),
    }));
    said
}

fn from_tank(from: &FromTank) -> String {
    let grade = match from.grade.as_deref() {
        Some("upper") => ", upper grade",
        Some("lower") => ", lower grade",
        _ => "",
    };
    match from.counted {
        Some((number, weight_g, _)) => {
            format!("From {} on {}: {} of {weight_g:.2} g{grade}", from.tank, date(from.on), grouped(number.round()))
        }
        None => format!("From {}", from.tank),
    }
}

/// When it came out.
pub fn out(on: Option<Day>, is_guessed: bool, today: Day, stocked: Day) -> String {
    match on {
        Some(on) if is_guessed => format!("Out by {}, not entered", date(on)),
        Some(on) => format!("Out {}", date(on)),
        None if today >= stocked => format!("In the water, day {}", today.0 - stocked.0),
        None => "To come".to_owned(),
    }
}

/// Out, and no catch says what it weighed.
const UNWEIGHED: &str = "not weighed";

/// What came out.
pub fn caught(kg: Option<f64>, animals: Option<f64>, is_whole: bool, manner: Manner) -> String {
    match (kg, animals) {
        (None, _) => UNWEIGHED.to_owned(),
        (Some(kg), None) => mass(kg, manner),
        (Some(kg), Some(animals)) if is_whole => format!("{}, about {} animals", mass(kg, manner), count(animals)),
        (Some(kg), Some(animals)) => format!("{}, at least {} animals", mass(kg, manner), count(animals)),
    }
}

/// More out of the pond than went in, by count, or by a weight that no animal has: to be looked at.
pub fn doubtful(kg: Option<f64>, animals: Option<f64>, stocked: f64) -> Option<String> {
    let too_many = animals.is_some_and(|animals| animals > 1.1 * stocked);
    let too_heavy = kg.is_some_and(|kg| kg * 1000.0 > HEAVIEST_G * stocked);
    (too_many || too_heavy)
        .then(|| "More came out than can have been in it: look at the catches in the log.".to_owned())
}

/// Heavier than any crop's mean has been, g.
const HEAVIEST_G: f64 = 120.0;

/// The question an error stands at.
pub fn asked(at: &str) -> &'static str {
    match at {
        "last_day" => END_DAY,
        "name" => NAME,
        "first_day" => FIRST_DAY,
        "last_catch" => LAST_CATCH,
        _ => "",
    }
}

/// Why a season cannot be over yet.
pub fn still_in(ponds: &[String]) -> String {
    let all = listed(ponds);
    let hold = if ponds.len() == 1 { "still holds" } else { "still hold" };
    format!("{all} {hold} animals. Enter the last catch of each first, and say there that the pond is empty.")
}

/// A season's end before its last catch.
pub fn end_early(last: Day) -> String {
    format!("A pond came out on {}: the season cannot have ended before.", day(last))
}

/// A new season that does not begin after the one before.
pub fn begins_early(after: Day) -> String {
    format!("The season before runs to {}: choose a later day.", day(after))
}

/// A stocking of a pond that was not said to be empty.
pub fn not_empty(pond: &str, since: Day) -> String {
    format!(
        "{pond} still holds what was stocked on {}. If it came out, enter its last catch first. Kept as it is, this stocking says that the \
         pond was empty.",
        day(since)
    )
}

/// A second entry of a stocking of the same day.
pub fn same_day(pond: &str) -> String {
    format!(
        "{pond} has a stocking of this day already. This one takes its place: for two tanks into one pond, enter the sum, or count \
         them out of the tanks one by one, which adds up by itself."
    )
}

/// A stocking after the last day of catch.
pub fn after_last_catch(last: Day) -> String {
    format!(
        "The season's last day of catch was {}. Begin the next season first, on the page of the seasons; without it nothing is planned.",
        day(last)
    )
}

/// A catch of a pond that was empty.
pub fn was_empty(pond: &str, since: Day) -> String {
    format!("{pond} has been empty since {}.", day(since))
}

/// A catch before anything went in.
pub fn before_stocking(pond: &str, on: Day) -> String {
    format!("{pond} was stocked on {}, after this catch.", day(on))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_out_than_in_is_doubted() {
        assert_eq!(doubtful(Some(340.0), Some(9_000.0), 10_000.0), None);
        assert!(doubtful(Some(340.0), Some(13_000.0), 10_000.0).is_some(), "by count");
        assert!(doubtful(Some(31_000.0), None, 12_000.0).is_some(), "2.6 kg each");
    }

    #[test]
    fn a_season_tells_what_is_in_and_what_is_out() {
        let name = |text: &str| text.to_owned();
        let said = |of: &[String], out, kg| standing(of, out, kg, Manner::Metric);
        assert_eq!(said(&[], 0, 0.0), "Nothing is stocked yet.");
        assert_eq!(said(&[name("Willow")], 0, 0.0), "Willow holds animals.");
        assert_eq!(
            said(&[name("Willow"), name("Heron")], 1, 120.0),
            "Willow and Heron hold animals. One lot came out. 120 kg were weighed so far."
        );
        assert_eq!(said(&[], 4, 480.0), "Every pond is out. 480 kg were weighed so far.");
    }
}
