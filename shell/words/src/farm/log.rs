//! What is wrong with one field of a log entry.

use farm::facts::Slip;
use farm::inputs::{Takes, log_inputs};
use farm::reasons::{Reason, Wrong};

/// One sentence, to stand beside the field.
pub fn log_slip(slip: &Slip) -> String {
    let input = log_inputs().find(|input| input.key == slip.input);
    let said = match (&slip.what, slip.field.as_str()) {
        (Wrong::UnknownKey { .. }, "form" | "kind") => {
            "a newer warmspell made this entry. It is kept as typed, and read once this program is newer too."
                .to_owned()
        }
        (Wrong::UnknownKey { nearest, .. }, field) => {
            let near = nearest.map_or(String::new(), |near| format!(" Did you mean {near}?"));
            format!("“{field}” is not asked for here; it is kept as typed.{near}")
        }
        // In a form nobody writes quotes.
        (Wrong::Missing, _) if input.is_some_and(|input| input.takes == Takes::Text) => {
            format!("{} Write it.", input.map_or("", |input| input.question))
        }
        (Wrong::Missing, _) => input
            .map_or("this is missing.".to_owned(), |input| format!("{} {}", input.question, super::how(input.takes))),
        (what, _) => {
            let reason = Reason {
                line: 0,
                key: slip.input.to_owned(),
                of: None,
                typed: slip.typed.clone(),
                what: slip.what.clone(),
            };
            super::wrong(what, &reason, input)
        }
    };
    let mut letters = said.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use farm::facts::read_typed;

    fn said(field: &str, typed: &str) -> String {
        let body = [("pond", "willow"), (field, typed)].map(|(key, text)| (key.to_owned(), text.to_owned())).into();
        let read = read_typed("reading", 1, &body);
        read.slips.iter().filter(|slip| slip.field == field).map(super::log_slip).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_slip_says_what_is_wrong_and_how_to_write_it() {
        for (field, typed, wanted) in [
            ("temperature", "64", "“64” has no unit. Write it as"),
            ("temperature", "640 F", "“640 F” cannot be: from 28 F to 113 F is taken."),
            ("oxygen", "6 ft", "“ft” measures"),
            ("end", "deap", "Did you mean deep?"),
            ("temprature", "64F", "Did you mean temperature?"),
        ] {
            assert!(said(field, typed).contains(wanted), "{field} {typed}: {}", said(field, typed));
        }
    }
}
