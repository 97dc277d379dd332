//! The water on its way down: where it should stand, and what must wake somebody, on a pond's board, on the board of all and in the morning.

use farm::PondCard;
use farm::facts::{DayRecord, Kept};
use maud::{Markup, html};
use season::night::{Night, night};
use units::Instant;
use words::page_harvest as say;

use super::{known, record_of};
use crate::parts::entry;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// A pond's night; `None` where its water does not go down, or everybody is out and the pond is done.
fn of_pond(facts: &Served, card: &PondCard, day: &DayRecord, now: Instant) -> Option<Night> {
    let is_done = card.harvested.is_some() || day.of_pond(&card.id).closed.iter().any(|closed| closed.all_out);
    if is_done { None } else { night(&facts.farm, card, day, now) }
}

/// On one pond's board: where its water should stand, and what must wake somebody.
pub(super) fn night_of(facts: &Served, day: &DayRecord, pond: Option<&str>, now: Instant) -> Markup {
    let Some(card) = facts.farm.ponds.iter().find(|card| Some(card.id.as_str()) == pond) else { return html! {} };
    let Some(night) = of_pond(facts, card, day, now) else { return html! {} };
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    html! {
        section.part aria-labelledby="h-night" {
            h2 id="h-night" { (say::NIGHT) }
            @if !night.alarms.is_empty() {
                div.trouble role="alert" { @for alarm in &night.alarms { p { (say::alarm(alarm, night.who_watches.as_deref(), zone, manner)) } } }
            }
            @for said in say::night(&night, now, zone, manner) { p { (said) } }
        }
    }
}

/// What must wake somebody at any pond, by its name, with the way to its board.
pub(super) fn alarms(facts: &Served, entries: &[Kept], now: Instant) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let of = |card| Some((card, of_pond(facts, card, &record_of(facts, entries, now, Some(&card.id)), now)?));
    let nights: Vec<(&PondCard, Night)> = facts.farm.ponds.iter().filter_map(of).collect();
    html! {
        @for (card, night) in nights.iter().filter(|(_, night)| !night.alarms.is_empty()) {
            div.trouble.wakes role="alert" {
                p { a href=(format!("/f/{}/harvest?pond={}", facts.id, card.id)) { (say::of_pond_alarm(&card.name)) } }
                @for alarm in &night.alarms { p { (say::alarm(alarm, night.who_watches.as_deref(), zone, manner)) } }
            }
        }
    }
}

/// The same for the morning.
pub fn of_morning(site: &Site, facts: &Served) -> Markup {
    // On most mornings no water goes down, and nothing is read.
    let is_going = facts.farm.ponds.iter().any(|card| card.draining_since.is_some());
    let Some(record) = site.record().filter(|_| is_going) else { return html! {} };
    let now = entry::now(facts, record.now_ms()).0;
    // The record's own pages say what ails it.
    match waiting(|| known(record, facts, now)) {
        Ok(entries) => alarms(facts, &entries, now),
        Err(_) => html! {},
    }
}
