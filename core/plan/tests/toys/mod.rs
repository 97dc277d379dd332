//! Made-up autumns on which waiting can be valued: an AR(1) water anomaly with forecasts that are true conditional means.
//!
//! A day's shock is a sum of parts, each revealed at its own lead, so the forecast of any later day is the conditional mean
//! of the truth, its revisions are a martingale, and what is left to learn can be drawn exactly from any morning on.

#![allow(dead_code)]

pub mod grid;
pub mod seasons;

use chance::{Purpose, Stream};
use plan::recourse::{Board, Opening, SignalKind, Signals};
use plan::{Grid, Limits, PondLimits, Tables, Way};

/// Days a forecast reaches.
pub const REACH: usize = 10;

/// One made-up farm and climate.
#[derive(Clone)]
pub struct Autumn {
    pub days: usize,
    /// Lag-1 correlation and sd of the water's anomaly.
    pub memory: f64,
    pub sd_c: f64,
    /// Share of a shock's variance known `k` days ahead, k = 0..=REACH; entry 0 is 1.
    pub known: [f64; REACH + 1],
    pub ponds: Vec<ToyPond>,
    pub catches_per_day: f64,
    /// Of seven days, the first so many can have a catch.
    pub open_days_of_seven: usize,
    /// Sd of the hidden growth factor (log) and of the hidden cold shift (degrees C).
    pub growth_sd: f64,
    pub shift_sd_c: f64,
    /// Step loss (crash below the mark, all at once) instead of a soft dose.
    pub crash: bool,
}

#[derive(Clone)]
pub struct ToyPond {
    pub worth: f64,
    pub lead: usize,
    pub offset_c: f64,
}

impl Autumn {
    /// Four ponds, sixty days, one catch a day, leads of one to three days.
    pub fn four() -> Autumn {
        let pond = |worth, lead, offset_c| ToyPond { worth, lead, offset_c };
        Autumn {
            days: 60,
            memory: 0.75,
            sd_c: 2.2,
            known: skill(4.0),
            ponds: vec![pond(45.0, 2, -0.3), pond(60.0, 1, 0.0), pond(85.0, 3, 0.2), pond(120.0, 3, 0.1)],
            catches_per_day: 1.0,
            open_days_of_seven: 7,
            growth_sd: 0.06,
            shift_sd_c: 0.9,
            crash: false,
        }
    }
    /// One pond of worth 1 with a lead of `lead` days and nothing hidden.
    pub fn one(lead: usize) -> Autumn {
        let ponds = vec![ToyPond { worth: 1.0, lead, offset_c: 0.0 }];
        Autumn { ponds, growth_sd: 0.0, shift_sd_c: 0.0, ..Autumn::four() }
    }
    pub fn climate_c(&self, day: usize) -> f64 {
        26.5 - 0.15 * day as f64
    }
    pub fn shock_sd(&self) -> f64 {
        self.sd_c * (1.0 - self.memory * self.memory).sqrt()
    }
    /// Growth of the worth over a day: 1.4 % at first, 0.3 % at the end.
    pub fn growth(&self, day: usize) -> f64 {
        0.014 - 0.011 * day as f64 / self.days as f64
    }
    /// Share of the animals that a dawn at this temperature takes.
    pub fn taken(&self, water_c: f64) -> f64 {
        if self.crash {
            return if water_c < 15.0 { 0.9 } else { 0.0 };
        }
        let below = (17.0 - water_c).max(0.0) / 5.0;
        (below * below).min(1.0)
    }
}

impl Autumn {
    /// Share taken by a dawn that is forecast at `centre_c` with error `sd_c`: what a forecaster would expect.
    fn expected_taken(&self, centre_c: f64, sd_c: f64) -> f64 {
        let nodes = [-1.96, -1.28, -0.84, -0.52, -0.25, 0.0, 0.25, 0.52, 0.84, 1.28, 1.96];
        nodes.iter().map(|z| self.taken(centre_c + z * sd_c)).sum::<f64>() / nodes.len() as f64
    }
}

/// Share of a shock's variance known at each lead when what is known fades over `reach_days`.
pub fn skill(reach_days: f64) -> [f64; REACH + 1] {
    let mut known = [0.0; REACH + 1];
    for (k, share) in known.iter_mut().enumerate() {
        *share = if k == 0 { 1.0 } else { units::exp(-(k as f64) / reach_days) };
    }
    known
}

/// What is known on a morning: the anomaly today and the known part of the shocks of the next days.
#[derive(Clone)]
pub struct Morning {
    pub day: usize,
    pub anomaly: f64,
    /// Known part of the shock of day + 1 + i.
    pub ahead: [f64; REACH],
    /// The water of the mornings before: what a member with its own hidden values makes its animals of.
    pub past_c: Vec<f64>,
}

/// What has become of the animals.
pub struct Crop {
    day: usize,
    growth: f64,
    shift_c: f64,
    pub grown: f64,
    pub alive: Vec<f64>,
}

impl Crop {
    pub fn new(autumn: &Autumn, growth: f64, shift_c: f64) -> Crop {
        Crop { day: 0, growth, shift_c, grown: 1.0, alive: vec![1.0; autumn.ponds.len()] }
    }
    /// Lives through the dawn of the next day.
    pub fn day(&mut self, autumn: &Autumn, water_c: f64) {
        self.grown *= 1.0 + self.growth * autumn.growth(self.day);
        self.day += 1;
        for (alive, pond) in self.alive.iter_mut().zip(&autumn.ponds) {
            *alive *= 1.0 - autumn.taken(water_c + pond.offset_c - self.shift_c);
        }
    }
}

impl Autumn {
    /// A first morning drawn from the climate.
    pub fn start(&self, stream: &mut Stream) -> Morning {
        let mut ahead = [0.0; REACH];
        for (i, part) in ahead.iter_mut().enumerate() {
            *part = self.shock_sd() * self.known[i + 1].sqrt() * stream.normal();
        }
        let anomaly = self.sd_c * stream.normal();
        Morning { day: 0, anomaly, ahead, past_c: Vec::new() }
    }

    /// The next morning, with what it reveals.
    pub fn step(&self, now: &Morning, stream: &mut Stream) -> Morning {
        let s = self.shock_sd();
        let mut next = now.clone();
        next.day += 1;
        // Each later day's shock gains the part revealed at one lead less.
        for lead in 0..=REACH {
            let more = if lead < REACH { self.known[lead] - self.known[lead + 1] } else { self.known[REACH] };
            let part = s * more.max(0.0).sqrt() * stream.normal();
            let before = if lead < REACH { now.ahead[lead] } else { 0.0 };
            if lead == 0 {
                next.anomaly = self.memory * now.anomaly + before + part;
            } else {
                next.ahead[lead - 1] = before + part;
            }
        }
        next.past_c.push(self.climate_c(next.day) + next.anomaly);
        next
    }

    /// Forecast anomalies of the next `REACH` days.
    pub fn forecast(&self, now: &Morning) -> [f64; REACH] {
        let mut out = [0.0; REACH];
        let mut a = now.anomaly;
        for (i, value) in out.iter_mut().enumerate() {
            a = self.memory * a + now.ahead[i];
            *value = a;
        }
        out
    }

    pub fn signal_kinds() -> Vec<SignalKind> {
        let kind = |key: &str, marks: &[f64]| SignalKind { key: key.to_string(), pond: None, marks: marks.to_vec() };
        vec![
            kind("water_now", &[18.0]),
            kind("low_1_3", &[20.0, 18.0, 16.0]),
            kind("mean_1_3", &[]),
            kind("low_4_10", &[19.0, 17.0]),
            kind("mean_4_10", &[]),
            kind("loss_1_4", &[]),
            kind("loss_1_10", &[]),
        ]
    }

    fn write_signals(&self, now: &Morning, signals: &mut Signals, day: usize, member: usize) {
        let forecast = self.forecast(now);
        let at = |i: usize| self.climate_c(now.day + 1 + i) + forecast[i];
        let low = |from: usize, to: usize| (from..to).map(at).fold(f64::INFINITY, f64::min);
        let mean = |from: usize, to: usize| (from..to).map(at).sum::<f64>() / (to - from) as f64;
        let loss = |to: usize| {
            let (mut var, mut kept) = (0.0, 1.0);
            for i in 0..to {
                var = self.memory * self.memory * var + self.shock_sd() * self.shock_sd() * (1.0 - self.known[i + 1]);
                kept *= 1.0 - self.expected_taken(at(i), (var + self.shift_sd_c * self.shift_sd_c).sqrt());
            }
            1.0 - kept
        };
        let values = [
            self.climate_c(now.day) + now.anomaly,
            low(0, 3),
            mean(0, 3),
            low(3, REACH),
            mean(3, REACH),
            loss(4),
            loss(10),
        ];
        for (kind, value) in values.into_iter().enumerate() {
            signals.of_mut(day, kind)[member] = value;
        }
    }

    /// Openings from `from_day` on: any pond any morning that leaves time, one catch a day.
    pub fn board(&self, from_day: usize, full: &[usize], taken_days: &[usize]) -> Board {
        let mornings = self.days - from_day;
        let mut openings = Vec::new();
        for &pond in full {
            for morning in 0..mornings {
                let catch_day = morning + self.ponds[pond].lead;
                if catch_day < mornings && (from_day + catch_day) % 7 < self.open_days_of_seven {
                    let takes = vec![(catch_day as u32, 1.0)];
                    openings.push(Opening { pond, morning, start_hour: 24 * morning as i32 + 8, catch_day, takes });
                }
            }
        }
        Board {
            ponds: self.ponds.len(),
            mornings,
            openings,
            room: vec![self.catches_per_day; mornings],
            taken: taken_days.iter().filter(|&&d| d >= from_day).map(|&d| ((d - from_day) as u32, 1.0)).collect(),
            full: full.to_vec(),
            order: (0..self.ponds.len()).collect(),
            window: 6,
        }
    }

    /// Members drawn from what is known `now`: worth by opening and member, and their signals by morning.
    pub fn members(&self, now: &Morning, board: &Board, n: usize, seed: u64, stream_of: u32) -> (Vec<f64>, Signals) {
        let mut signals = Signals::new(Autumn::signal_kinds(), board.mornings, n);
        let mut by_day = vec![0.0; self.ponds.len() * board.mornings * n];
        for member in 0..n {
            let mut stream = Stream::new(seed, member as u32, Purpose(stream_of));
            let growth = units::exp(self.growth_sd * stream.normal());
            let shift = self.shift_sd_c * stream.normal();
            let mut morning = now.clone();
            let mut crop = Crop::new(self, growth, shift);
            morning.past_c.drain(..).for_each(|water| crop.day(self, water));
            for day in 0..board.mornings {
                self.write_signals(&morning, &mut signals, day, member);
                for pond in 0..self.ponds.len() {
                    let worth = self.ponds[pond].worth * crop.grown * crop.alive[pond];
                    by_day[(pond * board.mornings + day) * n + member] = worth;
                }
                morning = self.step(&morning, &mut stream);
                morning.past_c.drain(..).for_each(|water| crop.day(self, water));
            }
        }
        let mut worth = Vec::with_capacity(board.openings.len() * n);
        for opening in &board.openings {
            let from = (opening.pond * board.mornings + opening.catch_day) * n;
            worth.extend_from_slice(&by_day[from..from + n]);
        }
        (worth, signals)
    }
}

/// Dawn water below which a toy's pond has crossed the cold mark.
pub const MARK_C: f64 = 15.6;

impl Autumn {
    /// The same members as the tables and limits that `decide` takes, in coins, with the hour of every morning at six.
    pub fn tables(&self, now: &Morning, n: usize, seed: u64) -> (Tables, Signals, Limits) {
        let ponds = self.ponds.len();
        let days = self.days - now.day;
        let mut worth = Grid::filled(ponds, days, n, 0.0);
        let mut cold_loss = worth.clone();
        let mut loss_fraction = worth.clone();
        let mut crossing = Grid::filled(ponds, days, n, false);
        let mut signals = Signals::new(Autumn::signal_kinds(), days, n);
        for member in 0..n {
            let mut stream = Stream::new(seed, member as u32, Purpose(9));
            let growth = units::exp(self.growth_sd * stream.normal());
            let shift = self.shift_sd_c * stream.normal();
            let mut morning = now.clone();
            let mut crop = Crop::new(self, growth, shift);
            morning.past_c.drain(..).for_each(|water| crop.day(self, water));
            for day in 0..days {
                self.write_signals(&morning, &mut signals, day, member);
                let water = self.climate_c(morning.day) + morning.anomaly;
                for (pond, what) in self.ponds.iter().enumerate() {
                    let whole = 1000.0 * what.worth * crop.grown;
                    worth.of_mut(pond, day)[member] = whole * crop.alive[pond];
                    cold_loss.of_mut(pond, day)[member] = whole * (1.0 - crop.alive[pond]);
                    loss_fraction.of_mut(pond, day)[member] = 1.0 - crop.alive[pond];
                    let before = day > 0 && crossing.at(pond, day - 1, member);
                    crossing.of_mut(pond, day)[member] = before || water + what.offset_c < MARK_C;
                }
                morning = self.step(&morning, &mut stream);
                morning.past_c.drain(..).for_each(|water| crop.day(self, water));
            }
        }
        let pounds = Grid::filled(ponds, days, 1, 500.0);
        let tables = Tables {
            ponds,
            parts: vec![None; ponds],
            worth,
            cold_loss,
            loss_fraction,
            crossing,
            pounds_lb: [Grid::filled(ponds, days, 1, 0.0), pounds, Grid::filled(ponds, days, 1, 0.0)],
            extra_hand_hours: None,
        };
        (tables, signals, self.limits(days))
    }

    /// One catch a day, each pond by its own drain, mornings at six.
    pub fn limits(&self, days: usize) -> Limits {
        let pond = |pond: &ToyPond| PondLimits {
            ways: vec![Way { lead_hours: 24 * pond.lead as i32, ..Way::default() }],
            catch_hours: 6.0,
            ..PondLimits::default()
        };
        let ponds = self.ponds.iter().map(pond).collect();
        Limits { now_hour: 6, catches_per_day: Some(self.catches_per_day as u32), ..Limits::open(days, ponds) }
    }
}

pub fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

pub fn standard_error(values: &[f64]) -> f64 {
    let m = mean(values);
    let n = values.len() as f64;
    (values.iter().map(|v| (v - m) * (v - m)).sum::<f64>() / (n - 1.0) / n).sqrt()
}
