//! Share of a standard normal below a value.
//!
//! Model     the complementary error function
//! Units     standard deviations from the mean; shares 0 to 1
//! Range     every finite value
//! Source    a definition; agrees with tabled values, which is the test
//! Left out  nothing

/// Share of a standard normal that lies below `x`.
pub fn normal_below(x: f64) -> f64 {
    0.5 * units::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tabled_values_are_met() {
        // Abramowitz & Stegun, table 26.1 (from memory, widely reproduced).
        for (x, below) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746_068_543),
            (2.0, 0.977_249_868_051_821),
            (3.0, 0.998_650_101_968_370),
            (-1.0, 0.158_655_253_931_457),
            (-4.0, 3.167_124_183_3e-5),
            (-6.0, 9.865_876_450e-10),
        ] {
            let ours = normal_below(x);
            assert!((ours / below - 1.0).abs() < 1e-10, "{x}: {ours} against {below}");
        }
    }
}
