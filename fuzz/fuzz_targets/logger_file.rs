//! A logger's file: whatever the bytes, each line named lies in the file, moments rise, values are believed, and no more comes out
//! than went in. What was read is written plainly and must read as the same.
#![no_main]

use farm::logger::{Choices, DateOrder, FileClock, Holds, decode, layout, take};
use farm::observed::{Place, Spot};
use fuzz::zones;
use libfuzzer_sys::fuzz_target;
use units::{Instant, Watch, Zone};

const NOW: Instant = Instant(1_700_000_000);

fuzz_target!(|bytes: &[u8]| {
    // The first two bytes choose what a person would have chosen.
    let Some((&[first, second], rest)) = bytes.split_first_chunk::<2>() else { return };
    let text = decode(rest);
    let lines = text.lines().count();
    let mut choices = Choices::default();
    if first & 1 == 1 {
        choices.order = Some(if first & 2 == 2 { DateOrder::DayFirst } else { DateOrder::MonthFirst });
    }
    choices.clock = [None, Some(FileClock::Winter), Some(FileClock::Utc), Some(FileClock::Fixed(-3600 * 11))]
        [usize::from(first >> 2 & 3)];
    if second & 128 == 128 {
        choices.columns.insert(usize::from(first >> 4), Holds::ALL[usize::from(second) % Holds::ALL.len()]);
    }
    let spot = Spot { place: Place::Deep, depth_m: 0.5 };
    for zone in zones() {
        let Ok(layout) = layout(&text, &choices) else { return };
        assert!(layout.columns.len() <= 64 && layout.first_line <= lines);
        let taken = take(&text, &layout, (&zone, spot, NOW), &Watch::new()).expect("not stopped");
        assert!(taken.lines <= lines && taken.count() <= 64 * lines);
        assert!(taken.doubts.first.iter().all(|doubt| (1..=lines).contains(&doubt.line)), "{:?}", taken.doubts.first);
        for series in &taken.series {
            let (least, most) = series.quantity.believed();
            assert!(series.rows.windows(2).all(|pair| pair[0].0 < pair[1].0), "moments do not rise");
            assert!(series.rows.iter().all(|row| (least..=most).contains(&row.1)), "{series:?}");
            let plain: String =
                series.rows.iter().fold(format!("time,{}\n", head(series.quantity.key())), |text, (at, value)| {
                    format!("{text}{}Z,{value}\n", Zone::utc().local(*at))
                });
            if series.rows.iter().any(|row| row.0.0 > 250_000_000_000) {
                continue;
            }
            let again = farm::logger::layout(&plain, &Choices::default()).expect("plainly written");
            let back = take(&plain, &again, (&zone, spot, NOW), &Watch::new()).expect("not stopped");
            assert_eq!(back.series[0].rows, series.rows, "{plain}");
        }
    }
});

fn head(quantity: &str) -> &str {
    match quantity {
        "temperature" => "temp_c",
        "oxygen" => "do mg/l",
        "stage" => "stage_m",
        other => other,
    }
}
