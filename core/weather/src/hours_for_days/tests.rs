use super::*;
use crate::air::{HourlyRecord, PartHour, Place};
use crate::donors::DonorRecord;
use chance::Purpose;
use units::{Day, Zone};

fn place(latitude_deg: f64, longitude_deg: f64, zone: &str) -> Place {
    let zone = Zone::parse(zone).expect("a zone");
    Place { latitude_deg, longitude_deg, elevation_m: 250.0, zone }
}

/// A made-up year of hours: wide sunny days and narrow clouded, windy, wet ones by turns of three.
fn lending_year(place: &Place) -> HourlyRecord {
    let first = Day::new(2019, 1, 1).expect("a date");
    let south = place.latitude_deg < 0.0;
    let hours = (0..365 * 24)
        .map(|i| {
            let day = i / 24;
            let angle = (day as f64 - 20.0) / 365.25 * std::f64::consts::TAU;
            let season = if south { 16.0 + 10.0 * units::cos(angle) } else { 16.0 - 10.0 * units::cos(angle) };
            let clouded = day / 3 % 2 == 1;
            let swing = if clouded { 2.0 } else { 7.0 };
            let hour = (i % 24) as f64;
            let air = season - swing * units::cos((hour - 3.0) / 24.0 * std::f64::consts::TAU);
            PartHour {
                air_temp_c: Some(air),
                vapour_pressure_hpa: Some(saturation_bolton_1980(season - swing - 1.0)),
                wind_m_s: Some(if clouded { 5.0 } else { 1.5 }),
                cloud_fraction: Some(if clouded { 0.95 } else { 0.1 }),
                rain_mm: Some(if clouded { 0.5 } else { 0.0 }),
                pressure_hpa: Some(if clouded { 980.0 } else { 990.0 }),
                line: i as u32 + 2,
                ..PartHour::default()
            }
        })
        .collect();
    HourlyRecord { start: place.day_start(first), hours, place: Some(place.clone()) }
}

/// Days of the same making at the borrower.
fn days(first: Day, n: i32, south: bool) -> Vec<DayExtremes> {
    (0..n)
        .map(|i| {
            let day = first.plus(i);
            let angle = (f64::from(day.day_of_year()) - 20.0) / 365.25 * std::f64::consts::TAU;
            let season = if south { 15.0 + 10.0 * units::cos(angle) } else { 15.0 - 10.0 * units::cos(angle) };
            let swing = if i / 4 % 2 == 1 { 2.0 } else { 7.0 };
            DayExtremes { day, low_c: season - swing, high_c: season + swing }
        })
        .collect()
}

fn normals(days: &[DayExtremes]) -> Normals {
    let record = DailyRecord {
        first: days[0].day,
        low_c: days.iter().map(|day| Some(day.low_c)).collect(),
        high_c: days.iter().map(|day| Some(day.high_c)).collect(),
    };
    Normals::of(&record).expect("enough days")
}

fn run(place: &Place, member: u32) -> (Vec<DayExtremes>, AirSeries) {
    let lender = self::place(36.0, -80.0, "-05:00");
    let donors = DonorRecord::of(vec![("made up".to_owned(), lending_year(&lender))]).expect("a year");
    let days = days(Day::new(2021, 1, 1).expect("a date"), 364, place.latitude_deg < 0.0);
    let mut stream = Stream::new(1, member, Purpose(9));
    let air = hours_for_days(&days, &normals(&days), &donors.for_place(place), &mut stream);
    (days, air)
}

#[test]
fn lows_and_highs_are_kept_exactly_everywhere_on_earth() {
    for (latitude_deg, longitude_deg, zone) in [
        (34.7, -82.8, "America/New_York"),
        (-34.0, -64.0, "America/Argentina/Cordoba"),
        (-34.9, 138.6, "Australia/Adelaide"),
        (21.0, 78.0, "+05:30"),
        (35.0, -80.0, "UTC"),
    ] {
        let place = place(latitude_deg, longitude_deg, zone);
        let (days, air) = run(&place, 0);
        assert_eq!(air.start, place.day_start(days[0].day));
        assert_eq!(air.hours.len(), 24 * days.len());
        for (day, hours) in days.iter().zip(air.hours.chunks(24)) {
            let (low, high) = hours
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h.air_temp_c), b.max(h.air_temp_c)));
            assert!(
                (low - day.low_c).abs() < 1e-9 && (high - day.high_c).abs() < 1e-9,
                "{zone} {}: {low} {high}",
                day.day
            );
            let brightest = (0..24).max_by(|&a, &b| hours[a].shortwave_w_m2.total_cmp(&hours[b].shortwave_w_m2));
            let at = air.start.plus_hours(24 * i64::from(day.day.0 - days[0].day.0) + brightest.expect("hours") as i64);
            let noon = sun::solar_hour(units::Instant(at.0 + 1800), &place);
            assert!((noon - 12.0).abs() < 2.6, "{zone}: brightest at {noon} by the sun");
            assert!(hours.iter().all(|h| h.vapour_pressure_hpa <= saturation_bolton_1980(h.air_temp_c) * (1.0 + 1e-9)));
        }
    }
}

#[test]
fn the_warmest_hour_follows_the_sun_whatever_the_zone_says() {
    let warmest_by_the_sun = |zone: &str| {
        let place = place(35.0, -80.0, zone);
        let (_, air) = run(&place, 0);
        let mut sum = 0.0;
        for (d, hours) in air.hours.chunks(24).enumerate() {
            let warmest = (0..24).max_by(|&a, &b| hours[a].air_temp_c.total_cmp(&hours[b].air_temp_c)).expect("24");
            sum += sun::solar_hour(units::Instant(air.start.plus_hours((24 * d + warmest) as i64).0 + 1800), &place);
        }
        sum / 364.0
    };
    for zone in ["-05:00", "UTC", "+05:30"] {
        let hour = warmest_by_the_sun(zone);
        assert!((hour - 15.0).abs() < 1.5, "{zone}: {hour}");
    }
}

#[test]
fn wide_days_come_sunny_and_calm_and_narrow_ones_grey() {
    for (latitude, zone) in [(34.7, "-05:00"), (-34.0, "-03:00")] {
        let (days, air) = run(&place(latitude, if latitude > 0.0 { -82.0 } else { -60.0 }, zone), 0);
        let mean = |narrow: bool, get: fn(&AirHour) -> f64| {
            let of = days.iter().zip(air.hours.chunks(24)).filter(|(day, _)| (day.high_c - day.low_c < 8.0) == narrow);
            let values: Vec<f64> = of.flat_map(|(_, hours)| hours.iter().map(get)).collect();
            values.iter().sum::<f64>() / values.len() as f64
        };
        assert!(mean(false, |h| h.shortwave_w_m2) > 1.5 * mean(true, |h| h.shortwave_w_m2));
        assert!(mean(true, |h| h.wind_m_s) > 1.5 * mean(false, |h| h.wind_m_s));
        assert!(mean(true, |h| h.rain_mm) > 3.0 * mean(false, |h| h.rain_mm));
    }
}

#[test]
fn nights_are_joined_without_steps() {
    let (_, air) = run(&place(34.7, -82.8, "-05:00"), 3);
    let steps: Vec<f64> = air.hours.windows(2).map(|pair| (pair[1].air_temp_c - pair[0].air_temp_c).abs()).collect();
    let within = (0..steps.len()).filter(|i| i % 24 != 23).map(|i| steps[i]).fold(0.0, f64::max);
    let midnight: Vec<f64> = steps.iter().skip(23).step_by(24).copied().collect();
    let mean = midnight.iter().sum::<f64>() / midnight.len() as f64;
    assert!(mean < 1.0, "mean step at midnight {mean}, largest elsewhere {within}");
}

#[test]
fn the_same_stream_gives_the_same_hours_and_another_others() {
    let place = place(34.7, -82.8, "-05:00");
    assert_eq!(run(&place, 1).1, run(&place, 1).1);
    assert_ne!(run(&place, 1).1, run(&place, 2).1);
}

#[test]
fn ranks_are_drawn_by_one_over_rank() {
    for (uniform, expected) in [(1e-9, 0), (0.40, 0), (0.42, 1), (0.999_999, 5)] {
        assert_eq!(by_rank(6, uniform), expected, "{uniform}");
    }
    assert_eq!(by_rank(1, 0.5), 0);
}
