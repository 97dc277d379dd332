//! Who asks: the user of this machine, or a phone that was let in.

use axum::http::HeaderMap;
use std::net::IpAddr;
use store::{Role, Session};

/// How a request came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Over {
    /// The other end.
    pub peer: IpAddr,
    /// By https.
    pub is_secure: bool,
}

impl Over {
    /// Whether it comes from this machine's own browser: from a loopback address, to a loopback name, and not passed on by another
    /// program, which would make the whole network look like this machine.
    pub fn is_here(self, headers: &HeaderMap) -> bool {
        let passed_on =
            ["forwarded", "x-forwarded-for", "x-real-ip", "via"].iter().any(|name| headers.contains_key(*name));
        let host = headers.get("host").and_then(|host| host.to_str().ok()).unwrap_or_default();
        self.peer.to_canonical().is_loopback() && is_loopback_name(host) && !passed_on
    }
}

/// Whether a Host header names this machine from within.
fn is_loopback_name(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.chars().all(|digit| digit.is_ascii_digit()) => name,
        _ => host,
    };
    let bare = name.trim_start_matches('[').trim_end_matches(']');
    name.eq_ignore_ascii_case("localhost") || bare.parse::<IpAddr>().is_ok_and(|ip| ip.is_loopback())
}

/// What one may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum May {
    /// Nothing but ask to be let in.
    Nothing,
    /// What the work needs.
    Work,
    /// Everything.
    All,
}

/// Who asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Who {
    /// Id of the person; stands in what they write.
    pub person: String,
    /// Their name.
    pub name: String,
    /// Id of the device.
    pub device: String,
    /// What they may do.
    pub may: May,
    /// They sit before the machine the program runs on.
    pub is_here: bool,
}

/// Who writes from the machine that the program runs on.
pub const DEVICE_HERE: &str = "this-machine";
/// The person who sits before it.
pub const PERSON_HERE: &str = "owner";

impl Who {
    /// The user of this machine.
    pub fn here() -> Who {
        Who {
            person: PERSON_HERE.to_owned(),
            name: PERSON_HERE.to_owned(),
            device: DEVICE_HERE.to_owned(),
            may: May::All,
            is_here: true,
        }
    }
    /// Somebody who was not let in.
    pub fn nobody() -> Who {
        Who { person: String::new(), name: String::new(), device: String::new(), may: May::Nothing, is_here: false }
    }
    /// Who came by a session.
    pub fn of(session: &Session) -> Who {
        Who {
            person: session.person.id.clone(),
            name: session.person.name.clone(),
            device: session.device.clone(),
            may: if session.person.role == Role::Owner { May::All } else { May::Work },
            is_here: false,
        }
    }
}

tokio::task_local! {
    /// Set by the door for each request, so that the record and the frame know who asks without every page passing it on.
    pub static WHO: Who;
}

/// Who asks. Outside a request the program itself acts, on this machine.
pub fn now() -> Who {
    WHO.try_with(Clone::clone).unwrap_or_else(|_| Who::here())
}

#[cfg(test)]
mod tests {
    use super::{HeaderMap, Over};

    #[test]
    fn this_machine_is_known_by_address_and_name() {
        for (peer, host, passed_on, here) in [
            ("127.0.0.1", "localhost:8337", false, true),
            ("127.0.0.1", "127.0.0.1:1", false, true),
            ("::1", "[::1]:8337", false, true),
            ("::ffff:127.0.0.1", "LOCALHOST", false, true),
            ("127.0.0.1", "farm.local:8337", false, false),
            ("127.0.0.1", "localhost.farm.local", false, false),
            ("192.168.1.7", "localhost:8337", false, false),
            ("127.0.0.1", "localhost:8337", true, false),
            ("127.0.0.1", "", false, false),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert("host", host.parse().expect("a header"));
            if passed_on {
                headers.insert("x-forwarded-for", "10.0.0.9".parse().expect("a header"));
            }
            let over = Over { peer: peer.parse().expect("an address"), is_secure: false };
            assert_eq!(over.is_here(&headers), here, "{peer} {host} {passed_on}");
        }
    }
}
