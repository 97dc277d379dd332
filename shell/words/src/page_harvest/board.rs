//! The board and the record of a harvest day in sentences.

use farm::facts::{Basket, Cold, ColdOf, DayRecord, LIVE_OXYGEN_LEAST_MG_L, Place, same_tub, tubs};
use units::{Day, Instant, Zone};

use super::again::TUB_LEAST_KG;
use super::night::when_at;
use super::{NOTHING, cold_of, place, total, weight, word};
use crate::figures::{Manner, clock, date, grouped, span, stopped};

/// The answer of the board.
pub fn headline(record: &DayRecord, pond: Option<&str>, manner: Manner) -> String {
    let name = pond.map_or(String::new(), |pond| format!("{pond}: "));
    match record.baskets.len() {
        0 => format!("{name}{}", if pond.is_some() { "nothing is weighed yet" } else { NOTHING }),
        1 => format!("{name}{} caught, in one basket", total(record.caught_kg(), manner)),
        n => format!("{name}{} caught, in {n} baskets", total(record.caught_kg(), manner)),
    }
}

/// How fast it goes, and what that means against what was expected in the pond, kg: low, middle, high.
pub fn pace(
    record: &DayRecord,
    now: Instant,
    expected_kg: Option<(f64, f64, f64)>,
    is_told_again: bool,
    zone: &Zone,
    manner: Manner,
) -> Vec<String> {
    let mut said = Vec::new();
    let caught = record.caught_kg();
    let pace = record.pace_kg_h(now, 45.0);
    match pace {
        Some(pace) if pace > 0.0 => {
            said.push(format!("{} an hour over the last three quarters of an hour.", total(pace, manner)))
        }
        Some(_) => said.push("Nothing was weighed in the last three quarters of an hour.".to_owned()),
        None => {}
    }
    if let Some((low, middle, high)) = expected_kg {
        said.push(format!(
            "In the pond were about {} ({} to {}): {} of the likely weight is out.",
            total(middle, manner),
            total(low, manner),
            total(high, manner),
            if middle > 0.0 { format!("{:.0} %", 100.0 * caught / middle) } else { "nothing".to_owned() }
        ));
        // Where the day is told again as it goes, that says more than its pace does.
        if let Some(pace) = pace.filter(|pace| *pace > 0.0 && !is_told_again) {
            let until = |kg: f64| Instant(now.0 + (3600.0 * (kg - caught).max(0.0) / pace) as i64);
            let face = |at: Instant| clock(zone.day_and_second(at).1, manner);
            said.push(stopped(if caught < middle {
                let (likely, most) = (face(until(middle)), face(until(high)));
                format!("At this pace the likely weight is out about {likely}, the most of it by {most}")
            } else {
                let most = face(until(high));
                format!("More than the likely weight is out; at this pace the most that was thought is out by {most}")
            }));
        }
    }
    said
}

/// Where everything is: place and weight, what is empty left out.
pub fn held(record: &DayRecord, manner: Manner) -> Vec<(&'static str, String)> {
    let mut rows: Vec<(&'static str, String)> = Place::ALL
        .iter()
        .map(|(_, at)| (*at, record.held_kg(*at)))
        .filter(|(_, kg)| kg.abs() > 0.005)
        .map(|(at, kg)| {
            (
                place(at),
                if kg < 0.0 {
                    format!("{} more was taken out than was put in", total(-kg, manner))
                } else {
                    total(kg, manner)
                },
            )
        })
        .collect();
    let by_hand = record.by_hand_kg();
    if by_hand > 0.0 {
        rows.push((
            "Gathered by hand",
            format!("{} ({:.0} %)", total(by_hand, manner), 100.0 * by_hand / record.caught_kg()),
        ));
    }
    if record.ice_kg() > 0.0 {
        rows.push(("Ice put in", total(record.ice_kg(), manner)));
    }
    rows
}

/// Entries that count for nothing yet.
pub fn unsettled(n: usize) -> String {
    match n {
        1 => {
            "One entry of the day does not count, or not all of it: mended twice, or a figure cannot be read. Look at the log.".to_owned()
        }
        n => format!("{n} entries of the day do not count, or not all of them: mended twice, or a figure cannot be read. Look at the log."),
    }
}

/// A basket in a line.
pub fn basket(basket: &Basket, zone: &Zone, manner: Manner) -> String {
    let count = basket.count.map_or(String::new(), |count| format!(", {} animals", grouped(count)));
    let tub = basket.written.tub.as_deref().map_or(String::new(), |tub| format!(" {tub}"));
    format!(
        "{}: {} to {}{tub}{count}",
        at(basket.written.at, zone, manner),
        weight(basket.net_kg, manner),
        place(basket.to).to_lowercase()
    )
}

/// An address that names a pond that is not here.
pub fn no_such_pond(typed: &str) -> String {
    format!("There is no pond \"{typed}\" here: all ponds are shown.")
}

/// An address that names a day that is none.
pub fn no_such_day(typed: &str) -> String {
    format!("\"{typed}\" is no day, as 2026-10-03 is: today is shown.")
}

/// Baskets of a pond that the farm does not have.
pub fn stranger(pond: &str) -> String {
    format!(
        "Baskets are written of a pond \"{pond}\", which is not here: they count in this sum and in no pond's. Mend them in the log."
    )
}

/// The hour of something.
pub fn at(at: Instant, zone: &Zone, manner: Manner) -> String {
    clock(zone.day_and_second(at).1, manner)
}

/// A reading of cold, against its limit.
pub fn reading(cold: &Cold, manner: Manner) -> String {
    let mut said = Vec::new();
    said.extend(cold.temp_c.map(|c| degrees_fine(c, manner)));
    said.extend(cold.oxygen_mg_l.map(|mg_l| format!("oxygen {mg_l:.1} mg/L")));
    said.extend(cold.dead_count.map(|dead| format!("{} dead taken out", grouped(dead))));
    said.extend(cold.ice_seen.map(|seen| if seen { "ice floating" } else { "no ice floating" }.to_owned()));
    said.extend(cold.ice_kg.map(|kg| format!("{} of ice put in", total(kg, manner))));
    said.join(", ")
}

/// Degrees to a tenth: a limit of a degree and a half is not read from whole ones.
pub(crate) fn degrees_fine(c: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.1} °F", c * 1.8 + 32.0),
        Manner::Metric => format!("{c:.1} °C"),
    }
}

/// The limit of what was looked at.
pub fn limit(of: ColdOf, manner: Manner) -> String {
    let (least, most) = of.limits_c();
    match of {
        ColdOf::Live => format!(
            "{} to {}, oxygen {LIVE_OXYGEN_LEAST_MG_L:.0} mg/L or more",
            degrees_fine(least, manner),
            degrees_fine(most, manner)
        ),
        ColdOf::Probe => format!("{} to {}", degrees_fine(least, manner), degrees_fine(most, manner)),
        ColdOf::Slurry => format!("{} or less before the next lot, ice floating", degrees_fine(most, manner)),
        ColdOf::Core | ColdOf::Store => format!("{} or less", degrees_fine(most, manner)),
    }
}

/// A row of the record: time, what, reading, limit, within, what was done, by whom.
pub fn record_row(cold: &Cold, zone: &Zone, manner: Manner) -> [String; 7] {
    let tub = cold.written.tub.as_deref().map_or(String::new(), |tub| format!(" {tub}"));
    [
        at(cold.written.at, zone, manner),
        format!("{}{tub}", cold_of(cold.of)),
        reading(cold, manner),
        limit(cold.of, manner),
        match cold.within() {
            Some(true) => "yes",
            Some(false) => "NO",
            None => "not read",
        }
        .to_owned(),
        cold.action.clone().unwrap_or_default(),
        cold.written.person.clone(),
    ]
}

/// What to do when a reading is beyond its limit.
pub fn beyond(of: ColdOf) -> &'static str {
    match of {
        ColdOf::Slurry => "More ice, stir, no more animals in until it is cold again.",
        ColdOf::Core => "Leave them in, more ice, probe again in ten minutes.",
        ColdOf::Live => "Fewer in the tank, more air; no live sale from it until it is within limits again.",
        ColdOf::Store => "Close the door, ice on top of the packs, find the fault; note how long it was warm.",
        ColdOf::Probe => "Do not trust this thermometer: take another.",
    }
}

/// Where what a look speaks of lies.
fn came_from(of: ColdOf) -> Option<Place> {
    match of {
        ColdOf::Slurry | ColdOf::Core => Some(Place::Chill),
        ColdOf::Live => Some(Place::Live),
        ColdOf::Probe | ColdOf::Store => None,
    }
}

/// Whether what a look speaks of was taken out since, all of it: of a tub that still holds some it goes on being true.
fn is_taken_out(record: &DayRecord, cold: &Cold) -> bool {
    let Some(place) = came_from(cold.of) else { return false };
    let name = cold.written.tub.as_deref();
    let all = tubs(std::slice::from_ref(record), place);
    let left_kg: f64 = match name {
        Some(_) => all.iter().filter(|tub| same_tub(tub.name.as_deref(), name)).map(|tub| tub.held_kg.max(0.0)).sum(),
        None => all.iter().map(|tub| tub.held_kg.max(0.0)).sum(),
    };
    let moved = record.moved.iter().any(|moved| {
        moved.from == place && same_tub(moved.out_tub.as_deref(), name) && moved.written.at > cold.written.at
    });
    moved && left_kg < TUB_LEAST_KG
}

/// Whether anything is written as put into the tub or tank that a look speaks of; without a name it speaks of all.
fn is_known(record: &DayRecord, cold: &Cold) -> bool {
    let (Some(place), Some(name)) = (came_from(cold.of), cold.written.tub.as_deref()) else { return true };
    tubs(std::slice::from_ref(record), place).iter().any(|tub| same_tub(tub.name.as_deref(), Some(name)))
}

/// What must be known beside a look at a tub: animals that went in after it, or that nothing is known to be in it.
fn since_put_in(record: &DayRecord, cold: &Cold, place: Option<Place>) -> &'static str {
    let (Some(place), Some(name)) = (place, cold.written.tub.as_deref()) else { return "" };
    let all = tubs(std::slice::from_ref(record), place);
    match all.iter().find(|tub| same_tub(tub.name.as_deref(), Some(name))) {
        // Slurry is cooled before the first basket.
        None if cold.of == ColdOf::Slurry => "",
        None => "; nothing is written as put into it: is its name right?",
        Some(tub) if cold.of == ColdOf::Core && !tub.is_after_last_in(&cold.written) => {
            "; warmer animals went in since: probe again"
        }
        Some(_) => "",
    }
}

/// The last look at each tub, tank or store: what, reading, whether within, how long ago.
pub fn colds(record: &DayRecord, pond: Option<&str>, now: Instant, manner: Manner) -> Vec<(String, String, bool)> {
    let mut last: Vec<&Cold> = Vec::new();
    for cold in record.colds.iter().rev() {
        if !last
            .iter()
            .any(|one| one.of == cold.of && same_tub(one.written.tub.as_deref(), cold.written.tub.as_deref()))
        {
            last.push(cold);
        }
    }
    last.sort_by_key(|cold| (cold.of as u8, cold.written.tub.clone()));
    // On one pond's board a tank that holds nothing of it, and animals of a tub that holds none, say nothing; slurry is cooled before the first basket.
    last.retain(|cold| {
        let is_of_all = pond.is_none() || cold.of == ColdOf::Slurry;
        is_of_all || cold.written.pond.as_deref() == pond || is_known(record, cold)
    });
    last.into_iter()
        .map(|cold| {
            let tub = cold.written.tub.as_deref().map_or(String::new(), |tub| format!(" {tub}"));
            let ago = span(((now.0 - cold.written.at.0) as f64 / 3600.0).max(0.0));
            let mut said = format!("{}, {ago} ago", reading(cold, manner));
            // Out of the tub, they are no longer left in it.
            let is_out = is_taken_out(record, cold);
            if is_out {
                said.push_str("; taken out since");
            }
            said.push_str(since_put_in(record, cold, came_from(cold.of).filter(|_| !is_out)));
            let is_beyond = cold.within() == Some(false) && !is_out;
            if is_beyond {
                said.push_str(". ");
                said.push_str(beyond(cold.of));
            }
            (format!("{}{tub}", cold_of(cold.of)), said, !is_beyond)
        })
        .collect()
}

/// Water and people. `ponds` are all ponds with their names where the board is of all: a level and a pump are of one pond.
pub fn water(
    record: &DayRecord,
    ponds: &[(&str, &str)],
    now: Instant,
    zone: &Zone,
    manner: Manner,
) -> Vec<(&'static str, String)> {
    let mut rows = match ponds {
        [] => of_water(record, now, zone, manner),
        _ => {
            let of = |(id, name): &(&str, &str)| {
                let rows = of_water(&record.of_pond(id), now, zone, manner);
                rows.into_iter().map(|(what, said)| (what, format!("{name}: {said}"))).collect::<Vec<_>>()
            };
            ponds.iter().flat_map(of).collect()
        }
    };
    let here = record.names_here();
    if record.here() > 0 {
        let by_name = format!("{}: {}", here.len(), here.join(", "));
        rows.push((
            "Here",
            match (record.here(), here.len()) {
                (counted, 0) => grouped(counted as f64),
                (counted, named) if counted == named => by_name,
                (counted, _) => format!("{counted} counted, but by name {by_name}: count again, and write every name"),
            },
        ));
    }
    let unknown = record.gone_unknown();
    if !unknown.is_empty() {
        rows.push(("Went home, never came", format!("{}: written otherwise when they came?", unknown.join(", "))));
    }
    if let Some((people, when)) = record.in_water() {
        let old = (now.0 - when.0) > 3600 && people > 0.0;
        let again = if old { ": more than an hour ago, count again" } else { "" };
        rows.push(("People in the water", format!("{} at {}{again}", grouped(people), at(when, zone, manner))));
    }
    rows
}

/// Water, what lies there, drain and pumps.
fn of_water(record: &DayRecord, now: Instant, zone: &Zone, manner: Manner) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    if let Some((below_m, when)) = record.water() {
        rows.push((
            "Water below full",
            format!("{} at {}", crate::figures::depth(below_m, manner), when_at(when, now, zone, manner)),
        ));
    }
    if let Some(passes) = record.edges.iter().rev().find_map(|edge| edge.pass_count) {
        rows.push(("Passes done", grouped(passes)));
    }
    if let Some(stranded) = record.edges.iter().rev().find_map(|edge| edge.stranded.as_deref()) {
        rows.push(("Left lying", word("stranded", stranded).to_lowercase()));
    }
    if let Some(last) = record.watched.last() {
        let mut said = Vec::new();
        said.extend(last.screen.as_deref().map(|text| format!("screen {}", word("screen", text).to_lowercase())));
        said.extend(last.pump.as_deref().map(|text| format!("pump {}", word("pump", text).to_lowercase())));
        if let Some(hours) = last.fuel_h {
            let until = Instant(last.written.at.0 + (3600.0 * hours) as i64);
            said.push(format!("fuel until {}", when_at(until, now, zone, manner)));
        }
        if !said.is_empty() {
            rows.push(("Watch", format!("at {}: {}", when_at(last.written.at, now, zone, manner), said.join(", "))));
        }
    }
    rows
}

/// What was made at the table: tails for whole animals, a share.
pub fn tail_yield(record: &DayRecord) -> Option<String> {
    let at_table = season::day_close::whereabouts(record);
    let tails_kg = at_table.tails_kg.filter(|kg| *kg > 0.0 && at_table.headed_kg > 0.0)?;
    Some(format!("Tails are {:.0} % of the whole weight that was headed.", 100.0 * tails_kg / at_table.headed_kg))
}

/// Title of a day's record.
pub fn of_day(day: Day) -> String {
    format!("{} {}", date(day), day.ymd().0)
}

/// What is wrong with a line of a tally.
pub fn tally_wrong(line: usize, text: &str, why: &str) -> String {
    format!("Line {line}, \"{text}\": {why}")
}

/// A line of a tally without a place.
pub const TALLY_NO_PLACE: &str = "say where it went: live, chill, dead or own.";
/// A line of a tally whose count is none.
pub const TALLY_NO_COUNT: &str = "the number at its end is no whole count.";
