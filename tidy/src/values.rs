//! Headers of published values.

use crate::File;

/// What is missing from the header of a file of check values.
pub fn value_faults(file: &File) -> Vec<String> {
    let header: Vec<&str> = file.text.lines().take_while(|line| line.starts_with('#')).collect();
    let said = |key: &str| header.iter().find_map(|line| line.strip_prefix("# ")?.strip_prefix(key)?.strip_prefix(' '));
    let mut found = Vec::new();
    for key in ["what", "source", "obtained", "tolerance"] {
        match said(key) {
            None => found.push(format!("{}: no line `# {key}`", file.path)),
            Some(text) if text.trim().len() < 8 => found.push(format!("{}: `# {key}` says next to nothing", file.path)),
            Some(_) => {}
        }
    }
    let whole = header.join(" ");
    let tolerance = whole.split("# tolerance").nth(1).unwrap_or_default();
    // A bare figure is no reason; a sentence after a colon, a bracket or a full stop is.
    if said("tolerance").is_some() && !tolerance.contains([':', '(', '.']) {
        found.push(format!("{}: the tolerance gives no reason", file.path));
    }
    found
}
