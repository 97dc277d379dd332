//! The way down against closed forms, published rows and plain sense.

use super::backwards::{Seine, Short, Target, Wanted, solve};
use super::*;
use crate::shape::{DepthArea, Levee, Shape};

fn near(got: f64, expected: f64, relative: f64) {
    assert!((got / expected - 1.0).abs() <= relative, "{got} against {expected}");
}

fn hole(diameter_m: f64) -> Works {
    Works::plain(vec![Way::Orifice { diameter_m, height_m: 0.0 }])
}

fn pumped(rate_m3_h: f64) -> Way {
    Way::Pump(Pump { rate: Rate::Measured(rate_m3_h), intake_m: 0.0, suction_m: 0.0, fuel_h: None })
}

/// Vertical walls and a flat floor.
fn tank(area_m2: f64, deep_m: f64) -> Shape {
    let rows = vec![(0.0, area_m2), (deep_m, area_m2)];
    Shape::from_table(&DepthArea { depth_area_m_m2: rows, length_m: 60.0, depth_shallow_m: Some(deep_m) }, 2)
        .expect("a tank")
}

/// Hours to fall by the clock.
fn falls_h(shape: &Shape, works: &Works, from_m: f64, to_m: f64) -> Option<f64> {
    let phase = Phase::down_to(works.ways.len(), to_m, 500.0, Some(What::CatchDepth));
    run(&Reservoir::new(shape), works, from_m, 0.0, &[phase]).hours_of(What::CatchDepth)
}

fn levee() -> Shape {
    let levee = Levee { end_slope: 0.0, ..Levee::paced(100.0, 40.0, 1.0, 2.1) };
    Shape::from_levee(&levee, 6).expect("a pond")
}

#[test]
fn published_discharges() {
    let text = include_str!("../../../../checks/values/pipe_discharge.csv");
    let rows: Vec<Vec<f64>> = text
        .lines()
        .filter_map(|line| line.strip_prefix("discharge,"))
        .map(|line| line.split(',').map(|cell| cell.parse().expect("a number")).collect())
        .collect();
    assert_eq!(rows.len(), 25, "every row is read");
    for row in rows {
        let [diameter, head, length, orifice, rough, smooth] = row[..] else { panic!("six figures") };
        near(1000.0 * orifice_m3_s(diameter, head), orifice, 1e-3);
        near(1000.0 * pipe_m3_s(diameter, length, 1.5e-4, head), rough, 1e-3);
        near(1000.0 * pipe_m3_s(diameter, length, 1.5e-6, head), smooth, 1e-3);
    }
}

#[test]
fn published_times_to_drain_by_both_methods() {
    // Rows of checks/values/drain_time.csv, in their order.
    let text = include_str!("../../../../checks/values/drain_time.csv");
    let value = |start: &str| -> f64 {
        let row = text.lines().find(|line| line.contains(start)).unwrap_or_else(|| panic!("no row {start}"));
        row.rsplit(',').nth(1).and_then(|cell| cell.parse().ok()).expect("its value")
    };
    let pond = levee();
    let at_30 = pond.stage_m(0.3 * pond.volume_m3(2.1));
    let wedge = Shape::from_table(
        &DepthArea { depth_area_m_m2: vec![(0.0, 4000.0), (1.0, 0.0)], length_m: 60.0, depth_shallow_m: Some(1.0) },
        1,
    )
    .expect("a wedge");
    let pump = Works::plain(vec![pumped(50.0)]);
    for (shape, works, from_m, to_m, row) in [
        (&tank(4000.0, 1.0), hole(0.20), 1.0, 1e-9, "vertical-sided tank"),
        (&tank(4000.0, 1.0), hole(0.20), 1.0, 0.25, "same tank, 1.0 -> 0.25"),
        (&wedge, hole(0.20), 1.0, 1e-9, "linear-area basin"),
        (&pond, hole(0.20), 2.1, at_30, "levee pond of geometry"),
        (&pond, hole(0.20), 2.1, 0.1, "full -> 0.1 m"),
        (&tank(400.0, 0.75), hole(0.10), 0.75, 1e-9, "orifice check of the FAO"),
        (&pond, pump, 2.1, at_30, "pump 50 m3/h"),
    ] {
        let expected_h = value(row);
        // Closed forms are met; rows by quadrature carry their own strips.
        let allowed = if row.contains("levee") || row.contains("full") || row.contains("pump") { 1e-3 } else { 2e-4 };
        near(falls_h(shape, &works, from_m, to_m).expect("it drains"), expected_h, allowed);
        // The integral over stage is coarse where the head runs out.
        let slices = if to_m > 0.01 { 5e-3 } else { 3e-2 };
        near(hours_down(shape, &works, from_m, to_m).expect("it drains"), expected_h, slices);
    }
    // FAO's own figure for a 10 cm pipe and 400 m2, "about 10 h", read at one significant figure.
    near(falls_h(&tank(400.0, 0.75), &hole(0.10), 0.75, 1e-9).expect("it drains"), value("FAO simple-methods"), 0.15);
}

#[test]
fn a_ditch_between_closed_form() {
    // Under a still ditch the head runs from water to water: 2 A (sqrt(h0) - sqrt(h1)) / (C a sqrt(2g)).
    let mut works = hole(0.20);
    works.outlet = OutletWater::at(0.4);
    let seconds = 2.0 * 4000.0 * (0.6_f64.sqrt() - 0.1_f64.sqrt())
        / (ORIFICE * std::f64::consts::FRAC_PI_4 * 0.04 * (2.0 * discharge::GRAVITY_M_S2).sqrt());
    near(falls_h(&tank(4000.0, 1.0), &works, 1.0, 0.5).expect("it drains"), seconds / 3600.0, 2e-4);
    assert_eq!(falls_h(&tank(4000.0, 1.0), &works, 1.0, 0.3), None, "it never falls below the ditch");
}

#[test]
fn inflow_against_a_pump_is_a_difference() {
    let mut works = Works::plain(vec![pumped(50.0)]);
    works.inflow_m3_h = 10.0;
    works.gain_m = vec![0.001; 100];
    // 4000 m2 of rain at 1 mm an hour is 4 m3/h.
    near(falls_h(&tank(4000.0, 1.0), &works, 1.0, 0.5).expect("it drains"), 2000.0 / 36.0, 1e-6);
}

#[test]
fn the_error_of_a_step_falls_with_it() {
    // Shown every quarter hour, whatever the bore: a wide drain is followed as closely as a narrow one.
    for diameter_m in [0.1, 0.3, 0.6] {
        let seconds = 2.0 * 1000.0
            / (ORIFICE
                * std::f64::consts::FRAC_PI_4
                * diameter_m
                * diameter_m
                * (2.0 * discharge::GRAVITY_M_S2).sqrt());
        let got_h = falls_h(&tank(1000.0, 1.0), &hole(diameter_m), 1.0, 1e-9).expect("it drains");
        near(got_h, seconds / 3600.0, 2e-4);
    }
}

#[test]
fn a_rising_ditch_stalls_the_drain_and_runs_backward() {
    let pond = levee();
    let mut works =
        Works::plain(vec![Way::Pipe { diameter_m: 0.3, length_m: 15.0, height_m: 0.0, screen_fraction: SCREEN }]);
    works.outlet.by_hour_h_m = vec![(0.0, 0.2), (6.0, 0.2), (18.0, 2.0), (30.0, 0.2)];
    let phase = Phase::down_to(1, 0.4, 60.0, Some(What::CatchDepth));
    let course = run(&Reservoir::new(&pond), &works, 2.1, 0.0, std::slice::from_ref(&phase));
    let backward_h = course.hours_of(What::RunsBackward).expect("the ditch runs in");
    let again_h = course.hours_of(What::RunsAgain).expect("and out again");
    assert!(6.0 < backward_h && backward_h < 18.0 && again_h > 18.0, "{:?}", course.marks);
    assert!(course.discharge_m3_h(0.5 * (backward_h + again_h)) < 0.0);
    let low_m = course.stage_m(backward_h);
    assert!(course.stage_m(again_h) > low_m + 0.05, "the pond has risen");
    works.outlet.flap = true;
    let flapped = run(&Reservoir::new(&pond), &works, 2.1, 0.0, &[phase]);
    assert_eq!(flapped.hours_of(What::RunsBackward), None, "a flap keeps it out");
    assert!(flapped.hours_of(What::Stalls).is_some());
}

#[test]
fn a_curve_meets_lift_and_hose() {
    // 10 m at no flow, none at 60 m3/h: H = 10 - (10/3600) q^2.
    let curve = |hose_ratio| Rate::Curve { points_m_m3_h: vec![(0.0, 60.0), (10.0, 0.0)], over_m: 3.0, hose_ratio };
    near(curve(0.0).m3_h(1.0, None), 60.0 * (1.0_f64 - 0.2).sqrt(), 1e-9);
    // With as much loss in the hose as the pump has itself: 10 - k q^2 = 2 + k q^2.
    near(curve(10.0 / 3600.0).m3_h(1.0, None), 60.0 * 0.4_f64.sqrt(), 1e-9);
    assert!(curve(0.0).m3_h(1.0, Some(9.0)) < curve(0.0).m3_h(1.0, None), "a higher ditch is a higher lift");
    let three =
        Rate::Curve { points_m_m3_h: vec![(2.0, 55.0), (6.0, 40.0), (9.0, 10.0)], over_m: 7.0, hose_ratio: 0.0 };
    near(three.m3_h(1.0, None), 40.0, 1e-9);
}

#[test]
fn a_pump_stops_when_it_draws_air_or_its_fuel_is_burnt() {
    let pump = |fuel_h| {
        Works::plain(vec![Way::Pump(Pump { rate: Rate::Measured(100.0), intake_m: 0.1, suction_m: 0.25, fuel_h })])
    };
    let go = |works: &Works| {
        let phase = Phase::down_to(1, 0.1, 30.0, Some(What::CatchDepth));
        run(&Reservoir::new(&tank(1000.0, 1.0)), works, 1.0, 0.0, &[phase])
    };
    let air = go(&pump(None));
    near(air.hours_of(What::LosesPrime { way: 0 }).expect("it draws air"), 6.5, 1e-6);
    near(air.stage_m(30.0), 0.35, 1e-6);
    let dry = go(&pump(Some(2.0)));
    near(dry.hours_of(What::FuelOut { way: 0 }).expect("its fuel is burnt"), 2.0, 1e-9);
    near(dry.stage_m(30.0), 0.8, 1e-6);
    assert!(!dry.steps.last().expect("steps").open[0], "and it no longer counts as open");
}

#[test]
fn a_pool_stays_behind_its_sill() {
    // A dip 0.4 m deeper than the sill that leads to the drain.
    let levee = Levee { soundings_m: vec![(30.0, 1.6), (60.0, 1.2)], ..Levee::paced(100.0, 40.0, 1.0, 2.0) };
    let pond = Shape::from_levee(&levee, 10).expect("a pond");
    let held = Reservoir::new(&pond);
    let phase = Phase::down_to(1, 0.1, 100.0, Some(What::CatchDepth));
    let course = run(&held, &hole(0.2), 2.0, 0.0, &[phase]);
    let cut: Vec<usize> = course
        .marks
        .iter()
        .filter_map(|mark| if let What::CutOff { column } = mark.what { Some(column) } else { None })
        .collect();
    assert!(cut.contains(&2) && cut.contains(&3), "{cut:?}");
    let last = course.steps.last().expect("steps");
    assert!(last.pools_m3 > 50.0, "{}", last.pools_m3);
    // What left is what is gone.
    near(pond.volume_m3(2.0) - last.volume_m3, course_out_m3(&course), 2e-3);
    assert!(last.bare_fraction > 0.5 && last.bare_fraction < 1.0 - last.pools_m3 / pond.volume_m3(2.0));
    for volume_m3 in [30.0, 500.0, 2000.0, 4000.0] {
        let stage_m = held.stage_m(volume_m3 + held.volume_m3(0.0));
        near(held.volume_m3(stage_m), volume_m3 + held.volume_m3(0.0), 1e-9);
    }
}

/// What left by the discharge of the steps, by trapezes.
fn course_out_m3(course: &Course) -> f64 {
    let pairs = course.steps.windows(2);
    pairs.map(|p| 0.5 * (p[0].discharge_m3_h + p[1].discharge_m3_h) * (p[1].at_h - p[0].at_h)).sum()
}

#[test]
fn a_rim_holds_the_water_by_itself() {
    let stand = Way::Standpipe { diameter_m: 0.2, length_m: 15.0, height_m: 0.0, screen_fraction: SCREEN };
    let works = Works::plain(vec![stand]);
    let phase = Phase { rim_m: Some(1.5), ..Phase::down_to(1, 0.4, 400.0, None) };
    let course = run(&Reservoir::new(&levee()), &works, 2.1, 0.0, &[phase]);
    let last_m = course.steps.last().expect("steps").stage_m;
    assert!((1.5..1.51).contains(&last_m), "{last_m}");
}

fn wanted() -> Wanted {
    Wanted {
        now_h: 0.0,
        from_m: 2.1,
        open_h: None,
        seine: Some(Seine { stage_m: 1.7, at_h: 54.5, held_h: 3.0 }),
        catch_m: 0.4,
        catch_at_h: 78.5,
        hands_h: (0.0, 24.0),
        after_h: 6.0,
    }
}

#[test]
fn both_levels_stand_at_their_hours_and_the_first_is_held() {
    let held = Reservoir::new(&levee());
    let works =
        Works::plain(vec![Way::Pipe { diameter_m: 0.2, length_m: 15.0, height_m: 0.0, screen_fraction: SCREEN }]);
    let opening = solve(&held, &works, &wanted());
    assert!(opening.short.is_empty(), "{:?}", opening.short);
    let course = &opening.course;
    let (from_h, to_h) = course.held().expect("held");
    assert!((opening.start_h + from_h - 54.5).abs() < 0.05 && to_h - from_h > 3.0, "{from_h} {to_h}");
    near(course.stage_m(0.5 * (from_h + to_h)), 1.7, 1e-6);
    let caught_h = course.hours_of(What::CatchDepth).expect("caught") + opening.start_h;
    assert!((caught_h - 78.5).abs() < 0.05, "{caught_h}");
    // Nobody there between 22 and 5: the opening moves into their hours and the gate is set to arrive on time.
    let nightly = solve(&held, &works, &Wanted { hands_h: (5.0, 22.0), ..wanted() });
    assert!((5.0..=22.0).contains(&nightly.start_h.rem_euclid(24.0)), "{}", nightly.start_h);
    assert!((nightly.start_h + nightly.course.hours_of(What::SeiningDepth).expect("seined") - 54.5).abs() < 0.2);
}

#[test]
fn what_cannot_be_is_said_with_what_would_make_it_possible() {
    let held = Reservoir::new(&levee());
    let works =
        Works::plain(vec![Way::Pipe { diameter_m: 0.1, length_m: 15.0, height_m: 0.0, screen_fraction: SCREEN }]);
    let hurried = Wanted { seine: None, catch_at_h: 20.0, ..wanted() };
    let opening = solve(&held, &works, &hurried);
    let [Short::Late { target: Target::Catch, late_h, extra_m3_h: Some(extra_m3_h) }] = opening.short[..] else {
        panic!("{:?}", opening.short)
    };
    assert!(late_h > 20.0 && extra_m3_h > 100.0, "{late_h} {extra_m3_h}");
    let mut more = works.clone();
    more.ways.push(pumped(extra_m3_h));
    assert!(solve(&held, &more, &hurried).short.is_empty(), "with that pump it is in time");
    let mut drowned = works;
    drowned.outlet = OutletWater::at(1.2);
    let opening = solve(&held, &drowned, &Wanted { seine: None, ..wanted() });
    let [Short::Never { lowest_m, by_outlet: true, .. }] = opening.short[..] else { panic!("{:?}", opening.short) };
    assert!((lowest_m - 1.2).abs() < 2e-3, "{lowest_m}");
}
