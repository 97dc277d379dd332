//! `/f/{farm}/tanks`: postlarvae in the tanks: what came, how it is shared out, feed, water, when they are ready, and what to do when
//! something fails.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::Kept;
use maud::{Markup, html};
use season::nursery::temper;
use season::tanks::{NurseryOutlook, TankOutlook, nursery};
use store::{Asked, StoreError};
use words::page_nursery as say;

use super::{missing, sent, stocking};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Warmth of bags on the road, °C, for the timetable before a delivery's own is known.
const BAG_C: f64 = 22.0;
/// Days of entries that the tanks' page reads.
const DAYS: i32 = 150;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/tanks", get(show))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let entered = match site.record() {
        Some(record) => waiting(|| entered(record, &facts)),
        None => Ok(Vec::new()),
    };
    let body = match entered {
        Ok(entered) => body(&facts, &nursery(&facts.farm, &entered, facts.on)),
        Err(error) => {
            let path = site.record().map_or(std::path::Path::new(""), |record| record.store().path());
            html! { section.answer { h1 { (say::TITLE) } p.trouble { (words::store::error(path, &error)) } } }
        }
    };
    let frame = Frame::of(&facts, say::TITLE, Here::Tanks);
    sent(framed(&frame, html! { article.one-pond.of-sums.tanks { (body) } }))
}

/// The tanks by what the record holds of them; as if nothing were in them where it cannot be read.
pub fn of(site: &Site, facts: &Served) -> NurseryOutlook {
    let entered = site.record().and_then(|record| entered(record, facts).ok()).unwrap_or_default();
    nursery(&facts.farm, &entered, facts.on)
}

/// Deliveries and tank readings of late.
fn entered(record: &Record, facts: &Served) -> Result<Vec<Kept>, StoreError> {
    let from = Some(facts.farm.place.zone.instant(facts.on.plus(-DAYS), 0));
    let mut all = Vec::new();
    for kind in ["delivery", "tank", "counted_out"] {
        all.extend(record.store().facts_linked(&facts.id, Asked { kind: Some(kind), from, ..Asked::default() })?);
    }
    all.sort_by_key(|kept| kept.seq);
    Ok(all)
}

fn body(facts: &Served, nursery: &NurseryOutlook) -> Markup {
    let enter = |kind: &str| format!("/f/{}/log/new?kind={kind}", facts.id);
    html! {
        section.answer {
            h1 { (say::headline(nursery)) }
            div.why {
                @if nursery.tanks.is_empty() {
                    p.reason { (say::NO_TANKS) }
                    @if who::now().may == May::All { p { a.mend href=(format!("/f/{}/setup/work", facts.id)) { (say::TO_SETUP) } } }
                } @else {
                    @if let Some(delivery) = &nursery.delivery { p.reason { (say::since(delivery, facts.on)) } }
                    p.onward {
                        a.mend href=(enter("tank")) { (say::ENTER_READING) } " "
                        a.mend href=(enter("delivery")) { (say::ENTER_DELIVERY) } " "
                        a.mend href=(enter("counted_out")) { (say::COUNT_OUT) }
                    }
                }
            }
        }
        @for tank in &nursery.tanks { (one(facts, tank)) }
        @if let Some(delivery) = &nursery.delivery {
            section.part aria-labelledby="h-came" {
                h2 id="h-came" { (say::CAME) }
                @for said in say::came(delivery) { p { (said) } }
                @for one in nursery.earlier.iter().rev() { p { (say::earlier(one)) } }
            }
            (shared(nursery))
        }
        @if !nursery.moves.is_empty() { (moves(facts, nursery)) }
        (stocking::ways(facts))
        @if let Some(tank) = nursery.tanks.first() { (tempering(facts, tank)) }
        section.part aria-labelledby="h-mishaps" {
            h2 id="h-mishaps" { (say::MISHAPS) }
            @for (what, steps) in say::CARDS {
                details.card { summary { (what) } ol { @for step in steps { li { (step) } } } }
            }
            @if let Some(said) = say::without(nursery) { p.legend { (said) } }
        }
        @if who::now().may == May::All { p { a.mend href=(format!("/f/{}/order", facts.id)) { (words::page_orders::TITLE) } } }
        details.working { summary { (say::HOW) } p { (say::METHOD) } }
        p.caution { (say::CARE) }
    }
}

fn one(facts: &Served, tank: &TankOutlook) -> Markup {
    let id = format!("h-{}", Served::id_of(&tank.tank.name));
    let is_owner = who::now().may == May::All;
    let power = is_owner.then_some((facts.farm.costs.power_kwh, facts.farm.currency));
    html! {
        section.part aria-labelledby=(id) {
            h2 id=(id) { (tank.tank.name) }
            dl.rows { @for (name, value) in say::rows(tank, facts.manner, power) { div { dt { (name) } dd { (value) } } } }
        }
    }
}

fn moves(facts: &Served, nursery: &NurseryOutlook) -> Markup {
    let pond = |id: &str| {
        facts.farm.ponds.iter().find(|card| card.id == id).map_or_else(|| id.to_owned(), |card| card.name.clone())
    };
    html! {
        section.part aria-labelledby="h-counted" {
            h2 id="h-counted" { (say::COUNTED_OUT) }
            dl.rows { @for (what, how) in nursery.moves.iter().map(|one| say::moved(one, &pond)) { div { dt { (what) } dd { (how) } } } }
            p.legend { (say::COUNTED_OUT_SAYS) }
            p { a.mend href=(format!("/f/{}/seasons", facts.id)) { (words::page_seasons::SEE) } }
        }
    }
}

fn shared(nursery: &NurseryOutlook) -> Markup {
    html! {
        section.part aria-labelledby="h-shared" {
            h2 id="h-shared" { (say::SHARED) }
            dl.rows { @for tank in &nursery.tanks { div { dt { (tank.tank.name) } dd { (words::figures::grouped(tank.share)) } } } }
            p.legend { (say::SHARED_SAYS) }
        }
    }
}

fn tempering(facts: &Served, tank: &TankOutlook) -> Markup {
    html! {
        section.part aria-labelledby="h-temper" {
            h2 id="h-temper" { (say::TEMPER) }
            ol { @for step in temper(BAG_C, tank.water_c, None).iter().step_by(2) { li { (say::step(step, facts.manner)) } } }
            p.legend { (say::TEMPER_SAYS) }
            p { a.mend href=(format!("/f/{}/sums/stocking", facts.id)) { (say::MAY_THEY) } }
        }
    }
}
