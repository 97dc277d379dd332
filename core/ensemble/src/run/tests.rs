use pond::{Air, Conditions, Flows, Levee, Shape};
use units::Real;

use super::*;

/// Air that differs from member to member and hour to hour.
struct MadeUp {
    members: usize,
    /// Members that this source stands for, by their own number.
    numbers: Vec<usize>,
}

impl AirSource for MadeUp {
    fn members(&self) -> usize {
        self.members
    }
    fn air(&self, first: usize, hour: usize) -> Air<Lanes> {
        let mut air: Air<Lanes> = Air::same(&one(0, hour));
        for lane in 0..LANES {
            let number = self.numbers[(first + lane).min(self.members - 1)];
            let own = one(number, hour);
            air.air_temp_c.set_lane(lane, own.air_temp_c);
            air.wind_m_s.set_lane(lane, own.wind_m_s);
        }
        air
    }
}

fn one(number: usize, hour: usize) -> Air<f64> {
    let (n, h) = (number as f64, hour as f64);
    let of_day = h % 24.0;
    Air {
        air_temp_c: 18.0 + 6.0 * units::sin((of_day - 9.0) / 3.82) - 0.05 * h + 2.0 * units::sin(n * 1.3 + h / 60.0),
        vapour_pressure_hpa: 12.0,
        wind_m_s: 2.0 + units::sin(n + h / 11.0),
        shortwave_w_m2: (700.0 * units::sin((of_day - 6.0) / 3.82)).max(0.0),
        longwave_w_m2: 320.0,
        pressure_hpa: 985.0,
        rain_m: 0.0,
    }
}

fn table_of(numbers: Vec<usize>, threads: usize) -> HourTable {
    let shape = Shape::from_levee(&Levee::paced(60.0, 30.0, 1.0, 1.9), 3).expect("a pond");
    let basin = Basin::new(shape, 34.7);
    let conditions = Conditions { level_m: 1.9, attenuation_per_m: 3.0, plants: 0.0, ground_deep_c: 17.0 };
    let schedule = Schedule::new(&basin, &vec![conditions; 96], &Flows::default());
    let ground = basin.ground(17.0, 10.0);
    let wind_factor: Vec<f64> = numbers.iter().map(|&n| 0.5 + 0.01 * n as f64).collect();
    let pond = PondRun {
        basin: &basin,
        schedule: &schedule,
        start: Start::Profile(&[(0.0, 25.0), (1.9, 24.0)], &ground, 240.0),
        wind_factor: &wind_factor,
    };
    let air = MadeUp { members: numbers.len(), numbers };
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    pool.install(|| run(&[pond], &air, 96, &Watch::new())).expect("not stopped").0.remove(0)
}

#[test]
fn a_member_runs_the_same_alone_and_in_a_crowd() {
    let crowd = table_of((0..70).collect(), 2);
    for number in [0, 17, 63, 69] {
        let alone = table_of(vec![number], 1);
        for hour in 0..96 {
            assert_eq!(
                crowd.animals_c(number, hour).to_bits(),
                alone.animals_c(0, hour).to_bits(),
                "member {number}, hour {hour}"
            );
        }
    }
    assert_ne!(crowd.animals_c(3, 90), crowd.animals_c(4, 90), "members differ at all");
}

#[test]
fn one_thread_equals_four() {
    assert_eq!(table_of((0..40).collect(), 1), table_of((0..40).collect(), 4));
}

#[test]
fn every_width_gives_the_same_bits() {
    let shape = Shape::from_levee(&Levee::paced(60.0, 30.0, 1.0, 1.9), 3).expect("a pond");
    let basin = Basin::new(shape, 34.7);
    let conditions = Conditions { level_m: 1.9, attenuation_per_m: 3.0, plants: 0.2, ground_deep_c: 17.0 };
    let schedule = Schedule::new(&basin, &vec![conditions; 48], &Flows::default());
    let ground = basin.ground(17.0, 10.0);
    let wind_factor = vec![0.5; LANES];
    let pond = PondRun {
        basin: &basin,
        schedule: &schedule,
        start: Start::Profile(&[(0.0, 25.0), (1.9, 24.0)], &ground, 240.0),
        wind_factor: &wind_factor,
    };
    let air = MadeUp { members: LANES, numbers: (0..LANES).collect() };
    let at = |width: Width| {
        let mut water = start(&pond, 0, LANES);
        let mut scratch = Scratch::new(&basin);
        let mut budget = Budget::default();
        for h in 0..48 {
            width.hour(&pond, h, &air.air(0, h), &mut water, &mut budget, &mut scratch);
        }
        water
    };
    // On a narrow machine this compares plain with itself; the gate runs on a wide one.
    assert_eq!(at(Width::Plain), at(Width::here()));
    #[cfg(target_arch = "x86_64")]
    if is_x86_feature_detected!("avx2") {
        assert_eq!(at(Width::Plain), at(Width::Avx2));
    }
}

#[test]
fn a_run_asked_to_stop_gives_nothing() {
    let watch = Watch::new();
    watch.ask_to_stop();
    let air = MadeUp { members: 1, numbers: vec![0] };
    assert!(run(&[], &air, 24, &watch).is_none());
}
