//! Numbers carry their unit as the last word of their name.

use crate::File;

/// The endings listed in the table of `docs/nomenclature.md`: the first cell of each row, between backquotes.
pub fn suffixes(nomenclature: &str) -> Vec<String> {
    let cells = nomenclature.lines().filter_map(|line| line.strip_prefix("| `")?.split_once('`'));
    cells.map(|(name, _)| name.to_owned()).collect()
}

/// Public fields that hold a bare number whose name ends in no listed word. An entry that begins with `_` is an ending,
/// any other is a whole name.
pub fn name_faults(file: &File, listed: &[String]) -> Vec<String> {
    let mut found = Vec::new();
    for (number, line) in file.before_tests().lines().enumerate() {
        let Some((name, kind)) = line.trim().strip_prefix("pub ").and_then(|rest| rest.split_once(": ")) else {
            continue;
        };
        let bare = kind.trim_end_matches(',');
        let inner = bare.trim_start_matches("Option<").trim_start_matches("Vec<").trim_end_matches('>');
        if !["f64", "f32"].contains(&inner) || name.contains(['(', ' ']) {
            continue;
        }
        let known =
            listed.iter().any(|word| if word.starts_with('_') { name.ends_with(word.as_str()) } else { name == word });
        if !known {
            found.push(format!("{}:{}: {name} ends in no word of docs/nomenclature.md", file.path, number + 1));
        }
    }
    found
}
