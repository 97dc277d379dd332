//! Forecasts of daily lows and highs as they would have been issued, given what then happened.
//!
//! Model     each morning brings news of every coming day within reach: fresh information (see `ForecastSkill`) whose noise is
//!           independent from morning to morning and hangs together among the days it speaks of as the anomalies themselves
//!           do. A share of the noise is timing: the truth's own slope times a shift common to neighbouring days.
//! Units     °C; days by the station's standard clock.
//! Range     as `ForecastSkill` and `Climate`.
//! Source    the forecast evolution of inventory theory, revisions as independent vectors: Heath and Jackson (1994), IIE
//!           Transactions 26(3), 17-30 (memory); the rest argued in `docs/model/members.md`.
//! Left out  that neighbouring days' forecasts could sharpen each other a little more (worked out there: at most 1.5 % of the error).

use chance::{Purpose, Stream};
use units::Day;

use crate::air::DayExtremes;
use crate::climate::{Chain, Climate, LowHigh};
use crate::issued::ForecastDay;
use crate::skill::ForecastSkill;

/// What a forecaster said on one morning of the days that followed.
#[derive(Debug, Clone, PartialEq)]
pub struct DailyForecast {
    /// The morning; lead 0 is this day.
    pub issued: Day,
    /// By lead, °C. To be read as means of what may come, not as one course of it.
    pub days: Vec<LowHigh>,
}

impl DailyForecast {
    /// From what a service said on `issued`, up to the first later day of which it gave neither low nor high; `None` when it
    /// gave nothing from that day on. A low without its high (or the other way round) brings the other along by their usual
    /// correlation, and a day of issue already over is drawn back from the next day in the same way.
    pub fn of(days: &[ForecastDay], issued: Day, climate: &Climate) -> Option<DailyForecast> {
        let said = |day: Day| days.iter().find(|said| said.day == day).and_then(|said| in_sd(said, climate));
        let today = said(issued).or_else(|| {
            let carry = climate.chain().carry;
            said(issued.plus(1)).map(|next| LowHigh { low: next.low * carry[0][0], high: next.high * carry[1][1] })
        })?;
        let later = (1..).map_while(|lead| said(issued.plus(lead)));
        let in_c = |(lead, standard): (usize, LowHigh)| {
            let day = issued.plus(lead as i32);
            climate.mean_c(day).plus(standard.with(climate.sd_c(day), |z, sd| z * sd))
        };
        Some(DailyForecast { issued, days: std::iter::once(today).chain(later).enumerate().map(in_c).collect() })
    }
}

/// What is said of a day, in standard deviations.
fn in_sd(said: &ForecastDay, climate: &Climate) -> Option<LowHigh> {
    let (mean, sd) = (climate.mean_c(said.day), climate.sd_c(said.day));
    let low = said.low_c.map(|low| (low - mean.low) / sd.low);
    let high = said.high_c.map(|high| (high - mean.high) / sd.high);
    let share = climate.chain().low_high_correlation;
    Some(LowHigh { low: low.or(high.map(|z| z * share))?, high: high.or(low.map(|z| z * share))? })
}

/// Why no forecast can be made for a morning.
#[derive(Debug, Clone, PartialEq)]
pub enum ForecastError {
    /// The truth given does not reach from the day before the morning to the day after the last lead.
    TruthNotCovered {
        /// First day wanted.
        from: Day,
        /// Last day wanted.
        to: Day,
    },
}

/// Whose luck a forecast has: a replayed year's hidden draw, or a member.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Luck {
    /// The run's seed.
    pub seed: u64,
    /// Which of the run's worlds.
    pub id: u32,
}

/// The forecaster of the replayed world.
const WORLD_NEWS: Purpose = Purpose(0x5745_0001);
/// A member's forecaster.
pub(crate) const MEMBER_NEWS: Purpose = Purpose(0x5745_0002);

/// How much of one day's timing shift the next day shares.
const TIMING_CARRY: f64 = 0.8;

/// The forecast that would have been issued on a morning, had `truth` then happened.
///
/// `truth` holds days in order without a hole, from the day before `issued` to the day after the last lead. Any morning can
/// be asked alone: it is the same to the bit as when the mornings before it were asked too.
pub fn issue_forecast(
    truth: &[DayExtremes],
    climate: &Climate,
    skill: &ForecastSkill,
    issued: Day,
    luck: Luck,
) -> Result<DailyForecast, ForecastError> {
    let n_leads = skill.n_leads();
    let (from, to) = (issued.plus(-1), issued.plus(n_leads as i32));
    let start = truth.first().and_then(|first| usize::try_from(from.0 - first.day.0).ok());
    let truth = start
        .and_then(|start| truth.get(start..start + n_leads + 2))
        .filter(|days| days[0].day == from && days[n_leads + 1].day == to)
        .ok_or(ForecastError::TruthNotCovered { from, to })?;
    let standard: Vec<LowHigh> = truth.iter().map(|day| standard_anomaly(climate, day)).collect();
    let news = News::of(luck, WORLD_NEWS, climate.chain(), n_leads, issued.plus(1 - n_leads as i32), n_leads);
    let noise = news.gathered(issued, n_leads, skill, climate.chain());
    let days = (0..n_leads)
        .map(|lead| {
            let slope = standard[lead + 2].minus(standard[lead]).times(0.5);
            let u = skill.information(lead);
            let known = standard[lead + 1].times(u).plus(noise[lead].on(slope));
            let day = issued.plus(lead as i32);
            let sd = climate.sd_c(day);
            climate.mean_c(day).plus(known.times(1.0 / (1.0 + u)).with(sd, |f, sd| f * sd))
        })
        .collect();
    Ok(DailyForecast { issued, days })
}

pub(crate) fn standard_anomaly(climate: &Climate, day: &DayExtremes) -> LowHigh {
    let value = LowHigh { low: day.low_c, high: day.high_c };
    value.minus(climate.mean_c(day.day)).with(climate.sd_c(day.day), |anomaly, sd| anomaly / sd)
}

/// What one morning says of one day: noise of unit variance, and a shift in time of unit variance.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Word {
    pub noise: [f32; 2],
    pub shift: f32,
}

/// Noise already scaled: a part of its own, and one that goes with the slope of the standard anomaly.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Noise {
    pub own: LowHigh,
    pub per_slope: LowHigh,
}

impl Noise {
    pub fn on(&self, slope: LowHigh) -> LowHigh {
        self.own.plus(self.per_slope.with(slope, |a, b| a * b))
    }
}

/// How a skill's noise splits into its own part and timing, for low and high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Split {
    own: LowHigh,
    per_slope: LowHigh,
}

impl Split {
    pub fn of(skill: &ForecastSkill, chain: &Chain) -> Split {
        let share = |slope_sd: f64| skill.timing_share(slope_sd);
        let part = |slope_sd: f64| ((1.0 - share(slope_sd)).sqrt(), share(slope_sd).sqrt() / slope_sd);
        let (low, high) = (part(chain.slope_sd.low), part(chain.slope_sd.high));
        Split { own: LowHigh { low: low.0, high: high.0 }, per_slope: LowHigh { low: low.1, high: high.1 } }
    }

    /// The noise of one word that carries this much fresh information.
    pub fn noise(&self, word: Word, fresh_information: f64) -> Noise {
        let size = fresh_information.max(0.0).sqrt();
        let drawn = LowHigh { low: f64::from(word.noise[0]), high: f64::from(word.noise[1]) };
        Noise {
            own: self.own.with(drawn, |a, b| a * b).times(size),
            per_slope: self.per_slope.times(size * f64::from(word.shift)),
        }
    }
}

/// The words of a run of mornings about the days within reach, for one world.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct News {
    first: Day,
    n_leads: usize,
    words: Vec<Word>,
}

impl News {
    /// Draws `n_mornings` mornings. A morning's words depend on (seed, id, purpose, morning) alone.
    pub fn of(luck: Luck, purpose: Purpose, chain: &Chain, n_leads: usize, first: Day, n_mornings: usize) -> News {
        let mut words = Vec::with_capacity(n_leads * n_mornings);
        for morning in 0..n_mornings {
            let day = first.plus(morning as i32);
            let mut stream = Stream::new(seed_on(luck.seed, day), luck.id, purpose);
            speak(&mut stream, chain, n_leads, &mut words);
        }
        News { first, n_leads, words }
    }

    /// What the morning says of the day `lead` days on.
    pub fn word(&self, morning: Day, lead: usize) -> Word {
        self.words[(morning.0 - self.first.0) as usize * self.n_leads + lead]
    }

    /// Noise that has gathered by `morning` about each day within reach, from all mornings since each came within reach.
    pub fn gathered(&self, morning: Day, n_leads: usize, skill: &ForecastSkill, chain: &Chain) -> Vec<Noise> {
        let split = Split::of(skill, chain);
        (0..n_leads)
            .map(|lead| {
                (lead..n_leads).fold(Noise::default(), |sum, earlier| {
                    let word = self.word(morning.plus(lead as i32 - earlier as i32), earlier);
                    let more = split.noise(word, skill.fresh_information(earlier));
                    Noise { own: sum.own.plus(more.own), per_slope: sum.per_slope.plus(more.per_slope) }
                })
            })
            .collect()
    }
}

/// One morning's words: along the coming days they follow each other as the anomalies do.
fn speak(stream: &mut Stream, chain: &Chain, n_leads: usize, words: &mut Vec<Word>) {
    let (root, carry) = (&chain.fresh_root, &chain.carry);
    let fresh_shift = (1.0f64 - TIMING_CARRY * TIMING_CARRY).sqrt();
    let mut noise = [0.0; 2];
    let mut shift = 0.0;
    for lead in 0..n_leads {
        let draw = [stream.normal(), stream.normal()];
        let turn = stream.normal();
        if lead == 0 {
            let root = &chain.first_root;
            noise = [root[0][0] * draw[0], root[1][0] * draw[0] + root[1][1] * draw[1]];
            shift = turn;
        } else {
            noise = [
                carry[0][0] * noise[0] + carry[0][1] * noise[1] + root[0][0] * draw[0],
                carry[1][0] * noise[0] + carry[1][1] * noise[1] + root[1][0] * draw[0] + root[1][1] * draw[1],
            ];
            shift = TIMING_CARRY * shift + fresh_shift * turn;
        }
        words.push(Word { noise: [noise[0] as f32, noise[1] as f32], shift: shift as f32 });
    }
}

/// A seed for one day of a run: the run's seed and the day, stirred (Steele and others 2014, splitmix64, memory).
pub(crate) fn seed_on(seed: u64, day: Day) -> u64 {
    let mut z = seed ^ (day.0 as u32 as u64).wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
#[path = "forecast/tests.rs"]
mod tests;
