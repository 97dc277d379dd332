//! The time until the core of a chilled animal is cold.
//!
//! Model     a long cylinder that gives heat off at its skin, by the series in Bessel's functions
//! Units     metres, W/m²/K, K, hours
//! Range     Biot numbers to 1000; a dimensionless time from 0.02, where eight terms are left with less than a millionth
//! Source    Carslaw & Jaeger (1959), Conduction of Heat in Solids, section 7.7; Choi & Okos (1986) for the flesh. Both from memory
//! Left out  the ends, the shell, heat of killing, a heap of animals, a slurry that warms

use std::f64::consts::PI;

use units::exp;

/// Conductivity of the flesh, W/m/K.
pub const CONDUCTIVITY_W_M_K: f64 = 0.515;
/// Its diffusivity, m²/s.
pub const DIFFUSIVITY_M2_S: f64 = 1.33e-7;
/// Heat taken at the skin in slurry that stands, is stirred, is stirred well, W/m²/K. From memory: still 100 to 250, stirred 250 to 1000.
pub const SKIN_W_M2_K: [f64; 3] = [100.0, 250.0, 500.0];

/// A slurry with ice floating in it, °C: common practice.
pub const SLURRY_C: f64 = 0.5;

const TERMS: usize = 8;

/// How far the core is from the slurry, as a share of where it began, at a dimensionless time.
pub fn core_left(biot: f64, fourier: f64) -> f64 {
    (0..TERMS).map(|term| Term::of(biot, term)).map(|term| term.first * exp(-term.root * term.root * fourier)).sum()
}

/// Hours until the core is `left_k` above the slurry when it began `start_k` above; radius in metres, `skin_w_m2_k` in W/m²/K.
/// Nothing when it begins colder.
pub fn hours(radius_m: f64, skin_w_m2_k: f64, start_k: f64, left_k: f64) -> f64 {
    if start_k <= left_k {
        return 0.0;
    }
    let biot = skin_w_m2_k * radius_m / CONDUCTIVITY_W_M_K;
    let terms: [Term; TERMS] = std::array::from_fn(|term| Term::of(biot, term));
    let left = |fourier: f64| terms.iter().map(|term| term.first * exp(-term.root * term.root * fourier)).sum::<f64>();
    let wanted = left_k / start_k;
    // The first term alone is never below the sum by much: twice its time is surely enough.
    let slowest = terms[0].root * terms[0].root;
    let (mut low, mut high) = (0.0, 2.0 * (units::ln(terms[0].first / wanted) / slowest).abs() + 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if left(middle) > wanted { low = middle } else { high = middle }
    }
    0.5 * (low + high) * radius_m * radius_m / DIFFUSIVITY_M2_S / 3600.0
}

/// Hours that prawns are left in, h: half as long again as the core takes, ten minutes at least (common practice).
pub fn dwell_h(thick_m: f64, skin_w_m2_k: f64, from_c: f64, core_c: f64, slurry_c: f64) -> f64 {
    (1.5 * hours(0.5 * thick_m, skin_w_m2_k, from_c - slurry_c, core_c - slurry_c)).max(1.0 / 6.0)
}

/// Thickness across the back of an animal of a weight, m.
///
/// Its width in mm by W = 0.01278 width^2.5189: Journal abstract on body width and weight of this species, both sexes (the unit of
/// width is inferred there).
pub fn thickness_m(weight_g: f64) -> f64 {
    units::pow(weight_g / 0.012_78, 1.0 / 2.5189) / 1000.0
}

#[derive(Debug, Clone, Copy)]
struct Term {
    root: f64,
    first: f64,
}

impl Term {
    /// The term of that place: its root of `x J1(x) = biot J0(x)`, and how much of the beginning it bears in the middle.
    fn of(biot: f64, place: usize) -> Term {
        // Each root lies between a zero of J1 (or nothing) and the next zero of J0; both lie near these (McMahon's expansion).
        let n = place as f64;
        let mut low = if place == 0 { 0.0 } else { zero(PI * (n + 0.25), -0.375, bessel_1) };
        let mut high = zero(PI * (n + 0.75), 0.125, bessel_0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let over = middle * bessel_1(middle) - biot * bessel_0(middle);
            // The sign of J0 turns from one interval to the next.
            let under = if place.is_multiple_of(2) { over < 0.0 } else { over > 0.0 };
            if under { low = middle } else { high = middle }
        }
        let root = 0.5 * (low + high);
        let (j0, j1) = (bessel_0(root), bessel_1(root));
        Term { root, first: 2.0 * j1 / (root * (j0 * j0 + j1 * j1)) }
    }
}

/// A zero near `about + shift / about`.
fn zero(about: f64, shift: f64, of: fn(f64) -> f64) -> f64 {
    let near = about + shift / about;
    let (mut low, mut high) = (near - 0.3, near + 0.3);
    let falls = of(low) > 0.0;
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (of(middle) > 0.0) == falls { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

fn bessel_0(x: f64) -> f64 {
    bessel(0, x)
}

fn bessel_1(x: f64) -> f64 {
    bessel(1, x)
}

/// Bessel's function of the first kind by its series; arguments up to 26, where cancelling leaves five digits.
fn bessel(order: i32, x: f64) -> f64 {
    let square = 0.25 * x * x;
    let mut term = if order == 0 { 1.0 } else { 0.5 * x };
    let mut sum = term;
    for n in 1..80 {
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
            assert!((Term::of(biot, 0).root - root).abs() < 1e-4, "{biot}: {}", Term::of(biot, 0).root);
        }
    }

    #[test]
    fn a_perfect_skin_is_the_quickest_and_a_cold_core_needs_no_time() {
        assert!(hours(0.01, 1e4, 20.0, 2.0) < hours(0.01, 250.0, 20.0, 2.0));
        assert!(hours(0.01, 250.0, 1.0, 2.0) == 0.0);
    }

    #[test]
    fn the_core_begins_where_it_begins_and_only_cools() {
        for biot in [0.5, 5.0, 50.0] {
            assert!((core_left(biot, 0.02) - 1.0).abs() < 2e-3, "{biot}: {}", core_left(biot, 0.02));
            let course: Vec<f64> = (1..40).map(|step| core_left(biot, 0.03 * f64::from(step))).collect();
            assert!(course.windows(2).all(|pair| pair[1] < pair[0]), "{course:?}");
        }
    }
}
