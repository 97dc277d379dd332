//! One arithmetic for two speeds: a single pond in f64, or a row of members side by side in f32.
//!
//! Every formula of the water is written once, over [`Real`]. There are exactly two implementations: `f64`, the reference,
//! with the functions of `libm`; and [`Lanes`], sixteen members in single precision. `Lanes` is plain array loops, so the
//! compiler makes them into vector instructions of whatever width the caller has switched on with
//! `#[target_feature]`. Nothing here is fused, reordered or taken from the platform's library: a lane gives the same bits
//! at every width, on every machine, whatever its neighbours hold.
//!
//! There is no mask type: a choice is one call that compares and picks, because that is the form every vector unit has.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Members that are carried side by side in one [`Lanes`].
pub const LANES: usize = 16;

/// A number of the hour kernel: `f64`, or [`Lanes`] members at once.
pub trait Real:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + PartialEq
    + std::fmt::Debug
{
    /// How many members one value carries.
    const WIDTH: usize;
    /// Sums over a season: f64 for each member, in both forms.
    type Sums: Copy + PartialEq + std::fmt::Debug;

    /// The same number for every member.
    fn splat(x: f64) -> Self;
    /// The same number for every member, from a table that keeps it in both precisions.
    fn pick(wide: f64, narrow: f32) -> Self;
    /// The smaller, member by member.
    fn min(self, other: Self) -> Self;
    /// The larger, member by member.
    fn max(self, other: Self) -> Self;
    /// Without its sign.
    fn abs(self) -> Self;
    /// Square root (correctly rounded, so the same everywhere).
    fn sqrt(self) -> Self;
    /// e to the power `self`. Lanes: relative error below 2e-7 from -87 to 88, held at the ends outside.
    fn exp(self) -> Self;
    /// Natural logarithm of a positive normal number. Lanes: error below 3e-7 of the larger of 1 and the result.
    fn ln(self) -> Self;
    /// Cube root of a number that is not negative. Lanes: relative error below 5e-7.
    fn cbrt(self) -> Self;
    /// `then` where `self < limit`, else `otherwise`.
    fn if_less(self, limit: Self, then: Self, otherwise: Self) -> Self;
    /// `then` where `self == other`, else `otherwise`.
    fn if_equal(self, other: Self, then: Self, otherwise: Self) -> Self;
    /// Whether any member has `self < other`.
    fn any_less(self, other: Self) -> bool;
    /// One member's value. Member numbers run from 0 to `WIDTH - 1`.
    fn lane(self, member: usize) -> f64;
    /// Sets one member's value.
    fn set_lane(&mut self, member: usize, x: f64);
    /// Season sums that start at nothing.
    fn no_sums() -> Self::Sums;
    /// Adds each member's value to its sum.
    fn add_to(self, sums: &mut Self::Sums);
    /// One member's sum.
    fn sum_of(sums: &Self::Sums, member: usize) -> f64;
}

impl Real for f64 {
    const WIDTH: usize = 1;
    type Sums = f64;

    #[inline(always)]
    fn splat(x: f64) -> f64 {
        x
    }
    #[inline(always)]
    fn pick(wide: f64, _narrow: f32) -> f64 {
        wide
    }
    #[inline(always)]
    fn min(self, other: f64) -> f64 {
        if self < other { self } else { other }
    }
    #[inline(always)]
    fn max(self, other: f64) -> f64 {
        if self > other { self } else { other }
    }
    #[inline(always)]
    fn abs(self) -> f64 {
        f64::abs(self)
    }
    #[inline(always)]
    fn sqrt(self) -> f64 {
        f64::sqrt(self)
    }
    #[inline(always)]
    fn exp(self) -> f64 {
        libm::exp(self)
    }
    #[inline(always)]
    fn ln(self) -> f64 {
        libm::log(self)
    }
    #[inline(always)]
    fn cbrt(self) -> f64 {
        libm::cbrt(self)
    }
    #[inline(always)]
    fn if_less(self, limit: f64, then: f64, otherwise: f64) -> f64 {
        if self < limit { then } else { otherwise }
    }
    #[inline(always)]
    fn if_equal(self, other: f64, then: f64, otherwise: f64) -> f64 {
        if self == other { then } else { otherwise }
    }
    #[inline(always)]
    fn any_less(self, other: f64) -> bool {
        self < other
    }
    #[inline(always)]
    fn lane(self, _member: usize) -> f64 {
        self
    }
    #[inline(always)]
    fn set_lane(&mut self, _member: usize, x: f64) {
        *self = x;
    }
    #[inline(always)]
    fn no_sums() -> f64 {
        0.0
    }
    #[inline(always)]
    fn add_to(self, sums: &mut f64) {
        *sums += self;
    }
    #[inline(always)]
    fn sum_of(sums: &f64, _member: usize) -> f64 {
        *sums
    }
}

/// [`LANES`] members in single precision, side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(align(64))]
pub struct Lanes(pub [f32; LANES]);

impl Lanes {
    #[inline(always)]
    fn each(self, f: impl Fn(f32) -> f32) -> Lanes {
        let mut out = self.0;
        for k in 0..LANES {
            out[k] = f(self.0[k]);
        }
        Lanes(out)
    }

    #[inline(always)]
    fn both(self, other: Lanes, f: impl Fn(f32, f32) -> f32) -> Lanes {
        let mut out = self.0;
        for k in 0..LANES {
            out[k] = f(self.0[k], other.0[k]);
        }
        Lanes(out)
    }
}

impl Add for Lanes {
    type Output = Lanes;
    #[inline(always)]
    fn add(self, other: Lanes) -> Lanes {
        self.both(other, |a, b| a + b)
    }
}
impl Sub for Lanes {
    type Output = Lanes;
    #[inline(always)]
    fn sub(self, other: Lanes) -> Lanes {
        self.both(other, |a, b| a - b)
    }
}
impl Mul for Lanes {
    type Output = Lanes;
    #[inline(always)]
    fn mul(self, other: Lanes) -> Lanes {
        self.both(other, |a, b| a * b)
    }
}
impl Div for Lanes {
    type Output = Lanes;
    #[inline(always)]
    fn div(self, other: Lanes) -> Lanes {
        self.both(other, |a, b| a / b)
    }
}
impl Neg for Lanes {
    type Output = Lanes;
    #[inline(always)]
    fn neg(self) -> Lanes {
        self.each(|a| -a)
    }
}
impl AddAssign for Lanes {
    #[inline(always)]
    fn add_assign(&mut self, other: Lanes) {
        *self = *self + other;
    }
}
impl SubAssign for Lanes {
    #[inline(always)]
    fn sub_assign(&mut self, other: Lanes) {
        *self = *self - other;
    }
}

impl Real for Lanes {
    const WIDTH: usize = LANES;
    type Sums = [f64; LANES];

    #[inline(always)]
    fn splat(x: f64) -> Lanes {
        Lanes([x as f32; LANES])
    }
    #[inline(always)]
    fn pick(_wide: f64, narrow: f32) -> Lanes {
        Lanes([narrow; LANES])
    }
    #[inline(always)]
    fn min(self, other: Lanes) -> Lanes {
        self.both(other, |a, b| if a < b { a } else { b })
    }
    #[inline(always)]
    fn max(self, other: Lanes) -> Lanes {
        self.both(other, |a, b| if a > b { a } else { b })
    }
    #[inline(always)]
    fn abs(self) -> Lanes {
        self.each(f32::abs)
    }
    #[inline(always)]
    fn sqrt(self) -> Lanes {
        self.each(f32::sqrt)
    }
    #[inline(always)]
    fn exp(self) -> Lanes {
        self.each(exp_f32)
    }
    #[inline(always)]
    fn ln(self) -> Lanes {
        self.each(ln_f32)
    }
    #[inline(always)]
    fn cbrt(self) -> Lanes {
        self.each(cbrt_f32)
    }
    #[inline(always)]
    fn if_less(self, limit: Lanes, then: Lanes, otherwise: Lanes) -> Lanes {
        let mut out = otherwise.0;
        for k in 0..LANES {
            out[k] = if self.0[k] < limit.0[k] { then.0[k] } else { otherwise.0[k] };
        }
        Lanes(out)
    }
    #[inline(always)]
    fn if_equal(self, other: Lanes, then: Lanes, otherwise: Lanes) -> Lanes {
        let mut out = otherwise.0;
        for k in 0..LANES {
            out[k] = if self.0[k] == other.0[k] { then.0[k] } else { otherwise.0[k] };
        }
        Lanes(out)
    }
    #[inline(always)]
    fn any_less(self, other: Lanes) -> bool {
        let mut found = 0_u32;
        for k in 0..LANES {
            found |= u32::from(self.0[k] < other.0[k]);
        }
        found != 0
    }
    #[inline(always)]
    fn lane(self, member: usize) -> f64 {
        f64::from(self.0[member])
    }
    #[inline(always)]
    fn set_lane(&mut self, member: usize, x: f64) {
        self.0[member] = x as f32;
    }
    #[inline(always)]
    fn no_sums() -> [f64; LANES] {
        [0.0; LANES]
    }
    #[inline(always)]
    fn add_to(self, sums: &mut [f64; LANES]) {
        for k in 0..LANES {
            sums[k] += f64::from(self.0[k]);
        }
    }
    #[inline(always)]
    fn sum_of(sums: &[f64; LANES], member: usize) -> f64 {
        sums[member]
    }
}

/// Adding this to a number of moderate size leaves its nearest whole number in the low bits.
const ROUNDER: f32 = 12_582_912.0;

/// e^x: x = n ln 2 + r with r within half of ln 2; a Taylor polynomial of degree 7 in r (its remainder is 4e-9); 2^n by
/// writing the exponent.
#[inline(always)]
fn exp_f32(x: f32) -> f32 {
    let x = if x < -87.0 { -87.0 } else { x };
    let x = if x > 88.0 { 88.0 } else { x };
    let shifted = x * std::f32::consts::LOG2_E + ROUNDER;
    let n = shifted - ROUNDER;
    // ln 2 in two parts: the first has few enough bits that n times it is exact.
    let r = (x - n * 0.693_359_4) - n * -2.121_944_4e-4;
    let mut p = 1.0 / 5040.0_f32;
    p = p * r + 1.0 / 720.0;
    p = p * r + 1.0 / 120.0;
    p = p * r + 1.0 / 24.0;
    p = p * r + 1.0 / 6.0;
    p = p * r + 0.5;
    p = p * r + 1.0;
    p = p * r + 1.0;
    let power = shifted.to_bits().wrapping_sub(ROUNDER.to_bits()).wrapping_add(127) << 23;
    p * f32::from_bits(power)
}

/// ln x: x = 2^n m with m from 0.707 to 1.414; ln m = 2 artanh((m - 1)/(m + 1)) by its series to the ninth power.
#[inline(always)]
fn ln_f32(x: f32) -> f32 {
    const ROOT_HALF_BITS: u32 = 0x3f35_04f3;
    let bits = x.to_bits().wrapping_sub(ROOT_HALF_BITS);
    let n_bits = ((bits as i32) >> 23) as u32;
    let m = f32::from_bits((bits & 0x007f_ffff).wrapping_add(ROOT_HALF_BITS));
    let n = f32::from_bits(n_bits.wrapping_add(ROUNDER.to_bits())) - ROUNDER;
    let s = (m - 1.0) / (m + 1.0);
    let s2 = s * s;
    let mut p = 2.0 / 9.0_f32;
    p = p * s2 + 2.0 / 7.0;
    p = p * s2 + 2.0 / 5.0;
    p = p * s2 + 2.0 / 3.0;
    let tail = s * s2 * p;
    n * 0.693_359_4 + ((n * -2.121_944_4e-4 + tail) + 2.0 * s)
}

/// Cube root without a division: the inverse cube root guessed from the bits (within 4 %), three Newton steps
/// r (4 - x r^3) / 3, each of which doubles the digits, then x r^2. Nothing gives nothing.
#[inline(always)]
fn cbrt_f32(x: f32) -> f32 {
    let mut r = f32::from_bits(0x54a2_fa8c_u32.wrapping_sub(x.to_bits() / 3));
    for _ in 0..3 {
        r = r * ((4.0 / 3.0) - (x * r) * (r * r) * (1.0 / 3.0));
    }
    (x * r) * r
}

#[cfg(test)]
mod tests;
