//! The server: desks by farm, addresses, and what stands around them.

use std::io;
use std::net::TcpListener;
use std::sync::Arc;

use axum::Router;
use axum::middleware::{from_fn, from_fn_with_state};
use store::StoreError;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;

use crate::desk::Desk;
use crate::record::Record;
use crate::served::Served;
use crate::{assets, guard, pages};

/// Largest body taken at all, bytes: a logger's file. Forms are held to far less where they are read.
const BODY_MOST: usize = pages::BODY_MOST;

/// What every page may look at.
pub struct Site {
    desks: Vec<Desk>,
    ids: Vec<String>,
    hosts: Vec<String>,
    /// The farms as their files say, before what was recorded.
    written: Vec<Served>,
    record: Option<Record>,
}

impl Site {
    /// The desk of a farm.
    pub fn desk(&self, farm: &str) -> Option<&Desk> {
        let at = self.ids.iter().position(|id| id == farm)?;
        self.desks.get(at)
    }
    /// The season's record; `None` when the program was started without one.
    pub fn record(&self) -> Option<&Record> {
        self.record.as_ref()
    }
    /// To be called when something was recorded: the farm's desk reckons again with it. The last answer stands meanwhile.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn recorded(&self, farm: &str) -> Result<(), StoreError> {
        let found = self.written.iter().find(|written| written.id == farm);
        if let (Some(record), Some(written), Some(desk)) = (&self.record, found, self.desk(farm)) {
            desk.replace(record.laid_into(written)?);
        }
        Ok(())
    }
    /// Farms by short name.
    pub fn farms(&self) -> &[String] {
        &self.ids
    }
    /// Whether a Host header names this server: one of the list, with any port.
    pub fn knows_host(&self, host: &str) -> bool {
        let name = match host.rsplit_once(':') {
            Some((name, port)) if port.chars().all(|digit| digit.is_ascii_digit()) => name,
            _ => host,
        };
        self.hosts.iter().any(|known| known.eq_ignore_ascii_case(name))
    }
}

/// A server that is not yet listening.
pub struct Server {
    site: Arc<Site>,
}

impl Server {
    /// A server of these farms. It answers to `localhost`, `127.0.0.1`, `[::1]` and to `hosts`.
    ///
    /// # Errors
    /// When the record cannot be used.
    pub fn new(farms: Vec<Served>, hosts: Vec<String>, record: Option<Record>) -> Result<Server, StoreError> {
        let mut known: Vec<String> = ["localhost", "127.0.0.1", "[::1]"].map(str::to_owned).into();
        known.extend(hosts);
        let ids = farms.iter().map(|farm| farm.id.clone()).collect();
        let laid = |written: &Served| match &record {
            Some(record) => record.laid_into(written),
            None => Ok(written.clone()),
        };
        let desks = farms.iter().map(|written| laid(written).map(Desk::new)).collect::<Result<_, _>>()?;
        Ok(Server { site: Arc::new(Site { desks, ids, hosts: known, written: farms, record }) })
    }

    /// What the pages look at; facts are replaced through its desks.
    pub fn site(&self) -> Arc<Site> {
        Arc::clone(&self.site)
    }

    /// Every address.
    pub fn router(&self) -> Router {
        Router::new()
            .merge(pages::routes())
            .merge(assets::routes())
            .layer(from_fn(guard::etag))
            .layer(CompressionLayer::new())
            .layer(RequestBodyLimitLayer::new(BODY_MOST))
            .layer(from_fn_with_state(self.site(), guard::check))
            .with_state(self.site())
    }

    /// Serves until Ctrl-C.
    ///
    /// # Errors
    /// When the machine refuses a runtime or the listener.
    pub fn run(&self, listener: TcpListener) -> io::Result<()> {
        listener.set_nonblocking(true)?;
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
        runtime.block_on(async {
            let listener = tokio::net::TcpListener::from_std(listener)?;
            let stop = async {
                // Without a handler for Ctrl-C the server runs on until it is ended from outside.
                if tokio::signal::ctrl_c().await.is_err() {
                    std::future::pending::<()>().await;
                }
            };
            axum::serve(listener, self.router()).with_graceful_shutdown(stop).await
        })
    }
}

#[cfg(test)]
mod tests;
