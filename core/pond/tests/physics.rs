//! What an expert would insist on: nothing from nothing, every joule accounted for, and answers that do not hang on the
//! grid, the step or the number of columns.

mod common;

use common::{autumn, front, ground, pond, stage};
use pond::{
    Air, Basin, Budget, Conditions, Flows, Grid, Levee, Next, Schedule, Scratch, Settings, Shape, Stage, Water, hour,
    is_settled,
};

/// No exchange with the air but longwave, no skin.
fn sealed() -> Settings {
    Settings { wind_transfer: 0.0, free_transfer: 0.0, skin: false, ..Settings::default() }
}

/// Dry air without sun or wind.
fn still() -> Air<f64> {
    Air { shortwave_w_m2: 0.0, wind_m_s: 0.0, rain_m: 0.0, ..autumn(0, 0) }
}

/// Longwave that just balances water of this temperature.
fn balance(water_c: f64) -> f64 {
    5.670_374e-8 * units::pow(water_c + 273.15, 4.0)
}

fn run(
    basin: &Basin,
    stage: &Stage,
    water: &mut Water<f64>,
    hours: usize,
    air: impl Fn(usize) -> Air<f64>,
) -> Vec<f64> {
    let mut budget = Budget::default();
    let mut scratch = Scratch::new(basin);
    (0..hours)
        .map(|h| {
            hour(basin, stage, None, &air(h), water, &mut budget, &mut scratch);
            water.mean(stage)
        })
        .collect()
}

#[test]
fn constant_stays_constant() {
    for levels_m in [[2.1, 2.1], [2.1, 1.2], [0.6, 1.9]] {
        let basin = pond(6, Grid::pond(), sealed());
        let ground = basin.ground(18.0, 0.0);
        let hours: Vec<Conditions> = (0..240)
            .map(|h| Conditions {
                level_m: levels_m[0] + (levels_m[1] - levels_m[0]) * f64::from(h) / 240.0,
                attenuation_per_m: 2.0,
                plants: 0.5,
                ground_deep_c: 18.0,
            })
            .collect();
        let flows = Flows { seepage_m_h: 2e-4, inflow_m3_h: 3.0, inflow_temp_c: 18.0 };
        let schedule = Schedule::new(&basin, &hours, &flows);
        let mut water: Water<f64> = Water::start(&basin, schedule.stage(0), &[(0.0, 18.0)], &ground, 240.0);
        let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
        let air = Air { longwave_w_m2: balance(18.0), wind_m_s: 5.0, ..still() };
        for h in 0..240 {
            hour(&basin, schedule.stage(h), schedule.next(h), &air, &mut water, &mut budget, &mut scratch);
        }
        for (i, &t) in water.temps.iter().chain(&water.bed).enumerate() {
            assert!((t - 18.0).abs() < 1e-9, "{levels_m:?}, place {i}: {t}");
        }
    }
}

#[test]
fn every_joule_is_accounted_for() {
    for (flows, plants, levels_m) in [
        (Flows::default(), 0.0, [2.0, 2.0]),
        (Flows::default(), 1.0, [2.1, 0.3]),
        (Flows { seepage_m_h: 3e-4, inflow_m3_h: 8.0, inflow_temp_c: 17.0 }, 0.3, [0.5, 2.3]),
        (Flows { seepage_m_h: 1e-3, inflow_m3_h: 2.0, inflow_temp_c: 30.0 }, 0.3, [1.5, 1.4]),
    ] {
        let basin = pond(6, Grid::pond(), Settings::default());
        let ground = ground(&basin);
        let hours: Vec<Conditions> = (0..1000)
            .map(|h| Conditions {
                level_m: levels_m[0] + (levels_m[1] - levels_m[0]) * f64::from(h) / 1000.0,
                attenuation_per_m: 1.5,
                plants,
                ground_deep_c: ground.deep_c(240.0 + f64::from(h) / 24.0),
            })
            .collect();
        let schedule = Schedule::new(&basin, &hours, &flows);
        let mut water: Water<f64> =
            Water::start(&basin, schedule.stage(0), &[(0.0, 24.0), (2.0, 20.0)], &ground, 240.0).with_wind(0.6);
        let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
        let before_j = water.heat_j(schedule.stage(0), 0);
        for h in 0..hours.len() {
            hour(&basin, schedule.stage(h), schedule.next(h), &autumn(h, 0), &mut water, &mut budget, &mut scratch);
        }
        let change_j = water.heat_j(schedule.stage_after(hours.len() - 1), 0) - before_j;
        let traffic_j = budget.sun_j.abs() + budget.surface_j.abs();
        // The rule is 1e-4; in f64 nothing but rounding is left.
        assert!((change_j - budget.total_j(0)).abs() < 1e-9 * traffic_j, "{flows:?}: {change_j} and {budget:?}");
        assert!(budget.evaporated_m(0) > 0.02);
    }
}

#[test]
fn water_warmed_from_below_overturns() {
    let basin = pond(3, Grid::pond(), sealed());
    let stage = stage(&basin, 2.1);
    let mut water: Water<f64> = Water::start(&basin, &stage, &[(0.0, 12.0)], &basin.ground(30.0, 0.0), 240.0);
    water.bed.fill(30.0);
    let air = Air { longwave_w_m2: balance(12.0), ..still() };
    run(&basin, &stage, &mut water, 48, |_| air);
    assert!(water.mean(&stage) > 12.3);
    assert!(is_settled(&stage, &water));
    let spread =
        (0..stage.cells(2)).map(|j| (water.temps[2 * stage.stride() + j] - water.column_mean(&stage, 2)).abs());
    assert!(spread.fold(0.0, f64::max) < 0.03, "the heat is through the whole column");
}

#[test]
fn below_four_degrees_the_order_turns() {
    let basin = pond(1, Grid::pond(), sealed());
    let stage = stage(&basin, 2.1);
    // Warmed at the surface, water of 2 C sinks; cooled, it stays on top.
    for (warmed, stays_on_top) in [(60.0, false), (-60.0, true)] {
        let mut water: Water<f64> = Water::start(&basin, &stage, &[(0.0, 2.0)], &basin.ground(2.0, 0.0), 240.0);
        let air = Air { longwave_w_m2: balance(2.0) + warmed, ..still() };
        run(&basin, &stage, &mut water, 12, |_| air);
        let top_less_bottom = water.temps[0] - water.bottom(&stage, 0);
        assert_eq!(top_less_bottom.abs() > 0.3, stays_on_top, "{warmed}: {top_less_bottom}");
    }
}

/// Dawn minima of the deepest column's upper metre, day by day, under the made-up autumn.
fn dawns(grid: Grid, settings: Settings, columns: usize) -> (Vec<f64>, Vec<f64>) {
    let basin = pond(columns, grid, settings);
    let stage = stage(&basin, 2.1);
    let mut water: Water<f64> = Water::start(&basin, &stage, &[(0.0, 25.0)], &ground(&basin), 240.0).with_wind(0.6);
    let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
    let (mut least, mut means) = (vec![], vec![]);
    for day in 0..60 {
        let mut low = f64::INFINITY;
        let mut sum = 0.0;
        for h in 0..24 {
            hour(&basin, &stage, None, &autumn(day * 24 + h, 0), &mut water, &mut budget, &mut scratch);
            low = low.min(water.upper_metre(&stage, columns - 1));
            sum += water.mean(&stage) / 24.0;
        }
        least.push(low);
        means.push(sum);
    }
    (least, means)
}

fn apart(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| (x - y).abs()).fold(0.0, f64::max)
}

#[test]
fn halving_step_and_cell_changes_little() {
    let own = dawns(Grid::pond(), Settings::default(), 1).0;
    let half_step = dawns(Grid::pond(), Settings { step_s: 600.0, ..Settings::default() }, 1).0;
    let hourly = dawns(Grid::pond(), Settings { step_s: 3600.0, ..Settings::default() }, 1).0;
    let half_cell = dawns(Grid::pond().halved(), Settings::default(), 1).0;
    // The rule is 0.15 K. Seen: half the step 0.004, the whole hour 0.018, half the cells 0.005.
    assert!(apart(&own, &half_step) < 0.01, "step {}", apart(&own, &half_step));
    assert!(apart(&own, &hourly) < 0.04, "hour {}", apart(&own, &hourly));
    assert!(apart(&own, &half_cell) < 0.04, "cell {}", apart(&own, &half_cell));
    assert!(apart(&own, &half_step) > 0.0 && apart(&own, &half_cell) > 0.0);
}

#[test]
fn the_number_of_columns_does_not_matter() {
    let few = dawns(Grid::pond(), Settings::default(), 3);
    for columns in [5, 10] {
        let more = dawns(Grid::pond(), Settings::default(), columns);
        let (mean, least) = (apart(&few.1, &more.1), apart(&few.0, &more.0));
        assert!(mean < 0.02, "{columns} columns: volume mean {mean}");
        assert!(least < 0.01, "{columns} columns: dawn of the deep column {least}");
    }
}

#[test]
fn columns_of_equal_depth_are_one() {
    let mut levee = Levee::paced(100.0, 40.0, 1.5, 1.5);
    levee.side_slope = 2.0;
    let at = |columns: usize| {
        let shape = Shape::from_levee(&levee, columns).expect("a pond");
        let basin = Basin::new(shape, 34.7);
        let stage = stage(&basin, 1.5);
        let mut water: Water<f64> = Water::start(&basin, &stage, &[(0.0, 25.0)], &ground(&basin), 240.0);
        run(&basin, &stage, &mut water, 500, |h| autumn(h, 0));
        (0..columns)
            .map(|c| (0..stage.cells(c)).map(|j| water.temps[c * stage.stride() + j]).collect())
            .collect::<Vec<Vec<f64>>>()
    };
    let (one, four) = (at(1), at(4));
    for column in &four {
        assert!(apart(column, &one[0]) < 1e-9);
    }
}

/// `analytic_heat.csv`: mixed water losing 300 W/m2 for 24 h, no bed: fall in K.
#[test]
fn mixed_water_falls_by_its_depth() {
    for (depth_m, fall_c) in [(0.3, 20.67), (0.5, 12.402), (1.0, 6.201), (1.36, 4.5595), (2.0, 3.1005)] {
        let mut levee = Levee::paced(100.0, 40.0, depth_m, depth_m);
        levee.side_slope = 0.0;
        let settings = Settings { ground_conductivity_w_m_k: 1e-9, step_s: 300.0, ..sealed() };
        let basin = Basin::with(Shape::from_levee(&levee, 1).expect("a pond"), 34.7, Grid::pond(), settings);
        let stage = stage(&basin, depth_m);
        let mut water: Water<f64> = Water::start(&basin, &stage, &[(0.0, 28.0)], &basin.ground(28.0, 0.0), 240.0);
        let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
        let mut air = still();
        for _ in 0..24 {
            // What leaves as longwave is 0.97 of a black surface's; the rest of the hour's balance is made 300.
            let now_c = water.mean(&stage) - 0.5 * fall_c / 24.0;
            air.longwave_w_m2 = balance(now_c) - 300.0 / 0.97;
            hour(&basin, &stage, None, &air, &mut water, &mut budget, &mut scratch);
        }
        let fall = 28.0 - water.mean(&stage);
        assert!((fall / fall_c - 1.0).abs() < 0.01, "{depth_m} m: {fall} for {fall_c}");
    }
}

/// Falling water keeps its temperature, whatever the layering; risen water takes no more than it was given.
#[test]
fn moving_the_level_makes_no_new_extremes() {
    let basin = pond(6, Grid::pond(), Settings::default());
    let full = stage(&basin, 2.1);
    let mut water: Water<f64> = Water::start(&basin, &full, &[(0.0, 26.0), (2.0, 18.0)], &ground(&basin), 240.0);
    let mut scratch = Scratch::new(&basin);
    let mut budget = Budget::default();
    let mut from = full;
    for level_m in [2.0, 1.7, 1.2, 0.8, 0.4, 0.9, 1.6, 2.1] {
        let to = stage(&basin, level_m);
        let flows = Flows { seepage_m_h: 1e-4, inflow_m3_h: 1.0, inflow_temp_c: 20.0 };
        let change = pond::LevelChange::new(&basin, &from, &to, &flows);
        let before = water.clone();
        hour(
            &basin,
            &from,
            Some(Next { stage: &to, change: &change }),
            &still(),
            &mut water,
            &mut budget,
            &mut scratch,
        );
        for c in 0..6 {
            for j in 0..to.cells(c) {
                let t = water.temps[c * to.stride() + j];
                assert!((17.0..27.5).contains(&t), "{level_m} m, column {c}, cell {j}: {t}, before {:?}", before.temps);
            }
        }
        from = to;
    }
}

#[test]
fn cold_inflow_sinks_and_warm_inflow_floats() {
    let basin = pond(1, Grid::pond(), Settings::default());
    let stage = stage(&basin, 2.1);
    let after = |inflow_temp_c: f64| {
        let mut water: Water<f64> = Water::start(
            &basin,
            &stage,
            &[(0.0, 24.0), (0.6, 24.0), (1.2, 18.0), (2.0, 16.0)],
            &basin.ground(18.0, 0.0),
            240.0,
        );
        let flows = Flows { seepage_m_h: 0.0, inflow_m3_h: 40.0, inflow_temp_c };
        let change = pond::LevelChange::new(&basin, &stage, &stage, &flows);
        let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
        let air = still();
        let next = Next { stage: &stage, change: &change };
        hour(&basin, &stage, Some(next), &air, &mut water, &mut budget, &mut scratch);
        let mut without: Water<f64> = Water::start(
            &basin,
            &stage,
            &[(0.0, 24.0), (0.6, 24.0), (1.2, 18.0), (2.0, 16.0)],
            &basin.ground(18.0, 0.0),
            240.0,
        );
        hour(&basin, &stage, None, &air, &mut without, &mut budget, &mut scratch);
        let differs = |j: usize| water.temps[j] - without.temps[j];
        (differs(0), differs(stage.cells(0) - 1))
    };
    let (top, bottom) = after(8.0);
    assert!(bottom < -0.2 && top.abs() < 1e-3, "cold: {top} {bottom}");
    let (top, bottom) = after(30.0);
    assert!(top > 0.05 && bottom.abs() < 1e-3, "warm: {top} {bottom}");
}

#[test]
fn what_is_not_spent_is_kept() {
    let basin = pond(2, Grid::pond(), Settings::default());
    let (from, to) = (stage(&basin, 2.0), stage(&basin, 1.99));
    let mut water: Water<f64> = Water::start(&basin, &from, &[(0.0, 24.0)], &ground(&basin), 240.0);
    let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
    let change = pond::LevelChange::new(&basin, &from, &to, &Flows { seepage_m_h: 0.002, ..Flows::default() });
    let mut air = autumn(12, 0);
    air.rain_m = 0.01;
    hour(&basin, &from, Some(Next { stage: &to, change: &change }), &air, &mut water, &mut budget, &mut scratch);
    // The schedule took 10 mm, 2 of them by seepage; the member's own rain was 10 mm less what it evaporated.
    let own_m = 0.01 - budget.evaporated_m(0);
    assert!((water.unspent_m - (own_m + 0.008)).abs() < 1e-9, "{}", water.unspent_m);
}

/// The step's error where it is worst: a front over a full pond and over what is left of one.
#[test]
fn a_front_is_followed_with_any_step() {
    for (level_m, limit) in [(2.1, 0.12), (1.07, 0.12), (0.63, 0.15)] {
        for wind_m_s in [2.0, 5.0] {
            let at = |step_s: f64| {
                let basin = pond(6, Grid::pond(), Settings { step_s, ..Settings::default() });
                let stage = stage(&basin, level_m);
                let mut water: Water<f64> = Water::start(&basin, &stage, &[(0.0, 24.0)], &ground(&basin), 240.0);
                run(&basin, &stage, &mut water, 72, |h| front(h, wind_m_s))
            };
            let fine = at(60.0);
            let (own, hourly) = (apart(&fine, &at(1200.0)), apart(&fine, &at(3600.0)));
            assert!(own < 0.5 * limit && hourly < limit, "{level_m} m, {wind_m_s} m/s: {own} and {hourly}");
        }
    }
}

/// Convection into even layering deepens as h^2 = 2 (1 + 2 A) q t / (dT/dz), with A the part handed down at its lower edge
/// (textbook: Zilitinkevich 1991, Turbulent Penetrative Convection; memory). A = 0 is plain encroachment.
#[test]
fn convection_deepens_as_it_should() {
    for part in [0.0, 0.2] {
        let (depth_m, layering_c_m, loss_w_m2) = (3.0, 3.0, 200.0);
        let mut levee = Levee::paced(100.0, 40.0, depth_m, depth_m);
        levee.side_slope = 0.0;
        let settings = Settings { ground_conductivity_w_m_k: 1e-9, entrainment: part, step_s: 300.0, ..sealed() };
        let basin = Basin::with(Shape::from_levee(&levee, 1).expect("a pond"), 34.7, Grid::even(0.1), settings);
        let stage = stage(&basin, depth_m);
        let start = [(0.0, 28.0), (depth_m, 28.0 - layering_c_m * depth_m)];
        let mut water: Water<f64> = Water::start(&basin, &stage, &start, &basin.ground(20.0, 0.0), 240.0);
        let first = water.clone();
        let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
        for _ in 0..24 {
            let air = Air { longwave_w_m2: balance(water.temps[0]) - loss_w_m2 / 0.97, ..still() };
            hour(&basin, &stage, None, &air, &mut water, &mut budget, &mut scratch);
        }
        // The lower edge, to one cell of 0.1 m: the deepest cell that is as warm as the top one.
        let edge = (0..stage.cells(0)).rfind(|&j| (water.temps[j] - water.temps[0]).abs() < 0.02).expect("the top");
        let ours_m = 0.1 * (edge + 1) as f64;
        let lost_c_m = -budget.surface_j / (4.182e6 * stage.surface_m2(0));
        let exact_m = (2.0 * (1.0 + 2.0 * part) * lost_c_m / layering_c_m).sqrt();
        assert!((ours_m - exact_m).abs() < 0.1, "{part}: {ours_m} for {exact_m}, from {:?}", first.temps[0]);
    }
}
