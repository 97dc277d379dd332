//! Tests on the code itself.
//!
//! A rule is a function of text that returns one sentence for each breach. The tests under `tests/` hand each rule the ground as
//! it lies, and then a made-up bad case that must be caught.

use std::fs;
use std::path::{Path, PathBuf};

mod fuzz;
mod manifest;
mod map;
mod names;
mod shape;
mod tree;
mod values;
mod words;

pub use fuzz::fuzz_faults;
pub use manifest::{lints_missing, rooms_of};
pub use map::map_faults;
pub use names::{name_faults, suffixes};
pub use shape::{header_faults, length_faults, long_functions};
pub use tree::{Room, tree_faults};
pub use values::value_faults;
pub use words::{sentence_faults, test_word_faults, world_faults};

/// A file of the project.
#[derive(Debug, Clone)]
pub struct File {
    /// Path from the project's root, with forward strokes.
    pub path: String,
    /// What it holds.
    pub text: String,
}

impl File {
    /// A made-up file, for the bad cases.
    pub fn made_up(path: &str, text: &str) -> File {
        File { path: path.to_owned(), text: text.to_owned() }
    }

    /// Whether the file holds tests alone, by its name or folder.
    pub fn is_test(&self) -> bool {
        self.path.ends_with("/tests.rs") || self.path.contains("/tests/")
    }

    /// The text before its tests.
    pub fn before_tests(&self) -> &str {
        self.text.find("#[cfg(test)]\nmod tests {").map_or(self.text.as_str(), |end| &self.text[..end])
    }
}

/// The project's root.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().expect("tidy lies in the project's root").to_owned()
}

/// Paths of all files below a folder of the project, in order. Hidden files and what a build leaves are passed over.
pub fn paths(folder: &str) -> Vec<String> {
    let root = root();
    let mut found = Vec::new();
    let mut folders = vec![root.join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display())) {
            let path = entry.expect("an entry of a folder that was opened").path();
            let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
            if name.starts_with('.') || name == "target" || name.starts_with("target-") {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
            } else {
                found
                    .push(path.strip_prefix(&root).expect("found below the root").to_string_lossy().replace('\\', "/"));
            }
        }
    }
    found.sort();
    found
}

/// All files below a folder of the project that end as given, by path.
pub fn files(folder: &str, ending: &str) -> Vec<File> {
    paths(folder).into_iter().filter(|path| path.ends_with(ending)).map(|path| file(&path)).collect()
}

/// One file of the project; the test ends with the reason when it is not there.
pub fn file(path: &str) -> File {
    let text = fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"));
    File { path: path.to_owned(), text }
}
