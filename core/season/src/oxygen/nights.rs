//! What a pond's own readings of oxygen say of the coming dawn.
//!
//! Model     two guesses, weighed by how far off each was on this pond's earlier nights: the dawns before, and the evening's last
//!           reading carried through the night by the use that earlier nights showed. What earlier nights were projected with is what
//!           was known at the same hour then
//! Units     mg/L; hours from the midnight that day 0 begins with, by the farm's clock
//! Range     ponds read at dawn, in the evening, or by a logger
//! Source    docs/model/oxygen.md: weights, spreads and what was tried, scored on two observed ponds
//! Left out  layers: on the observed ponds, telling upper from lower water made the projection no better

use pond::oxygen::{Law, warmth_of_use};

/// What is known of a night apart from readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightAir {
    /// Exchange and saturation; use and aerators are not read.
    pub law: Law,
    /// Mean water of the night, °C.
    pub water_c: f64,
}

/// How sure each guess is before this pond has shown it, and how fast old nights fade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beliefs {
    /// Mean square miss of the dawns before, (mg/L)².
    pub dawns_miss2: f64,
    /// Mean square miss of the evening's reading carried on, (mg/L)² for each hour.
    pub carried_miss2_h: f64,
    /// What the two together miss more than two that share nothing would: a factor of the mean square.
    pub shared: f64,
    /// For how many nights of this pond that counts.
    pub nights: f64,
    /// Spread of use between nights, mg/L an hour at 20 °C.
    pub use_sd: f64,
    /// Miss of one reading as the mean of its water, mg/L.
    pub reading_sd: f64,
}

impl Default for Beliefs {
    /// Measured on two small plant-filled ponds (docs/model/oxygen.md): a pond's own nights soon outweigh them.
    fn default() -> Beliefs {
        Beliefs { dawns_miss2: 2.7, carried_miss2_h: 0.37, shared: 1.5, nights: 5.0, use_sd: 0.2, reading_sd: 0.7 }
    }
}

/// What is asked of a pond's readings.
#[derive(Debug, Clone, Copy)]
pub struct Ask<'a> {
    /// Readings in order of time: hour and mg/L.
    pub readings: &'a [(f64, f64)],
    /// Nights by the day of their dawn, from day 0.
    pub nights: &'a [NightAir],
    /// The hour of dawn on each day.
    pub dawn_h: f64,
    /// The day of the dawn asked for; later readings are not looked at, nor any within two hours of it.
    pub day: usize,
    /// Use to be expected of such a pond, mg/L an hour at 20 °C.
    pub usual_use: f64,
    /// Before this pond has shown anything.
    pub beliefs: Beliefs,
}

/// What the projection rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rests {
    /// The dawns before: nothing was read this evening.
    Dawns,
    /// One reading of this evening.
    Evening,
    /// Two or more.
    Evenings,
    /// Its own nights showed that the last dawn says more: that is told.
    LastDawn,
}

/// The projected dawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Projected {
    /// Middle, mg/L.
    pub dawn_mg_l: f64,
    /// Standard deviation, mg/L.
    pub sd_mg_l: f64,
    /// What it rests on.
    pub rests: Rests,
    /// The evening's last reading: hour and mg/L.
    pub from: Option<(f64, f64)>,
    /// The last dawn that was read: its day, mg/L.
    pub last_dawn: Option<(usize, f64)>,
    /// Use expected in this night, mg/L an hour at the night's own warmth.
    pub use_mg_l_h: f64,
    /// Earlier nights of this pond that could be judged.
    pub judged: usize,
    /// On those, how far off the projection was, mg/L on average; 0 without any.
    pub missed_mg_l: f64,
    /// And how far off the dawn before would have been.
    pub dawn_before_missed_mg_l: f64,
}

/// A reading counts for a dawn within so many hours of it.
const NEAR_DAWN_H: f64 = 2.5;
/// An evening's readings: from so many hours before midnight.
const EVENING_FROM_H: f64 = 9.0;
/// Until so many hours before dawn: later it is the dawn itself.
const BEFORE_DAWN_H: f64 = 2.5;
/// Readings from so many hours before midnight on are of the dark, from which a slope is taken.
const DARK_FROM_H: f64 = 4.0;
/// Two readings closer than this say nothing of a slope, h.
const APART_H: f64 = 1.5;
/// The slope is taken over the last so many hours.
const SLOPE_H: f64 = 4.0;
/// What a new dawn moves the level of the dawns.
const NEWEST: f64 = 0.8;
/// A level of dawns older than this many days says nothing.
const STALE_DAYS: usize = 3;
/// Nights after which a use or a miss counts half.
const HALF_NIGHTS: f64 = 5.0;
/// Nights of usual use that the pond's own are added to.
const USUAL_NIGHTS: f64 = 2.0;
/// A use outside this is a bad reading, mg/L an hour at 20 °C.
const USE_RANGE: (f64, f64) = (-0.6, 1.5);
/// Own nights from which the pond may show that the last dawn says more.
const NIGHTS_TO_JUDGE: usize = 8;

/// A running mean in which old nights fade.
#[derive(Debug, Clone, Copy)]
struct Fading {
    sum: f64,
    squares: f64,
    weight: f64,
}

impl Fading {
    fn from(mean: f64, square: f64, weight: f64) -> Fading {
        Fading { sum: mean * weight, squares: square * weight, weight }
    }
    /// The first `kept` weight does not fade: it is what was believed before.
    fn push(&mut self, value: f64, before: Fading) {
        let fade = units::exp(-std::f64::consts::LN_2 / HALF_NIGHTS);
        let faded = |now: f64, before: f64| before + (now - before) * fade;
        self.sum = faded(self.sum, before.sum) + value;
        self.squares = faded(self.squares, before.squares) + value * value;
        self.weight = faded(self.weight, before.weight) + 1.0;
    }
    fn mean(&self) -> f64 {
        self.sum / self.weight
    }
    fn variance(&self) -> f64 {
        (self.squares / self.weight - self.mean() * self.mean()).max(1e-4)
    }
}

/// A sum of squared misses that begins with what was believed.
#[derive(Debug, Clone, Copy)]
struct Misses {
    squares: f64,
    absolute: f64,
    own: usize,
}

impl Misses {
    const NONE: Misses = Misses { squares: 0.0, absolute: 0.0, own: 0 };
    fn push(&mut self, miss: f64) {
        self.squares += miss * miss;
        self.absolute += miss.abs();
        self.own += 1;
    }
    fn mean_square(&self, believed: f64, nights: f64) -> f64 {
        (self.squares + believed * nights) / (self.own as f64 + nights)
    }
    fn mean_absolute(&self) -> f64 {
        self.absolute / (self.own.max(1) as f64)
    }
}

/// The coming dawn from the readings there are; `None` when none of the last days say anything.
pub fn project(ask: &Ask) -> Option<Projected> {
    let evening = |day: usize| evening_of(ask, day, f64::INFINITY);
    let tonight = evening(ask.day);
    // Earlier nights are judged by what was known at the same hour.
    let known_until_h = tonight.last().map_or(f64::INFINITY, |last| last.0 - 24.0 * ask.day as f64 + 1.0);
    let mut past = Past::new(ask);
    let first = ask.readings.first().map_or(ask.day, |read| (read.0.max(0.0) / 24.0) as usize);
    for day in first..ask.day {
        if let Some(dawn) = dawn_of(ask, day) {
            past.night(ask, day, &evening_of(ask, day, known_until_h), dawn);
        }
    }
    past.tonight(ask, &tonight)
}

/// What the nights so far showed.
struct Past {
    /// Level of the dawns and the day of the last; the last dawn as read.
    level: Option<(f64, usize, f64)>,
    usual: Fading,
    used: Fading,
    dawns: Misses,
    carried: Misses,
    both: Misses,
    before: Misses,
}

/// The two guesses of one night and what they come to.
struct Guess {
    dawns: Option<f64>,
    carried: Option<(f64, f64)>,
    use_at_20: f64,
    dawn_mg_l: f64,
    mean_square: f64,
}

impl Past {
    fn new(ask: &Ask) -> Past {
        let (mean, sd) = (ask.usual_use, ask.beliefs.use_sd);
        let usual = Fading::from(mean, mean * mean + sd * sd, USUAL_NIGHTS);
        let none = Misses::NONE;
        Past { level: None, usual, used: usual, dawns: none, carried: none, both: none, before: none }
    }

    fn guess(&self, ask: &Ask, day: usize, evening: &[(f64, f64)]) -> Option<Guess> {
        let night = ask.nights.get(day)?;
        let fresh = self.level.filter(|&(_, of, _)| day - of <= STALE_DAYS);
        let dawns = fresh.map(|(level, ..)| level);
        let use_at_20 = self.use_tonight(ask, night, evening);
        let carried = evening.last().map(|&(hour, mg_l)| {
            let hours = 24.0 * day as f64 + ask.dawn_h - hour;
            let law = Law { use_mg_l_h: use_at_20 * warmth_of_use(night.water_c), ..night.law };
            (law.after(mg_l, hours).end_mg_l, hours)
        });
        let believed = ask.beliefs;
        let of_dawns = self.dawns.mean_square(believed.dawns_miss2, believed.nights);
        let of_carried =
            carried.map(|(_, hours)| self.carried.mean_square(believed.carried_miss2_h * hours, believed.nights));
        let (dawn_mg_l, mean_square) = match (dawns, carried, of_carried) {
            (Some(dawns), Some((carried, _)), Some(of_carried)) => {
                let both = of_dawns + of_carried;
                let expected = believed.shared * of_dawns * of_carried / both;
                let told = (dawns * of_carried + carried * of_dawns) / both;
                (told, self.both.mean_square(expected, believed.nights))
            }
            (None, Some((carried, _)), Some(of_carried)) => (carried, of_carried),
            (Some(dawns), ..) => (dawns, of_dawns),
            _ => return None,
        };
        Some(Guess { dawns, carried, use_at_20, dawn_mg_l, mean_square })
    }

    /// The use expected of a night: that of earlier ones, moved by what the evening's own fall says, as far as readings can say it.
    fn use_tonight(&self, ask: &Ask, night: &NightAir, evening: &[(f64, f64)]) -> f64 {
        let expected = self.used.mean();
        let Some((slope, span_h)) = slope_of(evening) else { return expected };
        let mean = evening.last().map_or(0.0, |last| last.1);
        let law = night.law;
        let fell = law.exchange_per_h * (law.saturation_mg_l - mean) - slope;
        let shown = (fell / warmth_of_use(night.water_c)).clamp(USE_RANGE.0, USE_RANGE.1);
        let noise = ask.beliefs.reading_sd / span_h / warmth_of_use(night.water_c);
        let variance = self.used.variance();
        expected + (shown - expected) * variance / (variance + 2.0 * noise * noise)
    }

    fn night(&mut self, ask: &Ask, day: usize, evening: &[(f64, f64)], dawn: f64) {
        let guess = self.guess(ask, day, evening);
        if let Some(guess) = &guess {
            if let Some(dawns) = guess.dawns {
                self.dawns.push(dawns - dawn);
            }
            if let Some((carried, _)) = guess.carried {
                self.carried.push(carried - dawn);
                if guess.dawns.is_some() {
                    self.both.push(guess.dawn_mg_l - dawn);
                    self.before.push(self.level.map_or(0.0, |(_, _, last)| last - dawn));
                }
            }
        }
        if let (Some(&(hour, mg_l)), Some(night)) = (evening.last(), ask.nights.get(day)) {
            let hours = 24.0 * day as f64 + ask.dawn_h - hour;
            let used = night.law.use_between(mg_l, dawn, hours) / warmth_of_use(night.water_c);
            self.used.push(used.clamp(USE_RANGE.0, USE_RANGE.1), self.usual);
        }
        let level = match self.level {
            Some((level, of, _)) if day - of <= STALE_DAYS => level + NEWEST * (dawn - level),
            _ => dawn,
        };
        self.level = Some((level, day, dawn));
    }

    fn tonight(&self, ask: &Ask, evening: &[(f64, f64)]) -> Option<Projected> {
        let guess = self.guess(ask, ask.day, evening)?;
        let night = ask.nights.get(ask.day)?;
        let last_dawn = self.level.map(|(_, day, read)| (day, read));
        let mut told = Projected {
            dawn_mg_l: guess.dawn_mg_l,
            sd_mg_l: guess.mean_square.sqrt(),
            rests: match evening.len() {
                0 => Rests::Dawns,
                1 => Rests::Evening,
                _ => Rests::Evenings,
            },
            from: evening.last().copied(),
            last_dawn,
            use_mg_l_h: guess.use_at_20 * warmth_of_use(night.water_c),
            judged: self.both.own,
            missed_mg_l: self.both.mean_absolute(),
            dawn_before_missed_mg_l: self.before.mean_absolute(),
        };
        let no_skill = self.both.own >= NIGHTS_TO_JUDGE && self.both.absolute > self.before.absolute;
        if let Some((_, read)) = last_dawn.filter(|_| no_skill && guess.dawns.is_some() && guess.carried.is_some()) {
            told.dawn_mg_l = read;
            told.sd_mg_l = self.before.mean_square(ask.beliefs.dawns_miss2, ask.beliefs.nights).sqrt();
            told.rests = Rests::LastDawn;
        }
        Some(told)
    }
}

/// The reading nearest to a day's dawn.
fn dawn_of(ask: &Ask, day: usize) -> Option<f64> {
    let dawn = 24.0 * day as f64 + ask.dawn_h;
    let away = |read: &&(f64, f64)| (read.0 - dawn).abs();
    let near = ask.readings.iter().filter(|read| away(read) <= NEAR_DAWN_H);
    near.min_by(|a, b| away(a).total_cmp(&away(b))).map(|read| read.1)
}

/// The evening's readings before a day's dawn, up to so many hours after midnight.
fn evening_of(ask: &Ask, day: usize, until_h: f64) -> Vec<(f64, f64)> {
    let midnight = 24.0 * day as f64;
    let last = midnight + until_h.min(ask.dawn_h - BEFORE_DAWN_H);
    ask.readings.iter().copied().filter(|read| read.0 >= midnight - EVENING_FROM_H && read.0 < last).collect()
}

/// The evening's fall in the dark, mg/L an hour (the middle of all pairs, which one bad reading does not move), and over how long.
fn slope_of(evening: &[(f64, f64)]) -> Option<(f64, f64)> {
    let last = evening.last()?.0;
    let midnight = 24.0 * ((last + EVENING_FROM_H) / 24.0).floor();
    let dark: Vec<(f64, f64)> =
        evening.iter().copied().filter(|read| read.0 >= (midnight - DARK_FROM_H).max(last - SLOPE_H)).collect();
    let span_h = last - dark.first()?.0;
    let pairs = dark.iter().enumerate().flat_map(|(i, a)| dark[i + 1..].iter().map(move |b| (*a, *b)));
    let mut slopes: Vec<f64> =
        pairs.filter(|(a, b)| b.0 - a.0 >= APART_H).map(|(a, b)| (b.1 - a.1) / (b.0 - a.0)).collect();
    slopes.sort_by(f64::total_cmp);
    let middle = slopes.len() / 2;
    slopes.get(middle).map(|&slope| (slope, span_h))
}

#[cfg(test)]
mod tests;
