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

/// Literals of a page file that read like a sentence or a heading: those belong to `words`. A literal is judged without its
/// `{...}`: it is a sentence with three words, or a heading with a capital and a small letter at its head.
pub fn sentence_faults(file: &File) -> Vec<String> {
    let mut found = Vec::new();
    for (number, line) in file.before_tests().lines().enumerate() {
        for literal in literals(line) {
            let bare = without_braces(&literal);
            let words = bare.split_whitespace().map(|word| word.trim_matches(|c: char| c.is_ascii_punctuation()));
            let words = words.filter(|word| word.len() >= 2 && word.chars().all(char::is_alphabetic)).count();
            let mut head = bare.chars();
            let heading = head.next().is_some_and(char::is_uppercase) && head.next().is_some_and(char::is_lowercase);
            if words >= 3 || heading {
                found.push(format!(
                    "{}:{}: \"{literal}\" is said to a person: move it to words",
                    file.path,
                    number + 1
                ));
            }
        }
    }
    found
}

/// The string literals that stand whole on a line, comments left out.
fn literals(line: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut within: Option<String> = None;
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match (&mut within, letter) {
            (None, '/') if letters.peek() == Some(&'/') => break,
            (None, '"') => within = Some(String::new()),
            (None, _) => {}
            (Some(_), '"') => all.extend(within.take()),
            (Some(text), '\\') => text.extend(letters.next()),
            (Some(text), _) => text.push(letter),
        }
    }
    all
}

fn without_braces(text: &str) -> String {
    let mut depth = 0;
    text.chars()
        .filter(|letter| {
            match letter {
                '{' => depth += 1,
                '}' => depth -= 1,
                _ => return depth == 0,
            }
            false
        })
        .collect()
}
