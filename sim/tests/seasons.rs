//! Seasons of phones, and faults that must be seen.

use sim::{FAULTS, Fault, live};

/// Seasons in a short run; `WARMSPELL_SEASONS` names more.
const SEASONS: u64 = 24;
/// Within so many seasons a fault must be seen.
const SOON: u64 = 150;

fn seasons() -> u64 {
    std::env::var("WARMSPELL_SEASONS").ok().and_then(|text| text.parse().ok()).unwrap_or(SEASONS)
}

#[test]
fn every_entry_is_there_once_whatever_happened() {
    let (mut forks, mut restores, mut ends) = (0, 0, 0);
    for seed in 1..=seasons() {
        let lived = live(seed, Fault::None)
            .unwrap_or_else(|broken| panic!("seed {}: {}\n{}", broken.seed, broken.what, broken.last.join("\n")));
        (forks, restores, ends) = (forks + lived.forks, restores + lived.restores, ends + lived.ends);
    }
    assert!(forks > 0 && restores > 0 && ends > 0, "the seasons saw something: {forks} {restores} {ends}");
}

#[test]
fn the_same_seed_gives_the_same_season() {
    for seed in 900..904 {
        assert_eq!(live(seed, Fault::None), live(seed, Fault::None), "seed {seed}");
    }
    assert_ne!(live(900, Fault::None), live(901, Fault::None));
}

#[test]
fn faults_put_in_on_purpose_are_seen() {
    for fault in FAULTS {
        let seen = (1..=SOON).find_map(|seed| live(seed, fault).err());
        assert!(seen.is_some(), "{fault:?} passes unseen through {SOON} seasons");
    }
}
