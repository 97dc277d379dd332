//! Choices of a harvest day's and of the sale's entries, and of money.

use farm::facts::{Field, MONEY_ACCOUNTS, MONEY_COSTS, Place};
use farm::inputs::{Takes, log_inputs};
use maud::{Markup, html};
use words::page_harvest as harvest;
use words::page_log as say;

use super::{Shown, row};

/// The places that a field of a harvest day's entry may name.
pub fn places(field: &str) -> Vec<(&'static str, &'static str)> {
    let of: &[Place] = match field {
        "to" => &[Place::Chill, Place::Live, Place::Dead, Place::Own],
        "out_of" => &[Place::Chill, Place::Live, Place::Table, Place::Store],
        _ => {
            &[Place::Table, Place::Store, Place::Chill, Place::Live, Place::Sold, Place::Waste, Place::Dead, Place::Own]
        }
    };
    of.iter().map(|place| (place.word(), harvest::place(*place))).collect()
}

/// Chips for words that have names of their own.
pub fn worded(shown: &Shown, field: &Field, words: &[&'static str]) -> Markup {
    let named: Vec<(&str, String)> = words.iter().map(|word| (*word, harvest::word(field.name, word))).collect();
    chips(shown, field.name, named.iter().map(|(word, label)| (*word, label.as_str())).collect(), field.needed)
}

/// Chips for the words of an entry of the sale, as the table of inputs knows them.
pub fn of_market(shown: &Shown, field: &Field) -> Markup {
    let words = log_inputs().find(|input| input.key == field.input).map(|input| input.takes);
    let Some(Takes::Words(words)) = words else { return html! {} };
    let named = words.iter().map(|word| (*word, words::page_sale::word(field.name, word))).collect();
    chips(shown, field.name, named, field.needed)
}

/// Chips for the words of an entry of packs, of what falls due and of losses, as the table of inputs knows them.
pub fn of_packs(shown: &Shown, field: &Field) -> Markup {
    let words = log_inputs().find(|input| input.key == field.input).map(|input| input.takes);
    let Some(Takes::Words(words)) = words else { return html! {} };
    let named: Vec<(&str, String)> =
        words.iter().map(|word| (*word, words::page_trace::word(field.name, word))).collect();
    chips(shown, field.name, named.iter().map(|(word, label)| (*word, label.as_str())).collect(), field.needed)
}

/// The hint of a field, and what is wrong with it.
fn described(shown: &Shown, name: &str) -> String {
    if shown.wrong(name).is_some() { format!("h-{name} w-{name}") } else { format!("h-{name}") }
}

/// A day, from the phone's own calendar.
pub fn date(shown: &Shown, field: &Field) -> Markup {
    let name = field.name;
    let hint = words::page_log::hint(field.input);
    row(
        shown,
        name,
        words::page_log::field(name),
        Some(hint).filter(|hint| !hint.is_empty()),
        html! {
            input id=(format!("e-{name}")) type="date" name=(name) value=(shown.text(name)) required[field.needed]
                aria-describedby=(described(shown, name)) aria-invalid=[shown.wrong(name).map(|_| "true")];
        },
    )
}

/// A mark that the program wrote: it goes with the entry, and nobody types it.
pub fn mark(shown: &Shown, field: &Field) -> Markup {
    html! {
        @if !shown.text(field.name).is_empty() { input type="hidden" name=(field.name) value=(shown.text(field.name)); }
    }
}

/// What money is for: too many words to lie side by side on a phone.
pub fn money_for(shown: &Shown, field: &Field) -> Markup {
    let words = if field.name == "account" { MONEY_ACCOUNTS } else { MONEY_COSTS };
    let chosen = shown.text(field.name);
    let control = html! {
        span.typed {
            select id=(format!("e-{}", field.name)) name=(field.name) required[field.needed] {
                option value="" selected[chosen.is_empty()] { (say::CHOOSE) }
                @for word in words { option value=(word) selected[chosen == *word] { (say::money_for(word)) } }
            }
        }
    };
    row(shown, field.name, say::field(field.name), None, control)
}

/// Chips, one of which is chosen.
pub fn chips(shown: &Shown, name: &str, all: Vec<(&str, &str)>, needed: bool) -> Markup {
    chips_under(shown, (name, say::field(name)), all, needed)
}

/// Chips under a question of their own.
pub fn chips_under(shown: &Shown, (name, legend): (&str, &str), all: Vec<(&str, &str)>, needed: bool) -> Markup {
    html! {
        fieldset.chips id=(format!("e-{name}")) {
            legend { (legend) }
            @for (value, label) in all {
                label.chip {
                    input type="radio" name=(name) value=(value) checked[shown.text(name) == value] required[needed];
                    span { (label) }
                }
            }
            @if let Some(said) = shown.wrong(name) { p.wrong { (said) } }
        }
    }
}

/// Several of a row; each says its name with a comma, so that they make a list.
pub fn many<'a>(shown: &Shown, name: &str, all: impl Iterator<Item = &'a str>) -> Markup {
    let chosen: Vec<&str> = shown.text(name).split(',').map(str::trim).collect();
    html! {
        fieldset.chips id=(format!("e-{name}")) {
            legend { (say::field(name)) }
            @for one in all {
                label.chip {
                    input type="checkbox" name=(name) value=(format!("{one},")) checked[chosen.contains(&one)];
                    span { (one) }
                }
            }
            @if let Some(said) = shown.wrong(name) { p.wrong { (said) } }
        }
    }
}
