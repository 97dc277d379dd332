//! A member's hours: its donor's, moved by shifts that glide between the low near 06 h and the high near 15 h.

use units::{LANES, Lanes, Real};

use super::{Members, PathDay};
use crate::air::AirHour;
use crate::library::{AirRow, Library, shifted};

/// Hours of the day at which the shifts of low and high hold.
const LOW_HOUR: f32 = 6.0;
const HIGH_HOUR: f32 = 15.0;
/// Fading of a join's jump, e-fold.
pub(super) const JUMP_MEMORY_HOURS: f64 = 12.0;

impl Members {
    /// Air of sixteen members from `first` on, at an hour counted from today's midnight (standard time). Places past the last
    /// member repeat it. A member's air is the same to the bit whatever its neighbours.
    pub fn air_lanes(&self, library: &Library, first: usize, hour: usize) -> AirRow<Lanes> {
        let mut stored = [Lanes::splat(0.0); 8];
        let mut shift = Lanes::splat(0.0);
        for lane in 0..LANES {
            let member = (first + lane).min(self.len() - 1);
            let day = member * self.n_days + hour / 24;
            let values = library.stored(self.path[day].library_day as usize, hour % 24);
            for (to, from) in stored.iter_mut().zip(values) {
                to.0[lane] = *from;
            }
            shift.0[lane] = self.shift_c(member, hour);
        }
        shifted(&stored, shift)
    }

    /// Air of one member at an hour counted from today's midnight.
    pub fn air(&self, library: &Library, member: usize, hour: usize) -> AirHour {
        let day = &self.path[member * self.n_days + hour / 24];
        let stored = library.stored(day.library_day as usize, hour % 24).map(f64::from);
        let row = shifted(&stored, f64::from(self.shift_c(member, hour)));
        AirHour {
            air_temp_c: row.air_temp_c,
            vapour_pressure_hpa: row.vapour_pressure_hpa,
            wind_m_s: row.wind_m_s,
            shortwave_w_m2: row.shortwave_w_m2,
            longwave_w_m2: row.longwave_w_m2,
            pressure_hpa: row.pressure_hpa,
            rain_mm: row.rain_mm,
        }
    }

    fn shift_c(&self, member: usize, hour: usize) -> f32 {
        let days = &self.path[member * self.n_days..(member + 1) * self.n_days];
        let (day, of_day) = (hour / 24, hour % 24);
        glide(days, day, of_day) + days[day].jump_c * fading(of_day)
    }
}

fn glide(days: &[PathDay], day: usize, of_day: usize) -> f32 {
    let clock = of_day as f32 + 0.5;
    let now = &days[day];
    let night = 24.0 - (HIGH_HOUR - LOW_HOUR);
    let (from, to, share) = if clock < LOW_HOUR {
        let evening = if day > 0 { days[day - 1].high_shift_c } else { now.low_shift_c };
        (evening, now.low_shift_c, (clock + 24.0 - HIGH_HOUR) / night)
    } else if clock < HIGH_HOUR {
        (now.low_shift_c, now.high_shift_c, (clock - LOW_HOUR) / (HIGH_HOUR - LOW_HOUR))
    } else {
        let morning = days.get(day + 1).map_or(now.high_shift_c, |next| next.low_shift_c);
        (now.high_shift_c, morning, (clock - HIGH_HOUR) / night)
    };
    from + (to - from) * share
}

/// What is left of a jump in the middle of an hour of the day.
fn fading(of_day: usize) -> f32 {
    FADING[of_day]
}

/// exp(-(hour + 1/2) / 12), spelled out so that no hour has to work it out; checked by a test.
const FADING: [f32; 24] = [
    0.959189457,
    0.882496903,
    0.811936346,
    0.747017500,
    0.687289279,
    0.632336662,
    0.581777814,
    0.535261429,
    0.492464288,
    0.453089017,
    0.416862020,
    0.383531573,
    0.352866081,
    0.324652467,
    0.298694689,
    0.274812381,
    0.252839596,
    0.232623658,
    0.214024097,
    0.196911675,
    0.181167487,
    0.166682134,
    0.153354967,
    0.141093381,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shifts_glide_without_a_step() {
        let day = |low_shift_c, high_shift_c| PathDay { low_shift_c, high_shift_c, ..PathDay::default() };
        let days = [day(0.0, 9.0), day(-6.0, 3.0), day(2.0, -7.0), day(0.0, 0.0)];
        let shifts: Vec<f32> = (0..96).map(|hour| glide(&days, hour / 24, hour % 24)).collect();
        for (hour, two) in shifts.windows(2).enumerate() {
            // Never faster than 9 K from 06 h to 15 h, or 15 K from 15 h to 06 h.
            assert!((two[1] - two[0]).abs() < 1.001, "hour {hour}: {two:?}");
        }
        for (at, expected) in [(6, 0.0), (15, 9.0), (30, -6.0), (39, 3.0), (54, 2.0), (63, -7.0)] {
            let there = 0.5 * (shifts[at - 1] + shifts[at]);
            assert!((there - expected).abs() < 0.51, "hour {at}: {there} against {expected}");
        }
    }

    #[test]
    fn the_fading_table_is_an_exponential() {
        for (hour, &left) in FADING.iter().enumerate() {
            let exact = units::exp(-(hour as f64 + 0.5) / JUMP_MEMORY_HOURS);
            assert!((f64::from(left) - exact).abs() < 1e-7, "{hour}: {left} against {exact}");
        }
    }
}
