//! The morning's page in words: the answer first, then the plan and how sure it is, then each pond.

use plan::{Flip, Job};
use season::answer::{Band, Outlook, Planned, PondOutlook, Task, TaskKind};
use season::plan;
use units::Day;

use crate::drain::fuel;
use crate::figures::{Manner, clock, day, day_short, degrees_apart, mass, span};

mod first;
mod lines;
mod notes;
mod plan_lines;
mod pond_lines;
mod sure;

#[cfg(test)]
pub(crate) mod tests;

use first::cold_has_it;
pub(crate) use first::first_of_all;
pub(crate) use lines::Lines;
pub use notes::limit_words;
pub(crate) use notes::say_note;
use notes::{caution, notes};
use plan_lines::plan_lines;
use pond_lines::pond_lines;
pub(crate) use sure::{binds, guard, how_sure, not_proved, whole};

/// The whole page, for a terminal.
pub fn page(outlook: &Outlook, manner: Manner) -> String {
    let mut out = Lines::default();
    out.line(&format!("{} on {}", outlook.farm, day(outlook.on)));
    out.blank();
    for sentence in answer(outlook, manner) {
        out.wrapped(&sentence);
    }
    out.blank();
    plan_lines(&mut out, outlook, manner);
    for pond in &outlook.ponds {
        pond_lines(&mut out, pond, outlook.on, manner);
    }
    notes(&mut out, outlook, manner);
    caution(&mut out, outlook);
    out.text
}

/// The answer, in the order a tired person asks: what today, which pond, how long may I wait, what would change it, how old is it.
pub fn answer(outlook: &Outlook, manner: Manner) -> Vec<String> {
    let mut said = first_of_all(outlook, manner);
    said.push(today(outlook, manner));
    said.extend(next_out(outlook, manner));
    said.extend(waiting(outlook, manner));
    said.extend([what_changes_it(outlook, manner), forecast_age(outlook)]);
    said
}

pub(crate) fn when(outlook: &Outlook, at: (Day, i32), manner: Manner) -> String {
    let hour = clock(at.1 * 3600, manner);
    match at.0.0 - outlook.on.0 {
        -1 => format!("{hour} yesterday"),
        0 => format!("{hour} today"),
        1 => format!("{hour} tomorrow"),
        _ => format!("{hour} on {}", day(at.0)),
    }
}

pub(crate) fn by_day(outlook: &Outlook, when: Day) -> String {
    match when.0 - outlook.on.0 {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        2..=6 => crate::figures::weekday(when).to_owned(),
        _ => day(when),
    }
}

fn today(outlook: &Outlook, manner: Manner) -> String {
    if outlook.tasks.is_empty() {
        return "Nothing has to be started, ordered or told today.".to_owned();
    }
    // One line for every pond whose water is to be read, last.
    let mut unread = Vec::new();
    let mut said = Vec::new();
    for task in &outlook.tasks {
        match &task.what {
            TaskKind::ReadWater { pond } => unread.push(pond.clone()),
            _ => said.push(say_task(outlook, task, manner)),
        }
    }
    if !unread.is_empty() {
        said.push(format!("Read the water at dawn in {}: the last reading is missing or old.", notes::listed(&unread)));
    }
    said.join(" ")
}

pub(crate) fn say_task(outlook: &Outlook, task: &Task, manner: Manner) -> String {
    say_task_by(outlook, task, &when(outlook, task.by, manner), manner)
}

/// The same, with its moment as the reader is told it: beneath a day's heading the hour is enough.
pub(crate) fn say_task_by(outlook: &Outlook, task: &Task, by: &str, manner: Manner) -> String {
    match &task.what {
        TaskKind::StartDown { pond, has_drain, pumps, catch_day } => {
            // A drain left shut because only the pump was named would cost the catch: all that is reckoned with is named.
            let the_pumps = pumps.join(" and the ");
            let how = match (has_drain, pumps.is_empty()) {
                (true, true) => format!("Open {pond}'s drain"),
                (true, false) => format!("Open {pond}'s drain and start the {the_pumps}"),
                (false, false) => format!("Start the {the_pumps} on {pond}"),
                (false, true) => format!("Let {pond}'s water down"),
            };
            format!("{how} at {by}, to catch {}.", on_day(outlook, *catch_day))
        }
        TaskKind::GoesDown { pond } => goes_down_unplanned(pond),
        TaskKind::OrderIce { kg, for_day } => {
            format!("Order ice by {by}: {} for {}.", mass(*kg, manner), by_day(outlook, *for_day))
        }
        TaskKind::FetchFuel { pond, fuel_l } => {
            format!("Have {} more of fuel by {by}: {pond}'s water burns it on its way down.", fuel(*fuel_l, manner))
        }
        TaskKind::BookColdRoom { for_day } => format!("Book the cold room by {by} for {}.", by_day(outlook, *for_day)),
        TaskKind::Tell { for_day } => {
            format!("Tell helpers and buyers by {by}: the catch is {}.", on_day(outlook, *for_day))
        }
        TaskKind::Seine { pond } => format!("Seine the large animals out of {pond} from {by}; the pond stays full."),
        TaskKind::NewForecast { age_h } => format!("Get a new forecast: this one is {} old.", span(*age_h)),
        TaskKind::ReadWater { pond } => format!("Read {pond}'s water at dawn: the last reading is missing or old."),
    }
}

/// A pond's water goes down while the plan has no day for it.
fn goes_down_unplanned(pond: &str) -> String {
    format!(
        "{pond}'s water goes down already, and this plan has no day for it within three days of its being down: close its drain and stop its pumps until it has \
         one, or stop another pond's and let this one go on."
    )
}

pub(crate) fn on_day(outlook: &Outlook, when: Day) -> String {
    match when.0 - outlook.on.0 {
        0 | 1 => by_day(outlook, when),
        _ => format!("on {}", by_day(outlook, when)),
    }
}

/// Ponds with a plan, soonest start first.
pub(crate) fn by_start(outlook: &Outlook) -> Vec<&PondOutlook> {
    let mut ponds: Vec<&PondOutlook> = outlook.ponds.iter().filter(|pond| pond.planned.is_some()).collect();
    ponds.sort_by_key(|pond| pond.planned.map(|planned| planned.start));
    ponds
}

/// The ponds to come next, without those whose start stands among today's tasks.
pub(crate) fn next_out(outlook: &Outlook, manner: Manner) -> Option<String> {
    let told = |pond: &PondOutlook| {
        let of = |task: &Task| matches!(&task.what, TaskKind::StartDown { pond: name, .. } if *name == pond.name);
        outlook.tasks.iter().any(of)
    };
    let planned: Vec<(&PondOutlook, Planned)> = by_start(outlook)
        .into_iter()
        .filter(|pond| !told(pond))
        .filter_map(|pond| Some((pond, pond.planned?)))
        .collect();
    if outlook.ponds.iter().all(|pond| pond.planned.is_none()) {
        return Some("No pond can be brought out within the limits named in the farm file.".to_owned());
    }
    if planned.is_empty() {
        return None;
    }
    // Those that must start within two days; else the next one alone.
    let soon = planned.iter().filter(|(_, planned)| planned.start.0.0 - outlook.on.0 < 2).count().max(1);
    let say = |(pond, planned): &(&PondOutlook, Planned)| {
        let by = when(outlook, planned.start, manner);
        let catch = on_day(outlook, planned.catch_day);
        match (planned.parts, planned.second_day) {
            (_, second) if pond.going_down.is_some() => {
                let second = second.map_or(String::new(), |day| format!(" and {}", by_day(outlook, day)));
                format!("{}'s water goes down, to come out {catch}{second}", pond.name)
            }
            (true, rest) => {
                let rest = rest.map_or(String::new(), |day| format!(" and the rest {}", on_day(outlook, day)));
                format!("{}'s large animals are seined {catch}{rest}; its water starts down by {by}", pond.name)
            }
            (false, Some(second)) => {
                format!(
                    "{}'s water must start down by {by}, to come out {catch} and {}",
                    pond.name,
                    by_day(outlook, second)
                )
            }
            (false, None) => format!("{}'s water must start down by {by}, to come out {catch}", pond.name),
        }
    };
    Some(format!("{}.", planned[..soon].iter().map(say).collect::<Vec<_>>().join("; ")))
}

/// The last start that is safe in nine years of ten: by the hours in hand, and by what limits leave. The earlier of the two holds.
pub(crate) fn last_safe_start(outlook: &Outlook, pond: &PondOutlook) -> Option<(Day, i32)> {
    let in_hand = pond.in_hand_one_in_ten_h.map(|left_h| {
        let hour = (f64::from(outlook.now_hour) + left_h).floor() as i32;
        (outlook.on.plus(hour.div_euclid(24)), hour.rem_euclid(24))
    });
    [in_hand, pond.still_out_until].into_iter().flatten().min()
}

/// How long one may still wait, where that reaches beyond today and beyond what has to be done anyway.
pub(crate) fn waiting(outlook: &Outlook, manner: Manner) -> Option<String> {
    let (until, pond) = outlook
        .ponds
        .iter()
        .filter(|pond| !cold_has_it(outlook, pond))
        .filter_map(|pond| Some((pond.free_until?, pond)))
        .filter(|(until, _)| until.0 > outlook.on && outlook.tasks.iter().all(|task| task.by != *until))
        .min_by_key(|(until, _)| *until)?;
    let latest = last_safe_start(outlook, pond).map_or(String::new(), |last| {
        if last > until {
            format!(
                " At the very latest its water must start down by {} to be out before the cold mark in nine years of ten.",
                when(outlook, last, manner)
            )
        } else {
            String::new()
        }
    });
    Some(format!("You may still wait with {} until {} at no cost.{latest}", pond.name, when(outlook, until, manner)))
}

pub(crate) fn what_changes_it(outlook: &Outlook, manner: Manner) -> String {
    let flip = outlook.plan.decision.flips.iter().find(|flip| {
        let key = outlook.plan.signals.get(flip.signal);
        key.is_some_and(|key| in_odds(key) || can_be_told(flip.change, manner))
    });
    match flip {
        None if outlook.forecast.is_none() => "A forecast could change what to do today: there is none.".to_owned(),
        None => "No likely change of the forecast would change what to do today.".to_owned(),
        Some(flip) => {
            let (what, amount) = say_signal(&outlook.plan.signals[flip.signal], flip, manner);
            format!("What would change this: {what} {amount}; then {}.", say_starts(outlook, &flip.to))
        }
    }
}

/// Signals that are chances or sums of cold, not degrees.
fn in_odds(key: &str) -> bool {
    matches!(key, "mark_chance" | "cold_1_4" | "cold_1_10")
}

/// Whether a pond thermometer can tell such a difference: 1 °F, or half a degree Celsius.
fn can_be_told(kelvin: f64, manner: Manner) -> bool {
    match manner {
        Manner::UsCustomary => kelvin.abs() * 1.8 >= 1.0,
        Manner::Metric => kelvin.abs() >= 0.5,
    }
}

fn say_signal(key: &str, flip: &Flip, manner: Manner) -> (&'static str, String) {
    let what = match key {
        "dawn_now" => "water this morning",
        "dawn_low_1_3" => "the coldest dawn water foreseen for the next three days",
        "dawn_low_4_10" => "the coldest dawn water foreseen for days four to ten",
        "dawn_mean_1_5" => "the mean dawn water foreseen for the next five days",
        "cold_1_4" => "the cold foreseen for the next four days",
        "cold_1_10" => "the cold foreseen for the next ten days",
        _ => "the chance of the cold mark before a pond can be out",
    };
    if in_odds(key) {
        return (what, if flip.change > 0.0 { "greater than now" } else { "less than now" }.to_owned());
    }
    let side = if flip.change > 0.0 { "warmer" } else { "colder" };
    (what, format!("{} {side}", degrees_apart(flip.change.abs(), manner)))
}

/// "only " where the plan itself starts more ponds today than are named.
fn only(outlook: &Outlook, starts: &[Job]) -> &'static str {
    let planned = &outlook.plan.decision.today;
    if starts.len() < planned.len() && starts.iter().all(|job| planned.iter().any(|own| own.pond == job.pond)) {
        "only "
    } else {
        ""
    }
}

pub(crate) fn say_starts(outlook: &Outlook, starts: &[Job]) -> String {
    if starts.is_empty() {
        return "wait instead".to_owned();
    }
    let names: Vec<&str> =
        starts.iter().filter_map(|job| outlook.ponds.get(job.pond)).map(|pond| pond.name.as_str()).collect();
    format!("start {}{} today", only(outlook, starts), names.join(" and "))
}

pub(crate) fn forecast_age(outlook: &Outlook) -> String {
    match &outlook.forecast {
        None => "There is no forecast: past years alone speak here.".to_owned(),
        Some(used) if used.age_h < 0.0 => {
            format!("The forecast was issued later this day and reaches to {}.", day(used.last_day))
        }
        Some(used) => format!("The forecast is {} old and reaches to {}.", span(used.age_h), day(used.last_day)),
    }
}

/// The day whose risk a pond runs: that of the rest, where the large animals are taken before.
pub(crate) fn last_taken(planned: &Planned) -> Day {
    planned.second_day.filter(|_| planned.parts).unwrap_or(planned.catch_day)
}

/// The day or days of a catch.
pub(crate) fn catch_days(planned: &Planned) -> String {
    let (first, then) = if planned.parts { ("large animals", ", the rest") } else { ("catch", " and") };
    let second = planned.second_day.map_or(String::new(), |second| format!("{then} {}", day_short(second)));
    format!("{first} {}{second}", day_short(planned.catch_day))
}

pub(crate) fn in_hand(pond: &PondOutlook) -> String {
    let say = |hours: Option<f64>| match hours {
        None => "no cold mark before the season's end".to_owned(),
        Some(hours) if hours <= 0.0 => "none left".to_owned(),
        Some(hours) => span(hours),
    };
    // Water that goes down is started: what is in hand is beyond what emptying and catching still take.
    let left = if pond.going_down.is_some() { "to spare once it is out" } else { "left to start it" };
    match (pond.in_hand_likely_h, pond.in_hand_one_in_ten_h) {
        (None, None) => say(None),
        (None, rare) => format!("likely all season; one year in ten {} {left}", say(rare)),
        (likely, rare) => {
            format!(
                "{} {left} before the cold mark, likely; one year in ten {}; slow animals are lost sooner",
                say(likely),
                say(rare)
            )
        }
    }
}

pub(crate) fn band(band: &Band, say: impl Fn(f64) -> String) -> String {
    format!("{} ({} to {})", say(band.middle), say(band.low), say(band.high))
}
