//! What the page of a lot says: where it comes from, who has it, how fresh it is, whom to call.

use season::farm::Farm;
use season::farm::facts::market::SoldAs;
use season::farm::facts::{Pack, PackForm, Treatment};
use season::freshness::Clock;
use season::trace::{Call, Came, Fed, SoldLine, Source, Trace};
use units::{Day, Zone};

use crate::figures::{Manner, count, date_year as day, day_short, grouped, stopped};
use crate::page_harvest::at;

mod fresh;
mod text;

use fresh::moment_of;
pub use fresh::{advice, age, clock_from, fresh_row, fresh_short, keeps, moment_of as moment, warning};
pub use text::{lots_text, text, unknown_text};

/// Name of the page.
pub const TITLE: &str = "Trace a lot";
/// The question.
pub const ASK: &str = "Which lot? Type it from the label, or let a reader fill it in";
/// Button.
pub const LOOK: &str = "Trace it";
/// What is done without a lot.
pub const LEAD: &str =
    "A lot is pond, day of the catch and tub, as QUARRY-111004-B. Without the tub it is the pond's whole day.";
/// Above the known lots.
pub const LOTS: &str = "Lots that are written down";
/// There are none.
pub const NO_LOTS: &str = "No lot is written down yet. Baskets weighed on the harvest day make lots by pond, day and tub; packs and sales name them.";
/// Above lots that are near.
pub const NEAR: &str = "Near it";
/// Nothing is near.
pub const NONE_NEAR: &str = "No lot that is written down looks like it.";
/// Above freshness.
pub const FRESH: &str = "How fresh it is";
/// Heads of its table.
pub const FRESH_HEADS: [&str; 4] = ["As", "Now", "At its best until", "No longer sold as fresh from"];
/// Below it.
pub const FRESH_SAYS: &str = "Common practice, on melting ice from the first hour; your inspector has the last word. Anything that was warm has no clock: hold it apart and ask before selling.";
/// Above where it comes from.
pub const BACK: &str = "Where it comes from";
/// Above the packs.
pub const PACKS: &str = "Packs";
/// Heads of that table.
pub const PACK_HEADS: [&str; 6] = ["Lot", "What", "Packs", "Net of one", "Packed", "Kept at"];
/// No packs.
pub const NO_PACKS: &str = "No packs of it are written down.";
/// Way to the entry of packs.
pub const ADD_PACKS: &str = "Write down packs";
/// Way to the entry of a treatment.
pub const ADD_TREATMENT: &str = "Write down a treatment";
/// Above those to be called.
pub const CALLS: &str = "Who has it: call them";
/// Who may have some: what they bought names no lot.
pub const CALLS_PERHAPS: &str = "Who may have some: what they bought names no lot";
/// Heads of that table.
pub const CALL_HEADS: [&str; 5] = ["Buyer", "Reached by", "Has", "Last bought", "Surely?"];
/// Nobody.
pub const NOBODY: &str = "No buyer of it is named.";
/// Above the lines.
pub const LINES: &str = "Lines sold";
/// Heads of that table.
pub const LINE_HEADS: [&str; 6] = ["When", "Buyer", "Table", "Lot", "As", "Amount"];
/// Above the tables.
pub const HANDED: &str = "Handed to tables";
/// Heads of that table.
pub const HANDED_HEADS: [&str; 5] = ["When", "Table", "Lot", "As", "Amount"];
/// Way to the file.
pub const TO_EVENTS: &str = "As a file for other programs (GS1 EPCIS 2.0)";
/// Way to the list to call from.
pub const TO_RECALL: &str = "Recall list to print (PDF)";
/// What the file is.
pub const EVENTS_SAY: &str = "The file names lots by your own names. With a company number bought from GS1 others can tell them from everybody else's: type your item's number above the file.";
/// Question for an item's number.
pub const ITEM: &str = "Your GS1 number for the item, if you have one";
/// Crew see no buyers.
pub const OWNERS: &str = "Who bought it is shown to the farm's owner.";
/// On the recall list.
pub const RECALL: &str = "Recall list";
/// What a drill is.
pub const DRILL: &str = "A drill: pick a lot, note the hour, call nobody, and see whether every buyer is found within a quarter of an hour. In earnest: stop selling, hold what is left apart, call your inspector first, then these.";
/// To be ticked.
pub const CALLED: &str =
    "Called at ______, spoke with ________________, has still ________, will: hold / bring back / throw away";
/// First steps of a recall.
pub const FIRST_STEPS: [&str; 5] = [
    "Stop selling this lot and every lot below; hold packs and tubs apart, marked.",
    "Call the inspector or health office: they say what is recalled, and how it is made known.",
    "Call every buyer below. Write down whom you spoke with, what they still have, what they will do.",
    "Lines without a buyer's name: put a notice at the stand and wherever it was sold.",
    "Keep this list with the day's record of cold.",
];
/// Hands of the clock in words.
pub const CLOCK_FROM: &str = "Counted from";

/// A weight; nothing is shown as nothing, whatever sign a hair of it has.
fn weight(kg: f64, manner: Manner) -> String {
    crate::page_harvest::weight(if kg.abs() < 0.02 { 0.0 } else { kg }, manner)
}

/// A lot that nobody wrote down.
pub fn unknown(lot: &str) -> String {
    format!("{lot} is not written down")
}

/// The lot, in a headline.
pub fn headline(trace: &Trace, farm: &Farm) -> String {
    let Some(first) = trace.sources.first() else { return trace.lot.clone() };
    let ponds: Vec<String> = trace.sources.iter().map(|source| pond(farm, &source.pond)).collect();
    let mut names: Vec<&str> = ponds.iter().map(String::as_str).collect();
    names.dedup();
    let more = match trace.sources.len() {
        1 => String::new(),
        n => format!(", mixed from {n} tubs"),
    };
    format!("{}: {}, caught {}{more}", trace.lot, names.join(" and "), day(trace.caught().unwrap_or(first.on)))
}

fn pond(farm: &Farm, id: &str) -> String {
    farm.ponds.iter().find(|card| card.id == id).map_or(id, |card| card.name.as_str()).to_owned()
}

/// What matters first: fresh or not, how many have it.
pub fn reasons(trace: &Trace, clocks: &[Clock], is_owner: bool, zone: &Zone, manner: Manner) -> Vec<String> {
    let mut said: Vec<String> = clocks.iter().filter_map(|clock| warning(clock, zone, manner)).collect();
    if is_owner {
        let (lines, kg) = trace.unnamed;
        let named = match trace.calls.len() {
            0 => "No named buyer has some of it".to_owned(),
            1 => format!("{} has some of it", trace.calls[0].buyer),
            n => format!("{n} named buyers have some of it"),
        };
        let nameless = match lines {
            0 => String::new(),
            1 => format!("; one line without a name, {}", weight(kg, manner)),
            n => format!("; {n} lines without a name, {}", weight(kg, manner)),
        };
        said.push(stopped(format!("{named}{nameless}")));
        if trace.lotless.0 > 0 {
            let (lines, kg) = trace.lotless;
            let lines = if lines == 1 {
                "One line sold since then names".to_owned()
            } else {
                format!("{lines} lines sold since then name")
            };
            said.push(format!("{lines} no lot ({}): some may be of it.", weight(kg, manner)));
        }
        if trace.unread_count > 0 {
            let n = trace.unread_count;
            let what =
                if n == 1 { "One entry of the sale cannot be read" } else { "Some entries of the sale cannot be read" };
            said.push(format!("{what} yet and may be of it: look at the log, {n} in all."));
        }
    }
    said
}

/// Head of the lots that should go first.
pub const SELL_FIRST: &str = "Sell these first";

/// A lot that is packed, not all sold, and past its best.
pub fn sell_first(one: &season::trace::SellFirst, manner: Manner) -> String {
    stopped(format!("{}, {} left: {}", one.lot, weight(one.left_kg, manner), fresh_short(&one.clock)))
}

/// Title of a source.
pub fn source(one: &Source, farm: &Farm) -> String {
    let tub = if one.tub.is_empty() { String::new() } else { format!(", tub {}", one.tub) };
    format!("{}, {}{tub}", pond(farm, &one.pond), day(one.on))
}

/// What is known of a source, name and value.
pub fn source_rows(one: &Source, farm: &Farm, manner: Manner) -> Vec<(&'static str, String)> {
    let zone = &farm.place.zone;
    let mut rows = Vec::new();
    rows.push((
        "Baskets",
        match &one.caught {
            Some(caught) => {
                let whole = if caught.is_of_day { ". No basket names this tub: these are all of the day" } else { "" };
                let (first, last) = (at(caught.span.0, zone, manner), at(caught.span.1, zone, manner));
                let thrown = match caught.thrown_kg {
                    kg if kg > 0.02 => format!(", and {} thrown away", weight(kg, manner)),
                    _ => String::new(),
                };
                stopped(format!(
                    "{}{thrown} in {}, {first} to {last}{whole}",
                    weight(caught.weight_kg, manner),
                    baskets(caught.baskets)
                ))
            }
            None => "None written down for it.".to_owned(),
        },
    ));
    match &one.stocked {
        Some(lot) => {
            let mut said = format!("{} on {}", count(lot.stocking.count), day(lot.stocking.on));
            let tanks: Vec<&str> = lot.from.iter().map(|from| from.tank.as_str()).collect();
            if !tanks.is_empty() {
                said.push_str(&format!(", out of {}", tanks.join(", ")));
            }
            rows.push(("Stocked", stopped(said)));
        }
        None => rows.push(("Stocked", "Not written down.".to_owned())),
    }
    match one.came.is_empty() {
        true => rows.push(("Postlarvae", "No delivery is written down.".to_owned())),
        false => rows.extend(one.came.iter().map(|came| ("Postlarvae", postlarvae(came)))),
    }
    match one.feeds.is_empty() {
        true => rows.push(("Feed", "None is written down.".to_owned())),
        false => rows.extend(one.feeds.iter().map(|fed| ("Feed", feed(fed, manner)))),
    }
    match one.treatments.is_empty() {
        true => rows.push(("Treatments", "None is written down.".to_owned())),
        false => rows.extend(one.treatments.iter().map(|one| ("Treatment", treatment(one)))),
    }
    if let Some(late) = one.treatments.iter().find(|treated| treated.reaches(one.on)) {
        rows.push(("Waiting days", caught_too_soon(late, one.on)));
    }
    rows
}

fn baskets(n: usize) -> String {
    if n == 1 { "one basket".to_owned() } else { format!("{n} baskets") }
}

fn postlarvae(came: &Came) -> String {
    let number = came.count.map_or(String::new(), |number| format!("{} ", count(number)));
    let from = came.hatchery.as_deref().map_or(String::new(), |hatchery| format!(" from {hatchery}"));
    let papers = came.papers.as_deref().map_or(String::new(), |papers| format!("; papers: {papers}"));
    let perhaps = if came.is_followed { "" } else { ". No tank says so: it came before the stocking" };
    stopped(format!("{number}came {}{from}{papers}{perhaps}", day(came.on)))
}

fn feed(fed: &Fed, manner: Manner) -> String {
    let kind = if fed.kind.is_empty() { "feed without a name" } else { &fed.kind };
    let (first, last) = fed.span;
    stopped(format!("{} of {kind}, {} to {}", weight(fed.weight_kg, manner), day_short(first), day_short(last)))
}

/// A treatment in a line.
pub fn treatment(one: &Treatment) -> String {
    let dose = one.dose.as_deref().map_or(String::new(), |dose| format!(", {dose}"));
    let batch = one.batch.as_deref().map_or(String::new(), |batch| format!(", batch {batch}"));
    let against = one.against.as_deref().map_or(String::new(), |what| format!(", against {what}"));
    let wait = match one.wait_d {
        0 => "no waiting days".to_owned(),
        _ => format!("nothing caught before {}", day(one.free_from())),
    };
    stopped(format!("{} on {}{dose}{batch}{against}; {wait}", one.product, day(one.on)))
}

/// Waiting days reach into a catch that is past.
pub fn caught_too_soon(one: &Treatment, caught: Day) -> String {
    stopped(format!(
        "Caught {} though {} wants nothing caught before {}: hold it apart and ask your inspector",
        day(caught),
        one.product,
        day(one.free_from())
    ))
}

/// Waiting days reach into a catch to come.
pub fn wait_reaches(pond: &str, one: &Treatment, catch: Day) -> String {
    stopped(format!(
        "{pond}: {} of {} wants nothing caught to eat before {}, and the catch is {}. Move the catch, or ask whoever advised it{}",
        one.product,
        day_short(one.on),
        day(one.free_from()),
        day_short(catch),
        one.advised_by.as_deref().map_or(String::new(), |who| format!(" ({who})"))
    ))
}

/// What is in a pack.
pub fn pack_what(pack: &Pack) -> String {
    let what = match pack.form {
        PackForm::Whole => "whole",
        PackForm::Tails => "tails",
        PackForm::Live => "live",
    };
    if pack.is_frozen { format!("{what}, frozen") } else { what.to_owned() }
}

/// A row of the packs.
pub fn pack_row(pack: &Pack, manner: Manner) -> [String; 6] {
    let pieces = pack.piece_count.map_or(String::new(), |pieces| format!(", {} pieces", grouped(pieces)));
    let mixed = if pack.of_lots.is_empty() { String::new() } else { format!(" (of {})", pack.of_lots.join(", ")) };
    let use_by = pack.use_by.map_or(String::new(), |on| format!(", use by {}", day(on)));
    [
        format!("{}{mixed}", pack.lot),
        pack_what(pack),
        pack.packs.to_string(),
        format!("{}{pieces}", pack.net_kg.map_or("not told".to_owned(), |kg| weight(kg, manner))),
        format!("{}{use_by}", day_short(pack.packed)),
        pack.kept_at.clone().unwrap_or_default(),
    ]
}

/// What was packed, sold and is left by weight.
pub fn balance(trace: &Trace, manner: Manner) -> String {
    let (packed_kg, all) = trace.packed_kg();
    let part = if all { "" } else { " (of the packs that say their weight)" };
    let pieces = match trace.sold_pieces() {
        pieces if pieces > 0.0 => format!(" and {} pieces", grouped(pieces)),
        _ => String::new(),
    };
    let sold = weight(trace.sold_kg(), manner);
    stopped(format!("Packed {}{part}, sold {sold} by weight{pieces}", weight(packed_kg, manner)))
}

/// A form of the sale.
pub fn sold_as(form: SoldAs) -> &'static str {
    match form {
        SoldAs::Live => "live",
        SoldAs::Whole => "whole",
        SoldAs::Tails => "tails",
        SoldAs::Piece => "by the piece",
        SoldAs::Seconds => "seconds",
    }
}

fn amount(form: SoldAs, amount: f64, manner: Manner) -> String {
    if form.by_piece() { format!("{} pieces", grouped(amount)) } else { weight(amount, manner) }
}

/// A row of those to be called.
pub fn call_row(call: &Call, zone: &Zone, manner: Manner) -> [String; 5] {
    let pieces = if call.pieces > 0.0 { format!(", {} pieces", grouped(call.pieces)) } else { String::new() };
    [
        call.buyer.clone(),
        call.contact.clone().unwrap_or_else(|| "not written down".to_owned()),
        format!("{}{pieces}", weight(call.weight_kg, manner)),
        moment_of(call.span.1, zone, manner),
        if call.is_sure { "yes" } else { "perhaps: sold without a tub" }.to_owned(),
    ]
}

/// A row of the lines.
pub fn line_row(line: &SoldLine, zone: &Zone, manner: Manner) -> [String; 6] {
    let back = if line.is_back { ", taken back" } else { "" };
    [
        moment_of(line.at, zone, manner),
        line.buyer.clone().unwrap_or_else(|| "no name".to_owned()),
        line.table.clone(),
        line.lot.clone(),
        sold_as(line.sold_as).to_owned(),
        format!("{}{back}", amount(line.sold_as, line.amount, manner)),
    ]
}

/// A row of what was handed to tables.
pub fn handed_row(one: &season::trace::Handing, zone: &Zone, manner: Manner) -> [String; 5] {
    let back = if one.is_back { ", came back" } else { "" };
    [
        moment_of(one.at, zone, manner),
        one.table.clone(),
        one.lot.clone(),
        sold_as(one.sold_as).to_owned(),
        format!("{}{back}", amount(one.sold_as, one.amount, manner)),
    ]
}

/// Lots that hold it and lots that may.
pub fn holding(trace: &Trace) -> Vec<String> {
    let mut said = Vec::new();
    if !trace.parents.is_empty() {
        said.push(stopped(format!("Mixed from {}", trace.parents.join(", "))));
    }
    let others: Vec<&str> = trace.within.iter().filter(|lot| **lot != trace.lot).map(String::as_str).collect();
    if !others.is_empty() {
        said.push(stopped(format!("Some of it is in {}", others.join(", "))));
    }
    if !trace.perhaps.is_empty() {
        said.push(stopped(format!("Written down without a tub, so it may be of it: {}", trace.perhaps.join(", "))));
    }
    said
}

/// Word of an entry of packs, of what falls due and of losses, in the person's words.
pub fn word(field: &str, word: &str) -> String {
    match (field, word) {
        ("pack_form", "whole") => "Whole".to_owned(),
        ("pack_form", "tails") => "Tails".to_owned(),
        ("pack_form", "live") => "Live".to_owned(),
        ("again", "once") => "Once".to_owned(),
        ("again", "month") => "Every month".to_owned(),
        ("again", "quarter") => "Every quarter".to_owned(),
        ("again", "year") => "Every year".to_owned(),
        ("due_kind", "records") => "Records kept until".to_owned(),
        (_, other) => {
            let mut letters = other.chars();
            letters.next().map_or(String::new(), |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
        }
    }
}
