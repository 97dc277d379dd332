//! One answer, read by its own row of the table.

use units::measure::{self, Kind};
use units::{Day, letters_apart};

use super::{Input, Takes};
use crate::reasons::Wrong;

/// The number that was typed, in the unit of its kind; money in whole units of its currency, a time of day in hours. `None` for an
/// answer that is no number.
///
/// # Errors
/// Why it cannot be taken.
pub fn read_one(input: &Input, text: &str) -> Result<Option<f64>, Wrong> {
    let value = match input.takes {
        Takes::Quantity(kind, bare) => quantity(text, kind, bare)?,
        Takes::Number => measure::read(text, Kind::Count, None).map_err(Wrong::Measure)?,
        Takes::Price(per) => measure::read_price(text, per).map_err(Wrong::Measure)?.amount,
        Takes::Amount => match measure::read_price(&format!("{text} each"), Kind::Count) {
            Ok(price) => price.amount,
            // As a number alone, so that it is told as it was typed.
            Err(error) => return Err(Wrong::Measure(measure::read(text, Kind::Count, None).err().unwrap_or(error))),
        },
        Takes::Clock => clock(text).ok_or(Wrong::NotATime)?,
        Takes::Words(words) if !words.contains(&text) => {
            let near = words.iter().copied().min_by_key(|word| letters_apart(text, word));
            let nearest = near.filter(|word| letters_apart(text, word) <= 2);
            return Err(Wrong::NotOneOf { words, nearest });
        }
        Takes::YesNo if !["yes", "no", "true", "false"].contains(&text) => {
            return Err(Wrong::NotOneOf { words: &["yes", "no"], nearest: None });
        }
        Takes::Date if Day::parse(text.trim()).is_none() => return Err(Wrong::NotADate),
        _ => return Ok(None),
    };
    if let Some((least, greatest)) = input.range
        && !within(input, value, (least, greatest))
    {
        return Err(Wrong::Outside { least, greatest });
    }
    if matches!(input.takes, Takes::Quantity(Kind::Count, _)) && value.fract() != 0.0 {
        return Err(Wrong::NotWhole);
    }
    Ok(Some(value))
}

/// What is usual, as one would type it, when a value lies outside it.
pub fn unusual(input: &Input, value: f64) -> Option<(&'static str, &'static str)> {
    input.usual.filter(|&ends| !within(input, value, ends))
}

/// A list of numbers, parted by commas, semicolons or space; each is read by the row of the table.
///
/// # Errors
/// The first that cannot be read, as it was typed, and why.
pub fn read_list(input: &Input, text: &str) -> Result<Vec<f64>, (String, Wrong)> {
    let parts = text.split([',', ';', ' ', '\n', '\t']).map(str::trim).filter(|part| !part.is_empty());
    let one = Input { takes: Takes::Number, ..*input };
    parts
        .map(|part| match read_one(&one, part) {
            Ok(value) => Ok(value.unwrap_or_default()),
            Err(what) => Err((part.to_owned(), what)),
        })
        .collect()
}

/// Hours since midnight: `6:30`, `20:00`, `8:15 pm`.
fn clock(text: &str) -> Option<f64> {
    let small = text.trim().to_ascii_lowercase();
    let (time, after) = match small.find(|c: char| c.is_ascii_alphabetic()) {
        Some(at) => (small[..at].trim_end(), small[at..].replace('.', "")),
        None => (small.as_str(), String::new()),
    };
    let (hour, minute) = time.split_once(':').unwrap_or((time, "0"));
    let (hour, minute) = (hour.parse::<u32>().ok()?, minute.parse::<u32>().ok()?);
    let (least, most, later) = match after.as_str() {
        "" | "h" => (0, 24, 0),
        "am" => (1, 12, 0),
        "pm" => (1, 12, 12),
        _ => return None,
    };
    let wrapped = if most == 12 && hour == 12 { 0 } else { hour };
    let is_time = (least..=most).contains(&hour) && minute < 60 && (hour < 24 || minute == 0);
    is_time.then(|| f64::from(wrapped + later) + f64::from(minute) / 60.0)
}

/// Milligrams in a litre are written in more ways than other quantities, and `ppm` is one of them.
fn quantity(text: &str, kind: Kind, bare: Option<&str>) -> Result<f64, Wrong> {
    let plain = text.trim();
    let small = plain.to_ascii_lowercase();
    let number = (kind == Kind::MassPerVolume).then(|| small.strip_suffix("ppm")).flatten();
    let plain = number.map_or(plain, |number| plain[..number.len()].trim_end());
    measure::read(plain, kind, bare).map_err(Wrong::Measure)
}

/// Whether a value lies within two ends written as a person would type them.
fn within(input: &Input, value: f64, (least, greatest): (&str, &str)) -> bool {
    let end = |text: &str| match input.takes {
        Takes::Quantity(kind, bare) => measure::read(text, kind, bare).ok(),
        Takes::Price(per) => measure::read_price(text, per).ok().map(|price| price.amount),
        _ => text.replace(',', "").parse().ok(),
    };
    // Ends that are typed alike must come out within: a hair is left for the conversion.
    let hair = 1e-9 * (1.0 + value.abs());
    end(least).is_none_or(|least| least - hair <= value) && end(greatest).is_none_or(|most| value <= most + hair)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_day_are_read_by_either_clock() {
        let cases =
            [("6:30", 6.5), ("20:00", 20.0), ("8:15 pm", 20.25), ("12 am", 0.0), ("12:30 p.m.", 12.5), ("24:00", 24.0)];
        for (text, hours) in cases {
            assert_eq!(clock(text), Some(hours), "{text}");
        }
        for text in ["", "25:00", "24:10", "6:75", "13 pm", "0 am", "six", "6 o'clock", "-3:00", "6:30:00"] {
            assert_eq!(clock(text), None, "{text}");
        }
    }

    #[test]
    fn a_list_names_the_part_that_is_wrong() {
        let input = Input::asked("sums.counts", Takes::Counts, "How many?", "").range("1", "9999");
        assert_eq!(read_list(&input, "412, 398;431 405"), Ok(vec![412.0, 398.0, 431.0, 405.0]));
        let refused = read_list(&input, "412, x, 3").expect_err("x is no number");
        assert_eq!(refused.0, "x");
        assert!(matches!(read_list(&input, "412 0"), Err((part, Wrong::Outside { .. })) if part == "0"));
    }
}
