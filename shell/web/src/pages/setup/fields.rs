//! One question of the set-up as a field: made from the table of inputs, whatever it asks for.

use farm::inputs::{Input, NOT_KNOWN, Takes};
use farm::setup::{Draft, Step, input_at};
use maud::{Markup, html};
use units::Day;
use words::figures::Manner;
use words::page_setup as say;

use super::{Fields, field};

/// What a field is drawn with.
pub struct Drawn<'a> {
    /// The answers.
    pub draft: &'a Draft,
    /// What is wrong, by address.
    pub slips: &'a [(String, String)],
    /// What is odd, by address.
    pub odd: &'a [(String, String)],
    /// The person's own units.
    pub manner: Manner,
}

/// Every address a page asks for: of each list on it, its rows and one more.
pub fn addresses(draft: &Draft, step: &Step, row: Option<usize>) -> Vec<String> {
    let mut all = Vec::new();
    for asked in step.asked {
        for section in sections(draft, asked.section, row, true) {
            let names = asked.first.iter().chain(asked.later);
            all.extend(names.map(|name| format!("{section}.{name}")));
        }
    }
    all
}

/// The sections an entry of the table of pages stands for.
pub fn sections(draft: &Draft, section: &str, row: Option<usize>, one_more: bool) -> Vec<String> {
    match section.strip_suffix(".*") {
        Some(list) => (0..draft.rows(list) + usize::from(one_more)).map(|place| format!("{list}.{place}")).collect(),
        None => vec![section.replace('#', &row.unwrap_or(0).to_string())],
    }
}

/// Takes what was typed on a page into the draft: nothing but its own questions.
pub fn take(draft: &mut Draft, step: &Step, row: Option<usize>, fields: &Fields) {
    for at in addresses(draft, step, row) {
        if !fields.iter().any(|(name, _)| *name == at) {
            continue;
        }
        let text = field(fields, &at).trim();
        let unit = field(fields, &format!("unit:{at}")).trim();
        let bare = text.bytes().any(|byte| byte.is_ascii_digit())
            && text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b'-'));
        let gap = if unit.starts_with('/') { "" } else { " " };
        let text = if bare && !unit.is_empty() { format!("{text}{gap}{unit}") } else { text.to_owned() };
        // Left empty as before, where the person said that it is not known.
        if !(text.is_empty() && draft.get(&at) == NOT_KNOWN) {
            draft.set(&at, &text);
        }
    }
}

/// Says "not known" to what was left empty on a page and has a guess.
pub fn guess_open(draft: &mut Draft, step: &Step, row: Option<usize>) {
    for asked in step.asked.iter().filter(|asked| !asked.first.is_empty()) {
        let mut all = sections(draft, asked.section, row, false);
        if all.is_empty() && asked.section == "price.*" {
            all.push("price.0".to_owned());
        }
        for section in all {
            draft.guess_open(&section, asked.first);
        }
    }
}

/// The mark of a field on its page.
pub fn mark(at: &str) -> String {
    format!("e-{}", at.replace(['.', '_'], "-"))
}

/// The field.
pub fn one(drawn: &Drawn, at: &str) -> Markup {
    let Some(input) = input_at(at) else { return html! {} };
    let text = match drawn.draft.get(at) {
        NOT_KNOWN => "",
        text => text,
    };
    match input.takes {
        Takes::Words(words) => chips(drawn, input, at, text, words),
        Takes::WordsOrShare(words) => chips(drawn, input, at, text, words),
        Takes::YesNo => chips(drawn, input, at, text, &["true", "false"]),
        _ => typed(drawn, input, at, text),
    }
}

fn said<'a>(all: &'a [(String, String)], at: &str) -> Option<&'a str> {
    all.iter().find(|(other, _)| other == at).map(|(_, said)| said.as_str())
}

fn below(drawn: &Drawn, input: &Input, at: &str) -> Markup {
    let id = mark(at);
    html! {
        p.hint id=(format!("h-{id}")) { (say::hint(input, drawn.draft.get("farm.currency") == "USD", drawn.manner)) }
        @if let Some(said) = said(drawn.slips, at) { p.wrong id=(format!("w-{id}")) { (said) } }
        @if let Some(said) = said(drawn.odd, at) { p.odd id=(format!("o-{id}")) { (said) } }
    }
}

fn described(drawn: &Drawn, at: &str) -> String {
    let id = mark(at);
    let wrong = said(drawn.slips, at).map(|_| format!(" w-{id}")).unwrap_or_default();
    let odd = said(drawn.odd, at).map(|_| format!(" o-{id}")).unwrap_or_default();
    format!("h-{id}{wrong}{odd}")
}

fn chips(drawn: &Drawn, input: &Input, at: &str, text: &str, words: &[&str]) -> Markup {
    let text = match (text, input.takes) {
        ("yes", Takes::YesNo) => "true",
        ("no", Takes::YesNo) => "false",
        (text, _) => text,
    };
    let strange = (!text.is_empty() && !words.contains(&text)).then_some(text);
    html! {
        fieldset.chips id=(mark(at)) aria-describedby=(described(drawn, at)) {
            legend { (input.question) }
            @for word in words.iter().copied().chain(strange).chain([""]) {
                label.chip {
                    input type="radio" name=(at) value=(word) checked[text == word];
                    span { @if word.is_empty() { (say::CHOOSE) } @else { (say::word(input.key, word)) } }
                }
            }
            (below(drawn, input, at))
        }
    }
}

fn typed(drawn: &Drawn, input: &Input, at: &str, text: &str) -> Markup {
    let id = mark(at);
    let units = say::units(input, drawn.manner, drawn.draft.get("farm.currency"));
    let (number, unit) = apart(text, &units);
    let mode = match input.takes {
        Takes::Whole => "numeric",
        Takes::Quantity(..) | Takes::Number | Takes::Price(_) | Takes::PriceOfPrawns => "decimal",
        _ => "text",
    };
    // Latitudes carry letters.
    let mode = if units.is_empty() && matches!(input.takes, Takes::Quantity(..)) { "text" } else { mode };
    let is_date = input.takes == Takes::Date && (text.is_empty() || Day::parse(text).is_some());
    html! {
        div.field {
            label for=(id) { (input.question) }
            span.typed {
                input id=(id) type=(if is_date { "date" } else { "text" }) name=(at) value=(number) inputmode=[(!is_date).then_some(mode)]
                    autocomplete="off" maxlength="2000" data-at=(at) aria-describedby=(described(drawn, at))
                    aria-invalid=[said(drawn.slips, at).map(|_| "true")];
                @match units.as_slice() {
                    [] => {},
                    [(label, one)] => {
                        span.unit { (label) }
                        input type="hidden" name=(format!("unit:{at}")) value=(one);
                    }
                    several => {
                        select name=(format!("unit:{at}")) data-unit=(at) aria-label=(format!("{}: {}", say::UNIT, input.question)) {
                            @for (label, one) in several { option value=(one) selected[unit == *one] { (label) } }
                        }
                    }
                }
            }
            (below(drawn, input, at))
        }
    }
}

/// A value as number and unit, where it ends in one of the units offered; else all of it as it was typed.
fn apart<'a>(text: &'a str, units: &[(String, String)]) -> (&'a str, String) {
    for (_, unit) in units {
        if let Some(number) = text.strip_suffix(unit.as_str()).map(str::trim_end)
            && !number.is_empty()
            && number.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b'-'))
        {
            return (number, unit.clone());
        }
    }
    (text, String::new())
}

#[cfg(test)]
mod tests {
    use super::*;
    use farm::setup::{STEPS, asked};

    /// Posts a page as a browser would after it was shown, with nothing changed.
    fn again(draft: &Draft, step: &Step, row: Option<usize>) -> Draft {
        let mut fields: Fields = Vec::new();
        for at in addresses(draft, step, row) {
            let input = input_at(&at).expect("in the table");
            let units = say::units(input, Manner::UsCustomary, draft.get("farm.currency"));
            let text = Some(draft.get(&at)).filter(|text| *text != NOT_KNOWN).unwrap_or("");
            let (number, unit) = apart(text, &units);
            let first = units.first().map(|(_, unit)| unit.clone()).unwrap_or_default();
            fields.push((at.clone(), number.to_owned()));
            fields.push((format!("unit:{at}"), if unit.is_empty() { first } else { unit }));
        }
        let mut after = draft.clone();
        take(&mut after, step, row, &fields);
        after
    }

    #[test]
    fn a_page_sent_back_unchanged_changes_nothing() {
        let sample = include_str!("../../../../../samples/hazel-bend/farm.toml");
        let draft = Draft::read(sample).expect("the sample");
        for step in STEPS {
            for row in 0..draft.rows("pond") {
                assert_eq!(again(&draft, step, Some(row)), draft, "{}", step.id);
            }
        }
    }

    #[test]
    fn wrong_answers_stay_as_they_were_typed() {
        let mut draft = Draft::default();
        let step = farm::setup::step("pond").expect("a page");
        for (typed, unit, kept) in [
            ("abc", "ft", "abc"),
            ("3,5", "ft", "3,5 ft"),
            ("3 ft 6 in", "m", "3 ft 6 in"),
            ("16,000", "/ac", "16,000/ac"),
            ("-", "ft", "-"),
        ] {
            let at = "pond.0.shallow_depth";
            let fields = vec![(at.to_owned(), typed.to_owned()), (format!("unit:{at}"), unit.to_owned())];
            take(&mut draft, step, Some(0), &fields);
            assert_eq!(draft.get(at), kept);
        }
        // A page takes its own questions only.
        take(&mut draft, step, Some(0), &vec![("place.latitude".to_owned(), "1 N".to_owned())]);
        assert_eq!((draft.get("place.latitude"), asked("place.latitude").map(|step| step.id)), ("", Some("place")));
    }
}
