//! The map agrees with the ground.

/// Rooms without a paragraph `**room** ...` in the map, and paragraphs of the chapter on rooms that name none.
pub fn map_faults(map: &str, rooms: &[String]) -> Vec<String> {
    let chapter = map.split("\n## ").find(|part| part.starts_with("The rooms"));
    let Some(chapter) = chapter else { return vec!["the map has no chapter on the rooms".to_owned()] };
    let named: Vec<&str> =
        chapter.lines().filter_map(|line| line.strip_prefix("**")?.split_once("**")).map(|(name, _)| name).collect();
    let unsaid = rooms.iter().filter(|room| !named.contains(&room.as_str()));
    let unknown = named.iter().filter(|name| !rooms.iter().any(|room| room == *name));
    unsaid
        .map(|room| format!("{room} has no paragraph in the map"))
        .chain(unknown.map(|name| format!("the map describes {name}, which is no room")))
        .collect()
}
