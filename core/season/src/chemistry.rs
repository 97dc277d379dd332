//! Ammonia, pH and nitrite of the day, from what was read.
//!
//! Model     the poisonous share of the last total ammonia, at the last pH and at the afternoon's, when it is highest
//! Units     mg/L as nitrogen; °C; days
//! Range     fresh water, pH 4 to 12
//! Source    share: `pond::chemistry`; limits: Mississippi State University, prawn ponds (0.1 mg/L; half died in 144 h at 0.26; pH 6.5 to
//!           9.5), extension text; nitrite from memory. docs/model/oxygen.md
//! Left out  what a day's feed adds; hardness; carbon dioxide at dawn

use farm::{ChemistryRead, PondCard};
use pond::chemistry::unionized_fraction;
use units::Instant;

use crate::outlook::MorningAsk;
use crate::report::Reporting;

/// Un-ionized ammonia that prawns should not meet, mg/L.
pub const LIMIT_MG_L: f64 = 0.1;
/// At this much half of them died in six days, mg/L.
pub const KILLS_MG_L: f64 = 0.26;
/// Below this nobody minds, mg/L: gills of finfish suffer from about here on.
const MIND_MG_L: f64 = 0.05;
/// pH outside this harms by itself.
pub const PH_RANGE: (f64, f64) = (6.5, 9.5);
/// Nitrite at which something is done, mg/L.
pub const NITRITE_MG_L: f64 = 1.0;
/// A total older than this is no longer today's, days: a week's rhythm is common practice.
pub const AMMONIA_AGE_D: f64 = 7.0;
/// The same of pH.
pub const PH_AGE_D: f64 = 3.0;
/// Hours of the sun's clock in which pH stands at its highest.
const AFTERNOON_H: std::ops::Range<f64> = 13.0..18.5;
/// Rise of pH from morning to afternoon where no afternoon was read (our guess; 0.5 in well buffered water, 1.5 and more under a dense bloom).
const PH_RISE: f64 = 1.0;
/// pH where nothing is known above it: a guess goes no higher, unless a higher one was read.
const PH_GUESS_MOST: f64 = 9.5;
/// How much warmer the afternoon is than the morning where it was not read, K (our guess).
const AFTERNOON_WARMER_K: f64 = 2.0;

/// Ammonia, pH and nitrite of a pond today.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ChemistryToday {
    /// Ammonia, when it was ever read.
    pub ammonia: Option<AmmoniaToday>,
    /// The last pH.
    pub ph: Option<Read>,
    /// The last pH of an afternoon within its age.
    pub afternoon_ph: Option<Read>,
    /// The last nitrite.
    pub nitrite: Option<Read>,
    /// What of it is worst.
    pub alarm: Alarm,
}

/// A value, when it was read, and how many days ago.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// The value.
    pub value: f64,
    /// When.
    pub at: Instant,
    /// Days ago.
    pub age_d: f64,
}

/// Ammonia today.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AmmoniaToday {
    /// The total, mg/L.
    pub total: Read,
    /// The poisonous part at the last pH; `None` without a pH.
    pub now: Option<Unionized>,
    /// And at the afternoon's.
    pub peak: Option<Unionized>,
}

/// The poisonous part at one pH and warmth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unionized {
    /// mg/L.
    pub mg_l: f64,
    /// At this pH.
    pub ph: f64,
    /// In water of this warmth, °C.
    pub temp_c: f64,
    /// The pH is our guess from a morning's reading.
    pub guessed: bool,
}

/// What is worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Alarm {
    /// Nothing.
    #[default]
    None,
    /// Worth another test.
    Mind,
    /// Past a limit.
    Act,
    /// It kills.
    Kills,
}

/// One pond's day.
pub fn chemistry_today(of: &Reporting, p: usize, modelled_c: f64) -> ChemistryToday {
    of_card(of.ask, &of.ask.farm.ponds[of.ponds[p].index], modelled_c)
}

/// The same of any pond.
pub(crate) fn of_card(ask: &MorningAsk, card: &PondCard, modelled_c: f64) -> ChemistryToday {
    let (place, reads) = (&ask.past.place, &card.chemistry);
    // What is written later in the day counts, though the question is this morning's.
    let end = place.day_start(ask.on.plus(1));
    let now = place.day_start(ask.on).plus_hours(i64::from(ask.now_hour));
    let afternoon = |read: &ChemistryRead| AFTERNOON_H.contains(&weather::sun::solar_hour(read.at, place));
    today(reads, now, end, modelled_c, afternoon)
}

fn today(
    reads: &[ChemistryRead],
    now: Instant,
    end: Instant,
    modelled_c: f64,
    afternoon: impl Fn(&ChemistryRead) -> bool,
) -> ChemistryToday {
    let last = |value: &dyn Fn(&ChemistryRead) -> Option<f64>| {
        let known = reads.iter().rev().filter(|read| read.at < end);
        known.filter_map(|read| value(read).map(|value| (read, value))).next().map(|(read, value)| {
            let age_d = ((now.0 - read.at.0) as f64 / 86_400.0).max(0.0);
            (*read, Read { value, at: read.at, age_d })
        })
    };
    let ph = last(&|read| read.ph);
    let fresh = |read: &(ChemistryRead, Read)| read.1.age_d <= PH_AGE_D;
    let afternoon_ph = last(&|read| read.ph.filter(|_| afternoon(read))).filter(fresh);
    let at = |total: f64, ph: f64, temp_c: f64, guessed: bool| {
        let temp_c = temp_c.clamp(0.0, 40.0);
        Unionized { mg_l: total * unionized_fraction(temp_c, ph.clamp(4.0, 12.0)), ph, temp_c, guessed }
    };
    let ammonia = last(&|read| read.ammonia_mg_l).map(|(_, total)| AmmoniaToday {
        total,
        now: ph.map(|(read, ph)| at(total.value, ph.value, read.temp_c.unwrap_or(modelled_c), false)),
        peak: match (afternoon_ph, ph) {
            (Some((read, ph)), _) => {
                Some(at(total.value, ph.value, read.temp_c.unwrap_or(modelled_c + AFTERNOON_WARMER_K), false))
            }
            (None, Some((read, ph))) => {
                let warm_c = read.temp_c.unwrap_or(modelled_c) + AFTERNOON_WARMER_K;
                let highest = (ph.value + PH_RISE).min(PH_GUESS_MOST).max(ph.value);
                Some(at(total.value, highest, warm_c, true))
            }
            _ => None,
        },
    });
    let nitrite = last(&|read| read.nitrite_mg_l).map(|(_, read)| read);
    let (ph, afternoon_ph) = (ph.map(|(_, read)| read), afternoon_ph.map(|(_, read)| read));
    let mut of_day = ChemistryToday { ammonia, ph, afternoon_ph, nitrite, alarm: Alarm::None };
    of_day.alarm = of_day.worst();
    of_day
}

impl ChemistryToday {
    /// Whether anything was ever read.
    pub fn is_read(&self) -> bool {
        self.ammonia.is_some() || self.ph.is_some() || self.nitrite.is_some()
    }
    /// Whether what is told rests on readings too old for today.
    pub fn is_old(&self) -> bool {
        let old = |read: Option<Read>, most_d: f64| read.is_some_and(|read| read.age_d > most_d);
        old(self.ammonia.map(|ammonia| ammonia.total), AMMONIA_AGE_D)
            || old(self.ph, if self.ammonia.is_some() { PH_AGE_D } else { AMMONIA_AGE_D })
            || old(self.nitrite, AMMONIA_AGE_D)
    }

    fn worst(&self) -> Alarm {
        let peak = self.ammonia.and_then(|ammonia| ammonia.peak);
        let ammonia = peak.map_or(Alarm::None, |peak| match peak.mg_l {
            mg_l if mg_l < MIND_MG_L => Alarm::None,
            // A guess of the pH sends one to the meter, not to the valve.
            mg_l if mg_l < LIMIT_MG_L || peak.guessed => Alarm::Mind,
            mg_l if mg_l < KILLS_MG_L => Alarm::Act,
            _ => Alarm::Kills,
        });
        let ph = [self.ph, self.afternoon_ph].into_iter().flatten().map(|read| match read.value {
            ph if ph > PH_RANGE.1 || ph < PH_RANGE.0 => Alarm::Act,
            _ => Alarm::None,
        });
        let nitrite = self.nitrite.filter(|read| read.value >= NITRITE_MG_L).map(|_| Alarm::Act);
        ph.chain(nitrite).chain([ammonia]).max().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests;
