//! `/f/{farm}/ponds/{pond}/samples`: every sample of the animals now in a pond: its mean and how near that is, how many more to weigh.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::PondCard;
use farm::facts::{Kept, current, read_weighing};
use maud::{Markup, html};
use season::course::size_limits;
use season::sampling::{SampleTold, sample_told};
use store::{Asked, StoreError};
use words::page_log;
use words::page_stock as say;

use super::{missing, sent};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::in_pond::table;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// The precision shown when none is asked for, in 100.
const WITHIN: u32 = 10;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/ponds/{pond}/samples", get(show))
}

/// The page of a pond's samples.
pub fn address(farm: &str, pond: &str) -> String {
    format!("/f/{farm}/ponds/{pond}/samples")
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let Some(card) = facts.farm.ponds.iter().find(|card| card.id == id) else { return missing() };
    let within = asked.iter().find(|(key, _)| key == "within").and_then(|(_, text)| text.parse().ok());
    let within = within.filter(|within| (1..=50).contains(within)).unwrap_or(WITHIN);
    let written = match site.record() {
        Some(record) => waiting(|| recorded(record, &facts, card, within)),
        None => Ok(Vec::new()),
    };
    let written = written.unwrap_or_else(|error| {
        let path = site.record().map_or(std::path::Path::new(""), |record| record.store().path());
        vec![html! { p.trouble { (words::store::error(path, &error)) } }]
    });
    sent(framed(&Frame::of(&facts, say::SAMPLES, Here::Elsewhere), body(&facts, card, within, &written)))
}

fn body(facts: &Served, card: &PondCard, within: u32, written: &[Markup]) -> Markup {
    let limits_g = size_limits(&facts.farm);
    let of_file = card.samples.iter().filter(|sample| sample.is_of_file).filter_map(|sample| {
        let told = sample_told(&Default::default(), Some((sample.mean_weight_g, sample.counted)), &limits_g)?;
        Some((words::figures::day(sample.on), told))
    });
    let of_file: Vec<(String, SampleTold)> = of_file.collect();
    html! {
        article.one-pond.samples {
            section.answer {
                h1 { (card.name) ": " (say::SAMPLES.to_lowercase()) }
                div.why {
                    p { (say::NOT_NUMBERS) }
                    p { a.button.main href=(format!("/f/{}/log/new?pond={}&kind=sample", facts.id, card.id)) { (say::WEIGH) } }
                    form.near method="get" action=(address(&facts.id, &card.id)) {
                        label for="e-within" { (say::WITHIN) }
                        select #e-within name="within" {
                            @for one in say::WITHINS { option value=(one) selected[one == within] { (say::within(one)) } }
                        }
                        button type="submit" { (say::SHOW) }
                    }
                    p { a href=(format!("/f/{}/ponds/{}#h-stock", facts.id, card.id)) { (words::page_pond::STOCK) } }
                }
            }
            @if written.is_empty() && of_file.is_empty() { section.part { p { (say::NO_SAMPLES) } } }
            @for one in written { (one) }
            @for (day, told) in of_file.iter().rev() { (sample(day, "", told, within)) }
        }
    }
}

/// The samples that were entered, the latest first.
fn recorded(record: &Record, facts: &Served, card: &PondCard, within: u32) -> Result<Vec<Markup>, StoreError> {
    let asked = Asked { pond: Some(&card.id), kind: Some("sample"), ..Asked::default() };
    let all = record.store().facts_linked(&facts.id, asked)?;
    let entries = current(&all);
    let zone = &facts.farm.place.zone;
    let of_these = |kept: &&Kept| zone.day_and_second(kept.fact.happened.at).0 >= card.stocking.on;
    let mut kept: Vec<&Kept> = entries.iter().filter_map(|entry| entry.settled()).filter(of_these).collect();
    kept.sort_by_key(|kept| std::cmp::Reverse((kept.fact.happened.at, kept.seq)));
    Ok(kept.into_iter().map(|kept| one(facts, kept, within)).collect())
}

fn one(facts: &Served, kept: &Kept, within: u32) -> Markup {
    let value = |name: &str| kept.fact.values.get(name).copied();
    let mean = value("mean_weight").zip(value("counted")).map(|(mean_g, counted)| (mean_g, counted as u32));
    let (weighing, _) = read_weighing(&kept.fact.typed);
    let when = page_log::moment(kept.fact.happened.at, &facts.farm.place.zone, facts.manner);
    let told = sample_told(&weighing, mean, &size_limits(&facts.farm));
    html! {
        @match told {
            Some(told) => { (sample(&when, kept.fact.text("caught_by").unwrap_or_default(), &told, within)) }
            None => section.part { h2 { (when) } @for said in page_log::remarks(&kept.fact) { p.trouble { (said) } } },
        }
        p { a.mend href=(format!("/f/{}/log/{}/mend", facts.id, kept.fact.id)) { (page_log::MEND) span.unseen { ": " (when) } } }
    }
}

fn sample(when: &str, caught_by: &str, told: &SampleTold, within: u32) -> Markup {
    html! {
        section.part {
            h2 { (when) }
            p { (say::told(told)) }
            p { (say::more(told, within)) }
            @if let Some(forms) = &told.forms { p { (say::forms_told(forms)) } }
            p.hint { (say::gear(caught_by)) }
            @if !told.classes.is_empty() { (table(say::CLASSES, &say::CLASS_HEADS, told.classes.iter().map(say::class_row).collect())) }
        }
    }
}
