//! `warmspell sum` as a person at the pond types it.

use std::process::Command;

/// Exit code, what is printed, what is remarked.
fn sum(words: &[&str]) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_warmspell")).arg("sum").args(words).output().expect("it runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("plain text");
    (out.status.code().expect("an end"), text(out.stdout), text(out.stderr))
}

#[test]
fn all_are_listed_and_each_says_what_it_asks() {
    let (code, listed, _) = sum(&[]);
    assert_eq!(code, 0);
    for line in listed.lines().filter(|line| line.starts_with("  ")) {
        let name = line.split_whitespace().next().expect("a name");
        let (code, asked, _) = sum(&[name]);
        assert!(code == 0 && asked.contains(&format!("warmspell sum {name} ")), "{name}: {asked}");
    }
    let (code, _, said) = sum(&["amonia"]);
    assert!(code == 2 && said.contains("Did you mean ammonia?"), "{said}");
}

#[test]
fn answers_are_told_to_people_and_to_programs() {
    let given = ["ice", "catch=300kg", "catch_temp=68F", "water=300 l", "water_temp=16C"];
    let (code, told, _) = sum(&given);
    assert!(code == 0 && told.contains("258 lb") && told.contains("Care: Spines"), "{told}");
    let (_, json, _) = sum(&[&given[..], &["--json"]].concat());
    let read: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(read["schema"], "warmspell.sum");
    // FAO's and our own arithmetic: 117 kg (checks/values/pond_side_sums.csv).
    assert!((read["answers"]["ice"]["value"].as_f64().expect("a number") - 117.04).abs() < 0.1, "{json}");
    assert_eq!((&read["answers"]["ice"]["unit"], &read["assumed"]["margin"]), (&"kg".into(), &"25 %".into()));
}

#[test]
fn what_kills_is_refused_and_what_is_wrong_is_named() {
    let (code, told, _) = sum(&["live-tank", "mass=27kg", "water=300 l", "temp=26C", "hours=24h"]);
    assert!(code == 1 && told.contains("Stop: Too warm"), "{told}");
    let (code, told, said) = sum(&["live-tank", "mass=27", "water=300 l", "temp=21C", "hours=24h", "oxygen"]);
    assert!(code == 2 && told.is_empty() && said.contains("oxygen: write name=value"), "{said}");
    let (code, _, said) = sum(&["live-tank", "mass=27", "water=300 l", "hours=24h"]);
    assert!(code == 2 && said.contains("mass: “27” has no unit") && said.contains("temp: How warm"), "{said}");
}
