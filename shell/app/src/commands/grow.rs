//! `warmspell grow`: what a stocking comes to in given water.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use farm::observed;
use season::grow::{GrowAnswer, GrowInput, GrowQuestion, GrowWater, PondKind, Spread, grow};
use serde_json::{Value, json};
use units::Zone;
use units::measure::{self, Kind};
use words::grow as say;

use super::Told;

const SCHEMA: &str = "warmspell.grow";
const VERSION: u32 = 1;

/// What a stocking grows to: mean weight, survival, yield, sizes and counts.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct GrowArgs {
    /// Animals stocked to the hectare; other areas with their unit, as 24000/ac
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    stocked_per_ha: String,
    /// Mean weight when stocked, in grams; or with a unit, as 0.4g
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    weight_g: String,
    /// Surface of netting or other substrate, per cent of the bottom
    #[arg(long, value_name = "S", default_value = "0", allow_hyphen_values = true)]
    substrate_pct: String,
    /// Days from stocking to harvest; or with a unit, as "15 weeks". With --water, all of the file when left out
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    days: Option<String>,
    /// One water temperature throughout, in °C; or with a unit, as 79F
    #[arg(
        long,
        value_name = "T",
        conflicts_with = "water",
        required_unless_present = "water",
        allow_hyphen_values = true
    )]
    temp_c: Option<String>,
    /// A file that `warmspell water` wrote; the deepest column of each place is taken
    #[arg(long, value_name = "FILE")]
    water: Option<PathBuf>,
    /// Which ponds survival is taken from
    #[arg(long, value_enum, default_value_t = Pond::Usual)]
    pond: Pond,
    /// Seed of the draws behind the bands
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Pond {
    /// A usual pond
    Usual,
    /// Well nursed animals, substrate, netting
    Research,
    /// A first year, or many predators
    FirstYear,
}

const EXAMPLES: &str = "Examples:
  warmspell grow --stocked-per-ha 59300 --weight-g 0.3 --days 106 --temp-c 26
  warmspell grow --stocked-per-ha 24000/ac --weight-g 0.4 --substrate-pct 50 --days \"15 weeks\" --temp-c 79F
  warmspell grow --stocked-per-ha 16000/ac --weight-g 0.3 --water OUT.csv --json

The band holds eight ponds in ten. How many live is the largest unknown of all.";

/// Answers on the command line.
pub fn run(args: &GrowArgs) -> Told {
    match answer(args) {
        Ok(told) => told,
        Err(why) => Told::could_not(why),
    }
}

fn answer(args: &GrowArgs) -> Result<Told, String> {
    let mut notes = Vec::new();
    let file = args.water.as_ref().map(|path| path.display().to_string()).unwrap_or_default();
    let observed = match &args.water {
        None => None,
        Some(path) => {
            let text = std::fs::read_to_string(path)
                .map_err(|error| format!("{file}: cannot be read ({error}). Check the name and the folder"))?;
            let readings = observed::read(&text, &Zone::utc()).map_err(|faults| {
                faults.iter().map(|fault| words::basin::fault(&file, fault)).collect::<Vec<_>>().join("\n")
            })?;
            notes.extend(readings.oddities.iter().map(|oddity| words::basin::oddity(&file, oddity)));
            Some(readings)
        }
    };
    let water = match (&observed, &args.temp_c) {
        (Some(readings), _) => GrowWater::Read(readings),
        (None, Some(text)) => GrowWater::Steady(read(GrowInput::Water, text)?),
        (None, None) => return Err("Say what water the animals live in: --temp-c 26, or --water FILE".to_owned()),
    };
    let days = args.days.as_ref().map(|text| read(GrowInput::Days, text)).transpose()?;
    let question = GrowQuestion {
        stocked_per_ha: read(GrowInput::StockedPerHa, &args.stocked_per_ha)?,
        weight_g: read(GrowInput::Weight, &args.weight_g)?,
        substrate_fraction: read(GrowInput::Substrate, &args.substrate_pct)?,
        days,
        water,
        pond: match args.pond {
            Pond::Usual => PondKind::Usual,
            Pond::Research => PondKind::Research,
            Pond::FirstYear => PondKind::FirstYear,
        },
        seed: args.seed,
    };
    if (1e-9..=0.01).contains(&question.substrate_fraction) {
        notes.push(say::substrate_tiny(question.substrate_fraction));
    }
    let answer = grow(&question).map_err(|error| say::error(&error, &file))?;
    notes.extend(answer.remarks.iter().map(say::remark));
    let text = if args.json { as_json(&question, &answer, &notes) } else { say::page(&question, &answer) };
    Ok(Told::answer(text, notes))
}

/// One value as typed, in the unit the question takes. A number alone has the unit the option is named for.
fn read(input: GrowInput, text: &str) -> Result<f64, String> {
    if let Some(number) = text.trim().parse::<f64>().ok().filter(|number| number.is_finite()) {
        return Ok(if input == GrowInput::Substrate { number / 100.0 } else { number });
    }
    let (kind, scale) = match input {
        GrowInput::StockedPerHa => (Kind::Density, 10_000.0),
        GrowInput::Weight => (Kind::Mass, 1000.0),
        GrowInput::Substrate => (Kind::Share, 1.0),
        GrowInput::Days => (Kind::Duration, 1.0 / 24.0),
        GrowInput::Water => (Kind::Temperature, 1.0),
    };
    measure::read(text, kind, None).map(|value| value * scale).map_err(|_| say::unreadable(input, text))
}

fn as_json(question: &GrowQuestion, answer: &GrowAnswer, notes: &[String]) -> String {
    let form = |form: &season::grow::FormShare| {
        json!({
            "form": say::form_key(form.form),
            "number_fraction": tidy(form.number_fraction),
            "mass_fraction": tidy(form.mass_fraction),
            "mean_weight_g": tidy(form.mean_weight_g),
            "tail_fraction": form.tail_fraction,
        })
    };
    let grade = |grade: &season::grow::GradeShare| {
        json!({
            "grade": grade.key,
            "count_from_per_lb": tidy(grade.count_from_per_lb),
            "count_to_per_lb": grade.count_to_per_lb.map(tidy),
            "number_fraction": tidy(grade.number_fraction),
            "mass_fraction": tidy(grade.mass_fraction),
        })
    };
    let mut pairs: Vec<(&str, Value)> = vec![
        ("schema", json!(SCHEMA)),
        ("version", json!(VERSION)),
        ("seed", json!(question.seed)),
        ("stocked_per_ha", json!(tidy(question.stocked_per_ha))),
        ("stocked_weight_g", json!(tidy(question.weight_g))),
        ("substrate_fraction", json!(tidy(question.substrate_fraction))),
        ("days", json!(tidy(answer.days))),
        ("water_mean_c", json!(tidy(answer.water_mean_c))),
        ("water_low_c", json!(tidy(answer.water_low_c))),
        ("warm_days", json!(tidy(answer.warm_days))),
    ];
    for (likely, low, high, spread) in [
        ("mean_weight_g", "mean_weight_p10_g", "mean_weight_p90_g", answer.mean_weight_g),
        ("survival", "survival_p10", "survival_p90", answer.survival),
        ("cold_survival", "cold_survival_p10", "cold_survival_p90", answer.cold_survival),
        ("yield_kg_ha", "yield_p10_kg_ha", "yield_p90_kg_ha", answer.yield_kg_ha),
    ] {
        let Spread { likely: middle, low: tenth, high: ninetieth } = spread;
        pairs.extend([(likely, json!(tidy(middle))), (low, json!(tidy(tenth))), (high, json!(tidy(ninetieth)))]);
    }
    pairs.extend([
        ("count_per_lb", json!(tidy(answer.count_per_lb))),
        ("animal_p10_g", json!(tidy(answer.animal_range_g.0))),
        ("animal_p90_g", json!(tidy(answer.animal_range_g.1))),
        ("tail_fraction", json!(tidy(answer.tail_fraction))),
        ("forms", answer.forms.iter().map(form).collect()),
        ("grades", answer.grades.iter().map(grade).collect()),
        ("remarks", json!(notes)),
    ]);
    ordered(&pairs)
}

/// Six significant digits: more than the model knows, few enough to read.
fn tidy(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

/// An object whose keys keep their order, one to a line.
fn ordered(pairs: &[(&str, Value)]) -> String {
    let lines: Vec<String> = pairs.iter().map(|(key, value)| format!("  {}: {value}", json!(key))).collect();
    format!("{{\n{}\n}}\n", lines.join(",\n"))
}

#[cfg(test)]
mod tests;
