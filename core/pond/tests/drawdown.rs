//! A pond that empties keeps its accounts: every joule leaves somewhere, nothing arises from nothing, and the order of the layers
//! says what goes.

mod common;

use common::{autumn, front, ground, pond};
use pond::drawdown::{Reservoir, Until, Way, Works, run};
use pond::{
    Air, Basin, Budget, Conditions, Draw, DrawnFrom, Flows, Grid, Levee, Schedule, Scratch, Settings, Shape, Water,
    hour,
};

fn sealed() -> Settings {
    Settings { wind_transfer: 0.0, free_transfer: 0.0, skin: false, ..Settings::default() }
}

/// A pond with a dip that a sill cuts off.
fn dipped(settings: Settings) -> Basin {
    let levee = Levee { soundings_m: vec![(30.0, 1.6), (60.0, 1.2)], ..Levee::paced(100.0, 40.0, 1.0, 2.0) };
    Basin::with(Shape::from_levee(&levee, 6).expect("a pond"), 34.7, Grid::pond(), settings)
}

/// Levels of the middle of each hour on the way down through a wide drain, held for the first `wait` hours.
fn levels(basin: &Basin, from_m: f64, to_m: f64, hours: usize, wait: usize) -> Vec<f64> {
    let works = Works::plain(vec![Way::Orifice { diameter_m: 0.3, height_m: 0.0 }]);
    let phase = pond::drawdown::Phase {
        until: Until::Stage { stage_m: to_m, at_h: 1000.0 },
        ..pond::drawdown::Phase::down_to(1, to_m, 1000.0, None)
    };
    let course = run(&Reservoir::new(basin.shape()), &works, from_m, wait as f64, &[phase]);
    (0..hours).map(|h| course.stage_m(h as f64 + 0.5 - wait as f64)).collect()
}

fn falling(basin: &Basin, levels_m: &[f64], from: DrawnFrom, flows: Flows) -> Schedule {
    let ground = ground(basin);
    let conditions = |(h, &level_m): (usize, &f64)| Conditions {
        level_m,
        attenuation_per_m: 2.0,
        plants: 0.2,
        ground_deep_c: ground.deep_c(240.0 + h as f64 / 24.0),
    };
    let hours: Vec<Conditions> = levels_m.iter().enumerate().map(conditions).collect();
    let draws = vec![Some(Draw { from, flows, surface_m: 1e-4 }); hours.len()];
    Schedule::falling(basin, &hours, &draws)
}

fn live(
    basin: &Basin,
    schedule: &Schedule,
    profile: &[(f64, f64)],
    air: impl Fn(usize) -> Air<f64>,
) -> (Water<f64>, Budget<f64>, f64) {
    let ground = ground(basin);
    let mut water: Water<f64> = Water::start(basin, schedule.stage(0), profile, &ground, 240.0).with_wind(0.6);
    let (mut budget, mut scratch) = (Budget::default(), Scratch::new(basin));
    let before_j = water.heat_j(schedule.stage(0), 0);
    for h in 0..schedule.len() {
        hour(basin, schedule.stage(h), schedule.next(h), &air(h), &mut water, &mut budget, &mut scratch);
    }
    let change_j = water.heat_j(schedule.stage_after(schedule.len() - 1), 0) - before_j;
    (water, budget, change_j)
}

#[test]
fn every_joule_of_an_emptied_pond_is_accounted_for() {
    for from in [DrawnFrom::Floor, DrawnFrom::Surface] {
        for flows in [
            Flows::default(),
            Flows { seepage_m_h: 2e-4, inflow_m3_h: 12.0, inflow_temp_c: 17.0 },
            Flows { seepage_m_h: 0.0, inflow_m3_h: 30.0, inflow_temp_c: 26.0 },
        ] {
            for (basin, to_m) in
                [(dipped(Settings::default()), 0.1), (pond(6, Grid::pond(), Settings::default()), 0.02)]
            {
                let full_m = basin.shape().full_m();
                let schedule = falling(&basin, &levels(&basin, full_m, to_m, 60, 6), from, flows);
                let end = schedule.stage(59);
                let pools = (0..5).any(|c| end.cells(c) > 0 && !end.connected(c));
                assert!(end.cells(0) == 0 || pools, "the shallow end falls dry, or is cut off");
                let (_, budget, change_j) =
                    live(&basin, &schedule, &[(0.0, 25.0), (1.0, 22.0), (2.0, 19.0)], |h| autumn(h, 0));
                let traffic_j = budget.sun_j.abs() + budget.surface_j.abs() + budget.carried_j.abs();
                let off_j = change_j - budget.total_j(0);
                assert!(off_j.abs() < 1e-9 * traffic_j, "{from:?} {flows:?} {to_m}: {off_j} of {traffic_j}");
            }
        }
    }
}

#[test]
fn water_of_one_temperature_stays_so_while_it_empties() {
    let basin = dipped(sealed());
    let flows = Flows { seepage_m_h: 2e-4, inflow_m3_h: 10.0, inflow_temp_c: 18.0 };
    let balance = 5.670_374e-8 * units::pow(18.0 + 273.15, 4.0);
    let air = Air { shortwave_w_m2: 0.0, wind_m_s: 4.0, rain_m: 0.0, longwave_w_m2: balance, ..autumn(0, 0) };
    let levels_m = levels(&basin, 2.0, 0.1, 40, 2);
    let (mut water, mut budget) = (None, None);
    for from in [DrawnFrom::Floor, DrawnFrom::Surface] {
        let schedule = falling(&basin, &levels_m, from, flows);
        let ground = basin.ground(18.0, 0.0);
        let mut w: Water<f64> = Water::start(&basin, schedule.stage(0), &[(0.0, 18.0)], &ground, 240.0);
        w.bed.fill(18.0);
        let (mut b, mut scratch) = (Budget::default(), Scratch::new(&basin));
        for h in 0..schedule.len() {
            hour(&basin, schedule.stage(h), schedule.next(h), &air, &mut w, &mut b, &mut scratch);
        }
        let stage = schedule.stage(schedule.len() - 1);
        for c in 0..stage.columns() {
            for j in 0..stage.cells(c) {
                let temp_c = w.temps[c * stage.stride() + j];
                assert!((temp_c - 18.0).abs() < 0.02, "{from:?} column {c} cell {j}: {temp_c}");
            }
        }
        (water, budget) = (Some(w), Some(b));
    }
    assert!(water.is_some() && budget.is_some_and(|b| b.carried_j < 0.0), "warm water has left");
}

#[test]
fn the_drain_takes_the_cold_floor_and_a_rim_the_warm_top() {
    // Layers that nothing stirs: what stays is what the way out leaves.
    let basin = pond(6, Grid::pond(), sealed());
    let balance = 5.670_374e-8 * units::pow(25.0 + 273.15, 4.0);
    let still = Air { shortwave_w_m2: 0.0, wind_m_s: 0.0, rain_m: 0.0, longwave_w_m2: balance, ..autumn(0, 0) };
    let profile = [(0.0, 25.0), (0.6, 25.0), (1.0, 20.0), (2.1, 18.0)];
    let levels_m = levels(&basin, 2.1, 1.1, 9, 1);
    let left = |from| {
        let schedule = falling(&basin, &levels_m, from, Flows::default());
        let start: Water<f64> = Water::start(&basin, schedule.stage(0), &profile, &ground(&basin), 240.0);
        let (water, budget, _) = live(&basin, &schedule, &profile, |_| still);
        let end = schedule.stage(schedule.len() - 1);
        let gone_m3 = basin.shape().volume_m3(levels_m[0]) - basin.shape().volume_m3(levels_m[levels_m.len() - 1]);
        let out_c = -budget.carried_j / pond::HEAT_CAPACITY_J_M3_K / gone_m3;
        (start.mean(schedule.stage(0)), water.mean(end), out_c, water.temps[5 * end.stride()])
    };
    let (before_c, floor_c, out_c, top_c) = left(DrawnFrom::Floor);
    assert!(floor_c > before_c + 0.3 && out_c < before_c, "{before_c} {floor_c} {out_c}");
    assert!((top_c - 25.0).abs() < 0.3, "the water that stays keeps its temperature: {top_c}");
    let (_, rim_c, out_c, _) = left(DrawnFrom::Surface);
    assert!(rim_c < before_c - 0.3 && out_c > before_c, "{before_c} {rim_c} {out_c}");
}

/// Falls of the volume mean after one, two, three days of the trials' front.
fn falls_k(wind_m_s: f64, levels_m: &[f64]) -> [f64; 3] {
    let basin = pond(6, Grid::pond(), Settings::default());
    let schedule = falling(&basin, levels_m, DrawnFrom::Floor, Flows::default());
    let ground = ground(&basin);
    let mut water: Water<f64> = Water::start(&basin, schedule.stage(0), &[(0.0, 24.0)], &ground, 270.0);
    let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
    let mut falls = [0.0; 3];
    for h in 0..72 {
        hour(&basin, schedule.stage(h), schedule.next(h), &front(h, wind_m_s), &mut water, &mut budget, &mut scratch);
        if (h + 1) % 24 == 0 {
            falls[h / 24] = 24.0 - water.mean(schedule.stage_after(h));
        }
    }
    falls
}

#[test]
fn thin_water_cools_faster_than_full() {
    let basin = pond(6, Grid::pond(), Settings::default());
    let at_30_m = basin.shape().stage_m(0.3 * basin.shape().volume_m3(2.1));
    let full: Vec<f64> = vec![2.1; 73];
    let emptied: Vec<f64> = (0..73).map(|h| 2.1 + (at_30_m - 2.1) * (f64::from(h) / 24.0).min(1.0)).collect();
    let (full, emptied) = (falls_k(5.0, &full), falls_k(5.0, &emptied));
    // The trial's table: checks/values/drawdown_heat.csv.
    let text = include_str!("../../../checks/values/drawdown_heat.csv");
    for (case, got) in [("full", full), ("drained", emptied)] {
        let row = text.lines().find(|line| line.starts_with(case)).expect("its row");
        let expected: Vec<f64> = row.split(',').skip(1).map(|cell| cell.parse().expect("a number")).collect();
        assert_eq!(expected.len(), 3);
        for (got, expected) in got.iter().zip(expected) {
            assert!((got / expected - 1.0).abs() < 0.12, "{case}: {got} against {expected}");
        }
    }
    for day in 1..3 {
        assert!(emptied[day] > full[day] + 1.5, "{full:?} {emptied:?}");
    }
}
