use super::*;
use crate::water_properties::lightness_kg_m3;

fn swept(temps: &[f64], volumes: &[f64]) -> Vec<f64> {
    let table = Table::new(volumes.to_vec());
    let mut temps = temps.to_vec();
    overturn(&mut temps, Volumes::of(&table), &mut Pools::new(volumes.len()));
    temps
}

#[track_caller]
fn check(temps: &[f64], volumes: &[f64], tolerance_c: f64) {
    let mut exact = temps.to_vec();
    overturn_exact(&mut exact, volumes);
    let ours = swept(temps, volumes);
    let heat = |t: &[f64]| t.iter().zip(volumes).map(|(t, v)| t * v).sum::<f64>();
    assert!((heat(&ours) - heat(temps)).abs() < 1e-9 * heat(temps).abs(), "heat is kept");
    for (a, b) in ours.iter().zip(&exact) {
        assert!((a - b).abs() <= tolerance_c, "{temps:?}: {ours:?} for {exact:?}");
    }
}

#[test]
fn sweeps_merge_as_exactly_as_they_must() {
    let even = [1.0; 6];
    // Cooled from above, warmed from below, stable, and all equal: exact.
    check(&[18.0, 20.0, 20.0, 19.0, 18.5, 18.0], &even, 1e-12);
    check(&[20.0, 19.0, 18.0, 17.0, 16.0, 19.5], &even, 1e-12);
    check(&[22.0, 21.0, 20.0, 19.0, 18.0, 17.0], &even, 0.0);
    check(&[15.0; 6], &even, 0.0);
    // Thin cells over thick ones, as the grid has them.
    check(&[12.0, 19.0, 19.0, 19.0, 19.0, 14.0], &[5.0, 5.0, 10.0, 10.0, 12.0, 6.0], 1e-12);
    // Both ends at once, and a cold slab in the middle.
    check(&[17.0, 20.0, 19.0, 18.5, 18.0, 20.5], &even, 1e-9);
    check(&[21.0, 20.0, 15.0, 19.0, 18.0, 17.0], &even, 1e-9);
    // Below 4 C the warmer water sinks.
    check(&[3.0, 2.0, 1.0, 2.5, 1.0, 0.5], &even, 1e-9);
}

#[test]
fn any_column_ends_settled_or_nearly() {
    // A small generator of its own: 2,000 columns of random temperatures, far rougher than any hour makes them.
    let mut state = 12_345_u64;
    let mut draw = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / (1_u64 << 31) as f64
    };
    let (mut worst, mut sum, mut count) = (0.0_f64, 0.0, 0);
    for _ in 0..2000 {
        let volumes: Vec<f64> = (0..18).map(|_| 0.5 + draw()).collect();
        let temps: Vec<f64> = (0..18).map(|j| 22.0 - 0.1 * f64::from(j) + 0.5 * draw()).collect();
        let mut exact = temps.clone();
        overturn_exact(&mut exact, &volumes);
        for (a, b) in swept(&temps, &volumes).iter().zip(&exact) {
            worst = worst.max((a - b).abs());
            sum += (a - b).abs();
            count += 1;
        }
    }
    assert!(worst < 0.05 && sum / f64::from(count) < 1e-4, "worst {worst}, mean {}", sum / f64::from(count));
}

#[test]
fn order_is_the_order_of_weight() {
    let grid: Vec<f64> = (-10..=420).map(|k| 0.1 * f64::from(k)).collect();
    for &a in &grid {
        for &b in &grid {
            let (la, lb) = (lightness_kg_m3(a), lightness_kg_m3(b));
            // Waters whose weights differ by less than 0.004 kg/m3 (0.02 K at 20 C) may be taken either way, and only
            // across the heaviest temperature.
            if la > lb + 0.004 {
                assert!(order_c(a) > order_c(b), "{a} over {b}");
            }
            if a > 4.0 && b > 4.0 {
                assert_eq!(order_c(a) > order_c(b), a > b);
            }
        }
    }
}

#[test]
fn layering_stops_the_wind() {
    let depths = Table::new(vec![0.0, 0.5, 1.0, 8.0]);
    let open = Table::new(vec![1.0; 4]);
    let (mut strength, mut stopping) = ([0.0; 4], [0.0; 4]);
    wind_at_interfaces(4.0, 42.0, &depths, &open, &mut strength, &mut stopping);
    let at = |j: usize, n2: f64| henderson_sellers_1985(1e-7, strength[j], stopping[j], n2);
    assert!(at(1, 0.0) > at(3, 0.0), "stirring dies with depth");
    assert!(at(1, 1e-3) < 0.1 * at(1, 0.0), "and with layering");
    assert!(at(3, 1e-2) < 1.1 * 2.4e-7);
    // By hand, 0.5 m, 4 m/s, 42 N: us = 1.2e-3 x 3.16, k* = 6.6 sqrt(0.669) 3.16^-1.84 = 0.650, K = 0.4 us z exp(-k* z).
    let hand = 0.4 * 1.2e-3 * 3.16 * 0.5 * units::exp(-0.650 * 0.5);
    assert!((at(1, 0.0) / hand - 1.0).abs() < 5e-3, "{} for {hand}", at(1, 0.0));
}
