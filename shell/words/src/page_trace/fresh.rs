//! How fresh a lot is, in words that a tired person reads right.

use season::freshness::{Clock, FREEZE_BY_H, Fresh, Keeps};
use units::{Instant, Zone};

use super::CLOCK_FROM;
use crate::figures::{Manner, date_year as day, stopped};
use crate::page_harvest::at;

/// A form that has a clock.
pub fn keeps(keeps: Keeps) -> &'static str {
    match keeps {
        Keeps::Live => "Live",
        Keeps::Whole => "Whole, on ice",
        Keeps::Tails => "Tails, on ice",
        Keeps::Frozen => "Frozen",
    }
}

/// An age in words.
pub fn age(hours: f64) -> String {
    match hours {
        h if h < 48.0 => format!("{h:.0} h"),
        h if h < 24.0 * 60.0 => format!("{:.0} days", h / 24.0),
        h => format!("{:.0} months", h / 24.0 / 30.4),
    }
}

/// How fresh, short: beside a lot in a table.
pub fn fresh_short(clock: &Clock) -> String {
    let said = match clock.fresh {
        Fresh::Good => "at its best",
        Fresh::First => "sell first",
        Fresh::Late => "near its end: tell its age",
        Fresh::Over => "no longer as fresh",
    };
    format!("{said}, {} old", age(clock.age_h))
}

/// What a person at the sale must know of a lot's age; `None` while it is at its best.
pub fn warning(clock: &Clock, zone: &Zone, manner: Manner) -> Option<String> {
    let advice = advice(clock.keeps, clock.fresh, clock.stops, zone, manner)?;
    Some(format!("{}: {} old. {advice}", keeps(clock.keeps), age(clock.age_h)))
}

/// What is to be done about an age; `None` while it is at its best. It says no age, so that it holds until the next mark.
pub fn advice(keeps: Keeps, fresh: Fresh, stops: Instant, zone: &Zone, manner: Manner) -> Option<String> {
    let stops = moment_of(stops, zone, manner);
    Some(match (fresh, keeps) {
        (Fresh::Good, _) => return None,
        (Fresh::First, _) => stopped(format!("Sell it first; by {stops} at the latest")),
        (Fresh::Late, Keeps::Live) => {
            stopped(format!("Only the strong ones that flick away; the rest to ice or out. Over at {stops}"))
        }
        (Fresh::Late, _) => stopped(format!("Tell every buyer its age. Not sold as fresh from {stops}")),
        (Fresh::Over, Keeps::Frozen) => {
            "Past what is common for first quality; ask your inspector before you sell it.".to_owned()
        }
        (Fresh::Over, _) => format!(
            "Not to be sold as fresh any more (since {stops}). Hold it apart; your inspector says what may become of it."
        ),
    })
}

/// A moment with its day.
pub fn moment_of(moment: Instant, zone: &Zone, manner: Manner) -> String {
    let on = zone.day_and_second(moment).0;
    format!("{}, {}", day(on), at(moment, zone, manner))
}

/// A row of the freshness table.
pub fn fresh_row(clock: &Clock, zone: &Zone, manner: Manner) -> [String; 4] {
    let best = Instant(clock.since.0 + (3600.0 * clock.keeps.marks().sell_by_h) as i64);
    [
        keeps(clock.keeps).to_owned(),
        fresh_short(clock),
        moment_of(best, zone, manner),
        moment_of(clock.stops, zone, manner),
    ]
}

/// From when the clocks run.
pub fn clock_from(since: Instant, zone: &Zone, manner: Manner) -> String {
    let from = stopped(format!("{CLOCK_FROM} {}", moment_of(since, zone, manner)));
    format!("{from} To freeze: within {FREEZE_BY_H:.0} h of the catch.")
}
