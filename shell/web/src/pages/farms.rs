//! `/`: the farms; straight on to the morning when there is one.

use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::html;

use super::{onward, sent};
use crate::parts::frame;
use crate::site::Site;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/", get(show))
}

async fn show(State(site): State<Arc<Site>>) -> Response {
    if let [only] = site.farms() {
        return onward(&format!("/f/{only}/"));
    }
    let farms = site.farms().iter().filter_map(|id| Some((id, site.desk(id)?.facts().farm.name.clone())));
    let body = html! {
        h1 { (words::page::FARMS) }
        ul.farms { @for (id, name) in farms { li { a href=(format!("/f/{id}/")) { (name) } } } }
    };
    sent(frame::bare(words::page::FARMS, body))
}
