//! Orders, prices, costs.

use units::measure::{self, Kind};

use crate::clerk::{Clerk, Desk};
use crate::farm::DoubtKind;
use crate::inputs::Takes;
use crate::means::StartOfWork;
use crate::reasons::{Shape, Wrong};
use crate::trade::{Ceiling, Costs, Form, Orders, Pays, Price, Prices, SaleDay, StandingBuyer};
use crate::typed::ValueTyped;

const FORMS: [Form; 4] = [Form::Live, Form::Whole, Form::Tails, Form::Piece];

pub(super) fn selling(clerk: &mut Clerk, top: &Desk<'_>, desk: &Desk<'_>) -> (Orders, Prices) {
    let processing_kg_day = clerk.number(desk, "handled_daily");
    let tail_yield = clerk.quantity(desk, "tail_yield");
    clerk.no_other_keys(desk);
    let mut ceilings: Vec<Ceiling> = Vec::new();
    for row in clerk.sections(top, "order") {
        let form = form(clerk, &row);
        if let Some(form) = form.filter(|&form| ceilings.iter().any(|ceiling| ceiling.form == form)) {
            debug_assert!(FORMS.contains(&form));
            clerk.refuse(&row, "form", Wrong::Both { other: "order.form" });
        }
        ceilings.push(Ceiling {
            form: form.unwrap_or(Form::Whole),
            kg_day: clerk.quantity(&row, "daily"),
            kg_total: clerk.quantity(&row, "in_all"),
            sold_kg: clerk.number(&row, "sold"),
            notice_h: clerk.number(&row, "notice"),
        });
        clerk.no_other_keys(&row);
    }
    (Orders { ceilings, processing_kg_day }, Prices { rows: prices(clerk, top), tail_yield })
}

pub(super) fn sale_day(clerk: &mut Clerk, desk: &Desk<'_>) -> SaleDay {
    let mut hour = |key: &str| match clerk.clock(desk, key) {
        Some(StartOfWork::Clock(hour)) => hour,
        Some(_) => {
            clerk.refuse(desk, key, Wrong::NotATime);
            f64::NAN
        }
        None => f64::NAN,
    };
    let (opens_h, unsold_h) = (hour("opens"), hour("unsold_at"));
    SaleDay { opens_h, unsold_h, slot_h: clerk.number(desk, "slot"), slot_buyers: clerk.whole(desk, "slot_buyers") }
}

pub(super) fn buyers(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<StandingBuyer> {
    let mut buyers: Vec<StandingBuyer> = Vec::new();
    for desk in clerk.sections(top, "buyer") {
        let name = clerk.text(&desk, "name");
        let form = form(clerk, &desk);
        let size_g = size(clerk, &desk);
        let takes_kg = clerk.quantity(&desk, "takes");
        let pieces = clerk.quantity(&desk, "pieces");
        let pays = if desk.has("price") { pays(clerk, &desk, form) } else { None };
        let contact = clerk.text(&desk, "contact");
        let weekdays = clerk.weekdays(&desk, "weekdays").unwrap_or([true; 7]);
        clerk.no_other_keys(&desk);
        let (needed, amount) = if form == Some(Form::Piece) { ("pieces", pieces) } else { ("takes", takes_kg) };
        if form.is_some() && !desk.has(needed) {
            clerk.refuse(&desk, needed, Wrong::Missing);
        }
        if let Some(first) =
            name.as_ref().and_then(|name| buyers.iter().find(|one| one.name == *name && Some(one.form) == form))
        {
            let typed = first.size.clone();
            if typed == desk.typed("size") {
                clerk.refuse(&desk, "name", Wrong::Both { other: "buyer.name" });
            }
        }
        let (Some(name), Some(form), Some(size_g), Some(amount)) = (name, form, size_g, amount) else { continue };
        buyers.push(StandingBuyer { name, form, size_g, size: desk.typed("size"), amount, pays, contact, weekdays });
    }
    buyers
}

fn form(clerk: &mut Clerk, row: &Desk<'_>) -> Option<Form> {
    clerk.word(row, "form").map(|word| FORMS[word])
}

fn prices(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<Price> {
    let desks = clerk.sections(top, "price");
    let mut rows: Vec<(Price, usize)> = Vec::new();
    for desk in &desks {
        let form = form(clerk, desk);
        let (from_g, to_g) = size(clerk, desk).unwrap_or((f64::NAN, f64::NAN));
        let pays = pays(clerk, desk, form);
        let (Some(form), Some(pays)) = (form, pays) else { continue };
        let overlaps = |other: &Price| other.form == form && from_g < other.to_g - 1e-6 && other.from_g < to_g - 1e-6;
        if let Some((_, line)) = rows.iter().find(|(other, _)| overlaps(other)) {
            let other = *line;
            clerk.refuse(desk, if desk.has("size") { "size" } else { "form" }, Wrong::SizesOverlap { other });
        }
        rows.push((Price { form, from_g, to_g, pays, class: desk.typed("size") }, desk.line));
    }
    for desk in &desks {
        clerk.no_other_keys(desk);
    }
    for form in FORMS {
        doubt_gaps(clerk, &desks, &rows, form);
    }
    rows.into_iter().map(|(price, _)| price).collect()
}

/// Sizes that no row of a form covers bring nothing: said at the form's first row.
fn doubt_gaps(clerk: &mut Clerk, desks: &[Desk<'_>], rows: &[(Price, usize)], form: Form) {
    let mut spans: Vec<(f64, f64, usize)> =
        rows.iter().filter(|(row, _)| row.form == form).map(|(row, line)| (row.from_g, row.to_g, *line)).collect();
    let Some(line) = spans.first().map(|span| span.2) else { return };
    spans.sort_by(|one, other| one.0.total_cmp(&other.0));
    spans.push((f64::INFINITY, f64::INFINITY, line));
    let mut covered_g = 0.0;
    for (from_g, to_g, _) in spans {
        let gap = from_g - covered_g > 1e-6 && covered_g.is_finite();
        if let Some(desk) = desks.iter().find(|desk| gap && desk.line == line) {
            clerk.doubt(desk, "size", DoubtKind::NoPriceForSizes { from_g: covered_g, to_g: from_g });
        }
        covered_g = to_g.max(covered_g);
    }
}

fn pays(clerk: &mut Clerk, desk: &Desk<'_>, form: Option<Form>) -> Option<Pays> {
    if desk.not_known("price") && form != Some(Form::Piece) {
        return clerk.coins_guessed(desk, "price", Kind::Mass).map(Pays::PerKg);
    }
    let field = clerk.field(desk, "price")?;
    if form == Some(Form::Piece) {
        return clerk.coins_in(&field, Kind::Count, None).map(Pays::Each);
    }
    debug_assert_eq!(field.input.takes, Takes::PriceOfPrawns);
    let usual = field.input.usual;
    clerk.coins_in(&field, Kind::Mass, usual).map(Pays::PerKg)
}

/// Weights of one piece, g, from the count per pound or kilogram: least, and what it stops short of.
fn size(clerk: &mut Clerk, desk: &Desk<'_>) -> Option<(f64, f64)> {
    let Some(field) = clerk.field(desk, "size") else { return Some((0.0, f64::INFINITY)) };
    let ValueTyped::Text(text) = field.value else {
        clerk.refuse_field(&field, Wrong::Shape { wants: Shape::Text });
        return None;
    };
    match size_class(text) {
        Some((fewest, most)) => {
            let (least, greatest) = crate::clerk::ends(field.input.range?, Kind::PiecesPerMass);
            let within = |count: f64| !count.is_finite() || count == 0.0 || (least..=greatest).contains(&count);
            if !within(fewest) || !within(most) {
                let (least, greatest) = field.input.range?;
                clerk.refuse_field(&field, Wrong::Outside { least, greatest });
                return None;
            }
            Some((if most.is_finite() { 1000.0 / most } else { 0.0 }, 1000.0 / fewest))
        }
        None => {
            clerk.refuse_field(&field, Wrong::NotASize);
            None
        }
    }
}

/// Pieces per kg, fewest and most: `under 12 per lb`, `12 to 16 per lb`, `12-16/lb`, `over 16 per lb`.
pub(crate) fn size_class(text: &str) -> Option<(f64, f64)> {
    let text = text.trim().to_lowercase();
    let count = |text: &str| measure::read(text, Kind::PiecesPerMass, None).ok().filter(|&count| count > 0.0);
    if let Some(rest) = ["under ", "up to ", "fewer than "].iter().find_map(|word| text.strip_prefix(word)) {
        return count(rest).map(|most| (0.0, most));
    }
    if let Some(rest) = ["over ", "above ", "more than "].iter().find_map(|word| text.strip_prefix(word)) {
        return count(rest).map(|fewest| (fewest, f64::INFINITY));
    }
    let (fewest, most) = text.split_once(" to ").or_else(|| text.split_once('-')).or_else(|| text.split_once('–'))?;
    let unit = most.trim_start().trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    let (fewest, most) = (count(&format!("{} {unit}", fewest.trim()))?, count(most)?);
    (fewest < most).then_some((fewest, most))
}

pub(super) fn costs(clerk: &mut Clerk, top: &Desk<'_>) -> Costs {
    let desk = clerk.section(top, "costs");
    let mut coins = |key| clerk.coins(&desk, key).unwrap_or(f64::NAN);
    let costs = Costs {
        feed_kg: coins("feed"),
        power_kwh: coins("power"),
        hand_h: coins("hand_hour"),
        // Priced per cubic metre by the reader.
        fuel_l: coins("fuel") / 1000.0,
        ice_kg: coins("ice"),
        packing_kg: coins("packing"),
    };
    clerk.no_other_keys(&desk);
    costs
}
