//! How long a morning's members take: 300 of them to the end of a season, with what each one's forecaster says later.
//!
//! Run with `cargo bench -p weather --bench members`.

#![allow(clippy::disallowed_methods)] // a bench reads the clock

use std::hint::black_box;
use std::time::Instant;

use chance::{Purpose, Stream};
use units::{Day, LANES, Real};
use weather::{
    AirHour, AirSeries, Climate, DailyRecord, ForecastSkill, Library, Luck, MemberNews, Members, Morning, Past,
    PastSeason, SeasonWindow, issue_forecast,
};

const WINDOW: SeasonWindow = SeasonWindow { month: 5, day: 1, n_days: 244 };

fn main() {
    let record = record();
    let library = library(&record);
    let start = WINDOW.start(2021).expect("a date");
    let skill = ForecastSkill::default_daily();
    let climate = time("climate from 91 years", 20, || Climate::fit(&record, Some(start)).expect("long enough"));
    let past = time("what a replayed year may know", 20, || Past::new(&library, &climate, Some(start)));
    let season = record.span(start, start.plus(243)).expect("whole");
    let today = start.plus(110);
    let last = start.plus(199);
    let forecast = time("one issued forecast", 200, || {
        issue_forecast(&season, &climate, &skill, today, Luck { seed: 1, id: 0 }).expect("inside the season")
    });
    for n in [64, 300] {
        let news = time(&format!("a season's news, {n} members, 120 mornings"), 5, || {
            MemberNews::new(1, 0..n, &climate, &skill, start.plus(80), last)
        });
        let morning = Morning {
            today,
            last,
            forecast: &forecast,
            skill: &skill,
            climate: &climate,
            library: &library,
            past: &past,
            seed: 1,
        };
        let members = time(&format!("a morning, {n} members, 90 mornings ahead"), 10, || {
            Members::draw(&morning, 0..n, &news).expect("inside the window")
        });
        let n_hours = 24 * members.n_mornings();
        let per_pass = time(&format!("air of {n} members, {n_hours} hours"), 3, || {
            let mut sum = 0.0;
            for first in (0..members.len()).step_by(LANES) {
                for hour in 0..n_hours {
                    sum += members.air_lanes(&library, first, hour).longwave_w_m2.lane(0);
                }
            }
            sum
        });
        black_box(per_pass);
    }
}

/// Runs `n` times; prints the least and the median.
fn time<T>(what: &str, n: usize, mut run: impl FnMut() -> T) -> T {
    let mut took = Vec::with_capacity(n);
    let mut result = None;
    for _ in 0..n {
        let from = Instant::now();
        result = Some(black_box(run()));
        took.push(from.elapsed().as_secs_f64() * 1e3);
    }
    took.sort_by(f64::total_cmp);
    println!("{what}: least {:.3} ms, median {:.3} ms of {n}", took[0], took[n / 2]);
    result.expect("ran at least once")
}

/// 91 years of made-up days.
fn record() -> DailyRecord {
    let first = Day::new(1931, 1, 1).expect("a date");
    let n = (Day::new(2022, 1, 1).expect("a date").0 - first.0) as usize;
    let mut luck = Stream::new(1, 0, Purpose(901));
    let mut z = 0.0;
    let mut record = DailyRecord { first, low_c: Vec::new(), high_c: Vec::new() };
    for i in 0..n {
        z = 0.65 * z + 0.76 * luck.normal();
        let wave = -units::cos(std::f64::consts::TAU * (i as f64 - 15.0) / 365.25);
        record.low_c.push(Some(10.0 + 10.0 * wave + 4.0 * z));
        record.high_c.push(Some(22.0 + 10.0 * wave + 4.0 * z));
    }
    record
}

fn library(record: &DailyRecord) -> Library {
    let mut library = Library::empty(WINDOW);
    for days in Library::whole_seasons(record, WINDOW).0 {
        let hour = |low: f64, high: f64| AirHour {
            air_temp_c: 0.5 * (low + high),
            vapour_pressure_hpa: 10.0,
            wind_m_s: 2.0,
            shortwave_w_m2: 200.0,
            longwave_w_m2: 330.0,
            pressure_hpa: 985.0,
            rain_mm: 0.0,
        };
        let hours = days.iter().flat_map(|d| [hour(d.low_c, d.high_c); 24]).collect();
        let air = AirSeries { start: units::Instant(i64::from(days[0].day.0) * 86_400), hours };
        library.add(&PastSeason { year: days[0].day.ymd().0, days, air }).expect("whole and in order");
    }
    library
}
