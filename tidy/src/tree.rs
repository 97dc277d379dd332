//! Which room may lean on which.

use std::collections::BTreeSet;

/// A crate of ours and what its build may name. Edges of tests alone are free.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// Its name.
    pub name: &'static str,
    /// Rooms of ours it may name.
    pub rooms: &'static [&'static str],
    /// Crates of others it may name.
    pub others: &'static [&'static str],
}

/// Reads lines of depth and name, as `cargo tree` prints them at depth 1; one sentence for each breach of the table.
pub fn tree_faults(table: &[Room], tree: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    let mut current: Option<&Room> = None;
    for line in tree.lines() {
        let mut words = line.split_whitespace();
        let (Some(depth), Some(name)) = (words.next(), words.next()) else { continue };
        if depth == "0" {
            seen.insert(name);
            current = table.iter().find(|room| room.name == name);
            if current.is_none() {
                found.push(format!("{name} is not in ROOMS"));
            }
        } else if let Some(room) = current
            && !room.rooms.contains(&name)
            && !room.others.contains(&name)
        {
            found.push(format!("{} may not lean on {name}", room.name));
        }
    }
    for room in table.iter().filter(|room| !seen.contains(room.name)) {
        found.push(format!("{} is in ROOMS but not in the workspace", room.name));
    }
    found
}
