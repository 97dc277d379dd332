//! What an hour costs: `cargo bench -p pond`, and with wide instructions
//! `RUSTFLAGS="-C target-feature=+avx512f" cargo bench -p pond` (or `+avx2`).
//!
//! Prints the time of one member-hour and of one cell-step, for members side by side and for one pond in f64, over a spring
//! and autumn of made-up weather with warm days, clear cool nights and a front every ten days.
#![allow(missing_docs, clippy::disallowed_methods)]

use pond::{Air, Basin, Budget, Conditions, DepthArea, Flows, Levee, Schedule, Scratch, Shape, Water, hour};
use std::time::Instant;
use units::{Lanes, Real};

const HOURS: usize = 24 * 60;
const REPEATS: usize = 6;

fn weather(hour: usize, member: usize) -> Air<f64> {
    let (t, m) = (hour as f64, member as f64);
    let day = (std::f64::consts::TAU * (t - 15.0) / 24.0).cos();
    let front = (std::f64::consts::TAU * (t / 24.0 + m) / 10.0).sin();
    let sun = (std::f64::consts::TAU * (t - 12.0) / 24.0).cos().max(0.0);
    let air_temp_c = 18.0 + 6.0 * day + 6.0 * front + 0.1 * m;
    Air {
        air_temp_c,
        vapour_pressure_hpa: 6.11 * units::exp(17.67 * (air_temp_c - 6.0) / (air_temp_c + 237.5)),
        wind_m_s: (2.0 + 1.5 * day - 2.0 * front + 0.05 * m).max(0.0),
        shortwave_w_m2: sun * (650.0 + 200.0 * front),
        longwave_w_m2: 320.0 + 30.0 * front,
        pressure_hpa: 985.0,
        rain_m: 0.0,
    }
}

fn time<R: Real>(name: &str, basin: &Basin, level_m: f64) {
    let ground = basin.ground(17.0, 10.0);
    let conditions = Conditions { level_m, attenuation_per_m: 2.0, plants: 0.0, ground_deep_c: ground.deep_c(250.0) };
    let schedule = Schedule::new(basin, &[conditions; 2], &Flows::default());
    let stage = schedule.stage(0);
    let airs: Vec<Air<R>> = (0..HOURS)
        .map(|h| {
            let mut air = Air::same(&weather(h, 0));
            for member in 1..R::WIDTH {
                air.set_lane(member, &weather(h, member));
            }
            air
        })
        .collect();
    // The least time of each day over the repeats, added up: what other work on the machine takes is left out.
    let mut best = vec![f64::INFINITY; HOURS / 24];
    let mut mean_c = 0.0;
    for _ in 0..REPEATS {
        let mut water: Water<R> = Water::start(basin, stage, &[(0.0, 22.0)], &ground, 250.0).with_wind(0.5);
        let mut budget = Budget::default();
        let mut scratch = Scratch::new(basin);
        for (day, airs) in airs.chunks(24).enumerate() {
            let clock = Instant::now();
            for air in airs {
                hour(basin, stage, None, air, &mut water, &mut budget, &mut scratch);
            }
            best[day] = best[day].min(clock.elapsed().as_secs_f64());
        }
        mean_c = water.mean(stage).lane(0);
    }
    let best: f64 = best.iter().sum();
    let member_hours = (HOURS * R::WIDTH) as f64;
    let cell_steps = member_hours * (basin.steps_per_hour() * stage.cell_count()) as f64;
    println!(
        "{name:28} {:3} cells  {:8.1} ns per member-hour  {:6.2} ns per cell-step  (ends at {mean_c:.3} C)",
        stage.cell_count(),
        best * 1e9 / member_hours,
        best * 1e9 / cell_steps,
    );
}

fn main() {
    let levee = Levee::paced(100.0, 40.0, 1.0, 2.1);
    let pond = Basin::new(Shape::from_levee(&levee, 6).expect("a pond"), 34.7);
    let table = DepthArea {
        depth_area_m_m2: vec![(0.0, 60_000.0), (4.0, 20_000.0), (9.0, 500.0)],
        length_m: 300.0,
        depth_shallow_m: None,
    };
    let lake = Basin::new(Shape::from_table(&table, 1).expect("a lake"), 60.4);
    println!("{} members side by side, {HOURS} hours, steps of 20 min, best of {REPEATS}", Lanes::WIDTH);
    time::<Lanes>("pond, members side by side", &pond, 2.1);
    time::<Lanes>("lake, members side by side", &lake, 9.0);
    if std::env::args().any(|word| word == "lanes") {
        return;
    }
    time::<f64>("pond, one in f64", &pond, 2.1);
    time::<f64>("lake, one in f64", &lake, 9.0);
}
