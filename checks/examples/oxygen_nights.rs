//! Scores the projection of dawn oxygen on two observed ponds against the dawn before and the published lines.
//!
//!     cargo run --release -p checks --example oxygen_nights -- DIR
//!
//! DIR holds cases/farm-pond-early-summer. Every figure is printed as a row of a table for docs/model/oxygen.md.

use std::path::Path;

use pond::oxygen::law_at_night;
use season::oxygen::nights::{Ask, Beliefs, NightAir, Rests, project};

const DAWN_H: f64 = 6.0;
const DAYS: usize = 45;
/// Ratio of wind over these ponds to the station's (docs/model/water.md), and the mean depth of their water, m.
const WIND_FACTOR: f64 = 0.5;
const MEAN_DEPTH_M: f64 = 0.9;
/// Eight in ten of a normal spread lie within so many standard deviations.
const EIGHT_IN_TEN: f64 = 1.2816;
/// Use expected of a pond that was never read, mg/L an hour at 20 °C (disk at 1.2 m and more, 0.9 m deep).
const USUAL_USE: f64 = 0.18;

struct Pond {
    name: &'static str,
    reads: Vec<(f64, f64)>,
    nights: Vec<NightAir>,
}

fn rows(path: &Path) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// Hours from the midnight that 22 May begins with.
fn hour_of(stamp: &str) -> f64 {
    let number = |range: std::ops::Range<usize>| stamp[range].parse::<f64>().expect("a number");
    let (month, day) = (number(5..7) as usize, number(8..10));
    let before = [0.0, 31.0, 61.0][month - 5];
    24.0 * (before + day - 22.0) + number(11..13) + number(14..16) / 60.0
}

fn pond(dir: &Path, name: &'static str) -> Pond {
    let logger: Vec<(f64, f64, f64)> = rows(&dir.join("surface_oxygen_30min.csv"))
        .iter()
        .filter(|row| row[0] == name)
        .map(|row| (hour_of(&row[1]), row[2].parse().expect("°C"), row[3].parse().expect("mg/L")))
        .collect();
    let winds: Vec<(f64, f64)> = rows(&dir.join("forcing_hourly.csv"))
        .iter()
        .map(|row| (hour_of(&row[0]), row[4].parse().expect("m/s")))
        .collect();
    let mean = |values: &mut dyn Iterator<Item = f64>| {
        let (sum, n) = values.fold((0.0, 0.0), |(sum, n), value| (sum + value, n + 1.0));
        if n > 0.0 { sum / n } else { f64::NAN }
    };
    let nights = (0..DAYS)
        .map(|day| {
            let night = 24.0 * day as f64 - 3.0..24.0 * day as f64 + DAWN_H;
            let water_c = mean(&mut logger.iter().filter(|row| night.contains(&row.0)).map(|row| row.1));
            let wind = mean(&mut winds.iter().filter(|row| night.contains(&row.0)).map(|row| row.1));
            // 305 m above the sea.
            NightAir { law: law_at_night(water_c, 977.0, WIND_FACTOR * wind, MEAN_DEPTH_M), water_c }
        })
        .collect();
    Pond { name, reads: logger.iter().map(|row| (row.0, row.2)).collect(), nights }
}

impl Pond {
    /// The logger's line at an hour.
    fn at(&self, hour: f64) -> f64 {
        let k = self.reads.partition_point(|read| read.0 < hour).clamp(1, self.reads.len() - 1);
        let (a, b) = (self.reads[k - 1], self.reads[k]);
        a.1 + (b.1 - a.1) * (hour - a.0) / (b.0 - a.0)
    }
    /// What is known for a night: readings at these hours of each evening (from midnight) and at dawn, or the whole logger.
    fn known(&self, day: usize, evening: Option<&[f64]>, until_h: f64) -> Vec<(f64, f64)> {
        let until = 24.0 * day as f64 + until_h + 0.01;
        match evening {
            None => self.reads.iter().copied().filter(|read| read.0 <= until).collect(),
            Some(evening) => (0..=day)
                .flat_map(|of| evening.iter().copied().chain([DAWN_H]).map(move |hour| 24.0 * of as f64 + hour))
                .filter(|&hour| hour >= 0.5 && hour <= until)
                .map(|hour| (hour, self.at(hour)))
                .collect(),
        }
    }
    /// Misses and standard deviations of each night's projection.
    fn score(&self, evening: Option<&[f64]>, until_h: f64, beliefs: Beliefs) -> (Vec<(f64, f64)>, usize) {
        let mut fell_back = 0;
        let misses = (1..DAYS)
            .filter_map(|day| {
                let readings = self.known(day, evening, until_h);
                let ask = Ask {
                    readings: &readings,
                    nights: &self.nights,
                    dawn_h: DAWN_H,
                    day,
                    usual_use: USUAL_USE,
                    beliefs,
                };
                let told = project(&ask)?;
                fell_back += usize::from(told.rests == Rests::LastDawn);
                Some((told.dawn_mg_l - self.at(24.0 * day as f64 + DAWN_H), told.sd_mg_l))
            })
            .collect();
        (misses, fell_back)
    }
    /// Misses of a line that needs no projection.
    fn line(&self, line: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
        (1..DAYS)
            .map(|day| {
                let midnight = 24.0 * day as f64;
                (line(midnight) - self.at(midnight + DAWN_H), f64::NAN)
            })
            .collect()
    }
}

/// How much less than the dawn before it misses, mg/L on average, and the standard error of that over the nights.
fn gain(misses: &[(f64, f64)], before: &[(f64, f64)]) -> (f64, f64) {
    let n = misses.len() as f64;
    let less: Vec<f64> = misses.iter().zip(before).map(|(miss, before)| before.0.abs() - miss.0.abs()).collect();
    let mean = less.iter().sum::<f64>() / n;
    let square = less.iter().map(|less| (less - mean) * (less - mean)).sum::<f64>() / (n - 1.0);
    (mean, (square / n).sqrt())
}

fn row(what: &str, misses: &[(f64, f64)], before: &[(f64, f64)]) {
    let n = misses.len() as f64;
    let mean = misses.iter().map(|miss| miss.0.abs()).sum::<f64>() / n;
    let rms = (misses.iter().map(|miss| miss.0 * miss.0).sum::<f64>() / n).sqrt();
    let bias = misses.iter().map(|miss| miss.0).sum::<f64>() / n;
    let held = misses.iter().filter(|miss| miss.0.abs() <= EIGHT_IN_TEN * miss.1).count() as f64 / n;
    let held = if misses[0].1.is_nan() { String::new() } else { format!("{:.0} %", 100.0 * held) };
    let (less, error) = gain(misses, before);
    println!("| {what} | {} | {mean:.2} | {rms:.2} | {bias:+.2} | {less:.2} ± {error:.2} | {held} |", misses.len());
}

/// What each guess alone misses on a pond: beliefs for the other one.
fn beliefs_of(pond: &Pond) -> Beliefs {
    let square = |misses: &[(f64, f64)]| misses.iter().map(|miss| miss.0 * miss.0).sum::<f64>() / misses.len() as f64;
    let usual = Beliefs::default();
    let dawns = square(&pond.score(Some(&[]), -3.0, usual).0);
    // Dawns that are never believed leave the evening alone.
    let alone = Beliefs { dawns_miss2: 1e9, nights: 1e6, ..usual };
    let late = square(&pond.score(Some(&[-3.0, 0.0]), 0.0, alone).0) / 6.0;
    let early = square(&pond.score(Some(&[-3.0]), -3.0, alone).0) / 9.0;
    Beliefs { dawns_miss2: dawns, carried_miss2_h: 0.5 * (late + early), ..usual }
}

fn main() {
    let dir = std::env::args().nth(1).expect("the data folder");
    let dir = Path::new(&dir).join("cases/farm-pond-early-summer");
    let ponds = ["B", "F"].map(|name| pond(&dir, name));
    println!(
        "| dawn told from | nights | mean miss, mg/L | rms | bias | less than the dawn before | within the band |"
    );
    println!("|---|---|---|---|---|---|---|");
    for (this, other) in [(0, 1), (1, 0)] {
        let pond = &ponds[this];
        let before = pond.line(|m| pond.at(m - 18.0));
        let say = |what: &str, misses: &[(f64, f64)]| row(&format!("pond {}: {what}", pond.name), misses, &before);
        say("the dawn before", &before);
        let (at_21, at_24) = (|m: f64| pond.at(m - 3.0), |m: f64| pond.at(m));
        say("straight line through 21 h and 24 h", &pond.line(|m| (at_24(m) + 2.0 * (at_24(m) - at_21(m))).max(0.0)));
        say("log line through 21 h and 24 h", &pond.line(|m| at_24(m) * (at_24(m) / at_21(m)).powi(2)));
        say("the reading of 24 h as it is", &pond.line(at_24));
        let ways: [(&str, Option<&[f64]>, f64); 5] = [
            ("dawns only", Some(&[]), -3.0),
            ("one reading at 21 h", Some(&[-3.0]), -3.0),
            ("readings at 21 h and 24 h", Some(&[-3.0, 0.0]), 0.0),
            ("logger until 21 h", None, -3.0),
            ("logger until 24 h", None, 0.0),
        ];
        let believed = [("own", beliefs_of(&ponds[other])), ("as shipped", Beliefs::default())];
        for (what, evening, until) in ways {
            for (whose, beliefs) in believed {
                let (misses, fell_back) = pond.score(evening, until, beliefs);
                let whose = if whose == "own" { "doubts of the other pond" } else { whose };
                say(&format!("**ours**, {what}, {whose} (fell back {fell_back})"), &misses);
            }
        }
    }
}
