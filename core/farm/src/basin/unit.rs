//! The units of a basin file's keys, and text with a unit ("6 ft 6 in", "62 F") turned into them.

/// The unit a key's number is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unit {
    Degree,
    Metre,
    SquareMetre,
    PerMetre,
    Celsius,
    CelsiusSpan,
    CubicMetrePerHour,
    MillimetrePerDay,
    Fraction,
    Ratio,
    RunPerRise,
}

const FEET: f64 = 0.3048;
/// US liquid gallon, 231 cubic inches exactly, in cubic metres.
const GALLON: f64 = 0.003_785_411_784;

impl Unit {
    /// The unit's key, as faults carry it.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Degree => "deg",
            Unit::Metre => "m",
            Unit::SquareMetre => "m2",
            Unit::PerMetre => "per m",
            Unit::Celsius => "C",
            Unit::CelsiusSpan => "C of difference",
            Unit::CubicMetrePerHour => "m3/h",
            Unit::MillimetrePerDay => "mm/d",
            Unit::Fraction => "0 to 1",
            Unit::Ratio => "times",
            Unit::RunPerRise => "run per rise",
        }
    }

    /// What one of a written unit is in this unit; temperatures are linear, not just scaled.
    fn factor(self, written: &str) -> Option<f64> {
        let lower = written.to_lowercase();
        let is = |names: &[&str]| names.contains(&lower.as_str());
        Some(match self {
            Unit::Metre if is(&["m", "metre", "metres", "meter", "meters"]) => 1.0,
            Unit::Metre if is(&["cm"]) => 0.01,
            Unit::Metre if is(&["mm"]) => 0.001,
            Unit::Metre if is(&["ft", "foot", "feet", "'"]) => FEET,
            Unit::Metre if is(&["in", "inch", "inches", "\"", "''"]) => FEET / 12.0,
            Unit::Metre if is(&["yd", "yard", "yards"]) => 3.0 * FEET,
            Unit::SquareMetre if is(&["m2", "m^2", "m²", "sqm"]) => 1.0,
            Unit::SquareMetre if is(&["ha", "hectare", "hectares"]) => 10_000.0,
            Unit::SquareMetre if is(&["ac", "acre", "acres"]) => 43_560.0 * FEET * FEET,
            Unit::SquareMetre if is(&["ft2", "ft^2", "ft²", "sqft"]) => FEET * FEET,
            Unit::PerMetre if is(&["per m", "/m", "1/m", "m-1"]) => 1.0,
            Unit::PerMetre if is(&["per ft", "/ft", "1/ft"]) => 1.0 / FEET,
            Unit::Celsius if is(&["c", "°c"]) => 1.0,
            Unit::CelsiusSpan if is(&["c", "°c", "k"]) => 1.0,
            Unit::CelsiusSpan if is(&["f", "°f"]) => 5.0 / 9.0,
            Unit::CubicMetrePerHour if is(&["m3/h", "m³/h"]) => 1.0,
            Unit::CubicMetrePerHour if is(&["l/s"]) => 3.6,
            Unit::CubicMetrePerHour if is(&["l/min"]) => 0.06,
            Unit::CubicMetrePerHour if is(&["gpm", "gal/min"]) => 60.0 * GALLON,
            Unit::MillimetrePerDay if is(&["mm/d", "mm/day", "mm a day"]) => 1.0,
            Unit::MillimetrePerDay if is(&["in/d", "in/day", "in a day"]) => 25.4,
            Unit::Degree if is(&["deg", "°", "n", "e", "° n", "° e", "°n", "°e"]) => 1.0,
            Unit::Degree if is(&["s", "w", "° s", "° w", "°s", "°w"]) => -1.0,
            _ => return None,
        })
    }
}

/// Text with its unit as a number in `unit`; bare numbers count as being in it already. `None` when it cannot be read.
pub(crate) fn measured(text: &str, unit: Unit) -> Option<f64> {
    let text = text.trim();
    if let Some(bare) = decimal(text) {
        return Some(bare);
    }
    if unit == Unit::Celsius
        && let Some(number) = text.strip_suffix(['F', 'f'])
    {
        let degrees = decimal(number.trim_end_matches(['°', ' ']))?;
        return Some((degrees - 32.0) / 1.8);
    }
    let mut rest = text;
    let mut total: Option<f64> = None;
    while !rest.is_empty() {
        let digits = rest.find(|c: char| !matches!(c, '0'..='9' | '.' | '+' | '-')).unwrap_or(rest.len());
        let number = decimal(&rest[..digits])?;
        rest = rest[digits..].trim_start();
        // The unit runs to the next number that stands after a blank, or ends at a foot or inch mark.
        let end = unit_end(rest);
        let factor = unit.factor(rest[..end].trim())?;
        if total.is_some_and(|_| number < 0.0 || factor < 0.0 || unit != Unit::Metre) {
            return None;
        }
        total = Some(total.unwrap_or(0.0) + number * factor);
        rest = rest[end..].trim_start();
    }
    total.filter(|value| value.is_finite())
}

fn unit_end(text: &str) -> usize {
    if let Some(mark) = text.chars().next().filter(|c| matches!(c, '\'' | '"')) {
        return mark.len_utf8();
    }
    let mut blank = true;
    for (at, letter) in text.char_indices() {
        if blank && at > 0 && (letter.is_ascii_digit() || letter == '.') {
            return at;
        }
        blank = letter.is_whitespace();
    }
    text.len()
}

/// Plain decimals only: no exponent words, no "inf", no "nan".
fn decimal(text: &str) -> Option<f64> {
    let plain = !text.is_empty() && text.chars().all(|c| matches!(c, '0'..='9' | '.' | '+' | '-'));
    plain.then(|| text.parse::<f64>().ok()).flatten().filter(|value| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, unit: Unit, wanted: Option<f64>) {
        let found = measured(text, unit);
        let near = match (found, wanted) {
            (Some(found), Some(wanted)) => (found - wanted).abs() < 1e-9,
            (found, wanted) => found == wanted,
        };
        assert!(near, "{text}: {found:?}, wanted {wanted:?}");
    }

    #[test]
    fn lengths_people_write() {
        check("6 ft 6 in", Unit::Metre, Some(1.9812));
        check("6' 6\"", Unit::Metre, Some(1.9812));
        check("6'6\"", Unit::Metre, Some(1.9812));
        check("190 cm", Unit::Metre, Some(1.9));
        check("1.9", Unit::Metre, Some(1.9));
        check("1.9 lb", Unit::Metre, None);
        check("6 ft six", Unit::Metre, None);
        check("", Unit::Metre, None);
        check("nan", Unit::Metre, None);
    }

    #[test]
    fn the_other_units() {
        check("68 F", Unit::Celsius, Some(20.0));
        check("68°F", Unit::Celsius, Some(20.0));
        check("20 °C", Unit::Celsius, Some(20.0));
        check("18 F", Unit::CelsiusSpan, Some(10.0));
        check("0.45 ac", Unit::SquareMetre, Some(1821.085_390_08));
        check("30 gpm", Unit::CubicMetrePerHour, Some(6.813_741_211_2));
        check("0.25 in/day", Unit::MillimetrePerDay, Some(6.35));
        check("93.59 W", Unit::Degree, Some(-93.59));
        check("3 F 2 F", Unit::CelsiusSpan, None);
    }
}
