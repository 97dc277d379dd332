use super::*;
use farm::{DeadSeen, Fed, Sample};

fn farm_and_crop() -> (Farm, Crop) {
    let farm = farm::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample farm");
    let stocking = stock::Stocking { count: 11_000.0, weight_g: 0.4, per_ha: 60_000.0, substrate_fraction: 0.5 };
    (farm, Crop::new(&stocking, &stock::StockParams::default()))
}

#[test]
fn sights_stand_in_order_and_end_with_the_morning() {
    let (farm, crop) = farm_and_crop();
    let mut card = farm.ponds[0].clone();
    let day = |days: i32| card.stocking.on.plus(days);
    let weighed = Sample { on: day(60), mean_weight_g: 21.0, counted: 50, ..Sample::default() };
    let later = Sample { on: day(90), mean_weight_g: 30.0, counted: 50, ..Sample::default() };
    let none = Sample { on: day(50), mean_weight_g: 30.0, counted: 0, ..Sample::default() };
    let dead = vec![DeadSeen { on: day(61), count: 4.0 }, DeadSeen { on: day(-1), count: 9.0 }];
    let fed = vec![Fed { on: day(59), given_kg: 8.0, left: FeedLeft::Some }];
    (card.samples, card.dead, card.fed) = (vec![weighed, later, none], dead, fed);
    let seen = sights(&card, card.stocking.on.plus(70), &crop);
    let days: Vec<usize> = seen.iter().map(|sight| sight.day).collect();
    assert_eq!(days, [59, 60, 61], "{seen:?}");
    let Seen::Weighed { error_ln, .. } = seen[1].what else { panic!("{seen:?}") };
    assert!((error_ln - 0.068).abs() < 0.004, "half of the mean over the root of fifty: {error_ln}");
}

#[test]
fn bands_follow_their_parts() {
    let (farm, crop) = farm_and_crop();
    let warm_days: Vec<f64> = (0..=100).map(|day| 0.8 * f64::from(day)).collect();
    let of = believed(1, 0, &crop, &StockPriors::default(), &warm_days, &[]);
    let [number, weight, mass] = bands(&of);
    assert!(number.low < number.middle && number.middle < number.high, "{number:?}");
    // Nothing seen: survival as `stock` has it (0.54 to 0.88 at 106 days for 0.3 g), and the count 10 % off.
    assert!((number.middle / 11_000.0 - 0.77).abs() < 0.03, "{number:?}");
    assert!((number.low / 11_000.0 - 0.57).abs() < 0.04 && (number.high / 11_000.0 - 0.92).abs() < 0.04, "{number:?}");
    assert!((mass.middle / (number.middle * weight.middle / 1000.0) - 1.0).abs() < 0.05);
    let mixtures: Vec<Mixture> =
        of.particles.iter().map(|one| Mixture::new(47_000.0, one.hidden.orange_claw_extra)).collect();
    let classes = sizes(&of, &mixtures, &[20.0, 30.0]);
    let sum: f64 = classes.iter().map(|class| class.number_fraction.middle).sum();
    assert!(classes.len() == 3 && (sum - 1.0).abs() < 0.05, "{classes:?}");
    assert!(farm.season.survival_told.is_some());
    let told = with_told(&StockPriors::default(), &farm, &farm.ponds[0], crop.hazard_per_d(), 0);
    assert!(told.hazard_ln.1 < HAZARD_LN_SD);
    let weighed = with_told(&StockPriors::default(), &farm, &farm.ponds[0], crop.hazard_per_d(), 2);
    assert_eq!(weighed, StockPriors::default(), "weighed crops say better than what is remembered");
}

#[test]
fn a_sample_is_outside_by_how_far_it_lies_beyond_the_edge() {
    let met = |seen_g: f64| SampleMet {
        on: Day(0),
        seen_g,
        counted: 50,
        expected_g: Band { low: 20.0, middle: 25.0, high: 31.25 },
    };
    assert_eq!(met(25.0).outside(), 0.0);
    assert_eq!(met(30.0).outside(), 0.0);
    assert!((met(39.0625).outside() - 1.0).abs() < 1e-9);
    assert!(met(2.1).outside() > 5.0);
}

#[test]
fn a_count_from_samples_brings_its_own_doubt_into_the_number() {
    let (farm, crop) = farm_and_crop();
    let warm_days: Vec<f64> = (0..=10).map(|day| 0.8 * f64::from(day)).collect();
    let width = |either_way: Option<f64>| {
        let mut card = farm.ponds[0].clone();
        (card.stocking.count, card.stocking.count_either_way) = (11_000.0, either_way);
        let priors = with_told(&StockPriors::default(), &farm, &card, crop.hazard_per_d(), 0);
        let number = bands(&believed(1, 0, &crop, &priors, &warm_days, &[]))[0];
        (number.high - number.low) / number.middle
    };
    let (usual, close, wide) = (width(None), width(Some(300.0)), width(Some(5_000.0)));
    assert!(close < 0.9 * usual && wide > 1.5 * usual, "{close} {usual} {wide}");
}
