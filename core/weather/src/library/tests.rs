use units::Lanes;

use super::*;
use crate::made_up::{self, WINDOW};
use crate::{longwave, moist};

fn date(text: &str) -> Day {
    Day::parse(text).expect("a date")
}

#[test]
fn a_day_has_its_place_in_a_season() {
    let south = SeasonWindow { month: 11, day: 1, n_days: 200 };
    for (window, day, expected) in [
        (WINDOW, "2020-05-01", Some((2020, 0))),
        (WINDOW, "2020-12-26", Some((2020, 239))),
        (WINDOW, "2021-01-10", Some((2020, 254))),
        (WINDOW, "2021-04-20", Some((2021, -11))),
        (south, "2020-11-01", Some((2020, 0))),
        (south, "2021-03-01", Some((2020, 120))),
        (south, "2021-10-20", Some((2021, -12))),
    ] {
        assert_eq!(window.place(date(day)), expected, "{day}");
    }
}

#[test]
fn a_library_finds_its_days() {
    let mut record = made_up::record(6, 1, 0);
    record.low_c[(date("1963-08-01").0 - record.first.0) as usize] = None;
    let (whole, left_out) = Library::whole_seasons(&record, WINDOW);
    assert_eq!((whole.len(), left_out), (5, vec![(1963, date("1963-08-01"))]));
    let library = made_up::library(&record, WINDOW);
    assert_eq!(library.years(), [1961, 1962, 1964, 1965, 1966]);
    assert_eq!(library.n_days(), 5 * 240);
    for library_day in [0, 239, 240, 777, 1199] {
        assert_eq!(library.find(library.day(library_day)), Some(library_day));
        let low = library.low_high_c(library_day).low;
        assert_eq!(Some(low), record.day(library.day(library_day)).map(|day| day.low_c));
    }
    for outside in ["1960-06-01", "1961-04-30", "1963-08-01", "1966-12-27"] {
        assert_eq!(library.find(date(outside)), None, "{outside}");
    }
    assert_eq!(library.day(library.season(2).start), date("1964-05-01"));
}

#[test]
fn a_season_that_does_not_fit_is_refused() {
    let record = made_up::record(3, 1, 0);
    let days = Library::whole_seasons(&record, WINDOW).0.remove(1);
    let hours = vec![AirHour::default(); 24 * 240];
    let air = AirSeries { start: units::Instant(0), hours };
    let season = PastSeason { year: 1962, days, air };
    let mut library = Library::empty(WINDOW);
    library.add(&season).expect("fits");
    assert_eq!(library.add(&season), Err(LibraryError::Order { year: 1962 }));
    let mut other = PastSeason { year: 1963, ..season.clone() };
    assert_eq!(library.add(&other), Err(LibraryError::Days { year: 1963, given: 240 }));
    other = season.clone();
    other.air.hours.pop();
    assert_eq!(Library::empty(WINDOW).add(&other), Err(LibraryError::Hours { year: 1962, given: 5759 }));
    other = season;
    other.days.pop();
    assert_eq!(Library::empty(WINDOW).add(&other), Err(LibraryError::Days { year: 1962, given: 239 }));
}

/// A stored hour by its temperature, dew point and cloud.
fn hour(air_temp_c: f64, dew_point_c: f64, cloud: f64) -> [f64; 8] {
    let vapour_pressure_hpa = moist::saturation_bolton_1980(dew_point_c);
    let longwave_w_m2 = longwave::sky_unsworth_monteith_1975(air_temp_c, vapour_pressure_hpa, cloud);
    [air_temp_c, vapour_pressure_hpa, 3.0, 400.0, longwave_w_m2, 990.0, 0.5, dew_point_c]
}

#[test]
fn moved_air_is_what_the_formulas_make_of_it() {
    for (air, dew, cloud) in [(25.0, 18.0, 0.0), (10.0, 9.9, 1.0), (2.0, -6.0, 0.5), (35.0, 20.0, 0.2)] {
        for shift in [0.0, 0.5, -3.0, 8.0, -12.0] {
            let got = shifted(&hour(air, dew, cloud), shift);
            let expected = hour(air + shift, dew + shift, cloud);
            let case = (air, dew, cloud, shift);
            assert!((got.air_temp_c - expected[0]).abs() < 1e-12, "{case:?}");
            assert!((got.vapour_pressure_hpa / expected[1] - 1.0).abs() < 1e-9, "{case:?}");
            assert!((got.longwave_w_m2 - expected[4]).abs() < 1e-3, "{case:?}");
            assert_eq!((got.wind_m_s, got.shortwave_w_m2, got.pressure_hpa, got.rain_mm), (3.0, 400.0, 990.0, 0.5));
            let lanes = shifted(&hour(air, dew, cloud).map(Lanes::splat), Lanes::splat(shift));
            // Single precision, 24 bits, through a difference of large numbers.
            assert!((lanes.longwave_w_m2.lane(3) - expected[4]).abs() < 2e-3, "{case:?}");
            assert!((lanes.vapour_pressure_hpa.lane(15) / expected[1] - 1.0).abs() < 2e-6, "{case:?}");
        }
    }
}

#[test]
fn a_past_ends_before_its_morning() {
    let record = made_up::record(10, 2, 0);
    let library = made_up::library(&record, WINDOW);
    let climate = Climate::fit(&record, None).expect("long enough");
    for (before, expected) in
        [(None, 10), (Some("1961-05-01"), 0), (Some("1965-12-26"), 4), (Some("1965-12-27"), 5), (Some("1966-09-01"), 5)]
    {
        assert_eq!(Past::new(&library, &climate, before.map(date)).n_seasons(), expected, "{before:?}");
    }
}
