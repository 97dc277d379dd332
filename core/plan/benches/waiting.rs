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
    if want("replay") {
        replay("one pond, crash", &Autumn { crash: true, known: toys::skill(3.0), ..Autumn::one(2) }, 200);
        replay("four ponds, crash", &Autumn { crash: true, known: toys::skill(3.0), ..Autumn::four() }, 80);
    }
    if want("fits") {
        for (name, autumn) in [("one pond", Autumn::one(2)), ("four ponds", Autumn::four())] {
            fits(name, &autumn);
        }
    }
}

/// What a policy knows and does on a morning: indices of openings to start, of the board that begins today.
type Policy<'a> = &'a dyn Fn(&toys::Morning, &plan::recourse::Board, u64) -> Vec<usize>;

fn season(autumn: &Autumn, season: u64, policy: Policy) -> f64 {
    let mut stream = Stream::new(77, season as u32, Purpose(1));
    let growth = units::exp(autumn.growth_sd * stream.normal());
    let shift = autumn.shift_sd_c * stream.normal();
    let mut now = autumn.start(&mut stream);
    let mut crop = toys::Crop::new(autumn, growth, shift);
    let mut full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let mut caught: Vec<(usize, usize)> = Vec::new();
    let mut total = 0.0;
    for day in 0..autumn.days {
        for &(pond, _) in caught.iter().filter(|c| c.1 == day) {
            total += autumn.ponds[pond].worth * crop.grown * crop.alive[pond];
        }
        if !full.is_empty() {
            let days: Vec<usize> = caught.iter().map(|c| c.1).collect();
            let board = autumn.board(day, &full, &days);
            for opening in policy(&now, &board, season * 100 + day as u64) {
                let opening = &board.openings[opening];
                full.retain(|&pond| pond != opening.pond);
                caught.push((opening.pond, day + opening.catch_day));
            }
        }
        now = autumn.step(&now, &mut stream);
        crop.day(autumn, *now.past_c.last().unwrap());
    }
    total
}

fn replay(name: &str, autumn: &Autumn, seasons: u64) {
    let full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let board = autumn.board(0, &full, &[]);
    let lattice = board.lattice();
    // Seasons to learn from: first mornings differ.
    let (mut worth, mut signals) = (
        vec![0.0; board.openings.len() * 4000],
        plan::recourse::Signals::new(Autumn::signal_kinds(), board.mornings, 4000),
    );
    for member in 0..4000usize {
        let mut stream = Stream::new(5, member as u32, Purpose(2));
        let now = autumn.start(&mut stream);
        let (w, s) = autumn.members(&now, &board, 1, 100_000 + member as u64, 3);
        for o in 0..board.openings.len() {
            worth[o * 4000 + member] = w[o];
        }
        for d in 0..board.mornings {
            for k in 0..s.kinds().len() {
                signals.of_mut(d, k)[member] = s.of(d, k)[0];
            }
        }
    }
    let fold = vec![0; 4000];
    let climate = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let calendar = fixed(&climate, &lattice, &vec![1.0; 4000]);
    let rule = fit(&climate, &lattice, None, &FitSettings { folds: 1, ..FitSettings::default() }).rules.remove(0);
    let dates: Vec<(usize, usize)> =
        calendar.openings.iter().map(|&o| (board.openings[o].pond, board.openings[o].morning)).collect();
    println!("{name}: calendar {dates:?}");
    let m = 64;
    let with = |now: &toys::Morning,
                board: &plan::recourse::Board,
                seed: u64,
                how: &dyn Fn(&Waiting, &plan::recourse::Lattice) -> Vec<usize>| {
        let (worth, signals) = autumn.members(now, board, m, 1 << 40 | seed, 9);
        let fold: Vec<u32> = (0..m as u32).collect();
        how(&Waiting { board, worth: &worth, signals: &signals, fold: &fold, guard: None }, &board.lattice())
    };
    let top = |first: Vec<plan::recourse::FirstMove>| {
        first.into_iter().max_by(|a, b| mean(&a.worth).total_cmp(&mean(&b.worth))).unwrap().openings
    };
    let a: Policy = &|now, board, _| {
        (0..board.openings.len())
            .filter(|&o| board.openings[o].morning == 0 && dates.contains(&(board.openings[o].pond, now.day)))
            .collect()
    };
    let b: Policy = &|now, board, seed| {
        with(now, board, seed, &|w, l| {
            fixed(w, l, &vec![1.0; m]).openings.into_iter().filter(|&o| board.openings[o].morning == 0).collect()
        })
    };
    let high_low = |first: Vec<plan::recourse::FirstMove>, share: f64| {
        let point = |f: &plan::recourse::FirstMove| share * mean(&f.own) + (1.0 - share) * mean(&f.worth);
        first.into_iter().max_by(|a, b| point(a).total_cmp(&point(b))).unwrap().openings
    };
    let blended = |leash: f64, keep: f64, folds: usize, share: f64| {
        let with = &with;
        let high_low = &high_low;
        move |now: &toys::Morning, board: &plan::recourse::Board, seed: u64| {
            with(now, board, seed, &|w, l| high_low(fit(w, l, None, &FitSettings { leash, keep, folds }).first, share))
        }
    };
    let (own, b2, b4, b4l) = (blended(32.0, 0.8, 1, 0.5), blended(32.0, 0.8, 2, 0.5), blended(32.0, 0.8, 4, 0.5), blended(512.0, 0.9, 4, 0.5));
    let from = |share: f64| {
        let (with, high_low, rule) = (&with, &high_low, &rule);
        move |now: &toys::Morning, board: &plan::recourse::Board, seed: u64| {
            with(now, board, seed, &|w, l| high_low(fit(w, l, Some(&rule.clone().later(now.day)), &FitSettings { leash: 256.0, ..FitSettings::default() }).first, share))
        }
    };
    let (p0, p5) = (from(0.0), from(0.5));
    let kept: Policy =
        &|now, board, seed| with(now, board, seed, &|w, l| top(value(w, l, &rule.clone().later(now.day)).first));
    let alone: Policy = &|now, board, seed| {
        with(now, board, seed, &|w, l| {
            let rule = rule.clone().later(now.day);
            plan::recourse::act(w, l, &rule, 0)
        })
    };
    let truth = |s: u64| {
        let mut stream = Stream::new(77, s as u32, Purpose(1));
        let growth = units::exp(autumn.growth_sd * stream.normal());
        let shift = autumn.shift_sd_c * stream.normal();
        let mut now = autumn.start(&mut stream);
        let mut crop = toys::Crop::new(autumn, growth, shift);
        let mut by_day = vec![vec![0.0; autumn.days]; autumn.ponds.len()];
        for day in 0..autumn.days {
            for (pond, row) in by_day.iter_mut().enumerate() {
                row[day] = autumn.ponds[pond].worth * crop.grown * crop.alive[pond];
            }
            now = autumn.step(&now, &mut stream);
            crop.day(autumn, *now.past_c.last().unwrap());
        }
        let worth: Vec<f64> = board.openings.iter().map(|o| by_day[o.pond][o.catch_day]).collect();
        let signals = plan::recourse::Signals::new(Autumn::signal_kinds(), board.mornings, 1);
        clairvoyant(&Waiting { board: &board, worth: &worth, signals: &signals, fold: &[0], guard: None }, &lattice)[0]
    };
    let c: Vec<f64> = (0..seasons).map(truth).collect();
    let base: Vec<f64> = (0..seasons).map(|s| season(autumn, s, a)).collect();
    println!(
        "  (a) calendar {:.2}, clairvoyant {:.2}: gap {:.1} %",
        mean(&base),
        mean(&c),
        100.0 * (mean(&c) / mean(&base) - 1.0)
    );
    let mut rival: Vec<f64> = Vec::new();
    for (label, policy) in [
        ("(b) fixed each morning", b),
        ("kept rule, rollout", kept),
        ("own, one fold", &own), ("blend of 2 folds", &b2), ("blend of 4", &b4), ("blend of 4, l 512", &b4l), ("from kept", &p0), ("from kept, blend", &p5),
    ] {
        let begin = Instant::now();
        let got: Vec<f64> = (0..seasons).map(|s| season(autumn, s, policy)).collect();
        let gain: Vec<f64> = got.iter().zip(&base).map(|(g, b)| g - b).collect();
        let gap = mean(&c) - mean(&base);
        if rival.is_empty() {
            rival = got.clone();
        }
        let ahead: Vec<f64> = got.iter().zip(&rival).map(|(g, r)| g - r).collect();
        print!("  {:+.3} +- {:.3}", mean(&ahead) / gap, standard_error(&ahead) / gap);
        println!(
            "  {label:24} {:.4}: {:.3} +- {:.3} of the gap, {:.0} s",
            mean(&got),
            mean(&gain) / gap,
            standard_error(&gain) / gap,
            begin.elapsed().as_secs_f64()
        );
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
    let fresh = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let f = fixed(&fresh, &lattice, &vec![1.0; n_fresh]);
    let c = clairvoyant(&fresh, &lattice);
    println!("  fixed {:.4}  clairvoyant {:.4} (s.e. {:.4})", mean(&f.worth), mean(&c), standard_error(&c));
    let share = |v: f64| (v - mean(&f.worth)) / (mean(&c) - mean(&f.worth));
    let run = |members: usize, settings: &FitSettings, rep: u32| -> (Rule, f64, f64, f64) {
        let (worth, signals) = autumn.members(&now, &board, members, 1000 + u64::from(rep), 3);
        let fold: Vec<u32> = (0..members as u32).collect();
        let w = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
        let begin = Instant::now();
        let valued = fit(&w, &lattice, None, settings);
        let took = begin.elapsed().as_secs_f64();
        let shown = best(&valued.first);
        let own = valued.first.iter().map(|f| mean(&f.own)).fold(f64::NEG_INFINITY, f64::max);
        (valued.rules[0].clone(), shown, own, took)
    };
    for (members, reps) in [(64, 12), (100, 10), (300, 6), (4000, 1)] {
        for keep in [0.8] {
            for leash in [16.0, 32.0, 64.0] {
                if members == 4000 && (leash > 16.0) {
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
                    mean(&v),
                    if v.len() > 1 { standard_error(&v) } else { 0.0 },
                    share(mean(&v)),
                    1e3 * t
                );
            }
        }
    }
}
