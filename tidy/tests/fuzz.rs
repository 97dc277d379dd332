//! Fuzzing begins well.

use tidy::{file, fuzz_faults, paths};

#[test]
fn every_fuzz_target_has_its_seeds_and_words() {
    let found = fuzz_faults(&file("fuzz/Cargo.toml").text, &paths("fuzz"));
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_rule_of_fuzz_targets_bites() {
    let manifest =
        "[[bin]]\nname = \"a\"\npath = \"fuzz_targets/a.rs\"\n[[bin]]\nname = \"b\"\npath = \"fuzz_targets/b.rs\"\n";
    let there = ["fuzz_targets/a.rs", "fuzz_targets/c.rs", "seeds/a/one", "dictionaries/a.dict"];
    let paths: Vec<String> = there.iter().map(|path| format!("fuzz/{path}")).collect();
    assert_eq!(
        fuzz_faults(manifest, &paths),
        [
            "fuzz target b has no fuzz/fuzz_targets/b.rs",
            "fuzz target b has no fuzz/seeds/b/",
            "fuzz target b has no fuzz/dictionaries/b.dict",
            "fuzz/fuzz_targets/c.rs is named in no [[bin]]",
        ]
    );
}
