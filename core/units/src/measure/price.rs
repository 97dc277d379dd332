//! Prices: `$12/lb`, `60 BRL/kg`, `90 cents each`.

use super::{Kind, MeasureError, normal, number, table};

/// An amount of money per one of something.
#[derive(Debug, Clone, PartialEq)]
pub struct Priced {
    /// Whole units of the currency (dollars, not cents) per unit of the kind asked for.
    pub amount: f64,
    /// The currency's three letters, when they were written or its sign means just one.
    pub currency: Option<&'static str>,
    /// A sign that several currencies share (`$`).
    pub sign: Option<&'static str>,
}

/// Signs and words; three letters where the sign means one currency, and what one of it is in whole units.
const SIGNS: [(&str, Option<&str>, f64); 16] = [
    ("r$", Some("BRL"), 1.0),
    ("us$", Some("USD"), 1.0),
    ("a$", Some("AUD"), 1.0),
    ("c$", Some("CAD"), 1.0),
    ("dollars", None, 1.0),
    ("dollar", None, 1.0),
    ("cents", None, 0.01),
    ("cent", None, 0.01),
    ("¢", None, 0.01),
    ("$", None, 1.0),
    ("€", Some("EUR"), 1.0),
    ("£", Some("GBP"), 1.0),
    ("¥", None, 1.0),
    ("₹", Some("INR"), 1.0),
    ("฿", Some("THB"), 1.0),
    ("৳", Some("BDT"), 1.0),
];

/// Codes that may be written out.
const CODES: [&str; 28] = [
    "USD", "BRL", "EUR", "GBP", "CAD", "AUD", "NZD", "MXN", "ARS", "UYU", "PYG", "CLP", "COP", "PEN", "BOB", "INR",
    "BDT", "THB", "VND", "IDR", "MYR", "PHP", "TWD", "CNY", "JPY", "ZAR", "ILS", "CHF",
];

/// Reads a price per unit of `per` (per piece for [`Kind::Count`]).
///
/// # Errors
/// Says what cannot be read; a price without `per` what is [`MeasureError::NoUnit`].
pub fn read_price(text: &str, per: Kind) -> Result<Priced, MeasureError> {
    let plain = normal(text);
    if plain.is_empty() {
        return Err(MeasureError::Empty);
    }
    let (before, rest) = sign(&plain);
    let (number, rest) = number::take(rest)?;
    let (after, rest) = sign(rest);
    let coin = match (before, after) {
        (Some(_), Some(_)) => return Err(MeasureError::Currency { text: text.trim().to_owned() }),
        (one, other) => one.or(other),
    };
    let (shared, currency, size) = coin.unwrap_or((None, None, 1.0));
    let (of_one, rest) = under(rest, per)?;
    if !rest.is_empty() {
        return Err(MeasureError::LeftOver { text: rest.to_owned() });
    }
    Ok(Priced { amount: number.value * size / of_one, currency, sign: shared })
}

type Sign = (Option<&'static str>, Option<&'static str>, f64);

/// A currency at the start of the text.
fn sign(text: &str) -> (Option<Sign>, &str) {
    let text = text.trim_start();
    for (sign, code, size) in SIGNS {
        if let Some(rest) = text.strip_prefix(sign) {
            return (Some((code.is_none().then_some(sign), code, size)), rest.trim_start());
        }
    }
    for code in CODES {
        let word = text.get(..3).filter(|word| word.eq_ignore_ascii_case(code));
        if let Some(rest) = word.map(|_| &text[3..]).filter(|rest| !rest.starts_with(char::is_alphabetic)) {
            return (Some((None, Some(code), 1.0)), rest.trim_start());
        }
    }
    (None, text)
}

/// How much of the kind's own unit one price is for.
fn under(rest: &str, per: Kind) -> Result<(f64, &str), MeasureError> {
    if per == Kind::Count
        && let Some(after) = ["each", "apiece", "a piece"].iter().find_map(|word| rest.strip_prefix(word))
    {
        return Ok((1.0, after.trim_start()));
    }
    let Some(below) = super::stroke(rest) else {
        return Err(if rest.is_empty() { MeasureError::NoUnit { kind: per } } else { super::no_unit_here(rest, per) });
    };
    if per == Kind::Count
        && let Some(after) = below.strip_prefix("each")
    {
        return Ok((1.0, after.trim_start()));
    }
    match table::take(below, per) {
        Some((unit, after)) => Ok((unit.factor, after)),
        None => Err(super::no_unit_here(below, per)),
    }
}
