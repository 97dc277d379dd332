use season::grow::{PondKind, grow};

use super::*;

const USUAL: GrowQuestion = GrowQuestion {
    stocked_per_ha: 59_300.0,
    weight_g: 0.4,
    substrate_fraction: 0.5,
    days: Some(105.0),
    water: GrowWater::Steady(26.0),
    pond: PondKind::Usual,
    seed: 1,
};

#[test]
fn a_page_is_read_as_a_page() {
    let said = page(&USUAL, &grow(&USUAL).expect("answered"));
    assert_eq!(said, include_str!("page.txt"));
}

#[test]
fn refusals_name_the_option_the_range_and_the_remedy() {
    for (question, said) in [
        (
            GrowQuestion { water: GrowWater::Steady(79.0), ..USUAL },
            "--temp-c: 79.0 °C (174 °F) lies outside what can be answered, 0.0 °C (32 °F) to 42.0 °C (108 °F). Check for °F; 79F is also understood",
        ),
        (
            GrowQuestion { weight_g: 300.0, ..USUAL },
            "--weight-g: 300 g lies outside what can be answered, 0.005 g to 60 g. Check for milligrams typed as grams",
        ),
        (
            GrowQuestion { days: None, ..USUAL },
            "--days is needed with --temp-c: the days from stocking to harvest, for example --days 106",
        ),
    ] {
        assert_eq!(error(&grow(&question).expect_err("refused"), ""), said);
    }
    let gap = GrowError::WaterGap { line: 40, hours: 7.0 };
    assert!(error(&gap, "OUT.csv").starts_with("OUT.csv, line 40: 7 hours pass without a reading"));
    let short = GrowError::WaterEndsAfter { asked: 91.0, held: 90.0 };
    assert!(error(&short, "OUT.csv").starts_with("OUT.csv holds 90 whole days of water and 91 were asked for"));
}

#[test]
fn a_thin_stocking_is_answered_with_a_remark() {
    let answer = grow(&GrowQuestion { stocked_per_ha: 2_000.0, ..USUAL }).expect("answered");
    let said: Vec<String> = answer.remarks.iter().map(remark).collect();
    assert_eq!(
        said,
        [
            "--stocked-per-ha 2,000 to the hectare (810 to the acre): the crops this was learned from had 15,000 to the hectare (6,100 to the acre) to 120,000 to the hectare (49,000 to the acre). Take the answer as a rough guide"
        ]
    );
}
