use super::*;

const STILL: Law = Law { use_mg_l_h: 0.0, exchange_per_h: 0.0, aerator_per_h: 0.0, saturation_mg_l: 8.0 };

fn near(ours: f64, expected: f64, within: f64) {
    assert!((ours - expected).abs() <= within, "{ours}, not {expected}");
}

#[test]
fn without_exchange_it_falls_on_a_straight_line() {
    let law = Law { use_mg_l_h: 0.3, ..STILL };
    for hours in [0.0, 1.0, 5.0, 12.0] {
        near(law.after(8.0, hours).end_mg_l, 8.0 - 0.3 * hours, 1e-12);
    }
    near(law.hours_to(8.0, 3.0).expect("it comes to it"), 5.0 / 0.3, 1e-12);
    near(law.use_between(8.0, 5.0, 10.0), 0.3, 1e-12);
}

#[test]
fn with_exchange_alone_it_nears_saturation_exponentially() {
    let law = Law { exchange_per_h: 0.05, ..STILL };
    for (start, hours) in [(2.0, 1.0), (2.0, 20.0), (14.0, 7.0)] {
        near(law.after(start, hours).end_mg_l, 8.0 + (start - 8.0) * exp(-0.05 * hours), 1e-12);
    }
    assert_eq!(law.hours_to(14.0, 7.0), None, "it rests at saturation");
}

#[test]
fn with_both_it_comes_to_rest_where_they_are_even() {
    let law = Law { use_mg_l_h: 0.2, exchange_per_h: 0.05, ..STILL };
    near(law.after(8.0, 1e4).end_mg_l, 8.0 - 0.2 / 0.05, 1e-9);
    assert_eq!(law.hours_to(8.0, 3.9), None, "it rests at 4");
    let hours = law.hours_to(8.0, 5.0).expect("on the way to 4");
    near(law.after(8.0, hours).end_mg_l, 5.0, 1e-12);
}

/// Made-up laws, spread by a rule that needs no luck.
fn laws() -> impl Iterator<Item = (Law, f64, f64)> {
    (0..3000_u32).map(|i| {
        let part = |k: u32| f64::from((i.wrapping_mul(2_654_435_761).rotate_left(k)) % 1000) / 1000.0;
        let none = |k: u32, value: f64| if part(k) < 0.2 { 0.0 } else { value };
        let law = Law {
            use_mg_l_h: none(1, 1.5 * part(2)),
            exchange_per_h: none(3, 0.2 * part(4)),
            aerator_per_h: none(5, 0.3 * part(6)),
            saturation_mg_l: 6.0 + 6.0 * part(7),
        };
        (law, 15.0 * part(8), 14.0 * part(9))
    })
}

#[test]
fn what_came_and_went_makes_up_the_change() {
    let mut emptied = 0;
    for (law, start, hours) in laws() {
        let passed = law.after(start, hours);
        let ways = passed.from_air_mg_l + passed.from_aerator_mg_l - passed.used_mg_l;
        near(passed.end_mg_l - start, ways, 1e-9);
        assert!(passed.end_mg_l >= 0.0 && passed.used_mg_l <= law.use_mg_l_h * hours + 1e-9, "{law:?} {passed:?}");
        emptied += usize::from(passed.end_mg_l == 0.0 && hours > 0.0);
    }
    assert!(emptied > 100, "some of them ran out: {emptied}");
}

#[test]
fn two_half_nights_are_one_and_the_use_is_found_again() {
    for (law, start, hours) in laws() {
        let half = law.after(start, 0.5 * hours).end_mg_l;
        let whole = law.after(start, hours).end_mg_l;
        near(law.after(half, 0.5 * hours).end_mg_l, whole, 1e-9);
        if whole > 0.0 && hours > 0.1 {
            near(law.use_between(start, whole, hours), law.use_mg_l_h, 1e-6);
        }
    }
}

#[test]
fn more_air_never_leaves_less_where_the_water_wants_it() {
    for (law, start, hours) in laws() {
        let start = start.min(law.saturation_mg_l);
        let more = Law { aerator_per_h: law.aerator_per_h + 0.05, ..law };
        assert!(more.after(start, hours).end_mg_l >= law.after(start, hours).end_mg_l - 1e-12, "{law:?}");
    }
}

#[test]
fn an_aerator_in_the_law_gives_what_its_rating_says() {
    // In a short while, at a held value, both ways of saying it are the same.
    let (temp, sat, at, volume) = (26.0, 8.11, 3.0, 4856.0);
    let law = Law { aerator_per_h: aerator_per_h(3.3, temp, volume), saturation_mg_l: sat, ..STILL };
    let kg_h = law.after(at, 1e-3).from_aerator_mg_l / 1e-3 * volume / 1000.0;
    near(kg_h, 3.3 * part_of_rating(temp, sat, at, ALPHA), 1e-3);
}

#[test]
fn waters_that_meet_keep_what_they_held() {
    near(met((6.0, 300.0), (0.0, 100.0)), 4.5, 1e-12);
    near(met((6.0, 0.0), (1.0, 0.0)), 6.0, 0.0);
}

#[test]
fn a_usual_pond_is_its_parts() {
    let usual = Used::usual(27.0, Some(0.4), 1.2, 0.02);
    near(usual.whole_mg_l_h(), 0.92 * 0.30 + 0.02, 1e-12);
    assert!(Used::usual(27.0, Some(0.2), 1.2, 0.0).water_mg_l_h > usual.water_mg_l_h, "green water uses more");
    assert!(
        Used::usual(27.0, None, 0.6, 0.0).floor_mg_l_h > usual.floor_mg_l_h,
        "over the same floor shallow water has less to give"
    );
    assert!(Used::usual(22.0, None, 1.2, 0.0).whole_mg_l_h() < usual.whole_mg_l_h());
}
