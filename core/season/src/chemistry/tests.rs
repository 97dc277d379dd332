use super::*;

const NOW: Instant = Instant(1_000_000);
const HOUR_S: i64 = 3600;

/// A reading so many hours ago.
fn read(hours_ago: i64, ph: Option<f64>, ammonia_mg_l: Option<f64>, temp_c: Option<f64>) -> ChemistryRead {
    ChemistryRead { at: Instant(NOW.0 - hours_ago * HOUR_S), ph, ammonia_mg_l, nitrite_mg_l: None, temp_c }
}

/// The day, where readings of 16 hours ago (and a day more) are an afternoon's.
fn day(reads: &[ChemistryRead]) -> ChemistryToday {
    today(reads, NOW, Instant(NOW.0 + 17 * HOUR_S), 26.0, |read| (NOW.0 - read.at.0) / HOUR_S % 24 == 16)
}

#[test]
fn the_poisonous_part_is_told_at_the_last_ph_and_at_the_afternoons() {
    let of_day = day(&[read(16, Some(9.0), None, Some(30.0)), read(1, Some(7.6), Some(0.5), Some(26.0))]);
    let ammonia = of_day.ammonia.expect("read");
    // Published fractions (Emerson and others, as tabled): 0.0238 at pH 7.6 and 26 °C, 0.445 at pH 9 and 30 °C.
    let (now, peak) = (ammonia.now.expect("a pH"), ammonia.peak.expect("an afternoon"));
    assert!((now.mg_l - 0.5 * 0.0237).abs() < 0.0005, "{now:?}");
    assert!((peak.mg_l - 0.5 * 0.445).abs() < 0.002 && !peak.guessed, "{peak:?}");
    assert_eq!((of_day.alarm, of_day.is_old()), (Alarm::Act, false));
    // Twice the ammonia is past what killed.
    let twice = day(&[read(16, Some(9.0), None, Some(30.0)), read(1, Some(7.6), Some(1.0), Some(26.0))]);
    assert_eq!(twice.alarm, Alarm::Kills);
    assert_eq!(day(&[read(16, Some(8.0), Some(0.3), Some(28.0))]).alarm, Alarm::None);
}

#[test]
fn an_afternoon_that_was_not_read_is_guessed_and_sends_to_the_meter() {
    let of_day = day(&[read(1, Some(8.2), Some(1.0), None)]);
    let peak = of_day.ammonia.and_then(|ammonia| ammonia.peak).expect("a guess");
    assert_eq!((peak.ph, peak.temp_c, peak.guessed), (9.2, 28.0, true));
    assert!(peak.mg_l > KILLS_MG_L);
    assert_eq!(of_day.alarm, Alarm::Mind);
    assert!(day(&[read(1, None, Some(1.0), None)]).ammonia.expect("read").peak.is_none(), "without a pH nobody knows");
    // A pH of the afternoon four days ago is not this day's.
    let old = day(&[read(16 + 96, Some(9.4), None, None), read(1, Some(7.0), Some(0.4), None)]);
    assert!(old.afternoon_ph.is_none() && old.ammonia.and_then(|ammonia| ammonia.peak).expect("a guess").guessed);
}

#[test]
fn what_is_old_is_questioned_and_what_is_ahead_waits() {
    assert!(day(&[read(8 * 24, Some(8.0), Some(0.3), None)]).is_old());
    assert!(!day(&[read(6 * 24, None, Some(0.3), None)]).is_old());
    let ahead = [read(-30, Some(9.9), None, None), read(2, Some(7.5), None, None)];
    let mut in_order = ahead;
    in_order.reverse();
    assert_eq!(day(&in_order).ph.map(|read| read.value), Some(7.5), "tomorrow's entry is not today's");
    // This evening's entry counts, though the question is the morning's.
    assert_eq!(day(&[read(-10, Some(8.8), None, None)]).ph.map(|read| (read.value, read.age_d)), Some((8.8, 0.0)));
    assert!(!day(&[]).is_read());
}

#[test]
fn ph_and_nitrite_alarm_by_themselves() {
    assert_eq!(day(&[read(2, Some(9.8), None, None)]).alarm, Alarm::Act);
    assert_eq!(day(&[read(2, Some(6.2), None, None)]).alarm, Alarm::Act);
    assert_eq!(day(&[read(2, Some(7.8), None, None)]).alarm, Alarm::None);
    let nitrite = ChemistryRead { nitrite_mg_l: Some(1.2), ..read(2, None, None, None) };
    assert_eq!(day(&[nitrite]).alarm, Alarm::Act);
}
