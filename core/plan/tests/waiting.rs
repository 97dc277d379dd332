//! What the rule may and may not know, and what knowing is worth.

mod toys;

use plan::recourse::{
    Board, FirstMove, FitSettings, Rule, SignalKind, Signals, Waiting, clairvoyant, fit, fixed, follow, value,
};
use toys::{Autumn, Morning, mean, standard_error};

fn first_morning() -> Morning {
    Morning { day: 0, anomaly: 0.0, ahead: [0.0; toys::REACH], past_c: Vec::new() }
}

fn best(first: &[FirstMove]) -> &FirstMove {
    first.iter().max_by(|a, b| mean(&a.worth).total_cmp(&mean(&b.worth))).expect("a move exists")
}

struct Drawn {
    worth: Vec<f64>,
    signals: Signals,
    fold: Vec<u32>,
}

impl Drawn {
    fn new(autumn: &Autumn, board: &Board, n: usize, seed: u64) -> Drawn {
        let (worth, signals) = autumn.members(&first_morning(), board, n, seed, 1);
        Drawn { worth, signals, fold: (0..n as u32).collect() }
    }
    fn on<'a>(&'a self, board: &'a Board) -> Waiting<'a> {
        Waiting { board, worth: &self.worth, signals: &self.signals, fold: &self.fold, guard: None }
    }
}

fn one_fold() -> FitSettings {
    FitSettings { folds: 1, ..FitSettings::default() }
}

fn four_ponds() -> (Autumn, Board) {
    let autumn = Autumn::four();
    let board = autumn.board(0, &[0, 1, 2, 3], &[]);
    (autumn, board)
}

/// Changes what becomes of every member for which `of` holds, after morning `t`: worth of later catches, later signals.
fn change_what_follows(drawn: &mut Drawn, board: &Board, t: usize, of: impl Fn(usize) -> bool) {
    let n = drawn.signals.members();
    let chosen: Vec<usize> = (0..n).filter(|&member| of(member)).collect();
    let turned = |i: usize| chosen[(i + 1) % chosen.len()];
    for (o, _) in board.openings.iter().enumerate().filter(|(_, opening)| opening.catch_day > t) {
        let row = &mut drawn.worth[o * n..(o + 1) * n];
        let before = row.to_vec();
        chosen.iter().enumerate().for_each(|(i, &member)| row[member] = 0.5 * before[turned(i)]);
    }
    for day in t + 1..drawn.signals.days() {
        for kind in 0..drawn.signals.kinds().len() {
            let row = drawn.signals.of_mut(day, kind);
            let before = row.to_vec();
            chosen.iter().enumerate().for_each(|(i, &member)| row[member] = before[turned(i)]);
        }
    }
}

#[test]
fn a_kept_rule_never_reads_a_members_future() {
    let (autumn, board) = four_ponds();
    let lattice = board.lattice();
    let learned = Drawn::new(&autumn, &board, 300, 1);
    let rule = fit(&learned.on(&board), &lattice, None, &one_fold()).rules.remove(0);
    let mut drawn = Drawn::new(&autumn, &board, 60, 2);
    let t = 36;
    let started = |drawn: &Drawn| {
        let valued = value(&drawn.on(&board), &lattice, &rule);
        let wait = valued.first.iter().find(|first| first.openings.is_empty()).expect("one may wait");
        let until_t = |mut taken: Vec<usize>| {
            taken.retain(|&o| board.openings[o].morning <= t);
            taken
        };
        follow(&drawn.on(&board), &lattice, &valued, wait).into_iter().map(until_t).collect::<Vec<_>>()
    };
    let before = started(&drawn);
    change_what_follows(&mut drawn, &board, t, |_| true);
    assert_eq!(before, started(&drawn));
    assert!(before.iter().any(|taken| !taken.is_empty()), "nothing was started: the test says nothing");
}

#[test]
fn a_rule_fitted_this_morning_never_reads_its_own_members_future() {
    let (autumn, board) = four_ponds();
    let lattice = board.lattice();
    let mut drawn = Drawn::new(&autumn, &board, 120, 3);
    let t = 36;
    let started = |drawn: &Drawn| {
        let valued = fit(&drawn.on(&board), &lattice, None, &FitSettings::default());
        let wait = valued.first.iter().find(|first| first.openings.is_empty()).expect("one may wait");
        let all = follow(&drawn.on(&board), &lattice, &valued, wait);
        let until_t = |taken: &Vec<usize>| -> Vec<usize> {
            taken.iter().copied().filter(|&o| board.openings[o].morning <= t).collect()
        };
        all.iter()
            .enumerate()
            .filter(|(member, _)| member % 2 == 1)
            .map(|(_, taken)| until_t(taken))
            .collect::<Vec<_>>()
    };
    let before = started(&drawn);
    // The odd members are valued by the rule of the even ones.
    change_what_follows(&mut drawn, &board, t, |member| member % 2 == 1);
    assert_eq!(before, started(&drawn));
    assert!(before.iter().any(|taken| !taken.is_empty()), "nothing was started: the test says nothing");
}

/// One pond whose only signal is made by `signal` from (member, morning, worth by morning).
fn with_signal(
    fitted: usize,
    fresh: usize,
    signal: impl Fn(usize, usize, &[f64]) -> f64,
) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let autumn = Autumn::one(1);
    let board = autumn.board(0, &[0], &[]);
    let lattice = board.lattice();
    let table = |n: usize, seed: u64| {
        let mut drawn = Drawn::new(&autumn, &board, n, seed);
        let kind = SignalKind { key: "told".to_string(), pond: None, marks: Vec::new() };
        let mut signals = Signals::new(vec![kind], board.mornings, n);
        for member in 0..n {
            let by_morning: Vec<f64> = (0..board.openings.len()).map(|o| drawn.worth[o * n + member]).collect();
            for morning in 0..board.mornings {
                // On the first morning nothing is told: all members share it.
                let told = if morning == 0 { 0.0 } else { signal(member + seed as usize * n, morning, &by_morning) };
                signals.of_mut(morning, 0)[member] = told;
            }
        }
        drawn.signals = signals;
        drawn
    };
    let learned = table(fitted, 1);
    let rule = fit(&learned.on(&board), &lattice, None, &one_fold()).rules.remove(0);
    let dates = fixed(&learned.on(&board), &lattice, &vec![1.0; fitted]).openings;
    let fresh_table = table(fresh, 2);
    let waiting = fresh_table.on(&board);
    let of_dates =
        (0..fresh).map(|member| dates.iter().map(|&o| fresh_table.worth[o * fresh + member]).sum()).collect();
    let rule = best(&value(&waiting, &lattice, &rule).first).worth.clone();
    (of_dates, rule, clairvoyant(&waiting, &lattice))
}

#[test]
fn a_perfect_forecast_gives_the_clairvoyant() {
    // What is told: how much better the best later morning is than this one.
    let told = |_: usize, morning: usize, worth: &[f64]| {
        let later = worth.iter().skip(morning + 1).fold(0.0, |best: f64, &worth| best.max(worth));
        later - worth.get(morning).copied().unwrap_or(0.0)
    };
    let (dates, rule, clairvoyant) = with_signal(3000, 6000, told);
    let share = (mean(&rule) - mean(&dates)) / (mean(&clairvoyant) - mean(&dates));
    assert!(share > 0.98 && share <= 1.0 + 1e-12, "share {share}");
}

#[test]
fn a_forecast_without_skill_gives_the_fixed_date() {
    let told = |member: usize, morning: usize, _: &[f64]| {
        chance::Stream::new(8, (member * 64 + morning) as u32, chance::Purpose(4)).normal()
    };
    let (dates, rule, clairvoyant) = with_signal(3000, 6000, told);
    let apart: Vec<f64> = rule.iter().zip(&dates).map(|(rule, dates)| rule - dates).collect();
    let gap = mean(&clairvoyant) - mean(&dates);
    assert!(mean(&apart) < 3.0 * standard_error(&apart), "it gained {} from noise", mean(&apart));
    assert!(mean(&apart) > -0.05 * gap, "it lost {} of a gap of {gap} to noise", -mean(&apart));
}

fn worth_of_skill(reach_days: f64) -> Vec<f64> {
    let mut known = toys::skill(reach_days);
    if reach_days == 0.0 {
        known[1..].fill(0.0);
    }
    let autumn = Autumn { known, ..Autumn::one(2) };
    let board = autumn.board(0, &[0], &[]);
    let lattice = board.lattice();
    let rule: Rule = fit(&Drawn::new(&autumn, &board, 3000, 4).on(&board), &lattice, None, &one_fold()).rules.remove(0);
    best(&value(&Drawn::new(&autumn, &board, 12_000, 5).on(&board), &lattice, &rule).first).worth.clone()
}

#[test]
fn more_skill_never_lowers_the_value() {
    let worths: Vec<Vec<f64>> = [0.0, 1.0, 2.0, 4.0, 8.0].iter().map(|&reach| worth_of_skill(reach)).collect();
    for pair in worths.windows(2) {
        let error = standard_error(&pair[0]).hypot(standard_error(&pair[1]));
        assert!(mean(&pair[1]) >= mean(&pair[0]) - 3.0 * error, "{} then {}", mean(&pair[0]), mean(&pair[1]));
    }
    let (none, most) = (&worths[0], &worths[4]);
    assert!(mean(most) > mean(none) + 3.0 * standard_error(most), "skill was worth nothing");
}
