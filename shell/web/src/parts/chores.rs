//! Work that comes round: what is due, most pressing first, with one way to the entry for each pond.

use maud::{Markup, html};
use season::answer::Outlook;
use season::chores::ChoreDue;
use words::chores as say;

use crate::served::Served;

/// What is due today; nothing when nothing is.
pub fn chores(facts: &Served, outlook: &Outlook) -> Markup {
    if outlook.chores.is_empty() {
        return html! {};
    }
    let (first, more) = outlook.chores.split_at(outlook.chores.len().min(say::SHOWN));
    html! {
        section.due aria-labelledby="h-due" {
            h2 id="h-due" { (say::DUE) }
            ul.due { @for due in first { li { (one(facts, due)) } } }
            @if !more.is_empty() {
                details {
                    summary { (say::MORE) }
                    ul.due { @for due in more { li { (one(facts, due)) } } }
                }
            }
            p.hint { (say::DUE_HINT) }
        }
    }
}

fn one(facts: &Served, due: &ChoreDue) -> Markup {
    html! {
        p { b { (say::long(due.chore)) } " " span.when { (say::since(due)) } }
        @if let Some(care) = say::care(due.chore) { p.hint { (care) } }
        ul.places {
            @for pond in &due.ponds {
                @if let Some(card) = facts.farm.ponds.get(pond.index) {
                    li {
                        a.button href=(format!("/f/{}/log/new?{}", facts.id, say::entry(due.chore, &card.id)))
                            aria-label=(say::tap(due.chore, &card.name)) { (card.name) }
                    }
                }
            }
        }
    }
}
