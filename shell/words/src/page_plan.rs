//! The harvest plan page in words.

use season::answer::{Outlook, PondDay, PondOutlook, Task, TaskKind};
use units::{Day, Instant, Zone};

use crate::figures::{Manner, clock, day, day_short, mass, money, odds, weekday};
use crate::morning::{binds, by_start, catch_days, guard, how_sure, not_proved, say_task_by, when, whole};

/// Heading of what waiting brings.
pub const WAITING: &str = "What waiting brings";
/// Legend of the chart of worth.
pub const WORTH_LEGEND: &str = "Plain bars: what growth adds, or below the line what feeding and holding cost beyond it. Hatched: what cold takes. Line: what is left, beside \
    catching it on the first day that can still be had. Ringed dot: the best day for this pond by itself.";
/// Caption of its table.
pub const WORTH_TABLE: &str = "If caught on";
/// Column heads.
pub const WORTH_HEADS: [&str; 5] =
    ["Caught on", "Water down by", "Likely brings", "1 in 20: less than", "Lost a fifth"];
/// Heading of the question.
pub const WHAT_IF: &str = "And if?";
/// What it does.
pub const WHAT_IF_HINT: &str =
    "Change what you like; the whole plan is weighed again on the same futures. Nothing is kept.";
/// Send the question.
pub const ASK: &str = "Weigh it again";
/// Back to the plan as it stands.
pub const AS_IS: &str = "Back to the plan as it stands";
/// While it is reckoned.
pub const ASKING: &str = "Weighing it again: a few seconds. This page fetches the answer by itself.";
/// Labels of the question's fields.
pub const HANDS: &str = "Hands more or fewer";
/// Ice.
pub const ICE: &str = "Ice a day, % of usual";
/// Prices.
pub const PRICE: &str = "Prices, % of usual";
/// What may be typed into these three.
pub const AS: [&str; 3] = ["as 2 or -2", "as 80", "as 110"];
/// Appetite for risk.
pub const RISK: &str = "Money lost to cold weighs";
/// Pond of a lock.
pub const LOCK: &str = "Catch this pond";
/// Its day.
pub const LOCK_ON: &str = "on this day";
/// Pond of a ban.
pub const BAN: &str = "Do not catch";
/// Its day.
pub const BAN_ON: &str = "on this day";
/// No pond chosen.
pub const NONE: &str = "no pond";
/// No day chosen.
pub const NO_DAY: &str = "no day";
/// Nothing changed.
pub const AS_IT_IS: &str = "as now";
/// Heading of the comparison.
pub const AGAINST: &str = "As it stands, and if";
/// Its column heads.
pub const AGAINST_HEADS: [&str; 3] = ["Pond", "As it stands", "And if"];
/// Row of the whole.
pub const WHOLE: &str = "The whole";
/// To the second step.
pub const TO_ACCEPT: &str = "Look at what this plan sets going";
/// Title of the second step.
pub const ACCEPT: &str = "What this plan sets going";
/// Its hint.
pub const ACCEPT_HINT: &str =
    "Read it through before anything is started. Dates may still move with the forecast until water goes down.";
/// Where nothing can be kept.
pub const NOT_KEPT: &str =
    "The acceptance cannot be kept here yet: write it where your people look, and print this page.";
/// The button.
pub const ACCEPT_NOW: &str = "Accept this plan";
/// The plan changed between reading and accepting.
pub const MOVED: &str =
    "The plan has changed since this page was opened, and nothing was accepted. Read it again below.";
/// Back.
pub const NOT_YET: &str = "Back to the plan";

/// Which risk weights are offered, as typed and as said.
pub const RISKS: [(&str, &str); 4] =
    [("1", "like any other"), ("1.5", "half as much again"), ("2", "twice"), ("4", "four times")];

/// The plan's headline: each pond with its day, soonest first.
pub fn headline(outlook: &Outlook) -> String {
    let ponds = by_start(outlook);
    let said: Vec<String> = ponds
        .iter()
        .filter_map(|pond| {
            let catch = pond.planned?.catch_day;
            let soon = catch.0 - outlook.on.0 < 7;
            Some(format!("{} {}", pond.name, if soon { weekday(catch).to_owned() } else { day(catch) }))
        })
        .collect();
    match said.as_slice() {
        [] => "No pond can be brought out within the limits named.".to_owned(),
        all => format!("{}.", all.join(", ")),
    }
}

/// Worth, how sure, the guard, and what binds.
pub fn reasons(outlook: &Outlook) -> Vec<String> {
    let mut said = vec![whole(outlook), how_sure(outlook), guard(outlook)];
    said.extend(not_proved(outlook));
    said.extend(binds(outlook));
    said
}

/// Title of the chart of worth.
pub fn worth_title(pond: &str) -> String {
    format!("{pond}: what waiting brings, day by day")
}

/// The best day of a pond by itself.
pub fn best(pond: &PondOutlook) -> Option<&PondDay> {
    pond.days.iter().max_by(|a, b| a.worth_mean.total_cmp(&b.worth_mean))
}

/// What the chart of worth says; `last` is the last day that it shows.
pub fn worth_says(outlook: &Outlook, pond: &PondOutlook, last: Option<&PondDay>) -> String {
    let (Some(best), Some(last)) = (best(pond), last) else {
        return "No day is left on which it can be caught.".to_owned();
    };
    let known = (best.worth_mean - best.worth_p05).abs() / 20.0;
    let coins = |amount: f64| money(amount, known.max(500.0), outlook.currency);
    let planned = pond.planned.map(|planned| planned.catch_day);
    let rest = if last.day == best.day {
        String::new()
    } else {
        format!(
            " Waiting until {} would leave about {} less.",
            day_short(last.day),
            coins(best.worth_mean - last.worth_mean)
        )
    };
    if planned == Some(best.day) {
        return format!("Its planned day, {}, is also its best by itself.{rest}", day_short(best.day));
    }
    let Some(taken) = planned.map(day_short) else {
        return format!(
            "By itself it is best caught on {}; the joint plan has no day for it.{rest}",
            day_short(best.day)
        );
    };
    let behind =
        pond.days.iter().find(|line| Some(line.day) == planned).map(|line| coins(best.worth_mean - line.worth_mean));
    match behind.filter(|amount| amount.contains(|digit: char| ('1'..='9').contains(&digit))) {
        Some(behind) => format!(
            "By itself it is best caught on {}; the joint plan takes {taken}, for about {behind} less.{rest}",
            day_short(best.day)
        ),
        None => format!(
            "By itself it is best caught on {}; the joint plan takes {taken}, with no difference that can be told.{rest}",
            day_short(best.day)
        ),
    }
}

/// How well a day's worth is known, coins: a tenth of the way down to its lower end (one in twenty), about a sixth of its spread.
pub fn worth_known_to(mean_coins: f64, p05_coins: f64) -> f64 {
    (mean_coins - p05_coins) / 10.0
}

/// A row of the table of worth.
pub fn worth_row(outlook: &Outlook, line: &PondDay, manner: Manner) -> [String; 5] {
    let known = worth_known_to(line.worth_mean, line.worth_p05);
    [
        day_short(line.day),
        format!("{} {}", day_short(line.start.0), clock(line.start.1 * 3600, manner)),
        money(line.worth_mean, known, outlook.currency),
        money(line.worth_p05, 3.0 * known, outlook.currency),
        odds(line.loss_chance),
    ]
}

/// A step of the scale of worth.
pub fn worth_step(coins: f64, currency: units::Currency) -> String {
    let said = money(coins, 1.0, currency);
    if coins > 0.0 { format!("+{said}") } else { said }
}

/// Short day for a list.
pub fn pick(of: Day) -> String {
    day_short(of)
}

/// How a pond is caught in a plan, for the comparison.
pub fn caught(pond: Option<&PondOutlook>) -> String {
    match pond.and_then(|pond| pond.planned) {
        None => "not brought out".to_owned(),
        Some(planned) => catch_days(&planned),
    }
}

/// The whole's worth, for the comparison.
pub fn whole_worth(outlook: &Outlook) -> String {
    let worth = &outlook.plan.decision.worth;
    money(worth.mean, worth.standard_error, outlook.currency)
}

/// How much the change is worth.
pub fn difference(before: &Outlook, after: &Outlook) -> String {
    let known = before.plan.decision.worth.standard_error.max(100.0);
    let gain = after.plan.decision.worth.mean - before.plan.decision.worth.mean;
    let amount = money(gain.abs(), known, before.currency);
    // The futures are the same on both sides, so the difference is known better than either; its own error is not reckoned here.
    if !amount.contains(|digit: char| ('1'..='9').contains(&digit)) {
        return "It makes no difference that can be told.".to_owned();
    }
    if gain > 0.0 { format!("It would bring about {amount} more.") } else { format!("It would cost about {amount}.") }
}

/// A field that cannot be read.
pub fn unreadable(label: &str, typed: &str) -> String {
    format!("{label}: \"{typed}\" was not understood. Write a whole number, or leave it empty.")
}

/// A field out of its range.
pub fn out_of_range(label: &str, from: f64, to: f64) -> String {
    format!("{label}: from {from} to {to} can be asked.")
}

/// A pond without its day, or the other way round.
pub fn half_said(label: &str) -> String {
    format!("{label}: choose both a pond and a day.")
}

/// What a plan sets going on one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetDay {
    /// The day.
    pub heading: String,
    /// Orders, calls and starts in order of the hour, then what is caught.
    pub lines: Vec<String>,
}

/// Heading: the near days of catch with their crews.
pub const REHEARSED: &str = "The crew's day, rehearsed";
/// What the plan's weight is beside it.
pub const COUNTS_ALL: &str = "The plan counts all of a pond for its day of catch. What stays in the water by the rehearsal needs another day or more hands: look there at what binds.";

/// What the plan sets going, day by day: tasks, starts, orders and calls in order of the hour, and the catches.
pub fn sets_going(outlook: &Outlook, manner: Manner) -> Vec<SetDay> {
    // Past midnight an hour belongs to the next day; what is caught stands last on its day.
    const CATCH: i32 = 24;
    let hour = |at: (Day, i32)| clock(at.1 * 3600, manner);
    let mut all: Vec<((Day, i32), String)> = Vec::new();
    for task in outlook.tasks.iter().chain(&outlook.coming) {
        all.push((task.by, say_task_by(outlook, task, &hour(task.by), manner)));
    }
    for pond in by_start(outlook) {
        let Some(planned) = pond.planned else { continue };
        let is_told = |task: &Task| matches!(&task.what, TaskKind::StartDown { pond: name, .. } if *name == pond.name);
        if !outlook.tasks.iter().any(is_told) {
            let (name, at, catch) = (&pond.name, hour(planned.start), catch_days(&planned));
            let said = match pond.going_down {
                Some(since) => format!("{name}'s water goes down since {}; {catch}.", when(outlook, since, manner)),
                None => format!("{name}'s water starts down at {at}; {catch}."),
            };
            // What began before today stands under today.
            all.push((planned.start.max((outlook.on, 0)), said));
        }
        if let Some(line) = pond.days.iter().find(|line| line.day == planned.catch_day) {
            let mass = mass(line.caught_kg, manner);
            let over = match planned.second_day.filter(|_| !planned.parts) {
                Some(second) => format!(", over two days to {}", day(second)),
                None => String::new(),
            };
            all.push(((line.day, CATCH), format!("{}: about {mass} to catch, rinse and chill{over}.", pond.name)));
        }
    }
    all.sort_by_key(|(at, _)| *at);
    let mut days: Vec<(Day, SetDay)> = Vec::new();
    for ((on, _), line) in all {
        match days.last_mut() {
            Some((last, set)) if *last == on => set.lines.push(line),
            _ => days.push((on, SetDay { heading: set_day(outlook, on), lines: vec![line] })),
        }
    }
    days.into_iter().map(|(_, set)| set).collect()
}

fn set_day(outlook: &Outlook, on: Day) -> String {
    match on.0 - outlook.on.0 {
        0 => format!("Today, {}", day(on)),
        1 => format!("Tomorrow, {}", day(on)),
        _ => day(on),
    }
}

/// The plan as it is entered in the record when it is accepted.
pub fn as_entry(outlook: &Outlook, manner: Manner) -> String {
    let days = sets_going(outlook, manner).into_iter().map(|set| format!("{}:\n{}", set.heading, set.lines.join("\n")));
    format!("{}\n{}", headline(outlook), days.collect::<Vec<_>>().join("\n"))
}

/// What was accepted last.
pub fn accepted(at: Instant, zone: &Zone, same: bool, manner: Manner) -> String {
    let (on, second) = zone.day_and_second(at);
    let when = format!("{} at {}", day(on), clock(second / 60 * 60, manner));
    if same {
        format!("This plan was accepted on {}.", when.trim_end_matches('.'))
    } else {
        format!("Another plan was accepted on {when}; it stands until this one is accepted.")
    }
}
