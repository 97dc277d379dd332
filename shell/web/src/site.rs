//! The server: desks by farm, addresses, and what stands around them.

use std::io;
use std::net::TcpListener;
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard};
use std::time::Duration;

use axum::middleware::{from_fn, from_fn_with_state};
use axum::{Extension, Router};
use store::StoreError;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;

use crate::desk::Desk;
use crate::listen::{self, Patience, Secure, Ways};
use crate::looked::{self, Heard};
use crate::lots;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::shipped::{NotOpened, Shipped};
use crate::{assets, door, guard, pages};

/// Largest body taken at all, bytes: a logger's file. Forms are held to far less where they are read.
const BODY_MOST: usize = pages::BODY_MOST;

/// How often the clock is looked at: a machine that slept through midnight shows the new day soon after it wakes.
const CLOCK_EVERY: Duration = Duration::from_secs(20);

/// What every page may look at.
pub struct Site {
    farms: RwLock<Vec<Standing>>,
    hosts: Vec<String>,
    record: Option<Arc<Record>>,
    shipped: Option<Shipped>,
}

/// A farm that is open.
#[derive(Clone)]
struct Standing {
    id: String,
    desk: Arc<Desk>,
    /// The farm as its file says, before what was recorded.
    written: Arc<Served>,
    /// Put away: it keeps its record and is not listed.
    away: bool,
}

impl Site {
    /// The desk of a farm.
    pub fn desk(&self, farm: &str) -> Option<Arc<Desk>> {
        self.standing(farm).map(|standing| standing.desk)
    }
    /// A farm as its file says, before what was recorded.
    pub fn written(&self, farm: &str) -> Option<Arc<Served>> {
        self.standing(farm).map(|standing| standing.written)
    }
    fn standing(&self, farm: &str) -> Option<Standing> {
        self.read().iter().find(|standing| standing.id == farm).cloned()
    }
    fn read(&self) -> RwLockReadGuard<'_, Vec<Standing>> {
        // A poisoned lock still holds whole farms: they are put in and replaced, never edited in place.
        self.farms.read().unwrap_or_else(PoisonError::into_inner)
    }
    fn change(&self, change: impl FnOnce(&mut Vec<Standing>)) {
        change(&mut self.farms.write().unwrap_or_else(PoisonError::into_inner));
    }
    /// The season's record; `None` when the program was started without one.
    pub fn record(&self) -> Option<&Record> {
        self.record.as_deref()
    }
    /// What the program brings along for farms described on its pages.
    pub fn shipped(&self) -> Option<&Shipped> {
        self.shipped.as_ref()
    }
    /// To be called when something was recorded: the farm's desk reckons again with it. The last answer stands meanwhile.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn recorded(&self, farm: &str) -> Result<(), StoreError> {
        if let (Some(record), Some(standing)) = (&self.record, self.standing(farm)) {
            standing.desk.replace(record.laid_into(&standing.written, self.shipped.as_ref())?);
            rows(record, &standing.written);
        }
        Ok(())
    }
    /// To be called now and then: a farm whose day is over is reckoned for the new one. A record that cannot be read is asked again at
    /// the next call; its pages say meanwhile what ails it.
    pub fn look_at_the_clock(&self) {
        let Some(record) = &self.record else { return };
        let over = |one: &&Standing| one.desk.facts().is_over(record.now_ms());
        let farms: Vec<String> = self.read().iter().filter(over).map(|one| one.id.clone()).collect();
        for farm in farms {
            let _ = self.recorded(&farm);
        }
    }
    /// To be called when a farm's own file was recorded: it is opened, or its desk reckons again.
    ///
    /// # Errors
    /// Why the farm cannot be opened, or the record not be read.
    pub fn described(&self, farm: &str) -> Result<(), NotOpened> {
        let (Some(record), Some(shipped)) = (&self.record, &self.shipped) else { return Ok(()) };
        let opened = match (record.opened(farm, shipped), self.standing(farm)) {
            (Ok(opened), None) => {
                let desk = Arc::new(Desk::new(record.laid_into(&opened, Some(shipped))?, Some(Arc::clone(record))));
                rows(record, &opened);
                let standing = Standing { id: farm.to_owned(), desk, written: Arc::new(opened), away: false };
                self.change(|all| all.push(standing));
                return Ok(());
            }
            (Ok(opened), Some(standing)) => {
                let (is_sample, forecast) = (standing.written.is_sample, standing.written.forecast.clone());
                Arc::new(Served { is_sample, forecast, ..opened })
            }
            // Its past stands in a file beside the farm's own: the one it was started with goes on.
            (Err(NotOpened::NoPast(_)), Some(standing)) => standing.written,
            (Err(error), _) => return Err(error),
        };
        // Readers hold the desk itself: it stays and reckons again.
        self.change(|all| {
            all.iter_mut().filter(|one| one.id == farm).for_each(|one| one.written = Arc::clone(&opened));
        });
        Ok(self.recorded(farm)?)
    }
    /// Puts a farm away, or back among the others.
    pub fn put_away(&self, farm: &str, away: bool) {
        self.change(|all| all.iter_mut().filter(|one| one.id == farm).for_each(|one| one.away = away));
    }
    /// Farms by short name, without those put away.
    pub fn farms(&self) -> Vec<String> {
        self.read().iter().filter(|standing| !standing.away).map(|standing| standing.id.clone()).collect()
    }
    /// Farms that were put away.
    pub fn farms_away(&self) -> Vec<String> {
        self.read().iter().filter(|standing| standing.away).map(|standing| standing.id.clone()).collect()
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
    ways: Arc<Ways>,
    patience: Patience,
    heard: Heard,
}

impl Server {
    /// A server of these farms and, with `shipped`, of those described on its pages before. It answers to `localhost`,
    /// `127.0.0.1`, `[::1]` and to `hosts`.
    ///
    /// # Errors
    /// When the record cannot be used.
    pub fn new(
        farms: Vec<Served>,
        hosts: Vec<String>,
        record: Option<Record>,
        shipped: Option<Shipped>,
    ) -> Result<Server, StoreError> {
        let mut known: Vec<String> = ["localhost", "127.0.0.1", "[::1]"].map(str::to_owned).into();
        known.extend(hosts);
        let record = record.map(Arc::new);
        let mut standing = Vec::new();
        for written in farms {
            let (laid, away) = match &record {
                Some(record) => (record.laid_into(&written, shipped.as_ref())?, record.is_away(&written.id)?),
                None => (written.clone(), false),
            };
            let desk = Arc::new(Desk::new(laid, record.clone()));
            standing.push(Standing { id: written.id.clone(), desk, written: Arc::new(written), away });
        }
        if let (Some(record), Some(shipped)) = (&record, &shipped) {
            described_before(record, shipped, &mut standing)?;
        }
        if let Some(record) = &record {
            standing.iter().for_each(|one| rows(record, &one.written));
        }
        Ok(Server {
            site: Arc::new(Site { farms: RwLock::new(standing), hosts: known, record, shipped }),
            ways: Arc::default(),
            patience: Patience::default(),
            heard: |_, _| {},
        })
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
            .layer(from_fn_with_state(self.site(), looked::tell))
            .layer(from_fn_with_state(self.site(), door::check))
            .layer(from_fn_with_state(self.patience, listen::in_time))
            .layer(CatchPanicLayer::custom(listen::broken))
            .layer(from_fn_with_state(self.site(), guard::check))
            .layer(Extension(Arc::clone(&self.ways)))
            .with_state(self.site())
    }

    /// How others reach the pages, and how long slow ones are waited for.
    #[must_use]
    pub fn reached(mut self, ways: Ways, patience: Patience) -> Server {
        self.ways = Arc::new(ways);
        self.patience = patience;
        self
    }

    /// Whom to tell what each look through the record found.
    #[must_use]
    pub fn looked(mut self, heard: Heard) -> Server {
        self.heard = heard;
        self
    }

    /// Serves by http, and https when it is given, until Ctrl-C.
    ///
    /// # Errors
    /// When the machine refuses a runtime or a listener, or no certificate can be made.
    pub fn run(&self, plain: TcpListener, secure: Option<Secure>) -> io::Result<()> {
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
        if let Some(record) = &self.site.record {
            looked::begin(Arc::clone(record), self.heard);
        }
        let now_ms = self.site.record().map_or((|| 0) as fn() -> i64, Record::clock);
        let site = self.site();
        runtime.spawn(async move {
            loop {
                tokio::time::sleep(CLOCK_EVERY).await;
                waiting(|| site.look_at_the_clock());
            }
        });
        let served = runtime.block_on(async {
            let stop = async {
                // Without a handler for Ctrl-C the server runs on until it is ended from outside.
                if tokio::signal::ctrl_c().await.is_err() {
                    std::future::pending::<()>().await;
                }
            };
            listen::serve(plain, secure, self.router(), self.patience, now_ms, stop).await
        });
        // What is copied after the program ended is the whole record.
        if let Some(record) = self.site.record() {
            record.store().fold_in();
        }
        served
    }
}

/// The rows of seasons and batches follow the facts. On a disk that takes nothing they wait for the next call: nothing is lost with them.
fn rows(record: &Record, written: &Served) {
    let _set = lots::keep_rows(record, written);
}

/// Opens every farm of the record that was described on the pages. One that cannot be opened (its file was made by a newer
/// program) stays closed; its set-up page says why.
fn described_before(record: &Arc<Record>, shipped: &Shipped, standing: &mut Vec<Standing>) -> Result<(), StoreError> {
    for row in record.store().farms()? {
        if standing.iter().any(|other| other.id == row.id) || !record.is_described(&row.id)? {
            continue;
        }
        match record.opened(&row.id, shipped) {
            Ok(opened) => {
                let desk = Arc::new(Desk::new(record.laid_into(&opened, Some(shipped))?, Some(Arc::clone(record))));
                let away = record.is_away(&row.id)?;
                standing.push(Standing { id: row.id, desk, written: Arc::new(opened), away });
            }
            Err(NotOpened::Store(error)) => return Err(error),
            Err(_) => {}
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
