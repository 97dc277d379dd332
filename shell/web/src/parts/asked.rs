//! Questions of a table as a form that may be sent by its address: nothing typed into it is kept.

use farm::inputs::{Input, Takes};
use maud::{Markup, html};
use season::sums::Slip;
use words::sums as say;

/// Above a form: what is wrong, each leading to its question.
pub fn troubles(slips: &[Slip]) -> Markup {
    html! {
        div.trouble role="alert" {
            p { (say::WRONG) }
            ul {
                @for slip in slips {
                    li {
                        @match slip.input {
                            Some(input) => a href=(format!("#q-{}", input.name())) { (say::slip(slip)) },
                            None => (say::slip(slip)),
                        }
                    }
                }
            }
        }
    }
}

/// One question: its field as typed, what stands in when it is left empty, what is wrong with it.
pub fn field(input: &Input, typed: &[(&str, &str)], slips: &[Slip]) -> Markup {
    let name = input.name();
    let id = format!("q-{name}");
    let text = typed.iter().find(|(known, _)| *known == name).map_or("", |(_, text)| text);
    let wrong = slips.iter().find(|slip| slip.name == name);
    let described = format!("h-{name}{}", if wrong.is_some() { format!(" w-{name}") } else { String::new() });
    let below = html! {
        p.hint id=(format!("h-{name}")) { (say::hint(input)) }
        @if let Some(slip) = wrong { p.wrong id=(format!("w-{name}")) { (say::slip(slip)) } }
    };
    match input.takes {
        Takes::Words(words) => html! {
            fieldset.chips id=(id) aria-describedby=(described) {
                legend { (input.question) }
                @for word in words {
                    label.chip {
                        input type="radio" name=(name) value=(word) checked[text == *word];
                        span { (word.replace('-', " ")) }
                    }
                }
                (below)
            }
        },
        _ => html! {
            div.field {
                label for=(id) { (input.question) }
                span.typed {
                    input id=(id) type="text" name=(name) value=(text) autocomplete="off" maxlength="500"
                        aria-describedby=(described) aria-invalid=[wrong.map(|_| "true")];
                }
                (below)
            }
        },
    }
}
