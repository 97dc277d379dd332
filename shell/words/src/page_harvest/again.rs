//! The day told again as it goes: when it is likely done, what still comes, what is learnt.

use farm::facts::{ColdOf, DayRecord, Place, Tub, same_tub, tubs as tubs_of};
use season::day::{Again, DaySheet};
use season::harvest::Task;
use units::{Instant, Zone};

use super::night::when_at;
use super::{at, total};
use crate::figures::{Manner, clock, depth, grouped, mass, span, stopped};

/// Head of the tubs.
pub const TUBS: &str = "Tubs of slurry, live tanks";
/// What the reckoning stands on.
const AGAIN_HOW: &str = "Lived on from here under every future that agrees with what is caught. Time of day, hands and water are as entered; what nobody entered goes as rehearsed.";

fn hour(h: f64, manner: Manner) -> String {
    clock((3600.0 * h.rem_euclid(24.0)).round() as i32, manner)
}

/// Above what the hours stand on.
pub const RESTS_ON: &str = "What these hours stand on";

/// When it is likely done, what still comes and what to do about it; `sheet` is the day as it was rehearsed.
pub fn again(again: &Again, sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let told = &again.told;
    let face = |h: f64| hour(h, manner);
    let rehearsed = sheet.crews.first().filter(|_| sheet.is_planned).map(|crew| crew.told.finish_h.middle);
    let mut said = Vec::new();
    let beside = rehearsed.map_or(String::new(), |h| format!("; rehearsed with everybody it was {}", face(h)));
    let hands = match again.hands_are_counted {
        true => format!("with the {} who are here", again.hands),
        false => format!("with all {} who may come, since nobody wrote who is here", again.hands),
    };
    said.push(stopped(format!(
        "Likely done at {} (8 in 10: {} to {}), {hands}{beside}",
        face(told.finish_h.middle),
        face(told.finish_h.low),
        face(told.finish_h.high)
    )));
    let more_kg = told.caught_kg.middle;
    if more_kg > 0.5 {
        said.push(stopped(format!(
            "About {} more come out of the water, the last basket about {}",
            mass(more_kg, manner),
            face(told.out_h.middle)
        )));
    } else {
        said.push("Hardly anything more is likely to come out of the water.".to_owned());
    }
    if told.left_kg.middle + told.stranded_kg.middle > 2.0 {
        said.push(format!(
            "With these hands about {} stay in the water or the mud: hold the water, or find more hands.",
            mass(told.left_kg.middle + told.stranded_kg.middle, manner)
        ));
    }
    if told.undone_kg.middle > 2.0 {
        said.push(format!(
            "About {} would lie on ice, not packed, when the shift is over: pack it whole, or ice it again for the morning.",
            mass(told.undone_kg.middle, manner)
        ));
    }
    said.extend(ice(again, sheet, manner).filter(|(_, is_short)| *is_short).map(|(ice, _)| ice));
    if again.is_held {
        said.push("The water is held: write it down at Night watch when it is let go on.".to_owned());
    }
    if again.level_is_odd {
        said.push("The level read last is none that the rehearsed way down comes to: these hours do not reckon with it. Read it again.".to_owned());
    }
    if again.agree == 0 {
        said.push("More is caught than any future held: how much is still in the water nobody knows.".to_owned());
    }
    said
}

/// What the hours stand on: water, ice, paces, and what nobody entered.
pub fn rests_on(
    again: &Again,
    sheet: &DaySheet,
    record: &DayRecord,
    now: Instant,
    zone: &Zone,
    manner: Manner,
) -> Vec<String> {
    let mut said = Vec::new();
    if again.water_is_guessed {
        let read = match record.water() {
            Some((below_m, when)) => format!(
                "The level read last, {} below full at {}, is too old to go by",
                depth(below_m, manner),
                when_at(when, now, zone, manner)
            ),
            None => "No level is read".to_owned(),
        };
        said.push(format!("{read}: the water is taken to stand at the net's depth since the first basket. Read the stick at Water's edge."));
    } else if again.water_later_h.abs() > 0.2 {
        let than = if again.water_later_h > 0.0 { "later" } else { "sooner" };
        said.push(format!("The water is {} {than} than rehearsed.", span(again.water_later_h.abs())));
    }
    said.extend(ice(again, sheet, manner).filter(|(_, is_short)| !*is_short).map(|(ice, _)| ice));
    said.extend(again.slower.iter().filter_map(|&(task, factor)| pace(task, factor)));
    if again.moves_are_guessed {
        said.push(
            "Nothing is written as moved on from the tubs: the table is taken at its usual pace. Entries at Table and store make this hour surer."
                .to_owned(),
        );
    }
    said.push(AGAIN_HOW.to_owned());
    said
}

/// The ice that is left, and whether it is too little.
fn ice(again: &Again, sheet: &DaySheet, manner: Manner) -> Option<(String, bool)> {
    if sheet.ice_have_kg <= 0.0 {
        return None;
    }
    let needs_kg = again.told.whole_kg.middle.max(0.0) + again.told.tails_kg.middle.max(0.0);
    let per_kg = sheet.ice_rule_kg / (sheet.mass_kg.middle - sheet.crews.first()?.told.live_kg.middle).max(1.0);
    let more_kg = (again.told.caught_kg.middle - again.told.live_kg.middle).max(0.0).min(needs_kg.max(0.0)) * per_kg;
    let by = if again.ice_is_entered {
        "of what the sheet asks for, by what was put in or by the rule, whichever is more"
    } else {
        "of what the sheet asks for, by the rule, since none was entered"
    };
    let left = mass(again.ice_left_kg, manner);
    Some(if again.ice_left_kg + 1.0 < more_kg {
        let said = format!(
            "Ice left is about {left} ({by}), and what is still to come takes about {}: send for more now.",
            mass(more_kg, manner)
        );
        (said, true)
    } else {
        (format!("Ice left is about {left}, {by}."), false)
    })
}

fn pace(task: Task, factor: f64) -> Option<String> {
    let name = match task {
        Task::Gather => "Gathering by hand",
        Task::Bag => "Filling baskets from net and basin",
        Task::Head => "Heading",
        _ => return None,
    };
    let percent = 100.0 * (factor - 1.0).abs();
    if percent < 10.0 {
        return None;
    }
    let than = if factor > 1.0 { "slower" } else { "quicker" };
    Some(format!("{name} is taken {percent:.0} % {than} than rehearsed, from the hours of today's entries."))
}

/// Each tub with what is in it, and when it is cold; `dwell_min` in the slurry until the thickest are cold.
pub fn tubs(
    record: &DayRecord,
    dwell_min: Option<f64>,
    now: Instant,
    zone: &Zone,
    manner: Manner,
) -> Vec<(String, String, bool)> {
    let chill = tubs_of(std::slice::from_ref(record), Place::Chill);
    let live = tubs_of(std::slice::from_ref(record), Place::Live);
    let each = chill.iter().filter_map(|one| tub(record, one, dwell_min, now, zone, manner));
    let odd = chill.iter().map(|one| ("Tub", one)).chain(live.iter().map(|one| ("Live tank", one)));
    let tanks = live.iter().filter_map(|one| live_tank(record, one, zone, manner));
    each.chain(tanks).chain(odd.filter_map(|(what, one)| uneven(what, one, manner))).collect()
}

/// What is in a live tank by what was written, and what was taken out of it by count alone.
fn live_tank(record: &DayRecord, tank: &Tub, zone: &Zone, manner: Manner) -> Option<(String, String, bool)> {
    let name =
        tank.name.as_deref().map_or_else(|| "Live tank without a name".to_owned(), |name| named("Live tank", name));
    if tank.held_kg < TUB_LEAST_KG {
        let since = tank.last_out.map(|when| format!("empty since {}", at(when, zone, manner)));
        return Some((name, since?, false));
    }
    let mut said = format!("{}, the last in at {}", total(tank.held_kg, manner), at(tank.last_in?, zone, manner));
    let is_it = |name: Option<&str>| same_tub(name, tank.name.as_deref());
    // What was weighed out as dead since a count is no longer in the weight.
    let weighed_out = record.moved.iter().filter(|one| one.from == Place::Live && one.to == Place::Dead);
    let weighed_out = weighed_out.filter(|one| is_it(one.out_tub.as_deref())).map(|one| one.written.at).max();
    let of_it = record.colds.iter().filter(|cold| {
        cold.of == ColdOf::Live
            && is_it(cold.written.tub.as_deref())
            && weighed_out.is_none_or(|at| cold.written.at > at)
    });
    let dead: f64 = of_it.filter_map(|cold| cold.dead_count).sum();
    if dead > 0.0 {
        said.push_str(&format!(
            "; {} dead were taken out by count: weigh them and write them as moved from live to dead, or they are still in this weight",
            grouped(dead)
        ));
    }
    Some((name, said, false))
}

/// What does not come out even in a tub or tank: more than drips and than scales differ by.
fn uneven(what: &str, tub: &Tub, manner: Manner) -> Option<(String, String, bool)> {
    let weight = |kg: f64| total(kg, manner);
    let name = tub.name.as_deref().map_or_else(|| format!("{what} without a name"), |name| named(what, name));
    let said = match (tub.over_kg > UNEVEN_KG, tub.lost_kg > UNEVEN_KG) {
        (true, _) => format!(
            "{} more came out than was written down as put in: was it another one, or was a basket not written?",
            weight(tub.over_kg)
        ),
        (_, true) => format!(
            "written down as empty with {} still in it by what was written: where did they go? Mend the weight, or write the move.",
            weight(tub.lost_kg)
        ),
        _ => return None,
    };
    Some((name, said, true))
}

fn named(what: &str, name: &str) -> String {
    let bare = ["Tub ", "tub ", "Tank ", "tank "].iter().find_map(|word| name.strip_prefix(word)).unwrap_or(name);
    format!("{what} {bare}")
}

/// Less than this is what drips and what scales differ by, kg.
pub(super) const TUB_LEAST_KG: f64 = 0.25;
/// More than this is asked about where a tub does not come out even, kg: two baskets' scale steps and what clings (our guess).
const UNEVEN_KG: f64 = 1.0;

fn tub(
    record: &DayRecord,
    tub: &Tub,
    dwell_min: Option<f64>,
    now: Instant,
    zone: &Zone,
    manner: Manner,
) -> Option<(String, String, bool)> {
    let name = tub.name.as_deref()?;
    let title = format!("Tub {}", name.strip_prefix("Tub ").or(name.strip_prefix("tub ")).unwrap_or(name));
    let is_it = |other: &Option<String>| same_tub(other.as_deref(), Some(name));
    if tub.held_kg < TUB_LEAST_KG {
        let since = tub.last_out.map(|when| format!("empty since {}", at(when, zone, manner)));
        return Some((title, since.unwrap_or_else(|| "empty".to_owned()), false));
    }
    let (held_kg, last) = (tub.held_kg, tub.last_in?);
    let mut said = format!("{}, the last in at {}", total(held_kg, manner), at(last, zone, manner));
    let probed = record.colds.iter().rev().find(|cold| {
        cold.of == ColdOf::Core
            && is_it(&cold.written.tub)
            && tub.is_after_last_in(&cold.written)
            && cold.temp_c.is_some()
    });
    let mut overdue = false;
    if let Some(cold) = probed {
        let when = at(cold.written.at, zone, manner);
        said.push_str(&match cold.within() {
            Some(true) => format!(": cold through at {when}"),
            _ => format!(": not cold through at {when}, probe again"),
        });
        overdue = cold.within() != Some(true);
    } else if let Some(minutes) = dwell_min {
        let cold_at = Instant(last.0 + (60.0 * minutes) as i64);
        overdue = now >= cold_at;
        let when = at(cold_at, zone, manner);
        said.push_str(&if overdue {
            format!(": cold by {when} if ice was floating; probe the thickest now")
        } else {
            format!(": cold about {when}, probe then")
        });
    }
    Some((title, said, overdue))
}
