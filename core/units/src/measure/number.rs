//! Numbers as typed: `1,800`, `3 1/2`, `.5`, `two`, `a half`.

use super::MeasureError;

/// A number, and whether it was written with a minus (which `-0 ft 6 in` would lose).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    pub value: f64,
    pub negative: bool,
}

const WORDS: [(&str, f64); 18] = [
    ("half a", 0.5),
    ("a half", 0.5),
    ("half", 0.5),
    ("a quarter", 0.25),
    ("an", 1.0),
    ("a", 1.0),
    ("one", 1.0),
    ("two", 2.0),
    ("three", 3.0),
    ("four", 4.0),
    ("five", 5.0),
    ("six", 6.0),
    ("seven", 7.0),
    ("eight", 8.0),
    ("nine", 9.0),
    ("ten", 10.0),
    ("eleven", 11.0),
    ("twelve", 12.0),
];

/// The number at the start of the text, and what follows it with no space before.
pub(super) fn take(text: &str) -> Result<(Number, &str), MeasureError> {
    let text = text.trim_start();
    if let Some((value, rest)) = word(text) {
        return Ok((Number { value, negative: false }, rest));
    }
    let (negative, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let end = digits.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(digits.len());
    // A comma or full stop that ends the number is punctuation.
    let typed = digits[..end].trim_end_matches(',');
    let typed = if typed.len() > 1 { typed.trim_end_matches('.') } else { typed };
    let mut rest = digits[typed.len()..].trim_start();
    let mut value = plain(typed).ok_or_else(|| unreadable(text, typed))?;
    if let Some((over, under, after)) = stroke(rest).filter(|_| !typed.contains(['.', ','])) {
        // "1/2" has the numerator already; "3 1/2" has a whole number before it.
        value = if over.is_empty() { value / under } else { value + plain(over).unwrap_or(0.0) / under };
        rest = after;
    }
    if !value.is_finite() {
        return Err(MeasureError::TooLarge { text: text.to_owned() });
    }
    Ok((Number { value: if negative { -value } else { value }, negative }, rest))
}

fn word(text: &str) -> Option<(f64, &str)> {
    WORDS.iter().find_map(|&(word, value)| {
        let rest = text.strip_prefix(word)?;
        (!rest.starts_with(|c: char| c.is_alphanumeric())).then(|| (value, rest.trim_start()))
    })
}

/// `/2` after a numerator, or `1/2` after a whole number: numerator (perhaps none), denominator and the rest.
fn stroke(rest: &str) -> Option<(&str, f64, &str)> {
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let over = &rest[..digits(rest)];
    let under = rest[over.len()..].strip_prefix('/')?;
    let (under, after) = under.split_at(digits(under));
    let whole: f64 = under.parse().ok().filter(|&whole| whole > 0.0)?;
    (over.len() <= 3 && under.len() <= 3).then_some((over, whole, after.trim_start()))
}

/// Digits with one point at most; commas only between groups of three.
fn plain(typed: &str) -> Option<f64> {
    let (whole, _) = typed.split_once('.').unwrap_or((typed, ""));
    if typed[whole.len()..].contains(',') {
        return None;
    }
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or("");
    let grouped = whole.contains(',');
    if grouped && (first.is_empty() || first.len() > 3 || first.starts_with('0') || groups.any(|g| g.len() != 3)) {
        return None;
    }
    let bare: String = typed.chars().filter(|&c| c != ',').collect();
    bare.parse().ok()
}

fn unreadable(text: &str, typed: &str) -> MeasureError {
    let (before, after) = typed.split_once(',').unwrap_or((typed, ""));
    let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    if typed.contains(',') && digits(before) && digits(after) {
        return MeasureError::DecimalComma { text: typed.to_owned(), meant: typed.replacen(',', ".", 1) };
    }
    if typed.contains(',') && digits(after) && before.contains('.') {
        // "1.800,5"
        return MeasureError::DecimalComma {
            text: typed.to_owned(),
            meant: format!("{}.{after}", before.replace('.', "")),
        };
    }
    MeasureError::NumberUnreadable { text: text.to_owned() }
}
