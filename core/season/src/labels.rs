//! What stands on a tub or a pack: what it is, its lot, its weight, and the bars that say the same to a reader.
//!
//! Model     a lot is pond, day of catch and tub; elements and bars as `books`
//! Units     kg, pieces
//! Range     what the elements hold
//! Source    docs/model/selling.md
//! Left out  what a law asks for beyond what is common: the grower asks the inspector

use books::code128;
use books::gs1::{Ai, Element, Gs1Error, readable, string};
use farm::inputs::{Input, Takes};
use sums::{Given, Slip};
use units::Day;
use units::measure::Kind;

/// Most labels on one page.
const MOST: f64 = 60.0;
/// Characters that a pond's name gives to a lot: what follows it must fit behind.
const POND_LETTERS: usize = 9;

/// Every question of the page.
pub static INPUTS: &[Input] = &[
    Input::asked("label.what", Takes::Words(&["whole", "tails", "live"]), "What is in it?", "").then("whole, chilled"),
    Input::asked("label.tub", Takes::Text, "Which tub, tank or batch?", "Its letter becomes part of the lot.")
        .then("the lot is pond and day alone"),
    Input::asked(
        "label.net",
        Takes::Quantity(Kind::Mass, None),
        "What does it weigh, without box, wrapper, ice and drip?",
        "",
    )
    .range("0.01 lb", "2000 lb")
    .then("a line to write it on"),
    Input::asked("label.pieces", Takes::Quantity(Kind::Count, None), "How many pieces?", "If it is sold by the piece.")
        .range("1", "100,000")
        .then("they are not counted"),
    Input::asked("label.packed", Takes::Date, "On which day was it packed?", "").then("the day of the catch"),
    Input::asked("label.use_by", Takes::Date, "Use by which day?", "As your inspector says for this form.")
        .then("none is printed"),
    Input::asked(
        "label.item",
        Takes::Text,
        "Your number for this item, if you have one?",
        "8 to 14 digits, bought from GS1.",
    )
    .then("the bars hold lot, day and weight"),
    Input::asked("label.copies", Takes::Quantity(Kind::Count, None), "How many labels?", "")
        .range("1", "60")
        .assume("1", "one pack"),
];

/// What is in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Whole, chilled.
    Whole,
    /// Tails.
    Tails,
    /// Alive.
    Live,
}

/// A label.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What is in it.
    pub what: What,
    /// Its lot.
    pub lot: String,
    /// Net weight, kg.
    pub net_kg: Option<f64>,
    /// Pieces.
    pub pieces: Option<f64>,
    /// Day of the catch.
    pub caught: Day,
    /// Day it was packed.
    pub packed: Day,
    /// Use by.
    pub use_by: Option<Day>,
    /// Elements as people read them.
    pub readable: String,
    /// Bars and spaces in modules, a bar first.
    pub bars: Vec<u8>,
    /// How many of them.
    pub copies: usize,
}

/// What is wrong with what was typed.
#[derive(Debug, Clone)]
pub enum LabelError {
    /// Fields that cannot be read.
    Slips(Vec<Slip>),
    /// The item's number.
    Item(Gs1Error),
    /// The lot that tub, pond and day come to.
    Lot(Gs1Error),
    /// A day or a weight that no element holds.
    Element(Gs1Error),
    /// Packed before it was caught, or long after.
    Packed,
    /// Use by a day before it was packed, or years after.
    UseBy,
}

/// The lot of a pond's catch on a day, in a tub.
pub fn lot(pond: &str, caught: Day, tub: &str) -> String {
    let pond: String = pond.to_uppercase().chars().filter(char::is_ascii_alphanumeric).take(POND_LETTERS).collect();
    let (year, month, day) = caught.ymd();
    let tub = tub.trim().to_uppercase();
    let of_day = format!("{pond}-{:02}{month:02}{day:02}", year.rem_euclid(100));
    if tub.is_empty() { of_day } else { format!("{of_day}-{tub}") }
}

/// The label of what was typed. `is_lb`: weight is written in pounds.
///
/// # Errors
/// What is wrong with it.
pub fn label(pond: &str, caught: Day, typed: &[(&str, &str)], is_lb: bool) -> Result<Label, LabelError> {
    let given = Given::read(INPUTS, typed).map_err(LabelError::Slips)?;
    let text = |name: &str| typed.iter().find(|(known, _)| *known == name).map_or("", |(_, text)| text.trim());
    let packed = given.day("packed").unwrap_or(caught);
    // Frozen packs are kept two years at the most (common practice).
    const KEPT_D: i32 = 730;
    if !(0..=KEPT_D).contains(&(packed.0 - caught.0)) {
        return Err(LabelError::Packed);
    }
    if given.day("use_by").is_some_and(|on| !(0..=KEPT_D).contains(&(on.0 - packed.0))) {
        return Err(LabelError::UseBy);
    }
    let lot = lot(pond, caught, text("tub"));
    let mut elements = Vec::new();
    if !text("item").is_empty() {
        elements.push(Element::gtin(text("item")).map_err(LabelError::Item)?);
    }
    elements.push(Element::day(Ai::Packed, packed).map_err(LabelError::Element)?);
    let use_by = given.day("use_by");
    if let Some(day) = use_by {
        elements.push(Element::day(Ai::UseBy, day).map_err(LabelError::Element)?);
    }
    let net_kg = given.maybe("net");
    if let Some(kg) = net_kg {
        elements.push(Element::net(1000.0 * kg, is_lb).map_err(LabelError::Element)?);
    }
    elements.push(Element::lot(&lot).map_err(LabelError::Lot)?);
    let pieces = given.maybe("pieces");
    if let Some(pieces) = pieces {
        elements.push(Element::count(pieces as u64).map_err(LabelError::Element)?);
    }
    let bars = code128::widths(&string(&elements)).map_err(|wrong| LabelError::Lot(Gs1Error::NotInALot(wrong.0)))?;
    let what = match text("what") {
        "tails" => What::Tails,
        "live" => What::Live,
        _ => What::Whole,
    };
    let copies = given.get("copies").clamp(1.0, MOST) as usize;
    Ok(Label { what, lot, net_kg, pieces, caught, packed, use_by, readable: readable(&elements), bars, copies })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_says_what_was_typed_and_refuses_what_no_reader_takes() {
        let day = Day::new(2011, 10, 4).expect("a day");
        let typed = [("tub", "b"), ("net", "5 lb"), ("item", "10614141073464"), ("copies", "3")];
        let one = label("quarry", day, &typed, true).expect("a label");
        assert_eq!((one.lot.as_str(), one.copies, one.packed), ("QUARRY-111004-B", 3, day));
        assert_eq!(one.readable, "(01)10614141073464(13)111004(3202)000500(10)QUARRY-111004-B");
        let wrong = |typed: &[(&str, &str)]| label("quarry", day, typed, true).expect_err("refused");
        assert!(matches!(
            wrong(&[("item", "10614141073465")]),
            LabelError::Item(Gs1Error::CheckDigit { wanted: 4, .. })
        ));
        assert!(matches!(wrong(&[("tub", "Ä")]), LabelError::Lot(Gs1Error::NotInALot('Ä'))));
        assert!(matches!(wrong(&[("tub", "the blue one")]), LabelError::Lot(_)));
        assert!(matches!(wrong(&[("net", "much")]), LabelError::Slips(_)));
        assert!(matches!(wrong(&[("packed", "2011-10-03")]), LabelError::Packed));
        assert!(matches!(wrong(&[("use_by", "2031-01-01")]), LabelError::UseBy));
        assert!(label("a pond with a very long name", day, &[("tub", "2")], false).is_ok());
    }
}
