//! Pages hold no sentence: what a person reads is said by `words`, where the command line says it too.

use tidy::{File, files, sentence_faults};

#[test]
fn pages_hold_no_sentence() {
    let pages: Vec<File> = ["shell/web/src/pages", "shell/web/src/parts"]
        .into_iter()
        .flat_map(|folder| files(folder, ".rs"))
        .filter(|file| !file.is_test())
        .collect();
    assert!(pages.len() > 5, "the pages are found");
    let found: Vec<String> = pages.iter().flat_map(sentence_faults).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_rule_of_sentences_bites() {
    for (line, faults) in [
        ("p { \"Order ice by noon.\" }", 1),
        ("h1 { \"Morning\" }", 1),
        ("p { \"the drain is open\" }", 1),
        ("p { (format!(\"{} is {} deep now\", a, b)) }", 1),
        ("// \"Order ice by noon.\"", 0),
        ("meta content=\"width=device-width, initial-scale=1\";", 0),
        ("path d=\"M5 18 q1 -8 -1 -13\" {}", 0),
        ("div class=\"pond wide\" { \", \" }", 0),
        ("a href=(format!(\"/f/{}/plan\", facts.id)) {}", 0),
    ] {
        assert_eq!(sentence_faults(&File::made_up("page.rs", line)).len(), faults, "{line}");
    }
    let tested = "fn f() {}\n\n#[cfg(test)]\nmod tests {\n    const A: &str = \"Order ice by noon.\";\n}\n";
    assert!(sentence_faults(&File::made_up("page.rs", tested)).is_empty());
}
