//! `/f/{farm}/called-and-came`: how good the mornings were. What was called for each dawn against the thermometer, by days ahead, beside
//! water that stays as it was; the bands; the chances.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use store::StoreError;
use words::page_morning::FIGURES;
use words::page_scores as say;

use super::{missing, sent};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses;
use crate::record::{Record, waiting};
use crate::scored::{self, Scored, Stretch};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/called-and-came", get(show))
}

/// Where one gets to it.
pub fn address(farm: &str, pond: Option<&str>) -> String {
    match pond {
        Some(pond) => format!("/f/{farm}/called-and-came?pond={pond}"),
        None => format!("/f/{farm}/called-and-came"),
    }
}

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let of = |key: &str| asked.iter().find(|(name, _)| name == key).map(|(_, value)| value.as_str());
    let pond = of("pond");
    if pond.is_some_and(|id| facts.farm.ponds.iter().all(|card| card.id != id)) {
        return missing();
    }
    let Some(record) = site.record() else {
        return sent(in_frame(&facts, html! { section.answer { h1 { (say::TITLE) } p.trouble { (say::NOT_KEPT) } } }));
    };
    match waiting(|| found(record, &facts, of("season"), pond)) {
        Ok(Some(found)) => sent(in_frame(&facts, body(&facts, &found))),
        Ok(None) => missing(),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            sent(in_frame(&facts, html! { section.answer { h1 { (say::TITLE) } p.trouble { (said) } } }))
        }
    }
}

/// What the page shows, and what one may choose.
struct Found {
    stretches: Vec<Stretch>,
    chosen: usize,
    pond: Option<String>,
    scored: Arc<Scored>,
}

/// `None` when there is no such stretch.
fn found(
    record: &Record,
    facts: &Served,
    season: Option<&str>,
    pond: Option<&str>,
) -> Result<Option<Found>, StoreError> {
    let stretches = scored::stretches(record.store(), &facts.id, &facts.farm)?;
    let chosen = season.map_or(Some(0), |key| stretches.iter().position(|stretch| stretch.key == key));
    let Some(chosen) = chosen else { return Ok(None) };
    let scored = scored::of_farm(record, facts, &stretches[chosen], pond)?;
    Ok(Some(Found { stretches, chosen, pond: pond.map(str::to_owned), scored }))
}

fn in_frame(facts: &Served, body: Markup) -> Markup {
    let frame = Frame::of(facts, say::TITLE, Here::Elsewhere);
    framed(&frame, html! { article.one-pond.scores { (body) } })
}

fn body(facts: &Served, found: &Found) -> Markup {
    let (scored, manner) = (&*found.scored, facts.manner);
    let scores = &scored.scores;
    let mut said = say::sentences(scores, manner).into_iter();
    let first = said.next();
    html! {
        section.answer {
            h1 { (say::headline(scores, scored.mornings.len(), manner)) }
            div.why {
                @match first {
                    Some(first) => { p.reason { (first) } @for sentence in said { p { (sentence) } } }
                    None => p.reason { (say::too_little(scores, scored.mornings.len())) },
                }
                @if facts.is_sample { p { (say::SAMPLE) } }
                @if let Some(kept) = say::kept(&scored.mornings) { p.age { (kept) } }
            }
            div.aside { (choices(facts, found)) }
        }
        @if scores.count > 0 {
            section.part aria-labelledby="h-leads" {
                h2 id="h-leads" { (say::BY_LEAD) }
                (misses::by_lead(scores, manner))
            }
        }
        @if !scored.recent.is_empty() {
            section.part aria-labelledby="h-latest" {
                h2 id="h-latest" { (say::LATEST) }
                (misses::latest(&scored.recent, &|id| found.pond.is_none().then(|| name(facts, id)), manner))
            }
        }
        @if !scores.chances.is_empty() {
            section.part aria-labelledby="h-chances" {
                h2 id="h-chances" { (say::BY_CHANCE) }
                @for sentence in say::chances(scores) { p { (sentence) } }
                details {
                    summary { (FIGURES) }
                    table {
                        caption { (say::CHANCE_TABLE) }
                        thead { tr { @for head in say::CHANCE_HEADS { th scope="col" { (head) } } } }
                        tbody { @for group in &scores.chances { (misses::row(&say::chance_row(group))) } }
                    }
                }
            }
        }
        section.part aria-labelledby="h-how" {
            h2 id="h-how" { (say::HOW) }
            @for sentence in say::counted() { p { (sentence) } }
            @if who::now().may == May::All {
                p.onward { a href=(format!("/f/{}/files/tables/forecast.csv", facts.id)) download { (say::ROWS) } }
                p.hint { (say::ROWS_HINT) }
            }
        }
    }
}

fn name(facts: &Served, id: &str) -> String {
    facts.farm.ponds.iter().find(|card| card.id == id).map_or(id, |card| &card.name).to_owned()
}

/// Other mornings, and single ponds.
fn choices(facts: &Served, found: &Found) -> Markup {
    let base = format!("/f/{}/called-and-came", facts.id);
    let season = &found.stretches[found.chosen].key;
    let to = |season: &str, pond: Option<&str>| match pond {
        Some(pond) => format!("{base}?season={season}&pond={pond}"),
        None => format!("{base}?season={season}"),
    };
    let pond = found.pond.as_deref();
    let ponds = facts.farm.ponds.iter().map(|card| (Some(card.id.as_str()), card.name.as_str()));
    html! {
        nav.choices aria-label=(say::STRETCHES) {
            ul.choice {
                @for (at, stretch) in found.stretches.iter().enumerate() {
                    li {
                        a href=(to(&stretch.key, pond)) aria-current=[(at == found.chosen).then_some("page")] {
                            (said(stretch))
                        }
                    }
                }
            }
        }
        nav.choices aria-label=(say::PONDS) {
            ul.choice {
                @for (id, name) in [(None, say::ALL_PONDS)].into_iter().chain(ponds) {
                    li { a href=(to(season, id)) aria-current=[(id == pond).then_some("page")] { (name) } }
                }
            }
        }
    }
}

fn said(stretch: &Stretch) -> &str {
    match &stretch.name {
        Some(name) => name,
        None if stretch.key == scored::ALL => say::ALL,
        None => say::SINCE_STOCKING,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scored::tests::{FARM, eight_mornings_read, kept, served, that_morning};

    #[test]
    fn the_page_shows_the_scores_worked_by_hand() {
        let of_test = kept("page", that_morning);
        let facts = Served { is_sample: false, ..served() };
        let page = |season: Option<&str>, pond: Option<&str>| {
            let found = found(&of_test.record, &facts, season, pond).expect("read").expect("a stretch");
            body(&facts, &found).into_string()
        };
        assert!(page(None, None).contains("No morning is kept yet"));
        eight_mornings_read(&of_test.record, &facts.farm);
        let text = page(None, None);
        for part in [
            "The next dawn was called to within 1.0 °C on average",
            "Of 8 dawns called a day ahead and read since, the likely value missed by 1.0 °C on average, and was 0.5 °C too warm",
            "Had the water stayed as it was read that morning, it would have missed by 2.0 °C.",
            "At 2 days ahead we were no nearer than water that stays as it was.",
            "12 of 16 did, four came colder and none warmer",
            "1 in 10 or less, given 16 times: it never came.",
            "More than 1 in 2, up to 3 in 4, given 16 times: it came 8 times.",
            "4 of 8 readings lay within the band called the morning before",
            "Thu 13 Oct, Willow",
            "no, colder",
        ] {
            assert!(text.contains(part), "{part}\nis not in\n{text}");
        }
        assert!(page(Some("all"), Some("quarry")).contains("No morning is kept yet"), "another pond's");
        assert!(found(&of_test.record, &facts, Some("1999"), None).expect("read").is_none());
        assert_eq!(address(FARM, Some("willow")), "/f/hazel-bend/called-and-came?pond=willow");
    }
}
