//! What the page of labels says, and what stands on a label.

use season::books::gs1::Gs1Error;
use season::labels::{Label, LabelError, What};
use units::Day;

use crate::figures::{Manner, grouped};

/// Name of the page.
pub const TITLE: &str = "Labels for tubs and packs";
/// What it is.
pub const LEAD: &str = "Print this page: the questions below are left off. Nothing typed here is kept.";
/// Which pond.
pub const POND: &str = "Pond";
/// The day of the catch.
pub const CAUGHT: &str = "On which day was it caught?";
/// Above the questions.
pub const ASK: &str = "What stands on it";
/// Button.
pub const MAKE: &str = "Make the labels";
/// What is to be asked elsewhere.
pub const RULES: &str = "Reminder only: what a label must say, whether heading and packing want a licence, and whether this scale may be traded on, your inspector says. Net weight is without box, wrapper, ice and drip.";
/// The bars' own title.
pub const BARS: &str = "The same, for a reader";
/// Allergen.
pub const ALLERGEN: &str = "Contains crustacean shellfish (prawn).";
/// Cold.
pub const KEEP: &str = "Keep at 40 °F (4 °C) or below. Cook before eating.";
/// Alive.
pub const KEEP_LIVE: &str = "Alive: keep cool, moist and aired. Cook before eating.";
/// Spines.
pub const SPINES: &str = "Sharp spines and claws.";
/// Where the weight is to be written.
pub const NET_BLANK: &str = "Net weight: ____________";

/// Name of what is in it.
pub fn what(what: What) -> &'static str {
    match what {
        What::Whole => "Freshwater prawns, whole, chilled",
        What::Tails => "Freshwater prawn tails, shell on, raw",
        What::Live => "Freshwater prawns, live",
    }
}

/// The species, as the trade's lists name it.
pub const SPECIES: &str = "Macrobrachium rosenbergii, farmed";

/// Net weight, and pieces.
pub fn net(label: &Label, manner: Manner) -> String {
    let pieces = label.pieces.map_or(String::new(), |pieces| format!(", {} pieces", grouped(pieces)));
    let Some(kg) = label.net_kg else { return format!("{NET_BLANK}{pieces}") };
    // Cut, not rounded: a pack never claims more than is in it.
    let cut = |value: f64, step: f64| (value / step + 1e-9).floor() * step;
    match manner {
        Manner::UsCustomary => {
            let pounds = cut(kg / 0.453_592_37, 0.01);
            format!("Net weight {pounds:.2} lb ({:.0} g){pieces}", cut(pounds * 453.592_37, 1.0))
        }
        Manner::Metric => format!("Net weight {:.3} kg{pieces}", cut(kg, 0.001)),
    }
}

/// Days of a label.
pub fn days(label: &Label) -> String {
    let day = |day: Day| day.to_string();
    let use_by = label.use_by.map_or(String::new(), |on| format!(". Use by {}", day(on)));
    format!("Caught {}, packed {}{use_by}", day(label.caught), day(label.packed))
}

/// Lot of a label.
pub fn lot(label: &Label) -> String {
    format!("Lot {}", label.lot)
}

/// Who packed it.
pub fn packer(farm: &str, pond: &str) -> String {
    format!("{farm}, pond {pond}")
}

/// What is wrong, with the question it belongs to.
pub fn wrong(error: &LabelError) -> Vec<(String, String)> {
    match error {
        LabelError::Slips(slips) => slips.iter().map(|slip| (slip.name.clone(), crate::sums::slip(slip))).collect(),
        LabelError::Item(error) => vec![("item".to_owned(), of(error))],
        LabelError::Lot(error) => vec![("tub".to_owned(), of(error))],
        LabelError::Element(error) => vec![("net".to_owned(), of(error))],
        LabelError::Packed => {
            vec![("packed".to_owned(), "It cannot be packed before it was caught, nor years after.".to_owned())]
        }
        LabelError::UseBy => {
            vec![("use_by".to_owned(), "It must be used after it was packed, and within two years.".to_owned())]
        }
    }
}

/// What is wrong with an item's number.
pub fn of_number(error: &Gs1Error) -> String {
    of(error)
}

fn of(error: &Gs1Error) -> String {
    match error {
        Gs1Error::NotADigit(letter) => format!("'{letter}' is no digit: the number has digits alone."),
        Gs1Error::Length { given, wanted: 20 } => {
            format!("The lot would have {given} letters, and bars take 20: give the tub a shorter name.")
        }
        Gs1Error::Length { given, .. } => format!("It has {given} digits; such a number has 8, 12, 13 or 14."),
        Gs1Error::CheckDigit { given, wanted } => {
            format!("Its last digit is {given} and should be {wanted}: one of them is mistyped.")
        }
        Gs1Error::NotInALot(letter) => {
            format!("'{letter}' cannot stand in a lot: letters from A to Z, digits, - and / can.")
        }
        Gs1Error::TooLarge => "That is more than a label's number can hold.".to_owned(),
        Gs1Error::Year => "A label's two digits tell years from 2000 to 2099.".to_owned(),
    }
}
