//! What is in a pond, with its bands: number, weights, mass, sizes and forms, what was seen and what came out.

use maud::{Markup, html};
use season::answer::{Outlook, PondOutlook};
use words::figures::Manner;
use words::page_explain::Behind;
use words::{chemistry, oxygen, page_morning as morning_say, page_pond as pond_say, page_stock as say};

use crate::parts::explain::told;

/// The section's body. `samples` is the address of the page of samples.
pub fn in_pond(behind: &Behind, pond: &PondOutlook, samples: &str, manner: Manner) -> Markup {
    let of = &pond.stock;
    let mut rows = vec![
        (pond_say::ALIVE, say::alive(of), behind.in_pond_number(pond)),
        (pond_say::WEIGHT, say::weight(of, manner), behind.in_pond_weight(pond)),
        (pond_say::MOST, pond_say::in_the_net(pond), behind.sizes(pond)),
        (pond_say::MASS, say::in_all(of, manner), behind.in_pond_weight(pond)),
        (morning_say::FEED, words::feed::today(&pond.feed, manner), behind.feed(pond)),
        (oxygen::OXYGEN, oxygen::tonight(&pond.oxygen, behind.outlook.on, manner), behind.oxygen(pond)),
        (morning_say::LOSS, morning_say::loss(behind.outlook, pond), behind.loss(pond)),
        (morning_say::EMPTY, morning_say::empties(pond), behind.empties(pond)),
    ];
    let turned = oxygen::turned(&pond.oxygen, manner);
    let ammonia = chemistry::today(&pond.chemistry).map(|said| (chemistry::AMMONIA, said, behind.chemistry(pond)));
    let at = rows.len() - 2;
    rows.splice(at..at, turned.map(|said| (oxygen::TURNED, said, behind.oxygen(pond))).into_iter().chain(ammonia));
    let heads = if manner == Manner::Metric { say::SIZE_HEADS_METRIC } else { say::SIZE_HEADS };
    html! {
        p { (say::seen(of)) " " (say::NOT_NUMBERS) }
        @if let Some(taken) = say::taken(of, manner) { p.taken { (taken) } }
        dl.rows { @for (key, value, how) in &rows { div { dt { (key) } dd { (told(value, how)) } } } }
        @for sample in &of.samples { p.met { (say::sample_met(sample)) } }
        p.onward { a href=(samples) { (say::TO_SAMPLES) } }
        (table(pond_say::SIZES, &heads, of.sizes.iter().map(say::size_row).collect()))
        (table(say::FORMS, &say::FORM_HEADS, of.forms.iter().map(say::form_row).collect()))
        @if !of.crops.is_empty() {
            h3 { (say::CROPS) }
            @for crop in of.crops.iter().rev() { p { (say::crop_met(crop, manner)) } }
        }
    }
}

/// What a pond's weighed crops came to, the latest first.
pub fn came(outlook: &Outlook, pond: &str, manner: Manner) -> Markup {
    html! { @for crop in outlook.crops.iter().rev().filter(|crop| crop.pond == pond) { p { (say::crop_met(crop, manner)) } } }
}

/// A table of words whose first column names the row.
pub fn table<const N: usize>(caption: &str, heads: &[&str; N], rows: Vec<[String; N]>) -> Markup {
    html! {
        table.sizes {
            caption { (caption) }
            thead { tr { @for head in heads { th scope="col" { (head) } } } }
            tbody {
                @for row in &rows {
                    tr { th scope="row" { (row[0]) } @for cell in &row[1..] { td { (cell) } } }
                }
            }
        }
    }
}
