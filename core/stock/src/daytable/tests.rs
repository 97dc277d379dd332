use units::{LANES, Lanes, Real};

use super::*;
use crate::cold::{ACCLIMATION_H, HEALING_HALF_LIFE_H, alive_fraction, dose_factor, lt50_h};
use crate::growth::warmth;

#[test]
fn the_polynomial_is_the_closed_form() {
    let (mut wide, mut narrow) = (0.0_f64, 0.0_f64);
    for step in 0..=50_000 {
        let temp_c = -5.0 + 0.001 * f64::from(step);
        wide = wide.max((warmth_of(temp_c) - warmth(temp_c)).abs());
        narrow = narrow.max((warmth_of(Lanes::splat(temp_c)).lane(3) - warmth(temp_c)).abs());
    }
    assert!(wide < 1.2e-5 && narrow < 1.4e-5, "{wide:e} {narrow:e}");
}

#[test]
fn constants_are_what_their_names_say() {
    assert!((HEALED_IN_AN_HOUR - units::exp(-std::f64::consts::LN_2 / HEALING_HALF_LIFE_H)).abs() < 1e-15);
    assert!((HABIT_MOVED_IN_AN_HOUR - (1.0 - units::exp(-1.0 / ACCLIMATION_H))).abs() < 1e-15);
}

/// Habit stands still below 17 °C, so a dose there is hours over the time that kills half.
#[test]
fn hours_add_up_to_the_dose() {
    for (water_c, used_c, hours) in [(15.0, 26.0, 24), (13.5, 26.0, 24), (13.0, 22.0, 24), (16.9, 30.0, 10)] {
        let mut state = ColdState::used_to(used_c);
        for _ in 0..hours {
            state.hour(water_c);
        }
        let expected = f64::from(hours) / lt50_h(water_c, used_c);
        assert!((state.dose_max / expected - 1.0).abs() < 1e-12, "{water_c} {used_c}");
    }
}

#[test]
fn habit_follows_the_water_in_days() {
    let mut state = ColdState::used_to(28.0);
    for _ in 0..96 {
        state.hour(20.0);
    }
    assert!((state.acclimated_c - (20.0 + 8.0 * units::exp(-1.0))).abs() < 1e-9, "{}", state.acclimated_c);
    let habit = state.acclimated_c;
    state.hour(16.9);
    assert_eq!(state.acclimated_c, habit, "no hardening in killing cold");
}

#[test]
fn warm_water_heals_what_is_not_yet_death() {
    let mut state = ColdState::used_to(24.0);
    for _ in 0..10 {
        state.hour(13.0);
    }
    let worst = state.dose;
    for _ in 0..24 {
        state.hour(22.0);
    }
    assert!((state.dose / worst - 0.5).abs() < 1e-12, "half in a day");
    assert_eq!(state.dose_max, worst, "what was done stays done");
    for _ in 0..24 {
        state.hour(18.5);
    }
    assert!((state.dose / worst - 0.5).abs() < 1e-12, "neither harm nor healing between 17 and 20 °C");
    for _ in 0..2000 {
        state.hour(25.0);
    }
    assert_eq!(state.dose, 0.0, "forgotten");
}

/// While the switches stand, a shift of the whole curve multiplies the dose: the reason a unit dose is enough.
#[test]
fn a_unit_dose_serves_every_tolerance() {
    let water_c =
        |hour: i32| 15.0 + 1.2 * units::sin(f64::from(hour) / 7.0) + 8.0 * units::exp(-f64::from(hour) / 30.0);
    let run = |rate_factor: f64| {
        let mut state = ColdState::used_to(24.0);
        let mut by_hand = 0.0;
        let mut worst = 0.0_f64;
        for hour in 0..120 {
            let temp_c = water_c(hour);
            if temp_c < DOSE_BELOW_C {
                by_hand += rate_factor / lt50_h(temp_c, state.acclimated_c);
            } else if temp_c > HEALS_ABOVE_C {
                by_hand *= HEALED_IN_AN_HOUR;
            }
            worst = worst.max(by_hand);
            state.hour(temp_c);
        }
        (state.dose_max, worst)
    };
    let (unit, same) = run(1.0);
    assert!((unit / same - 1.0).abs() < 1e-12);
    let (_, shifted) = run(dose_factor(0.7));
    assert!((unit * dose_factor(0.7) / shifted - 1.0).abs() < 1e-12);
}

fn autumn(member: usize, hour: usize) -> f64 {
    let (member, hour) = (member as f64, hour as f64);
    27.0 - 0.01 * hour - 0.3 * member + 3.0 * units::sin(hour / 55.0 + member) + 1.5 * units::sin(hour * 0.261_8)
}

#[test]
fn lanes_follow_the_single_pond() {
    let mut crowd = DayTally::new(Lanes::splat(25.0));
    let mut alone: Vec<DayTally<f64>> = (0..LANES).map(|_| DayTally::new(25.0)).collect();
    let mut totals = vec![[0.0; 2]; LANES];
    for day in 0..60 {
        for hour in 0..24 {
            let (mut water, mut cold) = (Lanes::splat(0.0), Lanes::splat(0.0));
            for member in 0..LANES {
                let temp_c = autumn(member, 24 * day + hour);
                water.set_lane(member, temp_c);
                cold.set_lane(member, temp_c - 0.5);
                alone[member].hour(temp_c, temp_c - 0.5, hour == 6);
            }
            crowd.hour(water, cold, hour == 6);
        }
        let row = crowd.end_day();
        for member in 0..LANES {
            let own = alone[member].end_day();
            totals[member][0] += row.warm_days.lane(member);
            totals[member][1] += own.warm_days;
            for (lanes, wide, error) in [
                (row.mean_c, own.mean_c, 2e-5),
                (row.dawn_c, own.dawn_c, 2e-6),
                (row.dawn_coldest_c, own.dawn_coldest_c, 2e-6),
                (row.low_c, own.low_c, 2e-6),
            ] {
                assert!((lanes.lane(member) - wide).abs() < error, "day {day} member {member}: {wide}");
            }
            let (a, b) = (alive_fraction(row.dose_max.lane(member)), alive_fraction(own.dose_max));
            assert!((a - b).abs() < 2e-4, "day {day} member {member}: alive {a} against {b}");
            assert!(own.coldest_dose_max >= own.dose_max);
        }
    }
    for total in totals {
        assert!((total[0] - total[1]).abs() < 1e-3, "{total:?}");
    }
}

#[test]
fn a_steady_pond_has_steady_rows() {
    let mut tally = DayTally::new(26.0);
    for _ in 0..3 {
        for hour in 0..24 {
            tally.hour(26.0, 25.5, hour == 6);
        }
        let row = tally.end_day();
        assert!((row.warm_days - warmth(26.0)).abs() < 1.2e-5);
        assert_eq!((row.dose_max, row.dawn_c, row.low_c), (0.0, 26.0, 25.5));
        assert!((row.mean_c - 26.0).abs() < 1e-12, "{}", row.mean_c);
    }
}
