//! What a stocking would grow to, in words; and why a question about it cannot be answered.

pub use forms::form_key;
use forms::form_name;
use season::grow::{
    FormShare, GradeShare, GrowAnswer, GrowError, GrowInput, GrowQuestion, GrowRemark, GrowWater, Spread,
};

use crate::figures::{count, grouped};

mod forms;

#[cfg(test)]
mod tests;

const ACRES_PER_HECTARE: f64 = 2.471_053_8;
const LB_PER_KG: f64 = 2.204_622_6;

/// The answer as a page of text.
pub fn page(question: &GrowQuestion, answer: &GrowAnswer) -> String {
    let mut lines = vec![title(question, answer), String::new()];
    let rows = [
        ("mean weight", weight(answer), format!("{} g", band(&answer.mean_weight_g, |g| format!("{g:.0}")))),
        (
            "alive",
            percent(answer.survival.likely),
            band(&answer.survival, |share| format!("{:.0}", 100.0 * share)) + " %",
        ),
        ("live weight", live_weight(answer.yield_kg_ha.likely), format!("{} kg/ha", band(&answer.yield_kg_ha, count))),
    ];
    let width = rows.iter().map(|row| row.1.len()).max().unwrap_or(0);
    for (what, likely, band) in rows {
        lines.push(format!("  {what:<12} {likely:<width$}   ({band} in 8 of 10 ponds)"));
    }
    if answer.cold_survival.likely < 0.995 || answer.cold_survival.low < 0.995 {
        let band = band(&answer.cold_survival, |share| format!("{:.0}", 100.0 * share));
        let left = percent(answer.cold_survival.likely);
        lines.push(format!(
            "  {:<12} {left} alive after it ({band} %): the coldest water was {:.1} °C",
            "cold", answer.water_low_c
        ));
    }
    let (from, to) = answer.animal_range_g;
    lines.push(format!(
        "  8 in 10 animals weigh {from:.0} to {to:.0} g; tails are {} of whole weight",
        percent(answer.tail_fraction)
    ));
    lines.extend([String::new(), format!("  {:<34}{:>8}{:>8}{:>10}", "by sex and form", "animals", "weight", "mean")]);
    lines.extend(answer.forms.iter().map(form_row));
    lines.extend([String::new(), format!("  {:<34}{:>8}{:>8}", "by count of whole animals", "animals", "weight")]);
    lines.extend(answer.grades.iter().map(grade_row));
    lines.extend([
        String::new(),
        "  Shares may be out by 10 points. Nobody knows how many are in the pond until it is drained.".to_owned(),
    ]);
    lines.join("\n") + "\n"
}

fn title(question: &GrowQuestion, answer: &GrowAnswer) -> String {
    let per_ha = count(question.stocked_per_ha);
    let per_acre = count(question.stocked_per_ha / ACRES_PER_HECTARE);
    let substrate = match question.substrate_fraction {
        0.0 => "no substrate".to_owned(),
        share => format!("substrate {:.0} % of the bottom", 100.0 * share),
    };
    let water = match question.water {
        GrowWater::Steady(temp_c) => format!("water at {}", both_degrees(temp_c)),
        GrowWater::Read(_) => format!("water of {} on average", both_degrees(answer.water_mean_c)),
    };
    format!(
        "{per_ha} to the hectare ({per_acre} to the acre) of {} g, {substrate}, {} days in {water}",
        question.weight_g,
        short(answer.days),
    )
}

fn weight(answer: &GrowAnswer) -> String {
    let grams = answer.mean_weight_g.likely;
    if answer.count_per_lb > 200.0 {
        return format!("{grams:.1} g");
    }
    format!("{grams:.1} g, {:.1} to the pound", answer.count_per_lb)
}

fn live_weight(kg_ha: f64) -> String {
    format!("{} kg/ha, {} lb/acre", count(kg_ha), count(kg_ha * LB_PER_KG / ACRES_PER_HECTARE))
}

fn band(spread: &Spread, said: impl Fn(f64) -> String) -> String {
    format!("{} to {}", said(spread.low), said(spread.high))
}

fn form_row(form: &FormShare) -> String {
    let (animals, weight) = (percent(form.number_fraction), percent(form.mass_fraction));
    format!("  {:<34}{animals:>8}{weight:>8}{:>10}", form_name(form.form), format!("{:.0} g", form.mean_weight_g))
}

fn grade_row(grade: &GradeShare) -> String {
    let counts = match (grade.count_from_per_lb, grade.count_to_per_lb) {
        (0.0, Some(to)) => format!("under {to:.0} to the pound"),
        (from, Some(to)) => format!("{from:.0} to {to:.0} to the pound"),
        (from, None) => format!("over {from:.0} to the pound"),
    };
    let name = format!("{counts} ({})", grade.key.replace('-', " "));
    format!("  {name:<34}{:>8}{:>8}", percent(grade.number_fraction), percent(grade.mass_fraction))
}

fn percent(fraction: f64) -> String {
    format!("{:.0} %", 100.0 * fraction)
}

fn both_degrees(temp_c: f64) -> String {
    format!("{temp_c:.1} °C ({:.0} °F)", temp_c * 1.8 + 32.0)
}

/// A number with no more digits than it needs.
fn short(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    if value >= 1000.0 { grouped(value) } else { format!("{rounded}") }
}

/// What an input is called on the command line.
pub fn option_of(input: GrowInput) -> &'static str {
    match input {
        GrowInput::StockedPerHa => "--stocked-per-ha",
        GrowInput::Weight => "--weight-g",
        GrowInput::Substrate => "--substrate-pct",
        GrowInput::Days => "--days",
        GrowInput::Water => "--temp-c",
    }
}

/// A value of an input with its unit.
fn value_of(input: GrowInput, value: f64) -> String {
    match input {
        GrowInput::StockedPerHa => {
            format!("{} to the hectare ({} to the acre)", grouped(value), count(value / ACRES_PER_HECTARE))
        }
        GrowInput::Weight => format!("{value} g"),
        GrowInput::Substrate => format!("{} %", short(100.0 * value)),
        GrowInput::Days => format!("{} days", short(value)),
        GrowInput::Water => both_degrees(value),
    }
}

/// What usually went wrong when a value of an input is absurd.
fn look_for(input: GrowInput) -> &'static str {
    match input {
        GrowInput::StockedPerHa => "Check that the number is for a hectare; 24000/ac is also understood",
        GrowInput::Weight => "Check for milligrams typed as grams",
        GrowInput::Substrate => "Write the surface of the netting as a share of the bottom: 50 for half",
        GrowInput::Days => "Write the days from stocking to harvest",
        GrowInput::Water => "Check for °F; 79F is also understood",
    }
}

/// Why there is no answer, and what to do. `file` names the file of the water.
pub fn error(error: &GrowError, file: &str) -> String {
    match error {
        GrowError::Absurd { input, value, answered } => format!(
            "{}: {} lies outside what can be answered, {} to {}. {}",
            option_of(*input),
            value_of(*input, *value),
            value_of(*input, answered.0),
            value_of(*input, answered.1),
            look_for(*input)
        ),
        GrowError::NoDays => {
            "--days is needed with --temp-c: the days from stocking to harvest, for example --days 106".to_owned()
        }
        GrowError::WaterEndsAfter { held, .. } if *held < 1.0 => {
            format!("{file} holds less than a day of water. Give a longer run of the water")
        }
        GrowError::WaterEndsAfter { asked, held } => format!(
            "{file} holds {held:.0} whole days of water and {} were asked for. Ask for fewer days, or run the water longer",
            short(*asked)
        ),
        GrowError::WaterGap { line, hours } => format!(
            "{file}, line {line}: {} hours pass without a reading at the bottom of every place. Up to 6 are bridged. Give the file from after the gap, or fill it",
            short(*hours)
        ),
        GrowError::NoReadings => format!("{file} has no row with a reading at the bottom of every place"),
    }
}

/// A remark that belongs to the answer.
pub fn remark(remark: &GrowRemark) -> String {
    match remark {
        GrowRemark::OutsideFit { input, value, fitted } => format!(
            "{} {}: the crops this was learned from had {} to {}. Take the answer as a rough guide",
            option_of(*input),
            value_of(*input, *value),
            value_of(*input, fitted.0),
            value_of(*input, fitted.1)
        ),
        GrowRemark::Columns(columns) => {
            let names: Vec<String> = columns.iter().map(|column| column.name()).collect();
            format!("The animals' water was taken from {}, the deepest reading of each place", names.join(", "))
        }
        GrowRemark::DailyMeans => {
            "The water was given as daily means. Nights are colder than their day's mean, so cold may be understated"
                .to_owned()
        }
        GrowRemark::SizesOutOfSeason => {
            "Sizes by form hold for crops of 90 to 130 days. Longer crops have more blue-claw males and berried females"
                .to_owned()
        }
    }
}

/// A value that could not be read, and how it may be written.
pub fn unreadable(input: GrowInput, typed: &str) -> String {
    let examples = match input {
        GrowInput::StockedPerHa => "59300 for a hectare, or 24000/ac",
        GrowInput::Weight => "0.3 for grams, or 300 mg",
        GrowInput::Substrate => "50 for per cent of the bottom",
        GrowInput::Days => "106 for days, or 15 weeks",
        GrowInput::Water => "26 for °C, or 79F",
    };
    format!("{}: \"{typed}\" cannot be read. Write it as {examples}", option_of(input))
}

/// Half a per cent of substrate is more likely a half.
pub fn substrate_tiny(substrate_fraction: f64) -> String {
    let percent = short(100.0 * substrate_fraction);
    format!("--substrate-pct {percent} was taken as {percent} % of the bottom. For half of it write 50")
}
