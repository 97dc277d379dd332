//! What days of the year are like here: mean low and high, their spread, and how one day follows another.
//!
//! Model     three yearly harmonics for the means of low and high, two for their variances, a slow level that follows the
//!           recent years, and a first-order two-variable autoregression of the standardised anomalies.
//! Units     °C and K; anomalies in standard deviations where a name says `standard`.
//! Range     at least five years of days; either hemisphere; any days may be missing.
//! Source    harmonics of the year: Wilks (2011), Statistical Methods in the Atmospheric Sciences, chapter 9 (memory);
//!           averages of recent years as the best forecast of a drifting climate: Livezey and others (2007), J. Appl.
//!           Meteor. Climatol. 46, 1759-1776 (memory); its length here measured, see `docs/model/members.md`.
//! Left out  skewness (cold anomalies reach further than warm ones in late summer): members take it from real days.

use units::Day;

use crate::air::DailyRecord;
use crate::dense::{self, Matrix2};

/// A value for the day's low and one for its high.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LowHigh {
    /// Of the lowest air temperature of the day.
    pub low: f64,
    /// Of the highest air temperature of the day.
    pub high: f64,
}

impl LowHigh {
    /// The same operation on both.
    pub fn with(self, other: LowHigh, f: impl Fn(f64, f64) -> f64) -> LowHigh {
        LowHigh { low: f(self.low, other.low), high: f(self.high, other.high) }
    }
    /// Both multiplied.
    pub fn times(self, factor: f64) -> LowHigh {
        LowHigh { low: self.low * factor, high: self.high * factor }
    }
    /// Sum, part by part.
    pub fn plus(self, other: LowHigh) -> LowHigh {
        self.with(other, |a, b| a + b)
    }
    /// Difference, part by part.
    pub fn minus(self, other: LowHigh) -> LowHigh {
        self.with(other, |a, b| a - b)
    }
}

/// Why no climate can be made of a record.
#[derive(Debug, Clone, PartialEq)]
pub enum ClimateError {
    /// Fewer whole days than five years hold.
    TooShort {
        /// Days with both low and high.
        days: usize,
        /// Days wanted.
        wanted: usize,
    },
    /// The days leave out so much of the year that its curve cannot be drawn.
    YearNotCovered {
        /// Longest stretch of the year without a single day, days.
        hole_days: usize,
    },
}

/// Least number of whole days: about five years.
const DAYS_WANTED: usize = 1800;
/// The year's curve is drawn through holes up to this long (three harmonics have waves of 122 days).
const HOLE_MAX_DAYS: usize = 30;
const MEAN_WAVES: usize = 3;
const SD_WAVES: usize = 2;
/// How far a year speaks for the level of another, e-fold. Measured on 91 years: 4 to 10 are alike, none is 10 % worse.
const LEVEL_MEMORY_YEARS: f64 = 8.0;
/// The level leans to zero as if this many days had shown none.
const LEVEL_PRIOR_DAYS: f64 = 365.0;

/// Days of the year, their means and spreads, and how anomalies persist.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    /// By day of the year, 0 on 1 January (366 entries): means without the slow level.
    mean: Vec<LowHigh>,
    /// By day of the year: standard deviation of daily anomalies.
    sd: Vec<LowHigh>,
    /// Level of each year from `first_level_year`, at its middle.
    level: Vec<LowHigh>,
    first_level_year: i16,
    chain: Chain,
}

/// How standardised anomalies of low and high follow each other from day to day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chain {
    /// Correlation of the anomalies of low and high on one day.
    pub low_high_correlation: f64,
    /// Tomorrow's standard anomaly is this matrix times today's (rows and columns: low, high) and fresh luck.
    pub carry: [[f64; 2]; 2],
    /// Lower triangle that turns two standard normals into a day's anomaly without a past.
    pub(crate) first_root: Matrix2,
    /// The same for the fresh luck of a following day.
    pub(crate) fresh_root: Matrix2,
    /// Standard deviation of the slope (tomorrow less yesterday, halved) of the standard anomaly, per day.
    pub slope_sd: LowHigh,
}

impl Climate {
    /// From the days of `record` before `before` (all of them when `None`).
    pub fn fit(record: &DailyRecord, before: Option<Day>) -> Result<Climate, ClimateError> {
        let days = whole_days(record, before);
        if days.len() < DAYS_WANTED {
            return Err(ClimateError::TooShort { days: days.len(), wanted: DAYS_WANTED });
        }
        let hole_days = longest_hole(&days);
        if hole_days > HOLE_MAX_DAYS {
            return Err(ClimateError::YearNotCovered { hole_days });
        }
        let mut climate = Climate {
            mean: fit_year(&days, MEAN_WAVES, |day| day.value),
            sd: vec![LowHigh { low: 1.0, high: 1.0 }; YEAR_DAYS],
            level: vec![LowHigh::default()],
            first_level_year: days[0].year,
            chain: Chain::independent(),
        };
        climate.level = climate.levels(&days);
        let square = |day: &WholeDay| {
            let anomaly = day.value.minus(climate.mean_at(day.year, day.of_year));
            anomaly.with(anomaly, |a, b| a * b)
        };
        let variance = fit_year(&days, SD_WAVES, square);
        let floor = mean_of(&variance).times(0.1);
        climate.sd = variance.iter().map(|v| v.with(floor, |v, floor| v.max(floor).sqrt())).collect();
        climate.chain = climate.follow(&days);
        Ok(climate)
    }

    /// Mean low and high of a day, °C, at the level of the recent years.
    pub fn mean_c(&self, day: Day) -> LowHigh {
        let (year, of_year) = place_in_year(day);
        self.mean_at(year, of_year)
    }

    /// Standard deviation of a day's low and high about their means, K.
    pub fn sd_c(&self, day: Day) -> LowHigh {
        self.sd[place_in_year(day).1]
    }

    /// How anomalies follow each other.
    pub fn chain(&self) -> &Chain {
        &self.chain
    }

    fn mean_at(&self, year: i16, of_year: usize) -> LowHigh {
        self.mean[of_year].plus(self.level_at(year, of_year))
    }

    /// The level glides between the middles of years, so that no new year begins with a step.
    fn level_at(&self, year: i16, of_year: usize) -> LowHigh {
        let middle = (of_year as f64 - 182.0) / 365.25;
        let (from, share) = if middle < 0.0 { (year - 1, 1.0 + middle) } else { (year, middle) };
        let level = |year: i16| {
            let last = self.level.len() as i16 - 1;
            self.level[(year - self.first_level_year).clamp(0, last) as usize]
        };
        level(from).with(level(from + 1), |a, b| a + (b - a) * share)
    }

    /// Exponentially weighted means of the yearly residuals, one year beyond the last.
    fn levels(&self, days: &[WholeDay]) -> Vec<LowHigh> {
        let (first, last) = (days[0].year, days[days.len() - 1].year);
        let n = (last - first) as usize + 1;
        let mut sums = vec![(LowHigh::default(), 0.0); n];
        for day in days {
            let sum = &mut sums[(day.year - first) as usize];
            sum.0 = sum.0.plus(day.value.minus(self.mean[day.of_year]));
            sum.1 += 1.0;
        }
        (0..=n)
            .map(|year| {
                let mut total = (LowHigh::default(), LEVEL_PRIOR_DAYS);
                for (other, (sum, count)) in sums.iter().enumerate() {
                    let weight = units::exp(-(year.abs_diff(other) as f64) / LEVEL_MEMORY_YEARS);
                    total.0 = total.0.plus(sum.times(weight));
                    total.1 += weight * count;
                }
                total.0.times(1.0 / total.1)
            })
            .collect()
    }

    fn follow(&self, days: &[WholeDay]) -> Chain {
        let standard: Vec<(Day, LowHigh)> = days
            .iter()
            .map(|d| {
                let anomaly = d.value.minus(self.mean_at(d.year, d.of_year));
                (d.day, anomaly.with(self.sd[d.of_year], |a, sd| a / sd))
            })
            .collect();
        Chain::fit(&standard)
    }
}

impl Chain {
    fn independent() -> Chain {
        let one = [[1.0, 0.0], [0.0, 1.0]];
        Chain {
            low_high_correlation: 0.0,
            carry: [[0.0; 2]; 2],
            first_root: one,
            fresh_root: one,
            slope_sd: LowHigh { low: 0.5f64.sqrt(), high: 0.5f64.sqrt() },
        }
    }

    /// From standard anomalies in order of days; gaps are stepped over.
    fn fit(standard: &[(Day, LowHigh)]) -> Chain {
        let mut same = [[0.0; 2]; 2];
        let mut next = [[0.0; 2]; 2];
        let (mut n_next, mut slope, mut n_slope) = (0.0, LowHigh::default(), 0.0);
        for (i, &(day, z)) in standard.iter().enumerate() {
            dense::add_outer(&mut same, z, z);
            if i >= 1 && standard[i - 1].0 == day.plus(-1) {
                dense::add_outer(&mut next, z, standard[i - 1].1);
                n_next += 1.0;
            }
            if i >= 2 && standard[i - 2].0 == day.plus(-2) {
                let rise = z.minus(standard[i - 2].1).times(0.5);
                slope = slope.plus(rise.with(rise, |a, b| a * b));
                n_slope += 1.0;
            }
        }
        // Correlations, not covariances: the standard anomaly has unit variance by definition.
        let scale = [(same[0][0] / standard.len() as f64).sqrt(), (same[1][1] / standard.len() as f64).sqrt()];
        let norm = |m: Matrix2, n: f64| -> Matrix2 {
            std::array::from_fn(|r| std::array::from_fn(|c| m[r][c] / (n * scale[r] * scale[c])))
        };
        let (same, next) = (norm(same, standard.len() as f64), norm(next, f64::max(n_next, 1.0)));
        let carry = dense::times(next, dense::inverse(same));
        let carried = dense::times(dense::times(carry, same), dense::transpose(carry));
        let fresh = std::array::from_fn(|r| std::array::from_fn(|c| same[r][c] - carried[r][c]));
        Chain {
            low_high_correlation: same[0][1],
            carry,
            first_root: dense::root(same),
            fresh_root: dense::root(fresh),
            slope_sd: slope.times(1.0 / f64::max(n_slope, 1.0)).with(slope, |v, _| v.max(1e-4).sqrt()),
        }
    }
}

const YEAR_DAYS: usize = 366;

struct WholeDay {
    day: Day,
    year: i16,
    of_year: usize,
    value: LowHigh,
}

/// Year and place of a day in it, 0 on 1 January.
fn place_in_year(day: Day) -> (i16, usize) {
    let date = day.date();
    (date.year(), date.day_of_year() as usize - 1)
}

fn whole_days(record: &DailyRecord, before: Option<Day>) -> Vec<WholeDay> {
    let mut days = Vec::with_capacity(record.low_c.len());
    for (i, (low, high)) in record.low_c.iter().zip(&record.high_c).enumerate() {
        let day = record.first.plus(i as i32);
        if before.is_some_and(|end| day >= end) {
            break;
        }
        if let (Some(low), Some(high)) = (*low, *high) {
            let (year, of_year) = place_in_year(day);
            days.push(WholeDay { day, year, of_year, value: LowHigh { low, high } });
        }
    }
    days
}

/// Longest stretch of the round year that no day falls in.
fn longest_hole(days: &[WholeDay]) -> usize {
    let mut seen = [false; YEAR_DAYS];
    days.iter().for_each(|d| seen[d.of_year] = true);
    let (mut longest, mut run) = (0, 0);
    for i in 0..2 * YEAR_DAYS {
        run = if seen[i % YEAR_DAYS] { 0 } else { run + 1 };
        longest = longest.max(run.min(YEAR_DAYS));
    }
    longest
}

fn mean_of(values: &[LowHigh]) -> LowHigh {
    values.iter().fold(LowHigh::default(), |sum, &v| sum.plus(v)).times(1.0 / values.len() as f64)
}

/// Harmonics of the year at each of its days, 29 February between its neighbours.
fn waves(of_year: usize, n_waves: usize) -> Vec<f64> {
    let angle = std::f64::consts::TAU * (of_year as f64 + 0.5) / 365.25;
    let mut row = vec![1.0];
    for k in 1..=n_waves {
        row.push(units::cos(k as f64 * angle));
        row.push(units::sin(k as f64 * angle));
    }
    row
}

/// Least squares of a daily value on the harmonics, given back at each day of the year.
fn fit_year(days: &[WholeDay], n_waves: usize, value: impl Fn(&WholeDay) -> LowHigh) -> Vec<LowHigh> {
    let rows: Vec<Vec<f64>> = (0..YEAR_DAYS).map(|d| waves(d, n_waves)).collect();
    let mut sums = vec![(LowHigh::default(), 0.0); YEAR_DAYS];
    for day in days {
        let sum = &mut sums[day.of_year];
        sum.0 = sum.0.plus(value(day));
        sum.1 += 1.0;
    }
    let n = rows[0].len();
    let mut normal = vec![vec![0.0; n]; n];
    let mut right = vec![LowHigh::default(); n];
    for (row, (sum, count)) in rows.iter().zip(&sums) {
        for r in 0..n {
            right[r] = right[r].plus(sum.times(row[r]));
            for c in 0..n {
                normal[r][c] += count * row[r] * row[c];
            }
        }
    }
    // A touch of ridge on the waves: a hole of some weeks must not swing the curve.
    let ridge = 1e-3 * days.len() as f64;
    (1..n).for_each(|k| normal[k][k] += ridge);
    let low = dense::solve(&normal, right.iter().map(|v| v.low).collect());
    let high = dense::solve(&normal, right.iter().map(|v| v.high).collect());
    let at = |row: &Vec<f64>, c: &[f64]| row.iter().zip(c).fold(0.0, |sum, (x, c)| sum + x * c);
    rows.iter().map(|row| LowHigh { low: at(row, &low), high: at(row, &high) }).collect()
}

#[cfg(test)]
#[path = "climate/tests.rs"]
mod tests;
