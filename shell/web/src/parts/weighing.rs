//! The boxes a sample is typed into: for wet hands, one weight in each, or many at once; by form, by bucketfuls, or only the mean.

use farm::facts::{BUCKETS, Form, WEIGHT_LISTS};
use maud::{Markup, html};
use words::page_log as say;

use super::entry::{Shown, one, row};
use crate::served::Served;

/// Boxes for one weight each.
const BOXES: usize = 12;
/// Fields that stand here and not under the further ones.
pub const HERE: [&str; 12] = [
    "pond",
    "caught_by",
    "weights",
    "buckets",
    "blue_claw",
    "orange_claw",
    "small_male",
    "virgin",
    "berried",
    "open_female",
    "mean_weight",
    "counted",
];

/// The boxes of a sample.
pub fn fields(facts: &Served, shown: &Shown, asked: &Form) -> Markup {
    let field = |name: &str| asked.fields.iter().find(|field| field.name == name);
    let said = |names: &[&str]| names.iter().any(|name| !shown.text(name).is_empty() || shown.wrong(name).is_some());
    html! {
        @for name in ["pond", "caught_by"] { @if let Some(field) = field(name) { (one(facts, shown, field)) } }
        p.hint { (say::WEIGH_HINT) }
        fieldset.each id="e-weights" {
            legend { (say::field("weights")) (unit(facts, shown, "weights")) }
            @for at in 0..BOXES {
                input type="text" name="weights" inputmode="decimal" enterkeyhint="next" autocomplete="off" maxlength="12"
                    aria-label=(format!("{} {}", say::field("mean_weight"), at + 1)) autofocus[at == 0 && shown.wrong.is_empty()];
            }
        }
        (list(shown, "weights", say::MANY, html! {}))
        details open[said(&WEIGHT_LISTS[1..])] {
            summary { (say::BY_FORM) }
            @for name in &WEIGHT_LISTS[1..] { (list(shown, name, say::field(name), unit(facts, shown, name))) }
        }
        details open[said(&[BUCKETS])] {
            summary { (say::BY_BUCKET) }
            (list(shown, BUCKETS, say::field(BUCKETS), html! {}))
        }
        details open[said(&["mean_weight", "counted"])] {
            summary { (say::ONLY_MEAN) }
            @for name in ["mean_weight", "counted"] { @if let Some(field) = field(name) { (one(facts, shown, field)) } }
        }
    }
}

/// A box that takes a whole list.
fn list(shown: &Shown, name: &str, label: &str, unit: Markup) -> Markup {
    let hint = say::hint(if name == BUCKETS { "log.buckets" } else { "log.weights" });
    // The first list has its small boxes above, and they have the name.
    let id = if name == "weights" { "many" } else { name };
    let shown_again = shown.text(name);
    let control = html! {
        span.typed {
            textarea id=(format!("e-{id}")) name=(name) rows=(if name == "weights" || name == BUCKETS { "3" } else { "2" })
                autocomplete="off" maxlength="20000" aria-invalid=[shown.wrong(name).map(|_| "true")]
                aria-describedby=(format!("h-{id}")) { (shown_again) }
            (unit)
        }
    };
    html! {
        (row(shown, id, label, Some(hint), control))
        @if id != name { @if let Some(said) = shown.wrong(name) { p.wrong id=(format!("w-{name}")) { (said) } } }
    }
}

/// The unit that bare numbers have.
fn unit(facts: &Served, shown: &Shown, name: &str) -> Markup {
    let unit_name = format!("unit-{name}");
    let chosen = shown.text(&unit_name);
    html! {
        select name=(unit_name) aria-label=(format!("{}: {}", say::UNIT, say::field(name))) {
            @for (label, unit) in say::units(name, facts.manner) { option value=(unit) selected[chosen == *unit] { (label) } }
        }
    }
}
