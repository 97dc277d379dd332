//! Near-equality with a message that says what, by how much and how near it had to be. For tests only.

/// Ends the test unless two numbers are within `tolerance` of each other.
#[track_caller]
pub fn near(what: &str, ours: f64, expected: f64, tolerance: f64) {
    let apart = (ours - expected).abs();
    // Not `apart > tolerance`: a NaN must fail.
    assert!(apart <= tolerance, "{what}: {ours} against {expected}, {apart:.3e} apart, {tolerance:.3e} allowed");
}

/// Ends the test unless two numbers differ by at most a share of the expected one.
#[track_caller]
pub fn near_share(what: &str, ours: f64, expected: f64, share: f64) {
    near(what, ours, expected, share * expected.abs());
}

/// How errors over many points are spread: one lucky point proves nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ErrorSpread {
    /// Half of the errors are no larger, in size.
    pub half: f64,
    /// 99 in 100 are no larger.
    pub most: f64,
    /// The largest.
    pub worst: f64,
}

impl ErrorSpread {
    /// Of the errors given, signs aside. A NaN counts as the largest.
    pub fn of(errors: impl IntoIterator<Item = f64>) -> ErrorSpread {
        let mut sizes: Vec<f64> = errors.into_iter().map(f64::abs).collect();
        assert!(!sizes.is_empty(), "no errors to judge");
        sizes.sort_by(f64::total_cmp);
        let at = |share: f64| sizes[((share * sizes.len() as f64).ceil() as usize).clamp(1, sizes.len()) - 1];
        ErrorSpread { half: at(0.5), most: at(0.99), worst: at(1.0) }
    }

    /// Ends the test unless each of the three lies within its bound.
    #[track_caller]
    pub fn within(&self, what: &str, half: f64, most: f64, worst: f64) {
        let met = self.half <= half && self.most <= most && self.worst <= worst;
        assert!(
            met,
            "{what}: half {:.3e}, 99 in 100 {:.3e}, worst {:.3e}; allowed {half:.3e}, {most:.3e}, {worst:.3e}",
            self.half, self.most, self.worst
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fails(test: impl FnOnce() + std::panic::UnwindSafe) -> String {
        let fault = std::panic::catch_unwind(test).expect_err("it should have ended the test");
        fault.downcast_ref::<String>().cloned().unwrap_or_default()
    }

    #[test]
    fn what_is_near_passes_and_what_is_not_says_how_far() {
        near("depth", 1.0005, 1.0, 1e-3);
        near_share("flow", 101.0, 100.0, 0.0101);
        let said = fails(|| near("depth", 1.2, 1.0, 0.1));
        assert!(said.starts_with("depth: 1.2 against 1, 2.000e-1 apart, 1.000e-1 allowed"), "{said}");
        fails(|| near("depth", f64::NAN, 1.0, 0.1));
        fails(|| near("depth", 1.0, f64::NAN, 0.1));
        fails(|| near_share("nothing", 1e-9, 0.0, 0.5));
    }

    #[test]
    fn errors_are_judged_by_their_spread() {
        let spread = ErrorSpread::of((1..=200).map(|k| if k % 2 == 0 { f64::from(k) } else { -f64::from(k) }));
        assert_eq!(spread, ErrorSpread { half: 100.0, most: 198.0, worst: 200.0 });
        spread.within("steps", 100.0, 198.0, 200.0);
        let said = fails(move || spread.within("steps", 99.0, 198.0, 200.0));
        assert!(said.contains("half 1.000e2"), "{said}");
        assert!(ErrorSpread::of([0.0, f64::NAN]).worst.is_nan());
        fails(|| ErrorSpread::of([0.0, f64::NAN]).within("gaps", 1.0, 1.0, 1.0));
    }
}
