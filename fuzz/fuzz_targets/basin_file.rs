//! A basin file.
#![no_main]

use fuzz::{faults_are_sound, text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Some(text) = text(bytes) else { return };
    match farm::basin::read(text) {
        Err(faults) => faults_are_sound(&faults, bytes),
        Ok(basin) => {
            assert!((-90.0..=90.0).contains(&basin.latitude_deg) && (-180.0..=180.0).contains(&basin.longitude_deg));
            assert!((0.05..=3.0).contains(&basin.wind_factor) && basin.seepage_mm_d >= 0.0);
            let profile = &basin.start_profile_m_c;
            assert!(profile.windows(2).all(|pair| pair[0].0 < pair[1].0), "depths do not rise: {profile:?}");
            assert!(profile.iter().all(|(_, temp_c)| (-0.5..=45.0).contains(temp_c)), "{profile:?}");
            assert!(basin.by_date.windows(2).all(|pair| pair[0].day < pair[1].day), "{:?}", basin.by_date);
            assert!(basin.by_date.len() + profile.len() <= bytes.len(), "more than was written");
        }
    }
});
