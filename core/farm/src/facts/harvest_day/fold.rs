//! From entries to a day's record.

use std::collections::BTreeSet;

use units::{Day, Instant, Zone};

use super::{Basket, Closed, Cold, ColdOf, DAY_KINDS, DayRecord, Edge, Moved, People, Place, Watched, Written};
use crate::facts::{Entry, Fact, Kept, current, read_typed};

/// What is written at the close of a pond within so many days of its catch belongs to it, d: the second walk is done at the next first
/// light, or when somebody comes to it.
const CLOSE_D: i32 = 2;

/// Hour at which a working day begins, h.
const BEGINS_H: i32 = 3;
/// The watch is read from noon so many days before: large ponds are two nights and more on their way down, d.
const WATCH_D: i32 = 4;
/// Noon, h.
const WATCH_H: i32 = 12;

/// The moments between which entries belong to a day.
pub fn working_day(day: Day, zone: &Zone) -> (Instant, Instant) {
    (zone.instant(day, 3600 * BEGINS_H), zone.instant(day.plus(1), 3600 * BEGINS_H))
}

/// The working day that a moment belongs to.
pub fn working_day_of(at: Instant, zone: &Zone) -> Day {
    let (day, second) = zone.day_and_second(at);
    if second < 3600 * BEGINS_H { day.plus(-1) } else { day }
}

/// The first moment of which entries of a day are read: the nights before are part of it.
pub fn watched_from(day: Day, zone: &Zone) -> Instant {
    zone.instant(day.plus(-WATCH_D), 3600 * WATCH_H)
}

/// The last moment of which entries of a day are read: a pond's close is part of the day it was caught on.
pub fn closed_before(day: Day, zone: &Zone) -> Instant {
    working_day(day.plus(CLOSE_D), zone).1
}

/// Days on which a pond's animals were weighed, and on which everybody was counted out of it.
#[derive(Default)]
struct CatchDays<'a> {
    weighed: BTreeSet<(&'a str, Day)>,
    closed: BTreeSet<(&'a str, Day)>,
}

impl<'a> CatchDays<'a> {
    fn of(entries: &[Entry<'a>], zone: &Zone) -> CatchDays<'a> {
        let mut days = CatchDays::default();
        for head in entries.iter().filter_map(Entry::settled) {
            let on = working_day_of(head.fact.happened.at, zone);
            match (head.fact.pond(), head.fact.kind.as_str()) {
                (Some(pond), "basket") => _ = days.weighed.insert((pond, on)),
                (Some(pond), "closed") if says(&head.fact, "all_out") == Some(true) => {
                    days.closed.insert((pond, on));
                }
                _ => {}
            }
        }
        days
    }

    /// The day that a pond's close belongs to: the first of the last days on which its animals were weighed and everybody was counted out;
    /// else the last on which they were weighed; else its own.
    fn of_close(&self, pond: &str, on: Day) -> Day {
        let near = |day: &Day| self.weighed.contains(&(pond, *day));
        let mut back = (on.0 - CLOSE_D..=on.0).map(Day).filter(near);
        back.clone().find(|day| self.closed.contains(&(pond, *day))).or(back.next_back()).unwrap_or(on)
    }
}

fn says(fact: &Fact, name: &str) -> Option<bool> {
    fact.text(name).map(|text| matches!(text, "yes" | "true"))
}

/// A day's record, of one pond or of all. `facts` in any order; a second walk written on a day after is found with [`closed_before`].
pub fn harvest_day(facts: &[Kept], zone: &Zone, day: Day, pond: Option<&str>) -> DayRecord {
    let entries = current(facts);
    of_entries(&entries, &CatchDays::of(&entries, zone), zone, day, pond)
}

/// What came out of ponds by their baskets and by what a second walk brought, where everybody was counted out and no live animal is left
/// or not: pond, day, kg, and whether it is empty. `entries` of all days.
pub(crate) fn caught_by_baskets<'a>(entries: &[Entry<'a>], zone: &Zone) -> Vec<(&'a str, Day, f64, bool)> {
    let of_day: Vec<Entry<'_>> =
        entries.iter().filter(|entry| matches!(entry.first.fact.kind.as_str(), "basket" | "closed")).cloned().collect();
    let days = CatchDays::of(&of_day, zone);
    let told = days.weighed.iter().map(|&(pond, day)| {
        let record = of_entries(&of_day, &days, zone, day, Some(pond));
        let is_empty = record.closed.last().is_some_and(|closed| closed.all_out && closed.none_left == Some(true));
        (pond, day, record.came_out_kg(), is_empty)
    });
    told.collect()
}

fn of_entries(entries: &[Entry<'_>], days: &CatchDays<'_>, zone: &Zone, day: Day, pond: Option<&str>) -> DayRecord {
    let (from, before) = working_day(day, zone);
    let night = watched_from(day, zone);
    let mut record = DayRecord::default();
    for entry in entries.iter().filter(|entry| DAY_KINDS.contains(&entry.first.fact.kind.as_str())) {
        let head = entry.settled().unwrap_or(entry.heads[0]);
        let at = head.fact.happened.at;
        let begins = if head.fact.kind == "watch" { night } else { from };
        let elsewhere = pond.is_some_and(|pond| head.fact.pond().is_some_and(|own| own != pond));
        let is_of_day = match head.fact.pond().filter(|_| head.fact.kind == "closed") {
            Some(pond) => days.of_close(pond, working_day_of(at, zone)) == day,
            None => begins <= at && at < before,
        };
        if !is_of_day || elsewhere || head.fact.strikes() {
            continue;
        }
        let written = Written {
            id: entry.first.fact.id.clone(),
            head: head.fact.id.clone(),
            at,
            typed_ms: entry.first.fact.typed_ms,
            person: head.fact.person.clone(),
            pond: head.fact.pond().map(str::to_owned),
            tub: head.fact.text("tub").map(str::to_owned),
        };
        // An entry of which one figure cannot be read counts with the rest, and is told all the same.
        let is_whole = read_typed(&head.fact.kind, head.fact.form, &head.fact.typed).slips.is_empty();
        if entry.settled().is_none() || !record.take(&head.fact, written) || !is_whole {
            record.unsettled += 1;
        }
    }
    for closed in &mut record.closed {
        let on = working_day_of(closed.written.at, zone);
        closed.is_weighed =
            on != day && closed.written.pond.as_deref().is_some_and(|pond| days.weighed.contains(&(pond, on)));
    }
    record.baskets.sort_by(|a, b| a.written.before(&b.written));
    record.moved.sort_by(|a, b| a.written.before(&b.written));
    record.colds.sort_by(|a, b| a.written.before(&b.written));
    record.edges.sort_by(|a, b| a.written.before(&b.written));
    record.watched.sort_by(|a, b| a.written.before(&b.written));
    record.closed.sort_by(|a, b| a.written.before(&b.written));
    record.people.sort_by(|a, b| a.written.before(&b.written));
    record
}

/// Names with a comma, a semicolon or a line between.
fn names(text: Option<&str>) -> Vec<String> {
    let parts = text.unwrap_or_default().split([',', ';', '\n']);
    parts.map(str::trim).filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

impl DayRecord {
    /// Takes one entry; whether it could be read.
    fn take(&mut self, fact: &Fact, written: Written) -> bool {
        let value = |name: &str| fact.values.get(name).copied();
        let place = |name: &str| fact.text(name).and_then(Place::parse);
        let says = |name: &str| says(fact, name);
        match fact.kind.as_str() {
            "basket" => {
                let (Some(weight), Some(to)) = (value("weight"), place("to")) else { return false };
                let net_kg = weight - value("tare").unwrap_or(0.0);
                if net_kg < 0.0 {
                    return false;
                }
                let by_hand = says("by_hand").unwrap_or(false);
                self.baskets.push(Basket { written, net_kg, to, count: value("count"), by_hand });
            }
            "moved" => {
                let (Some(from), Some(to), Some(kg)) = (place("out_of"), place("into"), value("weight")) else {
                    return false;
                };
                // The first form had one word for both: what lay in a tub or tank was taken out of it, anything else went into it.
                let old = written.tub.clone();
                let is_out = matches!(from, Place::Chill | Place::Live);
                let text = |name: &str| fact.text(name).map(str::to_owned);
                self.moved.push(Moved {
                    out_tub: text("out_tub").or(old.clone().filter(|_| is_out)),
                    out_empty: says("out_empty") == Some(true),
                    into_tub: text("into_tub").or(old.filter(|_| !is_out)),
                    written,
                    from,
                    to,
                    weight_kg: kg,
                    is_tails: fact.text("form_of") == Some("tails"),
                });
            }
            "cold" => return self.take_cold(fact, written),
            "edge" => self.edges.push(Edge {
                written,
                below_full_m: value("stage"),
                pass_count: value("passes"),
                stranded: fact.text("stranded").map(str::to_owned),
                people_count: value("in_water"),
            }),
            "watch" => self.watched.push(Watched {
                written,
                below_full_m: value("stage"),
                screen: fact.text("screen").map(str::to_owned),
                pump: fact.text("pump").map(str::to_owned),
                fuel_h: value("fuel_left"),
                opened: fact.text("opened").map(str::to_owned),
                who_watches: fact.text("who_watches").map(str::to_owned),
            }),
            "people" => self.people.push(People {
                written,
                came: names(fact.text("came")),
                gone: names(fact.text("gone")),
                here_count: value("here"),
            }),
            _ => self.closed.push(Closed {
                is_weighed: false,
                written,
                all_out: says("all_out").unwrap_or(false),
                none_left: says("none_left"),
                second_walk_kg: value("second_walk"),
                gear_back: says("gear_back"),
                reason: fact.text("reason").map(str::to_owned),
            }),
        }
        true
    }

    /// Takes a look at something cold; whether it could be read.
    fn take_cold(&mut self, fact: &Fact, written: Written) -> bool {
        let value = |name: &str| fact.values.get(name).copied();
        // A figure that cannot be read must not pass for one that was not taken.
        if !read_typed(&fact.kind, fact.form, &fact.typed).slips.is_empty() {
            return false;
        }
        let of = fact.text("place").and_then(|word| ColdOf::ALL.iter().find(|(known, _)| *known == word));
        let Some((_, of)) = of else { return false };
        self.colds.push(Cold {
            written,
            of: *of,
            temp_c: value("temperature"),
            oxygen_mg_l: value("oxygen"),
            dead_count: value("deaths"),
            ice_kg: value("ice"),
            ice_seen: fact.text("ice_seen").map(|text| matches!(text, "yes" | "true")),
            action: fact.text("action").map(str::to_owned),
        });
        true
    }

    /// What of it speaks of one pond, or of none.
    pub fn of_pond(&self, pond: &str) -> DayRecord {
        let is_its = |written: &Written| written.pond.as_deref().is_none_or(|own| own == pond);
        DayRecord {
            baskets: self.baskets.iter().filter(|one| is_its(&one.written)).cloned().collect(),
            moved: self.moved.iter().filter(|one| is_its(&one.written)).cloned().collect(),
            colds: self.colds.iter().filter(|one| is_its(&one.written)).cloned().collect(),
            edges: self.edges.iter().filter(|one| is_its(&one.written)).cloned().collect(),
            watched: self.watched.iter().filter(|one| is_its(&one.written)).cloned().collect(),
            closed: self.closed.iter().filter(|one| is_its(&one.written)).cloned().collect(),
            people: self.people.clone(),
            unsettled: self.unsettled,
        }
    }

    /// Live weight that left the water, kg.
    pub fn caught_kg(&self) -> f64 {
        self.baskets.iter().map(|basket| basket.net_kg).sum()
    }
    /// What second walks brought, less what of it was weighed in baskets and is a catch of its own, kg.
    pub fn walked_kg(&self) -> f64 {
        let mut ponds: Vec<&Closed> = Vec::new();
        for closed in self.closed.iter().rev().filter(|one| one.second_walk_kg.is_some()) {
            // Who writes it twice mends it: the last holds.
            if !ponds.iter().any(|one| one.written.pond == closed.written.pond) {
                ponds.push(closed);
            }
        }
        ponds.iter().filter(|one| !one.is_weighed).filter_map(|one| one.second_walk_kg).sum()
    }
    /// All that came out, kg: baskets, and what second walks brought beside them.
    pub fn came_out_kg(&self) -> f64 {
        self.caught_kg() + self.walked_kg()
    }
    /// What went to a place straight from the scale, kg.
    pub fn weighed_to_kg(&self, place: Place) -> f64 {
        self.baskets.iter().filter(|basket| basket.to == place).map(|basket| basket.net_kg).sum()
    }
    /// What is in a place now by what was weighed in and out, kg; below nothing when more was taken out than put in.
    pub fn held_kg(&self, place: Place) -> f64 {
        let to: f64 = self.moved.iter().filter(|moved| moved.to == place).map(|moved| moved.weight_kg).sum();
        let from: f64 = self.moved.iter().filter(|moved| moved.from == place).map(|moved| moved.weight_kg).sum();
        self.weighed_to_kg(place) + to - from
    }
    /// Ice put into tubs and tanks, kg.
    pub fn ice_kg(&self) -> f64 {
        self.colds.iter().filter_map(|cold| cold.ice_kg).sum()
    }
    /// Weight gathered by hand, kg.
    pub fn by_hand_kg(&self) -> f64 {
        self.baskets.iter().filter(|basket| basket.by_hand).map(|basket| basket.net_kg).sum()
    }
    /// Weight weighed within so many minutes before a moment, kg an hour; `None` while less than ten minutes lie behind.
    pub fn pace_kg_h(&self, now: Instant, minutes: f64) -> Option<f64> {
        let first = self.baskets.first()?.written.at;
        let span_s = ((now.0 - first.0) as f64).min(60.0 * minutes);
        if span_s < 600.0 {
            return None;
        }
        let since = Instant(now.0 - span_s as i64);
        let kg: f64 = self
            .baskets
            .iter()
            .filter(|one| one.written.at > since && one.written.at <= now)
            .map(|one| one.net_kg)
            .sum();
        Some(kg * 3600.0 / span_s)
    }
    /// Names of those who came and did not go home, in the order in which they came.
    pub fn names_here(&self) -> Vec<&str> {
        let mut here: Vec<&str> = Vec::new();
        let same = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
        for people in &self.people {
            for name in &people.came {
                if !here.iter().any(|known| same(known, name)) {
                    here.push(name);
                }
            }
            here.retain(|known| !people.gone.iter().any(|name| same(known, name)));
        }
        here
    }
    /// How many are here: by the last count, with the names that came and went since; by name where nobody counted; 0 while nobody wrote
    /// anything.
    pub fn here(&self) -> usize {
        let names = self.names_here().len();
        let Some(at) = self.people.iter().rposition(|people| people.here_count.is_some()) else { return names };
        let counted = self.people[at].here_count.unwrap_or(0.0).max(0.0) as usize;
        let then = DayRecord { people: self.people[..=at].to_vec(), ..DayRecord::default() }.names_here().len();
        (counted + names).saturating_sub(then)
    }
    /// Names that went home and never came, in the order in which they were written.
    pub fn gone_unknown(&self) -> Vec<&str> {
        let came: Vec<String> = self.people.iter().flat_map(|one| &one.came).map(|name| name.to_lowercase()).collect();
        let gone = self.people.iter().flat_map(|one| &one.gone);
        gone.filter(|name| !came.contains(&name.to_lowercase())).map(String::as_str).collect()
    }
    /// The last count of people in the water: how many, and when.
    pub fn in_water(&self) -> Option<(f64, Instant)> {
        self.edges.iter().rev().find_map(|edge| Some((edge.people_count?, edge.written.at)))
    }
    /// The last reading of the water's edge in the day or the night before: below full, m, and when.
    pub fn water(&self) -> Option<(f64, Instant)> {
        let edges = self.edges.iter().filter_map(|edge| Some((edge.below_full_m?, edge.written.at)));
        let watched = self.watched.iter().filter_map(|one| Some((one.below_full_m?, one.written.at)));
        edges.chain(watched).max_by_key(|(_, at)| *at)
    }
}
