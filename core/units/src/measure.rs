//! Reads a quantity the way people type it: `3 ft 6 in`, `64F`, `0.45 ac`, `265 gpm`, `2 nights`, `$12/lb`.
//!
//! One table of unit names ([`units_of`]) serves reading, writing and the words of the manual. A comma may part thousands
//! (`1,800`); a comma that can only be a decimal one is refused, never guessed. How days and nights are counted is said at
//! [`Kind::Duration`].

mod number;
mod price;
mod spoken;
mod table;

#[cfg(test)]
mod tests;

pub use price::{Priced, read_price};
pub use table::{Unit, units_of};

use number::Number;
use spoken::{angle, duration, share};
use table::{find, find_any, nearest};

/// What is measured, and the unit in which it is handed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Metres.
    Length,
    /// Square metres.
    Area,
    /// Cubic metres.
    Volume,
    /// Degrees Celsius.
    Temperature,
    /// Kilograms.
    Mass,
    /// Hours. A day is 24 h and a night 12 h; nights alone run from the first evening to the last morning (two nights are
    /// 36 h); `a day and a night` is 24 h, as the saying goes.
    Duration,
    /// Metres per second.
    Speed,
    /// Cubic metres per hour.
    Flow,
    /// Pieces.
    Count,
    /// Pieces per square metre.
    Density,
    /// Pieces per kilogram.
    PiecesPerMass,
    /// Kilograms per hour.
    MassRate,
    /// Kilograms per cubic metre.
    MassPerVolume,
    /// Kilograms per square metre.
    MassPerArea,
    /// Kilowatts.
    Power,
    /// Kilowatt-hours.
    Energy,
    /// A part of one: 0.5 for `50 %`, `half`, `1/2` or `1 in 2`.
    Share,
    /// Degrees of latitude, north positive.
    Latitude,
    /// Degrees of longitude, east positive.
    Longitude,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 19] = [
        Kind::Length,
        Kind::Area,
        Kind::Volume,
        Kind::Temperature,
        Kind::Mass,
        Kind::Duration,
        Kind::Speed,
        Kind::Flow,
        Kind::Count,
        Kind::Density,
        Kind::PiecesPerMass,
        Kind::MassRate,
        Kind::MassPerVolume,
        Kind::MassPerArea,
        Kind::Power,
        Kind::Energy,
        Kind::Share,
        Kind::Latitude,
        Kind::Longitude,
    ];

    /// What stands above and below the stroke, and the factor from their own units to this kind's.
    fn fraction(self) -> Option<(Kind, Kind, f64)> {
        match self {
            Kind::Speed => Some((Kind::Length, Kind::Duration, 1.0 / 3600.0)),
            Kind::Flow => Some((Kind::Volume, Kind::Duration, 1.0)),
            Kind::Density => Some((Kind::Count, Kind::Area, 1.0)),
            Kind::PiecesPerMass => Some((Kind::Count, Kind::Mass, 1.0)),
            Kind::MassRate => Some((Kind::Mass, Kind::Duration, 1.0)),
            Kind::MassPerVolume => Some((Kind::Mass, Kind::Volume, 1.0)),
            Kind::MassPerArea => Some((Kind::Mass, Kind::Area, 1.0)),
            _ => None,
        }
    }

    /// Whether a number alone says all.
    fn needs_no_unit(self) -> bool {
        matches!(self, Kind::Count | Kind::Share | Kind::Latitude | Kind::Longitude)
    }
}

/// Why a quantity could not be read. The words for a person are made elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub enum MeasureError {
    /// Nothing was typed.
    Empty,
    /// No number where one was expected.
    NumberUnreadable {
        /// What stands there.
        text: String,
    },
    /// A comma that can only be a decimal one.
    DecimalComma {
        /// What stands there.
        text: String,
        /// The same number with a point.
        meant: String,
    },
    /// The number is beyond all use.
    TooLarge {
        /// What stands there.
        text: String,
    },
    /// A number without a unit, where several units are in use.
    NoUnit {
        /// What is measured.
        kind: Kind,
    },
    /// No such unit.
    UnknownUnit {
        /// What stands there.
        unit: String,
        /// What is measured.
        kind: Kind,
        /// A unit of this kind written much like it.
        nearest: Option<&'static str>,
    },
    /// A unit of something else.
    OtherKind {
        /// What stands there.
        unit: String,
        /// What that unit measures.
        is: Kind,
        /// What was wanted.
        wanted: Kind,
    },
    /// Something was left that makes no sense where it stands.
    LeftOver {
        /// What stands there.
        text: String,
    },
    /// `6 in 3 ft`: the larger unit comes first.
    OutOfOrder {
        /// The unit that should come first.
        unit: &'static str,
    },
    /// A price without its currency's or another one's sign where it cannot stand, or two of them.
    Currency {
        /// What stands there.
        text: String,
    },
}

/// Reads a quantity of one kind into the unit of [`Kind`]. `bare` is the unit that a number alone is taken to have.
///
/// # Errors
/// Says what cannot be read; see [`MeasureError`].
pub fn read(text: &str, kind: Kind, bare: Option<&str>) -> Result<f64, MeasureError> {
    let plain = normal(text);
    let text = plain.as_str();
    if text.is_empty() {
        return Err(MeasureError::Empty);
    }
    let (value, rest) = quantity(text, kind, bare)?;
    if !rest.is_empty() {
        return Err(MeasureError::LeftOver { text: rest.to_owned() });
    }
    if value.is_finite() && value.abs() < 1e15 {
        Ok(value)
    } else {
        Err(MeasureError::TooLarge { text: text.to_owned() })
    }
}

/// Writes a value of [`Kind`]'s unit in the unit named, so that [`read`] gives it back; `None` when the kind has no such unit.
pub fn write(value: f64, kind: Kind, unit: &str) -> Option<String> {
    if let Some(unit) = find(unit, kind) {
        // Nights alone lack the day after the last of them: n nights are 24 n - 12 hours.
        let nights = unit.shown == "night" && value > 12.0;
        let number = if nights { (value + 12.0) / 24.0 } else { (value - unit.offset) / unit.factor };
        return Some(format!("{} {}", trimmed(number), unit.shown));
    }
    let (above, below, scale) = kind.fraction()?;
    let (top, bottom) = unit.split_once('/')?;
    let (top, bottom) = (table::find_or_pieces(top, above)?, find(bottom, below)?);
    let number = trimmed(value / scale / top.factor * bottom.factor);
    let gap = if top.shown.is_empty() { "" } else { " " };
    Some(format!("{number}{gap}{}/{}", top.shown, bottom.shown))
}

/// Twelve significant digits: enough to come back, without the dust of conversion.
fn trimmed(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

/// Small letters, one kind of quote, minus and space, figures for raised ones: so that the table need list each name once.
fn normal(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.trim().chars() {
        match letter {
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '^' => {}
            '−' | '–' => plain.push('-'),
            '’' | '′' | '‘' => plain.push('\''),
            '”' | '″' | '“' => plain.push('"'),
            'º' | '˚' => plain.push('°'),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            space if space.is_whitespace() => plain.push(' '),
            other => plain.extend(other.to_lowercase()),
        }
    }
    plain.trim().to_owned()
}

/// One quantity at the start of the text, and what follows it.
fn quantity<'t>(text: &'t str, kind: Kind, bare: Option<&str>) -> Result<(f64, &'t str), MeasureError> {
    match kind {
        Kind::Share => share(text),
        Kind::Latitude | Kind::Longitude => angle(text, kind),
        Kind::Duration => duration(text, bare),
        _ => match kind.fraction() {
            Some(fraction) => rate(text, kind, fraction, bare),
            None => parts(text, kind, bare),
        },
    }
}

/// `3 ft 6 in`, `3'6"`, `2 lb 4 oz`: number and unit, again with ever smaller units.
fn parts<'t>(text: &'t str, kind: Kind, bare: Option<&str>) -> Result<(f64, &'t str), MeasureError> {
    let (first, mut rest) = number::take(text)?;
    let Some((unit, after)) = table::take(rest, kind) else {
        return alone(first, rest, kind, bare);
    };
    let mut total = first.value * unit.factor + unit.offset;
    let mut last = unit;
    rest = after;
    while let Some(next) = another(rest) {
        let (number, after_number) = number::take(next)?;
        let (unit, after_unit) = match table::take(after_number, kind) {
            Some(found) => found,
            None if after_number.is_empty() && last.names[0] == "ft" => (find("in", kind).unwrap_or(last), ""),
            None => return Err(no_unit_here(after_number, kind)),
        };
        if unit.factor >= last.factor || unit.offset != 0.0 {
            return Err(MeasureError::OutOfOrder { unit: unit.shown });
        }
        total += number.value * unit.factor * if first.negative { -1.0 } else { 1.0 };
        (last, rest) = (unit, after_unit);
    }
    Ok((total, rest))
}

/// What follows, when it begins with another number (perhaps after `and` or a comma).
fn another(rest: &str) -> Option<&str> {
    let rest = rest.trim_start();
    let next = rest.strip_prefix("and ").or_else(|| rest.strip_prefix(", ")).unwrap_or(rest).trim_start();
    next.starts_with(|c: char| c.is_ascii_digit() || c == '.').then_some(next)
}

/// A number without a unit of this kind: taken when the field has its own, else the reason.
fn alone<'t>(number: Number, rest: &'t str, kind: Kind, bare: Option<&str>) -> Result<(f64, &'t str), MeasureError> {
    if !rest.is_empty() && !rest.starts_with(['/', ',']) {
        return Err(no_unit_here(rest, kind));
    }
    if kind.needs_no_unit() {
        return Ok((number.value, rest));
    }
    match bare.and_then(|unit| find(unit, kind)) {
        Some(unit) => Ok((number.value * unit.factor + unit.offset, rest)),
        None => Err(MeasureError::NoUnit { kind }),
    }
}

/// Why there is no unit of this kind at the start of the text.
fn no_unit_here(text: &str, kind: Kind) -> MeasureError {
    if text.is_empty() {
        return MeasureError::NoUnit { kind };
    }
    if let Some((unit, is)) = find_any(text) {
        return MeasureError::OtherKind { unit: unit.to_owned(), is, wanted: kind };
    }
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return MeasureError::LeftOver { text: text.to_owned() };
    }
    let unit = text.split([' ', '/']).find(|word| !word.is_empty()).unwrap_or(text).to_owned();
    let nearest = nearest(&unit, kind);
    MeasureError::UnknownUnit { unit, kind, nearest }
}

/// `60 m3/h`, `24000 per acre`, `12 lb a day`; or one word for it all, like `gpm`.
fn rate<'t>(
    text: &'t str,
    kind: Kind,
    (above, below, scale): (Kind, Kind, f64),
    bare: Option<&str>,
) -> Result<(f64, &'t str), MeasureError> {
    let (number, rest) = number::take(text)?;
    if let Some((unit, after)) = table::take(rest, kind) {
        return Ok((number.value * unit.factor, after));
    }
    if rest.is_empty() {
        return match bare {
            Some(unit) => read(&format!("{} {unit}", number.value), kind, None).map(|value| (value, "")),
            None => Err(MeasureError::NoUnit { kind }),
        };
    }
    let (top, after_top) = match table::take(rest, above) {
        Some((unit, after)) => (number.value * unit.factor, after),
        None if above == Kind::Count => (number.value, rest),
        None => return Err(no_unit_here(rest, kind)),
    };
    let Some(under) = stroke(after_top) else {
        return Err(if after_top.is_empty() { MeasureError::NoUnit { kind } } else { no_unit_here(after_top, kind) });
    };
    let Some((bottom, after)) = table::take(under, below) else {
        return Err(no_unit_here(under, below));
    };
    Ok((top / bottom.factor * scale, after))
}

/// What follows `/`, `per`, `a` or `an`.
fn stroke(text: &str) -> Option<&str> {
    ["/", "per ", "an ", "a "].iter().find_map(|sign| text.strip_prefix(sign)).map(str::trim_start)
}
