use proptest::prelude::*;

use units::measure::{Kind, MeasureError};

use super::*;

const GOOD: &str = r#"
name = "Test pond"
latitude_deg = 42.11
longitude_deg = "93.59 W"
elevation_m = "1000 ft"
time_zone = "-05:00"
depth_area_m_m2 = [[0, 400], ["10 in", 351], [1, 210], [2, 0]]
length_m = 20
width_m = 20
wind_height_m = 10
wind_factor = 0.5
hour_label = "end"
start_profile_m_c = [[0, 17.2], [1, "62.6 F"]]
by_date = [
  { date = "2020-05-25", level_m = 2.1, secchi_m = 1.3, plants = 0.0 },
  { date = 2020-05-27, level_m = "6 ft 6 in" },
  { date = "2020-05-29", secchi_m = 2.3, plants = 1 },
]
ground_mean_c = 11
ground_half_range_c = 13
inflow = { flow_m3_h = "30 gpm", temp_c = "64.4 F" }
seepage_mm_d = 3
"#;

/// The fault that the good file has once `from` is replaced by `to`.
#[track_caller]
fn check(from: &str, to: &str, line: usize, key: &str, what: Wrong) {
    assert!(GOOD.contains(from), "{from}");
    let faults = read(&GOOD.replacen(from, to, 1)).expect_err("refused");
    let wanted = Fault { line, key: key.to_owned(), what };
    assert!(faults.contains(&wanted), "{to}: {faults:#?}");
}

#[test]
fn a_good_file_is_ready_to_use() {
    let basin = read(GOOD).expect("good");
    assert!((basin.longitude_deg + 93.59).abs() < 1e-12);
    assert!((basin.elevation_m - 304.8).abs() < 1e-9);
    assert_eq!(basin.start_profile_m_c[0], (0.0, 17.2));
    assert!((basin.start_profile_m_c[1].1 - 17.0).abs() < 1e-9);
    assert_eq!(basin.ground_c, Some(Ground { mean_c: 11.0, half_range_c: 13.0 }));
    assert!((basin.inflow.expect("given").flow_m3_h - 6.8137).abs() < 1e-3);
    assert!(basin.taken.is_empty(), "{:?}", basin.taken);
    let Shape::DepthArea { rows, .. } = basin.shape else { panic!("a table") };
    assert!((rows[1].0 - 0.254).abs() < 1e-9);
}

#[test]
fn what_the_season_changes_is_linear_between_dates_and_held_outside() {
    let basin = read(GOOD).expect("good");
    let day = f64::from(Day::new(2020, 5, 25).expect("a date").0);
    let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found}, wanted {wanted}");
    // Each date stands for its midday; before the first and after the last its value is held.
    near(basin.at(day - 40.0).level_m, 2.1);
    near(basin.at(day + 0.5).level_m, 2.1);
    near(basin.at(day + 1.5).level_m, (2.1 + 1.9812) / 2.0);
    near(basin.at(day + 60.0).level_m, 1.9812);
    // The middle row says nothing of light and plants: a straight line over four days.
    near(basin.at(day + 1.5).plants, 0.25);
    near(basin.at(day + 2.5).light_attenuation_per_m, 1.7 / 1.8);
}

#[test]
fn defaults_are_told() {
    let text =
        GOOD.replace("wind_factor = 0.5\n", "").replace("wind_height_m = 10\n", "").replace("seepage_mm_d = 3\n", "");
    let taken: Vec<_> = read(&text).expect("good").taken.iter().map(|taken| (taken.key, taken.value)).collect();
    assert_eq!(taken, [("wind_height_m", 10.0), ("wind_factor", 1.0), ("seepage_mm_d", 0.0)]);
}

#[test]
fn every_wrong_value_is_named_with_its_line() {
    let outside = |value, least, greatest, unit| Wrong::Outside { value, least, greatest, unit };
    check("42.11", "421.1", 3, "latitude_deg", outside(421.1, -90.0, 90.0, "deg"));
    let why = MeasureError::OtherKind { unit: "lb".into(), is: Kind::Mass, wanted: Kind::Length };
    check(
        "\"1000 ft\"",
        "\"1000 lb\"",
        5,
        "elevation_m",
        Wrong::NotMeasured { found: "1000 lb".into(), unit: "m", why },
    );
    check("\"-05:00\"", "\"Nowhere\"", 6, "time_zone", Wrong::UnknownZone { found: "Nowhere".into() });
    check("time_zone = \"-05:00\"", "", 1, "time_zone", Wrong::Missing);
    check("[1, 210]", "[1, 510]", 7, "depth_area_m_m2", Wrong::WiderBelow { above_m2: 351.0, below_m2: 510.0 });
    check("[1, 210]", "[0.1, 210]", 7, "depth_area_m_m2", Wrong::NotRising { before: 0.254, value: 0.1 });
    check("[[0, 400]", "[[0.1, 400]", 7, "depth_area_m_m2", Wrong::NotFromSurface { first_m: 0.1 });
    check("[1, 210]", "[1]", 7, "depth_area_m_m2[3]", Wrong::Kind { asked: Asked::Pairs, found: "[...]".into() });
    let what = Wrong::AreaDisagrees { area_m2: 400.0, product_m2: 4000.0 };
    check("width_m = 20\n", "width_m = 200\n", 7, "depth_area_m_m2", what);
    check("width_m = 20\n", "", 1, "width_m", Wrong::Missing);
    check("wind_factor", "wind_facter", 11, "wind_facter", Wrong::UnknownKey { nearest: Some("wind_factor".into()) });
    check("wind_factor", "colour", 11, "colour", Wrong::UnknownKey { nearest: None });
    check("0.5", "true", 11, "wind_factor", Wrong::Kind { asked: Asked::Number, found: "true".into() });
    check(
        "\"end\"",
        "\"middle\"",
        12,
        "hour_label",
        Wrong::NotOneOf { found: "middle".into(), words: vec!["start", "end"] },
    );
    check("17.2]", "172]", 13, "start_profile_m_c[1]", outside(172.0, -0.5, 45.0, "C"));
    check("2.1,", "nan,", 15, "by_date[1].level_m", Wrong::Kind { asked: Asked::Number, found: "nan".into() });
    check("plants = 1 ", "plants = 40 ", 17, "by_date[3].plants", outside(40.0, 0.0, 1.0, "0 to 1"));
    check(
        "2020-05-27",
        "2020-05-24",
        16,
        "by_date[2]",
        Wrong::DatesNotRising { before: "2020-05-25".into(), date: "2020-05-24".into() },
    );
    check(
        "\"2020-05-25\"",
        "\"25 May\"",
        15,
        "by_date[1].date",
        Wrong::Kind { asked: Asked::Date, found: "25 May".into() },
    );
    check("ground_mean_c = 11\n", "", 1, "ground_mean_c", Wrong::Missing);
    check(", temp_c = \"64.4 F\"", "", 21, "inflow.temp_c", Wrong::Missing);
    check("seepage_mm_d", "area_m2 = 3\nseepage_mm_d", 22, "area_m2", Wrong::Both { other: "depth_area_m_m2" });
}

#[test]
fn all_faults_come_in_one_go_and_in_order() {
    let faults = read("latitude_deg = 95\nwind_factor = -1\n").expect_err("refused");
    let lines: Vec<_> = faults.iter().map(|fault| fault.line).collect();
    assert!(lines.is_sorted() && faults.len() >= 7, "{faults:#?}");
    assert!(matches!(read("a = \n").expect_err("refused")[0].what, Wrong::Malformed { .. }));
}

const SURVEY: &str = "name = 'S'\nlatitude_deg = 34\nlongitude_deg = -82\nelevation_m = 240\ntime_zone = 'America/New_York'\n\
    length_m = 60\narea_m2 = '0.45 ac'\nshallow_depth_m = '3 ft'\ndeep_depth_m = '6 ft'\nsecchi_m = 0.4\nhour_label = 'start'\n";

#[test]
fn survey_figures_give_the_missing_side() {
    let basin = read(SURVEY).expect("good");
    let Shape::Survey { length_m, width_m, shallow_depth_m, deep_depth_m, side_slope } = basin.shape else {
        panic!("a survey")
    };
    assert!((length_m * width_m - 1821.085).abs() < 0.01);
    assert!((shallow_depth_m - 0.9144).abs() < 1e-9 && (deep_depth_m - 1.8288).abs() < 1e-9);
    assert_eq!(side_slope, 3.0);
    assert!(basin.taken.contains(&Taken { key: "side_slope", value: 3.0 }));
    let refused = |from: &str, to: &str| read(&SURVEY.replace(from, to)).expect_err("refused").remove(0).what;
    assert!(matches!(refused("'3 ft'", "'7 ft'"), Wrong::ShallowDeeper { .. }));
    assert!(matches!(refused("length_m = 60", "length_m = 60\nwidth_m = 60"), Wrong::AreaDisagrees { .. }));
    assert!(matches!(refused("hour_label", "side_slope = 12\nhour_label"), Wrong::BanksMeet { .. }));
    assert!(matches!(refused("length_m = 60\n", ""), Wrong::MissingOneOf { .. }));
    assert!(matches!(refused("secchi_m = 0.4\n", ""), Wrong::MissingOneOf { .. }));
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC*") {
        let _ = read(&text);
    }

    #[test]
    fn no_change_of_a_good_file_makes_it_panic(at in 0usize..900, cut in 0usize..12, put in "[-a-z0-9.,'\"\\[\\]{}=\\n ]{0,8}") {
        let start = at.min(GOOD.len());
        let end = (start + cut).min(GOOD.len());
        let text = format!("{}{put}{}", &GOOD[..start], &GOOD[end..]);
        if let Ok(basin) = read(&text) {
            let setting = basin.at(18_400.0);
            prop_assert!(setting.level_m > 0.0 && setting.light_attenuation_per_m > 0.0);
        }
    }
}
