//! `/f/{farm}/plan/accept`: the second step. What the plan sets going, before anybody starts it.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use maud::html;
use words::page_morning::{CARE, mast_day};
use words::page_plan as say;

use super::morning::waiting;
use super::{missing, sent};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::site::Site;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/plan/accept", get(show))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let (facts, kept) = (desk.facts(), desk.latest());
    let Some(outlook) = &kept.answer else { return sent(waiting(&facts, &kept, Here::Plan)) };
    let day = mast_day(outlook, facts.manner);
    let frame = Frame {
        farm_id: &facts.id,
        farm: &facts.farm.name,
        day: &day,
        title: say::ACCEPT,
        here: Here::Elsewhere,
        again_s: None,
    };
    let body = html! {
        section.answer {
            h1 { (say::ACCEPT) }
            p.reason { (say::headline(outlook)) }
            p { (say::ACCEPT_HINT) }
            ol.sets { @for line in say::sets_going(outlook, facts.manner) { li { (line) } } }
            p { (CARE) }
            p { (say::NOT_KEPT) }
            p.onward { a href=(format!("/f/{}/plan", facts.id)) { (say::NOT_YET) } }
        }
    };
    sent(framed(&frame, body))
}
