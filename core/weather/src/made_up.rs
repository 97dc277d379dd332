//! A made-up place with a known climate, for tests.

use chance::{Purpose, Stream};
use units::{Day, Instant};

use crate::air::{AirHour, AirSeries, DailyRecord};
use crate::climate::LowHigh;
use crate::library::{Library, PastSeason, SeasonWindow};
use crate::{longwave, moist};

pub(crate) const WINDOW: SeasonWindow = SeasonWindow { month: 5, day: 1, n_days: 240 };
pub(crate) const CARRY: f64 = 0.65;
pub(crate) const LOW_HIGH: f64 = 0.45;

/// True mean of a day, °C, `turn` days later in the year than in the north.
pub(crate) fn mean_c(day: Day, turn: i32) -> LowHigh {
    let angle = std::f64::consts::TAU * (f64::from(day.plus(-turn).day_of_year()) - 15.0) / 365.25;
    let wave = -units::cos(angle);
    LowHigh { low: 10.0 + 10.0 * wave, high: 22.0 + 10.0 * wave }
}

/// True standard deviation, K.
pub(crate) fn sd_c(day: Day, turn: i32) -> LowHigh {
    let angle = std::f64::consts::TAU * (f64::from(day.plus(-turn).day_of_year()) - 15.0) / 365.25;
    let size = 3.5 + 1.5 * units::cos(angle);
    LowHigh { low: size, high: 0.9 * size }
}

/// Years 1961 on of Gaussian weather.
pub(crate) fn record(years: i16, seed: u64, turn: i32) -> DailyRecord {
    let first = Day::new(1961, 1, 1).expect("a date");
    let end = Day::new(1961 + years, 1, 1).expect("a date");
    let n = (end.0 - first.0) as usize;
    let mut luck = Stream::new(seed, 0, Purpose(900));
    let other = (1.0 - LOW_HIGH * LOW_HIGH).sqrt();
    let fresh = (1.0 - CARRY * CARRY).sqrt();
    let mut state = LowHigh::default();
    let mut record = DailyRecord { first, low_c: Vec::with_capacity(n), high_c: Vec::with_capacity(n) };
    for i in 0..n {
        let day = first.plus(i as i32);
        let (a, b) = (luck.normal(), luck.normal());
        let drawn = LowHigh { low: a, high: LOW_HIGH * a + other * b };
        state = if i == 0 { drawn } else { state.times(CARRY).plus(drawn.times(fresh)) };
        let value = mean_c(day, turn).plus(state.with(sd_c(day, turn), |z, sd| z * sd));
        record.low_c.push(Some(value.low));
        record.high_c.push(Some(value.high.max(value.low + 0.2)));
    }
    record
}

pub(crate) fn library(record: &DailyRecord, window: SeasonWindow) -> Library {
    let mut library = Library::empty(window);
    for days in Library::whole_seasons(record, window).0 {
        let hour = |i: usize, of_day: usize| {
            // From each low at 06 h to the high at 15 h and down to the next low, as the shifts glide.
            let clock = of_day as f64 + 0.5;
            let (now, next) = (&days[i], &days[(i + 1).min(days.len() - 1)]);
            let before = &days[i.saturating_sub(1)];
            let air_temp_c = if clock < 6.0 {
                before.high_c + (now.low_c - before.high_c) * (clock + 9.0) / 15.0
            } else if clock < 15.0 {
                now.low_c + (now.high_c - now.low_c) * (clock - 6.0) / 9.0
            } else {
                now.high_c + (next.low_c - now.high_c) * (clock - 15.0) / 15.0
            };
            let vapour_pressure_hpa = moist::saturation_bolton_1980(air_temp_c - 4.0);
            AirHour {
                air_temp_c,
                vapour_pressure_hpa,
                wind_m_s: 1.0 + (i % 5) as f64,
                shortwave_w_m2: 10.0 * of_day as f64,
                longwave_w_m2: longwave::sky_unsworth_monteith_1975(air_temp_c, vapour_pressure_hpa, 0.3),
                pressure_hpa: 985.0,
                rain_mm: 0.0,
            }
        };
        let hours = (0..days.len()).flat_map(|i| (0..24).map(move |h| (i, h))).map(|(i, h)| hour(i, h)).collect();
        let air = AirSeries { start: Instant(i64::from(days[0].day.0) * 86_400), hours };
        library.add(&PastSeason { year: days[0].day.ymd().0, days, air }).expect("whole and in order");
    }
    library
}
