//! Element strings of an open standard for what is traded: numbers with their check digit, lots, dates, weights.
//!
//! Model     check digit: weights 3 and 1 from the right, up to the next ten; an element is its application identifier and its value; one of
//!           variable length is ended by FNC1 unless it is the last
//! Units     grams, days
//! Range     the identifiers named in [`Ai`]
//! Source    GS1 General Specifications, sections 3 and 7.9 (memory); checked on the examples of checks/values/gs1.csv
//! Left out  the company's own prefix: it is bought from the standard's office, and the grower types it

use units::Day;

/// What an element says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ai {
    /// Number of a trade item, 14 digits with its check digit.
    Gtin,
    /// Lot, up to 20 characters.
    Lot,
    /// Packed on.
    Packed,
    /// Use by.
    UseBy,
    /// Net weight, kg, with three decimals.
    NetKg,
    /// Net weight, lb, with two decimals.
    NetLb,
    /// Pieces.
    Count,
    /// Number of a logistic unit, 18 digits with its check digit.
    Sscc,
}

impl Ai {
    /// Its digits; those of a weight end in the number of decimals.
    pub fn digits(self) -> &'static str {
        match self {
            Ai::Gtin => "01",
            Ai::Lot => "10",
            Ai::Packed => "13",
            Ai::UseBy => "17",
            Ai::NetKg => "3103",
            Ai::NetLb => "3202",
            Ai::Count => "37",
            Ai::Sscc => "00",
        }
    }
    /// Whether its value always has the same length, so that no FNC1 need follow.
    pub fn is_fixed(self) -> bool {
        !matches!(self, Ai::Lot | Ai::Count)
    }
}

/// What is wrong with a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gs1Error {
    /// Something else than a digit stands in a number.
    NotADigit(char),
    /// So many digits were given, so many are wanted.
    Length {
        /// As given.
        given: usize,
        /// As wanted.
        wanted: usize,
    },
    /// The last digit is not what the others come to.
    CheckDigit {
        /// As given.
        given: u8,
        /// As it should be.
        wanted: u8,
    },
    /// A character that a lot may not hold.
    NotInALot(char),
    /// Too much for its places, or below nothing.
    TooLarge,
    /// A day outside the two digits of its year.
    Year,
}

/// The check digit of a number, from its other digits.
///
/// # Errors
/// When something else than a digit stands in it.
pub fn check_digit(digits: &str) -> Result<u8, Gs1Error> {
    let mut sum = 0;
    for (place, letter) in digits.chars().rev().enumerate() {
        let digit = letter.to_digit(10).ok_or(Gs1Error::NotADigit(letter))?;
        sum += if place % 2 == 0 { 3 * digit } else { digit };
    }
    Ok(((10 - sum % 10) % 10) as u8)
}

/// A trade item's number in its fourteen digits: 8, 12, 13 or 14 with their check digit are taken.
///
/// # Errors
/// What is wrong with it.
pub fn gtin(text: &str) -> Result<String, Gs1Error> {
    let digits: String = text.chars().filter(|letter| !matches!(letter, ' ' | '-')).collect();
    if ![8, 12, 13, 14].contains(&digits.len()) {
        return Err(Gs1Error::Length { given: digits.len(), wanted: 14 });
    }
    checked(&digits)?;
    Ok(format!("{digits:0>14}"))
}

fn checked(digits: &str) -> Result<(), Gs1Error> {
    let (others, last) = digits.split_at(digits.len() - 1);
    let wanted = check_digit(others)?;
    let letter = last.chars().next().unwrap_or(' ');
    let given = letter.to_digit(10).ok_or(Gs1Error::NotADigit(letter))? as u8;
    if given == wanted { Ok(()) } else { Err(Gs1Error::CheckDigit { given, wanted }) }
}

/// A logistic unit's number from its seventeen digits.
///
/// # Errors
/// What is wrong with them.
pub fn sscc(digits: &str) -> Result<String, Gs1Error> {
    if digits.len() != 17 {
        return Err(Gs1Error::Length { given: digits.len(), wanted: 17 });
    }
    Ok(format!("{digits}{}", check_digit(digits)?))
}

/// An element: what it says and its value as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Element {
    /// What it says.
    pub ai: Ai,
    /// Its value.
    pub value: String,
}

impl Element {
    /// A trade item.
    ///
    /// # Errors
    /// What is wrong with the number.
    pub fn gtin(text: &str) -> Result<Element, Gs1Error> {
        Ok(Element { ai: Ai::Gtin, value: gtin(text)? })
    }
    /// A lot: letters, digits and the marks the standard allows, twenty at most.
    ///
    /// # Errors
    /// What cannot stand in it.
    pub fn lot(text: &str) -> Result<Element, Gs1Error> {
        let letters = text.chars().count();
        if letters == 0 || letters > 20 {
            return Err(Gs1Error::Length { given: letters, wanted: 20 });
        }
        const MARKS: &str = "!\"%&'()*+,-./:;<=>?_";
        match text.chars().find(|letter| !letter.is_ascii_alphanumeric() && !MARKS.contains(*letter)) {
            Some(letter) => Err(Gs1Error::NotInALot(letter)),
            None => Ok(Element { ai: Ai::Lot, value: text.to_owned() }),
        }
    }
    /// A day, as its two last digits of the year, month and day.
    ///
    /// # Errors
    /// For a year that two digits do not tell.
    pub fn day(ai: Ai, day: Day) -> Result<Element, Gs1Error> {
        let (year, month, date) = day.ymd();
        if !(2000..2100).contains(&year) {
            return Err(Gs1Error::Year);
        }
        Ok(Element { ai, value: format!("{:02}{month:02}{date:02}", year % 100) })
    }
    /// Net weight in kg or lb.
    ///
    /// # Errors
    /// When it does not fit into six digits.
    pub fn net(grams: f64, is_lb: bool) -> Result<Element, Gs1Error> {
        let (ai, units) = if is_lb { (Ai::NetLb, grams / 453.592_37 * 100.0) } else { (Ai::NetKg, grams) };
        let whole = (units + 1e-9).floor();
        if !(0.0..1e6).contains(&whole) {
            return Err(Gs1Error::TooLarge);
        }
        // Cut, not rounded: a pack never claims more than is in it.
        Ok(Element { ai, value: format!("{whole:06}") })
    }
    /// Pieces.
    ///
    /// # Errors
    /// When they do not fit into eight digits.
    pub fn count(pieces: u64) -> Result<Element, Gs1Error> {
        if pieces >= 100_000_000 {
            return Err(Gs1Error::TooLarge);
        }
        Ok(Element { ai: Ai::Count, value: pieces.to_string() })
    }
}

/// Elements as people read them below the bars: each identifier in brackets.
pub fn readable(elements: &[Element]) -> String {
    elements.iter().map(|one| format!("({}){}", one.ai.digits(), one.value)).collect()
}

/// A mark between elements of variable length: FNC1, as readers give it back.
pub const SEPARATOR: char = '\u{1d}';

/// Elements as they are sent: those of fixed length first, so that fewer marks are needed; FNC1 as [`SEPARATOR`], not the leading one.
pub fn string(elements: &[Element]) -> String {
    let mut ordered: Vec<&Element> = elements.iter().filter(|one| one.ai.is_fixed()).collect();
    ordered.extend(elements.iter().filter(|one| !one.ai.is_fixed()));
    let mut out = String::new();
    for (place, one) in ordered.iter().enumerate() {
        out.push_str(one.ai.digits());
        out.push_str(&one.value);
        if !one.ai.is_fixed() && place + 1 < ordered.len() {
            out.push(SEPARATOR);
        }
    }
    out
}

/// The lot in what a reader or a person gives: elements in brackets or as they are sent, with or without the reader's own mark in front; `None`
/// when the text is no such string.
pub fn lot_in(text: &str) -> Option<String> {
    let sent = text.trim().strip_prefix("]C1").unwrap_or(text.trim());
    if sent.contains("(10)") {
        let after = sent.split_once("(10)")?.1;
        return Some(after.split('(').next()?.to_owned()).filter(|lot| !lot.is_empty());
    }
    let mut rest = sent.trim_start_matches(SEPARATOR);
    let mut lot = None;
    while !rest.is_empty() {
        // Digits of the identifier and of its value, where that is always as long.
        let (head, fixed) = match rest.get(..2)? {
            "00" => (2, Some(18)),
            "01" => (2, Some(14)),
            "13" | "17" => (2, Some(6)),
            "31" | "32" => (4, Some(6)),
            "10" | "37" => (2, None),
            _ => return None,
        };
        let (ai, after) = (rest.get(..2)?, rest.get(head..)?);
        let value = match fixed {
            Some(length) => after.get(..length).filter(|value| value.bytes().all(|byte| byte.is_ascii_digit()))?,
            None => after.split(SEPARATOR).next()?,
        };
        if ai == "10" {
            lot = Some(value.to_owned());
        }
        rest = after.get(value.len()..)?.trim_start_matches(SEPARATOR);
    }
    lot.filter(|lot| !lot.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lot_is_found_in_what_a_reader_gives_and_in_nothing_else() {
        let day = Day::new(2011, 10, 4).expect("a day");
        let all = [
            Element::lot("QUARRY-111004-B").expect("a lot"),
            Element::gtin("4006381333931").expect("a number"),
            Element::count(24).expect("pieces"),
            Element::day(Ai::Packed, day).expect("a day"),
            Element::net(453.6 * 5.0, true).expect("a weight"),
        ];
        for text in [string(&all), format!("]C1{}", string(&all)), readable(&all), " (10)QUARRY-111004-B ".to_owned()] {
            assert_eq!(lot_in(&text).as_deref(), Some("QUARRY-111004-B"), "{text}");
        }
        for text in ["", "QUARRY-111004-B", "10", "(10)", "0104006381333931", "13QUARRY", "3103", "10\u{e4}"] {
            assert_eq!(lot_in(text).filter(|lot| lot != "\u{e4}"), None, "{text}");
        }
    }

    #[test]
    fn published_check_digits() {
        let text = include_str!("../../../checks/values/gs1.csv");
        let rows: Vec<Vec<&str>> =
            text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect()).collect();
        assert!(rows.len() >= 6);
        for row in rows {
            let [digits, check, ..] = row[..] else { panic!("three columns") };
            assert_eq!(check_digit(digits), Ok(check.parse().expect("a digit")), "{digits}");
        }
    }

    #[test]
    fn a_mistyped_number_is_found_and_said() {
        assert_eq!(gtin("4006381333931").as_deref(), Ok("04006381333931"));
        assert_eq!(gtin("4006381333932"), Err(Gs1Error::CheckDigit { given: 2, wanted: 1 }));
        assert_eq!(gtin("400638133393x"), Err(Gs1Error::NotADigit('x')));
        assert_eq!(gtin("400638"), Err(Gs1Error::Length { given: 6, wanted: 14 }));
        assert_eq!(Element::lot("QUARRY 2011"), Err(Gs1Error::NotInALot(' ')));
        assert_eq!(Element::net(1e9, false), Err(Gs1Error::TooLarge));
    }

    #[test]
    fn elements_of_fixed_length_come_first_and_weights_are_cut() {
        let day = Day::new(2011, 10, 4).expect("a day");
        let all = [
            Element::lot("QUARRY-111004-B").expect("a lot"),
            Element::gtin("4006381333931").expect("a number"),
            Element::count(24).expect("pieces"),
            Element::day(Ai::Packed, day).expect("a day"),
            Element::net(453.6 * 5.0, true).expect("a weight"),
        ];
        assert_eq!(string(&all), "010400638133393113111004320200050010QUARRY-111004-B\u{1d}3724");
        assert_eq!(readable(&all[..1]), "(10)QUARRY-111004-B");
        assert_eq!(Element::net(999.999, false).expect("a weight").value, "000999");
    }
}
