//! The program that serves the pages, as a child of a test.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A folder of a test's own, gone afterwards.
pub struct Folder(pub PathBuf);

impl Folder {
    /// Makes it.
    pub fn new(name: &str) -> Folder {
        let folder = Folder(std::env::temp_dir().join(format!("warmspell-{name}-{}", std::process::id())));
        std::fs::create_dir_all(&folder.0).expect("a folder");
        folder
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The program, and where it listens.
pub fn started(record: &Path) -> (Child, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_warmspell"))
        .args(["serve", "--address", "127.0.0.1:0", "--members", "16", "--store"])
        .arg(record)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut said = BufReader::new(child.stderr.take().expect("piped"));
    let mut line = String::new();
    let mut all = String::new();
    while said.read_line(&mut line).expect("it speaks") > 0 {
        if let Some((_, after)) = line.split_once("http://") {
            let address = after.split(['/', ' ']).next().expect("an address").to_owned();
            // What it says later must not stop it.
            std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
            return (child, address);
        }
        all.push_str(&std::mem::take(&mut line));
    }
    let _ = child.wait();
    panic!("the program ended: {all}");
}
