use units::Instant;

use super::*;
use crate::scored::tests::{FARM, enter, kept, served, that_morning};

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn noon(on: &str) -> Instant {
    served().farm.place.zone.instant(day(on), 43_200)
}

/// A pond, its first day and its last.
type Row = (String, Day, Option<Day>);

fn rows(record: &Record) -> Vec<(String, Day, Option<Day>, Vec<Row>)> {
    let store = record.store();
    let seasons = store.seasons(FARM).expect("read");
    let batches =
        |id: &str| store.batches(id).expect("read").into_iter().map(|one| (one.pond, one.starts, one.ends)).collect();
    seasons.iter().map(|one| (one.name.clone(), one.starts, one.ends, batches(&one.id))).collect()
}

#[test]
fn the_rows_follow_what_is_entered() {
    let of_test = kept("lots", that_morning);
    let (record, written) = (&*of_test.record, served());
    keep_rows(record, &written).expect("kept");
    let first = rows(record);
    assert_eq!(first.len(), 1);
    assert_eq!((first[0].1, first[0].2, first[0].3.len()), (day("2011-05-27"), None, 4));
    enter(record, "catch", noon("2011-08-01"), &[("pond", "heron"), ("empty", "yes")]);
    enter(record, "stocked", noon("2011-08-04"), &[("pond", "heron"), ("stocked", "5,000"), ("mean_weight", "1 g")]);
    keep_rows(record, &written).expect("kept");
    let herons: Vec<_> = rows(record)[0].3.iter().filter(|row| row.0 == "heron").map(|row| (row.1, row.2)).collect();
    assert_eq!(herons, [(day("2011-05-28"), Some(day("2011-08-01"))), (day("2011-08-04"), None)]);
    // The farm that is reckoned with holds the second batch, and knows nothing of the first one's samples.
    let laid = record.laid_into(&written, None).expect("laid");
    let heron = laid.farm.ponds.iter().find(|card| card.id == "heron").expect("a pond");
    assert_eq!((heron.stocking.on, heron.stocking.count, heron.harvested), (day("2011-08-04"), 5000.0, None));
    assert!(heron.samples.iter().all(|sample| sample.on >= heron.stocking.on));
}

#[test]
fn rows_of_a_file_that_was_changed_outside_stay() {
    let of_test = kept("lots-file", that_morning);
    let (record, written) = (&*of_test.record, served());
    keep_rows(record, &written).expect("kept");
    let mut next = written.clone();
    for card in &mut next.farm.ponds {
        card.stocking.on = day("2012-05-20");
    }
    next.farm.season.last_catch = day("2012-10-31");
    record.told().0.lock().expect("free").clear();
    keep_rows(record, &next).expect("kept");
    let all = rows(record);
    let days: Vec<_> = all.iter().map(|row| (row.1, row.2.is_some(), row.3.len())).collect();
    assert_eq!(days, [(day("2011-05-27"), true, 4), (day("2012-05-20"), false, 4)]);
    // A day that was only mistyped leaves no batch behind.
    next.farm.ponds.iter_mut().for_each(|card| card.stocking.on = day("2012-05-22"));
    record.told().0.lock().expect("free").clear();
    keep_rows(record, &next).expect("kept");
    let days: Vec<_> = rows(record).iter().map(|row| (row.1, row.3.len())).collect();
    assert_eq!(days, [(day("2011-05-27"), 4), (day("2012-05-22"), 4)]);
}

#[test]
fn what_is_dated_ahead_says_nothing_yet() {
    let of_test = kept("lots-ahead", that_morning);
    let (record, written) = (&*of_test.record, served());
    enter(record, "stocked", noon("2012-05-15"), &[("pond", "heron"), ("stocked", "5,000"), ("mean_weight", "1 g")]);
    enter(record, "catch", noon("2011-10-08"), &[("pond", "willow"), ("empty", "yes")]);
    keep_rows(record, &written).expect("kept");
    let all = rows(record);
    assert_eq!((all.len(), all[0].3.len()), (1, 4));
    assert!(all[0].3.iter().all(|row| row.2.is_none()), "{all:?}");
    let laid = record.laid_into(&written, None).expect("laid");
    assert!(laid.farm.ponds.iter().all(|card| card.harvested.is_none()));
    // Its day has come.
    let later = Served { on: day("2011-10-08"), ..served() };
    keep_rows(record, &later).expect("kept");
    let willow: Vec<_> = rows(record)[0].3.iter().filter(|row| row.0 == "willow").map(|row| row.2).collect();
    assert_eq!(willow, [Some(day("2011-10-08"))]);
}

#[test]
fn baskets_that_come_after_it_was_told_are_told_with_the_next_asking() {
    let of_test = kept("lots-baskets", that_morning);
    let (record, written) = (&*of_test.record, served());
    let willow = || {
        let told = told(record, &written).expect("told");
        let lot = told.lots.iter().find(|lot| lot.pond == "willow").expect("a lot").clone();
        (lot.out, lot.caught_kg.map(f64::round))
    };
    assert_eq!(willow(), (None, None));
    let on = written.on.to_string();
    enter(record, "basket", noon(&on), &[("pond", "willow"), ("weight", "9 kg"), ("to", "chill")]);
    assert_eq!(willow(), (None, Some(9.0)));
    enter(record, "basket", noon(&on), &[("pond", "willow"), ("weight", "3 kg"), ("to", "live")]);
    enter(record, "closed", noon(&on), &[("pond", "willow"), ("all_out", "yes"), ("none_left", "yes")]);
    assert_eq!(willow(), (Some(written.on), Some(12.0)));
    assert_eq!(willow(), (Some(written.on), Some(12.0)), "and stays so");
    let laid = record.laid_into(&written, None).expect("laid");
    let card = laid.farm.ponds.iter().find(|card| card.id == "willow").expect("a pond");
    assert_eq!(card.harvested, Some(written.on), "the morning no longer plans it");
}
