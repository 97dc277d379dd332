//! The rule against problems whose value is known.

mod toys;

use chance::{Purpose, Stream};
use plan::recourse::{
    Board, FirstMove, FitSettings, Opening, SignalKind, Signals, Waiting, clairvoyant, fit, fixed, value,
};
use toys::grid::Grid;
use toys::{Autumn, Morning, mean, standard_error};

/// One pond that can be caught on any morning, at once.
fn stopping(mornings: usize) -> Board {
    let opening = |morning| Opening { pond: 0, morning, start_hour: 0, catch_day: morning, takes: Vec::new() };
    Board {
        ponds: 1,
        mornings,
        openings: (0..mornings).map(opening).collect(),
        room: Vec::new(),
        taken: Vec::new(),
        full: vec![0],
        order: vec![0],
        window: 6,
    }
}

fn best(first: &[FirstMove]) -> &FirstMove {
    first.iter().max_by(|a, b| mean(&a.worth).total_cmp(&mean(&b.worth))).expect("a move exists")
}

/// Fits to `fitted` members and returns the worths on `fresh` others. `draw` makes a member's signal and worth by morning.
fn learned(
    mornings: usize,
    marks: &[f64],
    fitted: usize,
    fresh: usize,
    settings: &FitSettings,
    draw: impl Fn(u32) -> Vec<(f64, f64)>,
) -> Vec<f64> {
    let board = stopping(mornings);
    let lattice = board.lattice();
    let table = |from: usize, n: usize| {
        let kind = SignalKind { key: "state".to_string(), pond: None, marks: marks.to_vec() };
        let mut signals = Signals::new(vec![kind], mornings, n);
        let mut worth = vec![0.0; mornings * n];
        for member in 0..n {
            for (morning, (signal, brings)) in draw((from + member) as u32).into_iter().enumerate() {
                signals.of_mut(morning, 0)[member] = signal;
                worth[morning * n + member] = brings;
            }
        }
        (signals, worth)
    };
    let (signals, worth) = table(0, fitted);
    let fold = vec![0; fitted];
    let waiting = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let rule = fit(&waiting, &lattice, None, settings).rules.remove(0);
    let (signals, worth) = table(fitted, fresh);
    let fold = vec![0; fresh];
    let waiting = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    best(&value(&waiting, &lattice, &rule).first).worth.clone()
}

fn alone() -> FitSettings {
    FitSettings { folds: 1, keep: 0.0, leash: 1e-3 }
}

#[test]
fn moser_is_reached_on_fresh_draws() {
    // Moser (1956), Scripta Mathematica 22, 289-292: v(1) = 1/2, v(n+1) = (1 + v(n)^2) / 2.
    // The first offer is seen only after the first morning here, so that all members share the first morning.
    for (offers, expected) in [(1, 0.5), (2, 0.625), (3, 0.6953), (4, 0.7417), (5, 0.7751)] {
        let draw = |member: u32| {
            let mut stream = Stream::new(3, member, Purpose(1));
            let mut mornings = vec![(0.0, -1.0)];
            mornings.extend((0..offers).map(|_| {
                let offer = stream.uniform();
                (offer, offer)
            }));
            mornings
        };
        let worth = learned(offers + 1, &[], 4000, 40_000, &alone(), draw);
        let (got, error) = (mean(&worth), standard_error(&worth));
        assert!((got - expected).abs() < 3.0 * error, "{offers} offers: {got} +- {error} against {expected}");
    }
}

#[test]
fn american_puts_of_longstaff_and_schwartz() {
    // Longstaff & Schwartz (2001), table 1, finite differences: strike 40, rate 6 %, 50 exercise days a year (memory).
    for (spot, sigma, years, expected) in [
        (36.0, 0.2, 1, 4.478),
        (36.0, 0.4, 1, 7.101),
        (40.0, 0.2, 1, 2.314),
        (40.0, 0.4, 2, 6.920),
        (44.0, 0.2, 2, 1.690),
    ] {
        let (strike, rate, steps) = (40.0, 0.06, 50 * years as usize);
        let dt: f64 = 1.0 / 50.0;
        let draw = |member: u32| {
            // Pairs of members mirror each other: half the noise for the same draws.
            let mut stream = Stream::new(17, member / 2, Purpose(2));
            let sign = if member.is_multiple_of(2) { 1.0 } else { -1.0 };
            let mut price: f64 = spot;
            (0..=steps)
                .map(|step| {
                    if step > 0 {
                        let z = sign * stream.normal();
                        price *= units::exp((rate - 0.5 * sigma * sigma) * dt + sigma * dt.sqrt() * z);
                    }
                    (price, units::exp(-rate * dt * step as f64) * (strike - price).max(0.0))
                })
                .collect()
        };
        let marks: Vec<f64> = [0.75, 0.85, 0.9, 0.95, 1.0, 1.1].iter().map(|share| share * strike).collect();
        let worth = learned(steps + 1, &marks, 8000, 20_000, &alone(), draw);
        let pairs: Vec<f64> = worth.chunks_exact(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
        let (got, error) = (mean(&pairs), standard_error(&pairs));
        assert!((got - expected).abs() < 3.0 * error, "{spot} {sigma} {years}: {got} +- {error} against {expected}");
    }
}

/// The figures of one toy: exact, rule on fresh draws, fixed, clairvoyant, ceiling, and the errors of those that have one.
struct Row {
    exact: f64,
    rule: Vec<f64>,
    fixed: Vec<f64>,
    clairvoyant: Vec<f64>,
    ceiling: Vec<f64>,
}

fn markov(autumn: &Autumn, exact: f64, fitted: usize, fresh: usize) -> Row {
    let now = Morning { day: 0, anomaly: 0.0, ahead: [0.0; toys::REACH], past_c: Vec::new() };
    let full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let board = autumn.board(0, &full, &[]);
    let lattice = board.lattice();
    let (worth, signals) = autumn.members(&now, &board, fitted, 5, 1);
    let fold: Vec<u32> = (0..fitted as u32).collect();
    let waiting = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let rule = fit(&waiting, &lattice, None, &FitSettings { folds: 1, ..FitSettings::default() }).rules.remove(0);
    let dates = fixed(&waiting, &lattice, &vec![1.0; fitted]).openings;
    let (worth, signals) = autumn.members(&now, &board, fresh, 6, 1);
    let fold: Vec<u32> = (0..fresh as u32).collect();
    let waiting = Waiting { board: &board, worth: &worth, signals: &signals, fold: &fold, guard: None };
    let valued = value(&waiting, &lattice, &rule);
    let at = |o: usize, member: usize| worth[o * fresh + member];
    Row {
        exact,
        rule: best(&valued.first).worth.clone(),
        fixed: (0..fresh).map(|member| dates.iter().map(|&o| at(o, member)).sum()).collect(),
        clairvoyant: clairvoyant(&waiting, &lattice),
        ceiling: plan::ceiling(&waiting, &lattice, &valued),
    }
}

impl Row {
    fn say(&self, name: &str) -> String {
        let of = |v: &[f64]| format!("{:.4} +- {:.4}", mean(v), standard_error(v));
        format!(
            "{name}: fixed {}, rule {}, exact {:.4}, ceiling {}, clairvoyant {}",
            of(&self.fixed),
            of(&self.rule),
            self.exact,
            of(&self.ceiling),
            of(&self.clairvoyant)
        )
    }

    /// Floor <= rule <= exact <= ceiling <= clairvoyant within three standard errors, and the rule near the exact value.
    fn holds(&self, name: &str, share_least: f64) {
        let said = self.say(name);
        let error = |v: &[f64]| 3.0 * standard_error(v);
        assert!(mean(&self.fixed) <= mean(&self.rule) + error(&self.rule), "{said}");
        assert!(mean(&self.rule) <= self.exact + error(&self.rule), "{said}");
        assert!(self.exact <= mean(&self.ceiling) + error(&self.ceiling), "{said}");
        assert!(mean(&self.ceiling) <= mean(&self.clairvoyant) + error(&self.clairvoyant), "{said}");
        let share = (mean(&self.rule) - mean(&self.fixed)) / (self.exact - mean(&self.fixed));
        assert!(share >= share_least, "{said}: share {share:.3}");
    }
}

fn blind(autumn: Autumn) -> Autumn {
    let mut known = [0.0; toys::REACH + 1];
    known[0] = 1.0;
    Autumn { known, growth_sd: 0.0, shift_sd_c: 0.0, ..autumn }
}

#[test]
fn a_markov_pond_solved_on_a_grid() {
    for (name, crash) in [("soft", false), ("crash", true)] {
        let autumn = blind(Autumn { crash, ..Autumn::one(1) });
        let exact = Grid::new(&autumn).one(0.0);
        // 300 members, as on a farm's morning; what they lack against the exact value is the price of so few.
        let row = markov(&autumn, exact, 4000, 16_000);
        row.holds(name, 0.9);
    }
}

#[test]
fn two_markov_ponds_with_one_catch_a_day() {
    let pond = |worth, lead| toys::ToyPond { worth, lead, offset_c: 0.0 };
    for (name, crash) in [("soft", false), ("crash", true)] {
        let ponds = vec![pond(1.0, 1), pond(0.7, 2)];
        let autumn = blind(Autumn { ponds, crash, ..Autumn::four() });
        let exact = Grid::new(&autumn).two(0.0);
        let row = markov(&autumn, exact, 4000, 16_000);
        row.holds(name, 0.85);
    }
}
