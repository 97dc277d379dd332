//! How far the reckoned water was from what was read.

use season::course::Miss;

use crate::figures::{Manner, degrees_apart};

/// How far the reckoned dawn water was from the readings taken near dawn.
pub fn missed(misses: &[Miss], manner: Manner) -> String {
    let mut off: Vec<f64> = misses.iter().map(|miss| miss.off_c.abs()).collect();
    if off.is_empty() {
        return "No reading near a dawn of the past days yet, so none can be said.".to_owned();
    }
    off.sort_by(f64::total_cmp);
    let exact = |kelvin: f64| match manner {
        Manner::UsCustomary => format!("{:.1} °F", kelvin * 1.8),
        Manner::Metric => degrees_apart(kelvin, manner),
    };
    let mean = misses.iter().map(|miss| miss.off_c).sum::<f64>() / misses.len() as f64;
    let side = if mean > 0.0 { "warmer" } else { "colder" };
    match off.len() {
        1 => format!(
            "One reading near dawn: it was {} {side} than the water reckoned from the weather alone.",
            exact(off[0])
        ),
        n => format!(
            "{n} readings near dawn since stocking: half were within {} of the water reckoned from the weather alone, the worst was {} off; on \
             average they were {} {side}.",
            exact(off[n / 2]),
            exact(off[n - 1]),
            exact(mean.abs())
        ),
    }
}

#[cfg(test)]
mod tests {
    use units::Instant;

    use super::*;

    #[test]
    fn misses_are_said_as_they_were() {
        let misses = |off: &[f64]| -> Vec<Miss> { off.iter().map(|&off_c| Miss { at: Instant(0), off_c }).collect() };
        for (off, said) in [
            (&[][..], "No reading near a dawn"),
            (&[-1.0], "One reading near dawn: it was 1.0 °C colder"),
            (&[0.2, -0.4, 1.6], "3 readings near dawn since stocking: half were within 0.4 °C"),
        ] {
            let got = missed(&misses(off), Manner::Metric);
            assert!(got.starts_with(said), "{got}");
        }
        assert!(
            missed(&misses(&[0.2, -0.4, 1.6]), Manner::UsCustomary)
                .contains("the worst was 2.9 °F off; on average they were 0.8 °F warmer")
        );
    }
}
