//! The night's watch: whether the water falls as it should, who must look next, and what a reading that is off may mean.
//!
//! Model     from the moment somebody wrote that the drain was opened, the pond's drawdown with everything named at work; a reading is off when
//!           it differs by more than its band; hours are counted anew from the last reading, since what was seen goes before what was reckoned
//! Units     m below full, h
//! Range     as `pond::drawdown`
//! Source    docs/model/drawdown.md; looks every two hours, the first after half an hour: common practice
//! Left out  a drain that was opened part way

use farm::facts::{DayRecord, Written};
use farm::{Farm, PondCard};
use pond::drawdown::{Phase, Reservoir, Way, run};
use units::Instant;

use crate::ponds::shape;
use crate::works::{catch_m, outlet_water, pace_factor, works};

/// Hours between two looks, h.
const EVERY_H: f64 = 2.0;
/// Hours from the opening to the first look, h.
const FIRST_H: f64 = 0.5;
/// What a stick in the water may be off at the least, m (our guess: ripples and mud).
const BAND_M: f64 = 0.06;
/// What the drawdown may be off, as a share of the fall (our guess: docs/model/drawdown.md).
const BAND_SHARE: f64 = 0.2;
/// A level read so long before the opening still holds, h.
const BEFORE_H: f64 = 24.0;
/// Hours looked ahead, h.
const AHEAD_H: f64 = 120.0;
/// Fuel that lasts shorter than this is told, h.
const FUEL_SOON_H: f64 = 1.5;
const COLUMNS: usize = 12;

/// Something that must wake somebody.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alarm {
    /// Nobody has looked for so many hours.
    NotLooked {
        /// Since the last look, h.
        since_h: f64,
    },
    /// The water stands higher than it should.
    TooHigh {
        /// As read, m below full.
        read_m: f64,
        /// As it should be, m below full.
        expected_m: f64,
    },
    /// It stands lower.
    TooLow {
        /// As read, m below full.
        read_m: f64,
        /// As it should be, m below full.
        expected_m: f64,
    },
    /// The screen is blocked.
    ScreenBlocked,
    /// The pump has stopped.
    PumpStopped,
    /// Its fuel is burnt at this moment.
    FuelOut {
        /// When.
        at: Instant,
    },
}

/// The night as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Night {
    /// When the water was let go.
    pub opened: Instant,
    /// Where it should stand now, m below full.
    pub expected_below_m: f64,
    /// When catch depth is reached, from the last reading on; `None` when it is not within five days.
    pub catch_at: Option<Instant>,
    /// Who watches, and who next, as typed last.
    pub who_watches: Option<String>,
    /// When somebody must look next.
    pub next_look: Instant,
    /// Animals were weighed out of it since it was let go: people are at it.
    pub is_caught: bool,
    /// What is wrong, the gravest first.
    pub alarms: Vec<Alarm>,
}

fn hours(from: Instant, to: Instant) -> f64 {
    (to.0 - from.0) as f64 / 3600.0
}

fn after(at: Instant, hours: f64) -> Instant {
    Instant(at.0 + (3600.0 * hours) as i64)
}

/// The night of a pond whose water goes down; `None` where nobody wrote that it was let go, or it was held or shut again.
pub fn night(farm: &Farm, card: &PondCard, record: &DayRecord, now: Instant) -> Option<Night> {
    let said = record.watched.iter().filter(|look| look.opened.is_some() && look.written.at <= now);
    let begun = said.max_by_key(|look| look.written.at)?;
    if begun.opened.as_deref() != Some("opened") {
        return None;
    }
    let opened = begun.written.at;
    let held = Reservoir::new(&shape(card, COLUMNS).ok()?);
    let full_m = held.shape().full_m();
    let mut works = works(farm, card, held.shape(), &card.emptying.pumps);
    works.pace_factor = pace_factor(farm, card, held.shape());
    works.outlet = outlet_water(card, None);
    let reads: Vec<(Instant, f64)> = readings(record, opened, now);
    let stopped = pump_stopped(record, opened, now);
    let down = |from: (Instant, f64), until_h: f64, catch: bool| {
        let to_m = if catch { catch_m(card, held.shape()) } else { 0.0 };
        let all = Phase::down_to(works.ways.len(), to_m, until_h, None);
        let drains: Vec<bool> = works.ways.iter().map(|way| !matches!(way, Way::Pump(_))).collect();
        let phases = match stopped.map(|at| hours(from.0, at)) {
            None => vec![all],
            // What a pump does not move stays where it is.
            Some(h) => vec![Phase::down_to(works.ways.len(), to_m, h.max(0.0), None), Phase { open: drains, ..all }],
        };
        run(&held, &works, (full_m - from.1).max(to_m), 0.0, &phases)
    };
    // From the level at the opening: what was read then, or full.
    let at_it = reads.iter().copied().find(|(at, _)| hours(opened, *at) < 0.25);
    // Water that was held stands where it was read before it was let go on.
    let before = readings(record, after(opened, -BEFORE_H), opened).last().map(|(_, below_m)| (opened, *below_m));
    let first = at_it.or(before).unwrap_or((opened, 0.0));
    let course = down((opened, first.1), AHEAD_H, false);
    let expected_m = |at: Instant| full_m - course.stage_m(hours(opened, at).max(0.0));
    let latest = reads.last().copied().unwrap_or(first);
    let to_catch = down(latest, AHEAD_H, true);
    let reached_h = to_catch.steps.iter().find(|step| step.stage_m <= catch_m(card, held.shape()) + 1e-3);
    let catch_at = reached_h.map(|step| after(latest.0, step.at_h));
    let mut alarms = Vec::new();
    // Whoever reads the level at the water's edge has looked.
    let looks = record.watched.iter().map(|look| look.written.at).chain(reads.iter().map(|(at, _)| *at));
    let last_look = looks.filter(|at| *at <= now).max().unwrap_or(opened);
    alarms.extend(stopped.map(|_| Alarm::PumpStopped));
    let last = record.watched.iter().rev().find(|look| look.written.at <= now);
    alarms.extend(last.filter(|look| look.screen.as_deref() == Some("blocked")).map(|_| Alarm::ScreenBlocked));
    if let Some((at, read_m)) = reads.last().copied().filter(|(at, _)| hours(opened, *at) >= 0.25) {
        let expected_m = expected_m(at);
        let band_m = BAND_M.max(BAND_SHARE * (expected_m - first.1));
        if read_m < expected_m - band_m {
            alarms.push(Alarm::TooHigh { read_m, expected_m });
        } else if read_m > expected_m + band_m {
            alarms.push(Alarm::TooLow { read_m, expected_m });
        }
    }
    let fuel = record.watched.iter().rev().find_map(|look| Some(after(look.written.at, look.fuel_h?)));
    if let Some(at) = fuel.filter(|at| hours(now, *at) < FUEL_SOON_H) {
        alarms.push(Alarm::FuelOut { at });
    }
    let every_h = if last_look <= opened { FIRST_H } else { EVERY_H };
    let next_look = after(last_look.max(opened), every_h);
    let is_caught = record.baskets.iter().any(|basket| opened <= basket.written.at && basket.written.at <= now);
    if now > next_look && !is_caught {
        alarms.push(Alarm::NotLooked { since_h: hours(last_look, now) });
    }
    let watches = record.watched.iter().rev().filter(|look| look.written.at <= now);
    let who_watches = watches.filter_map(|look| look.who_watches.clone()).next();
    Some(Night { is_caught, who_watches, opened, expected_below_m: expected_m(now), catch_at, next_look, alarms })
}

/// Since when the pump stands, where the last that was written of it since the opening is that it stopped.
fn pump_stopped(record: &DayRecord, opened: Instant, now: Instant) -> Option<Instant> {
    let looks = record.watched.iter().filter(|look| look.written.at >= opened && look.written.at <= now);
    let last = looks.rev().find(|look| look.pump.is_some())?;
    (last.pump.as_deref() == Some("stopped")).then_some(last.written.at)
}

/// Levels read from the opening on, in order of time.
fn readings(record: &DayRecord, opened: Instant, now: Instant) -> Vec<(Instant, f64)> {
    let watched = record.watched.iter().filter_map(|look| Some((&look.written, look.below_full_m?)));
    let edges = record.edges.iter().filter_map(|edge| Some((&edge.written, edge.below_full_m?)));
    let mut all: Vec<(&Written, f64)> =
        watched.chain(edges).filter(|(written, _)| written.at >= opened && written.at <= now).collect();
    // Of two in one minute the one that was written last stands.
    all.sort_by_key(|(written, _)| (written.at, written.typed_ms));
    all.into_iter().map(|(written, below_m)| (written.at, below_m)).collect()
}

#[cfg(test)]
mod tests {
    use farm::facts::{Basket, Edge, Place, Watched};

    use super::*;

    const EVENING: Instant = Instant(1_317_150_000);

    fn look(hours: f64, below_m: Option<f64>, opened: Option<&str>) -> Watched {
        let at = after(EVENING, hours);
        let (id, head, person) = (format!("{hours}"), String::new(), String::new());
        Watched {
            written: Written { id, head, at, typed_ms: 0, person, pond: None, tub: None },
            below_full_m: below_m,
            screen: None,
            pump: None,
            fuel_h: None,
            opened: opened.map(str::to_owned),
            who_watches: None,
        }
    }

    fn told(looks: Vec<Watched>, now_h: f64) -> Option<Night> {
        let farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
        let record = DayRecord { watched: looks, ..DayRecord::default() };
        night(&farm, &farm.ponds[1], &record, after(EVENING, now_h))
    }

    #[test]
    fn water_that_falls_as_it_should_wakes_nobody_and_water_that_stands_does() {
        assert!(told(vec![look(0.0, Some(0.0), None)], 1.0).is_none(), "nobody let it go");
        let begun = told(vec![look(0.0, None, Some("opened"))], 0.2).expect("it falls");
        assert!(begun.alarms.is_empty() && begun.expected_below_m > 0.0, "{begun:?}");
        // Read where it should be.
        let six = told(vec![look(0.0, None, Some("opened"))], 6.0).expect("it falls");
        assert!(matches!(six.alarms[..], [Alarm::NotLooked { .. }]), "{six:?}");
        let looked = |read_m: f64| {
            let looks = vec![look(0.0, None, Some("opened")), look(6.0, Some(read_m), None)];
            told(looks, 6.5).expect("it falls")
        };
        let good = looked(six.expected_below_m);
        assert!(good.alarms.is_empty(), "{good:?}");
        // The screen is blocked: it stands where it stood; catch depth comes hours later.
        let stands = looked(0.02);
        assert!(matches!(stands.alarms[..], [Alarm::TooHigh { .. }]), "{stands:?}");
        assert!(stands.catch_at > good.catch_at);
        assert!(matches!(looked(six.expected_below_m + 0.5).alarms[..], [Alarm::TooLow { .. }]));
        // Held at a level and let go on: it goes on from there.
        let held =
            vec![look(0.0, None, Some("opened")), look(6.0, Some(1.0), Some("held")), look(8.0, None, Some("opened"))];
        let goes_on = told(held, 8.1).expect("it falls");
        assert!((0.99..1.2).contains(&goes_on.expected_below_m), "{goes_on:?}");
        // Held again: nothing is expected of it.
        assert!(told(vec![look(0.0, None, Some("opened")), look(6.0, None, Some("held"))], 7.0).is_none());
    }

    #[test]
    fn water_whose_pump_stands_is_not_told_to_fall() {
        let farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
        let lower = farm.ponds.iter().find(|card| card.id == "lower").expect("by pump alone");
        let night_at = |looks: Vec<Watched>| {
            let record = DayRecord { watched: looks, ..DayRecord::default() };
            night(&farm, lower, &record, after(EVENING, 10.0)).expect("it falls")
        };
        let opened = || look(0.0, None, Some("opened"));
        let word = |hours: f64, pump: &str| Watched { pump: Some(pump.to_owned()), ..look(hours, None, None) };
        let (runs, stands) = (night_at(vec![opened()]), night_at(vec![opened(), word(2.0, "stopped")]));
        assert!(runs.catch_at.is_some() && stands.catch_at.is_none(), "{stands:?}");
        // It fell for two hours of ten.
        let two_h =
            night(&farm, lower, &DayRecord { watched: vec![opened()], ..DayRecord::default() }, after(EVENING, 2.0))
                .expect("it falls");
        assert!((stands.expected_below_m - two_h.expected_below_m).abs() < 0.01, "{stands:?} {two_h:?}");
        // It was started again.
        let again = night_at(vec![opened(), word(2.0, "stopped"), word(2.5, "runs")]);
        assert!(again.catch_at.is_some() && !again.alarms.contains(&Alarm::PumpStopped), "{again:?}");
    }

    #[test]
    fn fuel_and_stopped_pumps_are_told() {
        let stopped = Watched { pump: Some("stopped".to_owned()), fuel_h: Some(1.0), ..look(1.0, None, None) };
        let night = told(vec![look(0.0, None, Some("opened")), stopped], 1.2).expect("it falls");
        assert_eq!(night.alarms[0], Alarm::PumpStopped);
        assert!(matches!(night.alarms[1], Alarm::FuelOut { at } if at == after(EVENING, 2.0)), "{night:?}");
    }

    #[test]
    fn of_two_levels_in_one_minute_the_later_written_stands() {
        let read = |below_m: f64, typed_ms: i64| {
            let mut look = look(6.0, Some(below_m), None);
            look.written.typed_ms = typed_ms;
            look
        };
        let farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
        let edge = |below_m: f64, typed_ms: i64| {
            let Watched { written, below_full_m, .. } = read(below_m, typed_ms);
            Edge { written, below_full_m, pass_count: None, stranded: None, people_count: None }
        };
        let night_at = |watch: Watched, edge: Edge| {
            let watched = vec![look(0.0, None, Some("opened")), watch];
            let record = DayRecord { watched, edges: vec![edge], ..DayRecord::default() };
            night(&farm, &farm.ponds[1], &record, after(EVENING, 6.1)).expect("it falls").alarms
        };
        // Far too low at the edge, mended at the drain a moment later: what was written last is what is told of.
        let stands = |alarms: &[Alarm]| alarms.iter().any(|alarm| matches!(alarm, Alarm::TooHigh { .. }));
        assert!(stands(&night_at(read(0.02, 9), edge(1.9, 5))));
        assert!(!stands(&night_at(read(0.02, 5), edge(1.9, 9))));
    }

    #[test]
    fn hands_at_a_pond_are_not_woken_to_look_at_it() {
        let farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
        let watched = vec![look(0.0, None, Some("opened"))];
        let told = |baskets: Vec<Basket>| {
            let record = DayRecord { watched: watched.clone(), baskets, ..DayRecord::default() };
            night(&farm, &farm.ponds[1], &record, after(EVENING, 20.0)).expect("it falls")
        };
        assert!(matches!(told(Vec::new()).alarms[..], [Alarm::NotLooked { .. }]));
        let written = look(19.0, None, None).written;
        let night = told(vec![Basket { written, net_kg: 8.0, to: Place::Chill, count: None, by_hand: false }]);
        assert!(night.is_caught && night.alarms.is_empty(), "{night:?}");
    }
}
