//! The day's mass balance: everything that left the water is somewhere, or a reason is asked.
//!
//! Model     a sum
//! Units     kg of whole weight; tails in their own weight
//! Range     one pond on one day
//! Source    tolerance 2 %: common practice (clinging water, drained the same way every time)
//! Left out  what was never weighed

/// Share of the catch that may be unaccounted for.
pub const TOLERANCE: f64 = 0.02;

/// Where the catch is, kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Whereabouts {
    /// Over the scale.
    pub caught_kg: f64,
    /// Sold alive.
    pub live_sold_kg: f64,
    /// In live tanks.
    pub live_held_kg: f64,
    /// Chilled whole.
    pub whole_kg: f64,
    /// To heading, whole weight.
    pub headed_kg: f64,
    /// Dead, soft, thrown out.
    pub culled_kg: f64,
    /// Own use and gifts.
    pub own_kg: f64,
    /// Samples.
    pub samples_kg: f64,
    /// Tails that came of what was headed.
    pub tails_kg: Option<f64>,
    /// Heads that were thrown out, where they were weighed.
    pub heads_kg: Option<f64>,
}

/// What does not add up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unclosed {
    /// More was caught than is anywhere, kg.
    Missing(f64),
    /// More is there than was caught, kg.
    TooMuch(f64),
    /// Tails and heads are not what was headed: off by so many kg, more positive.
    Heading(f64),
    /// Tails are a share of what was headed that no animal gives.
    TailShare(f64),
}

/// Share of tails beyond which something was written wrong.
const TAIL_SHARES: std::ops::RangeInclusive<f64> = 0.25..=0.6;

impl Whereabouts {
    /// Caught less all that is somewhere, kg; negative when more is there.
    pub fn gap_kg(&self) -> f64 {
        let there = self.live_sold_kg
            + self.live_held_kg
            + self.whole_kg
            + self.headed_kg
            + self.culled_kg
            + self.own_kg
            + self.samples_kg;
        self.caught_kg - there
    }

    /// All that does not add up, none when the day closes.
    pub fn unclosed(&self) -> Vec<Unclosed> {
        let mut found = Vec::new();
        let gap_kg = self.gap_kg();
        // Nothing over the scale and something in the tubs does not close either.
        if gap_kg.abs() > TOLERANCE * self.caught_kg.max(0.0) + 1e-9 {
            found.push(if gap_kg > 0.0 { Unclosed::Missing(gap_kg) } else { Unclosed::TooMuch(-gap_kg) });
        }
        let Some(tails_kg) = self.tails_kg.filter(|_| self.headed_kg > 0.0) else { return found };
        if let Some(heads_kg) = self.heads_kg {
            let off_kg = tails_kg + heads_kg - self.headed_kg;
            if off_kg.abs() > TOLERANCE * self.headed_kg {
                found.push(Unclosed::Heading(off_kg));
            }
        }
        let share = tails_kg / self.headed_kg;
        if !TAIL_SHARES.contains(&share) {
            found.push(Unclosed::TailShare(share));
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day() -> Whereabouts {
        Whereabouts {
            caught_kg: 300.0,
            live_held_kg: 40.0,
            whole_kg: 150.0,
            headed_kg: 100.0,
            culled_kg: 6.0,
            own_kg: 2.0,
            samples_kg: 1.0,
            tails_kg: Some(46.0),
            heads_kg: Some(53.0),
            ..Whereabouts::default()
        }
    }

    #[test]
    fn a_day_closes_within_two_in_a_hundred_and_not_beyond() {
        assert_eq!(day().unclosed(), []);
        assert_eq!(Whereabouts { whole_kg: 143.9, ..day() }.unclosed(), [Unclosed::Missing(300.0 - 292.9)]);
        let more = Whereabouts { whole_kg: 158.0, ..day() };
        assert!(matches!(more.unclosed()[..], [Unclosed::TooMuch(kg)] if (kg - 7.0).abs() < 1e-9));
        let nothing = Whereabouts { whole_kg: 0.5, ..Whereabouts::default() };
        assert!(matches!(nothing.unclosed()[..], [Unclosed::TooMuch(_)]), "a tub that nobody weighed");
    }

    #[test]
    fn tails_and_heads_are_what_was_headed() {
        assert!(matches!(Whereabouts { heads_kg: Some(30.0), ..day() }.unclosed()[..], [Unclosed::Heading(_)]));
        let odd = Whereabouts { tails_kg: Some(75.0), heads_kg: None, ..day() };
        assert_eq!(odd.unclosed(), [Unclosed::TailShare(0.75)]);
        assert_eq!(Whereabouts { tails_kg: None, ..day() }.unclosed(), []);
    }
}
