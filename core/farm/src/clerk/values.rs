//! Quantities, prices, words, yes and no.

use units::measure::{self, Kind, MeasureError, Priced};
use units::{Currency, letters_apart};

use super::{Clerk, Desk, Field, ends};
use crate::farm::DoubtKind;
use crate::inputs::Takes;
use crate::reasons::{Shape, Wrong};
use crate::typed::ValueTyped;

/// Currencies that write the sign `$`.
const DOLLARS: [&str; 10] = ["USD", "CAD", "AUD", "NZD", "MXN", "ARS", "UYU", "CLP", "COP", "TWD"];

impl Clerk {
    /// Text in quotes, not empty.
    pub fn text(&mut self, desk: &Desk<'_>, key: &str) -> Option<String> {
        let field = self.field(desk, key)?;
        match field.value {
            ValueTyped::Text(text) if !text.trim().is_empty() => Some(text.trim().to_owned()),
            ValueTyped::Text(_) => {
                self.refuse_field(&field, Wrong::Measure(MeasureError::Empty));
                None
            }
            _ => {
                self.refuse_field(&field, Wrong::Shape { wants: Shape::Text });
                None
            }
        }
    }

    /// A quantity in its kind's unit, from what was typed or the default; `None` when it was left out and nothing stands in,
    /// or when it cannot be read (the reason is then noted).
    pub fn quantity(&mut self, desk: &Desk<'_>, key: &str) -> Option<f64> {
        let Some(field) = self.field(desk, key) else {
            let text = self.default_of(desk, key)?;
            return Some(in_table(&desk.key(key), text));
        };
        let value = self.quantity_in(&field)?;
        self.judge(&field, value).then_some(value)
    }

    /// As [`Clerk::quantity`], with not-a-number for `None`.
    pub fn number(&mut self, desk: &Desk<'_>, key: &str) -> f64 {
        self.quantity(desk, key).unwrap_or(f64::NAN)
    }

    fn quantity_in(&mut self, field: &Field<'_>) -> Option<f64> {
        let (kind, bare) = kind_of(field);
        let (ValueTyped::Text(text) | ValueTyped::Number(text)) = field.value else {
            self.refuse_field(field, Wrong::Shape { wants: Shape::Number });
            return None;
        };
        // TOML writes 24_000 and 1e3 too.
        let plain = if matches!(field.value, ValueTyped::Number(_)) { spelled(text) } else { text.clone() };
        match measure::read(&plain, kind, bare) {
            Ok(value) => Some(value),
            Err(error) => {
                self.refuse_field(field, Wrong::Measure(error));
                None
            }
        }
    }

    /// Whether the value is in the table's range; what is only unusual is noted as a doubt.
    fn judge(&mut self, field: &Field<'_>, value: f64) -> bool {
        let (kind, _) = kind_of(field);
        if let Some(range) = field.input.range {
            let (least, greatest) = ends(range, kind);
            let slack = 1e-9 * greatest.abs();
            if !(least - slack <= value && value <= greatest + slack) {
                self.refuse_field(field, Wrong::Outside { least: range.0, greatest: range.1 });
                return false;
            }
        }
        if let Some(usual) = field.input.usual {
            let (least, greatest) = ends(usual, kind);
            if value < least - 1e-9 || value > greatest + 1e-9 {
                self.unusual(field, usual);
            }
        }
        true
    }

    pub(super) fn unusual(&mut self, field: &Field<'_>, usual: (&str, &str)) {
        self.doubts.push(crate::farm::Doubt {
            line: field.line,
            key: field.input.key,
            of: field.of.clone(),
            typed: field.value.shown(),
            what: DoubtKind::Unusual { from: usual.0.to_owned(), to: usual.1.to_owned() },
        });
    }

    /// A whole number that is not negative; 0 when it cannot be read.
    pub fn whole(&mut self, desk: &Desk<'_>, key: &str) -> u32 {
        let typed = desk.has(key);
        let Some(value) = self.quantity(desk, key) else { return 0 };
        if value < 0.0 || value.fract() != 0.0 || value > f64::from(u32::MAX) {
            debug_assert!(typed, "defaults are whole");
            self.refuse(desk, key, Wrong::NotWhole);
            return 0;
        }
        value as u32
    }

    /// Hours as whole days, rounded up.
    pub fn whole_days(&mut self, desk: &Desk<'_>, key: &str) -> u32 {
        self.quantity(desk, key).map_or(0, |hours| (hours / 24.0).ceil().clamp(0.0, 1e6) as u32)
    }

    /// `true`, `false`, yes or no.
    pub fn yes_no(&mut self, desk: &Desk<'_>, key: &str) -> bool {
        let Some(field) = self.field(desk, key) else { return self.default_of(desk, key) == Some("true") };
        match field.value {
            ValueTyped::YesNo(yes) => *yes,
            ValueTyped::Text(text) if text.trim().eq_ignore_ascii_case("yes") => true,
            ValueTyped::Text(text) if text.trim().eq_ignore_ascii_case("no") => false,
            _ => {
                self.refuse_field(&field, Wrong::Shape { wants: Shape::YesNo });
                false
            }
        }
    }

    /// One of the table's words, as its place in the list.
    pub fn word(&mut self, desk: &Desk<'_>, key: &str) -> Option<usize> {
        let Some(field) = self.field(desk, key) else {
            let text = self.default_of(desk, key)?;
            let words = words_of(&desk.key(key));
            return words.iter().position(|&word| word == text);
        };
        let (Takes::Words(words) | Takes::WordsOrShare(words)) = field.input.takes else { return None };
        let ValueTyped::Text(text) = field.value else {
            self.refuse_field(&field, Wrong::Shape { wants: Shape::Text });
            return None;
        };
        let plain = text.trim().to_lowercase();
        let found = words.iter().position(|&word| word == plain);
        if found.is_none() {
            let near = words.iter().map(|&word| (letters_apart(word, &plain), word)).min();
            let nearest = near.filter(|&(apart, _)| apart <= 2).map(|(_, word)| word);
            self.refuse_field(&field, Wrong::NotOneOf { words, nearest });
        }
        found
    }

    /// A share that may also be said in words, each word standing for its place in the list over the last.
    pub fn word_or_share(&mut self, desk: &Desk<'_>, key: &str) -> Option<f64> {
        let words = words_of(&desk.key(key));
        if let Some(field) = self.field(desk, key) {
            let as_word = matches!(field.value, ValueTyped::Text(text)
                if text.trim().starts_with(char::is_alphabetic) && !text.trim().eq_ignore_ascii_case("half"));
            if !as_word {
                return self.quantity(desk, key);
            }
        }
        self.word(desk, key).map(|place| place as f64 / (words.len() - 1).max(1) as f64)
    }

    /// A list of names, as their places among `known`; capital letters do not matter.
    pub fn names(&mut self, desk: &Desk<'_>, key: &str, known: &[&str]) -> Vec<usize> {
        let Some(field) = self.field(desk, key) else { return Vec::new() };
        let one = [(field.line, field.value.clone())];
        let values = if let ValueTyped::List(values) = field.value { values.as_slice() } else { one.as_slice() };
        let mut found: Vec<usize> = Vec::new();
        for (line, value) in values {
            let place = match value {
                ValueTyped::Text(text) => {
                    known.iter().position(|name| name.to_lowercase() == text.trim().to_lowercase())
                }
                _ => None,
            };
            match place {
                Some(place) if found.contains(&place) => {}
                Some(place) => found.push(place),
                None => {
                    let row = Field { value, line: *line, of: field.of.clone(), input: field.input };
                    let names = known.iter().map(|&name| name.to_owned()).collect();
                    self.refuse_field(&row, Wrong::UnknownPump { names });
                }
            }
        }
        found
    }

    /// The farm's currency.
    pub fn currency(&mut self, desk: &Desk<'_>, key: &str) -> Option<Currency> {
        let text = self.text(desk, key)?;
        let currency = Currency::parse(&text);
        if currency.is_none() {
            self.refuse(desk, key, Wrong::UnknownCurrency);
        }
        currency
    }

    /// Coins per unit of the kind the table asks for.
    pub fn coins(&mut self, desk: &Desk<'_>, key: &str) -> Option<f64> {
        let Some(field) = self.field(desk, key) else {
            let Takes::Price(per) = crate::inputs::input(&desk.key(key)).takes else { return None };
            let text = self.default_of(desk, key)?;
            let price = measure::read_price(text, per).expect("a test reads every default of the table");
            return Some(price.amount * self.coins_per_unit());
        };
        let Takes::Price(per) = field.input.takes else { return None };
        self.coins_in(&field, per, field.input.usual)
    }

    /// Coins per unit of `per` for a price that is not known: the table's, which is in US dollars, noted as assumed; elsewhere it
    /// is missing.
    pub fn coins_guessed(&mut self, desk: &Desk<'_>, key: &str, per: Kind) -> Option<f64> {
        let guess = crate::inputs::input(&desk.key(key)).guess?.0;
        if self.currency.is_some_and(|currency| currency.code() != "USD") {
            self.refuse(desk, key, Wrong::Missing);
            return None;
        }
        self.assume(desk, key, guess);
        let price = measure::read_price(guess, per).expect("a test reads every guess of the table");
        Some(price.amount * self.coins_per_unit())
    }

    /// Coins per unit of `per` from a value.
    pub fn coins_in(
        &mut self,
        field: &Field<'_>,
        per: Kind,
        usual: Option<(&'static str, &'static str)>,
    ) -> Option<f64> {
        let (ValueTyped::Text(text) | ValueTyped::Number(text)) = field.value else {
            self.refuse_field(field, Wrong::Shape { wants: Shape::Number });
            return None;
        };
        let price = match measure::read_price(text, per) {
            Ok(price) => price,
            Err(error) => {
                self.refuse_field(field, Wrong::Measure(error));
                return None;
            }
        };
        let currency = self.currency?;
        if !agrees(&price, &currency) {
            self.refuse_field(field, Wrong::OtherCurrency { farm: currency.code().to_owned() });
            return None;
        }
        if price.amount < 0.0 {
            self.refuse_field(field, Wrong::Negative);
            return None;
        }
        if let Some(usual) = usual.filter(|_| currency.code() == "USD") {
            let end = |text| measure::read_price(text, per).expect("a test reads every range of the table").amount;
            if price.amount < end(usual.0) - 1e-9 || price.amount > end(usual.1) + 1e-9 {
                self.unusual(field, usual);
            }
        }
        Some(price.amount * self.coins_per_unit())
    }

    fn coins_per_unit(&self) -> f64 {
        self.currency.map_or(f64::NAN, |currency| currency.coins_per_unit() as f64)
    }
}

/// Whether a price's sign or letters can mean the farm's currency.
pub(crate) fn agrees(price: &Priced, farm: &Currency) -> bool {
    if let Some(code) = price.currency {
        return code == farm.code();
    }
    match price.sign {
        Some("$" | "dollar" | "dollars") => DOLLARS.contains(&farm.code()),
        Some("¥") => ["JPY", "CNY"].contains(&farm.code()),
        Some("cent" | "cents" | "¢") => farm.coins_per_unit() == 100,
        _ => true,
    }
}

/// What an input measures; whole numbers count.
fn kind_of(field: &Field<'_>) -> (Kind, Option<&'static str>) {
    match field.input.takes {
        Takes::Quantity(kind, bare) => (kind, bare),
        Takes::WordsOrShare(_) | Takes::Number => (Kind::Share, None),
        _ => (Kind::Count, None),
    }
}

fn words_of(key: &str) -> &'static [&'static str] {
    match crate::inputs::input(key).takes {
        Takes::Words(words) | Takes::WordsOrShare(words) => words,
        _ => &[],
    }
}

/// A default of the table in its kind's unit.
fn in_table(key: &str, text: &str) -> f64 {
    let kind = match crate::inputs::input(key).takes {
        Takes::Quantity(kind, _) => kind,
        Takes::Number => Kind::Share,
        _ => Kind::Count,
    };
    measure::read(text, kind, None).expect("a test reads every default of the table")
}

/// A TOML number in plain digits.
fn spelled(text: &str) -> String {
    let bare = text.replace('_', "");
    if bare.contains(['e', 'E']) { bare.parse::<f64>().map_or(bare, |value| value.to_string()) } else { bare }
}
