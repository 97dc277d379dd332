//! Forecasts of the US public weather service: periods, and layers at a grid point.
#![no_main]

use fuzz::{forecast_is_sound, judged, zones};
use libfuzzer_sys::fuzz_target;
use weather::read_service_forecast;

fuzz_target!(|bytes: &[u8]| {
    for zone in zones() {
        let Some(forecast) = judged(read_service_forecast(bytes, &zone), bytes) else { return };
        // No line is known in this form, and a value may be said for many hours.
        forecast_is_sound(&forecast, bytes);
        assert!(forecast.days.len() <= 65, "{} days ahead", forecast.days.len());
    }
});
