//! Seeds and streams: the only source of luck.
//!
//! Model     ChaCha8 keystream, one stream for each (seed, member, purpose); normals by inversion.
//! Units     uniform draws in (0, 1); normal draws of mean 0 and standard deviation 1.
//! Range     any seed, member and purpose; a stream yields 2^66 numbers before it repeats.
//! Source    Bernstein (2008), "ChaCha, a variant of Salsa20"; Wichura (1988), Applied Statistics 37, 477-484 (AS 241).
//! Left out  nothing that a season needs.
//!
//! A draw belongs to a member by its id, never by its place in a slice, so a member alone draws what it draws in a crowd.

mod inverse_normal;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

pub use inverse_normal::inverse_normal;

/// What a stream of draws is for. Two purposes never share numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Purpose(pub u32);

/// One stream of draws.
#[derive(Debug, Clone)]
pub struct Stream(ChaCha8Rng);

impl Stream {
    /// The stream of `member` for `purpose` under `seed`.
    pub fn new(seed: u64, member: u32, purpose: Purpose) -> Stream {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream((u64::from(purpose.0) << 32) | u64::from(member));
        Stream(rng)
    }

    /// A number strictly between 0 and 1.
    pub fn uniform(&mut self) -> f64 {
        // 53 bits, moved half a step off zero so that the inverse normal is always finite.
        ((self.0.next_u64() >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
    }

    /// A standard normal draw.
    pub fn normal(&mut self) -> f64 {
        inverse_normal(self.uniform())
    }

    /// A whole number from 0 to `n` - 1.
    pub fn below(&mut self, n: usize) -> usize {
        assert!(n > 0, "nothing to draw from");
        // The product's high half: its unevenness is below n / 2^64.
        ((u128::from(self.0.next_u64()) * n as u128) >> 64) as usize
    }

    /// Number of failures before a success of chance `p` (0 < p <= 1); mean (1 - p) / p.
    pub fn geometric(&mut self, p: f64) -> u64 {
        if p >= 1.0 {
            return 0;
        }
        (units::ln(self.uniform()) / units::ln(1.0 - p)).floor() as u64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stream_depends_on_seed_member_and_purpose_alone() {
        let first = |seed, member, purpose| Stream::new(seed, member, Purpose(purpose)).uniform();
        assert_eq!(first(1, 2, 3).to_bits(), first(1, 2, 3).to_bits());
        assert_ne!(first(1, 2, 3).to_bits(), first(2, 2, 3).to_bits());
        assert_ne!(first(1, 2, 3).to_bits(), first(1, 3, 3).to_bits());
        assert_ne!(first(1, 2, 3).to_bits(), first(1, 2, 4).to_bits());
    }

    #[test]
    fn draws_have_the_moments_they_should() {
        let mut stream = Stream::new(7, 0, Purpose(0));
        let n = 200_000;
        let (mut sum, mut square) = (0.0, 0.0);
        for _ in 0..n {
            let x = stream.normal();
            sum += x;
            square += x * x;
        }
        // Five standard errors of the mean and of the variance.
        assert!((sum / n as f64).abs() < 5.0 / (n as f64).sqrt());
        assert!((square / n as f64 - 1.0).abs() < 5.0 * (2.0 / n as f64).sqrt());
        let mean = (0..n).map(|_| stream.geometric(0.1) as f64).sum::<f64>() / n as f64;
        assert!((mean - 9.0).abs() < 5.0 * (90.0 / n as f64).sqrt(), "{mean}");
    }
}
