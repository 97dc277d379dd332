//! The table as a whole: every example works, every end of every range gives a number, nothing that is typed breaks a sum.

use std::collections::BTreeSet;

use farm::inputs::{LeftOut, Takes};

use crate::{SUMS, Sum, Worked, sums};

fn work(sum: &'static Sum, typed: &[(&str, &str)]) -> Worked {
    let given = sum.read(typed).unwrap_or_else(|slips| panic!("{} {typed:?}: {slips:?}", sum.name));
    sum.work(&given)
}

#[test]
fn names_are_plain_and_stand_once() {
    let mut seen = BTreeSet::new();
    for sum in sums() {
        assert!(sum.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", sum.name);
        assert!(seen.insert(sum.name), "{} stands twice", sum.name);
        let mut inputs = BTreeSet::new();
        for input in sum.inputs {
            assert!(input.key.strip_prefix(sum.name).is_some_and(|rest| rest.starts_with('.')), "{}", input.key);
            assert!(inputs.insert(input.name()) && input.question.ends_with('?'), "{}", input.key);
        }
        assert!(sum.question.ends_with('?') && !sum.source.is_empty() && !sum.formula.is_empty(), "{}", sum.name);
    }
    assert_eq!(seen.len(), SUMS.iter().map(|list| list.len()).sum::<usize>());
}

#[test]
fn every_example_gives_answers_and_names_no_line_twice() {
    for sum in sums() {
        let worked = work(sum, sum.example);
        assert!(!worked.answers.is_empty(), "{}", sum.name);
        let keys: BTreeSet<_> = worked.answers.iter().chain(&worked.steps).map(|line| line.key).collect();
        assert_eq!(keys.len(), worked.answers.len() + worked.steps.len(), "{}", sum.name);
    }
}

/// Every input at either end of its range, the others as in the example: a number comes out, or a refusal.
#[test]
fn the_ends_of_every_range_give_numbers() {
    for sum in sums() {
        for input in sum.inputs {
            let ends: Vec<&str> = match (input.takes, input.range) {
                (Takes::Words(words), _) => words.to_vec(),
                (_, Some((least, greatest))) => vec![least, greatest],
                _ => vec!["0:00", "23:59"],
            };
            for end in ends {
                let mut typed: Vec<(&str, &str)> =
                    sum.example.iter().copied().filter(|(name, _)| *name != input.name()).collect();
                typed.push((input.name(), end));
                let worked = work(sum, &typed);
                for line in worked.answers.iter().chain(&worked.steps) {
                    assert!(line.value.is_finite(), "{} with {} {end}: {line:?}", sum.name, input.key);
                }
                assert!(!worked.answers.is_empty() || worked.is_refused(), "{} with {} {end}", sum.name, input.key);
            }
        }
    }
}

#[test]
fn what_is_wrong_is_said_of_each_input() {
    for sum in sums() {
        let needed = sum.inputs.iter().filter(|input| matches!(input.left_out, LeftOut::Needed)).count();
        let slips = sum.read(&[]).expect_err("something is needed");
        assert_eq!(slips.len(), needed, "{}", sum.name);
        for text in ["", "  ", "x", "-", "1e999", "NaN", "∞", "-5 kg", "0", "1,5", "12 parsecs", "2 F", "{}", "%"] {
            for input in sum.inputs {
                // Read or refused, never broken.
                if let Ok(given) = sum.read(&[(input.name(), text)]) {
                    sum.work(&given);
                }
            }
        }
        let slips = sum.read(&[("nonsense", "1")]).expect_err("no such input");
        assert!(slips.iter().any(|slip| slip.name == "nonsense" && slip.input.is_none()));
    }
}

#[test]
fn two_values_for_one_input_are_not_chosen_between() {
    let sum = crate::sum("ammonia").expect("a sum");
    let slips = sum.read(&[("total", "1"), ("total", "2"), ("temp", "20 C"), ("ph", "8")]).expect_err("twice");
    assert_eq!((slips.len(), slips[0].typed.as_str()), (1, "2"));
}
