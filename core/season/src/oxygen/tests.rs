use super::*;

#[test]
fn readings_of_one_time_are_told_by_their_mean() {
    let mut card =
        farm::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample farm").ponds[0]
            .clone();
    let read = |second: i64, mg_l: f64, depth_m: f64| OxygenRead { at: Instant(second), mg_l, depth_m };
    card.oxygen = vec![
        read(-10, 9.0, 0.4),
        read(3600, 8.0, 0.4),
        read(3900, 4.0, 1.6),
        read(9000, 7.0, 0.4),
        read(90_000, 1.0, 0.4),
    ];
    assert_eq!(together(&card, Instant(0), Instant(80_000)), [(1.0, 6.0), (2.5, 7.0)]);
}

#[test]
fn the_spread_is_a_normal_one() {
    for (sds, share) in [(0.0, 0.5), (-EIGHT_IN_TEN, 0.1), (EIGHT_IN_TEN, 0.9), (1.96, 0.975)] {
        assert!((normal_below(sds) - share).abs() < 1e-4, "{sds}");
    }
}
