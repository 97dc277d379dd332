//! What fuzzing needs to begin well.

/// Targets of the fuzz manifest without source, seeds or dictionary, and sources that no target names. A fault behind a word of
/// four letters is not found by chance: each target begins from files that read, and from the words of its form.
pub fn fuzz_faults(manifest: &str, paths: &[String]) -> Vec<String> {
    let targets: Vec<&str> = manifest
        .split("[[bin]]")
        .skip(1)
        .filter_map(|part| part.lines().find_map(|line| line.strip_prefix("name = \"")?.strip_suffix('"')))
        .collect();
    let mut found = Vec::new();
    for name in &targets {
        let needed = [
            format!("fuzz/fuzz_targets/{name}.rs"),
            format!("fuzz/seeds/{name}/"),
            format!("fuzz/dictionaries/{name}.dict"),
        ];
        let lacking = needed.iter().filter(|needed| !paths.iter().any(|path| path.starts_with(needed.as_str())));
        found.extend(lacking.map(|needed| format!("fuzz target {name} has no {needed}")));
    }
    for path in paths {
        let name = path.strip_prefix("fuzz/fuzz_targets/").and_then(|name| name.strip_suffix(".rs"));
        if name.is_some_and(|name| !targets.contains(&name)) {
            found.push(format!("{path} is named in no [[bin]]"));
        }
    }
    found
}
