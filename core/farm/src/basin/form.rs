//! Walks a TOML table key by key, keeping every fault with its line instead of stopping at the first.

use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::Day;

use super::fault::{Asked, Fault, Wrong};
use super::unit::{Unit, measured};

/// One numeric key: its name, unit, and the least and greatest values that can be meant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Key {
    pub name: &'static str,
    pub unit: Unit,
    pub least: f64,
    pub greatest: f64,
}

/// A value of the file with its place.
pub(crate) type Value<'t> = Spanned<DeValue<'t>>;

/// A table of the file, how it is called in faults, and the line it begins on.
#[derive(Clone, Copy)]
pub(crate) struct Keys<'a, 't> {
    pub table: &'a DeTable<'t>,
    pub path: &'a str,
    pub line: usize,
}

/// The text being read and what was found wrong so far.
pub(crate) struct Form<'t> {
    text: &'t str,
    pub faults: Vec<Fault>,
}

impl<'t> Form<'t> {
    pub fn new(text: &'t str) -> Form<'t> {
        Form { text, faults: Vec::new() }
    }

    /// The whole file as a table; `None` when it is not well formed.
    pub fn parse(&mut self) -> Option<DeTable<'t>> {
        let (table, errors) = DeTable::parse_recoverable(self.text);
        for error in &errors {
            let line = error.span().map_or(1, |span| self.line_of(span.start));
            let remark = error.message().to_owned();
            self.faults.push(Fault { line, key: String::new(), what: Wrong::Malformed { remark } });
        }
        errors.is_empty().then(|| table.into_inner())
    }

    fn line_of(&self, at: usize) -> usize {
        let end = at.min(self.text.len());
        1 + self.text.as_bytes()[..end].iter().filter(|&&byte| byte == b'\n').count()
    }

    pub fn line(&self, value: &Value<'_>) -> usize {
        self.line_of(value.span().start)
    }

    pub fn fault(&mut self, line: usize, key: impl Into<String>, what: Wrong) {
        self.faults.push(Fault { line, key: key.into(), what });
    }

    /// Names every key that is not in `known`.
    pub fn refuse_unknown(&mut self, keys: Keys<'_, 't>, known: &[&str]) {
        for key in keys.table.keys() {
            let name: &str = key.get_ref();
            if !known.contains(&name) {
                let line = self.line_of(key.span().start);
                self.fault(line, keys.path_to(name), Wrong::UnknownKey { nearest: nearest(name, known) });
            }
        }
    }

    /// A number in the key's unit, in range; absent is `None` without a fault.
    pub fn number(&mut self, keys: Keys<'_, 't>, key: &Key) -> Option<f64> {
        let value = keys.table.get(key.name)?;
        self.number_of(value, &keys.path_to(key.name), key)
    }

    /// A number that must be there.
    pub fn needed(&mut self, keys: Keys<'_, 't>, key: &Key) -> Option<f64> {
        if !keys.table.contains_key(key.name) {
            self.missing(keys, key.name);
        }
        self.number(keys, key)
    }

    pub fn missing(&mut self, keys: Keys<'_, 't>, name: &str) {
        self.fault(keys.line, keys.path_to(name), Wrong::Missing);
    }

    /// One value read as a number of `key`.
    pub fn number_of(&mut self, value: &Value<'t>, path: &str, key: &Key) -> Option<f64> {
        let line = self.line(value);
        let number = match value.get_ref() {
            DeValue::String(text) => match measured(text, key.unit) {
                Ok(number) => number,
                Err(why) => {
                    let what = Wrong::NotMeasured { found: text.to_string(), unit: key.unit.name(), why };
                    self.fault(line, path, what);
                    return None;
                }
            },
            other => match plain_number(other) {
                Some(number) => number,
                None => {
                    self.kind(line, path, Asked::Number, other);
                    return None;
                }
            },
        };
        if number >= key.least && number <= key.greatest {
            return Some(number);
        }
        let unit = key.unit.name();
        self.fault(line, path, Wrong::Outside { value: number, least: key.least, greatest: key.greatest, unit });
        None
    }

    /// A text; absent is `None` without a fault.
    pub fn text(&mut self, keys: Keys<'_, 't>, name: &str) -> Option<(String, usize)> {
        let value = keys.table.get(name)?;
        let line = self.line(value);
        match value.get_ref() {
            DeValue::String(text) => Some((text.to_string(), line)),
            other => {
                self.kind(line, &keys.path_to(name), Asked::Text, other);
                None
            }
        }
    }

    /// A date, bare or as text.
    pub fn date(&mut self, keys: Keys<'_, 't>, name: &str) -> Option<(Day, usize)> {
        let Some(value) = keys.table.get(name) else {
            self.missing(keys, name);
            return None;
        };
        let line = self.line(value);
        let day = match value.get_ref() {
            DeValue::String(text) => Day::parse(text),
            DeValue::Datetime(stamp) => stamp.date.as_ref().and_then(|date| Day::parse(&date.to_string())),
            _ => None,
        };
        if day.is_none() {
            self.kind(line, &keys.path_to(name), Asked::Date, value.get_ref());
        }
        day.map(|day| (day, line))
    }

    /// The rows of a list.
    pub fn list<'a>(&mut self, keys: Keys<'a, 't>, name: &str) -> Option<&'a [Value<'t>]> {
        let value = keys.table.get(name)?;
        match value.get_ref() {
            DeValue::Array(rows) => Some(rows),
            other => {
                let line = self.line(value);
                self.kind(line, &keys.path_to(name), Asked::List, other);
                None
            }
        }
    }

    /// Pairs of numbers with the line of each; `None` when absent or when any pair is at fault.
    pub fn pairs(&mut self, keys: Keys<'_, 't>, name: &str, of: [&Key; 2]) -> Option<Vec<(f64, f64, usize)>> {
        let rows = self.list(keys, name)?;
        let mut pairs = Vec::with_capacity(rows.len());
        let mut whole = true;
        for (index, row) in rows.iter().enumerate() {
            let path = format!("{}[{}]", keys.path_to(name), index + 1);
            let line = self.line(row);
            match row.get_ref() {
                DeValue::Array(pair) if pair.len() == 2 => {
                    let first = self.number_of(&pair[0], &path, of[0]);
                    let second = self.number_of(&pair[1], &path, of[1]);
                    match (first, second) {
                        (Some(first), Some(second)) => pairs.push((first, second, line)),
                        _ => whole = false,
                    }
                }
                other => {
                    self.kind(line, &path, Asked::Pairs, other);
                    whole = false;
                }
            }
        }
        whole.then_some(pairs)
    }

    pub fn kind(&mut self, line: usize, path: &str, asked: Asked, found: &DeValue<'_>) {
        self.fault(line, path, Wrong::Kind { asked, found: shown(found) });
    }
}

impl Keys<'_, '_> {
    pub fn path_to(&self, name: &str) -> String {
        if self.path.is_empty() { name.to_owned() } else { format!("{}.{name}", self.path) }
    }
}

/// Integers and finite floats, underscores allowed as the format does.
fn plain_number(value: &DeValue<'_>) -> Option<f64> {
    let number = match value {
        DeValue::Integer(whole) if whole.radix() == 10 => whole.as_str().replace('_', "").parse().ok()?,
        DeValue::Float(real) => real.as_str().replace('_', "").parse::<f64>().ok()?,
        _ => return None,
    };
    f64::is_finite(number).then_some(number)
}

/// A value as a person would recognise it, cut short.
fn shown(value: &DeValue<'_>) -> String {
    let text = match value {
        DeValue::String(text) => text.to_string(),
        DeValue::Integer(whole) => whole.to_string(),
        DeValue::Float(real) => real.to_string(),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(stamp) => stamp.to_string(),
        DeValue::Array(_) => "[...]".to_owned(),
        DeValue::Table(_) => "{...}".to_owned(),
    };
    if text.chars().count() > 40 { text.chars().take(40).chain("...".chars()).collect() } else { text }
}

/// The known word nearest to what was typed, when at most a third of it (and at least two letters) must change.
fn nearest(typed: &str, known: &[&str]) -> Option<String> {
    let allowed = (typed.chars().count() / 3).clamp(2, 6);
    // A word much longer than any key cannot be near one, and comparing it would take long.
    let within = known.iter().filter(|word| word.len().abs_diff(typed.len()) <= allowed);
    within
        .map(|word| (units::letters_apart(typed, word), *word))
        .filter(|&(count, _)| count <= allowed)
        .min_by_key(|&(count, _)| count)
        .map(|(_, word)| word.to_owned())
}
