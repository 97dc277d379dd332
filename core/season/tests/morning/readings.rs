//! What a thermometer's readings do to the morning.

use season::answer::{Note, Outlook, TaskKind};

use crate::only;

#[test]
fn the_morning_starts_from_what_the_thermometer_said() {
    let sample = only(0);
    let said_c = sample.farm.ponds[0].readings.last().expect("the sample has readings").temp_c;
    let plain = sample.answer();
    let first = plain.ponds[0].dawns[0].water_c.middle;
    assert!((first - said_c).abs() < 1.2, "read {said_c}, first dawn {first}");
    let mut warmer = only(0);
    warmer.farm.ponds[0].readings.iter_mut().for_each(|reading| reading.temp_c += 2.0);
    let warmer = warmer.answer();
    let gain = |dawn: usize| warmer.ponds[0].dawns[dawn].water_c.middle - plain.ponds[0].dawns[dawn].water_c.middle;
    // One day's water is half forgotten by the next; what two cold mornings say of the wind stays.
    assert!((0.3..2.0).contains(&gain(0)), "two degrees more on the thermometer: {} on the first dawn", gain(0));
    assert!((0.1..0.8).contains(&gain(9)), "and after ten days: {}", gain(9));
    let wind = |answer: &Outlook| answer.ponds[0].taught.as_ref().expect("it was read").wind.middle;
    assert!(wind(&warmer) < wind(&plain), "warmer water has less wind over it");
    // Without a reading it says that one is wanted, and nothing is measured.
    let mut unread = only(0);
    unread.farm.ponds[0].readings.clear();
    let unread = unread.answer();
    assert!(unread.ponds[0].measured.is_none() && plain.ponds[0].measured.is_some());
    let wanted = |answer: &Outlook| answer.tasks.iter().any(|task| matches!(task.what, TaskKind::ReadWater { .. }));
    assert!(wanted(&unread) && !wanted(&plain));
}

#[test]
fn a_reading_that_comes_late_leaves_what_it_would_have_left() {
    let answers = [false, true].map(|late| {
        let mut sample = only(3);
        if late {
            sample.farm.ponds[3].readings.reverse();
        }
        assert!(sample.farm.ponds[3].readings.len() > 1, "one reading has no order");
        let answer = sample.answer();
        (answer.ponds[0].taught.clone(), answer.ponds[0].dawns.clone())
    });
    assert_eq!(answers[0], answers[1]);
    let taught = answers[0].0.as_ref().expect("it was read");
    assert!(taught.met.len() > 1 && taught.wind.low < taught.wind.middle, "{taught:?}");
}

#[test]
fn a_reading_of_a_later_day_is_left_aside_and_said() {
    let plain = only(0).answer();
    let mut sample = only(0);
    let ahead = farm::Reading {
        at: sample.farm.ponds[0].readings[0].at.plus_hours(72),
        ..sample.farm.ponds[0].readings[0].clone()
    };
    sample.farm.ponds[0].readings.push(farm::Reading { temp_c: 5.0, ..ahead });
    let answer = sample.answer();
    assert_eq!(answer.ponds[0].dawns, plain.ponds[0].dawns);
    let said = |answer: &Outlook| answer.notes.iter().any(|note| matches!(note, Note::ReadingAhead { .. }));
    assert!(said(&answer) && !said(&plain));
}

#[test]
fn a_reading_far_from_the_reckoning_is_told_whole() {
    let far = |by_c: f64| {
        let mut sample = only(0);
        sample.farm.ponds[0].readings.iter_mut().for_each(|reading| reading.temp_c += by_c);
        sample.answer().notes.iter().find_map(|note| match note {
            Note::ReadingFar { off_c, .. } => Some(*off_c),
            _ => None,
        })
    };
    assert_eq!(far(0.0), None);
    // Nine degrees more than the water takes over, said as it was read.
    let (nine, eight) = (far(9.0).expect("said"), far(8.0).expect("said"));
    assert!((nine - eight - 1.0).abs() < 1e-9 && nine > 6.5, "{eight} {nine}");
}

#[test]
fn of_two_readings_the_drain_ends_is_shown() {
    let heron = only(3).answer();
    let pond = &heron.ponds[0];
    let (_, depth_m, _) = pond.measured.expect("read this morning");
    assert!(pond.measured_deep && (depth_m - 0.61).abs() < 0.01, "{depth_m} m");
    assert_eq!(pond.measured_clock_s, 7 * 3600 + 600);
}
