//! From entries to a day's record.

use units::{Day, Instant, Zone};

use super::{Basket, Closed, Cold, ColdOf, DAY_KINDS, DayRecord, Edge, Moved, People, Place, Watched, Written};
use crate::facts::{Fact, Kept, current, read_typed};

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

/// A day's record, of one pond or of all. `facts` in any order.
pub fn harvest_day(facts: &[Kept], zone: &Zone, day: Day, pond: Option<&str>) -> DayRecord {
    let (from, before) = working_day(day, zone);
    let night = watched_from(day, zone);
    let mut record = DayRecord::default();
    let entries = current(facts);
    for entry in entries.iter().filter(|entry| DAY_KINDS.contains(&entry.first.fact.kind.as_str())) {
        let head = entry.settled().unwrap_or(entry.heads[0]);
        let at = head.fact.happened.at;
        let begins = if head.fact.kind == "watch" { night } else { from };
        let elsewhere = pond.is_some_and(|pond| head.fact.pond().is_some_and(|own| own != pond));
        if at < begins || at >= before || elsewhere || head.fact.strikes() {
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
        if entry.settled().is_none() || !record.take(&head.fact, written) {
            record.unsettled += 1;
        }
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
        let says = |name: &str| fact.text(name).map(|text| matches!(text, "yes" | "true"));
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
                self.moved.push(Moved {
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
