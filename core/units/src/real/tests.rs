use super::{LANES, Lanes, Real};

/// Largest error of the lane form against `libm` over `low..high`, relative to the larger of `floor` and the result.
fn worst(low: f64, high: f64, floor: f64, lanes: impl Fn(Lanes) -> Lanes, exact: impl Fn(f64) -> f64) -> f64 {
    let count = 400_000;
    let mut worst = 0.0_f64;
    for start in (0..count).step_by(LANES) {
        let mut x = Lanes::splat(0.0);
        for k in 0..LANES {
            x.set_lane(k, low + (high - low) * (start + k) as f64 / count as f64);
        }
        let y = lanes(x);
        for k in 0..LANES {
            let truth = exact(x.lane(k));
            worst = worst.max((y.lane(k) - truth).abs() / truth.abs().max(floor));
        }
    }
    worst
}

#[test]
fn lanes_follow_libm() {
    // Bound, and what was seen when it was set: exp 1.2e-7, ln 1.2e-7, cbrt 4.3e-7.
    let exp = worst(-86.9, 87.9, 0.0, Real::exp, libm::exp);
    assert!(exp < 2e-7, "exp {exp:e}");
    let near_zero = worst(-0.5, 0.5, 0.0, Real::exp, libm::exp);
    assert!(near_zero < 2e-7, "exp near 0 {near_zero:e}");
    for (low, high) in [(1e-6, 1e-3), (1e-3, 2.0), (0.9, 1.1), (2.0, 1e6)] {
        let ln = worst(low, high, 1.0, Real::ln, libm::log);
        assert!(ln < 3e-7, "ln {low} to {high}: {ln:e}");
    }
    for (low, high) in [(1e-12, 1e-6), (1e-6, 1.0), (1.0, 1e3), (1e3, 1e12)] {
        let cbrt = worst(low, high, 0.0, Real::cbrt, libm::cbrt);
        assert!(cbrt < 5e-7, "cbrt {low} to {high}: {cbrt:e}");
    }
}

#[test]
fn ends_are_held() {
    assert_eq!(Lanes::splat(0.0).cbrt(), Lanes::splat(0.0));
    assert_eq!(Lanes::splat(0.0).exp(), Lanes::splat(1.0));
    assert_eq!(Lanes::splat(1.0).ln(), Lanes::splat(0.0));
    assert_eq!(Lanes::splat(-1e9).exp(), Lanes::splat(-87.0).exp());
    assert!(Lanes::splat(1e9).exp().lane(0).is_finite());
}

#[test]
fn a_choice_is_made_for_each_member() {
    let mut x = Lanes::splat(1.0);
    x.set_lane(5, -2.0);
    let chosen = x.if_less(Lanes::splat(0.0), Lanes::splat(7.0), x);
    assert_eq!((chosen.lane(4), chosen.lane(5)), (1.0, 7.0));
    assert!(x.any_less(Lanes::splat(0.0)));
    assert!(!x.any_less(Lanes::splat(-2.0)));
    let equal = x.if_equal(Lanes::splat(-2.0), Lanes::splat(0.5), Lanes::splat(0.25));
    assert_eq!((equal.lane(4), equal.lane(5)), (0.25, 0.5));
}

/// A lane's answer may not depend on what its neighbours hold.
#[test]
fn neighbours_do_not_matter() {
    let mut alone = Lanes::splat(3.7);
    let mut crowd = Lanes::splat(3.7);
    for k in 1..LANES {
        crowd.set_lane(k, f64::from(k as u32) * 0.31 + 1e-3);
    }
    for f in [Real::exp, Real::ln, Real::cbrt, Real::sqrt] as [fn(Lanes) -> Lanes; 4] {
        alone = f(alone);
        crowd = f(crowd);
        assert_eq!(alone.lane(0).to_bits(), crowd.lane(0).to_bits());
        crowd = crowd.max(Lanes::splat(0.5));
        alone = alone.max(Lanes::splat(0.5));
    }
}

#[test]
fn sums_are_wide() {
    let mut sums = Lanes::no_sums();
    for _ in 0..10_000 {
        Lanes::splat(1e-4).add_to(&mut sums);
    }
    let each = f64::from(1e-4_f32) * 10_000.0;
    assert!((Lanes::sum_of(&sums, 3) - each).abs() < 1e-9);
}
