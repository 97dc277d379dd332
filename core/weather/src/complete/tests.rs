use super::*;
use units::Zone;

fn place() -> Place {
    let zone = Zone::parse("-05:00").expect("an offset");
    Place { latitude_deg: 35.0, longitude_deg: -80.0, elevation_m: 250.0, zone }
}

/// Twenty days of fair hours from a standard midnight; `change` may spoil them.
fn record(change: impl Fn(usize, &mut PartHour)) -> HourlyRecord {
    let place = place();
    let start = place.day_start(Day::new(2020, 7, 1).expect("a date"));
    let clear = sun::clear_sky_hours(start, 480, &place);
    let hours = (0..480)
        .map(|i| {
            let air = 22.0 - 6.0 * units::cos((i as f64 - 3.0) / 24.0 * std::f64::consts::TAU);
            let mut hour = PartHour {
                air_temp_c: Some(air),
                vapour_pressure_hpa: Some(16.0),
                wind_m_s: Some(2.0),
                shortwave_w_m2: Some(0.9 * clear[i]),
                longwave_w_m2: Some(370.0),
                pressure_hpa: Some(985.0),
                rain_mm: Some(0.0),
                line: i as u32 + 2,
                ..PartHour::default()
            };
            change(i, &mut hour);
            hour
        })
        .collect();
    HourlyRecord { start, hours, place: None }
}

fn made(read: &Read<AirSeries>) -> Vec<Made> {
    read.findings.iter().filter_map(|f| if let What::MadeFrom(made) = f.what { Some(made) } else { None }).collect()
}

#[test]
fn a_whole_record_passes_unchanged() {
    let record = record(|_, _| {});
    let read = complete(&record, &place(), None, None).expect("whole");
    assert_eq!(read.findings, []);
    assert_eq!(read.value.hours.len(), 480);
    assert_eq!(read.value.hours[30].air_temp_c, record.hours[30].air_temp_c.expect("given"));
}

#[test]
fn six_hours_are_filled_and_seven_refused_where_they_matter() {
    let with_hole = |hours: usize| {
        record(move |i, hour| {
            if (100..100 + hours).contains(&i) {
                *hour = PartHour::default();
            }
        })
    };
    let filled = complete(&with_hole(6), &place(), None, None).expect("filled").value;
    let truth = complete(&record(|_, _| {}), &place(), None, None).expect("whole").value;
    for i in 100..106 {
        assert!((filled.hours[i].air_temp_c - truth.hours[i].air_temp_c).abs() < 2.5, "{i}");
        // The share of the clear sky stays; a straight line of sun would be far off at noon.
        assert!((filled.hours[i].shortwave_w_m2 - truth.hours[i].shortwave_w_m2).abs() < 1.0, "{i}");
    }
    let record = with_hole(7);
    let at = |hour: usize| record.start.plus_hours(hour as i64);
    let expected = Refusal::Hole { line: 101, quantity: Quantity::AirTemp, from: at(100), hours: 7, most: 6 };
    assert_eq!(complete(&record, &place(), None, None).expect_err("a hole"), expected);
    assert!(complete(&record, &place(), Some((at(107), at(200))), None).is_ok(), "outside the span it does not matter");
    assert_eq!(complete(&record, &place(), Some((at(90), at(101))), None).expect_err("touched"), expected);
}

#[test]
fn a_span_outside_the_file_is_refused() {
    let record = record(|_, _| {});
    let at = |hour: i64| record.start.plus_hours(hour);
    for (from, to) in [(at(-1), at(5)), (at(470), at(481)), (at(5), at(5)), (at(9), at(5))] {
        let refused = complete(&record, &place(), Some((from, to)), None).expect_err("outside");
        assert_eq!(refused, Refusal::OutsideFile { start: record.start, end: record.end() });
    }
    let part = complete(&record, &place(), Some((at(5), at(9))), None).expect("inside").value;
    assert_eq!((part.start, part.hours.len()), (at(5), 4));
}

#[test]
fn what_the_file_never_gives_is_made_and_said() {
    let record = record(|i, hour| {
        *hour = PartHour {
            air_temp_c: hour.air_temp_c,
            wind_m_s: hour.wind_m_s,
            cloud_fraction: Some(if i % 48 < 24 { 0.1 } else { 0.9 }),
            line: hour.line,
            ..PartHour::default()
        };
    });
    let read = complete(&record, &place(), None, None).expect("made");
    let expected =
        [Made::DewFromNightLow, Made::SunFromCloud, Made::LongwaveFromCloud, Made::PressureFromElevation, Made::NoRain];
    assert_eq!(made(&read), expected);
    let hours = &read.value.hours;
    assert!(hours[12].shortwave_w_m2 > 1.8 * hours[36].shortwave_w_m2, "clear and clouded noon");
    assert!(hours[36].longwave_w_m2 > hours[12].longwave_w_m2 + 20.0);
    assert!((hours[0].pressure_hpa - 984.0).abs() < 1.0);
    assert!(hours.iter().all(|h| h.vapour_pressure_hpa <= saturation_bolton_1980(h.air_temp_c) + 1e-9));
}

#[test]
fn without_cloud_the_range_tells_the_sun() {
    let record = record(|i, hour| {
        // Alternating days of wide and narrow range.
        let narrow = i % 48 >= 24;
        let air = if narrow {
            22.0 + 0.15 * (hour.air_temp_c.unwrap_or(22.0) - 22.0)
        } else {
            hour.air_temp_c.unwrap_or(22.0)
        };
        *hour = PartHour { air_temp_c: Some(air), wind_m_s: Some(1.0), line: hour.line, ..PartHour::default() };
    });
    let read = complete(&record, &place(), None, None).expect("made");
    assert!(made(&read).contains(&Made::SunFromRange) && made(&read).contains(&Made::LongwaveFromRange));
    assert!(read.value.hours[12].shortwave_w_m2 > 1.5 * read.value.hours[36].shortwave_w_m2);
}

#[test]
fn sea_level_pressure_is_brought_to_the_station() {
    let record = record(|_, hour| {
        hour.pressure_hpa = None;
        hour.sea_level_pressure_hpa = Some(1013.25);
    });
    let read = complete(&record, &place(), None, None).expect("made");
    assert_eq!(made(&read), [Made::PressureFromSeaLevel]);
    assert!((read.value.hours[0].pressure_hpa - 984.0).abs() < 1.5, "{}", read.value.hours[0].pressure_hpa);
}

#[test]
fn no_wind_and_no_lender_is_refused() {
    let record = record(|_, hour| hour.wind_m_s = None);
    assert_eq!(complete(&record, &place(), None, None).expect_err("no wind"), Refusal::Never(Quantity::Wind));
}

#[test]
fn a_wrong_clock_shows_in_the_sun() {
    let right = complete(&record(|_, _| {}), &place(), None, None).expect("whole");
    assert!(right.findings.is_empty());
    for (hours_late, least) in [(1, 50.0), (3, 150.0)] {
        let mut shifted = record(|_, _| {});
        shifted.start = shifted.start.plus_hours(hours_late);
        let read = complete(&shifted, &place(), None, None).expect("whole");
        let minutes = read.findings.iter().find_map(|f| match f.what {
            What::SunOffNoon { minutes } => Some(minutes),
            _ => None,
        });
        assert!(minutes.is_some_and(|minutes| minutes > least), "{hours_late}: {minutes:?}");
    }
}
