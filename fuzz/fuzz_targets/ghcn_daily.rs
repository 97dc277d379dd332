//! GHCN-Daily in fixed width and with commas, and any weather file known by what stands in it.
#![no_main]

use fuzz::{days_are_sound, findings_are_sound, hours_are_sound, judged, refusal_is_sound};
use libfuzzer_sys::fuzz_target;
use weather::{HourlyForm, Weather, read_any, read_ghcn_by_station, read_ghcn_dly};

fuzz_target!(|bytes: &[u8]| {
    for read in [read_ghcn_dly, read_ghcn_by_station] {
        judged(read(bytes), bytes).iter().for_each(days_are_sound);
    }
    match read_any(bytes, "", &HourlyForm::default()) {
        Ok((_, read)) => {
            findings_are_sound(&read.findings, bytes);
            match &read.value {
                Weather::Daily(record) => days_are_sound(record),
                Weather::Hourly(record) => hours_are_sound(record, bytes),
                Weather::Forecast(_) => {}
            }
        }
        Err(refusal) => refusal_is_sound(&refusal, bytes),
    }
});
