//! What the morning asks of ponds that came out: the second walk, and the catch that nobody entered.

use farm::facts::market::Pool;
use farm::facts::{ColdOf, DayRecord, Place, tubs, working_day, working_day_of};
use maud::{Markup, html};
use store::StoreError;
use units::{Day, Instant};
use words::page_harvest as say;

use super::{known, record_of};
use crate::keeping;
use crate::market_read::Known;
use crate::parts::entry;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Days after its catch on which a pond's puddles are still asked for, d.
const WALK_D: i32 = 2;

/// Ponds that came out yesterday or the day before and whose puddles nobody has walked a second time; and those of which something was
/// weighed that still count as full.
pub fn still_open(site: &Site, facts: &Served) -> Markup {
    let Some(record) = site.record() else { return html! {} };
    let now = entry::now(facts, record.now_ms()).0;
    let zone = &facts.farm.place.zone;
    let today = working_day_of(now, zone);
    let before = |days: i32| Instant(working_day(today.plus(-days), zone).1.0 - 1);
    let read = waiting(|| {
        (0..=WALK_D)
            .map(|days| Ok((before(days), known(record, facts, before(days))?)))
            .collect::<Result<Vec<_>, StoreError>>()
    });
    // The record's own pages say what ails it.
    let Ok(days) = read else { return html! {} };
    let mut open: Vec<Markup> = Vec::new();
    for card in &facts.farm.ponds {
        for (at, entries) in &days {
            let day = record_of(facts, entries, *at, Some(&card.id));
            if day.baskets.is_empty() {
                continue;
            }
            let on = working_day_of(*at, zone);
            let thought = || waiting(|| keeping::mass_kg(record, &facts.id, on, &card.name));
            let thought_kg = day.closed.last().and_then(|_| thought());
            if let Some(said) = say::too_few(&day, thought_kg, facts.manner) {
                let to = format!("/f/{}/harvest?pond={}&day={on}", facts.id, card.id);
                open.push(html! { p.trouble { a href=(to) { (card.name) } ": " (said) } });
            }
            // One that is being caught today is not over.
            if working_day_of(*at, zone) == today {
                break;
            }
            let is_yesterday = on == today.plus(-1);
            if !day.closed.iter().any(|closed| closed.second_walk_kg.is_some()) {
                let to = format!("/f/{}/harvest/close?pond={}", facts.id, card.id);
                open.push(html! { p { a href=(to) { (say::walk_again(&card.name, on, is_yesterday)) } } });
            }
            if card.harvested.is_none() {
                let to = catch_entry(facts, &day, &card.id, Some(on));
                open.push(html! { p.trouble { a href=(to) { (say::still_full(&card.name, day.came_out_kg(), on, facts.manner)) } } });
            }
            break;
        }
    }
    let records: Vec<DayRecord> = days.iter().map(|(at, entries)| record_of(facts, entries, *at, None)).collect();
    if let Some(said) = unread_tanks(record, facts, &records, now) {
        open.push(html! { p.trouble { a href=(format!("/f/{}/harvest", facts.id)) { (said) } } });
    }
    html! { @for one in open { (one) } }
}

/// Hours after which live animals that nobody looked at are told of, h: a look every two hours, and some grace.
const UNREAD_H: f64 = 3.0;
/// Less than this in live tanks is what scales differ by, kg.
const LIVE_LEAST_KG: f64 = 1.0;

/// Live tanks that hold animals by what was written and that nobody has read for hours.
fn unread_tanks(record: &Record, facts: &Served, days: &[DayRecord], now: Instant) -> Option<String> {
    let in_tanks: f64 = tubs(days, Place::Live).iter().map(|tank| tank.held_kg.max(0.0)).sum();
    if in_tanks < LIVE_LEAST_KG {
        return None;
    }
    let looks = days.iter().flat_map(|day| &day.colds).filter(|cold| cold.of == ColdOf::Live);
    let baskets = days.iter().flat_map(|day| &day.baskets).filter(|basket| basket.to == Place::Live);
    let last = looks.map(|cold| cold.written.at).chain(baskets.map(|basket| basket.written.at)).max()?;
    let hours = (now.0 - last.0) as f64 / 3600.0;
    if hours < UNREAD_H {
        return None;
    }
    // What was sold over a table was not moved by hand.
    let known = waiting(|| Known::read(record, facts)).ok()?;
    let left_kg = in_tanks - known.market.sold_kg(Pool::Live).max(0.0);
    (left_kg > LIVE_LEAST_KG).then(|| say::tanks_unread(left_kg, hours, facts.manner))
}

/// The way to a catch's own entry, with what is known of it.
pub(super) fn catch_entry(facts: &Served, day: &DayRecord, pond: &str, past: Option<Day>) -> String {
    let unit = words::page_log::units("caught", facts.manner).first().map_or("kg", |(_, unit)| unit);
    let kg = day.came_out_kg();
    let caught = if unit == "lb" { kg / 0.453_592_37 } else { kg };
    let when = past.map_or(String::new(), |day| format!("&when={day}T12:00"));
    format!("/f/{}/log/new?kind=catch&pond={pond}&caught={caught:.1}+{unit}&empty=yes{when}", facts.id)
}
