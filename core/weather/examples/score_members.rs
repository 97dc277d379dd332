//! Scores forecasts and members on a daily record: every season lived again with only the years before it.
//!
//! `cargo run --release -p weather --example score_members < RECORD.csv` (columns date, tmin_f, tmax_f). Prints the tables of
//! `docs/model/members.md`.

use std::io::Read;

use units::{Day, Instant};
use weather::{
    AirHour, AirSeries, Climate, DailyRecord, DayExtremes, ForecastSkill, Library, Luck, MemberNews, Members, Morning,
    Past, PastSeason, SeasonWindow, issue_forecast,
};

const WINDOW: SeasonWindow = SeasonWindow { month: 5, day: 1, n_days: 244 };
const YEARS: std::ops::RangeInclusive<i16> = 1955..=2020;
const N_MEMBERS: u32 = 59;
const LEADS: [usize; 6] = [0, 1, 3, 5, 10, 20];
const GAP_MAX_DAYS: usize = 3;

fn main() {
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text).expect("a record on standard input");
    let record = read(&text);
    let library = library(&record);
    println!("{} whole seasons of {}", library.years().len(), library.years()[0]);
    let skill = ForecastSkill::default_daily();
    by_lead(&record, &library, &skill, &skill, "forecasts as good as believed");
    by_lead(&record, &library, &skill.scaled(1.5, 1.5).expect("in order"), &skill, "errors 1.5 times those believed");
    seasons(&record, &library, &skill);
}

#[derive(Default, Clone)]
struct Score {
    ranks: [u32; 10],
    inside: u32,
    n: u32,
    square: f64,
    sum: f64,
    spread: f64,
    /// Cold chances: sums of chance said and of what came, in four classes.
    classes: [(u32, f64, u32); 5],
}

fn by_lead(record: &DailyRecord, library: &Library, world: &ForecastSkill, believed: &ForecastSkill, title: &str) {
    let mut scores = vec![[Score::default(), Score::default()]; LEADS.len()];
    let mut drifts = [0.0; 2];
    let mut n_drifts = 0.0;
    for year in YEARS {
        let Some(start) = library.years().iter().position(|&y| y == year) else { continue };
        let new_year = Day::new(year, 1, 1).expect("a date");
        let climate = Climate::fit(record, Some(new_year)).expect("long enough");
        let past = Past::new(library, &climate, Some(new_year));
        let season: Vec<DayExtremes> = library
            .season(start)
            .map(|i| {
                let v = library.low_high_c(i);
                DayExtremes { day: library.day(i), low_c: v.low, high_c: v.high }
            })
            .collect();
        let seed = 1000 + year as u64;
        let first = Day::new(year, 8, 1).expect("a date");
        let news = MemberNews::new(seed, 0..N_MEMBERS, &climate, believed, first, first.plus(120));
        for step in 0..20 {
            let today = first.plus(step * 5 + i32::from(year % 5));
            let forecast =
                issue_forecast(&season, &climate, world, today, Luck { seed, id: 0 }).expect("inside the season");
            let morning = Morning {
                today,
                last: today.plus(20),
                forecast: &forecast,
                skill: believed,
                climate: &climate,
                library,
                past: &past,
                seed,
            };
            let members = Members::draw(&morning, 0..N_MEMBERS, &news).expect("inside the window");
            for m in 0..members.len() {
                for lead in 0..10 {
                    let drift = members.later_c(m, 1, lead).minus(forecast.days[lead + 1]);
                    drifts[0] += drift.low;
                    drifts[1] += drift.high;
                    n_drifts += 1.0;
                }
            }
            for (k, &lead) in LEADS.iter().enumerate() {
                let truth = season[(today.0 - season[0].day.0) as usize + lead];
                let cold = climate.mean_c(truth.day).low - 1.28 * climate.sd_c(truth.day).low;
                for high in [false, true] {
                    let pick = |v: weather::LowHigh| if high { v.high } else { v.low };
                    let true_c = if high { truth.high_c } else { truth.low_c };
                    let drawn: Vec<f64> = (0..members.len()).map(|m| pick(members.low_high_c(m, lead))).collect();
                    let limit = (!high).then_some(cold);
                    score(&mut scores[k][usize::from(high)], &drawn, true_c, limit);
                }
            }
        }
    }
    let drift = drifts.map(|sum| sum / n_drifts);
    println!("\n== {title}; mean drift of tomorrow's forecasts {:.3} low {:.3} high K", drift[0], drift[1]);
    show(&scores);
}

fn show(scores: &[[Score; 2]]) {
    for (k, lead) in LEADS.iter().enumerate() {
        for (high, score) in scores[k].iter().enumerate() {
            let n = f64::from(score.n);
            let even = n / 10.0;
            let chi: f64 = score.ranks.iter().map(|&c| (f64::from(c) - even).powi(2) / even).sum();
            println!(
                "lead {lead:2} {} n {} ranks {:?} chi2 {chi:.1} in80 {:.3} mean err {:+.2} rmse {:.2} spread {:.2}",
                ["low ", "high"][high],
                score.n,
                score.ranks,
                f64::from(score.inside) / n,
                score.sum / n,
                (score.square / n).sqrt(),
                (score.spread / n).sqrt(),
            );
            if high == 0 {
                let class = |c: &(u32, f64, u32)| {
                    format!(
                        "{}: said {:.3} came {:.3}",
                        c.0,
                        c.1 / f64::from(c.0.max(1)),
                        f64::from(c.2) / f64::from(c.0.max(1))
                    )
                };
                println!(
                    "        cold night chance: {}",
                    score.classes.iter().map(class).collect::<Vec<_>>().join(" | ")
                );
            }
        }
    }
}

fn score(score: &mut Score, drawn: &[f64], truth: f64, cold: Option<f64>) {
    let below = drawn.iter().filter(|&&x| x < truth).count();
    score.ranks[below * 10 / (drawn.len() + 1)] += 1;
    let tenth = (drawn.len() + 1) / 10;
    score.inside += u32::from(below >= tenth && below < drawn.len() + 1 - tenth);
    score.n += 1;
    let mean = drawn.iter().sum::<f64>() / drawn.len() as f64;
    score.sum += mean - truth;
    score.square += (mean - truth) * (mean - truth);
    score.spread += drawn.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (drawn.len() - 1) as f64;
    if let Some(cold) = cold {
        let said = drawn.iter().filter(|&&x| x < cold).count() as f64 / drawn.len() as f64;
        let class = [0.02, 0.1, 0.3, 0.6, 2.0].iter().position(|&edge| said < edge).expect("the last is beyond 1");
        let class = &mut score.classes[class];
        class.0 += 1;
        class.1 += said;
        class.2 += u32::from(truth < cold);
    }
}

/// Whole seasons of members without a forecast's help against the record's.
fn seasons(record: &DailyRecord, library: &Library, skill: &ForecastSkill) {
    let climate = Climate::fit(record, None).expect("long enough");
    let past = Past::new(library, &climate, None);
    let today = Day::new(2021, 7, 15).expect("a date");
    let forecast = weather::DailyForecast { issued: today, days: vec![climate.mean_c(today)] };
    let n = 600;
    let news = MemberNews::new(5, 0..n, &climate, skill, today, today.plus(120));
    let morning = Morning {
        today,
        last: today.plus(118),
        forecast: &forecast,
        skill,
        climate: &climate,
        library,
        past: &past,
        seed: 5,
    };
    let members = Members::draw(&morning, 0..n, &news).expect("inside the window");
    let of_members: Vec<Vec<weather::LowHigh>> =
        (0..members.len()).map(|m| (31..109).map(|day| members.low_high_c(m, day)).collect()).collect();
    // Record years at the level of the year the members live in.
    let of_record: Vec<Vec<weather::LowHigh>> = library
        .years()
        .iter()
        .map(|&year| {
            (31..109)
                .map(|i| {
                    let day = today.in_year(year).plus(i);
                    let here = library.find(day).expect("inside the window");
                    let level = climate.mean_c(today.plus(i)).minus(climate.mean_c(day));
                    library.low_high_c(here).plus(level)
                })
                .collect()
        })
        .collect();
    compare(&of_record, &of_members);
}

fn compare(of_record: &[Vec<weather::LowHigh>], of_members: &[Vec<weather::LowHigh>]) {
    println!("\n== whole seasons, 15 August to 31 October: quantiles 5 10 25 50 75 90 95 %");
    let lowest = |s: &Vec<weather::LowHigh>| s.iter().map(|v| v.low).fold(f64::INFINITY, f64::min);
    let mean = |s: &Vec<weather::LowHigh>| s.iter().map(|v| 0.5 * (v.low + v.high)).sum::<f64>() / s.len() as f64;
    let day_mean = |s: &Vec<weather::LowHigh>, i: usize| 0.5 * (s[i].low + s[i].high);
    let fall =
        |s: &Vec<weather::LowHigh>| (3..s.len()).map(|i| day_mean(s, i - 3) - day_mean(s, i)).fold(0.0, f64::max);
    let falls =
        |s: &Vec<weather::LowHigh>| (3..s.len()).filter(|&i| day_mean(s, i - 3) - day_mean(s, i) > 6.0).count() as f64;
    let first_below = |s: &Vec<weather::LowHigh>| s.iter().position(|v| v.low < 8.0).unwrap_or(s.len()) as f64;
    let three = |s: &Vec<weather::LowHigh>| {
        (2..s.len()).map(|i| (day_mean(s, i) + day_mean(s, i - 1) + day_mean(s, i - 2)) / 3.0).fold(99.0, f64::min)
    };
    let spell = |s: &Vec<weather::LowHigh>| {
        let (mut longest, mut run) = (0, 0);
        for v in s {
            run = if v.low < 12.0 { run + 1 } else { 0 };
            longest = longest.max(run);
        }
        f64::from(longest)
    };
    type Measure<'a> = (&'a str, &'a dyn Fn(&Vec<weather::LowHigh>) -> f64);
    let measures: [Measure; 7] = [
        ("lowest low, C", &lowest),
        ("season mean, C", &mean),
        ("greatest fall of the day mean in 3 days, K", &fall),
        ("days at which the mean fell over 6 K in 3 days", &falls),
        ("days to the first low under 8 C", &first_below),
        ("coldest 3 days, C", &three),
        ("longest run of lows under 12 C, days", &spell),
    ];
    for (name, f) in measures {
        let line = |seasons: &[Vec<weather::LowHigh>]| {
            let mut v: Vec<f64> = seasons.iter().map(f).collect();
            v.sort_by(f64::total_cmp);
            let q = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95]
                .map(|p| format!("{:6.2}", v[((p * v.len() as f64) as usize).min(v.len() - 1)]));
            let mean = v.iter().sum::<f64>() / v.len() as f64;
            format!("{} mean {mean:6.2}", q.join(" "))
        };
        println!("{name}\n   record  {}\n   members {}", line(of_record), line(of_members));
    }
    println!("record means carry a standard error of about 1/{:.0} of their spread", (of_record.len() as f64).sqrt());
}

fn read(text: &str) -> DailyRecord {
    let mut days: Vec<(Day, Option<f64>, Option<f64>)> = Vec::new();
    for line in text.lines().skip(1) {
        let mut parts = line.split(',');
        let Some(day) = parts.next().and_then(Day::parse) else { continue };
        let mut celsius = || parts.next().and_then(|x| x.trim().parse::<f64>().ok()).map(|f| (f - 32.0) / 1.8);
        let (low, high) = (celsius(), celsius());
        let sound = matches!((low, high), (Some(l), Some(h)) if l <= h && l > -28.0 && h < 45.0);
        days.push(if sound { (day, low, high) } else { (day, None, None) });
    }
    let first = days[0].0;
    let n = (days[days.len() - 1].0.0 - first.0) as usize + 1;
    let mut record = DailyRecord { first, low_c: vec![None; n], high_c: vec![None; n] };
    for (day, low, high) in days {
        record.low_c[(day.0 - first.0) as usize] = low;
        record.high_c[(day.0 - first.0) as usize] = high;
    }
    fill(&mut record.low_c);
    fill(&mut record.high_c);
    record
}

fn fill(values: &mut [Option<f64>]) {
    for i in 1..values.len() {
        if values[i].is_some() {
            continue;
        }
        let Some(next) = (i..values.len().min(i + GAP_MAX_DAYS + 1)).find(|&j| values[j].is_some()) else { continue };
        let (Some(before), Some(after)) = (values[i - 1], values[next]) else { continue };
        values[i] = Some(before + (after - before) / (next - i + 1) as f64);
    }
}

/// Hours by a plain cosine: daily scores need no better.
fn library(record: &DailyRecord) -> Library {
    let mut library = Library::empty(WINDOW);
    for days in Library::whole_seasons(record, WINDOW).0 {
        let hours = days
            .iter()
            .flat_map(|d| {
                (0..24).map(move |hour| {
                    let share = 0.5 + 0.5 * units::cos((f64::from(hour) - 14.5) / 24.0 * std::f64::consts::TAU);
                    AirHour {
                        air_temp_c: d.low_c + (d.high_c - d.low_c) * share,
                        vapour_pressure_hpa: weather::moist::saturation_bolton_1980(d.low_c),
                        wind_m_s: 2.0,
                        shortwave_w_m2: 0.0,
                        longwave_w_m2: 300.0,
                        pressure_hpa: 985.0,
                        rain_mm: 0.0,
                    }
                })
            })
            .collect();
        let air = AirSeries { start: Instant(i64::from(days[0].day.0) * 86_400), hours };
        library.add(&PastSeason { year: days[0].day.ymd().0, days, air }).expect("whole and in order");
    }
    library
}
