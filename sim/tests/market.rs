//! Market days by chance: nothing is lost, nothing is sold twice, and what does not fit is shown.

use sim::{Slip, market_day};

/// Days in a short run; `WARMSPELL_MARKET_DAYS` names more.
const DAYS: u64 = 20;

fn days() -> u64 {
    std::env::var("WARMSPELL_MARKET_DAYS").ok().and_then(|text| text.parse().ok()).unwrap_or(DAYS)
}

#[test]
fn phones_with_a_table_each_never_sell_more_than_they_were_handed() {
    let (mut lines, mut refused, mut lost, mut died) = (0, 0, 0, 0);
    for seed in 1..=days() {
        let day = market_day(seed, Slip::None).unwrap_or_else(|what| panic!("seed {seed}: {what}"));
        assert!(day.clashes.is_empty());
        (lines, refused) = (lines + day.lines, refused + day.refused);
        (lost, died) = (lost + day.lost, died + day.died);
    }
    assert!(lines > 100 && refused > 0 && lost > 0 && died > 0, "{lines} {refused} {lost} {died}");
}

#[test]
fn a_line_typed_twice_and_two_phones_at_a_table_lose_nothing_and_are_shown() {
    let mut shown = [0, 0];
    for seed in 1..=days() {
        for (at, slip) in [Slip::Twice, Slip::TwoPhones].into_iter().enumerate() {
            let day = market_day(seed, slip).unwrap_or_else(|what| panic!("seed {seed}: {what}"));
            shown[at] += day
                .clashes
                .iter()
                .filter(|clash| clash.starts_with("TwoPhones") || clash.starts_with("TableOver"))
                .count();
        }
    }
    assert!(shown.iter().all(|shown| *shown > 0), "{shown:?}");
}

#[test]
fn the_same_seed_gives_the_same_day() {
    assert_eq!(market_day(7, Slip::Twice), market_day(7, Slip::Twice));
    assert_ne!(market_day(7, Slip::None), market_day(8, Slip::None));
}
