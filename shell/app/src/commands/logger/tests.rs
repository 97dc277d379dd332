use clap::Parser;

use super::*;

#[derive(Debug, Parser)]
enum Line {
    Log(LogArgs),
}

const NOW_MS: i64 = 1_600_000_000_000;

#[test]
fn a_file_is_looked_at_taken_once_and_asked_about_where_it_does_not_say() {
    let folder = std::env::temp_dir().join(format!("warmspell-log-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let at = |name: &str| folder.join(name).display().to_string();
    let (db, csv, twofold) = (at("a.db"), at("august.csv"), at("twofold.csv"));
    std::fs::write(&csv, "time,water\n2020-08-01 06:00,70.1 F\n2020-08-01 06:05,70.2 F\n").expect("written");
    std::fs::write(&twofold, "time,temp\n8/1/2020 06:00,35.5\n8/1/2020 06:05,35.6\n").expect("written");
    for (words, code, wanted) in [
        (vec![&csv[..], "--pond", "Willow"], 0, "All 2 are new."),
        (vec![&csv, "--pond", "willow", "--take", "--json"], 0, "\"kept\": true"),
        (vec![&csv, "--pond", "willow", "--take"], 0, "Nothing was doubled."),
        (vec![&csv, "--pond", "willows"], 2, "willow"),
        (vec![&csv, "--pond", "willow", "--depth", "deep"], 2, "18 in"),
        (vec![&csv, "--pond", "willow", "--sheet", "2"], 2, "one sheet"),
        (vec![&twofold, "--pond", "willow", "--take"], 1, "--column 2=temp_f"),
        (
            vec![&twofold, "--pond", "willow", "--first", "day", "--column", "2=temp_c", "--take"],
            0,
            "2 readings are new",
        ),
        (vec![&at("none.csv"), "--pond", "willow"], 2, "none.csv"),
    ] {
        let Line::Log(args) = Line::parse_from([&["warmspell", "log", "--store", &db], &words[..]].concat());
        let told = run(&args, NOW_MS);
        let said = format!("{}{}", told.answer, told.notes.join("\n"));
        assert!(told.code == code && said.contains(wanted), "{words:?}: {} {said}", told.code);
    }
    let _ = std::fs::remove_dir_all(&folder);
}
