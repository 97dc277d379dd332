//! Filling a sample pond from several sources, and an empty pond's coming mornings.

use season::farm::{Source, SourceKind};
use season::filling::fill_plan;
use season::stocking_day::{MORNINGS, stocking_day, unstocked};

use super::*;

fn source(name: &str, rate_m3_h: f64, may_be_drawn: Option<bool>) -> Source {
    Source { name: name.to_owned(), kind: SourceKind::River, rate_m3_h, hours_per_day: 10.0, may_be_drawn }
}

#[test]
fn a_weaker_source_takes_longer_and_a_forbidden_one_counts_for_nothing() {
    let mut sample = hazel_bend();
    sample.farm.sources =
        vec![source("Creek", 45.0, None), source("Well", 8.0, Some(true)), source("Ditch", 90.0, Some(false))];
    let past = sample.past().expect("a past");
    let about = Day::new(2012, 5, 5).expect("a day");
    let plan = fill_plan(&sample.farm, &past, 0, about).expect("a plan");
    let days: Vec<f64> = plan.by_source.iter().map(|filling| filling.days.unwrap_or(f64::INFINITY)).collect();
    assert_eq!(days.len(), 4, "three alone, and the two that may be drawn together");
    assert!(days[2] < days[0] && days[0] < days[1] && days[3] < days[0], "{days:?}");
    assert_eq!(plan.quickest_d(), Some(days[3]), "the ditch may not be drawn");
    // Willow: 0.45 acres, 3 to 6 feet: a little under 2 acre-feet with its banks.
    assert!((1_500.0..2_600.0).contains(&plan.volume_m3), "{}", plan.volume_m3);
    assert!((3.0..7.0).contains(&plan.evaporation_mm_d), "{}", plan.evaporation_mm_d);
    let plain_d = plan.volume_m3 / 450.0;
    assert!(days[0] > plain_d && days[0] < 1.5 * plain_d, "{days:?} {plain_d}");
}

#[test]
fn an_empty_ponds_mornings_are_those_of_the_same_pond_with_animals() {
    let mut sample = hazel_bend();
    let with = sample.answer();
    let on = with.on;
    sample.farm.ponds[3].harvested = Some(on.plus(-1));
    assert_eq!(unstocked(&sample.farm, on), [3]);
    let past = sample.past().expect("a past");
    let ask = MorningAsk {
        farm: &sample.farm,
        past: &past,
        on,
        now_hour: 7,
        forecast: Some(&sample.forecast),
        members: sample::MEMBERS,
        yesterday: None,
        until_proved: false,
    };
    let found = stocking_day(&ask, 3, &Watch::new()).expect("an answer");
    assert_eq!(found.dawns.len(), MORNINGS);
    for (own, known) in found.dawns.iter().zip(&with.ponds[3].dawns) {
        assert_eq!(own.day, known.day);
        // The same members and weather over the same water, begun later: within a quarter degree.
        assert!((own.water_c.middle - known.water_c.middle).abs() < 0.6, "{own:?} {known:?}");
    }
    let (coldest, morning) = found.dawn_c().expect("mornings");
    assert!(found.dawns.iter().all(|dawn| coldest <= dawn.water_c.low + 1e-12), "{coldest} {morning:?}");
}
