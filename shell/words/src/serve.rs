//! What is said when the pages are served.

use std::fmt::Display;

/// That the pages stand, and where; `for_phones` where other devices may reach them.
pub fn standing(address: &str, for_phones: Option<&str>) -> String {
    let other = for_phones.map_or(String::new(), |base| {
        format!(" Other devices: {base}/, each once it is let in by a number from the page People.")
    });
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

/// That they stand by https as well.
pub fn secure(base: &str) -> String {
    format!("By https: {base}/. How a phone is made to trust it stands on the page People.")
}

/// The farm's own authority cannot be used.
pub fn no_authority(folder: &std::path::Path, error: &dyn Display) -> String {
    format!(
        "{}: the farm's own certificate cannot be read or kept there ({error}). Give this folder to the program, or move it away: a new one is made then, and every phone must be shown it again.",
        folder.display()
    )
}

/// Too few or too many futures.
pub fn members(asked: usize) -> String {
    format!("--members is {asked}: 16 to 5000 futures can be weighed.")
}
