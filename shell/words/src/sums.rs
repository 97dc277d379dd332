//! The pond-side sums in words: answers, working, what is wrong, and the manual's page.

use season::farm::inputs::{Input, LeftOut, Takes};
use season::farm::reasons::{Reason, Wrong};
use season::sums::{Caution, Given, Group, Line, Mark, Measure, Slip, Sum, Weight, Worked, sums};
use units::measure::{self, Kind};

use crate::figures::{Manner, clock, grouped};
use crate::morning::Lines;

mod asked;

pub use asked::{asked, questions};

/// Title of the list.
pub const TITLE: &str = "Sums at the pond";
/// What the list is.
pub const LEAD: &str = "Small sums with their working. Type any unit; nothing is kept.";
/// Beside the button.
pub const WORK_OUT: &str = "Work it out";
/// Above the working.
pub const WORKING: &str = "How it is worked out";
/// Above what stood in.
pub const TAKEN: &str = "Taken because it was left empty";
/// Above the range.
pub const HOLDS: &str = "Where it holds";
/// Above the source.
pub const SOURCE: &str = "Source";
/// Above what is wrong.
pub const WRONG: &str = "It cannot be worked out yet";
/// Before what can hurt.
pub const CARE: &str = "Care";
/// Back to the list.
pub const ALL: &str = "All sums";
/// Empties the form.
pub const ANEW: &str = "Clear";
/// Fills the form.
pub const EXAMPLE: &str = "Fill in an example";
/// Without signal.
pub const NEEDS_SIGNAL: &str = "Sums are worked out by the farm's machine: this page needs to reach it.";

/// Heading of a group.
pub fn group(group: Group) -> &'static str {
    match group {
        Group::Water => "Water",
        Group::PondWork => "Filling, emptying, air",
        Group::Nursery => "Postlarvae and tanks",
        Group::Stock => "What is in the pond, and feed",
        Group::Harvest => "Ice, live tanks, heading",
        Group::Money => "Prices and costs",
    }
}

/// How well the source is known.
pub fn mark(mark: Mark) -> &'static str {
    match mark {
        Mark::Definition => "Arithmetic.",
        Mark::Published => "Read in an excerpt or abstract.",
        Mark::Memory => "Recalled, not read again.",
        Mark::CommonPractice => "Common practice.",
    }
}

/// What can hurt, in one sentence.
pub fn caution(caution: Caution) -> &'static str {
    match caution {
        Caution::Chemicals => {
            "Gloves and eye cover; read the label, and use only what is allowed for animals raised as food. Local rules on letting water out go first."
        }
        Caution::Electricity => {
            "Switch off and unplug before reaching into the water; a breaker that trips on leakage (GFCI) on every line. A licensed electrician does the wiring."
        }
        Caution::Engines => "Engines stand in open air, away from people: fumes kill. Stop it before filling up.",
        Caution::Drains => {
            "Nobody works alone at the drain or in cold mud. Keep hands and feet from the pull of the pipe."
        }
        Caution::Oxygen => "Oxygen under pressure: no oil, grease or flame near it; chain the bottle.",
        Caution::Hands => {
            "Spines, claws, knives: gloves, and wash every puncture at once. See a doctor the same day if it reddens."
        }
    }
}

/// What a remark begins with.
pub fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Note => "",
        Weight::Watch => "Watch: ",
        Weight::Stop => "Stop: ",
    }
}

/// A value as it is told.
pub fn value(line: &Line, manner: Manner) -> String {
    let us = manner == Manner::UsCustomary;
    match line.measure {
        Measure::Of(kind, metric, customary) => {
            let unit = if us { customary } else { metric };
            let written = measure::write(line.value, kind, unit).unwrap_or_default();
            let (number, unit) = written.split_once(' ').unwrap_or((&written, ""));
            format!("{} {unit}", three(number.parse().unwrap_or(f64::NAN)))
        }
        Measure::Plain(after) => format!("{} {after}", three(line.value)).trim_end().to_owned(),
        Measure::Pieces(after) => format!("{} {after}", three(line.value.round())),
        Measure::Share => format!("{} %", three(100.0 * line.value)),
        Measure::Clock => clock((line.value * 3600.0).round() as i32, manner),
        Measure::Money => cents(line.value),
        Measure::MoneyPerKg if us => format!("{} a pound", cents(line.value * 0.453_592_37)),
        Measure::MoneyPerKg => format!("{} a kilogram", cents(line.value)),
    }
}

/// The unit that a program reads the value in.
pub fn unit(line: &Line) -> &'static str {
    match line.measure {
        Measure::Of(kind, ..) => match kind {
            Kind::Length => "m",
            Kind::Area => "m2",
            Kind::Volume => "m3",
            Kind::Temperature => "C",
            Kind::Mass => "kg",
            Kind::Duration => "h",
            Kind::Flow => "m3/h",
            Kind::MassRate => "kg/h",
            Kind::MassPerVolume => "kg/m3",
            Kind::MassPerArea => "kg/m2",
            Kind::Power => "kW",
            Kind::Energy => "kWh",
            _ => "",
        },
        Measure::Plain(after) | Measure::Pieces(after) => after,
        Measure::Share => "share",
        Measure::Clock => "h after midnight",
        Measure::Money => "money as typed",
        Measure::MoneyPerKg => "money as typed per kg",
    }
}

/// Three figures; whole numbers above a thousand in groups.
fn three(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_owned() } else { "no number".to_owned() };
    }
    let places = 2 - value.abs().log10().floor() as i32;
    let scale = 10.0_f64.powi(places);
    let rounded = (value * scale).round() / scale;
    if rounded.abs() >= 1000.0 { grouped(rounded) } else { format!("{rounded:.*}", places.max(0) as usize) }
}

fn cents(value: f64) -> String {
    let whole = if value.abs() < 1000.0 { format!("{value:.2}") } else { grouped(value) };
    whole.strip_suffix(".00").map_or(whole.clone(), str::to_owned)
}

/// What is wrong with one input, as a sentence.
pub fn slip(slip: &Slip) -> String {
    let said = match (&slip.what, slip.input) {
        (Wrong::UnknownKey { nearest, .. }, _) => {
            let near = nearest.map_or(String::new(), |near| format!(" Did you mean {near}?"));
            format!("“{}” is not asked for here.{near}", slip.name)
        }
        (Wrong::Twice { .. }, _) => format!("“{}” was given twice: keep one.", slip.name),
        (Wrong::NothingWithout { key }, _) => {
            let name = key.rsplit('.').next().unwrap_or(key);
            format!("the farm's description has no {name} there. Add it to the description, or leave this out.")
        }
        (Wrong::MoreThanThere { count }, _) => {
            let named = if *count == 0 { "none is".to_owned() } else { format!("{count} are") };
            format!(
                "{named} named for it in the farm's description. A hired one is asked for as one more, by what it moves."
            )
        }
        (Wrong::Missing, Some(input)) => format!("{} {}", input.question, how(input)),
        (what, input) => {
            let reason =
                Reason { line: 0, key: slip.name.clone(), of: None, typed: slip.typed.clone(), what: what.clone() };
            crate::farm::wrong(what, &reason, input)
        }
    };
    let mut letters = said.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// How an answer is written.
pub fn how(input: &Input) -> String {
    match input.takes {
        Takes::Clock => "A time of day, such as 20:00 or 8 pm.".to_owned(),
        Takes::Quantity(Kind::MassPerVolume, Some(_)) => "In mg/L, which is ppm, such as 0.5.".to_owned(),
        Takes::Number => "A number.".to_owned(),
        _ => crate::farm::how(input.takes).replace('"', ""),
    }
}

/// Under a question: what it is about, how it is written, what stands in for it.
pub fn hint(input: &Input) -> String {
    let stands = match input.left_out {
        LeftOut::Needed => String::new(),
        LeftOut::Then(follows) => format!("Left empty: {follows}."),
        LeftOut::Assume(typed, source) | LeftOut::AssumeDollars(typed, source) => {
            format!("Left empty: {typed} ({source}).")
        }
    };
    let how = if matches!(input.takes, Takes::Words(_) | Takes::Text) { String::new() } else { how(input) };
    [input.about.replace('`', ""), how, stands]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// One line for each value that stood in.
pub fn taken(given: &Given) -> Vec<String> {
    given.assumed.iter().map(|(input, typed)| format!("{} {typed}", input.question)).collect()
}

/// Values outside what is usual.
pub fn unusual(given: &Given) -> Vec<String> {
    let said = |(input, from, to): &(&Input, &str, &str)| format!("{} Usual is {from} to {to}.", input.question);
    given.unusual.iter().map(said).collect()
}

/// The answer, for a terminal.
pub fn page(sum: &Sum, given: &Given, worked: &Worked, manner: Manner) -> String {
    let mut out = Lines::default();
    let row = |line: &Line| format!("  {:<52} {}", line.says, value(line, manner));
    out.wrapped(sum.question);
    out.blank();
    let remarks = |out: &mut Lines, of: fn(Weight) -> bool| {
        for one in worked.remarks.iter().filter(|one| of(one.weight)) {
            out.wrapped(&format!("{}{}", weight(one.weight), one.says));
            out.blank();
        }
    };
    // What is refused is said before any figure of it.
    remarks(&mut out, |weight| weight == Weight::Stop);
    worked.answers.iter().for_each(|line| out.line(&row(line)));
    out.blank();
    remarks(&mut out, |weight| weight != Weight::Stop);
    out.line(WORKING);
    out.hanging("  ", sum.formula);
    worked.steps.iter().for_each(|line| out.line(&row(line)));
    if !given.assumed.is_empty() {
        out.blank();
        out.line(TAKEN);
        taken(given).iter().for_each(|line| out.hanging("  ", line));
    }
    out.blank();
    out.wrapped(&format!("{HOLDS}: {}", either(sum.holds)));
    out.wrapped(&format!("{SOURCE}: {} {}", ended(sum.source), mark(sum.mark)));
    for one in sum.cautions {
        out.blank();
        out.wrapped(&format!("{CARE}: {}", caution(*one)));
    }
    out.text
}

/// The example as one would type it into a terminal.
pub fn example(sum: &Sum) -> String {
    let pairs: Vec<String> = sum
        .example
        .iter()
        .map(|(name, text)| if text.contains(' ') { format!("\"{name}={text}\"") } else { format!("{name}={text}") })
        .collect();
    format!("warmspell sum {} {}", sum.name, pairs.join(" ")).replace('$', "\\$")
}

/// All sums by group.
pub fn listed() -> String {
    let mut out = String::new();
    for one in Group::ALL {
        out.push_str(&format!("{}\n", group(one)));
        for sum in sums().filter(|sum| sum.group == one) {
            out.push_str(&format!("  {:<18} {}\n", sum.name, sum.question));
        }
        out.push('\n');
    }
    out.push_str("To see what one asks: warmspell sum NAME\n");
    out
}

/// No such sum.
pub fn unknown(name: &str) -> String {
    let near = sums().map(|sum| sum.name).min_by_key(|known| units::letters_apart(name, known));
    let near = near.filter(|known| units::letters_apart(name, known) <= 3 || known.contains(name));
    let near = near.map_or(String::new(), |near| format!(" Did you mean {near}?"));
    format!("There is no sum called {name}.{near} All of them: warmspell sum")
}

/// A word that is no `name=value`.
pub fn no_pair(text: &str) -> String {
    format!("{text}: write name=value, such as temp=24C; in quotes when there is a space: \"temp=24 C\".")
}

fn either(text: &str) -> &str {
    if text.is_empty() { "always." } else { text }
}

fn ended(text: &str) -> String {
    if text.ends_with('.') { text.to_owned() } else { format!("{text}.") }
}

/// The manual's page.
pub fn manual() -> String {
    let mut out = "# Sums at the pond\n\nMade from the table of sums; a test holds it. On the command line `warmspell sum NAME name=value ...`, on the page under Sums.\n\
        Units are yours. What is left out and has a stand-in is listed with the answer. Limits rest on few trials: your own numbers, and local\n\
        codes and licensed practice, go first.\n"
        .to_owned();
    for one in Group::ALL {
        out.push_str(&format!("\n## {}\n", group(one)));
        for sum in sums().filter(|sum| sum.group == one) {
            out.push_str(&format!("\n### {}: {}\n\n", sum.name, sum.question));
            for input in sum.inputs {
                out.push_str(&format!("- `{}`: {} {}\n", input.name(), input.question, hint(input)));
            }
            out.push_str(&format!(
                "\nFormula: {}.\n\nHolds: {}\n\nSource: {} {}\n\n```text\n{}\n```\n",
                sum.formula,
                either(sum.holds),
                ended(sum.source),
                mark(sum.mark),
                example(sum)
            ));
            for one in sum.cautions {
                out.push_str(&format!("\nCare: {}\n", caution(*one)));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use season::sums::sum;

    use super::*;

    fn told(name: &str, typed: &[(&str, &str)], manner: Manner) -> String {
        let sum = sum(name).expect("a sum");
        let given = sum.read(typed).expect("it can be read");
        page(sum, &given, &sum.work(&given), manner)
    }

    #[test]
    fn answers_come_in_ones_own_units_with_their_working() {
        let typed = [("total", "1.0 mg/L"), ("temp", "24 C"), ("ph", "8.0")];
        let page = told("ammonia", &typed, Manner::UsCustomary);
        for part in ["0.0502 mg/L", "5.02 %", "9.28", "pKa = 0.09018", "Recalled", "Watch: Near the limit"] {
            assert!(page.contains(part), "{part} in {page}");
        }
        let typed = [("catch", "300 kg"), ("catch_temp", "68 F"), ("water", "300 l"), ("water_temp", "16 C")];
        let page = told("ice", &typed, Manner::UsCustomary);
        assert!(page.contains("258 lb") && page.contains("323 lb"), "{page}");
        assert!(page.contains("How cold should it end? 1 C") && page.contains("Spines"), "{page}");
        assert!(told("ice", &typed, Manner::Metric).contains("117 kg"));
        let typed = [("first_at", "8 pm"), ("first", "8"), ("second_at", "22:00"), ("second", "6.8")];
        assert!(told("night-oxygen", &typed, Manner::UsCustomary).contains("4:20 a.m."));
        assert!(
            told("break-even", &[("cost", "$6152"), ("harvest", "800 lb")], Manner::UsCustomary)
                .contains("7.69 a pound")
        );
    }

    #[test]
    fn what_is_wrong_names_the_input_and_what_to_write() {
        let said = |typed: &[(&str, &str)]| {
            let slips = sum("ammonia").expect("a sum").read(typed).expect_err("it is wrong");
            slips.iter().map(slip).collect::<Vec<_>>().join("\n")
        };
        assert!(said(&[("total", "1"), ("ph", "8")]).contains("How warm is the water?"));
        assert!(said(&[("total", "1"), ("temp", "24"), ("ph", "8")]).contains("“24” has no unit"));
        assert!(said(&[("total", "1"), ("temp", "24 C"), ("ph", "80")]).contains("from 4 to 12"));
        assert!(said(&[("total", "1"), ("temp", "24 C"), ("hp", "8")]).contains("Did you mean ph?"));
    }

    #[test]
    fn figures_are_three_and_money_has_cents() {
        let cases = [
            (0.05017, "0.0502"),
            (79_302.0, "79,300"),
            (12.96, "13.0"),
            (999.6, "1,000"),
            (0.0, "0"),
            (-4.25, "-4.25"),
        ];
        for (value, text) in cases {
            assert_eq!(three(value), text);
        }
        assert_eq!(
            (cents(7.6912), cents(350.0), cents(6152.4)),
            ("7.69".to_owned(), "350".to_owned(), "6,152".to_owned())
        );
    }

    #[test]
    fn the_manual_is_made_from_the_table() {
        let kept = include_str!("../../../docs/sums.md");
        assert!(kept == manual(), "run: cargo run -p words --example sums > docs/sums.md");
    }
}
