//! The pages, one file each; every address starts with the farm.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::Markup;
use season::answer::Outlook;

use crate::parts::frame;
use crate::served::Served;
use crate::site::Site;
use crate::who::{May, WHO, Who};

mod accept;
mod books;
mod buyers;
mod called;
mod certificate;
mod day;
mod done;
mod drain;
mod due;
pub mod enter;
mod farms;
mod files;
mod forecast;
mod harvest;
mod labels;
mod log;
mod log_back;
mod log_file;
mod log_new;
mod losses;
mod morning;
mod nursery;
mod orders;
mod people;
mod photos;
mod plan;
mod pond;
mod receipt;
mod sale;
mod sale_list;
mod sale_table;
mod samples;
mod seasons;
mod setup;
mod stations;
mod stocking;
mod sums;
mod sync;
mod tally;
pub mod trace;
pub mod treated;
mod two_thermometers;
mod winter;

pub use setup::distance_km;

/// Largest body that any page takes, bytes.
pub const BODY_MOST: usize = files::BACKUP_MOST;

/// All of them.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .merge(day::routes())
        .merge(farms::routes())
        .merge(files::routes())
        .merge(forecast::routes())
        .merge(morning::routes())
        .merge(nursery::routes())
        .merge(plan::routes())
        .merge(pond::routes())
        .merge(samples::routes())
        .merge(accept::routes())
        .merge(books::routes())
        .merge(called::routes())
        .merge(log::routes())
        .merge(log_file::routes())
        .merge(photos::routes())
        .merge(log_new::routes())
        .merge(seasons::routes())
        .merge(stocking::routes())
        .merge(sums::routes())
        .merge(sync::routes())
        .merge(winter::routes())
        .merge(drain::routes())
        .merge(orders::routes())
        .merge(harvest::routes())
        .merge(tally::routes())
        .merge(labels::routes())
        .merge(trace::routes())
        .merge(due::routes())
        .merge(losses::routes())
        .merge(stations::routes())
        .merge(buyers::routes())
        .merge(receipt::routes())
        .merge(sale::routes())
        .merge(sale_list::routes())
        .merge(sale_table::routes())
        .merge(setup::routes())
        .merge(people::routes())
        .merge(done::routes())
        .merge(enter::routes())
        .merge(certificate::routes())
        // The icon a browser asks for unbidden: there is none, and that is no fault.
        .route("/favicon.ico", get(|| async { StatusCode::NO_CONTENT }))
        .fallback(|| async { missing() })
}

/// The page for an address that leads nowhere.
pub fn missing() -> Response {
    (StatusCode::NOT_FOUND, frame::plain(words::page::MISSING_TITLE, words::page::MISSING)).into_response()
}

/// The pages of an answer as they are kept for the next start, by name: what stands within the frame, for the owner and for crew.
pub fn drawn(facts: &Served, outlook: &Outlook) -> BTreeMap<String, String> {
    let mut pages = BTreeMap::new();
    for may in [May::All, May::Work] {
        WHO.sync_scope(Who { may, ..Who::here() }, || {
            pages.insert(morning::kept_for(may, "morning"), morning::drawn(facts, outlook).into_string());
            for pond in &outlook.ponds {
                let id = &facts.farm.ponds[pond.index].id;
                pages.insert(morning::kept_for(may, id), pond::drawn(facts, outlook, pond).into_string());
            }
        });
    }
    pages
}

/// Sends a person on.
pub fn onward(to: &str) -> Response {
    Redirect::to(to).into_response()
}

/// A page with its answer, ready to send.
pub fn sent(page: Markup) -> Response {
    page.into_response()
}

#[cfg(test)]
mod tests {
    use units::Watch;

    use super::{May, WHO, Who, drawn};
    use crate::scored::tests::served;

    #[test]
    fn crew_read_the_risk_and_no_money() {
        let facts = served();
        let (outlook, _) = facts.reckon(None, None, &Watch::new()).expect("an answer");
        // The program draws the pages it keeps; a request of crew draws its own.
        let pages = drawn(&facts, &outlook);
        let crew = Who { may: May::Work, ..Who::nobody() };
        let asked = WHO.sync_scope(crew, || super::morning::drawn(&facts, &outlook).into_string());
        assert_eq!(pages["crew/morning"], asked);
        for page in ["morning", "willow", "quarry", "lower", "heron"] {
            let (owner, crew) = (&pages[page], &pages[&format!("crew/{page}")]);
            assert!(owner.contains('$') && owner.contains("/plan"), "{page}");
            assert!(!crew.contains('$') && !crew.contains("/plan") && !crew.contains("price, less"), "{page}: {crew}");
            assert!(crew.contains("The chance that cold has taken a fifth"), "{page}");
        }
    }
}
