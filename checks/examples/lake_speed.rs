//! How fast a basin of constant level and light runs: one by itself in f64, and members side by side, on one core.
//!
//!     cargo run --release -p checks --example lake_speed -- FOLDER [columns]
//!
//! FOLDER holds BASIN.toml and W.csv. Prints a JSON object for `checks/peers/lake/run`. The least processor
//! time of five runs of each.

use ensemble::{AirSource, PondRun, Start, run};
use pond::{Air, Basin, Budget, Conditions, DepthArea, Flows, Schedule, Scratch, Shape, Water, hour};
use units::{Lanes, Watch};

/// Members side by side; each has its own wind factor, so no two do the same arithmetic.
const MEMBERS: usize = 64;
const REPEATS: usize = 5;

struct OneSky(Vec<Air<Lanes>>);

impl AirSource for OneSky {
    fn members(&self) -> usize {
        MEMBERS
    }
    fn air(&self, _first: usize, hour: usize) -> Air<Lanes> {
        self.0[hour]
    }
}

fn main() {
    let folder = std::env::args().nth(1).expect("a folder");
    let columns = std::env::args().nth(2).map_or(1, |text| text.parse().expect("a count of columns"));
    let text = |name: &str| std::fs::read_to_string(format!("{folder}/{name}")).expect("readable");
    let file = farm::basin::read(&text("BASIN.toml")).expect("in order");
    let air = season::water::read_air(text("W.csv").as_bytes(), &file, None, None).expect("whole").value;
    let farm::basin::Shape::DepthArea { rows, length_m, shallow_depth_m, .. } = &file.shape else {
        panic!("this bench takes basins with a table of depth and area")
    };
    let table = DepthArea { depth_area_m_m2: rows.clone(), length_m: *length_m, depth_shallow_m: *shallow_depth_m };
    let basin = Basin::new(Shape::from_table(&table, columns).expect("a basin"), file.latitude_deg);
    let wave = file.ground_c.expect("given");
    let ground = basin.ground(wave.mean_c, wave.half_range_c);
    let (day, _) = file.zone.day_and_second(air.start);
    let first_day = f64::from(day.day_of_year());
    let setting = file.at(f64::from(day.0) + 0.5);
    let conditions = |h: usize| Conditions {
        level_m: setting.level_m,
        attenuation_per_m: setting.light_attenuation_per_m,
        plants: setting.plants,
        ground_deep_c: ground.deep_c(first_day + h as f64 / 24.0),
    };
    let hours = air.hours.len();
    let schedule = Schedule::new(&basin, &(0..hours).map(conditions).collect::<Vec<_>>(), &Flows::default());
    let airs: Vec<Air<f64>> = air
        .hours
        .iter()
        .map(|hour| Air {
            air_temp_c: hour.air_temp_c,
            vapour_pressure_hpa: hour.vapour_pressure_hpa,
            wind_m_s: hour.wind_m_s,
            shortwave_w_m2: hour.shortwave_w_m2,
            longwave_w_m2: hour.longwave_w_m2,
            pressure_hpa: hour.pressure_hpa,
            rain_m: hour.rain_mm / 1000.0,
        })
        .collect();
    let start = Start::Profile(&file.start_profile_m_c, &ground, first_day);
    let (alone_s, alone) = best_of(|| {
        let stage = schedule.stage(0);
        let mut water: Water<f64> = Water::start(&basin, stage, &file.start_profile_m_c, &ground, first_day);
        water.wind_factor = file.wind_factor;
        let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
        for h in 0..hours {
            hour(&basin, schedule.stage(h), schedule.next(h), &airs[h], &mut water, &mut budget, &mut scratch);
        }
        water
    });
    let wind_factor: Vec<f64> =
        (0..MEMBERS).map(|member| file.wind_factor * (1.0 + 0.3 * member as f64 / MEMBERS as f64)).collect();
    let sky = OneSky(airs.iter().map(Air::same).collect());
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let (crowd_s, ends) = best_of(|| {
        let ponds = [PondRun { basin: &basin, schedule: &schedule, start, wind_factor: &wind_factor }];
        pool.install(|| run(&ponds, &sky, hours, &Watch::new())).expect("not stopped").1
    });
    // Member 0 has the file's own wind: in f32 beside the others it must end where f64 does.
    let apart = alone.temps.iter().zip(&ends[0][0].temps).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    println!(
        "{{\"hours\": {hours}, \"cells\": {}, \"alone_us_per_hour\": {:.3}, \"members\": {MEMBERS}, \
         \"crowd_us_per_member_hour\": {:.4}, \"largest_difference_at_the_end_k\": {apart:.6}}}",
        schedule.stage(0).cell_count(),
        alone_s * 1e6 / hours as f64,
        crowd_s * 1e6 / (hours * MEMBERS) as f64,
    );
}

/// Seconds of processor time that this process has used so far: what else runs on the machine must not count.
fn processor_s() -> f64 {
    let tasks = std::fs::read_dir("/proc/self/task").expect("this bench runs on Linux");
    let nanoseconds = tasks.filter_map(|task| {
        let text = std::fs::read_to_string(task.ok()?.path().join("schedstat")).ok()?;
        text.split_whitespace().next()?.parse::<f64>().ok()
    });
    nanoseconds.sum::<f64>() * 1e-9
}

fn best_of<T>(call: impl Fn() -> T) -> (f64, T) {
    let mut best: Option<(f64, T)> = None;
    for _ in 0..REPEATS {
        let before_s = processor_s();
        let made = call();
        let took_s = processor_s() - before_s;
        if best.as_ref().is_none_or(|(least_s, _)| took_s < *least_s) {
            best = Some((took_s, made));
        }
    }
    best.expect("run at least once")
}
