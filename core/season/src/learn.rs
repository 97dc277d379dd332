//! What thermometer readings teach of a pond: its water, the top of its floor, and how much of the station's wind it gets.
//!
//! Model     an ensemble of whole pond states, each with a wind and a sun factor of its own, carried by the hour kernel; each
//!           reading moves all of them by a serial square-root update, which draws in their spread without fresh luck
//! Units     °C, K, h; factors without unit
//! Range     readings of a thermometer in the water, one at a time, in any number
//! Source    Whitaker & Hamill 2002, Mon. Weather Rev. 130, 1913-1924, equations 10 to 13 (form from memory; held against the Kalman
//!           solution in the tests); taper along the pond after Gaspari & Cohn 1999, equation 4.10 (memory)
//! Left out  oxygen; a learnt factor for plants; readings taken by a drifting instrument
//!
//! A reading cannot be more trusted than the model's own faults allow, so those are drawn too: the doubt of each day's air, and a
//! drift of the whole water that the kernel does not explain ([`Doubt`]). Readings on the morning itself, later than the midnight
//! from which the season is run on, move that midnight's state by how the two hang together over the members.

use chance::{Purpose, Stream};
use ensemble::{AirSource, carry};
use pond::{Air, Basin, LAYERS, Schedule, Stage, Water};
use units::{LANES, Lanes, Real};

const FACTORS: Purpose = Purpose(0x5EA5_0500);
const DAYS: Purpose = Purpose(0x5EA5_0600);

/// Members that learn: three rows of lanes.
pub const LEARNERS: usize = 3 * LANES;
/// Layers of the floor that a reading moves: the upper two (0.12 m), which follow the water within days.
const FLOOR_MOVED: usize = 2;
/// Factors stay within what sheltered and open waters have (docs/model/readings.md).
const WIND_LEAST_MOST: (f64, f64) = (0.15, 2.5);
const SUN_LEAST_MOST: (f64, f64) = (0.6, 1.3);
/// A difference greater than this moves the water no further, K; greater ones are likely misread, and are told.
const WATER_MOST_K: f64 = 6.0;
/// A difference of more than this many deviations teaches the factors no more: one misreading must not make a calm pond windy.
const FACTORS_MOST_SD: f64 = 2.5;

/// How wrong the air, the thermometer and the kernel are, each as a standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// Of a reading as a figure of the water around it, K.
    pub reading_k: f64,
    /// Of a day's air temperature, K.
    pub air_k: f64,
    /// Of a day's longwave, W/m².
    pub longwave_w_m2: f64,
    /// Of the logarithm of a day's wind.
    pub wind_log: f64,
    /// Of the logarithm of a day's sun.
    pub sun_log: f64,
    /// Of the water's own drift in a day that nothing modelled explains, K.
    pub drift_k: f64,
    /// Of the logarithm of the pond's sun factor.
    pub sun_factor_log: f64,
}

impl Doubt {
    /// Hours measured at a station near by. Reading, air and longwave as tried in the reference trials on two ponds; the drift keeps the
    /// water about 0.45 K in doubt, which is what the kernel misses at dawn on the observed ponds (docs/model/scores.md).
    pub const fn measured() -> Doubt {
        Doubt {
            reading_k: 0.4,
            air_k: 0.5,
            longwave_w_m2: 8.0,
            wind_log: 0.15,
            sun_log: 0.05,
            drift_k: 0.35,
            sun_factor_log: 0.05,
        }
    }

    /// Hours lent to a day of which only the low and the high are known: its wind, cloud and sun are another day's
    /// (docs/model/weather.md measures them).
    pub const fn lent() -> Doubt {
        Doubt { longwave_w_m2: 15.0, wind_log: 0.4, sun_log: 0.2, ..Doubt::measured() }
    }
}

/// A reading as the members see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Hour of the schedule, the nearest to the moment.
    pub hour: usize,
    /// Column it was taken in.
    pub column: usize,
    /// Depth below the surface, m.
    pub depth_m: f64,
    /// °C.
    pub temp_c: f64,
}

/// What was expected where a reading was taken, before it was known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The reading.
    pub seen: Seen,
    /// Mean of the members, °C.
    pub mean_c: f64,
    /// Their standard deviation, K.
    pub sd_c: f64,
}

/// The members of one pond on their way.
pub struct Learner<'a> {
    basin: &'a Basin,
    schedule: &'a Schedule,
    doubt: Doubt,
    seed: u64,
    pond: usize,
    /// Days since the epoch at hour 0, so that a day's draws are the day's own.
    first_day: i32,
    hour: usize,
    states: Vec<Water<f64>>,
    /// What each reading met.
    pub met: Vec<Expected>,
}

impl<'a> Learner<'a> {
    /// Members that all begin as `water` does and differ by their factors: logarithm of wind of mean `ln(median)` and deviation `sd_log`.
    pub fn new(
        basin: &'a Basin,
        schedule: &'a Schedule,
        water: &Water<f64>,
        (median, sd_log): (f64, f64),
        doubt: Doubt,
        (seed, pond, first_day): (u64, usize, i32),
    ) -> Learner<'a> {
        let states = (0..LEARNERS as u32).map(|member| {
            let mut stream = Stream::new(seed, member, Purpose(FACTORS.0 + pond as u32));
            let mut state = water.clone();
            state.wind_factor = median * units::exp(sd_log * stream.normal());
            state.sun_factor = units::exp(doubt.sun_factor_log * stream.normal());
            state
        });
        let mut learner = Learner {
            basin,
            schedule,
            doubt,
            seed,
            pond,
            first_day,
            hour: 0,
            states: states.collect(),
            met: Vec::new(),
        };
        learner.centre(units::ln(median));
        learner
    }

    /// Few draws have a mean of their own: it is taken out, so that without a reading nothing is learnt.
    fn centre(&mut self, ln_median: f64) {
        let n = self.states.len() as f64;
        let mean = self.states.iter().map(|state| units::ln(state.wind_factor)).sum::<f64>() / n;
        let sun = self.states.iter().map(|state| units::ln(state.sun_factor)).sum::<f64>() / n;
        for state in &mut self.states {
            state.wind_factor = units::exp(units::ln(state.wind_factor) - mean + ln_median);
            state.sun_factor = units::exp(units::ln(state.sun_factor) - sun);
        }
    }

    /// The hour it has come to.
    pub fn hour(&self) -> usize {
        self.hour
    }
    /// The members as they stand.
    pub fn states(&self) -> &[Water<f64>] {
        &self.states
    }
    /// Their mean state, with the middle factors.
    pub fn mean(&self) -> Water<f64> {
        let n = self.states.len() as f64;
        let mut mean = self.states[0].clone();
        let of = |get: &dyn Fn(&Water<f64>) -> f64| self.states.iter().map(get).sum::<f64>() / n;
        for i in 0..mean.temps.len() {
            mean.temps[i] = of(&|state| state.temps[i]);
        }
        for i in 0..mean.bed.len() {
            mean.bed[i] = of(&|state| state.bed[i]);
        }
        mean.wind_factor = units::exp(of(&|state| units::ln(state.wind_factor)));
        mean.sun_factor = units::exp(of(&|state| units::ln(state.sun_factor)));
        mean.unspent_m = of(&|state| state.unspent_m);
        mean
    }

    fn stage(&self) -> &'a Stage {
        let last = self.schedule.len().saturating_sub(1);
        self.schedule.stage(self.hour.min(last))
    }

    /// Carries the members to an hour under air known up to each day's doubt.
    pub fn carry_to(&mut self, hour: usize, air: &[Air<f64>]) {
        let doubt = self.doubt;
        let own = DoubtedAir { air, doubt: &doubt, seed: self.seed, pond: self.pond, first_day: self.first_day };
        while self.hour < hour {
            let next = hour.min((self.hour / 24 + 1) * 24);
            carry(self.basin, self.schedule, &own, (self.hour, next), &mut self.states);
            self.hour = next;
            if next.is_multiple_of(24) {
                self.drift();
            }
        }
    }

    /// The drift of a day, the same in all of a member's water; over the members it has no mean.
    fn drift(&mut self) {
        let day = self.first_day + (self.hour / 24) as i32;
        let draws: Vec<f64> = (0..self.states.len() as u32)
            .map(|member| {
                let mut stream = day_stream(self.seed, member, self.pond, day);
                for _ in 0..4 {
                    stream.normal();
                }
                self.doubt.drift_k * stream.normal()
            })
            .collect();
        let mean = draws.iter().sum::<f64>() / draws.len() as f64;
        for (state, draw) in self.states.iter_mut().zip(&draws) {
            state.temps.iter_mut().for_each(|temp_c| *temp_c += draw - mean);
        }
    }

    /// Takes in a reading of the hour that the members have come to.
    pub fn read(&mut self, seen: Seen) {
        let stage = self.stage();
        let met: Vec<f64> = self.states.iter().map(|state| state.at_depth(stage, seen.column, seen.depth_m)).collect();
        self.learn(seen, &met);
    }

    /// Takes in a reading of a later hour than the members have come to: `met` is what each would have met there.
    pub fn learn(&mut self, seen: Seen, met: &[f64]) {
        let update = Update::of(met, seen.temp_c, self.doubt.reading_k);
        self.met.push(Expected { seen, mean_c: update.mean, sd_c: update.sd });
        let (columns, stride) = (self.stage().columns(), self.states[0].stride());
        for column in 0..columns {
            let taper = taper(column.abs_diff(seen.column) as f64 / columns.max(2) as f64);
            for cell in column * stride..(column + 1) * stride {
                update.water(&mut self.states, taper, |state| &mut state.temps[cell]);
                for layer in 0..FLOOR_MOVED {
                    update.water(&mut self.states, taper, |state| &mut state.bed[cell * LAYERS + layer]);
                }
            }
        }
        update.factor(&mut self.states, WIND_LEAST_MOST, |state| &mut state.wind_factor);
        update.factor(&mut self.states, SUN_LEAST_MOST, |state| &mut state.sun_factor);
        for state in &mut self.states {
            // Water under a thermometer is water.
            state.temps.iter_mut().for_each(|temp_c| *temp_c = temp_c.max(0.05));
        }
    }
}

/// One reading against what the members met.
struct Update {
    /// Each member's departure from the mean, K.
    apart: Vec<f64>,
    mean: f64,
    sd: f64,
    variance: f64,
    reading_variance: f64,
    off: f64,
}

impl Update {
    fn of(met: &[f64], read_c: f64, reading_sd: f64) -> Update {
        let n = met.len() as f64;
        let mean = met.iter().sum::<f64>() / n;
        let apart: Vec<f64> = met.iter().map(|value| value - mean).collect();
        let variance = apart.iter().map(|apart| apart * apart).sum::<f64>() / (n - 1.0);
        let off = read_c - mean;
        Update { apart, mean, sd: variance.sqrt(), variance, reading_variance: reading_sd * reading_sd, off }
    }

    fn whole(&self) -> f64 {
        self.variance + self.reading_variance
    }

    /// New departures of a quantity and by how much its mean moves: the gain is tapered, departures shrink by the reduced gain.
    fn moved(&self, values: &mut [f64], taper: f64, off: f64) {
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let covariance =
            values.iter().zip(&self.apart).map(|(value, apart)| (value - mean) * apart).sum::<f64>() / (n - 1.0);
        let gain = taper * covariance / self.whole();
        let reduced = gain / (1.0 + (self.reading_variance / self.whole()).sqrt());
        for (value, apart) in values.iter_mut().zip(&self.apart) {
            *value += gain * off - reduced * apart;
        }
    }

    fn water(&self, states: &mut [Water<f64>], taper: f64, at: impl Fn(&mut Water<f64>) -> &mut f64) {
        let mut values: Vec<f64> = states.iter_mut().map(|state| *at(state)).collect();
        self.moved(&mut values, taper, self.off.clamp(-WATER_MOST_K, WATER_MOST_K));
        states.iter_mut().zip(values).for_each(|(state, value)| *at(state) = value);
    }

    fn factor(&self, states: &mut [Water<f64>], (least, most): (f64, f64), at: impl Fn(&mut Water<f64>) -> &mut f64) {
        let mut logs: Vec<f64> = states.iter_mut().map(|state| units::ln(*at(state))).collect();
        let reach = FACTORS_MOST_SD * self.whole().sqrt();
        self.moved(&mut logs, 1.0, self.off.clamp(-reach, reach));
        states.iter_mut().zip(logs).for_each(|(state, log)| *at(state) = units::exp(log).clamp(least, most));
    }
}

/// How much a reading says of water `apart` pond lengths away: Gaspari and Cohn's bell, 1 at hand and 0.2 from end to end.
fn taper(apart: f64) -> f64 {
    let r = apart;
    if r < 1.0 {
        1.0 - 5.0 / 3.0 * r.powi(2) + 5.0 / 8.0 * r.powi(3) + 0.5 * r.powi(4) - 0.25 * r.powi(5)
    } else if r < 2.0 {
        4.0 - 5.0 * r + 5.0 / 3.0 * r.powi(2) + 5.0 / 8.0 * r.powi(3) - 0.5 * r.powi(4) + r.powi(5) / 12.0
            - 2.0 / (3.0 * r)
    } else {
        0.0
    }
}

fn day_stream(seed: u64, member: u32, pond: usize, day: i32) -> Stream {
    // The purpose holds the pond; the day is laid into the seed, so that each day has its own draws.
    Stream::new(seed ^ (0x9E37_79B9_7F4A_7C15_u64.wrapping_mul(day as u64 + 1)), member, Purpose(DAYS.0 + pond as u32))
}

/// Air known up to a day's doubt, drawn for each member and day.
struct DoubtedAir<'a> {
    air: &'a [Air<f64>],
    doubt: &'a Doubt,
    seed: u64,
    pond: usize,
    first_day: i32,
}

impl AirSource for DoubtedAir<'_> {
    fn members(&self) -> usize {
        LEARNERS
    }
    fn air(&self, first: usize, hour: usize) -> Air<Lanes> {
        let one = &self.air[hour];
        let mut air: Air<Lanes> = Air::same(one);
        let day = self.first_day + (hour / 24) as i32;
        for lane in 0..LANES {
            let mut stream = day_stream(self.seed, (first + lane) as u32, self.pond, day);
            air.air_temp_c.set_lane(lane, one.air_temp_c + self.doubt.air_k * stream.normal());
            air.longwave_w_m2.set_lane(lane, (one.longwave_w_m2 + self.doubt.longwave_w_m2 * stream.normal()).max(0.0));
            air.wind_m_s.set_lane(lane, one.wind_m_s * units::exp(self.doubt.wind_log * stream.normal()));
            air.shortwave_w_m2.set_lane(lane, one.shortwave_w_m2 * units::exp(self.doubt.sun_log * stream.normal()));
        }
        air
    }
}

#[cfg(test)]
mod tests;
