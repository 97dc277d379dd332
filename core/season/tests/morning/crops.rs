//! Crops that came out and were weighed: expected beside what came, and beliefs for the next.

use farm::{PastCrop, Stocking};
use units::Day;

use crate::sample::hazel_bend;

fn crop(year: i16, count: f64) -> PastCrop {
    let on = Day::new(year, 5, 27).expect("a day");
    let stocking = Stocking { on, count: 9_000.0, mean_weight_g: 0.4, count_either_way: None };
    PastCrop {
        pond: "willow".to_owned(),
        stocking,
        out: on.plus(120),
        caught_kg: count * 0.028,
        caught_count: Some(count),
    }
}

#[test]
fn weighed_crops_stand_beside_what_was_expected_and_tighten_the_next() {
    let mut sample = hazel_bend();
    sample.farm.ponds.iter_mut().for_each(|card| card.samples.clear());
    sample.farm.season.survival_told = None;
    let without = sample.answer();
    assert!(without.ponds.iter().all(|pond| !pond.stock.is_seen) && without.crops.is_empty());
    sample.farm.crops = vec![crop(2008, 4_500.0), crop(2009, 4_800.0), crop(2010, 4_600.0)];
    let with = sample.answer();
    assert_eq!(with.crops.len(), 3);
    let met = &with.crops[0];
    let [number, weight, mass] = &met.expected;
    assert!(number.low < number.middle && number.middle < number.high && mass.middle > 0.0 && weight.middle > 10.0);
    assert!(!met.is_seen && (met.came_g.expect("counted") - 28.0).abs() < 1e-9);
    // Half of the stocked came, year after year: the next is expected to be nearer to that, and surer.
    let ratio = |band: &season::answer::Band| units::ln(band.high / band.low);
    for (with, without) in with.ponds.iter().zip(&without.ponds) {
        assert!(with.stock.is_seen && with.stock.crops_taught == 3);
        assert!(with.stock.alive_fraction.middle < 0.9 * without.stock.alive_fraction.middle, "{}", with.name);
        assert!(ratio(&with.stock.growth_factor) < ratio(&without.stock.growth_factor), "{}", with.name);
        assert!(with.mean_weight_g.middle < without.mean_weight_g.middle, "28 g each year: {}", with.name);
    }
    assert_eq!(with.ponds[0].stock.crops.len(), 3);
    assert!(with.ponds[1].stock.crops.is_empty());
    // Later crops are expected from what the earlier ones taught.
    assert!(with.crops[2].expected[0].middle < with.crops[0].expected[0].middle);
}
