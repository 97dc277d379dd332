use super::*;

fn called(on: i32, lead: i32, band: [f64; 3], chance: f64) -> Called {
    Called {
        on: Day(on),
        dawn: Day(on + lead),
        at: Instant(i64::from(on + lead) * 86_400 + 11 * 3600),
        water_c: Band { low: band[0], middle: band[1], high: band[2] },
        below: [Some((14.0, chance)), None],
    }
}

#[test]
fn nothing_is_scored_as_nothing() {
    assert_eq!(score(&[]), Scores::default());
    assert_eq!(brier(&[]), None);
}

#[test]
fn figures_that_can_be_done_by_hand() {
    let pair = |called: Called, came_c: f64, stood_c: Option<f64>| Pair { called, came_c, stood_c };
    let pairs = [
        // Half a degree too warm, within; the morning before had not been read.
        pair(called(0, 1, [17.0, 18.0, 19.0], 0.1), 17.5, None),
        // Three and a half too warm, colder than the band, below the mark; as it stood it would have been four off.
        pair(called(1, 1, [16.0, 17.0, 18.0], 0.2), 13.5, Some(17.5)),
        // One and a half too cold, warmer than the band; as it stood one off.
        pair(called(1, 2, [16.0, 17.0, 18.0], 0.6), 18.5, Some(17.5)),
    ];
    let scores = score(&pairs);
    assert_eq!((scores.count, scores.mornings, scores.dawns), (3, 2, 3));
    assert!(!scores.are_enough());
    let one = scores.leads[0];
    assert_eq!((one.lead_days, one.count, one.within, one.colder, one.warmer), (1, 2, 1, 1, 0));
    assert!((one.too_warm_k - 2.0).abs() < 1e-12 && (one.off_k - 2.0).abs() < 1e-12);
    assert_eq!(one.beside, Some(Beside { count: 1, off_k: 3.5, stayed_off_k: 4.0 }));
    let two = scores.leads[1];
    assert_eq!((two.lead_days, two.warmer), (2, 1));
    assert_eq!(two.beside, Some(Beside { count: 1, off_k: 1.5, stayed_off_k: 1.0 }));
    assert!((two.too_warm_k + 1.5).abs() < 1e-12 && (two.off_k - 1.5).abs() < 1e-12);
    // (0.1² + 0.8² + 0.6²) / 3; a third came, so the share's own is 1/3 · 2/3.
    assert!((scores.brier.unwrap() - 1.01 / 3.0).abs() < 1e-12);
    assert!((scores.brier_of_share.unwrap() - 2.0 / 9.0).abs() < 1e-12);
    let groups: Vec<_> = scores.chances.iter().map(|group| (group.up_to, group.count, group.came)).collect();
    assert_eq!(groups, [(0.1, 1, 0), (0.25, 1, 1), (0.75, 1, 0)]);
}

#[test]
fn the_nearest_reading_counts_and_a_far_one_does_not() {
    let dawn = called(0, 3, [1.0, 2.0, 3.0], 0.0);
    let at = |minutes: i64, temp_c: f64| Read { at: Instant(dawn.at.0 + 60 * minutes), is_deep: false, temp_c };
    let found = |readings: &[Read]| pairs(&[dawn], readings).first().map(|pair| pair.came_c);
    assert_eq!(found(&[at(90, 9.0), at(-20, 7.0), at(30, 8.0)]), Some(7.0));
    assert_eq!(
        found(&[at(90, 9.0), at(-20, 7.0), Read { is_deep: true, ..at(100, 8.0) }]),
        Some(8.0),
        "drain end first"
    );
    assert_eq!(found(&[at(120, 9.0)]), Some(9.0));
    assert_eq!(found(&[at(121, 9.0), at(-121, 9.0)]), None);
    // How the water stood three days before, on the morning of the call.
    let stood = |minutes: i64| pairs(&[dawn], &[at(0, 9.0), at(minutes - 3 * 24 * 60, 6.0)])[0].stood_c;
    assert_eq!((stood(119), stood(121)), (Some(6.0), None));
}

#[test]
fn bands_are_judged_by_as_many_readings_as_dawns() {
    let held = |within: usize, count: usize, dawns: usize| {
        let pairs: Vec<Pair> = (0..count)
            .map(|at| {
                let came_c = if at < within { 17.0 } else { 10.0 };
                Pair { called: called((at % dawns) as i32, 1, [16.0, 17.0, 18.0], 0.0), came_c, stood_c: None }
            })
            .collect();
        score(&pairs).bands_held()
    };
    assert_eq!(held(1, 19, 19), BandsHeld::TooFew);
    // Of 40 dawns the standard error is 0.4 / sqrt 40 = 0.063: 28 of 40 (0.70) is one and a half of them and more below 0.8.
    assert_eq!(held(28, 40, 40), BandsHeld::TooFewWithin);
    assert_eq!(held(29, 40, 40), BandsHeld::AsSaid);
    assert_eq!(held(36, 40, 40), BandsHeld::TooManyWithin);
    assert_eq!(held(35, 40, 40), BandsHeld::AsSaid);
    // The same readings of ten dawns tell less.
    assert_eq!((held(28, 40, 10), held(36, 40, 10)), (BandsHeld::AsSaid, BandsHeld::AsSaid));
}

#[test]
fn both_marks_are_counted() {
    let two = Called { below: [Some((14.0, 0.2)), Some((18.0, 0.9))], ..called(0, 1, [16.0, 17.0, 18.0], 0.0) };
    let scores = score(&[Pair { called: two, came_c: 16.0, stood_c: None }]);
    let groups: Vec<_> = scores.chances.iter().map(|group| (group.up_to, group.count, group.came)).collect();
    assert_eq!(groups, [(0.25, 1, 0), (1.0, 1, 1)]);
    assert!((scores.brier.unwrap() - (0.04 + 0.01) / 2.0).abs() < 1e-12);
}

#[test]
fn losses_are_those_of_an_outside_program() {
    let text = include_str!("../../../../checks/values/forecast_scores.csv");
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let mut count = 0;
    for row in rows {
        let cells: Vec<f64> = row.split(',').map(|cell| cell.parse().expect("a number")).collect();
        let [low, middle, high, came_c, chance, came, loss_k, squared] = cells[..] else { panic!("{row}") };
        let found = quantile_loss(Band { low, middle, high }, came_c);
        assert!((found - loss_k).abs() < 1e-9, "{row}: {found}");
        let found = brier(&[(chance, came > 0.5)]).unwrap();
        assert!((found - squared).abs() < 1e-9, "{row}: {found}");
        count += 1;
    }
    assert!(count >= 20, "{count} rows");
}
