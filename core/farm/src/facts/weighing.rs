//! A sample as it was weighed: animals one by one, by form where that was told, and bucketfuls of so many.
//!
//! What is typed is a list: numbers parted by space, comma, semicolon or line. A unit holds for all bare numbers before it, so that it is
//! said once, at the end, or beside each.

use std::collections::BTreeMap;

use units::measure::{self, Kind};

use super::typed::Slip;
use crate::inputs::{Input, input, read_one};
use crate::reasons::Wrong;

/// Fields that take weights one by one: the first of animals whose form was not told, the others by form.
pub const WEIGHT_LISTS: [&str; 7] =
    ["weights", "blue_claw", "orange_claw", "small_male", "virgin", "berried", "open_female"];
/// Field of weighed and counted bucketfuls.
pub const BUCKETS: &str = "buckets";
/// Animals weighed one by one from which on their own spread tells how good the mean is.
const OWN_SPREAD_FROM: usize = 20;
/// The same for bucketfuls.
const OWN_BUCKETS_FROM: usize = 5;

/// A sample, read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Weighing {
    /// Weights one by one, g, with the place of the list among [`WEIGHT_LISTS`].
    pub each_g: Vec<(usize, f64)>,
    /// Bucketfuls: weight of all, g, and how many.
    pub buckets: Vec<(f64, u32)>,
}

impl Weighing {
    /// How many were weighed.
    pub fn counted(&self) -> u32 {
        self.each_g.len() as u32 + self.buckets.iter().map(|(_, count)| count).sum::<u32>()
    }
    /// Mean weight, g; `None` of nothing.
    pub fn mean_g(&self) -> Option<f64> {
        let sum: f64 =
            self.each_g.iter().map(|(_, g)| g).sum::<f64>() + self.buckets.iter().map(|(g, _)| g).sum::<f64>();
        (self.counted() > 0).then(|| sum / f64::from(self.counted()))
    }
    /// Standard deviation of the animals, g, where all were weighed one by one.
    pub fn sd_g(&self) -> Option<f64> {
        let n = self.each_g.len();
        let mean = self.mean_g().filter(|_| n > 1 && self.buckets.is_empty())?;
        Some((self.each_g.iter().map(|(_, g)| (g - mean) * (g - mean)).sum::<f64>() / (n - 1) as f64).sqrt())
    }
    /// Standard error of the mean, g, where there are two animals or two bucketfuls; of bucketfuls as a ratio of sums.
    pub fn error_g(&self) -> Option<f64> {
        let mean = self.mean_g()?;
        if self.buckets.is_empty() {
            return Some(self.sd_g()? / (self.each_g.len() as f64).sqrt());
        }
        let n = self.buckets.len();
        if n < 2 || !self.each_g.is_empty() {
            return None;
        }
        let off = |(g, count): &(f64, u32)| (g - mean * f64::from(*count)) * (g - mean * f64::from(*count));
        let square = self.buckets.iter().map(off).sum::<f64>();
        Some((square * n as f64 / (n - 1) as f64).sqrt() / f64::from(self.counted()))
    }
    /// Standard error as a share of the mean, where there are enough for their own spread to tell it.
    pub fn error_fraction(&self) -> Option<f64> {
        let enough = match self.buckets.is_empty() {
            true => self.each_g.len() >= OWN_SPREAD_FROM,
            false => self.buckets.len() >= OWN_BUCKETS_FROM,
        };
        Some(self.error_g().filter(|_| enough)? / self.mean_g()?)
    }
    /// Animals by form, in the order of [`WEIGHT_LISTS`] after the first; `None` unless every animal's form was told.
    pub fn forms(&self) -> Option<[u32; 6]> {
        let told = self.buckets.is_empty() && !self.each_g.is_empty() && self.each_g.iter().all(|(list, _)| *list > 0);
        told.then(|| {
            std::array::from_fn(|form| self.each_g.iter().filter(|(list, _)| *list == form + 1).count() as u32)
        })
    }
}

/// Reads what was typed of a sample; what is wrong, item by item. An item that is wrong is left out, the rest is read.
pub fn read_weighing(typed: &BTreeMap<String, String>) -> (Weighing, Vec<Slip>) {
    let (mut weighing, mut slips) = (Weighing::default(), Vec::new());
    let row = input("log.weight_each");
    for (list, name) in WEIGHT_LISTS.into_iter().enumerate() {
        let Some(text) = typed.get(name) else { continue };
        for item in with_units(text) {
            match grams(row, &item) {
                Ok(g) => weighing.each_g.push((list, g)),
                Err(what) => slips.push(Slip { field: name.to_owned(), input: row.key, typed: item, what }),
            }
        }
    }
    let row = input("log.bucket_weight");
    for line in typed.get(BUCKETS).map_or("", String::as_str).split(['\n', ';']).map(str::trim) {
        if line.is_empty() {
            continue;
        }
        match bucket(row, line) {
            Ok(one) => weighing.buckets.push(one),
            Err(what) => slips.push(Slip { field: BUCKETS.to_owned(), input: row.key, typed: line.to_owned(), what }),
        }
    }
    (weighing, slips)
}

/// A weight by its row of the table, g.
fn grams(row: &Input, item: &str) -> Result<f64, Wrong> {
    Ok(read_one(row, item)?.unwrap_or_default() * 1000.0)
}

/// A bucketful: its weight, then how many were in it.
fn bucket(row: &Input, line: &str) -> Result<(f64, u32), Wrong> {
    let items = with_units(line);
    let [weight, count] = items.as_slice() else { return Err(Wrong::NotWeightAndCount) };
    let count: String = count.chars().take_while(char::is_ascii_digit).collect();
    let count: u32 = count.parse().ok().filter(|count| *count > 0).ok_or(Wrong::NotWeightAndCount)?;
    Ok((grams(row, weight)?, count))
}

/// The items of a list, each with its unit.
fn with_units(text: &str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    // Items that still wait for a unit.
    let mut bare: Vec<usize> = Vec::new();
    let mut unit = String::new();
    let parted = |c: char| c.is_whitespace() || matches!(c, ';' | '/' | '*' | '#');
    for word in text.split(parted).map(|word| word.trim_matches(',')).filter(|word| !word.is_empty()) {
        for part in word.split(',').filter(|part| !part.is_empty()) {
            let has_digit = part.contains(|c: char| c.is_ascii_digit());
            if !has_digit && measure::read(&format!("1 {part}"), Kind::Mass, None).is_ok() {
                unit = part.to_owned();
                bare.drain(..).for_each(|at| items[at] = format!("{} {unit}", items[at]));
                continue;
            }
            if has_digit && !part.ends_with(|c: char| c.is_alphabetic()) {
                bare.push(items.len());
            }
            items.push(part.to_owned());
        }
    }
    // What follows the last unit has that unit; where none was said, the reader asks for one.
    if !unit.is_empty() {
        bare.drain(..).for_each(|at| items[at] = format!("{} {unit}", items[at]));
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(pairs: &[(&str, &str)]) -> (Weighing, Vec<Slip>) {
        read_weighing(&pairs.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect())
    }

    #[test]
    fn a_list_may_be_typed_in_any_way_a_hand_finds() {
        for text in [
            "21 24.5 33 g",
            "21g 24.5g 33g",
            "21, 24.5, 33 g",
            "21\n24.5\n33\ng",
            "21;24.5;33 g",
            "21 24.5 g 33",
            "21*24.5*33 g",
        ] {
            let (weighing, slips) = read(&[("weights", text)]);
            assert!(slips.is_empty(), "{text}: {slips:?}");
            let each: Vec<f64> = weighing.each_g.iter().map(|(_, g)| *g).collect();
            assert!(
                each.iter().zip([21.0, 24.5, 33.0]).all(|(a, b)| (a - b).abs() < 1e-9) && each.len() == 3,
                "{text}: {each:?}"
            );
        }
        let (mixed, slips) = read(&[("weights", "1 oz 30 g")]);
        assert!(slips.is_empty() && (mixed.each_g[0].1 - 28.349_523).abs() < 1e-5, "{mixed:?}");
    }

    #[test]
    fn what_is_wrong_is_named_and_the_rest_is_read() {
        let (weighing, slips) = read(&[("weights", "21 900 24 x g"), ("buckets", "2.3 kg 65\nhalf a bucket\n2 kg")]);
        assert_eq!((weighing.each_g.len(), weighing.buckets.len()), (2, 1), "{weighing:?}");
        assert!(
            slips.iter().any(|slip| slip.typed == "900 g" && matches!(slip.what, Wrong::Outside { .. })),
            "{slips:?}"
        );
        assert_eq!(slips.iter().filter(|slip| slip.what == Wrong::NotWeightAndCount).count(), 2, "{slips:?}");
        let (_, bare) = read(&[("weights", "21 24")]);
        assert_eq!(bare.len(), 2, "a number without a unit is asked about: {bare:?}");
    }

    #[test]
    fn sums_of_a_sample_are_those_of_the_trade() {
        let (one, _) = read(&[("weights", "20 30 40 g")]);
        assert_eq!((one.counted(), one.mean_g()), (3, Some(30.0)));
        assert!((one.sd_g().expect("three") - 10.0).abs() < 1e-12);
        assert!((one.error_g().expect("three") - 10.0 / 3.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(one.error_fraction(), None, "three do not tell their own spread");
        // The ratio of sums over bucketfuls, by hand: mean 6000 / 190; offs of -51.6, 2.1 ... g.
        let (sums, _) = read(&[("buckets", "2 kg 65\n2.2 kg 68; 1.8 kg 57")]);
        let mean = 6000.0 / 190.0;
        assert!((sums.mean_g().expect("three") - mean).abs() < 1e-9);
        let offs: f64 =
            [(2000.0, 65.0), (2200.0, 68.0), (1800.0, 57.0)].iter().map(|(g, n)| (g - mean * n) * (g - mean * n)).sum();
        assert!((sums.error_g().expect("three") - (offs * 1.5_f64).sqrt() / 190.0).abs() < 1e-9);
        assert_eq!(sums.forms(), None);
        let (forms, _) = read(&[("orange_claw", "40 44 g"), ("berried", "33 g")]);
        assert_eq!(forms.forms(), Some([0, 2, 0, 0, 1, 0]));
        let (some, _) = read(&[("orange_claw", "40 44 g"), ("weights", "33 g")]);
        assert_eq!(some.forms(), None, "one animal's form was not told");
    }
}
