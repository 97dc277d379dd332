//! `warmspell sum`: the small sums done at the pond, with their working.

use clap::Args;
use season::sums::{Given, Line, Sum, Weight, Worked, sum};
use serde_json::{Map, Value, json};
use words::figures::Manner;
use words::sums as say;

use super::Told;

const SCHEMA: &str = "warmspell.sum";
const VERSION: u32 = 1;

/// The small sums done at the pond: ammonia, oxygen, ice, counts, prices and more, with their working
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct SumArgs {
    /// Which sum; all of them are listed when left out
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// What it asks, as temp=24C; all of it is explained when left out
    #[arg(value_name = "KEY=VALUE")]
    given: Vec<String>,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    metric: bool,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "Examples:
  warmspell sum
  warmspell sum ammonia
  warmspell sum ammonia total=1mg/L temp=78F ph=8.4
  warmspell sum ice catch=600lb catch_temp=68F water=75gal water_temp=60F --json

All of them, with formulas and sources: docs/sums.md.";

/// Answers on the command line.
pub fn run(args: &SumArgs) -> Told {
    let Some(name) = &args.name else { return Told::answer(say::listed(), Vec::new()) };
    let Some(sum) = sum(name) else { return Told::could_not(say::unknown(name)) };
    if args.given.is_empty() {
        return Told::answer(say::asked(sum), Vec::new());
    }
    let mut typed = Vec::new();
    for text in &args.given {
        match text.split_once('=') {
            Some((name, value)) => typed.push((name.trim(), value.trim())),
            None => return Told::could_not(say::no_pair(text)),
        }
    }
    let given = match sum.read(&typed) {
        Ok(given) => given,
        Err(slips) => {
            let said: Vec<String> = slips.iter().map(|slip| format!("{}: {}", slip.name, say::slip(slip))).collect();
            return Told::could_not(said.join("\n"));
        }
    };
    let worked = sum.work(&given);
    let notes = say::unusual(&given);
    let manner = if args.metric { Manner::Metric } else { Manner::UsCustomary };
    let text = if args.json { as_json(sum, &typed, &given, &worked) } else { say::page(sum, &given, &worked, manner) };
    // A load or dose that kills is worked out and refused: the answer is no.
    Told { answer: text, notes, code: u8::from(worked.is_refused()) }
}

fn as_json(sum: &Sum, typed: &[(&str, &str)], given: &Given, worked: &Worked) -> String {
    let mut top = Map::new();
    let lines = |lines: &[Line]| -> Value {
        let one = |line: &Line| {
            (line.key.to_owned(), json!({"value": line.value, "unit": say::unit(line), "says": line.says}))
        };
        Value::Object(lines.iter().map(one).collect())
    };
    let weight = |weight: Weight| match weight {
        Weight::Note => "note",
        Weight::Watch => "watch",
        Weight::Stop => "stop",
    };
    top.insert("sum".to_owned(), json!(sum.name));
    top.insert("given".to_owned(), typed.iter().map(|(name, text)| ((*name).to_owned(), json!(text))).collect());
    let assumed = given.assumed.iter().map(|(input, text)| (input.name().to_owned(), json!(text)));
    top.insert("assumed".to_owned(), Value::Object(assumed.collect()));
    top.insert("answers".to_owned(), lines(&worked.answers));
    top.insert("steps".to_owned(), lines(&worked.steps));
    let remarks = worked.remarks.iter().map(|one| json!({"weight": weight(one.weight), "says": one.says}));
    top.insert("remarks".to_owned(), remarks.collect());
    top.insert("refused".to_owned(), json!(worked.is_refused()));
    top.insert("source".to_owned(), json!(sum.source));
    super::versioned(SCHEMA, VERSION, top)
}
