use farm::observed::Row;
use units::{Day, Zone};
use weather::AirHour;

use super::*;
use farm::observed::When;

const BASIN: &str = r#"
name = "Twin"
latitude_deg = 34.7
longitude_deg = -82.8
elevation_m = 240
time_zone = "America/New_York"
length_m = 60
width_m = 30
shallow_depth_m = 1.2
deep_depth_m = 1.8
secchi_m = 0.6
hour_label = "start"
start_profile_m_c = [[0, 24], [1.5, 23]]
ground_mean_c = 17
ground_half_range_c = 10
"#;

fn basin() -> BasinFile {
    farm::basin::read(BASIN).expect("good")
}

/// Made-up air: a day's wave of sun and warmth on a slow fall.
fn air(days: usize) -> AirSeries {
    let start = basin().zone.instant(Day::new(2020, 9, 20).expect("a date"), 0);
    let hour = |i: usize| {
        let of_day = (i % 24) as f64;
        let wave = units::sin(std::f64::consts::TAU * (of_day - 9.0) / 24.0);
        AirHour {
            air_temp_c: 20.0 - 0.02 * i as f64 + 6.0 * wave,
            vapour_pressure_hpa: 13.0,
            wind_m_s: 2.0 + wave,
            shortwave_w_m2: 650.0 * wave.max(0.0),
            longwave_w_m2: 340.0,
            pressure_hpa: 985.0,
            rain_mm: 0.0,
        }
    };
    AirSeries { start, hours: (0..24 * days).map(hour).collect() }
}

fn ask<'a>(basin: &'a BasinFile, air: &'a AirSeries, columns: usize) -> WaterAsk<'a> {
    let dawn = Dawn::Clock { second: 6 * 3600 };
    WaterAsk { basin, air, observed: None, from: None, to: None, columns, at: Vec::new(), restart: None, dawn }
}

/// The run itself, taken for thermometers.
fn twin(course: &Course) -> Observed {
    let row = |(k, temps): (usize, &Vec<f64>)| Row {
        line: k + 2,
        when: When::At(course.time(k)),
        temps_c: temps.iter().map(|&temp_c| Some(temp_c)).collect(),
    };
    Observed {
        spots: course.spots.clone(),
        rows: course.temps_c.iter().enumerate().map(row).collect(),
        oddities: Vec::new(),
    }
}

#[test]
fn a_run_held_against_itself_misses_nothing() {
    let (basin, air) = (basin(), air(12));
    let plain = water(&ask(&basin, &air, 5), &Watch::new()).expect("runs");
    let observed = twin(&plain.course);
    let scored = water(&WaterAsk { observed: Some(&observed), ..ask(&basin, &air, 5) }, &Watch::new()).expect("runs");
    assert!(scored.heat_unaccounted < 1e-9, "{}", scored.heat_unaccounted);
    assert_eq!(scored.spots.len(), plain.course.spots.len());
    for spot in &scored.spots {
        let (all, dawn) = (spot.all.expect("scored"), spot.dawn.expect("scored"));
        assert_eq!((all.rmse_k, all.bias_k, dawn.rmse_k), (0.0, 0.0, 0.0));
        // Both midnights of 12 days, less the first day's 24 hours; dawn once a day.
        assert_eq!((all.n, dawn.n), (12 * 24 + 1 - 24, 11));
    }
    let range = scored.places[0].range.expect("whole days");
    assert_eq!((range.observed_k, range.days), (range.modelled_k, 11));
    assert!(range.observed_k > 0.5);
    for spell in &scored.places[0].spells {
        assert_eq!(spell.observed_fall_k, spell.modelled_fall_k);
        assert!(spell.observed_fall_k >= SPELL_LEAST_K);
    }
}

#[test]
fn restarts_of_a_twin_miss_nothing_and_persistence_does() {
    let (basin, air) = (basin(), air(12));
    // Thermometers in the middle of every cell give the whole state back.
    let mut middles = vec![0.025, 0.075];
    middles.extend([0.15, 0.25, 0.35, 0.45]);
    middles.extend((0..10).map(|k| 0.5 + 0.125 * (f64::from(k) + 0.5)));
    middles.push(1.775);
    let at = middles.iter().map(|&depth_m| Spot { place: Place::Deep, depth_m }).collect();
    let plain = water(&WaterAsk { at, ..ask(&basin, &air, 1) }, &Watch::new()).expect("runs");
    let observed = twin(&plain.course);
    let restart = Some(Restart { every_days: 1, lead_days: vec![1, 5], from: From::Readings });
    let again = WaterAsk { observed: Some(&observed), restart, ..ask(&basin, &air, 1) };
    let leads = water(&again, &Watch::new()).expect("runs").leads;
    assert_eq!(leads.len(), 2);
    for lead in &leads {
        let (ours, stays) = (lead.upper.expect("scored"), lead.upper_persistence.expect("scored"));
        // A cell thinner than four tenths joins the one above, so the middles may miss by a hair at the floor.
        assert!(ours.rmse_k < 1e-9, "{ours:?}");
        assert!(stays.rmse_k > 0.1, "{stays:?}");
        assert_eq!(ours.n, if lead.lead_days == 1 { 11 } else { 7 });
    }
}

/// What the twin's thermometer taught a run begun from this wind factor: misses with and without it, by lead.
fn taught_from(wind_factor: f64) -> Vec<(f64, f64)> {
    let (truth, air) = (BasinFile { wind_factor: 0.5, ..basin() }, air(30));
    let at = [0.25, 0.5, 0.75, 1.0].into_iter().map(|depth_m| Spot { place: Place::Deep, depth_m }).collect();
    let plain = water(&WaterAsk { at, ..ask(&truth, &air, 3) }, &Watch::new()).expect("runs");
    let mut observed = twin(&plain.course);
    for (hour, row) in observed.rows.iter_mut().enumerate() {
        // A thermometer read by hand: off by up to 0.4 K, never twice the same way.
        let off_c = 0.4 * units::sin(hour as f64 * 1.7);
        row.temps_c[1] = row.temps_c[1].map(|temp_c| temp_c + off_c);
    }
    let from = From::Taught { by: observed.spots[1], wind_sd_log: 0.25 };
    let restart = Some(Restart { every_days: 1, lead_days: vec![1, 3, 5, 10], from });
    let told = BasinFile { wind_factor, ..basin() };
    let answer =
        water(&WaterAsk { observed: Some(&observed), restart, ..ask(&told, &air, 3) }, &Watch::new()).expect("runs");
    let rmse_k = |lead: &LeadScore| lead.upper.expect("scored").rmse_k;
    assert_eq!((answer.leads.len(), answer.untaught.len()), (4, 4));
    answer.leads.iter().map(rmse_k).zip(answer.untaught.iter().map(rmse_k)).collect()
}

#[test]
fn a_thermometer_teaches_a_twin_its_wind_and_spoils_nothing_that_was_right() {
    for (lead, (taught, untaught)) in taught_from(1.0).into_iter().enumerate() {
        assert!(taught < 0.8 * untaught, "begun wrong, lead {lead}: {taught} beside {untaught}");
    }
    for (lead, (taught, untaught)) in taught_from(0.5).into_iter().enumerate() {
        assert!(taught - untaught <= 0.15, "begun right, lead {lead}: {taught} beside {untaught}");
    }
}

#[test]
fn daily_means_are_held_against_daily_means() {
    let (basin, air) = (basin(), air(8));
    let plain = water(&ask(&basin, &air, 1), &Watch::new()).expect("runs");
    let first = basin.zone.day_and_second(air.start).0;
    let mean = |day: Day, column: usize| {
        let from = basin.zone.instant(day, 0);
        let of = |hour: i64| plain.course.at(from.plus_hours(hour), column).expect("inside");
        (0..24).map(|hour| 0.5 * (of(hour) + of(hour + 1))).sum::<f64>() / 24.0
    };
    let columns = plain.course.spots.len();
    let row = |k: i32| Row {
        line: 2 + k as usize,
        when: When::MeanOf(first.plus(k)),
        temps_c: (0..columns).map(|column| Some(1.0 + mean(first.plus(k), column))).collect(),
    };
    let observed =
        Observed { spots: plain.course.spots.clone(), rows: (0..8).map(row).collect(), oddities: Vec::new() };
    let scored = water(&WaterAsk { observed: Some(&observed), ..ask(&basin, &air, 1) }, &Watch::new()).expect("runs");
    for spot in &scored.spots {
        let all = spot.all.expect("scored");
        assert_eq!(all.n, 7, "the first day is not scored");
        assert!((all.bias_k + 1.0).abs() < 1e-9, "{all:?}");
        assert!(spot.dawn.is_none());
    }
}

#[test]
fn a_start_may_come_from_the_readings() {
    let air = air(4);
    let mut basin = basin();
    basin.start_profile_m_c.clear();
    assert_eq!(water(&ask(&basin, &air, 5), &Watch::new()).expect_err("no start"), WaterError::NoStart);
    let spots = vec![Spot { place: Place::Deep, depth_m: 0.5 }, Spot { place: Place::Shallow, depth_m: 0.5 }];
    let row = |hour: i64, deep: Option<f64>| Row {
        line: 2,
        when: When::At(air.start.plus_hours(hour)),
        temps_c: vec![deep, Some(21.0)],
    };
    let observed = Observed { spots, rows: vec![row(5, Some(25.0)), row(90, None)], oddities: Vec::new() };
    let answer = water(&WaterAsk { observed: Some(&observed), ..ask(&basin, &air, 5) }, &Watch::new()).expect("runs");
    assert_eq!((answer.start, answer.course.start), (StartFrom::Readings, air.start.plus_hours(5)));
    assert_eq!(answer.course.temps_c[0], [25.0, 21.0]);
}

#[test]
fn questions_without_an_answer_say_which() {
    let (basin, air) = (basin(), air(3));
    let refused = |ask: WaterAsk<'_>| water(&ask, &Watch::new()).expect_err("refused");
    let early = Some(air.start.plus_hours(-1));
    assert!(matches!(refused(WaterAsk { from: early, ..ask(&basin, &air, 1) }), WaterError::OutsideWeather { .. }));
    let to = Some(air.start);
    assert!(matches!(refused(WaterAsk { to, ..ask(&basin, &air, 1) }), WaterError::NothingBetween { .. }));
    assert_eq!(refused(ask(&basin, &air, 40)), WaterError::NoColumn { most: 12 });
    let restart = Some(Restart { every_days: 1, lead_days: vec![1], from: From::Readings });
    assert_eq!(refused(WaterAsk { restart, ..ask(&basin, &air, 1) }), WaterError::RestartWithoutReadings);
    let mut bare = basin.clone();
    bare.ground_c = None;
    assert_eq!(refused(ask(&bare, &air, 1)), WaterError::GroundUnknown { days: 3 });
    let watch = Watch::new();
    watch.ask_to_stop();
    assert_eq!(water(&ask(&basin, &air, 1), &watch).expect_err("stopped"), WaterError::Stopped);
}

#[test]
fn a_year_of_weather_gives_the_ground() {
    let mut basin = basin();
    basin.ground_c = None;
    let mut air = air(365);
    for (i, hour) in air.hours.iter_mut().enumerate() {
        hour.air_temp_c = 12.0 - 15.0 * units::cos(std::f64::consts::TAU * i as f64 / 8760.0);
    }
    let (ground, from_weather) = super::ground(&ask(&basin, &air, 1)).expect("a year");
    assert!(from_weather);
    assert!((ground.mean_c - 13.5).abs() < 0.01, "{ground:?}");
    // Months reach nearly 27 on one side; frost counts as zero on the other.
    assert!((ground.half_range_c - 13.4).abs() < 0.2, "{ground:?}");
}

#[test]
fn dawn_by_the_sun_and_by_the_clock() {
    let zone = Zone::parse("America/New_York").expect("in the table");
    let day = Day::new(2020, 7, 1).expect("a date");
    let hours = |dawn: Dawn| -> Vec<i32> {
        (0..24).filter(|&hour| dawn.is_at(zone.instant(day, hour * 3600), &zone)).collect()
    };
    assert_eq!(hours(Dawn::Clock { second: 6 * 3600 }), [6]);
    // 82.8 W: on 1 July the sun is 5 h 35 min behind Greenwich, the summer clock 4 h: 07:35, and 08:00 is the nearest hour.
    assert_eq!(hours(Dawn::Sun { longitude_deg: -82.8 }), [8]);
    assert_eq!(hours(Dawn::Sun { longitude_deg: -60.0 }), [6]);
}
