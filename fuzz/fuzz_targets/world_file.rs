//! The world of a replay.
#![no_main]

use fuzz::{line_is_inside, text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Some(text) = text(bytes) else { return };
    match farm::read_world(text) {
        Err(error) => {
            error.line.iter().for_each(|&line| line_is_inside(line, 1, bytes, &error));
            assert!(!error.detail.is_empty());
        }
        Ok(world) => {
            assert!(world.years.0 <= world.years.1 && (1..=1000).contains(&world.draws_per_year));
            assert!((8..=4096).contains(&world.members));
            let spreads = [world.timing_sd_h_at_5_days, world.cold_shift_sd_c, world.wind_factor_sd_log];
            let all = spreads.iter().chain(&world.error_sd_c).chain(&world.true_error_factors);
            assert!(all.clone().count() <= 3 + bytes.len());
            assert!(all.into_iter().all(|sd| sd.is_finite() && *sd >= 0.0), "{world:?}");
        }
    }
});
