//! The README's printed morning is what the program prints.

use std::process::Command;

const README: &str = include_str!("../../../README.md");
/// Stands for what is left out.
const LEFT_OUT: &str = "[... Quarry, Lower, Heron ...]\n";

/// The block of the README that shows a morning.
fn shown() -> &'static str {
    let after = README.split("```text\n").nth(1).expect("a block of text");
    after.split("```").next().expect("its end")
}

#[test]
fn the_readme_shows_the_morning_that_is_printed() {
    let out = Command::new(env!("CARGO_BIN_EXE_warmspell")).arg("plan").output().expect("it runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let printed = String::from_utf8(out.stdout).expect("plain text");
    let (first, last) = shown().split_once(LEFT_OUT).expect("the ponds between are left out");
    let parted = |at: usize| printed.lines().zip(first.lines()).find(|(a, b)| a != b).map(|pair| (at, pair));
    assert!(printed.starts_with(first), "first difference (printed, README): {:?}", parted(0));
    assert!(printed.ends_with(last.trim_start()), "the end is printed as: {}", &printed[printed.len() - last.len()..]);
}
