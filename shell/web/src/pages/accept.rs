//! `/f/{farm}/plan/accept`: the second step. What the plan sets going; accepting it is an entry of its own.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, State};
use axum::response::Response;
use axum::routing::{get, post};
use farm::facts::Happened;
use maud::{Markup, html};
use season::answer::{Outlook, PondOutlook};
use store::Insert;
use words::page_morning::{CARE, mast_day};
use words::page_plan as say;

use super::morning::waiting as no_answer;
use super::{missing, onward, sent};
use crate::assets::digest;
use crate::desk::Desk;
use crate::keeping;
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/plan/accept", get(show)).route("/f/{farm}/plan/acceptances", post(accept))
}

/// Days ahead in which a catch is told with its crew's day, d: those of the count-down.
const NEAR_D: i32 = 3;

/// Why an acceptance was not taken.
enum Refused {
    Moved,
    Store(String),
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    page(&site, &farm, None)
}

async fn accept(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let (facts, latest) = (desk.facts(), desk.latest());
    let Some(outlook) = &latest.answer else { return page(&site, &farm, None) };
    let field = |name: &str| fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str());
    let text = say::as_entry(outlook, facts.manner);
    // What was read must be what is accepted.
    if field("plan") != plan_name(&text) {
        return page(&site, &farm, Some(&Refused::Moved));
    }
    let typed = BTreeMap::from([("text".to_owned(), text), ("catches".to_owned(), catches(outlook, &facts))]);
    let kept = waiting(|| {
        let mut fact = record.begun(&facts, field("id"), "plan_accepted");
        // On the morning that was looked at: a sample's is not today's, and its book of the year asks for that day.
        let at = entry::now(&facts, record.now_ms()).0;
        fact.happened = Happened { at, offset_s: facts.farm.place.zone.offset_s(at) };
        fact.typed = typed;
        let kept = record.keep(fact)?;
        keeping::keep_accepted(record, &facts, outlook, field("id"))?;
        // What was accepted counts as told and ordered from now on.
        site.recorded(&farm)?;
        Ok(kept)
    });
    match kept {
        Ok(Insert::Made { .. } | Insert::AlreadyHad { .. }) => onward(&format!("/f/{farm}/plan/accept")),
        Ok(Insert::Differs { .. }) => page(&site, &farm, Some(&Refused::Moved)),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            page(&site, &farm, Some(&Refused::Store(said)))
        }
    }
}

/// The days of each pond's catch, as the record's form asks for them.
fn catches(outlook: &Outlook, facts: &Served) -> String {
    let of = |pond: &PondOutlook| {
        let (planned, card) = (pond.planned?, facts.farm.ponds.get(pond.index)?);
        let second = planned.second_day.map(|day| format!(" {day}")).unwrap_or_default();
        Some(format!("{} {}{second}", card.id, planned.catch_day))
    };
    outlook.ponds.iter().filter_map(of).collect::<Vec<_>>().join(", ")
}

fn plan_name(text: &str) -> String {
    format!("{:016x}", digest(text.as_bytes()))
}

fn page(site: &Site, farm: &str, refused: Option<&Refused>) -> Response {
    let Some(desk) = site.desk(farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let Some(outlook) = &kept.answer else { return sent(no_answer(&facts, &kept, Here::Plan)) };
    let frame = Frame { day: mast_day(outlook, facts.manner), ..Frame::of(&facts, say::ACCEPT, Here::Elsewhere) };
    let text = say::as_entry(outlook, facts.manner);
    let body = html! {
        section.answer {
            h1 { (say::ACCEPT) }
            p.reason { (say::headline(outlook)) }
            @match refused {
                Some(Refused::Moved) => p.trouble role="alert" { (say::MOVED) },
                Some(Refused::Store(said)) => p.trouble role="alert" { (said) },
                None => {}
            }
            @for said in words::page_morning::plan_warnings(outlook, facts.manner) { p.trouble { (said) } }
            @for set in say::sets_going(outlook, facts.manner) {
                h2.small.set { (set.heading) }
                ul.sets { @for line in &set.lines { li { (line) } } }
            }
            (rehearsed(&desk, outlook, &facts))
            p { (say::ACCEPT_HINT) }
            p { (CARE) }
            (standing(site.record(), &facts, &text))
            p.onward { a href=(format!("/f/{}/plan", facts.id)) { (say::NOT_YET) } }
        }
    };
    sent(framed(&frame, body))
}

/// The near days of catch as their crews would get through them: the plan counts all of a pond for its day, the crew may not.
fn rehearsed(desk: &Desk, outlook: &Outlook, facts: &Served) -> Markup {
    let near = |pond: &&PondOutlook| pond.planned.is_some_and(|job| job.catch_day <= outlook.on.plus(NEAR_D));
    let days: Vec<_> = outlook.ponds.iter().filter(near).collect();
    let made = waiting(|| {
        let of = |pond: &&PondOutlook| Some((pond.index, desk.rehearsal(pond.index, pond.planned?.catch_day)?));
        days.iter().filter_map(of).collect::<Vec<_>>()
    });
    html! {
        @if !made.is_empty() {
            h2.small.set { (say::REHEARSED) }
            ul.sets.rehearsed {
                @for (pond, day) in &made {
                    li {
                        a href=(format!("/f/{}/day/{}?day={}", facts.id, facts.farm.ponds[*pond].id, day.sheet.on)) {
                            (words::page_day::headline(&day.sheet, facts.manner))
                        }
                    }
                }
            }
            @if made.iter().any(|(_, day)| words::page_day::leaves(&day.sheet)) { p.legend { (say::COUNTS_ALL) } }
        }
    }
}

/// What was accepted last, and the way to accept this plan.
fn standing(record: Option<&Record>, facts: &Served, text: &str) -> Markup {
    let Some(record) = record else { return html! { p { (say::NOT_KEPT) } } };
    let read = waiting(|| Ok((record.last(&facts.id, "plan_accepted")?, record.store().new_id()?)));
    let (last, id) = match read {
        Ok(read) => read,
        Err(error) => return html! { p.trouble { (words::store::error(record.store().path(), &error)) } },
    };
    let same = last.as_ref().is_some_and(|kept| kept.fact.text("text") == Some(text));
    html! {
        @if let Some(kept) = &last {
            p.legend { (say::accepted(kept.fact.happened.at, &facts.farm.place.zone, same, facts.manner)) }
        }
        @if !same {
            form method="post" action=(format!("/f/{}/plan/acceptances", facts.id)) {
                input type="hidden" name="id" value=(id);
                input type="hidden" name="plan" value=(plan_name(text));
                button.main type="submit" { (say::ACCEPT_NOW) }
            }
        }
    }
}
