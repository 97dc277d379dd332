//! The time until the core of a chilled animal is cold.
//!
//! Model     a long cylinder that gives heat off at its skin: the first term of the series
//! Units     metres, W/m²/K, K, hours
//! Range     after a dimensionless time of about 0.2; in a slurry that does not warm
//! Source    Carslaw & Jaeger (1959), Conduction of Heat in Solids; Choi & Okos (1986) for the flesh. Both from memory
//! Left out  the ends, the shell, heat of killing, a heap of animals

use units::ln;

const CONDUCTIVITY_W_M_K: f64 = 0.515;
const DIFFUSIVITY_M2_S: f64 = 1.33e-7;

/// Hours until the core is `left_k` above the slurry when it began `start_k` above; radius in metres, `skin` in W/m²/K. Nothing when
/// it begins colder.
pub(super) fn hours(radius_m: f64, skin: f64, start_k: f64, left_k: f64) -> f64 {
    if start_k <= left_k {
        return 0.0;
    }
    let biot = skin * radius_m / CONDUCTIVITY_W_M_K;
    let root = first_root(biot);
    let (j0, j1) = (bessel(0, root), bessel(1, root));
    let first = 2.0 * j1 / (root * (j0 * j0 + j1 * j1));
    let fourier = ln(first * start_k / left_k) / (root * root);
    fourier * radius_m * radius_m / DIFFUSIVITY_M2_S / 3600.0
}

/// The first root of `x J1(x) = biot J0(x)`.
fn first_root(biot: f64) -> f64 {
    let (mut low, mut high) = (0.0, 2.404_825_557_695_773);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if middle * bessel(1, middle) < biot * bessel(0, middle) { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Bessel's function of the first kind by its series; arguments up to 3.
fn bessel(order: i32, x: f64) -> f64 {
    let square = 0.25 * x * x;
    let mut term = if order == 0 { 1.0 } else { 0.5 * x };
    let mut sum = term;
    for n in 1..30 {
        term *= -square / f64::from(n * (n + order));
        sum += term;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Roots of the cylinder's equation as printed in heat-transfer tables (from memory), to their last digit.
    #[test]
    fn printed_roots_come_out() {
        for (biot, root) in [(0.1, 0.4417), (1.0, 1.2558), (5.0, 1.9898), (10.0, 2.1795), (100.0, 2.3809)] {
            assert!((first_root(biot) - root).abs() < 1e-4, "{biot}: {}", first_root(biot));
        }
    }

    #[test]
    fn a_perfect_skin_is_the_quickest_and_a_cold_core_needs_no_time() {
        assert!(hours(0.01, 1e6, 20.0, 2.0) < hours(0.01, 250.0, 20.0, 2.0));
        assert!(hours(0.01, 250.0, 1.0, 2.0) == 0.0);
    }
}
