//! The night's watch in sentences: where the water should stand, what wakes whom, what to look at.

use season::night::{Alarm, Night};
use units::{Instant, Zone};

use super::at;
use crate::figures::{Manner, day_short, depth, span, stopped};

/// Head of the night.
pub const NIGHT: &str = "The water on its way down";

/// An hour, with its day where that is not today.
pub(super) fn when_at(moment: Instant, now: Instant, zone: &Zone, manner: Manner) -> String {
    let day = zone.day_and_second(moment).0;
    let face = at(moment, zone, manner);
    if day == zone.day_and_second(now).0 { face } else { format!("{face} on {}", day_short(day)) }
}

/// How the night stands.
pub fn night(night: &Night, now: Instant, zone: &Zone, manner: Manner) -> Vec<String> {
    let mut said = vec![format!(
        "Let go at {}; by now it should stand {} below full.",
        when_at(night.opened, now, zone, manner),
        depth(night.expected_below_m, manner)
    )];
    // Hands are in it: neither the depth to come nor the next look is a question.
    if night.is_caught {
        return said;
    }
    said.push(match night.catch_at {
        Some(when) if when.0 - now.0 > 20 * 3600 => {
            format!("Catch depth in about {}.", span((when.0 - now.0) as f64 / 3600.0))
        }
        Some(when) => stopped(format!("Catch depth about {}", when_at(when, now, zone, manner))),
        None => "Catch depth is not reached within five days with what is open.".to_owned(),
    });
    said.push(stopped(format!("Look again by {}", when_at(night.next_look, now, zone, manner))));
    said.push(match &night.who_watches {
        Some(names) => stopped(format!("On watch: {names}")),
        None => "Nobody is named for the watch: write at Night watch who is awake until when, at the bank too. Herons, raccoons and thieves come to low water.".to_owned(),
    });
    said
}

/// Above what wakes somebody at a pond, where others are shown as well.
pub fn of_pond_alarm(pond: &str) -> String {
    format!("{pond}, water going down: somebody must go now.")
}

/// What wakes somebody, and what to do.
pub fn alarm(alarm: &Alarm, who_watches: Option<&str>, zone: &Zone, manner: Manner) -> String {
    match *alarm {
        Alarm::NotLooked { since_h } => format!(
            "Nobody has looked for {}: wake the next person{}. Screen, pump, fuel, level.",
            if since_h < 1.0 { "half an hour or more".to_owned() } else { span(since_h) },
            who_watches.map_or(String::new(), |names| format!(" ({names})"))
        ),
        Alarm::TooHigh { read_m, expected_m } => format!(
            "The water stands {} below full and should stand {}: look for a blocked screen, a pump that lost its prime or ran dry of fuel, \
             a ditch that has risen. Stop the pump before you reach for its strainer.",
            depth(read_m, manner),
            depth(expected_m, manner)
        ),
        Alarm::TooLow { read_m, expected_m } => format!(
            "The water stands {} below full, lower than the {} it should: is more open than was meant, is the bank or the screen holding? Hold the water \
             if crew and ice are not ready.",
            depth(read_m, manner),
            depth(expected_m, manner)
        ),
        Alarm::ScreenBlocked => {
            "The screen is blocked: clear it from the bank with a rake, never from below.".to_owned()
        }
        Alarm::PumpStopped => {
            "The pump has stopped: fuel, prime, strainer, in that order. Refuel cold, away from the water.".to_owned()
        }
        Alarm::FuelOut { at: when } => stopped(format!("Its fuel is burnt at {}", at(when, zone, manner))),
    }
}
