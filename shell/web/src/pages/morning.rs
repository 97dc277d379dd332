//! `/f/{farm}/`: the morning. What to do today, why, and each pond as it stands.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, PreEscaped, html};
use season::OutlookError;
use season::answer::{Outlook, PondOutlook};
use words::page;
use words::page_explain::Behind;
use words::{chemistry, oxygen, page_morning as say};

use super::{called, done, due, harvest, missing, onward, pond, sent, stocking, treated, two_thermometers};
use crate::desk::Kept;
use crate::keeping;
use crate::parts::explain::{explain, told};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::{chores, dawns, section};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}", get(slash)).route("/f/{farm}/", get(show))
}

/// Seconds after which the page of a morning with water going down is fetched anew, s.
const AGAIN_S: u32 = 60;

fn goes_down(outlook: &Outlook) -> bool {
    outlook.ponds.iter().any(|pond| pond.going_down.is_some())
}

async fn slash(Path(farm): Path<String>) -> Response {
    onward(&format!("/f/{farm}/"))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    match &kept.answer {
        Some(outlook) => {
            let frame = Frame {
                day: say::mast_day(outlook, facts.manner),
                // While water goes down the page looks again: a look that was missed wakes somebody.
                again_s: if kept.working { Some(4) } else { goes_down(outlook).then_some(AGAIN_S) },
                ..Frame::of(&facts, page::MORNING, Here::Morning)
            };
            let beside = Beside {
                apart: two_thermometers::of_morning(&site, &facts),
                due: due::of_morning(&site, &facts),
                waits: treated::of_morning(&site, &facts, outlook),
                done: done::just_done(&site, &facts),
                walks: harvest::still_open(&site, &facts),
                wakes: harvest::of_morning(&site, &facts),
            };
            sent(framed(&frame, body(&facts, outlook, &kept, &beside)))
        }
        None => sent(
            before(&site, &facts, &kept, "morning", page::MORNING)
                .unwrap_or_else(|| waiting(&facts, &kept, Here::Morning)),
        ),
    }
}

/// A page of the answer that stood before the program was started again, with its age, while the new one is reckoned.
pub fn before(site: &Site, facts: &Served, kept: &Kept, name: &str, title: &str) -> Option<Markup> {
    let record = site.record().filter(|_| kept.working)?;
    let before = crate::record::waiting(|| keeping::before(record, &facts.id, &kept_for(who::now().may, name)))?;
    let here = if name == "morning" { Here::Morning } else { Here::Pond };
    let frame = Frame { day: before.day, again_s: Some(1), ..Frame::of(facts, title, here) };
    Some(framed(
        &frame,
        html! {
            p.since role="status" { (page::before(before.age, before.complete)) }
            (PreEscaped(before.page))
        },
    ))
}

/// The name under which a page is kept for those who read it: crew are shown less than an owner.
pub fn kept_for(may: May, name: &str) -> String {
    if may == May::All { name.to_owned() } else { format!("crew/{name}") }
}

/// What stands within the frame, without its age: kept for the next start.
pub fn drawn(facts: &Served, outlook: &Outlook) -> Markup {
    body(facts, outlook, &Kept::default(), &Beside::default())
}

/// The page while there is no answer yet, or when there cannot be one.
pub fn waiting(facts: &Served, kept: &Kept, here: Here) -> Markup {
    let trouble = kept.trouble.as_ref().filter(|_| !kept.working);
    let title = match trouble {
        Some(OutlookError::NothingLeft) => page::ALL_OUT_TITLE,
        Some(_) => page::TROUBLE_TITLE,
        None => page::WORKING_TITLE,
    };
    let frame = Frame { again_s: trouble.is_none().then_some(1), ..Frame::of(facts, title, here) };
    let said = trouble.map_or_else(|| page::WORKING.to_owned(), words::trouble::outlook);
    let over = matches!(trouble, Some(OutlookError::NothingLeft | OutlookError::SeasonOver { .. }));
    framed(
        &frame,
        html! {
            section.answer {
                h1 { (title) }
                p.reason { (said) }
                @if over {
                    p { a href=(format!("/f/{}/seasons", facts.id)) { (words::page_seasons::SEE) } }
                    @if who::now().may == May::All { p { a href=(format!("/f/{}/winter", facts.id)) { (words::page_winter::SEE) } } }
                }
            }
            // Where every pond is out, or one is still to be stocked, this is the next question.
            @if over || matches!(trouble, Some(OutlookError::BeforeStocking { .. })) { (stocking::ways(facts)) }
            @if trouble.is_some() { (pond::others(facts, "")) }
        },
    )
}

/// What stands on the page of what was entered, apart from the answer: an earlier answer is shown without it.
struct Beside {
    apart: Markup,
    walks: Markup,
    wakes: Markup,
    due: Markup,
    waits: Markup,
    done: Markup,
}

impl Default for Beside {
    fn default() -> Beside {
        let nothing = || html! {};
        Beside {
            apart: nothing(),
            due: nothing(),
            waits: nothing(),
            walks: nothing(),
            wakes: nothing(),
            done: nothing(),
        }
    }
}

fn body(facts: &Served, outlook: &Outlook, kept: &Kept, beside: &Beside) -> Markup {
    let manner = facts.manner;
    let behind = Behind { farm: &facts.farm, past: &facts.past, outlook, manner };
    let also = say::also(outlook, manner);
    let low = |pond| oxygen::low_dawn(pond, manner).map(|said| (pond, said));
    let lows: Vec<(&PondOutlook, String)> = outlook.ponds.iter().filter_map(low).collect();
    let danger = |pond| chemistry::danger(pond).map(|said| (pond, said));
    let dangers: Vec<(&PondOutlook, String)> = outlook.ponds.iter().filter_map(danger).collect();
    let start = |pond| oxygen::start(pond, outlook.on, manner).map(|said| (pond, said));
    let starts: Vec<(&PondOutlook, String)> = outlook.ponds.iter().filter_map(start).collect();
    // What it brings is money, which crew are not shown: they read the risk.
    let may_all = who::now().may == May::All;
    let reason = say::leading_pond(outlook).map(|pond| match may_all {
        true => (say::waiting_costs(outlook, pond).join(" "), behind.worth(pond)),
        false => (say::waiting_risks(pond).join(" "), behind.loss(pond)),
    });
    let [out, wait, change, age] = say::below(outlook, manner);
    html! {
        (beside.wakes)
        section.answer {
            h1 { (say::headline(outlook, manner)) }
            div.aside {
                @if !(also.is_empty() && starts.is_empty() && dangers.is_empty() && lows.is_empty()) {
                    h2.small { (say::ALSO) }
                    ul.tasks {
                        @for (pond, said) in &lows { li { (told(said, &behind.oxygen(pond))) } }
                        @for (pond, said) in &dangers { li { (told(said, &behind.chemistry(pond))) } }
                        @for (pond, said) in &starts { li { (told(said, &behind.oxygen(pond))) } }
                        @for (task, said) in &also { li { (told(said, &behind.task(task))) } }
                    }
                }
                (beside.due)
                // Beside what is to be started, not below all ponds.
                p.care { (say::CARE) }
                @if oxygen::minds_current(&outlook.ponds) { p.care { (oxygen::CARE) } }
            }
            div.why {
                @if let Some((reason, how)) = reason.filter(|(said, _)| !said.is_empty()) { div.reason { (told(&reason, &how)) } }
                @if let Some(said) = facts.lent_past_km.and_then(|km| words::page_setup::lent_past(km, manner)) { p.trouble { (said) } }
                @for sentence in say::warnings(outlook, manner) { p.trouble { (sentence) } }
                (beside.walks)
                (beside.waits)
                (beside.apart)
                @let when = [out, wait].into_iter().filter(|said| !said.is_empty()).collect::<Vec<_>>().join(" ");
                @if !when.is_empty() { (told(&when, &behind.dates())) }
                @if let Some(since) = say::since_yesterday(outlook) { p.since { (since) } }
                p { (change) }
                p.age {
                    (age) " "
                    @if let Some(made) = kept.made { (page::reckoned(made.elapsed(), kept.working)) }
                }
            }
            @if may_all {
                p.onward { a href=(format!("/f/{}/forecast", facts.id)) { (say::GIVE_FORECAST) } }
                p.onward { a href=(format!("/f/{}/plan", facts.id)) { (say::SEE_PLAN) } }
            }
        }
        (chores::chores(facts, outlook, &beside.done))
        div.ponds { @for pond in &outlook.ponds { (one_pond(facts, outlook, pond)) } }
        section.foot {
            p { (say::MARKS) } p { (say::ALIKE) }
            h2.small { (say::MADE) }
            @for sentence in say::made(outlook, facts.manner) { p { (sentence) } }
            p.onward { a href=(called::address(&facts.id, None)) { (words::page_scores::SEE) } }
        }
    }
}

fn one_pond(facts: &Served, outlook: &Outlook, pond: &PondOutlook) -> Markup {
    let manner = facts.manner;
    let card = &facts.farm.ponds[pond.index];
    let (read, reckoned) = say::water_now(pond, manner);
    let now = facts.past.place.day_start(outlook.on).plus_hours(i64::from(outlook.now_hour));
    let behind = Behind { farm: &facts.farm, past: &facts.past, outlook, manner };
    let mut rows = vec![
        (say::HAND, say::hand(pond), behind.hand(pond)),
        (say::LOSS, say::loss(outlook, pond), behind.loss(pond)),
        (say::CROP, say::crop(pond, manner), behind.crop(pond)),
        (say::FEED, words::feed::today(&pond.feed, manner), behind.feed(pond)),
        (oxygen::OXYGEN, oxygen::tonight(&pond.oxygen, outlook.on, manner), behind.oxygen(pond)),
        (say::EMPTY, say::empties(pond), behind.empties(pond)),
    ];
    let turned = oxygen::turned(&pond.oxygen, manner);
    let ammonia = chemistry::today(&pond.chemistry).map(|said| (chemistry::AMMONIA, said, behind.chemistry(pond)));
    let at = rows.len() - 1;
    rows.splice(at..at, turned.map(|said| (oxygen::TURNED, said, behind.oxygen(pond))).into_iter().chain(ammonia));
    let own = format!("/f/{}/ponds/{}", facts.id, card.id);
    html! {
        article.pond id=(card.id) aria-labelledby=(format!("h-{}", card.id)) {
            h2 id=(format!("h-{}", card.id)) { a href=(own) { (pond.name) } }
            p.dates { (say::dates(outlook, pond, manner)) }
            @if pond.planned.is_some() {
                p.onward { a href=(super::drain::address(&facts.id, &card.id)) { (words::page_drain::SEE) span.unseen { ": " (pond.name) } } }
            }
            (section::section(pond, card, now, manner))
            (explain(&html! { b { (read) } ", " i { (reckoned) } }, &behind.water(pond)))
            dl.rows { @for (key, value, how) in &rows { div { dt { (key) } dd { (told(value, how)) } } } }
            (dawns::dawns(outlook, pond, &card.id, manner))
            p.log { a.button href=(format!("/f/{}/log/new?pond={}", facts.id, card.id)) aria-label=(format!("{}: {}", say::LOG_READING, pond.name)) { (say::LOG_READING) } }
        }
    }
}
