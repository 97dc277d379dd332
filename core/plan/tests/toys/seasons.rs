//! Whole made-up autumns lived morning by morning under a policy, with what is hidden kept hidden.

use chance::{Purpose, Stream};
use plan::recourse::{Board, Signals, Waiting, clairvoyant};

use super::{Autumn, Crop, Morning};

/// What a policy does on a morning: the openings to start, of the board that begins that day. The number seeds its draws.
pub type Policy<'a> = &'a dyn Fn(&Morning, &Board, u64) -> Vec<usize>;

struct Truth {
    stream: Stream,
    now: Morning,
    crop: Crop,
}

impl Truth {
    fn new(autumn: &Autumn, season: u64) -> Truth {
        let mut stream = Stream::new(77, season as u32, Purpose(1));
        let growth = units::exp(autumn.growth_sd * stream.normal());
        let shift_c = autumn.shift_sd_c * stream.normal();
        let now = autumn.start(&mut stream);
        Truth { stream, now, crop: Crop::new(autumn, growth, shift_c) }
    }

    fn next_day(&mut self, autumn: &Autumn) {
        self.now = autumn.step(&self.now, &mut self.stream);
        self.crop.day(autumn, *self.now.past_c.last().expect("a day has passed"));
    }

    fn worth(&self, autumn: &Autumn, pond: usize) -> f64 {
        autumn.ponds[pond].worth * self.crop.grown * self.crop.alive[pond]
    }
}

/// What a season brings under a policy that decides anew every morning.
pub fn season(autumn: &Autumn, season: u64, policy: Policy) -> f64 {
    let mut truth = Truth::new(autumn, season);
    let mut full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let mut caught: Vec<(usize, usize)> = Vec::new();
    let mut total = 0.0;
    for day in 0..autumn.days {
        total += caught.iter().filter(|c| c.1 == day).map(|c| truth.worth(autumn, c.0)).sum::<f64>();
        if !full.is_empty() {
            let days: Vec<usize> = caught.iter().map(|c| c.1).collect();
            let board = autumn.board(day, &full, &days);
            for opening in policy(&truth.now, &board, season * 100 + day as u64) {
                let opening = &board.openings[opening];
                full.retain(|&pond| pond != opening.pond);
                caught.push((opening.pond, day + opening.catch_day));
            }
        }
        truth.next_day(autumn);
    }
    total
}

/// What a clairvoyant makes of a season, hidden values and all.
pub fn foreseen(autumn: &Autumn, season: u64) -> f64 {
    let full: Vec<usize> = (0..autumn.ponds.len()).collect();
    let board = autumn.board(0, &full, &[]);
    let mut truth = Truth::new(autumn, season);
    let mut by_day = Vec::new();
    for _ in 0..autumn.days {
        by_day.push(full.iter().map(|&pond| truth.worth(autumn, pond)).collect::<Vec<_>>());
        truth.next_day(autumn);
    }
    let worth: Vec<f64> = board.openings.iter().map(|o| by_day[o.catch_day][o.pond]).collect();
    let signals = Signals::new(Autumn::signal_kinds(), board.mornings, 1);
    let waiting = Waiting { board: &board, worth: &worth, signals: &signals, fold: &[0], guard: None };
    clairvoyant(&waiting, &board.lattice())[0]
}

/// Members whose first mornings are drawn from the climate, to learn from before the season.
pub fn from_climate(autumn: &Autumn, board: &Board, n: usize) -> (Vec<f64>, Signals) {
    let mut worth = vec![0.0; board.openings.len() * n];
    let mut signals = Signals::new(Autumn::signal_kinds(), board.mornings, n);
    for member in 0..n {
        let now = autumn.start(&mut Stream::new(5, member as u32, Purpose(2)));
        let (own, told) = autumn.members(&now, board, 1, 100_000 + member as u64, 3);
        own.iter().enumerate().for_each(|(o, &own)| worth[o * n + member] = own);
        for day in 0..board.mornings {
            (0..told.kinds().len()).for_each(|kind| signals.of_mut(day, kind)[member] = told.of(day, kind)[0]);
        }
    }
    (worth, signals)
}
