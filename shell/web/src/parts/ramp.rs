//! The one temperature ramp: twelve steps, dark and cold to light and warm, ordered in lightness so that it survives print and
//! colour blindness. The colours stand in `tokens.css` under these names.

/// Steps of the ramp.
const STEPS: f64 = 12.0;
/// Coldest and warmest end, °C.
const ENDS_C: (f64, f64) = (8.0, 32.0);

/// Class of a water temperature.
pub fn class(temp_c: f64) -> String {
    let step = ((temp_c - ENDS_C.0) / (ENDS_C.1 - ENDS_C.0) * STEPS).floor().clamp(0.0, STEPS - 1.0);
    format!("t{step}")
}

#[cfg(test)]
mod tests {
    use super::class;

    #[test]
    fn warmer_water_is_never_a_darker_step() {
        for (temp_c, step) in [(-5.0, "t0"), (9.9, "t0"), (10.0, "t1"), (20.1, "t6"), (31.9, "t11"), (60.0, "t11")] {
            assert_eq!(class(temp_c), step, "{temp_c}");
        }
    }
}
