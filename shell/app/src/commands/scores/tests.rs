use std::path::Path;

use clap::Parser;
use store::{FarmRow, Store};
use units::Day;

use super::*;

const NOW_MS: i64 = 1_318_800_000_000;

#[derive(Debug, Parser)]
struct Line {
    #[command(flatten)]
    args: ScoresArgs,
}

fn asked(words: &[&str]) -> Told {
    run(&Line::parse_from([&["scores"], words].concat()).args, NOW_MS)
}

/// The sample farm's record with eight mornings that called 22.9 °C at Willow for the dawn of 28 September 2011, which its file has read
/// as 73.5 °F (23.06 °C).
fn record_at(path: &Path) {
    let store = Store::open(path, NOW_MS).expect("a record");
    let farm = FarmRow { id: "hazel-bend".to_owned(), name: "Hazel Bend".to_owned(), made_ms: NOW_MS, is_sample: true };
    store.keep_farm(&farm).expect("a farm");
    // 6 h by the sun at 82.8° W is 11:31 UTC, give or take the equation of time.
    let dawn = Instant(i64::from(Day::parse("2011-09-28").expect("a date").0) * 86_400 + 11 * 3600 + 1860);
    let rows: Vec<ForecastRow> = (1..=8)
        .flat_map(|lead| {
            [(Spoken::Quantile(0.1), 22.0), (Spoken::Quantile(0.5), 22.9), (Spoken::Quantile(0.9), 23.0)].map(
                |(says, value)| ForecastRow {
                    made_ms: (dawn.0 - lead * 86_400) * 1000,
                    pond: "willow".to_owned(),
                    place: "deep".to_owned(),
                    depth_m: 1.8,
                    at: dawn,
                    says,
                    value,
                    program: "=1".to_owned(),
                    seed: 7,
                },
            )
        })
        .collect();
    store.keep_forecast("hazel-bend", &rows).expect("kept");
}

#[test]
fn the_command_tells_what_the_page_tells() {
    let folder = std::env::temp_dir().join(format!("warmspell-scores-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("a.db");
    let db = path.display().to_string();
    assert!(asked(&["--store", &db]).notes[0].contains("no such file"), "nothing is made by asking");
    record_at(&path);
    let told = asked(&["--store", &db, "--metric"]);
    assert_eq!(told.code, 0, "{told:?}");
    assert!(
        told.answer.starts_with("Hazel Bend, since stocking\nEight mornings so far: nothing can be told yet.\n"),
        "{}",
        told.answer
    );
    assert!(told.answer.contains("One dawn that was called has been read since."), "{}", told.answer);
    let body: Value = serde_json::from_str(&asked(&["--store", &db, "--json"]).answer).expect("JSON");
    assert_eq!((&body["schema"], &body["version"]), (&json!("warmspell.scores"), &json!(1)));
    assert_eq!((&body["mornings_kept"], &body["dawns_read"], &body["enough"]), (&json!(8), &json!(1), &json!(false)));
    let first = &body["leads"][0];
    assert_eq!((&first["lead_days"], &first["warmer"], &first["within"]), (&json!(1), &json!(1), &json!(0)));
    // 73.5 °F is 23.0556 °C; the morning before, 74.5 °F, one Fahrenheit degree warmer.
    assert!((first["missed_k"].as_f64().expect("a number") - 0.155_555_6).abs() < 1e-6, "{first}");
    assert!((first["beside"]["stayed_missed_k"].as_f64().expect("a number") - 1.0 / 1.8).abs() < 1e-6, "{first}");
    let table = asked(&["--store", &db, "--csv"]).answer;
    assert_eq!(table.lines().count(), 1 + 24);
    assert!(table.contains(",'=1,7,willow,deep,1.8,2011-09-28"), "{table}");
    let last = table.lines().last().expect("rows");
    assert!(last.contains("quantile,0.9,23,23.05"), "{last}");
    for (words, wanted) in [
        (["--season", "1999"], "choose one of this, all"),
        (["--pond", "Loch"], "Willow"),
        (["--farm", "none.toml"], "none.toml"),
    ] {
        let told = asked(&[&["--store", &db], &words[..]].concat());
        assert!(told.code == 2 && told.notes[0].contains(wanted), "{words:?}: {told:?}");
    }
    assert!(asked(&["--store", &db, "--pond", "quarry", "--season", "all"]).answer.contains("No morning is kept yet"));
    let _ = std::fs::remove_dir_all(&folder);
}
