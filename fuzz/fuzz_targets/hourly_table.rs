//! A table of hours, read by several clocks, and made whole where it can be.
#![no_main]

use fuzz::{hours_are_sound, judged, whole_is_sound, zones};
use libfuzzer_sys::fuzz_target;
use weather::{HourLabel, HourlyForm, read_hourly};

fuzz_target!(|bytes: &[u8]| {
    let said = zones().map(|zone| HourlyForm { zone: Some(zone), label: Some(HourLabel::End) });
    for form in said.into_iter().chain([HourlyForm::default()]) {
        let Some(record) = judged(read_hourly(bytes, &form), bytes) else { continue };
        hours_are_sound(&record, bytes);
        whole_is_sound(&record, bytes);
    }
});
