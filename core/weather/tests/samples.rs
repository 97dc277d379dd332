//! The records shipped with the program, with the holes and errors they really have.

use units::{Day, Instant, Zone};
use weather::{
    Done, DonorRecord, HourlyForm, Place, WeatherForm, What, complete, read_daily, read_hourly, weather_form,
};

const HISTORY: &[u8] = include_bytes!("../../../samples/hazel-bend/history.csv");
const KENNEDY: &[u8] = include_bytes!("../../../samples/donors/kennedy.csv");
const GREENSBORO: &[u8] = include_bytes!("../../../samples/donors/greensboro.csv");

#[test]
fn ninety_one_years_with_every_problem_named() {
    assert_eq!(weather_form(HISTORY, "history.csv"), Some(WeatherForm::DailyTable));
    let read = read_daily(HISTORY).expect("a daily table");
    let text = std::str::from_utf8(HISTORY).expect("text");
    // Counted in the file itself: lines with an empty cell.
    let blank: Vec<usize> = text
        .lines()
        .enumerate()
        .filter(|(_, line)| line.as_bytes()[0].is_ascii_digit() && line.split(',').any(str::is_empty))
        .map(|(i, _)| i + 1)
        .collect();
    let named: Vec<usize> = read.findings.iter().filter(|f| f.what == What::Blank).map(|f| f.line).collect();
    assert_eq!(named, blank);
    assert_eq!(blank.len(), 22);

    let holes: Vec<(usize, usize, Done)> = read
        .findings
        .iter()
        .filter_map(|f| if let What::MissingDays { days, .. } = f.what { Some((f.line, days, f.done)) } else { None })
        .collect();
    assert_eq!(holes.iter().map(|(_, days, _)| days).sum::<usize>(), 90);
    let open: Vec<(usize, usize)> =
        holes.iter().filter(|hole| hole.2 == Done::LeftOpen).map(|&(line, days, _)| (line, days)).collect();
    assert_eq!(open, [(11_922, 30), (27_384, 28)]);

    let absurd = read.findings.iter().find(|f| f.text == "-72.0").expect("-72 °F in July");
    assert_eq!((absurd.line, absurd.column.as_str()), (2395, "tmin_f"));
    let Done::Filled(Some(low_c)) = absurd.done else { panic!("{absurd:?}") };
    assert_eq!(read.value.day(Day::new(1936, 7, 18).expect("a date")).map(|day| day.low_c), Some(low_c));
    // The coldest nights stand: -5.1 °F in January 1940, -2.9 °F in January 1985.
    let coldest = read.value.low_c.iter().flatten().copied().fold(f64::INFINITY, f64::min);
    assert!((coldest - (-5.1 - 32.0) / 1.8).abs() < 1e-9, "{coldest}");

    // Refused where it matters: September 1962, and no other September of the 91.
    let whole = |year: i16| {
        let day = |month, day| Day::new(year, month, day).expect("a date");
        read.value.span(day(8, 1), day(11, 30))
    };
    let missing: Vec<Day> = (1930..=2020).filter_map(|year| whole(year).err()).collect();
    assert_eq!(missing, [Day::new(1962, 9, 1).expect("a date")]);
}

#[test]
fn a_year_by_the_local_clock_with_both_changes() {
    let read = read_hourly(KENNEDY, &HourlyForm::default()).expect("hours");
    let record = read.value;
    let zone = Zone::parse("America/New_York").expect("in the table");
    let twice: Vec<bool> = read
        .findings
        .iter()
        .filter_map(|f| if let What::ClockShownTwice { second } = f.what { Some(second) } else { None })
        .collect();
    assert_eq!(twice, [false, true]);
    // Spring: one hour by the clock is missing, none in truth.
    let hour = |text: &str| {
        let at: units::civil::DateTime = text.parse().expect("a civil time");
        let units::Local::One(at) = zone.resolve(at) else { panic!("once") };
        &record.hours[at.hours_since(record.start) as usize]
    };
    assert_eq!((hour("2013-03-10T01:00").air_temp_c, hour("2013-03-10T03:00").air_temp_c), (Some(1.7), Some(-0.6)));
    assert_eq!(hour("2013-03-10T03:00").line, hour("2013-03-10T01:00").line + 1);
    // Every line of the file is an hour of its own.
    let lines = std::str::from_utf8(KENNEDY).expect("text").lines().filter(|l| l.starts_with("2013")).count();
    assert_eq!(record.hours.iter().filter(|hour| hour.line > 0).count(), lines);
}

#[test]
fn the_typical_year_has_its_noon_where_the_sun_has() {
    let read = read_hourly(GREENSBORO, &HourlyForm::default()).expect("hours");
    let place = read.value.place.clone().expect("in the remarks");
    let whole = complete(&read.value, &place, None, None).expect("whole");
    assert!(whole.findings.iter().all(|f| matches!(f.what, What::MadeFrom(_))), "{:?}", whole.findings);
    // Read with the other label it would be an hour off, and be told so.
    let form = HourlyForm { zone: None, label: Some(weather::HourLabel::Start) };
    let wrong = read_hourly(GREENSBORO, &form).expect("hours").value;
    let told = complete(&wrong, &place, None, None).expect("whole").findings;
    assert!(told.iter().any(|f| matches!(f.what, What::SunOffNoon { minutes } if minutes > 50.0)), "{told:?}");
}

#[test]
fn both_lend_to_either_hemisphere() {
    let (donors, odd) =
        DonorRecord::read(&[("greensboro.csv", GREENSBORO), ("kennedy.csv", KENNEDY)]).expect("they lend");
    assert_eq!(donors.names().collect::<Vec<_>>(), ["greensboro.csv", "kennedy.csv"]);
    assert_eq!(odd.len(), 2);
    let at = |latitude_deg, longitude_deg, zone| Place {
        latitude_deg,
        longitude_deg,
        elevation_m: 240.0,
        zone: Zone::parse(zone).expect("a zone"),
    };
    for place in [at(34.7, -82.8, "America/New_York"), at(-34.7, 138.6, "Australia/Adelaide")] {
        let days = donors.for_place(&place).n_days();
        assert!((690..=730).contains(&days), "{days} days lend");
        // January at noon, 2021.
        let wind = donors.usual_wind_m_s(Instant(1_610_730_000), &place);
        assert!((1.5..6.0).contains(&wind), "{wind}");
    }
}
