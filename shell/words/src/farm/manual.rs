//! The page `docs/farm-file.md`, made from the table of inputs.

use farm::inputs::{Input, LeftOut, Takes, inputs, inputs_of};

use super::{heading, how};

/// The smallest farm that can be read; a test reads it.
pub(super) const SMALLEST: &str = r#"name = "A small farm"
currency = "USD"

[place]
latitude = "34.7 N"
longitude = "82.8 W"
elevation = "800 ft"
time_zone = "America/New_York"

[weather]
history = "history.csv"

[season]
last_catch = 2020-10-31

[[pond]]
name = "Front"
area = "0.5 ac"
shallow_depth = "3 ft"
deep_depth = "6 ft"
outlet = "pipe"
outlet_across = "6 in"
stocked = { on = 2020-05-27, density = "16,000/ac", mean_weight = "0.35 g" }

[crew]
owners = 2
helpers_weekday = 0
helpers_weekend = 4

[cold]
ice_daily = "600 lb"

[selling]
handled_daily = "500 lb"

[[price]]
form = "whole"
price = "$12/lb"
"#;

const OPENING: &str = "# The farm file

A farm is one text file. It says what a grower knows: where the farm lies, what the ponds are like, what was stocked, who works, what
there is to work with, what buyers pay. Each value stands on a line of its own, `key = value`, under the section it belongs to. Text
stands in quotes; whatever follows a `#` is a remark. (The form is TOML, an open one.)

- **Units are yours.** `\"3 ft 6 in\"`, `\"42 in\"` and `\"1.1 m\"` are the same to the program. A number that needs a unit and has none is
  refused: 3 could be feet or metres.
- **Decimals take a point**; a comma may part thousands: `\"1,800 m2\"`. A comma that could only be a decimal one is refused.
- **Dates** are year, month, day: `2020-09-12`. Times go by the farm's clock: `2020-09-12T06:40`.
- **Days and nights**: a day is 24 hours and a night 12. Nights alone are counted from the first evening to the last morning, so two
  nights are 36 hours. `\"a day and a night\"` is 24 hours.
- **Nothing is assumed in silence.** Where a line is left out and a value stands in for it, the program lists that value. A value that
  is taken but unusual is remarked on.
- **`\"not known\"`** may be written for any figure that the table holds a guess for; the guess is then used and listed as ours.
- **All at once.** If something cannot be used, every reason is told at once, with its line.

Fill in what you know and leave the rest. What you remember is worth writing down, even roughly: how long a pond takes to empty, pounds
and hands of last year.

## The least that will do

";

/// The page.
pub fn manual() -> String {
    let mut page = String::from(OPENING);
    page.push_str("```toml\n");
    page.push_str(SMALLEST);
    page.push_str("```\n\n## The top of the file\n\n");
    for input in inputs_of("farm").filter(|input| !is_section(input)) {
        page.push_str(&entry(input));
    }
    page.push_str("\nSections:\n\n");
    for input in inputs_of("farm").filter(|input| is_section(input)) {
        let needed = if input.left_out == LeftOut::Needed { " Needed." } else { "" };
        page.push_str(&format!("- `{}`: {}{needed}\n", heading(input.name()), input.question));
    }
    for section in inputs().filter(|input| is_section(input)) {
        page.push_str(&format!("\n## {}\n\n{}", title(section), section.about));
        if let LeftOut::Then(follows) = section.left_out {
            page.push_str(&format!(" Left out: {follows}."));
        }
        page.push_str("\n\n");
        for input in inputs_of(section.name()) {
            page.push_str(&entry(input));
        }
    }
    page
}

fn is_section(input: &Input) -> bool {
    matches!(input.takes, Takes::Section | Takes::Sections)
}

fn title(section: &Input) -> String {
    match section.section() {
        "farm" => format!("`{}`", heading(section.name())),
        "crew" => format!("`{}` of `[crew]`", section.name()),
        _ => format!("`{}` of a `[[pond]]`", section.name()),
    }
}

fn entry(input: &Input) -> String {
    if is_section(input) {
        return format!("- **`{}`** {} See below.\n", input.name(), input.question);
    }
    let mut entry = format!("- **`{}`** {} {}\n  {}", input.name(), input.question, input.about, how(input.takes));
    if let Some((least, greatest)) = input.range {
        entry.push_str(&format!(" Taken from {least} to {greatest}"));
        match input.usual {
            Some((from, to)) => entry.push_str(&format!("; usual from {from} to {to}.")),
            None => entry.push('.'),
        }
    } else if let Some((from, to)) = input.usual {
        entry.push_str(&format!(" Usual from {from} to {to} (asked of US dollars only)."));
    }
    entry.push('\n');
    entry.push_str(&match (input.left_out, input.guess) {
        (LeftOut::Needed, Some((typed, source))) => {
            format!("  *Needed;* `\"not known\"` stands for `{typed}`. Source: {source}.\n")
        }
        (LeftOut::Then(follows), Some((typed, source))) => {
            format!("  *Left out:* {follows}; `\"not known\"` stands for `{typed}`. Source: {source}.\n")
        }
        (LeftOut::Needed, None) => "  *Needed.*\n".to_owned(),
        (LeftOut::Then(follows), None) => format!("  *Left out:* {follows}.\n"),
        (LeftOut::Assume(typed, source), _) => format!("  *Left out:* `{typed}` is assumed. Source: {source}.\n"),
        (LeftOut::AssumeDollars(typed, source), _) => {
            format!("  *Left out:* `{typed}` is assumed where the money is US dollars, and it is needed elsewhere. Source: {source}.\n")
        }
    });
    entry
}
