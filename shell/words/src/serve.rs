//! What is said when the pages are served.

use std::fmt::Display;

/// That the pages stand, and where.
pub fn standing(address: &str, host: Option<&str>, port: u16) -> String {
    let other = host.map_or(String::new(), |host| format!(" Other devices: http://{host}:{port}/."));
    format!("The farm's pages are at {address} (Ctrl-C ends them).{other}")
}

/// An address that cannot be had.
pub fn no_address(address: &str, error: &dyn Display) -> String {
    format!("{address} cannot be listened on ({error}). Name another with --address, such as 127.0.0.1:8400.")
}

/// The server ended by itself.
pub fn ended(error: &dyn Display) -> String {
    format!("The pages can no longer be served ({error}).")
}

/// Too few or too many futures.
pub fn members(asked: usize) -> String {
    format!("--members is {asked}: 16 to 5000 futures can be weighed.")
}
