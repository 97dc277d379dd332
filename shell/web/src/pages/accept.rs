//! Stands empty for the moment.
use crate::site::Site;
use axum::Router;
use std::sync::Arc;
/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
}
