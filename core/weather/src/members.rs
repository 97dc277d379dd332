//! Members: courses the weather may take from a morning on, and what each one's forecaster would say later.
//!
//! Model     conditional simulation. On forecast days a member is the forecast plus the error that a forecast of a donor (a
//!           real past season at the same dates) would have had: f + z' - f', z' the donor's anomaly and f' its forecast with
//!           the member's own luck. Where skill ends the member is its donor. Then blocks of past seasons, their lengths
//!           geometric, joined where the last three days were most alike. Later forecasts go on from the one issued today.
//! Units     °C and K; days by the station's standard clock; hours count from today's midnight.
//! Range     at least two known seasons, horizon inside the library's window (10 days of grace).
//! Source    conditional simulation: Matheron's rule, see Chilès and Delfiner (2012), Geostatistics, section 7.3; joins: Lall
//!           and Sharma (1996), Water Resour. Res. 32, 679-693; blocks: Politis and Romano (1994), J. Amer. Stat. Assoc. 89,
//!           1303-1313 (all memory).
//! Left out  wind, cloud and dryness that a forecast itself announces: on forecast days they are the donor's.

mod air;
mod draw;
mod later;
mod path;

use std::ops::Range;

use units::Day;

use crate::climate::{Climate, LowHigh};
use crate::forecast::DailyForecast;
use crate::library::{Library, Past};
use crate::skill::ForecastSkill;

pub use draw::MemberNews;

/// Everything that members are drawn from on one morning.
#[derive(Debug, Clone, Copy)]
pub struct Morning<'a> {
    /// The first day of every member.
    pub today: Day,
    /// The last morning on which anything may be decided; members reach some days further, to be forecast.
    pub last: Day,
    /// What is said of the coming days; read as a mean. One issued some days ago counts as that old.
    pub forecast: &'a DailyForecast,
    /// How good such forecasts are believed to be.
    pub skill: &'a ForecastSkill,
    /// The days of the year, from what is known.
    pub climate: &'a Climate,
    /// Past seasons.
    pub library: &'a Library,
    /// The part of them that may be known.
    pub past: &'a Past,
    /// The season's seed: the same on every morning of a season, so that members change little from one to the next.
    pub seed: u64,
}

/// Why no members can be drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum MembersError {
    /// Fewer than two known past seasons.
    FewSeasons {
        /// How many are known.
        known: usize,
    },
    /// The horizon leaves the window of the library.
    OutsideWindow {
        /// First or last day that would be needed.
        day: Day,
    },
    /// The last morning comes before today, or more than a year after.
    Horizon {
        /// Today.
        today: Day,
        /// The last morning asked for.
        last: Day,
    },
    /// The forecast was issued after today.
    NotYetIssued {
        /// When it was issued.
        issued: Day,
    },
    /// The forecast speaks of no day at all.
    NothingSaid,
    /// The news drawn beforehand does not cover these members, mornings or leads.
    NewsNotCovered,
}

/// Where a member's day comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Donor {
    /// Index of the donor day in the library: for water kept by library day.
    pub library_day: usize,
    /// How much warmer the member's days are than the donor's for good, K: the date's and the years' drift, mean of low and
    /// high. Forecast and join are not in it.
    pub lasting_shift_c: f64,
    /// Whether the day is its donor's but for that shift: no forecast and no join at work.
    pub settled: bool,
}

/// Members of one morning. A member depends on its id, never on which others are drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Members {
    today: Day,
    ids: Range<u32>,
    /// Mornings from today to the last one, both counted.
    n_mornings: usize,
    /// Days per member: mornings, then the reach of the last morning's forecast.
    n_days: usize,
    n_leads: usize,
    /// By member and day.
    path: Vec<PathDay>,
    /// By member and day: the member's own low and high, °C.
    own: Vec<[f32; 2]>,
    /// By member, morning after today, and lead: forecast low and high, °C.
    later: Vec<[f32; 2]>,
}

/// One day of a member: its donor and how its air is moved.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct PathDay {
    library_day: u32,
    /// Moves of the day's low and high, K; in between they glide.
    low_shift_c: f32,
    high_shift_c: f32,
    /// What is left of the last join's jump at this midnight, K; it fades by the hour.
    jump_c: f32,
    lasting_shift_c: f32,
    settled: bool,
}

impl Members {
    /// The first day.
    pub fn today(&self) -> Day {
        self.today
    }
    /// Their ids.
    pub fn ids(&self) -> Range<u32> {
        self.ids.clone()
    }
    /// How many.
    pub fn len(&self) -> usize {
        self.ids.len()
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.ids.is_empty()
    }
    /// Mornings from today to the last one, both counted.
    pub fn n_mornings(&self) -> usize {
        self.n_mornings
    }
    /// Days each member has, today counted: the mornings and the reach of the last morning's forecast.
    pub fn n_days(&self) -> usize {
        self.n_days
    }
    /// Days a later forecast speaks of, its own morning counted.
    pub fn n_leads(&self) -> usize {
        self.n_leads
    }

    /// Low and high of a member's day (0 is today), °C. This is the member's truth: no rule for waiting may read ahead in it.
    pub fn low_high_c(&self, member: usize, day: usize) -> LowHigh {
        widen(self.own[member * self.n_days + day])
    }

    /// Where a member's day comes from.
    pub fn donor(&self, member: usize, day: usize) -> Donor {
        let day = &self.path[member * self.n_days + day];
        Donor {
            library_day: day.library_day as usize,
            lasting_shift_c: f64::from(day.lasting_shift_c),
            settled: day.settled,
        }
    }

    /// What the member's own forecaster says on a later morning (1 is tomorrow) of the day `lead` days on, °C.
    ///
    /// Consistent with today's forecast: its mean over members is today's.
    pub fn later_c(&self, member: usize, morning: usize, lead: usize) -> LowHigh {
        assert!(morning >= 1 && morning < self.n_mornings && lead < self.n_leads, "no such later forecast");
        widen(self.later[(member * (self.n_mornings - 1) + morning - 1) * self.n_leads + lead])
    }
}

fn widen(pair: [f32; 2]) -> LowHigh {
    LowHigh { low: f64::from(pair[0]), high: f64::from(pair[1]) }
}

#[cfg(test)]
mod tests;
