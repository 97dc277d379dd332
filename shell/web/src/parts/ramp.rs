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

/// Between two steps: the class below, the class above, and how far towards it, 0 to 1. Steps are met in their middles.
pub fn between(temp_c: f64) -> (String, String, f64) {
    let place = ((temp_c - ENDS_C.0) / (ENDS_C.1 - ENDS_C.0) * STEPS - 0.5).clamp(0.0, STEPS - 1.0);
    let next = (place.floor() + 1.0).min(STEPS - 1.0);
    (format!("t{}", place.floor()), format!("t{next}"), place.fract())
}

#[cfg(test)]
mod tests {
    use super::{between, class};

    #[test]
    fn warmer_water_is_never_a_darker_step() {
        for (temp_c, step) in [(-5.0, "t0"), (9.9, "t0"), (10.0, "t1"), (20.1, "t6"), (31.9, "t11"), (60.0, "t11")] {
            assert_eq!(class(temp_c), step, "{temp_c}");
        }
    }

    #[test]
    fn between_steps_the_colour_runs_on() {
        assert_eq!(between(9.0), ("t0".to_owned(), "t1".to_owned(), 0.0));
        assert_eq!(between(10.5), ("t0".to_owned(), "t1".to_owned(), 0.75));
        assert_eq!(between(60.0).0, "t11");
    }
}
