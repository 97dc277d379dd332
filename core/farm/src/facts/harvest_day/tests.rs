//! A day's entries, mended, struck out, of other days and unreadable.

use std::collections::BTreeMap;

use units::{Day, Instant, Zone};

use super::*;
use crate::facts::{Fact, Happened, Kept};

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
        entered(1, "basket", 7, None, &[("pond", "quarry"), ("weight", "10 kg"), ("tare", "1 kg"), ("to", "chill")]),
        entered(2, "basket", 8, None, &[("pond", "quarry"), ("weight", "20 lb"), ("to", "live"), ("by_hand", "yes")]),
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
        entered(11, "basket", 10, None, &[("pond", "quarry"), ("weight", "1 kg"), ("tare", "2 kg"), ("to", "chill")]),
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
    assert!((record.ice_kg() - 40.0).abs() < 1e-9 && record.colds[0].within() == Some(false));
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

#[test]
fn people_are_counted_by_name_and_by_eye_and_what_does_not_fit_is_told() {
    let facts = [
        entered(1, "people", 6, None, &[("came", "Ann, Ben; Cy, Dee")]),
        entered(2, "people", 7, None, &[("here", "3")]),
        entered(3, "people", 8, None, &[("came", "ann")]),
        entered(4, "people", 9, None, &[("gone", "Zed, cy")]),
    ];
    let by = |count: usize| harvest_day(&facts[..count], &zone(), day(), None);
    assert_eq!(by(1).here(), 4);
    assert_eq!((by(2).here(), by(3).here()), (3, 3), "Ann is here already");
    assert_eq!((by(4).here(), by(4).names_here()), (2, vec!["Ann", "Ben", "Dee"]));
    assert_eq!(by(4).gone_unknown(), ["Zed"]);
}

#[test]
fn a_second_walk_belongs_to_the_day_of_the_catch_and_counts_once() {
    let next = 24;
    let mut facts = vec![
        entered(1, "basket", 9, None, &[("pond", "quarry"), ("weight", "10 kg"), ("to", "chill")]),
        entered(2, "closed", 15, None, &[("pond", "quarry"), ("all_out", "yes"), ("none_left", "yes")]),
        entered(3, "closed", next + 7, None, &[("pond", "quarry"), ("all_out", "yes"), ("second_walk", "3 kg")]),
        // Of a pond that nobody weighed anything of: it stays where it was written.
        entered(4, "closed", next + 8, None, &[("pond", "lower"), ("all_out", "yes"), ("second_walk", "1 kg")]),
    ];
    let on = |facts: &[Kept], days: i32| harvest_day(facts, &zone(), day().plus(days), None);
    let record = on(&facts, 0);
    assert_eq!(record.closed.len(), 2);
    assert!((record.caught_kg() - 10.0).abs() < 1e-9 && (record.came_out_kg() - 13.0).abs() < 1e-9);
    assert_eq!(on(&facts, 1).closed.len(), 1, "the other pond's");
    // Weighed in a basket as well: that basket is a catch of its own day, and the walk adds nothing to it.
    facts.push(entered(5, "basket", next + 6, None, &[("pond", "quarry"), ("weight", "3 kg"), ("to", "chill")]));
    assert!((on(&facts, 0).came_out_kg() - 10.0).abs() < 1e-9);
    assert!((on(&facts, 1).came_out_kg() - 3.0 - 1.0).abs() < 1e-9);
    // A pond that was not closed goes on the next day, and is closed there.
    facts.remove(1);
    assert_eq!(on(&facts, 0).closed, []);
    assert_eq!(on(&facts, 1).closed.len(), 2);
    // Written twice, the last holds; three days on it is nobody's.
    let late = 3 * 24 + 8;
    let twice = [
        entered(1, "basket", 9, None, &[("pond", "quarry"), ("weight", "10 kg"), ("to", "chill")]),
        entered(2, "closed", 16, None, &[("pond", "quarry"), ("all_out", "yes"), ("second_walk", "2 kg")]),
        entered(3, "closed", 17, None, &[("pond", "quarry"), ("all_out", "yes"), ("second_walk", "1 kg")]),
        entered(4, "closed", late, None, &[("pond", "quarry"), ("all_out", "yes"), ("second_walk", "9 kg")]),
    ];
    assert!((on(&twice, 0).came_out_kg() - 11.0).abs() < 1e-9);
    assert_eq!(on(&twice, 3).closed.len(), 1);
}

fn of_form(version: u32, mut kept: Kept) -> Kept {
    kept.fact.form = version;
    kept.fact.read();
    kept
}

#[test]
fn a_tub_falls_by_what_was_taken_out_of_it_and_is_empty_once_somebody_said_so() {
    let basket = |seq, hour, tub: &str, kg: &str| {
        entered(seq, "basket", hour, None, &[("pond", "quarry"), ("weight", kg), ("to", "chill"), ("tub", tub)])
    };
    let moved = |seq, hour, typed: &[(&str, &str)]| of_form(2, entered(seq, "moved", hour, None, typed));
    let facts = [
        basket(1, 8, "A", "10 kg"),
        basket(2, 8, "B", "6 kg"),
        // Out of A into the store's tub C: by both names.
        moved(
            3,
            9,
            &[("out_of", "chill"), ("out_tub", "Tub a"), ("into", "store"), ("into_tub", "C"), ("weight", "4 kg")],
        ),
        // The first form: out of the slurry it was taken out of that tub, out of the table it went into it.
        entered(4, "moved", 10, None, &[("out_of", "chill"), ("into", "table"), ("weight", "2 kg"), ("tub", "B")]),
        entered(5, "moved", 11, None, &[("out_of", "table"), ("into", "chill"), ("weight", "1 kg"), ("tub", "D")]),
        // It dripped: the scale says less than went in, and the tub is empty all the same.
        moved(
            6,
            12,
            &[("out_of", "chill"), ("out_tub", "A"), ("out_empty", "yes"), ("into", "sold"), ("weight", "5.7 kg")],
        ),
    ];
    let of = |count: usize, place: Place| -> Vec<(String, f64)> {
        let record = harvest_day(&facts[..count], &zone(), day(), None);
        assert_eq!(record.unsettled, 0);
        let all = tubs(std::slice::from_ref(&record), place).into_iter();
        all.map(|tub| (tub.name.unwrap_or_default(), (tub.held_kg * 10.0).round() / 10.0)).collect()
    };
    let named = |all: &[(&str, f64)]| -> Vec<(String, f64)> {
        all.iter().map(|(name, kg)| ((*name).to_owned(), *kg)).collect()
    };
    assert_eq!(of(3, Place::Chill), named(&[("A", 6.0), ("B", 6.0)]));
    assert_eq!(of(3, Place::Store), named(&[("C", 4.0)]));
    assert_eq!(of(6, Place::Chill), named(&[("A", 0.0), ("B", 4.0), ("D", 1.0)]));
    // What does not come out even is kept apart: more out of B than it held, and D empty with half a kilogram unsaid.
    let more = [("out_of", "chill"), ("into", "sold"), ("out_tub", "B"), ("weight", "7 kg")];
    let gone = [("out_of", "chill"), ("into", "sold"), ("out_tub", "D"), ("out_empty", "yes"), ("weight", "0.5 kg")];
    let facts: Vec<Kept> = facts.into_iter().chain([moved(7, 13, &more), moved(8, 14, &gone)]).collect();
    let all = tubs(&[harvest_day(&facts, &zone(), day(), None)], Place::Chill);
    let uneven: Vec<(f64, f64)> =
        all.iter().map(|tub| ((tub.over_kg * 10.0).round(), (tub.lost_kg * 10.0).round())).collect();
    assert_eq!(uneven, [(0.0, 3.0), (30.0, 0.0), (0.0, 5.0)]);
}

#[test]
fn a_live_tank_beyond_its_limits_is_held_until_it_is_read_well_or_its_animals_are_moved() {
    let basket = |seq, tub: &str, kg: &str| {
        entered(seq, "basket", 8, None, &[("pond", "quarry"), ("weight", kg), ("to", "live"), ("tub", tub)])
    };
    let cold = |seq, hour, typed: &[(&str, &str)]| {
        let typed: Vec<(&str, &str)> = [("place", "live")].into_iter().chain(typed.iter().copied()).collect();
        entered(seq, "cold", hour, None, &typed)
    };
    let facts = [
        basket(1, "1", "20 kg"),
        basket(2, "2", "10 kg"),
        cold(3, 9, &[("tub", "1"), ("temperature", "20 C"), ("oxygen", "6 mg/l")]),
        cold(4, 10, &[("tub", "Tank 1"), ("temperature", "27.5 C"), ("oxygen", "6 mg/l")]),
        // Oxygen alone says nothing of how warm it is.
        cold(5, 11, &[("tub", "1"), ("oxygen", "7 mg/l")]),
        cold(6, 12, &[("tub", "1"), ("temperature", "22 C")]),
        cold(7, 13, &[("oxygen", "2 mg/l")]),
        cold(8, 14, &[("oxygen", "6 mg/l")]),
    ];
    let moved = of_form(
        2,
        entered(
            9,
            "moved",
            15,
            None,
            &[
                ("out_of", "live"),
                ("out_tub", "1"),
                ("out_empty", "yes"),
                ("into", "live"),
                ("into_tub", "2"),
                ("weight", "20 kg"),
            ],
        ),
    );
    let held = |facts: &[Kept], most_kg: Option<f64>| -> Vec<(String, f64, usize)> {
        let record = harvest_day(facts, &zone(), day(), None);
        let tanks = live_tanks(&[record], most_kg).into_iter().filter(|tank| !tank.beyond.is_empty());
        tanks.map(|tank| (tank.name.unwrap_or_default(), tank.held_kg, tank.beyond.len())).collect()
    };
    let one = |kg: f64| vec![("1".to_owned(), kg, 1)];
    assert_eq!(held(&facts[..3], None), []);
    assert_eq!(held(&facts[..4], None), one(20.0));
    assert_eq!(held(&facts[..5], None), one(20.0));
    assert_eq!(held(&facts[..6], None), [], "read well again");
    assert_eq!(held(&facts[..7], None).len(), 2, "without a tank's name it is any of them");
    assert_eq!(held(&facts, None), []);
    assert_eq!(held(&facts[..3], Some(15.0)), one(20.0), "more than it may hold");
    let gone: Vec<Kept> = facts[..4].iter().cloned().chain([moved]).collect();
    assert_eq!(held(&gone, None), [], "they swim in another tank");
    assert_eq!(held(&gone, Some(25.0)), [("2".to_owned(), 30.0, 1)]);
}
