//! What each room's manifest says.

use crate::File;

/// Rooms whose manifest does not take the workspace's lints.
pub fn lints_missing(manifests: &[File]) -> Vec<String> {
    let lacks = |file: &&File| !file.text.contains("[lints]\nworkspace = true");
    manifests.iter().filter(lacks).map(|file| format!("{} does not take the workspace's lints", file.path)).collect()
}

/// The names of the rooms, in order of path.
pub fn rooms_of(manifests: &[File]) -> Vec<String> {
    let name = |file: &File| {
        let line = file.text.lines().find_map(|line| line.strip_prefix("name = \""))?;
        Some(line.trim_end_matches('"').to_owned())
    };
    manifests.iter().filter_map(name).collect()
}
