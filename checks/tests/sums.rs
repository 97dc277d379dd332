//! The pond-side sums against published tables, definitions and arithmetic done apart.

use checks::read;
use sums::{Sum, sum, sums};

fn typed(row: &str) -> Vec<(&str, &str)> {
    row.split(';')
        .map(|pair| pair.split_once('=').expect("name=value"))
        .map(|(name, text)| (name.trim(), text.trim()))
        .collect()
}

fn worked(sum: &'static Sum, given: &[(&str, &str)]) -> sums::Worked {
    let given = sum.read(given).unwrap_or_else(|slips| panic!("{}: {slips:?}", sum.name));
    sum.work(&given)
}

#[test]
fn sums_come_out_as_printed() {
    let table = read("pond_side_sums.csv");
    let mut missed = Vec::new();
    for row in table.rows() {
        let name = row.text("sum");
        let sum = sum(name).unwrap_or_else(|| panic!("{name} is no sum"));
        let worked = worked(sum, &typed(row.text("given")));
        let key = row.text("answer");
        let ours = worked.value(key).unwrap_or_else(|| panic!("{name} gives no {key}"));
        let expected = row.number("expected");
        let allowed = match row.text("per") {
            "share" => row.number("tolerance") * expected.abs(),
            "absolute" => row.number("tolerance"),
            per => panic!("{per} is no kind of tolerance"),
        };
        if (ours - expected).abs() > allowed {
            missed.push(format!("{name} {key} of {}: {ours}, printed {expected}", row.text("given")));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn every_sum_is_checked_or_says_where_it_comes_from() {
    let table = read("pond_side_sums.csv");
    let checked: Vec<&str> = table.rows().map(|row| row.text("sum")).collect();
    // Volumes and areas are definitions that the pond's own checks hold; tempering and carrying are limits, tried below.
    let left: Vec<&str> = sums().map(|sum| sum.name).filter(|name| !checked.contains(name)).collect();
    assert_eq!(
        left,
        ["volume", "top-up", "pump", "tempering", "substrate", "carrying", "ration", "feed-to-gain", "tails"]
    );
}

/// Limits that published trials give: what they refuse is refused, what they allowed is not.
#[test]
fn what_killed_is_refused() {
    let refused = |name: &str, given: &str| worked(sum(name).expect("a sum"), &typed(given)).is_refused();
    // Straus, Robinette & Heinen (1991): juveniles at pH 9.6, postlarvae above 9.0.
    assert!(refused("tempering", "from=24 C; to=24 C; from_ph=8; to_ph=9.6"));
    assert!(refused("tempering", "from=24 C; to=24 C; from_ph=8; to_ph=9.1; who=postlarvae"));
    assert!(!refused("tempering", "from=24 C; to=24 C; from_ph=8; to_ph=9.1"));
    // The same trials: juveniles at pH 9.5 bear no ammonia, at 9.0 one milligram of it un-ionized, at 8.5 two.
    assert!(refused("stocking", "dawn=24 C; tank=26 C; ph=9.6; fish=none"));
    assert!(refused("stocking", "dawn=24 C; tank=26 C; ph=9.0; ammonia=4 mg/L; fish=none"));
    assert!(!refused("stocking", "dawn=24 C; tank=26 C; ph=9.0; ammonia=2 mg/L; fish=none"));
    assert!(
        refused("stocking", "dawn=16 C; tank=20 C; ph=8; fish=none")
            && !refused("stocking", "dawn=21 C; tank=24 C; ph=8; fish=none")
    );
    assert!(refused("stocking", "dawn=24 C; tank=26 C; ph=8; fish=some"));
    assert!(refused("stocking", "dawn=24 C; tank=26 C; ph=8; oxygen=1.5 mg/L; fish=none"));
    assert!(!refused("stocking", "dawn=24 C; tank=26 C; ph=8; oxygen=3 mg/L; fish=none"));
    // Coyle and others: 90 g/L for 24 h, 97 % alive at 21 °C and 24 % at 26 °C.
    assert!(!refused("live-tank", "mass=27 kg; water=300 l; temp=21 C; hours=24 h; air=oxygen"));
    assert!(refused("live-tank", "mass=27 kg; water=300 l; temp=26 C; hours=24 h; air=oxygen"));
    assert!(refused("live-tank", "mass=33 kg; water=300 l; temp=21 C; hours=2 h; air=oxygen"));
    // Coyle and others, juveniles: 50 g/L left 1.3 mg/L of oxygen after 8 h.
    assert!(refused("carrying", "who=juveniles; animals=1600; weight=0.26 g; water=8 l; hours=8 h"));
    assert!(!refused("carrying", "who=juveniles; animals=300; weight=0.26 g; water=8 l; hours=8 h"));
    // New (2002): 2,000 to 3,000 postlarvae in 8 L; 50,000 in 50 L for an hour or two.
    assert!(!refused("carrying", "who=postlarvae; animals=3000; water=8 l; hours=16 h"));
    assert!(!refused("carrying", "who=postlarvae; animals=50000; water=50 l; hours=1.5 h"));
    assert!(refused("carrying", "who=postlarvae; animals=50000; water=50 l; hours=8 h"));
}
