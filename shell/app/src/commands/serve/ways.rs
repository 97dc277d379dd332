//! How other devices reach the pages: names, addresses, and the farm's own https.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::Path;
use std::sync::Arc;

use units::Day;
use web::{Authority, Lock, Secure, Ways, in_url};

use super::{ServeArgs, listen};

/// What the server is to know of the ways to it.
pub struct Found {
    /// Names and addresses in a Host header.
    pub hosts: Vec<String>,
    /// For the pages.
    pub ways: Ways,
    /// The https listener.
    pub secure: Option<Secure>,
}

/// The address by which this machine would go out: the one others on its network know. Nothing is sent to find it.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // Any address that is not on this machine; this one is kept for examples (RFC 5737).
    socket.connect((Ipv4Addr::new(203, 0, 113, 1), 9)).ok()?;
    Some(socket.local_addr().ok()?.ip()).filter(|ip| !ip.is_loopback() && !ip.is_unspecified())
}

/// Looks the ways up, and opens the second listener when https is asked for. Its authority lies beside the record.
pub fn found(args: &ServeArgs, at: SocketAddr, record: &Path, today: Day) -> Result<Found, String> {
    let outer = if at.ip().is_unspecified() { own_address() } else { Some(at.ip()).filter(|ip| !ip.is_loopback()) };
    let mut hosts = args.host.clone();
    hosts.push(in_url(at.ip()));
    hosts.extend(outer.map(in_url));
    let name = if at.ip().is_loopback() { None } else { args.host.first().cloned().or(outer.map(in_url)) };
    let mut ways = Ways { for_phones: name.as_ref().map(|name| format!("http://{name}:{}", at.port())), lock: None };
    let mut secure = None;
    if args.https {
        let port = if args.address.ends_with(":0") { 0 } else { at.port().saturating_add(1) };
        let (listener, there): (TcpListener, SocketAddr) = listen(&SocketAddr::new(at.ip(), port).to_string())?;
        let mut folder = record.as_os_str().to_owned();
        folder.push(".https");
        let authority = Authority::open(Path::new(&folder), today)
            .map_err(|error| words::serve::no_authority(Path::new(&folder), &error))?;
        let authority = Arc::new(authority);
        let shown = name.filter(|name| Authority::can_name(name)).unwrap_or_else(|| "localhost".to_owned());
        let base = format!("https://{shown}:{}", there.port());
        let mut names: Vec<String> = ["localhost", "127.0.0.1", "::1"].map(str::to_owned).into();
        names.extend(hosts.iter().filter(|host| !host.contains("0.0.0.0")).cloned());
        ways.lock = Some(Lock { base, authority: Arc::clone(&authority) });
        secure = Some(Secure { listener, authority, names });
    }
    Ok(Found { hosts, ways, secure })
}
