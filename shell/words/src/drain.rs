//! A pond emptied by the clock, in words: when to open what, what stands where at which hour, how warm it stays.

use season::drain::question::INPUTS;
use season::drain::{Drain, If, IfWhat, WaterDown, WayOut};
use season::pond::drawdown::What;
use season::pond::drawdown::backwards::{Short, Target};

use crate::figures::{Manner, clock, day, day_short, degrees, degrees_apart, grouped, odds, span, stopped, weekday};

mod care;
mod outside;
mod page;
mod takes;
mod trouble;

pub(crate) use care::fuel;
pub use care::{cautions, fuels, last};
use outside::runs_in;
pub use outside::{early, outside};
pub use page::page;
pub use takes::takes;
pub use trouble::{error, slips};

/// Said wherever the water of an emptied pond is told.
pub const UNCHECKED: &str = "No emptied pond is in any measured data we know of: the water's temperature while it goes down has been checked on none. \
     In a full pond the same reckoning is off by about 1 °F at dawn.";
/// What animals do.
pub const FOLLOW: &str = "Above the mark animals follow the falling water to the drain; below it they stay and strand.";

/// A moment of the answer's clock: "Thursday at 4:10 p.m.", to ten minutes; the date with it when it lies a week off and more.
pub fn at(drain: &Drain, at_h: f64, manner: Manner) -> String {
    let (on, second) = moment(drain, at_h);
    let name = if (on.0 - drain.on.0).abs() < 7 { weekday(on).to_owned() } else { day(on) };
    format!("{name} at {}", clock(second, manner))
}

/// The same for tables: "Thu 29 Sep 4:10 p.m.".
pub fn at_short(drain: &Drain, at_h: f64, manner: Manner) -> String {
    let (on, second) = moment(drain, at_h);
    format!("{} {}", day_short(on), clock(second, manner))
}

fn moment(drain: &Drain, at_h: f64) -> (units::Day, i32) {
    let tens = (at_h * 6.0).round() as i32;
    (drain.on.plus(tens.div_euclid(144)), tens.rem_euclid(144) * 600)
}

/// A level on the stick by the drain.
pub fn level(metres: f64, manner: Manner) -> String {
    match manner {
        Manner::Metric => format!("{metres:.2} m"),
        Manner::UsCustomary => {
            let inches = (metres / 0.0254).round() as i64;
            match (inches / 12, inches % 12) {
                (0, i) => format!("{i} in"),
                (f, 0) => format!("{f} ft"),
                (f, i) => format!("{f} ft {i} in"),
            }
        }
    }
}

/// A pump's rate.
pub fn rate(m3_h: f64, manner: Manner) -> String {
    match manner {
        Manner::Metric => format!("{m3_h:.0} m³/h"),
        Manner::UsCustomary => format!("{:.0} gallons a minute", m3_h * 264.172 / 60.0),
    }
}

/// A volume of water.
pub fn volume(m3: f64, manner: Manner) -> String {
    match manner {
        Manner::Metric => format!("{} m³", grouped(m3)),
        Manner::UsCustomary => format!("{} gallons", grouped((m3 * 264.172 / 100.0).round() * 100.0)),
    }
}

/// How a way out is called.
pub fn way(of: &WayOut) -> String {
    match of {
        WayOut::Pipe => "the drain".to_owned(),
        WayOut::Standpipe => "the standpipe".to_owned(),
        WayOut::Pump(name) => format!("the {name}"),
        WayOut::Extra => "one more pump".to_owned(),
    }
}

/// "Open Quarry's drain", "Start Lower's trash pump and small pump".
pub fn to_open(drain: &Drain) -> String {
    let pond = &drain.pond;
    let pumps: Vec<String> =
        drain.ways.iter().filter(|way| matches!(way, WayOut::Pump(_) | WayOut::Extra)).map(way_bare).collect();
    let pumps = joined(&pumps);
    match drain.ways.first() {
        Some(first @ (WayOut::Pipe | WayOut::Standpipe)) => {
            let opened = match first {
                WayOut::Standpipe => format!("Turn down {pond}'s standpipe"),
                _ => format!("Open {pond}'s drain"),
            };
            let part = part(drain.opening.gate_fraction);
            let with = if pumps.is_empty() { String::new() } else { format!(" and start {pumps}") };
            format!("{opened}{part}{with}")
        }
        _ => format!("Start {} at {pond}", pumps),
    }
}

fn way_bare(of: &WayOut) -> String {
    match of {
        WayOut::Pump(name) => format!("the {name}"),
        other => way(other),
    }
}

fn joined(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn part(gate_fraction: f64) -> String {
    match gate_fraction {
        g if g > 0.93 => String::new(),
        g if g > 0.7 => " three quarters of the way".to_owned(),
        g if g > 0.58 => " two thirds of the way".to_owned(),
        g if g > 0.42 => " half way".to_owned(),
        g if g > 0.29 => " a third of the way".to_owned(),
        g if g > 0.2 => " a quarter of the way".to_owned(),
        _ => " a crack".to_owned(),
    }
}

/// The answer.
pub fn headline(drain: &Drain, manner: Manner) -> String {
    if let Some(Short::Never { target, lowest_m, by_outlet, .. }) = never(drain) {
        let depth = level(lowest_m, manner);
        let what = if target == Target::Seining { "seining depth" } else { "catch depth" };
        return match by_outlet {
            true => {
                let stalls =
                    drain.opening.course.hours_of(What::Stalls).or(drain.opening.course.hours_of(What::RunsBackward));
                let when =
                    stalls.map_or(String::new(), |h| format!(" {}", at(drain, drain.opening.start_h + h, manner)));
                format!(
                    "{} will not empty: its drain stalls{when}, since the river or ditch stands as high, and the water gets no lower than {depth}, above \
                     {what}.",
                    drain.pond
                )
            }
            false => format!(
                "{} will not empty with what is set to it: the water stops at {depth}, above {what}.",
                drain.pond
            ),
        };
    }
    let opening = &drain.opening;
    let catch_h = opening.course.hours_of(What::CatchDepth).map(|h| opening.start_h + h);
    let to = catch_h.map_or(String::new(), |h| {
        format!("catch depth, {}, stands {}", level(drain.catch_m, manner), at(drain, h.max(opening.start_h), manner))
    });
    let gone = drain.since_h.or(Some(opening.start_h)).filter(|since_h| *since_h < f64::from(drain.now_hour) - 0.1);
    let start = match gone.or(drain.since_h) {
        Some(since_h) => format!("{}'s water has been going down since {}", drain.pond, at(drain, since_h, manner)),
        None => format!("{} {}", to_open(drain), at(drain, opening.start_h, manner)),
    };
    match (opening.shut_h, opening.again_h) {
        (Some(shut_h), Some(again_h)) => stopped(format!(
            "{start}; shut it {}, at {}, and hold the water for the net until {}; {to}",
            at(drain, shut_h, manner),
            level(drain.seining_m.unwrap_or(drain.catch_m), manner),
            at(drain, again_h, manner),
        )),
        _ => stopped(format!("{start}; {to}")),
    }
}

fn never(drain: &Drain) -> Option<Short> {
    drain.opening.short.iter().copied().find(|short| matches!(short, Short::Never { .. }))
}

/// What cannot be had as wanted, and what would make it possible.
pub fn shorts(drain: &Drain, manner: Manner) -> Vec<String> {
    let name = |target| if target == Target::Seining { "Seining depth" } else { "Catch depth" };
    let pump = |extra: Option<f64>| match extra {
        Some(m3_h) => format!("one more pump of {} would do it", rate(m3_h, manner)),
        None => "no pump would do it any more".to_owned(),
    };
    let say = |short: &Short| match *short {
        Short::Late { target, late_h, extra_m3_h } => format!(
            "{} comes {} too late even if everything runs from now on: {}; it would have had to start so much earlier; or take a later hour or day.",
            name(target),
            span(late_h),
            pump(extra_m3_h),
        ),
        Short::Never { by_outlet, extra_m3_h, .. } => {
            let wait =
                if by_outlet { " Or wait until the water outside has fallen; or seine at full level." } else { "" };
            let done = pump(extra_m3_h);
            format!("Lift it over the bank: {done} by the hour.{wait}")
        }
    };
    drain.opening.short.iter().map(say).chain(runs_in(drain, manner)).collect()
}

/// Where the plan of all ponds together lets the water go at another hour: what that comes to.
pub fn beside_plan(drain: &Drain, manner: Manner) -> Option<String> {
    let planned_h = drain.planned_start_h.filter(|_| drain.since_h.is_none())?;
    let apart_h = planned_h - drain.opening.start_h;
    if apart_h.abs() < 0.25 {
        return None;
    }
    let (hour, apart) = (at(drain, planned_h, manner), span(apart_h.abs().max(1.0)));
    let then = match apart_h > 0.0 {
        true => format!("opened then, catch depth stands about {apart} after work can begin"),
        false => format!("opened then, catch depth stands about {apart} before work can begin"),
    };
    Some(stopped(format!("The plan of all ponds reckons in whole turns of work and says {hour}: {then}")))
}

/// The marks in order: when, what, the level then.
pub fn marks(drain: &Drain, manner: Manner) -> Vec<[String; 3]> {
    let opening = &drain.opening;
    let mut rows: Vec<(f64, String)> = Vec::new();
    for mark in &opening.course.marks {
        let said = match mark.what {
            What::Opened => to_open(drain).replace(&format!("{}'s ", drain.pond), ""),
            What::SeiningDepth => "Seining depth: shut everything, pull the net".to_owned(),
            What::HoldEnds => "The net is through: open again".to_owned(),
            What::CatchDepth => "Catch depth: shut until hands, rinse and ice are ready".to_owned(),
            What::CutOff { column } => format!("{} holds a pool behind a sill", place(column)),
            // A twelfth of the floor each would fill the page: the quarters are told.
            What::Dry { column } if column % 3 != 0 && column != 11 => continue,
            What::Dry { column } => format!("{} lies bare but for a film", place(column)),
            What::Stalls => "The drain stalls: pond and ditch stand alike".to_owned(),
            What::RunsBackward => "The ditch runs into the pond: shut the drain".to_owned(),
            What::RunsAgain => "The ditch has fallen: the drain runs again".to_owned(),
            What::LosesPrime { way: at } => format!("{} draws air and stops", capital(&way(&drain.ways[at]))),
            What::FuelOut { way: at } => format!("{} has burnt its fuel", capital(&way(&drain.ways[at]))),
        };
        rows.push((opening.start_h + mark.at_h, said));
    }
    for (at, hours) in drain.fuel.iter().flat_map(|fuel| &fuel.refills) {
        rows.extend(hours.iter().map(|&h| (h, format!("Fuel: the tank of {} is dry by now", way(&drain.ways[*at])))));
    }
    if let Some(out_h) = drain.fuel.as_ref().and_then(|fuel| fuel.out_h) {
        rows.push((out_h, "All fuel in store is burnt by now".to_owned()));
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let row = |(h, said): (f64, String)| {
        let stage_m = opening.course.stage_m(h - opening.start_h);
        [at_short(drain, h, manner), said, level(stage_m, manner)]
    };
    rows.into_iter().map(row).collect()
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// A twelfth of the floor, from the shallow end.
fn place(column: usize) -> String {
    match column {
        0 => "The shallow end".to_owned(),
        11 => "The drain end".to_owned(),
        c => format!("The floor {} of the way from the shallow end", twelfths(c)),
    }
}

fn twelfths(c: usize) -> &'static str {
    match c {
        1 | 2 => "a sixth",
        3 => "a quarter",
        4 => "a third",
        5 | 6 => "half",
        7 | 8 => "two thirds",
        9 => "three quarters",
        _ => "nine tenths",
    }
}

/// How the water fares.
pub fn water(drain: &Drain, water: &WaterDown, manner: Manner) -> Vec<String> {
    let band = water.at_catch_c;
    let mut said = vec![format!(
        "When the catch begins the water at the drain end is likely {} (8 of 10 futures lie between {} and {}). Its coldest hour, {}, comes about {}",
        degrees(band.middle, manner),
        degrees(band.low, manner),
        degrees(band.high, manner),
        degrees(water.lowest_c.middle, manner),
        at(drain, water.lowest_at_h, manner),
    )];
    said[0] = stopped(said[0].clone());
    said.push(follow(drain, water, manner));
    said.push(format!(
        "Chance that it falls below the cold mark, {}, by the end of the catch: {}.",
        degrees(drain.cold_mark_c, manner),
        odds(water.mark_chance)
    ));
    if water.shallow_less_k > 0.5 {
        said.push(format!(
            "While it thins, the water farthest from the drain gets up to {} colder than at the drain ({}).",
            degrees_apart(water.shallow_less_k, manner),
            at(drain, water.shallow_less_at_h, manner)
        ));
    }
    said
}

/// Whether animals follow the water.
pub fn follow(drain: &Drain, water: &WaterDown, manner: Manner) -> String {
    format!(
        "Chance that the water falls below {} while the floor falls bare, so that animals stop following: {}.",
        degrees(drain.follow_mark_c, manner),
        odds(water.slow_chance)
    )
}

/// Level, bare floor, water left and pools, every two hours.
pub fn course(drain: &Drain, manner: Manner) -> Vec<[String; 5]> {
    let (opening, course) = (&drain.opening, &drain.opening.course);
    let end_h = course.end_hours();
    let rows = (end_h / 2.0).ceil() as usize;
    let row = |at_h: f64| {
        let pools_m3 = course.at(at_h, |step| step.pools_m3);
        [
            at_short(drain, opening.start_h + at_h, manner),
            level(course.stage_m(at_h), manner),
            format!("{:.0} %", 100.0 * course.bare_fraction(at_h)),
            volume(course.volume_m3(at_h), manner),
            if pools_m3 < 0.5 { "none".to_owned() } else { volume(pools_m3, manner) },
        ]
    };
    (0..=rows).map(|k| row((2.0 * k as f64).min(end_h))).collect()
}

/// What another course would do.
pub fn if_row(drain: &Drain, one: &If, manner: Manner) -> [String; 4] {
    let what = match one.what {
        IfWhat::HoursLater(hours) => {
            let (_, second) = moment(drain, drain.wanted.catch_at_h + hours);
            format!("Catch depth {} later, at {}", span(hours), clock(second, manner))
        }
        IfWhat::DayLater(day) => format!("A day later, {}", day_short(day)),
        IfWhat::Deeper(metres) => format!("The last water kept {} deeper", level(metres, manner)),
        IfWhat::Well(m3_h, c) => format!("Well water, {} at {}", rate(m3_h, manner), degrees(c, manner)),
    };
    let by = degrees_apart(one.warmer_k.abs(), manner);
    let warmer = match one.warmer_k {
        k if k.abs() < 0.1 => "no difference".to_owned(),
        k if k > 0.0 => format!("{by} warmer"),
        _ => format!("{by} colder"),
    };
    [what, at_short(drain, one.start_h, manner), warmer, odds(one.slow_chance)]
}

/// The same in one sentence.
pub fn if_says(drain: &Drain, one: &If, manner: Manner) -> String {
    let [_, open, warmer, slow] = if_row(drain, one, manner);
    let mark = degrees(drain.follow_mark_c, manner);
    format!("Open {open}. Coldest hour: {warmer}. Below {mark}: {slow}.").replace("..", ".")
}

/// The table of questions.
pub fn questions() -> String {
    crate::sums::questions(INPUTS)
}
