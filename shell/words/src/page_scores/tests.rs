use season::answer::Band;
use season::scores::{Beside, Called, ChanceScore};
use units::Instant;

use super::*;

fn lead(lead_days: i32, count: usize, stayed_off_k: f64) -> LeadScore {
    LeadScore {
        lead_days,
        count,
        too_warm_k: -0.5,
        off_k: 1.0,
        within: count - 1,
        colder: 1,
        warmer: 0,
        loss_k: 0.2,
        beside: Some(Beside { count, off_k: 1.0, stayed_off_k }),
    }
}

fn nine_mornings() -> Scores {
    Scores {
        count: 23,
        mornings: 9,
        dawns: 9,
        leads: vec![lead(1, 9, 2.0), lead(2, 8, 1.0), lead(3, 6, 0.5)],
        chances: vec![
            ChanceScore { above: 0.0, up_to: 0.1, count: 18, called: 0.04, came: 1 },
            ChanceScore { above: 0.5, up_to: 0.75, count: 4, called: 0.6, came: 0 },
            ChanceScore { above: 0.75, up_to: 1.0, count: 1, called: 0.9, came: 1 },
        ],
        brier: Some(0.05),
        brier_of_share: Some(0.08),
    }
}

#[test]
fn a_score_is_said_as_a_person_would() {
    let scores = nine_mornings();
    let said = sentences(&scores, Manner::Metric).join("\n");
    for part in [
        "Of 9 dawns called a day ahead and read since, the likely value missed by 1.0 °C on average, and was 0.5 °C too cold",
        "Had the water stayed as it was read that morning, it would have missed by 2.0 °C.",
        "8 dawns called 2 days ahead",
        "At 2 and 3 days ahead we were no nearer than water that stays as it was.",
        "20 of 23 did, three came colder and none warmer. That is no farther from 8 in 10 than chance allows. Water colder than the band",
        "rests on nine mornings",
    ] {
        assert!(said.contains(part), "{part}\nis not in\n{said}");
    }
    assert!(!said.contains("6 dawns called 3 days"), "too few for a sentence: {said}");
    assert_eq!(headline(&scores, 10, Manner::UsCustomary), "The next dawn was called to within 1.8 °F on average");
    let said = chances(&scores).join("\n");
    for part in [
        "1 in 10 or less, given 18 times: it came once.",
        "More than 1 in 2, up to 3 in 4, given 4 times: it never came.",
        "More than 3 in 4, given once: it came each time.",
        "giving every dawn the same chance, 1 in 12, would have been worse.",
    ] {
        assert!(said.contains(part), "{part}\nis not in\n{said}");
    }
}

#[test]
fn too_little_is_said_plainly() {
    let few = Scores { mornings: 3, dawns: 2, ..nine_mornings() };
    assert_eq!(headline(&few, 3, Manner::Metric), "Three mornings so far: nothing can be told yet");
    assert_eq!(headline(&Scores::default(), 1, Manner::Metric), "One morning so far: nothing can be told yet");
    assert_eq!(headline(&Scores::default(), 0, Manner::Metric), "No morning is kept yet: nothing can be told");
    assert!(sentences(&few, Manner::Metric).is_empty(), "no judgement on three mornings");
    let said = too_little(&few, 3);
    assert!(said.starts_with("The forecasts of three mornings are kept. Two of the dawns"), "{said}");
    assert!(said.contains("From seven mornings and seven dawns on"), "{said}");
    let one = Scores { chances: vec![ChanceScore { count: 2, ..nine_mornings().chances[0] }], ..few };
    assert!(chances(&one)[0].contains("given and read two times; from 20 on"), "{:?}", chances(&one));
}

#[test]
fn bands_that_hold_too_little_are_called_so() {
    let of = |within: usize| {
        let one = LeadScore { within, colder: 20 - within, ..lead(1, 20, 2.0) };
        bands(&Scores { count: 20, dawns: 20, leads: vec![one], ..nine_mornings() })
    };
    assert!(of(12).contains("12 of 20 did, eight came colder") && of(12).contains("too narrow"), "{}", of(12));
    assert!(of(16).contains("than chance allows"), "{}", of(16));
    assert!(of(20).contains("wider than they had to be") && !of(20).contains("costs animals"), "{}", of(20));
    let few = Scores { count: 19, ..nine_mornings() };
    assert!(bands(&few).contains("too few to say"), "{}", bands(&few));
}

#[test]
fn nothing_has_no_sign() {
    assert_eq!(signed(-0.01, Manner::Metric), "0.0°");
    assert_eq!([signed(-0.5, Manner::Metric), signed(0.5, Manner::UsCustomary)], ["\u{2212}0.5°", "0.9°"]);
}

#[test]
fn a_dawn_is_told_with_its_band_and_side() {
    let called = Called {
        on: Day(0),
        dawn: Day(1),
        at: Instant(0),
        water_c: Band { low: 19.0, middle: 20.0, high: 21.0 },
        below: [None; 2],
    };
    let pair = |came_c: f64| Pair { called, came_c, stood_c: None };
    assert_eq!(
        latest_row(Some("Willow"), &pair(18.5), Manner::Metric),
        ["Fri  2 Jan, Willow", "20.0°, 19.0 to 21.0", "18.5°", "no, colder"]
    );
    assert_eq!(latest_row(None, &pair(21.0), Manner::Metric)[..1], ["Fri  2 Jan"]);
    let latest = [("willow".to_owned(), pair(18.5)), ("willow".to_owned(), pair(20.0))];
    assert!(latest_say(&latest).contains("1 of 2 readings lay within"));
}

#[test]
fn the_command_tells_the_same() {
    let text = told("Bend", SINCE_STOCKING, &nine_mornings(), 10, Manner::Metric);
    assert!(
        text.starts_with("Bend, since stocking\nThe next dawn was called to within 1.0 °C on average.\n"),
        "{text}"
    );
    assert!(text.contains("8 of 9") && text.contains("it came once"), "{text}");
    let few = told("Bend", ALL, &Scores::default(), 1, Manner::Metric);
    assert!(few.contains("One morning so far") && !few.contains("Days ahead"), "{few}");
}
