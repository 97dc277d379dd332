//! What the rule reaches on made-up autumns, beside fixed dates and a clairvoyant, and how long it takes.
//!
//! Run with `cargo bench -p plan --bench waiting`.

#![allow(clippy::disallowed_methods)] // a bench reads the clock

#[path = "../tests/toys/mod.rs"]
mod toys;

use chance::{Purpose, Stream};
use plan::recourse::{FitSettings, Rule, Waiting, clairvoyant, fit, fixed, value};
use std::time::Instant;
use toys::{Autumn, mean, standard_error};

fn best(first: &[plan::recourse::FirstMove]) -> f64 {
    first.iter().map(|f| mean(&f.worth)).fold(f64::NEG_INFINITY, f64::max)
}

fn main() {
    let which: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let want = |name: &str| which.is_empty() || which.iter().any(|w| w == name);
    if want("fits") {
        for (name, autumn) in [("one pond", Autumn::one(2)), ("four ponds", Autumn::four())] {
            fits(name, &autumn);
        }
    }
}

fn fits(name: &str, autumn: &Autumn) {
    let mut stream = Stream::new(11, 0, Purpose(1));
    let mut now = autumn.start(&mut stream);
    now.anomaly = 0.0;
    now.ahead = [0.0; toys::REACH];
    let full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let board = autumn.board(0, &full, &[]);
    let lattice = board.lattice();
    println!("{name}: {} positions, {} openings", lattice.size(), board.openings.len());
    let n_fresh = 8000;
    let (worth, signals) = autumn.members(&now, &board, n_fresh, 99, 7);
    let fold = vec![0; n_fresh];
    let fresh = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold };
    let f = fixed(&fresh, &lattice, &vec![1.0; n_fresh]);
    let c = clairvoyant(&fresh, &lattice);
    println!("  fixed {:.4}  clairvoyant {:.4} (s.e. {:.4})", mean(&f.worth), mean(&c), standard_error(&c));
    let share = |v: f64| (v - mean(&f.worth)) / (mean(&c) - mean(&f.worth));
    let run = |members: usize, settings: &FitSettings, rep: u32| -> (Rule, f64, f64, f64) {
        let (worth, signals) = autumn.members(&now, &board, members, 1000 + u64::from(rep), 3);
        let fold: Vec<u32> = (0..members as u32).collect();
        let w = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold };
        let begin = Instant::now();
        let valued = fit(&w, &lattice, None, settings);
        let took = begin.elapsed().as_secs_f64();
        let shown = best(&valued.first);
        let own = valued.first.iter().map(|f| f.own_mean).fold(f64::NEG_INFINITY, f64::max);
        (valued.rules[0].clone(), shown, own, took)
    };
    for (members, reps) in [(64, 12), (100, 10), (300, 6), (4000, 1)] {
        for keep in [0.0, 0.6, 0.8, 0.9] {
            for leash in [1.0, 4.0, 16.0] {
                if members == 4000 && (keep > 0.7 || leash > 1.0) {
                    continue;
                }
                let settings = FitSettings { folds: 1, keep, leash };
                let (mut v, mut s, mut o, mut t) = (vec![], 0.0, 0.0, 0.0);
                for rep in 0..reps {
                    let (rule, shown, own, took) = run(members, &settings, rep);
                    v.push(best(&value(&fresh, &lattice, &rule).first));
                    s += shown / f64::from(reps);
                    o += own / f64::from(reps);
                    t += took / f64::from(reps);
                }
                println!(
                    "  {members:5} members keep {keep:.1} leash {leash:4.1}: fresh {:.4} +- {:.4}  share {:.3}  own {o:.4} (shown {s:.4}) {:.1} ms",
                    mean(&v), if v.len() > 1 { standard_error(&v) } else { 0.0 }, share(mean(&v)), 1e3 * t
                );
            }
        }
    }
}
