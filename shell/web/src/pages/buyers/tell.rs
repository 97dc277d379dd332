//! Who must be told of which day: one entry for a buyer, the days of theirs within, each with its message and the ways to write down what
//! they said.

use maud::{Markup, html};
use season::promised::{Buyer, Coming, Fetched, Ice, Promised, Share};
use words::page_buyers as say;

use crate::pages::sale::in_address;
use crate::parts::reached::reached;
use crate::served::Served;

/// A day that a buyer must be told of.
#[derive(Clone, Copy)]
struct Open<'a> {
    buyer: &'a Buyer,
    fetched: &'a Fetched,
    one: &'a Coming,
    share: Option<&'a Share>,
    /// Place of the catch among those that are fetched.
    at: usize,
}

/// The buyer as they stand before a catch, and their share of it: lots on ice come first, then the coming catches.
pub fn theirs<'a>(
    found: Option<&'a Promised>,
    ice: &'a Ice,
    at: usize,
    buyer: usize,
) -> (&'a Buyer, Option<&'a Share>) {
    let share = |shares: &'a [Share], at: usize| shares.iter().find(|share| share.catch == at && share.buyer == buyer);
    match ice.lots.get(at) {
        Some(lot) => (&lot.buyers[buyer], share(&lot.shares, at)),
        None => (&ice.rest[buyer], found.and_then(|found| share(&found.shares, at - ice.lots.len()))),
    }
}

/// A way to write down what a buyer said of a day.
pub fn answered(
    facts: &Served,
    buyer: &Buyer,
    on: units::Day,
    slot_h: Option<f64>,
    answer: &str,
    label: &str,
) -> Markup {
    let slot = slot_h.map_or(String::new(), |hours| {
        let minutes = (60.0 * hours).round() as i64;
        format!("&slot={}:{:02}", minutes / 60, minutes % 60)
    });
    html! {
        a.mend href=(format!(
            "/f/{}/log/new?kind=told&of_order={}&buyer={}&day={on}{slot}&answer={answer}",
            facts.id, in_address(&buyer.id), in_address(&buyer.name)
        )) { (label) }
    }
}

/// A message, and the ways to send it: copied, or by the phone's own programs where a number or an address is known.
fn message(facts: &Served, Open { buyer, fetched, one, share, at }: Open<'_>) -> Markup {
    let text = say::message(&facts.farm.name, buyer, (fetched, one), share, facts.manner);
    let to = reached(buyer.contact.as_deref().unwrap_or_default());
    let id = format!("message-{}-{at}", one.buyer);
    html! {
        details {
            summary { (say::comes(buyer, (fetched, one), share, facts.manner)) }
            p.message id=(id) { (text) }
            div.onward.no-print {
                button type="button" hidden data-copies=(id) { (say::COPY) } " "
                @if let Some(link) = to.message_to(&text) { a.button href=(link) { (say::TEXT_IT) } " " }
                @if let Some(link) = to.letter_to(&say::subject(&facts.farm.name, fetched), &text) { a.button href=(link) { (say::MAIL_IT) } }
                p hidden data-copied="yes" role="status" { (say::COPIED) }
                p hidden data-copied="no" role="status" { (say::SELECTED) }
            }
            // Of a window no hour is told: once the day stands, they are told of it.
            @let slot_h = fetched.is_locked.then_some(one.slot_h);
            p.ways-on.no-print {
                (answered(facts, buyer, one.on, slot_h, "yes", say::TOLD_YES)) " "
                (answered(facts, buyer, one.on, slot_h, "no", say::TOLD_NO)) " "
                (answered(facts, buyer, one.on, slot_h, "no_answer", say::TOLD_OPEN))
            }
        }
    }
}

/// Messages to those who do not know the day that stands.
pub fn tell(facts: &Served, comes: &[Fetched], found: &Promised) -> Markup {
    let mut open: Vec<(&Buyer, Vec<Open<'_>>)> = Vec::new();
    for (at, fetched) in comes.iter().enumerate() {
        for one in fetched.buyers.iter().filter(|one| !one.is_told) {
            let (buyer, share) = theirs(Some(found), &found.ice, at, one.buyer);
            // Whose order is filled from what lies on ice is told of that, and of nothing more.
            if buyer.amount <= 0.0 {
                continue;
            }
            let day = Open { buyer, fetched, one, share, at };
            // Two orders of one buyer are told together.
            let same = |other: &Buyer| other.name == buyer.name && other.contact == buyer.contact;
            match open.iter_mut().find(|(other, _)| same(other)) {
                Some((_, days)) => days.push(day),
                None => open.push((buyer, vec![day])),
            }
        }
    }
    html! {
        section.part #tell aria-labelledby="h-tell" {
            h2 id="h-tell" { (say::TELL) }
            @for fetched in comes { p { (say::window(fetched)) } }
            @if comes.iter().any(|fetched| !fetched.is_locked) { p.hint { (say::WINDOW_SAYS) } }
            @if open.is_empty() { p { (say::TELL_NOBODY) } }
            ul.log {
                @for (buyer, days) in &open {
                    @let first = days.first().map_or(0, |day| day.at);
                    @let (now, later): (Vec<&Open<'_>>, Vec<&Open<'_>>) = days.iter().partition(|day| day.at == first);
                    li {
                        p.said { (buyer.name) " " (buyer.contact.as_deref().unwrap_or_default()) }
                        @if buyer.told.is_some() { p { (say::told(buyer, facts.manner)) } }
                        @for day in now { (message(facts, *day)) }
                        @if !later.is_empty() {
                            details.later {
                                summary { (say::later_days(later.len())) }
                                @for day in later { (message(facts, *day)) }
                            }
                        }
                    }
                }
            }
        }
    }
}
