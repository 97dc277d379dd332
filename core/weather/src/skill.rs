//! How good daily forecasts are, and how knowledge of a coming day gathers from morning to morning.
//!
//! Model     a forecast is the conditional mean of the truth. Of a day's standard anomaly z (variance 1) a forecaster has, at
//!           lead k, gathered u_k units of information: Y = u_k z + noise of variance u_k. The forecast is Y / (1 + u_k), its
//!           variance r_k = u_k / (1 + u_k), its rms error the square root of 1 - r_k. Each morning adds an independent piece.
//! Units     K, days of lead, hours of timing; information has no unit.
//! Range     errors that do not shrink with lead and stay below the anomaly's own standard deviation.
//! Source    r = 1 - e²/s² and its increments: the time inversion of a Wiener process turns "truth plus an error that gains an
//!           independent increment with each day of lead" into "information that gains an independent piece with each
//!           morning" (Karatzas and Shreve 1991, Brownian Motion and Stochastic Calculus, section 2.9, memory).
//! Left out  spells in which forecasts are better or worse than usual.

use crate::climate::LowHigh;

/// Why a table of forecast errors cannot be used.
#[derive(Debug, Clone, PartialEq)]
pub enum SkillError {
    /// No lead at all, or more than [`LEADS_MAX`].
    Leads {
        /// How many were given.
        given: usize,
    },
    /// An error that is not a positive number.
    NotPositive {
        /// Days of lead.
        lead: usize,
        /// What was given.
        error_sd_c: f64,
    },
    /// An error smaller than that of a shorter lead.
    Shrinks {
        /// Days of lead of the smaller error.
        lead: usize,
    },
    /// The anomaly's standard deviation, or the timing error, is not a usable number.
    Spread {
        /// What was given.
        value: f64,
    },
}

/// Most days of lead, today being lead 0.
pub const LEADS_MAX: usize = 20;

/// Forecast errors by lead, as data.
#[derive(Debug, Clone, PartialEq)]
pub struct ForecastSkill {
    error_sd_c: Vec<f64>,
    anomaly_sd_c: f64,
    timing_sd_h_at_5d: f64,
    /// Information by lead, with a closing zero.
    information: Vec<f64>,
}

/// Least share of the variance that stays unknown: a forecast is never the truth.
const UNSEEN_MIN: f64 = 1e-4;
/// Lead at which the timing error is stated.
const TIMING_LEAD: usize = 5;
/// Most of the error that may be timing.
const TIMING_SHARE_MAX: f64 = 0.9;

impl ForecastSkill {
    /// `error_sd_c[k]`: rms error of the forecast of a day's low, and of its high, `k` days ahead, in a season in which such
    /// anomalies have the standard deviation `anomaly_sd_c`. In other seasons errors grow and shrink with the anomalies, so
    /// that the share seen at a lead is the same all year. `timing_sd_h_at_5d`: standard deviation of the hour at which
    /// changes come, five days ahead; it is a part of the error, not beside it.
    pub fn new(error_sd_c: Vec<f64>, anomaly_sd_c: f64, timing_sd_h_at_5d: f64) -> Result<ForecastSkill, SkillError> {
        if error_sd_c.is_empty() || error_sd_c.len() > LEADS_MAX {
            return Err(SkillError::Leads { given: error_sd_c.len() });
        }
        if !(anomaly_sd_c.is_finite() && anomaly_sd_c > 0.0) {
            return Err(SkillError::Spread { value: anomaly_sd_c });
        }
        if !(timing_sd_h_at_5d.is_finite() && timing_sd_h_at_5d >= 0.0) {
            return Err(SkillError::Spread { value: timing_sd_h_at_5d });
        }
        for (lead, &error) in error_sd_c.iter().enumerate() {
            if !(error.is_finite() && error > 0.0) {
                return Err(SkillError::NotPositive { lead, error_sd_c: error });
            }
            if lead > 0 && error < error_sd_c[lead - 1] {
                return Err(SkillError::Shrinks { lead });
            }
        }
        let unseen = |error: &f64| {
            let ratio = error / anomaly_sd_c;
            (ratio * ratio).clamp(UNSEEN_MIN, 1.0)
        };
        let mut information: Vec<f64> = error_sd_c.iter().map(unseen).map(|unseen| (1.0 - unseen) / unseen).collect();
        information.push(0.0);
        Ok(ForecastSkill { error_sd_c, anomaly_sd_c, timing_sd_h_at_5d, information })
    }

    /// Our best guess for a public service's daily lows and highs in the warm-temperate belt, autumn.
    ///
    /// Memory of verification practice, not a farm's own archive, which should replace it: about 1 K on the daily mean one
    /// day ahead (1.4 K on a low or a high), an anomaly correlation of 0.76 at five days and 0.37 at ten, none at fifteen.
    /// The anomaly's 4.3 K is measured: September to November, lows and highs, on the 91-year piedmont record.
    pub fn default_daily() -> ForecastSkill {
        let errors = [1.1, 1.4, 1.75, 2.1, 2.45, 2.8, 3.1, 3.4, 3.65, 3.85, 4.0, 4.1, 4.17, 4.22, 4.26].to_vec();
        ForecastSkill::new(errors, 4.3, 12.0).expect("the table above is in order")
    }

    /// The same with errors and timing multiplied: forecasts worse or better than believed.
    pub fn scaled(&self, error_factor: f64, timing_factor: f64) -> Result<ForecastSkill, SkillError> {
        let errors = self.error_sd_c.iter().map(|e| e * error_factor).collect();
        ForecastSkill::new(errors, self.anomaly_sd_c, self.timing_sd_h_at_5d * timing_factor)
    }

    /// The same for a forecast that speaks of its first `n_leads` days only (at least one, at most all).
    pub fn first_leads(&self, n_leads: usize) -> ForecastSkill {
        let n = n_leads.clamp(1, self.n_leads());
        let mut information = self.information[..n].to_vec();
        information.push(0.0);
        ForecastSkill { error_sd_c: self.error_sd_c[..n].to_vec(), information, ..self.clone() }
    }

    /// How many days a forecast speaks of, today included.
    pub fn n_leads(&self) -> usize {
        self.error_sd_c.len()
    }

    /// Errors by lead, K.
    pub fn error_sd_c(&self) -> &[f64] {
        &self.error_sd_c
    }

    /// Standard deviation of anomalies that the errors belong to, K.
    pub fn anomaly_sd_c(&self) -> f64 {
        self.anomaly_sd_c
    }

    /// Timing error of changes five days ahead, hours.
    pub fn timing_sd_h_at_5d(&self) -> f64 {
        self.timing_sd_h_at_5d
    }

    /// Share of a day's variance that the forecast knows, 0 to 1; nothing beyond the last lead.
    pub fn seen_share(&self, lead: usize) -> f64 {
        let u = self.information(lead);
        u / (1.0 + u)
    }

    /// Rms error of a day's low and high at a lead, in a season in which their anomalies have these standard deviations (see
    /// `Climate::sd_c`), K; the climate's own beyond the last lead.
    pub fn error_c(&self, lead: usize, anomaly_sd_c: LowHigh) -> LowHigh {
        anomaly_sd_c.times((1.0 - self.seen_share(lead)).sqrt())
    }

    /// Information gathered at a lead; none beyond the last.
    pub(crate) fn information(&self, lead: usize) -> f64 {
        self.information.get(lead).copied().unwrap_or(0.0)
    }

    /// Information that the morning at this lead adds.
    pub(crate) fn fresh_information(&self, lead: usize) -> f64 {
        self.information(lead) - self.information(lead + 1)
    }

    /// Share of the noise that is timing, where the slope of the standard anomaly has this standard deviation per day.
    pub(crate) fn timing_share(&self, slope_sd: f64) -> f64 {
        let lead = TIMING_LEAD.min(self.n_leads() - 1);
        let shift_days = self.timing_sd_h_at_5d / 24.0 * (lead.max(1) as f64 / TIMING_LEAD as f64);
        let moved = shift_days * slope_sd;
        (moved * moved * self.information(lead)).min(TIMING_SHARE_MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_share_seen_is_one_less_the_squared_error() {
        let skill = ForecastSkill::new(vec![1.0, 2.0, 4.0, 5.0], 4.0, 12.0).expect("in order");
        for (lead, expected) in [(0, 0.9375), (1, 0.75), (2, 0.0), (3, 0.0), (4, 0.0), (99, 0.0)] {
            assert!((skill.seen_share(lead) - expected).abs() < 1e-12, "{lead}");
        }
        // Where anomalies are half as large, so are errors; never larger than the anomalies themselves.
        let small = LowHigh { low: 2.0, high: 1.0 };
        for (lead, low) in [(0, 0.5), (1, 1.0), (2, 2.0), (9, 2.0)] {
            let error = skill.error_c(lead, small);
            assert!((error.low - low).abs() < 1e-12 && (error.high - 0.5 * low).abs() < 1e-12, "{lead}");
        }
        let worse = skill.scaled(1.5, 2.0).expect("in order");
        assert!((worse.seen_share(1) - (1.0 - 9.0 / 16.0)).abs() < 1e-12);
        assert_eq!(worse.timing_sd_h_at_5d(), 24.0);
        let short = skill.first_leads(1);
        assert_eq!((short.n_leads(), short.seen_share(0), short.seen_share(1)), (1, skill.seen_share(0), 0.0));
        assert_eq!(skill.first_leads(9), skill);
    }

    #[test]
    fn a_table_out_of_order_is_refused() {
        for (errors, sd, timing, refused) in [
            (vec![], 4.0, 12.0, SkillError::Leads { given: 0 }),
            (vec![1.0; 21], 4.0, 12.0, SkillError::Leads { given: 21 }),
            (vec![1.0, 0.9], 4.0, 12.0, SkillError::Shrinks { lead: 1 }),
            (vec![0.0], 4.0, 12.0, SkillError::NotPositive { lead: 0, error_sd_c: 0.0 }),
            (vec![f64::INFINITY], 4.0, 12.0, SkillError::NotPositive { lead: 0, error_sd_c: f64::INFINITY }),
            (vec![1.0], 0.0, 12.0, SkillError::Spread { value: 0.0 }),
            (vec![1.0], 4.0, -1.0, SkillError::Spread { value: -1.0 }),
        ] {
            assert_eq!(ForecastSkill::new(errors, sd, timing), Err(refused));
        }
    }

    #[test]
    fn timing_is_a_part_of_the_error_and_never_all_of_it() {
        let skill = ForecastSkill::default_daily();
        // 12 h of a slope of 0.55 a day, against an error of 2.8 in 4.3: 0.105 of it.
        let u = skill.information(5);
        assert!((skill.timing_share(0.55) - 0.25 * 0.55 * 0.55 * u).abs() < 1e-12);
        assert!((0.09..0.12).contains(&skill.timing_share(0.55)));
        assert!(skill.scaled(0.3, 9.0).expect("in order").timing_share(0.6) <= 0.9);
    }
}
