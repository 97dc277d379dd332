//! Members side by side against the reference, and against their neighbours.

mod common;

use common::{autumn, ground, pond, stage};
use pond::{Air, Budget, Conditions, Flows, Grid, Schedule, Scratch, Settings, Water, hour};
use units::{LANES, Lanes, Real};

const DAYS: usize = 100;

/// A season of one row of members; `weather` says which made-up autumn each lane has. Gives each lane's temperatures of
/// the deep column's half metre at every 6 h, and the last water.
fn season(weather: &[usize; LANES], days: usize) -> (Vec<Lanes>, Water<Lanes>, Budget<Lanes>) {
    let basin = pond(6, Grid::pond(), Settings::default());
    let ground = ground(&basin);
    let schedule = schedule(days);
    let mut water: Water<Lanes> = Water::start(&basin, schedule.stage(0), &[(0.0, 25.0)], &ground, 240.0);
    let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
    let mut dawns = vec![];
    for lane in 0..LANES {
        water.wind_factor.set_lane(lane, wind_of(weather[lane]));
    }
    for h in 0..days * 24 {
        let mut air = Air::same(&autumn(h, weather[0]));
        for lane in 1..LANES {
            air.set_lane(lane, &autumn(h, weather[lane]));
        }
        hour(&basin, schedule.stage(h), schedule.next(h), &air, &mut water, &mut budget, &mut scratch);
        if h % 24 == 5 {
            dawns.push(water.at_depth(schedule.stage_after(h), 5, 0.5));
        }
    }
    (dawns, water, budget)
}

fn wind_of(weather: usize) -> f64 {
    0.4 + 0.02 * weather as f64
}

fn schedule(days: usize) -> Schedule {
    let basin = pond(6, Grid::pond(), Settings::default());
    let ground = ground(&basin);
    let hours: Vec<Conditions> = (0..days * 24)
        .map(|h| Conditions {
            level_m: 2.1 - 0.2 * h as f64 / (DAYS * 24) as f64,
            attenuation_per_m: 2.0,
            plants: 0.0,
            ground_deep_c: ground.deep_c(240.0 + h as f64 / 24.0),
        })
        .collect();
    Schedule::new(&basin, &hours, &Flows { seepage_m_h: 5e-5, inflow_m3_h: 0.5, inflow_temp_c: 17.0 })
}

#[test]
fn lanes_follow_the_reference_through_a_season() {
    let weather = std::array::from_fn(|lane| lane);
    let (dawns, _, budget) = season(&weather, DAYS);
    let basin = pond(6, Grid::pond(), Settings::default());
    let ground = ground(&basin);
    let schedule = schedule(DAYS);
    let mut worst = 0.0_f64;
    for lane in [0, 7, LANES - 1] {
        let mut water: Water<f64> =
            Water::start(&basin, schedule.stage(0), &[(0.0, 25.0)], &ground, 240.0).with_wind(wind_of(lane));
        let (mut one, mut scratch) = (Budget::default(), Scratch::new(&basin));
        for h in 0..DAYS * 24 {
            hour(&basin, schedule.stage(h), schedule.next(h), &autumn(h, lane), &mut water, &mut one, &mut scratch);
            if h % 24 == 5 {
                worst = worst.max((water.at_depth(schedule.stage_after(h), 5, 0.5) - dawns[h / 24].lane(lane)).abs());
            }
        }
        assert!((budget.evaporated_m(lane) / one.evaporated_m(0) - 1.0).abs() < 1e-3);
    }
    // The rule is 0.02 K at dawn.
    assert!(worst < 0.02, "{worst}");
    assert!(worst > 0.0, "single precision leaves something");
}

#[test]
fn a_member_runs_the_same_alone_and_in_a_crowd() {
    let crowd = season(&std::array::from_fn(|lane| 3 * lane), 40);
    for (lane, place) in [(0, 0), (5, 5), (5, 11), (LANES - 1, 2)] {
        // The same member with copies of itself for neighbours, and in another place.
        let alone = season(&[3 * lane; LANES], 40);
        for (a, b) in alone.1.temps.iter().chain(&alone.1.bed).zip(crowd.1.temps.iter().chain(&crowd.1.bed)) {
            assert_eq!(a.lane(place).to_bits(), b.lane(lane).to_bits());
        }
        assert_eq!(alone.2.total_j(place).to_bits(), crowd.2.total_j(lane).to_bits());
    }
}

/// In single precision the accounts close as well: the sums are f64, only each hour's entries are rounded.
#[test]
fn lanes_keep_their_accounts() {
    let schedule = schedule(DAYS);
    let basin = pond(6, Grid::pond(), Settings::default());
    let start: Water<Lanes> = Water::start(&basin, schedule.stage(0), &[(0.0, 25.0)], &ground(&basin), 240.0);
    let (_, water, budget) = season(&std::array::from_fn(|lane| lane), DAYS);
    for lane in 0..LANES {
        let change_j = water.heat_j(schedule.stage(DAYS * 24 - 1), lane) - start.heat_j(schedule.stage(0), lane);
        let traffic_j = Lanes::sum_of(&budget.sun_j, lane).abs() + Lanes::sum_of(&budget.surface_j, lane).abs();
        let miss = (change_j - budget.total_j(lane)).abs() / traffic_j;
        assert!(miss < 1e-4, "lane {lane}: {miss:e}");
    }
}

#[test]
fn a_stage_is_made_once() {
    let basin = pond(6, Grid::pond(), Settings::default());
    let one = stage(&basin, 2.0);
    assert!(one.serves(stage(&basin, 2.0005).conditions()));
}
