use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::inputs::{Takes, inputs};
use crate::read_farm;

const HAZEL_BEND: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
const RIO_MANSO: &str = include_str!("../../../../samples/rio-manso/farm.toml");

/// A farm described with the fewest answers.
pub fn fewest() -> Draft {
    let mut draft = Draft::default();
    for (at, text) in [
        ("farm.name", "Heron's End"),
        ("farm.currency", "USD"),
        ("place.latitude", "33.45 N"),
        ("place.longitude", "88.82 W"),
        ("place.elevation", NOT_KNOWN),
        ("place.time_zone", "America/Chicago"),
        ("weather.history", "shipped:piedmont"),
        ("season.last_catch", "2026-10-31"),
        ("pond.0.name", "Front"),
        ("pond.0.paces_long", "92"),
        ("pond.0.paces_wide", "34"),
        ("pond.0.stocked.on", "2026-05-27"),
    ] {
        draft.set(at, text);
    }
    for step in STEPS {
        for asked in step.asked.iter().filter(|asked| !asked.first.is_empty()) {
            let section = asked.section.replace(['#', '*'], "0");
            draft.guess_open(&section, asked.first);
        }
    }
    draft
}

#[test]
fn not_known_is_always_an_answer() {
    let draft = fewest();
    let farm = read_farm(&draft.file().text).unwrap_or_else(|reasons| panic!("{reasons:#?}\n{}", draft.file().text));
    let pond = &farm.ponds[0];
    assert!((pond.shape.area_m2 - 92.0 * 34.0 * 0.762 * 0.762).abs() < 1e-6, "{}", pond.shape.area_m2);
    let assumed: BTreeSet<&str> = farm.assumed.iter().map(|assumed| assumed.key).collect();
    for key in ["farm.pace", "pond.deep_depth", "pond.outlet", "stocked.density", "cold.ice_daily", "price.price"] {
        assert!(assumed.contains(key), "{key}: {assumed:?}");
        assert!(draft.from("place.elevation") == From::Guess);
    }
}

#[test]
fn both_samples_go_through_a_draft_unchanged() {
    for text in [HAZEL_BEND, RIO_MANSO] {
        let draft = Draft::read(text).expect("a sample");
        let (mut farm, mut back) =
            (read_farm(text).expect("a sample"), read_farm(&draft.file().text).expect("the same"));
        // Lines differ, and nothing else.
        for doubt in farm.doubts.iter_mut().chain(&mut back.doubts) {
            doubt.line = 0;
        }
        farm.assumed.sort_by(|a, b| (a.key, &a.of).cmp(&(b.key, &b.of)));
        back.assumed.sort_by(|a, b| (a.key, &a.of).cmp(&(b.key, &b.of)));
        assert_eq!(farm, back);
        assert_eq!(Draft::read(&draft.file().text).expect("the same"), draft);
    }
}

#[test]
fn every_wrong_answer_is_found_again_at_its_field() {
    let plain = fewest();
    let mut tried = 0;
    for step in STEPS {
        for asked in step.asked {
            let section = asked.section.replace(['#', '*'], "0");
            for name in asked.first.iter().chain(asked.later) {
                let at = format!("{section}.{name}");
                let takes = input_at(&at).unwrap_or_else(|| panic!("{at} is not in the table")).takes;
                if matches!(takes, Takes::Text | Takes::Path) {
                    continue;
                }
                let mut draft = plain.clone();
                draft.set(&at, "no such thing");
                let written = draft.file();
                let reasons = read_farm(&written.text).expect_err(&at);
                let found: Vec<Option<String>> = reasons.iter().map(|reason| written.at(reason)).collect();
                assert!(found.contains(&Some(at.clone())), "{at}: {found:?} {reasons:?}");
                assert_eq!(super::asked(&at).map(|found| found.id), Some(step.id), "{at}");
                tried += 1;
            }
        }
    }
    assert!(tried > 90, "{tried} fields were tried");
}

#[test]
fn what_is_missing_is_found_at_its_field() {
    let mut draft = fewest();
    for at in ["farm.name", "place.latitude", "pond.0.stocked.on", "season.last_catch", "pond.0.paces_wide"] {
        let kept = draft.get(at).to_owned();
        draft.set(at, "");
        let written = draft.file();
        let found: Vec<_> = read_farm(&written.text).expect_err(at).iter().map(|reason| written.at(reason)).collect();
        let wanted = if at.ends_with("paces_wide") { "pond.0.area" } else { at };
        assert_eq!(found, [Some(wanted.to_owned())]);
        draft.set(at, &kept);
    }
}

#[test]
fn rows_close_up() {
    let mut draft = Draft::default();
    for (row, name) in ["a", "b", "c"].iter().enumerate() {
        draft.set(&format!("pond.{row}.name"), name);
        draft.set(&format!("pond.{row}.stocked.on"), &format!("2026-05-0{row}"));
    }
    draft.remove_row("pond", 1);
    assert_eq!((draft.rows("pond"), draft.get("pond.1.name"), draft.get("pond.1.stocked.on")), (2, "c", "2026-05-02"));
}

#[test]
fn memory_sets_starting_figures() {
    let mut draft = fewest();
    for (at, text) in [("told.pounds", "600 lb"), ("told.hands", "5"), ("told.hours", "6 h")] {
        draft.set(at, text);
    }
    let farm = read_farm(&draft.file().text).expect("a farm");
    assert!((farm.crew.kg_per_hand_h - 20.0 * 0.453_592_37).abs() < 1e-9, "{}", farm.crew.kg_per_hand_h);
    assert!(farm.told.iter().any(|told| told.key == "crew.per_hand_hour"));
    assert!(!farm.assumed.iter().any(|assumed| assumed.key == "crew.per_hand_hour"));
    // What is written goes before what is remembered.
    draft.set("crew.per_hand_hour", "31 lb/h");
    let farm = read_farm(&draft.file().text).expect("a farm");
    assert!((farm.crew.kg_per_hand_h - 31.0 * 0.453_592_37).abs() < 1e-9);
    for (coldest, of, died, mark_f) in [
        ("62 F", "water", "some", 62.0),
        ("62 F", "water", "none", 60.0),
        ("55 F", "water", "all", 60.0),
        ("62 F", "air", "all", 60.0),
    ] {
        for (at, text) in [("told.coldest", coldest), ("told.coldest_of", of), ("told.died", died)] {
            draft.set(at, text);
        }
        let farm = read_farm(&draft.file().text).expect("a farm");
        assert!((farm.choices.cold_mark_c - (mark_f - 32.0) / 1.8).abs() < 1e-9, "{coldest} {of} {died}");
    }
}

#[test]
fn a_slipped_sign_is_remarked_on() {
    for (longitude, zone, exchanged) in [
        ("88.82 E", "America/Chicago", Some(true)),
        ("88.82 W", "America/Chicago", None),
        ("10 E", "America/Chicago", Some(false)),
    ] {
        let mut draft = fewest();
        draft.set("place.longitude", longitude);
        draft.set("place.time_zone", zone);
        let farm = read_farm(&draft.file().text).expect("a farm");
        let found = farm.doubts.iter().find_map(|doubt| match doubt.what {
            crate::DoubtKind::ClockAndLongitude { exchanged, .. } => Some(exchanged),
            _ => None,
        });
        assert_eq!(found, exchanged, "{longitude}");
    }
}

#[test]
fn units_of_a_file_are_known() {
    assert!(is_us_customary(HAZEL_BEND) && !is_us_customary(RIO_MANSO) && is_us_customary(&fewest().file().text));
}

/// Any answers at all, at addresses of the table.
fn drafts() -> impl Strategy<Value = Draft> {
    let plain: Vec<String> = inputs()
        .filter(|input| !matches!(input.takes, Takes::Section | Takes::Sections))
        .filter_map(|input| {
            let section = match input.section() {
                "stocked" => "pond.0.stocked".to_owned(),
                list @ ("seen" | "samples" | "readings") => format!("pond.0.{list}.0"),
                "away" => "crew.away.0".to_owned(),
                list @ ("pond" | "pump" | "tank" | "source" | "hired" | "order" | "price" | "helper" | "buyer") => {
                    format!("{list}.0")
                }
                other => other.to_owned(),
            };
            // Lists are typed in their own ways, and tried by the samples.
            let list = matches!(input.takes, Takes::Pumps | Takes::Weekdays | Takes::Dates | Takes::DepthsAndAreas);
            (!list).then(|| format!("{section}.{}", input.name()))
        })
        .collect();
    proptest::collection::vec((proptest::sample::select(plain), "[ -~äß°’\t\n]{0,24}"), 0..30).prop_map(|answers| {
        let mut draft = Draft::default();
        for (at, text) in answers {
            draft.set(&at, text.trim());
        }
        draft
    })
}

proptest! {
    #[test]
    fn whatever_is_typed_comes_back_from_the_file(draft in drafts()) {
        let text = draft.file().text;
        let back = Draft::read(&text).expect("a draft is always a well formed file");
        prop_assert_eq!(&back, &draft);
        prop_assert_eq!(back.file().text, text);
    }

    #[test]
    fn a_described_farm_is_the_farm_of_its_file(
        paces in (40u32..200, 20u32..60), depths in (20u32..40, 50u32..80), hands in 1u32..9, density in 8u32..30
    ) {
        let mut draft = fewest();
        draft.set("pond.0.paces_long", &paces.0.to_string());
        draft.set("pond.0.paces_wide", &paces.1.to_string());
        draft.set("pond.0.shallow_depth", &format!("{} in", depths.0));
        draft.set("pond.0.deep_depth", &format!("{} in", depths.1));
        draft.set("pond.0.side_slope", "1");
        draft.set("pond.0.stocked.density", &format!("{density},000/ac"));
        draft.set("crew.owners", &hands.to_string());
        let farm = read_farm(&draft.file().text).expect("a farm");
        let pond = &farm.ponds[0];
        prop_assert!((pond.shape.shallow_depth_m - f64::from(depths.0) * 0.0254).abs() < 1e-9);
        prop_assert!((pond.shape.deep_depth_m - f64::from(depths.1) * 0.0254).abs() < 1e-9);
        prop_assert!((pond.shape.area_m2 - f64::from(paces.0 * paces.1) * 0.762 * 0.762).abs() < 1e-6);
        prop_assert!((pond.stocking.count - (f64::from(density) * 1000.0 / 4_046.856_422_4 * pond.shape.area_m2).round()).abs() < 1.5);
        prop_assert_eq!(farm.crew.owners, hands);
        prop_assert_eq!(read_farm(&Draft::read(&draft.file().text).expect("a draft").file().text).expect("the same"), farm);
    }
}

#[test]
fn what_went_in_and_came_out_at_the_ponds_is_laid_into_the_answers() {
    let mut draft = Draft::read(HAZEL_BEND).expect("the sample reads");
    let written = draft.file().text;
    let mut laid = crate::read_farm(HAZEL_BEND).expect("the sample reads");
    draft.lay_lots(&laid);
    assert_eq!(draft.file().text, written, "nothing was entered: nothing changes");
    let (stocked, out) = (Day::parse("2011-10-01").expect("a day"), Day::parse("2011-10-02").expect("a day"));
    laid.ponds[0].stocking = crate::Stocking { on: stocked, count: 4000.0, mean_weight_g: 2.5, count_either_way: None };
    laid.ponds[1].harvested = Some(out);
    laid.season.last_catch = Day::parse("2011-11-15").expect("a day");
    draft.lay_lots(&laid);
    let read = crate::read_farm(&draft.file().text).expect("still a farm");
    assert_eq!(read.ponds[0].stocking, laid.ponds[0].stocking);
    assert!(read.ponds[0].samples.is_empty() && read.ponds[0].readings.is_empty(), "they were of the animals before");
    assert_eq!(read.ponds[1].harvested, Some(out));
    assert_eq!(read.ponds[1].samples.len(), 2, "the other pond keeps its own");
    assert_eq!(read.season.last_catch, laid.season.last_catch);
}
