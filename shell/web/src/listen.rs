//! Listening: connections by http and https, how long they are waited for, and what a page knows of the ways here.

use std::io;
use std::net::{IpAddr, TcpListener};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use rustls::ServerConfig;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::sync::{Semaphore, watch};
use tokio_rustls::TlsAcceptor;
use units::{Day, Instant, Zone};

use crate::https::{Authority, is_due};
use crate::parts::frame;
use crate::who::Over;

/// Connections at one time.
const CONNECTIONS: usize = 512;
/// How long open requests may take to end once the program is asked to stop.
const LAST_WORDS: Duration = Duration::from_secs(5);

/// How others reach the pages.
#[derive(Default)]
pub struct Ways {
    /// Scheme, name and port for phones; `None` when the program listens to this machine alone.
    pub for_phones: Option<String>,
    /// The farm's own https.
    pub lock: Option<Lock>,
}

/// The farm's own https.
pub struct Lock {
    /// Scheme, name and port.
    pub base: String,
    /// The authority that phones are shown.
    pub authority: Arc<Authority>,
}

/// How long a slow request is waited for.
#[derive(Debug, Clone, Copy)]
pub struct Patience {
    /// Until its head is there.
    pub head: Duration,
    /// Until it is answered.
    pub request: Duration,
    /// Until it is answered, where a large file is sent.
    pub upload: Duration,
}

impl Default for Patience {
    fn default() -> Patience {
        Patience {
            head: Duration::from_secs(20),
            request: Duration::from_secs(60),
            upload: Duration::from_secs(15 * 60),
        }
    }
}

/// An https listener and what its certificate is made from.
pub struct Secure {
    /// Where.
    pub listener: TcpListener,
    /// Who vouches.
    pub authority: Arc<Authority>,
    /// Names and addresses.
    pub names: Vec<String>,
}

/// Where large files are sent to.
fn takes_files(path: &str) -> bool {
    ["/files/candidates", "/log/files", "/log/photos", "/photos"].iter().any(|end| path.ends_with(end))
}

/// Gives up on a request that never ends.
pub async fn in_time(State(patience): State<Patience>, request: Request, next: Next) -> Response {
    let most = if takes_files(request.uri().path()) { patience.upload } else { patience.request };
    match tokio::time::timeout(most, next.run(request)).await {
        Ok(response) => response,
        Err(_) => {
            let page = frame::plain(words::page_people::BROKE_TITLE, words::page_people::SLOW);
            (StatusCode::REQUEST_TIMEOUT, page).into_response()
        }
    }
}

/// The page where one could not be made. The panic itself was told once, where the program was started.
pub fn broken(_: Box<dyn std::any::Any + Send>) -> Response {
    let page = frame::plain(words::page_people::BROKE_TITLE, words::page_people::BROKE);
    (StatusCode::INTERNAL_SERVER_ERROR, page).into_response()
}

/// A certificate that is made anew before it lapses.
fn renewed(
    secure: &Secure,
    today: impl Fn() -> Day + Send + 'static,
) -> io::Result<watch::Receiver<Arc<ServerConfig>>> {
    let (config, until) = secure.authority.serve(&secure.names, today())?;
    let (sender, receiver) = watch::channel(config);
    let (authority, names) = (Arc::clone(&secure.authority), secure.names.clone());
    tokio::spawn(async move {
        let mut until = until;
        loop {
            tokio::time::sleep(Duration::from_secs(3600)).await;
            if is_due(until, today())
                && let Ok((config, next)) = authority.serve(&names, today())
            {
                until = next;
                if sender.send(config).is_err() {
                    return;
                }
            }
        }
    });
    Ok(receiver)
}

/// Serves by http and, when it is given, https, until `stop` comes.
///
/// # Errors
/// When the machine refuses a listener, or no certificate can be made.
pub async fn serve(
    plain: TcpListener,
    secure: Option<Secure>,
    router: Router,
    patience: Patience,
    now_ms: fn() -> i64,
    stop: impl Future<Output = ()>,
) -> io::Result<()> {
    let seats = Arc::new(Semaphore::new(CONNECTIONS));
    let graceful = Arc::new(GracefulShutdown::new());
    let listening = |listener: TcpListener, configs: Option<watch::Receiver<Arc<ServerConfig>>>| -> io::Result<_> {
        listener.set_nonblocking(true)?;
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let (seats, graceful, router) = (Arc::clone(&seats), Arc::clone(&graceful), router.clone());
        Ok(tokio::spawn(accept(listener, configs, seats, graceful, router, patience)))
    };
    let mut open = Vec::new();
    if let Some(secure) = secure {
        let today = move || Zone::utc().day_and_second(Instant(now_ms().div_euclid(1000))).0;
        let configs = renewed(&secure, today)?;
        open.push(listening(secure.listener, Some(configs))?);
    }
    open.push(listening(plain, None)?);
    stop.await;
    open.iter().for_each(tokio::task::JoinHandle::abort);
    for one in open {
        let _ended = one.await;
    }
    if let Some(graceful) = Arc::into_inner(graceful) {
        let _late = tokio::time::timeout(LAST_WORDS, graceful.shutdown()).await;
    }
    Ok(())
}

async fn accept(
    listener: tokio::net::TcpListener,
    configs: Option<watch::Receiver<Arc<ServerConfig>>>,
    seats: Arc<Semaphore>,
    graceful: Arc<GracefulShutdown>,
    router: Router,
    patience: Patience,
) {
    loop {
        let Ok((stream, peer)) = listener.accept().await else {
            // No more files may be open just now: some will be closed.
            tokio::time::sleep(Duration::from_millis(100)).await;
            continue;
        };
        let Ok(seat) = Arc::clone(&seats).try_acquire_owned() else { continue };
        let (router, watcher) = (router.clone(), graceful.watcher());
        let (peer, config) = (peer.ip(), configs.as_ref().map(|configs| Arc::clone(&configs.borrow())));
        tokio::spawn(async move {
            match config {
                None => connection(stream, Over { peer, is_secure: false }, router, patience, watcher).await,
                Some(config) => {
                    let shaken = tokio::time::timeout(patience.head, TlsAcceptor::from(config).accept(stream)).await;
                    if let Ok(Ok(stream)) = shaken {
                        connection(stream, Over { peer, is_secure: true }, router, patience, watcher).await;
                    }
                }
            }
            drop(seat);
        });
    }
}

async fn connection(
    stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static,
    over: Over,
    router: Router,
    patience: Patience,
    watcher: hyper_util::server::graceful::Watcher,
) {
    let pages = TowerToHyperService::new(router);
    let service = service_fn(move |mut request: hyper::Request<hyper::body::Incoming>| {
        request.extensions_mut().insert(over);
        pages.call(request)
    });
    let conversation = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(patience.head)
        .serve_connection(TokioIo::new(stream), service);
    // A connection that breaks off is the network's way, and no news.
    let _over = watcher.watch(conversation).await;
}

/// An address as it stands in a URL.
pub fn in_url(ip: IpAddr) -> String {
    match ip {
        IpAddr::V4(ip) => ip.to_string(),
        IpAddr::V6(ip) => format!("[{ip}]"),
    }
}

#[cfg(test)]
mod tests;
