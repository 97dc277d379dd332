//! Odds, places on the map and spans of days and nights: quantities with a grammar of their own.

use super::table::{self, Unit};
use super::{Kind, MeasureError, alone, no_unit_here, number, parts};

/// `50 %`, `half`, `1/10`, `1 in 10`, `0.5`.
pub(super) fn share(text: &str) -> Result<(f64, &str), MeasureError> {
    let (number, rest) = number::take(text)?;
    if let Some((unit, after)) = table::take(rest, Kind::Share) {
        return Ok((number.value * unit.factor, after));
    }
    if let Some(whole) = rest.strip_prefix("in ").or_else(|| rest.strip_prefix("of ")) {
        let (whole, after) = number::take(whole)?;
        return Ok((number.value / whole.value, after));
    }
    alone(number, rest, Kind::Share, None)
}

/// `34.7 N`, `34° 42' N`, `-82.8`.
pub(super) fn angle(text: &str, kind: Kind) -> Result<(f64, &str), MeasureError> {
    let (plus, minus) = if kind == Kind::Latitude { ('n', 's') } else { ('e', 'w') };
    let (lead, text) = match text.strip_prefix([plus, minus]) {
        Some(after) if !after.starts_with(|c: char| c.is_alphabetic()) => (text.chars().next(), after.trim_start()),
        _ => (None, text),
    };
    let (degrees, rest) = number::take(text)?;
    let (size, mut rest) = match table::take(rest, kind) {
        Some(_) => parts(text, kind, None)?,
        None => (degrees.value, rest),
    };
    let side = lead.or_else(|| rest.chars().next().filter(|side| [plus, minus].contains(side)));
    if lead.is_none() && side.is_some() {
        rest = ["north", "south", "east", "west"].iter().find_map(|w| rest.strip_prefix(w)).unwrap_or(&rest[1..]);
    }
    if side.is_some() && degrees.negative {
        return Err(MeasureError::LeftOver { text: text.to_owned() });
    }
    Ok((if side == Some(minus) { -size } else { size }, rest.trim_start()))
}

/// Hours of `36 h`, `2 nights`, `a day and a night`, `two days and a half`.
pub(super) fn duration<'t>(text: &'t str, bare: Option<&str>) -> Result<(f64, &'t str), MeasureError> {
    let (mut hours, mut days, mut nights) = (0.0, 0.0, 0.0);
    let (mut rest, mut last): (&str, Option<&Unit>) = (text, None);
    loop {
        let (number, after) = number::take(rest)?;
        let Some((unit, after_unit)) = table::take(after, Kind::Duration) else {
            match last {
                // "two days and a half"
                Some(unit) if number.value < 1.0 && after.is_empty() => {
                    (hours, rest) = (hours + number.value * unit.factor, "");
                    break;
                }
                Some(_) => return Err(no_unit_here(after, Kind::Duration)),
                None => return alone(number, after, Kind::Duration, bare),
            }
        };
        match unit.names[0] {
            "night" => nights += number.value,
            "day" => days += number.value,
            _ => hours += number.value * unit.factor,
        }
        if last.is_some_and(|last| unit.factor >= last.factor) {
            return Err(MeasureError::OutOfOrder { unit: unit.shown });
        }
        (rest, last) = (after_unit, Some(unit));
        let next = rest.strip_prefix("and ").or_else(|| rest.strip_prefix(", ")).unwrap_or(rest).trim_start();
        if next.is_empty() || number::take(next).is_err() {
            break;
        }
        rest = next;
    }
    let told = match (days, nights) {
        (0.0, nights) if nights >= 1.0 && hours == 0.0 => 24.0 * nights - 12.0,
        (1.0, 1.0) => 24.0,
        (days, nights) => 24.0 * days + 12.0 * nights,
    };
    Ok((hours + told, rest))
}
