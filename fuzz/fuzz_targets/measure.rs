//! Quantities and prices as people type them: the first byte says what is asked for. A quantity is written in every unit of its
//! kind and must come back.
#![no_main]

use libfuzzer_sys::fuzz_target;
use units::measure::{Kind, read, read_price, units_of, write};

fuzz_target!(|bytes: &[u8]| {
    let Some((&first, rest)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    let kind = Kind::ALL[usize::from(first) % Kind::ALL.len()];
    if let Ok(price) = read_price(text, kind) {
        assert!(price.amount.is_finite(), "{price:?}");
    }
    for bare in [None, units_of(kind).next().map(|unit| unit.shown)] {
        let Ok(value) = read(text, kind, bare) else { continue };
        assert!(value.is_finite() && value.abs() < 1e15, "{value}");
        for unit in units_of(kind).filter(|unit| !unit.shown.is_empty()) {
            let Some(written) = write(value, kind, unit.shown) else { continue };
            let again = read(&written, kind, None).unwrap_or_else(|error| panic!("{text:?}: {written:?}: {error:?}"));
            // Twelve digits, of the number that stands on the page: degrees lose theirs near the other scale's zero.
            let near = 1e-10 * (value.abs() + unit.offset.abs()) + f64::MIN_POSITIVE;
            assert!((again - value).abs() <= near, "{text:?}: {value} written {written:?} comes back as {again}");
        }
    }
});
