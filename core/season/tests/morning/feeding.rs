//! The day's feed: what it is reckoned from, and what speaks against it.

use farm::OxygenRead;
use season::answer::{FeedWhy, PondOutlook};
use season::farm;
use units::Day;

use crate::hazel_bend;
use crate::sample::Sample;

/// Heron, an acre and more.
const HERON: usize = 3;

fn heron(sample: &Sample, on: Day) -> PondOutlook {
    let answer = sample.ask(on, None).expect("an answer");
    answer.ponds.into_iter().find(|pond| pond.index == HERON).expect("it is in the water")
}

fn summer() -> Day {
    Day::parse("2011-08-05").expect("a day")
}

#[test]
fn feed_is_the_crop_by_rate_and_appetite_up_to_what_the_pond_takes() {
    let sample = hazel_bend();
    assert_eq!(heron(&sample, summer()).feed.why, FeedWhy::Usual);
    // Late enough that every future's prawns are above the last step of the rates.
    let pond = heron(&sample, Day::parse("2011-09-12").expect("a day"));
    let feed = pond.feed;
    assert_eq!(feed.why, FeedWhy::Usual, "{feed:?}");
    assert_eq!(feed.rate, stock::feed::ration_fraction_per_d(pond.mean_weight_g.middle));
    let by_hand = feed.mass_kg * feed.rate * feed.appetite;
    // The middle of a product is not quite the product of the middles.
    assert!((feed.kg.middle / by_hand - 1.0).abs() < 0.1 && feed.kg.low < feed.kg.middle, "{feed:?}");
    let area_ha = sample.farm.ponds[HERON].shape.area_m2 / 10_000.0;
    assert!((feed.ceiling_kg - 40.0 * area_ha).abs() < 1e-9);
    // Twice as many animals want more than the pond takes.
    let mut full = hazel_bend();
    full.farm.ponds[HERON].stocking.count *= 2.5;
    assert_eq!(heron(&full, summer()).feed.why, FeedWhy::Ceiling);
}

#[test]
fn low_oxygen_at_dawn_stops_feeding_that_day_alone() {
    let with = |hour: i64, mg_l: f64| {
        let mut sample = hazel_bend();
        let midnight = season::place_of(&sample.farm).day_start(summer());
        sample.farm.ponds[HERON].oxygen = vec![OxygenRead { at: midnight.plus_hours(hour), mg_l, depth_m: 0.45 }];
        heron(&sample, summer()).feed.why
    };
    assert_eq!(with(6, 2.4), FeedWhy::LowOxygen { mg_l: 2.4 });
    assert_eq!(with(6, 4.4), FeedWhy::Usual);
    // Yesterday's dawn, and this afternoon, are not this dawn.
    assert_eq!((with(-18, 2.4), with(15, 2.4)), (FeedWhy::Usual, FeedWhy::Usual));
}

#[test]
fn nothing_is_fed_in_the_day_before_the_water_goes_down() {
    let sample = hazel_bend();
    let on = sample.own_morning();
    let answer = sample.answer();
    let mut seen = [false; 2];
    for pond in &answer.ponds {
        let Some(planned) = pond.planned else { continue };
        let hours = (planned.start.0.0 - on.0) * 24 + planned.start.1 - answer.now_hour;
        assert_eq!(pond.feed.why == FeedWhy::BeforeCatch, hours <= 24, "{}: {hours} h before", pond.name);
        seen[usize::from(hours <= 24)] = true;
    }
    assert_eq!(seen, [true; 2], "the sample's own morning starts one pond and lets another wait");
}
