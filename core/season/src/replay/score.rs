//! What a replay comes to: gaps between policies with intervals over years, bad seasons, and whether chances told came true.

use std::collections::BTreeMap;

use chance::{Purpose, Stream};

use super::{CALENDAR, CLAIRVOYANT, FIXED, HIDDEN_KNOWN, OURS, POLICIES, Replay, Season};

/// Leads, in days, at which chances are scored.
pub const LEADS: [usize; 5] = [1, 3, 5, 10, 20];
/// Upper ends of the classes of chance.
const CLASSES: [f64; 7] = [0.01, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0];
const BOOTSTRAP: Purpose = Purpose(0x5EA5_3001);
const RESAMPLES: u32 = 2000;

/// Chances told against what happened, summed.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// (count, sum of chances, times it happened) by lead and class.
    sums: Vec<[(u64, f64, u64); CLASSES.len()]>,
}

/// A class of chances told at one lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration {
    /// Days ahead.
    pub lead: usize,
    /// Chances up to this one, above the class before.
    pub up_to: f64,
    /// How many were told.
    pub count: u64,
    /// Their mean.
    pub told: f64,
    /// How often it happened.
    pub happened: f64,
}

impl Told {
    /// Notes one chance and whether it came true.
    pub fn note(&mut self, lead: usize, chance: f64, happened: bool) {
        if self.sums.is_empty() {
            self.sums = vec![[(0, 0.0, 0); CLASSES.len()]; LEADS.len()];
        }
        let class = CLASSES.iter().position(|&end| chance <= end).unwrap_or(CLASSES.len() - 1);
        let sum = &mut self.sums[lead][class];
        sum.0 += 1;
        sum.1 += chance;
        sum.2 += u64::from(happened);
    }

    /// Adds another year's.
    pub fn join(&mut self, other: &Told) {
        if self.sums.is_empty() {
            self.sums = other.sums.clone();
            return;
        }
        for (to, from) in self.sums.iter_mut().flatten().zip(other.sums.iter().flatten()) {
            *to = (to.0 + from.0, to.1 + from.1, to.2 + from.2);
        }
    }

    /// As rows; classes nobody told are left out.
    pub fn table(&self) -> Vec<Calibration> {
        let mut rows = Vec::new();
        for (place, classes) in self.sums.iter().enumerate() {
            for (class, &(count, chances, happened)) in classes.iter().enumerate() {
                if count > 0 {
                    let n = count as f64;
                    rows.push(Calibration {
                        lead: LEADS[place],
                        up_to: CLASSES[class],
                        count,
                        told: chances / n,
                        happened: happened as f64 / n,
                    });
                }
            }
        }
        rows
    }
}

/// One policy over all seasons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PolicyResult {
    /// Its key.
    pub policy: &'static str,
    /// Mean coins a season.
    pub mean: f64,
    /// One season in twenty is worse, coins.
    pub p05: f64,
    /// Share of seasons in which any pond lost a fifth or more.
    pub lost: f64,
}

/// A ratio with its interval over years (from 5 to 95 % of resamples).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Over all years.
    pub value: f64,
    /// One resample in twenty is below.
    pub low: f64,
    /// One resample in twenty is above.
    pub high: f64,
}

/// Shares of a gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Of the way from the calendar to the one who knows hidden values.
    pub to_hidden_known: Share,
    /// Of the way from the calendar to the clairvoyant.
    pub to_clairvoyant: Share,
}

/// Everything a replay comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct ReplayScores {
    /// Policies in order.
    pub policies: Vec<PolicyResult>,
    /// Ours.
    pub ours: Gap,
    /// Fixed dates chosen anew each morning.
    pub fixed: Gap,
    /// Ours less fixed, share of the calendar's mean.
    pub ours_over_fixed: Share,
    /// Clairvoyant over calendar, as a share of the calendar.
    pub clairvoyant_over_calendar: Share,
    /// Fifth percentile of ours over that of the clairvoyant.
    pub p05_ratio: f64,
    /// Seasons.
    pub seasons: usize,
}

/// Sums up a replay; `None` without seasons.
pub fn scores(replay: &Replay, seed: u64) -> Option<ReplayScores> {
    let seasons = &replay.seasons;
    if seasons.is_empty() {
        return None;
    }
    let policies: Vec<PolicyResult> = (0..POLICIES.len()).map(|policy| result(seasons, policy)).collect();
    let years = by_year(seasons);
    let share = |of: &dyn Fn(&[f64; 5]) -> f64| interval(&years, seed, of);
    let gap = |policy: usize| Gap {
        to_hidden_known: share(&|m| (m[policy] - m[CALENDAR]) / (m[HIDDEN_KNOWN] - m[CALENDAR])),
        to_clairvoyant: share(&|m| (m[policy] - m[CALENDAR]) / (m[CLAIRVOYANT] - m[CALENDAR])),
    };
    Some(ReplayScores {
        ours: gap(OURS),
        fixed: gap(FIXED),
        ours_over_fixed: share(&|m| (m[OURS] - m[FIXED]) / m[CALENDAR]),
        clairvoyant_over_calendar: share(&|m| (m[CLAIRVOYANT] - m[CALENDAR]) / m[CALENDAR]),
        p05_ratio: policies[OURS].p05 / policies[CLAIRVOYANT].p05,
        policies,
        seasons: seasons.len(),
    })
}

fn result(seasons: &[Season], policy: usize) -> PolicyResult {
    let mut worth: Vec<f64> = seasons.iter().map(|season| season.worth[policy]).collect();
    worth.sort_by(f64::total_cmp);
    let n = worth.len() as f64;
    PolicyResult {
        policy: POLICIES[policy],
        mean: worth.iter().sum::<f64>() / n,
        p05: worth[(0.05 * (n - 1.0)) as usize],
        lost: seasons.iter().filter(|season| season.lost[policy]).count() as f64 / n,
    }
}

/// Sums of worth by year: draws of one year share its weather and are resampled together.
fn by_year(seasons: &[Season]) -> Vec<[f64; 5]> {
    let mut years: BTreeMap<i16, [f64; 5]> = BTreeMap::new();
    for season in seasons {
        let sums = years.entry(season.year).or_insert([0.0; 5]);
        for (sum, worth) in sums.iter_mut().zip(season.worth) {
            *sum += worth;
        }
    }
    years.into_values().collect()
}

fn interval(years: &[[f64; 5]], seed: u64, of: &dyn Fn(&[f64; 5]) -> f64) -> Share {
    let total = |picked: &mut dyn Iterator<Item = usize>| {
        picked.fold([0.0; 5], |mut sums, year| {
            for (sum, worth) in sums.iter_mut().zip(years[year]) {
                *sum += worth;
            }
            sums
        })
    };
    let mut resampled: Vec<f64> = (0..RESAMPLES)
        .map(|resample| {
            let mut stream = Stream::new(seed, resample, BOOTSTRAP);
            of(&total(&mut (0..years.len()).map(|_| stream.below(years.len()))))
        })
        .collect();
    resampled.sort_by(f64::total_cmp);
    let at = |share: f64| resampled[(share * (resampled.len() - 1) as f64) as usize];
    Share { value: of(&total(&mut (0..years.len()))), low: at(0.05), high: at(0.95) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn season(year: i16, worth: [f64; 5]) -> Season {
        Season { year, draw: 0, worth, lost: [false; 5], catch_days: Vec::new(), believed: 0.0 }
    }

    #[test]
    fn gaps_are_shares_of_the_way() {
        let seasons = (0..30).map(|year| season(1950 + year, [100.0, 104.0, 110.0, 108.0, 106.0])).collect();
        let replay = Replay { seasons, calibration: Vec::new(), years_left_out: Vec::new(), stopped: false };
        let scores = scores(&replay, 1).expect("seasons");
        assert!((scores.ours.to_hidden_known.value - 0.75).abs() < 1e-12);
        assert!((scores.ours.to_clairvoyant.value - 0.6).abs() < 1e-12);
        assert!((scores.fixed.to_clairvoyant.value - 0.4).abs() < 1e-12);
        assert!((scores.ours.to_clairvoyant.low - 0.6).abs() < 1e-12, "years that agree leave no interval");
    }

    #[test]
    fn chances_are_held_against_what_came() {
        let mut told = Told::default();
        for n in 0..100 {
            told.note(0, 0.15, n % 5 == 0);
        }
        let row = told.table()[0];
        assert_eq!((row.lead, row.up_to, row.count), (1, 0.2, 100));
        assert!((row.told - 0.15).abs() < 1e-12 && (row.happened - 0.2).abs() < 1e-12);
    }
}
