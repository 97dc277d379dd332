//! Days, moments and zones: what is read is written and must come back. A line break parts a zone from a time.
#![no_main]

use farm::observed::{Written, parse_time};
use libfuzzer_sys::fuzz_target;
use units::{Day, Instant, Local, Zone};

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let (zone, time) = text.split_once('\n').unwrap_or(("UTC", text));
    if let Some(day) = Day::parse(time) {
        let (year, month, of_month) = day.ymd();
        assert_eq!(Day::new(year, month, of_month), Some(day));
        assert_eq!(day.in_year(year), day);
        if year >= 0 {
            assert_eq!(Day::parse(&day.to_string()), Some(day));
        }
    }
    let Ok(zone) = Zone::parse(zone) else { return };
    let at = Instant::parse(time).or_else(|| match parse_time(time)? {
        Written::At(at) => Some(at),
        Written::On(day) => Some(zone.instant(day, 0)),
        Written::Clock(local) => Some(match zone.resolve(local) {
            Local::One(at) | Local::Skipped(at) => at,
            Local::Twice(first, second) => {
                assert!(first < second, "{local}: {first:?} {second:?}");
                second
            }
        }),
    });
    let Some(at) = at else { return };
    let (day, second) = zone.day_and_second(at);
    assert!((0..86_400).contains(&second));
    // The stamp shows minutes, so what comes back is the beginning of the minute.
    if (1..9999).contains(&day.ymd().0) {
        let stamp = zone.stamp(at);
        let again = Instant::parse(&stamp).unwrap_or_else(|| panic!("{stamp} is no moment"));
        assert!((0..60).contains(&(at.0 - again.0)), "{at:?} stamped {stamp} comes back as {again:?}");
        let told = Zone::parse(&stamp[16..]).expect("an offset").offset_s(at);
        assert!((0..60).contains(&(zone.offset_s(at) - told)), "{stamp}");
    }
});
