//! This morning's water and wind as a pond's own thermometer readings leave them.
//!
//! Made anew from the facts each time: a reading that comes late or is mended later stands where it would have stood, and the
//! answer is the same to the bit as if it had been there all along.

use ensemble::{AirSource, carry};
use farm::{AlongPond, PondCard, Reading};
use pond::{Air, Schedule, Stage, Water};
use units::{Day, SECONDS_PER_HOUR};
use weather::Climate;

use crate::answer::{Band, ReadingMet, TaughtBy};
use crate::learn::{Doubt, Expected, LEARNERS, Learner, Seen};
use crate::lived::{ground, schedule};
use crate::outlook::MorningAsk;
use crate::ponds::PondModel;

/// Longest run of days whose readings teach. Wind and plants change with the season, and older water is forgotten.
const DAYS_MOST: i32 = 21;
/// Days before the first reading from which the members part, so that their winds show in their water.
const DAYS_BEFORE: i32 = 4;

/// The first midnight from which members are carried; `None` when no reading can teach.
pub fn begins(card: &PondCard, ask: &MorningAsk) -> Option<Day> {
    let day = |reading: &Reading| ask.past.place.standard_day(reading.at).0;
    let can = |day: Day| ask.on.plus(-DAYS_MOST) <= day && day <= ask.on && card.stocking.on <= day;
    let first = card.readings.iter().map(day).filter(|day| can(*day)).min()?;
    Some(first.plus(-DAYS_BEFORE).max(card.stocking.on))
}

/// What the readings have taught.
#[derive(Debug, Clone)]
pub struct Taught {
    /// States at this midnight, each with its own wind and sun factor.
    pub states: Vec<Water<f64>>,
    /// Their mean.
    pub mean: Water<f64>,
    /// What each reading met, with the reading.
    pub met: Vec<(Reading, Expected)>,
}

impl Taught {
    /// The state a member of the plan begins from.
    pub fn of_member(&self, member: usize) -> &Water<f64> {
        &self.states[member % self.states.len()]
    }

    /// As a person is told of it.
    pub fn told(&self, wind_said: f64) -> TaughtBy {
        let met = self.met.iter().map(|(reading, expected)| ReadingMet {
            at: reading.at,
            depth_m: reading.depth_m,
            read_c: reading.temp_c,
            expected_c: expected.mean_c,
            sd_c: expected.sd_c,
        });
        let winds = self.states.iter().map(|state| state.wind_factor).collect();
        TaughtBy { met: met.collect(), wind_said, wind: Band::of(winds) }
    }
}

/// Teaches the members of a pond from its water at the midnight of `first` to this morning, under the air since then. `coming` is the air of the members of the plan
/// from this midnight on: a reading of this very morning is held against water run on to its hour.
pub fn teach(
    ask: &MorningAsk,
    climate: &Climate,
    (index, card, model): (usize, &PondCard, &PondModel),
    (first, (water, air)): (Day, &(Water<f64>, Vec<Air<f64>>)),
    coming: &dyn AirSource,
) -> Taught {
    let ground = ground(climate, model);
    let days = (ask.on.0 - first.0) as usize;
    // Without a day behind it there is nothing to carry; the schedule still gives the stage of this midnight.
    let behind = schedule(card, model, &ground, first, days.max(1));
    let wind = (card.wind_factor.median, card.wind_factor.sd_log);
    let own = (ask.past.seed, index, first.0);
    let mut learner = Learner::new(&model.basin, &behind, water, wind, Doubt::lent(), own);
    let mut readings: Vec<&Reading> =
        card.readings.iter().filter(|reading| ask.past.place.standard_day(reading.at).0 <= ask.on).collect();
    // By time and place, whatever the order they were typed in.
    readings.sort_by(|a, b| (a.at, a.place as u8).cmp(&(b.at, b.place as u8)).then(a.depth_m.total_cmp(&b.depth_m)));
    let start = ask.past.place.day_start(first);
    let today = schedule(card, model, &ground, ask.on, 2);
    let mut met = Vec::new();
    for reading in readings {
        let since_s = reading.at.0 - start.0;
        if since_s < 0 {
            continue;
        }
        let hour = ((since_s + SECONDS_PER_HOUR / 2) / SECONDS_PER_HOUR) as usize;
        let stage = if hour < 24 * days { behind.stage(hour) } else { today.stage(hour - 24 * days) };
        let seen =
            Seen { hour, column: column(stage, reading.place), depth_m: reading.depth_m, temp_c: reading.temp_c };
        if hour <= 24 * days {
            learner.carry_to(hour, air);
            learner.read(seen);
        } else {
            learner.carry_to(24 * days, air);
            let there = later(&learner, model, &today, coming, hour - 24 * days, &seen);
            learner.learn(seen, &there);
        }
        met.push((reading.clone(), *learner.met.last().expect("a reading was just taken in")));
    }
    learner.carry_to(24 * days, air);
    Taught { mean: learner.mean(), states: learner.states().to_vec(), met }
}

/// What each member would meet at a reading's place some hours after this midnight.
fn later(
    learner: &Learner<'_>,
    model: &PondModel,
    today: &Schedule,
    coming: &dyn AirSource,
    hours: usize,
    seen: &Seen,
) -> Vec<f64> {
    let mut states = learner.states().to_vec();
    carry(&model.basin, today, &OfLearners(coming), (0, hours), &mut states);
    let stage = today.stage(hours);
    states.iter().map(|state| state.at_depth(stage, seen.column, seen.depth_m)).collect()
}

/// The first members' air for as many as learn; fewer members repeat the last.
struct OfLearners<'a>(&'a dyn AirSource);

impl AirSource for OfLearners<'_> {
    fn members(&self) -> usize {
        LEARNERS
    }
    fn air(&self, first: usize, hour: usize) -> Air<units::Lanes> {
        self.0.air(first.min(self.0.members() - 1), hour)
    }
}

/// The column of a place; the nearest wet one toward the drain when that is dry.
fn column(stage: &Stage, place: AlongPond) -> usize {
    let columns = stage.columns();
    let own = match place {
        AlongPond::Deep => columns - 1,
        AlongPond::Middle => columns / 2,
        AlongPond::Shallow => 0,
    };
    (own..columns).find(|&column| stage.cells(column) > 0).unwrap_or(columns - 1)
}
