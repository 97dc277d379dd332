//! What is in one pond after a full season of daily sights: `cargo bench -p ensemble --bench stock_filter`.
//!
//! Dead looked for and feed looked at on every day, a sample with its forms each week. Prints the fastest and the middle of several runs on one
//! core; nothing is held to them. With `-- FILE` the season is written there as the peer in `checks/peers/stock` reads it.

use std::time::Instant;

use ensemble::{FilterAsk, PARTICLES, Seen, Sight, StockPriors, estimate_stock};
use stock::seen::{CaughtBy, Left};
use stock::{Crop, StockParams, Stocking, warmth};

const DAYS: usize = 110;
const RUNS: usize = 9;

fn sights() -> Vec<Sight> {
    let mut sights = Vec::new();
    for day in 1..=DAYS {
        let dead = [3.0, 0.0, 5.0, 1.0, 8.0, 2.0, 4.0][day % 7];
        sights.push(Sight { day, what: Seen::Dead(dead) });
        if day > 45 && day % 7 == 0 {
            let mean_weight_g = 30.5 * units::exp(-1.6 * units::exp(-(day as f64) / 42.0)) + 0.4 * (day % 3) as f64;
            let by = if day % 14 == 0 { CaughtBy::Seine } else { CaughtBy::CastNet };
            let what = Seen::Weighed { mean_weight_g, error_ln: 0.06, by, orange_and_others: Some((22, 38)) };
            sights.push(Sight { day, what });
        }
        if day > 40 {
            let (kg, left) =
                [(7.0, Left::None), (9.0, Left::Some), (8.0, Left::None), (10.0, Left::Some), (16.0, Left::Most)]
                    [day % 5];
            sights.push(Sight { day, what: Seen::Fed { kg, left } });
        }
    }
    sights
}

/// The season as lines for the peer: what was stocked, warm days added up, then a line for each sight.
fn written(stocking: &Stocking, warm_days: &[f64], sights: &[Sight]) -> String {
    let Stocking { count, weight_g, per_ha, substrate_fraction } = stocking;
    let mut lines = vec![format!("stocked {count} {weight_g} {per_ha} {substrate_fraction}")];
    lines.push(warm_days.iter().fold("warm_days".to_owned(), |line, sum| format!("{line} {sum}")));
    for sight in sights {
        let day = sight.day;
        lines.push(match sight.what {
            Seen::Weighed { mean_weight_g, error_ln, by, orange_and_others } => {
                let (orange, others) = orange_and_others.unwrap_or_default();
                format!("weighed {day} {mean_weight_g} {error_ln} {} {orange} {others}", by.place())
            }
            Seen::Dead(seen) => format!("dead {day} {seen}"),
            Seen::Overflow => format!("overflow {day}"),
            Seen::Fed { kg, left } => format!("fed {day} {kg} {}", left as usize),
        });
    }
    lines.join("\n") + "\n"
}

fn main() {
    let stocking = Stocking { count: 11_000.0, weight_g: 0.4, per_ha: 60_000.0, substrate_fraction: 0.5 };
    let crop = Crop::new(&stocking, &StockParams::default());
    let day = |day: usize| warmth(25.5 + 2.5 * units::sin(day as f64 / 30.0));
    let mut sum = 0.0;
    let warm_days: Vec<f64> = [0.0].into_iter().chain((0..DAYS).map(|at| (sum += day(at), sum).1)).collect();
    let (sights, priors) = (sights(), StockPriors::default());
    let ask = |seed| FilterAsk {
        seed,
        pond: 0,
        crop: &crop,
        density_power: 0.5,
        priors: &priors,
        warm_days: &warm_days,
        sights: &sights,
    };
    if let Some(path) = std::env::args().skip(1).find(|arg| !arg.starts_with("--")) {
        // The bench alone writes a file: the core never does.
        #[allow(clippy::disallowed_methods)]
        std::fs::write(&path, written(&stocking, &warm_days, &sights)).expect("the file can be written");
    }
    let mut took = Vec::new();
    for seed in 0..RUNS as u64 {
        // The bench reads the clock because time is what it measures.
        #[allow(clippy::disallowed_methods)]
        let start = Instant::now();
        std::hint::black_box(estimate_stock(&ask(seed)));
        took.push(start.elapsed().as_secs_f64() * 1e3);
    }
    took.sort_by(f64::total_cmp);
    println!(
        "{PARTICLES} particles, {DAYS} days, {} sights: {:.0} ms fastest, {:.0} ms middle",
        sights.len(),
        took[0],
        took[RUNS / 2]
    );
    let estimate = estimate_stock(&ask(1));
    for (name, of) in [
        ("mean weight, g", (|one| one.mean_weight_g) as fn(&ensemble::Particle) -> f64),
        ("number", |one| one.warm_count),
        ("mass, kg", |one| one.warm_count * one.mean_weight_g / 1000.0),
        ("orange-claw males off usual", |one| one.hidden.orange_claw_extra),
    ] {
        let [low, middle, high] = [0.1, 0.5, 0.9].map(|share| estimate.quantile(share, of));
        println!("{name:28} {low:9.3} {middle:9.3} {high:9.3}");
    }
}
