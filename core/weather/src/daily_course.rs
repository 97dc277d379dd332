//! Air temperature between lows and highs whose times are known or usual.
//!
//! Model     from a low to a high along a quarter sine; from the high down the same sine until sunset, then an exponential fall
//!           that lands on the next low. Lows and highs are a sequence with times, not values of calendar days, so a night that
//!           goes on falling into the next noon is no contradiction.
//! Units     °C; hours.
//! Range     any latitude where the sun rises; else straight half-cosines.
//! Source    Parton and Logan (1981), Agric. Meteor. 23, 205-216; their a = 1.86 h, b = 2.20, c = -0.17 h (memory). Measured in
//!           docs/model/weather.md.
//! Left out  cloud and fronts within the day: for those see `hours_for_days`.

use units::{Instant, SECONDS_PER_HOUR, cos, exp, sin};

use crate::air::{DayExtremes, Place};
use crate::sun;

/// Hours the highest temperature comes after noon.
const HIGH_AFTER_NOON_H: f64 = 1.86;
/// Steepness of the night's fall.
const NIGHT_FALL: f64 = 2.20;
/// Hours the lowest temperature comes after sunrise.
const LOW_AFTER_SUNRISE_H: f64 = -0.17;

/// A low or high at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimedExtreme {
    /// When.
    pub at: Instant,
    /// °C.
    pub air_temp_c: f64,
    /// Highest (else lowest).
    pub is_high: bool,
}

fn hours_later(at: Instant, hours: f64) -> Instant {
    Instant(at.0 + (hours * SECONDS_PER_HOUR as f64).round() as i64)
}

/// Lows about sunrise and highs in the afternoon, in order.
pub fn usual_times(days: &[DayExtremes], place: &Place) -> Vec<TimedExtreme> {
    let mut timed = Vec::with_capacity(2 * days.len());
    for day in days {
        let noon = sun::solar_noon(day.day, place);
        let half_day_h = 0.5 * sun::day_length_h(place.latitude_deg, day.day.day_of_year());
        let low_at = hours_later(noon, -half_day_h + LOW_AFTER_SUNRISE_H);
        timed.push(TimedExtreme { at: low_at, air_temp_c: day.low_c, is_high: false });
        timed.push(TimedExtreme { at: hours_later(noon, HIGH_AFTER_NOON_H), air_temp_c: day.high_c, is_high: true });
    }
    timed
}

/// Mean temperature of each hour from `start`, °C. Before the first extreme and after the last, theirs is held.
pub fn between_parton_logan_1981(extremes: &[TimedExtreme], start: Instant, n_hours: usize, place: &Place) -> Vec<f64> {
    let Some((first, last)) = extremes.first().zip(extremes.last()) else { return Vec::new() };
    (0..n_hours)
        .map(|hour| {
            let middle = Instant(start.plus_hours(hour as i64).0 + SECONDS_PER_HOUR / 2);
            let after = extremes.partition_point(|extreme| extreme.at <= middle);
            match (after.checked_sub(1), extremes.get(after)) {
                (None, _) => first.air_temp_c,
                (_, None) => last.air_temp_c,
                (Some(before), Some(to)) => {
                    let low_before = before.checked_sub(1).map(|at| &extremes[at]);
                    course(low_before, &extremes[before], to, middle, place)
                }
            }
        })
        .collect()
}

fn hours_between(from: Instant, to: Instant) -> f64 {
    (to.0 - from.0) as f64 / SECONDS_PER_HOUR as f64
}

fn course(
    low_before: Option<&TimedExtreme>,
    from: &TimedExtreme,
    to: &TimedExtreme,
    at: Instant,
    place: &Place,
) -> f64 {
    let span_h = hours_between(from.at, to.at).max(1e-6);
    let passed_h = hours_between(from.at, at);
    let rise = to.air_temp_c - from.air_temp_c;
    let half_cosine = || from.air_temp_c + rise * 0.5 * (1.0 - cos(std::f64::consts::PI * passed_h / span_h));
    match (from.is_high, to.is_high) {
        (false, true) => from.air_temp_c + rise * sin(0.5 * std::f64::consts::PI * passed_h / span_h),
        (true, false) => {
            let (day, _) = place.standard_day(from.at);
            let half_day_h = 0.5 * sun::day_length_h(place.latitude_deg, day.day_of_year());
            let sunset = hours_later(sun::solar_noon(day, place), half_day_h);
            let (Some(low), true) = (low_before, from.at < sunset && sunset < to.at) else { return half_cosine() };
            // The afternoon goes down the sine that the morning came up.
            let morning_h = hours_between(low.at, from.at).max(1e-6);
            let down = |passed_h: f64| {
                low.air_temp_c
                    + (from.air_temp_c - low.air_temp_c) * cos(0.5 * std::f64::consts::PI * passed_h / morning_h)
            };
            let sunset_h = hours_between(from.at, sunset);
            if passed_h <= sunset_h {
                return down(passed_h);
            }
            let night = (passed_h - sunset_h) / (span_h - sunset_h).max(1e-6);
            let end = exp(-NIGHT_FALL);
            let left = (exp(-NIGHT_FALL * night) - end) / (1.0 - end);
            to.air_temp_c + (down(sunset_h) - to.air_temp_c) * left
        }
        _ => half_cosine(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{Day, Zone};

    #[test]
    fn extremes_are_met_and_never_passed() {
        for (latitude_deg, longitude_deg, zone) in
            [(34.7, -82.8, "America/New_York"), (-34.0, -64.0, "America/Argentina/Cordoba"), (21.0, 78.0, "+05:30")]
        {
            let zone = Zone::parse(zone).expect("a zone");
            let place = Place { latitude_deg, longitude_deg, elevation_m: 200.0, zone };
            let first = Day::new(2020, 9, 1).expect("a date");
            let days: Vec<DayExtremes> = (0..4)
                .map(|i| DayExtremes {
                    day: first.plus(i),
                    low_c: 15.0 - 2.0 * f64::from(i),
                    high_c: 28.0 - f64::from(i),
                })
                .collect();
            let hours = between_parton_logan_1981(&usual_times(&days, &place), place.day_start(first), 96, &place);
            for (i, day) in days.iter().enumerate().take(3).skip(1) {
                let of_day = &hours[24 * i..24 * (i + 1)];
                let coldest = (0..24).min_by(|&a, &b| of_day[a].total_cmp(&of_day[b])).expect("24 hours");
                let warmest = (0..24).max_by(|&a, &b| of_day[a].total_cmp(&of_day[b])).expect("24 hours");
                assert!((4..=7).contains(&coldest), "coldest at {coldest}");
                assert!((12..=16).contains(&warmest), "warmest at {warmest}");
                assert!((of_day[coldest] - day.low_c).abs() < 0.5, "{} {}", of_day[coldest], day.low_c);
                assert!(of_day.iter().all(|t| *t <= day.high_c + 1e-9 && *t >= day.low_c - 2.0 - 1e-9));
            }
        }
    }

    #[test]
    fn a_morning_is_a_quarter_sine_and_a_night_lands_on_its_low() {
        let place = Place { latitude_deg: 35.0, longitude_deg: -80.0, elevation_m: 0.0, zone: Zone::utc() };
        let low_at = sun::at_solar_hour(Day(18_500), 6.0, &place);
        let extremes = [(0, 10.0, false), (8, 20.0, true), (24, 12.0, false), (32, 22.0, true)]
            .map(|(hour, air_temp_c, is_high)| TimedExtreme { at: low_at.plus_hours(hour), air_temp_c, is_high });
        let at = |hour: i64| {
            let start = Instant(low_at.plus_hours(hour).0 - SECONDS_PER_HOUR / 2);
            between_parton_logan_1981(&extremes, start, 1, &place)[0]
        };
        for (hour, expected) in
            [(0, 10.0), (4, 10.0 + 10.0 * 0.5_f64.sqrt()), (8, 20.0), (24, 12.0), (28, 12.0 + 10.0 * 0.5_f64.sqrt())]
        {
            assert!((at(hour) - expected).abs() < 1e-9, "{hour}: {}", at(hour));
        }
        // Steep after sunset, level before dawn.
        assert!(at(14) - at(15) > 2.0 * (at(22) - at(23)), "{} {} {} {}", at(14), at(15), at(22), at(23));
        assert!((9..24).all(|hour| at(hour) < at(hour - 1)));
    }

    #[test]
    fn a_front_falls_through_the_day() {
        // A high just after midnight, then falling: a sequence can say it, a pair of calendar values cannot.
        let place = Place { latitude_deg: 35.0, longitude_deg: -80.0, elevation_m: 0.0, zone: Zone::utc() };
        let start = Instant(1_600_000_000);
        let extremes = [
            TimedExtreme { at: start, air_temp_c: 20.0, is_high: true },
            TimedExtreme { at: start.plus_hours(30), air_temp_c: 4.0, is_high: false },
        ];
        let hours = between_parton_logan_1981(&extremes, start, 30, &place);
        assert!(hours.windows(2).all(|pair| pair[1] < pair[0]), "{hours:?}");
        assert_eq!(between_parton_logan_1981(&[], start, 3, &place), Vec::<f64>::new());
    }
}
