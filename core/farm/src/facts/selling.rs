//! Price, size and weight of a line that is asked for, handed out or sold: what is refused while it is typed.

use std::collections::BTreeMap;

use units::measure::{Kind, read_price};

use super::forms::Form;
use super::typed::FactRead;
use crate::inputs::{Input, Takes};
use crate::reasons::Wrong;

/// Kinds whose entries are lines of one form, with an amount.
pub(super) const LINE_KINDS: [&str; 3] = ["asked", "handed", "sale"];

/// Values by name.
type Values = [(&'static str, f64); 1];

/// Reads a price (`price_kg` or `price_each`, whole units of money) or looks whether a size is one; `None` for any other input.
pub(super) fn price_or_size(input: &Input, text: &str) -> Option<Result<Values, Wrong>> {
    match input.takes {
        Takes::PriceOfPrawns => Some(price(text).map(|(name, amount)| [(name, amount)])),
        Takes::SizeClass => match size(text) {
            Some((from_g, _)) => Some(Ok([("size_from", from_g)])),
            None => Some(Err(Wrong::NotASize)),
        },
        _ => None,
    }
}

/// A price with the name of its value, whole units of money for a kg or a piece.
fn price(text: &str) -> Result<(&'static str, f64), Wrong> {
    let (name, price) = match (read_price(text, Kind::Count), read_price(text, Kind::Mass)) {
        (Ok(each), _) => ("price_each", each),
        (_, Ok(kg)) => ("price_kg", kg),
        (_, Err(error)) => return Err(Wrong::Measure(error)),
    };
    if price.amount < 0.0 { Err(Wrong::Negative) } else { Ok((name, price.amount)) }
}

/// Weights of one animal (of one tail, of tails) that a size holds, g: least, and what it stops short of.
pub(super) fn size(text: &str) -> Option<(f64, f64)> {
    let (fewest, most) = crate::ready::size_class(text)?;
    Some((if most.is_finite() { 1000.0 / most } else { 0.0 }, 1000.0 / fewest))
}

/// What a line's parts say of each other: pieces and a price each, or a weight and a price by weight; a tub lighter than what is in it.
pub(super) fn line(read: &mut FactRead, form: &Form, typed: &BTreeMap<String, String>) {
    let text = |name: &str| typed.get(name).map_or("", |text| text.trim());
    let slip = |read: &mut FactRead, name: &str, what: Wrong| {
        if let Some(field) = form.fields.iter().find(|field| field.name == name) {
            read.slip(field, text(name), what);
        }
    };
    let by_piece = text("sold_as") == "piece";
    let has = |read: &FactRead, name: &str| read.values.contains_key(name);
    if has(read, if by_piece { "price_kg" } else { "price_each" }) {
        slip(read, "price", Wrong::PriceOfOtherKind { by_piece });
    }
    let (needed, other) = if by_piece { ("pieces", "amount") } else { ("amount", "pieces") };
    if text(needed).is_empty() && !text(other).is_empty() && !text("sold_as").is_empty() {
        slip(read, needed, Wrong::Missing);
    }
    // An order of nothing is none.
    for (name, least, greatest, least_value) in
        [("amount", "0.01 lb", "20,000 lb", 0.0045), ("pieces", "1", "1,000,000", 1.0)]
    {
        if form.kind == "asked" && name == needed && read.values.get(name).is_some_and(|value| *value < least_value) {
            slip(read, name, Wrong::Outside { least, greatest });
        }
    }
    if let Some(&amount) = read.values.get("amount") {
        let tare = read.values.get("tare").copied().unwrap_or(0.0);
        if form.kind == "sale" && tare >= amount && tare > 0.0 {
            slip(read, "tare", Wrong::TareNotLess);
        } else if form.kind == "sale" {
            read.values.insert("net".to_owned(), amount - tare);
        }
    }
    if let (Some(from), Some(until)) = (units::Day::parse(text("day_from")), units::Day::parse(text("day_until")))
        && until < from
    {
        slip(read, "day_until", Wrong::EndsBeforeItBegins);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::read_typed;

    fn read(kind: &str, typed: &str) -> FactRead {
        let pairs = typed.split(';').filter_map(|pair| pair.split_once('='));
        read_typed(kind, 1, &pairs.map(|(key, text)| (key.to_owned(), text.to_owned())).collect())
    }

    #[test]
    fn a_line_without_its_unit_or_of_two_forms_is_refused() {
        let good = read("sale", "table=A;sold_as=whole;amount=2.5 lb;tare=0.1 lb;price=$12/lb");
        assert!(good.slips.is_empty(), "{:?}", good.slips);
        assert!((good.values["net"] - 2.4 * 0.453_592_37).abs() < 1e-9);
        assert!((good.values["price_kg"] - 12.0 / 0.453_592_37).abs() < 1e-9);
        for (typed, field) in [
            // A price that does not say for what.
            ("table=A;sold_as=whole;amount=2 lb;price=$12", "price"),
            ("table=A;sold_as=whole;amount=2 lb", "price"),
            // No form, or two in one line.
            ("table=A;amount=2 lb;price=$12/lb", "sold_as"),
            ("table=A;sold_as=whole tails;amount=2 lb;price=$12/lb", "sold_as"),
            ("table=A;sold_as=whole;amount=2 lb;price=$0.90 each", "price"),
            ("table=A;sold_as=piece;pieces=12;price=$12/lb", "price"),
            ("table=A;sold_as=piece;amount=2 lb;price=$0.90 each", "pieces"),
            ("table=A;sold_as=tails;pieces=12;price=$20/lb", "amount"),
            ("table=A;sold_as=whole;amount=2;price=$12/lb", "amount"),
            ("table=A;sold_as=whole;amount=-2 lb;price=$12/lb", "amount"),
            ("table=A;sold_as=whole;amount=2 lb;tare=2 lb;price=$12/lb", "tare"),
            ("table=A;sold_as=whole;amount=2 lb;price=$-12/lb", "price"),
            ("table=A;sold_as=whole;size=big;amount=2 lb;price=$12/lb", "size"),
            ("sold_as=whole;amount=2 lb;price=$12/lb", "table"),
            ("table=A;sold_as=piece;pieces=1.5;price=$0.90 each", "pieces"),
        ] {
            let read = read("sale", typed);
            assert!(read.slips.iter().any(|slip| slip.field == field), "{typed}: {:?}", read.slips);
        }
        for (typed, field) in [("sold_as=whole;amount=0 lb", "amount"), ("sold_as=piece;pieces=0", "pieces")] {
            let nothing = read("asked", &format!("buyer=Ann;{typed}"));
            assert!(nothing.slips.iter().any(|slip| slip.field == field), "{typed}: {:?}", nothing.slips);
        }
        let turned = read("asked", "buyer=Ann;sold_as=live;amount=9 lb;day_from=2020-09-20;day_until=2020-09-12");
        assert!(turned.slips.iter().any(|slip| slip.what == Wrong::EndsBeforeItBegins));
    }

    #[test]
    fn sizes_are_weights_of_one() {
        let (from_g, to_g) = size("12 to 16 per lb").expect("a size");
        assert!((from_g - 453.592_37 / 16.0).abs() < 1e-9 && (to_g - 453.592_37 / 12.0).abs() < 1e-9);
        assert_eq!(size("over 16 per lb").map(|(from_g, _)| from_g), Some(0.0));
        assert_eq!(size("under 12 per lb").map(|(_, to_g)| to_g), Some(f64::INFINITY));
    }
}
