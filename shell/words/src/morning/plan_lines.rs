//! The plan on the command line: the dates, their worth and how sure they are.

use season::answer::{Outlook, PondOutlook};

use super::{Lines, binds, by_day, by_start, catch_days, guard, how_sure, last_taken, not_proved, whole};
use crate::figures::{Manner, clock, day_short, degrees, money, odds};
use crate::page_plan::worth_known_to;

pub(super) fn plan_lines(out: &mut Lines, outlook: &Outlook, manner: Manner) {
    let decision = &outlook.plan.decision;
    let coins = |amount: f64, known: f64| money(amount, known, outlook.currency);
    out.line(&format!("--- The plan {}", "-".repeat(60)));
    for pond in by_start(outlook) {
        let planned = pond.planned.expect("only ponds with a plan are listed");
        let start = format!("{} {}", day_short(planned.start.0), clock(planned.start.1 * 3600, manner));
        let worth = pond.days.iter().find(|line| line.day == planned.catch_day);
        let money = worth.map_or(String::new(), |line| {
            format!("about {}", coins(line.worth_mean, worth_known_to(line.worth_mean, line.worth_p05)))
        });
        let catch = catch_days(&planned);
        out.line(&format!("  {:<10} start {start:<21} {catch}", pond.name));
        out.line(&format!("  {:<10} {money}", ""));
    }
    out.blank();
    out.wrapped(&whole(outlook));
    out.wrapped(&format!(
        "Lost to cold means dead, or below {} at dawn, too slow to follow the water down, and not found.",
        degrees(outlook.follow_mark_c, manner)
    ));
    for pond in by_start(outlook) {
        if let Some(sentence) = risk_of_waiting(outlook, pond) {
            out.wrapped(&sentence);
        }
    }
    out.wrapped(&how_sure(outlook));
    out.wrapped(&guard(outlook));
    if let Some(sentence) = not_proved(outlook) {
        out.wrapped(&sentence);
    }
    if let Some(sentence) = binds(outlook) {
        out.wrapped(&sentence);
    }
    if let Some(changed) = &decision.changed
        && !changed.moved.is_empty()
    {
        let names: Vec<&str> = changed
            .moved
            .iter()
            .filter_map(|(pond, ..)| outlook.ponds.get(*pond))
            .map(|pond| pond.name.as_str())
            .collect();
        out.wrapped(&format!("Since yesterday the dates of {} moved.", names.join(", ")));
    }
    out.blank();
}

/// What one day and one week more would bring and risk.
fn risk_of_waiting(outlook: &Outlook, pond: &PondOutlook) -> Option<String> {
    let planned = pond.planned?;
    let taken = last_taken(&planned);
    let at = pond.days.iter().position(|line| line.day == taken)?;
    let now = &pond.days[at];
    let later = |days: usize| pond.days.get(at + days);
    let change = |line: &season::answer::PondDay| {
        let gain = line.worth_mean - now.worth_mean;
        let known = (now.worth_mean - now.worth_p05).abs() / 20.0;
        let amount = money(gain.abs(), known.max(500.0), outlook.currency);
        // What rounds to nothing is not a figure.
        if !amount.contains(|digit: char| ('1'..='9').contains(&digit)) {
            return "makes no difference that can be told".to_owned();
        }
        if gain >= 0.0 { format!("brings about {amount} more") } else { format!("costs about {amount}") }
    };
    let (day, week) = (later(1)?, later(7));
    let mut sentence = format!(
        "{}: {} {}, cold has taken a fifth or more with a chance of {}. Caught a day later it {}, with a chance of {}",
        pond.name,
        if planned.parts { "left until" } else { "caught" },
        by_day(outlook, taken),
        odds(now.loss_chance),
        change(day),
        odds(day.loss_chance),
    );
    match week {
        Some(week) => {
            sentence.push_str(&format!("; a week later it {}, with {}.", change(week), odds(week.loss_chance)))
        }
        None => sentence.push('.'),
    }
    Some(sentence)
}
