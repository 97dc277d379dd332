//! What looks odd in an entry, and what the outlook makes of it: warnings, never refusals.

use farm::facts::market::MARKET_KINDS;
use farm::facts::{Fact, Slip, Unusual, read_typed};
use farm::reasons::Wrong;
use units::Instant;

use crate::page_log::field;

/// Above what looks odd.
pub const LOOK_ODD: &str = "Look again, please. This looks odd:";
/// What a second press does.
pub const SURE_HINT: &str = "If it is right, press the button once more: it is then kept as written.";
/// The button then.
pub const KEEP_ALL_THE_SAME: &str = "Keep it as written";

/// Whether a slip is only a value out of bounds: it may be kept as written, and then counts as no number. An order, a sale or a payment
/// without its number would count for nothing: those are refused (see [`is_refused`]).
pub fn may_be_kept(slip: &Slip) -> bool {
    matches!(slip.what, Wrong::Outside { .. })
}

/// Whether an entry of this kind comes back to the one who typed it with this slip.
pub fn is_refused(kind: &str, slip: &Slip) -> bool {
    MARKET_KINDS.contains(&kind) || !may_be_kept(slip)
}

/// What looks odd in an entry written at `now`.
pub fn odd(fact: &Fact, now: Instant) -> Vec<String> {
    let read = read_typed(&fact.kind, fact.form, &fact.typed);
    let mut said: Vec<String> = read.unusual.iter().map(unusual).collect();
    for slip in read.slips.iter().filter(|slip| !is_refused(&fact.kind, slip)) {
        said.push(format!("{}: {} As written it counts as no number.", field(&slip.field), crate::store::slip(slip)));
    }
    said.extend(other_degrees(fact));
    let ahead_s = fact.happened.at.0 - now.0;
    if ahead_s > 600 {
        let hours = crate::figures::span(ahead_s as f64 / 3600.0);
        said.push(format!("It is dated {hours} from now. Is the day right?"));
    }
    said
}

fn unusual(one: &Unusual) -> String {
    format!("{}: {} is unusual; most lie from {} to {}.", field(&one.field), one.typed, one.from, one.to)
}

/// Degrees of one kind that make sense as the other: `64 C`, `18 F`.
fn other_degrees(fact: &Fact) -> Option<String> {
    let text = fact.text("temperature")?;
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-'))).unwrap_or(text.len());
    let number: f64 = text[..end].parse().ok()?;
    let unit = text[end..].trim().trim_start_matches('°').trim().to_ascii_lowercase();
    match unit.as_str() {
        "c" if (45.0..=100.0).contains(&number) => Some(format!("Did you mean {number} °F?")),
        "f" if (2.0..=31.0).contains(&number) => Some(format!("Did you mean {number} °C?")),
        _ => None,
    }
}

/// What the outlook makes of a kind of entry, in a sentence.
pub fn reckoned(kind: &str) -> &'static str {
    match kind {
        "reading" => {
            "The outlook reckons with temperature, Secchi depth and stage; tonight's oxygen and the day's ammonia are told from theirs. The other figures are kept and shown."
        }
        "sample" => {
            "The outlook reckons with it: it draws the weights to what was weighed, and says nothing of how many there are."
        }
        "deaths" => "The outlook reckons with it. Nothing seen is worth an entry too: it says that you looked.",
        "feed" => {
            "What was left tells the outlook how much they want. What was given tells it nothing: it is kept and shown."
        }
        "stocked" => {
            "From now on the outlook reckons with these animals in this pond. Wild fish that came in with the water eat more prawns than any \
             bird: look before you stock, and ask what your state allows of animals that are not native."
        }
        "basket" | "moved" | "cold" | "edge" | "watch" | "closed" | "people" => {
            "The board of the harvest day reckons with it."
        }
        "overflow" => {
            "From now on the outlook holds that any share of these animals may be gone, and says less surely how many are left. Feed left over and dead seen \
             tell more; only the drained pond tells for sure."
        }
        "asked" => {
            "Buyers reckons with it at once: what is promised, what may yet be promised, who must be told. It moves no day of catch."
        }
        "told" => "Buyers and the pick-up list reckon with it.",
        "cost" | "gear_bought" | "budget" => "The books reckon with it at once. It moves no day of catch.",
        "handed" | "sale" | "paid" => "The sale's board and the books reckon with it.",
        "order" => "The page of the order tells what is due when, and what becomes of it if it is late, short or lost.",
        "pack" => "No lot, no sale: the trace of the lot shows it, back to its pond and forward to its buyers.",
        "treatment" => {
            "Its waiting days are told wherever a catch is planned before they are over. Only what is allowed where you are, as its label says; gloves and \
             goggles, acid and bleach never together."
        }
        "due" => {
            "The page of what falls due lists it; the morning shows it when it is near. Whether it is satisfied, the office says."
        }
        "loss" => {
            "Its own page puts the record of those days together, to print and as files. Call the insurer before you clear away."
        }
        "delivery" => "The tanks' page reckons with it: shares, feed and when they are ready.",
        "counted_out" => {
            "The tank falls by it. Into a pond it is that pond's stocking, with its doubt; several entries within a week add up. A dipped volume counts \
             swimming animals short, the more the larger and warmer they are: weigh where you can."
        }
        "tank" => "The tanks' page reckons with it. The other figures are kept and shown.",
        "chore" => "It then comes round again after its days.",
        "catch" => "The outlook takes the pond out of its plans once it is empty.",
        _ => "It is kept, shown and taken along in every file. The outlook does not reckon with it yet.",
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use farm::facts::Happened;

    use super::*;

    #[test]
    fn odd_values_are_told_and_plain_ones_are_not() {
        let now = Instant(1_600_000_000);
        for (temperature, ahead_s, wanted) in [
            ("64 F", 0, None),
            ("18 C", -86_400, None),
            ("60 C", 0, Some("Did you mean 60 °F?")),
            ("18 F", 0, Some("Did you mean 18 °C?")),
            ("100 F", 0, Some("100 F is unusual; most lie from 50 F to 97 F")),
            ("64 F", 86_400, Some("Is the day right?")),
        ] {
            let typed =
                [("pond", "willow"), ("temperature", temperature)].map(|(key, text)| (key.to_owned(), text.to_owned()));
            let fact = Fact {
                id: String::new(),
                farm: String::new(),
                device: String::new(),
                person: String::new(),
                kind: "reading".to_owned(),
                form: 1,
                happened: Happened { at: Instant(now.0 + ahead_s), offset_s: 0 },
                typed_ms: 0,
                corrects: None,
                typed: typed.into(),
                values: BTreeMap::new(),
            };
            let said = odd(&fact, now).join(" ");
            match wanted {
                None => assert_eq!(said, "", "{temperature}"),
                Some(wanted) => assert!(said.contains(wanted), "{temperature}: {said}"),
            }
        }
    }
}
