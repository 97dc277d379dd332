//! A photo: whatever the bytes, what is kept of a picture is a picture of the same size, no larger than it came, and bare already.
#![no_main]

use farm::picture::{bare, look};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(picture) = look(bytes) else { return };
    let Some(kept) = bare(bytes) else { return };
    assert_eq!(look(&kept), Ok(picture));
    // Which way up it was held is written anew in 36 bytes.
    assert!(kept.len() <= bytes.len() + 36, "{} from {}", kept.len(), bytes.len());
    assert_eq!(bare(&kept).as_ref(), Some(&kept), "twice is once");
    assert!(!kept.windows(6).any(|some| some == b"GPSLat") || bytes.windows(6).any(|some| some == b"GPSLat"));
});
