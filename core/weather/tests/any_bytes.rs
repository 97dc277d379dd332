//! Whatever stands in a file, the readers answer; and what was written by the rules is read back as it was.

use proptest::prelude::*;
use units::{Day, Instant, Zone};
use weather::{
    DonorRecord, HourLabel, HourlyForm, Place, Weather, complete, read_any, read_daily, read_epw, read_forecast_table,
    read_ghcn_by_station, read_ghcn_dly, read_hourly, read_service_forecast,
};

fn zone() -> Zone {
    Zone::parse("America/New_York").expect("in the table")
}

fn place() -> Place {
    Place {
        latitude_deg: -34.0,
        longitude_deg: 138.5,
        elevation_m: 50.0,
        zone: Zone::parse("+09:30").expect("an offset"),
    }
}

/// Every reader on the same bytes; a record that comes out is also made whole and put to lend.
fn read_all(bytes: &[u8]) {
    let forms = [
        HourlyForm::default(),
        HourlyForm { zone: Some(zone()), label: Some(HourLabel::End) },
        HourlyForm { zone: Some(Zone::parse("Australia/Lord_Howe").expect("in the table")), label: None },
    ];
    for form in &forms {
        if let Ok(read) = read_hourly(bytes, form) {
            let _ = complete(&read.value, &place(), None, None);
            let start = read.value.start;
            let _ = complete(&read.value, &place(), Some((start, start.plus_hours(2))), None);
        }
        for hint in ["", "x.epw", "x.csv"] {
            if let Ok((_, read)) = read_any(bytes, hint, form)
                && let Weather::Daily(record) = read.value
            {
                assert_eq!(record.low_c.len(), record.high_c.len());
                assert!(record.low_c.iter().zip(&record.high_c).all(|(low, high)| match (low, high) {
                    (Some(low), Some(high)) => low <= high,
                    _ => true,
                }));
            }
        }
    }
    let _ = read_daily(bytes);
    let _ = read_epw(bytes);
    let _ = read_ghcn_dly(bytes);
    let _ = read_ghcn_by_station(bytes);
    let _ = read_service_forecast(bytes, &zone());
    let _ = read_forecast_table(bytes, &zone());
    let _ = DonorRecord::read(&[("x", bytes)]);
}

/// One small file of each form.
fn good() -> Vec<String> {
    let hours = "# latitude_deg: 35\n# time_zone: America/New_York\n# hour_label: end\n\
        time,air_temp_c,relative_humidity_pct,wind_speed_mph,shortwave_w_m2,cloud_fraction,rain_mm,sea_level_pressure_hpa\n\
        2013-11-03T00:00,12.2,55,4.1,0,0.5,0,1009.8\n2013-11-03T01:00,11.1,50,3.1,-2,0.5,T,1010\n\
        2013-11-03T01:00,11.0,50,3.1,0,,0,\n2013-11-03T06:00,8,105,0,20,1,0,1011\n";
    let days = "date;low_f;high_f\n1.7.2020;60,5;80\n2.7.2020;-72;81\n4.7.2020;61;\n3.7.2020;90;82\n3.7.2020;60;82\n";
    let epw = "LOCATION,Made Up,ST,XXX,none,000000,36.10,-79.95,-5.0,273.0\nDESIGN CONDITIONS,0\n\
        1999,7,6,1,60,?9,20.0,5.0,50,98000,0,0,9999,120,0,0,0,0,0,0,180,3.2,5,5,16,777,9,9,10,0.1,0,88,0.2,1.5,1\n\
        1999,7,6,2,60,?9,99.9,5.0,50,98000,0,0,9999,120,0,0,0,0,0,0,180,3.2,5,5,16,777,9,9,10,0.1,0,88,0.2,1.5,1\n";
    let mut dly = "USX00000001202002TMAX".to_owned();
    (0..31).for_each(|day| dly += &format!("{:5}  0", 100 + day));
    dly += &format!("\nUSX00000001202002TMIN{}\n", "   50 X0".repeat(31));
    let by_station = "USX00000001,20200301,TMAX,201,,,0,0700\nUSX00000001,20200301,TMIN,55,,S,0,0700\n";
    let grid = r#"{"geometry":{"type":"Point","coordinates":[-82.8,34.7]},"properties":{"updateTime":"2024-09-30T08:10:00+00:00","elevation":{"value":240},
        "minTemperature":{"uom":"wmoUnit:degF","values":[{"validTime":"2024-10-01T00:00:00+00:00/PT13H","value":50}]},
        "temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2024-09-30T09:00:00+00:00/P1DT1H","value":12.5}]}}}"#;
    let periods = r#"{"properties":{"updateTime":"2024-09-30T08:10:00+00:00","periods":[
        {"startTime":"2024-09-30T05:00:00-04:00","endTime":"2024-09-30T06:00:00-04:00","temperature":50,"temperatureUnit":"F","windSpeed":"5 to 10 mph"}]}}"#;
    let forecast =
        "issued,2024-09-30T05:10\ndate,low_f,high_f,rain_chance_pct\n2024-09-30,50,77,30\n2024-10-02,41,,0\n";
    [hours, days, epw, &dly, by_station, grid, periods, forecast].map(str::to_owned).to_vec()
}

#[test]
fn the_good_files_are_good() {
    for text in good() {
        read_any(text.as_bytes(), "", &HourlyForm::default()).unwrap_or_else(|refusal| panic!("{refusal:?}: {text}"));
        read_all(text.as_bytes());
    }
}

/// What can happen to a file: a byte changed, a piece lost, doubled or moved, a number put elsewhere.
fn spoil(text: &str, edits: &[(u8, usize, usize, u8)]) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for &(kind, a, b, byte) in edits {
        if bytes.is_empty() {
            break;
        }
        let (a, b) = (a % bytes.len(), b % bytes.len());
        let (from, to) = (a.min(b), (a.max(b)).min(a.min(b) + 40));
        match kind % 6 {
            0 => bytes[a] = byte,
            1 => drop(bytes.drain(from..to)),
            2 => bytes.insert(a, byte),
            3 => {
                let piece = bytes[from..to].to_vec();
                bytes.splice(b..b, piece);
            }
            4 => drop(bytes.splice(a..a, *b"9999999999999999")),
            _ => drop(bytes.splice(
                a..a,
                [b"-1e308", b"2020-0", b"\"\n,;\t\"", b"T24:00", b"PT999H"][usize::from(byte) % 5].to_vec(),
            )),
        }
    }
    bytes
}

proptest! {
    // The count comes from PROPTEST_CASES where that is set.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_reader_falls_over_any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        read_all(&bytes);
    }

    #[test]
    fn no_reader_falls_over_near_misses(text in "[0-9,;.TZ:+\\-\n#a-z_{}\\[\\]\" ]{0,300}") {
        read_all(text.as_bytes());
    }

    #[test]
    fn no_reader_falls_over_a_spoiled_file(
        which in 0_usize..8,
        edits in proptest::collection::vec(any::<(u8, usize, usize, u8)>(), 1..6),
    ) {
        read_all(&spoil(&good()[which], &edits));
    }

    #[test]
    fn days_are_read_back_in_any_form(
        first in -20_000_i32..20_000,
        tenths in proptest::collection::vec((-300_i32..300, 1_i32..250), 2..35),
    ) {
        let first = Day(first);
        let day = |i: usize| first.plus(i as i32);
        let (mut table, mut long) = ("date,low_c,high_c\n".to_owned(), String::new());
        for (i, (low, range)) in tenths.iter().enumerate() {
            let (low, high) = (*low, low + range);
            table += &format!("{},{:.1},{:.1}\n", day(i), f64::from(low) / 10.0, f64::from(high) / 10.0);
            let compact = day(i).to_string().replace('-', "");
            long += &format!("USX00000001,{compact},TMAX,{high},,,0,\nUSX00000001,{compact},TMIN,{low},,,0,\n");
        }
        let read = read_daily(table.as_bytes()).expect("a table");
        prop_assert_eq!(&read.findings, &vec![]);
        prop_assert_eq!(read.value.first, first);
        let low: Vec<_> = tenths.iter().map(|(low, _)| Some(f64::from(*low) / 10.0)).collect();
        prop_assert_eq!(&read.value.low_c, &low);
        prop_assert_eq!(read_ghcn_by_station(long.as_bytes()).expect("values").value, read.value.clone());
        prop_assert_eq!(read_ghcn_dly(dly(first, &tenths).as_bytes()).expect("months").value, read.value);
    }

    #[test]
    fn hours_are_read_back_in_any_order_zone_and_unit(
        start_h in 0_i64..400_000,
        tenths in proptest::collection::vec((-200_i32..350, 5_i32..100, 0_i32..200), 1..60),
        turn in 0_usize..60,
        name in prop_oneof![Just("UTC"), Just("America/New_York"), Just("+05:30"), Just("Australia/Adelaide")],
        end in any::<bool>(),
    ) {
        let zone = Zone::parse(name).expect("in the table");
        // Hours begin where the zone's own clock shows a full hour.
        let start = Instant(start_h * 3600 - i64::from(zone.offset_s(Instant(start_h * 3600)).rem_euclid(3600)));
        let mut lines: Vec<String> = tenths
            .iter()
            .enumerate()
            .map(|(i, (air, humidity, wind))| {
                let label = zone.stamp(start.plus_hours(i as i64 + i64::from(end)));
                let air_f = f64::from(*air) * 0.18 + 32.0;
                format!("{label},{air_f:.4},{humidity},{:.4}\n", f64::from(*wind) * 0.36)
            })
            .collect();
        let turned = turn % lines.len();
        lines.rotate_left(turned);
        let text = format!("time,air_temp_f,relative_humidity_pct,wind_speed_km_h\n{}", lines.concat());
        let label = if end { HourLabel::End } else { HourLabel::Start };
        let read = read_hourly(text.as_bytes(), &HourlyForm { zone: Some(zone), label: Some(label) }).expect("a table");
        prop_assert_eq!(read.value.start, start);
        prop_assert_eq!(read.value.hours.len(), tenths.len());
        for (hour, (air, humidity, wind)) in read.value.hours.iter().zip(&tenths) {
            let near = |got: Option<f64>, expected: f64| got.is_some_and(|got| (got - expected).abs() < 1e-3);
            prop_assert!(near(hour.air_temp_c, f64::from(*air) / 10.0), "{:?} {}", hour, air);
            prop_assert!(near(hour.wind_m_s, f64::from(*wind) / 10.0));
            let saturated = weather::moist::saturation_bolton_1980(f64::from(*air) / 10.0);
            prop_assert!(near(hour.vapour_pressure_hpa, saturated * f64::from(*humidity) / 100.0));
        }
        // Lines that stand after later ones are named, all of them and no others.
        prop_assert_eq!(read.findings.iter().filter(|f| f.done == weather::Done::Sorted).count(), turned);
    }
}

/// The fixed-width form of consecutive days.
fn dly(first: Day, tenths: &[(i32, i32)]) -> String {
    let mut months: std::collections::BTreeMap<(i16, i8), [[Option<i32>; 31]; 2]> = std::collections::BTreeMap::new();
    for (i, (low, range)) in tenths.iter().enumerate() {
        let (year, month, day) = first.plus(i as i32).ymd();
        let of = months.entry((year, month)).or_insert([[None; 31]; 2]);
        of[0][day as usize - 1] = Some(low + range);
        of[1][day as usize - 1] = Some(*low);
    }
    let mut text = String::new();
    for ((year, month), of) in months {
        for (element, values) in ["TMAX", "TMIN"].iter().zip(of) {
            text += &format!("USX00000001{year:04}{month:02}{element}");
            values.iter().for_each(|value| text += &format!("{:5}  0", value.unwrap_or(-9999)));
            text += "\n";
        }
    }
    text
}
