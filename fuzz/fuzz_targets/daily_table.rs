//! A table of daily lows and highs.
#![no_main]

use fuzz::judged;
use libfuzzer_sys::fuzz_target;
use weather::read_daily;

fuzz_target!(|bytes: &[u8]| {
    let Some(record) = judged(read_daily(bytes), bytes) else { return };
    fuzz::days_are_sound(&record);
});
