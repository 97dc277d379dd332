//! The shape of files: model headers, lengths of files and of functions.

use crate::File;

/// The lines a module that holds a model opens with, in this order.
const HEADER: [&str; 5] = ["Model", "Units", "Range", "Source", "Left out"];

/// What is wrong with a module's header. `must` says that the module holds a model; others are judged only if they begin one.
pub fn header_faults(file: &File, must: bool) -> Vec<String> {
    let doc: Vec<&str> =
        file.text.lines().take_while(|line| line.starts_with("//!")).map(|line| line[3..].trim_start()).collect();
    let place =
        |key: &str| doc.iter().position(|line| line.strip_prefix(key).is_some_and(|rest| rest.starts_with("  ")));
    let places = HEADER.map(place);
    if !must && places[0].is_none() {
        return Vec::new();
    }
    let mut found: Vec<String> = HEADER
        .iter()
        .zip(places)
        .filter(|(_, place)| place.is_none())
        .map(|(key, _)| format!("{}: the header lacks {key}", file.path))
        .collect();
    let stated: Vec<usize> = places.iter().flatten().copied().collect();
    if !stated.windows(2).all(|pair| pair[0] < pair[1]) {
        found.push(format!("{}: the header's lines are out of order", file.path));
    }
    found
}

/// A file of more lines than looked for.
pub fn length_faults(file: &File, lines_most: usize) -> Option<String> {
    let lines = file.text.lines().count();
    (lines > lines_most).then(|| format!("{} has {lines} lines, more than {lines_most}", file.path))
}

/// Functions of more lines than fit on a screen, as (name, lines). Reads rustfmt's shape: a function ends at the first brace
/// that stands alone at its own indent.
pub fn long_functions(file: &File, lines_most: usize) -> Vec<(String, usize)> {
    let lines: Vec<&str> = file.text.lines().collect();
    let mut found = Vec::new();
    for (start, line) in lines.iter().enumerate() {
        let Some(name) = function_name(line) else { continue };
        let indent = &line[..line.len() - line.trim_start().len()];
        let closing = format!("{indent}}}");
        let ends_at_once = |text: &str| text.ends_with(';') || (text.contains('{') && text.ends_with('}'));
        let end = (start..lines.len()).find(|at| {
            lines[*at] == closing || (*at == start && ends_at_once(line)) || lines[*at] == format!("{indent});")
        });
        let count = end.map_or(1, |end| end - start + 1);
        if count > lines_most {
            found.push((name.to_owned(), count));
        }
    }
    found
}

fn function_name(line: &str) -> Option<&str> {
    let mut rest = line.trim_start();
    loop {
        let before = rest;
        for word in
            ["pub ", "pub(crate) ", "pub(super) ", "pub(in crate) ", "const ", "async ", "unsafe ", "extern \"C\" "]
        {
            rest = rest.strip_prefix(word).unwrap_or(rest);
        }
        if rest == before {
            break;
        }
    }
    rest.strip_prefix("fn ")?.split(['(', '<']).next()
}
