//! The front of `checks/src/fronts.rs` does to ponds what a front must.

use checks::fronts::{Front, run};

#[test]
fn thin_water_and_colder_air_and_wind_each_make_it_worse() {
    let front =
        |volume_fraction: f64, wind_m_s: f64, colder_k: f64| run(&Front { volume_fraction, wind_m_s, colder_k });
    let full = front(1.0, 2.0, 0.0);
    let (half, tenth) = (front(0.5, 2.0, 0.0), front(0.1, 2.0, 0.0));
    assert!(full.lowest_c > half.lowest_c + 0.5 && half.lowest_c > tenth.lowest_c + 0.5, "{full:?} {half:?} {tenth:?}");
    assert!(front(0.5, 5.0, 0.0).lowest_c < half.lowest_c - 0.5);
    let colder = front(0.5, 2.0, 5.0 / 1.8);
    assert!(colder.lowest_c < half.lowest_c - 1.0, "{colder:?}");
    assert!(colder.alive(0.0) <= half.alive(0.0));
    // Warm before, whatever the depth: upper 70s to upper 80s F.
    for pond in [full, half, tenth] {
        assert!((24.0..32.0).contains(&pond.before_c), "{pond:?}");
        assert!(pond.lowest_anywhere_c <= pond.lowest_c);
    }
}
