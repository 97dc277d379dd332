//! Our own plain forecast table.
#![no_main]

use fuzz::{forecast_is_sound, judged, zones};
use libfuzzer_sys::fuzz_target;
use weather::read_forecast_table;

fuzz_target!(|bytes: &[u8]| {
    for zone in zones() {
        let Some(forecast) = judged(read_forecast_table(bytes, &zone), bytes) else { continue };
        forecast_is_sound(&forecast, bytes);
    }
});
