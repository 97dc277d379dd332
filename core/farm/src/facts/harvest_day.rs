//! A harvest day as it was written down: baskets as weighed, what was moved on, cold as it was read, the water's edge, the night's watch.
//!
//! A pure fold over the entries. A working day begins at three in the morning by the farm's clock and ends at the next three: who still
//! weighs after midnight works on the day before.

use units::{Day, Instant, Zone};

use super::{Fact, Kept, current};

/// Kinds of fact that a harvest day is made of.
pub const DAY_KINDS: [&str; 6] = ["basket", "moved", "cold", "edge", "watch", "closed"];
/// Hour at which a working day begins, h.
const BEGINS_H: i32 = 3;
/// The night's watch is read from noon of the day before, h.
const WATCH_H: i32 = 12;

/// Where animals or what was made of them can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// In live tanks.
    Live,
    /// In ice slurry.
    Chill,
    /// At the heading table.
    Table,
    /// In the cold store.
    Store,
    /// Sold, handed over.
    Sold,
    /// Dead and warm, soft or spoiled: thrown away.
    Dead,
    /// Heads and shells.
    Waste,
    /// Taken for own use, samples among it.
    Own,
}

impl Place {
    /// Every place with its word in an entry.
    pub const ALL: [(&'static str, Place); 8] = [
        ("live", Place::Live),
        ("chill", Place::Chill),
        ("table", Place::Table),
        ("store", Place::Store),
        ("sold", Place::Sold),
        ("dead", Place::Dead),
        ("waste", Place::Waste),
        ("own", Place::Own),
    ];
    /// By the word of an entry.
    pub fn parse(word: &str) -> Option<Place> {
        Place::ALL.iter().find(|(known, _)| *known == word).map(|(_, place)| *place)
    }
    /// The word of an entry.
    pub fn word(self) -> &'static str {
        Place::ALL.iter().find(|(_, place)| *place == self).map_or("", |(word, _)| word)
    }
}

/// Who wrote it and when it happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// When.
    pub at: Instant,
    /// Who.
    pub person: String,
    /// Which pond, if it says.
    pub pond: Option<String>,
    /// Lot, tub or tank, as typed.
    pub tub: Option<String>,
}

/// A basket on the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Basket {
    /// Who and when.
    pub written: Written,
    /// Without the basket, kg.
    pub net_kg: f64,
    /// Where it went.
    pub to: Place,
    /// Animals in it, if counted.
    pub count: Option<f64>,
    /// Gathered by hand from the mud.
    pub by_hand: bool,
}

/// Something moved on after the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Who and when.
    pub written: Written,
    /// From where.
    pub from: Place,
    /// To where.
    pub to: Place,
    /// As weighed, kg.
    pub kg: f64,
    /// Tails, not whole animals.
    pub is_tails: bool,
}

/// What was looked at for cold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColdOf {
    /// A tub of slurry.
    Slurry,
    /// The middle of the thickest animals.
    Core,
    /// A live tank.
    Live,
    /// The cold store.
    Store,
    /// The probe itself, in melting ice.
    Probe,
}

impl ColdOf {
    /// Every one with its word in an entry.
    pub const ALL: [(&'static str, ColdOf); 5] = [
        ("slurry", ColdOf::Slurry),
        ("core", ColdOf::Core),
        ("live", ColdOf::Live),
        ("store", ColdOf::Store),
        ("probe", ColdOf::Probe),
    ];
    /// What is within its limit, °C: least and most. The reference in docs/model/harvest-day.md: slurry at most 1.5 before the next batch, core at most
    /// 2, probe within half a degree of melting ice (common practice); live tanks 18 to 25 (mortality at 26, Coyle and others); store at
    /// most 4.4 (40 °F; memory of US guidance).
    pub fn limits_c(self) -> (f64, f64) {
        match self {
            ColdOf::Slurry => (-2.0, 1.5),
            ColdOf::Core => (-2.0, 2.0),
            ColdOf::Live => (18.0, 25.0),
            ColdOf::Store => (-40.0, 4.4),
            ColdOf::Probe => (-0.5, 0.5),
        }
    }
}

/// Oxygen that must be in a live tank, mg/L: common practice.
pub const LIVE_OXYGEN_LEAST_MG_L: f64 = 4.0;

/// A look at something cold or alive.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// Who and when.
    pub written: Written,
    /// What was looked at.
    pub of: ColdOf,
    /// Temperature, °C.
    pub temp_c: Option<f64>,
    /// Oxygen, mg/L.
    pub oxygen_mg_l: Option<f64>,
    /// Dead taken out.
    pub dead: Option<f64>,
    /// Ice put in, kg.
    pub ice_kg: Option<f64>,
    /// Ice was seen floating.
    pub ice_seen: Option<bool>,
    /// What was done about it, as typed.
    pub action: Option<String>,
}

impl Cold {
    /// Whether all that was read lies within its limits.
    pub fn is_within(&self) -> bool {
        let (least, most) = self.of.limits_c();
        self.temp_c.is_none_or(|c| (least..=most).contains(&c))
            && self.oxygen_mg_l.is_none_or(|mg_l| mg_l >= LIVE_OXYGEN_LEAST_MG_L)
            && (self.of != ColdOf::Slurry || self.ice_seen != Some(false))
    }
}

/// The water's edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Who and when.
    pub written: Written,
    /// Water below full, m.
    pub below_full_m: Option<f64>,
    /// Passes of the seine that are done.
    pub passes: Option<f64>,
    /// Animals left lying, in words.
    pub stranded: Option<String>,
    /// People in the water or the mud.
    pub in_water: Option<f64>,
}

/// A look at drain and pumps in the night.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// Who and when.
    pub written: Written,
    /// Water below full, m.
    pub below_full_m: Option<f64>,
    /// The screen, in words.
    pub screen: Option<String>,
    /// The pump, in words.
    pub pump: Option<String>,
    /// Hours of fuel left, h.
    pub fuel_h: Option<f64>,
}

/// The day is over for a pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Closed {
    /// Who and when.
    pub written: Written,
    /// Everybody was counted out of the water.
    pub all_out: bool,
    /// No live animal is left, or let out.
    pub none_left: Option<bool>,
    /// What the second walk brought, kg.
    pub second_walk_kg: Option<f64>,
    /// Why the sums do not meet, as typed.
    pub reason: Option<String>,
}

/// Everything of one day, each in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayRecord {
    /// Baskets.
    pub baskets: Vec<Basket>,
    /// Moves.
    pub moved: Vec<Moved>,
    /// Looks at the cold.
    pub colds: Vec<Cold>,
    /// The water's edge.
    pub edges: Vec<Edge>,
    /// The night's watch.
    pub watched: Vec<Watched>,
    /// Ponds that are closed.
    pub closed: Vec<Closed>,
    /// Entries that count for nothing until a person looks at them: mended twice, or with a figure that cannot be read.
    pub unsettled: usize,
}

/// The moments between which entries belong to a day.
pub fn working_day(day: Day, zone: &Zone) -> (Instant, Instant) {
    (zone.instant(day, 3600 * BEGINS_H), zone.instant(day.plus(1), 3600 * BEGINS_H))
}

/// The working day that a moment belongs to.
pub fn working_day_of(at: Instant, zone: &Zone) -> Day {
    let (day, second) = zone.day_and_second(at);
    if second < 3600 * BEGINS_H { day.plus(-1) } else { day }
}

/// The first moment of which entries of a day are read: the night before is part of it.
pub fn watched_from(day: Day, zone: &Zone) -> Instant {
    zone.instant(day.plus(-1), 3600 * WATCH_H)
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
            person: head.fact.person.clone(),
            pond: head.fact.pond().map(str::to_owned),
            tub: head.fact.text("tub").map(str::to_owned),
        };
        if entry.settled().is_none() || !record.take(&head.fact, written) {
            record.unsettled += 1;
        }
    }
    record.baskets.sort_by(|a, b| (a.written.at, &a.written.id).cmp(&(b.written.at, &b.written.id)));
    record.moved.sort_by(|a, b| (a.written.at, &a.written.id).cmp(&(b.written.at, &b.written.id)));
    record.colds.sort_by(|a, b| (a.written.at, &a.written.id).cmp(&(b.written.at, &b.written.id)));
    record.edges.sort_by(|a, b| (a.written.at, &a.written.id).cmp(&(b.written.at, &b.written.id)));
    record.watched.sort_by(|a, b| (a.written.at, &a.written.id).cmp(&(b.written.at, &b.written.id)));
    record
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
                self.moved.push(Moved { written, from, to, kg, is_tails: fact.text("form_of") == Some("tails") });
            }
            "cold" => {
                let of = fact.text("place").and_then(|word| ColdOf::ALL.iter().find(|(known, _)| *known == word));
                let Some((_, of)) = of else { return false };
                self.colds.push(Cold {
                    written,
                    of: *of,
                    temp_c: value("temperature"),
                    oxygen_mg_l: value("oxygen"),
                    dead: value("deaths"),
                    ice_kg: value("ice"),
                    ice_seen: says("ice_seen"),
                    action: fact.text("action").map(str::to_owned),
                });
            }
            "edge" => self.edges.push(Edge {
                written,
                below_full_m: value("stage"),
                passes: value("passes"),
                stranded: fact.text("stranded").map(str::to_owned),
                in_water: value("in_water"),
            }),
            "watch" => self.watched.push(Watched {
                written,
                below_full_m: value("stage"),
                screen: fact.text("screen").map(str::to_owned),
                pump: fact.text("pump").map(str::to_owned),
                fuel_h: value("fuel_left"),
            }),
            _ => self.closed.push(Closed {
                written,
                all_out: says("all_out").unwrap_or(false),
                none_left: says("none_left"),
                second_walk_kg: value("second_walk"),
                reason: fact.text("reason").map(str::to_owned),
            }),
        }
        true
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
        let to: f64 = self.moved.iter().filter(|moved| moved.to == place).map(|moved| moved.kg).sum();
        let from: f64 = self.moved.iter().filter(|moved| moved.from == place).map(|moved| moved.kg).sum();
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
    /// The last count of people in the water: how many, and when.
    pub fn in_water(&self) -> Option<(f64, Instant)> {
        self.edges.iter().rev().find_map(|edge| Some((edge.in_water?, edge.written.at)))
    }
    /// The last reading of the water's edge in the day or the night before: below full, m, and when.
    pub fn water(&self) -> Option<(f64, Instant)> {
        let edges = self.edges.iter().filter_map(|edge| Some((edge.below_full_m?, edge.written.at)));
        let watched = self.watched.iter().filter_map(|one| Some((one.below_full_m?, one.written.at)));
        edges.chain(watched).max_by_key(|(_, at)| *at)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::facts::Happened;

    fn zone() -> Zone {
        Zone::parse("America/New_York").expect("a zone")
    }

    fn day() -> Day {
        Day::new(2011, 10, 4).expect("a day")
    }

    fn entered(seq: i64, kind: &str, hour: i32, corrects: Option<i64>, typed: &[(&str, &str)]) -> Kept {
        let mut fact = Fact {
            id: format!("{seq:032x}"),
            farm: "f".to_owned(),
            device: "d".to_owned(),
            person: "ann".to_owned(),
            kind: kind.to_owned(),
            form: 1,
            happened: Happened { at: zone().instant(day(), 3600 * hour), offset_s: 0 },
            typed_ms: 0,
            corrects: corrects.map(|seq| format!("{seq:032x}")),
            typed: typed.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
            values: BTreeMap::new(),
        };
        fact.read();
        Kept { seq, received_ms: 0, clock_off_ms: 0, fact }
    }

    #[test]
    fn a_day_counts_what_holds_and_who_works_after_midnight_works_on_the_day_before() {
        let facts = [
            entered(
                1,
                "basket",
                7,
                None,
                &[("pond", "quarry"), ("weight", "10 kg"), ("tare", "1 kg"), ("to", "chill")],
            ),
            entered(
                2,
                "basket",
                8,
                None,
                &[("pond", "quarry"), ("weight", "20 lb"), ("to", "live"), ("by_hand", "yes")],
            ),
            // Mended: nine, not ninety.
            entered(3, "basket", 8, None, &[("pond", "quarry"), ("weight", "90 kg"), ("to", "chill")]),
            entered(4, "basket", 8, Some(3), &[("pond", "quarry"), ("weight", "9 kg"), ("to", "chill")]),
            // Struck out, of another pond, of the day before, after midnight, and unreadable.
            entered(5, "basket", 9, None, &[("pond", "quarry"), ("weight", "7 kg"), ("to", "chill")]),
            entered(6, "basket", 9, Some(5), &[("struck", "yes")]),
            entered(7, "basket", 9, None, &[("pond", "lower"), ("weight", "5 kg"), ("to", "chill")]),
            entered(8, "basket", 2, None, &[("pond", "quarry"), ("weight", "5 kg"), ("to", "chill")]),
            entered(9, "basket", 25, None, &[("pond", "quarry"), ("weight", "4 kg"), ("to", "dead")]),
            entered(10, "basket", 10, None, &[("pond", "quarry"), ("weight", "heavy"), ("to", "chill")]),
            entered(
                11,
                "basket",
                10,
                None,
                &[("pond", "quarry"), ("weight", "1 kg"), ("tare", "2 kg"), ("to", "chill")],
            ),
            entered(12, "moved", 11, None, &[("out_of", "chill"), ("into", "table"), ("weight", "12 kg")]),
            entered(
                13,
                "moved",
                12,
                None,
                &[("out_of", "table"), ("into", "store"), ("weight", "5.6 kg"), ("form_of", "tails")],
            ),
            entered(14, "watch", -6, None, &[("pond", "quarry"), ("stage", "2 ft"), ("screen", "blocked")]),
            entered(15, "edge", 9, None, &[("pond", "quarry"), ("stage", "3 ft"), ("in_water", "4")]),
            entered(16, "cold", 9, None, &[("place", "slurry"), ("temperature", "2.1 C"), ("ice", "40 kg")]),
        ];
        let record = harvest_day(&facts, &zone(), day(), Some("quarry"));
        assert_eq!(record.unsettled, 2);
        assert_eq!(record.baskets.len(), 4);
        let live_kg = 20.0 * 0.453_592_37;
        assert!((record.caught_kg() - (9.0 + live_kg + 9.0 + 4.0)).abs() < 1e-9);
        assert!((record.by_hand_kg() - live_kg).abs() < 1e-9);
        assert!((record.held_kg(Place::Chill) - (18.0 - 12.0)).abs() < 1e-9);
        assert!((record.held_kg(Place::Table) - (12.0 - 5.6)).abs() < 1e-9);
        assert!((record.ice_kg() - 40.0).abs() < 1e-9 && !record.colds[0].is_within());
        assert_eq!(record.in_water().map(|(people, _)| people), Some(4.0));
        assert_eq!(record.watched.len(), 1, "the evening before belongs to the day");
        assert!((record.water().expect("read").0 - 0.9144).abs() < 1e-9);
        // All ponds together, and the day whose night the early basket belongs to.
        assert!((harvest_day(&facts, &zone(), day(), None).caught_kg() - record.caught_kg() - 5.0).abs() < 1e-9);
        assert!((harvest_day(&facts, &zone(), day().plus(-1), None).caught_kg() - 5.0).abs() < 1e-9);
        let noon = zone().instant(day(), 3600 * 9);
        assert!((record.pace_kg_h(noon, 45.0).expect("long enough") - 0.0).abs() < 1e-9);
        assert!((record.pace_kg_h(Instant(noon.0), 90.0).expect("long enough") - (live_kg + 9.0) / 1.5).abs() < 1e-9);
    }
}
