//! `/f/{farm}/plan`: the harvest plan, its reasons, and "and if".

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{Path, Query, RawQuery, State};
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use season::answer::Outlook;
use words::page;
use words::page_morning::mast_day;
use words::page_plan as say;

use super::morning::waiting;
use super::{missing, sent, treated};
use crate::desk::{Desk, Kept};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::worth::worth;
use crate::served::Served;
use crate::site::Site;

mod ask;

use ask::Ask;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/plan", get(show))
}

/// How long the page waits for an "and if" before it shows itself without, in steps.
const PATIENCE: (u32, Duration) = (60, Duration::from_millis(50));

async fn show(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Query(fields): Query<Vec<(String, String)>>,
    RawQuery(query): RawQuery,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let Some(outlook) = &kept.answer else { return sent(waiting(&facts, &kept, Here::Plan)) };
    let ask = Ask::read(&fields, &facts.farm);
    let other = match &ask {
        Ok(ask) if !ask.is_empty() => Some(answered(&desk, ask).await),
        _ => None,
    };
    let unfinished = kept.working || other.as_ref().is_some_and(|other| other.working);
    let frame = Frame {
        day: mast_day(outlook, facts.manner),
        again_s: unfinished.then_some(2),
        again_at: other.is_some().then(|| again_at(&farm, query.as_deref().unwrap_or_default())),
        ..Frame::of(&facts, page::PLAN, Here::Plan)
    };
    // A treatment's waiting days stand above dates that they forbid.
    let waits = treated::of_morning(&site, &facts, outlook);
    sent(framed(&frame, html! { (waits) (body(&facts, outlook, &fields, &ask, other.as_ref())) }))
}

/// The address of the same question with a count that grows: an address with a fragment is only fetched again when it differs.
fn again_at(farm: &str, query: &str) -> String {
    let (asked, count) = match query.rsplit_once("&again=") {
        Some((asked, count)) => (asked, count.parse().unwrap_or(0)),
        None => (query, 0_u32),
    };
    format!("/f/{farm}/plan?{asked}&again={}#what-if", count.saturating_add(1))
}

/// The answer to "and if", waited for a little.
async fn answered(desk: &Desk, ask: &Ask) -> Kept {
    let (steps, step) = PATIENCE;
    for _ in 0..steps {
        let kept = desk.and_if(&ask.key(), |facts| ask.on(facts));
        if !kept.working {
            return kept;
        }
        tokio::time::sleep(step).await;
    }
    desk.and_if(&ask.key(), |facts| ask.on(facts))
}

fn body(
    facts: &Served,
    outlook: &Outlook,
    fields: &[(String, String)],
    ask: &Result<Ask, Vec<ask::Fault>>,
    other: Option<&Kept>,
) -> Markup {
    let mut ponds: Vec<_> = outlook.ponds.iter().collect();
    ponds.sort_by_key(|pond| pond.planned.map_or(i32::MAX, |planned| planned.catch_day.0));
    html! {
        section.answer {
            h1 { (say::headline(outlook)) }
            @for sentence in say::reasons(outlook) { p { (sentence) } }
            p.onward { a href=(format!("/f/{}/plan/accept", facts.id)) { (say::TO_ACCEPT) } }
            p.onward { a href=(format!("/f/{}/winter", facts.id)) { (words::page_winter::SEE) } }
        }
        section.what-if #what-if aria-labelledby="h-what-if" {
            h2 id="h-what-if" { (say::WHAT_IF) }
            p.legend { (say::WHAT_IF_HINT) }
            @if let Some(other) = other { (against(facts, outlook, other)) }
            (ask::form(facts, outlook, fields, ask.as_ref().err().map_or(&[], Vec::as_slice)))
        }
        div.ponds {
            @for pond in ponds {
                @let card = &facts.farm.ponds[pond.index];
                article.pond id=(card.id) aria-labelledby=(format!("h-{}", card.id)) {
                    h2 id=(format!("h-{}", card.id)) { a href=(format!("/f/{}/ponds/{}", facts.id, card.id)) { (pond.name) } }
                    p.dates { (words::page_morning::dates(outlook, pond, facts.manner)) }
                    @for sentence in words::page_morning::waiting_costs(outlook, pond) { p { (sentence) } }
                    p.onward { a href=(format!("/f/{}/day/{}", facts.id, card.id)) { (words::page_day::TITLE) } }
                    h3.small { (say::WAITING) }
                    (worth(outlook, pond, &card.id, facts.manner))
                }
            }
        }
    }
}

/// The plan as it stands beside the plan that was asked for.
fn against(facts: &Served, outlook: &Outlook, other: &Kept) -> Markup {
    let plain = format!("/f/{}/plan", facts.id);
    html! {
        div.against role="status" {
            @match (&other.answer, &other.trouble) {
                (Some(then), _) => {
                    p { b { (say::difference(outlook, then)) } }
                    // Why a pond would stay in the water is said, not left to be guessed from a cell of the table.
                    @for pond in then.ponds.iter().filter(|pond| pond.planned.is_none()) {
                        @for sentence in words::page_morning::pond_warnings(then, &pond.name, facts.manner) { p.trouble { (sentence) } }
                    }
                    table {
                        caption { (say::AGAINST) }
                        thead { tr { @for head in say::AGAINST_HEADS { th scope="col" { (head) } } } }
                        tbody {
                            @for pond in &outlook.ponds {
                                tr {
                                    th scope="row" { (pond.name) }
                                    td { (say::caught(Some(pond))) }
                                    td { (say::caught(then.ponds.iter().find(|one| one.index == pond.index))) }
                                }
                            }
                            tr { th scope="row" { (say::WHOLE) } td { (say::whole_worth(outlook)) } td { (say::whole_worth(then)) } }
                        }
                    }
                }
                (None, Some(trouble)) => p.trouble { (words::trouble::outlook(trouble)) },
                (None, None) => p { (say::ASKING) },
            }
            p.onward { a href=(plain) { (say::AS_IS) } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::again_at;

    #[test]
    fn each_fetch_has_an_address_of_its_own() {
        assert_eq!(again_at("a", "price=90"), "/f/a/plan?price=90&again=1#what-if");
        assert_eq!(again_at("a", "price=90&again=7"), "/f/a/plan?price=90&again=8#what-if");
        assert_eq!(again_at("a", "price=90&again=x"), "/f/a/plan?price=90&again=1#what-if");
    }
}
