//! What must hold of every reader, whatever bytes it is given: it answers, every line it names lies in the file, and what it
//! hands back is no larger than the file can account for.

use std::collections::BTreeMap;
use std::fmt::Debug;

use farm::basin::Fault;
use farm::reasons::Reason;
use units::Zone;
use weather::{DailyRecord, Finding, HourlyRecord, IssuedForecast, Place, Read, Refusal, complete};

/// Lines a file has at most, in any encoding that is read.
pub fn lines(bytes: &[u8]) -> usize {
    1 + bytes.iter().filter(|&&byte| byte == b'\n').count()
}

/// The bytes as text; `None` where they are none. Farm, basin, world and readings files are read as text.
pub fn text(bytes: &[u8]) -> Option<&str> {
    std::str::from_utf8(bytes).ok()
}

/// Most remarks a file of this size may give rise to.
fn remarks_most(bytes: &[u8]) -> usize {
    100 + 4 * bytes.len()
}

/// Ends the run when a line is named that the file does not have. `least` is 0 where 0 stands for the whole file.
pub fn line_is_inside(line: usize, least: usize, bytes: &[u8], of: &impl Debug) {
    assert!((least..=lines(bytes)).contains(&line), "line {line} of {}: {of:?}", lines(bytes));
}

/// What a weather reader found odd.
pub fn findings_are_sound(findings: &[Finding], bytes: &[u8]) {
    assert!(findings.len() <= remarks_most(bytes), "{} findings in {} bytes", findings.len(), bytes.len());
    for finding in findings {
        line_is_inside(finding.line, 0, bytes, finding);
        assert!(finding.text.chars().count() <= 60, "too long to be shown: {finding:?}");
    }
}

/// What a weather reader refused.
pub fn refusal_is_sound(refusal: &Refusal, bytes: &[u8]) {
    let line = match refusal {
        Refusal::NoHeader { line }
        | Refusal::NoColumn { line, .. }
        | Refusal::TwoColumns { line, .. }
        | Refusal::NoUsableLine { line, .. }
        | Refusal::Json { line, .. }
        | Refusal::SpanTooLong { line, .. } => *line,
        // A hole names the line after which it begins: none for one before the first.
        Refusal::Hole { line, .. } => return line_is_inside(*line, 0, bytes, refusal),
        _ => return,
    };
    line_is_inside(line, 1, bytes, refusal);
}

/// The value of a weather reader's answer, once its remarks are judged.
pub fn judged<T>(read: Result<Read<T>, Refusal>, bytes: &[u8]) -> Option<T> {
    match read {
        Ok(read) => {
            findings_are_sound(&read.findings, bytes);
            Some(read.value)
        }
        Err(refusal) => {
            refusal_is_sound(&refusal, bytes);
            None
        }
    }
}

/// Reasons why a farm file cannot be used.
pub fn reasons_are_sound(reasons: &[Reason], bytes: &[u8]) {
    assert!(!reasons.is_empty(), "refused without a reason");
    assert!(reasons.len() <= remarks_most(bytes), "{} reasons in {} bytes", reasons.len(), bytes.len());
    assert!(reasons.windows(2).all(|pair| pair[0].line <= pair[1].line), "out of order: {reasons:?}");
    reasons.iter().for_each(|reason| line_is_inside(reason.line, 1, bytes, reason));
}

/// Faults of a basin file or of a file of readings.
pub fn faults_are_sound(faults: &[Fault], bytes: &[u8]) {
    assert!(!faults.is_empty(), "refused without a reason");
    assert!(faults.len() <= remarks_most(bytes), "{} faults in {} bytes", faults.len(), bytes.len());
    faults.iter().for_each(|fault| line_is_inside(fault.line, 1, bytes, fault));
}

/// Zones in which files are read: none at all, one with a summer change, one whose change is half an hour.
pub fn zones() -> [Zone; 3] {
    ["UTC", "America/New_York", "Australia/Lord_Howe"].map(|name| Zone::parse(name).expect("in the table"))
}

/// Where a record without a place of its own is made whole.
pub fn place() -> Place {
    let zone = Zone::parse("+09:30").expect("an offset");
    Place { latitude_deg: -34.0, longitude_deg: 138.5, elevation_m: 50.0, zone }
}

/// Days as read: as many lows as highs, no low above its high, none absurd, no more than a few centuries.
pub fn days_are_sound(record: &DailyRecord) {
    assert_eq!(record.low_c.len(), record.high_c.len());
    assert!((1..=400 * 366).contains(&record.low_c.len()), "{} days", record.low_c.len());
    for (low, high) in record.low_c.iter().zip(&record.high_c) {
        assert!(low.iter().chain(high).all(|temp| (-90.0..=60.0).contains(temp)), "{low:?} {high:?}");
        assert!(low.zip(*high).is_none_or(|(low, high)| low <= high), "{low:?} above {high:?}");
    }
}

/// Hours as read: each from a line of the file, nothing absurd, no more than a few centuries.
pub fn hours_are_sound(record: &HourlyRecord, bytes: &[u8]) {
    assert!((1..=1_500_001).contains(&record.hours.len()), "{} hours", record.hours.len());
    // Counted once: a file of few lines may span many hours.
    let lines = lines(bytes);
    for hour in &record.hours {
        assert!(hour.line as usize <= lines, "line {} of {lines}", hour.line);
        let within =
            |value: Option<f64>, least: f64, most: f64| value.is_none_or(|value| (least..=most).contains(&value));
        let sound = within(hour.air_temp_c, -90.0, 60.0)
            && within(hour.vapour_pressure_hpa, 0.0, 200.0)
            && within(hour.wind_m_s, 0.0, 120.0)
            && within(hour.shortwave_w_m2, 0.0, 1600.0)
            && within(hour.longwave_w_m2, 0.0, 800.0)
            && within(hour.cloud_fraction, 0.0, 1.0)
            && within(hour.pressure_hpa, 300.0, 1100.0)
            && within(hour.sea_level_pressure_hpa, 800.0, 1100.0)
            && within(hour.rain_mm, 0.0, 500.0)
            && within(hour.rain_chance, 0.0, 1.0);
        assert!(sound, "{hour:?}");
    }
}

/// A record made whole, where it can be: every hour complete, and what was made is said.
pub fn whole_is_sound(record: &HourlyRecord, bytes: &[u8]) {
    // Whole centuries from two lines take seconds and show nothing that a month does not.
    if record.hours.len() > 2000 {
        return;
    }
    let Some(whole) = judged(complete(record, &place(), None, None), bytes) else { return };
    assert_eq!(whole.hours.len(), record.hours.len());
    for hour in &whole.hours {
        let values = [
            hour.air_temp_c,
            hour.vapour_pressure_hpa,
            hour.wind_m_s,
            hour.shortwave_w_m2,
            hour.longwave_w_m2,
            hour.pressure_hpa,
            hour.rain_mm,
        ];
        assert!(values.iter().all(|value| value.is_finite()), "{hour:?}");
    }
}

/// A forecast as issued: days rise, nothing absurd, and no longer than anyone forecasts.
pub fn forecast_is_sound(forecast: &IssuedForecast, bytes: &[u8]) {
    if let Some(hours) = &forecast.hours {
        hours_are_sound(hours, bytes);
    }
    assert!(forecast.days.windows(2).all(|pair| pair[0].day < pair[1].day), "days do not rise");
    for extreme in &forecast.extremes {
        assert!(extreme.from < extreme.to && extreme.air_temp_c.is_finite(), "{extreme:?}");
    }
    for day in &forecast.days {
        let temps = [day.low_c, day.high_c, day.dew_point_c];
        assert!(temps.iter().flatten().all(|temp| (-110.0..=70.0).contains(temp)), "{day:?}");
        let shares = [day.cloud_fraction, day.rain_chance];
        assert!(shares.iter().flatten().all(|share| (0.0..=1.0).contains(share)), "{day:?}");
        assert!(day.wind_m_s.is_none_or(|wind| (0.0..=120.0).contains(&wind)), "{day:?}");
    }
}

/// A form's body, `a=b&c=d%20e+f`, as browsers write it.
pub fn fields(body: &str) -> BTreeMap<String, String> {
    let plain = |text: &str| {
        let mut bytes = Vec::new();
        let mut rest = text.as_bytes();
        while let Some((&first, after)) = rest.split_first() {
            rest = after;
            let pair = after.get(..2).and_then(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok());
            match (first, pair) {
                (b'+', _) => bytes.push(b' '),
                (b'%', Some(byte)) => {
                    bytes.push(byte);
                    rest = &after[2..];
                }
                _ => bytes.push(first),
            }
        }
        String::from_utf8_lossy(&bytes).into_owned()
    };
    body.split('&').filter_map(|pair| pair.split_once('=')).map(|(key, text)| (plain(key), plain(text))).collect()
}
