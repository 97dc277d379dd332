use super::*;

const AIR: NightAir = NightAir {
    law: Law { use_mg_l_h: 0.0, exchange_per_h: 0.01, aerator_per_h: 0.0, saturation_mg_l: 8.3 },
    water_c: 25.0,
};

/// A pond in which every night uses the same, and evenings begin at 7.5 to 10.5.
fn steady(days: usize, use_at_20: f64, hours_of_evening: &[f64]) -> Vec<(f64, f64)> {
    let law = Law { use_mg_l_h: use_at_20 * warmth_of_use(AIR.water_c), ..AIR.law };
    let mut all = Vec::new();
    for day in 1..=days {
        let dusk = 24.0 * day as f64 - 4.0;
        let hours = hours_of_evening.iter().map(|hour| hour + 4.0).chain([10.0]);
        let full = 7.5 + f64::from((day as u32).wrapping_mul(2_654_435_761) % 1000) / 333.0;
        all.extend(hours.map(|after| (dusk + after, law.after(full, after).end_mg_l)));
    }
    all
}

fn ask<'a>(readings: &'a [(f64, f64)], nights: &'a [NightAir], day: usize) -> Ask<'a> {
    Ask { readings, nights, dawn_h: 6.0, day, usual_use: 0.2, beliefs: Beliefs::default() }
}

#[test]
fn a_steady_pond_is_learnt() {
    let nights = vec![AIR; 30];
    let all = steady(20, 0.3, &[-3.0, 0.0]);
    let (dawn, known) = all.split_last().expect("readings");
    let told = project(&ask(known, &nights, 20)).expect("a projection");
    assert_eq!(told.rests, Rests::Evenings);
    assert!((told.dawn_mg_l - dawn.1).abs() < 0.25, "{told:?} for {dawn:?}");
    assert!((told.use_mg_l_h / warmth_of_use(25.0) - 0.3).abs() < 0.02, "{told:?}");
    // What was doubted before is believed less and less.
    let early = project(&ask(&all[..5], &nights, 2)).expect("a projection");
    assert!(early.sd_mg_l > 1.3 * told.sd_mg_l, "{} {}", early.sd_mg_l, told.sd_mg_l);
    assert!(told.missed_mg_l < 0.7 * told.dawn_before_missed_mg_l, "{told:?}");
}

#[test]
fn each_reading_there_is_says_what_it_can() {
    let nights = vec![AIR; 30];
    let rests = |readings: &[(f64, f64)], day: usize| project(&ask(readings, &nights, day)).map(|told| told.rests);
    assert_eq!(rests(&[], 3), None);
    assert_eq!(rests(&[(78.0, 4.0)], 4), Some(Rests::Dawns));
    assert_eq!(rests(&[(78.0, 4.0)], 9), None, "five days old");
    assert_eq!(rests(&[(92.0, 8.0)], 4), Some(Rests::Evening), "a first evening, nothing before it");
    assert_eq!(rests(&[(92.0, 8.0), (95.0, 7.0)], 4), Some(Rests::Evenings));
    // A fall in the evening moves the use that is expected, and never all the way.
    let used = |second: f64| project(&ask(&[(92.0, 8.0), (95.0, second)], &nights, 4)).expect("told").use_mg_l_h;
    let (slow, fast) = (used(8.0), used(5.0));
    assert!(fast > slow && fast < 1.0, "{slow} {fast}");
    let first = project(&ask(&[(92.0, 8.0)], &nights, 4)).expect("told");
    let usual = 0.2 * warmth_of_use(25.0);
    assert!((first.use_mg_l_h - usual).abs() < 1e-12, "with no night of its own it is the usual use");
    assert_eq!(first.dawn_mg_l, Law { use_mg_l_h: usual, ..AIR.law }.after(8.0, 10.0).end_mg_l);
}

#[test]
fn nothing_read_later_is_looked_at() {
    let nights = vec![AIR; 30];
    let mut all = steady(20, 0.3, &[-3.0, 0.0]);
    let told = project(&ask(&all, &nights, 12)).expect("told");
    all.retain(|read| read.0 < 24.0 * 12.0 + 3.5);
    assert_eq!(project(&ask(&all, &nights, 12)), Some(told));
}

#[test]
fn an_evening_that_says_nothing_is_not_told() {
    // The dawns are steady; the evening readings jump about.
    let nights = vec![AIR; 40];
    let mut all = Vec::new();
    for day in 1..=30_usize {
        let noise = f64::from((day as u32).wrapping_mul(2_654_435_761) % 1000) / 100.0;
        all.push((24.0 * day as f64, 3.0 + noise));
        all.push((24.0 * day as f64 + 6.0, 5.0 + 0.2 * (day % 2) as f64));
    }
    all.pop();
    let told = project(&ask(&all, &nights, 30)).expect("told");
    assert_eq!(told.rests, Rests::LastDawn, "{told:?}");
    assert!((4.9..=5.3).contains(&told.dawn_mg_l) && told.sd_mg_l < 1.0, "{told:?}");
    assert!(told.missed_mg_l > told.dawn_before_missed_mg_l);
}
