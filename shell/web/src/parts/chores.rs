//! Work that comes round: what is due, most pressing first, with one way to the entry for each pond.

use maud::{Markup, html};
use season::answer::Outlook;
use season::chores::ChoreDue;
use words::chores as say;

use crate::served::Served;

/// What is due today; nothing when nothing is.
pub fn chores(facts: &Served, outlook: &Outlook, done: &Markup) -> Markup {
    if outlook.chores.is_empty() && done.0.is_empty() {
        return html! {};
    }
    let (first, more) = outlook.chores.split_at(outlook.chores.len().min(say::SHOWN));
    html! {
        section.due id="due" aria-labelledby="h-due" {
            h2 id="h-due" { (say::DUE) }
            (done)
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
    let to = |pond: &str| format!("/f/{}/log/new?{}", facts.id, say::entry(due.chore, pond));
    let first =
        due.ponds.first().and_then(|pond| facts.farm.ponds.get(pond.index)).filter(|_| due.chore.word().is_some());
    html! {
        p { b { (say::long(due.chore)) } " " span.when { (say::since(due)) } }
        @if let Some(care) = say::care(due.chore) { p.hint { (care) } }
        ul.places {
            @for pond in &due.ponds {
                @if let Some(card) = facts.farm.ponds.get(pond.index) {
                    li {
                        @match due.chore.word() {
                            Some(word) => form method="post" action=(format!("/f/{}/log/done", facts.id)) {
                                input type="hidden" name="chore" value=(word);
                                input type="hidden" name="pond" value=(card.id);
                                button type="submit" aria-label=(say::done_now(due.chore, &card.name)) { (card.name) }
                            },
                            None => a.button href=(to(&card.id)) aria-label=(say::tap(due.chore, &card.name)) { (card.name) },
                        }
                    }
                }
            }
        }
        @if let Some(card) = first {
            p { a.mend href=(to(&card.id)) aria-label=(format!("{}: {}", say::long(due.chore), say::OTHERWISE)) { (say::OTHERWISE) } }
        }
    }
}
