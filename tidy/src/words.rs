//! Words that may not stand where they stand.

use crate::File;

/// Ways out into the world, which the core may not take.
const WORLD: [&str; 9] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::process",
    "std::io::stdin",
    "std::thread::sleep",
    "SystemTime",
    "println!",
    "HashMap",
];

/// Lines of a core file, before its tests, that reach for the world. Comments are free to speak of it.
pub fn world_faults(file: &File) -> Vec<String> {
    let mut found = Vec::new();
    for (number, line) in file.before_tests().lines().enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        for word in WORLD.into_iter().filter(|word| code.contains(word)) {
            found.push(format!("{}:{}: the core may not name {word}", file.path, number + 1));
        }
    }
    found
}

/// What no test of ours does.
const TESTS: [(&str, &str); 5] = [
    ("#[ignore", "is left out of every run"),
    ("#[should_panic", "passes on any panic"),
    ("thread::sleep(", "waits"),
    ("Timestamp::now(", "depends on today"),
    ("SystemTime::now(", "depends on today"),
];

/// Tests that are skipped, wait, or depend on the day. The app's clock is named as its one reader of the time.
pub fn test_word_faults(file: &File, reads_the_time: bool) -> Vec<String> {
    let mut found = Vec::new();
    for (number, line) in file.text.lines().enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        for (word, why) in TESTS.into_iter().filter(|(word, _)| code.contains(word)) {
            if !(reads_the_time && why == "depends on today") {
                found.push(format!("{}:{}: {word}: {why}", file.path, number + 1));
            }
        }
    }
    found
}
