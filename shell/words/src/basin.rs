//! What is wrong in a basin file or a file of readings, in plain sentences: where, what, and what to do.

use farm::basin::{Asked, Fault, Taken, Wrong};
use farm::observed::{BELIEVED_C, Odd, Oddity};
use units::measure::MeasureError;

#[cfg(test)]
mod tests;

/// One fault: `pond.toml, line 7, wind_factor: ...`.
pub fn fault(file: &str, fault: &Fault) -> String {
    let key = if fault.key.is_empty() { String::new() } else { format!(", {}", fault.key) };
    format!("{file}, line {}{key}: {}", fault.line, wrong(&fault.key, &fault.what))
}

/// Something odd in a file of readings, and what was done.
pub fn oddity(file: &str, oddity: &Oddity) -> String {
    let Oddity { line, column, text, what } = oddity;
    let (least, most) = BELIEVED_C;
    match what {
        Odd::NotANumber => format!("{file}, line {line}, {column}: \"{text}\" is not a number. Left out"),
        Odd::Absurd => {
            format!(
                "{file}, line {line}, {column}: water is not {text} °C (taken: {least} to {most}). Left out; check for °F"
            )
        }
        Odd::ShownTwiceFirst => {
            format!(
                "{file}, line {line}: the clock shows {text} twice that night. Taken as the first, by the order of the lines"
            )
        }
        Odd::ShownTwiceSecond => {
            format!(
                "{file}, line {line}: the clock shows {text} twice that night. Taken as the second, by the order of the lines"
            )
        }
        Odd::Skipped => {
            format!("{file}, line {line}: the clock skips {text} that night. Read by the clock before the change")
        }
    }
}

/// More of the same than a person wants to read at once.
pub fn more(file: &str, many: usize) -> String {
    format!("{file}: and {many} more such lines")
}

/// A key that was not given.
pub fn taken(file: &str, taken: &Taken) -> String {
    let Taken { key, value } = taken;
    match *key {
        "wind_height_m" => format!("{file}: {key} is not given; the wind is used as if read {value} m above ground"),
        "wind_factor" => {
            format!("{file}: {key} is not given; the wind over the water is taken {value} times that at the station")
        }
        "seepage_mm_d" => format!("{file}: {key} is not given; no seepage is counted"),
        "side_slope" => format!("{file}: {key} is not given; banks are taken to run {value} out for each 1 up"),
        _ => format!("{file}: {key} is not given; {value} is taken"),
    }
}

fn wrong(key: &str, what: &Wrong) -> String {
    match what {
        Wrong::Malformed { remark } if remark.is_empty() => {
            "this line cannot be read. Look for a stray mark".to_owned()
        }
        Wrong::Malformed { remark } => {
            format!("this cannot be read as TOML ({remark}). Look for a missing quote, comma or bracket")
        }
        Wrong::UnknownKey { nearest: Some(nearest) } => format!("there is no such key. Did you mean {nearest}?"),
        Wrong::UnknownKey { nearest: None } => "there is no such key. Take it out, or check its spelling".to_owned(),
        Wrong::Missing => needed(key),
        Wrong::MissingOneOf { keys } => format!("none of {} is given. Give one", listed(keys)),
        Wrong::Both { other } => format!("{other} says the same thing. Keep one of the two"),
        Wrong::Kind { asked, found } => format!("{found} is not {}", asked_for(*asked)),
        Wrong::NotMeasured { found, unit, why } => not_measured(found, unit, why),
        Wrong::Outside { value, least, greatest, unit } => {
            format!(
                "{value} {unit} cannot be: from {least} to {greatest} is taken. Check the unit and the decimal point"
            )
        }
        Wrong::NotOneOf { found, words } => format!("\"{found}\" is not known here. Write {}", listed(words)),
        Wrong::UnknownZone { found } => {
            format!(
                "\"{found}\" is no time zone. Write an offset such as \"-05:00\" or a name such as \"America/New_York\""
            )
        }
        Wrong::TooFew { found, needed } => format!("{found} given, at least {needed} needed"),
        Wrong::NotRising { before, value } => {
            format!("depth {value} comes after {before}. List depths from the surface down, each once")
        }
        Wrong::NotFromSurface { first_m } => {
            format!("the first depth is {first_m} m. Begin with 0, the surface when full, and its area")
        }
        Wrong::WiderBelow { above_m2, below_m2 } => {
            format!(
                "the area grows from {above_m2} to {below_m2} m2 further down. A pond narrows downwards: check both areas"
            )
        }
        Wrong::ShallowDeeper { shallow_m, deep_m } => {
            format!("the shallow end ({shallow_m:.2} m) is deeper than the deep end ({deep_m:.2} m). Exchange the two")
        }
        Wrong::AreaDisagrees { area_m2, product_m2 } => format!(
            "the area is {area_m2:.0} m2 but length times width is {product_m2:.0} m2. Correct one, or leave the area out"
        ),
        Wrong::BanksMeet { width_m, banks_m } => format!(
            "both banks together take {banks_m:.1} m at the deep end, but the pond is {width_m:.1} m wide. Check slope, depth and width"
        ),
        Wrong::DatesNotRising { before, date } => {
            format!("{date} comes after {before}. List dates in order, each once")
        }
        Wrong::NotASpot { found } => {
            format!(
                "\"{found}\" is not a place and depth. Write such as deep@0.25, middle@1 or shallow@0.5 (metres down)"
            )
        }
        Wrong::Twice { first } => format!("the same place and depth is already in column {first}. Keep one"),
        Wrong::NotATime { found } => {
            format!(
                "\"{found}\" is no time. Write 2020-07-06T06:00, with or without an offset, or 2020-07-06 for a daily mean"
            )
        }
        Wrong::TimesNotRising { before, time } => {
            format!("{time} does not come after {before}. Sort the lines, each time once")
        }
        Wrong::Columns { header, line } => {
            format!("{line} cells, but the header names {header} columns. Check the commas")
        }
        Wrong::MixedTimes => {
            "bare dates (daily means) and clock times stand in one file. Use one file for each".to_owned()
        }
        Wrong::Empty => "there is nothing to read. A header and at least one line are needed".to_owned(),
    }
}

/// What a key is for, where it was left out.
fn needed(key: &str) -> String {
    let last = key.rsplit('.').next().unwrap_or(key);
    let what = match last {
        "name" => "what the basin is called",
        "latitude_deg" => "degrees north (south is negative)",
        "longitude_deg" => "degrees east (west is negative)",
        "elevation_m" => "metres above the sea",
        "time_zone" => "the clock of the files: an offset such as \"-05:00\" or a name such as \"America/New_York\"",
        "hour_label" => "\"start\" or \"end\": which end of its hour a weather line names",
        "length_m" => "length of the water from the shallow to the deep end, metres",
        "width_m" => "width of the water across the slope, metres",
        "shallow_depth_m" => "depth of water at the shallow end when full, metres",
        "deep_depth_m" => "depth of water at the drain end when full, metres",
        "ground_mean_c" => "yearly mean at the bed, °C: about the yearly mean of the air and 1.5 more",
        "ground_half_range_c" => "half the yearly range of the water, °C",
        "date" => "the date this row is for, such as \"2020-05-25\"",
        "flow_m3_h" => "how much water comes in, cubic metres an hour",
        "temp_c" => "how warm the water that comes in is, °C",
        _ => "a value",
    };
    format!("not given. It is needed: {what}")
}

fn asked_for(asked: Asked) -> &'static str {
    match asked {
        Asked::Text => "text. Put it in quotes",
        Asked::Number => "a number. Write a plain number, or a number with its unit in quotes (\"6 ft 6 in\")",
        Asked::Date => "a date. Write it as \"2020-05-25\"",
        Asked::List => "a list. Write [ ... ]",
        Asked::Pairs => "a pair. Write [depth, value]",
        Asked::Keys => "a set of keys. Write { key = value, ... }",
    }
}

fn not_measured(found: &str, unit: &str, why: &MeasureError) -> String {
    let reason = match why {
        MeasureError::DecimalComma { meant, .. } => format!("write the decimal with a point: {meant}"),
        MeasureError::UnknownUnit { unit, nearest: Some(nearest), .. } => {
            format!("no unit \"{unit}\": {nearest} perhaps")
        }
        MeasureError::UnknownUnit { unit, .. } => format!("no unit \"{unit}\" here"),
        MeasureError::OtherKind { unit, .. } => format!("\"{unit}\" measures something else"),
        MeasureError::OutOfOrder { unit } => format!("put {unit} first"),
        _ => "it cannot be read".to_owned(),
    };
    format!("\"{found}\" is not a quantity for this key; {reason}. A bare number is taken in {unit}")
}

fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}
