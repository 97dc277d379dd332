//! The evening before, in words: when the day is done and what binds, who goes where, what is due by when, what can hurt.

use season::day::{CrewDay, DaySheet, Group, Who};
use season::harvest::{HandKind, Post, Relaxed, Stopped, Task, Without};
use units::Day;

use crate::figures::{Manner, clock, day, day_short, mass, stopped};

mod calendar;
mod chart;
mod first;
mod sheet;
mod text;
mod water;

pub use calendar::{calendar, due_calendar};
pub use chart::{FALLING, falling_legend, falling_says, hour_short, mark};
pub use first::{FIRST, FIRST_HEADS, first_row, first_says};
pub use sheet::{
    ASKS, BRIEFING, CALLS, CARE, CHECKS, Line, briefing, calls, checks, due_rows, humane, ice_order_rows, ice_rows,
    leaves, levels, live_rows, steps,
};
pub use text::{page, trouble};

/// Title of the page.
pub const TITLE: &str = "The evening before";
/// Way to the calendar.
pub const TO_CALENDAR: &str = "Put it in a calendar (.ics)";
/// Above the hours.
pub const HOURS: &str = "The day, hour by hour";
/// Above the hands.
pub const HANDS: &str = "Who goes where";
/// Heads of that table.
pub const HANDS_HEADS: [&str; 4] = ["Who", "Where first", "From, until", "Leaves to others"];
/// Above the levels.
pub const LEVELS: &str = "Water by the hour";
/// Heads of that table.
pub const LEVELS_HEADS: [&str; 2] = ["At", "By the drain"];
/// Above what waits.
pub const WAITS: &str = "What waits where";
/// Heads of that table.
pub const WAITS_HEADS: [&str; 4] = ["Work", "Baskets", "Wait, longest", "Hours of hands"];
/// Above what is due.
pub const DUE: &str = "Before the day";
/// Above the crews side by side.
pub const CREWS: &str = "With all who may come, and with the sure ones";
/// Heads of that table.
pub const CREWS_HEADS: [&str; 5] = ["With", "Done, 8 days in 10", "On ice, likely", "Out and cold", "Left"];
/// Above ice.
pub const ICE: &str = "Ice";
/// Above the ice of the days ahead.
pub const ICE_ORDERS: &str = "Ice to order, all ponds of the plan";
/// What it rests on.
pub const ICE_ORDERS_SAY: &str = "The order is the same here, on the morning's page and in the call list: of the likely catch, what the heat of water, prawns, tubs and packing melts with a quarter on top, or your own rule for a pound where that is more; less what is there.";
/// Above the live tanks.
pub const LIVE: &str = "Live tanks";
/// Above the form.
pub const ASK: &str = "And if";
/// The form's button.
pub const WORK_OUT: &str = "Rehearse it";
/// Above the method.
pub const HOW: &str = "How it is made";
/// The other ponds.
pub const PONDS: &str = "Pond";
/// No page yet, since the morning is not reckoned.
pub const NOT_YET: &str = "The morning is still being reckoned; this page comes after it.";

/// How it is made.
pub const METHOD: &str = "The day is lived under every future of the pond, basket by basket: the net while the water is held, gathering as the \
     floor falls bare, the last water dipped, then carrying, rinse, sorting, scale, live tank or slurry, table, packing, cold store. Hands tire and \
     rest. Every crew lives the same luck, so that a difference is a difference. Paces are common practice where the farm's description has none \
     of its own: no rates were found published for this animal. Two emptied ponds with readings were not found either, so the water's warmth on \
     the way down is not held to one.";

/// A clock hour on the day, or with its day when it is another.
pub(crate) fn at(on: Day, hour: f64, manner: Manner) -> String {
    let minutes = (hour * 12.0).round() as i64 * 5;
    let (days, rest) = (minutes.div_euclid(1440) as i32, minutes.rem_euclid(1440) as i32);
    let time = clock(rest * 60, manner);
    if days == 0 { time } else { format!("{}, {time}", day_short(on.plus(days))) }
}

/// Minutes as hours and minutes.
pub(crate) fn lasting(hours: f64) -> String {
    let minutes = (hours * 12.0).round() as i64 * 5;
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}

fn minutes(hours: f64) -> String {
    if hours < 1.5 { format!("{:.0} min", 60.0 * hours) } else { lasting(hours) }
}

fn people(count: usize) -> String {
    match count {
        1 => "1 person".to_owned(),
        n => format!("{n} people"),
    }
}

/// The answer: when it is done, with whom, and what stays.
pub fn headline(sheet: &DaySheet, manner: Manner) -> String {
    let sure = sheet.sure();
    let finish = sure.told.finish_h;
    let who = match sheet.crews.iter().any(|crew| crew.who == Who::Sure) {
        true => format!("with the {} who surely come", sure.crew.len()),
        false => format!("with the {} who come", people(sure.crew.len())),
    };
    let left_kg = sure.told.left_kg.middle + sure.told.stranded_kg.middle;
    let left = match sheet::leaves(sheet) {
        true => format!("; {} stays in the water", mass(left_kg, manner)),
        false => String::new(),
    };
    format!("{}, {}: likely done by {}, {who}{left}", sheet.pond, day(sheet.on), at(sheet.on, finish.middle, manner))
}

/// How late it may become, and what binds.
fn how_late(sheet: &DaySheet, manner: Manner) -> String {
    let sure = sheet.sure();
    let binds = match sure.binds.first() {
        Some(first) => format!(" {}", binds(first.limit)),
        None => match stopped_by(&sure.told.stopped) {
            Some(limit) => format!(" {}", binds(limit)),
            None if sheet::leaves(sheet) => {
                " More of one thing alone does not change that: it takes another day, or more of several.".to_owned()
            }
            None => " Nothing binds.".to_owned(),
        },
    };
    format!("{}{binds}", stopped(format!("In nine days of ten by {}", at(sheet.on, sure.told.finish_h.high, manner))))
}

/// What work at the water stood still for, where lifting one limit alone would not better the day.
fn stopped_by(stopped: &Stopped) -> Option<Relaxed> {
    const LONG_H: f64 = 0.25;
    match () {
        () if stopped.ice_h > LONG_H => Some(Relaxed::Ice),
        () if stopped.store_h > LONG_H => Some(Relaxed::Store),
        () if stopped.baskets_h > LONG_H => Some(Relaxed::Baskets),
        () => None,
    }
}

fn binds(limit: Relaxed) -> &'static str {
    match limit {
        Relaxed::Baskets => "Empty baskets bind.",
        Relaxed::HalfFull => "Full baskets bind: they are too long on their way to ice.",
        Relaxed::Ice => "Ice binds.",
        Relaxed::Hand => "Hands bind.",
        Relaxed::Scale => "The scale binds.",
        Relaxed::Tub => "Slurry tubs bind.",
        Relaxed::Store => "Room in the cold store binds.",
        Relaxed::Seining => "Time for the net binds.",
        Relaxed::Water => "The water binds: the last of it comes late.",
    }
}

/// What a limit costs, as what one would have without it.
pub fn without(one: &Without, sheet: &DaySheet, manner: Manner) -> String {
    let what = match one.limit {
        Relaxed::Baskets => format!("With {} more baskets", sheet.baskets.0.div_ceil(2)),
        Relaxed::HalfFull => format!("With {} to a basket", mass(0.5 * sheet.baskets.1, manner)),
        Relaxed::Ice => "With ice for everything".to_owned(),
        Relaxed::Hand => "With one more grown hand".to_owned(),
        Relaxed::Scale => "With a second scale".to_owned(),
        Relaxed::Tub => "With one more slurry tub".to_owned(),
        Relaxed::Store => "With room for everything in the cold".to_owned(),
        Relaxed::Seining => "With the water held an hour longer for the net".to_owned(),
        Relaxed::Water => "With the last water an hour earlier".to_owned(),
    };
    let mut gains = Vec::new();
    if one.earlier_h.abs() >= 1.0 / 12.0 {
        gains.push(format!(
            "{} {}",
            lasting(one.earlier_h.abs()),
            if one.earlier_h > 0.0 { "earlier" } else { "later" }
        ));
    }
    if one.more_kg > 1.0 {
        gains.push(format!("{} more out and on ice", mass(one.more_kg, manner)));
    }
    if one.less_late_kg > 1.0 {
        gains.push(format!("{} less too long before ice", mass(one.less_late_kg, manner)));
    }
    format!("{what}: {}.", gains.join(", "))
}

/// Reasons in numbers, the weightiest first.
pub fn reasons(sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let (sure, told) = (sheet.sure(), &sheet.sure().told);
    let mut said = vec![how_late(sheet, manner)];
    said.extend(sure.binds.iter().take(2).map(|one| without(one, sheet, manner)));
    said.push(format!(
        "In the pond: likely {}, {} to {}. These hands and this ice carry {} to ice and {} packed in a day.",
        mass(sheet.mass_kg.middle, manner),
        mass(sheet.mass_kg.low, manner),
        mass(sheet.mass_kg.high, manner),
        mass(sure.carries.on_ice_kg, manner),
        mass(sure.carries.packed_kg, manner),
    ));
    let lost_kg = told.left_kg.middle + told.stranded_kg.middle;
    // Less than is worth a day of its own is not held: its water goes.
    let holds = sure.carries.on_ice_kg < sheet.mass_kg.middle && sheet::leaves(sheet);
    if holds {
        said.push(format!(
            "That is too little for all of it. Take the shallow end first: it is coldest and falls bare first. Hold about {} in the water for \
             another day, never past the cold mark.",
            mass((sheet.mass_kg.middle - sure.carries.on_ice_kg).max(lost_kg), manner)
        ));
    }
    if told.unheaded_kg.high > 2.0 {
        said.push(format!(
            "Sell up to {} whole instead of heading: the table does not get through.",
            mass(told.unheaded_kg.high, manner)
        ));
    }
    if lost_kg > 2.0 && !holds {
        said.push(format!("Likely {} stay behind in water and mud.", mass(lost_kg, manner)));
    }
    if told.culled_kg.middle > 1.0 {
        said.push(format!(
            "Of what comes out likely {} is sorted out: dead and warm, soft, torn.",
            mass(told.culled_kg.middle, manner)
        ));
    }
    said.extend(clock_said(sheet, manner));
    said.extend(water::said(sheet, manner));
    said
}

fn clock_said(sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let told = &sheet.sure().told;
    let mut said = Vec::new();
    let over_h = told.finish_h.middle - sheet.ends_h;
    if over_h > 0.2 {
        said.push(format!(
            "What is under way at {} likely takes {} more: ask those who stay before the day.",
            at(sheet.on, sheet.ends_h, manner),
            lasting(over_h)
        ));
    }
    said.push(format!(
        "Half of it is on ice within {:.0} minutes of leaving the water, nine tenths within {:.0}; 15 is wanted, 30 the most.",
        told.to_ice_min.0, told.to_ice_min.1
    ));
    if told.over_hard > 0.1 {
        said.push(format!(
            "{} of it lies longer than 30 minutes. Lift less at a time, fill baskets half, put a hand more to rinse and sorting.",
            share(told.over_hard)
        ));
    }
    if sheet.buyers.live_kg > 0.5 {
        let turned = match told.turned_kg.middle > 1.0 {
            true => format!(
                " {} more are meant for it and will be too long in the air: chill those.",
                mass(told.turned_kg.middle, manner)
            ),
            false => String::new(),
        };
        said.push(format!(
            "Alive: likely {} of the {} ordered, from the first hauls only; nothing out of the mud is offered alive.{turned}",
            mass(told.live_kg.middle, manner),
            mass(sheet.buyers.live_kg, manner)
        ));
    }
    said
}

fn share(of: f64) -> String {
    match (10.0 * of).round() as i64 {
        ..=1 => "A tenth".to_owned(),
        10.. => "All".to_owned(),
        n => format!("{n} tenths"),
    }
}

/// One crew beside the others: with whom, done, on ice, home, left.
pub fn crew_row(crew: &CrewDay, sheet: &DaySheet, manner: Manner) -> [String; 5] {
    let told = &crew.told;
    let with = match crew.who {
        Who::Everybody => format!("all {}", crew.crew.len()),
        Who::Sure => format!("the {} sure", crew.crew.len()),
        Who::Asked => format!("{} as asked", crew.crew.len()),
    };
    [
        with,
        format!("{} to {}", at(sheet.on, told.finish_h.low, manner), at(sheet.on, told.finish_h.high, manner)),
        at(sheet.on, told.iced_h.middle, manner),
        mass(told.home_kg.middle, manner),
        mass(told.left_kg.middle + told.stranded_kg.middle, manner),
    ]
}

/// How hands were moved from an even share, in words.
pub fn moves(crew: &CrewDay) -> Vec<String> {
    crew.moves
        .iter()
        .map(|one| format!("One hand from {} to {}: {}.", place(one.from), place(one.to), moved_gain(one.earlier_h)))
        .collect()
}

fn moved_gain(earlier_h: f64) -> String {
    if earlier_h > 1.0 / 12.0 { format!("{} earlier", lasting(earlier_h)) } else { "less is lost".to_owned() }
}

/// A place of work.
pub fn place(post: Post) -> &'static str {
    match post {
        Post::Water => "the water",
        Post::Bank => "the bank",
        Post::Table => "the table",
    }
}

/// The hands of a crew, those alike together.
pub fn hand_rows(crew: &CrewDay, sheet: &DaySheet, manner: Manner) -> Vec<[String; 4]> {
    let mut rows: Vec<([String; 4], usize, String)> = Vec::new();
    for one in &crew.crew {
        let who = match &one.group {
            Group::Owner => "owner".to_owned(),
            Group::Helper => "helper".to_owned(),
            Group::Named(name) => format!("{name} ({})", kind(one.hand.kind)),
            Group::Asked => "hand".to_owned(),
        };
        let hours = format!("{} to {}", at(sheet.on, one.hand.from_h, manner), at(sheet.on, one.hand.until_h, manner));
        let place = place(one.hand.post).trim_start_matches("the ").to_owned();
        let row = [String::new(), place, hours, not_given(one.hand.kind).to_owned()];
        match rows.iter_mut().find(|(other, _, other_who)| *other_who == who && other[1..] == row[1..]) {
            Some((_, count, _)) => *count += 1,
            None => rows.push((row, 1, who)),
        }
    }
    rows.into_iter()
        .map(|(mut row, count, who)| {
            row[0] = format!("{count} × {who}");
            row
        })
        .collect()
}

fn kind(kind: HandKind) -> &'static str {
    match kind {
        HandKind::Owner => "owner",
        HandKind::Helper => "helper",
        HandKind::FirstTimer => "first time",
        HandKind::Volunteer => "volunteer",
        HandKind::Minor => "under age",
    }
}

fn not_given(kind: HandKind) -> &'static str {
    match kind {
        HandKind::Owner | HandKind::Helper => "nothing",
        HandKind::FirstTimer => "sorting, scale",
        HandKind::Volunteer => "deep water, knives, sorting, scale, tubs",
        HandKind::Minor => "water and mud, knives, sorting, scale, tubs",
    }
}

/// A task by name.
pub fn task(task: Task) -> &'static str {
    match task {
        Task::Seine => "pulling the net",
        Task::Gather => "gathering",
        Task::Dip => "dipping",
        Task::Bag => "filling from the net",
        Task::Carry => "carrying",
        Task::Rinse => "rinse",
        Task::Sort => "sorting",
        Task::Weigh => "scale",
        Task::Live => "live tank",
        Task::Load => "into slurry",
        Task::Unload => "out of slurry",
        Task::Head => "heading",
        Task::Wash => "washing tails",
        Task::Pack => "packing",
        Task::Store => "cold store",
        Task::Walk => "last walk",
    }
}

/// What waits where, in the order of the line; work nobody does is left out.
pub fn wait_rows(crew: &CrewDay) -> Vec<[String; 4]> {
    let worked = Task::ALL.into_iter().zip(&crew.told.waits).filter(|(_, waits)| waits.busy_h > 0.05);
    worked
        .map(|(one, waits)| {
            let waited = match waits.count > 0.0 {
                true => format!("{}, {}", minutes(waits.mean_h), minutes(waits.most_h.max(waits.mean_h))),
                false => String::new(),
            };
            let count = if waits.count > 0.0 { format!("{:.0}", waits.count) } else { String::new() };
            [task(one).to_owned(), count, waited, format!("{:.1}", waits.busy_h)]
        })
        .collect()
}
