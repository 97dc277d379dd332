//! An EnergyPlus weather file.
#![no_main]

use fuzz::{hours_are_sound, judged, whole_is_sound};
use libfuzzer_sys::fuzz_target;
use weather::read_epw;

fuzz_target!(|bytes: &[u8]| {
    let Some(record) = judged(read_epw(bytes), bytes) else { return };
    let place = record.place.as_ref().expect("its first line tells where it is");
    assert!((-90.0..=90.0).contains(&place.latitude_deg) && (-180.0..=180.0).contains(&place.longitude_deg));
    hours_are_sound(&record, bytes);
    whole_is_sound(&record, bytes);
});
