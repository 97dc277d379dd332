//! The pond page's words.

use season::answer::{Outlook, PondOutlook};
use season::course::Course;
use season::farm::PondCard;
use units::Day;

use crate::figures::{Manner, clock, day_short, degrees, span, weekday};
use crate::morning::{catch_days, last_safe_start, when};

/// Heading of the drawing of today's water.
pub const WATER: &str = "The water this morning";
/// Heading of the season's chart.
pub const SEASON: &str = "The season so far, and what may come";
/// Heading of the chart that says when to start.
pub const START: &str = "When must the water start down?";
/// Heading of the animals.
pub const STOCK: &str = "What swims in it";
/// Heading of the log.
pub const LOG: &str = "This pond's log";
/// Above the ways to log a reading.
pub const READ_WHERE: &str = "Log a reading where you stand:";
/// The three places.
pub const PLACES: [(&str, &str); 3] = [("shallow", "shallow end"), ("middle", "middle"), ("deep", "drain end")];
/// No entry yet.
pub const NOTHING_LOGGED: &str = "Nothing is written about this pond yet.";
/// To the whole log.
pub const ALL_LOG: &str = "The whole log";
/// To the harvest plan.
pub const TO_PLAN: &str = "What each day of waiting brings";
/// Ways to the other ponds, for a screen reader.
pub const PONDS: &str = "Ponds of this farm";
/// Rows of the stock.
pub const ALIVE: &str = "Alive";
/// See [`ALIVE`].
pub const WEIGHT: &str = "Mean weight";
/// See [`ALIVE`].
pub const MOST: &str = "In the net";
/// See [`ALIVE`].
pub const MASS: &str = "In all";
/// Caption of the size classes.
pub const SIZES: &str = "By the sizes that buyers pay for";
/// Caption of the season's table.
pub const SEASON_TABLE: &str = "Bottom water at dawn, week by week, and every reading";
/// Column heads of the season's table.
pub const SEASON_HEADS: [&str; 4] = ["Day", "Reckoned", "8 of 10 lie between", "Read"];
/// Legend of the season's chart.
pub const SEASON_LEGEND: &str = "Ringed dots: your thermometer. Line: reckoned dawn water at the bottom, from the weather that was. \
    Band: 8 of 10 futures. Hatched: below the cold mark.";
/// Today's line in the season's chart.
pub const TODAY: &str = "today";
/// When the mark is not met within the season in nine years of ten.
pub const NO_LAST: &str = "no last chance before the season ends";
/// Legend of that chart.
pub const START_LEGEND: &str = "Blocks, left to right: you may wait (open), water going down (blue), catch (green). The lower block is the \
    last chance in nine years of ten: its end stands where the band meets the cold mark, so its left edge is the last start. Line: \
    likely dawn water. Band: 8 of 10.";
/// Ends of the dish of colour beside the drawing.
pub const KEY: &str = "Reckoned water, by depth";

/// The headline: where the pond stands and what comes.
pub fn headline(outlook: &Outlook, pond: &PondOutlook, manner: Manner) -> String {
    let now = match pond.measured {
        Some((_, _, temp_c)) => format!("{} reads {}", pond.name, degrees(temp_c, manner)),
        None => format!("{} is reckoned at {}", pond.name, degrees(pond.modelled_c, manner)),
    };
    let coldest = pond.dawns.iter().min_by(|a, b| a.water_c.middle.total_cmp(&b.water_c.middle));
    let from_c = pond.measured.map_or(pond.modelled_c, |(_, _, temp_c)| temp_c);
    let comes = coldest.map_or(String::new(), |dawn| {
        let to = degrees(dawn.water_c.middle, manner);
        match dawn.water_c.middle < from_c - 0.5 {
            true => format!(" and likely falls to {to} by {}", weekday_of(outlook, dawn.day)),
            false => format!(" and holds near {to}"),
        }
    });
    // A figure and its unit stay on one line.
    format!("{now}{comes}. {}", starts(outlook, pond, manner)).replace(" °", "\u{a0}°")
}

/// A pond that is out since a day.
pub fn came_out(name: &str, on: Day) -> String {
    format!("{name} came out on {}.", crate::figures::day(on))
}

/// A pond that is out.
pub fn out(outlook: &Outlook, name: &str) -> String {
    match outlook.done.iter().find(|(done, _)| done == name) {
        Some((_, on)) => came_out(name, *on),
        None => format!("{name} has no answer this morning yet."),
    }
}

fn starts(outlook: &Outlook, pond: &PondOutlook, manner: Manner) -> String {
    match pond.planned {
        None if pond.going_down.is_some() => "Its water goes down, and the plan has no day for it.".to_owned(),
        None if pond.days.is_empty() => "No day is left for it within the limits.".to_owned(),
        None => "The plan has no day for it beside the other ponds.".to_owned(),
        Some(planned) if planned.start.0 < outlook.on || pond.going_down.is_some() => {
            format!("Its water is going down: {}.", catch_days(&planned))
        }
        Some(planned) => {
            format!("Start its water down at {}; {}.", when(outlook, planned.start, manner), catch_days(&planned))
        }
    }
}

fn weekday_of(outlook: &Outlook, day: Day) -> String {
    if day.0 - outlook.on.0 < 7 { weekday(day).to_owned() } else { day_short(day) }
}

/// Hours in hand as a sentence of its own.
pub fn in_hand(pond: &PondOutlook) -> String {
    let said = crate::morning::in_hand(pond);
    let mut letters = said.chars();
    let first = letters.next().map_or(String::new(), |letter| letter.to_uppercase().to_string());
    format!("{first}{}.", letters.as_str())
}

/// Title of the chart that says when to start.
pub fn start_title(pond: &str) -> String {
    format!("{pond}: waiting, draining and catching over the falling water")
}

/// What that chart shows.
pub fn start_says(outlook: &Outlook, pond: &PondOutlook, manner: Manner) -> String {
    let plan = match pond.planned {
        _ if pond.going_down.is_some() => {
            let since = pond.going_down.map_or(String::new(), |since| when(outlook, since, manner));
            format!("Its water goes down since {since}")
        }
        Some(planned) => format!("The plan starts the water down at {}", when(outlook, planned.start, manner)),
        None => "There is no day in the plan".to_owned(),
    };
    let needs = format!("emptying takes {} and catching {}", span(pond.course.lead_h), span(pond.course.catch_h));
    let last = match last_safe_start(outlook, pond) {
        None => "in nine years of ten the cold mark is not met before the season ends".to_owned(),
        Some((day, _)) if day < outlook.on => "the last start that is safe in nine years of ten has passed".to_owned(),
        Some(at) => format!("the last start that is safe in nine years of ten is {}", when(outlook, at, manner)),
    };
    format!("{plan}; {needs}; {last}.")
}

/// The plan's row of blocks.
pub fn row_plan(outlook: &Outlook, pond: &PondOutlook, manner: Manner) -> String {
    pond.planned.map_or(String::new(), |planned| format!("the plan: start {}", when(outlook, planned.start, manner)))
}

/// The row of the last chance.
pub fn row_last(outlook: &Outlook, pond: &PondOutlook, manner: Manner) -> String {
    match last_safe_start(outlook, pond) {
        Some(at) if at.0 >= outlook.on => {
            format!("last chance: start {} {}", clock(at.1 * 3600, manner), day_short(at.0))
        }
        _ => "last chance: it has passed".to_owned(),
    }
}

/// Title of the season's chart.
pub fn season_title(pond: &str) -> String {
    format!("{pond}: dawn water since stocking, and what may come")
}

/// What the season's chart says.
pub fn season_says(outlook: &Outlook, pond: &PondOutlook, card: &PondCard, manner: Manner) -> String {
    let course = &pond.course;
    let warmest = course.dawns_c.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
    let was = warmest.map_or(String::new(), |(at, temp_c)| {
        format!(
            "Stocked {}; the warmest dawn since was {}, reckoned {}. ",
            day_short(course.stocked),
            day_short(course.stocked.plus(at as i32)),
            degrees(*temp_c, manner)
        )
    });
    let read = match card.readings.len() {
        0 => "No reading has been logged. ".to_owned(),
        1 => "One reading has been logged. ".to_owned(),
        n => format!("{n} readings have been logged. "),
    };
    let coming = course.ahead.iter().find(|dawn| dawn.water_c.middle < outlook.cold_mark_c);
    let mark = degrees(outlook.cold_mark_c, manner);
    let comes = match coming {
        Some(dawn) => format!("Dawn water likely passes below {mark} on {}.", day_short(dawn.day)),
        None => format!("Dawn water likely stays above {mark} to the season's end."),
    };
    format!("{was}{read}{comes}")
}

/// A row of the season's table.
pub fn season_row(
    day: Day,
    reckoned_c: Option<f64>,
    between_c: Option<(f64, f64)>,
    read: &str,
    manner: Manner,
) -> [String; 4] {
    [
        day_short(day),
        reckoned_c.map_or(String::new(), |temp_c| degrees(temp_c, manner)),
        between_c.map_or(String::new(), |(low, high)| {
            format!("{} to {}", crate::figures::bare(low, manner), degrees(high, manner))
        }),
        read.to_owned(),
    ]
}

/// Readings of one day, as the table has them.
pub fn readings(temps_c: &[f64], manner: Manner) -> String {
    temps_c.iter().map(|temp_c| degrees(*temp_c, manner)).collect::<Vec<_>>().join(", ")
}

/// A month on an axis.
pub fn axis_month(of: Day) -> &'static str {
    const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    MONTHS[of.ymd().1 as usize - 1]
}

/// The range of single animals.
pub fn in_the_net(pond: &PondOutlook) -> String {
    format!("8 of 10 animals weigh {:.0} to {:.0} g", pond.animals_g.0, pond.animals_g.1)
}

/// How the water differs from end to end, when it does.
pub fn ends(course: &Course, manner: Manner) -> Option<String> {
    let bottom = |cells: &mut dyn Iterator<Item = &season::course::CutCell>| cells.last().map(|cell| cell.temp_c);
    let first = course.cut.first()?.along;
    let last = course.cut.last()?.along;
    let shallow_c = bottom(&mut course.cut.iter().filter(|cell| cell.along == first))?;
    let deep_c = bottom(&mut course.cut.iter().filter(|cell| cell.along == last))?;
    let top_c = course.cut.iter().find(|cell| cell.along == last)?.temp_c;
    Some(format!(
        "Reckoned now: {} at the bottom of the shallow end, {} at the bottom of the drain end, {} at the surface above it.",
        degrees(shallow_c, manner),
        degrees(deep_c, manner),
        degrees(top_c, manner)
    ))
}
