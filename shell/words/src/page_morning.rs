//! The morning page's words. The sentences of the answer are those of the command line.

use season::answer::{Dawn, Note, Outlook, PondOutlook, Task, TaskKind};
use units::Day;

use crate::figures::{Manner, animal, bare, clock, count, day_short, degrees, depth, mass, money, odds, span, weekday};
use crate::morning::{
    band, by_day, by_start, catch_days, forecast_age, in_hand, last_taken, next_out, say_note, say_task, waiting,
    what_changes_it, when,
};

/// Heading above what else there is to do.
pub const ALSO: &str = "Also today";
/// To the plan's page.
pub const SEE_PLAN: &str = "See the harvest plan and its reasons";
/// Log a reading.
pub const LOG_READING: &str = "Log a reading";
/// Heading of the table under a chart.
pub const FIGURES: &str = "These figures as a table";
/// Caption of that table.
pub const DAWN_TABLE: &str = "Bottom water at dawn";
/// Column heads of the dawns.
pub const DAWN_HEADS: [&str; 4] = ["Dawn", "Likely", "8 of 10 lie between", "Below the cold mark"];
/// Row heads of a pond's figures.
pub const HAND: &str = "Hours in hand";
/// Chance of loss on the planned day.
pub const LOSS: &str = "Chance of loss";
/// The crop.
pub const CROP: &str = "In the water";
/// Row of the day's feed.
pub const FEED: &str = "Feed";
/// Time to empty.
pub const EMPTY: &str = "To empty";
/// Shallow end.
pub const SHALLOW: &str = "shallow end";
/// Drain end.
pub const DRAIN: &str = "drain end";
/// What the block above the dawns shows.
pub const DRAINING: &str = "water going down";
/// The catch.
pub const CATCH: &str = "catch";
/// What stands at the foot.
pub const MADE: &str = "How this was made";
/// The caution.
pub const CARE: &str = "Care: keep engines and generators out of closed places and cords out of water; nobody works alone at the \
    drain or in cold mud. Local codes and licensed people have the last word.";
/// Why both ends read alike.
pub const ALIKE: &str = "While the pond is full its ends read nearly alike at dawn: cold water slides down to the drain. Once the \
    water is down, pools and films are cut off and cool fast.";
/// Legend of the drawing.
pub const MARKS: &str = "A ringed dot is a thermometer reading where it was taken; the colour is the reckoned water, darker where it \
    is colder.";

/// The day as the mast has it.
pub fn mast_day(outlook: &Outlook, manner: Manner) -> String {
    format!("{}, {}", mast(outlook.on), clock(outlook.now_hour * 3600, manner))
}

/// The day alone.
pub fn mast(on: Day) -> String {
    format!("{} {}", day_short(on), on.ymd().0)
}

/// The headline: what to start today, or the first thing to be done, or that nothing has to be.
pub fn headline(outlook: &Outlook, manner: Manner) -> String {
    let first = leading(outlook);
    match first {
        Some(at) => say_task(outlook, &outlook.tasks[at], manner),
        None => "Nothing has to be started, ordered or told today.".to_owned(),
    }
}

/// The task that leads: water that goes down with no day for it, the first start of today, else the first of all.
fn leading(outlook: &Outlook) -> Option<usize> {
    let lost = |task: &Task| matches!(task.what, TaskKind::GoesDown { .. });
    let start = |task: &Task| matches!(task.what, TaskKind::StartDown { .. });
    outlook
        .tasks
        .iter()
        .position(lost)
        .or_else(|| outlook.tasks.iter().position(start))
        .or(if outlook.tasks.is_empty() { None } else { Some(0) })
}

/// What else there is to do, in order of the hour.
pub fn also(outlook: &Outlook, manner: Manner) -> Vec<(&Task, String)> {
    let lead = leading(outlook);
    let others = outlook.tasks.iter().enumerate().filter(|(at, _)| Some(*at) != lead);
    others.map(|(_, task)| (task, say_task(outlook, task, manner))).collect()
}

/// The pond that the reason speaks of.
pub fn leading_pond(outlook: &Outlook) -> Option<&PondOutlook> {
    match leading(outlook).map(|at| &outlook.tasks[at].what) {
        Some(TaskKind::GoesDown { pond } | TaskKind::StartDown { pond, .. }) => {
            outlook.ponds.iter().find(|one| one.name == *pond)
        }
        _ => by_start(outlook).first().copied(),
    }
}

/// What changed since yesterday's answer, when there was one.
pub fn since_yesterday(outlook: &Outlook) -> Option<String> {
    let changed = outlook.plan.decision.changed.as_ref()?;
    let day = |day: Option<i32>| day.map_or("no day".to_owned(), |day| day_short(outlook.on.plus(day)));
    let moved: Vec<String> = changed
        .moved
        .iter()
        .filter_map(|(pond, then, now)| Some((outlook.ponds.get(*pond)?, then, now)))
        .map(|(pond, then, now)| format!("{} from {} to {}", pond.name, day(*then), day(*now)))
        .collect();
    Some(match (moved.is_empty(), changed.kept) {
        (true, true) => {
            "Since yesterday: the dates stand; what would be gained by moving them is less than can be told.".to_owned()
        }
        (true, false) => "Since yesterday: the dates stand.".to_owned(),
        (false, _) => format!("Since yesterday the plan moved {}.", moved.join("; ")),
    })
}

/// One odds to a sentence: the pond's worth on its day, and the week after.
pub fn waiting_costs(outlook: &Outlook, pond: &PondOutlook) -> Vec<String> {
    let Some(planned) = pond.planned else { return Vec::new() };
    let taken = last_taken(&planned);
    let Some(at) = pond.days.iter().position(|line| line.day == taken) else { return Vec::new() };
    let now = &pond.days[at];
    let known = (now.worth_mean - now.worth_p05).abs() / 20.0;
    let mut said = vec![format!(
        "{} brings about {} on {}; the chance that cold has taken a fifth of it by then is {}.",
        pond.name,
        money(now.worth_mean, crate::page_plan::worth_known_to(now.worth_mean, now.worth_p05), outlook.currency),
        day_short(now.day),
        odds(now.loss_chance)
    )];
    if let Some(week) = pond.days.get(at + 7) {
        let gain = week.worth_mean - now.worth_mean;
        let amount = money(gain.abs(), known.max(500.0), outlook.currency);
        let nothing = !amount.contains(|digit: char| ('1'..='9').contains(&digit));
        let change = match (nothing, gain >= 0.0) {
            (true, _) => "would change that by nothing that can be told".to_owned(),
            (false, true) => format!("would add about {amount}"),
            (false, false) => format!("would cost about {amount}"),
        };
        said.push(format!("A week more {change}, and make the chance {}.", odds(week.loss_chance)));
    }
    said
}

/// The same without money, for those who see no prices: what cold may have taken by its day, and a week after.
pub fn waiting_risks(pond: &PondOutlook) -> Vec<String> {
    let Some(taken) = pond.planned.map(|planned| last_taken(&planned)) else { return Vec::new() };
    let Some(at) = pond.days.iter().position(|line| line.day == taken) else { return Vec::new() };
    let now = &pond.days[at];
    let mut said = vec![format!(
        "The chance that cold has taken a fifth of {} by {} is {}.",
        pond.name,
        day_short(now.day),
        odds(now.loss_chance)
    )];
    said.extend(pond.days.get(at + 7).map(|week| format!("A week more makes it {}.", odds(week.loss_chance))));
    said
}

/// Which pond comes out and when its water must start down; how long one may wait; what would change it; the forecast's age.
pub fn below(outlook: &Outlook, manner: Manner) -> [String; 4] {
    [
        next_out(outlook, manner).unwrap_or_default(),
        waiting(outlook, manner).unwrap_or_default(),
        what_changes_it(outlook, manner),
        forecast_age(outlook),
    ]
}

/// A pond's water now: what was read, and what is reckoned.
pub fn water_now(pond: &PondOutlook, manner: Manner) -> (String, String) {
    let read = match &pond.measured {
        Some((_, at, temp_c)) => format!("Read {} at {}", degrees(*temp_c, manner), depth(*at, manner)),
        None => "Not read since yesterday".to_owned(),
    };
    (read, format!("reckoned {} at the bottom", degrees(pond.modelled_c, manner)))
}

/// When its water starts down and when it is caught.
pub fn dates(outlook: &Outlook, pond: &PondOutlook, manner: Manner) -> String {
    match pond.planned {
        None if pond.going_down.is_some() => "Water goes down, and the plan has no day for it".to_owned(),
        None => "No day within the limits".to_owned(),
        Some(planned) => {
            let (how, at) = match pond.going_down {
                Some(since) => ("Water goes down since", since),
                None => ("Water down from", planned.start),
            };
            format!("{how} {}; {}", when(outlook, at, manner), catch_days(&planned))
        }
    }
}

/// The last start that is safe in nine years of ten.
pub fn last_safe_start(outlook: &Outlook, pond: &PondOutlook) -> Option<(Day, i32)> {
    crate::morning::last_safe_start(outlook, pond)
}

/// The way to bring a forecast.
pub const GIVE_FORECAST: &str = "Give a new forecast";

/// Hours in hand, as the command line says them.
pub fn hand(pond: &PondOutlook) -> String {
    in_hand(pond)
}

/// Chance of losing a fifth by the planned day.
pub fn loss(outlook: &Outlook, pond: &PondOutlook) -> String {
    let line = pond.planned.and_then(|planned| pond.days.iter().find(|line| line.day == planned.catch_day));
    match line {
        Some(line) => format!("{} to lose a fifth or more by {}", odds(line.loss_chance), by_day(outlook, line.day)),
        None => "not known without a day".to_owned(),
    }
}

/// The crop: how many, how heavy, how much.
pub fn crop(pond: &PondOutlook, manner: Manner) -> String {
    format!(
        "{} alive; mean {}; {} in all",
        band(&pond.count, count),
        animal(pond.mean_weight_g.middle, manner),
        band(&pond.mass_kg, |kg| mass(kg, manner))
    )
}

/// How long the pond takes to empty, and who says so.
pub fn empties(pond: &PondOutlook) -> String {
    let told = if pond.lead_told { "as you remember it" } else { "reckoned from its shape and drain" };
    format!("{}, {told}", span(pond.lead_h))
}

/// Title of a pond's drawing.
pub fn section_title(pond: &str) -> String {
    format!("{pond} cut from the shallow end to the drain end")
}

/// What the drawing shows, for those who do not see it.
pub fn section_says(pond: &PondOutlook, shallow_m: f64, deep_m: f64, manner: Manner) -> String {
    let (read, reckoned) = water_now(pond, manner);
    format!(
        "{} deep at the shallow end, {} at the drain end. {read}; {reckoned}.",
        depth(shallow_m, manner),
        depth(deep_m, manner)
    )
}

/// Title of a pond's coming dawns.
pub fn dawns_title(pond: &str) -> String {
    format!("{pond}: bottom water at the coming dawns")
}

/// What the chart of dawns says.
pub fn dawns_say(pond: &PondOutlook, cold_mark_c: f64, manner: Manner) -> String {
    let coldest = pond.dawns.iter().min_by(|a, b| a.water_c.middle.total_cmp(&b.water_c.middle));
    let Some(coldest) = coldest else { return "The season ends before another dawn.".to_owned() };
    let worst = pond.dawns.iter().map(|dawn| dawn.mark_chance).fold(0.0, f64::max);
    let risk = if worst > 0.0 {
        format!(
            "the greatest chance of lying below the cold mark of {} is {}",
            degrees(cold_mark_c, manner),
            odds(worst)
        )
    } else {
        format!("no future of those weighed goes below the cold mark of {}", degrees(cold_mark_c, manner))
    };
    format!(
        "Dawn water likely falls to {} by {}; {risk}.",
        degrees(coldest.water_c.middle, manner),
        day_short(coldest.day)
    )
}

/// A row of the table of dawns.
pub fn dawn_row(dawn: &Dawn, manner: Manner) -> [String; 4] {
    [
        day_short(dawn.day),
        degrees(dawn.water_c.middle, manner),
        format!("{} to {}", bare(dawn.water_c.low, manner), degrees(dawn.water_c.high, manner)),
        if dawn.mark_chance > 0.0 { odds(dawn.mark_chance) } else { "in none weighed".to_owned() },
    ]
}

/// Two letters of a weekday, for an axis.
pub fn axis_day(of: Day) -> &'static str {
    &weekday(of)[..2]
}

/// A mark's label.
pub fn mark_label(temp_c: f64, cold: bool, manner: Manner) -> String {
    let degrees = degrees(temp_c, manner);
    if cold { format!("cold mark {degrees}") } else { format!("they follow above {degrees}") }
}

/// Legend of the dawns.
pub const DAWNS_LEGEND: &str = "Line: likely. Band: 8 of 10. Ringed dot: your thermometer. Hatched: below the cold mark. Block above: \
    water going down, then the catch.";

/// What a person must know before the answer is acted on: ponds that cannot come out, and a forecast that is old or missing.
pub fn warnings(outlook: &Outlook, manner: Manner) -> Vec<String> {
    outlook.notes.iter().filter(|note| is_warning(note, outlook.on)).filter_map(|note| say_note(note, manner)).collect()
}

/// What stands against the plan itself: to be read before it is accepted.
pub fn plan_warnings(outlook: &Outlook, manner: Manner) -> Vec<String> {
    let of = |note: &&Note| {
        matches!(note, Note::Yielded { .. } | Note::Left { .. } | Note::GoesDownBy { .. } | Note::CannotBeSaved { .. })
    };
    outlook.notes.iter().filter(of).filter_map(|note| say_note(note, manner)).collect()
}

/// Those of them that speak of one pond.
pub fn pond_warnings(outlook: &Outlook, name: &str, manner: Manner) -> Vec<String> {
    let of = |note: &&Note| match note {
        Note::ReadingFar { pond, .. }
        | Note::Left { pond, .. }
        | Note::CannotBeSaved { pond }
        | Note::GoesDownBy { pond, .. }
        | Note::Overflowed { pond, .. } => pond == name,
        _ => false,
    };
    outlook.notes.iter().filter(of).filter_map(|note| say_note(note, manner)).collect()
}

/// How old the forecast is.
pub fn age(outlook: &Outlook) -> String {
    forecast_age(outlook)
}

fn is_warning(note: &Note, today: Day) -> bool {
    /// Days for which water over a bank stands in the morning's first lines; after that on the pond's own page, d.
    const FRESH_D: i32 = 10;
    if let Note::Overflowed { on, .. } = note {
        return today.0 - on.0 <= FRESH_D;
    }
    matches!(
        note,
        Note::ReadingFar { .. }
            | Note::ForecastFar { .. }
            | Note::Left { .. }
            | Note::CannotBeSaved { .. }
            | Note::GoesDownBy { .. }
            | Note::OldForecast { .. }
            | Note::NoForecast
    )
}

/// How the answer was made, and what a person should know of it.
pub fn made(outlook: &Outlook, manner: Manner) -> Vec<String> {
    let (first, last, many) = outlook.past_years;
    let invented = if outlook.past_is_invented { " (an invented past: a record moved in time)" } else { "" };
    let mut said = vec![format!(
        "From {} futures out of {many} past seasons, {first} to {last}{invented}; seed {}.",
        outlook.members, outlook.seed
    )];
    said.extend(
        outlook.notes.iter().filter(|note| !is_warning(note, outlook.on)).filter_map(|note| say_note(note, manner)),
    );
    let assumed = outlook.notes.iter().filter(|note| say_note(note, manner).is_none()).count();
    if assumed > 0 {
        said.push(format!("{assumed} figures not given for this farm were taken from the table of inputs: our guesses until you give yours."));
    }
    said
}
