use std::collections::BTreeSet;

use units::measure::{self, Kind};

use super::*;

fn read(input: &Input, text: &str) -> f64 {
    let read = match input.takes {
        Takes::Quantity(kind, bare) => measure::read(text, kind, bare),
        Takes::WordsOrShare(words) if words.contains(&text) => Ok(0.5),
        Takes::WordsOrShare(_) => measure::read(text, Kind::Share, None),
        Takes::Number => measure::read(text, Kind::Share, None),
        Takes::Whole => measure::read(text, Kind::Count, None),
        Takes::SizeClass => measure::read(text, Kind::PiecesPerMass, None),
        Takes::Price(per) => measure::read_price(text, per).map(|price| price.amount),
        Takes::Amount => measure::read_price(&format!("{text} each"), Kind::Count).map(|price| price.amount),
        Takes::PriceOfPrawns => measure::read_price(text, Kind::Mass).map(|price| price.amount),
        _ => return 0.5,
    };
    read.unwrap_or_else(|error| panic!("{}: {text}: {error:?}", input.key))
}

#[test]
fn every_range_and_default_can_be_read_and_nests() {
    for input in inputs().chain(log_inputs()) {
        let ends = |pair: (&str, &str)| (read(input, pair.0), read(input, pair.1));
        let mut inner = None;
        if let LeftOut::Assume(typed, source) | LeftOut::AssumeDollars(typed, source) = input.left_out {
            assert!(source.len() > 5, "{} needs a source", input.key);
            let value = read(input, typed);
            inner = Some((value, value));
        }
        if let Some((typed, source)) = input.guess {
            assert!(source.len() > 5 && inner.is_none(), "{} needs a source, and one stand-in", input.key);
            let value = read(input, typed);
            inner = Some((value, value));
        }
        for outer in [input.usual, input.range].into_iter().flatten().map(ends) {
            assert!(outer.0 < outer.1, "{}", input.key);
            if let Some(inner) = inner {
                assert!(
                    outer.0 <= inner.0 + 1e-9 && inner.1 <= outer.1 + 1e-9,
                    "{}: {inner:?} in {outer:?}",
                    input.key
                );
            }
            inner = Some(outer);
        }
    }
}

#[test]
fn keys_are_plain_and_stand_once() {
    let mut seen = BTreeSet::new();
    for input in inputs().chain(log_inputs()) {
        assert!(seen.insert(input.key), "{} stands twice", input.key);
        assert_eq!(input.key.split('.').count(), 2, "{}", input.key);
        assert!(input.key.chars().all(|c| c.is_ascii_lowercase() || "._".contains(c)), "{}", input.key);
        assert!(input.question.ends_with('?'), "{}: {}", input.key, input.question);
        assert!(input.about.ends_with('.'), "{}: {}", input.key, input.about);
        let is_section = matches!(input.takes, Takes::Section | Takes::Sections);
        assert!(!is_section || inputs_of(input.name()).next().is_some(), "{} has no keys", input.key);
    }
}
