use super::*;
use crate::made_up;

fn close(what: &str, got: LowHigh, expected: LowHigh, tolerance: f64) {
    let off = got.minus(expected);
    assert!(off.low.abs() < tolerance && off.high.abs() < tolerance, "{what}: {got:?} against {expected:?}");
}

fn date(text: &str) -> Day {
    Day::parse(text).expect("a date")
}

#[test]
fn a_known_climate_is_found_again_in_either_hemisphere() {
    for turn in [0, 182] {
        let climate = Climate::fit(&made_up::record(60, 3, turn), None).expect("long enough");
        for text in ["2021-01-15", "2021-04-20", "2021-07-15", "2021-09-20", "2021-11-30", "2024-02-29"] {
            let day = date(text);
            // A day's anomaly of 3 K with a memory of 5 days over 60 years and some weeks of reach, and a free level.
            close(text, climate.mean_c(day), made_up::mean_c(day, turn), 0.6);
            close(text, climate.sd_c(day), made_up::sd_c(day, turn), 0.3);
        }
        let chain = climate.chain();
        assert!((chain.low_high_correlation - made_up::LOW_HIGH).abs() < 0.03, "{chain:?}");
        for (r, c, expected) in [(0, 0, made_up::CARRY), (1, 1, made_up::CARRY), (0, 1, 0.0), (1, 0, 0.0)] {
            assert!((chain.carry[r][c] - expected).abs() < 0.03, "{chain:?}");
        }
        let slope = (0.5 * (1.0 - made_up::CARRY * made_up::CARRY)).sqrt();
        close("slope", chain.slope_sd, LowHigh { low: slope, high: slope }, 0.02);
    }
}

#[test]
fn the_level_follows_the_recent_years() {
    let mut record = made_up::record(60, 4, 0);
    let base = Climate::fit(&record, None).expect("long enough");
    let step = date("1996-01-01");
    for i in (step.0 - record.first.0) as usize..record.low_c.len() {
        record.low_c[i] = record.low_c[i].map(|low| low + 1.5);
        record.high_c[i] = record.high_c[i].map(|high| high + 1.5);
    }
    let climate = Climate::fit(&record, None).expect("long enough");
    let rise = |day: &str| climate.mean_c(date(day)).minus(base.mean_c(date(day)));
    close("now", rise("2021-09-01"), LowHigh { low: 1.5, high: 1.5 }, 0.2);
    close("then", rise("1970-09-01"), LowHigh { low: 0.0, high: 0.0 }, 0.2);
    // No step at New Year.
    close("new year", climate.mean_c(date("1997-01-01")), climate.mean_c(date("1996-12-31")), 0.15);
}

#[test]
fn days_from_the_morning_on_are_not_read() {
    let mut record = made_up::record(40, 5, 0);
    let morning = date("1985-09-01");
    let before = Climate::fit(&record, Some(morning)).expect("long enough");
    for i in (morning.0 - record.first.0) as usize..record.low_c.len() {
        record.low_c[i] = Some(99.0);
    }
    assert_eq!(before, Climate::fit(&record, Some(morning)).expect("long enough"));
    assert_ne!(before, Climate::fit(&record, Some(morning.plus(1))).expect("long enough"));
}

#[test]
fn missing_days_are_stepped_over_and_too_few_are_refused() {
    let mut record = made_up::record(30, 6, 0);
    let whole = Climate::fit(&record, None).expect("long enough");
    (0..record.low_c.len()).filter(|i| i % 7 == 3).for_each(|i| record.low_c[i] = None);
    let holed = Climate::fit(&record, None).expect("long enough");
    close("holes", holed.mean_c(date("1990-09-15")), whole.mean_c(date("1990-09-15")), 0.3);
    assert!((holed.chain().carry[0][0] - whole.chain().carry[0][0]).abs() < 0.03);

    let short = made_up::record(4, 6, 0);
    assert_eq!(Climate::fit(&short, None), Err(ClimateError::TooShort { days: 1461, wanted: DAYS_WANTED }));
    for i in 0..record.low_c.len() {
        if (100..160).contains(&record.first.plus(i as i32).day_of_year()) {
            record.low_c[i] = None;
        }
    }
    assert_eq!(Climate::fit(&record, None), Err(ClimateError::YearNotCovered { hole_days: 60 }));
}
