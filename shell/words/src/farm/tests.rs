use farm::{DoubtKind, read_farm};

use super::manual::SMALLEST;
use super::*;
use crate::figures::Manner;

const HAZEL_BEND: &str = include_str!("../../../../samples/hazel-bend/farm.toml");

/// What is said after one change to the sample.
fn said(was: &str, typed: &str) -> String {
    assert!(HAZEL_BEND.contains(was), "{was}");
    match read_farm(&HAZEL_BEND.replacen(was, typed, 1)) {
        Ok(farm) => doubt("farm.toml", &farm.doubts[0]),
        Err(reasons) => reasons.iter().map(|it| reason("farm.toml", it)).collect::<Vec<_>>().join("\n"),
    }
}

#[test]
fn faults_are_said_as_a_neighbour_would() {
    for (was, typed, words) in [
        (
            "area = \"0.45 ac\"",
            "area = \"0.45\"",
            "farm.toml, line LINE, Willow, area: “0.45” has no unit. Write it as \"0.45 ac\", \"1800 m2\" or \"0.18 ha\".",
        ),
        (
            "area = \"0.45 ac\"",
            "area = \"45 ac\"",
            "farm.toml, line LINE, Willow, area: “45 ac” cannot be: from 40 m2 to 10 ha is taken. Check the figure and its unit.",
        ),
        (
            "area = \"0.45 ac\"",
            "area = \"0.45 ft\"",
            "farm.toml, line LINE, Willow, area: “ft” measures a length, and an area is wanted. Write it as \"0.45 ac\", \"1800 m2\" or \
             \"0.18 ha\".",
        ),
        (
            "secchi = \"15 in\"",
            "secci = \"15 in\"",
            "farm.toml, line LINE, Willow: “secci” is not asked for under [[pond]]. Did you mean secchi?",
        ),
        (
            "secchi = \"15 in\"",
            "baskets = 12",
            "farm.toml, line LINE, Willow: “baskets” is not asked for under [[pond]]. It belongs under [gear].",
        ),
        (
            "on = 2011-09-20, mean_weight = \"34 g\"",
            "on = 2011-05-01, mean_weight = \"34 g\"",
            "farm.toml, line LINE, Willow, row 2, on: “2011-05-01” comes too early: the day of stocking gives 2011-05-27 as the \
             earliest.",
        ),
        (
            "ice_daily = \"1,500 lb\"\n",
            "",
            "farm.toml, line SECTION, ice_daily: this is missing. How much ice can be had for one day? A weight, such as \"12 lb\", \"5.4 \
             kg\" or \"38 g\".",
        ),
        (
            "name = \"Hazel Bend\"",
            "naem = \"Hazel Bend\"",
            "farm.toml, line 1, name: this is missing. What is the farm called? Text in quotes.\n\
             farm.toml, line LINE: “naem” is not asked for at the top of the file. Did you mean name?",
        ),
        ("[crew]", "# [crew]", "farm.toml, line 1, crew: [crew] is missing. Who works?"),
        (
            "shallow_depth = \"3 ft\"",
            "shallow_depth = \"1 ft\"",
            "farm.toml, line LINE, Willow, shallow_depth: “1 ft” is unusual; most lie from 1.5 ft to 6 ft. It is used as written.",
        ),
        (
            "name = \"Quarry\"",
            "name = \"Quarry",
            "farm.toml, line LINE: this line cannot be read (invalid basic string, expected `\"`): “name = \"Quarry”. Text stands in \
             quotes, a section's name in brackets, and a remark after #.",
        ),
    ] {
        let line = |text: &str| (1 + HAZEL_BEND.split(text).next().unwrap_or("").matches('\n').count()).to_string();
        let said = said(was, typed);
        let said = if typed == "# [crew]" { said.lines().next().unwrap_or("").to_owned() } else { said };
        assert_eq!(said, words.replace("LINE", &line(was)).replace("SECTION", &line("[cold]")));
    }
}

#[test]
fn an_assumed_value_names_its_source() {
    let farm = read_farm(SMALLEST).expect("the smallest farm");
    let told: Vec<String> = farm.assumed.iter().map(|one| assumed(one, Manner::UsCustomary)).collect();
    assert!(
        told.contains(&"Front: At which depth by the drain do you begin to catch? 16 in (common practice: the last 0.3 to 0.5 m).".to_owned()),
        "{told:#?}"
    );
    assert!(farm.doubts.iter().all(|doubt| !matches!(doubt.what, DoubtKind::AreaAndPaces { .. })));
}

#[test]
fn the_manual_is_made_from_the_table() {
    let kept = include_str!("../../../../docs/farm-file.md");
    assert!(kept == manual(), "run: cargo run -p words --example farm_file > docs/farm-file.md");
}

#[test]
fn every_example_can_be_read() {
    for kind in units::measure::Kind::ALL {
        for sample in measure::samples(kind) {
            assert!(units::measure::read(sample, kind, None).is_ok(), "{sample}");
        }
    }
}
