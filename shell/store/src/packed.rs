//! A day of a logger's readings in few bytes: steps of time and of value, each a number of as many bytes as it needs.

use units::Instant;

/// Steps of value in one unit.
const STEPS: f64 = 10_000.0;
/// Seconds of a day.
const DAY_S: i64 = 86_400;

/// The day (UTC, from 1970) of a moment.
pub(crate) fn day_of(at: Instant) -> i64 {
    at.0.div_euclid(DAY_S)
}

/// Packs the readings of one day, moments rising.
pub(crate) fn pack(day: i64, rows: &[(Instant, f64)]) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(4 * rows.len());
    let (mut last_s, mut last) = (day * DAY_S, 0i64);
    for &(at, value) in rows {
        let steps = (value * STEPS).round() as i64;
        put(&mut bytes, (at.0 - last_s) as u64);
        let change = steps.wrapping_sub(last);
        put(&mut bytes, ((change << 1) ^ (change >> 63)) as u64);
        (last_s, last) = (at.0, steps);
    }
    bytes
}

/// Unpacks onto a list; false when the bytes are none of ours.
pub(crate) fn unpack(day: i64, mut bytes: &[u8], rows: &mut Vec<(Instant, f64)>) -> bool {
    let (mut at_s, mut last) = (day.saturating_mul(DAY_S), 0i64);
    while !bytes.is_empty() {
        let (Some(step_s), Some(change)) = (take(&mut bytes), take(&mut bytes)) else { return false };
        at_s = at_s.saturating_add_unsigned(step_s);
        last = last.wrapping_add((change >> 1) as i64 ^ -((change & 1) as i64));
        rows.push((Instant(at_s), last as f64 / STEPS));
    }
    true
}

fn put(bytes: &mut Vec<u8>, mut number: u64) {
    while number >= 128 {
        bytes.push(number as u8 | 128);
        number >>= 7;
    }
    bytes.push(number as u8);
}

fn take(bytes: &mut &[u8]) -> Option<u64> {
    let mut number = 0u64;
    for shift in (0..64).step_by(7) {
        let (&first, rest) = bytes.split_first()?;
        *bytes = rest;
        number |= u64::from(first & 127) << shift;
        if first < 128 {
            return Some(number);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_comes_back_as_it_was() {
        for day in [-3, 0, 18_400] {
            let rows: Vec<(Instant, f64)> = (0..288)
                .map(|n| (Instant(day * DAY_S + n * 300 + n % 3), (((n * 37) % 401) - 150) as f64 / 100.0))
                .collect();
            let packed = pack(day, &rows);
            assert!(packed.len() < 5 * rows.len(), "{} bytes", packed.len());
            let mut back = Vec::new();
            assert!(unpack(day, &packed, &mut back));
            assert_eq!(back, rows);
            assert!(!unpack(day, &packed[..packed.len() - 1], &mut Vec::new()), "half a reading");
        }
        assert!(!unpack(0, &[255; 30], &mut Vec::new()));
    }
}
