//! What the plan is worth, how sure it is, and what binds it.

use season::answer::Outlook;

use super::{limit_words, say_starts};
use crate::figures::{money, odds};

/// The worth of the whole, its bad year, and what watching the forecast adds.
pub(crate) fn whole(outlook: &Outlook) -> String {
    let decision = &outlook.plan.decision;
    let coins = |amount: f64, known: f64| money(amount, known, outlook.currency);
    let known = decision.worth.standard_error;
    let watching = decision.worth.mean - decision.fixed.mean;
    let empty = outlook.ponds.iter().all(|pond| pond.planned.is_none()) || decision.worth.mean <= 0.0;
    let watching = if empty {
        String::new()
    } else if watching > known.max(100.0) {
        format!("Watching the forecast and moving the dates is worth about {} of that.", coins(watching, known))
    } else {
        "Moving the dates later, as the forecast turns, is worth no more today than can be told.".to_owned()
    };
    format!(
        "The whole is worth about {}; one year in twenty brings less than {}.{}{watching}",
        coins(decision.worth.mean, 5.0 * known),
        coins(decision.worth.p05, 5.0 * known),
        if empty { "" } else { " " },
    )
}

/// The limit that costs most.
pub(crate) fn binds(outlook: &Outlook) -> Option<String> {
    let (limit, more, gain) = outlook.plan.binding.first()?;
    let coins = money(*gain, outlook.plan.worth.standard_error, outlook.currency);
    let ponds = if *more > 0 { " and bring another pond out" } else { "" };
    Some(format!("What binds most: {}. Without it the plan would make about {coins} more{ponds}.", limit_words(limit)))
}

/// That the search for dates ended before every other choice was ruled out, and how much better one could be.
pub(crate) fn not_proved(outlook: &Outlook) -> Option<String> {
    let decision = &outlook.plan.decision;
    if decision.fixed_proved {
        return None;
    }
    let rest = match decision.fixed_beyond {
        Some(coins) => format!("none can bring more than {} beyond what these bring", money_up_to(coins, outlook)),
        None => "another choice might still bring a pond out, or keep one from cold, that this one does not".to_owned(),
    };
    Some(format!("So many ponds share the hands and gear that not every choice of dates could be tried: {rest}."))
}

/// Money rounded up, to two figures: a bound must not be made smaller.
fn money_up_to(coins: f64, outlook: &Outlook) -> String {
    let step = 10.0_f64.powf(coins.max(100.0).log10().floor() - 1.0);
    money((coins / step).ceil() * step, 0.0, outlook.currency)
}

pub(crate) fn how_sure(outlook: &Outlook) -> String {
    let Some(runner_up) = &outlook.plan.decision.runner_up else {
        return "There was no other move to weigh today.".to_owned();
    };
    let other = say_starts(outlook, &runner_up.starts);
    let amount = money(runner_up.difference.abs(), runner_up.standard_error.max(100.0), outlook.currency);
    if runner_up.toss_up {
        return format!(
            "It is a toss-up with the next best move today ({other}): they are closer than can be told apart."
        );
    }
    let surely = runner_up.difference / runner_up.standard_error.max(1e-9);
    let how = if surely > 3.0 {
        "clearly"
    } else if surely > 1.5 {
        "probably"
    } else {
        "by a little"
    };
    format!("The next best move today is to {other}: {how} worse, by about {amount}.")
}

pub(crate) fn guard(outlook: &Outlook) -> String {
    let Some(chance) = outlook.guard_chance else {
        return "The guard is off: the plan may run any chance of the cold mark.".to_owned();
    };
    let report = &outlook.plan.decision.guard;
    let limit = odds(chance);
    if !report.binds {
        return format!("The guard (no full pond below the cold mark with more than {limit}) changes nothing today.");
    }
    let cost = money(report.cost, report.cost_standard_error.max(100.0), outlook.currency);
    format!(
        "The guard (no full pond below the cold mark with more than {limit}) moves the plan; it costs about {cost}."
    )
}
