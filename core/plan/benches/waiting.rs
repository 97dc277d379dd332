//! What waiting and watching brings on made-up autumns, beside fixed dates and a clairvoyant, and how long it takes.
//!
//! `cargo bench -p plan --bench waiting -- times` (seconds), `-- fits` (about a minute), `-- seasons` (about ten minutes).

// A bench reads the clock.
#![allow(clippy::disallowed_methods)]

#[path = "../tests/toys/mod.rs"]
mod toys;

use std::time::Instant;

use chance::{Purpose, Stream};
use plan::recourse::{Board, FirstMove, Lattice, Waiting, act, clairvoyant, fit, fixed, value};
use plan::{FitSettings, Learn, Rule, Settings, decide, fit_rule};
use toys::seasons::{Policy, foreseen, from_climate, season};
use toys::{Autumn, Morning, mean, standard_error};
use units::Watch;

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).filter(|arg| !arg.starts_with("--")).collect();
    let is_asked = |name: &str| asked.iter().any(|word| word == name) || (asked.is_empty() && name == "times");
    if is_asked("times") {
        times();
    }
    for (name, autumn, seasons) in toys() {
        if is_asked("fits") {
            fits(name, &autumn);
        }
        if is_asked("seasons") {
            replay(name, &autumn, seasons);
        }
    }
}

fn toys() -> [(&'static str, Autumn, u64); 5] {
    let crash = |autumn: Autumn| Autumn { crash: true, known: toys::skill(3.0), ..autumn };
    [
        ("one pond, soft loss", Autumn::one(2), 300),
        ("one pond, crash", crash(Autumn::one(2)), 400),
        ("four ponds, soft loss", Autumn::four(), 150),
        ("four ponds, crash", crash(Autumn::four()), 150),
        ("one pond, soft loss, four days of seven", Autumn { open_days_of_seven: 4, ..Autumn::one(2) }, 300),
    ]
}

/// How long a whole decision takes on the four-pond farm, sixty days to the season's end: what a person waits for who asks
/// "what if?" of tables that are kept, waiting and dates both anew. The cost is put on the member-hours that the tables stand
/// for, to set it beside running the water of those hours (`cargo bench -p pond`).
fn times() {
    let autumn = Autumn::four();
    println!(
        "a decision on kept tables; beside it the same per pond, member and hour, to compare with cargo bench -p pond"
    );
    let now = autumn.start(&mut Stream::new(11, 0, Purpose(1)));
    let watch = Watch::default();
    let (tables, signals, limits) = autumn.tables(&now, 600, 4);
    let rule = fit_rule(&tables, &signals, &limits, &Settings::default(), &watch).expect("the toy is sound");
    for (label, members, brief, learn) in [
        ("full, 300 members", 300, false, Learn::Now),
        ("brief, 300 members", 300, true, Learn::Now),
        ("brief, 100 members", 100, true, Learn::Now),
        ("brief, 64 members", 64, true, Learn::Now),
        ("brief, 64 members, kept rule", 64, true, Learn::Kept(&rule)),
    ] {
        let (tables, signals, limits) = autumn.tables(&now, members, 3);
        let settings = Settings { brief, ..Settings::default() };
        let mut took: Vec<f64> = (0..15)
            .map(|_| {
                let begin = Instant::now();
                let decision = decide(&tables, &signals, &limits, &settings, learn, None, &watch);
                assert!(decision.is_ok_and(|decision| decision.worth.mean > 0.0));
                1e3 * begin.elapsed().as_secs_f64()
            })
            .collect();
        took.sort_by(f64::total_cmp);
        let member_hours = (autumn.ponds.len() * members * 24 * tables.days()) as f64;
        let each = 1e6 * took[7] / member_hours;
        println!(
            "{label}: {:.1} ms (least {:.1}, most {:.1}), {each:.1} ns per member-hour",
            took[7], took[0], took[14]
        );
    }
}

fn best(first: &[FirstMove]) -> f64 {
    first.iter().map(|first| mean(&first.worth)).fold(f64::NEG_INFINITY, f64::max)
}

fn one_fold(settings: FitSettings) -> FitSettings {
    FitSettings { folds: 1, ..settings }
}

/// The share of the gap from fixed dates to the clairvoyant that a rule reaches on 8,000 fresh members, by members fitted.
fn fits(name: &str, autumn: &Autumn) {
    let now = Morning { day: 0, anomaly: 0.0, ahead: [0.0; toys::REACH], past_c: Vec::new() };
    let full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let board = autumn.board(0, &full, &[]);
    let lattice = board.lattice();
    let (worth, signals) = autumn.members(&now, &board, 8000, 99, 7);
    let fold: Vec<u32> = (0..8000).collect();
    let fresh = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let floor = mean(&fixed(&fresh, &lattice, &vec![1.0; 8000]).worth);
    let top = mean(&clairvoyant(&fresh, &lattice));
    println!("{name}: fixed {floor:.4}, clairvoyant {top:.4}");
    for (members, repeats) in [(64, 10), (100, 10), (300, 6), (4000, 1)] {
        for (label, settings) in [
            ("as set", FitSettings::default()),
            ("no neighbours", FitSettings { keep: 0.0, ..FitSettings::default() }),
            ("loose leash", FitSettings { leash: 1.0, ..FitSettings::default() }),
            ("short leash", FitSettings { leash: 512.0, ..FitSettings::default() }),
        ] {
            let one = |repeat: u64| -> (f64, f64) {
                let (worth, signals) = autumn.members(&now, &board, members, 1000 + repeat, 3);
                let fold = vec![0; members];
                let waiting = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
                let valued = fit(&waiting, &lattice, None, &one_fold(settings.clone()));
                let reached = best(&value(&fresh, &lattice, &valued.rules[0]).first);
                ((reached - floor) / (top - floor), (best(&valued.first) - floor) / (top - floor))
            };
            let (shares, own): (Vec<f64>, Vec<f64>) = (0..repeats).map(one).unzip();
            let error = if shares.len() > 1 { standard_error(&shares) } else { 0.0 };
            let (share, own) = (mean(&shares), mean(&own));
            println!("  {members:5} members, {label:14} {share:6.3} +- {error:.3} (believed {own:.3})");
        }
    }
}

/// Members that the policies draw each morning.
const MEMBERS: usize = 64;

/// Draws this morning's members and hands them on.
fn with_members<T>(
    autumn: &Autumn,
    now: &Morning,
    board: &Board,
    seed: u64,
    then: impl Fn(&Waiting, &Lattice) -> T,
) -> T {
    let (worth, signals) = autumn.members(now, board, MEMBERS, 1 << 40 | seed, 9);
    let fold: Vec<u32> = (0..MEMBERS as u32).collect();
    then(&Waiting { board, worth: &worth, signals: &signals, fold: &fold, guard: None }, &board.lattice())
}

/// The move that is best by `share` of its worth on own members and the rest on fresh ones.
fn top_move(first: Vec<FirstMove>, share: f64) -> Vec<usize> {
    let point = |first: &FirstMove| share * mean(&first.own) + (1.0 - share) * mean(&first.worth);
    first.into_iter().max_by(|a, b| point(a).total_cmp(&point(b))).map_or(Vec::new(), |first| first.openings)
}

/// Seasons lived morning by morning: the share of the gap from the best calendar to the clairvoyant.
fn replay(name: &str, autumn: &Autumn, seasons: u64) {
    let full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let board = autumn.board(0, &full, &[]);
    let lattice = board.lattice();
    let n = 4000;
    let (worth, signals) = from_climate(autumn, &board, n);
    let fold = vec![0; n];
    let climate = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let calendar = fixed(&climate, &lattice, &vec![1.0; n]).openings;
    let dates: Vec<_> = calendar.iter().map(|&o| (board.openings[o].pond, board.openings[o].morning)).collect();
    let rule: Rule = fit(&climate, &lattice, None, &one_fold(FitSettings::default())).rules.remove(0);

    let by_calendar: Policy = &|now, board, _| {
        let due = |&o: &usize| {
            let opening = &board.openings[o];
            opening.morning == 0 && dates.contains(&(opening.pond, now.day))
        };
        (0..board.openings.len()).filter(due).collect()
    };
    let fixed_anew: Policy = &|now, board, seed| {
        with_members(autumn, now, board, seed, |waiting, lattice| {
            let all = fixed(waiting, lattice, &[1.0; MEMBERS]).openings;
            all.into_iter().filter(|&o| board.openings[o].morning == 0).collect()
        })
    };
    let rule_alone: Policy = &|now, board, seed| {
        let (worth, signals) = autumn.members(now, board, 1, seed, 9);
        let waiting = Waiting { board, worth: &worth, signals: &signals, fold: &[0], guard: None };
        act(&waiting, &board.lattice(), &rule.clone().later(now.day), 0)
    };
    let fitted = |share: f64| {
        move |now: &Morning, board: &Board, seed: u64| {
            with_members(autumn, now, board, seed, |waiting, lattice| {
                top_move(fit(waiting, lattice, None, &FitSettings::default()).first, share)
            })
        }
    };
    let kept: Policy = &|now, board, seed| {
        with_members(autumn, now, board, seed, |waiting, lattice| {
            top_move(value(waiting, lattice, &rule.clone().later(now.day)).first, 0.0)
        })
    };
    let foreseen: Vec<f64> = (0..seasons).map(|s| foreseen(autumn, s)).collect();
    let base: Vec<f64> = (0..seasons).map(|s| season(autumn, s, by_calendar)).collect();
    let gap = mean(&foreseen) - mean(&base);
    println!("{name}: {seasons} seasons, clairvoyant {:.1} % above the best calendar", 100.0 * gap / mean(&base));
    let mut rival: Vec<f64> = Vec::new();
    for (label, policy) in [
        ("fixed dates anew each morning", fixed_anew),
        ("rule of 4,000 members alone", rule_alone),
        ("the same, rollout on 64", kept),
        ("fitted to 64, ranked by fresh", &fitted(0.0)),
        ("fitted to 64, ranked by middle", &fitted(0.5)),
    ] {
        let got: Vec<f64> = (0..seasons).map(|s| season(autumn, s, policy)).collect();
        if rival.is_empty() {
            rival = got.clone();
        }
        let over = |base: &[f64]| -> Vec<f64> { got.iter().zip(base).map(|(got, base)| (got - base) / gap).collect() };
        let (share, ahead) = (over(&base), over(&rival));
        println!(
            "  {label:32} {:.3} +- {:.3}; ahead of fixed anew {:+.3} +- {:.3}",
            mean(&share),
            standard_error(&share),
            mean(&ahead),
            standard_error(&ahead)
        );
    }
}
