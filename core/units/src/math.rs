//! Elementary functions from the pure-Rust `libm`.
//!
//! The platform's own library differs in the last bit between machines; a kept answer must not.

/// e to the power `x`.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}
/// Natural logarithm.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}
/// Logarithm to base ten.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}
/// `x` to the power `y`.
#[inline]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}
/// Sine of an angle in radians.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}
/// Cosine of an angle in radians.
#[inline]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}
/// Tangent of an angle in radians.
#[inline]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}
/// Angle in radians whose sine is `x`.
#[inline]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}
/// Angle in radians whose cosine is `x`.
#[inline]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}
/// Angle in radians whose tangent is `x`.
#[inline]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}
/// Angle in radians of the point (`x`, `y`), from minus pi to pi.
#[inline]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}
/// Cube root.
#[inline]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}
/// Length of the vector (`x`, `y`).
#[inline]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}
/// Complementary error function.
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}
