//! A farm file.
#![no_main]

use fuzz::{line_is_inside, reasons_are_sound, text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Some(text) = text(bytes) else { return };
    match farm::read_farm(text) {
        Err(reasons) => reasons_are_sound(&reasons, bytes),
        Ok(farm) => {
            farm.doubts.iter().for_each(|doubt| line_is_inside(doubt.line, 1, bytes, doubt));
            assert!((-90.0..=90.0).contains(&farm.place.latitude_deg), "{:?}", farm.place);
            assert!((-180.0..=180.0).contains(&farm.place.longitude_deg), "{:?}", farm.place);
            assert!(farm.choices.cold_mark_c.is_finite() && farm.choices.risk_weight.is_finite(), "{:?}", farm.choices);
            assert!(!farm.ponds.is_empty(), "a farm without ponds");
            assert!(farm.ponds.len() + farm.prices.rows.len() <= bytes.len(), "more than was written");
        }
    }
});
