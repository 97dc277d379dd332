//! How a day closes: whether its sums meet, who is out, what is still to be done at the pond.

use farm::facts::{Closed, DayRecord, Place};
use season::harvest::balance::{TOLERANCE, Unclosed};
use units::{Day, Zone};

use super::{NOT_CLOSED, at, place, total};
use crate::figures::{Manner, date, grouped, stopped};

/// Less than this in a tank is what scales differ by, kg.
const TANK_LEAST_KG: f64 = 0.25;

/// Whether everything that left the water is somewhere: sentences, and whether a reason is asked for.
pub fn close(record: &DayRecord, manner: Manner) -> (Vec<String>, bool) {
    let caught = record.caught_kg();
    if caught <= 0.0 {
        return (vec!["Nothing was weighed: there is nothing to add up.".to_owned()], false);
    }
    let unclosed = season::day_close::unclosed(record);
    let mut said: Vec<String> = unclosed.iter().map(|one| not_closed(*one, manner)).collect();
    if unclosed.is_empty() {
        let all = total(caught, manner);
        said.push(format!("The sums meet: all of the {all} is somewhere, within {:.0} %.", 100.0 * TOLERANCE));
    }
    for at in [Place::Table, Place::Chill, Place::Live, Place::Store] {
        let kg = record.held_kg(at);
        let name = place(at).to_lowercase();
        if kg < -TOLERANCE * caught {
            said.push(format!("{} more left the {name} than came to it.", total(-kg, manner)));
        } else if kg > TOLERANCE * caught {
            said.push(format!("{} is still in the {name}.", total(kg, manner)));
        }
    }
    (said, !unclosed.is_empty())
}

fn not_closed(one: Unclosed, manner: Manner) -> String {
    match one {
        Unclosed::Missing(kg) => {
            format!("{} was weighed and is nowhere: which basket was not moved on?", total(kg, manner))
        }
        Unclosed::TooMuch(kg) => format!("{} more is written than was caught: look at the entries.", total(kg, manner)),
        Unclosed::Heading(kg) if kg < 0.0 => format!(
            "{} came to the table and is neither tails nor waste: weigh what lies there, or heads and shells.",
            total(-kg, manner)
        ),
        Unclosed::Heading(kg) => format!("Tails and heads are {} more than came to the table.", total(kg, manner)),
        Unclosed::TailShare(share) => {
            format!("Tails are {:.0} % of what was headed, which no animal gives: look at the entries.", 100.0 * share)
        }
    }
}

/// What was written when ponds were closed, and what is still to be done before the day is over.
pub fn closed(record: &DayRecord, zone: &Zone, manner: Manner) -> Vec<(String, bool)> {
    let Some(last) = record.closed.last() else {
        return vec![(NOT_CLOSED.to_owned(), false)];
    };
    if let Some((people, when)) = record.in_water().filter(|(people, when)| *people > 0.0 && *when >= last.written.at) {
        let when = at(when, zone, manner);
        return vec![(
            format!("{} were in the water at {when}, after it was closed: count everybody out again.", grouped(people)),
            true,
        )];
    }
    let mut said = vec![match last.all_out {
        true => (stopped(format!("Everybody was counted out at {}", counted_out(record, last, zone, manner))), false),
        false => ("Not everybody is out of the water: count again, by name.".to_owned(), true),
    }];
    let here = record.names_here();
    if !here.is_empty() {
        said.push((
            format!(
                "Not written as gone home: {}. Look for them before anything else, then write it at Who is here.",
                here.join(", ")
            ),
            true,
        ));
    }
    said.push(match last.none_left {
        Some(true) => ("No live animal is left in the pond or at its outlet, and none was let out.".to_owned(), false),
        Some(false) => ("Live animals are left: walk the pools again, and keep the outlet screened.".to_owned(), true),
        None => ("Whether live animals are left is not noted.".to_owned(), false),
    });
    let live_kg = record.held_kg(Place::Live);
    if live_kg > TANK_LEAST_KG {
        let hold = total(live_kg, manner);
        said.push((
            format!(
                "The live tanks still hold {hold} of it: oxygen, warmth and dead every two hours, the night through."
            ),
            false,
        ));
    }
    said.extend(walked(record, manner).into_iter().map(|line| (line, false)));
    match record.closed.iter().rev().find_map(|one| one.gear_back) {
        Some(true) => said.push(("What was lent is clean and on its way back.".to_owned(), false)),
        Some(false) => said.push((
            "What was lent is not on its way back yet: rinse, dry and count it; mud carries disease from pond to pond."
                .to_owned(),
            true,
        )),
        None => {}
    }
    said.extend(last.reason.as_ref().map(|reason| (format!("Why the sums do not meet: {reason}"), false)));
    said
}

/// A pond that was closed as empty with far less out of it than was thought to be in it, kg: low, middle, high.
pub fn too_few(record: &DayRecord, expected: Option<(f64, f64, f64)>, manner: Manner) -> Option<String> {
    let (low_kg, middle_kg, _) = expected?;
    let last = record.closed.last().filter(|closed| closed.all_out && closed.none_left == Some(true))?;
    let came_kg = record.came_out_kg();
    (came_kg < low_kg && last.reason.is_none()).then(|| {
        format!(
            "It is closed as empty, and only {} came out where {} was likely and {} at the least thought to be in it: walk pools, weeds and the outlet's \
             screen again, or write the reason at closing.",
            total(came_kg, manner),
            total(middle_kg, manner),
            total(low_kg, manner)
        )
    })
}

/// The hour at which everybody was counted out, with its day where that is not the day of the catch.
fn counted_out(record: &DayRecord, last: &Closed, zone: &Zone, manner: Manner) -> String {
    let hour = at(last.written.at, zone, manner);
    let day = zone.day_and_second(last.written.at).0;
    let caught = record.baskets.last().map(|basket| zone.day_and_second(basket.written.at).0);
    if caught.is_none_or(|caught| caught == day) { hour } else { format!("{hour} on {}", date(day)) }
}

/// The second walk, and what it adds.
fn walked(record: &DayRecord, manner: Manner) -> Vec<String> {
    let Some(last) = record.closed.iter().rev().find(|one| one.second_walk_kg.is_some()) else {
        return vec!["Walk every puddle once more at the next first light, and note what it brings.".to_owned()];
    };
    let kg = last.second_walk_kg.unwrap_or(0.0);
    let brought =
        format!("The second walk brought {}", if kg > 0.0 { total(kg, manner) } else { "nothing".to_owned() });
    match (record.walked_kg(), record.baskets.is_empty()) {
        (added, false) if added > 0.0 => vec![
            format!("{brought}: with it {} came out.", total(record.came_out_kg(), manner)),
            "It stands in no tub: what is good goes over the scale as well, and counts once.".to_owned(),
        ],
        _ if kg > 0.0 && last.is_weighed => vec![format!("{brought}, weighed in baskets of its own day.")],
        _ => vec![format!("{brought}.")],
    }
}

/// The same pond by pond, on a board of several: each with its name.
pub fn closed_by_pond(record: &DayRecord, ponds: &[(&str, &str)], zone: &Zone, manner: Manner) -> Vec<(String, bool)> {
    let mut said = Vec::new();
    for (id, name) in ponds {
        let of = record.of_pond(id);
        if of.baskets.is_empty() && of.closed.is_empty() && of.in_water().is_none_or(|(people, _)| people < 1.0) {
            continue;
        }
        let lines = closed(&of, zone, manner);
        // What is wrong with any of them, else how the first stands.
        let told = lines.iter().filter(|(_, wrong)| *wrong).cloned();
        let told: Vec<(String, bool)> =
            if lines.iter().any(|(_, wrong)| *wrong) { told.collect() } else { lines[..1].to_vec() };
        said.extend(told.into_iter().map(|(line, wrong)| (format!("{name}: {line}"), wrong)));
    }
    said
}

/// What is still to be done at a pond that came out yesterday or the day before.
pub fn walk_again(pond: &str, on: Day, is_yesterday: bool) -> String {
    let when = if is_yesterday { "yesterday".to_owned() } else { format!("on {}", date(on)) };
    format!("{pond} came out {when}: walk its puddles once more at first light, and write down what they bring.")
}

/// A pond of which something was weighed and that nobody wrote down as empty.
pub fn still_full(pond: &str, kg: f64, on: Day, manner: Manner) -> String {
    format!(
        "{} of {pond} was weighed on {} and the pond still counts as full: is it empty? Write its catch.",
        total(kg, manner),
        date(on)
    )
}
